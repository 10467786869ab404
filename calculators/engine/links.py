"""The address of a calculator with its fields filled in, and how an answer carries on."""

from collections.abc import Mapping
from urllib.parse import quote

from calculators.engine.calculator import ENTERED
from calculators.engine.run import Run
from calculators.engine.versions import VERSION
from calculators.quantities.interval import Range

LOOM_SIDE = "loom-side/"
UNITS = {"1/inch": " /in", "1/cm": " /cm", "%": " %", "": ""}


def ways_on(run: Run) -> list[tuple[str, str]]:
    """Return the words and the address, from the site's root, of each way on from an answer."""
    if run.answer is None:
        return []
    units = {output.name: output.unit for output in run.calculator.outputs}
    ways = []
    for way in run.calculator.ways:
        inputs = {
            other: run.readings[own].typed
            for own, other in way.fields.items()
            if run.readings[own].typed
        }
        for own, other in way.results.items():
            inputs[other] = _carried(run.answer.results[own], units[own])
        ways.append((way.words, address(way.goal, inputs)))
    if run.calculator.woven_along:
        ways.append(("Take it to the loom", address(run.calculator.id, run.chosen, LOOM_SIDE)))
    return ways


def address(calculator: str, inputs: Mapping[str, str], page: str = "") -> str:
    """Write the address of a calculator, or of another page about it, with some fields filled in.

    >>> from calculators.sett import calculators
    >>> address("sett", {"warp_yarn": "16/2"})
    'sett/#v=2&calculator=sett&warp_yarn=16%2F2'
    """
    fields = "".join(f"&{name}={quote(text, safe='')}" for name, text in inputs.items())
    return f"{page or ENTERED[calculator].page}#v={VERSION}&calculator={calculator}{fields}"


def _carried(value: float | str | Range, unit: str) -> str:
    likely = value.likely if isinstance(value, Range) else value
    return f"{likely:.6g}{UNITS.get(unit, ' ' + unit)}"
