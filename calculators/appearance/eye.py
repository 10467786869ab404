"""What an eye still reads at a distance."""

from calculators.engine.expression import up
from calculators.engine.formula import formula

MINUTES = 3437.75  # of arc to the angle whose arc is as long as its radius: 10,800 ÷ π


@formula(
    "F-205",
    "Smallest detail that an eye parts",
    "iso-8596",
    gives="detail",
    where="clauses 3 and 4: acuity 1 sees a gap of one minute of arc; acuity is 1 divided by the "
    "gap in minutes. A minute is 1 in 3,437.75 of the distance",
    basis="published",
    validity="black on white in good light; a faint figure must be larger",
)
def detail(viewing_distance: float, acuity: float) -> float:
    """Smallest detail, in mm, that an eye of such acuity parts at a distance in cm.

    >>> round(detail(600, 1), 3)  # the gap of a ring on the chart at six metres
    1.745
    """
    return 10 * viewing_distance / (MINUTES * acuity)


@formula(
    "F-206",
    "Smallest stroke that is read, in units",
    "exact-arithmetic",
    gives="stroke_units",
    where="whole units, as wide as the smallest detail or wider",
)
def stroke_units(detail: float, unit_width: float) -> int:
    """Units that an upright stroke needs to be read, where a unit is so wide in cm.

    >>> stroke_units(3.5, 0.32), stroke_units(1.2, 0.32)
    (2, 1)
    """
    return up(detail / (10 * unit_width))


@formula("F-207", "Smallest stroke that is read", "exact-arithmetic")
def stroke(stroke_units: int, unit_width: float) -> float:
    """Width, in mm, of the smallest stroke that is read.

    >>> round(stroke(2, 0.32), 9)
    6.4
    """
    return 10 * stroke_units * unit_width


@formula(
    "F-208",
    "Contrast of figure and ground",
    "exact-arithmetic",
    gives="light_contrast",
    where="definition: the luminance of the brighter by that of the darker; 1 is no figure at all",
)
def contrast(brighter: float, darker: float) -> float:
    """How many times as bright as the darker the brighter of figure and ground is.

    >>> contrast(0.6, 0.4) > 1.4
    True
    """
    return brighter / darker
