"""The chance of running short of yarn when the losses are not known exactly."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from math import exp, hypot, log, pi, prod, sqrt

from calculators.engine.expression import up
from calculators.engine.formula import formula
from calculators.engine.network import Figure, Worked
from calculators.errors import InputError
from calculators.plan.plan import PLAN
from calculators.quantities.checks import not_negative
from calculators.quantities.interval import Range
from calculators.records.distributions import normal_quantile, normal_share
from calculators.records.learning import INSIDE

LOSSES = ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")
PAIRS = {"draw_in": "width_shrinkage", "take_up": "length_shrinkage"}  # the second goes with it
WIDE = normal_quantile((1 + INSIDE) / 2)
LONG, INSIDE_SHORT = 0.07, 0.5  # how much bent the curve is: nearest to all families simulated
CLOTHS = 1_021  # a prime: every cloth has its own place along every loss
STRIDE = 76  # spreads the cloths evenly over three losses at once
LEAST_ACCEPTED, MOST_LOST = 0.001, 0.95


@dataclass(frozen=True)
class Enough:
    """Grams wanted, how far they are open, and what that means for the yarn on hand."""

    wanted: float
    open_by: float  # standard deviation of the grams wanted, scale not counted
    parts: dict[str, tuple[float, float]]  # g more or less at the low and the high end, by name
    chance: float  # of running short
    safe: float  # g on hand that bring the chance down to what is accepted


@formula(
    "F-132",
    "Grams that make it safe",
    "from-memory",
    gives="safe",
    where="F-131 turned round, by halving; up to a whole gram",
    basis="from memory",
)
def whole_grams(grams_at_chance: float) -> int:
    """Whole grams that bring the chance of running short down to what is accepted.

    >>> whole_grams(466.3)
    467
    """
    return up(grams_at_chance)


@formula(
    "F-132",
    "To be had besides",
    "trade-knowledge",
    validity="where more is wanted than there is",
)
def short(safe: float, on_hand: float) -> float:
    """Grams that are wanting of those that make it safe.

    >>> short(467, 432)
    35
    """
    return safe - on_hand


def skewed_quantile(figure: Range, z: float) -> float:
    """Figure below which as many cloths lie as lie below z in a normal distribution.

    Equation: x = m + (1 − w) side × z / z₀ + w A (exp(b z) − 1), side = high − m above m and
        m − low below; b = ln((high − m) / (m − low)) / z₀, A = (high − m) / (exp(b z₀) − 1);
        z₀ = 1.2816, r = |z| / z₀; on the longer side w = 0.07 r³, at most 1; on the shorter
        0.5 up to r = 1, then 1 − 2.4 (r − 1.28), at most 1, at least −0.4   (F-140)
    Parameters:
        figure [any]: low, m and high: below them one, five and nine cloths in ten
        z [standard deviations]: place in a normal distribution
    Returns:
        [as the figure] rising with z, through low, m and high
    Validity: m apart from low and high; with an end at m the second part is left out.
    Errors: none.

    Example:
        >>> [round(skewed_quantile(Range(1, 3, 15), z), 6) for z in (-WIDE, 0, WIDE)]
        [1.0, 3.0, 15.0]

    Source: split normal and shifted lognormal distributions through three quantiles, from memory;
        their shares are our choice, by simulation in several families of distributions.
    """
    below, above = figure.likely - figure.low, figure.high - figure.likely
    split = (above if z > 0 else below) * z / WIDE
    if min(below, above) < 1e-3 * max(below, above):
        return figure.likely + split
    ratio = above / below
    bent = split
    if abs(ratio - 1) > 1e-6:
        bent = above * (exp(log(ratio) * z / WIDE) - 1) / (ratio - 1)
    on_longer_side = (z > 0) == (ratio > 1)
    share = _lognormal_share(abs(z) / WIDE, on_longer_side)
    return figure.likely + (1 - share) * split + share * bent


def _lognormal_share(reach: float, on_longer_side: bool) -> float:
    """Share of the shifted lognormal, by how far out a cloth lies, in ends of the range."""
    if on_longer_side:
        return min(1.0, LONG * reach**3)
    if reach <= 1:
        return INSIDE_SHORT
    return max(-0.4, min(1.0, 1 - 2.4 * (reach - 1.28)))  # short at first, then a longer tail


@cache
def _places() -> tuple[float, ...]:
    """Quantiles of the normal distribution in the middle of each of the cloths' equal shares."""
    places, z = [0.0], 0.0
    for place in range(CLOTHS // 2 + 1, CLOTHS):
        share = (place + 0.5) / CLOTHS
        for _ in range(4):
            z += (share - normal_share(z)) * sqrt(2 * pi) * exp(z * z / 2)
        places.append(z)
    return tuple(-z for z in reversed(places[1:])) + tuple(places)


def enough(
    decided: Mapping[str, Figure | None],
    side: str,
    on_hand: float,
    *,
    scale_step: float,
    count_tolerance: float,
    waste_spread: float,
    accepted: float,
    together: float = 0.5,
) -> Enough:
    """Chance that the yarn on hand runs short, and the grams that make it safe.

    Equation: chance = mean of Φ((m_j − M) / u_j) over cloths j spread evenly over the losses;
        m_j = m_0 Π g(x_j) + waste, x by F-140, g in proportion to 1 / (1 − x), for take-up to
        1 + x; u_j² of waste, count and scale, ends ÷ z₀, step² / 6; safe: that mean turned
        round   (F-131, F-132, F-140, F-141)
    Parameters:
        decided [by term]: the plan; its losses with low and high
        side [text]: warp or weft
        on_hand [g]: M, yarn by the scale, the empty cone taken off
        scale_step [g]: smallest step of the scale
        count_tolerance [fraction]: how far the count may be from the label's, eight times in ten
        waste_spread [cm]: how far the loom waste may be from the plan's, eight times in ten
        accepted [ratio]: chance of running short that is accepted
        together [ratio]: how far draw-in goes with the width's shrinkage and take-up with the
            length's: 0 not at all, 1 wholly
    Returns:
        [Enough] grams and chances
    Validity: accepted chances from 0.1 %; below it the least and the most lost are guesswork.
    Errors: InputError from the plan, or when accepted or together is not between 0 and 1.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> napkins = {**NAPKINS, "length_shrinkage": Range(0.05, 0.08, 0.12)}
        >>> figures = {"scale_step": 1, "count_tolerance": 0, "waste_spread": 0, "accepted": 0.05}
        >>> result = enough(napkins, "warp", 300, **figures)
        >>> round(result.wanted), result.chance < 0.5, result.safe > result.wanted
        (269, True, True)

    Source: losses through low, likely and high by F-140, tied together by a normal copula and
        summed over a lattice of cloths (I. H. Sloan and S. Joe, Lattice Methods for Multiple
        Integration, 1994): from memory.
    """
    if not 0 < accepted < 1:
        raise InputError("accepted", "A chance lies between 0 % and 100 %.", "For example 5 %.")
    if not 0 <= together <= 1:
        raise InputError("together", "Together lies between 0 and 1.", "For example 0.5.")
    plan, mass = PLAN.run(decided), f"{side}_yarn_mass"
    exact = plan.otherwise(**{name: plan.likely(name) for name in LOSSES})

    def grams(**changed: Figure) -> float:
        return exact.otherwise(**changed).likely(mass)

    wanted = grams()
    spread = not_negative(waste_spread, "waste_spread", "The spread of the waste")
    loom_waste = plan.likely("loom_waste")
    waste_open = grams(loom_waste=loom_waste + spread) - wanted
    in_waste = loom_waste * (grams(loom_waste=loom_waste + 1) - wanted)
    core = wanted - in_waste

    parts, slopes = {}, {}
    for name in LOSSES:
        figure = plan.ranged(name)
        parts[name] = (0.0, 0.0)
        if figure.is_exact:
            continue
        open_mass = exact.otherwise(**{name: figure}).ranged(mass)  # ends and picks stay as likely
        parts[name] = (open_mass.low - wanted, open_mass.high - wanted)
        if core > 0 and open_mass.high > open_mass.low:
            widest = _stretch(name, figure.high) - _stretch(name, figure.low)
            slopes[name] = (open_mass.high - open_mass.low) / core / widest
    parts["loom_waste"] = (-waste_open, waste_open)
    parts["count"] = (-wanted * count_tolerance, wanted * count_tolerance)

    cloths = [in_waste + core * factor for factor in _factors(plan, slopes, together)]
    count, waste = count_tolerance / WIDE, waste_open / WIDE
    scale = not_negative(scale_step, "scale_step", "The step of the scale") / sqrt(6)
    deviations = [hypot(cloth * count, waste, scale) for cloth in cloths]

    def chance(amount: float) -> float:
        return sum(
            normal_share((cloth - amount) / deviation) if deviation else float(cloth > amount)
            for cloth, deviation in zip(cloths, deviations, strict=True)
        ) / len(cloths)

    mean = sum(cloths) / len(cloths)
    variance = sum((cloth - mean) ** 2 + (cloth * count) ** 2 for cloth in cloths) / len(cloths)
    reach = 6 * max(deviations)
    safe = _safe_grams(
        chance, max(accepted, LEAST_ACCEPTED), min(cloths) - reach, max(cloths) + reach
    )
    return Enough(wanted, hypot(sqrt(variance), waste), parts, chance(on_hand), safe)


def _stretch(name: str, loss: float) -> float:
    """How the grams go with a loss: allowances divide by what is left, take-up adds."""
    return loss if name == "take_up" else 1 / (1 - loss)


def _factors(plan: Worked, slopes: dict[str, float], together: float) -> list[float]:
    """How many times the likely grams each of the cloths takes."""
    if not slopes:
        return [1.0]
    places, alone = _places(), sqrt(1 - together**2)
    order = [name for name in LOSSES if name in slopes]
    places_by_loss: dict[str, list[float]] = {}
    factors = []
    for number, name in enumerate(order):
        stride = pow(STRIDE, number, CLOTHS)
        standing = [places[cloth * stride % CLOTHS] for cloth in range(CLOTHS)]
        lead = places_by_loss.get(PAIRS.get(name, ""))
        if lead:
            standing = [
                together * first + alone * own for first, own in zip(lead, standing, strict=True)
            ]
        places_by_loss[name] = standing
        figure = plan.ranged(name)
        base, slope = _stretch(name, figure.likely), slopes[name]
        factors.append(
            [
                1 + slope * (_stretch(name, min(skewed_quantile(figure, place), MOST_LOST)) - base)
                for place in standing
            ]
        )
    return [prod(row) for row in zip(*factors, strict=True)]


def _safe_grams(
    chance: Callable[[float], float], accepted: float, low: float, high: float
) -> float:
    """Grams from low to high at which the chance has come down to what is accepted."""
    while high - low > 1e-2 + 1e-5 * high:
        middle = (low + high) / 2
        low, high = (low, middle) if chance(middle) <= accepted else (middle, high)
    return high
