"""Named checks: each works a published value out again with the package's own functions.

A row of calculators/data/published names its check and gives the inputs; what is written here only
turns the row's units into the package's and back. No formula of the package is repeated.
"""

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any, TypeVar

from calculators.cloth import losses, size, weight
from calculators.loom import cost, harness, warp, weft, winding
from calculators.quantities import units
from calculators.quantities.parse import parse_reed
from calculators.quantities.spread import spread_evenly
from calculators.sett import change, denting, reeds, rules, working
from calculators.weave.library import weave as weave_named
from calculators.weave.matrix import Weave, from_lifts
from calculators.weave.satins import clean_orders, satin_counters, satin_order
from calculators.yarn import diameter, folded, unknown
from calculators.yarn.systems import count_of, tex_of
from calculators.yarn.yarn import Yarn, length_of, mass_of, parse_yarn

Value = float | bool | list[Any]
Check = TypeVar("Check", bound=Callable[..., Value])
CHECKS: dict[str, Callable[..., Value]] = {}

GRAMS = {
    "g": Fraction(1),
    "gr": units.GRAIN_G,
    "dram": units.DRAM_G,
    "oz": units.OUNCE_G,
    "lb": units.POUND_G,
}
CENTIMETRES = {"m": units.METRE_CM, "yd": units.YARD_CM}
YARD = float(units.YARD_CM)
INCH = float(units.INCH_CM)
POUND = float(units.POUND_G)


def check(function: Check) -> Check:
    """Enter a function among the named checks, under its own name."""
    CHECKS[function.__name__] = function
    return function


# Units and counts


@check
def constant(name: str, per: str = "", times: int = 1) -> float:
    """Size of a unit, in another one if named."""
    value: Fraction = getattr(units, name)
    return float(value * times / (getattr(units, per) if per else 1))


@check
def convert(count: float, source: str, target: str) -> float:
    """Count in one system from a count in another."""
    return count_of(tex_of(count, 1, source), target)


@check
def mass_per_metre(system: str) -> float:
    """Kilograms that a metre of number 1 weighs."""
    return mass_of(float(units.METRE_CM), tex_of(1, 1, system)) / float(units.KILOGRAM_G)


@check
def length_of_unit_mass(system: str, mass: str, length: str) -> float:
    """Length of number 1 that weighs one unit of mass."""
    return length_of(float(GRAMS[mass]), tex_of(1, 1, system)) / float(CENTIMETRES[length])


@check
def hank_share(system: str, share: int) -> float:
    """Yards in a share of the hank."""
    return length_of_unit_mass(system, "lb", "yd") / share


@check
def resultant(yarn: str, system: str) -> float:
    """Count of a folded yarn as one thread, in its own system."""
    return resultant_in(yarn, system, system)


@check
def resultant_in(yarn: str, system: str, target: str) -> float:
    """Count of a yarn as one thread, in another system."""
    return count_of(_yarn(yarn, system).tex, target)


@check
def resultants(yarns: Sequence[tuple[str, str]]) -> Value:
    """Counts of several yarns as one thread each."""
    return [resultant(yarn, system) for yarn, system in yarns]


def _yarn(text: str, system: str) -> Yarn:
    return parse_yarn(text, system)


@check
def folded_count(counts: Sequence[float]) -> float:
    """Count of threads of these counts twisted together."""
    return folded.resultant_count(*counts)


@check
def side_by_side(counts: Sequence[float]) -> float:
    """Mean count of threads of these counts used side by side."""
    return folded.side_by_side_count(*counts)


@check
def partner(known: Sequence[float], wanted: float) -> float:
    """Count to fold with those known for the count wanted."""
    return folded.partner_count(known, wanted)


def _sample_tex(yards: float, grams: float) -> float:
    return unknown.tex_from_sample(yards * YARD, grams).likely


def _sample_grams(masses: dict[str, float]) -> float:
    return sum(float(GRAMS[unit]) * amount for unit, amount in masses.items())


@check
def count_from_sample(yards: float, system: str, **masses: float) -> float:
    """Count of a measured and weighed length."""
    return count_of(_sample_tex(yards, _sample_grams(masses)), system)


@check
def tex_of_sample(yards: float, **masses: float) -> float:
    """Linear density of a measured and weighed length."""
    return _sample_tex(yards, _sample_grams(masses))


@check
def length_in_mass_of_sample(yards: float, per: str, length: str, **masses: float) -> float:
    """Length in a unit of mass, of yarn like a sample."""
    tex = _sample_tex(yards, _sample_grams(masses))
    return length_of(float(GRAMS[per]), tex) / float(CENTIMETRES[length])


@check
def weight_of_like_sample(yards: float, wanted_yards: float, mass: str, **masses: float) -> float:
    """Weight of a length of yarn like a sample."""
    tex = _sample_tex(yards, _sample_grams(masses))
    return mass_of(wanted_yards * YARD, tex) / float(GRAMS[mass])


@check
def weighed(yards: float, count: float, system: str, mass: str) -> float:
    """Weight of a length of yarn of a known count."""
    return mass_of(yards * YARD, tex_of(count, 1, system)) / float(GRAMS[mass])


@check
def length_in_mass(pounds: float, count: float, system: str) -> float:
    """Yards in a weight of yarn of a known count."""
    return length_of(pounds * POUND, tex_of(count, 1, system)) / YARD


@check
def miles_per_pound(count: float, system: str) -> float:
    """Miles in a pound of yarn."""
    return length_in_mass(1, count, system) / 1760


@check
def component_weight(component: float, resultant: float, total: float, system: str) -> float:
    """Weight of one component in a weight of the folded yarn, all threads equally long."""
    length = length_of(total, tex_of(resultant, 1, system))
    return mass_of(length, tex_of(component, 1, system))


# Diameters and setts

DIAMETERS: dict[str, Callable[[float], float]] = {
    "ashenhurst": diameter.diameters_per_inch_ashenhurst,
    "taylor": diameter.diameters_per_inch_taylor,
    "peirce": diameter.diameters_per_inch_peirce,
}
LIMITS: dict[str, Callable[[float, float, float], float]] = {
    "ashenhurst": rules.ashenhurst_limit,
    "taylor": rules.taylor_limit,
    "peirce": rules.peirce_limit,
    "jammed": rules.jammed_limit,
}


@check
def diameters(rule: str, count: float, system: str) -> float:
    """Threads that lie side by side in an inch."""
    return DIAMETERS[rule](tex_of(count, 1, system))


@check
def diameters_coefficient(rule: str) -> float:
    """What a rule multiplies the root of yards per pound by."""
    return DIAMETERS[rule](tex_of(1, 1, "yards_per_pound"))


@check
def ashenhurst_coefficients() -> Value:
    """Ashenhurst's multipliers for firm and for soft yarn."""
    tex = tex_of(1, 1, "yards_per_pound")
    return [diameter.diameters_per_inch_ashenhurst(tex, firm) for firm in (True, False)]


@check
def limit(rule: str, weave: str, count: float, system: str) -> float:
    """Closest sett of a weave by one rule, ends per inch."""
    found, tex = weave_named(weave), tex_of(count, 1, system)
    if rule == "brierley":
        _, exponent, _ = rules.brierley_family(found)
        crossings = float(found.tightest_pick)
        return rules.brierley_limit(tex, found.ends, crossings, exponent)
    return LIMITS[rule](tex, found.ends, float(found.tightest_pick))


@check
def limit_of(rule: str, ends: int, intersections: int, count: float, system: str) -> float:
    """Closest sett of a repeat by one rule, ends per inch."""
    return LIMITS[rule](tex_of(count, 1, system), ends, intersections)


@check
def limit_per_decimetre(rule: str, weave: str, count: float, system: str) -> float:
    """Closest sett of a weave by one rule, ends in 10 cm."""
    return units.per_cm(limit(rule, weave, count, system)) * 10


@check
def taylor_plain(count: float, system: str) -> float:
    """Taylor's plain cloth, a twentieth closer."""
    return rules.taylor_plain_limit(tex_of(count, 1, system))


@check
def taylor_plain_share() -> float:
    """Taylor's plain cloth as a share of the diameters in an inch."""
    return taylor_plain(1, "cotton") / diameters("taylor", 1, "cotton")


@check
def brierley_constant(count: float, system: str) -> float:
    """Brierley's K, out of the plain sett: K = sett squared / count."""
    tex = tex_of(count, 1, system)
    return rules.brierley_limit(tex, 2, 2, 0.39) ** 2 / count_of(tex, "cotton")


@check
def brierley_exponents(weaves: Sequence[str]) -> Value:
    """Brierley's exponents of the families these weaves belong to."""
    return [rules.brierley_family(weave_named(name))[1] for name in weaves]


@check
def brierley_over_plain(weave: str) -> float:
    """How much closer than plain a weave may be set by Brierley."""
    return limit("brierley", weave, 1, "cotton") / limit("brierley", "plain", 1, "cotton")


@check
def jammed_spacing() -> float:
    """Spacing of jammed plain cloth in sums of two diameters."""
    return diameters("peirce", 1, "cotton") / limit("jammed", "plain", 1, "cotton") / 2


@check
def share_of_limit(rule: str, weave: str, count: float, system: str, sett: float) -> float:
    """Share of a rule's limit that a sett takes."""
    return sett / limit(rule, weave, count, system)


@check
def setting_shares(weaves: Sequence[str]) -> Value:
    """Limit of each weave as a share of the diameters in an inch."""
    return [float(weave_named(name).sett_share) for name in weaves]


@check
def wraps_limit(wraps: float, weave: str) -> float:
    """Closest sett from turns counted on a ruler."""
    found = weave_named(weave)
    return rules.limit_from_wraps(wraps, found.ends, float(found.tightest_pick))


@check
def working_share(firmness: str) -> float:
    """Least share of the limit that a firmness takes."""
    return working.FIRMNESS[firmness].share.low


@check
def within_working_range(sett: float, yarn: str, system: str, weave: str, firmness: str) -> float:
    """The sett itself where it lies in our working range, otherwise the nearest end of it."""
    most = rules.maximum_sett(_yarn(yarn, system).tex, weave_named(weave))
    found = working.working_range(most, firmness)
    return min(max(sett, found.low), found.high)


@check
def sett_for_weave(sett: float, source: str, target: str) -> float:
    """Sett in another weave at the same firmness."""
    return change.sett_for_weave(sett, weave_named(source), weave_named(target))


@check
def sett_for_weaves(sett: float, source: str, targets: Sequence[str]) -> Value:
    """Setts in other weaves at the same firmness."""
    return [sett_for_weave(sett, source, target) for target in targets]


@check
def sett_for_twill(sett: float, source: str, floats: Sequence[int]) -> float:
    """Sett in a twill given by its floats, up and down in turn."""
    return change.sett_for_weave(sett, weave_named(source), _twill(floats))


def _twill(floats: Sequence[int]) -> Weave:
    ends = sum(floats)
    starts = [sum(floats[:place]) for place in range(0, len(floats), 2)]
    runs = zip(starts, floats[::2], strict=True)
    up = [start + step for start, run in runs for step in range(run)]
    lifts = [[(end + pick) % ends + 1 for end in up] for pick in range(ends)]
    return Weave("", "", from_lifts(ends, lifts))


@check
def sett_for_count(sett: float, source: float, target: float, system: str) -> float:
    """Sett in another count at the same firmness."""
    return change.sett_for_count(sett, tex_of(source, 1, system), tex_of(target, 1, system))


@check
def count_for_sett(count: float, sett: float, target: float, system: str) -> float:
    """Count that keeps the firmness in another sett."""
    return count_of(change.tex_for_sett(tex_of(count, 1, system), sett, target), system)


@check
def count_for_weave(count: float, source: str, target: str, system: str) -> float:
    """Count that keeps sett and firmness in another weave."""
    tex = change.tex_for_weave(tex_of(count, 1, system), weave_named(source), weave_named(target))
    return count_of(tex, system)


# Weaves


@check
def counters(ends: int) -> Value:
    """Counters of the regular satins, the smaller of each pair."""
    return [counter for counter in satin_counters(ends) if 2 * counter < ends]


@check
def steps(ends: int) -> Value:
    """Counters of the regular satins, both of each pair."""
    return list(satin_counters(ends))


@check
def order(ends: int, counter: int) -> Value:
    """Order in which a regular satin lifts its ends, counted from 1."""
    return list(satin_order(ends, counter))


@check
def clean_six(order: Sequence[int]) -> bool:
    """Whether an order, counted from 0, is among the clean satins on six ends."""
    return tuple(end + 1 for end in order) in clean_orders(6)


@check
def clean_orders_of(ends: int) -> float:
    """How many orders of lifting make a clean satin."""
    return len(clean_orders(ends))


@check
def first_lifts(weave: str) -> Value:
    """End lifted on each pick, counted from 0 and from the first one lifted."""
    found = weave_named(weave)
    lifts = [row.index(True) for row in found.matrix]
    return [(lift - lifts[0]) % found.ends for lift in lifts]


@check
def intersections(weave: str) -> float:
    """Crossings of one end in the repeat."""
    return float(weave_named(weave).warp_intersections)


@check
def intersections_per_pick(weaves: Sequence[str]) -> Value:
    """Crossings of one end for each pick."""
    found = [weave_named(name) for name in weaves]
    return [float(one.warp_intersections) / one.picks for one in found]


@check
def longest_floats(weaves: Sequence[str]) -> Value:
    """Longest float of the warp in each weave or its reverse side."""
    return [max(weave_named(name).longest_float) for name in weaves]


@check
def weave_ends(weaves: Sequence[str]) -> Value:
    """Ends in the repeat of each weave."""
    return [weave_named(name).ends for name in weaves]


# Reeds


@check
def reed_ends(reed: float, system: str, per_dent: float) -> float:
    """Ends in an inch of a numbered reed."""
    return reeds.ends_per_inch(reed, system, per_dent)


@check
def reed_ends_over(reed: float, system: str, width_in: float, per_dent: float) -> float:
    """Ends in a width of a numbered reed."""
    return width_in / denting.width_of(1, reeds.ends_per_inch(reed, system, per_dent))


@check
def reed_converted(reed: float, source: str, target: str) -> float:
    """Number of a reed in another system."""
    return reeds.reed_number(reeds.dents_per_inch(reed, source), target)


@check
def reed_number(dents_per_inch: float, system: str) -> float:
    """Number of a reed of known dents."""
    return reeds.reed_number(dents_per_inch, system)


@check
def beer_inches(systems: Sequence[str]) -> Value:
    """Inches over which forty ends of a number 1 reed lie."""
    return [denting.width_of(40, reeds.ends_per_inch(1, system, 2)) for system in systems]


@check
def dents_for_sett(sett: float, per_dent: Sequence[int]) -> Value:
    """Dents per inch that hold a sett with so many ends in each."""
    one_dent = [denting.denting_sett(1, (ends,)) for ends in per_dent]
    return [sett / ends for ends in one_dent]


@check
def dents_for_width(ends: int, per_inch: float, dents: int) -> float:
    """Dents per inch that spread these dents over the width of the ends."""
    return dents / denting.width_of(ends, per_inch)


@check
def typed_reed(text: str) -> float:
    """Dents in 10 cm of a reed as typed."""
    return parse_reed(text) * 10


@check
def dented(dents_per_inch: float, order: Sequence[int]) -> float:
    """Sett that a denting order makes."""
    return denting.denting_sett(dents_per_inch, tuple(order))


@check
def heddles_per_inch(sett: int, shafts: int) -> float:
    """Heddles in an inch of each shaft."""
    return harness.ground_heddles_per_shaft(sett, shafts)


# Ends, units, repeats


@check
def ends(units: int, ends_per_unit: int) -> float:
    """Ends of so many units, repeats, hooks or shafts."""
    return size.ends(units, ends_per_unit)


@check
def layout(parts: Sequence[tuple[int, int]]) -> float:
    """Ends of a cloth in parts: ends of each and how often it comes."""
    return size.layout_ends([size.Part("", ends, times) for ends, times in parts])


@check
def ends_in_width(width_in: float, per_inch: float) -> float:
    """Ends, hooks or holes in a width."""
    return size.units_across(width_in * INCH, units.per_cm(per_inch), 1)


@check
def picks_in_length(length_in: float, per_inch: float) -> float:
    """Picks or cards in a length."""
    return size.units_up(length_in * INCH, units.per_cm(per_inch), 1)


@check
def dents_in_width(width_in: float, per_inch: float, edges: int) -> float:
    """Dents in a width, with those added for the edges."""
    return size.ends(size.units_across(width_in * INCH, units.per_cm(per_inch), 1), 1, edges)


@check
def width_of_ends(ends: int, per_inch: float) -> float:
    """Inches that so many ends take."""
    return denting.width_of(ends, per_inch)


@check
def sett_of_repeats(repeats: int, ends_per_repeat: int, width_in: float) -> float:
    """Ends in an inch when the repeats fill the width."""
    return size.ends(repeats, ends_per_repeat) / width_in


@check
def whole_repeats(ends: int, repeat: int) -> float:
    """Whole repeats in a number of ends."""
    return size.units_in_ends(ends, repeat)[0]


@check
def left_over(ends: int, repeat: int) -> float:
    """Ends that whole repeats leave over."""
    return size.units_in_ends(ends, repeat)[1]


@check
def used_and_repeats(ends: int, repeat: int) -> Value:
    """Ends that whole repeats use, and the repeats."""
    repeats, left = size.units_in_ends(ends, repeat)
    return [ends - left, repeats]


@check
def rows_of(ends: int, per_row: int) -> float:
    """Rows that the ends fill, with the part of a row that is left."""
    rows, left = size.units_in_ends(ends, per_row)
    return rows + left / per_row


@check
def shared(total: int, places: int) -> Value:
    """Whole things spread evenly, fewest first."""
    return sorted(spread_evenly(total, places))


@check
def shared_counts(total: int, places: int) -> Value:
    """How many places get more and how many fewer, when whole things are spread evenly."""
    shares = spread_evenly(total, places)
    return [shares.count(max(shares)), shares.count(min(shares))]


@check
def picks_per_unit(ends_per_unit: int, ends: float, picks: float) -> float:
    """Picks that make a unit square: unit width in heights of one pick."""
    width = size.unit_width(ends_per_unit, units.per_cm(ends), 0)
    return size.squareness(width, size.unit_height(1, units.per_cm(picks), 0))


@check
def mixed(ends_per_unit: int, ends: float, picks: float) -> Value:
    """Whole picks per unit in turn that make units square on the mean."""
    return sorted(size.mixed_picks(picks_per_unit(ends_per_unit, ends, picks)).order)


@check
def ends_to_picks(ends_per_unit: int, picks_per_unit: int) -> float:
    """Ends over picks in the same length that make the unit square."""
    return 1 / size.picks_for_square(ends_per_unit, picks_per_unit, 1, 0, 0)


@check
def square_picks(
    ends_per_unit: int,
    picks_per_unit: int,
    ends: float,
    width_shrinkage: float,
    length_shrinkage: float,
) -> float:
    """Picks per centimetre on the loom that are square after washing."""
    return size.picks_for_square(
        ends_per_unit, picks_per_unit, ends, width_shrinkage, length_shrinkage
    )


@check
def pieces_nearest(length_yd: float, piece_yd: float) -> float:
    """Pieces in a length, to the nearest whole."""
    return size.units_in_length(length_yd * YARD, piece_yd * YARD)


# Losses, weights, costs


@check
def taylor_take_up(picks: float, weave: str, weft: float, multiplier: float) -> float:
    """Take-up of the warp by Taylor, per cent."""
    found = weave_named(weave)
    share = float(found.warp_intersections) / found.picks
    return losses.take_up_taylor(units.per_cm(picks), share, weft, multiplier) * 100


@check
def crimp(yarn: float, cloth: float) -> float:
    """Crimp, per cent of the cloth."""
    return losses.crimp(yarn, cloth) * 100


@check
def take_up(yarn: float, cloth: float) -> float:
    """Take-up, per cent of the yarn."""
    return losses.take_up(yarn, cloth) * 100


@check
def take_up_of_crimp(crimp: float) -> float:
    """Take-up from crimp, per cent."""
    return losses.take_up_from_crimp(crimp) * 100


@check
def dimensional_change(before: float, after: float) -> float:
    """Change in the wash, per cent, shrinkage negative."""
    return losses.dimensional_change(before, after) * 100


@check
def shrinkage(before: float, after: float) -> float:
    """Shrinkage, or draw-in, per cent of the size before."""
    return -losses.dimensional_change(before, after) * 100


@check
def piece_on_loom(finished: float, shrinkage: float) -> float:
    """Length to weave for a finished length."""
    return size.piece_on_loom(finished, 0, shrinkage)


@check
def stretches(length: float, stretched: Sequence[float]) -> float:
    """Length after one stretch upon another."""
    for share in stretched:
        length /= losses.plan_factor(share)
    return length


@check
def warp_for_cloth(cloth_yd: float, take_up: float) -> float:
    """Yards of warp for yards of cloth."""
    return warp.warp_for(cloth_yd * YARD, take_up, 0) / YARD


@check
def warp_yards(ends: int, yards: float) -> float:
    """Yards of yarn in a warp."""
    return warp.warp_yarn(ends, yards * YARD) / YARD


@check
def warp_hanks(ends: int, yards: float) -> float:
    """Cotton hanks in a warp: the hanks that number 1 would weigh in pounds."""
    return mass_of(warp.warp_yarn(ends, yards * YARD), tex_of(1, 1, "cotton")) / POUND


@check
def warp_weight(
    ends: int,
    yards: float,
    count: float,
    system: str,
    mass: str,
    plies: int = 1,
    allowance: float = 0.0,
) -> float:
    """Weight of a warp, with the book's allowance for waste added on."""
    tex = tex_of(count, plies, system)
    grams = mass_of(warp.warp_yarn(ends, yards * YARD), tex)
    return grams * (1 + allowance) / float(GRAMS[mass])


@check
def silk_warp_weight(ends: int, yards: float, drams: float, allowance: float) -> float:
    """Pounds of a silk warp whose 1000 yards weigh so many drams."""
    tex = _sample_tex(1000, drams * float(units.DRAM_G))
    return mass_of(warp.warp_yarn(ends, yards * YARD), tex) * (1 + allowance) / POUND


def _weft_cm(width_in: float, cloth_yd: float, picks_per_inch: float) -> float:
    picks = weft.picks_total(cloth_yd * YARD, units.per_cm(picks_per_inch))
    return weft.weft_length(picks, width_in * INCH, 0)


@check
def weft_yards(width_in: float, picks: float, cloth_yd: float) -> float:
    """Yards of weft in a cloth."""
    return _weft_cm(width_in, cloth_yd, picks) / YARD


@check
def weft_weight(
    width_in: float, cloth_yd: float, picks: float, count: float, system: str, mass: str
) -> float:
    """Weight of the weft of a cloth."""
    grams = mass_of(_weft_cm(width_in, cloth_yd, picks), tex_of(count, 1, system))
    return grams / float(GRAMS[mass])


@check
def silk_weft_weight(
    width_in: float, cloth_yd: float, picks: float, threads: int, drams: float, allowance: float
) -> float:
    """Pounds of a silk weft whose 1000 yards weigh so many drams, several threads to a pick."""
    tex = _sample_tex(1000, drams * float(units.DRAM_G))
    return mass_of(_weft_cm(width_in, cloth_yd, picks * threads), tex) * (1 + allowance) / POUND


@check
def weft_cost(
    width_in: float, cloth_yd: float, picks: float, count: float, system: str, per_pound: float
) -> float:
    """Cost of the weft of a cloth."""
    grams = mass_of(_weft_cm(width_in, cloth_yd, picks), tex_of(count, 1, system))
    return cost.yarn_cost(grams, per_pound * float(units.KILOGRAM_G) / POUND)


@check
def total_cost(yarn: float, other: Sequence[float]) -> float:
    """Cost of a job without hours."""
    return cost.job_cost(yarn, 0, 0, other).total


@check
def warp_length_of_weight(ends: int, pounds: float, count: float, system: str) -> float:
    """Yards of warp that a weight of yarn makes."""
    yarn = length_of(pounds * POUND, tex_of(count, 1, system))
    return yarn / warp.warp_yarn(ends, YARD)


@check
def count_of_warp(ends: int, yards: float, pounds: float, system: str) -> float:
    """Count of the yarn in a weighed warp."""
    yarn = warp.warp_yarn(ends, yards * YARD)
    return count_of(unknown.tex_from_sample(yarn, pounds * POUND).likely, system)


@check
def waste_share(waste: float, total: float) -> float:
    """Waste as a share of the whole, per cent."""
    return warp.waste_share(waste, total) * 100


@check
def turns(yards: float, circumference_in: float) -> float:
    """Turns of a reel for a length."""
    return winding.turns(yards * YARD, circumference_in * INCH)


@check
def warp_grams(ends: float, tex: float, crimp: float) -> float:
    """Mass of the warp in a square metre of cloth."""
    metre = float(units.METRE_CM)
    length = warp.warp_for(metre, crimp, 0)
    return mass_of(warp.warp_yarn(size.units_across(metre, ends, 1), length), tex)


@check
def grams_per_square_metre(
    ends: float,
    picks: float,
    warp: tuple[float, str],
    weft: tuple[float, str],
    warp_crimp: float,
    weft_crimp: float,
) -> float:
    """Mass of a square metre of cloth."""
    warp_tex, weft_tex = (tex_of(count, 1, system) for count, system in (warp, weft))
    return weight.grams_per_square_metre(ends, picks, warp_tex, weft_tex, warp_crimp, weft_crimp)


@check
def cover_factor_in_tex() -> float:
    """Cover told in tex and centimetres over the same cover told in counts and inches."""
    return 1 / weight.cover_factor(1, count_of(1, "cotton"))


@check
def area_covered(threads_per_cm: float, count: float) -> float:
    """Share of a square cloth's face that is thread, per cent."""
    cover = weight.cover_factor(threads_per_cm, count)
    return weight.area_covered(cover, cover) * 100


@check
def per_cm(per_inch: Sequence[float]) -> Value:
    """Threads per centimetre from threads per inch."""
    return [units.per_cm(threads) for threads in per_inch]
