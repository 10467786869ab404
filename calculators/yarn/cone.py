"""What is left on a cone."""

from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.format import format_quantity
from calculators.quantities.interval import Range
from calculators.yarn.yarn import TEX_LENGTH_CM, length_of


@formula(
    "F-19",
    "Yarn on a cone",
    "weaving-columns",
    gives="net_mass",
    where="published answer on cones and their weight",
    basis="published",
    validity="weighed dry, at the room’s own dampness",
)
def left_on_cone(gross: float, empty: float) -> float:
    """Weight of the yarn on a cone, by an empty one like it.

    >>> left_on_cone(412, 46)
    366
    """
    return gross - empty


def net_mass(gross: float, empty: float) -> float:
    """Weight of the yarn on a cone, refused where the empty one is the heavier (F-19).

    >>> net_mass(412, 46)
    366
    """
    net = left_on_cone(gross, empty)
    if net < 0:
        raise InputError(
            "empty",
            f"The empty cone ({format_quantity(empty, 'g', 'metric')}) weighs more than the cone "
            f"with its yarn ({format_quantity(gross, 'g', 'metric')}).",
            "Look whether the two weights have changed places.",
        )
    return net


@formula(
    "F-7",
    "Length on the cone, at the least",
    "ucum",
    gives="length_low",
    where="entry ‘tex’; each of two weights is open by half a step",
)
def least_length(net_mass: float, scale_step: float, tex: float, tolerance: float) -> float:
    """Length of yarn on a cone when scale and count both deceive.

    >>> least_length(366, 2, 50, 0.04)
    700000.0
    """
    return (net_mass - scale_step) * TEX_LENGTH_CM / (tex * (1 + tolerance))


@formula(
    "F-7",
    "Length on the cone, at the most",
    "ucum",
    gives="length_high",
    where="entry ‘tex’; each of two weights is open by half a step",
)
def greatest_length(net_mass: float, scale_step: float, tex: float, tolerance: float) -> float:
    """Length of yarn on a cone when scale and count both flatter.

    >>> round(greatest_length(366, 2, 50, 0.04))
    766667
    """
    return (net_mass + scale_step) * TEX_LENGTH_CM / (tex * (1 - tolerance))


def cone_length(
    gross: float, empty: float, tex: float, scale_step: float = 0.0, tolerance: float = 0.0
) -> Range:
    """Length of yarn left on a cone, with what scale and count leave open (F-19, F-7).

    >>> cone_length(412, 46, 50)
    Range(low=732000.0, likely=732000.0, high=732000.0)
    """
    net = net_mass(gross, empty)
    likely = length_of(net, tex)
    low = least_length(net, scale_step, tex, tolerance) if net > scale_step else 0.0
    return Range(low, likely, greatest_length(net, scale_step, tex, tolerance))
