"""Where each calculator lives in the handbook, and how an answer carries on into the next one."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import quote

from calculators.contract import Run
from calculators.forms.versions import VERSION
from calculators.quantities.interval import Range

HOMES: Mapping[str, str] = {
    "yarn-count": "yarn/",
    "folded-yarn": "yarn/choosing/",
    "unknown-yarn": "yarn/unknown-cone/",
    "cone": "yarn/part-cone/",
    "weave": "structures/",
    "satins": "structures/choosing/",
    "sett": "sett/",
    "sett-change": "sett/changing/",
    "denting": "sett/reeds/",
    "reed-number": "sett/reeds/",
    "unit-grid": "units/",
    "take-up": "plan/warp-length/",
    "cloth-weight": "plan/weft/",
    "crimp": "finishing/record/",
    "wash-test": "finishing/record/",
    "warp": "plan/warp-length/",
    "weft": "plan/weft/",
    "winding": "warp/winding/",
    "harness": "warp/entering/",
    "rhythm": "weaving/rhythm/",
    "cost": "plan/hours-and-cost/",
    "cloth-plan": "plan/whole-plan/",
    "shelf": "shelf/",
    "record": "shelf/records/",
    "next-guess": "shelf/records/",
    "enough-yarn": "shelf/records/",
}

LOOM_SIDE = "loom-side/"
WOVEN_ALONG = ("cloth-plan", "rhythm")  # the plans that can be counted along at the loom

UNITS = {"1/inch": " /in", "1/cm": " /cm", "%": " %", "": ""}


@dataclass(frozen=True)
class Way:
    """From one answer on to another calculator, with what goes along.

    ``fields`` go over as they were typed, under the other calculator's name for them;
    ``results`` go over as worked out.
    """

    start: str
    goal: str
    words: str
    fields: Mapping[str, str]
    results: Mapping[str, str]


WAYS = (
    Way(
        "yarn-count",
        "sett",
        "How close to set it",
        {"yarn": "warp_yarn", "system": "warp_system"},
        {},
    ),
    Way(
        "yarn-count",
        "cone",
        "How much is left on a cone of it",
        {"yarn": "yarn", "system": "system"},
        {},
    ),
    Way(
        "cone",
        "cloth-plan",
        "Plan a cloth from it",
        {"yarn": "warp_yarn", "system": "warp_system"},
        {},
    ),
    Way("sett", "denting", "Find a reed for it", {}, {"working": "sett"}),
    Way("sett", "unit-grid", "How large a unit becomes", {}, {"working": "sett"}),
    Way(
        "sett",
        "cloth-plan",
        "Plan the whole cloth",
        {
            "warp_yarn": "warp_yarn",
            "warp_system": "warp_system",
            "weft_yarn": "weft_yarn",
            "weft_system": "weft_system",
            "weave": "weave",
        },
        {"working": "sett"},
    ),
    Way("sett-change", "denting", "Find a reed for it", {}, {"sett": "sett"}),
    Way(
        "unit-grid",
        "warp",
        "How long a warp",
        {"finished_length": "finished_length", "length_shrinkage": "length_shrinkage"},
        {"ends": "ends"},
    ),
    Way(
        "unit-grid",
        "weft",
        "How much weft",
        {"picks": "picks"},
        {"warp_width_in_reed": "reed_width"},
    ),
    Way(
        "unit-grid",
        "harness",
        "Heddles and cords",
        {"ends_per_unit": "ends_per_unit"},
        {"units_across": "units"},
    ),
    Way(
        "unit-grid",
        "cloth-plan",
        "Plan the whole cloth",
        {
            name: name
            for name in (
                "finished_width",
                "finished_length",
                "sett",
                "picks",
                "ends_per_unit",
                "picks_per_unit",
                "width_shrinkage",
                "length_shrinkage",
                "draw_in",
            )
        },
        {},
    ),
    Way("warp", "winding", "Wind it", {"ends": "ends"}, {"warp_length": "warp_length"}),
    Way("weft", "rhythm", "Weave it", {"woven_length": "woven_length", "picks": "picks"}, {}),
)


def ways_on(done: Run) -> list[tuple[str, str]]:
    """Return the words and the address, from the site's root, of each way on from an answer."""
    if done.answer is None:
        return []
    units = {output.name: output.unit for output in done.calculator.outputs}
    found = []
    for way in WAYS:
        if way.start != done.calculator.id:
            continue
        state = {
            there: done.readings[here].typed
            for here, there in way.fields.items()
            if done.readings[here].typed
        }
        for here, there in way.results.items():
            state[there] = _carried(done.answer.results[here], units[here])
        found.append((way.words, address(way.goal, state)))
    if done.calculator.id in WOVEN_ALONG:
        found.append(("Take it to the loom", address(done.calculator.id, done.chosen, LOOM_SIDE)))
    return found


def address(calculator: str, state: Mapping[str, str], page: str = "") -> str:
    """Write the address of a calculator, or of another page about it, with some fields filled in.

    >>> address("sett", {"warp_yarn": "16/2"})
    'sett/#v=2&calculator=sett&warp_yarn=16%2F2'
    """
    fields = "".join(f"&{name}={quote(text, safe='')}" for name, text in state.items())
    return f"{page or HOMES[calculator]}#v={VERSION}&calculator={calculator}{fields}"


def _carried(value: float | str | Range, unit: str) -> str:
    likely = value.likely if isinstance(value, Range) else value
    return f"{likely:.6g}{UNITS.get(unit, ' ' + unit)}"
