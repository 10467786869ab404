"""Winding the warp: threads in hand, passes, crosses, bouts, and spreading the groups."""

from itertools import groupby, zip_longest

from calculators.engine.expression import up
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.sharing import shared_evenly


@formula(
    "F-87",
    "Passes, each of one direction",
    "trade-knowledge",
)
def passes(ends: int, threads_in_hand: int) -> int:
    """Times the threads in hand go from one end of the warp to the other.

    >>> passes(1273, 2)
    637
    """
    return up(ends / threads_in_hand)


@formula(
    "F-105",
    "Loops, there and back",
    "swedish-winding",
    validity="the last may go one way only",
)
def loops(ends: int, threads_in_hand: int) -> int:
    """Loops of the warp, there and back: the groups that stay together when it is spread.

    >>> loops(444, 2)
    111
    """
    return up(ends / (2 * threads_in_hand))


@formula(
    "F-88",
    "Cross groups to a unit",
    "trade-knowledge",
    validity="whole when the cross can be taken unit by unit",
)
def groups_per_unit(ends_per_unit: int, threads_in_hand: int) -> float:
    """Cross groups that make one pattern unit.

    >>> groups_per_unit(6, 2)
    3.0
    """
    return ends_per_unit / threads_in_hand


@formula(
    "F-89",
    "Bouts",
    "trade-knowledge",
    validity="the last may be smaller",
)
def bouts(ends: int, bout_ends: int) -> int:
    """Bouts into which the warp is tied off.

    >>> bouts(1273, 100)
    13
    """
    return up(ends / bout_ends)


@formula(
    "F-90",
    "Turns",
    "woodhouse-1921",
    where="chapter XIII",
    basis="published",
)
def turns(warp_length: float, circumference: float) -> float:
    """Turns of the reel or mill for the warp's length.

    >>> turns(600, 200)
    3.0
    """
    return warp_length / circumference


@formula(
    "F-91",
    "Way of the hand",
    "trade-knowledge",
)
def walked(passes: int, warp_length: float) -> float:
    """Way the hand goes while winding.

    >>> walked(637, 500) / 100
    3185.0
    """
    return passes * warp_length


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
    return shared_evenly(groups, spaces, centred=True)


def in_words(shares: tuple[int, ...]) -> str:
    """Write a spread as a short order to count along.

    Equation: runs of equal numbers, each told once; two runs that come again, so many times
    Parameters:
        shares [count]: groups in each space, from one edge to the other
    Returns:
        [text] the order
    Validity: any spread.
    Errors: none.

    Example:
        >>> in_words((1, 1, 2, 1, 1))
        '2 of 1, 1 of 2, 2 of 1'
        >>> in_words((1, 2, 1, 2, 1, 2, 2))
        '2 times (1 of 1, 1 of 2), 1 of 1, 2 of 2'

    Source: definition.
    """
    runs = [f"{len(list(run))} of {share}" for share, run in groupby(shares)]
    told: list[str] = []
    for pair, alike in groupby(zip_longest(runs[::2], runs[1::2])):
        times, words = len(list(alike)), ", ".join(filter(None, pair))
        told.append(f"{times} times ({words})" if times > 1 else words)
    return ", ".join(told)
