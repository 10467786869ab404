"""Figures a setting rule cannot work with, refused in the weaver's words."""

from math import isfinite

from calculators.errors import InputError

SMALLEST, GREATEST = 1e-9, 1e12


def positive(value: float, field: str, what: str) -> float:
    """Figure that a setting rule may multiply and divide by.

    Equation: 1e-9 ≤ value ≤ 1e12
    Parameters:
        value [any]: the figure
        field [name]: where an error is shown
        what [text]: what the figure is, to begin a sentence
    Returns:
        [as given] the same figure
    Validity: any number.
    Errors: InputError when the figure is not above zero, or beyond all cloth.
    Example:
        >>> positive(30.0, "sett", "The sett")
        30.0

    Source: definition.
    """
    if not isfinite(value) or not SMALLEST <= value <= GREATEST:
        raise InputError(field, f"{what} must be more than nothing.", "Give a number above zero.")
    return value
