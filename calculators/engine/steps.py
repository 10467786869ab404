"""«How this was worked out»: the formulas that ran, with the numbers they ran on."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import copysign, isclose

from calculators.engine.expression import Applied, Expression, results, value_of, written
from calculators.engine.formula import Calculation
from calculators.engine.terms import terms
from calculators.quantities.format import format_number, round_nearest
from calculators.quantities.units import converted, counted_in

PLACES = {"m": 3, "g": 1, "mm": 3, "1/inch": 1, "share": 4}  # behind the point; two for all others
LARGE = 1_000  # a figure from here on is shown whole
MOST_PLACES = 12
ROUNDED = {"up": "up to", "down": "down to", "nearest": "nearest"}
ALIKE = 1e-9  # figures that only arithmetic keeps apart


def working(calculation: Calculation, units: str = "") -> str:
    """Write a calculation with its numbers, each to as many places as the sum needs to come out.

    The numbers are in what the reader counts in. Where the equation holds in its own units alone
    they stay in those, and each is told in the reader's as well.

    Figures are rounded before they are shown, so the rounded ones are put through the formula
    again: as long as they lead elsewhere than to the result shown, they get another place.
    """
    record, body, rounded = calculation.formula, calculation.body, ""
    if body is None:
        result = _Figure(record.gives, calculation.value)
        return f"{record.words}: {result.text()}{_as_told(result, units)}"
    figures = {name: _Figure(name, value) for name, value in calculation.arguments.items()}
    for inner in results(body):
        figures[inner.name] = _Figure(inner.name, value_of(inner, calculation.arguments))
    whole = _Figure(record.gives, calculation.value)
    theirs = {name: figure.counted(units) for name, figure in figures.items()}
    if _holds(body, theirs, whole.counted(units)):
        figures, whole = theirs, whole.counted(units)
    values = {name: figure.value for name, figure in figures.items()}
    exact = whole
    if isinstance(body, Applied) and body.function in ROUNDED:
        exact = replace(whole, value=value_of(body.inside, values))
        if not isclose(exact.value, whole.value, rel_tol=ALIKE):
            rounded = f", {ROUNDED[body.function]} {whole.text()}"
        body = body.inside
    result_text = replace(exact, value=value_of(body, values)).text()
    extra = 0
    while extra < MOST_PLACES:
        shown = {
            name: replace(figure, value=figure.rounded(extra)) for name, figure in figures.items()
        }
        if _comes_to(result_text, exact, body, shown):
            break
        extra += 1
    line = written(body, lambda name: figures[name].text(extra) + figures[name].bridge(units))
    return f"{line} = {result_text}{rounded}{_as_told(whole, units)}"


@dataclass(frozen=True)
class _Figure:
    """A figure of a step in the unit that it is shown in, at first its term's own."""

    name: str
    value: float
    unit: str = ""

    @property
    def shown_in(self) -> str:
        return self.unit or terms()[self.name].unit

    def counted(self, units: str) -> "_Figure":
        return self.turned_into(counted_in(self.shown_in, units))

    def turned_into(self, unit: str) -> "_Figure":
        return replace(self, value=converted(self.value, self.shown_in, unit), unit=unit)

    def rounded(self, extra: int) -> float:
        size = round_nearest(abs(self.value), 10.0 ** -(self._places + extra)).value
        return copysign(size, self.value)  # as a figure below nothing is written

    def text(self, extra: int = 0) -> str:
        return self._with_unit(format_number(self.value, self._places + extra))

    def in_short(self) -> str:
        return self._with_unit(format_number(self.value))

    def bridge(self, units: str) -> str:
        """Return the figure in the reader's unit, in brackets, where it is not in that."""
        theirs = self.counted(units)
        return f" ({theirs.in_short()})" if theirs.shown_in != self.shown_in else ""

    @property
    def _places(self) -> int:
        return 0 if abs(self.value) >= LARGE else PLACES.get(self.shown_in, 2)

    def _with_unit(self, figure: str) -> str:
        unit = self.shown_in.replace("1/", "per ").replace("share", "").replace("2", "²")
        return figure + (f" {unit}" if unit else "")


def _holds(body: Expression, figures: Mapping[str, _Figure], result: _Figure) -> bool:
    """Whether an equation is true of figures in these units."""
    try:
        found = value_of(body, {name: figure.value for name, figure in figures.items()})
    except ZeroDivisionError:
        return False
    return isclose(found, result.value, rel_tol=ALIKE, abs_tol=ALIKE)


def _as_told(result: _Figure, units: str) -> str:
    """Tell a result once more as the rest of the answer tells it, where the step does not."""
    term = terms()[result.name]
    unit = counted_in(term.shown if term.unit == "cm" and term.shown else term.unit, units)
    if not units or unit == result.shown_in:
        return ""
    return f", or {result.turned_into(unit).in_short()}"


def _comes_to(result: str, exact: _Figure, body: Expression, shown: Mapping[str, _Figure]) -> bool:
    try:
        found = value_of(body, {name: figure.value for name, figure in shown.items()})
    except ZeroDivisionError:  # two figures rounded to the same
        return False
    return replace(exact, value=found).text() == result


def distinct(log: Iterable[Calculation]) -> list[Calculation]:
    """Return the first run of each formula: the likely one, which is worked out before others."""
    first: dict[tuple[str, str], Calculation] = {}
    for calculation in log:
        first.setdefault((calculation.formula.id, calculation.formula.gives), calculation)
    return list(first.values())
