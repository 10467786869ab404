"""A figure that is not known exactly: low, likely and high."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product


@dataclass(frozen=True)
class Range:
    """Low, likely and high of one figure; a known figure has all three alike."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"not in order: {self.low}, {self.likely}, {self.high}")

    @classmethod
    def exactly(cls, value: float) -> "Range":
        """Return a range of no width."""
        return cls(value, value, value)

    @property
    def is_exact(self) -> bool:
        """Whether low and high are the same figure."""
        return self.low == self.high


def over_ranges(formula: Callable[..., float], **factors: Range) -> Range:
    """Range of a formula that rises or falls steadily with each of its factors.

    Equation: low, high = extremes of f over the corners of the box of factors
    Parameters:
        formula [function]: monotone in every factor, called by keyword
        factors [any]: the range of each factor, in the formula's own units
    Returns:
        [formula's unit] low, likely and high
    Validity: exact for a formula monotone in each factor while the others stand still.
    Errors: whatever the formula raises.

    Example:
        >>> over_ranges(lambda a, b: a - b, a=Range(4, 5, 6), b=Range(1, 2, 3))
        Range(low=1, likely=3, high=5)

    Source: interval arithmetic on monotone functions (R. E. Moore, Interval Analysis, 1966;
        from memory).
    """
    likely = formula(**{name: factor.likely for name, factor in factors.items()})
    ends = [{factor.low, factor.high} for factor in factors.values()]
    corners = [formula(**dict(zip(factors, corner, strict=True))) for corner in product(*ends)]
    return Range(min(likely, *corners), likely, max(likely, *corners))
