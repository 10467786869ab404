"""Denting orders: what they claim is what they make."""

from fractions import Fraction
from itertools import accumulate, cycle, islice
from math import ceil, floor

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


@pytest.mark.parametrize("reed", [6, 10, 12, 12.7])
@pytest.mark.parametrize("sett", [4.5, 12, 17.3, 24, 31, 32, 46, 60, 118, 139, 150])
@pytest.mark.parametrize("tolerance", [0.02, 0.06, 0.25])
def test_every_order_of_the_two_nearest_whole_numbers_is_offered(sett, reed, tolerance):
    mean = Fraction(sett) / Fraction(reed)
    every = {
        (ends, dents): abs(Fraction(ends, dents) / mean - 1)
        for dents in range(1, 6)
        for ends in range(1, 12 * dents + 1)
        if Fraction(ends, dents).denominator == dents
        if floor(mean) <= Fraction(ends, dents) <= ceil(mean)
    } or {(12, 1): abs(12 / mean - 1)}
    near = {order for order, off in every.items() if off <= tolerance}
    offered = [
        (sum(one.order), len(one.order)) for one in denting_choices(sett, [reed], 4, tolerance)
    ]
    if near:
        assert sorted(offered) == sorted(near)
    else:
        assert len(offered) == 1
        assert every[offered[0]] == min(every.values())


def test_an_order_at_the_tolerance_is_within_it():
    # 10 ends where 8 were wanted are a quarter too many, exactly.
    assert (1,) in {one.order for one in denting_choices(8, [10], 4, 0.25)}
    assert (1,) not in {one.order for one in denting_choices(8, [10], 4, 0.249)}


def test_three_per_cent_off_is_near_enough_and_even_dents_go_before_the_nearest():
    def first(sett, reeds):
        best = denting_choices(sett, reeds, 5)[0]
        return best.reed, best.order

    # 10.3 is 3 % over 10; the other reed makes 10 exactly, but with dents of 1 and 2.
    assert first(10, [10.3, 8]) == (10.3, (1,))
    assert first(10, [10.31, 8]) == (8, (1, 1, 1, 2))
    assert first(10, [9.7, 8]) == (9.7, (1,))
    assert first(10, [9.69, 8]) == (8, (1, 1, 1, 2))


def test_units_on_whole_dents_go_before_the_nearest():
    # Two in each dent begin every unit of 4 at a dent and are 1.7 % off; three make 24 exactly.
    best, *others = [one for one in denting_choices(24, [12.2, 8], 4) if not one.marks]
    assert (best.reed, best.order, best.whole) == (12.2, (2,), True)
    assert [(one.reed, one.order, one.whole) for one in others] == [(8, (3,), False)]
    assert abs(best.error) > abs(others[0].error)


def test_marks_of_odd_orders():
    assert reed_marks((0, 2)).startswith("empty dents")
    assert reed_marks((1,)) == reed_marks((4, 4)) == ""
    assert reed_marks((1, 2)).startswith("uneven dents")
    assert reed_marks((12,)).startswith("12 in a dent")


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: denting_sett(0, (2,)), "reeds"),
        (lambda: denting_sett(10, (0, 0)), "reeds"),
        (lambda: units_on_whole_dents((0,), 5), "reeds"),
        (lambda: units_on_whole_dents((2,), 0), "ends_per_unit"),
        (lambda: width_of(100, 0), "sett"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("order", "unit", "whole"),
    [
        ((1, 1), 1, True),
        ((2, 2), 2, True),
        ((2, 3, 2, 3), 5, True),
        ((2, 3), 10, True),
        ((2, 3), 2, False),  # the second unit ends inside a dent of three
        ((2, 3), 3, False),
        ((3, 2, 1), 3, True),
        ((1, 2, 3), 2, False),
    ],
)
def test_units_and_dents_counted_on_the_fingers(order, unit, whole):
    assert units_on_whole_dents(order, unit) is whole
