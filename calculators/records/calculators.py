"""What the last cloth taught: the record of one cloth, the next guess, and enough yarn."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from html import escape
from itertools import zip_longest
from typing import Any

from calculators.cloth import size
from calculators.engine.calculator import (
    Answer,
    Basis,
    Calculator,
    Card,
    Field,
    Step,
    Table,
)
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
from calculators.records.book import Record, read_records, unlike, write_record
from calculators.records.enough import (
    CLOTHS,
    LEAST_ACCEPTED,
    LOSSES,
    Enough,
    enough,
    short,
    whole_grams,
)
from calculators.records.learning import COUNTS_FOR, Estimate, estimate
from calculators.records.measured import loss_between, take_up_measured
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
Towels I; 16/2 cotton; satin_5; oak; width 4.2 %; length 5.5 %; draw-in 4.4 %; waste 151 cm
Towels II; 16/2 cotton; satin_5; oak; width 4.8 %; length 6.4 %; draw-in 3.9 %; waste 146 cm
Green runner; 16/2 cotton; satin_6; oak; width 3.9 %; length 6.1 %; draw-in 4.2 %
Sheers; 40/2 cotton; plain; oak; width 7 %; length 9.5 %; draw-in 6.5 %; waste 139 cm"""


_YARN = (
    ask("yarn", "16/2", system_field="system"),
    ask("system", "cotton"),
    ask("weave", "satin_5"),
    ask("loom", "oak", required=False),
)


def _named(before: str, one: Field) -> Field:
    """Ask for a quantity of the plan or of the cloth beside it."""
    label = f"{before.capitalize()}: {one.label[0].lower()}{one.label[1:]}"
    changed = replace(one, name=f"{before}_{one.name}", label=label, required=False, advanced=True)
    return replace(changed, basis=None, hint="", maximum=None)


def _measured(term: str, default: str, label: str, hint: str = "") -> Field:
    return ask(term, default, label=label, hint=hint, minimum=0, maximum=1e5)


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
    ask("washed_widths", "50.4 cm, 50.2 cm", name="washed_width"),
    _measured("loom_length", "80 cm", "Between the marks, on the loom", "Warp slack."),
    ask("washed_lengths", "76 cm, 75.6 cm", name="washed_length"),
    _measured("warp_length", "480 cm", "Warp as wound"),
    _measured("woven_length", "311 cm", "Length woven", "All of it, measured slack."),
    ask("thrums", "151 cm"),
    aside("tape_step", "1 mm", name="step"),
    if_known("off_width"),
    if_known("off_length"),
    *(_named("planned", ask(name)) for name in (*LOSSES, "loom_waste")),
    *(_named("real", one) for one in _WEIGHED),
    *(_named("planned", one) for one in _WEIGHED),
)


FOOLISH_BELOW = {
    "width_shrinkage": (-0.005, "the cloth would have grown wider in the wash."),
    "length_shrinkage": (-0.005, "the cloth would have grown longer in the wash."),
    "draw_in": (0.0, "the cloth would be wider than the ends in the reed."),
    "take_up": (0.0, "the cloth would be longer than its warp."),
}
FOOLISH_ABOVE = {"width_shrinkage": 0.25, "length_shrinkage": 0.25, "draw_in": 0.2, "take_up": 0.3}
GROWN, MOST_OPEN = 0.005, 0.02  # these limits are our choice, from what weavers report


def _record(given: Mapping[str, Any]) -> Answer:
    step = given["step"]
    widths, lengths = (_lengths(given, name) for name in ("washed_width", "washed_length"))
    real = {
        "width_shrinkage": loss_between(
            given["loom_width"], widths[-1], step, "washed_width", size.width_lost
        ),
        "length_shrinkage": loss_between(
            given["loom_length"], lengths[-1], step, "washed_length", size.length_lost
        ),
        "draw_in": loss_between(
            given["reed_width"], given["loom_width"], step, "loom_width", size.drawn_in
        ),
        "take_up": take_up_measured(
            given["warp_length"], given["thrums"], given["woven_length"], step
        ),
    }
    figures = {name: loss.likely for name, loss in real.items()} | {"loom_waste": given["thrums"]}
    record = Record(
        " ".join(given["name"].replace(";", ",").split())[:60], given["yarn"], given["weave"],
        (given["loom"] or "").replace(";", ",")[:60], figures,
    )  # fmt: skip
    compared = [
        (TITLES[name], planned if name == "loom_waste" else planned.likely, value)
        for name, value in figures.items()
        if (planned := given[f"planned_{name}"]) is not None
    ] + [
        (one.label, given[f"planned_{one.name}"], given[f"real_{one.name}"])
        for one in _WEIGHED
        if given[f"planned_{one.name}"] and given[f"real_{one.name}"] is not None
    ]  # fmt: skip
    return Answer(
        results={
            **{name: settled(times(loss, 100)) for name, loss in real.items()},
            "loom_waste": given["thrums"],
            "line": write_record(record),
        },
        tables={"washes": _washes(given, widths, lengths)},
        pictures=(planned_against_real_svg(compared),) if compared else (),
        notes=(
            "Copy the record’s line into your records: the next guess is made from them.",
            "Low and high come from the tape alone. Cloths differ by more than that.",
            *_beside(compared),
        ),
        cautions=tuple(_record_cautions(given, real, widths, lengths)),
        sources=("iso-5077", "taylor-1909", "from-memory"),
    )  # fmt: skip


def _record_cautions(
    given: Mapping[str, Any],
    real: Mapping[str, Range],
    widths: list[float],
    lengths: list[float],
) -> list[str]:
    said = []
    for name, (least, below) in FOOLISH_BELOW.items():
        if real[name].likely < least:
            said.append(
                f"{TITLES[name]} comes out at {percent(real[name].likely)}, below nought: {below} "
                "Look at the figures before the line goes into your records."
            )
    for name, most in FOOLISH_ABOVE.items():
        if real[name].likely > most:
            said.append(
                f"{TITLES[name]} comes out at {percent(real[name].likely)}, more than "
                f"{percent(most, 0)}: measure again before the line goes into your records."
            )
    for words, washed, off in (
        ("width", widths, given["off_width"]), ("length", lengths, given["off_length"]),
    ):  # fmt: skip
        if washed[-1] > washed[0] * (1 + GROWN):
            said.append(
                f"The {words} has grown from the first wash to the last. Washed cloth that was "
                "stretched or ironed before it was measured does so."
            )
        if off and off < washed[-1] / (1 + GROWN):
            said.append(f"The {words} off the loom is less than after the wash.")
    for name, loss in real.items():
        if loss.high - loss.low > MOST_OPEN:
            said.append(
                f"{TITLES[name]} is open by {percent((loss.high - loss.low) / 2)} either way from "
                "the tape alone: measure over a longer stretch, or read finer."
            )
    if given["thrums"] == 0:
        said.append("Thrums of nought: no loom weaves its warp to the end.")
    elif given["thrums"] > given["warp_length"] / 2:
        said.append("More than half of the warp went into thrums.")
    return said


def _lengths(given: Mapping[str, Any], name: str) -> list[float]:
    return [parse_length(one, "cm", name) for one in parse_list(given[name], name)]


def _washes(given: Mapping[str, Any], widths: list[float], lengths: list[float]) -> Table:
    """Set the lengths of every moment side by side, with what was lost since the loom."""
    moments = [("on the loom", given["loom_width"], given["loom_length"])]
    if given["off_width"] or given["off_length"]:
        moments.append(("off the loom", given["off_width"], given["off_length"]))
    moments += [
        (f"after wash {wash}", *pair) for wash, pair in enumerate(zip_longest(widths, lengths), 1)
    ]
    rows = tuple(
        (
            words,
            *(
                cell
                for value, start in ((width, given["loom_width"]), (length, given["loom_length"]))
                for cell in (
                    (value, 100 * (1 - value / start)) if value and start else (None, None)
                )
            ),
        )
        for words, width, length in moments
    )
    columns = ("When", "Width, cm", "lost, %", "Length, cm", "lost, %")
    return Table("From the loom to the last wash", columns, rows, (None, 1, 1, 1, 1))


def _beside(compared: list[tuple[str, float, float]]) -> list[str]:
    off = [(words, real / planned) for words, planned, real in compared if planned > 0]
    far = sorted(off, key=lambda pair: -abs(pair[1] - 1))
    if not far or abs(far[0][1] - 1) < 0.1:
        return []
    way = "more" if far[0][1] > 1 else "less"
    return [
        f"Farthest from the plan: {far[0][0].lower()}, {abs(far[0][1] - 1) * 100:.0f} % {way} "
        "than was thought."
    ]


def planned_against_real_svg(compared: list[tuple[str, float, float]]) -> str:
    """Draw each real figure as a share of the planned one, the plan being a line in the middle."""
    left, width, row = 8, 304, 38
    parts = []
    for place, (words, planned, real) in enumerate(compared):
        y = 22 + row * place
        ratio = real / planned if planned > 0 else (1.0 if real == planned else 2.0)
        x = left + width * min(max(ratio, 0.0), 2.0) / 2
        told = f"{ratio:.2f} of the plan" if planned > 0 else "not planned"
        middle = left + width / 2
        parts.append(
            f'<text x="0" y="{y - 8}">{escape(words)}: {told}</text>'
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


def _next_guess(given: Mapping[str, Any]) -> Answer:
    records = read_records(given["records"] or "")
    why = [unlike(one, given["yarn"], given["weave"], given["loom"] or "") for one in records]
    alike = [one for one, reason in zip(records, why, strict=True) if not reason]
    waste, spread = given["loom_waste"], given["waste_spread"]
    guesses = {name: given[name] for name in TITLES if name != "loom_waste"}
    guesses["loom_waste"] = Range(max(0.0, waste - spread), waste, waste + spread)
    own: dict[str, list[float]] = {}
    found: dict[str, Estimate] = {}
    for name, general in guesses.items():
        own[name] = [one.losses[name] for one in alike if name in one.losses]
        try:
            with unlogged():  # told below, in per cent
                offered = estimate(general, own[name], given["counts_for"])
        except InputError as error:
            raise error.at(name) from error
        found[name] = _not_below_nought(offered)
    results = {
        name: settled(one.range if name == "loom_waste" else times(one.range, 100))
        for name, one in found.items()
    }
    rows = tuple(
        (one.name, one.yarn.text.strip(), one.weave.title, one.loom, reason or "used")
        for one, reason in zip(records, why, strict=True)
    )
    tables = {"figures": _figures(guesses, found)}
    if rows:
        columns = ("Record", "Yarn", "Weave", "Loom", "For this plan")
        tables["records"] = Table("Your records", columns, rows)
    own_record: Basis = "your own record"
    return Answer(
        results=results | {"used": len(alike)},
        tables=tables,
        bases={name: own_record if one.records else "common practice"
               for name, one in found.items()} | {"used": "worked out"},
        cards=(_onward(given, found),),
        steps=tuple(_guess_steps(given, guesses, own)),
        notes=(
            "Low to high is meant to hold the next cloth eight times in ten, as far as cloths "
            "differ the way the method supposes: as much between weavers as the guess is wide.",
            "Old plans stay as they were. These figures are offered to the next one.",
            RANGE_MEANS,
        ),
        cautions=tuple(_guess_cautions(given, guesses, found, alike)),
        sources=("murphy-2007", "albert-hu", "efron-morris-1977", "cephes"),
    )  # fmt: skip


def _guess_cautions(
    given: Mapping[str, Any],
    guesses: Mapping[str, Range],
    found: Mapping[str, Estimate],
    alike: list[Record],
) -> list[str]:
    said = []
    for name, one in found.items():
        own = [record.losses[name] for record in alike if name in record.losses]
        if any(value <= 0 for value in own):
            said.append(
                f"{TITLES[name]}: a record says nought or less. Look at it again; it draws the "
                "guess down."
            )
        if name != "loom_waste" and one.mean is not None and one.mean > FOOLISH_ABOVE[name]:
            said.append(
                f"{TITLES[name]}: your records lie at {percent(one.mean)}, more than "
                f"{percent(FOOLISH_ABOVE[name], 0)}. Look at them again."
            )
        guess = guesses[name]
        if one.mean is not None and not (
            guess.low - FAR * (guess.likely - guess.low)
            <= one.mean
            <= guess.high + FAR * (guess.high - guess.likely)
        ):
            said.append(
                f"{TITLES[name]}: your records lie far outside the general guess. A slip of the "
                "tape, or another kind of cloth?"
            )
        if one.records and one.range.low <= 0:
            said.append(
                f"{TITLES[name]}: so few or so unlike records leave low at nought. More cloths "
                "narrow it."
            )
    if given["records"] and not alike:
        said.append("None of your records is like this cloth: the general guesses stand.")
    if given["waste_spread"] > given["loom_waste"]:
        said.append("The loom waste may be off by more than all of it. Measure the last thrums.")
    return said


def _not_below_nought(found: Estimate) -> Estimate:
    """Keep a loss within what a plan may take."""
    one = found.range
    kept = Range(max(0.0, one.low), max(0.0, one.likely), max(0.0, one.high))
    return replace(found, range=kept)


def _figures(guesses: dict[str, Range], found: dict[str, Estimate]) -> Table:
    def shown(name: str, value: float | None) -> str:
        if value is None:
            return ""
        return both(value, "cm") if name == "loom_waste" else percent(value)

    rows = tuple(
        (
            TITLES[name], one.records, shown(name, one.mean), shown(name, one.spread),
            shown(name, guesses[name].likely), percent(one.own_share, 0),
            f"{shown(name, one.range.low)} – {shown(name, one.range.likely)} – "
            f"{shown(name, one.range.high)}",
        )
        for name, one in found.items()
    )  # fmt: skip
    columns = ("Loss", "Records", "Your mean", "They lie apart by", "General guess",
               "Yours counts", "Offered: low – likely – high")  # fmt: skip
    return Table("What stands behind each figure", columns, rows)


def _guess_steps(
    given: Mapping[str, Any], guesses: Mapping[str, Range], own: Mapping[str, list[float]]
) -> Iterator[Step]:
    """Tell, for each loss that was recorded, its figure and how far it is open, in per cent."""
    for name, records in own.items():
        if not records:
            continue
        factor = 1 if name == "loom_waste" else 100
        figures = [factor * one for one in records]
        with logged() as log:
            estimate(times(guesses[name], factor), figures, given["counts_for"])
        for done in log:
            if done.formula.gives in ("next_figure", "next_reach"):
                yield Step(f"{TITLES[name]}: {done.formula.name}", working(done), done.formula.id)


def _onward(given: Mapping[str, Any], found: dict[str, Estimate]) -> Card:
    state = {"warp_yarn": given["yarn"].text.strip(), "warp_system": given["yarn"].system,
             "weave": given["weave"].name}  # fmt: skip
    for name, one in found.items():
        if name == "loom_waste":
            state[name] = f"{one.range.likely:.4g} cm"
        elif max(one.range.high, 0.01) < 0.9:
            figures = (one.range.low, one.range.likely, one.range.high)
            state[name] = "–".join(f"{100 * figure:.2f}" for figure in figures) + " %"
    return Card("Plan a cloth with these figures", (), address("cloth-plan", state))


# Enough yarn --------------------------------------------------------------------------------------

# What the grams of both yarns follow from, and what is read beside the figures to get there.
_BEHIND = PLAN.behind("warp_yarn_mass", "weft_yarn_mass") | {"weave", "firmness"}
_OPEN = {name: guess_range(name) for name in LOSSES}


LEAST_TOLD, MOST_STEP, MOST_COUNT = 0.005, 0.05, 0.1  # beyond these a caution; our choice


def _wanted(field: Field) -> bool:
    return field.term in _BEHIND or (field.name.startswith(("warp_", "weft_")) and field.required)


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


def _enough(given: Mapping[str, Any]) -> Answer:
    decided = decisions(_PLAN_FIELDS, given)
    project = PLAN.run(decided)
    side, step, accepted = given["side"], given["scale_step"], given["accepted"].likely
    on_hand = net_mass(given["gross"], given["empty"])
    if accepted <= 0:
        raise InputError(
            "accepted", "No amount of yarn is certain to be enough.",
            "Accept a small chance, such as 1 %.",
        )  # fmt: skip
    asked = (
        decided, side, on_hand, step, given["count_tolerance"].likely, given["waste_spread"],
        accepted,
    )  # fmt: skip
    with unlogged():  # plans by the thousand
        found, alone = enough(*asked, given["together"]), enough(*asked, 0.0)
    safe = whole_grams(found.safe)
    words = {**TITLES, "count": "Count"}
    rows = tuple(
        (words[name], *part)
        for name, part in sorted(found.parts.items(), key=lambda p: p[1][0] - p[1][1])
    )
    return Answer(
        results={
            "chance": 100 * found.chance,
            "safe": safe,
            "short": short(safe, on_hand) if safe > on_hand else 0.0,
            "on_hand": on_hand,
            "wanted": found.wanted,
            "open_by": found.open_by,
        },
        tables={
            "parts": Table("What leaves the grams open",
                           ("What", "At its low, g", "At its high, g"), rows, (None, 1, 1))
        },
        cautions=tuple(_enough_cautions(given, project, found, on_hand, safe)),
        notes=(
            RANGE_MEANS,
            f"{format_number(CLOTHS)} cloths, spread evenly over the ranges of their losses, each "
            "curve through its low, likely and high, were worked out (F-140, F-141). The chance is "
            "the share of them that want more than there is, waste, count and scale with them.",
            "The weft crosses the ends as they stand in the reed: what the width loses changes the "
            "size of the cloth, not its weft."
            if given["side"] == "weft"
            else "Take-up is counted as going with the length’s shrinkage, by "
            f"{format_number(given['together'])} of 1. Each by itself, {both(alone.safe, 'g')} "
            f"would be as safe as {both(found.safe, 'g')} are now.",
        ),
        sources=("from-memory", "taylor-1909"),
    )  # fmt: skip


def _enough_cautions(
    given: Mapping[str, Any], project: Worked, found: Enough, on_hand: float, safe: float
) -> list[str]:
    side, accepted = given["side"], given["accepted"].likely
    said = []
    if found.chance > accepted:
        said.append(
            f"As things stand the {side} yarn runs short in {percent(found.chance, 0)} of such "
            f"cloths; {both(max(0.0, safe - on_hand), 'g')} more make it {percent(accepted, 1)}."
        )
    if safe < found.wanted:
        said.append(
            f"You accept to run short {percent(accepted, 1)} of the time, so the grams called safe "
            f"are fewer than the {both(found.wanted, 'g')} wanted at the likely losses. Accept 5 "
            "or 10 % for grams to buy by."
        )
    if accepted < LEAST_TOLD:
        said.append(
            "Ranges that hold eight cloths in ten say little about one cloth in two hundred: take "
            f"the grams for {percent(accepted, 2)} as rough."
            + (" They are those for 0.1 %." if accepted < LEAST_ACCEPTED else "")
        )
    if all(project.ranged(name).is_exact for name in LOSSES):
        said.append(
            "Every loss is given as one figure, as if it were known: the chance is surer than any "
            "cloth is. Give low–likely–high."
        )
    if given["empty"] == 0:
        said.append("The empty cone was taken as nothing, so there is less yarn than this.")
    if on_hand <= given["scale_step"]:
        said.append("The scale cannot tell this cone from an empty one.")
    elif given["scale_step"] > MOST_STEP * found.wanted:
        said.append(
            f"A step of the scale is more than {percent(MOST_STEP, 0)} of the yarn wanted: weigh "
            "on a finer scale."
        )
    if side == "warp" and given["waste_spread"] > project.likely("loom_waste"):
        said.append("The loom waste may be off by more than all of it. Measure the last thrums.")
    if given["count_tolerance"].likely > MOST_COUNT:
        said.append(
            f"A count that may be {percent(MOST_COUNT, 0)} off and more is hardly a label: weigh a "
            "measured length."
        )
    return said


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
