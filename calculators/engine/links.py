"""The address of a calculator with its fields filled in, and how an answer carries on."""

from collections.abc import Mapping
from urllib.parse import quote

from calculators.engine.calculator import ENTERED
from calculators.engine.run import Run
from calculators.engine.versions import VERSION
from calculators.quantities.interval import Range

LOOM_SIDE = "loom-side/"
UNITS = {"1/inch": " /in", "1/cm": " /cm", "%": " %", "": ""}


def ways_on(done: Run) -> list[tuple[str, str]]:
    """Return the words and the address, from the site's root, of each way on from an answer."""
    if done.answer is None:
        return []
    units = {output.name: output.unit for output in done.calculator.outputs}
    found = []
    for way in done.calculator.ways:
        state = {
            there: done.readings[here].typed
            for here, there in way.fields.items()
            if done.readings[here].typed
        }
        for here, there in way.results.items():
            state[there] = _carried(done.answer.results[here], units[here])
        found.append((way.words, address(way.goal, state)))
    if done.calculator.woven_along:
        found.append(("Take it to the loom", address(done.calculator.id, done.chosen, LOOM_SIDE)))
    return found


def address(calculator: str, state: Mapping[str, str], page: str = "") -> str:
    """Write the address of a calculator, or of another page about it, with some fields filled in.

    >>> from calculators.sett import calculators
    >>> address("sett", {"warp_yarn": "16/2"})
    'sett/#v=2&calculator=sett&warp_yarn=16%2F2'
    """
    fields = "".join(f"&{name}={quote(text, safe='')}" for name, text in state.items())
    return f"{page or ENTERED[calculator].page}#v={VERSION}&calculator={calculator}{fields}"


def _carried(value: float | str | Range, unit: str) -> str:
    likely = value.likely if isinstance(value, Range) else value
    return f"{likely:.6g}{UNITS.get(unit, ' ' + unit)}"
