"""What a yarn becomes at once: recomputed by hand, and held against the catalogue."""

from math import sqrt

import pytest

import calculators
from calculators.data import load
from calculators.shelf.outlook import NOTHING_KNOWN, good_for
from calculators.weave.library import weave

SIXTEEN_TWO = 6720  # yards in a pound


def results(**typed):
    answered = calculators.run("outlook", typed)
    assert answered["ok"], answered
    return {name: result["value"] for name, result in answered["results"].items()}


def likely(value):
    return value["likely"] if isinstance(value, dict) else value


def test_sett_unit_and_units_of_sixteen_two_in_six_end_satin():
    found = results(yarn="16/2", weave="satin_6")
    sett = 0.85 * 0.9 * sqrt(SIXTEEN_TWO) * 6 / (6 + 2)  # ends per inch, half of Ashenhurst's ends
    per_inch_washed = sett / 0.96 / 0.95  # draw-in 4 %, shrinkage 5 %
    assert likely(found["sett"]) == pytest.approx(sett)
    assert likely(found["unit_width"]) == pytest.approx(6 / per_inch_washed * 25.4)
    assert found["units_across"] == round(18 * per_inch_washed / 6)


@pytest.mark.parametrize(
    ("typed", "kinds"),
    [
        ({"yarn": "16/2", "weave": "satin_6"}, {"napkins", "runners", "cloths"}),
        ({"yarn": "8/2", "weave": "plain"}, {"towels", "mats"}),
    ],
)
def test_it_names_kinds_whose_articles_are_woven_so(typed, kinds):
    told = set(results(**typed)["good_for"].split(", "))
    assert kinds <= told
    woven_so = {
        row["group"] for row in load("articles")["article"] if typed["weave"] in row["structures"]
    }
    assert told <= woven_so


def test_wool_is_not_promised_for_what_is_washed_hot():
    assert results(yarn="2/16 worsted", weave="satin_5")["good_for"] == "upholstery"


def test_long_floats_and_an_unknown_weave_are_promised_nothing():
    for typed in (
        {"yarn": "3/2", "weave": "satin_12"},
        {"yarn": "16/2", "weave": "##.. / .##. / ..## / #..#"},
    ):
        assert results(**typed)["good_for"] == NOTHING_KNOWN


def test_either_face_is_good_for_the_same():
    assert good_for(weave("satin_5_warp"), "cotton", 0.2) == good_for(
        weave("satin_5"), "cotton", 0.2
    )
