"""The figure on its units: what is drawn, row by row, and what loom and cloth say to it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from calculators.cloth import size
from calculators.cloth.networks import picks
from calculators.engine.calculator import Answer, Table, Way
from calculators.engine.network import Figure, Network, Worked, used_for
from calculators.engine.run import Run
from calculators.engine.vocabulary import Inputs, aside, ask, calculated, give, if_known
from calculators.figure import counts, rows
from calculators.figure.cautions import (
    PARTS,
    STRETCHES,
    balance_cautions,
    beside_the_plan,
    float_cautions,
    lift_cautions,
    numbered,
    shares,
    weak_places,
)
from calculators.figure.edges import (
    LARGEST,
    backs_alike,
    face_down,
    given,
    most_uncut,
    weft_faced,
)
from calculators.figure.grid import Grid
from calculators.figure.threads import Cloth, float_places, woven
from calculators.figure.tie_up import clean_in_words, stays_in_words, tie_up
from calculators.figure.wholes import ground_orders, read_figure
from calculators.loom import harness, rhythm
from calculators.loom.calculators import shortages
from calculators.loom.networks import HARNESS
from calculators.quantities.sentences import both, many, percent
from calculators.show.pictures import squares_svg
from calculators.weave.ground import Ground
from calculators.weave.matrix import Weave

SQUARE = "Left empty, the picks that make a unit square after washing are taken."
PLANNED = "Where a plan is made. A figure that goes into it several times is a repeat."
MOST_MARKED = 200
MOST_REMEMBERED = 8

STAR = """\
.......#.......
......###......
..#...###...#..
.####..#..####.
..####.#.####..
...#########...
.#..#######..#.
###############
.#..#######..#.
...#########...
..####.#.####..
.####..#..####.
..#...###...#..
......###......
.......#......."""

COUNTED = Network(
    counts.at_rest,
    counts.figure_share,
    counts.figure_picks,
    used_for(
        "figure_hours", rhythm.weaving_hours, "Hours for the figure", picks_total="figure_picks"
    ),
    used_for(
        "heaviest_lift",
        harness.harness_mass,
        "Weight lifted in the heaviest row",
        units_across="heaviest_row",
    ),
    HARNESS,
    size.cloth_sett,
    size.unit_width,
    size.unit_height,
    size.squareness,
    size.picks_for_square,
    picks,
    decided=("picks",),
)


@dataclass(frozen=True)
class Read:
    """A figure and what is drawn of it: itself, or its ground where that is woven face down.

    ``ground`` is its tie-up where the figure is drawn, ``tied`` that for what is drawn.
    """

    figure: Grid
    drawn: Grid
    cloth: Cloth
    ground: Ground
    tied: Ground

    @property
    def face_down(self) -> bool:
        """Whether the ground is drawn."""
        return self.drawn is not self.figure

    @cached_property
    def lone(self) -> list[tuple[int, int]]:
        """Row and unit of every lone unit."""
        return counts.places(counts.lone_units(self.figure))

    @cached_property
    def necks(self) -> list[tuple[int, int]]:
        """Row and unit of every neck."""
        return counts.places(counts.necks(self.figure))

    @property
    def saves(self) -> int:
        """Draws that the ground saves; below zero those that the figure does."""
        return 2 * self.figure.drawn - self.figure.across * self.figure.up

    @property
    def shows(self) -> bool:
        """Whether drawn and resting units weave unlike: some shaft is left at rest."""
        return any(
            {*rise, *sink} != set(range(1, self.ground.shafts + 1))
            for rise, sink in zip(self.ground.rise, self.ground.sink, strict=True)
        )

    @property
    def heaviest(self) -> tuple[int, int]:
        """Units lifted in the heaviest row, and that row; of equal ones the first."""
        lifted = [row.bit_count() for row in self.drawn.rows]
        return max(lifted), lifted.index(max(lifted)) + 1


def _read(inputs: Inputs) -> Read:
    return _understood(
        *(inputs[name] for name in ("grid", "order", "side", "weave")),
        *(inputs[name] for name in ("ends_per_unit", "picks_per_unit")),
        *ground_orders(inputs),
    )


@lru_cache(maxsize=MOST_REMEMBERED)
def _understood(
    text: str,
    order: str,
    side: str,
    weave: Weave,
    ends: int,
    picks: int,
    rise: str,
    sink: str,
) -> Read:
    figure = read_figure(text, order == "last")
    more_than_half = 2 * figure.drawn > figure.across * figure.up
    turned = side == "ground" or (side == "fewer" and more_than_half)
    drawn = figure.turned_over() if turned else figure
    ground = given(weft_faced(weave), rise, sink)
    tied = face_down(ground) if turned else ground
    return Read(figure, drawn, woven(drawn, tied, ends, picks), ground, tied)


def ground_to_tie(run: Run) -> Ground:
    """Ground of a figure as it is tied for the side that is drawn (F-173).

    >>> from calculators.contract import calculate
    >>> ground_to_tie(calculate("figure", {"grid": "#", "weave": "lace_6"})).rise[0]
    (1, 3, 5)
    """
    return _read({name: reading.value for name, reading in run.readings.items()}).tied


def _counted(inputs: Inputs) -> Mapping[str, Figure | None]:
    read = _read(inputs)
    figure = read.figure
    return {
        "units_across": figure.across,
        "units_up": figure.up,
        "units_drawn": figure.drawn,
        "heaviest_row": read.heaviest[0],
        "different_columns": len(counts.column_kinds(figure)),
    }


def _warned(inputs: Inputs, figures: Worked) -> Answer:
    read = _read(inputs)
    figure, cloth = read.figure, read.cloth
    weave: Weave = inputs["weave"]
    _, differ = beside_the_plan(figure, inputs["plan_across"], inputs["plan_up"])
    long = _long_floats(read, inputs)
    return Answer(
        results={
            "draws": read.drawn.drawn,
            "face_down_saves": max(0, read.saves),
            "row_changes": counts.row_changes(figure),
            "lone_units": len(read.lone),
            "necks": len(read.necks),
            "equal_rows": len(counts.equal_rows(figure)),
            "longest_float": cloth.longest_float,
        },
        cautions=(
            *_emptiness(figure),
            *weak_places(read.lone, read.necks, read.shows),
            *float_cautions(cloth.longest_float, max(weave.longest_float), long),
            *differ,
            *shortages(inputs, figures),
            *lift_cautions(read.heaviest[1], read.heaviest[0], figures.likely("heaviest_lift")),
            *balance_cautions(_filled(figure), _bent(read, inputs), cloth.picks_cross),
        ),
        sources=("bell-1895",),
    )


def _filled(figure: Grid) -> tuple[float, ...]:
    return shares([column.bit_count() for column in figure.columns], figure.up)


def _bent(read: Read, inputs: Inputs) -> tuple[float, ...]:
    threads = inputs["ends_per_unit"] * inputs["picks_per_unit"]
    return shares(read.cloth.ends_cross, threads * read.figure.up)


def _remarks(inputs: Inputs, figures: Worked) -> Answer:
    read = _read(inputs)
    figure, drawn, cloth = read.figure, read.drawn, read.cloth
    fits, _ = beside_the_plan(figure, inputs["plan_across"], inputs["plan_up"])
    marked = [*read.lone, *read.necks, *_long_floats(read, inputs)]
    return replace(
        _warned(inputs, figures),
        tables={
            "rows": _rows(inputs, drawn),
            "cords": _cords(drawn),
            "tie_up": tie_up(_tie_up_title(read), read.tied),
            **_balance(figure, _filled(figure), _bent(read, inputs), cloth, inputs),
        },
        notes=(
            *_side_notes(read),
            *_ground_notes(inputs),
            *_edge_notes(read, inputs),
            *_cord_notes(figure),
            *_row_notes(counts.equal_rows(figure)),
            *fits,
            f"Row {read.heaviest[1]} is the heaviest: {many(read.heaviest[0], 'units')}, "
            f"{both(figures.likely('heaviest_lift'), 'g')} with the weights of the plan.",
        ),
        pictures=(_figure_picture(figure, figures.likely("squareness"), marked),),
    )


def _long_floats(read: Read, inputs: Inputs) -> list[tuple[int, int]]:
    """Row and unit of what lies under a float longer than those of the weave by itself."""
    longest = read.cloth.longest_float
    if longest <= max(inputs["weave"].longest_float):
        return []
    unit = inputs["ends_per_unit"], inputs["picks_per_unit"]
    return counts.places(float_places(read.drawn, read.tied, *unit, longest))


def _tie_up_title(read: Read) -> str:
    if not read.face_down:
        return "The ground, pick by pick"
    changed = "" if backs_alike(read.ground) else ", rise and sink exchanged"
    return f"The ground, pick by pick, woven face down{changed}"


def _ground_notes(inputs: Inputs) -> Iterator[str]:
    """Say what is tied where it is not the weave as named, or where no other pair is told."""
    weave: Weave = inputs["weave"]
    one = weave.repeat
    if weft_faced(weave).matrix != one.matrix:
        yield (
            "A warp-faced ground cannot be tied for a figure: here its weft face is woven in the "
            "units at rest. For a warp-faced ground mark the ground with # and leave the figure at "
            "rest."
        )
    if max(one.ends, one.picks) > LARGEST and not any(ground_orders(inputs)):
        yield (
            f"This ground repeats on {many(one.ends, 'ends')} and {many(one.picks, 'picks')}. "
            f"Above {LARGEST} no better pair of orders is looked for: it rises in its own order, "
            "and sinks some picks behind."
        )


def _edge_notes(read: Read, inputs: Inputs) -> Iterator[str]:
    """Say which edges the ground cuts, and how it is tied face down."""
    whose = "Your pair of orders" if any(ground_orders(inputs)) else "The usual tie-up"
    threads = most_uncut(read.ground, inputs["ends_per_unit"], inputs["picks_per_unit"])
    if read.shows:
        yield f"{whose} of this ground cuts {clean_in_words(threads) or 'no edge'} clean, face up."
    if read.face_down and backs_alike(read.ground):
        yield f"Face down {stays_in_words(read.ground)}"
    elif read.face_down:
        yield (
            "Face down this ground is tied the other way: what would rise for the figure sinks, "
            "and what would sink rises. The tie-up here has it so. Turned over, the cloth is then "
            "the same, thread for thread."
        )


def _figure_picture(
    figure: Grid, squareness: float, marked: list[tuple[int, int]] | None = None
) -> str:
    """Draw a figure in the proportions of its cloth, the row woven first at the bottom."""
    marks = (marked or [])[:MOST_MARKED]
    return squares_svg(
        f"The figure, {many(figure.across, 'units')} across and {figure.up} up, in the "
        "proportions of the washed cloth",
        f"{many(figure.drawn, 'units')} of {figure.across * figure.up} in the figure; the row "
        "woven first is the lowest."
        + (f" {many(len(marks), 'units')} marked to look at." if marks else ""),
        (figure.across, figure.up),
        squareness,
        (
            (number, first, last)
            for number, row in enumerate(figure.rows, 1)
            for first, last in rows.runs(row)
        ),
        marks,
        "look here: alone, or a neck, or a long float",
    )


def _rows(inputs: Inputs, drawn: Grid) -> Table:
    told = rows.listed(drawn, inputs["count_from"], inputs["rows_tell"] == "changes")
    return Table(
        f"Units to draw, counted from the {inputs['count_from']}", ("row", "units"), tuple(told)
    )


def _cords(drawn: Grid) -> Table:
    kinds = counts.column_kinds(drawn)
    drawn_ones = [(units, column.bit_count()) for column, units in kinds.items() if column]
    lines: list[tuple[str | int, str, int]] = [
        (cord, rows.in_words(_bits(units), drawn.across), draws)
        for cord, (units, draws) in enumerate(drawn_ones, 1)
    ]
    if 0 in kinds:
        lines.append(("none needed", rows.in_words(_bits(kinds[0]), drawn.across), 0))
    return Table("Which unit hangs on which cord", ("cord", "units", "rows drawn"), tuple(lines))


def _bits(units: tuple[int, ...]) -> int:
    return sum(1 << unit - 1 for unit in units)


def _balance(
    figure: Grid,
    filled: tuple[float, ...],
    ends: tuple[float, ...],
    cloth: Cloth,
    inputs: Inputs,
) -> dict[str, Table]:
    squares = inputs["ends_per_unit"] * inputs["picks_per_unit"] * figure.across
    picks_cross = shares([every for every, _, _ in cloth.picks_cross], squares)
    along = shares([row.bit_count() for row in figure.rows], figure.across)
    lines = [
        (f"{part} {way}", 100 * share, 100 * crossings)
        for way, parts, figures, crossed in (
            ("third", PARTS, filled, ends),
            ("rows", STRETCHES, along, picks_cross),
        )
        for part, share, crossings in zip(parts, figures, crossed, strict=False)
    ]
    if not lines:
        return {}
    return {
        "balance": Table(
            "Figure and intersections, part by part",
            ("part", "figure, %", "intersections, of 100 threads"),
            tuple(lines),
            (None, 0, 1),
        )
    }


def _emptiness(figure: Grid) -> list[str]:
    if figure.drawn not in (0, figure.across * figure.up):
        return []
    which = "No unit is" if not figure.drawn else "Every unit is"
    return [f"{which} in the figure: the cloth will be plain ground. Mark some units with #."]


def _side_notes(read: Read) -> list[str]:
    saves = read.saves
    units = read.figure.across * read.figure.up
    share = percent(read.figure.drawn / units, 0)
    turned = (
        "Face down, left and right change places when the cloth is turned: number the cords from "
        "the right where the figure has to read as drawn, as letters must."
    )
    if read.face_down and saves > 0:
        return [
            f"The figure fills {share} of the cloth. Draw the ground and weave face down: that "
            f"saves {many(saves, 'draws')}. The rows tell the units of the ground.",
            turned,
        ]
    if read.face_down:
        return [f"The rows tell the units of the ground, woven face down. {turned}"]
    if saves > 0:
        return [
            f"The figure fills {share} of the cloth. Drawing the ground, face down, would save "
            f"{many(saves, 'draws')}."
        ]
    return [f"The figure fills {share} of the cloth. Draw the figure, face up."]


def _cord_notes(figure: Grid) -> list[str]:
    kinds = len(counts.column_kinds(figure))
    across, up = counts.mirrors(figure)
    notes = []
    if across and figure.across > 1:
        half = figure.across // 2
        about = f"about unit {half + 1}" if figure.across % 2 else f"between {half} and {half + 1}"
        notes.append(
            f"It mirrors {about}: {many((figure.across + 1) // 2, 'columns')} to write for "
            f"{figure.across}."
        )
    if up and figure.up > 1:
        half = figure.up // 2
        about = f"about row {half + 1}" if figure.up % 2 else f"between rows {half} and {half + 1}"
        notes.append(f"It mirrors up and down {about}: read the list backwards from there.")
    if saved := figure.across - kinds:
        notes.append(
            f"Units whose columns are alike hang on one cord: {many(kinds, 'kinds')} of column for "
            f"{figure.across} units, {saved} saved."
        )
    return notes


def _row_notes(alike: tuple[int, ...]) -> list[str]:
    if not alike:
        return []
    words = "Row" if len(alike) == 1 else "Rows"
    return [
        f"{words} {numbered(alike)}: the same units as in the row before. Count the picks there; "
        "the eye sees no change."
    ]


FIGURE = calculated(
    id="figure",
    code="C-61",
    page="figure/",
    title="Figure",
    question="Which units to draw, row by row, and what will loom and cloth say to it?",
    asks=(
        ask("grid", STAR),
        ask("figure_order", "first", name="order"),
        ask("weave", "satin_6"),
        ask("ends_per_unit", "", required=False, follows="weave"),
        ask("picks_per_unit", "", required=False, follows="weave"),
        aside("side_drawn", "fewer", name="side"),
        aside("count_from", "left"),
        aside("rows_tell", "units"),
        aside("reed_sett", "18 /cm", name="sett", unit="1/inch"),
        aside("picks", "", unit="1/inch", required=False, hint=SQUARE),
        aside("width_shrinkage"),
        aside("length_shrinkage"),
        aside("draw_in"),
        aside("weight_each"),
        aside("picks_per_minute"),
        if_known(
            "units_across", name="plan_across", label="Units across in the plan", hint=PLANNED
        ),
        if_known("units_up", name="plan_up", label="Units up in the plan", hint=PLANNED),
        if_known("rise"),
        if_known("sink"),
        if_known("ends_per_heddle"),
        if_known("loom_pattern_heddles"),
        if_known("loom_cords"),
    ),
    gives=(
        give("units_across", headline=True, formula="F-181"),
        give("units_up", label="Units up", headline=True, formula="F-181"),
        give("draws", headline=True, formula="F-181"),
        give("different_columns", whole=True, headline=True, formula="F-184"),
        give("units_drawn", formula="F-181"),
        give("figure_share"),
        give("face_down_saves", formula="F-181"),
        give("row_changes", formula="F-185"),
        give("equal_rows", formula="F-185"),
        give("lone_units", formula="F-186"),
        give("necks", formula="F-186"),
        give("longest_float", formula="F-187"),
        give("heaviest_row", formula="F-181"),
        give("heaviest_lift"),
        give("pattern_heddles"),
        give("unit_width"),
        give("unit_height"),
        give("figure_picks"),
        give("figure_hours", name="hours"),
    ),
    formulas=COUNTED,
    remarks=_remarks,
    prepare=_counted,
    brief=_warned,
    ways=(
        Way("cloth-plan", "Plan the cloth with this weave and this unit"),
        Way("harness", "Hang the harness for it"),
        Way("ground", "Tie its ground"),
    ),
)
