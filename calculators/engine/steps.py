"""«How this was worked out»: the formulas that ran, with the numbers they ran on."""

from collections.abc import Iterable, Mapping

from calculators.engine.expression import Applied, Expression, results, value_of, written
from calculators.engine.formula import Calculation
from calculators.engine.terms import terms
from calculators.quantities.format import format_number, round_nearest

PLACES = {"m": 3, "g": 1, "mm": 3, "1/inch": 1, "share": 4}  # behind the point; two for all others
LARGE = 1_000  # a figure from here on is shown whole
MOST_PLACES = 12
ROUNDED = {"up": "up to", "down": "down to", "nearest": "nearest"}


def working(done: Calculation) -> str:
    """Write a calculation with its numbers, each to as many places as the sum needs to come out.

    Figures are rounded before they are shown, so the rounded ones are put through the formula
    again: as long as they lead elsewhere than to the result shown, they get another place.
    """
    record, body, rounded = done.formula, done.body, ""
    if body is None:
        return f"{record.words}: {_figure(record.gives, done.value)}"
    values = dict(done.arguments)
    for other in results(body):
        values[other.name] = value_of(other, values)
    if isinstance(body, Applied) and body.function in ROUNDED:
        exact = value_of(body.inside, values)
        if exact != done.value:
            rounded = f", {ROUNDED[body.function]} {_figure(record.gives, done.value)}"
        body = body.inside
    result = _figure(record.gives, value_of(body, values))
    more = 0
    while more < MOST_PLACES:
        shown = {
            name: round_nearest(value, 10.0 ** -(_places(name, value) + more)).value
            for name, value in values.items()
        }
        if _comes_to(result, record.gives, body, shown):
            break
        more += 1
    line = written(body, lambda name: _figure(name, values[name], more))
    return f"{line} = {result}{rounded}"


def _comes_to(result: str, name: str, body: Expression, shown: Mapping[str, float]) -> bool:
    try:
        return _figure(name, value_of(body, shown)) == result
    except ZeroDivisionError:  # two figures rounded to the same
        return False


def distinct(log: Iterable[Calculation]) -> list[Calculation]:
    """Return the first run of each formula: the likely one, which is worked out before others."""
    found: dict[tuple[str, str], Calculation] = {}
    for done in log:
        found.setdefault((done.formula.id, done.formula.gives), done)
    return list(found.values())


def _places(name: str, value: float) -> int:
    return 0 if abs(value) >= LARGE else PLACES.get(terms()[name].unit, 2)


def _figure(name: str, value: float, more: int = 0) -> str:
    unit = terms()[name].unit.replace("1/", "per ").replace("share", "").replace("m2", "m²")
    figure = format_number(value, _places(name, value) + more)
    return figure + (f" {unit}" if unit else "")
