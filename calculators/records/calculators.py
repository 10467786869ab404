"""What the last cloth taught: the record of one cloth, the next guess, and enough yarn."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from html import escape
from itertools import zip_longest
from typing import Any

from calculators.cloth import size
from calculators.engine.calculator import BARE, Answer, Basis, Calculator, Card, Field, Step, Table
from calculators.engine.first_guesses import guess, guess_range, spread_of
from calculators.engine.formula import logged, unlogged
from calculators.engine.links import address
from calculators.engine.network import Worked
from calculators.engine.steps import working
from calculators.engine.vocabulary import aside, ask, give, if_known
from calculators.errors import InputError
from calculators.plan.calculators import FIELDS as PLAN_FIELDS
from calculators.plan.calculators import decisions
from calculators.plan.plan import PLAN
from calculators.quantities.format import format_number
from calculators.quantities.interval import Range
from calculators.quantities.parse import parse_length, parse_list
from calculators.quantities.sentences import RANGE_MEANS, both, percent, settled, times
from calculators.quantities.units import counted_in
from calculators.records.book import Record, read_records, unlike, write_record
from calculators.records.learning import COUNTS_FOR, Estimate, estimate
from calculators.records.measured import loss_between, take_up_measured
from calculators.records.running_short import (
    CLOTHS,
    LEAST_ACCEPTED,
    LOSSES,
    Enough,
    enough,
    short,
    whole_grams,
)
from calculators.weave.library import written
from calculators.yarn.cone import net_mass

TITLES = {
    name: ask(name).label
    for name in ("width_shrinkage", "length_shrinkage", "draw_in", "take_up", "loom_waste")
}
FORMULAS = {
    "width_shrinkage": "F-60",
    "length_shrinkage": "F-63",
    "draw_in": "F-61",
    "take_up": "F-81",
}
EXAMPLE = """\
Towels I; 16/2 cotton; five-end satin; oak; width 4.2 %; length 5.5 %; draw-in 4.4 %; waste 151 cm
Towels II; 16/2 cotton; five-end satin; oak; width 4.8 %; length 6.4 %; draw-in 3.9 %; waste 146 cm
Green runner; 16/2 cotton; six-end satin; oak; width 3.9 %; length 6.1 %; draw-in 4.2 %
Sheers; 40/2 cotton; plain weave; oak; width 7 %; length 9.5 %; draw-in 6.5 %; waste 139 cm"""


_YARN = (
    ask("yarn", "16/2", system_field="system"),
    ask("system", "cotton"),
    ask("weave", "satin_5"),
    ask("loom", "oak", required=False),
)


def _named(before: str, field: Field) -> Field:
    """Ask for a quantity of the plan or of the cloth beside it."""
    label = f"{before.capitalize()}: {field.label[0].lower()}{field.label[1:]}"
    changed = replace(
        field, name=f"{before}_{field.name}", label=label, required=False, advanced=True
    )
    return replace(changed, basis=None, hint="", maximum=None)


def _measured(term: str, default: str, label: str, hint: str = "") -> Field:
    return ask(term, default, label=label, hint=hint, minimum=0, maximum=1e5, required=False)


# The record of one cloth --------------------------------------------------------------------------

_WEIGHED = (
    ask("warp_yarn_mass", "", name="warp", minimum=0),
    ask("weft_yarn_mass", "", name="weft", minimum=0),
    ask("picks", "", unit="1/inch", minimum=0, maximum=None),
    ask("hours", "", label="Hours", unit="hours", minimum=0),
)
RECORD = (
    ask("cloth_name", "Towels I", name="name"),
    *_YARN,
    _measured("reed_width", "54.8 cm", "Width in the reed", "Of the ends, in the reed."),
    _measured("loom_width", "52.4 cm", "Width on the loom", "A hand below the temple."),
    ask("washed_widths", "50.4 cm, 50.2 cm", name="washed_width", required=False),
    _measured("loom_length", "80 cm", "Between the marks, on the loom", "Warp slack."),
    ask("washed_lengths", "76 cm, 75.6 cm", name="washed_length", required=False),
    _measured("warp_length", "480 cm", "Warp as wound"),
    _measured("woven_length", "311 cm", "Length woven", "All of it, measured slack."),
    ask("thrums", "151 cm", required=False),
    aside("tape_step", "1 mm", name="step"),
    if_known("off_width"),
    if_known("off_length"),
    *(_named("planned", ask(name)) for name in (*LOSSES, "loom_waste")),
    *(_named("real", field) for field in _WEIGHED),
    *(_named("planned", field) for field in _WEIGHED),
)


FOOLISH_BELOW = {
    "width_shrinkage": (-0.005, "the cloth would have grown wider in the wash."),
    "length_shrinkage": (-0.005, "the cloth would have grown longer in the wash."),
    "draw_in": (0.0, "the cloth would be wider than the ends in the reed."),
    "take_up": (0.0, "the cloth would be longer than its warp."),
}
FOOLISH_ABOVE = {"width_shrinkage": 0.25, "length_shrinkage": 0.25, "draw_in": 0.2, "take_up": 0.3}
GROWN, MOST_OPEN = 0.005, 0.02  # these limits are our choice, from what weavers report


def _record(inputs: Mapping[str, Any]) -> Answer:
    widths, lengths = (_lengths(inputs, name) for name in ("washed_width", "washed_length"))
    measured = _losses_measured(inputs, widths, lengths)
    figures = {name: loss.likely for name, loss in measured.items()}
    if inputs["thrums"] is not None:
        figures["loom_waste"] = inputs["thrums"]
    if not figures:
        raise InputError(
            "loom_width", "Nothing can be worked out yet: no two figures belong together.",
            "Give the width on the loom and after the wash, or the thrums.",
        )  # fmt: skip
    record = Record(
        " ".join(inputs["name"].replace(";", ",").split())[:60], inputs["yarn"], inputs["weave"],
        (inputs["loom"] or "").replace(";", ",")[:60], figures,
    )  # fmt: skip
    compared = [
        (TITLES[name], planned if name == "loom_waste" else planned.likely, value)
        for name, value in figures.items()
        if (planned := inputs[f"planned_{name}"]) is not None
    ] + [
        (field.label, inputs[f"planned_{field.name}"], inputs[f"real_{field.name}"])
        for field in _WEIGHED
        if inputs[f"planned_{field.name}"] and inputs[f"real_{field.name}"] is not None
    ]  # fmt: skip
    return Answer(
        results={
            **{name: settled(times(loss, 100)) for name, loss in measured.items()},
            **({} if inputs["thrums"] is None else {"loom_waste": inputs["thrums"]}),
            "line": write_record(record),
        },
        tables={"washes": _washes(inputs, widths, lengths)},
        pictures=(planned_against_real_svg(compared),) if compared else (),
        notes=(
            "Put it into your records: the next guess is made from them.",
            *_unmeasured(figures),
            "Low and high come from the tape alone. Cloths differ by more than that.",
            *_farthest(compared),
        ),
        cautions=tuple(_record_cautions(inputs, measured, widths, lengths)),
        sources=("iso-5077", "taylor-1909", "from-memory"),
    )  # fmt: skip


def _unmeasured(figures: Mapping[str, float]) -> list[str]:
    missing = [title.lower() for name, title in TITLES.items() if name not in figures]
    return [f"Not measured: {', '.join(missing)}. The record leaves them out."] if missing else []


def _losses_measured(
    inputs: Mapping[str, Any], widths: list[float], lengths: list[float]
) -> dict[str, Range]:
    """Return each loss of which both ends were measured."""
    reed, wide, long, step = (
        inputs[name] for name in ("reed_width", "loom_width", "loom_length", "step")
    )
    warp, woven, thrums = (inputs[name] for name in ("warp_length", "woven_length", "thrums"))
    measured = {}
    if wide is not None and widths:
        measured["width_shrinkage"] = loss_between(
            wide, widths[-1], step, "washed_width", size.width_lost
        )
    if long is not None and lengths:
        measured["length_shrinkage"] = loss_between(
            long, lengths[-1], step, "washed_length", size.length_lost
        )
    if reed is not None and wide is not None:
        measured["draw_in"] = loss_between(reed, wide, step, "loom_width", size.drawn_in)
    if warp is not None and woven is not None and thrums is not None:
        measured["take_up"] = take_up_measured(warp, thrums, woven, step)
    return measured


def _record_cautions(
    inputs: Mapping[str, Any],
    measured: Mapping[str, Range],
    widths: list[float],
    lengths: list[float],
) -> list[str]:
    cautions = []
    for name, (least, below) in FOOLISH_BELOW.items():
        if name in measured and (loss := measured[name].likely) < least:
            cautions.append(
                f"{TITLES[name]} comes out at {percent(loss)}, below nought: {below} "
                "Look at the figures before the line goes into your records."
            )
    for name, most in FOOLISH_ABOVE.items():
        if name in measured and (loss := measured[name].likely) > most:
            cautions.append(
                f"{TITLES[name]} comes out at {percent(loss)}, more than "
                f"{percent(most, 0)}: measure again before the line goes into your records."
            )
    for dimension, washed, off in (
        ("width", widths, inputs["off_width"]), ("length", lengths, inputs["off_length"]),
    ):  # fmt: skip
        if washed and washed[-1] > washed[0] * (1 + GROWN):
            cautions.append(
                f"The {dimension} has grown from the first wash to the last. Washed cloth that was "
                "stretched or ironed before it was measured does so."
            )
        if washed and off and off < washed[-1] / (1 + GROWN):
            cautions.append(f"The {dimension} off the loom is less than after the wash.")
    for name, ranged in measured.items():
        width = ranged.high - ranged.low
        if width > MOST_OPEN:
            cautions.append(
                f"{TITLES[name]} is open by {percent(width / 2)} either way from "
                "the tape alone: measure over a longer stretch, or read finer."
            )
    if inputs["thrums"] == 0:
        cautions.append("Thrums of nought: no loom weaves its warp to the end.")
    elif (
        inputs["thrums"] and inputs["warp_length"] and inputs["thrums"] > inputs["warp_length"] / 2
    ):
        cautions.append("More than half of the warp went into thrums.")
    return cautions


def _lengths(inputs: Mapping[str, Any], name: str) -> list[float]:
    unit, typed = counted_in("cm", inputs.get(BARE, "")), inputs[name]
    return [parse_length(text, unit, name) for text in parse_list(typed, name)] if typed else []


def _washes(inputs: Mapping[str, Any], widths: list[float], lengths: list[float]) -> Table:
    """Set the lengths of every moment side by side, with what was lost since the loom."""
    moments = [("on the loom", inputs["loom_width"], inputs["loom_length"])]
    if inputs["off_width"] or inputs["off_length"]:
        moments.append(("off the loom", inputs["off_width"], inputs["off_length"]))
    moments += [
        (f"after wash {wash}", *pair) for wash, pair in enumerate(zip_longest(widths, lengths), 1)
    ]
    rows = tuple(
        (moment, *_lost(width, inputs["loom_width"]), *_lost(length, inputs["loom_length"]))
        for moment, width, length in moments
    )
    columns = ("When", "Width, cm", "lost, %", "Length, cm", "lost, %")
    return Table("From the loom to the last wash", columns, rows, (None, 1, 1, 1, 1))


def _lost(length: float | None, on_loom: float) -> tuple[float | None, float | None]:
    """Return a length and the per cent lost since the loom; nothing where it was not measured."""
    return (length, 100 * (1 - length / on_loom)) if length and on_loom else (None, None)


def _farthest(compared: list[tuple[str, float, float]]) -> list[str]:
    ratios = [(label, measured / planned) for label, planned, measured in compared if planned > 0]
    label, ratio = max(ratios, key=lambda pair: abs(pair[1] - 1), default=("", 1.0))
    if abs(ratio - 1) < 0.1:
        return []
    way = "more" if ratio > 1 else "less"
    return [
        f"Farthest from the plan: {label.lower()}, {abs(ratio - 1) * 100:.0f} % {way} "
        "than was thought."
    ]


def planned_against_real_svg(compared: list[tuple[str, float, float]]) -> str:
    """Draw each real figure as a share of the planned one, the plan being a line in the middle."""
    left, width, row = 8, 304, 38
    parts = []
    for place, (label, planned, measured) in enumerate(compared):
        y = 22 + row * place
        ratio = measured / planned if planned > 0 else (1.0 if measured == planned else 2.0)
        x = left + width * min(max(ratio, 0.0), 2.0) / 2
        share = f"{ratio:.2f} of the plan" if planned > 0 else "not planned"
        middle = left + width / 2
        parts.append(
            f'<text x="0" y="{y - 8}">{escape(label)}: {share}</text>'
            f'<path class="ft-scale-all" d="M{left} {y}h{width}"/>'
            f'<path d="M{middle:.1f} {y - 5}v10"/>'
            f'<path class="ft-off" d="M{middle:.1f} {y}H{x:.1f}"/>'
            f'<circle class="ft-real" cx="{x:.1f}" cy="{y}" r="5"/>'
        )
    height = 22 + row * len(compared)
    return (
        f'<svg class="ft-against" viewBox="0 0 320 {height}" role="img" stroke="currentColor"'
        f' fill="currentColor"><title>What came out, beside what was planned: the stroke in the'
        f" middle is the plan, twice as much at the right</title>"
        f'<g font-size="13" stroke-width="1.5">{"".join(parts)}</g></svg>'
    )


# The next guess -----------------------------------------------------------------------------------

FAR = 2.0  # times the distance from likely to the guess’s end, beyond that end; our choice


def _general(term: str) -> Field:
    guessed = ask(term, guess(term) if term == "loom_waste" else guess_range(term))
    label = f"General guess: {guessed.label[0].lower()}{guessed.label[1:]}"
    hint = "Common practice." if term == "loom_waste" else f"{RANGE_MEANS} Common practice."
    return replace(guessed, label=label, hint=hint, minimum=None, maximum=None)


GUESS = (
    *_YARN,
    ask("records", EXAMPLE, required=False),
    *map(_general, LOSSES),
    _general("loom_waste"),
    aside("waste_spread", spread_of("loom_waste"), label="and how far it may be off", minimum=0.1),
    aside("counts_for", f"{COUNTS_FOR:g}"),
)


def _next_guess(inputs: Mapping[str, Any]) -> Answer:
    records = read_records(inputs["records"] or "", units=inputs.get(BARE, ""))
    reasons = [
        unlike(record, inputs["yarn"], inputs["weave"], inputs["loom"] or "") for record in records
    ]
    alike = [record for record, reason in zip(records, reasons, strict=True) if not reason]
    waste, spread = inputs["loom_waste"], inputs["waste_spread"]
    general_guesses = {name: inputs[name] for name in TITLES if name != "loom_waste"}
    general_guesses["loom_waste"] = Range(max(0.0, waste - spread), waste, waste + spread)
    own = {
        name: [record.losses[name] for record in alike if name in record.losses]
        for name in general_guesses
    }
    estimates = {
        name: expected(name, general_guess, own[name], inputs["counts_for"])
        for name, general_guess in general_guesses.items()
    }
    results = {
        name: settled(times(estimated.range, 1 if name == "loom_waste" else 100))
        for name, estimated in estimates.items()
    }
    rows = tuple(
        (record.name, record.yarn.text.strip(), record.weave.title, record.loom, reason or "used")
        for record, reason in zip(records, reasons, strict=True)
    )
    tables = {"figures": _figures(general_guesses, estimates)}
    if rows:
        columns = ("Record", "Yarn", "Weave", "Loom", "For this plan")
        tables["records"] = Table("Your records", columns, rows)
    bases: dict[str, Basis] = {
        name: "your own record" if estimated.records else "common practice"
        for name, estimated in estimates.items()
    }
    return Answer(
        results=results | {"used": len(alike)},
        tables=tables,
        bases=bases | {"used": "worked out"},
        cards=(_onward(inputs, estimates),),
        steps=tuple(_guess_steps(inputs, general_guesses, own)),
        notes=(
            "Low to high is meant to hold the next cloth eight times in ten, as far as cloths "
            "differ the way the method supposes: as much between weavers as the guess is wide.",
            "Old plans stay as they were. These figures are offered to the next one.",
            RANGE_MEANS,
        ),
        cautions=tuple(_guess_cautions(inputs, general_guesses, estimates, alike)),
        sources=("murphy-2007", "albert-hu", "efron-morris-1977", "cephes"),
    )  # fmt: skip


def _guess_cautions(
    inputs: Mapping[str, Any],
    general_guesses: Mapping[str, Range],
    estimates: Mapping[str, Estimate],
    alike: list[Record],
) -> list[str]:
    cautions = []
    for name, estimated in estimates.items():
        mean, general = estimated.mean, general_guesses[name]
        if any(record.losses.get(name, 1) <= 0 for record in alike):
            cautions.append(
                f"{TITLES[name]}: a record says nought or less. Look at it again; it draws the "
                "guess down."
            )
        if name != "loom_waste" and mean is not None and mean > FOOLISH_ABOVE[name]:
            cautions.append(
                f"{TITLES[name]}: your records lie at {percent(mean)}, more than "
                f"{percent(FOOLISH_ABOVE[name], 0)}. Look at them again."
            )
        if mean is not None and not (
            general.low - FAR * (general.likely - general.low)
            <= mean
            <= general.high + FAR * (general.high - general.likely)
        ):
            cautions.append(
                f"{TITLES[name]}: your records lie far outside the general guess. A slip of the "
                "tape, or another kind of cloth?"
            )
        if estimated.records and estimated.range.low <= 0:
            cautions.append(
                f"{TITLES[name]}: so few or so unlike records leave low at nought. More cloths "
                "narrow it."
            )
    if inputs["records"] and not alike:
        cautions.append("None of your records is like this cloth: the general guesses stand.")
    if inputs["waste_spread"] > inputs["loom_waste"]:
        cautions.append(
            "The loom waste may be off by more than all of it. Measure the last thrums."
        )
    return cautions


def expected(
    name: str, general_guess: Range, own: list[float], counts_for: float = COUNTS_FOR
) -> Estimate:
    """Estimate a loss, and keep it within what a plan may take."""
    try:
        with unlogged():  # told below, in per cent
            found = estimate(general_guess, own, counts_for)
    except InputError as error:
        raise error.at(name) from error
    loss = found.range
    kept = Range(max(0.0, loss.low), max(0.0, loss.likely), max(0.0, loss.high))
    return replace(found, range=kept)


def _figures(general_guesses: dict[str, Range], estimates: dict[str, Estimate]) -> Table:
    def shown(name: str, value: float | None) -> str:
        if value is None:
            return ""
        return both(value, "cm") if name == "loom_waste" else percent(value)

    rows = tuple(
        (
            TITLES[name],
            estimated.records,
            shown(name, estimated.mean),
            shown(name, estimated.spread),
            shown(name, general_guesses[name].likely),
            percent(estimated.own_share, 0),
            " – ".join(
                shown(name, end)
                for end in (estimated.range.low, estimated.range.likely, estimated.range.high)
            ),
        )
        for name, estimated in estimates.items()
    )
    columns = ("Loss", "Records", "Your mean", "They lie apart by", "General guess",
               "Yours counts", "Offered: low – likely – high")  # fmt: skip
    return Table("What stands behind each figure", columns, rows)


def _guess_steps(
    inputs: Mapping[str, Any], general_guesses: Mapping[str, Range], own: Mapping[str, list[float]]
) -> Iterator[Step]:
    """Tell, for each loss that was recorded, its figure and how far it is open, in per cent."""
    for name, figures in own.items():
        if not figures:
            continue
        factor = 1 if name == "loom_waste" else 100
        in_per_cent = [factor * figure for figure in figures]
        with logged() as log:
            estimate(times(general_guesses[name], factor), in_per_cent, inputs["counts_for"])
        for calculation in log:
            if calculation.formula.gives in ("next_figure", "next_reach"):
                yield Step(
                    f"{TITLES[name]}: {calculation.formula.name}",
                    working(calculation, inputs.get(BARE, "")),
                    calculation.formula.id,
                )


def _onward(inputs: Mapping[str, Any], estimates: dict[str, Estimate]) -> Card:
    state = {"warp_yarn": inputs["yarn"].text.strip(), "warp_system": inputs["yarn"].system,
             "weft_yarn": "", "weave": written(inputs["weave"]), "sett": "", "picks": "",
             **dict.fromkeys(("ends_per_unit", "picks_per_unit", "ground_shafts"), "")}  # fmt: skip
    for name, estimated in estimates.items():
        if name == "loom_waste":
            state[name] = f"{estimated.range.likely:.4g} cm"
        elif max(estimated.range.high, 0.01) < 0.9:
            figures = (estimated.range.low, estimated.range.likely, estimated.range.high)
            state[name] = "–".join(f"{100 * figure:.2f}" for figure in figures) + " %"
    return Card("Plan a cloth with these figures", (), address("cloth-plan", state))


# Enough yarn --------------------------------------------------------------------------------------

# What the grams of both yarns follow from, and what is read beside the figures to get there.
_BEHIND = PLAN.behind("warp_yarn_mass", "weft_yarn_mass") | {"weave", "firmness"}
_OPEN = {name: guess_range(name) for name in LOSSES}


LEAST_TOLD, MOST_STEP, MOST_COUNT = 0.005, 0.05, 0.1  # beyond these a caution; our choice


def _wanted(field: Field) -> bool:
    hemmed = field.name in ("hem_turns", "hem_edges")
    return hemmed or field.term in _BEHIND or field.kind in ("yarn", "system")


def _taken(field: Field) -> Field:
    if field.name not in _OPEN:
        return field
    return replace(field, default=_OPEN[field.name], hint=RANGE_MEANS)


_PLAN_FIELDS = tuple(_taken(field) for field in PLAN_FIELDS if _wanted(field))

ENOUGH = (
    ask("side", "warp"),
    ask("gross", "470 g"),
    ask("empty", "38 g"),
    aside("scale_step", "1 g"),
    aside("count_tolerance", guess("count_tolerance")),
    aside("waste_spread", spread_of("loom_waste")),
    aside("accepted", "5 %"),
    aside("together", "0.5", basis="from memory"),
    *_PLAN_FIELDS,
)


def _enough(inputs: Mapping[str, Any]) -> Answer:
    decided = decisions(_PLAN_FIELDS, inputs)
    plan = PLAN.run(decided)
    side, accepted = inputs["side"], inputs["accepted"].likely
    on_hand = net_mass(inputs["gross"], inputs["empty"])
    if accepted <= 0:
        raise InputError(
            "accepted", "No amount of yarn is certain to be enough.",
            "Accept a small chance, such as 1 %.",
        )  # fmt: skip
    with unlogged():  # plans by the thousand
        result, untied = (
            enough(
                decided,
                side,
                on_hand,
                scale_step=inputs["scale_step"],
                count_tolerance=inputs["count_tolerance"].likely,
                waste_spread=inputs["waste_spread"],
                accepted=accepted,
                together=together,
            )
            for together in (inputs["together"], 0.0)
        )
    safe = whole_grams(result.safe)
    titles = {**TITLES, "count": "Count"}
    rows = tuple(
        (titles[name], low, high)
        for name, (low, high) in sorted(
            result.parts.items(), key=lambda part: part[1][0] - part[1][1]
        )
    )
    return Answer(
        results={
            "chance": 100 * result.chance,
            "safe": safe,
            "short": short(safe, on_hand) if safe > on_hand else 0.0,
            "on_hand": on_hand,
            "wanted": result.wanted,
            "open_by": result.open_by,
        },
        tables={
            "parts": Table("What leaves the grams open",
                           ("What", "At its low, g", "At its high, g"), rows, (None, 1, 1))
        },
        cautions=tuple(_enough_cautions(inputs, plan, result, on_hand, safe)),
        notes=(
            RANGE_MEANS,
            f"{format_number(CLOTHS)} cloths, spread evenly over the ranges of their losses, each "
            "curve through its low, likely and high, were worked out (F-140, F-141). The chance is "
            "the share of them that want more than there is, waste, count and scale with them.",
            "The weft crosses the ends as they stand in the reed: what the width loses changes the "
            "size of the cloth, not its weft."
            if side == "weft"
            else "Take-up is counted as going with the length’s shrinkage, by "
            f"{format_number(inputs['together'])} of 1. Each by itself, {both(untied.safe, 'g')} "
            f"would be as safe as {both(result.safe, 'g')} are now.",
        ),
        sources=("from-memory", "taylor-1909"),
    )  # fmt: skip


def _enough_cautions(
    inputs: Mapping[str, Any], plan: Worked, result: Enough, on_hand: float, safe: float
) -> list[str]:
    side, accepted = inputs["side"], inputs["accepted"].likely
    cautions = []
    if result.chance > accepted:
        cautions.append(
            f"As things stand the {side} yarn runs short in {percent(result.chance, 0)} of such "
            f"cloths; {both(max(0.0, safe - on_hand), 'g')} more make it {percent(accepted, 1)}."
        )
    if safe < result.wanted:
        cautions.append(
            f"You accept to run short {percent(accepted, 1)} of the time, so the grams called safe "
            f"are fewer than the {both(result.wanted, 'g')} wanted at the likely losses. Accept 5 "
            "or 10 % for grams to buy by."
        )
    if accepted < LEAST_TOLD:
        cautions.append(
            "Ranges that hold eight cloths in ten say little about one cloth in two hundred: take "
            f"the grams for {percent(accepted, 2)} as rough."
            + (" They are those for 0.1 %." if accepted < LEAST_ACCEPTED else "")
        )
    if all(plan.ranged(name).is_exact for name in LOSSES):
        cautions.append(
            "Every loss is given as one figure, as if it were known: the chance is surer than any "
            "cloth is. Give low–likely–high."
        )
    if inputs["empty"] == 0:
        cautions.append("The empty cone was taken as nothing, so there is less yarn than this.")
    if on_hand <= inputs["scale_step"]:
        cautions.append("The scale cannot tell this cone from an empty one.")
    elif inputs["scale_step"] > MOST_STEP * result.wanted:
        cautions.append(
            f"A step of the scale is more than {percent(MOST_STEP, 0)} of the yarn wanted: weigh "
            "on a finer scale."
        )
    if side == "warp" and inputs["waste_spread"] > plan.likely("loom_waste"):
        cautions.append(
            "The loom waste may be off by more than all of it. Measure the last thrums."
        )
    if inputs["count_tolerance"].likely > MOST_COUNT:
        cautions.append(
            f"A count that may be {percent(MOST_COUNT, 0)} off and more is hardly a label: weigh a "
            "measured length."
        )
    return cautions


CALCULATORS = (
    Calculator(
        "record",
        "C-51",
        "shelf/records/",
        "The record of one cloth",
        "What did this cloth lose, and how sure is that?",
        RECORD,
        (
            *(
                give(name, basis="your own record", headline=True, formula=FORMULAS[name])
                for name in FORMULAS
            ),
            give("loom_waste", basis="your own record", headline=True),
            give("record_line", name="line", basis="your own record"),
        ),
        _record,
    ),
    Calculator(
        "next-guess",
        "C-52",
        "shelf/records/",
        "The next guess",
        "What do my own records say for the next cloth of this kind?",
        GUESS,
        (
            *(give(name, formula="F-129", headline=True) for name in TITLES),
            give("used"),
        ),
        _next_guess,
    ),
    Calculator(
        "enough-yarn",
        "C-53",
        "shelf/records/",
        "Enough yarn?",
        "How likely is it to run short, and what makes it safe?",
        ENOUGH,
        (
            give("chance", formula="F-131", headline=True),
            give("safe", formula="F-132", headline=True),
            give("short", formula="F-132", headline=True),
            give("on_hand", formula="F-19"),
            give("grams_wanted", name="wanted", formula="F-110"),
            give("open_by", formula="F-141"),
        ),
        _enough,
    ),
)  # fmt: skip
