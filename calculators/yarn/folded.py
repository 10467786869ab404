"""Yarns plied together, and yarns used side by side.

An indirect count is length over weight, a direct one weight over length: what adds up in the one
adds up turned over in the other.
"""

from collections.abc import Sequence

from calculators.engine.formula import formula, unlogged
from calculators.errors import InputError

LEAST = 1e-9  # a thread that is a smaller share of the others is only the last digit of a figure


@formula(
    "F-13",
    "Count of a plied yarn",
    "taylor-1909",
    "brooks-1892",
    gives="resultant",
    where="Taylor, page 239 of the web edition; Brooks, chapter ‘Wrapping’",
    basis="published",
    validity="indirect counts; the shortening by twist is left out",
)
def resultant_count(*yarns: float) -> float:
    """Count of the yarn made by plying several threads together.

    >>> round(resultant_count(60, 40), 9)
    24.0
    """
    return 1 / sum(1 / count for count in yarns)


@formula(
    "F-13",
    "Direct count of a plied yarn",
    "exact-arithmetic",
    gives="resultant",
    validity="the shortening by twist is left out",
)
def resultant_direct_count(*yarns: float) -> float:
    """Count of the yarn made by plying several threads together, in a direct system.

    >>> resultant_direct_count(37, 20)
    57
    """
    return sum(yarns)


@formula(
    "F-14",
    "What to ply with these to make that",
    "davis-hosiery",
    gives="partner",
    where="chapter V, example 39, page 29 of the web edition",
    basis="published",
    validity="indirect counts; the shortening by twist is left out",
)
def missing_count(wanted: float, *known: float) -> float:
    """Count of the thread that is missing beside others for a yarn thicker than they are.

    >>> round(missing_count(10, 48, 24), 4)
    26.6667
    """
    return 1 / (1 / wanted - sum(1 / count for count in known))


@formula(
    "F-14",
    "What to ply with these to make that direct count",
    "exact-arithmetic",
    gives="partner",
    validity="the shortening by twist is left out",
)
def missing_direct_count(wanted: float, *known: float) -> float:
    """Count of the thread that is missing beside others, in a direct system.

    >>> missing_direct_count(100, 37, 20)
    43
    """
    return wanted - sum(known)


def partner_count(known: Sequence[float], wanted: float, direct: bool = False) -> float:
    """Count of the thread to ply with others, refused where they are thick enough (F-14).

    >>> round(partner_count([48, 24], 10), 4)
    26.6667
    """
    with unlogged():
        together = resultant_direct_count(*known) if direct else resultant_count(*known)
    heavier, lighter = (wanted, together) if direct else (together, wanted)
    if heavier <= (1 + LEAST) * lighter:
        raise InputError(
            "wanted",
            "The yarns at hand are together already as thick as the yarn wanted, or thicker.",
            "Want a thicker yarn, or take away a thread.",
        )
    return (missing_direct_count if direct else missing_count)(wanted, *known)


@formula(
    "F-15",
    "Average count of yarns used by turns",
    "davis-hosiery",
    gives="average_count",
    where="chapter V, example 30, page 22 of the web edition",
    basis="published",
    validity="indirect counts; an equal length of each thread",
)
def side_by_side_count(*yarns: float) -> float:
    """Average count of threads used by turns: what weighs the same, thread for thread.

    >>> round(side_by_side_count(64, 48, 32), 6)
    44.307692
    """
    return len(yarns) / sum(1 / count for count in yarns)


@formula(
    "F-15",
    "Average direct count of yarns used by turns",
    "exact-arithmetic",
    gives="average_count",
    validity="an equal length of each thread",
)
def side_by_side_direct_count(*yarns: float) -> float:
    """Average count of threads used by turns, in a direct system.

    >>> side_by_side_direct_count(37, 20)
    28.5
    """
    return sum(yarns) / len(yarns)


@formula(
    "F-142",
    "Average count of equal weights",
    "exact-arithmetic",
    gives="equal_masses",
    where="an indirect count is length over weight, so equal weights add their lengths",
    validity="indirect counts",
)
def equal_mass_count(*yarns: float) -> float:
    """Average count of yarns of which equal weights are used.

    >>> equal_mass_count(64, 48, 32)
    48.0
    """
    return sum(yarns) / len(yarns)


@formula(
    "F-142",
    "Average direct count of equal weights",
    "exact-arithmetic",
    gives="equal_masses",
)
def equal_mass_direct_count(*yarns: float) -> float:
    """Average count of yarns of which equal weights are used, in a direct system.

    >>> round(equal_mass_direct_count(20, 30), 9)
    24.0
    """
    return len(yarns) / sum(1 / count for count in yarns)


# Plied together, used by turns, equal weights of each; by whether the system is direct.
MEANS = {
    False: (resultant_count, side_by_side_count, equal_mass_count),
    True: (resultant_direct_count, side_by_side_direct_count, equal_mass_direct_count),
}
