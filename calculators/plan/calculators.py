"""The whole plan as one form and one job sheet."""

from collections.abc import Mapping
from dataclasses import replace

from calculators.cloth.calculators import frame_remarks, picks_table, size_remarks
from calculators.cloth.cautions import hem_cautions, take_up_cautions, waste_cautions
from calculators.cloth.cautions import weight_cautions as cloth_cautions
from calculators.cloth.losses import take_up_taylor
from calculators.cloth.size import hem_figures
from calculators.engine.calculator import BARE, Answer, Field, Stage, Way, in_parts
from calculators.engine.network import Figure, Worked
from calculators.engine.vocabulary import Inputs, aside, ask, calculated, give, if_known, known
from calculators.loom.calculators import (
    WINDING_WASTE,
    entering_table,
    read_turn,
    shortages,
    spread_table,
    warp_picture,
)
from calculators.loom.cautions import weight_cautions, winding_cautions
from calculators.loom.warp import with_winding_waste
from calculators.plan.plan import PLAN
from calculators.quantities.checks import kept
from calculators.quantities.format import format_range, round_up
from calculators.quantities.interval import Range
from calculators.quantities.sentences import both, guesses, many, percent, settled
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.calculators import ASK_FIRMNESS, choices_table, float_cautions, is_firm
from calculators.sett.denting import NEAR_ENOUGH, Denting, denting_choices
from calculators.sett.reeds import parse_reeds
from calculators.sett.rules import ashenhurst_limit, maximum_sett
from calculators.sett.working import working_range
from calculators.show.pictures import piece_svg, range_svg, unit_svg
from calculators.yarn.diameter import diameters_per_inch_ashenhurst
from calculators.yarn.systems import count_of
from calculators.yarn.yarn import length_of

FIELDS = (
    ask("finished_width", "48 cm"),
    ask("finished_length", "48 cm"),
    ask("pieces", "6"),
    ask("warp_yarn", "16/2", system_field="warp_system"),
    ask("warp_system", "cotton"),
    ask(
        "weft_yarn",
        "16/2",
        system_field="weft_system",
        required=False,
        follows="warp_yarn",
        hint="Left empty, it is the warp’s yarn.",
    ),
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
    ask(
        "ends_per_unit",
        "6",
        required=False,
        follows="weave",
        hint="Left empty, those of one repeat of the weave.",
    ),
    ask(
        "picks_per_unit",
        "6",
        required=False,
        follows="weave",
        hint="Left empty, those of one repeat of the weave.",
    ),
    ask("width_shrinkage"),
    ask("length_shrinkage"),
    ask("draw_in"),
    ask("take_up"),
    ask("loom_waste"),
    aside("fold", "1 cm", name="hem_depth"),
    aside("hem_turns", "twice"),
    aside("hem_edges", "ends"),
    aside("hem_woven", "plain"),
    if_known("hem"),
    aside("gap", "1 cm"),
    aside("sample", "30 cm"),
    aside("selvedge_ends", "8"),
    if_known("margin"),
    if_known("border"),
    aside("turn_allowance"),
    replace(ASK_FIRMNESS, advanced=True),
    aside("reeds", "40/10, 50/10, 60/10, 80/10, 90/10, 120/10"),
    aside("threads_in_hand", "2"),
    aside("bout_ends", "96"),
    aside("circumference", "2 m", unit="m"),
    WINDING_WASTE,
    aside("raddle", "10/10"),
    aside(
        "ground_shafts",
        "6",
        required=False,
        follows="weave",
        hint="Left empty, as many as the weave has ends.",
    ),
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
    give("ends", headline=True, stage="Winding and beaming"),
    give("warp_length", headline=True, stage="Winding and beaming"),
    give("warp_yarn_mass", headline=True, stage="Yarn"),
    give("weft_yarn_mass", headline=True, stage="Yarn"),
    give("warp_yarn_to_have", told="high", stage="Yarn"),
    give("weft_yarn_to_have", told="high", stage="Yarn"),
    give("units_across", headline=True, stage="Cloth"),
    give("units_up", headline=True, stage="Cloth"),
    give("reed_sett", name="sett", unit="1/inch", formula="F-49", stage="Reed"),
    give("picks", unit="1/inch", stage="Weaving"),
    give("picks_for_square", told="likely", stage="Weaving"),
    give("reed_width", told="likely", stage="Reed"),
    give("warp_width_in_reed", stage="Reed"),
    give("loom_width", told="likely", stage="Cloth"),
    give("cloth_sett", told="likely", stage="Cloth"),
    give("unit_width", stage="Cloth"),
    give("unit_height", stage="Cloth"),
    give("squareness", stage="Cloth"),
    give("washed_width", name="finished_width", stage="Cloth"),
    give("washed_width_edge", name="finished_width_edge", stage="Cloth"),
    give("length_in_the_end", name="finished_length", stage="Cloth"),
    give("piece_woven", name="piece_on_loom", stage="Weaving"),
    give("woven_length", told="likely", stage="Weaving"),
    give("waste_share", told="likely", stage="Yarn"),
    give("warp_yarn_length", stage="Yarn"),
    give("weft_yarn_length", stage="Yarn"),
    give("picks_planned", name="picks_total", stage="Weaving"),
    give("grams_per_square_metre", label="Weight of the cloth, washed", stage="Cloth"),
    give("passes", stage="Winding and beaming"),
    give(
        "passes",
        name="cross_groups",
        label="Groups in the cross",
        stage="Winding and beaming",
    ),
    give("loops", stage="Winding and beaming"),
    give("groups_per_unit", stage="Winding and beaming"),
    give("bouts", stage="Winding and beaming"),
    give("turns", told="likely", stage="Winding and beaming"),
    give("walked", told="likely", stage="Winding and beaming"),
    give("pattern_heddles", stage="Harness"),
    give("pattern_ends", stage="Harness"),
    give("ground_heddles_per_shaft", stage="Harness"),
    give("harness_mass", stage="Harness"),
    give("temple_moves", told="likely", stage="Weaving"),
    give("advances", told="likely", stage="Weaving"),
    give("pirns", told="likely", stage="Weaving"),
    give("hours", stage="Weaving"),
    give("pieces_possible", formula="F-111", stage="Yarn"),
)


def closest_sett(inputs: Inputs) -> float:
    """Return the closest sett of the weave with these two yarns [1/inch], as the sett room does."""
    warp, weft = inputs["warp_yarn"], inputs["weft_yarn"]
    return maximum_sett(warp.tex, inputs["weave"].repeat, weft.tex, is_firm(warp))


def _prepared(inputs: Inputs) -> Mapping[str, Figure | None]:
    """Read the turn, at its high end, and take the middle of the working range for a sett."""
    turn = {
        name: figure.high if isinstance(figure, Range) else figure
        for name, figure in read_turn(inputs).items()
    }
    sett = inputs["sett"]
    if sett is None:
        sett = working_range(closest_sett(inputs), inputs["firmness"]).likely
    kept_share = kept(_winding_waste(inputs), "winding_waste")
    on_hand = {
        f"{side}_there": mass * kept_share
        for side in ("warp", "weft")
        if (mass := inputs.get(f"{side}_on_hand")) is not None
    }
    return {**turn, **on_hand, **hem_figures(inputs), "reed_sett": per_cm(sett)}


def _winding_waste(inputs: Inputs) -> float:
    """Return the share that winding may take at the most."""
    waste: Range | None = inputs.get("winding_waste")
    return 0.0 if waste is None else waste.high


def decisions(fields: tuple[Field, ...], inputs: Inputs) -> dict[str, Figure | None]:
    """Return what a plan's fields decide, by the terms."""
    return {**known(fields, inputs), **_prepared(inputs)}


def _remarks(inputs: Inputs, figures: Worked) -> Answer:
    closest, sett = closest_sett(inputs), per_inch(figures.likely("reed_sett"))
    working = working_range(closest, inputs["firmness"])
    reeds = parse_reeds(inputs["reeds"], "reeds", inputs.get(BARE, ""))
    warp = inputs["warp_yarn"]
    diameters = diameters_per_inch_ashenhurst(warp.tex, is_firm(warp))
    dentings = denting_choices(
        sett, list(reeds.values()), inputs["ends_per_unit"], diameters_per_inch=diameters
    )[:5]
    ends = figures.whole("ends")
    spaces = int(round_up(figures.likely("warp_width_in_reed") * inputs["raddle"]).value)
    raddle, order = spread_table(figures.whole("loops"), spaces)
    contradictions = ground_contradictions(inputs)
    entering, repeats = entering_table(
        figures.whole("units_across"), inputs["ends_per_unit"], inputs["ground_shafts"]
    )
    mixed = picks_table(inputs["picks_per_unit"], figures.likely("squareness"))
    pieces_possible, yarn_lacking = _yarn_on_hand(inputs, figures)
    foretold = take_up_taylor(
        figures.likely("picks"),
        inputs["weave"].warp_intersections / inputs["weave"].picks,
        count_of(inputs["weft_yarn"].tex, "cotton"),
        multiplier=3,
    )
    size_notes, size_cautions = size_remarks(inputs, figures)
    pictures = _pictures(inputs, figures)
    return in_parts(
        {
            "Cloth": Answer(
                notes=(
                    *size_notes,
                    *frame_remarks(inputs, figures),
                    "The weight of the cloth is that of all the yarn in it, washed, with nothing "
                    "lost from the yarn itself.",
                    *guesses(
                        width_shrinkage=inputs["width_shrinkage"],
                        length_shrinkage=inputs["length_shrinkage"],
                        draw_in=inputs["draw_in"],
                        take_up=inputs["take_up"],
                    ),
                ),
                cautions=(
                    *size_cautions,
                    *hem_cautions(figures.likely("hem"), inputs["finished_length"]),
                    *cloth_cautions(figures.likely("grams_per_square_metre")),
                ),
                pictures=pictures["Cloth"],
            ),
            "Yarn": Answer(cautions=tuple(yarn_lacking)),
            "Reed": Answer(
                tables={
                    "denting": choices_table(
                        dentings, {dents: text for text, dents in reeds.items()}, ends
                    )
                },
                notes=(*_sett_notes(inputs), *_unit_notes(dentings[0])),
                cautions=(
                    *_sett_cautions(inputs, figures, working, sett),
                    *_reed_cautions(dentings[0]),
                ),
                pictures=(
                    range_svg(
                        f"Working range of {inputs['weave'].title}, in ends per inch, "
                        "under its limit",
                        working.low,
                        working.high,
                        closest,
                        [("this plan", sett)],
                    ),
                ),
            ),
            "Winding and beaming": Answer(
                tables={"spread": raddle},
                notes=(
                    f"For this weave, these picks and this weft Taylor’s rule foretells a take-up "
                    f"of {percent(foretold)}; the plan takes {format_range(inputs['take_up'])}.",
                    f"The raddle, so many spaces of so many loops: {order}.",
                    "Spread the warp a little wider than the cloth, for the edges draw in.",
                ),
                cautions=(
                    *take_up_cautions(figures.ranged("take_up"), foretold),
                    *waste_cautions(figures.likely("waste_share")),
                    *winding_cautions(
                        ends,
                        inputs["threads_in_hand"],
                        inputs["bout_ends"],
                        inputs["ends_per_unit"],
                    ),
                ),
                pictures=pictures["Winding and beaming"],
            ),
            "Harness": Answer(
                tables={} if contradictions else {"entering": entering},
                notes=(*(() if contradictions else (repeats,)), *_selvedge_notes(inputs)),
                cautions=(
                    *contradictions,
                    *shortages(inputs, figures),
                    *weight_cautions(figures.likely("harness_mass")),
                ),
            ),
            "Weaving": Answer(
                tables={"picks": mixed} if mixed else {},
                notes=(
                    *_picks_notes(inputs),
                    "The hours are those of weaving: winding, threading and finishing often take "
                    "as long.",
                ),
            ),
        },
        results=_where_sides_are_hemmed(figures)
        | ({} if pieces_possible is None else {"pieces_possible": pieces_possible}),
    )


def _where_sides_are_hemmed(figures: Worked) -> dict[str, Figure]:
    """Return the finished widths with the side hems sewn, nothing where there are none."""
    if "side_hems" not in figures:
        return {}
    widths = {"finished_width": "hemmed_width", "finished_width_edge": "hemmed_width_edge"}
    return {name: settled(figures.ranged(term)) for name, term in widths.items()}


def _selvedge_notes(inputs: Inputs) -> list[str]:
    if not inputs["selvedge_ends"]:
        return []
    edge = many(inputs["selvedge_ends"], "selvedge ends")
    return [f"Heddles of their own are wanted for {edge}."]


def _sett_notes(inputs: Inputs) -> list[str]:
    if inputs["sett"] is not None:
        return []
    return ["No sett was given, so the middle of the working range is taken."]


def _picks_notes(inputs: Inputs) -> list[str]:
    if inputs["picks"] is not None:
        return []
    return ["No picks were given, so those that make a unit square are taken."]


def _sett_cautions(inputs: Inputs, figures: Worked, working: Range, sett: float) -> list[str]:
    cautions = []
    if sett > working.high:
        cautions.append(
            f"The sett of {both(sett, '1/inch')} is above the working range, which ends at "
            f"{both(working.high, '1/inch')}: the shed may not clear."
        )
    elif sett < working.low:
        cautions.append(
            f"The sett of {both(sett, '1/inch')} is below the working range, which begins at "
            f"{both(working.low, '1/inch')}: the threads may slide."
        )
    weave, picks = inputs["weave"].repeat, per_inch(figures.likely("picks"))
    most_picks = ashenhurst_limit(
        inputs["weft_yarn"].tex,
        weave.picks,
        max(weave.intersections_of_ends),
        firm=is_firm(inputs["warp_yarn"]),
        weft_tex=inputs["warp_yarn"].tex,
    )
    if picks > most_picks:
        cautions.append(
            f"{both(picks, '1/inch')} is more picks than this weft can be beaten to in this weave, "
            f"by the rule of the sett {both(most_picks, '1/inch')}: take a finer weft, fewer picks "
            "in a unit or a more open sett."
        )
    return cautions + float_cautions(weave, sett)


def ground_contradictions(inputs: Inputs) -> list[str]:
    """Say where weave, unit and ground shafts do not go together; empty where they do."""
    weave, in_unit, shafts = inputs["weave"], inputs["ends_per_unit"], inputs["ground_shafts"]
    ends = weave.repeat.ends
    cautions = []
    if in_unit % ends and ends % in_unit:
        cautions.append(
            f"A unit of {many(in_unit, 'ends')} does not match a weave of {ends}: units bind "
            "differently "
            "from one to the next."
        )
    if shafts % ends:
        cautions.append(
            f"{weave.title[0].upper()}{weave.title[1:]} wants a multiple of {ends} ground shafts; "
            f"{shafts} are given."
        )
    if cautions:
        cautions.append("No order of threading is printed until weave, unit and shafts agree.")
    return cautions


def _reed_cautions(best: Denting) -> list[str]:
    cautions = []
    if abs(best.error) > NEAR_ENOUGH:
        cautions.append(
            f"None of your reeds comes near the sett: the nearest is {percent(abs(best.error))} "
            "off, and the cloth as much wider or narrower."
        )
    if best.marks:
        cautions.append(f"{best.order_text} in the dents: {best.marks}. Weave and wash a sample.")
    return cautions


def _unit_notes(best: Denting) -> list[str]:
    if best.whole:
        return [f"With {best.order_text} in the dents every unit begins at a dent."]
    return [
        f"With {best.order_text} in the dents units do not begin at a dent: counting dents is not "
        "counting units."
    ]


def _yarn_on_hand(inputs: Inputs, figures: Worked) -> tuple[Figure | None, list[str]]:
    """Return the pieces that the yarn on hand gives, and what it is short by."""
    possible: list[Range] = []
    cautions = []
    for side in ("warp", "weft"):
        if f"{side}_there" not in figures:
            continue
        pieces = figures.ranged(f"pieces_from_{side}")
        possible.append(pieces)
        lacking = figures.ranged(f"{side}_yarn_mass").high - figures.likely(f"{side}_there")
        if lacking > 0:
            missing = with_winding_waste(lacking, _winding_waste(inputs))
            length = length_of(missing, figures.likely(f"{side}_tex")) / 100
            enough = "" if pieces.is_exact else " if the losses are high"
            cautions.append(
                f"{side.capitalize()} yarn is short by {both(missing, 'g')}, "
                f"{both(length, 'm')}: it gives {pieces.low} of "
                f"{many(inputs['pieces'], 'pieces')}{enough}."
            )
    if not possible:
        return None, cautions
    least = Range(
        min(pieces.low for pieces in possible),
        min(pieces.likely for pieces in possible),
        min(pieces.high for pieces in possible),
    )
    return settled(least), cautions


def _pictures(inputs: Inputs, figures: Worked) -> dict[Stage, tuple[str, ...]]:
    sides = figures.likely("side_hems") if "side_hems" in figures else 0.0
    edge = figures.likely("washed_width_edge") - sides
    return {
        "Cloth": (
            piece_svg(
                "The finished piece to scale, and what is turned in",
                (edge, figures.likely("length_in_the_end")),
                figures.likely("washed_width") - sides,
                (figures.likely("hem") / 2, sides / 2),
                (figures.whole("units_across"), figures.whole("units_up")),
                (inputs["margin"] or 0, inputs["border"] or 0),
            ),
            unit_svg(
                "Four by four units as they wash, and a centimetre",
                figures.likely("unit_width") * 10,
                figures.likely("unit_height") * 10,
            ),
        ),
        "Winding and beaming": (warp_picture(inputs, figures),),
    }


CLOTH_PLAN = calculated(
    id="cloth-plan",
    code="C-40",
    page="plan/whole-plan/",
    title="The whole plan",
    question="What does one cloth need, from the cone to the cut?",
    asks=FIELDS,
    gives=OUTPUTS,
    formulas=PLAN,
    remarks=_remarks,
    prepare=_prepared,
    ways=(Way("figure", "Put a figure on its units"), Way("ground", "Tie its ground")),
    woven_along=True,
)

CALCULATORS = (CLOTH_PLAN,)
