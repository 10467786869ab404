"""The weave room's calculators: what a weave is like, and which satins there are."""

from collections.abc import Sequence

from calculators.engine.calculator import Answer, Calculator, Table, Way
from calculators.engine.formula import unlogged
from calculators.engine.vocabulary import Inputs, ask, give
from calculators.errors import InputError
from calculators.quantities.sentences import figure, percent
from calculators.quantities.units import INCH_CM, per_cm
from calculators.sett.calculators import LONG_FLOAT_MM
from calculators.sett.rules import maximum_sett
from calculators.sett.working import working_range
from calculators.weave.drawing import close_up_svg, point_paper_svg
from calculators.weave.matrix import Weave, longest_run, parse_matrix
from calculators.weave.satins import (
    best_counter,
    binding_distance,
    clean_orders,
    counter_pairs,
    regular_satin,
    satin_counters,
    satin_order,
)
from calculators.yarn.yarn import parse_yarn

MOST_SATIN_ENDS = 100
PICTURE_YARN = "16/2 cotton"
UNEVEN_TAKE_UP = 3  # times as many intersections; common practice, no source
MOST_SHAFTS = 16  # ground shafts of large hand looms; common practice, no source


def _weave(inputs: Inputs) -> Answer:
    typed = inputs["matrix"]
    if not typed and inputs["weave"] is None:
        raise InputError("weave", "No weave is given.", "Name one, such as five-end satin.")
    weave = (parse_matrix(typed, "matrix") if typed else inputs["weave"]).repeat
    longest = max(weave.longest_float)
    cautions = []
    if not weave.hangs_together:
        cautions.append("This is not one cloth: it comes apart into layers.")
    else:
        cautions += _long_floats(longest, weave)
    most, least = max(weave.intersections_of_ends), min(weave.intersections_of_ends)
    if most > UNEVEN_TAKE_UP * least:
        cautions.append(
            f"Some ends cross {most} times in the repeat and others {least}: they take up unlike "
            "lengths, and on one beam the straighter ones slacken. Two beams, or weave a sample."
        )
    results = {
        "ends": weave.ends,
        "picks": weave.picks,
        "intersections": weave.weft_intersections,
        "average_float": weave.average_float,
        "longest_float": longest,
        "warp_share": weave.warp_share,
    }
    _ = weave.warp_intersections, weave.sett_share  # told, though no results
    return Answer(
        results,
        tables={"threads": _threads(weave), "lifts": _lifts(weave)},
        notes=tuple(_about(weave, bool(typed))),
        cautions=tuple(cautions),
        sources=(
            "taylor-1909",
            "posselt-1888",
            *(("wolfensberger-1921",) if weave.is_satin else ()),
        ),
        pictures=_pictures(weave),
    )


def _long_floats(longest: int, weave: Weave) -> list[str]:
    """Warn of floats that catch, in a middling yarn at its working sett."""
    length = longest / _picture_sett(weave) * float(INCH_CM) * 10
    if length <= LONG_FLOAT_MM:
        return []
    return [
        f"In {PICTURE_YARN} the longest float would be {figure(length, 1)} mm. Over "
        f"{figure(LONG_FLOAT_MM, 0)} mm they catch in use (common practice): take a finer yarn or "
        "a shorter float."
    ]


@unlogged()
def _picture_sett(weave: Weave) -> float:
    """Return the working sett of a middling yarn [1/inch]."""
    return working_range(maximum_sett(parse_yarn(PICTURE_YARN).tex, weave)).likely


def _about(weave: Weave, typed: bool) -> list[str]:
    face = {
        "warp": f"Warp face up in the loom: the warp covers {percent(weave.warp_share)} of it. "
        "The back is weft-faced.",
        "weft": f"Weft face up in the loom: the warp shows on {percent(weave.warp_share)} of it. "
        "The back is warp-faced.",
        "both alike": "Warp and weft show alike on both sides.",
    }[weave.face]
    lines = [face]
    if weave.is_satin:
        lines.append(
            "A clean satin: every thread is bound once in the repeat and no two bindings touch."
        )
    if len(set(weave.intersections_of_picks)) > 1:
        lines.append(
            "Its picks do not all cross alike. The tightest, with "
            f"{weave.tightest_pick} intersections in {weave.ends} ends, decides the sett."
        )
    if typed:
        lines.append("Read from the matrix, and cut down to its smallest repeat.")
    return lines


def _threads(weave: Weave) -> Table:
    rows = [
        *_alike("end", weave.intersections_of_ends, [*zip(*weave.matrix, strict=True)]),
        *_alike("pick", weave.intersections_of_picks, weave.matrix),
    ]
    return Table(
        "Intersections and floats, thread by thread",
        ("Threads", "Intersections in the repeat", "Longest float"),
        tuple(rows),
    )


def _alike(
    name: str, crossings: Sequence[int], threads: Sequence[Sequence[bool]]
) -> list[tuple[str, int, int]]:
    """One row for all threads that cross and float alike."""
    groups: dict[tuple[int, int], list[int]] = {}
    for number, (count, marks) in enumerate(zip(crossings, threads, strict=True), start=1):
        groups.setdefault((count, longest_run(marks)), []).append(number)
    if len(groups) == 1:
        return [(f"every {name}", *next(iter(groups)))]
    return [(f"{name} {', '.join(map(str, numbers))}", *key) for key, numbers in groups.items()]


def _lifts(weave: Weave) -> Table:
    matrices = (weave.matrix, weave.reverse.matrix, weave.complement.matrix)
    return Table(
        "Ends up on each pick",
        ("Pick", "Ends up", "Seen from the back", "Warp and weft changed"),
        tuple(
            (number, *(", ".join(str(end) for end, up in enumerate(row, 1) if up) for row in rows))
            for number, rows in enumerate(zip(*matrices, strict=True), start=1)
        ),
    )


def _pictures(weave: Weave) -> tuple[str, ...]:
    paper = point_paper_svg(weave)
    if max(weave.ends, weave.picks) > 32:
        return (paper,)
    tex, sett = parse_yarn(PICTURE_YARN).tex, per_cm(_picture_sett(weave))
    return paper, close_up_svg(weave, tex, tex, sett, sett)


def _satins(inputs: Inputs) -> Answer:
    ends = inputs["ends"]
    pairs = counter_pairs(ends)
    counters = satin_counters(ends)[:pairs]
    tables = {
        "counters": Table(
            f"Regular satins on {ends} ends",
            ("Satin move", "Leaning the other way", "Ends lifted, pick by pick", "Bindings apart"),
            tuple(
                (
                    counter,
                    ends - counter,
                    " ".join(map(str, satin_order(ends, counter))),
                    f"{figure(binding_distance(ends, counter))} threads",
                )
                for counter in counters
            ),
        )
    }
    notes = []
    pictures: tuple[str, ...] = ()
    if pairs:
        best = best_counter(ends)
        notes.append(
            f"A satin move of {best} spreads its bindings widest. One end is lifted on each pick, "
            "so the weft face is up in the loom; change every mark for the warp face."
        )
        if ends <= 32:
            pictures = (point_paper_svg(regular_satin(ends, best)),)
    else:
        notes.append(
            f"There is no regular satin on {ends} ends: every satin move touches or clashes."
        )
    if ends == 6:
        orders = clean_orders(6)
        tables["irregular"] = Table(
            "Irregular satins on 6 ends, clean",
            ("Ends lifted, pick by pick", "Used here as six-end satin"),
            tuple((" ".join(map(str, order)), order == (1, 3, 5, 2, 6, 4)) for order in orders),
        )
        notes.append(f"{len(orders)} irregular orders on six ends bind cleanly.")
    cautions = []
    if pairs:
        cautions += _long_floats(ends - 1, regular_satin(ends, best_counter(ends)))
    if ends > MOST_SHAFTS:
        cautions.append(
            f"{ends} shafts: few hand looms have more than {MOST_SHAFTS} for the ground (common "
            "practice)."
        )
    if ends == 4:
        notes.append("Four ends give only the broken twill, where two bindings touch.")
    return Answer(
        {"regular": pairs},
        tables=tables,
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=(
            "wolfensberger-1921",
            "taylor-1909",
            *(("watson-structures",) if ends == 6 else ()),
        ),
        pictures=pictures,
    )


CALCULATORS = (
    Calculator(
        id="weave",
        code="C-10",
        page="structures/",
        title="A weave, thread by thread",
        question="What does this weave do: how often do its threads cross, how long are its "
        "floats?",
        fields=(
            ask(
                "weave",
                "satin_5",
                label="Weave",
                hint="A name, such as five-end satin, 5 shaft satin or 2/2 twill. Satins are "
                "lifted one end at a time: weft face up.",
                required=False,
            ),
            ask("matrix", "", required=False),
        ),
        outputs=(
            give("repeat_ends", name="ends", headline=True),
            give("repeat_picks", name="picks", headline=True),
            give("intersections", formula="F-20"),
            give("average_float", formula="F-21"),
            give("longest_float", formula="F-22", headline=True),
            give("warp_share", unit="", formula="F-23"),
        ),
        answer=_weave,
        ways=(
            Way("ground", "Tie it as the ground of a figure", {"weave": ("matrix", "weave")}),
            Way("figure", "Draw a figure on it", {"weave": ("matrix", "weave")}),
        ),
    ),
    Calculator(
        id="satins",
        code="C-11",
        page="structures/choosing/",
        title="Satins on so many ends",
        question="Which satins can be woven on this many shafts?",
        fields=(ask("repeat_ends", "8", name="ends", minimum=3, maximum=MOST_SATIN_ENDS),),
        outputs=(give("regular", formula="F-27", headline=True),),
        answer=_satins,
    ),
)
