"""Two distributions: the normal one and Student's, each with its way back."""

from collections.abc import Callable
from math import atan, cos, erfc, pi, sin, sqrt

from calculators.engine.formula import formula
from calculators.errors import InputError


def normal_share(z: float) -> float:
    """Share of a normal distribution below a value.

    Equation: Φ(z) = erfc(−z / √2) / 2   (F-131)
    Parameters:
        z [standard deviations]: how far from the mean
    Returns:
        [ratio] from 0 to 1
    Validity: any z.
    Errors: none.

    Example:
        >>> normal_share(0.0), round(normal_share(1.645), 3)
        (0.5, 0.95)

    Source: definition of the complementary error function.
    """
    return erfc(-z / sqrt(2)) / 2


def normal_quantile(share: float) -> float:
    """Value below which a share of a normal distribution lies.

    Equation: Φ(z) = share, found by halving   (F-132)
    Parameters:
        share [ratio]: above 0, below 1
    Returns:
        [standard deviations] z
    Validity: shares from 1e-9 to 1 − 1e-9.
    Errors: InputError when the share is out of reach.

    Example:
        >>> round(normal_quantile(0.9), 4)
        1.2816

    Source: definition.
    """
    return _inverse(normal_share, share)


def t_share(t: float, freedom: int) -> float:
    """Share of Student's distribution below a value.

    Equation: with θ = arctan(t / √ν): odd ν, A = 2/π (θ + sin θ (cos θ + 2/3 cos³ θ + …));
        even ν, A = sin θ (1 + 1/2 cos² θ + 1·3/(2·4) cos⁴ θ + …); share = (1 + A) / 2   (F-130)
    Parameters:
        t [ratio]: distance from the mean in standard errors
        freedom [count]: ν, degrees of freedom
    Returns:
        [ratio] from 0 to 1
    Validity: whole ν of at least 1.
    Errors: InputError when there is no degree of freedom.

    Example:
        >>> round(t_share(2.776445, 4), 6)
        0.975

    Source: S. L. Moshier, Cephes Mathematical Library, function stdtr, whole degrees of freedom.
    """
    if freedom < 1:
        raise InputError("records", "There are no degrees of freedom.", "Give one record at least.")
    angle = atan(t / sqrt(freedom))
    odd = freedom % 2
    term = total = (cos(angle) if odd else 1.0) if freedom > 1 else 0.0
    for step in range(3 if odd else 2, freedom - 1, 2):
        term *= cos(angle) ** 2 * ((step - 1) / step)
        total += term
    inside = 2 / pi * (angle + sin(angle) * total) if odd else sin(angle) * total
    return (1 + inside) / 2


@formula(
    "F-130",
    "Student’s t",
    "cephes",
    gives="student_t",
    where="the series for whole degrees of freedom, of the angle whose tangent is t ÷ √ν; the "
    "share is turned round by halving",
    basis="published",
    validity="shares from 1e-6 to 1 − 1e-6, whole degrees of freedom",
    words="distance from the mean, in standard errors, below which such a share of the cloths lies",
)
def t_quantile(share_below: float, freedom: int) -> float:
    """Value below which a share of Student's distribution lies.

    >>> [round(t_quantile(0.975, freedom), 2) for freedom in (3, 4, 5, 6, 10)]
    [3.18, 2.78, 2.57, 2.45, 2.23]
    """
    return _inverse(lambda t: t_share(t, freedom), share_below)


def _inverse(rising: Callable[[float], float], share: float) -> float:
    if not 0 < share < 1:
        raise InputError("chance", "A chance lies between 0 % and 100 %.", "For example 5 %.")
    low, high = -1.0, 1.0
    while rising(low) > share and low > -1e9:
        low *= 2
    while rising(high) < share and high < 1e9:
        high *= 2
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < share else (low, middle)
    return (low + high) / 2
