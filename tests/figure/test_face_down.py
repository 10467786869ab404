"""The ground drawn and the cloth woven face down, thread by thread with numpy, then turned over.

The loom's rule is restated: a drawn end is up unless its shaft sinks, one at rest is down unless
its shaft rises (Taylor 1909, p. 163). Turned over, an end that was down lies up, in its own place.
"""

import json
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators.figure.edges import backs_alike, exchanged, face_down, search, uneven_satins, usual
from calculators.figure.grid import in_squares
from calculators.page import respond
from calculators.tables import table
from calculators.weave.ground import GROUNDS, Ground
from calculators.weave.library import parse_weave, weave
from tests.every import of_every
from tests.figure.figures import grids

TYPED = "#.... / ...#. / .#... / ....# / ..#.."
NAMED = (*GROUNDS, "twill_2_2", "basket_2_2", TYPED)
TIED = {
    **{name: usual(weave(name)) for name in NAMED[:-1]},
    **{f"{name}, best": search(weave(name)).best for name in GROUNDS},
    "uneven seven": uneven_satins(7).best,
}
EDGES = ("first end", "last end", "lower", "upper")


def of_orders(order, shafts):
    return np.array([[end + 1 in pick for end in range(shafts)] for pick in order])


def woven(rise, sink, drawn, ends, picks):
    """Weave the marks of drawn units with a tie-up that goes on through units and rows."""
    units = np.kron(drawn, np.ones((picks, ends), bool)).astype(bool)
    high, wide = units.shape
    pick, shaft = np.indices(units.shape)
    pick, shaft = pick % rise.shape[0], shaft % rise.shape[1]
    assert (high, wide) == (len(drawn) * picks, len(drawn[0]) * ends)
    return np.where(units, ~sink[pick, shaft], rise[pick, shaft])


def both(ground, drawn, ends, picks):
    return woven(
        of_orders(ground.rise, ground.shafts),
        of_orders(ground.sink, ground.shafts),
        drawn,
        ends,
        picks,
    )


def uncut(cloth, units):
    """Count threads alike on both sides of the one unit, in a cloth of three units by three."""
    high, wide = (size // 3 for size in cloth.shape)
    row, column = cloth[high : 2 * high], cloth[:, wide : 2 * wide]
    assert units == [[0, 0, 0], [0, 1, 0], [0, 0, 0]]
    return [
        int((one == other).sum())
        for one, other in (
            (row[:, wide - 1], row[:, wide]),
            (row[:, 2 * wide - 1], row[:, 2 * wide]),
            (column[high - 1], column[high]),
            (column[2 * high - 1], column[2 * high]),
        )
    ]


def is_begun_later(one, other):
    """Whether a repeat is another one begun at another pick."""
    return any((np.roll(one, later, 0) == other).all() for later in range(len(one)))


@of_every(list(TIED))
def test_exchanged_it_is_the_same_cloth_to_the_thread(name):
    ground = TIED[name]

    @given(grids(7), st.integers(1, 13), st.integers(1, 13))
    def holds(grid, ends, picks):
        drawn = np.array(grid.marks())
        face_up = both(ground, drawn, ends, picks)
        assert (~both(exchanged(ground), ~drawn, ends, picks) == face_up).all()

    holds()


@of_every(list(TIED))
def test_left_as_it_is_only_a_ground_of_two_like_backs_keeps_its_weaves(name):
    """Where the tie-up stays figure and ground keep their weaves; the edges opposite are clean."""
    ground = TIED[name]
    ends, picks = ground.shafts, ground.picks
    figure, rest = (both(ground, [[unit]], ends, picks) for unit in (1, 0))
    turned_figure, turned_rest = (~both(ground, [[1 - unit]], ends, picks) for unit in (1, 0))
    kept = is_begun_later(turned_figure, figure) and is_begun_later(turned_rest, rest)
    assert kept == backs_alike(ground)
    assert (face_down(ground) == ground) == (kept or ground == exchanged(ground))
    if kept:
        one = [[0, 0, 0], [0, 1, 0], [0, 0, 0]]
        up = uncut(both(ground, one, ends, picks), one)
        down = uncut(~both(ground, 1 - np.array(one), ends, picks), one)
        assert down == [up[1], up[0], up[3], up[2]]


def test_lace_is_tied_the_other_way_and_satins_stay():
    """The two that a weaver asks for by name: lace and plain are not each other's backs."""
    lace = weave("lace_6").matrix
    tied = face_down(usual(weave("lace_6")))
    cloth = ~both(tied, [[1]], 6, 6)
    assert (cloth == np.array(lace)).all(), "the ground is drawn, and lies as lace"
    figure = ~both(tied, [[0]], 6, 6)
    assert (figure[1:] != figure[:-1]).all(), "the figure is plain"
    assert (figure[:, 1:] != figure[:, :-1]).all()
    for name in ("satin_5", "satin_6", "satin_8", "broken_twill_4"):
        assert face_down(usual(weave(name))) == usual(weave(name))


def read_tie_up(rows, shafts):
    picks = [row for row in rows if "hem" not in str(row[0])]
    return Ground(
        shafts,
        *(tuple(tuple(map(int, str(row[way]).split())) for row in picks) for way in (2, 3)),
    )


def read_rows(found, across):
    marks = []
    for _, text in found["tables"]["rows"]["rows"]:
        drawn = np.zeros(across, bool)
        for first, last in re.findall(r"(\d+)(?:–(\d+))?", text):
            drawn[int(first) - 1 : int(last or first)] = True
        marks.append(drawn)
    return np.array(marks)


@given(st.sampled_from(NAMED), grids(6), st.integers(0, 5), st.integers(0, 5))
def test_whoever_weaves_what_the_calculator_tells_has_the_cloth(name, grid, wide, high):
    """Rows and tie-up as told, face down, then turned over: the cloth of the rows told face up."""
    shafts, picks = parse_weave(name).ends, parse_weave(name).picks
    size = shafts + wide, picks + high
    cloths, grounds = [], []
    for side in ("figure", "ground"):
        unit = dict(zip(("ends_per_unit", "picks_per_unit"), map(str, size), strict=True))
        typed = {"grid": in_squares(grid), "weave": name, "side": side, **unit}
        found = calculators.run("figure", typed)
        assert found["ok"], found
        tied = read_tie_up(found["tables"]["tie_up"]["rows"], shafts)
        grounds.append(tied)
        cloths.append(both(tied, read_rows(found, grid.across), *size))
        stays = any("Face down the tie-up stays" in line for line in found["notes"])
        other = any("tied the other way" in line for line in found["notes"])
        told = (tied == grounds[0], tied != grounds[0]) if side == "ground" else (False, False)
        assert (stays, other) == told
    if grounds[0] == grounds[1]:
        assert backs_alike(grounds[0])
    else:
        assert (~cloths[1] == cloths[0]).all()


@pytest.mark.parametrize("name", [*GROUNDS, TYPED])
def test_the_loom_page_has_the_ground_of_either_side(name):
    shafts = 5 if name == TYPED else weave(name).ends
    inputs = {"weave": name, "ground_shafts": str(shafts)}
    request = {"call": "loom", "id": "cloth-plan", "inputs": inputs}
    told = json.loads(respond(json.dumps(request)))
    up, down = (
        Ground(
            shafts,
            *(tuple(tuple(pick[way]) for pick in told[key]) for way in ("rise", "sink")),
        )
        for key in ("ground", "ground_face_down")
    )
    drawn = np.array([[1, 0], [0, 1]])
    size = up.shafts, up.picks
    if up == down:
        assert backs_alike(up)
    else:
        assert (~both(down, 1 - drawn, *size) == both(up, drawn, *size)).all()
    assert (up == down) == (name != "lace_6")
    assert up == usual(parse_weave(name))


@pytest.mark.parametrize("name", GROUNDS)
def test_the_table_says_it_per_structure(name):
    ground = usual(weave(name))
    title = weave(name).title.partition(",")[0]
    (row,) = [row for row in table("face-down").rows if row[0] == title]
    one = [[0, 0, 0], [0, 1, 0], [0, 0, 0]]
    size = ground.shafts, ground.picks
    tied = exchanged(ground) if "exchange" in row[1] else ground
    for cloth, told in (
        (both(ground, one, *size), row[2]),
        (~both(tied, 1 - np.array(one), *size), row[3]),
    ):
        clean = [edge for edge, alike in zip(EDGES, uncut(cloth, one), strict=True) if not alike]
        assert told == ("all four" if len(clean) == 4 else " and ".join(clean) or "none")
