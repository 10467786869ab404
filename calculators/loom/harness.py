"""The harness: pattern heddles, ground heddles, cords, mass, and what a loom can carry."""

from dataclasses import dataclass
from math import gcd

from calculators.errors import InputError
from calculators.quantities.checks import not_negative, positive
from calculators.quantities.format import round_up


def ground_heddles_per_shaft(ends: int, ground_shafts: int) -> int:
    """Heddles on each ground shaft, every end being entered singly in straight order.

    Equation: heddles = up(ends / shafts)   (F-93)
    Parameters:
        ends [count]: ends on the ground shafts
        ground_shafts [count]: shafts of the ground weave
    Returns:
        [count] heddles on the fullest shaft; rounded up
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> ground_heddles_per_shaft(1265, 5)
        253

    Source: definition.
    """
    positive(ends, "units", "The number of ends")
    return int(round_up(ends / positive(ground_shafts, "ground_shafts", "The ground shafts")).value)


def pattern_heddles(units: int, ends_per_unit: int, ends_per_heddle: int | None = None) -> int:
    """Pattern heddles for the way of entering: one to a unit, or several that share its weight.

    Equation: heddles = units x up(E / ends in a heddle)   (F-160)
    Parameters:
        units [count]: pattern units across
        ends_per_unit [count]: E, ends that rise together
        ends_per_heddle [count]: ends that one heddle takes; a whole unit when not given
    Returns:
        [count] pattern heddles; those of one unit are rounded up
    Validity: 1 <= ends in a heddle <= E.
    Errors: InputError when a heddle would hold ends of two units.

    Example:
        >>> pattern_heddles(253, 5), pattern_heddles(253, 5, 2)
        (253, 759)

    Source: definition; T. F. Bell, Jacquard Weaving and Designing, 1895, p. 177 (no more than two
        threads in one eye).
    """
    positive(units, "units", "The number of units")
    positive(ends_per_unit, "ends_per_unit", "The ends of a unit")
    if ends_per_heddle is None:
        return units
    positive(ends_per_heddle, "ends_per_heddle", "The ends in a heddle")
    if ends_per_heddle > ends_per_unit:
        raise InputError(
            "ends_per_heddle",
            f"A heddle of {ends_per_heddle} ends would hold more than a unit of {ends_per_unit}.",
            f"Give 1 to {ends_per_unit}, or leave it empty for one heddle to a unit.",
        )
    return units * -(-ends_per_unit // ends_per_heddle)


def cords(units: int, different_columns: int | None = None) -> int:
    """Cords, or pattern shafts, that raise the pattern heddles.

    Equation: cords = units, or the different columns where columns repeat   (F-94)
    Parameters:
        units [count]: pattern units across
        different_columns [count]: columns of the design that are unlike each other, if fewer
    Returns:
        [count] cords
    Validity: 1 <= different columns <= units.
    Errors: InputError when there are more different columns than units.

    Example:
        >>> cords(253), cords(253, 24)
        (253, 24)

    Source: T. F. Bell, Jacquard Weaving and Designing, 1895, p. 9 (one simple cord for every
        vertical line of the draft).
    """
    positive(units, "units", "The number of units")
    if different_columns is None:
        return units
    if not 1 <= different_columns <= units:
        raise InputError(
            "different_columns",
            f"There cannot be {different_columns} different columns in {units} units.",
            "Count the columns of the design that are unlike each other.",
        )
    return different_columns


def harness_mass(units: int, weight_each: float) -> float:
    """Mass that hangs in the pattern harness.

    Equation: mass = units x weight of one   (F-95)
    Parameters:
        units [count]: pattern units, each with one weight
        weight_each [g]: one weight with its heddle
    Returns:
        [g] mass
    Validity: units > 0, weight >= 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> harness_mass(300, 60)
        18000

    Source: definition.
    """
    return positive(units, "units", "The number of units") * not_negative(
        weight_each, "weight_each", "The weight"
    )


def entering_order(units: int, ends_per_unit: int, ground_shafts: int) -> list[tuple[int, ...]]:
    """Order of entering: for each pattern heddle, the ground shafts of its ends in turn.

    Equation: end j lies on shaft (j - 1) mod shafts + 1   (F-96)
    Parameters:
        units [count]: pattern units across
        ends_per_unit [count]: ends on one pattern heddle
        ground_shafts [count]: shafts of the ground weave, entered straight
    Returns:
        [list] the shafts of each unit, first unit first
    Validity: all > 0, at most 1,000,000 ends.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> entering_order(3, 5, 8)
        [(1, 2, 3, 4, 5), (6, 7, 8, 1, 2), (3, 4, 5, 6, 7)]

    Source: T. F. Bell, Jacquard Weaving and Designing, 1895, p. 180 (pattern mails first, then
        the ground heddles in a straight draft).
    """
    positive(units, "units", "The number of units")
    positive(ends_per_unit, "ends_per_unit", "The ends of a unit")
    positive(ground_shafts, "ground_shafts", "The ground shafts")
    if units * ends_per_unit > 1_000_000:
        raise InputError(
            "units", "That is more than a million ends.", "Look for a slip of a digit."
        )
    return [
        tuple((unit * ends_per_unit + end) % ground_shafts + 1 for end in range(ends_per_unit))
        for unit in range(units)
    ]


def units_until_entering_repeats(ends_per_unit: int, ground_shafts: int) -> int:
    """Units after which the entering begins again on the first ground shaft.

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


@dataclass(frozen=True)
class Shortfall:
    """Something the plan needs more of than the loom has."""

    what: str
    needed: float
    there: float


def shortfalls(needed: dict[str, float], there: dict[str, float | None]) -> list[Shortfall]:
    """What a stated loom lacks for a plan; what nobody stated is not judged.

    Equation: short when needed > there   (F-97)
    Parameters:
        needed [any]: what the plan needs, by name
        there [as needed]: what the loom has, by the same names; None where not stated
    Returns:
        [list] every name of which the loom has less than the plan needs
    Validity: like units under like names.
    Errors: none.

    Example:
        >>> shortfalls({"pattern heddles": 253, "cords": 100}, {"pattern heddles": 200})
        [Shortfall(what='pattern heddles', needed=253, there=200)]

    Source: definition.
    """
    return [
        Shortfall(what, amount, have)
        for what, amount in needed.items()
        if (have := there.get(what)) is not None and amount > have
    ]
