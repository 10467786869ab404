"""How heavy and how closed a cloth is."""

from math import sqrt

from calculators.quantities.checks import not_negative, positive
from calculators.quantities.units import per_inch

PEIRCE_DIAMETERS = 28  # threads of one cotton count that lie side by side in an inch


def grams_per_square_metre(
    ends: float,
    picks: float,
    warp_tex: float,
    weft_tex: float,
    warp_crimp: float = 0.0,
    weft_crimp: float = 0.0,
) -> float:
    """Mass of one square metre of cloth.

    Equation: G = (e T_1 (1 + c_1) + p T_2 (1 + c_2)) / 10   (F-77)
    Parameters:
        ends [1/cm]: ends per centimetre in the cloth
        picks [1/cm]: picks per centimetre in the cloth
        warp_tex [tex]: linear density of the warp
        weft_tex [tex]: linear density of the weft
        warp_crimp [fraction]: extra warp length / cloth length
        weft_crimp [fraction]: extra weft length / cloth width
    Returns:
        [g/m2] mass of a square metre
    Validity: yarn as it is in the cloth, without size and moisture beyond the usual.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(grams_per_square_metre(25, 24.2, 103.4, 103.4, 0.06, 0.02), 1)
        529.2

    Source: definition of tex (ISO 1144) and of crimp (ASTM D3883).
    """
    warp = positive(ends, "ends", "The ends") * positive(warp_tex, "warp_yarn", "The warp's tex")
    weft = positive(picks, "picks", "The picks") * positive(weft_tex, "weft_yarn", "The weft's tex")
    not_negative(warp_crimp, "warp_crimp", "The warp's crimp")
    not_negative(weft_crimp, "weft_crimp", "The weft's crimp")
    return (warp * (1 + warp_crimp) + weft * (1 + weft_crimp)) / 10


def cover_factor(threads: float, cotton_count: float) -> float:
    """Cover factor of one set of threads.

    Equation: K = n / sqrt(N), n per inch   (F-78)
    Parameters:
        threads [1/cm]: ends or picks per centimetre
        cotton_count [cotton count]: count of the yarn, one for every 840 yards in a pound
    Returns:
        [ratio] cover factor; 28 is threads side by side without a gap
    Validity: round yarn of the density that Peirce took for cotton.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(cover_factor(28 * 6 / 2.54, 36), 6)
        28.0

    Source: F. T. Peirce, The geometry of cloth structure, Journal of the Textile Institute 28
        (1937) T45, as restated in N. Balasubramanian, Yarn and cloth calculations.
    """
    count = positive(cotton_count, "yarn", "The yarn's count")
    return per_inch(positive(threads, "threads", "The threads")) / sqrt(count)


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
