"""Every calculator of the handbook, by its id, in the order of the job."""

from collections.abc import Mapping

from calculators.appearance import calculators as appearance
from calculators.cloth import calculators as cloth
from calculators.engine.calculator import Calculator
from calculators.errors import InputError
from calculators.figure import calculators as figure
from calculators.loom import calculators as loom
from calculators.loom import dressing_calculators as dressing
from calculators.plan import calculators as plan
from calculators.records import calculators as records
from calculators.sett import calculators as sett
from calculators.sett import structures as weave
from calculators.shelf import calculators as shelf
from calculators.yarn import calculators as yarn

_CALCULATORS = {
    calculator.id: calculator
    for room in (yarn, weave, sett, cloth, loom, dressing, plan, figure, appearance, records, shelf)
    for calculator in room.CALCULATORS
}


def registry() -> Mapping[str, Calculator]:
    """Return the calculators by id, in the order of the job."""
    return _CALCULATORS


def calculator(name: str) -> Calculator:
    """Return the calculator called ``name``, or say which there are."""
    chosen = registry().get(name)
    if chosen is None:
        wanted = name if len(name) <= 40 else name[:40] + "…"
        raise InputError(
            "calculator",
            f"There is no calculator called “{wanted}”.",
            "There are: " + ", ".join(registry()) + ".",
        )
    return chosen
