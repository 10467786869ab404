"""A field for a weave."""

from calculators.engine.calculator import Field
from calculators.engine.reading import KINDS, Choices, Kind
from calculators.weave.library import WEAVES, parse_weave, weave
from calculators.weave.matrix import Weave


def _title(_: Field, chosen: Weave) -> tuple[str, str]:
    return chosen.title, chosen.title


def _weaves() -> Choices:
    return [(name, weave(name).title) for name in WEAVES]


KINDS["weave"] = Kind(
    lambda field, text, *_: parse_weave(text, field=field.name),
    _title,
    offered=_weaves,
    settles={
        "ends_per_unit": lambda weave: weave.repeat.ends,
        "picks_per_unit": lambda weave: weave.repeat.picks,
        "ground_shafts": lambda weave: weave.repeat.ends,
    },
)
