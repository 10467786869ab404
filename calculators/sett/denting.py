"""Sleying: how many ends go into each dent, so that the reeds at hand make the sett."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor, gcd, lcm

from calculators.engine.expression import down
from calculators.engine.formula import formula, unlogged
from calculators.quantities.checks import positive
from calculators.quantities.sharing import shared_evenly

LONGEST_ORDER = 5
FULLEST_DENT = 12
NEAR_ENOUGH = 0.03  # common practice, no source: nobody sees it in the cloth
BORNE_BY_ANY_YARN = 4  # common practice, no source: five and more are crowded
CLOSED_BY_WASHING = 1.0  # diameters an end moves in the wash; common practice, no source


@dataclass(frozen=True)
class Denting:
    """One way of sleying one reed.

    ``order`` repeats across the reed; ``sett`` is what it makes; ``error`` is its share above the
    sett wanted; ``dents_per_unit`` is the mean; ``whole`` says whether every unit begins at a dent;
    ``marks`` warns of what the reed will leave in the cloth, empty where nothing is expected;
    ``borne`` is how many ends in one dent the yarn bears.
    """

    reed: float
    order: tuple[int, ...]
    sett: float
    error: float
    dents_per_unit: float
    whole: bool
    marks: str
    borne: int = BORNE_BY_ANY_YARN

    @property
    def too_many(self) -> int:
        """Ends in the fullest dent beyond those that the yarn bears."""
        return max(0, max(self.order) - self.borne)

    @property
    def order_text(self) -> str:
        """The order as weavers write it: 2-3-3."""
        return "-".join(map(str, self.order))


@formula(
    "F-53",
    "Sett of a sleying order",
    "weaving-columns",
    "taylor-1909",
    where="2-3-3 in a 12-dent reed: 32; 33 1/2 dents of 4: 134 (Taylor, web page 225)",
    basis="published",
)
def order_sett(dents_per_inch: float, order_ends: int, order_dents: int) -> float:
    """Sett that the ends and dents of a sleying order make.

    >>> order_sett(12, 8, 3)
    32.0
    """
    return dents_per_inch * order_ends / order_dents


@formula(
    "F-53",
    "Ends in a dent, on the average",
    "exact-arithmetic",
    validity="what an order of whole ends should come near",
)
def ends_per_dent(sett: float, dents_per_inch: float) -> float:
    """Ends that a dent holds on the average to make a sett.

    >>> round(ends_per_dent(32, 12), 3)
    2.667
    """
    return sett / dents_per_inch


@formula("F-54", "Error of a sleying order", "exact-arithmetic", where="definition")
def order_error(order_sett: float, sett: float) -> float:
    """Share by which the sett made is above the sett wanted.

    >>> order_error(33, 32)
    0.03125
    """
    return order_sett / sett - 1


@formula(
    "F-55",
    "Width of these ends in the reed",
    "exact-arithmetic",
    gives="warp_width_in_reed",
    where="definition",
)
def width_of(ends: float, reed_sett: float) -> float:
    """Width of a number of ends in the reed.

    >>> width_of(1200, 24)
    50.0
    """
    return ends / reed_sett


@formula(
    "F-150",
    "Ends of a dent that the wash spreads evenly",
    "exact-arithmetic",
    "trade-knowledge",
    gives="ends_borne",
    where="the outermost of n ends moves (n − 1)/2·(1/s − 1/D) until all lie evenly; one diameter "
    "is common practice, and so is four for a yarn that is not named; no more than D ÷ r lie side "
    "by side",
    basis="common practice",
    validity="the ends of a dent lie close together and spread evenly in the wash",
)
def ends_closed(sett: float, diameters_per_inch: float) -> float:
    """Ends in a dent that still lie evenly after the wash.

    >>> ends_closed(30, 60)
    3.0
    """
    share = filled(sett, diameters_per_inch)
    return 1 + 2 * CLOSED_BY_WASHING * share / (1 - share)


@formula("F-150", "Share of the inch that the yarn fills", "exact-arithmetic")
def filled(sett: float, diameters_per_inch: float) -> float:
    """Share of an inch that the ends fill, lying side by side.

    >>> filled(30, 60)
    0.5
    """
    return sett / diameters_per_inch


@formula("F-150", "Ends that lie side by side in a dent", "exact-arithmetic")
def side_by_side(diameters_per_inch: float, dents_per_inch: float) -> float:
    """Ends that lie side by side in the width of a dent.

    >>> side_by_side(60, 15)
    4.0
    """
    return diameters_per_inch / dents_per_inch


def denting_sett(reed: float, order: tuple[int, ...]) -> float:
    """Sett that a sleying order makes in a reed (F-53).

    >>> denting_sett(12, (2, 3, 3))
    32.0
    """
    return order_sett(reed, sum(order), len(order))


def ends_borne(sett: float, reed: float, diameters_per_inch: float | None = None) -> int:
    """Whole ends, 1 to 12, that a yarn bears in a dent without lines after the wash (F-150).

    >>> ends_borne(46, 15, 73.8), ends_borne(30, 10, 73.8), ends_borne(46, 15)
    (4, 2, 4)
    """
    if diameters_per_inch is None:
        return BORNE_BY_ANY_YARN
    most = side_by_side(diameters_per_inch, reed)
    if sett < diameters_per_inch:
        most = min(most, ends_closed(sett, diameters_per_inch))
    return min(FULLEST_DENT, max(1, down(most)))


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
    total = int(positive(sum(order), "reeds", "The ends of a sleying order"))
    unit = int(positive(ends_per_unit, "ends_per_unit", "The ends of a unit"))
    sums = {sum(order[:dents]) for dents in range(len(order))}
    return all(edge % total in sums for edge in range(unit, lcm(total, unit), unit))


def reed_marks(order: tuple[int, ...], borne: int = BORNE_BY_ANY_YARN) -> str:
    """Warning about the lines a sleying order may leave in the cloth.

    Equation: none
    Parameters:
        order [ends]: ends in each dent
        borne [ends]: ends in one dent that the yarn bears
    Returns:
        [text] the warning, empty when the order is even and not crowded
    Validity: a warning to weave a sample, not a forecast: fine yarn and washing close most lines.
    Errors: none.
    Example:
        >>> reed_marks((2,)), reed_marks((2, 3, 3))
        ('', 'uneven dents: a fine line every 3 dents')
        >>> reed_marks((1, 0))
        'empty dents: open lines until washed'
        >>> reed_marks((3,), borne=2)
        '3 in a dent: lines between dents, threads may cross inside'

    Source: common practice, no source.
    """
    marks = []
    if 0 in order:
        marks.append("empty dents: open lines until washed")
    elif len(set(order)) > 1:
        marks.append(f"uneven dents: a fine line every {len(order)} dents")
    if max(order) > borne:
        marks.append(f"{max(order)} in a dent: lines between dents, threads may cross inside")
    return "; ".join(marks)


def evenness(order: tuple[int, ...]) -> int:
    """How evenly a sleying order lays the ends, the lower the better.

    Equation: none
    Parameters:
        order [ends]: ends in each dent
    Returns:
        [number] 0 where all dents are alike, 1 where they differ, 2 where some are empty
    Validity: orders with at least one dent.
    Errors: none.
    Example:
        >>> evenness((2,)), evenness((2, 3)), evenness((0, 1))
        (0, 1, 2)

    Source: common practice, no source.
    """
    return 2 if 0 in order else int(len(set(order)) > 1)


@lru_cache(maxsize=4096)
def on_whole_dents(order: tuple[int, ...], ends_per_unit: int) -> tuple[int, ...] | None:
    """Order of the same sett in which every unit begins at a dent, where there is one.

    Equation: none
    Parameters:
        order [ends]: ends in each dent, evenly mixed
        ends_per_unit [ends]: ends of one unit
    Returns:
        [ends] the order begun at another dent or, where that does not do, like dents side by side;
        None where no arrangement of up to 5 dents does
    Validity: orders of up to 5 dents, which have no third arrangement.
    Errors: InputError when the order or the unit has no ends.
    Example:
        >>> on_whole_dents((3, 2), 5), on_whole_dents((1, 2, 1, 2, 2), 6)
        ((3, 2), (1, 1, 2, 2, 2))
        >>> on_whole_dents((2, 3, 3), 6) is None
        True

    Source: worked out.
    """
    side_by_side = [
        tuple(sorted(order * times)) for times in range(1, LONGEST_ORDER // len(order) + 1)
    ]
    for arrangement in (order, *side_by_side):
        for place in range(len(arrangement)):
            turned = arrangement[place:] + arrangement[:place]
            if units_on_whole_dents(turned, ends_per_unit):
                return turned
    return None


@unlogged()
def denting_choices(
    sett: float,
    reeds: Sequence[float],
    ends_per_unit: int,
    tolerance: float = 0.06,
    diameters_per_inch: float | None = None,
) -> list[Denting]:
    """Sleying orders near a sett, on the reeds a weaver has, the best suited first.

    Equation: none
    Parameters:
        sett [1/inch]: ends wanted
        reeds [1/inch]: dents of each reed at hand
        ends_per_unit [ends]: ends of one pattern unit
        tolerance [fraction]: how far off an order may be
        diameters_per_inch [1/inch]: threads of the warp that lie side by side; None where not known
    Returns:
        [list of Denting] every order of up to 5 dents that mixes evenly the two whole numbers next
        to the ends wanted in a dent, within the tolerance, and the nearest one of each reed,
        however far off; where it takes like dents side by side to keep units on whole dents, that
        order too; ranked by ``suits``
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
    choices = []
    for reed in dict.fromkeys(reeds):
        positive(reed, "reeds", "The dents of a reed")
        borne = ends_borne(sett, reed, diameters_per_inch)
        dentings = [
            denting_of(reed, order, sett, ends_per_unit, borne)
            for order in _orders(ends_per_dent(sett, reed), ends_per_unit)
        ]
        near = [denting for denting in dentings if abs(denting.error) <= tolerance]
        choices += near or [min(dentings, key=lambda each: (abs(each.error), suits(each)))]
    return sorted(choices, key=suits)


def denting_of(reed: float, order: tuple[int, ...], sett: float, unit: int, borne: int) -> Denting:
    """What one order makes of one reed (F-53, F-54, F-56).

    >>> denting_of(12, (2, 3, 3), 32, 8, 4).whole
    True
    """
    sett_of_order = denting_sett(reed, order)
    return Denting(
        reed,
        order,
        sett=sett_of_order,
        error=order_error(sett_of_order, sett),
        dents_per_unit=unit * len(order) / sum(order),
        whole=units_on_whole_dents(order, unit),
        marks=reed_marks(order, borne),
        borne=borne,
    )


def suits(denting: Denting) -> tuple[bool, int, int, bool, float, int, float]:
    """Place of a denting among others, by what a weaver asks first; the lower the better.

    Equation: none
    Parameters:
        denting [Denting]: a denting
    Returns:
        [key] more than 3 % off; ends beyond what the yarn bears in a dent; 0 even dents, 1 uneven,
        2 empty; units not on whole dents; how far off; the shorter order; the coarser reed
    Validity: for dentings of one warp.
    Errors: none.
    Example:
        >>> crowded = denting_of(8, (4, 5, 5, 5), 38, 6, 4)
        >>> suits(denting_of(10, (3, 4, 4, 4, 4), 38, 6, 4)) < suits(crowded)
        True

    Source: common practice, no source.
    """
    error = round(abs(denting.error), 6)
    return (
        error > NEAR_ENOUGH,
        denting.too_many,
        evenness(denting.order),
        not denting.whole,
        error,
        len(denting.order),
        denting.reed,
    )


def _orders(mean: float, unit: int) -> list[tuple[int, ...]]:
    """Even and evenly mixed orders around a mean number of ends in a dent, and those that suit."""
    orders: list[tuple[int, ...]] = []
    for dents in range(1, LONGEST_ORDER + 1):
        low, high = max(1, floor(mean) * dents), ceil(mean) * dents
        orders += [
            shared_evenly(ends, dents)
            for ends in range(low, max(low, high) + 1)
            if gcd(ends, dents) == 1 and ends <= FULLEST_DENT * dents
        ]
    turned = {order: on_whole_dents(order, unit) for order in orders or [(FULLEST_DENT,)]}
    begun = [whole if whole and _alike(order, whole) else order for order, whole in turned.items()]
    return [*begun, *(whole for whole in turned.values() if whole and whole not in begun)]


def _alike(order: tuple[int, ...], other: tuple[int, ...]) -> bool:
    """Whether one order is the other, begun at another dent."""
    return any(order[place:] + order[:place] == other for place in range(len(order)))
