"""How thick a yarn is, by each published rule.

The rules differ, because a yarn has no edge: each says how many threads lie side by side in an
inch, pressed as its author pressed them.
"""

from dataclasses import dataclass

from calculators.engine.expression import root
from calculators.engine.formula import BOOK, formula, unlogged
from calculators.quantities import units
from calculators.quantities.interval import Range
from calculators.yarn.systems import count_of
from calculators.yarn.yarn import yards_per_pound

ASHENHURST_FIRM = 0.9
ASHENHURST_SOFT = 0.84
TAYLOR_COTTON = 0.95
PEIRCE = 28.0
WRAPS_SHARE = 0.7
INCH_MM = 10 * float(units.INCH_CM)


@dataclass(frozen=True)
class DiameterRule:
    """One rule's answer for one yarn."""

    rule: str
    per_inch: float
    millimetres: float
    source: str
    basis: str


@formula(
    "F-8",
    "Diameters in an inch, Ashenhurst",
    "ashenhurst-note",
    gives="diameters_per_inch",
    where="formulas and the example of cotton 8/2; his book was not read",
    basis="published",
    validity="spun yarns; the coefficient is the author’s, for yarns of his day",
)
def ashenhurst(coefficient: float, tex: float) -> float:
    """Threads that lie side by side in an inch, by Ashenhurst.

    >>> round(ashenhurst(0.9, 147.635), 1)  # cotton 8/2
    52.2
    """
    return coefficient * root(yards_per_pound(tex))


def diameters_per_inch_ashenhurst(tex: float, firm: bool = True) -> float:
    """Threads side by side in an inch, by Ashenhurst for firm yarn (cotton, worsted) or soft (F-8).

    >>> round(diameters_per_inch_ashenhurst(147.635), 1)  # cotton 8/2
    52.2
    """
    return ashenhurst(ASHENHURST_FIRM if firm else ASHENHURST_SOFT, tex)


@formula(
    "F-9",
    "Diameters in an inch, Taylor, cotton",
    "taylor-1909",
    gives="diameters_per_inch",
    where="page 458 of the web edition; table on p. 335",
    basis="published",
    validity="cotton yarns",
)
def diameters_per_inch_taylor(tex: float) -> float:
    """Threads that lie side by side in an inch, by Taylor, for cotton.

    >>> round(diameters_per_inch_taylor(18.4544), 0)  # cotton 32s
    156.0
    """
    return TAYLOR_COTTON * root(yards_per_pound(tex))


@formula(
    "F-10",
    "Diameters in an inch, Peirce, cotton",
    "peirce-1937",
    gives="diameters_per_inch",
    where="paper not read; at 1.1 cm³/g the arithmetic gives 27.93",
    basis="from memory",
    validity="cotton yarns that fill 1.1 cm³ for each gram",
)
def peirce(cotton_count: float) -> float:
    """Threads that lie side by side in an inch, by Peirce, for cotton.

    >>> peirce(4)
    56.0
    """
    return PEIRCE * root(cotton_count)


def diameters_per_inch_peirce(tex: float) -> float:
    """Threads that lie side by side in an inch, by Peirce, for cotton (F-10).

    >>> round(diameters_per_inch_peirce(590.541247448), 6)  # cotton 1s
    28.0
    """
    return peirce(count_of(tex, "cotton"))


@formula(
    "F-11",
    "Diameter of a yarn",
    "yard-pound-1959",
    where="25.4 mm to the inch",
)
def diameter(diameters_per_inch: float) -> float:
    """Diameter of a yarn from the threads that lie side by side in an inch.

    >>> diameter(50.8)
    0.5
    """
    return INCH_MM / diameters_per_inch


@formula(
    "F-12",
    "Wraps round a ruler",
    "osterkamp-2004",
    gives="wraps",
    where="text: ten wraps, a plain sett of seven",
    basis="published",
    validity="a rough guide: wraps depend on the hand that winds them",
)
def wraps_of(diameters_per_inch: float) -> float:
    """Wraps in an inch of a ruler, laid touching but not pressed.

    >>> wraps_of(100)
    70.0
    """
    return WRAPS_SHARE * diameters_per_inch


def diameter_rules(tex: float) -> tuple[DiameterRule, ...]:
    """Every rule's answer for one yarn, the softest first (F-8, F-9, F-10, F-11).

    >>> [round(row.per_inch, 1) for row in diameter_rules(147.635)]
    [48.7, 52.2, 55.1, 56.0]
    """
    rows = (
        ("Ashenhurst, soft yarn", "F-8", diameters_per_inch_ashenhurst(tex, firm=False)),
        ("Ashenhurst, firm yarn", "F-8", diameters_per_inch_ashenhurst(tex)),
        ("Taylor, cotton", "F-9", diameters_per_inch_taylor(tex)),
        ("Peirce, cotton", "F-10", diameters_per_inch_peirce(tex)),
    )
    return tuple(
        DiameterRule(
            rule, per_inch, diameter(per_inch), BOOK[number][0].sources[0], BOOK[number][0].basis
        )
        for rule, number, per_inch in rows
    )


def diameters_per_inch(tex: float) -> Range:
    """Threads side by side in an inch: a firm yarn's, with the spread of all the rules (F-8).

    >>> round(diameters_per_inch(147.635).likely, 1)
    52.2
    """
    likely = diameters_per_inch_ashenhurst(tex)
    with unlogged():
        rules = [row.per_inch for row in diameter_rules(tex)]
    return Range(min(rules), likely, max(rules))


def diameter_range(tex: float) -> Range:
    """Diameter of a yarn, with the spread of the published rules (F-11).

    >>> round(diameter_range(147.635).likely, 3)
    0.487
    """
    across = diameters_per_inch(tex)
    likely = diameter(across.likely)
    return Range(diameter(across.high), likely, diameter(across.low))


def diameter_mm(tex: float) -> float:
    """Diameter of a yarn by Ashenhurst's rule for a firm one (F-8, F-11).

    >>> round(diameter_mm(73.8177), 3)  # cotton 16/2
    0.344
    """
    return diameter(diameters_per_inch_ashenhurst(tex))


def ruler_wraps(tex: float) -> float:
    """Wraps in an inch of a ruler that a firm yarn makes (F-8, F-12).

    >>> round(ruler_wraps(147.635), 0)
    37.0
    """
    return wraps_of(diameters_per_inch_ashenhurst(tex))
