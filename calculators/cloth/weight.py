"""How heavy and how closed a cloth is."""

from calculators.engine.expression import root
from calculators.engine.formula import formula
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


@formula(
    "F-79",
    "Part covered by one set of threads",
    "peirce-1937",
    gives="covered",
    basis="published",
    validity="threads lying flat and even; real cloth covers a little more",
)
def covered_of(cover: float) -> float:
    """Share of the face that one set of threads would cover.

    >>> covered_of(14)
    0.5
    """
    return cover / 28


def covered(cover: float) -> float:
    """Share of the face that one set of threads would cover, all of it at the most (F-79).

    >>> covered(14), covered(35)
    (0.5, 1.0)
    """
    return min(1.0, covered_of(cover))


@formula(
    "F-79",
    "Area covered",
    "peirce-1937",
    "gate-textile",
    where="as worked in question 85 of 2007",
    basis="published",
    validity="threads lying flat and even; real cloth covers a little more",
)
def area_covered(covered_by_warp: float, covered_by_weft: float) -> float:
    """Share of the cloth's face that is thread and not gap.

    >>> area_covered(0.5, 0.5)
    0.75
    """
    return covered_by_warp + covered_by_weft - covered_by_warp * covered_by_weft
