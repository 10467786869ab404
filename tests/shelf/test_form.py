"""The shelf as weavers meet it: ideas that open in the whole plan and fit there."""

import json
import re
from urllib.parse import parse_qsl

import pytest

import calculators
from calculators.contract import calculate
from calculators.page import respond
from calculators.quantities.units import UNITS
from calculators.registry import registry
from calculators.shelf import calculators as shelf
from calculators.shelf.cones_and_looms import read_shelf
from calculators.show.in_inches import is_metric
from calculators.show.text import answer_text

THREE = (
    "Blue; 16/2 cotton; 412 g; empty 38 g; #2b4a6f\nWhite; 16/2 cotton; 655 g; empty 45 g; white"
)


def opened(address):
    state = dict(parse_qsl(address.partition("#")[2], keep_blank_values=True))
    assert state.pop("v") == "2"
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


@pytest.mark.parametrize("units", ["", "cm", "inch"])
@pytest.mark.parametrize("inputs", SHELVES.values(), ids=SHELVES)
def test_every_idea_opens_in_the_whole_plan_and_fits_there(inputs, units):
    found = calculators.run("shelf", inputs, units)
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
    found = calculators.run("shelf", {"cones": "A; 16/2; 170 g; white\nB; 16/2; 180 g; navy",
                                      "article": "luncheon-napkin"})  # fmt: skip
    assert any(line.endswith(" gives 4.") for line in found["cards"][0]["lines"])


def test_nobody_weaves_89_coasters_and_what_is_left_makes_a_second_article():
    cones = "A; 16/2 cotton; 900 g; white\nB; 16/2 cotton; 900 g; navy"
    found = calculators.run("shelf", {"cones": cones, "article": "coaster", "places": "1"})
    (card,) = found["cards"]
    assert card["title"].startswith("Coaster × 12, ")
    (line,) = (one for one in card["lines"] if "second article" in one)
    assert "on a warp of its own" in line
    assert "Coaster" not in line


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


def test_the_link_to_the_plan_counts_as_its_reader_does():
    """In inches the sizes are such as one would choose: halves, the hems in eighths."""
    metric, inches = (calculators.run("shelf", {"cones": THREE}, units) for units in UNITS)
    for card in metric["cards"]:
        assert not re.search(r"\d (in|oz|/in)\b", " ".join(opened(card["address"]).values()))
    for card in inches["cards"]:
        plan = opened(card["address"])
        assert not re.search(r"\d (cm|m|g|/cm)\b", " ".join(plan.values()))
        wide, long, hem = (
            re.fullmatch(r"([\d.]+) in", plan[name])[1]
            for name in ("finished_width", "finished_length", "hem")
        )
        assert (plan["gap"], plan["sample"]) == ("3/8 in", "12 in")
        # Both ends are turned twice, so a piece holds its hem four times.
        assert plan["hem_depth"] == f"{float(hem) / 4:g} in"
        form = registry()["cloth-plan"].fields
        left = [one.default for one in form if one.name not in plan and is_metric(one.default)]
        assert left == []  # nothing in the form stays in centimetres
        assert float(wide) * 2 % 1 == float(long) * 2 % 1 == float(hem) * 8 % 1 == 0
        assert f"({mixed(wide)} in) by " in card["lines"][1]


def mixed(text):
    whole, part = divmod(float(text), 1)
    return f"{whole:.0f} 1/2" if part else f"{whole:.0f}"


SEAT = "A; 16/2 cotton; 610 g; bleached\nB; 16/2 cotton; 374 g; #2b4a6f"


def test_a_second_weft_weighs_what_the_weft_calculator_says():
    """The card’s grams against a plan of the second weft by itself, as the handbook reckons it."""
    found = calculators.run("shelf", {"cones": SEAT + "\nC; 16/1 linen; 290 g; unbleached",
                                      "article": "chair-seat", "places": "1"})  # fmt: skip
    (card,) = found["cards"]
    (line,) = (one for one in card["lines"] if "second weft" in one)
    assert line.endswith("of C. Neither score nor hours count it.")
    plan = calculators.run("cloth-plan", opened(card["address"]))["results"]
    wide = "warp_width_in_reed"
    assert [plan[name]["unit"] for name in (wide, "picks", "woven_length")] == [
        "cm", "1/inch", "m",
    ]  # fmt: skip
    weft = calculators.run("weft", {
        "reed_width": f"{plan[wide]['value']!r} cm",
        "picks": f"{plan['picks']['value'] / 2!r} /in",
        "woven_length": f"{plan['woven_length']['value']!r} m",
        "yarn": "16/1", "system": "linen",
    })["results"]  # fmt: skip
    said = float(line.split("edge to edge: ")[1].split(" g")[0])
    assert said - 1 < weft["yarn_mass"]["value"] <= said + 1e-9


def test_a_second_weft_that_no_cone_has_is_wanted():
    little = "A; 16/2 cotton; 310 g; bleached\nB; 16/2 cotton; 200 g; #2b4a6f"
    found = calculators.run("shelf", {"cones": little, "article": "chair-seat", "places": "1"})
    (line,) = (one for one in found["cards"][0]["lines"] if "second weft" in one)
    least, most = (float(line.split(word)[1].split(" g")[0]) for word in ("edge: ", "weft, "))
    assert "no cone here has it" in line
    assert 2 * least - 2 <= most <= 2 * least
    napkin = calculators.run("shelf", {"cones": SEAT, "article": "napkins"})
    assert not any("second weft" in line for card in napkin["cards"] for line in card["lines"])


def test_distances_make_the_loom_waste_of_the_plan():
    loom = "\nLoom: Oak; width 120 cm; shafts 8; reeds 40/10, 50/10; "
    given = {"cones": THREE + loom + "front 20 cm; ground 35 cm; between 30 cm; behind 80 cm"}
    found = calculators.run("shelf", given)
    assert opened(found["cards"][0]["address"])["loom_waste"] == "165 cm"
    assert any(step["formula"] == "F-133" and "165" in step["working"] for step in found["steps"])
    plain = calculators.run("shelf", {"cones": THREE + loom + "waste 165 cm"})
    assert plain["cards"] == found["cards"]


def asked(**request):
    return json.loads(respond(json.dumps({"call": "cones", **request})))


GUILD = "\nLoom: Guild; width 90 cm; shafts 10; reeds 40/10, 50/10; front 20 cm; ground 35 cm; " \
        "between 30 cm; behind 80 cm"  # fmt: skip


def test_a_saved_shelf_opens_as_it_was():
    whole, table = (asked(cones=THREE + GUILD, kind=kind) for kind in ("json", "csv"))
    assert (whole["file"], table["file"]) == ("shelf.json", "cones.csv")
    assert table["text"].startswith("\ufeffname,yarn,")
    for file in (whole, table):
        back = asked(cones=THREE + GUILD, file=file["text"])
        assert read_shelf(back["text"]) == read_shelf(THREE + GUILD)
        assert back["told"].startswith("2 cones taken in")
    assert read_shelf(asked(cones="", file=table["text"])["text"]).looms == ()


def test_a_broken_file_is_refused_whole_and_by_line():
    for file, words in {
        "name,yarn,net\nA,16/2,40 g\nB,16/2": "Line 3",
        "A; 16/2; 40 g\nB; 16/2; forty": "Line 2",
        '{"shelf": 1, "cones": [7]}': "Cone 1",
        "\x00\x01 PNG": "Line 1",
        "": "From 1 to 200",
    }.items():
        refused = asked(cones=THREE, file=file)
        assert not refused["ok"]
        assert words in refused["problem"]
        assert "text" not in refused


def test_the_scale_adds_a_cone_and_says_how_it_was_understood():
    done = asked(cones=THREE, cone={"yarn": "30/2", "gross": "95", "empty": "38", "colour": ""})
    assert done["text"].startswith(THREE + "\n")
    assert "57 g" in done["told"]
    assert "30s cotton" in done["told"]
    assert len(read_shelf(done["text"]).cones) == 3
    assert not asked(cones=THREE, cone={"yarn": "30/2", "gross": "words"})["ok"]


def test_a_shelf_too_long_for_a_code_is_still_handed_on_as_text():
    cones = "\n".join(
        f"Cone {number}; 16/2 cotton; {100 + number} g; white" for number in range(90)
    )
    request = {"call": "share", "id": "shelf", "inputs": {"cones": cones}, "address": "x" * 9000}
    reply = json.loads(respond(json.dumps(request)))
    assert not reply["ok"]
    assert not reply["code"]
    assert "too long for a code" in reply["problem"]
    assert "First in the ranking" in reply["text"]


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
