"""Yarns folded together, and yarns used side by side."""

from collections.abc import Sequence
from fractions import Fraction
from math import isfinite

from calculators.errors import InputError


def _checked(counts: Sequence[float], field: str) -> Sequence[float]:
    if not counts:
        raise InputError(field, "No count is given.", "Write one count or more, such as 60, 40.")
    if not all(isfinite(count) and count > 0 for count in counts):
        raise InputError(field, "Every count must be more than nothing.", "For example 60, 40.")
    return counts


def _thickness(counts: Sequence[float]) -> Fraction:
    return sum((1 / Fraction(count) for count in counts), Fraction(0))


def resultant_count(counts: Sequence[float]) -> float:
    """Count of the yarn made by folding several threads together.

    Equation: 1/N = 1/N₁ + 1/N₂ + …   (F-13)
    Parameters:
        counts [in one indirect system]: the threads folded, each with its own count
    Returns:
        [same system] the count of the folded yarn
    Validity: indirect systems; the shortening by twist is left out.
    Errors: InputError when there is no count, or one is not above zero.

    Example:
        >>> round(resultant_count([60, 40]), 9)
        24.0

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition, page 239 of the web edition.
    """
    return float(1 / _thickness(_checked(counts, "yarns")))


def partner_count(known: Sequence[float], wanted: float) -> float:
    """Count of the thread to fold with others so that a wanted count results.

    Equation: 1/N = 1/N_wanted − (1/N₁ + 1/N₂ + …)   (F-14)
    Parameters:
        known [in one indirect system]: the threads at hand
        wanted [same system]: the count of the yarn to be made
    Returns:
        [same system] the count of the missing thread
    Validity: indirect systems; the shortening by twist is left out.
    Errors: InputError when the known threads are together as thick as the wanted yarn, or thicker.

    Example:
        >>> round(partner_count([48, 24], 10), 4)
        26.6667

    Source: W. Davis, Hosiery Manufacture, chapter V, example 39 (page 29 of the web edition).
    """
    together = _thickness(_checked(known, "known"))
    missing = 1 / Fraction(*_checked([wanted], "wanted")) - together
    if missing <= together * Fraction(1, 10**9):  # equal, but for the last digit of a figure
        raise InputError(
            "wanted",
            "The yarns at hand are together already as thick as the yarn wanted, or thicker.",
            "Want a thicker yarn, or take away a thread.",
        )
    return float(1 / missing)


def equal_mass_count(counts: Sequence[float]) -> float:
    """Average count of yarns of which equal weights are used.

    Equation: N = (N₁ + N₂ + …) ÷ n   (F-142)
    Parameters:
        counts [in one indirect system]: one count for each weight of yarn
    Returns:
        [same system] the count of all the yarn: its length over its weight
    Validity: indirect systems; equal weights of each yarn.
    Errors: InputError when there is no count, or one is not above zero.

    Example:
        >>> equal_mass_count([64, 48, 32])
        48.0

    Source: definition: an indirect count is length over mass, so equal masses add their lengths.
    """
    return float(sum(map(Fraction, _checked(counts, "yarns"))) / len(counts))


def side_by_side_count(counts: Sequence[float]) -> float:
    """Average count of threads used by turns, equal lengths of each.

    Equation: n/N = 1/N₁ + 1/N₂ + …   (F-15)
    Parameters:
        counts [in one indirect system]: one count for each thread of the repeat
    Returns:
        [same system] the count that weighs the same, thread for thread
    Validity: indirect systems; equal lengths of each thread.
    Errors: InputError when there is no count, or one is not above zero.

    Example:
        >>> round(side_by_side_count([64, 48, 32]), 6)
        44.307692

    Source: W. Davis, Hosiery Manufacture, chapter V, example 30 (44 4/13; page 22 of the web
        edition).
    """
    return float(len(counts) / _thickness(_checked(counts, "yarns")))
