"""How heavy and how closed a cloth is."""

from calculators.engine.expression import root
from calculators.engine.formula import formula
from calculators.quantities.checks import not_negative
from calculators.quantities.units import per_inch

PEIRCE_DIAMETERS = 28  # threads of one cotton count that lie side by side in an inch


@formula(
    "F-77",
    "A square metre",
    "iso-1144",
    "astm-d3883",
    validity="yarn as it is in the cloth, without size and moisture beyond the usual",
)
def grams_per_square_metre(
    cloth_ends: float,
    picks: float,
    warp_tex: float,
    weft_tex: float,
    warp_crimp: float = 0.0,
    weft_crimp: float = 0.0,
) -> float:
    """Mass of one square metre of cloth.

    >>> round(grams_per_square_metre(25, 24.2, 103.4, 103.4, 0.06, 0.02), 1)
    529.2
    """
    warp = cloth_ends * warp_tex * (1 + warp_crimp)
    weft = picks * weft_tex * (1 + weft_crimp)
    return (warp + weft) / 10


@formula(
    "F-78",
    "Cover factor",
    "peirce-1937",
    "balasubramanian",
    gives="cover",
    basis="published",
    validity="28 is round threads of cotton side by side without a gap",
)
def cover_of(threads_per_inch: float, cotton_count: float) -> float:
    """Cover factor of threads counted per inch.

    >>> round(cover_of(28 * 6, 36), 6)
    28.0
    """
    return threads_per_inch / root(cotton_count)


def cover_factor(threads: float, cotton_count: float) -> float:
    """Cover factor of one set of threads, counted per centimetre (F-78).

    >>> round(cover_factor(28 * 6 / 2.54, 36), 6)
    28.0
    """
    return cover_of(per_inch(threads), cotton_count)


def area_covered(cover_warp: float, cover_weft: float) -> float:
    """Share of the cloth's face that is thread and not gap.

    Equation: C = c_1 + c_2 - c_1 c_2, c = K / 28, at most 1   (F-79)
    Parameters:
        cover_warp [ratio]: cover factor of the warp
        cover_weft [ratio]: cover factor of the weft
    Returns:
        [fraction] area covered
    Validity: threads lying flat and even; real cloth covers a little more.
    Errors: InputError when a cover factor is below nought.

    Example:
        >>> round(area_covered(14, 14), 9)
        0.75

    Source: Peirce 1937, as worked in GATE Textile 2007, question 85.
    """
    warp = min(1.0, not_negative(cover_warp, "ends", "The warp's cover") / PEIRCE_DIAMETERS)
    weft = min(1.0, not_negative(cover_weft, "picks", "The weft's cover") / PEIRCE_DIAMETERS)
    return warp + weft - warp * weft
