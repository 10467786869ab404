"""The harness: pattern heddles, ground heddles, cords, mass, and what a loom can carry."""

from math import gcd

from calculators.engine.expression import up
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.checks import positive
from calculators.quantities.sentences import many


@formula(
    "F-93",
    "Heddles on each ground shaft",
    "trade-knowledge",
    validity="every end entered singly in straight order; the fullest shaft",
)
def ground_heddles_per_shaft(pattern_ends: int, ground_shafts: int) -> int:
    """Heddles on each ground shaft, every end being entered singly in straight order.

    >>> ground_heddles_per_shaft(1265, 5)
    253
    """
    return up(pattern_ends / ground_shafts)


@formula(
    "F-160",
    "Pattern heddles",
    "bell-1895",
    gives="pattern_heddles",
    where="p. 177, for no more than two threads in one eye; the count is ours",
)
def heddles_of_units(units_across: int, ends_per_unit: int, ends_per_heddle: int) -> int:
    """Pattern heddles, those of one unit sharing its weight.

    >>> heddles_of_units(253, 5, 2)
    759
    """
    return units_across * up(ends_per_unit / ends_per_heddle)


def pattern_heddles(
    units_across: int, ends_per_unit: int, ends_per_heddle: int | None = None
) -> int:
    """Pattern heddles for the way of threading, a whole unit in each when nothing is said (F-160).

    >>> pattern_heddles(253, 5), pattern_heddles(253, 5, 2)
    (253, 759)
    """
    if ends_per_heddle is not None and ends_per_heddle > ends_per_unit > 0:
        raise InputError(
            "ends_per_heddle",
            f"A heddle of {many(ends_per_heddle, 'ends')} would hold more than a unit of "
            f"{ends_per_unit}.",
            f"Give 1 to {ends_per_unit}, or leave it empty for one heddle to a unit.",
        )
    in_heddle = ends_per_unit if ends_per_heddle is None else ends_per_heddle
    return heddles_of_units(units_across, ends_per_unit, in_heddle)


@formula(
    "F-94",
    "Cords",
    "bell-1895",
    where="p. 9: one simple cord for every vertical line of the draft",
    basis="published",
    words="the columns of the design that are unlike each other, a cord for each unit otherwise",
)
def cords(units_across: int, different_columns: int | None = None) -> int:
    """Cords, or pattern shafts, that raise the pattern heddles.

    >>> cords(253), cords(253, 24)
    (253, 24)
    """
    if different_columns is None:
        return units_across
    if not 1 <= different_columns <= units_across:
        raise InputError(
            "different_columns",
            f"There cannot be {different_columns} different columns in "
            f"{many(units_across, 'units')}.",
            "Count the columns of the design that are unlike each other.",
        )
    return different_columns


@formula(
    "F-95",
    "Mass of the harness",
    "trade-knowledge",
    validity="each unit with one weight",
)
def harness_mass(units_across: int, weight_each: float) -> float:
    """Mass that hangs in the pattern harness.

    >>> harness_mass(300, 60)
    18000
    """
    return units_across * weight_each


@formula(
    "F-96",
    "Order of threading",
    "bell-1895",
    gives="entering",
    where="p. 180: pattern mails first, then the ground heddles in a straight draft",
    basis="published",
    words="end after end on shaft after shaft, from the last back to the first",
)
def entering_order(
    units_across: int, ends_per_unit: int, ground_shafts: int
) -> list[tuple[int, ...]]:
    """Order of threading: for each pattern heddle, the ground shafts of its ends in turn.

    >>> entering_order(3, 5, 8)
    [(1, 2, 3, 4, 5), (6, 7, 8, 1, 2), (3, 4, 5, 6, 7)]
    """
    if units_across * ends_per_unit > 1_000_000:
        raise InputError(
            "units_across", "That is more than a million ends.", "Look for a slip of a digit."
        )
    return [
        tuple((unit * ends_per_unit + end) % ground_shafts + 1 for end in range(ends_per_unit))
        for unit in range(units_across)
    ]


def units_until_entering_repeats(ends_per_unit: int, ground_shafts: int) -> int:
    """Units after which the threading begins again on the first ground shaft.

    Equation: units = shafts / gcd(E, shafts)   (F-96)
    Parameters:
        ends_per_unit [count]: ends on one pattern heddle
        ground_shafts [count]: shafts of the ground weave
    Returns:
        [count] units; 1 when every unit is entered alike
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> units_until_entering_repeats(5, 5), units_until_entering_repeats(6, 8)
        (1, 4)

    Source: definition.
    """
    positive(ends_per_unit, "ends_per_unit", "The ends of a unit")
    positive(ground_shafts, "ground_shafts", "The ground shafts")
    return ground_shafts // gcd(ends_per_unit, ground_shafts)
