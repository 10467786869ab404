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


def working(calculation: Calculation) -> str:
    """Write a calculation with its numbers, each to as many places as the sum needs to come out.

    Figures are rounded before they are shown, so the rounded ones are put through the formula
    again: as long as they lead elsewhere than to the result shown, they get another place.
    """
    record, body, rounded = calculation.formula, calculation.body, ""
    if body is None:
        return f"{record.words}: {_figure(record.gives, calculation.value)}"
    values = dict(calculation.arguments)
    for inner in results(body):
        values[inner.name] = value_of(inner, values)
    if isinstance(body, Applied) and body.function in ROUNDED:
        exact = value_of(body.inside, values)
        if exact != calculation.value:
            rounded = f", {ROUNDED[body.function]} {_figure(record.gives, calculation.value)}"
        body = body.inside
    result = _figure(record.gives, value_of(body, values))
    extra = 0
    while extra < MOST_PLACES:
        shown = {
            name: round_nearest(value, 10.0 ** -(_places(name, value) + extra)).value
            for name, value in values.items()
        }
        if _comes_to(result, record.gives, body, shown):
            break
        extra += 1
    line = written(body, lambda name: _figure(name, values[name], extra))
    return f"{line} = {result}{rounded}"


def _comes_to(result: str, name: str, body: Expression, shown: Mapping[str, float]) -> bool:
    try:
        return _figure(name, value_of(body, shown)) == result
    except ZeroDivisionError:  # two figures rounded to the same
        return False


def distinct(log: Iterable[Calculation]) -> list[Calculation]:
    """Return the first run of each formula: the likely one, which is worked out before others."""
    first: dict[tuple[str, str], Calculation] = {}
    for calculation in log:
        first.setdefault((calculation.formula.id, calculation.formula.gives), calculation)
    return list(first.values())


def _places(name: str, value: float) -> int:
    return 0 if abs(value) >= LARGE else PLACES.get(terms()[name].unit, 2)


def _figure(name: str, value: float, extra: int = 0) -> str:
    unit = terms()[name].unit.replace("1/", "per ").replace("share", "").replace("m2", "m²")
    figure = format_number(value, _places(name, value) + extra)
    return figure + (f" {unit}" if unit else "")
