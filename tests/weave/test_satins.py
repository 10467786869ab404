"""Satins against published tables and an independent totient."""

from itertools import pairwise
from math import hypot

import pytest

from calculators.errors import InputError
from calculators.weave.matrix import Weave, from_lifts
from calculators.weave.satins import (
    best_counter,
    binding_distance,
    clean_orders,
    counter_pairs,
    irregular_six,
    regular_satin,
    satin_counters,
    satin_order,
)
from tests.every import of_every


def totient(number):
    """Euler's φ by the prime factors of a number: n·∏(1 − 1/p)."""
    result, rest, prime = number, number, 2
    while rest > 1:
        if rest % prime == 0:
            result -= result // prime
            while rest % prime == 0:
                rest //= prime
        prime += 1
    return result


# A. Wolfensberger, Theory of Silk Weaving, 2nd edition 1921, p. 33: the smaller of each pair.
# 9, 14 and 15 ends are not in the rows read; they follow from the rule printed beside the table.
WOLFENSBERGER = {
    5: [2],
    7: [2, 3],
    8: [3],
    10: [3],
    11: [2, 3, 4, 5],
    12: [5],
    13: [2, 3, 4, 5, 6],
    16: [3, 5, 7],
}
BY_THE_RULE = {9: [2, 4], 14: [3, 5], 15: [2, 4, 7]}


@of_every(range(5, 17))
def test_counters_equal_the_published_table(ends):
    # M. Petrini, Satins and sateens 1, 2017: none on six ends.
    printed = {**WOLFENSBERGER, **BY_THE_RULE, 6: []}[ends]
    assert [k for k in satin_counters(ends) if 2 * k < ends] == printed


def test_both_counters_of_each_pair():
    # M. Petrini, Satins and sateens 2, 2017.
    assert satin_counters(7) == (2, 3, 4, 5)
    assert satin_counters(8) == (3, 5)


@of_every(range(3, 65))
def test_number_of_pairs_is_half_the_totient_less_one(ends):
    assert counter_pairs(ends) == totient(ends) // 2 - 1
    assert all(ends - counter in satin_counters(ends) for counter in satin_counters(ends))


@pytest.mark.parametrize(
    ("ends", "counter", "order"),
    [
        (5, 2, (1, 3, 5, 2, 4)),  # Wolfensberger p. 33; Brooks, Cloths woven by tappets
        (8, 3, (1, 4, 7, 2, 5, 8, 3, 6)),  # Taylor 1909, web page 132
        (12, 5, (1, 6, 11, 4, 9, 2, 7, 12, 5, 10, 3, 8)),  # Brooks 1892, tappets
    ],
)
def test_published_orders(ends, counter, order):
    assert satin_order(ends, counter) == order


@of_every(range(5, 33))
def test_every_counter_makes_a_clean_satin_and_no_other_number_does(ends):
    for counter in range(1, ends):
        lifts = ([1 + pick * counter % ends] for pick in range(ends))
        try:
            is_satin = Weave("s", "s", from_lifts(ends, lifts)).is_satin
        except InputError:  # some end is never lifted
            is_satin = False
        assert is_satin == (counter in satin_counters(ends)), counter


def test_six_clean_orders_on_six_ends():
    # Watson, Oelsner and Nisbet, from memory: 1, 3, 5, 2, 6, 4.
    orders = clean_orders(6)
    assert len(orders) == len(set(orders)) == 6
    assert (1, 3, 5, 2, 6, 4) in orders
    for order in orders:
        assert all(abs(a - b) not in (1, 5) for a, b in pairwise((*order, order[0])))


def test_regular_orders_are_among_the_clean_ones():
    assert set(clean_orders(5)) == {satin_order(5, 2), satin_order(5, 3)}
    assert {satin_order(7, counter) for counter in satin_counters(7)} <= set(clean_orders(7))
    assert clean_orders(4) == ()


@pytest.mark.parametrize("ends", [1, 9])
def test_orders_are_only_tried_where_they_can_be(ends):
    with pytest.raises(InputError):
        clean_orders(ends)


def test_irregular_six_is_lifted_as_stated():
    lifted = [row.index(True) + 1 for row in irregular_six().matrix]
    assert lifted == [1, 3, 5, 2, 6, 4]


def test_binding_distance_by_hand():
    # Eight ends, counter 3: two picks up and two ends across is the nearest binding.
    assert binding_distance(8, 3) == pytest.approx(8**0.5)
    # Five ends, counter 2: one pick up, two ends across.
    assert binding_distance(5, 2) == pytest.approx(5**0.5)
    assert binding_distance(13, 5) == pytest.approx(13**0.5)


def test_best_counter_is_never_beaten():
    for ends in (5, *range(7, 25)):
        best = binding_distance(ends, best_counter(ends))
        assert all(binding_distance(ends, k) <= best + 1e-12 for k in satin_counters(ends))


@pytest.mark.parametrize("ends", [1, 2, 3, 4, 6])
def test_no_satin_is_said_clearly(ends):
    with pytest.raises(InputError, match="no regular satin") as caught:
        regular_satin(ends)
    assert caught.value.field == "ends"


def test_a_counter_that_makes_no_satin_is_refused():
    with pytest.raises(InputError, match="satin move of 4 makes no satin on 8 ends"):
        satin_order(8, 4)
    with pytest.raises(InputError):
        satin_counters(0)


def clean_rounds(ends):
    """Rounds through all ends that never step to a neighbour, counted over sets of ends."""
    ways = {(frozenset([0]), 0): 1}
    for _ in range(ends - 1):
        further = {}
        for (done, last), count in ways.items():
            for end in set(range(ends)) - done:
                if abs(end - last) not in (1, ends - 1):
                    key = (done | {end}, end)
                    further[key] = further.get(key, 0) + count
        ways = further
    return sum(count for (_, last), count in ways.items() if last not in (1, ends - 1))


@pytest.mark.parametrize(
    ("ends", "pairs"),
    # OEIS A002816, polygons on n points of a circle, no side between neighbours, from memory.
    [(4, 0), (5, 1), (6, 3), (7, 23), (8, 177)],
)
def test_number_of_clean_orders(ends, pairs):
    assert len(clean_orders(ends)) == clean_rounds(ends) == 2 * pairs


def test_fewest_and_most_ends_of_clean_orders():
    assert clean_orders(2) == clean_orders(3) == ()
    for ends in (1, 9):
        with pytest.raises(InputError) as caught:
            clean_orders(ends)
        assert caught.value.field == "ends"


@of_every(range(5, 20))
def test_nearest_binding_looked_for_all_round(ends):
    """The binding points around one of them, over two repeats each way."""
    for counter in satin_counters(ends):
        around = [
            (picks, counter * picks + ends * repeats)
            for picks in range(-ends, ends + 1)
            for repeats in range(-2 * ends, 2 * ends + 1)
        ]
        nearest = min(hypot(*point) for point in around if point != (0, 0))
        assert binding_distance(ends, counter) == pytest.approx(nearest)


def test_of_two_that_lean_opposite_ways_the_smaller_counter_is_best():
    for ends in (5, *range(7, 25)):
        assert 2 * best_counter(ends) < ends


def test_a_counter_that_is_asked_for_is_taken():
    lifted = [row.index(True) + 1 for row in regular_satin(7, 3).matrix]
    assert tuple(lifted) == satin_order(7, 3) == (1, 4, 7, 3, 6, 2, 5)


def test_refusals_name_their_field():
    for attempt, field in (
        (lambda: satin_counters(0), "ends"),
        (lambda: satin_order(8, 4), "counter"),
        (lambda: satin_order(6, 2), "counter"),
    ):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.field == field
