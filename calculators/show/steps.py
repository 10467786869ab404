"""«How this was worked out»: the formulas that ran, with the numbers they ran on."""

from collections.abc import Iterable

from calculators.engine.expression import written
from calculators.engine.formula import Calculation
from calculators.engine.terms import terms
from calculators.quantities.format import format_number

PLACES = {"cm": 2, "m": 3, "mm": 2, "g": 1, "kg": 2, "1/cm": 2, "1/inch": 1, "tex": 2}
MOST_PLACES = 12


def working(done: Calculation) -> str:
    """Write a calculation with its numbers, each to as many places as the sum needs to come out.

    Figures are rounded before they are shown, so the rounded ones are put through the formula
    again: as long as they lead elsewhere than to the result shown, they get another place.
    """
    record = done.formula
    result = _figure(record.gives, done.value, PLACES.get(terms()[record.gives].unit, 2))
    if record.body is None:
        return f"{record.words}: {result}"
    for more in range(MOST_PLACES):
        shown = {
            name: _rounded(value, _places(name) + more) for name, value in done.arguments.items()
        }
        again = _figure(record.gives, record.function(**shown), _places(record.gives))
        if again == result:
            break
    line = written(record.body, lambda name: _figure(name, shown[name], MOST_PLACES), _constant)
    return f"{line} = {result}"


def distinct(log: Iterable[Calculation]) -> list[Calculation]:
    """Return the first run of each formula: the likely one, which is worked out before others."""
    found: dict[tuple[str, str], Calculation] = {}
    for done in log:
        found.setdefault((done.formula.id, done.formula.gives), done)
    return list(found.values())


def _places(name: str) -> int:
    return PLACES.get(terms()[name].unit, 2)


def _rounded(value: float, places: int) -> float:
    return value if isinstance(value, int) else round(value, places)


def _figure(name: str, value: float, places: int) -> str:
    unit = terms()[name].unit
    return format_number(value, places) + (f" {unit}" if unit else "")


def _constant(value: float) -> str:
    return format_number(value)
