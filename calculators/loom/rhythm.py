"""The pace of weaving: temple moves, warp advances, pirns and hours."""

from calculators.quantities.checks import positive
from calculators.quantities.format import round_up


def moves(woven_length: float, step: float, field: str = "temple_step") -> int:
    """How often something moves forward along the cloth: the temple, or the warp.

    Equation: moves = up(woven length / step)   (F-98)
    Parameters:
        woven_length [cm]: length on the loom
        step [cm]: woven length between two moves
        field [text]: the step's field, to name in an error
    Returns:
        [count] moves, the first setting counted; rounded up
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> moves(374.13, 2.2)
        171

    Source: definition.
    """
    woven = positive(woven_length, "woven_length", "The woven length")
    return int(round_up(woven / positive(step, field, "The step")).value)


def pirns(picks_total: float, picks_per_pirn: float) -> int:
    """Pirns to wind.

    Equation: pirns = up(picks / picks of one pirn)   (F-99)
    Parameters:
        picks_total [count]: picks in all
        picks_per_pirn [count]: picks that one full pirn gives
    Returns:
        [count] pirns; rounded up
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> pirns(9054, 180)
        51

    Source: definition.
    """
    total = positive(picks_total, "picks", "The number of picks")
    return int(
        round_up(total / positive(picks_per_pirn, "picks_per_pirn", "The picks of a pirn")).value
    )


def picks_per_pirn(yarn_on_pirn: float, pick_length: float) -> float:
    """Picks that the yarn on one pirn gives.

    Equation: picks = yarn / length of a pick   (F-100)
    Parameters:
        yarn_on_pirn [cm]: yarn wound on a full pirn
        pick_length [cm]: reed width and turn allowance
    Returns:
        [count] picks
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> picks_per_pirn(10_000, 50)
        200.0

    Source: definition.
    """
    return positive(yarn_on_pirn, "yarn_on_pirn", "The yarn on a pirn") / positive(
        pick_length, "reed_width", "The pick's length"
    )


def weaving_hours(picks_total: float, picks_per_minute: float) -> float:
    """Hours at the loom, at a mean pace with all its pauses.

    Equation: hours = picks / picks per minute / 60   (F-101)
    Parameters:
        picks_total [count]: picks in all
        picks_per_minute [1/min]: your own mean pace, pauses included
    Returns:
        [hours] weaving only
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> weaving_hours(9000, 15)
        10.0

    Source: definition.
    """
    total = positive(picks_total, "picks", "The number of picks")
    return total / positive(picks_per_minute, "picks_per_minute", "The pace") / 60


def hours_for_length(woven_length: float, cm_per_hour: float) -> float:
    """Hours at the loom for a length, from a measured pace.

    Equation: hours = length / pace   (F-102)
    Parameters:
        woven_length [cm]: length on the loom
        cm_per_hour [cm/h]: length woven in an hour
    Returns:
        [hours] weaving only
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(hours_for_length(800, 6.5))
        123

    Source: definition; the pace of 6 to 7 cm an hour is the Löfstad museum's re-weaving of a linen
        damask.
    """
    return positive(woven_length, "woven_length", "The woven length") / positive(
        cm_per_hour, "cm_per_hour", "The pace"
    )
