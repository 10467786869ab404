"""The cloth drawn thread by thread, woven again with numpy.

The loom's rule is restated: every unit is spread over its ends and picks (a Kronecker product with
ones), the ground is laid on as tiles, and a drawn end is up unless its shaft sinks, a resting one
down unless its shaft rises (Taylor 1909, p. 163).
"""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from calculators.appearance.fabric import (
    CROSSINGS,
    HIGH,
    LOW,
    WARP,
    Fabric,
    Thread,
    crossings,
    shares,
)
from calculators.figure.grid import Grid
from calculators.weave.ground import GROUNDS, Ground, ground_of, plain_hem
from tests.every import of_every
from tests.figure.figures import grids

THREAD = Thread("#ffffff", "cotton", 0.3)
BOTH = st.tuples(st.integers(1, 9), st.integers(1, 9))
ANY_GROUND = st.sampled_from(GROUNDS).map(ground_of)


def fabric_of(grid, ground, ends, picks):
    return Fabric(grid, ground, ends, picks, THREAD, THREAD, 18, 18)


def kronecker(grid, ground, ends, picks):
    """Whether the warp is up at each pick and end of the face."""
    drawn = np.kron(np.array(grid.marks(), dtype=int), np.ones((picks, ends), dtype=int))

    def laid_on(order):
        repeat = np.zeros((ground.picks, ground.shafts), dtype=bool)
        for pick, shafts in enumerate(order):
            repeat[pick, [shaft - 1 for shaft in shafts]] = True
        high, wide = drawn.shape
        times = high // ground.picks + 1, wide // ground.shafts + 1
        return np.tile(repeat, times)[:high, :wide]

    return np.where(drawn == 1, ~laid_on(ground.sink), laid_on(ground.rise))


def drawn_by_us(fabric, side="face", rows=None):
    picks = [pick for row in crossings(fabric, side, rows) for pick in row]
    return np.array([list(pick) for pick in picks])


@given(grids(most=20), ANY_GROUND, BOTH)
def test_the_cloth_is_the_kronecker_product_of_figure_and_ground(grid, ground, each):
    kinds = drawn_by_us(fabric_of(grid, ground, *each))
    assert ((kinds & WARP > 0) == kronecker(grid, ground, *each)).all()


@of_every(GROUNDS)
def test_every_ground_is_woven_so_on_a_figure_with_all_neighbours(name):
    ground = ground_of(name)
    rng = np.random.default_rng(13)
    rows = tuple(int(row) for row in rng.integers(0, 1 << 24, 18))
    for ends, picks in ((ground.shafts, ground.picks), (5, 6)):
        kinds = drawn_by_us(fabric_of(Grid(24, rows), ground, ends, picks))
        assert ((kinds & WARP > 0) == kronecker(Grid(24, rows), ground, ends, picks)).all()


@given(grids(most=12), ANY_GROUND, BOTH)
def test_a_float_goes_under_where_the_next_crossing_is_another(grid, ground, each):
    kinds = drawn_by_us(fabric_of(grid, ground, *each))
    up = kronecker(grid, ground, *each)
    along_warp, along_weft = up[1:] != up[:-1], up[:, 1:] != up[:, :-1]
    warp, weft = kinds & WARP > 0, kinds & WARP == 0
    high, low = kinds & HIGH > 0, kinds & LOW > 0
    assert (high[:-1] == along_warp)[warp[:-1]].all()
    assert (low[1:] == along_warp)[warp[1:]].all()
    assert (high[:, :-1] == along_weft)[weft[:, :-1]].all()
    assert (low[:, 1:] == along_weft)[weft[:, 1:]].all()


@given(grids(most=12), ANY_GROUND, BOTH)
def test_the_back_is_the_complement_of_the_face_turned_over(grid, ground, each):
    fabric = fabric_of(grid, ground, *each)
    face, back = drawn_by_us(fabric), drawn_by_us(fabric, "back")[:, ::-1]
    assert ((back & WARP > 0) == (face & WARP == 0)).all()
    up = face & WARP > 0
    inner = back[:, 1:-1]
    of_weft = inner & WARP == 0
    left, right = up[:, 1:-1] != up[:, :-2], up[:, 1:-1] != up[:, 2:]
    assert ((inner & HIGH > 0) == left)[of_weft].all()  # what was left is right
    assert ((inner & LOW > 0) == right)[of_weft].all()


@given(grids(most=20), BOTH, st.data())
def test_some_rows_are_those_of_the_whole(grid, each, data):
    low = data.draw(st.integers(0, grid.up - 1))
    high = data.draw(st.integers(low + 1, grid.up))
    fabric = fabric_of(grid, ground_of("satin_6"), *each)
    some = drawn_by_us(fabric, rows=range(low, high))
    assert (some == drawn_by_us(fabric)[low * each[1] : high * each[1]]).all()


@of_every([*map(ground_of, GROUNDS), plain_hem(5), Ground(3, ((1,), (2,)), ((2,), (3,)))])
def test_shares_are_counted_on_a_large_field(ground):
    """In the middle of a field as large as several repeats, counted crossing by crossing."""
    for drawn, shared in zip((0, 1), shares(fabric_of(Grid(1, (0,)), ground, 1, 1)), strict=True):
        field = Grid(5, (31 * drawn,) * 5)
        kinds = drawn_by_us(fabric_of(field, ground, ground.shafts, ground.picks))
        middle = kinds[ground.picks : -ground.picks, ground.shafts : -ground.shafts]
        counted = np.bincount(middle.ravel(), minlength=CROSSINGS) / middle.size
        assert np.allclose(counted, shared)
