"""What is left on a cone."""

from math import inf

from calculators.errors import InputError
from calculators.quantities.format import format_quantity
from calculators.quantities.interval import Range
from calculators.yarn.yarn import length_of


def net_mass(gross_g: float, empty_g: float) -> float:
    """Weight of the yarn on a cone.

    Equation: net = gross − empty   (F-19)
    Parameters:
        gross_g [g]: cone with yarn
        empty_g [g]: an empty cone like it
    Returns:
        [g] weight of the yarn
    Validity: weighed dry, at the room's own dampness.
    Errors: InputError when the empty cone weighs more than the full one.

    Example:
        >>> net_mass(412, 46)
        366

    Source: published answer in a weaving magazine’s question column: weigh an identical empty cone.
    """
    if not 0 <= empty_g < inf or not 0 <= gross_g < inf:
        raise InputError("gross", "A weight cannot be less than nothing.", "For example 412 g.")
    if empty_g > gross_g:
        raise InputError(
            "empty",
            f"The empty cone ({format_quantity(empty_g, 'g', 'metric')}) weighs more than the cone "
            f"with its yarn ({format_quantity(gross_g, 'g', 'metric')}).",
            "Look whether the two weights have changed places.",
        )
    return gross_g - empty_g


def cone_length(
    gross_g: float, empty_g: float, tex: float, step_g: float = 0.0, tolerance: float = 0.0
) -> Range:
    """Length of yarn left on a cone, with what scale and count leave open.

    Equation: cm = 100 000 (net ± step) ÷ (tex (1 ± tolerance))   (F-7, F-19)
    Parameters:
        gross_g [g]: cone with yarn
        empty_g [g]: an empty cone like it
        tex [tex]: linear density of the yarn
        step_g [g]: smallest step that the scale shows; each weight is open by half of it
        tolerance [fraction]: how far the true count may be from the label's
    Returns:
        [cm] low, likely and high
    Validity: a tolerance of zero or more, below one.
    Errors: InputError when the weights cannot be, or the tolerance is not below one.

    Example:
        >>> cone_length(412, 46, 50)
        Range(low=732000.0, likely=732000.0, high=732000.0)

    Source: definition of the tex; interval arithmetic on monotone functions.
    """
    if not 0 <= tolerance < 1:
        raise InputError("tolerance", "The tolerance must be 0 % or more, below 100 %.", "3 %")
    if not 0 <= step_g < inf:
        raise InputError("scale_step", "The scale’s step cannot be less than nothing.", "1 g")
    net = net_mass(gross_g, empty_g)
    return Range(
        length_of(max(net - step_g, 0.0), tex * (1 + tolerance)),
        length_of(net, tex),
        length_of(net + step_g, tex * (1 - tolerance)),
    )
