"""Every formula beside its statement in the trade, which knows nothing of the package.

``EQUATIONS`` are read as text and worked out by pint with the units of the terms, so that a wrong
sign, number or unit shows. Losses, setts and lengths stand as the design contract has them, crimp
and change as ASTM D3883 and ISO 5077 do, the change of sett and the weft as Taylor 1909 does, cover
as Peirce 1937 does; the rest are the trade's sums, common practice, no source.
"""

import json
import random
import sys
from functools import cache
from itertools import chain
from math import ceil, floor, isclose
from pathlib import Path

import pint
import pytest

import calculators.page  # noqa: F401 - every room enters its formulas
from calculators.engine.formula import BOOK, logged
from calculators.engine.reading import read_inputs
from calculators.engine.sources import formulas
from calculators.engine.terms import terms
from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.registry import registry
from tests.every import of_every

SQUARES = (  # the sum of squares after few records, by the conjugate normal model
    "guess_freedom * guess_spread ** 2 + own_squares"
    " + counts_for * own_cloths / (counts_for + own_cloths) * (own_mean - general_guess) ** 2"
)
BY_CROSSINGS = "repeat_ends / (repeat_ends + intersections) * diameters_per_inch"
LONGER = (  # three hypotenuses over the straight line
    "((fell_to_shafts ** 2 + shafts_height ** 2) ** 0.5"
    " + (harness_distance ** 2 + (harness_height - shafts_height) ** 2) ** 0.5"
    " + (behind_harness ** 2 + harness_height ** 2) ** 0.5"
    " - fell_to_shafts - harness_distance - behind_harness)"
)
LIFTED = "((ends_per_unit - ends_bound) * rest_bend + ends_bound * bound_bend)"
EQUATIONS = {
    "F-1 Linear density from an indirect count": "constant / count * plies",
    "F-2 Linear density from a direct count": "count * constant * plies",
    "F-3 Count from linear density": "constant / tex",
    "F-3 Direct count from linear density": "tex / constant",
    "F-4 Yards in a pound": "1 / tex",
    "F-5 Metres in a kilogram": "1 / tex",
    "F-6 Weight of a length of yarn": "thread_length * tex",
    "F-7 Length of a weight of yarn": "yarn_mass / tex",
    "F-7 Length on the cone, at the least": "(net_mass - scale_step) / (tex + tex * tolerance)",
    "F-7 Length on the cone, at the most": "(net_mass + scale_step) / (tex - tex * tolerance)",
    "F-8 Diameters in an inch, Ashenhurst": "coefficient * (pound / yard / tex) ** 0.5 / inch",
    "F-9 Diameters in an inch, Taylor, cotton": "0.95 * (pound / yard / tex) ** 0.5 / inch",
    "F-10 Diameters in an inch, Peirce, cotton": "28 * cotton_count ** 0.5 / inch",
    "F-11 Diameter of a yarn": "1 / diameters_per_inch",
    "F-12 Wraps round a ruler": "0.7 * diameters_per_inch",
    "F-13 Count of a plied yarn": "1 / sum(1 / one for one in yarns)",
    "F-13 Direct count of a plied yarn": "sum(yarns)",
    "F-14 What to ply with these to make that": "1 / (1 / wanted - sum(1 / one for one in known))",
    "F-14 What to ply with these to make that direct count": "wanted - sum(known)",
    "F-15 Average count of yarns used by turns": "len(yarns) / sum(1 / one for one in yarns)",
    "F-15 Average direct count of yarns used by turns": "sum(yarns) / len(yarns)",
    "F-16 Linear density from a sample": "sample_mass / sample_length",
    "F-16 Linear density from a sample, at the least": "(sample_mass - scale_step / 2)"
    " / (sample_length + sample_length * length_off)",
    "F-16 Linear density from a sample, at the most": "(sample_mass + scale_step / 2)"
    " / (sample_length - sample_length * length_off)",
    "F-17 Length to weigh for a wanted accuracy": "scale_step / tex / share_open / 2",
    "F-18 Deviation of a known yarn from a measured one": "(known_tex - tex) / tex",
    "F-19 Yarn on a cone": "gross - empty",
    "F-20 Intersections of a pick": "pick_crossings / repeat_picks",
    "F-20 Intersections of an end": "end_crossings / repeat_ends",
    "F-21 Average float": "2 * (repeat_ends * repeat_picks) / (end_crossings + pick_crossings)",
    "F-23 Warp share of the face": "squares_up / (repeat_ends * repeat_picks)",
    "F-24 Share of the inch left for ends": "repeat_ends / (repeat_ends + intersections)",
    "F-27 Number of regular satins": "(coprimes - 2) / 2",
    "F-30 Threads true to scale": "1 / threads_per_cm",
    "F-40 Ends and intersections": BY_CROSSINGS,
    "F-41 Ends and intersections, unlike yarns": "repeat_ends"
    " / (repeat_ends / diameters_per_inch + intersections / weft_diameters)",
    "F-41 Weft threads side by side in an inch": "diameters_per_inch"
    " / (weft_tex / warp_tex) ** 0.5",
    "F-42 Ashenhurst's limit": BY_CROSSINGS,
    "F-43 Taylor's limit": BY_CROSSINGS,
    "F-44 Taylor's plain cloth": "maximum * 105 / 100",
    "F-45 Brierley's limit": "(repeat_ends / intersections) ** brierley_exponent"
    " * brierley_constant ** 0.5 * brierley_count ** 0.5 / inch",
    "F-46 Limit by Peirce's diameter": BY_CROSSINGS,
    "F-47 Round threads packed until they touch": "repeat_ends / ((repeat_ends - intersections)"
    " / diameters_per_inch + 3 ** 0.5 / 2 * intersections / diameters_per_inch"
    " + 3 ** 0.5 / 2 * intersections / weft_diameters)",
    "F-48 Turns on a ruler": "wraps / 0.7 * repeat_ends / (repeat_ends + intersections)",
    "F-49 Working sett": "maximum * limit_share",
    "F-50 Sett in another yarn": "sett * (tex_from / tex_to) ** 0.5",
    "F-50 Yarn for another sett": "tex_from * (sett / sett_to) ** 2",
    "F-51 Sett in another weave": "sett * ((ends_from + intersections_from) / ends_from)"
    " / ((ends_to + intersections_to) / ends_to)",
    "F-52 Dents in an inch": "reed * dents_of_number_one",
    "F-52 Number of a reed": "dents_per_inch / dents_of_number_one",
    "F-52 Ends in an inch of a numbered reed": "dents_per_inch * ends_per_dent",
    "F-53 Sett of a sleying order": "dents_per_inch / order_dents * order_ends",
    "F-53 Ends in a dent, on the average": "sett / dents_per_inch",
    "F-54 Error of a sleying order": "(order_sett - sett) / sett",
    "F-55 Width of these ends in the reed": "ends / reed_sett",
    "F-60 Width on the loom": "finished_width / (1 - width_shrinkage)",
    "F-60 Width after the wash": "loom_width - loom_width * width_shrinkage",
    "F-60 Width lost in the wash": "(loom_width - finished_width) / loom_width",
    "F-61 Width in the reed": "loom_width / (1 - draw_in)",
    "F-61 Width on the loom from the reed": "reed_width - reed_width * draw_in",
    "F-61 Draw-in": "(reed_width - loom_width) / reed_width",
    "F-62 Ends in the cloth on the loom": "reed_sett / (1 - draw_in)",
    "F-62 Ends in the reed": "cloth_sett - cloth_sett * draw_in",
    "F-63 One piece on the loom": "(finished_length + hem) / (1 - length_shrinkage)",
    "F-63 Length after wash and hems": "piece_on_loom * (1 - length_shrinkage) - hem",
    "F-63 Length lost in the wash": "(loom_length - washed_length) / loom_length",
    "F-63 The pattern’s length on the loom": "finished_length / (1 - length_shrinkage)",
    "F-64 Units to the inch, in the reed": "reed_sett / ends_per_unit",
    "F-64 A unit’s finished width": "ends_per_unit / (cloth_sett / (1 - width_shrinkage))",
    "F-65 A unit’s finished height": "picks_per_unit / picks * (1 - length_shrinkage)",
    "F-65 Length of the whole units, washed": "units_up * unit_height",
    "F-66 Squareness": "unit_height / unit_width",
    "F-67 Picks for square units": "picks_per_unit / ends_per_unit * cloth_sett"
    " * (1 - length_shrinkage) / (1 - width_shrinkage)",
    "F-68 Units across": "nearest(loom_width / (ends_per_unit / cloth_sett))",
    "F-68 Units up": "nearest(loom_length / (picks_per_unit / picks))",
    "F-69 Ends of the warp": "units_across * ends_per_unit + selvedge_ends",
    "F-69 Ends of the pattern": "units_across * ends_per_unit",
    "F-71 Hems of one piece": "hemmed_ends * fold + hemmed_ends * turn_in",
    "F-73 Take-up foretold": "multiplier * intersections_per_inch / weft_count",
    "F-74 Crimp": "(yarn_length - cloth_length) / cloth_length",
    "F-74 Take-up": "(yarn_length - cloth_length) / yarn_length",
    "F-74 Crimp from take-up": "1 / (1 - thread_take_up) - 1",
    "F-74 Take-up from crimp": "1 - 1 / (1 + crimp)",
    "F-75 Change in the wash": "(after - before) / before",
    "F-76 Factor to plan with": "1 / (1 + change)",
    "F-77 A square metre": "cloth_ends * warp_tex * (1 + warp_crimp)"
    " + picks * weft_tex * (1 + weft_crimp)",
    "F-78 Cover factor": "threads_per_inch * cotton_count ** -0.5",
    "F-79 Part covered by one set of threads": "cover / 28",
    "F-79 Area covered": "1 - (1 - covered_by_warp) * (1 - covered_by_weft)",
    "F-80 Length to weave": "pieces * piece_on_loom + pieces * gap - gap + sample",
    "F-80 Pieces that a length holds": "down((woven_length - sample + gap)"
    " / (piece_on_loom + gap))",
    "F-81 Length of the warp": "woven_length + woven_length * take_up + loom_waste",
    "F-81 Length that a warp weaves": "(warp_length - loom_waste) / (1 + take_up)",
    "F-81 Take-up measured": "(warp_length - thrums - woven_length) / woven_length",
    "F-82 Yarn in the warp": "ends * warp_length",
    "F-82 Length of each end": "warp_yarn_length / ends",
    "F-83 Waste’s share": "loom_waste / warp_length",
    "F-84 Yarn needed, with reserve": "yarn_woven / (1 - winding_waste)",
    "F-85 Picks in all": "woven_length * picks",
    "F-86 Added to each pick": "turn_share * reed_width",
    "F-86 Added to each pick, as a share": "turn_allowance / reed_width",
    "F-86 Length that a weft weaves": "weft_yarn_length / picks / (reed_width + turn_allowance)",
    "F-86 Weft": "picks_total * reed_width + picks_total * turn_allowance",
    "F-87 Passes, each of one direction": "up(ends / threads_in_hand)",
    "F-88 Cross groups to a unit": "ends_per_unit / threads_in_hand",
    "F-89 Bouts": "up(ends / bout_ends)",
    "F-90 Turns": "warp_length / circumference",
    "F-91 Way of the hand": "passes * warp_length",
    "F-93 Heddles on each ground shaft": "up(pattern_ends / ground_shafts)",
    "F-95 Mass of the harness": "units_across * weight_each",
    "F-98 Moves of the temple": "up(woven_length / temple_step)",
    "F-98 Advances of the warp": "up(woven_length / advance_step)",
    "F-99 Pirns": "up(picks_total / picks_per_pirn)",
    "F-100 Picks from one pirn": "yarn_on_pirn / (reed_width + turn_allowance)",
    "F-101 Hours from picks": "picks_total / picks_per_minute",
    "F-102 Hours from length": "woven_length / cm_per_hour",
    "F-103 Cost of yarn": "yarn_mass * yarn_price",
    "F-104 Total": "(yarn_cost + labour + other_costs) * (1 + overhead)",
    "F-104 All the hours": "preparing_hours + weaving_hours + finishing_hours",
    "F-104 Hours paid": "all_hours * rate",
    "F-104 Rent, tools and light": "overhead * (yarn_cost + labour + other_costs)",
    "F-104 For each piece": "total_cost / pieces",
    "F-105 Loops, there and back": "up(ends / threads_in_hand / 2)",
    "F-106 Crimp of the warp in the finished cloth": "(1 + take_up) / (1 - length_shrinkage) - 1",
    "F-106 Crimp of the weft in the finished cloth": "(1 + turn_share) / (1 - draw_in)"
    " / (1 - width_shrinkage) - 1",
    "F-113 Picks of a stretch": "nearest(length * picks)",
    "F-114 Picks between two moves": "down(step * picks)",
    "F-120 Place in the ranking": "100 * weighed_parts / weights",
    "F-120 One part as it counts": "part * weight",
    "F-121 Yarn that may be used": "yarn_on_cones - yarn_on_cones * reserve",
    "F-121 Length that a shelf allows": "(usable - waste_mass) / mass_per_cm",
    "F-122 Relative luminance": "0.2126 * red + 0.7152 * green + 0.0722 * blue",
    "F-123 Difference of two colours": "(lightness_apart ** 2 + red_apart ** 2"
    " + yellow_apart ** 2) ** 0.5",
    "F-124 Fit for its use": "usual * float_fit * borne",
    "F-127 Uncertainty of one reading": "smallest_step / 12 ** 0.5",
    "F-127 Uncertainty of a loss from the step of the tape": "2 * after / before"
    " * smallest_step / 12 ** 0.5 * (1 / before ** 2 + 1 / after ** 2) ** 0.5",
    "F-127 Uncertainty of a take-up from the step of the tape": "2 * (warp_length - thrums)"
    " / woven_length * smallest_step / 12 ** 0.5"
    " * (2 / (warp_length - thrums) ** 2 + 1 / woven_length ** 2) ** 0.5",
    "F-128 Own figure from few records": "(counts_for * general_guess + own_cloths * own_mean)"
    " / (counts_for + own_cloths)",
    "F-129 Spread of the general guess": "guess_reach / student_t / (1 + 1 / counts_for) ** 0.5",
    "F-129 Squares of all that is off": SQUARES,
    "F-129 Low and high of the next cloth": f"student_t * (({SQUARES}) / (guess_freedom"
    " + own_cloths) * (1 + 1 / (counts_for + own_cloths))) ** 0.5",
    "F-132 Grams that make it safe": "up(grams_at_chance)",
    "F-132 To be had besides": "safe - on_hand",
    "F-133 Loom waste from the distances along the warp": "front + ground + between + behind",
    "F-134 Second weft, from edge to edge": "ground_weft * picks_to_ground * second_tex / weft_tex",
    "F-142 Average count of equal weights": "sum(yarns) / len(yarns)",
    "F-142 Average direct count of equal weights": "len(yarns) / sum(1 / one for one in yarns)",
    "F-150 Ends of a dent that the wash spreads evenly": "1 + 2 * sett"
    " / (diameters_per_inch - sett)",
    "F-150 Share of the inch that the yarn fills": "sett / diameters_per_inch",
    "F-150 Ends that lie side by side in a dent": "diameters_per_inch / dents_per_inch",
    "F-160 Pattern heddles": "units_across * up(ends_per_unit / ends_per_heddle)",
    "F-161 Width before the side hems": "finished_width + side_hems",
    "F-161 Width with the side hems sewn": "washed_width - side_hems",
    "F-190 Rows of units for a picture in its true proportions": "nearest(units_across * unit_width"
    " / (points_across / points_up) / unit_height)",
    "F-200 How far a thread lies along the light": "thread_level * light_beside"
    " + thread_rise * light_above",
    "F-201 How far a thread lies across the light": "(1 - along_light ** 2) ** 0.5",
    "F-202 How near the eye is to the mirrored light": "across_light * thread_level"
    " - along_light * thread_rise",
    "F-203 Light from the body of a thread": "even + across_light * spread",
    "F-203 Light from the gloss of a thread": "to_mirror ** sharpness * gloss",
    "F-204 Slope of a thread that goes under": "(warp_diameter / 2 + weft_diameter / 2)"
    " / thread_room",
    "F-205 Smallest detail that an eye parts": "viewing_distance / acuity / 3437.75",
    "F-206 Smallest stroke that is read, in units": "up(detail / unit_width)",
    "F-207 Smallest stroke that is read": "stroke_units * unit_width",
    "F-208 Contrast of figure and ground": "brighter / darker",
    "F-210 Shed where the shuttle runs": "shafts_shed * shuttle_place / fell_to_shafts",
    "F-211 Height at the ground shafts": "height_at_harness"
    " / (1 + harness_distance / fell_to_shafts)",
    "F-211 Height at the pattern harness": "height_at_shafts"
    " * (1 + harness_distance / fell_to_shafts)",
    "F-211 Drawn ends above the line": "pattern_lift - below_line",
    "F-211 Ends at rest, from the line": "-below_line",
    "F-212 Length of the long eye": "shafts_shed + eye_clearance + eye_clearance",
    "F-212 Shed that an eye allows": "own_eye - eye_clearance - eye_clearance",
    "F-213 Way of a ground shaft": "shafts_shed + eye_clearance",
    "F-214 Longer way of a bent end": LONGER,
    "F-215 Stretch of an end": "(way - rest_way) / (fell_to_shafts + harness_distance"
    " + behind_harness + further_back)",
    "F-217 Share of an end’s pull that lifts the heddle": "1 / (1 + (harness_distance"
    " / (shafts_height - harness_height)) ** 2) ** 0.5 * ((shafts_height > harness_height) * 2 - 1)"
    " - harness_height / (behind_harness ** 2 + harness_height ** 2) ** 0.5",
    "F-218 Weight to a pattern unit": f"end_pull * (1 + rubbing) * {LIFTED}",
    "F-218 Pull that a weight holds": f"weight_each / (1 + rubbing) / {LIFTED}",
    "F-219 Pull on one end, measured": "test_weight / test_ends / 2"
    " * (1 + (test_span / 2 / test_sag) ** 2) ** 0.5",
    "F-170 Clean edges of a unit": "4 - uncut_edges",
    "F-180 Units at rest": "units_across * units_up - units_drawn",
    "F-182 Share of the figure": "units_drawn / (units_drawn + units_at_rest)",
    "F-183 Picks of the figure": "units_up * picks_per_unit",
    "F-220 Height of a thread's wave": "4 / 3 * (crimp * threads_per_intersection) ** 0.5"
    " / threads_crossed",
    "F-220 Crimp that round threads need": "(3 / 8 * (warp_diameter + weft_diameter)"
    " * threads_crossed) ** 2 / threads_per_intersection",
    "F-221 How round the threads stay": "(warp_wave + weft_wave) / (warp_diameter + weft_diameter)",
    "F-222 Thickness, pressed": "roundness_kept * (warp_diameter + weft_diameter)",
    "F-223 Thickness over one set of threads": "wave_height + roundness_kept * diameter",
}
RATES = {  # what a term is a rate of, which its unit leaves to its words
    "picks_per_minute": " / minute",
    "cm_per_hour": " / hour",
    "multiplier": " * percent",
    "units_per_inch": " / inch",
    "mass_per_cm": " / cm",
}
MEASURES = pint.get_application_registry()
UNITS = {
    "": "1",
    "share": "1",
    "1/cm": "1 / cm",
    "1/inch": "1 / inch",
    "h": "hour",
    "g/m2": "g / meter ** 2",
}
MAY_BE_NOTHING = {
    *("hem", "gap", "sample", "fold", "turn_in", "hemmed_ends", "selvedge_ends", "loom_waste"),
    *("thrums", "turn_share", "turn_allowance", "weight_each", "yarn_mass", "yarn_price", "change"),
    *("crimp", "warp_crimp", "weft_crimp", "take_up", "thread_take_up", "winding_waste"),
    *("width_shrinkage", "length_shrinkage", "draw_in", "cover", "covered_by_warp", "reserve"),
    *("covered_by_weft", "thread_length", "net_mass", "scale_step", "tolerance", "gross", "empty"),
    *("overhead", "other_costs", "preparing_hours", "weaving_hours", "finishing_hours", "rate"),
    *("smallest_step", "front", "ground", "between", "behind", "ground_weft", "picks_to_ground"),
    *("yarn_on_cones", "length_off", "side_hems", "hemmed_sides", "uncut_edges"),
    *("units_drawn", "units_at_rest", "even", "spread", "gloss", "to_mirror"),
    *("wave_height", "warp_wave", "weft_wave", "roundness", "roundness_kept"),
    *("below_line", "eye_clearance", "further_back"),
    *("ends_bound", "rubbing"),
}
WORKED_OUT = {  # nobody types these, and some may be below nothing
    *("pick_crossings", "end_crossings", "squares_up", "coprimes", "yarn_cost", "labour"),
    *("all_hours", "total_cost", "counts_for", "general_guess", "own_cloths", "own_mean", "part"),
    *("student_t", "guess_freedom", "guess_spread", "guess_reach", "own_squares", "weight"),
    *("grams_at_chance", "safe", "on_hand", "red", "green", "blue", "lightness_apart", "usual"),
    "washed_width",
    *("red_apart", "yellow_apart", "weighed_parts", "weights", "float_fit", "borne", "usable"),
    *("waste_mass", "units_up", "after", "length", "order_sett", "brierley_exponent"),
    *("thread_level", "thread_rise", "light_beside", "light_above", "along_light"),
    *("across_light", "stroke_units", "thread_room"),
    *("brierley_constant", "brierley_count", "warp_yarn_length", "weft_yarn_length"),
    *("height_at_harness", "height_at_shafts", "harness_height", "shafts_height", "way"),
    *("rest_way", "rest_bend", "bound_bend"),
}
LOSSES = {  # never the whole
    *("width_shrinkage", "length_shrinkage", "draw_in", "winding_waste", "thread_take_up"),
    *("tolerance", "length_off", "reserve"),
}
PRINTED = json.loads((Path(__file__).parent / "printed.json").read_text(encoding="utf-8"))
RECORDS = {f"{key} {one.name}": one for key, entries in BOOK.items() for one in entries}
STATED = {name: one for name, one in RECORDS.items() if EQUATIONS.get(name)}


MEASURED = {  # the rest: counts
    **dict.fromkeys(("lasting_float", "washed_float", "length_behind"), "cm"),
    "wanted_stretch": "share",
    "tex_rounded": "tex",
}


def test_what_only_algorithms_take_and_give_has_the_unit_of_its_kind():
    told, stated = (
        {one for record in records for one in (record.gives, *record.parameters)}
        for records in (
            [one for one in RECORDS.values() if one.words],
            [one for one in RECORDS.values() if not one.words],
        )
    )
    for name in told - stated:
        assert terms()[name].unit == MEASURED.get(name, ""), name


def rounding(how):
    """Round a figure and keep its unit."""

    def rounded(figure):
        plain = figure.to_reduced_units()
        return how(plain.magnitude) * plain.units

    return rounded


ROUNDINGS = {
    "up": rounding(lambda figure: ceil(figure - 1e-9)),
    "down": rounding(lambda figure: floor(figure + 1e-9)),
    "nearest": rounding(lambda figure: floor(figure + 0.5)),
}


@cache
def by_name():
    """The units that equations name; pint reads its own file at the first of them."""
    return {name: MEASURES(name) for name in ("pound", "yard", "inch")}


def unit_of(name):
    unit = terms()[name].unit
    return MEASURES(f"{UNITS.get(unit, unit)}{RATES.get(name, '')}")


def typical(name, chance):
    """A figure that a weaver may meet; of two lengths in one formula neither need be the longer."""
    return chance.uniform(0.01, 0.4) if terms()[name].unit == "share" else chance.uniform(2, 90)


def test_every_formula_of_the_book_is_stated_here_and_none_besides():
    told_in_words = {name for name, one in RECORDS.items() if one.words}
    assert set(EQUATIONS) == set(RECORDS) - told_in_words


def drawn(record, chance):
    """Draw a figure for each parameter, three for one that stands for several."""
    figures = {one: [typical(one, chance)] for one in record.parameters}
    if record.several:
        figures[record.parameters[-1]] = [typical(record.parameters[-1], chance) for _ in range(3)]
    return figures


@of_every(STATED)
def test_a_formula_is_the_trades(name, record):
    chance = random.Random(name)
    stated = compile(EQUATIONS[name], name, "eval")
    for _ in range(5):
        figures = drawn(record, chance)
        known = {one: [each * unit_of(one) for each in some] for one, some in figures.items()}
        for one in record.parameters[:-1] if record.several else record.parameters:
            (known[one],) = known[one]
        wanted = eval(stated, {**ROUNDINGS, **by_name(), **known}) / unit_of(record.gives)
        wanted = float(MEASURES.Quantity(wanted).to("1").magnitude)
        found = record.function(*chain(*figures.values()))
        assert isclose(found, wanted, rel_tol=1e-9, abs_tol=1e-12), (found, wanted, figures)


@of_every(PRINTED)
def test_what_is_printed_on_sheets_keeps_its_meaning(number, printed):
    """Ids are never changed nor used again; their names and works stand on printed sheets."""
    row = formulas()[number]
    told = [[one.name, *one.sources] for one in BOOK.get(number, ())]
    assert [one for one in printed if one not in (told or [[row["name"], *row["sources"]]])] == []


@of_every(STATED)
def test_what_cannot_be_is_refused(name, record):
    checked = getattr(sys.modules[record.function.__module__], record.function.__name__)
    chance = random.Random(name)
    for place, one in enumerate(record.parameters):
        impossible = [-1.0] + [0.0] * (one not in MAY_BE_NOTHING) + [1.0] * (one in LOSSES)
        for figure in impossible if one not in WORKED_OUT else ():
            figures = list(chain(*drawn(record, chance).values()))
            figures[place] = figure
            with pytest.raises(InputError):
                checked(*figures)


MADE_OF = {  # results that are made of what their formula gives, beyond a change of unit
    *("yarn_mass", "second_yarn_mass", "second_yarn_length", "washed_width", "washed_length"),
    *("washed_width_edge", "short"),
    "sett",  # the plan's may be given
}
APART = ("reed-number",)  # one reed in every system, none of which is told
BETWEEN_UNITS = (1, 10, 100, 0.01, 0.001, 2.54, 1 / 2.54)


@of_every([one.id for one in registry().values() if not one.stages and one.id not in APART])
def test_a_result_is_what_the_formula_it_cites_gave(name):
    one = registry()[name]
    readings, errors = read_inputs(one, {})
    assert not errors
    with logged() as log:
        answer = one.answer({key: reading.value for key, reading in readings.items()})
    wrong = []
    for output in one.outputs:
        value = answer.results.get(output.name)
        value = value.likely if isinstance(value, Range) else value
        if output.formula not in BOOK or output.name in MADE_OF or isinstance(value, str | None):
            continue
        gave = [done.value for done in log if done.formula.id == output.formula]
        wanted = [made * times for made in gave for times in BETWEEN_UNITS]
        wanted += [round(made) for made in gave if output.whole]
        if gave and not any(isclose(value, made, rel_tol=1e-9) for made in wanted):
            wrong.append((output.name, output.formula, value, sorted(set(gave))))
    assert not wrong, wrong
