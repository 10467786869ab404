"""Take-up, crimp and change in the wash, against printed figures."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.cloth import losses
from calculators.errors import InputError
from calculators.weave.library import weave


def crossing(name):
    chosen = weave(name)
    return chosen.warp_intersections / chosen.picks


@pytest.mark.parametrize(
    ("name", "ppi", "weft", "multiplier", "printed", "off"),
    [
        ("satin_5", 180, 70, 4, 4, 0.15),  # TAY-427: Taylor 1909, web page 427 («about»; 4.11)
        ("plain", 60, 40, 3, 4.5, 0.01),  # TAY-429: web page 429
        ("plain", 120, 70, 4, 48 / 7, 0.01),  # P050: web page 428, 6 6/7
    ],
)
def test_taylors_take_up(name, ppi, weft, multiplier, printed, off):
    found = losses.take_up_taylor(ppi / 2.54, crossing(name), weft, multiplier)
    assert abs(100 * found - printed) <= off


@pytest.mark.parametrize(
    ("name", "share"), [("plain", 1), ("twill_2_2", 1 / 2), ("satin_5", 2 / 5)]
)
def test_intersections_to_a_pick(name, share):
    # BK-TAY-mult5: Taylor 1909, p. 327 – plain all picks, 2/2 twill half, five-end satin 2/5
    assert isclose(crossing(name), share)


@given(st.floats(0.1, 1000), st.floats(0, 1))
def test_crimp_and_take_up_are_one_loss(cloth, extra):
    yarn = cloth * (1 + extra)
    crimp, take_up = losses.crimp(yarn, cloth), losses.take_up(yarn, cloth)
    assert isclose(losses.crimp_from_take_up(take_up), crimp, rel_tol=1e-9, abs_tol=1e-12)
    assert isclose(losses.take_up_from_crimp(crimp), take_up, rel_tol=1e-9, abs_tol=1e-12)
    assert take_up <= crimp


def test_the_standards_definitions():
    # D3883-crimp, D3883-takeup: ASTM D3883-04(2020), section 4, with D = 120 and F = 100
    assert losses.crimp(120, 100) == 0.2
    assert isclose(losses.take_up(120, 100), 1 / 6)


def test_taylors_example_of_warp_and_cloth():
    # TAY-245: 95 yd of warp for 90 yd of cloth, «a little over 5» per cent; 5.56 on the cloth
    assert round(100 * losses.crimp(95, 90), 2) == 5.56
    # BRO-6: 36 in of cloth from 38 in of reed is 5.26 % of the reed width
    assert round(100 * losses.take_up(38, 36), 2) == 5.26


def test_iso_5077():
    # P061: 100 (final - original) / original, shrinkage negative
    assert isclose(losses.dimensional_change(350, 322), -0.08)
    assert isclose(losses.dimensional_change(350, 357), 0.02)


@given(st.floats(1, 1000), st.floats(0.3, 1.5))
def test_the_plan_factor_undoes_the_wash(finished, kept):
    change = losses.dimensional_change(100, 100 * kept)
    assert isclose(finished * losses.plan_factor(change) * kept, finished, rel_tol=1e-9)


@given(st.floats(1, 60), st.floats(0.1, 1), st.floats(1, 100))
def test_take_up_rises_with_picks_and_falls_with_count(picks, share, count):
    base = losses.take_up_taylor(picks, share, count)
    assert losses.take_up_taylor(picks * 1.5, share, count) > base
    assert losses.take_up_taylor(picks, share, count * 1.5) < base


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: losses.crimp(24, 25), "yarn_length"),
        (lambda: losses.take_up(0, 25), "yarn_length"),
        (lambda: losses.crimp(25, 0), "cloth_length"),
        (lambda: losses.dimensional_change(0, 1), "before"),
        (lambda: losses.dimensional_change(1, 0), "after"),
        (lambda: losses.plan_factor(-1), "after"),
        (lambda: losses.take_up_taylor(0, 1, 40), "weave"),
        (lambda: losses.take_up_taylor(24, 1, 0), "weft_yarn"),
        (lambda: losses.take_up_taylor(24, 0, 40), "weave"),
        (lambda: losses.take_up_taylor(24, 1, 40, 0), "multiplier"),
        (lambda: losses.crimp_from_take_up(1), "take_up"),
        (lambda: losses.take_up_from_crimp(-0.1), "crimp"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field


def test_taylors_multiplier_for_fine_cloth_is_taken_when_none_is_given():
    # P050: web page 428, 120 picks of 70s in plain cloth, 6 6/7
    found = losses.take_up_taylor(120 / 2.54, 1, 70)
    assert 100 * found == pytest.approx(6 + 6 / 7)


@given(st.floats(0, 0.5), st.floats(0, 0.4), st.floats(0, 0.4))
def test_no_thread_is_lost_when_cloth_shrinks(extra, draw_in, shrinkage):
    """A metre laid, with its extra thread, is pulled out of what the shrinking has left of it."""
    washed = 100.0 - 100.0 * shrinkage
    pulled_out = losses.crimp(100 * (1 + extra), washed)
    assert losses.warp_crimp(extra, shrinkage) == pytest.approx(pulled_out, abs=1e-12)
    narrower = 100.0 - 100.0 * draw_in
    pulled_out = losses.crimp(100 * (1 + extra), narrower - narrower * shrinkage)
    found = losses.weft_crimp(extra, draw_in, shrinkage)
    assert found == pytest.approx(pulled_out, abs=1e-12)


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: losses.warp_crimp(-0.1, 0), "take_up"),
        (lambda: losses.warp_crimp(0.1, 1), "length_shrinkage"),
        (lambda: losses.weft_crimp(0.1, 0.1, -1), "width_shrinkage"),
        (lambda: losses.crimp_from_take_up(-0.1), "take_up"),
    ],
)
def test_losses_that_cannot_be_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field
