"""What is counted on a figure, by numpy and cell by cell; cloth by weaving every thread."""

import re
from itertools import groupby

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.figure import counts, rows
from calculators.figure.grid import Grid, of_marks
from calculators.figure.threads import float_places, woven
from calculators.weave.ground import BY_ORDER, GROUNDS, Ground, ground_of, weave_ground
from tests.every import of_every
from tests.figure.figures import grids

SMALL = grids(8)


def cells(grid):
    return numpy.array(grid.marks(), dtype=bool)


def unlike(marks, axis, step):
    """Cells unlike the next one in a direction; where there is none, they are unlike it."""
    other = numpy.roll(marks, step, axis)
    found = marks != other
    edge = [slice(None), slice(None)]
    edge[axis] = 0 if step == 1 else -1
    found[tuple(edge)] = True
    return found


@given(grids())
def test_lone_units_by_numpy(grid):
    marks = cells(grid)
    lone = numpy.logical_and.reduce(
        [unlike(marks, axis, step) for axis in (0, 1) for step in (1, -1)]
    )
    assert counts.places(counts.lone_units(grid)) == [
        (row + 1, unit + 1) for row, unit in numpy.argwhere(lone)
    ]


def is_neck(marks, row, unit):
    def same(up, aside):
        place = row + up, unit + aside
        inside = all(0 <= at < size for at, size in zip(place, marks.shape, strict=True))
        return bool(marks[place] == marks[row, unit]) if inside else None

    def wide_beside(up, aside):
        """Whether the unit there is like a neighbour of its own line, or lies at the edge."""
        beside = ((up, -1), (up, 1)) if up else ((-1, aside), (1, aside))
        return any(same(*one) is not False for one in beside)

    for facing, others in ((((0, -1), (0, 1)), ((-1, 0), (1, 0))),
                           (((-1, 0), (1, 0)), ((0, -1), (0, 1)))):  # fmt: skip
        if (
            all(same(*one) is False for one in facing)
            and all(same(*one) is True for one in others)
            and all(wide_beside(*one) for one in others)
        ):
            return True
    return False


@given(SMALL)
def test_necks_cell_by_cell(grid):
    marks = cells(grid)
    expected = [
        (row + 1, unit + 1) for row, unit in numpy.ndindex(marks.shape) if is_neck(marks, row, unit)
    ]
    assert counts.places(counts.necks(grid)) == expected


def test_a_waist_is_a_neck_and_a_line_is_none():
    waist = of_marks([[1, 1, 1, 1], [0, 1, 0, 0], [1, 1, 1, 1]])
    line = of_marks([[0, 1, 0]] * 5)
    assert counts.places(counts.necks(waist)) == [(2, 2)]
    assert counts.places(counts.necks(line)) == []


@given(grids())
def test_columns_rows_and_changes_by_numpy(grid):
    marks = cells(grid)
    assert len(counts.column_kinds(grid)) == len(numpy.unique(marks, axis=1).T)
    hung = {unit: kind for kind, units in counts.column_kinds(grid).items() for unit in units}
    assert sorted(hung) == list(range(1, grid.across + 1))
    for one in range(grid.across):
        for other in range(grid.across):
            alike = (marks[:, one] == marks[:, other]).all()
            assert (hung[one + 1] == hung[other + 1]) == alike
    assert counts.row_changes(grid) == int((marks[1:] != marks[:-1]).sum())
    assert counts.equal_rows(grid) == tuple(
        int(row) + 2 for row in numpy.flatnonzero((marks[1:] == marks[:-1]).all(axis=1))
    )
    assert counts.mirrors(grid) == (
        bool((marks == marks[:, ::-1]).all()),
        bool((marks == marks[::-1]).all()),
    )


def longest(lines):
    return max(len(list(run)) for line in lines for _, run in groupby(line))


def crossings(threads):
    return int((threads[:, 1:] != threads[:, :-1]).sum())


@of_every(GROUNDS)
def test_cloth_at_once_is_cloth_thread_by_thread(name):
    ground = ground_of(name)

    @given(SMALL, st.sampled_from([(ground.shafts, ground.picks), (3, 4), (7, 1), (1, 6)]))
    def holds(grid, unit):
        ends, picks = unit
        cloth = numpy.array(weave_ground(ground, grid.marks(), ends, picks))
        found = woven(grid, ground, ends, picks)
        assert found.longest_float == max(longest(cloth), longest(cloth.T))
        of_ends = [
            crossings(cloth[:, ends * unit : ends * (unit + 1)].T) for unit in range(grid.across)
        ]
        assert list(found.ends_cross) == of_ends
        of_picks = [crossings(cloth[picks * row : picks * (row + 1)]) for row in range(grid.up)]
        assert [every for every, _, _ in found.picks_cross] == of_picks
        crossed = (cloth[:, 1:] != cloth[:, :-1]).reshape(grid.up, picks, -1)
        outer = (ends * grid.across + 1) // 3
        assert [left for _, left, _ in found.picks_cross] == [
            int(row[:, :outer].sum()) for row in crossed
        ]
        assert [right for _, _, right in found.picks_cross] == [
            int(row[:, ::-1][:, :outer].sum()) for row in crossed
        ]
        places = float_places(grid, ground, ends, picks, found.longest_float)
        assert numpy.array_equal(
            cells(Grid(grid.across, places)), under_floats(cloth, found.longest_float, ends, picks)
        )

    holds()


def under_floats(cloth, length, ends, picks):
    """Units in which a thread lies in a float so long, by looking at every thread."""
    lies = numpy.zeros_like(cloth)
    for threads, marks in ((cloth, lies), (cloth.T, lies.T)):
        for line, mark in zip(threads, marks, strict=True):
            for first in range(len(line) - length + 1):
                if len(set(line[first : first + length].tolist())) == 1:
                    mark[first : first + length] = True
    high, wide = cloth.shape
    return lies.reshape(high // picks, picks, wide // ends, ends).any((1, 3))


@of_every(BY_ORDER)
def test_cloth_of_whole_repeats_is_a_kronecker_product(name):
    """Figure and ground, each laid over its own squares, are the cloth and its longest float."""
    ground = ground_of(name)
    rest = numpy.array([[end + 1 in up for end in range(ground.shafts)] for up in ground.rise])
    drawn = numpy.array(
        [[end + 1 not in down for end in range(ground.shafts)] for down in ground.sink]
    )

    @given(SMALL)
    def holds(grid):
        marks = cells(grid)
        cloth = numpy.kron(marks, drawn) + numpy.kron(~marks, rest) > 0
        assert (cloth == weave_ground(ground, grid.marks(), ground.shafts, ground.picks)).all()
        found = woven(grid, ground, ground.shafts, ground.picks).longest_float
        assert found == max(longest(cloth), longest(cloth.T))

    holds()


@pytest.mark.parametrize(("name", "printed"), [("satin_5", 4), ("satin_8", 7)])
@given(grid=SMALL)
def test_no_float_is_longer_than_is_printed_of_damask(name, printed, grid):
    """Encyclopaedia Britannica, 11th ed., Damask: single damask floats four, double seven."""
    assert woven(grid, ground_of(name), int(name[-1]), int(name[-1])).longest_float == printed


def test_a_float_that_the_figure_makes_is_found_and_placed():
    """Without a ground, floats are as long as the figure's own runs."""
    nothing = Ground(1, ((),), ((),))
    upright = of_marks([[0, 1, 0], [0, 1, 1], [0, 1, 0], [0, 1, 0]])
    assert woven(upright, nothing, 2, 2).longest_float == 8
    assert float_places(upright, nothing, 2, 2, 8) == (0b011,) * 4
    level = of_marks([[0, 1, 0, 1], [1, 1, 1, 0]])
    assert woven(level, nothing, 3, 1).longest_float == 9
    assert float_places(level, nothing, 3, 1, 9) == (0, 0b0111)


def read_back(text, across, start):
    """Units of a row from its words, written for the tests alone."""
    units = set()
    for part in text.split("; "):
        side = re.search(r" on the (left|right)$", part)
        half = across // 2
        if part == "the middle unit":
            units.add(half)
            continue
        for first, last in re.findall(r"(\d+)(?:–(\d+))?", part):
            for number in range(int(first), int(last or first) + 1):
                if start == "middle":
                    near = half - number if side[1] == "left" else across - half + number - 1
                    units.add(near)
                else:
                    units.add(number - 1 if start == "left" else across - number)
    return units


@given(grids(), st.sampled_from(["left", "right", "middle"]))
def test_the_rows_build_the_figure_again(grid, start):
    marks = numpy.zeros((grid.up, grid.across), dtype=bool)
    for number, text in rows.listed(grid, start):
        for unit in read_back(text, grid.across, start):
            marks[number - 1, unit] = True
    assert of_marks(marks) == grid


@given(grids(), st.sampled_from(["left", "right", "middle"]))
def test_the_changes_build_the_figure_again(grid, start):
    held, built = set(), []
    for _, text in rows.listed(grid, start, only_changes=True):
        drawn, _, let_go = text.partition("let go ")
        held |= read_back(drawn.removeprefix("draw ").strip("; "), grid.across, start)
        held -= read_back(let_go, grid.across, start)
        built.append([unit in held for unit in range(grid.across)])
    assert of_marks(built) == grid


@given(grids())
def test_runs_are_parted_and_in_order(grid):
    for row in grid.rows:
        ends = [place for run in rows.runs(row) for place in run]
        assert ends == sorted(ends)
        assert all(
            after > before + 1 for before, after in zip(ends[1::2], ends[2::2], strict=False)
        )


@given(grids())
def test_turned_over_or_mirrored_a_figure_counts_the_same(grid):
    mirrored = Grid(grid.across, tuple(int(grid.bits(row), 2) for row in grid.rows))
    for other in (grid.turned_over(), mirrored, Grid(grid.across, grid.rows[::-1])):
        for count in (counts.lone_units, counts.necks):
            assert len(counts.places(count(other))) == len(counts.places(count(grid)))
        assert len(counts.column_kinds(other)) == len(counts.column_kinds(grid))
        assert counts.row_changes(other) == counts.row_changes(grid)
