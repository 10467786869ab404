"""How thick a cloth is, by the waves that its threads make over and under each other."""

from calculators.engine.expression import root
from calculators.engine.formula import formula

WHOLE = 1.0  # a thread cannot stand rounder than round


@formula(
    "F-220",
    "Height of a thread's wave",
    "peirce-1937",
    "balasubramanian",
    where="h₁ = 4/3 p₂ √c₁, printed for plain weave; there a thread crosses at every one",
    basis="published",
    validity="other weaves than plain: floats lie straight, all the crimp is at the intersections; "
    "that is worked out",
)
def wave_height(threads_crossed: float, crimp: float, threads_per_intersection: float) -> float:
    """Height of a thread's wave, between the lowest and the highest of its middle line.

    >>> round(wave_height(10, 0.09, 1), 3)
    0.4
    """
    return 40 * root(crimp * threads_per_intersection) / (3 * threads_crossed)


@formula(
    "F-220",
    "Crimp that round threads need",
    "peirce-1937",
    "balasubramanian",
    gives="even_crimp",
    where="warp and weft bent alike, h₁ = h₂ = ½ (d₁ + d₂)",
    basis="published",
    validity="other weaves than plain as for the height of the wave",
)
def even_crimp(
    warp_diameter: float,
    weft_diameter: float,
    threads_crossed: float,
    threads_per_intersection: float,
) -> float:
    """Crimp of one set of threads where both sets are round and bent alike.

    >>> round(even_crimp(0.4, 0.4, 10, 1), 3)
    0.09
    """
    wave = (warp_diameter + weft_diameter) / 2
    return (3 / 4 * wave * threads_crossed / 10) ** 2 / threads_per_intersection


@formula(
    "F-221",
    "How round the threads stay",
    "peirce-1937",
    "balasubramanian",
    where="h₁ + h₂ = d₁ + d₂ where round threads touch at their crossings",
    basis="published",
    validity="less than the whole: pressed flat; more: they stand off each other",
)
def roundness(
    warp_wave: float, weft_wave: float, warp_diameter: float, weft_diameter: float
) -> float:
    """Height of both waves beside that of round threads which touch.

    >>> round(roundness(0.3, 0.3, 0.3, 0.3), 3)
    1.0
    """
    return (warp_wave + weft_wave) / (warp_diameter + weft_diameter)


def roundness_kept(roundness: float) -> float:
    """Share of a thread's round thickness that is left at a crossing, the whole at most (F-221).

    >>> roundness_kept(0.8), roundness_kept(1.3)
    (0.8, 1.0)
    """
    return min(WHOLE, roundness)


@formula(
    "F-222",
    "Thickness, pressed",
    "peirce-1937",
    where="both sets bent alike and touching: the least that h + d can be",
    validity="pressed no harder than the threads are",
)
def thickness_pressed(roundness_kept: float, warp_diameter: float, weft_diameter: float) -> float:
    """Thickness of two threads, one over the other.

    >>> round(thickness_pressed(1, 0.3, 0.3), 3)
    0.6
    """
    return roundness_kept * (warp_diameter + weft_diameter)


@formula(
    "F-223",
    "Thickness over one set of threads",
    "peirce-1937",
    gives="thickness_over",
    where="from the underside where it dips to the top where it rises",
    validity="all the crimp stands up and none of it lies sideways",
)
def thickness_over(wave_height: float, roundness_kept: float, diameter: float) -> float:
    """Thickness of the cloth where one set of threads makes both its faces.

    >>> round(thickness_over(0.4, 1, 0.3), 3)
    0.7
    """
    return wave_height + roundness_kept * diameter


def thickness_loose(thickness_over_warp: float, thickness_over_weft: float) -> float:
    """Thickness over the set of threads that stands higher (F-223).

    >>> thickness_loose(0.7, 0.6)
    0.7
    """
    return max(thickness_over_warp, thickness_over_weft)
