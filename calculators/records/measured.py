"""Losses from measured lengths, with what the step of the tape leaves open."""

from collections.abc import Callable

from calculators.cloth.size import length_lost
from calculators.engine.expression import root
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.loom.warp import taken_up
from calculators.quantities.checks import not_negative, positive
from calculators.quantities.interval import Range


@formula(
    "F-127",
    "Uncertainty of a loss from the step of the tape",
    "from-memory",
    gives="loss_open",
    where="a step is open by half of itself either way, all of it alike likely; parts add as "
    "squares",
    basis="from memory",
    validity="both lengths read once; a mean of three is better than this says",
)
def loss_open(before: float, after: float, smallest_step: float) -> float:
    """How far low and high lie from a loss between two lengths.

    >>> round(loss_open(35.0, 32.2, 0.1), 5)
    0.00224
    """
    reading = reading_open(smallest_step)
    return 2 * after / before * root((reading / before) ** 2 + (reading / after) ** 2)


@formula(
    "F-127",
    "Uncertainty of a take-up from the step of the tape",
    "from-memory",
    gives="loss_open",
    where="as for a loss, warp and thrums being read apart",
    basis="from memory",
    validity="each read once",
)
def take_up_open(
    warp_length: float, thrums: float, woven_length: float, smallest_step: float
) -> float:
    """How far low and high lie from a measured take-up.

    >>> round(take_up_open(536.6, 140, 374.1, 0.5), 5)
    0.00136
    """
    used, reading = warp_length - thrums, reading_open(smallest_step)
    return 2 * used / woven_length * root(2 * (reading / used) ** 2 + (reading / woven_length) ** 2)


@formula(
    "F-127",
    "Uncertainty of one reading",
    "from-memory",
    where="a step is open by half of itself either way, all of it alike likely",
    basis="from memory",
)
def reading_open(smallest_step: float) -> float:
    """Standard uncertainty of one reading of the tape.

    >>> round(reading_open(0.1), 4)
    0.0289
    """
    return root(smallest_step**2 / 12)


def loss_between(
    before: float,
    after: float,
    step: float,
    field: str = "after",
    lost: Callable[[float, float], float] = length_lost,
) -> Range:
    """Loss from one length to the next, low and high by the step of the tape (F-127).

    >>> loss = loss_between(35.0, 32.2, 0.1)
    >>> round(loss.likely, 3), round(loss.high - loss.low, 4)
    (0.08, 0.0045)
    """
    positive(after, field, "The length after")
    positive(before, field, "The length before")
    loss, open_by = lost(after, before), loss_open(before, after, step)
    return Range(loss - open_by, loss, loss + open_by)


def take_up_measured(warp: float, thrums: float, woven: float, step: float) -> Range:
    """Take-up from the warp wound, the thrums left and the length woven (F-81, then F-127).

    >>> round(take_up_measured(536.6, 140.0, 374.1, 0.5).likely, 3)
    0.06
    """
    positive(woven, "woven_length", "The woven length")
    positive(warp, "warp_length", "The warp")
    if not_negative(thrums, "thrums", "The thrums") >= warp:
        raise InputError(
            "thrums",
            "The thrums are as long as the whole warp.",
            "Give both ends together, and the warp as it was wound.",
        )
    take_up = taken_up(warp, thrums, woven)
    open_by = take_up_open(warp, thrums, woven, step)
    return Range(take_up - open_by, take_up, take_up + open_by)
