"""A yarn without a label, from a measured length and its weight."""

from dataclasses import dataclass
from math import inf, isfinite, log

from calculators.errors import InputError
from calculators.quantities import units
from calculators.quantities.interval import Range
from calculators.yarn.catalogue import CatalogueYarn, catalogue


@dataclass(frozen=True)
class Neighbour:
    """A catalogue yarn near a measured one; ``deviation`` is how much heavier it is, a fraction."""

    entry: CatalogueYarn
    deviation: float


def tex_from_sample(
    length_cm: float, mass_g: float, step_g: float = 0.0, length_off: float = 0.0
) -> Range:
    """Linear density of a yarn, with what the scale's step and the measured length leave open.

    Equation: tex = 100 000 (g ± step/2) ÷ (cm (1 ± off))   (F-16)
    Parameters:
        length_cm [cm]: length of the sample, wound without stretching
        mass_g [g]: its weight as read
        step_g [g]: smallest step that the scale shows
        length_off [fraction]: how far the length may be off, nineteen times in twenty
    Returns:
        [tex] low, likely and high: the yarn lies between in 95 of 100 samples at least
    Validity: the scale is true to half its step, set to nothing before the sample is laid on.
    Errors: InputError when length or mass is not above zero, the step hides the weight, or the
        length may be off by all of itself.

    Example:
        >>> tex_from_sample(10_000, 7.5, 0.5)
        Range(low=72.5, likely=75.0, high=77.5)

    Source: definition of the tex; a reading is open by half a step either way; interval arithmetic
        on monotone functions.
    """
    for value, field, words in (
        (length_cm, "length", "The length of the sample"),
        (mass_g, "mass", "The weight of the sample"),
    ):
        if not isfinite(value) or value <= 0:
            raise InputError(field, f"{words} must be more than nothing.", "")
    if not 0 <= step_g < inf:
        raise InputError("scale_step", "The scale’s step cannot be less than nothing.", "")
    if step_g / 2 >= mass_g:
        raise InputError(
            "mass",
            "The sample weighs no more than half a step of the scale, so the weight says nothing.",
            "Weigh a longer sample, or use a finer scale.",
        )
    if not 0 <= length_off < 1:
        raise InputError(
            "length_off", "A length is off by 0 % or more, and by less than all of it.", "0.5 %"
        )
    per_gram = float(units.KILOMETRE_CM) / length_cm
    return Range(
        (mass_g - step_g / 2) * per_gram / (1 + length_off),
        mass_g * per_gram,
        (mass_g + step_g / 2) * per_gram / (1 - length_off),
    )


def length_for_accuracy(tex: float, step_g: float, share: float = 0.01) -> float:
    """Length to weigh so that half a step of the scale is a small share of the weight.

    Equation: cm = 100 000 (step/2) ÷ (share × tex)   (F-17)
    Parameters:
        tex [tex]: linear density, roughly
        step_g [g]: smallest step that the scale shows
        share [fraction]: how much may stay open, 0.01 for 1 %
    Returns:
        [cm] length of sample
    Validity: any figures above zero.
    Errors: InputError when tex or share is not above zero.

    Example:
        >>> round(length_for_accuracy(75, 0.01))  # 1 % of 0.5 g
        667

    Source: F-16 solved for the length.
    """
    if not tex > 0 or not share > 0:
        raise InputError("tex", "Linear density and share must be more than nothing.", "")
    return step_g / 2 / share / tex * float(units.KILOMETRE_CM)


def nearest_yarns(tex: float, number: int = 5) -> tuple[Neighbour, ...]:
    """Catalogue yarns nearest in weight to a measured one.

    Equation: deviation = tex of the catalogue yarn ÷ tex − 1; nearest by |ln| of the ratio  (F-18)
    Parameters:
        tex [tex]: linear density as measured
        number [count]: how many to list
    Returns:
        [rows] catalogue yarn and its deviation, the nearest first
    Validity: by weight only; the fibre must be judged by eye and hand.
    Errors: InputError when tex is not above zero.

    Example:
        >>> [row.entry.name for row in nearest_yarns(73, 1)]
        ['cotton 16/2']

    Source: common practice, no source.
    """
    if not isfinite(tex) or tex <= 0:
        raise InputError("tex", "The linear density must be more than nothing.", "")
    rows = [Neighbour(entry, entry.yarn.tex / tex - 1) for entry in catalogue()]
    return tuple(sorted(rows, key=lambda row: abs(log(1 + row.deviation)))[:number])
