"""What a cloth costs to make, in whatever money the weaver counts."""

from calculators.engine.formula import formula


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


@formula(
    "F-104",
    "Total",
    "trade-knowledge",
    gives="total_cost",
)
def total_cost(yarn_cost: float, labour: float, other_costs: float, overhead: float) -> float:
    """Cost of a job: yarn, hours, other lines, and a share for rent and wear.

    >>> round(total_cost(50, 800, 15, 0.1), 2)
    951.5
    """
    return (yarn_cost + labour + other_costs) * (1 + overhead)


@formula(
    "F-104",
    "All the hours",
    "trade-knowledge",
)
def all_hours(preparing_hours: float, weaving_hours: float, finishing_hours: float) -> float:
    """Hours of a job, not those of weaving only.

    >>> all_hours(22, 30, 6)
    58
    """
    return preparing_hours + weaving_hours + finishing_hours


@formula(
    "F-104",
    "Hours paid",
    "trade-knowledge",
)
def labour(all_hours: float, rate: float) -> float:
    """What the hours cost.

    >>> labour(58, 18)
    1044
    """
    return all_hours * rate


@formula(
    "F-104",
    "Rent, tools and light",
    "trade-knowledge",
)
def overhead_cost(yarn_cost: float, labour: float, other_costs: float, overhead: float) -> float:
    """Share of the cost that goes for rent, tools and light.

    >>> overhead_cost(50, 800, 15, 0.1)
    86.5
    """
    return (yarn_cost + labour + other_costs) * overhead


@formula(
    "F-104",
    "For each piece",
    "trade-knowledge",
)
def cost_per_piece(total_cost: float, pieces: int) -> float:
    """Cost of each piece of a job.

    >>> round(cost_per_piece(951.5, 6), 2)
    158.58
    """
    return total_cost / pieces
