"""The whole plan as one form and one job sheet."""

from collections.abc import Mapping
from typing import Any

from calculators.cloth.calculators import picks_table, squareness_cautions
from calculators.cloth.cautions import (
    edge_cautions,
    hem_cautions,
    remainder,
    size_cautions,
    take_up_cautions,
    waste_cautions,
)
from calculators.cloth.cautions import weight_cautions as cloth_cautions
from calculators.cloth.losses import take_up_taylor
from calculators.engine.calculator import Answer, Calculator, Field, Output
from calculators.engine.first_guesses import basis_of, guess, guess_range
from calculators.loom.calculators import (
    ENDS_PER_HEDDLE,
    NOTHING,
    WINDING_WASTE,
    entering_table,
    hours_at,
    read_turn,
    spread_table,
    weight_cautions,
    winding_cautions,
)
from calculators.loom.harness import shortfalls
from calculators.loom.warp import with_winding_waste
from calculators.plan.plan import (
    ClothPlan,
    Project,
    pieces_from_warp,
    pieces_from_weft,
    plan,
)
from calculators.quantities.checks import kept
from calculators.quantities.format import format_range, round_up
from calculators.quantities.interval import Range
from calculators.quantities.sentences import RANGE_MEANS, both, guesses, percent, settled, times
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.calculators import (
    SOFT_SYSTEMS,
    choices_table,
    float_cautions,
    hand_weaving_caution,
)
from calculators.sett.denting import NEAR_ENOUGH, Denting, denting_choices
from calculators.sett.reeds import parse_reeds
from calculators.sett.rules import ashenhurst_limit, maximum_sett
from calculators.sett.working import working_range
from calculators.show.pictures import bar_svg, range_svg, unit_svg
from calculators.yarn.diameter import diameters_per_inch_ashenhurst
from calculators.yarn.systems import count_of
from calculators.yarn.yarn import length_of

FIELDS = (
    Field(
        "finished_width",
        "Finished width",
        "length",
        "48 cm",
        "cm",
        hint="After washing, the pattern's: units are sized by it, selvedges are added to it.",
        minimum=1,
        maximum=1_000,
    ),
    Field(
        "finished_length",
        "Finished length",
        "length",
        "48 cm",
        "cm",
        hint="After washing and hemming.",
        minimum=1,
        maximum=5_000,
    ),
    Field("pieces", "Pieces on this warp", "count", "6", minimum=1, maximum=500),
    Field(
        "warp_yarn",
        "Warp yarn",
        "yarn",
        "16/2",
        system_field="warp_system",
        hint="As it stands on the cone.",
    ),
    Field("warp_system", "Warp counted in", "system", "cotton"),
    Field("weft_yarn", "Weft yarn", "yarn", "16/2", system_field="weft_system"),
    Field("weft_system", "Weft counted in", "system", "cotton"),
    Field("weave", "Weave of the ground", "weave", "satin_6"),
    Field(
        "sett",
        "Sett in the reed",
        "density",
        "18 /cm",
        "1/inch",
        required=False,
        hint="Left empty, the middle of the working range is taken.",
        minimum=1,
        maximum=1_000,
    ),
    Field(
        "picks",
        "Picks on the loom",
        "density",
        "",
        "1/inch",
        required=False,
        hint="Left empty, the picks that make a unit square after washing are taken.",
        minimum=1,
        maximum=1_000,
    ),
    Field("ends_per_unit", "Ends in a unit", "count", "6", minimum=1, maximum=100),
    Field("picks_per_unit", "Picks in a unit", "count", "6", minimum=1, maximum=200),
    Field(
        "width_shrinkage",
        "Wash shrinkage, width",
        "loss",
        guess("width_shrinkage"),
        "%",
        basis="common practice",
        hint="One figure, or low–likely–high such as 3–5–8 %. Your own sample is better. "
        f"{RANGE_MEANS}",
    ),
    Field(
        "length_shrinkage",
        "Wash shrinkage, length",
        "loss",
        guess("length_shrinkage"),
        "%",
        basis="common practice",
        hint=f"One figure, or low–likely–high such as 5–8–12 %. {RANGE_MEANS}",
    ),
    Field(
        "draw_in",
        "Draw-in",
        "loss",
        guess("draw_in"),
        "%",
        basis="common practice",
        hint="How much narrower the cloth is than the reed, in per cent of the reed width. "
        f"{RANGE_MEANS}",
    ),
    Field(
        "take_up",
        "Take-up",
        "loss",
        guess("take_up"),
        "%",
        basis="common practice",
        hint=f"How much longer the warp is than the cloth woven from it. {RANGE_MEANS}",
    ),
    Field(
        "loom_waste",
        "Loom waste",
        "length",
        guess("loom_waste"),
        "cm",
        basis="common practice",
        hint="Front tie-on and thrums. Measure your own.",
        minimum=0,
        maximum=2_000,
    ),
    Field(
        "hem",
        "Length for hems, each piece",
        "length",
        "4 cm",
        "cm",
        advanced=True,
        hint="All the length one piece gives to its hems, both ends together.",
        minimum=0,
        maximum=500,
    ),
    Field(
        "gap", "Gap between pieces", "length", "1 cm", "cm", advanced=True, minimum=0, maximum=200
    ),
    Field("sample", "Sample", "length", "30 cm", "cm", advanced=True, minimum=0, maximum=1_000),
    Field(
        "selvedge_ends",
        "Selvedge ends, both sides",
        "count",
        "8",
        advanced=True,
        minimum=0,
        maximum=500,
    ),
    Field(
        "turn_allowance",
        "Added to each pick",
        "text",
        guess("turn_allowance"),
        "cm",
        advanced=True,
        hint="For the turn: a length such as 1 cm, or a share of the reed width such as 2 %.",
        basis="common practice",
    ),
    Field(
        "firmness",
        "Firmness wanted",
        "choice",
        "table",
        advanced=True,
        choices=(("open", "open"), ("table", "for the table"), ("firm", "firm")),
    ),
    Field(
        "reeds",
        "Reeds you own",
        "text",
        "40/10, 50/10, 60/10, 80/10, 90/10, 120/10",
        advanced=True,
        hint="With commas: 60/10 is 60 dents in 10 cm, 12 dpi is 12 dents in an inch.",
    ),
    Field(
        "threads_in_hand",
        "Threads wound together",
        "count",
        "2",
        advanced=True,
        minimum=1,
        maximum=40,
    ),
    Field("bout_ends", "Ends in a bout", "count", "96", advanced=True, minimum=1, maximum=5_000),
    Field(
        "circumference",
        "Once round the reel or board",
        "length",
        "2 m",
        "m",
        advanced=True,
        minimum=10,
        maximum=3_000,
    ),
    WINDING_WASTE,
    Field(
        "raddle",
        "Spaces of the raddle",
        "reed",
        "10/10",
        "1/inch",
        advanced=True,
        hint="10/10 is 10 spaces in 10 cm; 2 is 2 in an inch. A reed may serve too.",
        minimum=0.05,
        maximum=100,
    ),
    Field("ground_shafts", "Ground shafts", "count", "6", advanced=True, minimum=2, maximum=40),
    ENDS_PER_HEDDLE,
    Field(
        "weight_each",
        "Weight on each pattern unit",
        "mass",
        guess("weight_each"),
        "g",
        advanced=True,
        hint="Weigh one.",
        minimum=0,
        maximum=2_000,
    ),
    Field(
        "temple_step",
        "Temple moved every",
        "length",
        guess("temple_step"),
        "cm",
        advanced=True,
        minimum=0.2,
        maximum=50,
    ),
    Field(
        "advance_step",
        "Warp advanced every",
        "length",
        guess("advance_step"),
        "cm",
        advanced=True,
        minimum=0.2,
        maximum=100,
    ),
    Field(
        "picks_per_minute",
        "Picks in a minute",
        "range",
        guess_range("picks_per_minute"),
        hint="Your own mean pace, pauses counted. One figure, or low–likely–high.",
        basis=basis_of("picks_per_minute"),
        advanced=True,
        minimum=0.01,
        maximum=300,
    ),
    Field(
        "picks_per_pirn",
        "Picks from one pirn",
        "count",
        guess("picks_per_pirn"),
        advanced=True,
        minimum=1,
        maximum=100_000,
    ),
    Field("warp_on_hand", "Warp yarn on hand", "mass", "", "g", required=False, advanced=True),
    Field("weft_on_hand", "Weft yarn on hand", "mass", "", "g", required=False, advanced=True),
    Field(
        "loom_weaving_width",
        "Weaving width of the loom",
        "length",
        "",
        "cm",
        required=False,
        advanced=True,
    ),
    Field(
        "loom_pattern_heddles",
        "Pattern heddles on the loom",
        "count",
        "",
        required=False,
        advanced=True,
    ),
    Field(
        "loom_ground_shafts",
        "Ground shafts on the loom",
        "count",
        "",
        required=False,
        advanced=True,
    ),
    Field(
        "loom_ground_heddles",
        "Heddles on each ground shaft there",
        "count",
        "",
        required=False,
        advanced=True,
    ),
    Field(
        "loom_carries",
        "Weight the pattern harness carries",
        "mass",
        "",
        "kg",
        required=False,
        advanced=True,
    ),
    Field(
        "loom_longest_warp",
        "Longest warp the beam takes",
        "length",
        "",
        "m",
        required=False,
        advanced=True,
    ),
)

OUTPUTS = (
    Output("ends", "Ends in all", formula="F-69", headline=True, whole=True),
    Output("warp_length", "Warp length", "m", formula="F-81", headline=True),
    Output("warp_yarn_mass", "Warp yarn", "g", formula="F-6", headline=True),
    Output("weft_yarn_mass", "Weft yarn", "g", formula="F-6", headline=True),
    Output("warp_yarn_to_have", "Warp yarn to have", "g", formula="F-84"),
    Output("weft_yarn_to_have", "Weft yarn to have", "g", formula="F-84"),
    Output("units_across", "Units across", formula="F-68", headline=True, whole=True),
    Output("units_up", "Units up, each piece", formula="F-68", headline=True, whole=True),
    Output("pattern_ends", "Pattern ends", formula="F-69", whole=True),
    Output("sett", "Sett in the reed", "1/inch", formula="F-49"),
    Output("picks", "Picks on the loom", "1/inch", formula="F-67"),
    Output("picks_for_square", "Picks that make a unit square", "1/inch", formula="F-67"),
    Output("reed_width", "Reed width wanted", "cm", formula="F-61"),
    Output("warp_width_in_reed", "Width of these ends in the reed", "cm", formula="F-55"),
    Output("loom_width", "Cloth width on the loom", "cm", formula="F-60"),
    Output("cloth_sett", "Ends in the cloth on the loom", "1/cm", formula="F-62"),
    Output("unit_width", "Unit width, washed", "mm", formula="F-64"),
    Output("unit_height", "Unit height, washed", "mm", formula="F-65"),
    Output("squareness", "Height ÷ width of a unit", formula="F-66"),
    Output("finished_width", "Width of the pattern, finished", "cm", formula="F-60"),
    Output("finished_width_edge", "Width edge to edge, finished", "cm", formula="F-60"),
    Output("finished_length", "Length it will finish at", "cm", formula="F-63"),
    Output("piece_on_loom", "One piece on the loom", "cm", formula="F-63"),
    Output("woven_length", "Length woven", "m", formula="F-80"),
    Output("waste_share", "Share of the warp lost", "%", formula="F-83"),
    Output("warp_yarn_length", "Warp yarn, length", "m", formula="F-82"),
    Output("weft_yarn_length", "Weft yarn, length", "m", formula="F-86"),
    Output("picks_total", "Picks in all", formula="F-85", whole=True),
    Output("grams_per_square_metre", "Weight of the cloth, washed", "g/m2", formula="F-77"),
    Output("passes", "Passes at winding", formula="F-87", whole=True),
    Output("cross_groups", "Groups in the cross", formula="F-87", whole=True),
    Output("loops", "Loops to spread over the raddle", formula="F-105", whole=True),
    Output("groups_per_unit", "Cross groups in a unit", formula="F-88"),
    Output("bouts", "Bouts", formula="F-89", whole=True),
    Output("turns", "Turns of the reel or board", formula="F-90"),
    Output("walked", "Walked at winding", "m", formula="F-91"),
    Output("pattern_heddles", "Pattern heddles", formula="F-160", whole=True),
    Output("ground_heddles_per_shaft", "Heddles on each ground shaft", formula="F-93", whole=True),
    Output("harness_mass", "Pattern weights in all", "kg", formula="F-95"),
    Output("temple_moves", "Temple moves", formula="F-98", whole=True),
    Output("advances", "Advances of the warp", formula="F-98", whole=True),
    Output("pirns", "Pirns", formula="F-99", whole=True),
    Output("hours", "Hours of weaving", "hours", formula="F-101"),
    Output("pieces_possible", "Pieces that the yarn on hand gives", formula="F-111", whole=True),
)


def closest_sett(given: Mapping[str, Any]) -> float:
    """Return the closest sett of the weave with these two yarns [1/inch], as the sett room does."""
    warp, weft = given["warp_yarn"], given["weft_yarn"]
    return maximum_sett(warp.tex, given["weave"].repeat, weft.tex, warp.system not in SOFT_SYSTEMS)


def project_of(given: Mapping[str, Any]) -> tuple[Project, Range, float]:
    """Read the form as a project, with the working range and the sett taken [1/inch]."""
    working = working_range(closest_sett(given), given["firmness"])
    sett = working.likely if given["sett"] is None else given["sett"]
    turn_share, turn_length = read_turn(given["turn_allowance"])
    project = Project(
        **{name: given[name] for name in _SAME},
        picks_per_minute=given["picks_per_minute"].likely,
        sett=per_cm(sett),
        picks=None if given["picks"] is None else per_cm(given["picks"]),
        turn_share=turn_share.high,
        turn_length=turn_length,
    )
    return project, working, sett


def answer(given: Mapping[str, Any]) -> Answer:
    """Plan the whole cloth."""
    project, working, sett = project_of(given)
    done = plan(project)
    waste = (given["winding_waste"] or NOTHING).high
    warp = given["warp_yarn"]
    reeds = parse_reeds(given["reeds"], "reeds")
    across = diameters_per_inch_ashenhurst(warp.tex, warp.system not in SOFT_SYSTEMS)
    dentings = denting_choices(
        sett, list(reeds.values()), project.ends_per_unit, diameters_per_inch=across
    )[:5]
    spaces = int(round_up(done.warp_width_in_reed * given["raddle"]).value)
    spread, order = spread_table(done.loops, spaces)
    entering, repeats = entering_table(
        done.units_across, project.ends_per_unit, project.ground_shafts
    )
    mixed = picks_table(project.picks_per_unit, done.squareness.likely)
    possible, short = _on_hand(given, project, done, waste)
    results: dict[str, Any] = {
        **{name: _figure(getattr(done, name)) for name in _AS_PLANNED},
        "sett": sett,
        "picks": per_inch(done.picks),
        "picks_for_square": per_inch(done.picks_for_square),
        "unit_width": settled(times(done.unit_width, 10)),
        "unit_height": settled(times(done.unit_height, 10)),
        "woven_length": done.woven_length / 100,
        "warp_length": settled(times(done.warp_yarn_length, 0.01 / done.ends)),
        "walked": done.walked / 100,
        "waste_share": done.waste_share * 100,
        "hours": hours_at(done.picks_total, given["picks_per_minute"]),
        "harness_mass": done.harness_mass / 1000,
        "warp_yarn_length": settled(times(done.warp_yarn_length, 0.01)),
        "weft_yarn_length": settled(times(done.weft_yarn_length, 0.01)),
        "warp_yarn_to_have": with_winding_waste(done.warp_yarn_mass.high, waste),
        "weft_yarn_to_have": with_winding_waste(done.weft_yarn_mass.high, waste),
        "cross_groups": done.passes,
    }
    if possible is not None:
        results["pieces_possible"] = settled(possible)
    return Answer(
        results=results,
        tables={
            "denting": choices_table(
                dentings, {dents: text for text, dents in reeds.items()}, done.ends
            ),
            "spread": spread,
            "entering": entering,
            **({"picks": mixed} if mixed else {}),
        },
        notes=(
            *_notes(given, project, done),
            *_of_the_units(dentings[0]),
            f"The raddle, spaces × loops: {order}.",
            repeats,
        ),
        cautions=(
            *_disagreements(project, done, working, sett),
            *_of_the_reed(dentings[0]),
            *winding_cautions(
                done.ends, project.threads_in_hand, project.bout_ends, project.ends_per_unit
            ),
            *_of_the_loom(given, project, done),
            *short,
        ),
        pictures=(
            range_svg(
                f"Working range of {project.weave.title}, in ends per inch, under its limit",
                working.low,
                working.high,
                closest_sett(given),
                [("this plan", sett)],
            ),
            *_pictures(project, done),
        ),
        sources=(
            "taylor-1909", "bell-1895", "astm-d3883", "iso-5077", "ashenhurst-note",
            "swedish-winding", "trade-knowledge",
        ),
    )  # fmt: skip


_SAME = (
    "finished_width", "finished_length", "pieces", "warp_yarn", "weft_yarn", "weave",
    "ends_per_unit", "picks_per_unit", "hem", "gap", "sample", "loom_waste", "selvedge_ends",
    "width_shrinkage", "length_shrinkage", "draw_in", "take_up", "threads_in_hand", "bout_ends",
    "circumference", "ground_shafts", "weight_each", "temple_step", "advance_step",
    "picks_per_pirn", "ends_per_heddle",
)  # fmt: skip
_AS_PLANNED = (
    "ends", "warp_yarn_mass", "weft_yarn_mass", "units_across", "units_up", "pattern_ends",
    "reed_width", "warp_width_in_reed", "loom_width", "cloth_sett", "squareness",
    "finished_width", "finished_width_edge", "finished_length", "piece_on_loom", "picks_total",
    "grams_per_square_metre", "passes", "loops", "groups_per_unit", "bouts", "turns",
    "pattern_heddles", "ground_heddles_per_shaft", "temple_moves", "advances", "pirns",
)  # fmt: skip


def _figure(found: float | Range) -> float | Range:
    return settled(found) if isinstance(found, Range) else found


def _edges(project: Project) -> tuple[str, ...]:
    spread = "Spread the warp a little wider than the cloth, for the edges draw in."
    if not project.selvedge_ends:
        return (spread,)
    return (f"{project.selvedge_ends} selvedge ends want heddles of their own.", spread)


def _notes(given: Mapping[str, Any], project: Project, done: ClothPlan) -> list[str]:
    on_loom = done.piece_on_loom - project.hem / kept(
        project.length_shrinkage.likely, "length_shrinkage"
    )
    notes = [
        remainder(
            done.units_exactly,
            done.units_across,
            project.ends_per_unit,
            "across",
            done.finished_width.likely - project.finished_width,
        ),
        remainder(
            on_loom * done.picks / project.picks_per_unit,
            done.units_up,
            project.picks_per_unit,
            "up",
            done.units_up * done.unit_height.likely - project.finished_length,
        ),
    ]
    if given["sett"] is None:
        notes.append("No sett was given, so the middle of the working range is taken.")
    if given["picks"] is None:
        notes.append("No picks were given, so those that make a unit square are taken.")
    rule = _foretold(project, done)
    notes += [
        f"For this weave, these picks and this weft Taylor’s rule foretells a take-up of "
        f"{percent(rule)}; the plan takes {format_range(project.take_up)}.",
        "The weight of the cloth is that of all the yarn in it, washed, with nothing lost from "
        "the yarn itself.",
        *_edges(project),
        "The hours are those of weaving: winding, entering and finishing often take as long again.",
        *guesses(
            width_shrinkage=project.width_shrinkage,
            length_shrinkage=project.length_shrinkage,
            draw_in=project.draw_in,
            take_up=project.take_up,
        ),
    ]
    return notes


def _foretold(project: Project, done: ClothPlan) -> float:
    """Return the take-up that the rule foretells."""
    weave = project.weave
    crossing = weave.warp_intersections / weave.picks
    return take_up_taylor(done.picks, crossing, count_of(project.weft_yarn.tex, "cotton"), 3)


def _disagreements(project: Project, done: ClothPlan, working: Range, sett: float) -> list[str]:
    found = []
    if sett > working.high:
        found.append(
            f"The sett of {both(sett, '1/inch')} is above the working range, which ends at "
            f"{both(working.high, '1/inch')}: the shed may not clear."
        )
    elif sett < working.low:
        found.append(
            f"The sett of {both(sett, '1/inch')} is below the working range, which begins at "
            f"{both(working.low, '1/inch')}: the threads may slide."
        )
    weave = project.weave.repeat
    most = ashenhurst_limit(
        project.weft_yarn.tex,
        weave.picks,
        max(weave.intersections_of_ends),
        project.warp_yarn.system not in SOFT_SYSTEMS,
        project.warp_yarn.tex,
    )
    if per_inch(done.picks) > most:
        found.append(
            f"{both(per_inch(done.picks), '1/inch')} is more picks than this weft can be beaten "
            f"to in this weave, by the rule of the sett {both(most, '1/inch')}: take a finer weft, "
            "fewer picks in a unit or a more open sett."
        )
    found += float_cautions(weave, sett)
    found += squareness_cautions(done.squareness.likely, per_inch(done.picks_for_square))
    found += hand_weaving_caution(sett)
    found += size_cautions(done.finished_width.likely, project.finished_width, "wide")
    tall = done.units_up * done.unit_height.likely
    found += size_cautions(tall, project.finished_length, "long")
    found += edge_cautions(done.finished_width.likely, done.finished_width_edge.likely)
    found += take_up_cautions(project.take_up, _foretold(project, done))
    found += waste_cautions(done.waste_share)
    found += hem_cautions(project.hem, project.finished_length)
    found += cloth_cautions(done.grams_per_square_metre.likely)
    if project.ends_per_unit % weave.ends and weave.ends % project.ends_per_unit:
        found.append(
            f"A unit of {project.ends_per_unit} ends does not match a weave of "
            f"{weave.ends}: units bind differently from one to the next."
        )
    if project.ground_shafts % weave.ends:
        found.append(
            f"{weave.title[0].upper()}{weave.title[1:]} wants a multiple of {weave.ends} ground "
            f"shafts; {project.ground_shafts} are given."
        )
    return found


def _of_the_reed(best: Denting) -> list[str]:
    found = []
    if abs(best.error) > NEAR_ENOUGH:
        found.append(
            f"None of your reeds comes near the sett: the nearest is {percent(abs(best.error))} "
            "off, and the cloth as much wider or narrower."
        )
    if best.marks:
        found.append(f"{best.order_text} in the dents: {best.marks}. Weave and wash a sample.")
    return found


def _of_the_units(best: Denting) -> list[str]:
    if best.whole:
        return [f"With {best.order_text} in the dents every unit begins at a dent."]
    return [
        f"With {best.order_text} in the dents units do not begin at a dent: counting dents is not "
        "counting units."
    ]


_CAPACITY = (
    ("loom_weaving_width", "weaving width", "cm"),
    ("loom_longest_warp", "length of warp on the beam", "cm"),
    ("loom_pattern_heddles", "pattern heddles", ""),
    ("loom_ground_shafts", "ground shafts", ""),
    ("loom_ground_heddles", "heddles on each ground shaft", ""),
    ("loom_carries", "weight in the pattern harness", "g"),
)


def _of_the_loom(given: Mapping[str, Any], project: Project, done: ClothPlan) -> list[str]:
    needed = (
        done.warp_width_in_reed,
        done.warp_yarn_length.high / done.ends,
        done.pattern_heddles,
        project.ground_shafts,
        done.ground_heddles_per_shaft,
        done.harness_mass,
    )
    units = {words: unit for _, words, unit in _CAPACITY}
    lacking = shortfalls(
        dict(zip(units, needed, strict=True)), {words: given[name] for name, words, _ in _CAPACITY}
    )
    return [
        *(
            f"The loom has too little {one.what}: {both(one.needed, units[one.what])} needed, "
            f"{both(one.there, units[one.what])} there."
            for one in lacking
        ),
        *weight_cautions(done.harness_mass),
    ]


def _on_hand(
    given: Mapping[str, Any], project: Project, done: ClothPlan, waste: float
) -> tuple[Range | None, list[str]]:
    """Return the pieces that the yarn on hand gives, and what it is short by."""
    least: Range | None = None
    short = []
    for side, yarn, count in (
        ("warp", project.warp_yarn, pieces_from_warp),
        ("weft", project.weft_yarn, pieces_from_weft),
    ):
        mass = given[f"{side}_on_hand"]
        if mass is None:
            continue
        hand = count(project, done, mass * kept(waste, "winding_waste"))
        pieces = hand.pieces
        least = (
            pieces
            if least is None
            else Range(
                min(least.low, pieces.low),
                min(least.likely, pieces.likely),
                min(least.high, pieces.high),
            )
        )
        if hand.short > 0:
            missing = with_winding_waste(hand.short, waste)
            enough = "" if pieces.is_exact else " if the losses are high"
            short.append(
                f"{side.capitalize()} yarn is short by {both(missing, 'g')}, "
                f"{both(length_of(missing, yarn.tex) / 100, 'm')}: it gives {pieces.low} of "
                f"{project.pieces} pieces{enough}."
            )
    return least, short


def _pictures(project: Project, done: ClothPlan) -> tuple[str, ...]:
    between = (project.pieces - 1) * project.gap
    parts = (
        ("cloth", done.woven_length - between - project.sample),
        ("gaps and sample", between + project.sample),
        ("take-up", done.warp_length - project.loom_waste - done.woven_length),
        ("loom waste", project.loom_waste),
    )
    return (
        bar_svg("What becomes of the warp", [part for part in parts if part[1] > 0]),
        unit_svg(
            "Four by four units as they wash, and a centimetre",
            done.unit_width.likely * 10,
            done.unit_height.likely * 10,
        ),
    )


CLOTH_PLAN = Calculator(
    "cloth-plan",
    "C-40",
    "plan/whole-plan/",
    "The whole plan",
    "What does one cloth need, from the cone to the cut?",
    FIELDS,
    OUTPUTS,
    answer,
    woven_along=True,
)

CALCULATORS = (CLOTH_PLAN,)
