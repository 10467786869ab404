"""The shelf as weavers meet it: ideas that open in the whole plan and fit there."""

import json
from urllib.parse import parse_qsl

import pytest

import calculators
from calculators.contract import calculate
from calculators.forms import shelf
from calculators.forms.text import answer_text
from calculators.page import respond

THREE = (
    "Blue; 16/2 cotton; 412 g; empty 38 g; #2b4a6f\nWhite; 16/2 cotton; 655 g; empty 45 g; white"
)


def opened(address):
    state = dict(parse_qsl(address.partition("#")[2], keep_blank_values=True))
    assert state.pop("v") == "1"
    assert state.pop("calculator") == "cloth-plan"
    assert address.startswith("plan/whole-plan/#")
    return state


SHELVES = {
    "the worked example": {},
    "two cones": {"cones": THREE},
    "wool and silk": {
        "cones": "A; Nm 28/2 wool; 900 g; fibre wool; red\nB; 60/2 spun silk; 300 g; gold",
        "ground_shafts": "4",
    },
    "one cone, ranges of losses": {
        "cones": "Only one; 30/2 cotton; 700 g",
        "length_shrinkage": "5–8–12 %",
        "take_up": "4–6–8 %",
        "draw_in": "3–4–6 %",
        "width_shrinkage": "2–4–6 %",
    },
    "stripes on a small loom": {
        "cones": "A; 8/2; 300 g; white\nB; 8/2; 300 g; navy",
        "loom_width": "60 cm",
        "longest_warp": "6 m",
        "pattern_heddles": "120",
        "cords": "24",
    },
    "napkins in a day": {"article": "napkins", "hours": "8", "each": "3", "cones": THREE},
    "the guild’s loom": {
        "cones": THREE + "\nLoom: Guild; width 90 cm; shafts 10; reeds 10, 12, 15; longest 12 m",
        "loom": "guild",
    },
}
NOT_FIT = ("short by", "too little", "above the working", "below the working", "more picks")


@pytest.mark.parametrize("inputs", SHELVES.values(), ids=SHELVES)
def test_every_idea_opens_in_the_whole_plan_and_fits_there(inputs):
    found = calculators.run("shelf", inputs)
    assert found["ok"], found
    assert found["cards"]
    for card, row in zip(found["cards"], found["tables"]["projects"]["rows"], strict=True):
        plan = calculators.run("cloth-plan", opened(card["address"]))
        assert plan["ok"], plan
        results = {name: one["value"] for name, one in plan["results"].items()}
        assert results["units_across"] == row[7]
        assert results["sett"] == pytest.approx(row[6])
        assert results["hours"] == pytest.approx(row[12])
        assert results["warp_length"] == pytest.approx(row[9])
        misfits = [line for line in plan["cautions"] if any(words in line for words in NOT_FIT)]
        assert misfits == [], card["title"]


def test_places_are_in_order_and_each_says_why():
    found = calculators.run("shelf")
    scores = [row[-1] for row in found["tables"]["projects"]["rows"]]
    assert scores == sorted(scores, reverse=True)
    for card, score in zip(found["cards"], scores, strict=True):
        assert float(card["lines"][0].split(" of 100")[0]) == pytest.approx(score, abs=0.05)


def test_weights_change_the_ranking():
    only = {f"weigh_{name}": "0" for name in ("set", "use", "firm", "unit", "contrast", "left")}
    left = calculators.run("shelf", {**only, "weigh_left": "1", "cones": THREE})
    unit = calculators.run("shelf", {**only, "weigh_unit": "1", "cones": THREE})
    assert left["cards"][0]["title"] != unit["cards"][0]["title"]
    none = calculators.run("shelf", only)
    assert none["errors"][0]["field"] == "weigh_set"


def test_filters_are_kept():
    found = calculators.run("shelf", {"article": "tea-towel", "structure": "plain", "hours": "20"})
    assert {row[1] for row in found["tables"]["projects"]["rows"]} == {"Tea towel"}
    assert {row[3] for row in found["tables"]["projects"]["rows"]} == {"plain weave"}
    assert all(row[12] <= 20 for row in found["tables"]["projects"]["rows"])
    fine = calculators.run("shelf", {"grain": "bold"})
    assert all(row[6] / 2.54 < 9 for row in fine["tables"]["projects"]["rows"])


def test_too_little_yarn_says_how_much_more():
    found = calculators.run("shelf", {"cones": "A; 16/2; 60 g; white\nB; 16/2; 60 g; navy",
                                      "article": "tea-towel"})  # fmt: skip
    assert found["ok"]
    assert found["results"]["projects"]["value"] == 0
    assert any(line.startswith("Nearly: ") and " more of " in line for line in found["notes"])
    assert found["cautions"]


def test_a_set_that_is_not_whole_says_what_makes_it_so():
    found = calculators.run("shelf", {"cones": "A; 16/2; 190 g; white\nB; 16/2; 200 g; navy",
                                      "article": "luncheon-napkin"})  # fmt: skip
    assert any(line.endswith(" gives 4.") for line in found["cards"][0]["lines"])


def test_what_cannot_be_woven_here_is_said_beside_its_field():
    assert (
        calculators.run("shelf", {"structure": "satin_8", "ground_shafts": "4"})["errors"][0][
            "field"
        ]
        == "structure"
    )
    wrong = calculators.run("shelf", {"cones": THREE + "\nLoom: Oak; width 90 cm; shafts 8; "
                                      "reeds 10", "loom": "elm"})  # fmt: skip
    assert wrong["errors"][0]["field"] == "loom"
    assert "Oak" in wrong["errors"][0]["hint"]
    assert calculators.run("shelf", {"loom_width": "30 cm", "article": "tea-towel"})["cautions"]


def test_the_page_hears_how_far_it_has_come_and_goes_on_from_there():
    request = {"call": "answer", "id": "shelf", "inputs": {"cones": THREE}, "patience": 0}
    seen = []
    while True:
        reply = json.loads(respond(json.dumps(request)))
        assert reply["ok"]
        if not reply["more"]:
            break
        seen.append(reply)
    shares = [int(reply["more"].split("%")[0]) for reply in seen]
    assert len(seen) > 5
    assert shares == sorted(shares)
    whole = calculate("shelf", {"cones": THREE})
    assert reply["json"]["cards"] == calculators.run("shelf", {"cones": THREE})["cards"]
    assert whole.more == ""
    assert any(one["json"]["cards"] for one in seen[:-1])


def test_another_question_lets_the_first_one_go():
    first = {"cones": THREE}
    assert calculate("shelf", first, 0).more
    assert calculate("shelf", {"cones": "A; 8/2; 500 g"}, 0).more
    begun = next(shelf.stages({name: one.value for name, one in
                               calculate("shelf", first, 0).readings.items()}))  # fmt: skip
    assert calculate("shelf", first, 0).more  # its second step
    assert begun[0]


def test_with_patience_it_is_answered_at_once_and_in_full():
    in_full = calculate("shelf", {"cones": THREE}, 3600)
    assert in_full.more == ""
    assert in_full.answer.cards == calculate("shelf", {"cones": THREE}).answer.cards


@pytest.mark.parametrize(
    ("colours", "structure", "reason"),
    [
        (("white", "silver"), "satin_5", "quiet contrast, ΔE 22"),  # L* of #c0c0c0 is 77.7
        (("white", "#fafaf5"), "satin_5", "tone on tone"),
        (("white", ""), "satin_5", "a colour is not known"),
        (("white", "silver"), "plain", "this weave shows both yarns alike"),
    ],
)
def test_what_speaks_against_the_colours_is_said(colours, structure, reason):
    weights = {f"weigh_{name}": "0" for name in ("set", "use", "firm", "unit", "left")}
    cones = "\n".join(
        f"{name}; 16/2; 900 g; {one}" for name, one in zip("AB", colours, strict=True)
    )
    found = calculators.run(
        "shelf",
        {**weights, "cones": cones, "structure": structure, "article": "tea-towel"},
    )
    assert all(f"; {reason} (" in card["lines"][0] for card in found["cards"])
    assert found["cards"]


def test_without_an_idea_nothing_is_said_to_be_worked_out():
    nothing = answer_text(calculate("shelf", {"cones": "A; 16/2; 1 g; white"}))
    assert "How this was worked out" not in nothing
    assert "Sources\n" in nothing
    assert "How this was worked out" in answer_text(calculate("shelf", {"cones": THREE}))
