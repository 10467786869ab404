"""Losses from measured lengths, and enough yarn: by simulation, and by plans asked one by one."""

import math
import random
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.plan.example import NAPKINS
from calculators.plan.plan import PLAN
from calculators.quantities.interval import Range
from calculators.records.measured import loss_between, take_up_measured
from calculators.records.running_short import enough

WIDE = NormalDist().inv_cdf(0.9)  # low to high holds eight in ten
OPEN = dict(
    NAPKINS,
    width_shrinkage=Range(0.03, 0.05, 0.07),
    length_shrinkage=Range(0.05, 0.08, 0.11),
    draw_in=Range(0.03, 0.04, 0.05),
    take_up=Range(0.04, 0.06, 0.08),
)
FIGURES = {"scale_step": 1.0, "count_tolerance": 0.03, "waste_spread": 20.0, "accepted": 0.05}


@given(st.floats(20, 100), st.floats(0.85, 1.02), st.sampled_from([0.1, 0.5]))
def test_a_loss_from_rounded_readings_holds_the_true_one(before, ratio, step):
    after = before * ratio
    read = [round(length / step) * step for length in (before, after)]
    found = loss_between(*read, step)
    assert found.low - 2 * step / before <= 1 - ratio <= found.high + 2 * step / before


def test_two_standard_uncertainties_hold_nineteen_readings_in_twenty():
    chance, step, inside = random.Random(3), 0.5, 0
    for _ in range(10_000):
        before, after = chance.uniform(30, 40), chance.uniform(27, 38)
        found = loss_between(*(round(one / step) * step for one in (before, after)), step)
        inside += found.low <= 1 - after / before <= found.high
    assert 0.94 <= inside / 10_000 <= 0.985  # two even steps: a triangle, not a bell


def test_growing_cloth_is_a_loss_below_nought():
    assert loss_between(50, 51, 0.1).likely == pytest.approx(-0.02)
    for before, after in ((0, 5), (5, 0), (-1, 5)):
        with pytest.raises(InputError):
            loss_between(before, after, 0.1)


def test_take_up_is_that_of_the_plan_turned_round():
    done = PLAN.run(NAPKINS)
    found = take_up_measured(
        done.likely("warp_length"), NAPKINS["loom_waste"], done.likely("woven_length"), 0.1
    )
    assert found.likely == pytest.approx(NAPKINS["take_up"])
    assert found.low < found.likely < found.high
    with pytest.raises(InputError):
        take_up_measured(100, 100, 50, 0.1)


def simulated(side, on_hand, cloths, seed, waste=20.0, tolerance=0.03, step=1.0):
    """How often the yarn runs short when every loss is drawn by itself and the plan asked anew."""
    chance = random.Random(seed)
    fixed = PLAN.run(NAPKINS)
    short = 0
    for _ in range(cloths):
        drawn = {
            name: chance.gauss(loss.likely, (loss.high - loss.low) / 2 / WIDE)
            for name in ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")
            for loss in [OPEN[name]]
        }
        piece = (48 + 4) / (1 - drawn["length_shrinkage"])
        woven = 6 * piece + 5 + 30
        if side == "warp":
            each = woven * (1 + drawn["take_up"]) + 140 + chance.gauss(0, waste / WIDE)
            length = fixed.likely("ends") * each
        else:
            length = (
                woven * fixed.likely("picks") * fixed.likely("ends") / 24 * 1.02
            )  # 24 ends to a cm of the reed
        tex = NAPKINS["warp_tex"] * (1 + chance.gauss(0, tolerance / WIDE))
        there = on_hand + chance.uniform(-step / 2, step / 2) + chance.uniform(-step / 2, step / 2)
        short += length * tex / 100_000 > there
    return short / cloths


@pytest.mark.parametrize(
    ("side", "on_hand"), [("warp", 255), ("warp", 270), ("warp", 285), ("weft", 185), ("weft", 195)]
)
def test_the_chance_of_running_short_is_what_simulation_finds(side, on_hand):
    waste = 20.0 if side == "warp" else 0.0
    result = enough(OPEN, side, on_hand, **FIGURES | {"waste_spread": waste})
    assert simulated(side, on_hand, 10_000, 1) == pytest.approx(result.chance, abs=0.02)


@pytest.mark.parametrize("accepted", [0.01, 0.05, 0.2])
def test_the_safe_grams_are_safe(accepted):
    figures = FIGURES | {"accepted": accepted}
    safe = enough(OPEN, "warp", 200, **figures).safe
    assert simulated("warp", safe, 10_000, 2) == pytest.approx(accepted, abs=0.02)
    again = enough(OPEN, "warp", safe, **figures)
    assert 0.98 * accepted <= again.chance <= accepted  # turned round to the hundredth of a gram


def test_a_plan_with_nothing_open_is_either_enough_or_not():
    known = {"scale_step": 0.0, "count_tolerance": 0.0, "waste_spread": 0.0, "accepted": 0.05}
    exact = enough(NAPKINS, "warp", 1_000, **known)
    assert exact.wanted == PLAN.run(NAPKINS).likely("warp_yarn_mass")
    assert (exact.open_by, exact.chance) == (0, 0)
    assert enough(NAPKINS, "warp", exact.wanted - 1, **known).chance == 1
    assert math.isclose(exact.safe, exact.wanted)
