"""Winding the warp: threads in hand, passes, crosses, bouts, and spreading the groups."""

from itertools import groupby

from calculators.errors import InputError
from calculators.quantities.checks import positive
from calculators.quantities.format import round_up
from calculators.quantities.spread import spread_evenly


def passes(ends: int, threads_in_hand: int) -> int:
    """Times the threads in hand go from one end of the warp to the other.

    Equation: passes = up(ends / threads)   (F-87)
    Parameters:
        ends [count]: ends in all
        threads_in_hand [count]: threads carried together
    Returns:
        [count] passes, each of one direction; rounded up
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> passes(1273, 2)
        637

    Source: definition.
    """
    positive(ends, "ends", "The number of ends")
    return int(
        round_up(ends / positive(threads_in_hand, "threads_in_hand", "The threads in hand")).value
    )


def loops(ends: int, threads_in_hand: int) -> int:
    """Loops of the warp, there and back: the groups that stay together when it is spread.

    Equation: loops = up(ends / (2 threads))   (F-105)
    Parameters:
        ends [count]: ends in all
        threads_in_hand [count]: threads carried together
    Returns:
        [count] loops, the last perhaps of one direction only; rounded up
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> loops(444, 2)
        111

    Source: Swedish note on winding in groups and pre-sleying, 2010 (the partners of a loop are kept
        together).
    """
    return passes(ends, 2 * threads_in_hand)


def groups_per_unit(ends_per_unit: int, threads_in_hand: int) -> float:
    """Cross groups that make one pattern unit.

    Equation: groups = E / threads   (F-88)
    Parameters:
        ends_per_unit [count]: ends on one pattern heddle
        threads_in_hand [count]: threads that lie together in the cross
    Returns:
        [count] groups, whole when the cross can be taken unit by unit
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> groups_per_unit(6, 2)
        3.0

    Source: definition.
    """
    return positive(ends_per_unit, "ends_per_unit", "The ends of a unit") / positive(
        threads_in_hand, "threads_in_hand", "The threads in hand"
    )


def bouts(ends: int, bout_ends: int) -> int:
    """Bouts into which the warp is tied off.

    Equation: bouts = up(ends / ends of a bout)   (F-89)
    Parameters:
        ends [count]: ends in all
        bout_ends [count]: ends of a full bout
    Returns:
        [count] bouts, the last perhaps smaller; rounded up
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> bouts(1273, 100)
        13

    Source: definition.
    """
    positive(ends, "ends", "The number of ends")
    return int(round_up(ends / positive(bout_ends, "bout_ends", "The ends of a bout")).value)


def turns(warp_length: float, circumference: float) -> float:
    """Turns of the reel or mill for the warp's length.

    Equation: turns = warp length / circumference   (F-90)
    Parameters:
        warp_length [cm]: length of every end
        circumference [cm]: once round the reel, or once up and down the pegs
    Returns:
        [count] turns of one pass
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> turns(600, 200)
        3.0

    Source: T. Woodhouse and P. Kilgour, The Jute Industry, 1921, chapter XIII (length = rounds x
        circumference of the mill).
    """
    return positive(warp_length, "warp_length", "The warp's length") / positive(
        circumference, "circumference", "The circumference"
    )


def walked(passes: int, warp_length: float) -> float:
    """Way the hand goes while winding.

    Equation: way = passes x warp length   (F-91)
    Parameters:
        passes [count]: passes, each of one direction
        warp_length [cm]: length of every end
    Returns:
        [cm] way
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> walked(637, 500) / 100
        3185.0

    Source: definition.
    """
    return positive(passes, "ends", "The number of passes") * positive(
        warp_length, "warp_length", "The warp's length"
    )


def spread_groups(groups: int, spaces: int) -> tuple[int, ...]:
    """How many groups go into each space of a raddle, or into each dent, for an even spread.

    Equation: F-92, centred: no two spaces differ by more than one, the extras alike from both edges
    Parameters:
        groups [count]: groups of the warp
        spaces [count]: spaces of the raddle, or dents of the reed, over the width
    Returns:
        [count] groups in each space, from one edge to the other
    Validity: 1 <= spaces <= 100,000.
    Errors: InputError when there is nothing to spread.

    Example:
        >>> spread_groups(7, 5)
        (1, 2, 1, 2, 1)

    Source: definition; the case of 111 groups over 210 dents is from a Swedish note on winding in
        groups and pre-sleying, 2010.
    """
    if groups < 1:
        raise InputError("ends", "There is no group to spread.", "Give at least one end.")
    return spread_evenly(groups, spaces, centred=True)


def in_words(shares: tuple[int, ...]) -> str:
    """Write a spread as a short order to count along.

    Equation: runs of equal numbers, each told once
    Parameters:
        shares [count]: groups in each space, from one edge to the other
    Returns:
        [text] the order
    Validity: any spread.
    Errors: none.

    Example:
        >>> in_words((1, 1, 2, 1, 1))
        '2 × 1, 1 × 2, 2 × 1'

    Source: definition.
    """
    return ", ".join(f"{len(list(run))} × {share}" for share, run in groupby(shares))
