"""Denting: how many ends go into each dent, so that the reeds at hand make the sett."""

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor, gcd, lcm

from calculators.quantities.checks import positive
from calculators.quantities.spread import spread_evenly

LONGEST_ORDER = 5
FULLEST_DENT = 12
NEAR_ENOUGH = 0.03  # common practice, no source: nobody sees it in the cloth


@dataclass(frozen=True)
class Denting:
    """One way of denting one reed.

    ``order`` repeats across the reed; ``sett`` is what it makes; ``error`` is its share above the
    sett wanted; ``dents_per_unit`` is the mean; ``whole`` says whether every unit begins at a dent;
    ``marks`` warns of what the reed will leave in the cloth, empty where nothing is expected.
    """

    reed: float
    order: tuple[int, ...]
    sett: float
    error: float
    dents_per_unit: float
    whole: bool
    marks: str

    @property
    def order_text(self) -> str:
        """The order as weavers write it: 2-3-3."""
        return "-".join(map(str, self.order))


def denting_sett(reed: float, order: tuple[int, ...]) -> float:
    """Sett that a denting order makes.

    Equation: s = r·Σ ends / dents of the order   (F-53)
    Parameters:
        reed [1/inch]: r, dents in an inch
        order [ends]: ends in each dent of the order
    Returns:
        [1/inch] ends
    Validity: at least one dent.
    Errors: InputError when the reed has no dents or the order no ends.
    Example:
        >>> denting_sett(12, (2, 3, 3))
        32.0

    Source: weaving magazine, question column, published answers (2-3-3 in a 12-dent reed: 32 ends).
    """
    ends = positive(sum(order), "reeds", "The ends of a denting order")
    return positive(reed, "reeds", "The dents of a reed") * ends / len(order)


@lru_cache(maxsize=1024)
def units_on_whole_dents(order: tuple[int, ...], ends_per_unit: int) -> bool:
    """Whether every unit begins with a new dent, when the first one does.

    Equation: every multiple of E is one of the running sums of the order   (F-56)
    Parameters:
        order [ends]: ends in each dent, repeated across the reed
        ends_per_unit [ends]: E
    Returns:
        [yes or no] whether no unit shares a dent with the next
    Validity: orders with at least one end.
    Errors: InputError when the order or the unit has no ends.
    Example:
        >>> units_on_whole_dents((2, 3), 5), units_on_whole_dents((2, 3, 3), 6)
        (True, False)

    Source: worked out.
    """
    total = int(positive(sum(order), "reeds", "The ends of a denting order"))
    unit = int(positive(ends_per_unit, "ends_per_unit", "The ends of a unit"))
    sums = {sum(order[:dents]) for dents in range(len(order))}
    return all(edge % total in sums for edge in range(unit, lcm(total, unit), unit))


def reed_marks(order: tuple[int, ...]) -> str:
    """Warning about the lines a denting order may leave in the cloth.

    Equation: none
    Parameters:
        order [ends]: ends in each dent
    Returns:
        [text] the warning, empty when the order is even and not crowded
    Validity: a warning to weave a sample, not a forecast: fine yarn and washing close most lines.
    Errors: none.
    Example:
        >>> reed_marks((2,)), reed_marks((2, 3, 3))
        ('', 'uneven dents: a fine line every 3 dents')
        >>> reed_marks((1, 0))
        'empty dents: open lines until washed'

    Source: common practice, no source.
    """
    if 0 in order:
        return "empty dents: open lines until washed"
    if len(set(order)) > 1:
        return f"uneven dents: a fine line every {len(order)} dents"
    if order[0] >= 5:
        return f"{order[0]} in a dent: lines between dents, threads may cross inside"
    return ""


def denting_choices(
    sett: float, reeds: tuple[float, ...] | list[float], ends_per_unit: int, tolerance: float = 0.06
) -> list[Denting]:
    """Denting orders near a sett, on the reeds a weaver has, the best suited first.

    Equation: error = sett made / sett wanted − 1   (F-54)
    Parameters:
        sett [1/inch]: ends wanted
        reeds [1/inch]: dents of each reed at hand
        ends_per_unit [ends]: ends of one pattern unit
        tolerance [fraction]: how far off an order may be
    Returns:
        [list of Denting] every order of up to 5 dents that mixes evenly the two whole numbers next
        to the ends wanted in a dent, within the tolerance, and the nearest one of each reed,
        however far off; those within 3 % come first, of them those that leave no marks, then those
        that keep units on whole dents, then the nearest
    Validity: up to 12 ends in a dent.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> for choice in denting_choices(32, [12, 8], 8)[:3]:
        ...     print(choice.reed, choice.order_text, choice.sett, choice.whole)
        8 4 32.0 True
        12 2-3-3 32.0 True
        12 2-3-2-3-3 31.2 False

    Source: worked out; 2-3-3 in a 12-dent reed: weaving magazine, question column.
    """
    positive(sett, "sett", "The sett")
    choices = []
    for reed in dict.fromkeys(reeds):
        found = [
            _denting(reed, order, sett, ends_per_unit)
            for order in _orders(sett / positive(reed, "reeds", "The dents of a reed"))
        ]
        near = [one for one in found if abs(one.error) <= tolerance]
        choices += near or [min(found, key=lambda one: abs(one.error))]
    return sorted(choices, key=_suits)


def width_of(ends: float, sett: float) -> float:
    """Width of a number of ends in the reed.

    Equation: width = ends / sett   (F-55)
    Parameters:
        ends [ends]: how many
        sett [1/inch]: ends in an inch of the reed
    Returns:
        [inch] width in the reed
    Validity: even sett.
    Errors: InputError when the sett is not above zero.
    Example:
        >>> width_of(1200, 60)
        20.0

    Source: definition.
    """
    return ends / positive(sett, "sett", "The sett")


def _orders(mean: float) -> list[tuple[int, ...]]:
    """Even and evenly mixed orders around a mean number of ends in a dent."""
    orders: list[tuple[int, ...]] = []
    for dents in range(1, LONGEST_ORDER + 1):
        low, high = max(1, floor(mean) * dents), ceil(mean) * dents
        orders += [
            spread_evenly(ends, dents)
            for ends in range(low, max(low, high) + 1)
            if gcd(ends, dents) == 1 and ends <= FULLEST_DENT * dents
        ]
    return orders or [(FULLEST_DENT,)]


def _denting(reed: float, order: tuple[int, ...], sett: float, unit: int) -> Denting:
    turns = [order[place:] + order[:place] for place in range(len(order))]
    whole = next((turn for turn in turns if units_on_whole_dents(turn, unit)), None)
    made = denting_sett(reed, order)
    return Denting(
        reed,
        whole or order,
        made,
        made / sett - 1,
        unit * len(order) / sum(order),
        whole is not None,
        reed_marks(order),
    )


def _suits(one: Denting) -> tuple[bool, bool, bool, float, int, float]:
    """Sort by what a weaver asks first: near enough, no marks, whole units, then nearness."""
    off = round(abs(one.error), 6)
    return off > NEAR_ENOUGH, bool(one.marks), not one.whole, off, len(one.order), one.reed
