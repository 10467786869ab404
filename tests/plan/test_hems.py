"""Hems as they are sewn: how deep, how often turned, at which edges, woven how."""

import pytest

import calculators
from calculators.contract import calculate
from calculators.engine.versions import as_of
from calculators.figure.loom_side import loom_side

EXACT = {"width_shrinkage": "5 %", "length_shrinkage": "8 %"}


def results(**inputs):
    answer = calculators.run("cloth-plan", {**EXACT, **inputs})
    assert answer["ok"], answer
    return {name: one["value"] for name, one in answer["results"].items()}


@pytest.mark.parametrize(
    ("hem", "both_ends"),
    [
        ({"hem_depth": "1 cm", "hem_turns": "twice"}, 4),
        ({"hem_depth": "1.5 cm", "hem_turns": "once"}, 3),
        ({"hem_depth": "6 mm", "hem_turns": "twice"}, 2.4),
        ({"hem_depth": "1 cm", "hem_edges": "none"}, 0),
        ({"hem_depth": "0"}, 0),
        ({"hem": "5 cm"}, 5),  # where they are not alike; what earlier links say
    ],
)
def test_hems_lengthen_the_piece(hem, both_ends):
    """A finished piece of 48 cm, and its hems, before a wash that takes 8 %."""
    found = results(finished_length="48 cm", picks="24 /cm", picks_per_unit="1", **hem)
    assert found["piece_on_loom"] == pytest.approx((48 + both_ends) / 0.92)
    assert found["finished_length"] == pytest.approx(48)


def test_side_hems_widen_the_warp():
    ends_only = results(finished_width="48 cm", hem_edges="ends")
    sides = results(finished_width="48 cm", hem_edges="all", hem_depth="1 cm", hem_turns="twice")
    assert ends_only["loom_width"] == pytest.approx(48 / 0.95)
    assert sides["loom_width"] == pytest.approx((48 + 4) / 0.95)
    assert sides["ends"] > ends_only["ends"]
    # Whole units come within one unit of what was asked for, with the side hems sewn.
    assert sides["finished_width"] == pytest.approx(48, abs=sides["unit_width"] / 10)
    assert sides["finished_width_edge"] > sides["finished_width"]


def test_the_first_edition_s_links_keep_their_hems():
    for typed, hem in (({}, 4), ({"hem": "2 cm"}, 2)):
        found = results(**as_of(1, "cloth-plan", typed | {"finished_length": "48 cm"}) | EXACT)
        assert found["piece_on_loom"] == pytest.approx((48 + hem) / 0.92, rel=1e-3)


def test_figured_hems_are_counted_in_rows_at_the_loom():
    plain, figured = (
        loom_side(calculate("cloth-plan", {"hem_depth": "2 cm", "hem_woven": woven}))["stretches"]
        for woven in ("plain", "figured")
    )
    first = [next(one for one in order if "hem" in one["name"]) for order in (plain, figured)]
    assert [one["row"] for one in first] == [1, 6]  # six picks to a unit
    assert first[1]["picks"] % 6 == 0
    assert abs(first[1]["picks"] - first[0]["picks"]) <= 3


def test_what_is_turned_in_at_the_sides_is_drawn():
    told = {
        edges: "".join(calculate("cloth-plan", {"hem_edges": edges}).answer.pictures)
        for edges in ("ends", "all", "none")
    }
    assert "turned in, each end" in told["ends"]
    assert "turned in, each side" not in told["ends"]
    assert "turned in, each side" in told["all"]
    assert "turned in" not in told["none"].replace("what is turned in", "")
