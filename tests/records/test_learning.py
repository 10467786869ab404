"""Own figures from few records: the distributions, the estimator, and what it promises."""

import math
import random
from functools import cache

import pytest
import scipy
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.records import learning
from calculators.records.distributions import normal_quantile, normal_share, t_quantile, t_share
from calculators.records.learning import COUNTS_FOR, FREEDOM, INSIDE, estimate

GUESS = Range(0.05, 0.08, 0.12)
WEAVERS = 10_000


@given(st.floats(-40, 40), st.integers(1, 60))
def test_student_agrees_with_scipy(t, freedom):
    assert t_share(t, freedom) == pytest.approx(scipy.stats.t.cdf(t, freedom), abs=1e-9)


@given(st.floats(0.001, 0.999), st.integers(1, 60))
def test_student_turned_round_agrees_with_scipy(share, freedom):
    assert t_quantile(share, freedom) == pytest.approx(
        scipy.stats.t.ppf(share, freedom), rel=1e-8, abs=1e-8
    )


@given(st.floats(-8, 8), st.floats(1e-6, 1 - 1e-6))
def test_normal_agrees_with_scipy(z, share):
    assert normal_share(z) == pytest.approx(scipy.stats.norm.cdf(z), abs=1e-14)
    assert normal_quantile(share) == pytest.approx(scipy.stats.norm.ppf(share), abs=1e-8)


def test_shares_out_of_reach_are_refused():
    for share in (0.0, 1.0, -1.0, math.nan):
        with pytest.raises(InputError):
            normal_quantile(share)
    with pytest.raises(InputError):
        t_share(1.0, 0)


def spread_before(guess, counts_for=COUNTS_FOR):
    """σ₀ worked out by scipy: without a record the range is the guess’s own."""
    half = (guess.high - guess.low) / 2
    return half / (scipy.stats.t.ppf((1 + INSIDE) / 2, FREEDOM) * math.sqrt(1 + 1 / counts_for))


@given(st.lists(st.floats(0.0, 0.2), min_size=1, max_size=12), st.sampled_from([0.5, 1.0, 3.0]))
def test_the_estimate_is_the_posterior_predictive(records, counts_for):
    """The same by another way: one record after another, by sequential updating, then scipy."""
    mean, kappa, nu = GUESS.likely, counts_for, FREEDOM
    sum_of_squares = nu * spread_before(GUESS, counts_for) ** 2
    for value in records:
        sum_of_squares += kappa / (kappa + 1) * (value - mean) ** 2
        mean = (kappa * mean + value) / (kappa + 1)
        kappa, nu = kappa + 1, nu + 1
    scale = math.sqrt(sum_of_squares / nu * (1 + 1 / kappa))
    low, high = scipy.stats.t.interval(INSIDE, nu, mean, scale)
    found = estimate(GUESS, records, counts_for).range
    assert found.likely == pytest.approx(mean, abs=1e-9)
    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-8)


def test_the_mean_is_the_published_normal_update():
    """Of known spread the rule is a precision-weighted mean: prior 100 ± 10, data 110 ± 15."""
    counts_for = 15**2 / 10**2
    found = estimate(Range(80, 100, 120), [110.0], counts_for)
    assert found.range.likely == pytest.approx(103.0769, abs=5e-5)


def test_many_records_forget_the_guess_and_few_lean_on_it():
    own = [0.03, 0.035, 0.025, 0.03]
    one, many = estimate(GUESS, own[:1]), estimate(GUESS, own * 50)
    assert own[0] < one.range.likely < GUESS.likely
    assert one.own_share == pytest.approx(2 / 3)
    assert many.range.likely == pytest.approx(0.03, abs=3e-4)
    assert many.range.high - many.range.low < one.range.high - one.range.low
    none = estimate(GUESS, [])
    assert (none.range, none.records, none.own_share) == (GUESS, 0, 0.0)


def test_a_guess_without_width_cannot_be_weighed():
    with pytest.raises(InputError, match="low and a high"):
        estimate(Range.exactly(0.08), [0.06])
    with pytest.raises(InputError):
        estimate(GUESS, [0.06], 0.0)


def coverage(weaver, records, seed):
    """How often the next cloth of a simulated weaver falls inside the offered range."""
    chance = random.Random(seed)
    inside = 0
    for _ in range(WEAVERS):
        habit, apart = weaver(chance)
        own = [chance.gauss(habit, apart) for _ in range(records)]
        offered = estimate(GUESS, own).range
        inside += offered.low <= chance.gauss(habit, apart) <= offered.high
    return inside / WEAVERS


def as_supposed(chance):
    """A weaver as the method supposes: her cloths’ spread, then her habit around the guess."""
    chi_squared = sum(chance.gauss(0, 1) ** 2 for _ in range(FREEDOM))
    apart = spread_before(GUESS) * math.sqrt(FREEDOM / chi_squared)
    return chance.gauss(GUESS.likely, apart / math.sqrt(COUNTS_FOR)), apart


def steady(chance):
    """Weavers whose cloths all lie apart alike, and as far as the guess says in all."""
    whole = (GUESS.high - GUESS.low) / 2 / scipy.stats.norm.ppf((1 + INSIDE) / 2)
    within = whole / math.sqrt(1 + 1 / COUNTS_FOR)
    return chance.gauss(GUESS.likely, within / math.sqrt(COUNTS_FOR)), within


@pytest.fixture
def quick(monkeypatch):
    """The simulation asks for few different t: look each up once."""
    monkeypatch.setattr(learning, "t_quantile", cache(t_quantile))


@pytest.mark.thorough
@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("records", [1, 2, 3, 5, 10])
def test_eight_in_ten_next_cloths_fall_inside(records):
    assert coverage(as_supposed, records, records) == pytest.approx(INSIDE, abs=0.02)


@pytest.mark.thorough
@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("records", [1, 3, 10])
def test_weavers_all_equally_steady_are_nearly_as_well_served(records):
    assert coverage(steady, records, records) == pytest.approx(INSIDE, abs=0.03)
