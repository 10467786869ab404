"""From own records to the next guess: the fewer records, the more the general guess counts."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from calculators.engine.expression import root
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.records.distributions import t_quantile

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


@formula(
    "F-128",
    "Own figure from few records",
    "murphy-2007",
    "albert-hu",
    where="normal with a normal-inverse-chi-squared prior",
    basis="published",
    validity="cloths of one kind, no trend among them",
)
def next_figure(counts_for: float, general_guess: float, own_cloths: int, own_mean: float) -> float:
    """Figure for the next cloth, between the general guess and the mean of own cloths.

    >>> round(next_figure(0.5, 8, 1, 5.5), 2)
    6.33
    """
    return (counts_for * general_guess + own_cloths * own_mean) / (counts_for + own_cloths)


@formula(
    "F-129",
    "Low and high of the next cloth",
    "murphy-2007",
    where="posterior predictive",
    basis="published",
    validity="cloths of one kind, no trend among them",
)
def next_reach(
    student_t: float,
    guess_freedom: int,
    guess_spread: float,
    own_squares: float,
    counts_for: float,
    own_cloths: int,
    own_mean: float,
    general_guess: float,
) -> float:
    """How far low and high lie from the figure for the next cloth.

    >>> round(next_reach(1.475884, 4, 1.316998, 0, 0.5, 1, 5.5, 8), 2)
    2.56
    """
    squares = off_squares(
        guess_freedom, guess_spread, own_squares, counts_for, own_cloths, own_mean, general_guess
    )
    variance = squares / (guess_freedom + own_cloths)
    return student_t * root(variance * (1 + 1 / (counts_for + own_cloths)))


@formula(
    "F-129",
    "Squares of all that is off",
    "murphy-2007",
    where="posterior scale",
    basis="published",
)
def off_squares(
    guess_freedom: int,
    guess_spread: float,
    own_squares: float,
    counts_for: float,
    own_cloths: int,
    own_mean: float,
    general_guess: float,
) -> float:
    """Squares of what guess and cloths lie apart, by themselves and from each other.

    >>> off_squares(4, 1, 2, 1, 1, 5, 7)
    8.0
    """
    return (
        guess_freedom * guess_spread**2
        + own_squares
        + counts_for * own_cloths / (counts_for + own_cloths) * (own_mean - general_guess) ** 2
    )


@formula(
    "F-129",
    "Spread of the general guess",
    "murphy-2007",
    where="posterior predictive without a cloth, turned round",
    basis="published",
)
def guess_spread(guess_reach: float, student_t: float, counts_for: float) -> float:
    """Spread behind a general guess whose low and high are to hold eight cloths in ten.

    >>> guess_spread(6, 1.5, 1 / 3)
    2.0
    """
    return guess_reach / (student_t * root(1 + 1 / counts_for))


def estimate(guess: Range, records: Sequence[float], counts_for: float = COUNTS_FOR) -> Estimate:
    """Low, likely and high of the next cloth, from a guess and own records (F-128, F-129).

    >>> estimated = estimate(Range(0.05, 0.08, 0.12), [0.055])
    >>> round(estimated.range.likely, 4), round(estimated.own_share, 2)
    (0.0633, 0.67)
    """
    if guess.low >= guess.high:
        raise InputError(
            "", "To be weighed against records, the guess needs a low and a high.", "5–8–12 %"
        )
    if not 0 < counts_for < 1e6:
        raise InputError("counts_for", "The guess must count for something.", "For example 0.5.")
    own_cloths = len(records)
    if not own_cloths:
        return Estimate(guess, 0, None, None, 0.0)
    tail = (1 + INSIDE) / 2
    spread = guess_spread((guess.high - guess.low) / 2, t_quantile(tail, FREEDOM), counts_for)
    mean = sum(records) / own_cloths
    squares = sum((value - mean) ** 2 for value in records)
    likely = next_figure(counts_for, guess.likely, own_cloths, mean)
    reach = next_reach(
        student_t=t_quantile(tail, FREEDOM + own_cloths),
        guess_freedom=FREEDOM,
        guess_spread=spread,
        own_squares=squares,
        counts_for=counts_for,
        own_cloths=own_cloths,
        own_mean=mean,
        general_guess=guess.likely,
    )
    return Estimate(
        Range(likely - reach, likely, likely + reach),
        own_cloths,
        mean,
        sqrt(squares / (own_cloths - 1)) if own_cloths > 1 else None,
        own_cloths / (counts_for + own_cloths),
    )
