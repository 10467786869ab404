"""The loom room's calculators: warp, weft, winding, harness, pace and cost."""

import re
from collections.abc import Mapping
from math import gcd
from typing import Any

from calculators.cloth import size
from calculators.cloth.cautions import cost_cautions, hem_cautions, waste_cautions
from calculators.engine.calculator import (
    Answer,
    Basis,
    Calculator,
    Field,
    Kind,
    Output,
    Step,
    Table,
    Way,
)
from calculators.engine.first_guesses import basis_of, guess, guess_range
from calculators.engine.formula import unlogged
from calculators.errors import InputError
from calculators.loom import cost, harness, rhythm, warp, weft, winding
from calculators.quantities import parse
from calculators.quantities.format import format_number, round_up
from calculators.quantities.interval import Range, spread
from calculators.quantities.sentences import both, figure, guesses, percent, settled, times
from calculators.yarn.yarn import Yarn, mass_of

LONGEST_CM = 1_000_000.0
SAFE_LIFT_KG = 16.0  # from memory: HSE's filter for women, knuckle to elbow, close to the body
NOTHING = Range.exactly(0.0)
MOST_THREADS_FREE = 2  # trade knowledge: three and more braid
MOST_LINES = 40
MOST_IN_HAND = 20  # from memory: holes of a large paddle
MOST_ENDS_IN_A_BOUT = 400  # from memory
MOST_ENDS_IN_A_SPACE = 40  # from memory
MOST_GROUND_SHAFTS = 24  # from memory
MOST_ENDS_OF_A_UNIT = 16  # Taylor 1909, p. 169
LIGHTEST_G, HEAVIEST_G = 12, 90  # half and twice Bell's range, 1895, pp. 75 and 177
LONGEST_ADVANCE_CM = 8.0  # common practice: from the temple to where the shuttle still clears
SLOWEST_PICKS, FASTEST_PICKS = 0.5, 20  # far outside common practice, 2 to 8
MOST_PICKS_PER_CM = 80.0  # from memory


def _so(found: float, whole: int) -> str:
    """Write a quotient and, unless it is whole already, what it is rounded up to."""
    exact = int(round_up(found).value) == found
    return str(whole) if exact else f"{figure(found)}, up to {whole}"


def _warp(given: Mapping[str, Any]) -> Answer:
    ends, yarn, pieces = given["ends"], given["yarn"], given["pieces"]
    finished, hem, gap = given["finished_length"], given["hem"], given["gap"]
    sample, waste = given["sample"], given["loom_waste"]
    s, t = given["length_shrinkage"], given["take_up"]

    def long(s: float, t: float, count: int = pieces, trial: float = sample) -> float:
        piece = size.piece_on_loom(finished, hem, s)
        return warp.warp_length(count, piece, gap, trial, t, waste)

    length = spread(long, s=s, t=t)
    yarn_cm = spread(lambda s, t: warp.warp_yarn(ends, long(s, t)), s=s, t=t)
    mass = _weighed(yarn_cm, yarn)
    share = spread(lambda s, t: warp.waste_share(waste, long(s, t)), s=s, t=t)
    with unlogged():
        alone = warp.waste_share(waste, long(s.likely, t.likely, 1, 0.0))
    counts = sorted({1, 2, 4, 6, 8, 12, pieces})
    with unlogged():
        lengths = [(count, long(s.likely, t.likely, count)) for count in counts]
        rows = tuple(
            (count, both(length / 100, "m"), 100 * warp.waste_share(waste, length))
            for count, length in lengths
        )
    columns = ("pieces", "warp", "waste, %")
    tables = {"pieces": Table("What more pieces on one warp save", columns, rows, (None, None, 0))}
    notes = [_to_have_note(mass, given["winding_waste"])]
    second: dict[str, float | Range] = {}
    if _both_given(given, "second_ends", "second_yarn"):
        other: Yarn = given["second_yarn"]
        second_length = spread(long, s=s, t=given["second_take_up"] or t)
        second_cm = times(second_length, given["second_ends"])
        second_mass = _weighed(second_cm, other)
        second = {
            "second_warp_length": settled(times(second_length, 0.01)),
            "second_yarn_length": settled(times(second_cm, 0.01)),
            "second_yarn_mass": settled(second_mass),
            "second_yarn_to_have": _to_have(second_mass, given["winding_waste"]),
        }
    if pieces > 1:
        notes.append(
            f"One piece on a warp of its own, without a sample, would waste {percent(alone, 0)}."
        )
    notes += guesses(shrinkage=s, take_up=t)
    cautions = []
    if waste == 0:
        cautions.append("No loom waste is counted: every loom leaves some of the warp unwoven.")
    cautions += [*waste_cautions(share.likely), *hem_cautions(hem, finished)]
    return Answer(
        {
            "warp_length": settled(times(length, 0.01)),
            "yarn_length": settled(times(yarn_cm, 0.01)),
            "yarn_mass": settled(mass),
            "waste_share": settled(times(share, 100)),
            "yarn_to_have": _to_have(mass, given["winding_waste"]),
            **second,
        },
        tables=tables,
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("taylor-1909", "brooks-1892", "wolfensberger-1921", "trade-knowledge"),
    )


def _weighed(length: Range, yarn: Yarn) -> Range:
    return spread(mass_of, thread_length=length, tex=Range.exactly(yarn.tex))


def _to_have(mass: Range, waste: Range | None) -> float:
    return warp.with_winding_waste(mass.high, (waste or NOTHING).high)


def _to_have_note(mass: Range, waste: Range | None) -> str:
    safe = "" if mass.is_exact else ", the safe end of the range"
    return (
        f"Have {both(_to_have(mass, waste), 'g')} of it: {both(mass.high, 'g')}{safe}, and "
        f"{percent((waste or NOTHING).high)} of what you start with for winding and knots."
    )


def _both_given(given: Mapping[str, Any], *names: str) -> bool:
    """Whether two fields that need each other are filled; refuse one without the other."""
    empty = [name for name in names if given[name] is None]
    if empty and len(empty) < len(names):
        raise InputError(
            empty[0],
            "The second yarn is told only by half.",
            "Fill in both its yarn and its threads, or leave both empty.",
        )
    return not empty


def read_turn(text: str) -> tuple[Range, float]:
    """Read what is added to each pick: a share of the reed width, or a length [cm]."""
    if re.search(r"%|％|percent|per cent|pct", text.casefold()):
        share = parse.parse_loss(text.casefold().replace("per cent", "%"), field="turn_allowance")
        return share, 0.0
    extra = parse.parse_length(text, unit="cm", field="turn_allowance")
    if extra > LONGEST_CM:
        raise InputError(
            "turn_allowance",
            f"A turn of {both(extra, 'cm')} is longer than any pick.",
            "Give a few centimetres, or a share such as 2 %.",
        )
    return NOTHING, extra


def _turn(text: str, reed_width: float) -> Range:
    share, extra = read_turn(text)
    if not share.high:
        return Range.exactly(extra)
    return spread(weft.turn_allowance, turn_share=share, reed_width=Range.exactly(reed_width))


def _weft(given: Mapping[str, Any]) -> Answer:
    reed, picks, woven, yarn = (
        given["reed_width"],
        given["picks"],
        given["woven_length"],
        given["yarn"],
    )
    turn = _turn(given["turn_allowance"], reed)
    total = weft.picks_total(woven, picks)
    length = spread(lambda turn: weft.weft_length(total, reed, turn), turn=turn)
    mass = _weighed(length, yarn)
    second: dict[str, float | Range] = {}
    if given["second_yarn"] is not None:
        other: Yarn = given["second_yarn"]
        second_picks = given["second_picks"] or picks
        second_total = weft.picks_total(woven, second_picks)
        second_length = spread(lambda turn: weft.weft_length(second_total, reed, turn), turn=turn)
        second_mass = _weighed(second_length, other)
        second = {
            "second_yarn_length": settled(times(second_length, 0.01)),
            "second_yarn_mass": settled(second_mass),
            "second_picks_total": int(round_up(second_total).value),
            "second_yarn_to_have": _to_have(second_mass, given["winding_waste"]),
        }
    elif given["second_picks"] is not None:
        raise InputError(
            "second_yarn",
            "Picks of a second weft are given, but not its yarn.",
            "Name the yarn, or empty the field of its picks.",
        )
    cautions = picks_cautions(picks)
    if turn.high > reed / 4:
        cautions.append(
            f"A turn of {both(turn.high, 'cm')} is more than a quarter of the reed width. It is "
            "added to every pick."
        )
    return Answer(
        {
            "yarn_length": settled(times(length, 0.01)),
            "yarn_mass": settled(mass),
            "picks_total": int(round_up(total).value),
            "yarn_to_have": _to_have(mass, given["winding_waste"]),
            **second,
        },
        notes=(
            _to_have_note(mass, given["winding_waste"]),
            "The reed width counts, not the cloth's: the weft is laid before the cloth draws in.",
            *(
                ("The second weft is counted from edge to edge at every pick of its own.",)
                if second
                else ()
            ),
        ),
        cautions=tuple(cautions),
        sources=("taylor-1909", "brooks-1892"),
    )


def _winding(given: Mapping[str, Any]) -> Answer:
    ends, threads, bout = given["ends"], given["threads_in_hand"], given["bout_ends"]
    length, round_about, in_unit = (
        given["warp_length"],
        given["circumference"],
        given["ends_per_unit"],
    )
    passes = winding.passes(ends, threads)
    groups = winding.groups_per_unit(in_unit, threads)
    bouts = winding.bouts(ends, bout)
    turns = winding.turns(length, round_about)
    way = winding.walked(passes, length)
    steps: tuple[Step, ...] = ()
    notes = [
        "One pass is one way along the warp; there and back is one loop, twice the threads in "
        "hand. Keep the two halves of a loop together when you spread the warp.",
    ]
    cautions = winding_cautions(ends, threads, bout, in_unit)
    cautions += reel_cautions(length, round_about, turns, way)
    tables = {}
    if given["spaces"] is not None:
        groups_apart = winding.loops(ends, threads)
        tables["spread"], order = spread_table(groups_apart, given["spaces"])
        fullest = round_up(groups_apart / given["spaces"]).value * 2 * threads
        if 2 * groups_apart < given["spaces"]:
            cautions.append(
                f"More than half of the {given['spaces']} spaces stay empty: the warp would be "
                "beamed in stripes. Take a coarser raddle or fewer threads in hand."
            )
        elif fullest > MOST_ENDS_IN_A_SPACE:
            cautions.append(
                f"Up to {int(fullest)} ends lie in one space: they pile up there on the beam. Take "
                "a finer raddle, or look whether the spaces are counted right."
            )
        words = f"{groups_apart} loops over {given['spaces']} spaces: spaces × loops in each"
        steps = (Step(words, order, "F-92"),)
    return Answer(
        {
            "passes": passes,
            "cross_groups": passes,
            "groups_per_unit": groups,
            "bouts": bouts,
            "turns": turns,
            "walked": way / 100,
        },
        steps=steps,
        tables=tables,
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("swedish-winding", "woodhouse-1921", "trade-knowledge"),
    )


def spread_table(loops: int, spaces: int) -> tuple[Table, str]:
    """Set out loops over the spaces of a raddle, and the order to count along."""
    shares = winding.spread_groups(loops, spaces)
    counts = range(min(shares), max(shares) + 1)
    table = Table(
        f"Spreading {loops} loops over {spaces} spaces",
        ("loops in a space", "spaces"),
        tuple((count, shares.count(count)) for count in counts),
    )
    order = winding.in_words(shares)
    return table, order if len(order) <= 400 else order[:400].rsplit(",", 1)[0] + ", and so on"


def winding_cautions(ends: int, threads: int, bout: int, in_unit: int) -> list[str]:
    """Say what does not go into whole groups when so many threads are wound together."""
    cautions = []
    if threads > MOST_THREADS_FREE:
        cautions.append(
            "Two threads can always be parted; three and more braid unless a paddle or the "
            "fingers keep them in order, and four are about what a hand holds."
        )
    if threads > MOST_IN_HAND:
        cautions.append(
            f"{threads} threads in hand are more than a paddle has holes for (from memory)."
        )
    if in_unit % threads:
        whole = threads // gcd(in_unit, threads)
        cautions.append(
            f"A unit of {in_unit} ends is not a whole number of groups of {threads}: only every "
            f"{whole} units a group ends where a unit ends. Another number of threads in hand "
            "would let you count units at the cross."
        )
    if bout < 2 * threads:
        cautions.append(f"A bout of {bout} ends is less than one loop of {2 * threads}.")
    elif bout > MOST_ENDS_IN_A_BOUT and ends > MOST_ENDS_IN_A_BOUT:
        cautions.append(
            f"A bout of {bout} ends is more than a hand can hold or chain "
            f"(more than {MOST_ENDS_IN_A_BOUT}, from memory)."
        )
    if bout % threads:
        cautions.append(
            f"A bout of {bout} ends is not a whole number of passes with {threads} threads."
        )
    if ends % threads:
        cautions.append(f"The last pass carries {ends % threads} instead of {threads} threads.")
    return cautions


def reel_cautions(length: float, round_about: float, turns: float, way: float) -> list[str]:
    """Say where the warp and the reel [cm] do not suit each other."""
    cautions = []
    if turns < 1:
        cautions.append(
            f"The warp of {both(length, 'cm')} is shorter than once round, "
            f"{both(round_about, 'cm')}: no peg or cross would lie where it ends."
        )
    elif turns > 50:
        cautions.append(
            f"{figure(turns, 0)} turns to one pass: look whether once round is really "
            f"{both(round_about, 'cm')}."
        )
    if way > 2_000_000:
        cautions.append(
            f"The hand would go {format_number(way / 100_000, 0)} km. More threads in hand, or a "
            "slip of a digit?"
        )
    return cautions


def weight_cautions(mass: float) -> list[str]:
    """Warn of pattern weights [g] that nobody should lift at once."""
    if mass / 1000 <= SAFE_LIFT_KG:
        return []
    return [
        f"The weights come to {both(mass, 'g')}: hang and take them down in portions, and two "
        f"together. {figure(SAFE_LIFT_KG)} kg is about what one person should lift close to the "
        "body (from memory, not checked)."
    ]


def entering_table(units: int, in_unit: int, shafts: int) -> tuple[Table, str]:
    """List the entering until it repeats, and say when it does."""
    cycle = harness.units_until_entering_repeats(in_unit, shafts)
    table = Table(
        "Order of entering",
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


def unlike_units(in_unit: int, shafts: int) -> list[str]:
    """Say that the binding walks where units do not begin on the same shaft."""
    if in_unit % shafts == 0 or shafts % in_unit == 0:  # then the ground may repeat in the unit
        return []
    return [
        f"{in_unit} ends to a unit on {shafts} ground shafts: units begin on different shafts, so "
        "the binding walks through them and their edges are not all alike."
    ]


def mirrored_cords(units: int, different_columns: int | None) -> list[str]:
    """Say how many cords a mirrored design saves, where nothing is said of its columns."""
    if different_columns is not None or units < 2:
        return []
    return [
        f"A design mirrored about its middle needs {(units + 1) // 2} cords for {units} units. "
        "Put that in as the columns unlike each other."
    ]


def harness_cautions(units: int, in_unit: int, shafts: int, weight_each: float) -> list[str]:
    """Say what can be counted but would be foolish to hang or to enter."""
    cautions = []
    if shafts == 1:
        cautions.append("One ground shaft binds nothing: even plain weave needs two.")
    elif shafts == 2:
        cautions.append(
            "Two ground shafts tied for plain weave bind drawn and resting units alike: no figure "
            "shows but in a second weft. The smallest ground with two faces has three shafts."
        )
    if shafts > max(MOST_GROUND_SHAFTS, units * in_unit):
        cautions.append(f"{shafts} ground shafts are more than there are ends.")
    elif shafts > MOST_GROUND_SHAFTS:
        cautions.append(
            f"{shafts} ground shafts: more than {MOST_GROUND_SHAFTS} hardly open one clean shed "
            "on a hand loom (from memory)."
        )
    if in_unit == 1:
        cautions.append(
            "A unit of one end has nothing to bind within it: this is a harness that draws every "
            "end by itself."
        )
    elif in_unit > MOST_ENDS_OF_A_UNIT:
        cautions.append(
            f"A unit of {in_unit} ends: Taylor's largest has {MOST_ENDS_OF_A_UNIT}, and its steps "
            "are already coarse."
        )
    if weight_each < LIGHTEST_G or weight_each > HEAVIEST_G:
        cautions.append(
            f"A weight of {both(weight_each, 'g')}: Bell's are 25 to 45 g. Lighter ones may not "
            "bring the heddle down again, heavier ones tire the puller and wear the cords."
        )
    return cautions


def hours_at(picks: float, pace: Range) -> float | Range:
    """Return the hours of weaving at a pace [picks a minute] that may be a range."""
    if pace.is_exact:
        return rhythm.weaving_hours(picks, pace.likely)
    return spread(lambda pace: rhythm.weaving_hours(picks, pace), pace=pace)


def picks_cautions(picks: float) -> list[str]:
    """Warn of picks [1/cm] closer than hand weavers beat them."""
    if picks <= MOST_PICKS_PER_CM:
        return []
    return [f"{both(picks, '1/cm')} picks are beyond what is beaten by hand, save in silk."]


def rhythm_cautions(
    woven: float, picks: float, given: Mapping[str, Any], hours: float
) -> list[str]:
    """Say what can be counted but hardly be woven by hand."""
    cautions = []
    if given["temple_step"] < 0.5:
        cautions.append(
            f"A temple moved every {both(given['temple_step'], 'cm')} is moved at every few picks."
        )
    if given["temple_step"] > woven or given["advance_step"] > woven:
        cautions.append("A step is longer than the whole length to weave.")
    if given["advance_step"] > LONGEST_ADVANCE_CM:
        cautions.append(
            f"An advance of {both(given['advance_step'], 'cm')} carries the fell far from the "
            "shafts: the shed gets low and the beat uneven. 3 to 5 cm is usual."
        )
    pace_of_picks: Range = given["picks_per_minute"]
    beyond = pace_of_picks.low if pace_of_picks.low < SLOWEST_PICKS else pace_of_picks.high
    if not SLOWEST_PICKS <= beyond <= FASTEST_PICKS:
        cautions.append(
            f"{figure(beyond)} picks a minute: on a draw loom, pauses and "
            "changes counted, 2 to 8 are usual (common practice). Count one of your own hours."
        )
    if given["picks_per_pirn"] < 20:
        cautions.append(f"A pirn of {given['picks_per_pirn']} picks is changed every few minutes.")
    elif given["picks_per_pirn"] > 2_000:
        cautions.append(
            f"A pirn of {format_number(given['picks_per_pirn'], 0)} picks is more than a hand "
            "shuttle holds: weigh a full one."
        )
    cautions += picks_cautions(picks)
    if hours > 1_000:
        cautions.append(
            f"{format_number(hours, 0)} hours are half a year of full days at the loom, or a slip "
            "of a digit."
        )
    return cautions


_CAPACITY = (
    ("loom_pattern_heddles", "pattern heddles"),
    ("loom_ground_shafts", "ground shafts"),
    ("loom_ground_heddles", "heddles on each ground shaft"),
    ("loom_cords", "cords or pattern shafts"),
    ("loom_carries", "kg in the pattern harness"),
)


def _harness(given: Mapping[str, Any]) -> Answer:
    units, in_unit, shafts = given["units"], given["ends_per_unit"], given["ground_shafts"]
    ends = size.ends(units, in_unit)
    per_shaft = harness.ground_heddles_per_shaft(ends, shafts)
    cords = harness.cords(units, given["different_columns"])
    heddles = harness.pattern_heddles(units, in_unit, given["ends_per_heddle"])
    mass = harness.harness_mass(units, given["weight_each"])
    entering, repeats = entering_table(units, in_unit, shafts)
    carries = given["loom_carries"]
    needed = dict(
        zip(
            (words for _, words in _CAPACITY),
            (heddles, shafts, per_shaft, cords, mass / 1000),
            strict=True,
        )
    )
    there = {
        words: carries / 1000 if name == "loom_carries" and carries is not None else given[name]
        for name, words in _CAPACITY
    }
    tables = {"entering": entering}
    stated = {what: have for what, have in there.items() if have is not None}
    if stated:
        tables["capacity"] = Table(
            "What the loom has",
            ("", "needed", "there"),
            tuple((what, figure(needed[what]), figure(have)) for what, have in stated.items()),
        )
    cautions = [
        f"The loom is short of {short.what}: {figure(short.needed)} needed, "
        f"{figure(short.there)} there."
        for short in harness.shortfalls(needed, there)
    ]
    cautions += harness_cautions(units, in_unit, shafts, given["weight_each"])
    cautions += weight_cautions(mass)
    return Answer(
        {
            "pattern_heddles": heddles,
            "ground_heddles_per_shaft": per_shaft,
            "cords": cords,
            "harness_mass": mass / 1000,
        },
        tables=tables,
        notes=(
            f"{repeats} Pattern heddles first, then the ground, then the reed.",
            *unlike_units(in_unit, shafts),
            *mirrored_cords(units, given["different_columns"]),
            f"A row that raises half of the units lifts {both(mass / 2, 'g')}, and friction "
            "besides.",
            "Selvedge ends have heddles of their own, which are not counted here.",
        ),
        cautions=tuple(cautions),
        sources=("bell-1895", "taylor-1909", "trade-knowledge", "hse-manual-handling"),
    )


def _rhythm(given: Mapping[str, Any]) -> Answer:
    woven, picks = given["woven_length"], given["picks"]
    total = weft.picks_total(woven, picks)
    temple = rhythm.temple_moves(woven, given["temple_step"])
    advances = rhythm.advances(woven, given["advance_step"])
    pirns = rhythm.pirns(total, given["picks_per_pirn"])
    pace_of_picks: Range = given["picks_per_minute"]
    hours = rhythm.weaving_hours(total, pace_of_picks.likely)
    pace = woven / hours
    notes = [
        f"That is {both(pace, 'cm')} an hour. A museum weaver of linen damask made 6 to 7 cm.",
        "Weaving only: winding, entering and finishing often take as long again.",
    ]
    cautions = []
    if given["temple_step"] > 2.6:
        cautions.append(
            "Printed advice moves the temple every 19 to 25 mm: further apart, the edges draw in "
            "between the moves."
        )
    cautions += rhythm_cautions(woven, picks, given, hours)
    return Answer(
        {
            "temple_moves": temple,
            "advances": advances,
            "picks_total": int(round_up(total).value),
            "pirns": pirns,
            "hours": hours_at(total, pace_of_picks),
        },
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("weaving-columns", "lofstad-2023", "earle-1898"),
    )


def _lines(text: str) -> list[tuple[str, float]]:
    """Read “thread and labels 4.50; washing 6” as words and amounts."""
    found: list[tuple[str, float]] = []
    parts = [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]
    if len(parts) > MOST_LINES:
        raise InputError(
            "other", f"That is {len(parts)} lines.", f"Give at most {MOST_LINES}; add up the rest."
        )
    for part in parts:
        words, _, amount = part.rpartition(" ")
        found.append((words[:60], parse.parse_number(amount, field="other")))
    return found


def _cost(given: Mapping[str, Any]) -> Answer:
    lines = _lines(given["other"] or "")
    yarn = cost.yarn_cost(given["yarn_mass"], given["yarn_price"])
    hours = given["preparing_hours"] + given["weaving_hours"] + given["finishing_hours"]

    def job(share: float) -> cost.Cost:
        amounts = [amount for _, amount in lines]
        return cost.job_cost(yarn, hours, given["rate"], amounts, share, given["pieces"])

    overhead = given["overhead"]
    found = job(overhead.likely)
    total = spread(lambda share: job(share).total, share=overhead)
    rows = [("yarn", yarn), ("hours", found.labour), *lines, ("overhead", found.overhead)]
    return Answer(
        {
            "total": settled(total),
            "per_piece": settled(times(total, 1 / given["pieces"])),
            "yarn_cost": yarn,
            "labour": found.labour,
            "other_costs": found.other,
            "overhead_cost": found.overhead,
            "hours": hours,
        },
        steps=(
            Step(
                "Hours",
                f"({figure(given['preparing_hours'])} + {figure(given['weaving_hours'])} + "
                f"{figure(given['finishing_hours'])}) × {figure(given['rate'])} = "
                f"{figure(found.labour)}",
                "F-104",
            ),
            Step(
                "Total",
                f"({figure(yarn)} + {figure(found.labour)} + {figure(found.other)}) × "
                f"(1 + {figure(overhead.likely, 4)}) = {figure(found.total)}",
                "F-104",
            ),
        ),
        tables={
            "lines": Table(
                "Where it goes",
                ("line", "amount", "share, %"),
                tuple(
                    (words, amount, 100 * amount / found.total if found.total else 0.0)
                    for words, amount in rows
                ),
                (None, 2, 0),
            )
        },
        notes=(
            "In whatever money you count. Yarn is cheap and time is dear in fine cloth: a multiple "
            "of the yarn's price says little.",
            *guesses(overhead=overhead),
        ),
        cautions=tuple(cost_cautions(hours, given["rate"], yarn)),
        sources=("trade-knowledge", "lofstad-2023"),
    )


def _length(
    name: str,
    label: str,
    default: str,
    hint: str = "",
    minimum: float = 0.0,
    basis: Basis | None = None,
) -> Field:
    return Field(name, label, "length", default, "cm", hint, minimum, LONGEST_CM, basis=basis)


def _count(
    name: str,
    label: str,
    default: str,
    unit: str = "",
    hint: str = "",
    minimum: int = 1,
    maximum: int = 1_000_000,
    optional: bool = False,
) -> Field:
    return Field(
        name,
        label,
        "count",
        default,
        unit,
        hint,
        minimum,
        maximum,
        required=not optional,
        advanced=optional,
    )


def _number(name: str, label: str, default: str, hint: str = "") -> Field:
    return Field(name, label, "number", default, "", hint, 0, 1e9)


_YARN = Field(
    "yarn", "Yarn", "yarn", "40/1", hint="As on the label, such as 16/2.", system_field="system"
)
_SYSTEM = Field(
    "system",
    "Counted in",
    "system",
    "linen",
    hint="Used when the yarn's own words do not say it.",
)
_PICKS = Field("picks", "Picks on the loom", "density", "24.2 /cm", "1/cm", "", 0.1, 500)
_WOVEN = _length(
    "woven_length", "Length to weave", "374 cm", "Pieces, gaps and sample, on the loom.", 0.1
)


WINDING_WASTE = Field(
    "winding_waste",
    "Lost in winding and knots",
    "loss",
    guess("winding_waste"),
    hint="A share of the yarn you start with; 0 for none.",
    minimum=0,
    maximum=0.5,
    required=False,
    advanced=True,
    basis="common practice",
)


ENDS_PER_HEDDLE = _count(
    "ends_per_heddle",
    "Ends in one pattern heddle",
    "",
    "ends",
    "Left empty: the whole unit in one heddle. With 2, two ends in each eye, a unit of five hangs "
    "three heddles on its weight.",
    1,
    100,
    optional=True,
)


def _second(what: str, hint: str) -> tuple[Field, Field]:
    """Fields of a second yarn, beside the ground's."""
    return (
        Field(
            "second_yarn",
            f"Yarn of {what}",
            "yarn",
            "",
            hint=hint,
            required=False,
            advanced=True,
            system_field="second_system",
        ),
        Field(
            "second_system",
            f"{what[0].upper()}{what[1:]} counted in",
            "system",
            "linen",
            required=False,
            advanced=True,
        ),
    )


def _stated(name: str, label: str, kind: Kind = "count", unit: str = "") -> Field:
    return Field(
        name,
        label,
        kind,
        "",
        unit,
        "What your loom has. Leave it empty and it is not judged.",
        0,
        1_000_000,
        required=False,
        advanced=True,
    )


CALCULATORS = (
    Calculator(
        "warp",
        "C-30",
        "plan/warp-length/",
        "Warp",
        "How long is the warp, and how much yarn does it take?",
        (
            _count("ends", "Ends", "1273", "ends", "All of them, selvedges too.", 1, 100_000),
            _YARN,
            _SYSTEM,
            _count("pieces", "Pieces", "6", "pieces", "Alike, on one warp.", 1, 10_000),
            _length("finished_length", "Finished length of one", "48 cm", "", 0.1),
            _length("hem", "Hems of one piece", "4 cm", "All it gives to its hems, both ends."),
            _length("gap", "Gap between pieces", "1 cm", "For cutting, or a few marker picks."),
            _length("sample", "Sample", "30 cm", "Length on the loom for trials."),
            Field(
                "length_shrinkage",
                "Lost in the wash, length",
                "loss",
                guess("length_shrinkage"),
                hint="A share of the length on the loom. One figure, or low–likely–high.",
                minimum=0,
                maximum=0.6,
                basis="common practice",
            ),
            Field(
                "take_up",
                "Take-up",
                "loss",
                guess("take_up"),
                hint="Extra warp as a share of the woven length.",
                minimum=0,
                maximum=1,
                basis="common practice",
            ),
            _length(
                "loom_waste",
                "Loom waste",
                guess("loom_waste"),
                "Both ends: knots, rod to reed, reed to the last heddle, and what no shed opens. "
                "The first guess is for a draw loom; measure your own thrums.",
                basis="common practice",
            ),
            WINDING_WASTE,
            _count(
                "second_ends",
                "Ends of a second warp",
                "",
                "ends",
                "A pattern warp, a stripe or selvedges of another yarn, on the same pieces.",
                1,
                100_000,
                optional=True,
            ),
            *_second("a second warp", "Its ends are not counted among the others."),
            Field(
                "second_take_up",
                "Take-up of the second warp",
                "loss",
                "",
                hint="Left empty, that of the first warp.",
                minimum=0,
                maximum=3,
                required=False,
                advanced=True,
            ),
        ),
        (
            Output("warp_length", "Warp", "m", formula="F-81", headline=True),
            Output("yarn_length", "Yarn", "m", formula="F-82"),
            Output("yarn_mass", "Yarn by weight", "g", formula="F-82", headline=True),
            Output("waste_share", "Waste's share of the warp", "%", formula="F-83"),
            Output("yarn_to_have", "Yarn to have", "g", formula="F-84", headline=True),
            Output("second_warp_length", "Second warp", "m", formula="F-81"),
            Output("second_yarn_length", "Yarn of the second warp", "m", formula="F-82"),
            Output("second_yarn_mass", "Second warp by weight", "g", formula="F-82"),
            Output("second_yarn_to_have", "Yarn to have, second warp", "g", formula="F-84"),
        ),
        _warp,
        ways=(Way("winding", "Wind it", {"ends": "ends"}, results={"warp_length": "warp_length"}),),
    ),
    Calculator(
        "weft",
        "C-31",
        "plan/weft/",
        "Weft",
        "How many picks, and how much weft yarn?",
        (
            _length(
                "reed_width", "Width in the reed", "52.6 cm", "Of all the ends, selvedges too.", 0.1
            ),
            _PICKS,
            _WOVEN,
            _YARN,
            _SYSTEM,
            Field(
                "turn_allowance",
                "Added to each pick",
                "text",
                guess("turn_allowance"),
                "cm",
                "For the turn and the weft's own waves: a length such as 1 cm, or a share of the "
                "reed width such as 2 %.",
                basis="common practice",
            ),
            WINDING_WASTE,
            *_second(
                "a second weft",
                "A supplementary weft for the pattern, beside the weft of the ground.",
            ),
            Field(
                "second_picks",
                "Picks of the second weft",
                "density",
                "",
                "1/cm",
                "On the loom, over the whole length. Left empty, one for each pick of the ground.",
                0.01,
                500,
                required=False,
                advanced=True,
            ),
        ),
        (
            Output("yarn_length", "Yarn", "m", formula="F-86"),
            Output("yarn_mass", "Yarn by weight", "g", formula="F-86", headline=True),
            Output("picks_total", "Picks", formula="F-85", headline=True, whole=True),
            Output("yarn_to_have", "Yarn to have", "g", formula="F-84", headline=True),
            Output("second_yarn_length", "Second weft", "m", formula="F-86"),
            Output("second_yarn_mass", "Second weft by weight", "g", formula="F-86"),
            Output("second_picks_total", "Picks of the second weft", formula="F-85", whole=True),
            Output("second_yarn_to_have", "Yarn to have, second weft", "g", formula="F-84"),
        ),
        _weft,
        ways=(Way("rhythm", "Weave it", {"woven_length": "woven_length", "picks": "picks"}),),
    ),
    Calculator(
        "winding",
        "C-32",
        "warp/winding/",
        "Winding the warp",
        "How often round, in how many bouts, and does the cross count in units?",
        (
            _count("ends", "Ends", "948", "ends", "", 1, 100_000),
            _count("threads_in_hand", "Threads in hand", "2", "threads", "", 1, 100),
            _count("bout_ends", "Ends in a bout", "96", "ends", "As many as a hand can hold.", 1),
            _length("warp_length", "Warp", "5.37 m", "", 1),
            _length(
                "circumference",
                "Once round",
                "2 m",
                "Round the reel or mill, or once along the pegs.",
                1,
            ),
            _count("ends_per_unit", "Ends in a unit", "6", "ends", "", 1, 100),
            _count(
                "spaces",
                "Spaces to spread over",
                "54",
                "spaces",
                "Of the raddle, or dents of a reed, over the width: a little wider than the cloth, "
                "for the edges draw in. Loops are spread over them evenly.",
                1,
                10_000,
                optional=True,
            ),
        ),
        (
            Output("passes", "Passes", formula="F-87", headline=True, whole=True),
            Output("cross_groups", "Groups in the cross", formula="F-87", whole=True),
            Output("groups_per_unit", "Groups to a unit", formula="F-88", headline=True),
            Output("bouts", "Bouts", formula="F-89", headline=True, whole=True),
            Output("turns", "Turns for the warp's length", formula="F-90"),
            Output("walked", "Way of the hand", "m", formula="F-91"),
        ),
        _winding,
    ),
    Calculator(
        "harness",
        "C-33",
        "warp/entering/",
        "Harness",
        "How many heddles, cords and weights, and can the loom carry them?",
        (
            _count("units", "Units across", "253", "units", "", 1, 10_000),
            _count("ends_per_unit", "Ends in a unit", "5", "ends", "", 1, 100),
            _count("ground_shafts", "Ground shafts", "5", "shafts", "", 1, 100),
            ENDS_PER_HEDDLE,
            Field(
                "weight_each",
                "One weight with its heddle",
                "mass",
                guess("weight_each"),
                "g",
                "Weigh one of yours. Bell's hand looms: 11 to 15 leads to the pound, 30 to 41 g.",
                0,
                10_000,
                basis="published",
            ),
            _count(
                "different_columns",
                "Columns unlike each other",
                "",
                "",
                "Fewer cords are needed where the design repeats or is mirrored: 253 units "
                "mirrored about the middle one need 127. Left empty: one cord for each unit.",
                1,
                10_000,
                optional=True,
            ),
            _stated("loom_pattern_heddles", "Pattern heddles there"),
            _stated("loom_ground_shafts", "Ground shafts there"),
            _stated("loom_ground_heddles", "Heddles on each ground shaft there"),
            _stated("loom_cords", "Cords or pattern shafts there"),
            _stated("loom_carries", "Weight the harness frame carries", "mass", "kg"),
        ),
        (
            Output(
                "pattern_heddles", "Pattern heddles", formula="F-160", headline=True, whole=True
            ),
            Output(
                "ground_heddles_per_shaft",
                "Heddles on each ground shaft",
                formula="F-93",
                headline=True,
                whole=True,
            ),
            Output("cords", "Cords", formula="F-94", whole=True),
            Output("harness_mass", "Weight of the harness", "kg", formula="F-95", headline=True),
        ),
        _harness,
    ),
    Calculator(
        "rhythm",
        "C-34",
        "weaving/rhythm/",
        "Pace at the loom",
        "How many pirns, temple moves and hours?",
        (
            _WOVEN,
            _PICKS,
            _length(
                "temple_step",
                "Temple moves every",
                guess("temple_step"),
                "Printed advice: 19 to 25 mm.",
                0.1,
                basis=basis_of("temple_step"),
            ),
            _length(
                "advance_step",
                "Warp advances every",
                guess("advance_step"),
                "",
                0.1,
                basis=basis_of("advance_step"),
            ),
            Field(
                "picks_per_minute",
                "Picks in a minute",
                "range",
                guess_range("picks_per_minute"),
                "",
                "Your own mean pace, pauses and changes of the pattern counted. One figure, or "
                "low–likely–high.",
                0.01,
                1000,
                basis=basis_of("picks_per_minute"),
            ),
            _count("picks_per_pirn", "Picks from one pirn", guess("picks_per_pirn"), "picks"),
        ),
        (
            Output("temple_moves", "Temple moves", formula="F-98", whole=True),
            Output("advances", "Advances of the warp", formula="F-98", whole=True),
            Output("picks_total", "Picks", formula="F-85", whole=True),
            Output("pirns", "Pirns", formula="F-99", headline=True, whole=True),
            Output("hours", "Weaving", "hours", formula="F-101", headline=True),
        ),
        _rhythm,
        woven_along=True,
    ),
    Calculator(
        "cost",
        "C-35",
        "plan/hours-and-cost/",
        "Cost",
        "What does the job cost, and what does each piece?",
        (
            Field("yarn_mass", "Yarn, waste counted", "mass", "0.6 kg", "kg", "", 0, 1e8),
            _number("yarn_price", "Price of a kilogram", "60", "In your own money."),
            _number("preparing_hours", "Hours: design, winding, entering", "22"),
            _number("weaving_hours", "Hours: weaving", "30"),
            _number("finishing_hours", "Hours: washing, pressing, hemming", "6"),
            _number("rate", "An hour is to bring", "18"),
            Field(
                "other",
                "Other lines",
                "text",
                "thread and labels 5; washing 4.50",
                hint="Words and an amount, the next after a semicolon.",
                required=False,
            ),
            Field(
                "overhead",
                "Rent, tools and light",
                "loss",
                "10 %",
                hint="As a share of all the rest.",
                minimum=0,
                maximum=10,
                basis="common practice",
            ),
            _count("pieces", "Pieces", "6", "pieces", "", 1, 10_000),
        ),
        (
            Output("total", "Total", "money", formula="F-104", headline=True),
            Output("per_piece", "For each piece", "money", formula="F-104", headline=True),
            Output("yarn_cost", "Yarn", "money", formula="F-103"),
            Output("labour", "Hours paid", "money", formula="F-104"),
            Output("other_costs", "Other lines", "money", formula="F-104"),
            Output("overhead_cost", "Rent, tools and light", "money", formula="F-104"),
            Output("hours", "All the hours", "hours"),
        ),
        _cost,
    ),
)
