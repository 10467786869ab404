"""Enough yarn? The chance of running short when the losses are not known exactly."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import sqrt
from typing import Any

from calculators.plan.plan import ClothPlan, Project, plan
from calculators.quantities.checks import not_negative
from calculators.quantities.interval import Range
from calculators.records.chance import normal_quantile, normal_share
from calculators.records.learning import INSIDE

LOSSES = ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")


@dataclass(frozen=True)
class Enough:
    """Grams wanted, how far they are open, and what that means for the yarn on hand."""

    wanted: float
    open_by: float  # standard deviation of the grams wanted, scale not counted
    parts: dict[str, float]  # of which, by name
    chance: float  # of running short
    safe: float  # g on hand that bring the chance down to what is accepted


def enough(
    project: Project,
    side: str,
    on_hand: float,
    step: float,
    count_tolerance: float,
    waste_spread: float,
    accepted: float,
) -> Enough:
    """Chance that the yarn on hand runs short, and the grams that make it safe.

    Equation: chance = 1 − Φ((M − m) / u), safe = m + z u; u² = Σ (half of high − low / z₀)², each
        loss by itself, z₀ = 1.2816 for eight in ten; step² / 6 for two weighings   (F-131, F-132)
    Parameters:
        project [decisions]: the plan; its losses with low and high
        side [text]: warp or weft
        on_hand [g]: M, yarn by the scale, the empty cone taken off
        step [g]: smallest step of the scale
        count_tolerance [fraction]: how far the count may be from the label's, eight times in ten
        waste_spread [cm]: how far the loom waste may be from the plan's, eight times in ten
        accepted [ratio]: chance of running short that is accepted
    Returns:
        [Enough] grams and chances
    Validity: losses that do not hang together, grams nearly straight in each of them.
    Errors: InputError from the plan, or when the accepted chance is not between 0 and 1.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> napkins = replace(NAPKINS, length_shrinkage=Range(0.05, 0.08, 0.12))
        >>> found = enough(napkins, "warp", 300, 1, 0.0, 0.0, 0.05)
        >>> round(found.wanted), found.chance < 0.5, found.safe > found.wanted
        (269, True, True)

    Source: definition of the normal distribution; that parts which do not hang together add as
        squares: from memory.
    """
    likely: dict[str, Any] = {name: Range.exactly(getattr(project, name).likely) for name in LOSSES}
    exact = replace(project, **likely)
    mass = _mass(side)
    wanted = mass(plan(exact)).likely
    wide = normal_quantile((1 + INSIDE) / 2)
    parts = {}
    for name in LOSSES:
        open_one: dict[str, Any] = {name: getattr(project, name)}
        found = mass(plan(replace(exact, **open_one)))
        parts[name] = (found.high - found.low) / 2 / wide
    waste = not_negative(waste_spread, "waste_spread", "The spread of the waste")
    more = plan(replace(exact, loom_waste=project.loom_waste + waste))
    parts["loom_waste"] = (mass(more).likely - wanted) / wide
    parts["count"] = wanted * count_tolerance / wide
    open_by = sqrt(sum(part**2 for part in parts.values()))
    scale = not_negative(step, "scale_step", "The step of the scale") / sqrt(6)
    whole = sqrt(open_by**2 + scale**2)
    chance = normal_share((wanted - on_hand) / whole) if whole else float(on_hand < wanted)
    return Enough(wanted, open_by, parts, chance, wanted + normal_quantile(1 - accepted) * whole)


def _mass(side: str) -> Callable[[ClothPlan], Range]:
    return (
        (lambda done: done.warp_yarn_mass) if side == "warp" else lambda done: done.weft_yarn_mass
    )


__all__ = ["Enough", "enough"]
