"""The whole plan as one form and one job sheet."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from calculators.cloth.calculators import picks_table, size_remarks
from calculators.cloth.cautions import hem_cautions, take_up_cautions, waste_cautions
from calculators.cloth.cautions import weight_cautions as cloth_cautions
from calculators.cloth.losses import take_up_taylor
from calculators.engine.calculator import Answer, Field
from calculators.engine.network import Figure, Worked
from calculators.engine.vocabulary import Given, aside, ask, calculated, give, if_known, known
from calculators.loom.calculators import (
    WINDING_WASTE,
    entering_table,
    read_turn,
    shortages,
    spread_table,
)
from calculators.loom.cautions import weight_cautions, winding_cautions
from calculators.loom.warp import with_winding_waste
from calculators.plan.plan import PLAN
from calculators.quantities.checks import kept
from calculators.quantities.format import format_range, round_up
from calculators.quantities.interval import Range
from calculators.quantities.sentences import both, guesses, percent
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.calculators import ASK_FIRMNESS, SOFT_SYSTEMS, choices_table, float_cautions
from calculators.sett.denting import NEAR_ENOUGH, Denting, denting_choices
from calculators.sett.reeds import parse_reeds
from calculators.sett.rules import ashenhurst_limit, maximum_sett
from calculators.sett.working import working_range
from calculators.show.pictures import bar_svg, piece_svg, range_svg, unit_svg
from calculators.yarn.diameter import diameters_per_inch_ashenhurst
from calculators.yarn.systems import count_of
from calculators.yarn.yarn import length_of

FIELDS = (
    ask("finished_width", "48 cm"),
    ask("finished_length", "48 cm"),
    ask("pieces", "6"),
    ask("warp_yarn", "16/2", system_field="warp_system"),
    ask("warp_system", "cotton"),
    ask("weft_yarn", "16/2", system_field="weft_system"),
    ask("weft_system", "cotton"),
    ask("weave", "satin_6"),
    ask(
        "reed_sett",
        "18 /cm",
        name="sett",
        unit="1/inch",
        required=False,
        hint="Left empty, the middle of the working range is taken.",
    ),
    ask(
        "picks",
        "",
        unit="1/inch",
        required=False,
        hint="Left empty, the picks that make a unit square after washing are taken.",
    ),
    ask("ends_per_unit", "6"),
    ask("picks_per_unit", "6"),
    ask("width_shrinkage"),
    ask("length_shrinkage"),
    ask("draw_in"),
    ask("take_up"),
    ask("loom_waste"),
    aside("hem", "4 cm"),
    aside("gap", "1 cm"),
    aside("sample", "30 cm"),
    aside("selvedge_ends", "8"),
    aside("turn_allowance"),
    replace(ASK_FIRMNESS, advanced=True),
    aside("reeds", "40/10, 50/10, 60/10, 80/10, 90/10, 120/10"),
    aside("threads_in_hand", "2"),
    aside("bout_ends", "96"),
    aside("circumference", "2 m", unit="m"),
    WINDING_WASTE,
    aside("raddle", "10/10"),
    aside("ground_shafts", "6"),
    if_known("ends_per_heddle"),
    aside("weight_each"),
    aside("temple_step"),
    aside("advance_step"),
    aside("picks_per_minute"),
    aside("picks_per_pirn"),
    if_known("warp_on_hand"),
    if_known("weft_on_hand"),
    if_known("loom_weaving_width"),
    if_known("loom_pattern_heddles"),
    if_known("loom_ground_shafts"),
    if_known("loom_ground_heddles"),
    if_known("loom_carries"),
    if_known("loom_longest_warp"),
)

OUTPUTS = (
    give("ends", headline=True, stage="Winding"),
    give("warp_length", headline=True, stage="Winding"),
    give("warp_yarn_mass", headline=True, stage="Yarn to have"),
    give("weft_yarn_mass", headline=True, stage="Yarn to have"),
    give("warp_yarn_to_have", told="high", stage="Yarn to have"),
    give("weft_yarn_to_have", told="high", stage="Yarn to have"),
    give("units_across", headline=True, stage="Weaving"),
    give("units_up", headline=True, stage="Weaving"),
    give("pattern_ends", stage="Entering"),
    give("reed_sett", name="sett", unit="1/inch", formula="F-49", stage="In the reed"),
    give("picks", unit="1/inch", stage="Weaving"),
    give("picks_for_square", told="likely"),
    give("reed_width", told="likely", stage="Beaming"),
    give("warp_width_in_reed", stage="Beaming"),
    give("loom_width", told="likely", stage="Off the loom and washed"),
    give("cloth_sett", told="likely", stage="Off the loom and washed"),
    give("unit_width", stage="Off the loom and washed"),
    give("unit_height", stage="Off the loom and washed"),
    give("squareness", stage="Off the loom and washed"),
    give("washed_width", name="finished_width", stage="Off the loom and washed"),
    give("washed_width_edge", name="finished_width_edge", stage="Off the loom and washed"),
    give("length_in_the_end", name="finished_length", stage="Off the loom and washed"),
    give("piece_woven", name="piece_on_loom", stage="Weaving"),
    give("woven_length", told="likely", stage="Weaving"),
    give("waste_share", told="likely", stage="Off the loom and washed"),
    give("warp_yarn_length", stage="Yarn to have"),
    give("weft_yarn_length", stage="Yarn to have"),
    give("picks_planned", name="picks_total", stage="Weaving"),
    give(
        "grams_per_square_metre",
        label="Weight of the cloth, washed",
        stage="Off the loom and washed",
    ),
    give("passes", stage="Winding"),
    give("passes", name="cross_groups", label="Groups in the cross", stage="Winding"),
    give("loops", stage="Beaming"),
    give("groups_per_unit", stage="Winding"),
    give("bouts", stage="Winding"),
    give("turns", told="likely", stage="Winding"),
    give("walked", told="likely", stage="Winding"),
    give("pattern_heddles", stage="Entering"),
    give("ground_heddles_per_shaft", stage="Entering"),
    give("harness_mass", stage="Entering"),
    give("temple_moves", told="likely", stage="Weaving"),
    give("advances", told="likely", stage="Weaving"),
    give("pirns", told="likely", stage="Weaving"),
    give("hours", stage="Weaving"),
    give("pieces_possible", formula="F-111", stage="Yarn to have"),
)


def _firm(given: Given) -> bool:
    system: str = given["warp_yarn"].system
    return system not in SOFT_SYSTEMS


def closest_sett(given: Given) -> float:
    """Return the closest sett of the weave with these two yarns [1/inch], as the sett room does."""
    warp, weft = given["warp_yarn"], given["weft_yarn"]
    return maximum_sett(warp.tex, given["weave"].repeat, weft.tex, _firm(given))


def _beyond_figures(given: Given) -> Mapping[str, Figure | None]:
    """Read the turn, at its high end, and take the middle of the working range for a sett."""
    turn = {name: _high(figure) for name, figure in read_turn(given["turn_allowance"]).items()}
    sett = given["sett"]
    if sett is None:
        sett = working_range(closest_sett(given), given["firmness"]).likely
    left = kept(_winding_waste(given), "winding_waste")
    there = {
        f"{side}_there": mass * left
        for side in ("warp", "weft")
        if (mass := given.get(f"{side}_on_hand")) is not None
    }
    return {**turn, **there, "reed_sett": per_cm(sett)}


def _winding_waste(given: Given) -> float:
    """Return the share that winding may take at the most."""
    waste: Range | None = given.get("winding_waste")
    return 0.0 if waste is None else waste.high


def _high(figure: Figure) -> float:
    return figure.high if isinstance(figure, Range) else figure


def decisions(fields: tuple[Field, ...], given: Given) -> dict[str, Figure | None]:
    """Return what a plan's fields decide, by the terms."""
    return {**known(fields, given), **_beyond_figures(given)}


def _remarks(given: Given, done: Worked) -> Answer:
    closest, sett = closest_sett(given), per_inch(done.likely("reed_sett"))
    working = working_range(closest, given["firmness"])
    reeds = parse_reeds(given["reeds"], "reeds")
    across = diameters_per_inch_ashenhurst(given["warp_yarn"].tex, _firm(given))
    dentings = denting_choices(
        sett, list(reeds.values()), given["ends_per_unit"], diameters_per_inch=across
    )[:5]
    ends = done.whole("ends")
    spaces = int(round_up(done.likely("warp_width_in_reed") * given["raddle"]).value)
    spread, order = spread_table(done.whole("loops"), spaces)
    entering, repeats = entering_table(
        done.whole("units_across"), given["ends_per_unit"], given["ground_shafts"]
    )
    mixed = picks_table(given["picks_per_unit"], done.likely("squareness"))
    possible, short = _on_hand(given, done)
    rule = take_up_taylor(
        done.likely("picks"),
        given["weave"].warp_intersections / given["weave"].picks,
        count_of(given["weft_yarn"].tex, "cotton"),
        3,
    )
    of_size, size_warnings = size_remarks(given, done)
    return Answer(
        results={} if possible is None else {"pieces_possible": possible},
        tables={
            "denting": choices_table(
                dentings, {dents: text for text, dents in reeds.items()}, ends
            ),
            "spread": spread,
            "entering": entering,
            **({"picks": mixed} if mixed else {}),
        },
        notes=(
            *of_size,
            *_notes(given, rule),
            *_of_the_units(dentings[0]),
            f"The raddle, so many spaces of so many loops: {order}.",
            repeats,
        ),
        cautions=(
            *_disagreements(given, done, working, sett),
            *size_warnings,
            *take_up_cautions(done.ranged("take_up"), rule),
            *waste_cautions(done.likely("waste_share")),
            *hem_cautions(given["hem"], given["finished_length"]),
            *cloth_cautions(done.likely("grams_per_square_metre")),
            *_of_the_ground(given),
            *_of_the_reed(dentings[0]),
            *winding_cautions(
                ends, given["threads_in_hand"], given["bout_ends"], given["ends_per_unit"]
            ),
            *shortages(given, done),
            *weight_cautions(done.likely("harness_mass")),
            *short,
        ),
        pictures=(
            range_svg(
                f"Working range of {given['weave'].title}, in ends per inch, under its limit",
                working.low,
                working.high,
                closest,
                [("this plan", sett)],
            ),
            *_pictures(given, done),
        ),
    )


def _edges(given: Given) -> tuple[str, ...]:
    spread = "Spread the warp a little wider than the cloth, for the edges draw in."
    if not given["selvedge_ends"]:
        return (spread,)
    return (f"{given['selvedge_ends']} selvedge ends want heddles of their own.", spread)


def _notes(given: Given, rule: float) -> list[str]:
    notes = []
    if given["sett"] is None:
        notes.append("No sett was given, so the middle of the working range is taken.")
    if given["picks"] is None:
        notes.append("No picks were given, so those that make a unit square are taken.")
    return [
        *notes,
        f"For this weave, these picks and this weft Taylor’s rule foretells a take-up of "
        f"{percent(rule)}; the plan takes {format_range(given['take_up'])}.",
        "The weight of the cloth is that of all the yarn in it, washed, with nothing lost from "
        "the yarn itself.",
        *_edges(given),
        "The hours are those of weaving: winding, entering and finishing often take as long again.",
        *guesses(
            width_shrinkage=given["width_shrinkage"],
            length_shrinkage=given["length_shrinkage"],
            draw_in=given["draw_in"],
            take_up=given["take_up"],
        ),
    ]


def _disagreements(given: Given, done: Worked, working: Range, sett: float) -> list[str]:
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
    weave, picks = given["weave"].repeat, per_inch(done.likely("picks"))
    most = ashenhurst_limit(
        given["weft_yarn"].tex,
        weave.picks,
        max(weave.intersections_of_ends),
        _firm(given),
        given["warp_yarn"].tex,
    )
    if picks > most:
        found.append(
            f"{both(picks, '1/inch')} is more picks than this weft can be beaten "
            f"to in this weave, by the rule of the sett {both(most, '1/inch')}: take a finer weft, "
            "fewer picks in a unit or a more open sett."
        )
    return found + float_cautions(weave, sett)


def _of_the_ground(given: Given) -> list[str]:
    weave, in_unit, shafts = given["weave"], given["ends_per_unit"], given["ground_shafts"]
    ends, found = weave.repeat.ends, []
    if in_unit % ends and ends % in_unit:
        found.append(
            f"A unit of {in_unit} ends does not match a weave of "
            f"{ends}: units bind differently from one to the next."
        )
    if shafts % ends:
        found.append(
            f"{weave.title[0].upper()}{weave.title[1:]} wants a multiple of {ends} ground "
            f"shafts; {shafts} are given."
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


def _on_hand(given: Given, done: Worked) -> tuple[Figure | None, list[str]]:
    """Return the pieces that the yarn on hand gives, and what it is short by."""
    waste = _winding_waste(given)
    found: list[Range] = []
    short = []
    for side in ("warp", "weft"):
        if f"{side}_there" not in done:
            continue
        pieces = done.ranged(f"pieces_from_{side}")
        found.append(pieces)
        wanting = done.ranged(f"{side}_yarn_mass").high - done.likely(f"{side}_there")
        if wanting > 0:
            missing = with_winding_waste(wanting, waste)
            length = length_of(missing, done.likely(f"{side}_tex")) / 100
            enough = "" if pieces.is_exact else " if the losses are high"
            short.append(
                f"{side.capitalize()} yarn is short by {both(missing, 'g')}, "
                f"{both(length, 'm')}: it gives {pieces.low} of "
                f"{given['pieces']} pieces{enough}."
            )
    if not found:
        return None, short
    least = Range(*(min(getattr(one, end) for one in found) for end in ("low", "likely", "high")))
    return least.likely if least.is_exact else least, short


def _pictures(given: Given, done: Worked) -> tuple[str, ...]:
    between = (given["pieces"] - 1) * given["gap"]
    woven, waste = done.likely("woven_length"), given["loom_waste"]
    parts: Sequence[tuple[str, float]] = (
        ("cloth", woven - between - given["sample"]),
        ("gaps and sample", between + given["sample"]),
        ("take-up", done.likely("warp_length") - waste - woven),
        ("loom waste", waste),
    )
    return (
        piece_svg(
            "The finished piece to scale, and what is turned in",
            (done.likely("washed_width_edge"), done.likely("length_in_the_end")),
            done.likely("washed_width"),
            given["hem"] / 2,
            (done.whole("units_across"), done.whole("units_up")),
        ),
        bar_svg("What becomes of the warp", [part for part in parts if part[1] > 0]),
        unit_svg(
            "Four by four units as they wash, and a centimetre",
            done.likely("unit_width") * 10,
            done.likely("unit_height") * 10,
        ),
    )


CLOTH_PLAN = calculated(
    "cloth-plan",
    "C-40",
    "plan/whole-plan/",
    "The whole plan",
    "What does one cloth need, from the cone to the cut?",
    FIELDS,
    OUTPUTS,
    PLAN,
    _remarks,
    _beyond_figures,
    woven_along=True,
)

CALCULATORS = (CLOTH_PLAN,)
