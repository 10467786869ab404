"""A field for a weave."""

import re
from collections.abc import Sequence

from calculators.engine.calculator import Field
from calculators.engine.reading import KINDS, Choices, Kind
from calculators.errors import InputError
from calculators.weave.drawing import swatch_svg
from calculators.weave.library import WEAVES, parse_weave, spoken, weave
from calculators.weave.matrix import Weave

ANY = "any"


def _several(field: Field, text: str, *_: str) -> tuple[Weave, ...]:
    if text.casefold() == ANY:
        return ()
    each = [one.strip() for one in re.split(r"[,;\n]", text)]
    chosen = tuple(dict.fromkeys(parse_weave(one, field=field.name) for one in each if one))
    if not all(weave.name in WEAVES for weave in chosen):
        raise InputError(field.name, "Only weaves with a name are tried here.", "Such as twill.")
    return chosen


def _titles(_: Field, chosen: Sequence[Weave]) -> tuple[str, str]:
    text = ", ".join(weave.title for weave in chosen) or ANY
    return text, text


def _all_spoken(text: str) -> str:
    return ", ".join(spoken(one.strip()) for one in text.split(","))


def _title(_: Field, chosen: Weave) -> tuple[str, str]:
    return chosen.title, chosen.title


def _weaves() -> Choices:
    return [(spoken(name), "") for name in WEAVES]


def _drawn() -> Sequence[tuple[str, str, str]]:
    return [(name, spoken(name), swatch_svg(weave(name))) for name in WEAVES]


KINDS["weaves"] = Kind(
    _several,
    _titles,
    offered=_weaves,
    spoken=_all_spoken,
    drawn=lambda: [one for one in _drawn() if not one[0].endswith("_warp")],
    drawing=lambda chosen: "".join(map(swatch_svg, chosen)),
)
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
