"""How thick a yarn is, by each published rule.

The rules differ, because a yarn has no edge: each says how many threads lie side by side in an
inch, pressed as its author pressed them.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

from calculators.quantities import units
from calculators.quantities.interval import Range
from calculators.yarn.systems import count_of
from calculators.yarn.yarn import yards_per_pound

ASHENHURST_FIRM = 0.9
ASHENHURST_SOFT = 0.84
TAYLOR_COTTON = 0.95
PEIRCE = 28.0
WRAPS_SHARE = 0.7


@dataclass(frozen=True)
class DiameterRule:
    """One rule's answer for one yarn."""

    rule: str
    per_inch: float
    millimetres: float
    source: str
    basis: str


@lru_cache(maxsize=1024)
def diameters_per_inch_ashenhurst(tex: float, firm: bool = True) -> float:
    """Threads that lie side by side in an inch, by Ashenhurst.

    Equation: D = c √(yd/lb), c = 0.9 firm, 0.84 soft   (F-8)
    Parameters:
        tex [tex]: linear density
        firm [yes or no]: firm yarn (cotton, worsted) or soft (woollen)
    Returns:
        [1/inch] diameters in one inch
    Validity: spun yarns; the coefficient is the author's, for yarns of his day.
    Errors: InputError when tex is not above zero.

    Example:
        >>> round(diameters_per_inch_ashenhurst(147.635), 1)  # cotton 8/2
        52.2

    Source: ‘Ashenhurst’s formula’, web note of 1999 (52 for cotton 8/2); his book was not read.
    """
    return (ASHENHURST_FIRM if firm else ASHENHURST_SOFT) * sqrt(yards_per_pound(tex))


def diameters_per_inch_taylor(tex: float) -> float:
    """Threads that lie side by side in an inch, by Taylor, for cotton.

    Equation: D = 0.95 √(yd/lb)   (F-9)
    Parameters:
        tex [tex]: linear density
    Returns:
        [1/inch] diameters in one inch
    Validity: cotton yarns.
    Errors: InputError when tex is not above zero.

    Example:
        >>> round(diameters_per_inch_taylor(18.4544), 0)  # cotton 32s
        156.0

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition, page 458 of the web edition.
    """
    return TAYLOR_COTTON * sqrt(yards_per_pound(tex))


def diameters_per_inch_peirce(tex: float) -> float:
    """Threads that lie side by side in an inch, by Peirce, for cotton.

    Equation: D = 28 √Ne   (F-10)
    Parameters:
        tex [tex]: linear density
    Returns:
        [1/inch] diameters in one inch
    Validity: cotton yarns that fill 1.1 cm³ for each gram.
    Errors: InputError when tex is not above zero.

    Example:
        >>> round(diameters_per_inch_peirce(590.541247448), 6)  # cotton 1s
        28.0

    Source: F. T. Peirce, The Geometry of Cloth Structure, 1937 – from memory.
    """
    return PEIRCE * sqrt(count_of(tex, "cotton"))


def diameter_rules(tex: float) -> tuple[DiameterRule, ...]:
    """Every rule's answer for one yarn, the softest first.

    Equation: d = 25.4 ÷ D, D by F-8, F-9 and F-10   (F-11)
    Parameters:
        tex [tex]: linear density
    Returns:
        [rows] rule, diameters in an inch, diameter in mm, source, basis
    Validity: as for each rule.
    Errors: InputError when tex is not above zero.

    Example:
        >>> [round(row.per_inch, 1) for row in diameter_rules(147.635)]
        [48.7, 52.2, 55.1, 56.0]

    Source: as for each rule.
    """
    rows = (
        (
            "Ashenhurst, soft yarn",
            diameters_per_inch_ashenhurst(tex, firm=False),
            "ashenhurst-note",
            "published",
        ),
        (
            "Ashenhurst, firm yarn",
            diameters_per_inch_ashenhurst(tex),
            "ashenhurst-note",
            "published",
        ),
        ("Taylor, cotton", diameters_per_inch_taylor(tex), "taylor-1909", "published"),
        ("Peirce, cotton", diameters_per_inch_peirce(tex), "peirce-1937", "from memory"),
    )
    return tuple(
        DiameterRule(rule, per_inch, float(units.INCH_CM) * 10 / per_inch, source, basis)
        for rule, per_inch, source, basis in rows
    )


def diameters_per_inch(tex: float) -> Range:
    """Threads that lie side by side in an inch, with the spread of the published rules.

    Equation: low and high over F-8, F-9, F-10; likely by F-8 for a firm yarn
    Parameters:
        tex [tex]: linear density
    Returns:
        [1/inch] low, likely and high
    Validity: spun yarns.
    Errors: InputError when tex is not above zero.

    Example:
        >>> round(diameters_per_inch(147.635).likely, 1)
        52.2

    Source: as for each rule.
    """
    found = [row.per_inch for row in diameter_rules(tex)]
    return Range(min(found), diameters_per_inch_ashenhurst(tex), max(found))


def diameter_range(tex: float) -> Range:
    """Diameter of a yarn, with the spread of the published rules.

    Equation: d = 25.4 ÷ D   (F-11)
    Parameters:
        tex [tex]: linear density
    Returns:
        [mm] low, likely and high
    Validity: spun yarns.
    Errors: InputError when tex is not above zero.

    Example:
        >>> round(diameter_range(147.635).likely, 3)
        0.487

    Source: as for each rule.
    """
    inch = float(units.INCH_CM) * 10
    spread = diameters_per_inch(tex)
    return Range(inch / spread.high, inch / spread.likely, inch / spread.low)


def diameter_mm(tex: float) -> float:
    """Diameter of a yarn by Ashenhurst's rule for a firm one.

    Equation: d = 25.4 ÷ D   (F-11)
    Parameters:
        tex [tex]: linear density
    Returns:
        [mm] diameter
    Validity: spun yarns.
    Errors: InputError when tex is not above zero.

    Example:
        >>> round(diameter_mm(73.8177), 3)  # cotton 16/2
        0.344

    Source: ‘Ashenhurst’s formula’, web note of 1999; his book was not read.
    """
    return diameter_range(tex).likely


def ruler_wraps(tex: float) -> float:
    """Wraps in an inch of a ruler, laid touching but not pressed.

    Equation: wraps = 0.7 D, D by F-8 for a firm yarn   (F-12)
    Parameters:
        tex [tex]: linear density
    Returns:
        [1/inch] wraps
    Validity: a rough guide; wraps depend on the hand that winds them.
    Errors: InputError when tex is not above zero.

    Example:
        >>> round(ruler_wraps(147.635), 0)
        37.0

    Source: P. Osterkamp, weaving tip of January 2004 (ten wraps give a plain sett of seven).
    """
    return WRAPS_SHARE * diameters_per_inch_ashenhurst(tex)
