"""A field for a weave."""

from collections.abc import Sequence

from calculators.engine.calculator import Field
from calculators.engine.reading import KINDS, Choices, Kind
from calculators.weave.drawing import swatch_svg
from calculators.weave.library import WEAVES, parse_weave, spoken, weave
from calculators.weave.matrix import Weave


def _title(_: Field, chosen: Weave) -> tuple[str, str]:
    return chosen.title, chosen.title


def _weaves() -> Choices:
    return [(spoken(name), "") for name in WEAVES]


def _drawn() -> Sequence[tuple[str, str, str]]:
    return [(name, spoken(name), swatch_svg(weave(name))) for name in WEAVES]


KINDS["weave"] = Kind(
    lambda field, text, *_: parse_weave(text, field=field.name),
    _title,
    offered=_weaves,
    spoken=spoken,
    drawn=_drawn,
    drawing=swatch_svg,
    settles={
        "ends_per_unit": lambda weave: weave.repeat.ends,
        "picks_per_unit": lambda weave: weave.repeat.picks,
        "ground_shafts": lambda weave: weave.repeat.ends,
    },
)
