"""From own records to the next guess: the fewer records, the more the general guess counts."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.records.chance import t_quantile

INSIDE = 0.8  # low to high is to hold eight cloths in ten
COUNTS_FOR = 0.5  # cloths that the general guess counts for, common practice
FREEDOM = 4  # how firmly its spread is believed, common practice


@dataclass(frozen=True)
class Estimate:
    """A figure for the next cloth, and what stands behind it."""

    range: Range
    records: int
    mean: float | None
    spread: float | None  # standard deviation of the records, from two on
    own_share: float  # how much the own mean counts, 0 to 1


def estimate(guess: Range, records: Sequence[float], counts_for: float = COUNTS_FOR) -> Estimate:
    """Low, likely and high of the next cloth, from a general guess and own records.

    Equation: m = (k m₀ + n x̄) / (k + n); low, high = m ∓ t √(S / ν (1 + 1 / (k + n))), ν = ν₀ + n,
        S = ν₀ σ₀² + Σ (x − x̄)² + k n / (k + n) (x̄ − m₀)²   (F-128, F-129)
    Parameters:
        guess [any]: low, likely, high; low to high taken to hold eight weavers' cloths in ten
        records [as the guess]: what own cloths of the kind came to
        counts_for [cloths]: k, how many cloths the guess counts for
    Returns:
        [Estimate] with no record the guess itself; else a range for eight next cloths in ten
    Validity: cloths of one kind, no trend among them; σ₀ follows from the guess's own width.
    Errors: InputError when the guess has no low and high, or k is not above nought.

    Example:
        >>> found = estimate(Range(0.05, 0.08, 0.12), [0.055])
        >>> round(found.range.likely, 4), round(found.own_share, 2)
        (0.0633, 0.67)

    Source: normal with a normal-inverse-chi-squared prior, K. P. Murphy, Conjugate Bayesian
        Analysis of the Gaussian Distribution, 2007; to shrink towards what others find: B. Efron
        and C. Morris, Stein’s Paradox in Statistics, 1977.
    """
    if guess.low >= guess.high:
        raise InputError(
            "", "To be weighed against records, the guess needs a low and a high.", "5–8–12 %"
        )
    if not 0 < counts_for < 1e6:
        raise InputError("counts_for", "The guess must count for something.", "For example 0.5.")
    n = len(records)
    if not n:
        return Estimate(guess, 0, None, None, 0.0)
    half = (guess.high - guess.low) / 2
    before = half / (t_quantile((1 + INSIDE) / 2, FREEDOM) * sqrt(1 + 1 / counts_for))
    mean = sum(records) / n
    apart = sum((value - mean) ** 2 for value in records)
    pull = counts_for * n / (counts_for + n) * (mean - guess.likely) ** 2
    freedom = FREEDOM + n
    variance = (FREEDOM * before**2 + apart + pull) / freedom
    reach = t_quantile((1 + INSIDE) / 2, freedom) * sqrt(variance * (1 + 1 / (counts_for + n)))
    likely = (counts_for * guess.likely + n * mean) / (counts_for + n)
    return Estimate(
        Range(likely - reach, likely, likely + reach),
        n,
        mean,
        sqrt(apart / (n - 1)) if n > 1 else None,
        n / (counts_for + n),
    )
