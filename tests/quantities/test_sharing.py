"""Whole things spread over whole places: properties that hold whatever is spread."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.quantities.sharing import shared_evenly


@given(st.integers(0, 5000), st.integers(1, 500), st.booleans())
def test_an_even_spread_is_whole_and_even(total, places, centred):
    shares = shared_evenly(total, places, centred)
    assert len(shares) == places
    assert sum(shares) == total
    assert max(shares) - min(shares) <= 1


@given(st.integers(0, 2000), st.integers(1, 200))
def test_an_even_spread_never_runs_ahead(total, places):
    so_far = 0
    for place, share in enumerate(shared_evenly(total, places)[:-1], start=1):
        so_far += share
        assert abs(so_far - Fraction(total * place, places)) < 1


@given(st.integers(1, 60), st.integers(1, 60))
def test_a_centred_spread_treats_both_edges_alike(extra, places):
    shares = shared_evenly(places + extra % places, places, centred=True)
    first, last = shares.index(max(shares)), shares[::-1].index(max(shares))
    assert abs(first - last) <= 1


@pytest.mark.parametrize(("total", "places"), [(5, 0), (-1, 3), (5, 100_001)])
def test_what_cannot_be_spread_is_refused(total, places):
    with pytest.raises(InputError, match="cannot be spread"):
        shared_evenly(total, places)


def test_the_most_places_and_nothing_to_spread():
    assert shared_evenly(0, 3) == (0, 0, 0)
    assert len(shared_evenly(1, 100_000)) == 100_000
