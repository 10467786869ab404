"""Denting orders: what they claim is what they make."""

from fractions import Fraction
from itertools import accumulate, cycle, islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.sett.denting import (
    FULLEST_DENT,
    LONGEST_ORDER,
    NEAR_ENOUGH,
    denting_choices,
    denting_sett,
    reed_marks,
    units_on_whole_dents,
    width_of,
)

orders = st.lists(st.integers(0, 8), min_size=1, max_size=6).map(tuple).filter(any)
reed_lists = st.lists(st.sampled_from([5, 6, 8, 10, 12, 12.7, 15, 15.24, 18, 20]), min_size=1)


def test_published_orders():
    # Weaving magazine, question column: 2-3-3 in a 12-dent reed.
    assert denting_sett(12, (2, 3, 3)) == 32
    # Taylor 1909, web page 225: 33 1/2 dents of 4.
    assert denting_sett(33.5, (4,)) == 134
    # Wolfensberger 1921, p. 70: 80 dents of 4.
    assert denting_sett(80, (4,)) == 320


@given(st.floats(1, 200), reed_lists, st.integers(1, 24))
def test_every_order_sums_to_the_sett_it_claims(sett, reeds, unit):
    choices = denting_choices(sett, reeds, unit)
    assert choices
    for one in choices:
        exact = Fraction(one.reed) * sum(one.order) / len(one.order)
        assert one.sett == pytest.approx(float(exact), rel=1e-12)
        assert one.error == pytest.approx(one.sett / sett - 1)
        assert one.dents_per_unit * one.sett / one.reed == pytest.approx(unit)
        assert 1 <= len(one.order) <= LONGEST_ORDER
        assert all(0 <= ends <= FULLEST_DENT for ends in one.order)
        assert max(one.order) - min(one.order) <= 1
        assert one.reed in reeds


@given(st.floats(1, 200), reed_lists, st.integers(1, 24))
def test_every_reed_is_answered_and_no_order_twice(sett, reeds, unit):
    choices = denting_choices(sett, reeds, unit)
    assert {one.reed for one in choices} == set(reeds)
    assert len({(one.reed, one.order) for one in choices}) == len(choices)
    far = [one for one in choices if abs(one.error) > 0.06]
    assert len({one.reed for one in far}) == len(far)


@given(st.floats(1, 200), reed_lists, st.integers(1, 24))
def test_the_near_and_unmarked_come_first(sett, reeds, unit):
    choices = denting_choices(sett, reeds, unit)
    near = [abs(round(one.error, 6)) <= NEAR_ENOUGH for one in choices]
    assert near == sorted(near, reverse=True)
    clean = [not one.marks for one, is_near in zip(choices, near, strict=True) if is_near]
    assert clean == sorted(clean, reverse=True)


@given(orders, st.integers(1, 24))
def test_whole_units_begin_at_a_dent(order, unit):
    """Lay out dents for long enough that the pattern of units and dents starts again."""
    length = len(order) * unit
    edges = {0, *accumulate(islice(cycle(order), length))}
    last = sum(order) * unit
    laid_out = all(start in edges for start in range(0, last + 1, unit))
    assert units_on_whole_dents(order, unit) == laid_out


def test_an_order_is_turned_so_that_units_fall_on_dents():
    # Units of 5 ends at 30 an inch in a 12-dent reed: 2-3 does it, and so does 3-2.
    best = next(one for one in denting_choices(30, [12], 5) if len(one.order) == 2)
    assert best.whole
    assert best.dents_per_unit == 2


def test_marks():
    assert reed_marks((2,)) == reed_marks((4,)) == ""
    assert "2 dents" in reed_marks((2, 3))
    assert "empty" in reed_marks((0, 1))
    assert "empty" in reed_marks((1, 0, 1))
    assert reed_marks((5,)).startswith("5 in a dent")


def test_a_coarse_cloth_in_a_fine_reed_leaves_dents_empty():
    best = denting_choices(6, [12], 4)[0]
    assert sorted(best.order) == [0, 1]
    assert best.sett == 6


def test_a_sett_beyond_any_reed_says_how_far_off_it_is():
    only = denting_choices(500, [10], 5)
    assert [one.order for one in only] == [(FULLEST_DENT,)]
    assert only[0].error == pytest.approx(120 / 500 - 1)


def test_widths():
    # Wolfensberger's rule of thumb runs the other way: ends ÷ ends per inch.
    assert width_of(1265, 60.96) * 2.54 == pytest.approx(1265 / 24)


@pytest.mark.parametrize(
    ("sett", "reeds", "unit", "field"),
    [(0, [10], 5, "sett"), (30, [0], 5, "reeds"), (30, [10], 0, "ends_per_unit")],
)
def test_impossible_figures_are_refused(sett, reeds, unit, field):
    with pytest.raises(InputError) as caught:
        denting_choices(sett, reeds, unit)
    assert caught.value.field == field


def test_an_order_without_ends_is_refused():
    with pytest.raises(InputError):
        denting_sett(10, (0, 0))
    with pytest.raises(InputError):
        units_on_whole_dents((0,), 5)
    with pytest.raises(InputError):
        width_of(100, 0)
