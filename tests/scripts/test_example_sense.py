"""Each worked example keeps to what the pages beside it recommend."""

import re

import pytest

from scripts.pages import worked_examples as examples

# American Woman's Cook Book 1938, Napkins: at most 1/4 in, turned twice at both ends. A weaving
# magazine's question column: a woven strip of 3/4 in at each end where the thread is heavier.
TURNED_TWICE_CM = 4 * 0.635
TWO_STRIPS_CM = 2 * 1.905
CAREFUL_USE_MM = 5.0  # common practice, no source: the page of structures
EYE_LETS_PASS = 0.02  # common practice, no source: the page of square units
HOTEL = 4.5 * 33.906  # g/m²: Palmer 1908, 4.5 oz per square yard

EVERY = pytest.mark.parametrize("name", examples.names())


def told(name):
    one = examples.example(name)
    return one, one.plan.answer.results, "\n".join(text for _, text in one.parts)


@EVERY
def test_every_end_has_a_heddle_on_a_shaft_that_the_weave_leaves_free(name):
    one, found, _ = told(name)
    given = {field: reading.value for field, reading in one.plan.readings.items()}
    beside = found["ends"] - found["pattern_ends"]
    assert found["pattern_ends"] == found["ground_heddles_per_shaft"] * given["ground_shafts"]
    assert beside == 0 or given["ground_shafts"] > given["ends_per_unit"]


@EVERY
def test_passes_and_threads_in_hand_make_the_ends(name):
    one, found, _ = told(name)
    assert found["passes"] * one.plan.readings["threads_in_hand"].value == found["ends"]


@pytest.mark.parametrize("name", [name for name in examples.names() if "napkin" in name])
def test_a_napkin_hem_is_one_that_was_published(name):
    hem = told(name)[0].plan.readings["hem"].value
    assert hem <= TURNED_TWICE_CM or abs(hem - TWO_STRIPS_CM) < 0.25


def test_a_part_cone_napkin_hem_is_one_that_was_published():
    assert told("part-cone-rescue")[0].plan.readings["hem"].value <= TURNED_TWICE_CM


def test_the_longest_float_told_on_the_cushion_is_one_for_careful_use():
    _, found, text = told("supplementary-weft-cushions")
    assert "three units stay within it. Four would not" in text
    assert 3 * found["unit_width"].high <= CAREFUL_USE_MM < 4 * found["unit_width"].low


def test_the_tray_cloth_is_a_fifth_more_than_the_hotel_asked_for():
    _, found, text = told("six-end-tray-cloths")
    assert "a fifth more" in text
    assert 1.15 <= found["grams_per_square_metre"].likely / HOTEL <= 1.25


def test_the_circles_that_only_a_ruler_found_are_near_what_an_eye_lets_pass():
    one, _, text = told("towels-that-came-out-long")
    unit = one.runs["first_unit"].answer.results
    out = unit["unit_height"] / unit["unit_width"] - 1
    assert EYE_LETS_PASS < out < 2 * EYE_LETS_PASS
    assert "hardly more than [what the eye notices]" in text


def test_the_linen_damask_lies_between_the_two_figures_of_the_trade():
    # Dictionary of the English Textile Terms, Damask: five-end satin, 60 ends of 50s and 56 picks
    # of 35 lea to the inch. At one firmness the threads go as the root of the count.
    one, _, _ = told("linen-napkins")
    lea = 40
    warp, weft = 60 * (lea / 50) ** 0.5, 56 * (lea / 35) ** 0.5
    assert one.runs["by_ends"].answer.results["sett"] == pytest.approx(warp, rel=1e-6)
    assert one.runs["by_picks"].answer.results["sett"] == pytest.approx(weft, rel=1e-6)
    assert warp < one.plan.readings["sett"].value < weft


def test_the_first_example_is_a_sampler_on_a_metre_of_warp():
    first = examples.examples()[0]
    assert first.name == "first-sampler"
    found, given = first.plan.answer.results, first.plan.readings
    assert 60 <= found["units_across"] <= 80
    woven = found["woven_length"] * (1 + given["take_up"].value.likely)
    assert 0.95 <= woven <= 1.0
    figure = first.figure.grid
    assert figure.columns[:3] == figure.columns[-3:] == (0, 0, 0)  # the edge rests
    assert not any(figure.rows[:12])  # the ground alone comes first


def test_no_close_cloth_is_called_air():
    for name in examples.names():
        one, found, text = told(name)
        mass = found["grams_per_square_metre"]
        heavy = getattr(mass, "likely", mass) > 200
        assert not (heavy and re.search(r"mostly air|\bairy", f"{one.title} {text}"))
