"""The ground at the loom, woven again thread by thread with numpy.

The loom's rule is restated here: a drawn end is up unless its ground shaft sinks, a resting end is
down unless its shaft rises (Taylor 1909, p. 163: three positions of a shaft). Tie-ups are read
from the printed tables, as a weaver does; the orders of the satins are typed from Brooks 1892
(five-end), Taylor 1909 (eight-end) and, for six, from memory.
"""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.tables import TABLES, table
from calculators.weave.ground import (
    BY_ORDER,
    GROUNDS,
    Ground,
    behinds,
    clean_edges,
    from_orders,
    from_weaves,
    ground_of,
    on_more_shafts,
    plain_hem,
    rising_order,
    shifted,
    uncut,
    usual_behind,
    weave_ground,
)

ORDERS = {
    "ground-broken-twill-4": (1, 2, 4, 3),  # common practice, no source
    "ground-satin-5": (1, 3, 5, 2, 4),  # Brooks 1892
    "ground-satin-6": (1, 3, 5, 2, 6, 4),  # from memory
    "ground-satin-8": (1, 4, 7, 2, 5, 8, 3, 6),  # Taylor 1909, web page 132
}
PRINTED = [name for name in TABLES if name.startswith("ground-")]


def lifts(ends, *picks):
    return np.array([[end + 1 in pick for end in range(ends)] for pick in picks])


def numbers(cell):
    return [int(word) for word in cell.split()]


def tied(name, hem=False):
    """A printed ground as two matrices, pick by shaft: what rises and what sinks."""
    rows = [row for row in table(name).rows if ("hem" in row[0]) is hem]
    shafts = max(int(word) for row in table(name).rows for word in row[1].split())
    return tuple(lifts(shafts, *(numbers(row[column]) for row in rows)) for column in (1, 2))


def loom(rise, sink, grid):
    """Weave a design of units, one repeat of the ground each way, by whole matrices."""
    grid = np.asarray(grid, bool)
    drawn = np.kron(grid, np.ones(rise.shape, bool))
    return np.where(drawn, ~np.tile(sink, grid.shape), np.tile(rise, grid.shape))


def checkerboard(ends, picks):
    return np.indices((picks, ends)).sum(0) % 2 == 0


@pytest.mark.parametrize("name", PRINTED)
def test_no_shaft_is_asked_for_two_positions_at_once(name):
    for hem in (False, True):
        rise, sink = tied(name, hem)
        assert not (rise & sink).any()


@pytest.mark.parametrize("name", PRINTED)
def test_the_ends_printed_as_up_are_those_the_tie_up_lifts(name):
    for hem in (False, True):
        rows = [row for row in table(name).rows if ("hem" in row[0]) is hem]
        rise, sink = tied(name, hem)
        ends = rise.shape[1]
        assert (loom(rise, sink, [[0]]) == lifts(ends, *(numbers(row[3]) for row in rows))).all()
        assert (loom(rise, sink, [[1]]) == lifts(ends, *(numbers(row[4]) for row in rows))).all()


@pytest.mark.parametrize("name", ORDERS)
def test_a_satin_ground_weaves_the_satin_at_rest_and_its_reverse_where_drawn(name):
    order = ORDERS[name]
    n = len(order)
    rise, sink = tied(name)
    assert (loom(rise, sink, [[0]]) == lifts(n, *([end] for end in order))).all()
    drawn = loom(rise, sink, [[1]])
    down = [int(np.flatnonzero(~row)[0]) + 1 for row in drawn]
    assert (drawn.sum(1) == n - 1).all()
    behind = int(re.search(r"sinking (\d) picks behind", table(name).title)[1])
    assert tuple(down) == order[n - behind :] + order[: n - behind]


def test_lace_is_lace_at_rest_and_plain_where_drawn():
    """The six-thread unit, from memory: floats over five ends on picks 1 and 3."""
    rise, sink = tied("ground-lace-6")
    lace = lifts(6, [6], [1, 3, 5], [6], [1, 3, 5], [2, 4, 6], [1, 3, 5])
    assert (loom(rise, sink, [[0]]) == lace).all()
    assert (loom(rise, sink, [[1, 1], [1, 1]]) == ~checkerboard(12, 12)).all()


@pytest.mark.parametrize("grid", [[[0, 0, 0]], [[1, 1, 1]], [[1, 0, 1]]])
@pytest.mark.parametrize("name", PRINTED)
def test_a_plain_hem_is_plain_whatever_is_drawn_or_has_one_doubled_end_in_a_repeat(name, grid):
    rise, sink = tied(name, hem=True)
    cloth = loom(rise, sink, grid)
    together = (cloth[:, 1:] == cloth[:, :-1]).all(0)
    shafts = rise.shape[1]
    said = "nearly" in "".join(row[0] for row in table(name).rows)
    assert said == (shafts % 2 == 1)
    assert list(np.flatnonzero(together) + 1) == ([shafts, 2 * shafts] if said else [])
    assert (cloth[0] != cloth[1]).all()


def test_ten_shafts_weave_the_same_satin_as_five():
    five, ten = (loom(*tied(f"ground-satin-5{name}"), [[0], [1]]) for name in ("", "-ten-shafts"))
    assert (np.tile(five, (1, 2)) == ten).all()


def edges(rise, sink):
    """Uncut threads at the edges of one drawn unit among resting ones."""
    picks, ends = rise.shape
    cloth = loom(rise, sink, [[0, 0, 0], [0, 1, 0], [0, 0, 0]])
    inside, across = cloth[picks : 2 * picks], cloth[:, ends : 2 * ends]
    return [
        int((inside[:, ends - 1] == inside[:, ends]).sum()),
        int((inside[:, 2 * ends - 1] == inside[:, 2 * ends]).sum()),
        int((across[picks - 1] == across[picks]).sum()),
        int((across[2 * picks - 1] == across[2 * picks]).sum()),
    ]


def test_every_row_of_the_sinking_orders_is_what_weaving_it_shows():
    rows = table("sinking-orders").rows
    assert len(rows) == 3 + 4 + 5 + 7
    for _, rise, behind, sink, *said in rows:
        up, down = numbers(rise), numbers(sink)
        n = len(up)
        assert all(down[(pick + behind) % n] == up[pick] for pick in range(n))
        found = edges(lifts(n, *([end] for end in up)), lifts(n, *([end] for end in down)))
        assert [0 if cell == "clean" else int(cell.split()[0]) for cell in said] == found


@pytest.mark.parametrize(
    ("name", "upright"),
    [("satin_5", {2, 3}), ("satin_6", {2, 4}), ("satin_8", {3, 5}), ("broken_twill_4", {2})],
)
def test_how_many_picks_behind_decides_which_upright_edge_is_clean(name, upright):
    """Worked out by hand for each order: the pick on which the last end rises, counted on."""
    clean = {k: clean_edges(ground_of(name, k)) for k in behinds(name)}
    assert {k for k, found in clean.items() if {"first-end", "last-end"} & set(found)} == upright
    assert clean[1] == ("lower",)
    assert clean[len(rising_order(name)) - 1] == ("upper",)
    assert usual_behind(name) == min(upright)


permutation = st.integers(3, 12).flatmap(lambda n: st.permutations(range(1, n + 1)))


@given(permutation, st.data())
def test_edges_of_any_ground_agree_with_the_loom(order, data):
    n = len(order)
    sink = data.draw(
        st.one_of(
            st.integers(1, n - 1).map(lambda k: shifted(order, k)),
            st.permutations(order),
        )
    )
    if any(up == down for up, down in zip(order, sink, strict=True)):
        with pytest.raises(InputError):
            from_orders(order, sink)
        return
    one = from_orders(order, sink)
    rise, down = lifts(n, *one.rise), lifts(n, *one.sink)
    assert list(uncut(one).values()) == edges(rise, down)
    grid = data.draw(st.lists(st.lists(st.booleans(), min_size=3, max_size=3), min_size=1))
    woven = np.array(weave_ground(one, grid, n, n))
    assert (woven == loom(rise, down, grid)).all()
    longest = max(
        len(run)
        for line in (*woven, *woven.T)
        for run in np.split(line, np.flatnonzero(np.diff(line)) + 1)
    )
    assert longest <= n - 1, "each end, and each pick, is bound both ways once in a repeat"


@pytest.mark.parametrize("name", GROUNDS)
def test_every_ground_can_be_tied_on_more_shafts_too(name):
    one = ground_of(name)
    grid = [[True, False], [False, True]]
    woven = weave_ground(one, grid, 2 * one.shafts, one.picks)
    assert weave_ground(on_more_shafts(one, 2), grid, 2 * one.shafts, one.picks) == woven


def test_what_cannot_be_tied_is_said():
    plain = ((True, False), (False, True))
    with pytest.raises(InputError, match="Shaft 1 is to rise and to sink on pick 1"):
        from_weaves(plain, plain[::-1])
    with pytest.raises(InputError, match="not there"):
        Ground(2, ((1,), (3,)), ((2,), (1,)))
    with pytest.raises(InputError, match="2 picks that raise and 1"):
        Ground(2, ((1,), (2,)), ((2,),))
    with pytest.raises(InputError, match="cannot weave"):
        plain_hem(1)
    for name in ("plain", "lace_6", "twill_2_2"):
        with pytest.raises(InputError, match="not woven by raising one shaft"):
            rising_order(name)
    with pytest.raises(InputError):
        ground_of(BY_ORDER[0], 0)
