"""The loom-side view of a plan: what the page counts along, all of it from here."""

import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from hashlib import sha256
from html import escape
from typing import Any

from calculators.engine.calculator import Table
from calculators.engine.run import Run, work_out
from calculators.errors import InputError
from calculators.loom.stretches import Stretch, picks_between, picks_of, stretches
from calculators.plan.calculators import CLOTH_PLAN, FIELDS, decisions
from calculators.plan.plan import PLAN
from calculators.show.html import table_html, value_html

SHOWN = (
    "picks",
    "picks_total",
    "piece_on_loom",
    "woven_length",
    "warp_width_in_reed",
    "loom_width",
)


def loom_side(done: Run) -> dict[str, Any]:
    """Return the stretches of a plan in weaving order, and the picks between its moves."""
    if done.answer is None:
        raise done.errors[0]
    if not done.calculator.woven_along:
        raise InputError(
            "calculator",
            f"“{done.calculator.title}” has nothing to count at the loom.",
            "The whole plan and the pace at the loom have.",
        )
    given = {name: reading.value for name, reading in done.readings.items()}
    order, picks = _order(done.calculator.id, given)
    return {
        "key": plan_key(done),
        "title": done.calculator.title,
        "stretches": [{"name": one.name, "picks": one.picks, "row": one.row} for one in order],
        "temple": picks_between(given["temple_step"], picks),
        "advance": picks_between(given["advance_step"], picks),
        "pirn": given["picks_per_pirn"],
        "facts": _facts(done),
    }


def plan_key(done: Run) -> str:
    """Name a plan by its numbers, whatever way they were written into a link."""
    typed = {name: reading.typed for name, reading in done.readings.items() if reading.typed}
    whole = json.dumps([done.calculator.id, typed], sort_keys=True)
    return sha256(whole.encode()).hexdigest()[:16]


def loom_side_html() -> str:
    """Write the worked plan's stretches as a table, for the page as it is printed."""
    seen = loom_side(work_out(CLOTH_PLAN, {}))
    rows = tuple(
        (one["name"], one["picks"], one["picks"] // one["row"] if one["row"] > 1 else None)
        for one in seen["stretches"]
    )
    table = Table("The worked plan, stretch by stretch", ("Stretch", "Picks", "Rows"), rows)
    return table_html(table)


def moves_in_words(seen: Mapping[str, Any]) -> list[str]:
    """Say the rhythm of a plan: what is done after how many picks."""
    return [
        f"Temple: move it every {seen['temple']} picks.",
        f"Advance: the warp, every {seen['advance']} picks.",
        f"Pirn: empty after about {seen['pirn']} picks.",
    ]


def in_words(done: Run) -> dict[str, list[str]]:
    """Say what is done rather than measured: crosses, entering, the order of weaving."""
    if not done.calculator.woven_along:
        return {}
    seen = loom_side(done)
    given = {name: reading.value for name, reading in done.readings.items()}
    moves = moves_in_words(seen)
    if done.calculator.id != "cloth-plan":
        return {"Weaving": moves}
    in_hand, unit, sides = given["threads_in_hand"], given["ends_per_unit"], given["selvedge_ends"]
    share = Fraction(unit, in_hand)
    crosses = f"Cross: {in_hand} ends to a group, {share.numerator} groups for " + (
        "each unit." if share.denominator == 1 else f"{share.denominator} units together."
    )
    order = [
        f"{one['name'].lower()}: {one['picks']} picks"
        + (f", {one['picks'] // one['row']} rows of {one['row']}" if one["row"] > 1 else "")
        for one in seen["stretches"][: _stretches_of_one_piece(seen["stretches"])]
    ]
    onward = "; and so on" if given["pieces"] > 1 else ""
    return {
        "Winding": [crosses],
        "Entering": [
            f"Pattern: {unit} ends in each heddle; {sides} selvedge ends in none.",
            f"Ground: each end singly, shafts 1 to {given['ground_shafts']}, straight through.",
        ],
        "Weaving": [*moves, f"In order: {'; '.join(order)}{onward}."],
    }


def _stretches_of_one_piece(order: Sequence[Mapping[str, Any]]) -> int:
    gaps = (place + 1 for place, one in enumerate(order) if one["name"] == "Gap")
    return next(gaps, len(order))


def _order(name: str, given: Mapping[str, Any]) -> tuple[tuple[Stretch, ...], float]:
    if name == "rhythm":
        picks = given["picks"]
        return (Stretch("Cloth", picks_of(given["woven_length"], picks)),), picks
    plan = PLAN.run(decisions(FIELDS, given))
    order = stretches(
        given["pieces"],
        plan.whole("units_up"),
        given["picks_per_unit"],
        plan.likely("picks"),
        plan.likely("piece_on_loom") - plan.likely("loom_length"),
        given["gap"],
        given["sample"],
    )
    return order, plan.likely("picks")


def _facts(done: Run) -> str:
    assert done.answer is not None
    results = done.answer.results
    lines = "".join(
        f"<dt>{escape(one.label)}</dt><dd>{value_html(one, results[one.name])}</dd>"
        for one in done.calculator.outputs
        if one.name in SHOWN and one.name in results
    )
    return f"<dl>{lines}</dl>"
