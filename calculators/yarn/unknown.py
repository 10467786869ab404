"""A yarn without a label, from a measured length and its weight."""

from dataclasses import dataclass
from math import log

from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.yarn.catalogue import CatalogueYarn, catalogue
from calculators.yarn.yarn import TEX_LENGTH_CM

HIDDEN = 1 - 1e-6  # half a step of the scale that is this share of the weight leaves nothing of it


@dataclass(frozen=True)
class Neighbour:
    """A catalogue yarn near a measured one; ``deviation`` is how much heavier it is, a fraction."""

    entry: CatalogueYarn
    deviation: float


@formula(
    "F-16",
    "Linear density from a sample",
    "ucum",
    gives="tex",
    where="entry ‘tex’",
)
def tex_as_weighed(sample_mass: float, sample_length: float) -> float:
    """Linear density of a yarn from a sample of it.

    >>> tex_as_weighed(7.5, 10_000)
    75.0
    """
    return sample_mass * TEX_LENGTH_CM / sample_length


@formula(
    "F-16",
    "Linear density from a sample, at the least",
    "ucum",
    gives="tex_low",
    where="entry ‘tex’; a reading is open by half a step",
)
def least_tex(
    sample_mass: float, scale_step: float, sample_length: float, length_off: float
) -> float:
    """Linear density of a yarn when the scale shows too much and the sample is too long.

    >>> least_tex(7.5, 0.5, 10_000, 0)
    72.5
    """
    return (sample_mass - scale_step / 2) * TEX_LENGTH_CM / (sample_length * (1 + length_off))


@formula(
    "F-16",
    "Linear density from a sample, at the most",
    "ucum",
    gives="tex_high",
    where="entry ‘tex’; a reading is open by half a step",
)
def greatest_tex(
    sample_mass: float, scale_step: float, sample_length: float, length_off: float
) -> float:
    """Linear density of a yarn when the scale shows too little and the sample is too short.

    >>> greatest_tex(7.5, 0.5, 10_000, 0)
    77.5
    """
    return (sample_mass + scale_step / 2) * TEX_LENGTH_CM / (sample_length * (1 - length_off))


def tex_from_sample(
    length: float, mass: float, scale_step: float = 0.0, length_off: float = 0.0
) -> Range:
    """Linear density of a yarn, with what the scale's step and the measured length leave (F-16).

    >>> tex_from_sample(10_000, 7.5, 0.5)
    Range(low=72.5, likely=75.0, high=77.5)
    """
    likely = tex_as_weighed(mass, length)
    low = least_tex(mass, scale_step, length, length_off)
    if scale_step / 2 >= HIDDEN * mass:
        raise InputError(
            "mass",
            "The sample weighs no more than half a step of the scale, so the weight says nothing.",
            "Weigh a longer sample, or use a finer scale.",
        )
    return Range(low, likely, greatest_tex(mass, scale_step, length, length_off))


@formula(
    "F-17",
    "Length to weigh for a wanted accuracy",
    "ucum",
    gives="sample_length",
    where="F-16 solved for the length",
)
def length_for_accuracy(tex: float, scale_step: float, share_open: float = 0.01) -> float:
    """Length to weigh so that half a step of the scale is a small share of the weight.

    >>> round(length_for_accuracy(75, 0.01))  # 1 % of 0.5 g
    667
    """
    return scale_step / 2 * TEX_LENGTH_CM / (share_open * tex)


@formula(
    "F-18",
    "Deviation of a known yarn from a measured one",
    "trade-knowledge",
    where="no source",
)
def deviation(known_tex: float, tex: float) -> float:
    """How much heavier a known yarn is than the measured one, by weight only.

    >>> deviation(75, 60)
    0.25
    """
    return known_tex / tex - 1


def nearest_yarns(tex: float, number: int = 5) -> tuple[Neighbour, ...]:
    """Catalogue yarns nearest by ratio in weight to a measured one, the nearest first (F-18).

    >>> [row.entry.name for row in nearest_yarns(73, 1)]
    ['cotton 16/2']
    """
    rows = [Neighbour(entry, deviation(entry.yarn.tex, tex)) for entry in catalogue()]
    return tuple(sorted(rows, key=lambda row: round(abs(log(1 + row.deviation)), 9))[:number])
