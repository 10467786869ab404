"""Losses from measured lengths, with what the step of the tape leaves open."""

from math import sqrt

from calculators.errors import InputError
from calculators.quantities.checks import not_negative, positive
from calculators.quantities.interval import Range


def loss_between(before: float, after: float, step: float, field: str = "after") -> Range:
    """Loss from one length to the next, with its uncertainty.

    Equation: loss = 1 − after / before, low and high 2 u apart from it,
        u = after / before √((s / before)² + (s / after)²), s = step / √12   (F-127)
    Parameters:
        before [cm]: the earlier length
        after [cm]: the later length between the same marks
        step [cm]: smallest step that was read
        field [text]: where an error is shown
    Returns:
        [fraction] below nought where the cloth grew
    Validity: both lengths read once; a mean of three is better than this says.
    Errors: InputError when a length is not above nought.

    Example:
        >>> found = loss_between(35.0, 32.2, 0.1)
        >>> round(found.likely, 3), round(found.high - found.low, 4)
        (0.08, 0.0045)

    Source: definition; the uncertainty from memory: a step is open by half of itself either way,
        all alike likely, and parts that do not hang together add as squares.
    """
    ratio = positive(after, field, "The length after") / positive(
        before, field, "The length before"
    )
    reading = not_negative(step, "step", "The step of the tape") / sqrt(12)
    open_by = 2 * ratio * sqrt((reading / before) ** 2 + (reading / after) ** 2)
    return Range(1 - ratio - open_by, 1 - ratio, 1 - ratio + open_by)


def take_up_measured(warp: float, thrums: float, woven: float, step: float) -> Range:
    """Take-up from the warp wound, the thrums left and the length woven.

    Equation: t = (warp − thrums) / woven − 1, with u as in loss_between   (F-81, F-127)
    Parameters:
        warp [cm]: length wound
        thrums [cm]: both ends together
        woven [cm]: length woven, measured slack
        step [cm]: smallest step that was read
    Returns:
        [fraction] of the woven length, low, likely and high
    Validity: nothing was cut off besides the thrums.
    Errors: InputError when the thrums are as long as the warp, or nothing was woven.

    Example:
        >>> round(take_up_measured(536.6, 140.0, 374.1, 0.5).likely, 3)
        0.06

    Source: F-81 solved for the take-up; the uncertainty from memory.
    """
    positive(woven, "woven_length", "The woven length")
    used = positive(warp, "warp_length", "The warp") - not_negative(thrums, "thrums", "The thrums")
    if used <= 0:
        raise InputError(
            "thrums",
            "The thrums are as long as the whole warp.",
            "Give both ends together, and the warp as it was wound.",
        )
    reading = not_negative(step, "step", "The step of the tape") / sqrt(12)
    ratio = used / woven
    open_by = 2 * ratio * sqrt(2 * (reading / used) ** 2 + (reading / woven) ** 2)
    return Range(ratio - 1 - open_by, ratio - 1, ratio - 1 + open_by)
