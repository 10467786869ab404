"""Eyes, weights, sheds and stretch, beside the same geometry worked another way."""

from itertools import pairwise
from math import hypot, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

import calculators
from calculators.loom import dressing

lengths = st.floats(5, 200)
heights = st.floats(-15, 15)
LOOM = {
    "pattern_lift": "5.5 cm",
    "fell_to_shafts": "25 cm",
    "harness_distance": "18 cm",
    "behind_harness": "75 cm",
    "further_back": "40 cm",
    "below_line": "2.5 cm",
}


def ask(name, **typed):
    known = [field["name"] for one in calculators.describe() if one["id"] == name
             for field in one["fields"]]  # fmt: skip
    return calculators.run(name, {**{k: v for k, v in LOOM.items() if k in known}, **typed})


def told(name, result, **typed):
    done = ask(name, **typed)
    assert done["ok"], done
    return done["results"][result]["value"]


def test_bells_hand_shuttle_passes_where_the_fell_is_near():
    # Bell 1895, p. 179: shed of 1 1/4 in at the back shaft, shuttle 1/2 in deep
    shed, shuttle = 1.25 * 2.54, 0.5 * 2.54
    assert dressing.shuttle_shed(shed, 9, 22) > shuttle > dressing.shuttle_shed(shed, 9, 30)


def test_the_eye_for_bells_power_loom():
    # p. 179: a draw of 3 to 3 1/2 in gives 1 3/4 to 2 in at the back shaft; the longest eye he
    # gives for 2 in is 2 1/2 in, a quarter free above and below
    for draw, shed in ((3, 1.75), (3.5, 2)):
        # the distances that make it so: 10 and 12 in between the harnesses (also p. 179)
        for apart in (10, 12):
            front = apart * shed / (draw - shed)
            typed = {"pattern_lift": f"{draw} in", "harness_distance": f"{apart} in",
                     "fell_to_shafts": f"{front} in", "eye_clearance": "1/4 in"}  # fmt: skip
            assert told("long-eye", "eye_length", **typed) == pytest.approx(2.54 * (shed + 0.5))


@given(lengths, lengths, lengths, heights, heights)
def test_a_bent_end_is_as_long_as_the_curve_it_follows(front, apart, behind, there, here):
    def slope(place):
        if place < front:
            return there / front
        return (here - there) / apart if place < front + apart else -here / behind

    whole = front + apart + behind
    curve, _ = quad(lambda x: hypot(1, slope(x)), 0, whole, points=(front, front + apart))
    found = dressing.longer_way(there, here, front, apart, behind)
    assert found == pytest.approx(curve - whole, abs=1e-6)


@given(lengths, lengths, lengths, heights, heights)
def test_the_lift_is_what_the_pull_gains_by_shortening(front, apart, behind, there, here):
    """Virtual work: a heddle is pushed up as hard as the end would shorten by its rising."""

    def way(height):
        return dressing.longer_way(there, height, front, apart, behind)

    step = 1e-4
    gained = (way(here - step) - way(here + step)) / (2 * step)
    assert dressing.lifting_share(there, here, apart, behind) == pytest.approx(gained, abs=1e-5)


@given(st.floats(1, 2000), st.integers(1, 500), st.floats(20, 150), st.floats(0.05, 3))
def test_the_measured_pull_balances_the_weight(weight, ends, span, sag):
    pull = dressing.pull_from_sag(weight, ends, span, sag)
    lengthens = 2 * (hypot(span / 2, sag * (1 + 1e-6)) - hypot(span / 2, sag)) / (sag * 1e-6)
    assert ends * pull * lengthens == pytest.approx(weight, rel=1e-3)


@given(
    st.floats(1, 12), st.floats(10, 60), st.floats(8, 40), st.floats(20, 150), st.floats(0.05, 1)
)
def test_higher_than_half_the_lift_stretches_more_and_lower_slackens(
    lift, front, apart, behind, off
):
    share = front / (front + apart)

    def longer(below):
        drawn, rest = lift - below, -below
        ways = ((rest * share, drawn), (drawn * share, rest), (drawn * share, drawn))
        at_rest = dressing.longer_way(rest * share, rest, front, apart, behind)
        return [dressing.longer_way(*way, front, apart, behind) - at_rest for way in ways]

    higher, half, lower = (longer(lift / 2 * place) for place in (1 - off, 1, 1 + off))
    assert max(higher) > max(half)
    assert higher[2] > 0 > lower[2]
    assert half[0] == pytest.approx(half[1], abs=1e-9)


def test_half_the_lift_below_the_line_stretches_both_kinds_alike():
    done = ask("shed-and-stretch", below_line="2.75 cm")["results"]
    assert isclose(done["down_stretch"]["value"], done["up_stretch"]["value"], rel_tol=1e-9)
    assert done["drawn_stretch"]["value"] == pytest.approx(0, abs=1e-12)


def test_the_greatest_stretch_by_coordinates():
    """The drawn end bound down, as complex numbers along its way."""

    def along(*points):
        return sum(abs(far - near) for near, far in pairwise(points))

    share = 25 / 43
    rest, drawn = complex(43, -2.5), complex(43, 3)
    at_rest = along(0, rest, 118)
    bound = along(0, complex(25, -2.5 * share), drawn, 118)
    wanted = 100 * (bound - at_rest) / 158
    assert told("shed-and-stretch", "greatest_stretch") == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("wanted", [0.2, 0.25, 0.3, 0.5])
def test_the_length_behind_by_another_root_finder(wanted):
    def over(behind):
        return told("shed-and-stretch", "greatest_stretch", behind_harness=f"{behind} cm") - wanted

    found = told("longer-loom", "length_behind", wanted_stretch=f"{wanted} %")
    assert found == pytest.approx(brentq(over, 1, 5000), rel=1e-6)


def test_more_behind_is_told_as_the_same_loom_made_longer():
    then = told("longer-loom", "stretch_then", more_behind="20 cm")
    assert then == pytest.approx(
        told("longer-loom", "greatest_stretch", behind_harness="95 cm"), rel=1e-12
    )
    table = ask("longer-loom")["tables"]["behind"]["rows"]
    stretches = [row[-1] for row in table]
    assert stretches == sorted(stretches, reverse=True)


def test_a_weight_holds_the_pull_it_was_reckoned_for():
    wanted = told("unit-weight", "heddle_weight", end_pull="45 g")
    held = told("unit-weight", "pull_held", end_pull="45 g", weight_each=f"{wanted} g")
    assert held == pytest.approx(45, rel=1e-9)


def test_a_unit_in_balance_by_forces():
    """Five ends of 50 g: four along two straights, one over the shaft; their upward parts added."""
    share = 25 / 43

    def up(rise, run):
        return rise / hypot(rise, run)

    four = 4 * (up(2.5, 43) + up(2.5, 75))
    one = up(2.5 + 3 * share, 18) + up(2.5, 75)
    assert told("unit-weight", "heddle_weight", rubbing="0 %") == pytest.approx(50 * (four + one))


@pytest.mark.parametrize(
    ("field", "less", "more"),
    [
        ("end_pull", "40 g", "50 g"),
        ("ends_per_unit", "4", "6"),
        ("below_line", "1 cm", "2 cm"),
        ("ends_bound", "1", "3"),
        ("harness_distance", "30 cm", "18 cm"),
        ("behind_harness", "90 cm", "60 cm"),
    ],
)
def test_what_asks_for_a_heavier_weight(field, less, more):
    light, heavy = (told("unit-weight", "heddle_weight", **{field: it}) for it in (less, more))
    assert light < heavy


MEASURED = {"test_weight": "120 g", "test_ends": "60", "test_span": "60 cm", "test_sag": "5 mm"}


def test_a_measured_pull_goes_before_a_typed_one():
    # 120 g on 60 ends, sagging 5 mm in 60 cm: the slope is 1 in 60 on both sides, nearly
    done = ask("unit-weight", end_pull="1 kg", **MEASURED)
    assert done["results"]["pull_measured"]["value"] == pytest.approx(60, rel=1e-3)
    assert "a typed pull is not used" in " ".join(done["notes"])
    typed = told("unit-weight", "heddle_weight", end_pull="60 g")
    assert done["results"]["heddle_weight"]["value"] == pytest.approx(typed, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "typed", "field"),
    [
        ("shed-and-stretch", {"shuttle_place": "26 cm"}, "shuttle_place"),
        ("unit-weight", {**MEASURED, "test_sag": ""}, "test_sag"),
        ("unit-weight", {"end_pull": ""}, "end_pull"),
        ("unit-weight", {"ends_bound": "6"}, "ends_bound"),
        ("long-eye", {"own_eye": "5 mm"}, "own_eye"),
    ],
)
def test_what_is_refused_beside_its_field(name, typed, field):
    done = ask(name, **typed)
    assert [error["field"] for error in done.get("errors", [])] == [field]


@pytest.mark.parametrize(
    ("name", "typed", "inside", "past", "words"),
    [
        ("long-eye", {}, {"own_eye": "3.9 cm"}, {"own_eye": "3.7 cm"}, "too short for a lift"),
        ("long-eye", {}, {"eye_clearance": "3 mm"}, {"eye_clearance": "2 mm"}, "of room is little"),
        ("shed-and-stretch", {}, {"shuttle_depth": "1.1 cm"}, {"shuttle_depth": "1.2 cm"},
         "does not pass"),
        ("shed-and-stretch", {}, {"pattern_lift": "7 cm"}, {"pattern_lift": "12 cm"},
         "weak linen breaks"),
        ("longer-loom", {"pattern_lift": "12 cm"}, {"more_behind": "1000 cm"},
         {"more_behind": "0"}, "weak linen breaks"),
        ("unit-weight", {}, {"below_line": "5.5 cm"}, {"below_line": "5.6 cm"},
         "stay below it"),
        ("unit-weight", {}, {"weight_each": "38 g"}, {"weight_each": "37 g"}, "heddles float"),
        ("unit-weight", {}, {"end_pull": "100 g"}, {"end_pull": "130 g"}, "Bell's heaviest"),
        ("unit-weight", {**MEASURED}, {"test_sag": "11.9 mm"}, {"test_sag": "12.1 mm"},
         "tightens the ends"),
    ],
)  # fmt: skip
def test_what_can_be_counted_and_would_be_foolish(name, typed, inside, past, words):
    near, far = (" ".join(ask(name, **{**typed, **more})["cautions"]) for more in (inside, past))
    assert words in far
    assert words not in near


def test_an_eye_of_your_own_tells_its_tallest_lift():
    # 3.8 cm less twice 3 mm is a shed of 3.2 cm; like triangles, 43 to 25
    lift = told("long-eye", "lift_allowed", own_eye="3.8 cm", eye_clearance="3 mm")
    assert lift == pytest.approx(3.2 * 43 / 25)
    assert told("long-eye", "eye_length", pattern_lift=f"{lift} cm") == pytest.approx(3.8)


def test_a_stretch_that_any_length_keeps_needs_the_least():
    assert dressing.length_behind(25, 18, 40, 0.5, 0.25, 0.4) == pytest.approx(0.1)
    assert dressing.length_behind(25, 18, 40, 5.5, 2.5, 0.001) > 400
