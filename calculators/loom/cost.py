"""What a cloth costs to make, in whatever money the weaver counts."""

from collections.abc import Sequence
from dataclasses import dataclass

from calculators.engine.formula import formula
from calculators.quantities.checks import not_negative, positive


@dataclass(frozen=True)
class Cost:
    """What a job costs: its parts, their sum, and the sum for each piece."""

    yarn: float
    labour: float
    other: float
    overhead: float
    total: float
    per_piece: float


@formula(
    "F-103",
    "Cost of yarn",
    "trade-knowledge",
)
def yarn_cost(yarn_mass: float, yarn_price: float) -> float:
    """Cost of yarn by its mass.

    >>> yarn_cost(1250, 40)
    50.0
    """
    return yarn_mass * yarn_price / 1000


def job_cost(
    yarn: float,
    hours: float,
    rate: float,
    other: Sequence[float] = (),
    overhead_share: float = 0.0,
    pieces: int = 1,
) -> Cost:
    """Cost of a job: yarn, hours, other lines, and a share for rent and wear.

    Equation: total = (yarn + hours x rate + other)(1 + overhead)   (F-104)
    Parameters:
        yarn [money]: all the yarn, waste included
        hours [hours]: all the hours, not those of weaving only
        rate [money/h]: what an hour is to bring
        other [money]: any other lines
        overhead_share [fraction]: rent, tools and light as a share of the rest
        pieces [count]: pieces the job makes
    Returns:
        [money] the parts, the total and the total for each piece
    Validity: all >= 0, at least one piece.
    Errors: InputError when a figure is below nought.

    Example:
        >>> job_cost(50, 40, 20, [10, 5], 0.1, 6).per_piece
        158.58333333333334

    Source: definition.
    """
    not_negative(yarn, "yarn_price", "The cost of yarn")
    labour = not_negative(hours, "weaving_hours", "The hours") * not_negative(
        rate, "rate", "The rate"
    )
    lines = sum(not_negative(line, "other", "Every other line") for line in other)
    before = yarn + labour + lines
    extra = before * not_negative(overhead_share, "overhead", "The overhead")
    total = before + extra
    return Cost(
        yarn,
        labour,
        lines,
        extra,
        total,
        total / positive(pieces, "pieces", "The number of pieces"),
    )
