"""The edits of the drawn figure, each against numpy, scipy or the package, and its own laws."""

import csv
import io
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any, cast
from xml.etree import ElementTree

import numpy as np
import pytest
import scipy
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from calculators.errors import InputError
from calculators.figure.grid import Grid, as_csv, in_squares, of_marks, packed, read_grid
from calculators.figure.wholes import orders_with, read_figure, stored, with_orders

Marks = NDArray[np.bool_]  # first index the row, from the one woven first; second the unit
Ask = Callable[..., Any]


@pytest.fixture(scope="module")
def ask(in_node) -> Iterator[Ask]:  # type: ignore[no-untyped-def]
    """Ask the page's own module, in one Node for all questions."""
    with in_node("grid.mjs") as talk:

        def go(name: str, *given: Any, problem: bool = False) -> Any:
            reply = talk([name, *(_inward(one) for one in given)])
            if problem:
                assert reply["kind"] == "RangeError", reply
                return reply["problem"]
            return _outward(reply["said"])

        yield go


def _inward(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return {"squares": ["".join(".#"[int(one)] for one in row) for row in value]}
    if isinstance(value, dict):
        return {name: _inward(part) for name, part in value.items()}
    return value


def _outward(value: Any) -> Any:
    if isinstance(value, dict) and "squares" in value:
        return marks(value["squares"])
    return value


def marks(lines: list[str]) -> Marks:
    return np.array([[sign == "#" for sign in line] for line in lines], dtype=bool)


def grid_of(drawn: Marks) -> Grid:
    return of_marks(drawn.tolist())


@st.composite
def figures(draw: st.DrawFn, most: int = 11) -> Marks:
    across, up = draw(st.integers(1, most)), draw(st.integers(1, most))
    bits = draw(st.lists(st.booleans(), min_size=across * up, max_size=across * up))
    return np.array(bits, dtype=bool).reshape(up, across)


places = st.tuples(st.integers(-3, 14), st.integers(-3, 14)).map(list)


def packed_of(ask: Ask, figure: Marks) -> str:
    return cast(str, ask("packed", figure))


def covered(ask: Ask, name: str, *given: Any) -> set[tuple[int, int]]:
    found = [cast(tuple[int, int], tuple(place)) for place in ask(name, *given)]
    assert len(set(found)) == len(found)
    return set(found)


# Shapes -------------------------------------------------------------------------------------------


@given(places, places)
def test_a_line_goes_unbroken_near_the_straight_way(
    ask: Ask, begin: list[int], end: list[int]
) -> None:
    way = covered(ask, "line", begin, end)
    assert {tuple(begin), tuple(end)} <= way
    assert way == covered(ask, "line", end, begin)
    span = [end[0] - begin[0], end[1] - begin[1]]
    assert len(way) == max(abs(span[0]), abs(span[1])) + 1
    for unit, row in way:  # never further than half a unit, counted along the shorter way
        apart = abs((unit - begin[0]) * span[1] - (row - begin[1]) * span[0])
        assert 2 * apart <= max(abs(span[0]), abs(span[1]))
    ordered = sorted(
        way, key=lambda at: (at[0] - begin[0]) * span[0] + (at[1] - begin[1]) * span[1]
    )
    for one, next_ in pairwise(ordered):
        assert max(abs(one[0] - next_[0]), abs(one[1] - next_[1])) == 1


@given(places, places)
def test_a_box_is_its_four_edges_and_what_is_inside(
    ask: Ask, begin: list[int], end: list[int]
) -> None:
    units = range(min(begin[0], end[0]), max(begin[0], end[0]) + 1)
    rows = range(min(begin[1], end[1]), max(begin[1], end[1]) + 1)
    whole = {(unit, row) for unit in units for row in rows}
    assert covered(ask, "box", begin, end, True) == whole
    edge = {at for at in whole if at[0] in (units[0], units[-1]) or at[1] in (rows[0], rows[-1])}
    assert covered(ask, "box", begin, end) == edge


@given(places, places)
def test_a_round_is_the_same_from_all_sides_and_its_edge_holds_what_fills_it(
    ask: Ask, begin: list[int], end: list[int]
) -> None:
    filled, edge = covered(ask, "round", begin, end, True), covered(ask, "round", begin, end)
    across, up = begin[0] + end[0], begin[1] + end[1]
    for part in (filled, edge):
        assert part == {(across - unit, row) for unit, row in part}
        assert part == {(unit, up - row) for unit, row in part}
    assert edge <= filled
    wide, high = abs(begin[0] - end[0]) + 1, abs(begin[1] - end[1]) + 1
    assert {unit for unit, _ in filled} == set(
        range(min(begin[0], end[0]), min(begin[0], end[0]) + wide)
    )
    drawn = np.zeros((high, wide), dtype=bool)
    for unit, row in edge:
        drawn[row - min(begin[1], end[1]), unit - min(begin[0], end[0])] = True
    assert scipy.ndimage.binary_fill_holes(drawn).sum() == len(filled)
    if min(wide, high) >= 8:
        assert len(filled) == pytest.approx(np.pi / 4 * wide * high, rel=0.12)


@given(figures(), st.integers(0, 10), st.integers(0, 10))
def test_fill_takes_what_hangs_together_along_edges(
    ask: Ask, figure: Marks, unit: int, row: int
) -> None:
    unit, row = unit % figure.shape[1], row % figure.shape[0]
    alike, _ = scipy.ndimage.label(figure == figure[row, unit])
    wanted = {(int(at), int(up)) for up, at in np.argwhere(alike == alike[row, unit])}
    assert covered(ask, "area", figure, [unit, row]) == wanted
    assert covered(ask, "area", figure, [figure.shape[1], row]) == set()


@given(figures(), st.lists(places, max_size=20), st.booleans())
def test_what_is_drawn_is_drawn_and_nothing_else(
    ask: Ask, figure: Marks, stroke: list[list[int]], drawn: bool
) -> None:
    wanted = figure.copy()
    for unit, row in stroke:
        if 0 <= unit < figure.shape[1] and 0 <= row < figure.shape[0]:
            wanted[row, unit] = drawn
    assert np.array_equal(ask("marked", figure, stroke, drawn), wanted)


# Turning, shifting, repeating ---------------------------------------------------------------------


@given(figures())
def test_turning_and_mirroring_are_those_of_numpy_and_undo_themselves(
    ask: Ask, figure: Marks
) -> None:
    # numpy counts rows from the top: seen so, the row woven first must be its last
    assert np.array_equal(ask("sideToSide", figure), figure[:, ::-1])
    assert np.array_equal(ask("endToEnd", figure), figure[::-1])
    assert np.array_equal(ask("quarterTurned", figure)[::-1], np.rot90(figure[::-1], -1))
    assert np.array_equal(ask("turnedOver", figure), ~figure)
    for name, times in (
        ("sideToSide", 2),
        ("endToEnd", 2),
        ("quarterTurned", 4),
        ("turnedOver", 2),
    ):
        turned = figure
        for _ in range(times):
            turned = ask(name, turned)
        assert np.array_equal(turned, figure)


@given(figures(), st.integers(-25, 25), st.integers(-25, 25))
def test_what_is_shifted_comes_in_on_the_other_side(
    ask: Ask, figure: Marks, units: int, rows: int
) -> None:
    there = ask("shifted", figure, units, rows)
    assert np.array_equal(there, np.roll(figure, (rows, units), (0, 1)))
    assert np.array_equal(ask("shifted", there, -units, -rows), figure)


@given(figures(8), st.integers(1, 4), st.integers(1, 4))
def test_a_repeat_is_tiled_and_a_half_drop_stands_half_a_repeat_higher(
    ask: Ask, figure: Marks, across: int, up: int
) -> None:
    assert np.array_equal(ask("repeated", figure, across, up), np.tile(figure, (up, across)))
    higher = np.roll(figure, -(figure.shape[0] // 2), 0)
    strip = np.hstack([higher if place % 2 else figure for place in range(across)])
    assert np.array_equal(ask("repeated", figure, across, up, True), np.tile(strip, (up, 1)))


@given(figures(), st.integers(0, 11), st.integers(1, 4))
def test_rows_and_columns_are_put_in_and_taken_out_again(
    ask: Ask, figure: Marks, place: int, count: int
) -> None:
    for into, out, axis in (("withRows", "withoutRows", 0), ("withColumns", "withoutColumns", 1)):
        at = min(place, figure.shape[axis])
        wider = ask(into, figure, at, count)
        assert np.array_equal(wider, np.insert(figure, [at] * count, False, axis=axis))
        assert np.array_equal(ask(out, wider, at, count), figure)


@given(figures(), st.integers(1, 16), st.integers(1, 16))
def test_another_size_keeps_the_middle(ask: Ask, figure: Marks, across: int, up: int) -> None:
    other = ask("sized", figure, across, up)
    assert other.shape == (up, across)
    wanted = figure
    for axis, size in ((0, up), (1, across)):
        more = size - wanted.shape[axis]
        before = abs(more) // 2
        if more >= 0:
            pad = [(0, 0), (0, 0)]
            pad[axis] = (before, more - before)
            wanted = np.pad(wanted, pad)
        else:
            wanted = wanted.take(range(before, before + size), axis)
    assert np.array_equal(other, wanted)


# Parts --------------------------------------------------------------------------------------------


@given(figures(), figures(6), places, st.booleans())
def test_another_grid_is_laid_on(
    ask: Ask, figure: Marks, other: Marks, at: list[int], only_drawn: bool
) -> None:
    wanted = np.pad(figure, 20)
    unit, row = at[0] + 20, at[1] + 20
    place = wanted[row : row + other.shape[0], unit : unit + other.shape[1]]
    place[:] = place | other if only_drawn else other
    wanted = wanted[20:-20, 20:-20]
    assert np.array_equal(ask("placed", figure, other, at, only_drawn), wanted)


@given(figures(), places, places, st.integers(-5, 5), st.integers(-5, 5))
def test_a_part_is_moved_and_leaves_the_ground_at_rest(
    ask: Ask, figure: Marks, one: list[int], other: list[int], units: int, rows: int
) -> None:
    part = ask("partOf", one, other)
    taken, wanted = np.zeros((60, 60), dtype=bool), np.pad(figure, 20)
    wanted = np.pad(wanted, ((0, 60), (0, 60)))
    left, low = part["unit"] + 20, part["row"] + 20
    taken = wanted[low : low + part["up"], left : left + part["across"]].copy()
    wanted[low : low + part["up"], left : left + part["across"]] = False
    low, left = low + rows, left + units
    wanted[low : low + part["up"], left : left + part["across"]] = taken
    wanted = wanted[20 : 20 + figure.shape[0], 20 : 20 + figure.shape[1]]
    assert np.array_equal(ask("moved", figure, part, [units, rows]), wanted)


@given(figures())
def test_a_part_is_turned_where_it_stands(ask: Ask, figure: Marks) -> None:
    up, across = figure.shape
    part = {"unit": across // 3, "row": up // 3, "across": (across + 1) // 2, "up": (up + 1) // 2}
    wanted = figure.copy()
    rows, units = (
        slice(up // 3, up // 3 + part["up"]),
        slice(across // 3, across // 3 + part["across"]),
    )
    wanted[rows, units] = figure[rows, units][:, ::-1]
    assert np.array_equal(ask("changedIn", figure, part, "sideToSide"), wanted)


# The whole that follows from a part ---------------------------------------------------------------

AS_DRAWN = {
    "sideways": "once", "upwards": "once", "times": 1, "rows": 1, "over": 0, "above": 0,
    "drop": False, "border": None, "corner": None, "along": 0, "upright": 0,
    "alongOver": 0, "uprightOver": 0, "rise": "", "sink": "",
}  # fmt: skip
MIRRORS = st.sampled_from(["once", "unit", "between"])


def mirrored(part: Marks, sideways: str, upwards: str) -> Marks:
    for axis, way in ((0, upwards), (1, sideways)):
        if way != "once":
            whole = np.concatenate([part, np.flip(part, axis)], axis)
            # about a unit the middle is there once
            part = np.delete(whole, part.shape[axis], axis) if way == "unit" else whole
    return part


def comes_back(ask: Ask, part: Marks, rule: dict[str, Any], wanted: Marks) -> str:
    """The whole is as wanted, here, in the package, and when what was stored is opened again."""
    assert np.array_equal(ask("wholeOf", part, rule), wanted)
    sent = cast(str, ask("stored", part, rule))
    assert read_figure(sent) == grid_of(wanted)
    back = ask("opened", sent)
    assert np.array_equal(_outward(back["grid"]), part)
    assert np.array_equal(ask("wholeOf", part, back["rule"]), wanted)
    found = ask("opened", stored(grid_of(wanted)))  # as the package writes the same whole
    assert np.array_equal(ask("wholeOf", _outward(found["grid"]), found["rule"]), wanted)
    return sent


@given(
    figures(5), MIRRORS, MIRRORS, st.integers(1, 4), st.integers(1, 4),
    st.integers(0, 6), st.integers(0, 6), st.booleans(),
)  # fmt: skip
def test_the_whole_is_the_part_mirrored_repeated_and_what_is_left_over(
    ask: Ask, part: Marks, sideways: str, upwards: str, times: int, rows: int, over: int,
    above: int, drop: bool,
) -> None:  # fmt: skip
    rule = AS_DRAWN | {"sideways": sideways, "upwards": upwards, "times": times, "rows": rows}
    rule |= {"over": over, "above": above, "drop": drop}
    one = mirrored(part, sideways, upwards)
    dropped = np.roll(one, -(one.shape[0] // 2), axis=0) if drop else one
    many = times + 1 + over // one.shape[1]
    strip = np.concatenate([dropped if at % 2 else one for at in range(many)], axis=1)
    wanted = np.tile(strip, (rows + 1 + above // one.shape[0], 1))
    wanted = wanted[: rows * one.shape[0] + above, : times * one.shape[1] + over]
    sent = comes_back(ask, part, rule, wanted)
    plain = sideways == upwards == "once" and (times, rows, over, above) == (1, 1, 0, 0)
    assert (sent == packed_of(ask, part)) == plain


def test_half_of_253_mirrored_about_a_unit_is_127(ask: Ask) -> None:
    part = np.zeros((1, 127), dtype=bool)
    assert ask("wholeOf", part, AS_DRAWN | {"sideways": "unit"}).shape == (1, 253)
    assert ask("wholeOf", part, AS_DRAWN | {"sideways": "between"}).shape == (1, 254)


@given(figures(9), figures(5))
def test_a_border_goes_around_and_its_corners_turn(ask: Ask, figure: Marks, strip: Marks) -> None:
    deep = strip.shape[0]
    whole = ask("bordered", figure, strip)
    assert np.array_equal(whole[deep:-deep, deep:-deep], figure)
    blank = ask("bordered", np.zeros_like(figure), strip)
    assert np.array_equal(blank, blank[::-1])
    assert np.array_equal(blank, blank[:, ::-1])
    for corner in (blank[:deep, :deep], blank[:deep, :deep].T):
        assert np.array_equal(corner, blank[:deep, :deep])
    # from the corner's diagonal to the middle the lower edge is the strip, repeated
    half = (whole.shape[1] + 1) // 2
    run = np.tile(strip, (1, 1 + half // strip.shape[1]))
    for depth in range(deep):
        assert np.array_equal(whole[depth, depth:half], run[depth, depth:half])
    rule = AS_DRAWN | {"border": strip}
    sent = comes_back(ask, figure, rule, whole)
    assert np.array_equal(_outward(ask("opened", sent)["rule"]["border"]), strip)


@st.composite
def corners(draw: st.DrawFn) -> tuple[Marks, Marks]:
    """A corner and one repeat of the border, as high as the corner."""
    deep, long = draw(st.integers(1, 4)), draw(st.integers(1, 5))
    bits = draw(
        st.lists(st.booleans(), min_size=deep * (deep + long), max_size=deep * (deep + long))
    )
    both = np.array(bits, dtype=bool).reshape(deep, deep + long)
    return both[:, :deep], both[:, deep:]


@given(
    figures(4), MIRRORS, st.integers(1, 2), corners(), st.integers(0, 9), st.integers(0, 9)
)  # fmt: skip
def test_a_border_with_its_own_corner_turns_by_a_quarter(
    ask: Ask, part: Marks, sideways: str, times: int, drawn: tuple[Marks, Marks], more: int, up: int
) -> None:
    corner, strip = drawn
    deep, long = strip.shape
    field = np.tile(mirrored(part, sideways, "between"), (1, times))
    wide, high = field.shape[1] + more, field.shape[0] + up
    rule = AS_DRAWN | {"sideways": sideways, "upwards": "between", "times": times, "border": strip}
    rule |= {"corner": corner, "along": wide // long, "alongOver": wide % long}
    rule |= {"upright": high // long, "uprightOver": high % long}
    wanted = np.zeros((high + 2 * deep, wide + 2 * deep), dtype=bool)
    for turn in range(4):  # each side in turn becomes the lower one
        wanted[:deep, :deep] = corner
        side = high if turn % 2 else wide
        wanted[:deep, deep : deep + side] = np.tile(strip, (1, side // long + 1))[:, :side]
        wanted = np.rot90(wanted)
    left, low = deep + more // 2, deep + up // 2
    wanted[low : low + field.shape[0], left : left + field.shape[1]] = field
    comes_back(ask, part, rule, wanted)
    less = field.shape[1] - 1
    tight = rule | {"along": less // long, "alongOver": less % long}
    assert "Give the border more repeats" in ask("wholeOf", part, tight, problem=True)


ORDERS = st.lists(
    st.lists(st.integers(1, 12).map(str), min_size=1, max_size=3).map("+".join), max_size=12
).map(" ".join)


@given(figures(4), MIRRORS, ORDERS, ORDERS)
def test_the_orders_of_the_ground_go_with_the_figure(
    ask: Ask, part: Marks, way: str, rise: str, sink: str
) -> None:
    rule = AS_DRAWN | {"sideways": way, "rise": rise, "sink": sink}
    sent = comes_back(ask, part, rule, mirrored(part, way, "once"))
    assert orders_with(sent) == (rise, sink)
    assert with_orders(ask("stored", part, rule | {"rise": "", "sink": ""}), rise, sink) == sent
    back = ask("opened", sent)["rule"]
    assert (back["rise"], back["sink"]) == (rise, sink)
    assert ask("orderOf", f" {rise.replace(' ', ', ').replace('+', ' + ')} ") == rise


@given(corners())
def test_an_empty_border_opens_with_room_inside(ask: Ask, drawn: tuple[Marks, Marks]) -> None:
    sent = "~".join(["b2x1+1+0", *(packed(grid_of(one)) for one in drawn)])
    back = ask("opened", sent)
    whole = ask("wholeOf", _outward(back["grid"]), back["rule"])
    assert grid_of(whole) == read_figure(sent)


@given(figures(5), figures(3), MIRRORS, st.integers(1, 3), st.integers(0, 4), st.booleans())
def test_every_place_of_the_whole_is_found_in_the_part(
    ask: Ask, part: Marks, strip: Marks, way: str, times: int, over: int, border: bool
) -> None:
    rule = AS_DRAWN | {"sideways": way, "upwards": "between", "drop": True}
    rule |= {"times": times, "over": over, "border": strip if border else None}
    whole = ask("wholeOf", part, rule)
    deep = strip.shape[0] if border else 0
    for row, unit in np.ndindex(*whole.shape):
        place = ask("placeInPart", part, rule, [unit, row])
        edge = min(unit, row, whole.shape[1] - 1 - unit, whole.shape[0] - 1 - row)
        assert (place is None) == (edge < deep)
        if place:
            assert part[place[1], place[0]] == whole[row, unit]


# Undo ---------------------------------------------------------------------------------------------


@given(
    figures(),
    st.lists(
        st.one_of(
            st.tuples(st.just("strokes"), st.lists(places, min_size=1, max_size=8), st.booleans()),
            st.tuples(st.sampled_from(["sideToSide", "quarterTurned", "turnedOver"])),
            st.tuples(st.just("shifted"), st.integers(-3, 3), st.integers(-3, 3)),
            st.tuples(st.just("withRows"), st.just(0), st.integers(1, 2)),
            st.tuples(st.just("whole"), st.fixed_dictionaries({"sideways": st.just("unit")})),
        ).map(list),
        max_size=12,
    ),
    st.sampled_from([0, 700, 1_000_000]),
)
def test_every_step_is_undone_and_done_again(
    ask: Ask, figure: Marks, steps: list[Any], most: int
) -> None:
    told = ask("history", figure, steps, most)
    assert told["back"] == told["states"][-2::-1]
    assert told["forth"] == told["states"][1:]
    # What is kept with the figure is the nearest steps, all of them where there is room.
    later = told["later"]
    assert later == told["back"][: len(later)]
    assert told["all"] == (len(later) == len(told["back"]))
    assert told["all"] or most < 1_000_000
    assert most or later == []
    assert told["now"] == told["states"][-1]


# Written down -------------------------------------------------------------------------------------


@given(figures(21), st.booleans())
def test_link_squares_and_table_are_those_of_the_package(
    ask: Ask, figure: Marks, top_first: bool
) -> None:
    grid = grid_of(figure)
    assert read_grid(ask("packed", figure)) == grid
    assert np.array_equal(ask("unpacked", packed(grid)), figure)
    assert ask("inSquares", figure, top_first) == in_squares(grid, top_first)
    assert np.array_equal(ask("readSquares", in_squares(grid, top_first), top_first), figure)
    assert ask("asCsv", figure) == as_csv(grid)
    assert [
        [cell == "1" for cell in row] for row in csv.reader(io.StringIO(as_csv(grid)))
    ] == figure.tolist()
    assert np.array_equal(ask("readSquares", as_csv(grid)), figure)


def test_the_largest_figure_goes_both_ways(ask: Ask) -> None:
    figure = np.random.default_rng(3).random((1000, 400)) < 0.5
    assert read_grid(ask("packed", figure)) == grid_of(figure)
    assert np.array_equal(ask("unpacked", packed(grid_of(figure))), figure)
    assert np.array_equal(ask("quarterTurned", figure[:400])[::-1], np.rot90(figure[399::-1], -1))


@given(figures(9))
def test_the_drawing_covers_the_drawn_units_and_brings_the_figure_along(
    ask: Ask, figure: Marks
) -> None:
    drawing = ElementTree.fromstring(ask("asSvg", figure, 2, 3))
    assert read_grid(drawing.attrib["data-figure"]) == grid_of(figure)
    covered_ = np.zeros_like(figure)
    for run in drawing[1].attrib["d"].split("M")[1:]:
        begin, _, rest = run.partition("h")
        unit, down = map(int, begin.split())
        covered_[figure.shape[0] - 1 - down, unit : unit + int(rest.partition("v")[0])] = True
    assert np.array_equal(covered_, figure)


@pytest.mark.parametrize(
    "text", ["r2x1", "f~{0}", "b1x1~{0}", "ma-b1x1~{0}~{0}", "r2x1-ma~{0}", "ma-~{0}", "q~{0}"]
)
def test_steps_that_make_no_whole_are_refused(ask: Ask, text: str) -> None:
    assert "damaged" in ask(
        "opened", text.format(packed(grid_of(np.ones((2, 2), dtype=bool)))), problem=True
    )


BROKEN = (
    "3x2.", "3x2.Y2YEA", "3x2.Y2YEAA!", "3x9.Y2YEAA", "0x2.AwA", "401x1.AwA",
    "3x1001.AwA", "3x1.Y2YEAA", "400x1000.7cEBAQAAAICQ_q_uCAoAAAAAAAAAAAAA",
)  # fmt: skip


@pytest.mark.parametrize("text", BROKEN)
def test_a_damaged_link_is_refused_in_words_by_page_and_package(ask: Ask, text: str) -> None:
    with pytest.raises(InputError):
        read_grid(text)
    assert ask("unpacked", text, problem=True).endswith(".")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no figure yet"),
        ("#.\n#", "Line 1 has 2 units, line 2 has 1"),
        ("#.\n#?", "Line 2 has the sign “?”"),
    ],
)
def test_squares_that_cannot_be_read_are_refused_in_words(ask: Ask, text: str, said: str) -> None:
    assert said in ask("readSquares", text, problem=True)


def test_no_figure_grows_beyond_what_can_be_woven(ask: Ask) -> None:
    figure = np.ones((3, 300), dtype=bool)
    assert "400" in ask("repeated", figure, 2, 1, problem=True)
    assert "1000" in ask("withRows", figure, 0, 998, problem=True)
    assert "0 units across" in ask("withoutColumns", figure, 0, 300, problem=True)
