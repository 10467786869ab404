"""The calculator of the ground: its tie-up, and the edges that it cuts clean."""

from collections.abc import Iterator, Mapping, Sequence

from calculators.engine.calculator import Answer, Calculator, Table, Way
from calculators.engine.vocabulary import Inputs, ask, give, if_known
from calculators.errors import InputError
from calculators.figure.edges import (
    IN_WORDS,
    LARGEST,
    MOST_SEARCHED,
    Search,
    backs_alike,
    begins,
    given,
    is_true_satin,
    left_clean,
    lifts,
    longest_float,
    most_uncut,
    orders,
    search,
    usual,
    weft_faced,
    woven,
    written_order,
)
from calculators.quantities.interval import Range
from calculators.quantities.sentences import many
from calculators.show.columns import Cell
from calculators.show.pictures import cords_svg, unit_edges_svg
from calculators.weave.ground import Ground, Shafts, plain_hem, shifted, weave_ground
from calculators.weave.library import weave as weave_named
from calculators.weave.matrix import Weave

EXCHANGE = (
    "let the shafts listed as rising sink, and those listed as sinking rise. Turned over, the "
    "cloth is then the same, thread for thread. Tied as for the figure, figure and ground would "
    "exchange their structures."
)
COLUMNS = ("Pick", "treadle", "rise: bind units at rest", "sink: bind drawn units")
MOST_DRAWN = 16  # ends and picks in a picture


def _ground(inputs: Inputs) -> Answer:
    named: Weave = inputs["weave"]
    weave, unit = weft_faced(named), (inputs["ends_per_unit"], inputs["picks_per_unit"])
    if max(weave.ends, weave.picks) > LARGEST:
        raise InputError(
            "weave",
            f"That ground would need {many(weave.ends, 'shafts')} and {many(weave.picks, 'picks')}"
            f" in the repeat; edges are counted here up to {LARGEST}.",
            f"Give a weave of at most {LARGEST} ends and {LARGEST} picks.",
        )
    typed = bool(inputs["rise"] or inputs["sink"])
    found = search(weave, *unit)
    own = given(weave, inputs["rise"], inputs["sink"]) if typed else usual(weave) or found.best
    at_best, at_own = most_uncut(found.best, *unit), most_uncut(own, *unit)
    same = own == found.best
    own_name = "Your own pair" if typed else "The usual pair"
    best_name = f"{own_name}, which is the best" if same else "The best pair"
    results: dict[str, float | Range | str] = {
        "clean_edges": int(left_clean(sum(map(bool, at_best.values())))),
        "clean_edges_given": sum(not threads for threads in at_own.values()),
        "rise": written_order(found.best.rise),
        "sink": written_order(found.best.sink),
        "longest_float": longest_float(found.best),
    }
    tables = {"tie_up": tie_up(f"{best_name}, pick by pick", found.best)}
    if not same:
        tables["tie_up_given"] = tie_up(f"{own_name}, pick by pick", own)
    tables["edges"] = _edges_table(at_best, at_own, "" if same else own_name)
    tables["behind"] = _behind_table(own.rise, weave.ends, unit)
    return Answer(
        results,
        tables=tables,
        notes=(
            *_about_edges(weave, found, own, at_best, at_own, typed),
            *_about_unit(weave, *unit),
            *_about_treadles(found.best),
            *_about_sides(found.best, own, typed),
        ),
        cautions=tuple(_cautions(named, weave, found.best, own, typed)),
        pictures=tuple(_pictures(found.best, own, same, typed)),
        sources=("taylor-1909", "bell-1895"),
    )


def tie_up(title: str, ground: Ground) -> Table:
    """List for every pick of a ground, and of its plain hem, what rises and what sinks.

    Equation: none
    Parameters:
        title [text]: the table's
        ground [Ground]: the tie-up
    Returns:
        [Table] pick, treadle, the shafts that rise and those that sink
    Validity: any ground.
    Errors: none.
    Example:
        >>> from calculators.weave.ground import ground_of
        >>> tie_up("Five ends", ground_of("satin_5")).rows[0]
        ('1', 1, '1', '2')

    Source: definition.
    """
    treadles, hem = _treadles(ground), plain_hem(ground.shafts)
    hem_name = "plain hem" if ground.shafts % 2 == 0 else "nearly plain hem"
    rows = [
        *_picks("", ground, treadles),
        *_picks(f"{hem_name}, ", hem, _treadles(ground, hem)),
    ]
    return Table(title, COLUMNS, tuple(rows))


def _picks(label: str, ground: Ground, treadles: Sequence[int]) -> Iterator[tuple[Cell, ...]]:
    for pick, treadle in enumerate(treadles):
        moved = _numbers(ground.rise[pick]), _numbers(ground.sink[pick])
        yield f"{label}{pick + 1}", treadle, *moved


def _treadles(ground: Ground, more: Ground | None = None) -> list[int]:
    """Number the treadle of each pick, of the ground or of what is woven on the same loom."""
    numbers: dict[tuple[tuple[int, ...], tuple[int, ...]], int] = {}
    for one in (ground, *((more,) if more else ())):
        for move in zip(one.rise, one.sink, strict=True):
            numbers.setdefault(move, len(numbers) + 1)
    return [numbers[move] for move in zip(*_moves(more or ground), strict=True)]


def _moves(ground: Ground) -> tuple[Shafts, Shafts]:
    return ground.rise, ground.sink


def _edges_table(at_best: dict[str, int], at_own: dict[str, int], own_name: str) -> Table:
    def told(threads: int) -> str:
        return f"{threads} uncut" if threads else "clean"

    title = "The four edges of a drawn unit, threads that run across uncut"
    if not own_name:
        rows = tuple((words, told(at_best[edge])) for edge, words in IN_WORDS.items())
        return Table(title, ("Edge", "this pair"), rows)
    both = tuple(
        (words, told(at_best[edge]), told(at_own[edge])) for edge, words in IN_WORDS.items()
    )
    return Table(title, ("Edge", "the best pair", own_name.lower()), both)


def _behind_table(rise: Shafts, shafts: int, unit: tuple[int, int]) -> Table:
    """List what the same order cuts clean, sinking so many picks behind."""
    rows: list[tuple[Cell, ...]] = []
    for behind in range(1, len(rise)):
        sink = shifted(rise, behind)
        if not any(set(up) & set(down) for up, down in zip(rise, sink, strict=True)):
            threads = most_uncut(Ground(shafts, rise, sink), *unit)
            rows.append((behind, written_order(sink), clean_in_words(threads) or "none"))
    title = "Sinking in the order of rising, some picks behind"
    return Table(title, ("Picks behind", "order of sinking", "clean edges"), tuple(rows))


def _about_edges(
    weave: Weave,
    found: Search,
    own: Ground,
    at_best: dict[str, int],
    at_own: dict[str, int],
    typed: bool,
) -> Iterator[str]:
    behind = next((one for one in range(own.picks) if shifted(own.rise, one) == own.sink), None)
    order = "" if behind is None else f", sinking {many(behind, 'picks')} behind,"
    whose = "Your pair" if typed else "The usual pair"
    yield f"{whose}{order} cuts {clean_in_words(at_own) or 'no edge'} clean."
    clean = sum(not threads for threads in at_own.values())
    if sum(not one for one in at_best.values()) == clean:
        yield (
            f"{many(sum(found.pairs_by_clean), 'pairs')} of orders can be tied for this ground. "
            "None cuts more edges clean."
        )
    elif found.clean < clean:
        yield "That is more than any pair of this weave's own orders."
    else:
        yield (
            f"Of {many(sum(found.pairs_by_clean), 'pairs')} of orders that can be tied the best "
            f"cuts {clean_in_words(at_best)} clean."
        )
    if _turned(found.best):
        yield (
            "In the best pair the sinking runs against the rising: the fine slanting lines of the "
            "figure lean the other way from those of the ground. Look at it on the sample."
        )
    yield (
        "Begin the first row on pick 1. Begun on another pick, the lower and upper edges are cut "
        "otherwise; the sides stay as they are."
    )
    yield (
        "An edge is clean where every thread that crosses it changes sides there: what rises "
        "beside it must sink within it on the same pick."
    )
    if found.clean < 4 and weave.is_satin and weave.ends == 7:
        yield (
            "An uneven seven-end satin cuts more edges clean: its two orders stand in Which ground "
            "cuts which edge, and can be typed here."
        )
    if max(weave.ends, weave.picks) > MOST_SEARCHED and not is_true_satin(lifts(weave)):
        yield (
            f"Not every pair was tried: over {MOST_SEARCHED} ends or picks only the weave's own "
            "order of rising, and sinking in the same order some picks behind. Another pair may "
            "cut more."
        )


def _turned(ground: Ground) -> bool:
    """Whether a ground of one shaft a pick sinks in the order of its rising, read backwards."""
    return any(shifted(ground.rise[::-1], one) == ground.sink for one in range(ground.picks)) and (
        all(shifted(ground.rise, one) != ground.sink for one in range(ground.picks))
    )


def _about_unit(weave: Weave, unit: int, row: int) -> Iterator[str]:
    ends, picks = weave.ends, weave.picks
    on, first = begins(ends, unit), begins(picks, row)
    if unit == ends:
        yield f"A unit is one repeat, {many(ends, 'ends')}, the first on shaft 1."
    elif len(on) == 1:
        yield (
            f"A unit of {many(unit, 'ends')} holds {unit // ends} repeats of {ends}. Every unit "
            "begins on shaft 1, so its edges are cut as those of one repeat are; along the lower "
            "and upper edges each repeat counts again."
        )
    else:
        yield (
            f"Units of {many(unit, 'ends')} do not match a repeat of {ends}: they begin on shafts "
            f"{_numbers(on)} in turn, and their edges are not all cut alike. Here an edge counts "
            "as clean only where it is clean on every one of them, and as uncut the threads of "
            "the worst."
        )
    if row == picks:
        yield f"A row is one repeat high, {many(picks, 'picks')}: every row begins on pick 1."
    elif len(first) == 1:
        yield (
            f"A row of {many(row, 'picks')} holds {row // picks} repeats of {picks}: every row "
            "begins on pick 1, and its edges are cut as those of one repeat are."
        )
    else:
        yield (
            f"Rows of {many(row, 'picks')} do not match a repeat of {picks}. The ground goes on "
            f"in its order, so rows begin on picks {_numbers(first)} in turn, and their lower and "
            "upper edges are not all cut alike. The worst of them is told. The sides do not "
            "change."
        )


def _about_treadles(ground: Ground) -> Iterator[str]:
    treadles, hem = _treadles(ground), plain_hem(ground.shafts)
    used = max(treadles)
    together = (
        "several shafts move together, as the tie-up lists them"
        if max(map(len, (*ground.rise, *ground.sink))) > 1
        else "each raises one shaft and sinks one"
    )
    yield (f"{many(used, 'treadles')} for {many(ground.picks, 'picks')}: {together}.")
    hem_treadles = sorted(set(_treadles(ground, hem)))
    own = [one for one in hem_treadles if one > used]
    true = ground.shafts % 2 == 0
    what = "a plain hem and plain stripes" if true else "a nearly plain hem or stripe"
    if not own:
        yield f"For {what} tread {_list(list(map(str, hem_treadles)))}; no treadle more is needed."
    else:
        yield (
            f"For {what} tie {many(len(own), 'treadles')} more, as in the table. Tied to rise and "
            "to sink, they weave so whatever units are drawn; where none is drawn only the rising "
            "cords are wanted."
        )
    if not true:
        yield (
            f"On {ground.shafts} shafts there is no true plain weave: the last end of each repeat "
            f"and the first of the next lie as one. Hem in the ground, or thread it over "
            f"{2 * ground.shafts} shafts."
        )


def _about_sides(best: Ground, own: Ground, typed: bool) -> Iterator[str]:
    """Say what is tied where the ground is drawn, and the cloth woven face down."""
    for name, ground in (
        ("your pair" if typed else "the usual pair", own),
        *((("the best pair", best),) if best != own else ()),
    ):
        told = stays_in_words(ground) if backs_alike(ground) else EXCHANGE
        yield f"Where the ground is drawn and woven face down with {name}, {told}"


def stays_in_words(ground: Ground) -> str:
    """Say that a tie-up serves either side, and what it does to the edges.

    Equation: see face_down   (F-173)
    Parameters:
        ground [Ground]: the tie-up where the figure is drawn
    Returns:
        [text] a sentence or two
    Validity: a ground whose drawn and resting units are each other's backs.
    Errors: none.
    Example:
        >>> from calculators.weave.ground import ground_of
        >>> stays_in_words(ground_of("satin_5"))[:17]
        'the tie-up stays:'

    Source: see face_down.
    """
    first, last, lower, upper = (not one for one in most_uncut(ground, ground.shafts).values())
    opposite = (
        ""
        if (first, lower) == (last, upper)
        else " The figure is then cut clean on the edges opposite."
    )
    return f"the tie-up stays: figure and ground are each other's backs.{opposite}"


def clean_in_words(threads: Mapping[str, int]) -> str:
    """Name the edges along which no thread is uncut.

    Equation: none
    Parameters:
        threads [count]: uncut, by edge
    Returns:
        [text] names; empty where there is none
    Validity: any.
    Errors: none.
    Example:
        >>> clean_in_words({"first-end": 0, "last-end": 2, "lower": 0, "upper": 2})
        'the side of the first end and the lower edge'

    Source: none.
    """
    clean = [IN_WORDS[edge] for edge, uncut in threads.items() if not uncut]
    return "all four edges" if len(clean) == len(IN_WORDS) else _list(clean)


def _cautions(named: Weave, weave: Weave, best: Ground, own: Ground, typed: bool) -> Iterator[str]:
    at_rest, drawn = woven(best)
    if at_rest.matrix == drawn.matrix:
        yield (
            "No figure shows: tied so, drawn and resting units weave alike. Choose a ground that "
            "shows one yarn more than the other."
        )
    elif weave.matrix == weave_named("lace_6").matrix:
        yield (
            "Drawn units weave plain here and resting ones lace, so most units are drawn. Reckon "
            "the weight of such a row."
        )
    if named.repeat.matrix != weave.matrix:
        yield (
            "A warp-faced ground cannot be tied: most shafts would have to rise and to sink on one "
            "pick. This is its weft face for the units at rest. For a warp-faced ground draw the "
            "ground and leave the figure at rest."
        )
    if not at_rest.hangs_together:
        yield "Units at rest are not one cloth: they come apart into layers."
    if typed and own.rise not in orders(weave)[0]:
        face = woven(own)[0]
        what = "a clean satin, its moves not all alike" if face.is_satin else "another weave"
        yield f"Rising in your order weaves {what}: it is no {named.title.partition(',')[0]}."


def _pictures(best: Ground, own: Ground, same: bool, typed: bool) -> Iterator[str]:
    if max(best.shafts, best.picks) > MOST_DRAWN:
        return
    name = "your own pair" if typed else "the usual pair"
    yield cords_svg("Cords of the best pair", best.shafts, best.rise, best.sink)
    for words, ground in ((name, own), *(() if same else (("the best pair", best),))):
        cloth = weave_ground(
            ground,
            [[False] * 3, [False, True, False], [False] * 3],
            ground.shafts,
            ground.picks,
        )
        yield unit_edges_svg(
            f"A drawn unit, {words}",
            cloth,
            ground.shafts,
            ground.picks,
            range(1, ground.shafts + 1),
        )


def _numbers(numbers: Sequence[int] | Iterator[int]) -> str:
    return " ".join(map(str, numbers))


def _list(words: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


GROUND = Calculator(
    id="ground",
    code="C-60",
    page="figure/which-ground-cuts-which-edge/",
    title="A ground and its edges",
    question="How is this ground tied, and which edges of a figure does it cut clean?",
    fields=(
        ask("weave", "satin_5"),
        ask(
            "ends_per_unit",
            "",
            required=False,
            follows="weave",
            hint="Left empty: one repeat of the weave.",
        ),
        ask(
            "picks_per_unit",
            "",
            required=False,
            follows="weave",
            hint="Left empty: one repeat of the weave.",
        ),
        if_known("rise"),
        if_known("sink"),
    ),
    outputs=(
        give("clean_edges", formula="F-170", headline=True),
        give("clean_edges_given", formula="F-158", headline=True),
        give("rise", label="Best order of rising", formula="F-172"),
        give("sink", label="Best order of sinking", formula="F-172"),
        give("longest_float", formula="F-171"),
    ),
    answer=_ground,
    drawn=True,
    ways=(
        Way("weave", "The weave, thread by thread"),
        Way("harness", "Heddles and cords"),
        Way("cloth-plan", "Plan the whole cloth"),
    ),
)
