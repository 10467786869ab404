"""The loom-side view of a plan: what the page counts along, all of it from here."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from fractions import Fraction
from hashlib import sha256
from typing import Any

from calculators.engine.calculator import Table
from calculators.engine.run import Run, work_out
from calculators.engine.vocabulary import Inputs
from calculators.errors import InputError
from calculators.figure.edges import face_down, given, weft_faced
from calculators.loom.stretches import Stretch, picks_between, picks_of, stretches
from calculators.plan.calculators import CLOTH_PLAN, FIELDS, decisions, ground_contradictions
from calculators.plan.plan import PLAN
from calculators.quantities.interval import Range
from calculators.quantities.sentences import many
from calculators.sett.reeds import parse_reeds
from calculators.show.card import facts_html
from calculators.show.html import table_html
from calculators.show.text import called, in_short
from calculators.weave.ground import Ground, on_more_shafts
from calculators.weave.matrix import Weave
from calculators.yarn.yarn import Yarn

SHOWN = (
    "picks",
    "picks_total",
    "piece_on_loom",
    "woven_length",
    "warp_width_in_reed",
    "loom_width",
)


def loom_side(run: Run, rise: str = "", sink: str = "") -> dict[str, Any]:
    """Return the stretches of a plan in weaving order, and the picks between its moves.

    ``rise`` and ``sink`` are the weaver's own orders for the ground, empty for the usual ones.
    """
    if run.answer is None:
        raise run.errors[0]
    if not run.calculator.woven_along:
        raise InputError(
            "calculator",
            f"“{run.calculator.title}” has nothing to count at the loom.",
            "The whole plan and the pace at the loom have.",
        )
    inputs = _inputs(run)
    order, picks, width = _order(run.calculator.id, inputs)
    return {
        "key": plan_key(run),
        "title": run.calculator.title,
        "about": in_short(run),
        "called": called(run),
        "stretches": [asdict(stretch) for stretch in order],
        "figured": [place for place, stretch in enumerate(order) if stretch.is_piece],
        **_grounds(inputs, rise, sink),
        "parts": _parts(order),
        "across": width and round(width * picks),
        "temple": picks_between(inputs["temple_step"], picks),
        "advance": picks_between(inputs["advance_step"], picks),
        "pirn": inputs["picks_per_pirn"],
        "facts": facts_html(run, SHOWN),
    }


def _grounds(inputs: Inputs, rise: str, sink: str) -> dict[str, list[dict[str, Any]]]:
    """List the picks of the ground, with the figure drawn and with the ground drawn, face down.

    Empty where the plan has no weave, or it cannot be tied on the plan's shafts.
    """
    nothing: dict[str, list[dict[str, Any]]] = {"ground": [], "ground_face_down": []}
    weave: Weave | None = inputs.get("weave")
    if weave is None:
        return nothing
    try:
        ground = given(weft_faced(weave), rise, sink)
    except InputError:
        if rise or sink:
            raise
        return nothing
    times, over = divmod(inputs["ground_shafts"], ground.shafts)
    if over and (rise or sink):
        raise InputError(
            "rise" if rise else "sink",
            f"The order is for {ground.shafts} shafts, and the plan has {inputs['ground_shafts']}.",
            f"Give the plan {ground.shafts} ground shafts, or twice as many.",
        )
    if over:
        return nothing
    each = (on_more_shafts(one, times) for one in (ground, face_down(ground)))
    return dict(zip(nothing, map(_picks, each), strict=True))


def _picks(ground: Ground) -> list[dict[str, Any]]:
    """List the shafts that rise and sink on each pick; picks alike have one treadle."""
    moves = list(zip(ground.rise, ground.sink, strict=True))
    treadles = list(dict.fromkeys(moves))
    return [
        {"rise": move[0], "sink": move[1], "treadle": treadles.index(move) + 1} for move in moves
    ]


def plan_key(run: Run) -> str:
    """Name a plan by what it means, whatever way that was typed or written in a link."""
    meant = {
        field.name: _meant(field.term, run.readings[field.name].value, run.units)
        for field in run.calculator.fields
        if run.readings[field.name].value is not None and field.kind != "system"  # a yarn has it
    }
    text = json.dumps([run.calculator.id, meant], sort_keys=True)
    return sha256(text.encode()).hexdigest()[:16]


def _meant(term: str, value: Any, units: str) -> Any:
    """Return a value as it counts: to ten figures, a yarn by its size, a weave by its marks."""
    if term == "reeds":
        return sorted(f"{reed:.10g}" for reed in parse_reeds(value, units=units).values())
    if isinstance(value, Range):
        return [f"{end:.10g}" for end in (value.low, value.likely, value.high)]
    if isinstance(value, (int, float)):
        return f"{value:.10g}"
    if isinstance(value, Yarn):
        return [value.system, f"{value.tex:.10g}"]
    if isinstance(value, Weave):
        return value.matrix
    return " ".join(str(value).casefold().split())


def loom_side_html() -> str:
    """Write the worked plan's stretches as a table, for the page as it is printed."""
    order, *_ = _order(CLOTH_PLAN.id, _inputs(work_out(CLOTH_PLAN, {})))
    rows = tuple((stretch.name, stretch.picks, stretch.rows) for stretch in order)
    table = Table("The worked plan, stretch by stretch", ("Stretch", "Picks", "Rows"), rows)
    return table_html(table)


def moves_in_words(view: Mapping[str, Any]) -> list[str]:
    """Say the rhythm of a plan: what is done after how many picks."""
    return [
        f"Temple: move it every {many(view['temple'], 'picks')}.",
        f"Advance: the warp, every {many(view['advance'], 'picks')}.",
        f"Pirn: empty after about {many(view['pirn'], 'picks')}.",
    ]


def in_words(run: Run) -> dict[str, list[str]]:
    """Say what is done rather than measured: crosses, entering, the order of weaving."""
    if not run.calculator.woven_along:
        return {}
    view = loom_side(run)
    inputs = _inputs(run)
    moves = moves_in_words(view)
    if run.calculator.id != "cloth-plan":
        return {"Weaving": moves}
    in_hand, in_unit = inputs["threads_in_hand"], inputs["ends_per_unit"]
    share = Fraction(in_unit, in_hand)
    crosses = (
        f"Cross: {many(in_hand, 'ends')} to a group, {many(share.numerator, 'groups')} for "
        + (
            "each unit."
            if share.denominator == 1
            else f"{many(share.denominator, 'units')} together."
        )
    )
    order = [Stretch(**stretch) for stretch in view["stretches"]]
    first_piece = [
        f"{stretch.name.lower()}: {many(stretch.picks, 'picks')}"
        + (f", {many(stretch.rows, 'rows')} of {stretch.row}" if stretch.rows else "")
        for stretch in order[: _stretches_of_one_piece(order)]
    ]
    onward = "; and so on" if inputs["pieces"] > 1 else ""
    return {
        "Winding and beaming": [crosses],
        "Harness": [
            f"Pattern: {many(in_unit, 'ends')} in each heddle; "
            f"{many(inputs['selvedge_ends'], 'selvedge ends')} in "
            "none.",
            *(
                ground_contradictions(inputs)
                or [
                    f"Ground: each end singly, shafts 1 to {inputs['ground_shafts']}, straight "
                    "through."
                ]
            ),
        ],
        "Weaving": [*moves, f"In order: {'; '.join(first_piece)}{onward}."],
    }


def _stretches_of_one_piece(order: Sequence[Stretch]) -> int:
    gaps = (place for place, stretch in enumerate(order, 1) if stretch.name == "Gap")
    return next(gaps, len(order))


def _inputs(run: Run) -> Inputs:
    return {name: reading.value for name, reading in run.readings.items()}


def _parts(order: Sequence[Stretch]) -> list[dict[str, int]]:
    """Put the stretches of a piece together: where in the warp it begins, and its picks."""
    parts: list[dict[str, int]] = []
    start, piece = 0, ""
    for stretch in order:
        name = stretch.name.partition(",")[0]
        if parts and name == piece:
            parts[-1]["picks"] += stretch.picks
        else:
            parts.append({"start": start, "picks": stretch.picks})
        start, piece = start + stretch.picks, name
    return parts


def _order(calculator: str, inputs: Inputs) -> tuple[tuple[Stretch, ...], float, float | None]:
    """Return the stretches, the picks [1/cm], and the width of the cloth on the loom if known."""
    if calculator == "rhythm":
        picks = inputs["picks"]
        return (Stretch("Cloth", picks_of(inputs["woven_length"], picks)),), picks, None
    figures = PLAN.run(decisions(FIELDS, inputs))
    order = stretches(
        pieces=inputs["pieces"],
        rows=figures.whole("units_up"),
        picks_per_row=inputs["picks_per_unit"],
        picks=figures.likely("picks"),
        hem_on_loom=figures.likely("piece_on_loom") - figures.likely("loom_length"),
        gap=inputs["gap"],
        sample=inputs["sample"],
        figured_hems=inputs["hem_woven"] == "figured",
    )
    return order, figures.likely("picks"), figures.likely("edge_loom_width")
