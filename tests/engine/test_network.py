"""Formulas put together: ranges, decisions, the other way round, and what is missing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.cloth import size
from calculators.cloth.networks import SIZE
from calculators.engine.formula import logged
from calculators.engine.network import Network, used_for
from calculators.loom import warp
from calculators.loom.networks import WARP
from calculators.quantities.interval import Range, over_ranges

KNOWN = {"pieces": 6, "finished_length": 48, "hem": 4, "gap": 1, "sample": 30, "loom_waste": 140}
losses = st.tuples(*[st.floats(0.01, 0.3)] * 3).map(lambda three: Range(*sorted(three)))


@given(losses, losses)
def test_a_range_is_that_of_interval_arithmetic(shrinkage, take_up):
    worked = WARP.run({**KNOWN, "length_shrinkage": shrinkage, "take_up": take_up})

    def length(shrinkage, take_up):  # F-63, F-80 and F-81 written out
        return (6 * 52 / (1 - shrinkage) + 5 + 30) * (1 + take_up) + 140

    wanted = over_ranges(length, shrinkage=shrinkage, take_up=take_up)
    found = worked.ranged("warp_length")
    assert (found.low, found.likely, found.high) == pytest.approx(
        (wanted.low, wanted.likely, wanted.high)
    )


def test_what_is_open_is_named():
    open_ones = {"length_shrinkage": Range(0.05, 0.08, 0.12), "take_up": 0.06}
    assert WARP.run({**KNOWN, **open_ones}).open("warp_length") == ("length_shrinkage",)


def test_what_is_decided_stands_whatever_the_cloth_loses():
    known = {"finished_width": 48, "reed_sett": 24, "ends_per_unit": 5, "draw_in": 0.04}
    worked = SIZE.run({**known, "width_shrinkage": Range(0.03, 0.05, 0.08)})
    assert worked.open("units_across") == ()
    assert worked.ranged("units_across").is_exact
    assert not worked.ranged("unit_width").is_exact


def test_a_network_is_asked_the_other_way_round():
    both = Network(size.loom_width, size.finished_width)
    there = both.run({"finished_width": 48, "width_shrinkage": 0.05}).likely("loom_width")
    back = both.run({"loom_width": there, "width_shrinkage": 0.05}).likely("finished_width")
    assert back == pytest.approx(48)


def test_what_is_known_wins_over_what_could_be_computed():
    assert WARP.run({**KNOWN, "warp_length": 500, "ends": 10}).likely("warp_yarn_length") == 5000


def test_a_term_that_nothing_gives_is_not_there():
    worked = WARP.run({"pieces": 6})
    assert "warp_length" not in worked
    with pytest.raises(KeyError):
        worked.likely("warp_length")


def test_a_parameter_in_the_middle_keeps_its_own_value():
    """Without a gap, with a sample: nothing slips into another's place."""
    worked = Network(warp.woven_length).run({"pieces": 2, "piece_on_loom": 50, "sample": 30})
    assert worked.likely("woven_length") == 2 * 50 + 30


def test_each_formula_runs_once_and_in_the_order_of_need():
    with logged() as log:
        WARP.run({**KNOWN, "length_shrinkage": 0.08, "take_up": 0.06, "ends": 948}).ranged(
            "warp_yarn_length"
        )
    assert [done.formula.id for done in log] == ["F-63", "F-80", "F-81", "F-82"]


def test_the_dear_end_is_the_highest_and_its_sum_is_told():
    network = Network(
        warp.warp_for, used_for("second", warp.warp_for, "Second", take_up="second_take_up")
    )
    known = {"woven_length": 100, "take_up": Range(0.02, 0.05, 0.1), "loom_waste": 50}
    with logged() as log:
        assert network.run(known).high("warp_length") == pytest.approx(160)
    assert log[-1].arguments["take_up"] == 0.1


def test_what_stands_behind_a_term():
    assert WARP.behind("warp_length") >= {"pieces", "gap", "take_up", "loom_waste"}
    assert "ends" not in WARP.behind("warp_length")
