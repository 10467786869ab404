"""Worked examples: every number worked out, every wrong file told where and what would work."""

import re
from html import unescape
from urllib.parse import parse_qsl, urlsplit

import pytest

from calculators import run
from calculators.examples.example import live_address
from calculators.examples.figures import PLACE
from calculators.examples.schema import ExampleError
from calculators.examples.show import numbers_html, told
from calculators.sett.rules import maximum_sett
from calculators.sett.working import working_range
from scripts.pages import embed
from scripts.pages import worked_examples as examples
from scripts.pages.worked_examples import read
from tests.every import of_every

GOOD = """
order = 1
title = "Four mats"
weaver = "Maren"
question = "How many?"
description = "Four mats."
next = [["The whole plan", "../plan/whole-plan.md"]]

[plan]
finished_width = "30 cm"
pieces = "4"
warp_on_hand = "{cone.net_mass}"

[calculations.cone]
calculator = "cone"
gross = "500 g"
empty = "40 g"

[calculations.again]
calculator = "weft"
reed_width = "{reed_width}"

[[part]]
heading = "The cone"
text = "It holds {cone.net_mass}, enough for {pieces_possible}; {ends} ends."

[records]
finished_width = "29.4 cm"
length_shrinkage = "9 %"
"""


def wrong(text, name="four-mats"):
    with pytest.raises(ExampleError) as caught:
        examples.page(read(name, text))
    assert caught.value.name == name
    assert caught.value.hint
    assert str(caught.value).startswith(f"{name}, {caught.value.key}: ")
    return caught.value


def changed(old, new):
    assert GOOD.count(old) == 1
    return GOOD.replace(old, new)


# What the handbook holds --------------------------------------------------------------------------


def test_no_file_of_the_handbook_is_wrong():
    assert examples.problems() == []


def test_there_are_at_least_eight_and_every_weaver_is_of_the_guild():
    every = examples.examples()
    assert len(every) >= 8
    assert {one.weaver for one in every} == {"Maren", "Tobias", "Ines", "Odile"}
    assert [one.order for one in every] == sorted(one.order for one in every)


@of_every(examples.names())
def test_the_decisions_are_sound(name):
    one = examples.example(name)
    project = {key: reading.value for key, reading in one.plan.readings.items()}
    limit = maximum_sett(project["warp_yarn"].tex, project["weave"])
    working = working_range(limit, project["firmness"])
    assert working.low <= project["sett"] <= working.high
    for caution in one.plan.answer.cautions:  # three and more in the hand are carried on purpose
        assert caution.startswith("Two threads can always be parted")
    dentings = one.plan.answer.tables["denting"].rows
    assert any(row[5] == 0 for row in dentings)  # a reed of the weaver's own, off by nothing
    pace = one.plan.answer.results["woven_length"] * 100 / one.plan.answer.results["hours"]
    assert 3 <= pace <= 60  # cm in an hour


@of_every(examples.names())
def test_the_address_opens_the_very_plan(name):
    one = examples.example(name)
    place = urlsplit(live_address(one))
    state = dict(parse_qsl(place.fragment, keep_blank_values=True))
    assert place.path == "plan/whole-plan/"
    assert (state.pop("v"), state.pop("calculator")) == ("2", "cloth-plan")
    there = run("cloth-plan", state)["results"]
    told = one.plan.answer.results
    assert {key: there[key]["value"] for key in there} == {
        key: getattr(value, "likely", value) for key, value in told.items()
    }


@of_every(examples.names())
def test_every_number_in_the_story_is_the_packages(name):
    one = examples.example(name)
    for number, (_, text) in enumerate(one.parts, start=1):
        shown = told(one, text, f"part {number}")
        assert not PLACE.search(shown)
        for found in PLACE.finditer(text):
            names = found[1].split(".")
            done = one.runs[names.pop(0)] if names[0] in one.runs else one.plan
            if names[0] == "given":
                continue
            answer = run(done.calculator.id, {k: r.typed for k, r in done.readings.items()})
            if len(names) == 1:
                text_there = answer["results"][names[0]]["text"]
                assert text_there["metric"] in unescape(shown)
                assert text_there["imperial"] in unescape(shown)


@of_every(examples.names())
def test_the_table_holds_every_result_of_the_job(name):
    one = examples.example(name)
    written = unescape(examples.example_html(name))
    results = run("cloth-plan", {k: r.typed for k, r in one.plan.readings.items()})["results"]
    for key in ("ends", "warp_length", "warp_yarn_mass", "weft_yarn_mass", "picks", "hours"):
        assert results[key]["text"]["metric"] in written
        assert results[key]["text"]["imperial"] in written


def test_the_towels_that_came_out_long_did():
    one = examples.example("towels-that-came-out-long")
    first, unit = one.runs["first"].answer.results, one.runs["first_unit"].answer.results
    assert unit["unit_height"] / unit["unit_width"] == pytest.approx(0.945 / 0.92, rel=1e-4)
    assert 0.8 < one.plan.answer.results["picks"] - first["picks"] < 1  # “not quite one pick more”
    assert one.runs["washed"].answer.results["change"] == pytest.approx(-5.5, abs=0.05)


def test_the_rescue_plans_just_what_the_cones_give():
    one = examples.example("part-cone-rescue")
    assert one.plan.answer.results["pieces_possible"] == int(one.plan.readings["pieces"].typed)


def test_tobias_plans_what_the_pages_on_planning_say():
    told = examples.example("six-end-napkins").plan.answer.results
    assert (told["units_across"], told["ends"], told["passes"], told["pirns"]) == (
        152,
        912,
        304,
        12,
    )
    assert told["warp_length"] == pytest.approx(5.45, abs=0.005)
    assert told["picks"] == pytest.approx(18.16 * 2.54, rel=1e-3)


# A file of one's own ------------------------------------------------------------------------------


def test_a_good_file_makes_a_page():
    one = read("four-mats", GOOD)
    page = examples.page(one)
    cone = run("cone", {"gross": "500 g", "empty": "40 g"})["results"]["net_mass"]
    assert cone["value"] == 460
    assert "460 g" in page
    assert one.plan.readings["warp_on_hand"].value == 460
    assert "[[example: four-mats]]" in page
    assert page.index("## The cone") < page.index("## The plan") < page.index("## Where next")
    assert re.search(r"^title: \"Four mats\"$", page, re.M)


def test_figures_go_from_one_calculation_to_another():
    one = read("four-mats", GOOD)
    width = one.plan.answer.results["reed_width"]
    assert one.runs["again"].readings["reed_width"].value == pytest.approx(width, rel=1e-5)


def test_what_came_out_stands_beside_the_plan():
    written = numbers_html(read("four-mats", GOOD))
    planned = 100 * (29.4 / read("four-mats", GOOD).plan.answer.results["finished_width"] - 1)
    assert "29.4 cm" in written
    assert f"−{abs(planned):.1f}".rstrip("0").rstrip(".") + " %" in written
    assert "+1 in 100" in written  # 9 % where 8 % was planned


def test_quotes_in_a_title_do_not_break_the_page():
    page = examples.page(read("four-mats", changed('"Four mats"', "'Four \"fine\" mats'")))
    assert 'title: "Four \\"fine\\" mats"' in page


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ('title = "Four mats"', "title = Four mats", "the file", "TOML"),
        ('title = "Four mats"', "title = 4", "title", "text in quotes"),
        ('title = "Four mats"', 'titel = "Four mats"', "titel", "Did you mean title?"),
        ('weaver = "Maren"', "", "weaver", "text in quotes"),
        ("order = 1", 'order = "first"', "order", "order = 100"),
        ("order = 1", "", "order", "order = 100"),
        ('pieces = "4"', "pieces = 4", "plan.pieces", "text in quotes"),
        ('pieces = "4"', 'peices = "4"', "plan.peices", "Did you mean pieces?"),
        ('pieces = "4"', 'pieces = "a few"', "plan.pieces", ""),
        ('"30 cm"', '"30 g"', "plan.finished_width", "length"),
        ('"{cone.net_mass}"', '"{cone.nett_mass}"', "plan.warp_on_hand", "Did you mean net_mass?"),
        ('"{cone.net_mass}"', '"{cone.net_mass.most}"', "plan.warp_on_hand", "means nothing"),
        ('"{reed_width}"', '"{given.reed_widht}"', "calculations.again.reed_width", "not known"),
        ('calculator = "cone"', 'calculator = "cones"', "calculations.cone.calculator", "cone?"),
        ('calculator = "cone"', "", "calculations.cone.calculator", "text in quotes"),
        ("[calculations.cone]", "[calculations.ends]", "calculations.ends", "Choose another"),
        (
            '[calculations.cone]\ncalculator = "cone"\ngross = "500 g"\nempty = "40 g"',
            "[calculations]\ncone = 4",
            "calculations.cone",
            "[calculations.cone]",
        ),
        ('gross = "500 g"', 'gross = "{warp_yarn_mass}"', "plan", "waits for itself"),
        ('gross = "500 g"', 'gros = "500 g"', "calculations.cone.gros", "Did you mean gross?"),
        ("{ends} ends", "{edns} ends", "part 1, text", "Did you mean ends?"),
        ("{ends} ends", "159 ends", "part 1, text", "in braces"),
        ('heading = "The cone"', "", "part 1, heading", "text in quotes"),
        ('heading = "The cone"', 'head = "The cone"', "part 1, head", "Did you mean heading?"),
        ("[[part]]", "[part]", "part", "[[part]]"),
        (
            'finished_width = "29.4 cm"',
            'finishd_width = "29.4 cm"',
            "records.finishd_width",
            "Did you",
        ),
        ('finished_width = "29.4 cm"', 'finished_width = "29.4 g"', "records.finished_width", "cm"),
        ('= "9 %"', '= "a lot"', "records.length_shrinkage", ""),
        ('[["The whole plan", "../plan/whole-plan.md"]]', '["The whole plan"]', "next", "pair"),
    ],
)
def test_a_wrong_file_is_told_where_and_what_would_work(old, new, key, words):
    error = wrong(changed(old, new))
    assert error.key == key
    assert words in f"{error.message} {error.hint}"


@pytest.mark.parametrize("name", ["Four mats", "four_mats", "4-mats", "four--mats"])
def test_a_name_that_makes_no_address_is_refused(name):
    assert "small letters" in wrong(GOOD, name).hint


def test_the_handbook_says_which_line_asks_for_no_example():
    with pytest.raises(embed.EmbedError, match="there is no such example"):
        embed.html_of("[[example: four-mits]]")


def test_a_wrong_file_ends_the_build(tmp_path, monkeypatch):
    (tmp_path / "four-mats.toml").write_text(changed('"30 cm"', '"30 g"'), encoding="utf-8")
    monkeypatch.setattr(examples, "FOLDER", tmp_path)
    examples.example.cache_clear()
    try:
        assert len(examples.problems()) == 1
        assert "plan.finished_width" in examples.problems()[0]
    finally:
        examples.example.cache_clear()
