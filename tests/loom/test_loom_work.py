"""Winding, harness, pace and cost."""

import re
from fractions import Fraction
from itertools import pairwise
from math import ceil, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.loom import cost, harness, rhythm, winding
from calculators.quantities.units import POUND_G

counts = st.integers(1, 10_000)


@pytest.mark.parametrize(
    ("ends", "threads", "printed"),
    [
        (1512, 504, 3),  # BK-BRO-ball: Brooks 1892, p. 30: three layers of 504
        (2280, 456, 5),  # BK-BRO-beams: p. 153
        (700, 350, 2),  # BK-JUT-bank: Woodhouse and Kilgour 1921: two banks of 350
    ],
)
def test_passes_with_whole_banks(ends, threads, printed):
    assert winding.passes(ends, threads) == printed


@given(counts, st.integers(1, 60))
def test_passes_and_bouts_carry_every_end_and_no_pass_too_many(ends, threads):
    for found in (winding.passes(ends, threads), winding.bouts(ends, threads)):
        assert found == ceil(Fraction(ends, threads))


def test_swedish_case_of_111_groups_in_210_dents():
    # P103: every second dent (105 of them), six extra; the six are spread, not heaped at an edge
    shares = winding.spread_groups(111, 105)
    assert shares.count(2) == 6
    assert shares.count(1) == 99
    extras = [place for place, share in enumerate(shares) if share == 2]
    gaps = [after - before for before, after in pairwise(extras)]
    assert max(gaps) - min(gaps) <= 1
    assert abs(extras[0] - (104 - extras[-1])) <= 1


def test_petty_harness_of_posselt():
    # BK-POS-petty-split: Posselt 1888, p. 51: 1968 ends on 120 hooks, 48 leashes of 17, 72 of 16
    shares = winding.spread_groups(1968, 120)
    assert (shares.count(17), shares.count(16)) == (48, 72)


@given(st.integers(1, 500), st.integers(1, 200))
def test_the_order_in_words_tells_the_whole_spread(groups, spaces):
    shares = winding.spread_groups(groups, spaces)
    told = []
    written_out = re.sub(
        r"(\d+) times \((.*?)\)",
        lambda again: ", ".join([again[2]] * int(again[1])),
        winding.in_words(shares),
    )
    for run in written_out.split(", "):
        times, share = run.split(" of ")
        told += [int(share)] * int(times)
    assert tuple(told) == shares


def test_what_comes_again_in_a_spread_is_told_once():
    # By hand: 4 and 5 loops by turns over 60 spaces.
    assert winding.in_words((4, 5) * 30) == "30 times (1 of 4, 1 of 5)"
    assert winding.in_words((4, 4, 5) * 3 + (4,)) == "3 times (2 of 4, 1 of 5), 1 of 4"


def test_groups_turns_and_way():
    assert winding.groups_per_unit(6, 2) == 3
    assert winding.groups_per_unit(5, 2) == 2.5
    assert winding.turns(3564 * 3, 3564) == 3
    assert winding.walked(10, 500) == 5000


@pytest.mark.parametrize(
    ("ends", "shafts", "printed"),
    [
        (1600, 8, 200),
        (1266, 5, 254),
        (2400, 8, 300),
    ],
)
def test_heddles_on_each_shaft(ends, shafts, printed):
    assert harness.ground_heddles_per_shaft(ends, shafts) == printed


@given(st.integers(1, 300), st.integers(1, 16), st.integers(1, 16))
def test_entering_is_straight_from_first_to_last_end(units, ends, shafts):
    order = harness.entering_order(units, ends, shafts)
    flat = [shaft for row in order for shaft in row]
    assert len(flat) == units * ends
    assert flat[0] == 1
    assert all(after == before % shafts + 1 for before, after in pairwise(flat))
    cycle = harness.units_until_entering_repeats(ends, shafts)
    assert cycle * ends % shafts == 0
    assert all(step * ends % shafts for step in range(1, cycle))
    fullest = max(flat.count(shaft) for shaft in range(1, shafts + 1))
    assert fullest == harness.ground_heddles_per_shaft(units * ends, shafts)


def test_bells_leads():
    # BK-BEL-lead34: Bell 1895, p. 177: 11 to 15 leads to the pound
    pound = float(POUND_G)
    assert isclose(harness.harness_mass(11, pound / 11), pound)
    assert 30 < pound / 15 < 40 < pound / 11 < 42


def test_cords():
    # BK-BEL-simple: one cord for every vertical line of the draft, Bell 1895, p. 9
    assert harness.cords(120) == 120
    # BK-BRO-centred: Brooks 1892, p. 126: a point of 815 ends on 408 hooks
    assert harness.cords(815, (815 + 1) // 2) == 408


def test_museum_pace():
    # P043: Löfstad castle museum, 6 to 7 cm an hour, a cloth of 8 m; 123 h if it is 8 m in all
    assert round(rhythm.hours_for_length(800, 6.5)) == 123
    assert round(rhythm.hours_for_length(1600, 6.5)) == 246


@given(st.floats(1, 5000), st.floats(0.5, 30))
def test_moves_reach_the_end_and_not_far_beyond(woven, step):
    for moves in (rhythm.temple_moves(woven, step), rhythm.advances(woven, step)):
        assert moves * step >= woven * (1 - 1e-6)
        assert (moves - 1) * step < woven


@given(st.floats(1, 1e5), st.floats(0.1, 100))
def test_hours_are_picks_at_the_pace(picks, pace):
    assert isclose(rhythm.weaving_hours(picks, pace) * 60 * pace, picks, rel_tol=1e-12)


def test_pirns_are_rounded_up_once():
    assert rhythm.pirns(9000, 150) == 60
    assert rhythm.pirns(9000.5, 150) == 61
    assert rhythm.picks_per_pirn(5350, 52, 1.5) == 100


def test_taylors_cost_of_a_piece():
    # BK-TAY-cost-weft: Taylor 1909, p. 325: 36 in, 75 yd, 67 picks of 40s at 7 1/2 d a pound
    pounds = 36 * 75 * 67 / (840 * 40)
    per_kilogram = 7.5 / float(POUND_G) * 1000
    weft = cost.yarn_cost(pounds * float(POUND_G), per_kilogram)
    assert abs(weft - 40.38) <= 0.2
    # BK-TAY-cost-total: p. 326: twist 51.188, weft 40.38, weaving 24, expenses 24
    assert abs(cost.total_cost(51.188 + 40.38, cost.labour(1, 24), 24, 0) - 139.568) <= 0.001


@given(
    st.floats(0, 1e4),
    st.floats(0, 500),
    st.floats(0, 100),
    st.floats(0, 500),
    st.floats(0, 1),
    st.integers(1, 50),
)
def test_the_parts_of_a_cost_make_its_total(yarn, hours, rate, other, overhead, pieces):
    labour = cost.labour(hours, rate)
    total = cost.total_cost(yarn, labour, other, overhead)
    parts = yarn + labour + other + cost.overhead_cost(yarn, labour, other, overhead)
    assert isclose(parts, total, abs_tol=1e-9)
    assert isclose(cost.cost_per_piece(total, pieces) * pieces, total, abs_tol=1e-9)
    assert total >= yarn + hours * rate - 1e-9


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: winding.passes(0, 2), "ends"),
        (lambda: winding.passes(2, 0), "threads_in_hand"),
        (lambda: winding.groups_per_unit(0, 2), "ends_per_unit"),
        (lambda: winding.groups_per_unit(5, 0), "threads_in_hand"),
        (lambda: winding.bouts(0, 2), "ends"),
        (lambda: winding.bouts(5, 0), "bout_ends"),
        (lambda: winding.turns(0, 1), "warp_length"),
        (lambda: winding.turns(1, 0), "circumference"),
        (lambda: winding.walked(0, 1), "ends"),
        (lambda: winding.walked(1, 0), "warp_length"),
        (lambda: winding.spread_groups(0, 5), "ends"),
        (lambda: winding.spread_groups(5, 0), "spaces"),
        (lambda: harness.ground_heddles_per_shaft(0, 5), "units_across"),
        (lambda: harness.ground_heddles_per_shaft(5, 0), "ground_shafts"),
        (lambda: harness.cords(0), "units_across"),
        (lambda: harness.cords(5, 6), "different_columns"),
        (lambda: harness.cords(5, 0), "different_columns"),
        (lambda: harness.harness_mass(0, 40), "units_across"),
        (lambda: harness.harness_mass(5, -1), "weight_each"),
        (lambda: harness.entering_order(0, 5, 5), "units_across"),
        (lambda: harness.entering_order(5, 0, 5), "ends_per_unit"),
        (lambda: harness.entering_order(5, 5, 0), "ground_shafts"),
        (lambda: harness.entering_order(1_000_000, 5, 5), "units_across"),
        (lambda: harness.units_until_entering_repeats(0, 5), "ends_per_unit"),
        (lambda: harness.units_until_entering_repeats(5, 0), "ground_shafts"),
        (lambda: rhythm.temple_moves(0, 2), "woven_length"),
        (lambda: rhythm.advances(2, 0), "advance_step"),
        (lambda: rhythm.pirns(0, 2), "picks"),
        (lambda: rhythm.pirns(2, 0), "picks_per_pirn"),
        (lambda: rhythm.picks_per_pirn(0, 2, 0), "yarn_on_pirn"),
        (lambda: rhythm.picks_per_pirn(2, 0, 0), "reed_width"),
        (lambda: rhythm.weaving_hours(0, 2), "picks"),
        (lambda: rhythm.weaving_hours(2, 0), "picks_per_minute"),
        (lambda: rhythm.hours_for_length(0, 2), "woven_length"),
        (lambda: rhythm.hours_for_length(2, 0), "cm_per_hour"),
        (lambda: cost.yarn_cost(-1, 1), "yarn_mass"),
        (lambda: cost.yarn_cost(1, -1), "yarn_price"),
        (lambda: cost.all_hours(1, -1, 1), "weaving_hours"),
        (lambda: cost.labour(1, -1), "rate"),
        (lambda: cost.total_cost(1, 1, -1, 0), "other"),
        (lambda: cost.total_cost(1, 1, 1, -1), "overhead"),
        (lambda: cost.cost_per_piece(1, 0), "pieces"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field
