"""The pace of weaving: temple moves, warp advances, pirns and hours."""

from calculators.engine.expression import up
from calculators.engine.formula import formula


@formula(
    "F-98",
    "Moves of the temple",
    "weaving-columns",
    validity="the first setting counted",
)
def temple_moves(woven_length: float, temple_step: float) -> int:
    """How often the temple is set along the cloth.

    >>> temple_moves(374.13, 2.2)
    171
    """
    return up(woven_length / temple_step)


@formula(
    "F-98",
    "Advances of the warp",
    "weaving-columns",
    validity="the first stretch counted",
)
def advances(woven_length: float, advance_step: float) -> int:
    """How often the warp is let forward.

    >>> advances(374.13, 5)
    75
    """
    return up(woven_length / advance_step)


@formula(
    "F-99",
    "Pirns",
    "trade-knowledge",
)
def pirns(picks_total: float, picks_per_pirn: float) -> int:
    """Pirns to wind.

    >>> pirns(9054, 180)
    51
    """
    return up(picks_total / picks_per_pirn)


@formula(
    "F-100",
    "Picks from one pirn",
    "trade-knowledge",
)
def picks_per_pirn(yarn_on_pirn: float, reed_width: float, turn_allowance: float) -> float:
    """Picks that the yarn on one pirn gives.

    >>> picks_per_pirn(10_000, 49, 1)
    200.0
    """
    return yarn_on_pirn / (reed_width + turn_allowance)


@formula(
    "F-101",
    "Hours from picks",
    "trade-knowledge",
    gives="hours",
    validity="weaving only, at a mean pace with all its pauses",
)
def weaving_hours(picks_total: float, picks_per_minute: float) -> float:
    """Hours at the loom, at a mean pace with all its pauses.

    >>> weaving_hours(9000, 15)
    10.0
    """
    return picks_total / picks_per_minute / 60


@formula(
    "F-102",
    "Hours from length",
    "lofstad-2023",
    gives="hours",
    validity="weaving only; the museum's re-weaving of a linen damask made 6 to 7 cm an hour",
)
def hours_for_length(woven_length: float, cm_per_hour: float) -> float:
    """Hours at the loom for a length, from a measured pace.

    >>> round(hours_for_length(800, 6.5))
    123
    """
    return woven_length / cm_per_hour
