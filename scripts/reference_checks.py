"""Named checks: what neither a formula nor a calculator answers by itself, from its own functions.

A row names its check and gives the inputs; a check that says several things names them, and the row
says which it means. No formula of the package is repeated.
"""

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any, TypeVar

from calculators.cloth import losses, size, weight
from calculators.data import load
from calculators.loom import cost, warp, weft
from calculators.quantities import units
from calculators.quantities.interval import Range
from calculators.quantities.parse import parse_length
from calculators.quantities.sharing import shared_evenly
from calculators.records.distributions import t_quantile
from calculators.records.learning import estimate
from calculators.sett import denting, reeds, rules, working
from calculators.weave.ground import ground_of
from calculators.weave.library import weave as weave_named
from calculators.weave.satins import clean_orders, satin_counters, satin_order
from calculators.yarn import diameter, unknown
from calculators.yarn.systems import count_of, tex_of
from calculators.yarn.yarn import length_of, mass_of, parse_yarn

Check = TypeVar("Check", bound=Callable[..., Any])
CHECKS: dict[str, Callable[..., Any]] = {}

YARD = float(units.YARD_CM)
INCH = float(units.INCH_CM)
POUND = float(units.POUND_G)


def check(function: Check) -> Check:
    """Enter a function among the named checks, under its own name."""
    CHECKS[function.__name__] = function
    return function


# Yarn


@check
def convert(count: float, source: str, target: str) -> float:
    """Count in one system from a count in another, where no yarn is so thick or so fine."""
    return count_of(tex_of(count, 1, source), target)


@check
def weighed(yards: float, count: float, system: str) -> float:
    """Pounds that a length of yarn weighs."""
    return mass_of(yards * YARD, tex_of(count, 1, system)) / POUND


@check
def component_weight(component: float, resultant: float, total: float, system: str) -> float:
    """Weight of one component in a weight of the folded yarn, all threads equally long."""
    length = length_of(total, tex_of(resultant, 1, system))
    return mass_of(length, tex_of(component, 1, system))


@check
def count_of_warp(ends: int, yards: float, pounds: float, system: str) -> float:
    """Count of the yarn in a weighed warp of a mill."""
    yarn = warp.warp_yarn(ends, yards * YARD)
    return count_of(unknown.tex_from_sample(yarn, pounds * POUND).likely, system)


# Diameters and setts

DIAMETERS: dict[str, Callable[[float], float]] = {
    "ashenhurst, firm": diameter.diameters_per_inch_ashenhurst,
    "ashenhurst, soft": lambda tex: diameter.diameters_per_inch_ashenhurst(tex, firm=False),
    "taylor": diameter.diameters_per_inch_taylor,
    "peirce": diameter.diameters_per_inch_peirce,
}


@check
def diameters_coefficient(rule: str) -> float:
    """What a rule multiplies the root of yards per pound by."""
    return DIAMETERS[rule](tex_of(1, 1, "yards_per_pound"))


@check
def taylor_limit_of(ends: int, intersections: int, count: float) -> float:
    """Closest sett of a repeat by Taylor, ends per inch."""
    return rules.taylor_limit(tex_of(count, 1, "cotton"), ends, intersections)


@check
def taylor_plain_share() -> float:
    """Taylor's plain cloth as a share of the diameters in an inch."""
    tex = tex_of(1, 1, "cotton")
    return rules.taylor_plain_limit(tex) / diameter.diameters_per_inch_taylor(tex)


@check
def brierley_constant(system: str) -> float:
    """Brierley's K, out of the plain sett of number 1: K = sett squared / count."""
    return rules.brierley_limit(tex_of(1, 1, system), 2, 2, 0.39, system) ** 2


@check
def brierley_exponent(weave: str) -> float:
    """Brierley's exponent of the family that a weave belongs to."""
    return rules.brierley_family(weave_named(weave))[1]


@check
def brierley_over_plain(weave: str) -> float:
    """How much closer than plain a weave may be set by Brierley."""

    def limit(name: str) -> float:
        structure = weave_named(name)
        exponent = rules.brierley_family(structure)[1]
        return rules.brierley_limit(1, structure.ends, float(structure.tightest_pick), exponent)

    return limit(weave) / limit("plain")


@check
def jammed_spacing() -> float:
    """Spacing of jammed plain cloth in sums of two diameters."""
    tex = tex_of(1, 1, "cotton")
    return diameter.diameters_per_inch_peirce(tex) / rules.jammed_limit(tex, 2, 2) / 2


@check
def share_of_limit(weave: str, yarn: str, sett: float) -> float:
    """Share of Ashenhurst's limit that a sett takes."""
    return sett / rules.maximum_sett(parse_yarn(yarn).tex, weave_named(weave))


@check
def setting_share(weave: str) -> float:
    """Limit of a weave as a share of the diameters in an inch."""
    return float(weave_named(weave).sett_share)


@check
def wraps_limit(wraps: float, weave: str) -> float:
    """Closest sett from turns counted on a ruler."""
    structure = weave_named(weave)
    return rules.limit_from_wraps(wraps, structure.ends, float(structure.tightest_pick))


@check
def working_share(firmness: str) -> float:
    """Least share of the limit that a firmness takes."""
    return working.FIRMNESS[firmness].share.low


@check
def within_working_range(sett: float, yarn: str, weave: str, firmness: str) -> float:
    """The sett itself where it lies in our working range, otherwise the nearest end of it."""
    limit = rules.maximum_sett(parse_yarn(yarn).tex, weave_named(weave))
    setts = working.working_range(limit, firmness)
    return min(max(sett, setts.low), setts.high)


# Weaves


@check
def steps(ends: int) -> list[int]:
    """Counters of the regular satins, both of each pair."""
    return list(satin_counters(ends))


@check
def order(ends: int, counter: int) -> list[int]:
    """Order in which a regular satin lifts its ends, counted from 1."""
    return list(satin_order(ends, counter))


@check
def clean_six(order: Sequence[int]) -> bool:
    """Whether an order, counted from 0, is among the clean satins on six ends."""
    return tuple(end + 1 for end in order) in clean_orders(6)


@check
def clean_orders_of(ends: int) -> int:
    """How many orders of lifting make a clean satin."""
    return len(clean_orders(ends))


@check
def first_lifts(weave: str) -> list[int]:
    """End lifted on each pick, counted from 0 and from the first one lifted."""
    structure = weave_named(weave)
    lifts = [row.index(True) for row in structure.matrix]
    return [(lift - lifts[0]) % structure.ends for lift in lifts]


@check
def intersections_per_pick(weave: str) -> float:
    """Crossings of one end for each pick."""
    structure = weave_named(weave)
    return float(structure.warp_intersections) / structure.picks


@check
def ground(weave: str) -> Mapping[str, int]:
    """Shafts of a ground, and how many rise, sink and rest on its first pick."""
    harness = ground_of(weave)
    up, down = len(harness.rise[0]), len(harness.sink[0])
    return {"shafts": harness.shafts, "up": up, "down": down, "rest": harness.shafts - up - down}


# Reeds and harness


@check
def beer_inches(system: str) -> float:
    """Inches over which forty ends of a number 1 reed lie."""
    return denting.width_of(40, reeds.ends_per_inch(1, system, 2))


@check
def dents_for_sett(sett: float, per_dent: int) -> float:
    """Dents per inch that hold a sett with so many ends in each."""
    return sett / denting.denting_sett(1, (per_dent,))


@check
def dents_for_width(ends: int, per_inch: float, dents: int) -> float:
    """Dents per inch that spread these dents over the width of the ends."""
    return dents / denting.width_of(ends, per_inch)


@check
def dented(dents_per_inch: float, order: Sequence[int]) -> float:
    """Sett that a denting order makes."""
    return denting.denting_sett(dents_per_inch, tuple(order))


@check
def sett_of_repeats(repeats: int, ends_per_repeat: int, width_in: float) -> float:
    """Ends in an inch when the repeats fill the width."""
    return size.ends(repeats, ends_per_repeat) / width_in


@check
def in_repeats(ends: int, repeat: int) -> Mapping[str, float]:
    """Whole repeats in a number of ends, what is left, what they use; rows with their part."""
    whole, left = size.units_in_ends(ends, repeat)
    return {"whole": whole, "left": left, "used": ends - left, "rows": whole + left / repeat}


@check
def layout(parts: Sequence[tuple[int, int]]) -> int:
    """Ends of a cloth in parts: ends of each and how often it comes."""
    return size.layout_ends([size.Part("", ends, times) for ends, times in parts])


@check
def shared(total: int, places: int) -> list[int]:
    """Whole things spread evenly, fewest first."""
    return sorted(shared_evenly(total, places))


@check
def shared_counts(total: int, places: int) -> list[int]:
    """How many places get more and how many fewer, when whole things are spread evenly."""
    shares = shared_evenly(total, places)
    return [shares.count(max(shares)), shares.count(min(shares))]


@check
def mixed(ends_per_unit: int, ends: float, picks: float) -> list[int]:
    """Whole picks per unit in turn that make units square on the mean."""
    width = size.unit_width(ends_per_unit, units.per_cm(ends), 0)
    return sorted(size.mixed_picks(weft.picks_total(width, units.per_cm(picks))).order)


@check
def ends_to_picks(ends_per_unit: int, picks_per_unit: int) -> float:
    """Ends over picks in the same length that make the unit square."""
    return 1 / size.picks_for_square(ends_per_unit, picks_per_unit, 1, 0, 0)


@check
def pieces_nearest(length_yd: float, piece_yd: float) -> float:
    """Pieces in a length, to the nearest whole."""
    return size.units_in_length(length_yd * YARD, piece_yd * YARD)


# Losses, weights, costs


@check
def stretches(length: float, stretched: Sequence[float]) -> float:
    """Length after one stretch upon another."""
    for share in stretched:
        length /= losses.plan_factor(share)
    return length


def _weft(width_in: float, picks: float, cloth_yd: float, count: float) -> float:
    total = weft.picks_total(cloth_yd * YARD, units.per_cm(picks))
    return mass_of(weft.weft_length(total, width_in * INCH, 0), tex_of(count, 1, "cotton"))


@check
def weft_cost(
    width_in: float, picks: float, cloth_yd: float, count: float, per_pound: float
) -> float:
    """Cost of the cotton weft of a cloth."""
    per_kilogram = per_pound * float(units.KILOGRAM_G) / POUND
    return cost.yarn_cost(_weft(width_in, picks, cloth_yd, count), per_kilogram)


@check
def piece_weight(
    ends: int, yards: float, warp_count: float, size: float, **filling: float
) -> float:
    """Pounds of a cotton piece: the warp, its size as a share of it, and the weft."""
    warped = mass_of(warp.warp_yarn(ends, yards * YARD), tex_of(warp_count, 1, "cotton"))
    return (warped * (1 + size) + _weft(**filling)) / POUND


@check
def waste_share(waste: float, total: float) -> float:
    """Waste as a share of the whole, per cent."""
    return warp.waste_share(waste, total) * 100


@check
def cover_factor_in_tex() -> float:
    """Cover told in tex and centimetres over the same cover told in counts and inches."""
    return 1 / weight.cover_factor(1, count_of(1, "cotton"))


# What the handbook keeps as it is printed


@check
def article_sizes(names: Sequence[str], unit: str) -> list[float]:
    """Sizes of articles in the handbook's list, the shorter side first."""
    rows = {row["name"]: row for row in load("articles")["article"]}
    sides = [sorted((rows[name]["width_cm"], rows[name]["length_cm"])) for name in names]
    return [side / parse_length(f"1 {unit}") for pair in sides for side in pair]


@check
def first_guess(term: str, end: str) -> float:
    """One end of a first guess, low or high, in its own unit."""
    return float(load("first_guesses")[term][end])


@check
def leads_per_pound(end: str) -> float:
    """How many weights of a pattern heddle go to the pound, by one end of their first guess."""
    return POUND / first_guess("weight_each", end)


# Few records


@check
def t_of(share: float, freedom: int) -> float:
    """Student's t below which a share lies."""
    return t_quantile(share, freedom)


@check
def updated(guess: float, spread: float, records: Sequence[float], spreads: Any) -> float:
    """Own figure from a guess and records, each with its own spread, taken in one by one."""
    record_spreads = spreads if isinstance(spreads, Sequence) else [spreads] * len(records)
    weight = Fraction(spread) ** -2
    for record, record_spread in zip(records, record_spreads, strict=True):
        counts_for = float(weight * Fraction(record_spread) ** 2)
        guess = estimate(Range(guess - 1, guess, guess + 1), [record], counts_for).range.likely
        weight += Fraction(record_spread) ** -2
    return guess


@check
def own_figure(guess: float, record: float, own_share: float) -> float:
    """Own figure from a guess and one record that counts for a share."""
    around = Range(guess - 1, guess, guess + 1)
    return estimate(around, [record], 1 / own_share - 1).range.likely
