"""Every calculator of the handbook, declared once."""

from functools import cache
from importlib import import_module

from calculators.errors import InputError
from calculators.forms.base import Calculator

ROOMS = ("yarn", "weave", "sett", "cloth", "loom", "plan", "records", "shelf")


@cache
def registry() -> dict[str, Calculator]:
    """Return the calculators by id, in the order of the job."""
    found: dict[str, Calculator] = {}
    for room in ROOMS:
        for calculator in import_module(f"calculators.forms.{room}").CALCULATORS:
            found[calculator.id] = calculator
    return found


def calculator(name: str) -> Calculator:
    """Return the calculator called ``name``, or say which there are."""
    found = registry().get(name)
    if found is None:
        shown = name if len(name) <= 40 else name[:40] + "…"
        raise InputError(
            "calculator",
            f"There is no calculator called “{shown}”.",
            "There are: " + ", ".join(registry()) + ".",
        )
    return found
