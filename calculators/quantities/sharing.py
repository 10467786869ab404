"""Whole things shared out evenly: ends over dents, groups over spaces, picks over units."""

from itertools import pairwise

from calculators.errors import InputError


def shared_evenly(total: int, places: int, centred: bool = False) -> tuple[int, ...]:
    """Share whole things over whole places so that no two places differ by more than one.

    Equation: n_i = floor((i + 1) t / n + c) - floor(i t / n + c), c = 0, or 1/2 when centred
    Parameters:
        total [count]: things to share
        places [count]: places to put them in
        centred [yes or no]: keep the extras alike from both edges, not up to the last place
    Returns:
        [count] how many go to each place, in order
    Validity: total >= 0, 1 <= places <= 100,000.
    Errors: InputError when there is no place, or too many.

    Example:
        >>> shared_evenly(9, 2), shared_evenly(7, 5, centred=True)
        ((4, 5), (1, 2, 1, 2, 1))

    Source: J. E. Bresenham, IBM Systems Journal 4 (1965), his line on a grid (from memory).
    """
    if total < 0 or not 1 <= places <= 100_000:
        raise InputError("spaces", f"{total} cannot be spread over {places} places.", "")
    shift = places if centred else 0
    marks = [(2 * i * total + shift) // (2 * places) for i in range(places + 1)]
    return tuple(after - before for before, after in pairwise(marks))
