"""What a figure must be before a formula may use it, said to the weaver when it is not."""

from math import isfinite

from calculators.errors import InputError

SMALLEST, GREATEST = 1e-9, 1e12


def positive(value: float, field: str, words: str) -> float:
    """A figure that a formula may multiply and divide by.

    Equation: 1e-9 <= value <= 1e12
    Parameters:
        value [any]: the figure
        field [text]: the field to name in the error
        words [text]: what the figure is, with its article, to begin a sentence
    Returns:
        [as given] the same figure
    Validity: any finite number.
    Errors: InputError when the figure is nought, below nought, beyond all cloth or not a number.

    Example:
        >>> positive(48.0, "finished", "The finished width")
        48.0

    Source: definition.
    """
    if not isfinite(value) or not SMALLEST <= value <= GREATEST:
        raise InputError(field, f"{words} must be more than nothing.", "Give a number above zero.")
    return value


def not_negative(value: float, field: str, words: str) -> float:
    """A figure that may be nought but not less.

    Equation: 0 <= value <= 1e12
    Parameters:
        value [any]: the figure
        field [text]: the field to name in the error
        words [text]: what the figure is, with its article, to begin a sentence
    Returns:
        [as given] the same figure
    Validity: any finite number.
    Errors: InputError when the figure is below nought, beyond all cloth or not a number.

    Example:
        >>> not_negative(0.0, "hem", "The hem")
        0.0

    Source: definition.
    """
    if not isfinite(value) or not 0 <= value <= GREATEST:
        raise InputError(field, f"{words} cannot be less than nought.", "Give 0 for none.")
    return value


def kept(loss: float, field: str) -> float:
    """What a loss leaves over.

    Equation: kept = 1 - loss
    Parameters:
        loss [fraction]: the share lost; below nought where the cloth grows
        field [text]: the field to name in the error
    Returns:
        [fraction] the share that is left
    Validity: -1 < loss < 1.
    Errors: InputError when the loss would leave nothing, or more than double.

    Example:
        >>> kept(0.08, "length_shrinkage")
        0.92

    Source: definition.
    """
    if not -1 < loss <= 1 - SMALLEST:
        raise InputError(
            field,
            f"A loss of {100 * loss:.3g} % would leave no cloth.",
            "A loss is less than 100 %, most often 2 to 15 %.",
        )
    return 1 - loss
