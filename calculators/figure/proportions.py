"""A picture in its true proportions on a cloth whose units are not square."""

from calculators.engine.expression import nearest
from calculators.engine.formula import formula


@formula(
    "F-190",
    "Rows of units for a picture in its true proportions",
    "exact-arithmetic",
    gives="units_up",
    validity="to the nearest whole, once",
)
def rows_for_picture(
    units_across: float,
    points_across: float,
    points_up: float,
    unit_width: float,
    unit_height: float,
) -> int:
    """Rows of units that a picture so many units wide takes, neither stretched nor squeezed.

    >>> rows_for_picture(160, 2000, 1500, 0.2, 0.18)
    133
    """
    return nearest(units_across * unit_width * (points_up / points_across) / unit_height)
