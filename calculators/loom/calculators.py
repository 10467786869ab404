"""The loom room's calculators: warp, weft, winding, harness, pace and cost."""

import re
from collections.abc import Mapping

from calculators.cloth import size
from calculators.cloth.cautions import cost_cautions, hem_cautions, waste_cautions
from calculators.engine.calculator import BARE, Answer, Field, Table, Way
from calculators.engine.formula import unlogged
from calculators.engine.network import Figure, Worked
from calculators.engine.terms import terms
from calculators.engine.vocabulary import Inputs, aside, ask, calculated, give, if_known
from calculators.errors import InputError
from calculators.loom import harness, winding
from calculators.loom.cautions import (
    harness_cautions,
    mirrored_cords,
    picks_cautions,
    reel_cautions,
    rhythm_cautions,
    spread_cautions,
    unlike_units,
    weight_cautions,
    winding_cautions,
)
from calculators.loom.networks import COST, HARNESS, PACE, WARP, WEFT, WINDING
from calculators.quantities import parse
from calculators.quantities.format import round_up
from calculators.quantities.sentences import both, guesses, many, percent
from calculators.quantities.units import counted_in
from calculators.show.pictures import warp_svg

LONGEST_CM = 1_000_000.0
MOST_LINES = 40


def _warp_remarks(inputs: Inputs, figures: Worked) -> Answer:
    pieces = inputs["pieces"]
    notes = [to_have_note(figures, "warp")]
    with unlogged():
        counts = sorted({1, 2, 4, 6, 8, 12, pieces})
        others = [(count, figures.otherwise(pieces=count)) for count in counts]
        rows = tuple(
            (count, both(other.likely("warp_length") / 100, "m"), 100 * other.likely("waste_share"))
            for count, other in others
        )
        alone = figures.otherwise(pieces=1, sample=0.0).likely("waste_share")
    if pieces > 1:
        notes.append(
            f"One piece on a warp of its own, without a sample, would waste {percent(alone, 0)}."
        )
    notes += guesses(shrinkage=inputs["length_shrinkage"], take_up=inputs["take_up"])
    cautions = []
    if inputs["loom_waste"] == 0:
        cautions.append("No loom waste is counted: every loom leaves some of the warp unwoven.")
    cautions += waste_cautions(figures.likely("waste_share"))
    cautions += hem_cautions(figures.likely("hem"), inputs["finished_length"])
    title, columns = "What more pieces on one warp save", ("pieces", "warp", "waste, %")
    return Answer(
        tables={"pieces": Table(title, columns, rows, (None, None, 0))},
        notes=tuple(notes),
        cautions=tuple(cautions),
        pictures=(warp_picture(inputs, figures),),
    )


def warp_picture(inputs: Inputs, figures: Worked) -> str:
    """Draw the warp of so many pieces alike, all of it."""
    return warp_svg(
        warp_length=figures.likely("warp_length"),
        woven_length=figures.likely("woven_length"),
        pieces=inputs["pieces"],
        piece_on_loom=figures.likely("piece_on_loom"),
        gap=inputs["gap"],
        sample=inputs["sample"],
        loom_waste=inputs["loom_waste"],
    )


def to_have_note(figures: Worked, side: str) -> str:
    """Say how much yarn is needed, and what of it is lost before the loom."""
    mass = figures.ranged(f"{side}_yarn_mass")
    lost = figures.ranged("winding_waste").high if "winding_waste" in figures else 0.0
    safe = "" if mass.is_exact else ", the safe end of the range"
    to_have = figures.high(f"{side}_yarn_to_have")
    return (
        f"Have {both(to_have, 'g')} of it: {both(mass.high, 'g')}{safe}, and {percent(lost)} of "
        "what you start with for winding and knots."
    )


def _hems_and_second_warp(inputs: Inputs) -> Mapping[str, Figure | None]:
    """Read the hems; give the second warp its take-up, and refuse one that is told by half."""
    empty = [name for name in ("second_ends", "second_yarn") if inputs[name] is None]
    if len(empty) == 1:
        raise InputError(
            empty[0],
            "The second yarn is told only by half.",
            "Fill in both its yarn and its threads, or leave both empty.",
        )
    take_up: Figure = inputs["second_take_up"] or inputs["take_up"]
    return {**size.hem_figures(inputs), "second_take_up": None if empty else take_up}


def read_turn(inputs: Inputs) -> dict[str, Figure]:
    """Read what is added to each pick: a share of the reed width, or a length [cm]."""
    text = inputs["turn_allowance"]
    if re.search(r"%|％|percent|per cent|pct", text.casefold()):
        share = parse.parse_loss(text.casefold().replace("per cent", "%"), field="turn_allowance")
        return {"turn_share": share}
    unit = counted_in("cm", inputs.get(BARE, ""))
    extra = parse.parse_length(text, unit=unit, field="turn_allowance")
    if extra > LONGEST_CM:
        raise InputError(
            "turn_allowance",
            f"A turn of {both(extra, 'cm')} is longer than any pick.",
            "Give a few centimetres, or a share such as 2 %.",
        )
    return {"turn_allowance": extra}


def _wefts(inputs: Inputs) -> Mapping[str, Figure | None]:
    """Read the turn; the second weft has the picks of the ground unless its own are told."""
    if inputs["second_yarn"] is None and inputs["second_picks"] is not None:
        raise InputError(
            "second_yarn",
            "Picks of a second weft are given, but not its yarn.",
            "Name the yarn, or empty the field of its picks.",
        )
    picks = None if inputs["second_yarn"] is None else inputs["second_picks"] or inputs["picks"]
    return {"second_picks": picks, **read_turn(inputs)}


def _weft_remarks(inputs: Inputs, figures: Worked) -> Answer:
    cautions = picks_cautions(inputs["picks"])
    turn = figures.ranged("turn_allowance").high
    if turn > inputs["reed_width"] / 4:
        cautions.append(
            f"A turn of {both(turn, 'cm')} is more than a quarter of the reed width. It is "
            "added to every pick."
        )
    counts = {
        name: int(round_up(figures.likely(name)).value)
        for name in ("picks_total", "second_picks_total")
        if name in figures
    }
    second = "The second weft is counted from edge to edge at every pick of its own."
    return Answer(
        counts,
        notes=(
            to_have_note(figures, "weft"),
            "The reed width counts, not the cloth's: the weft is laid before the cloth draws in.",
            *((second,) if "second_picks" in figures else ()),
        ),
        cautions=tuple(cautions),
    )


def _winding_remarks(inputs: Inputs, figures: Worked) -> Answer:
    ends, threads = inputs["ends"], inputs["threads_in_hand"]
    notes = [
        "One pass is one way along the warp; there and back is one loop, twice the threads in "
        "hand. Keep the two halves of a loop together when you spread the warp.",
    ]
    cautions = winding_cautions(ends, threads, inputs["bout_ends"], inputs["ends_per_unit"])
    cautions += reel_cautions(
        inputs["warp_length"],
        inputs["circumference"],
        figures.likely("turns"),
        figures.likely("walked"),
    )
    tables = {}
    if inputs["spaces"] is not None:
        loops = figures.whole("loops")
        tables["spread"], order = spread_table(loops, inputs["spaces"])
        notes.append(
            f"{many(loops, 'loops')} over {many(inputs['spaces'], 'spaces')}, so many spaces "
            f"of so many loops: {order}."
        )
        cautions += spread_cautions(loops, inputs["spaces"], threads)
    return Answer(tables=tables, notes=tuple(notes), cautions=tuple(cautions))


def spread_table(loops: int, spaces: int) -> tuple[Table, str]:
    """Set out loops over the spaces of a raddle, and the order to count along."""
    shares = winding.spread_groups(loops, spaces)
    counts = range(min(shares), max(shares) + 1)
    table = Table(
        f"Spreading {many(loops, 'loops')} over {many(spaces, 'spaces')}",
        ("loops in a space", "spaces"),
        tuple((count, shares.count(count)) for count in counts),
    )
    order = winding.in_words(shares)
    return table, order if len(order) <= 400 else order[:400].rsplit(",", 1)[0] + ", and so on"


def entering_table(units: int, in_unit: int, shafts: int) -> tuple[Table, str]:
    """List the threading until it repeats, and say when it does."""
    cycle = harness.units_until_entering_repeats(in_unit, shafts)
    table = Table(
        "Order of threading",
        ("pattern heddle", "ends", "ground shafts"),
        tuple(
            (
                number + 1,
                f"{number * in_unit + 1}–{(number + 1) * in_unit}",
                " ".join(str(shaft) for shaft in row),
            )
            for number, row in enumerate(harness.entering_order(min(cycle, units), in_unit, shafts))
        ),
    )
    repeats = "Every unit is entered alike" if cycle == 1 else f"After {cycle} units it repeats"
    return table, f"{repeats}; go on so to pattern heddle {units}."


# What a loom may be too small for, and the words for it.
CAPACITY = {
    "loom_weaving_width": ("warp_width_in_reed", "weaving width"),
    "loom_longest_warp": ("warp_length", "length of warp on the beam"),
    "loom_pattern_heddles": ("pattern_heddles", "pattern heddles"),
    "loom_ground_shafts": ("ground_shafts", "ground shafts"),
    "loom_ground_heddles": ("ground_heddles_per_shaft", "heddles on each ground shaft"),
    "loom_cords": ("cords", "cords or pattern shafts"),
    "loom_carries": ("harness_mass", "weight in the pattern harness"),
}


def capacity(inputs: Inputs, figures: Worked) -> list[tuple[str, str, str, bool]]:
    """Compare what a job needs with what a stated loom has: words, both amounts, too little."""
    rows = []
    for field, (term, words) in CAPACITY.items():
        available = inputs.get(field)
        if available is not None:
            unit = terms()[term].unit
            needed = figures.ranged(term).high
            rows.append((words, both(needed, unit), both(available, unit), needed > available))
    return rows


def shortages(inputs: Inputs, figures: Worked) -> list[str]:
    """Say what a stated loom has too little of (F-97)."""
    return [
        f"The loom is short of {words}: {needed} needed, {available} there."
        for words, needed, available, short in capacity(inputs, figures)
        if short
    ]


def _harness_remarks(inputs: Inputs, figures: Worked) -> Answer:
    units, in_unit, shafts = inputs["units"], inputs["ends_per_unit"], inputs["ground_shafts"]
    mass = figures.likely("harness_mass")
    entering, repeats = entering_table(units, in_unit, shafts)
    tables = {"entering": entering}
    stated = capacity(inputs, figures)
    if stated:
        rows = tuple(row[:3] for row in stated)
        tables["capacity"] = Table("What the loom has", ("", "needed", "there"), rows)
    cautions = shortages(inputs, figures)
    cautions += harness_cautions(units, in_unit, shafts, inputs["weight_each"])
    cautions += weight_cautions(mass)
    return Answer(
        tables=tables,
        notes=(
            f"{repeats} Pattern heddles first, then the ground, then the reed.",
            *unlike_units(in_unit, shafts),
            *mirrored_cords(units, inputs["different_columns"]),
            f"A row that raises half of the units lifts {both(mass / 2, 'g')}, and friction "
            "besides.",
            "Selvedge ends have heddles of their own, which are not counted here.",
        ),
        cautions=tuple(cautions),
        sources=("taylor-1909", "hse-manual-handling"),
    )


def _pace_remarks(inputs: Inputs, figures: Worked) -> Answer:
    hours = figures.likely("hours")
    cautions = []
    if inputs["temple_step"] > 2.6:
        cautions.append(
            "Printed advice moves the temple every 19–25 mm (¾–1 in): further apart, the "
            "edges draw in between the moves."
        )
    cautions += rhythm_cautions(inputs, hours)
    return Answer(
        {"picks_total": int(round_up(figures.likely("picks_total")).value)},
        notes=(
            f"That is {both(inputs['woven_length'] / hours, 'cm')} an hour. A museum weaver of "
            "linen damask made 6–7 cm (2⅜–2¾ in).",
            "Weaving only: winding, threading and finishing often take as long.",
        ),
        cautions=tuple(cautions),
        sources=("lofstad-2023", "earle-1898"),
    )


def _lines(text: str) -> list[tuple[str, float]]:
    """Read “thread and labels 4.50; washing 6” as words and amounts."""
    lines = [line.strip() for line in re.split(r"[;\n]", text) if line.strip()]
    if len(lines) > MOST_LINES:
        raise InputError(
            "other", f"That is {len(lines)} lines.", f"Give at most {MOST_LINES}; add up the rest."
        )
    return [
        (words[:60], parse.parse_number(amount, field="other"))
        for words, _, amount in (line.rpartition(" ") for line in lines)
    ]


def _other_costs(inputs: Inputs) -> Mapping[str, Figure | None]:
    return {"other_costs": sum(amount for _, amount in _lines(inputs["other"] or ""))}


def _cost_remarks(inputs: Inputs, figures: Worked) -> Answer:
    total = figures.likely("total_cost")
    rows = [
        ("yarn", figures.likely("yarn_cost")),
        ("hours", figures.likely("labour")),
        *_lines(inputs["other"] or ""),
        ("overhead", figures.likely("overhead_cost")),
    ]
    return Answer(
        tables={
            "lines": Table(
                "Where it goes",
                ("line", "amount", "share, %"),
                tuple(
                    (words, amount, 100 * amount / total if total else 0.0)
                    for words, amount in rows
                ),
                (None, 2, 0),
            )
        },
        notes=(
            "In whatever money you count. Yarn is cheap and time is dear in fine cloth: a multiple "
            "of the yarn's price says little.",
            *guesses(overhead=inputs["overhead"]),
        ),
        cautions=tuple(
            cost_cautions(figures.likely("all_hours"), inputs["rate"], figures.likely("yarn_cost"))
        ),
        sources=("lofstad-2023",),
    )


def _second(words: str, hint: str) -> tuple[Field, Field]:
    """Ask for a second yarn, beside the ground's."""
    return (
        if_known("second_yarn", label=f"Yarn of {words}", hint=hint, system_field="second_system"),
        aside(
            "second_system",
            "linen",
            label=f"{words[0].upper()}{words[1:]} counted in",
            hint="",
            required=False,
        ),
    )


def _yarn(term: str) -> tuple[Field, Field]:
    return (
        ask("yarn", "40/1", system_field="system", term=term),
        ask("system", "linen"),
    )


WINDING_WASTE = aside("winding_waste", required=False)

CALCULATORS = (
    calculated(
        id="warp",
        code="C-30",
        page="plan/warp-length/",
        title="Warp",
        question="How long is the warp, and how much yarn does it take?",
        asks=(
            ask("ends", "1273"),
            *_yarn("warp_yarn"),
            ask("pieces", "6"),
            ask("finished_length", "48 cm"),
            ask("fold", "1 cm", name="hem_depth"),
            aside("hem_turns", "twice"),
            if_known("hem"),
            ask("gap", "1 cm"),
            ask("sample", "30 cm"),
            ask("length_shrinkage"),
            ask("take_up"),
            ask("loom_waste"),
            WINDING_WASTE,
            if_known("second_ends"),
            *_second("a second warp", "Its ends are not counted among the others."),
            if_known("second_take_up"),
        ),
        gives=(
            give("warp_length", headline=True),
            give("warp_yarn_length", name="yarn_length", label="Yarn"),
            give(
                "warp_yarn_mass",
                name="yarn_mass",
                label="Yarn by weight",
                short="Yarn",
                headline=True,
            ),
            give("waste_share"),
            give(
                "warp_yarn_to_have",
                name="yarn_to_have",
                label="Yarn needed, with reserve",
                short="With reserve",
                told="high",
                headline=True,
            ),
            give("second_warp_length"),
            give("second_yarn_length", label="Yarn of the second warp"),
            give("second_yarn_mass", label="Second warp by weight"),
            give("second_yarn_to_have", label="Second warp needed, with reserve", told="high"),
        ),
        formulas=WARP,
        remarks=_warp_remarks,
        prepare=_hems_and_second_warp,
        ways=(Way("winding", "Wind it"),),
    ),
    calculated(
        id="weft",
        code="C-31",
        page="plan/weft/",
        title="Weft",
        question="How many picks, and how much weft yarn?",
        asks=(
            ask(
                "warp_width_in_reed",
                "52.6 cm",
                name="reed_width",
                label="Width in the reed",
                hint="Of all the ends, selvedges too.",
            ),
            ask("picks", "24.2 /cm"),
            ask("woven_length", "374 cm"),
            *_yarn("weft_yarn"),
            ask("turn_allowance"),
            WINDING_WASTE,
            *_second(
                "a second weft",
                "A supplementary weft for the pattern, beside the weft of the ground.",
            ),
            if_known("second_picks"),
        ),
        gives=(
            give("weft_yarn_length", name="yarn_length", label="Yarn"),
            give(
                "weft_yarn_mass",
                name="yarn_mass",
                label="Yarn by weight",
                short="Yarn",
                headline=True,
            ),
            give("picks_total", short="Picks", headline=True),
            give(
                "weft_yarn_to_have",
                name="yarn_to_have",
                label="Yarn needed, with reserve",
                short="With reserve",
                told="high",
                headline=True,
            ),
            give("second_yarn_length", label="Second weft"),
            give("second_yarn_mass", label="Second weft by weight"),
            give("second_picks_total"),
            give("second_yarn_to_have", label="Second weft needed, with reserve", told="high"),
        ),
        formulas=WEFT,
        remarks=_weft_remarks,
        prepare=_wefts,
        ways=(Way("rhythm", "Weave it"),),
    ),
    calculated(
        id="winding",
        code="C-32",
        page="warp/winding/",
        title="Winding the warp",
        question="How often round, in how many bouts, and does the cross count in units?",
        asks=(
            ask("ends", "948"),
            ask("threads_in_hand", "2"),
            ask("bout_ends", "96"),
            ask("warp_length", "5.37 m", hint=""),
            ask("circumference", "2 m"),
            ask("ends_per_unit", "6"),
            ask("spaces", "54", required=False),
        ),
        gives=(
            give("passes", headline=True),
            give("passes", name="cross_groups", label="Groups in the cross"),
            give("groups_per_unit", headline=True),
            give("bouts", headline=True),
            give("turns"),
            give("walked"),
        ),
        formulas=WINDING,
        remarks=_winding_remarks,
    ),
    calculated(
        id="harness",
        code="C-33",
        page="warp/entering/",
        title="Harness",
        question="How many heddles, cords and weights, and can the loom carry them?",
        asks=(
            ask("units_across", "253", name="units"),
            ask("ends_per_unit", "5"),
            ask("ground_shafts", "5", required=False, follows="ends_per_unit"),
            if_known("ends_per_heddle"),
            ask("weight_each"),
            ask("different_columns", required=False),
            if_known("loom_pattern_heddles"),
            if_known("loom_ground_shafts"),
            if_known("loom_ground_heddles"),
            if_known("loom_cords"),
            if_known("loom_carries"),
        ),
        gives=(
            give("pattern_heddles", headline=True),
            give("ground_heddles_per_shaft", headline=True),
            give("cords"),
            give("harness_mass", headline=True),
        ),
        formulas=HARNESS,
        remarks=_harness_remarks,
    ),
    calculated(
        id="rhythm",
        code="C-34",
        page="weaving/rhythm/",
        title="Pace at the loom",
        question="How many pirns, temple moves and hours?",
        asks=(
            ask("woven_length", "374 cm"),
            ask("picks", "24.2 /cm"),
            ask("temple_step"),
            ask("advance_step"),
            ask("picks_per_minute"),
            ask("picks_per_pirn"),
        ),
        gives=(
            give("temple_moves"),
            give("advances"),
            give("picks_total"),
            give("pirns", headline=True),
            give("hours", headline=True),
        ),
        formulas=PACE,
        remarks=_pace_remarks,
        woven_along=True,
    ),
    calculated(
        id="cost",
        code="C-35",
        page="plan/hours-and-cost/",
        title="Cost",
        question="What does the job cost, and what does each piece?",
        asks=(
            ask("yarn_mass", "0.6 kg"),
            ask("yarn_price", "60 per kg"),
            ask("preparing_hours", "22"),
            ask("weaving_hours", "30"),
            ask("finishing_hours", "6"),
            ask("rate", "18"),
            ask("other", "thread and labels 5; washing 4.50", required=False),
            ask("overhead", "10 %", basis="common practice"),
            ask("pieces", "6"),
        ),
        gives=(
            give("total_cost", name="total", headline=True),
            give("cost_per_piece", name="per_piece", headline=True),
            give("yarn_cost"),
            give("labour"),
            give("other_costs"),
            give("overhead_cost"),
            give("all_hours", name="hours"),
        ),
        formulas=COST,
        remarks=_cost_remarks,
        prepare=_other_costs,
    ),
)
