"""What is carried from an answer into the hand: the sheet, the message, the loom's side."""

import json
import re
from fractions import Fraction as F
from math import floor
from urllib.parse import parse_qsl

import pytest
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators.contract import calculate
from calculators.engine.calculator import STAGES
from calculators.engine.links import ways_on
from calculators.engine.versions import as_of
from calculators.figure.loom_side import loom_side_html
from calculators.loom.stretches import stretches
from calculators.page import respond
from calculators.registry import registry
from calculators.show.code import code_svg
from calculators.show.sheet import sheet_html
from calculators.show.text import message_text
from tests.every import of_every

LOSSES = ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")

# The worked plan, from the definitions of the losses: 24 ends in the reed, 4 % draw-in, 5 % and 8 %
# shrinkage; 48 cm finished with 4 cm of hems, a gap of 1 cm, a sample of 30 cm.
PICKS = F(24) / F(96, 100) * F(92, 100) / F(95, 100)
ROWS = round(F(48) / F(92, 100) * PICKS / 5)
HEM = round(F(4) / F(92, 100) / 2 * PICKS)


def ask(call: str, **named: object) -> dict:
    return json.loads(respond(json.dumps({"call": call, **named})))


def test_the_worked_plan_stretch_by_stretch() -> None:
    found = ask("loom", id="cloth-plan", inputs=as_of(1, "cloth-plan", {}))
    piece = [("first hem", HEM, 1), ("", ROWS * 5, 5), ("last hem", HEM, 1)]
    wanted = [("Sample", round(30 * PICKS), 1)]
    for number in range(1, 7):
        wanted += [("Gap", round(PICKS), 1)] if number > 1 else []
        name = f"Piece {number} of 6"
        wanted += [(f"{name}, {part}" if part else name, picks, row) for part, picks, row in piece]
    assert [(one["name"], one["picks"], one["row"]) for one in found["stretches"]] == wanted
    assert found["temple"] == floor(F(5, 2) * PICKS)
    assert found["advance"] == floor(5 * PICKS)
    assert found["pirn"] == 120
    assert found["ignored"] == ""


def test_a_pace_is_one_stretch() -> None:
    inputs = {"woven_length": "100 cm", "picks": "20 /cm", "temple_step": "2 cm"}
    found = ask("loom", id="rhythm", inputs=inputs)
    assert found["stretches"] == [{"name": "Cloth", "picks": 2000, "row": 1}]
    assert found["temple"] == 40


def test_the_count_belongs_to_the_numbers_however_the_link_is_written() -> None:
    usual = {field.name: field.default for field in registry()["cloth-plan"].fields}
    short = ask("loom", id="cloth-plan", inputs={"pieces": "4"})
    assert short["key"] == ask("loom", id="cloth-plan", inputs={**usual, "pieces": "4"})["key"]
    assert short["key"] != ask("loom", id="cloth-plan", inputs={"pieces": "5"})["key"]


def test_what_a_loom_link_holds_beyond_the_plan_is_named() -> None:
    found = ask("loom", id="cloth-plan", inputs={"pieces": "4", "colour": "blue"})
    assert found["ok"]
    assert "colour" in found["ignored"]


@pytest.mark.parametrize(
    ("name", "inputs", "words"),
    [("sett", {}, "nothing to count"), ("cloth-plan", {"pieces": "many"}, ""), ("loom", {}, "")],
)
def test_what_cannot_go_to_the_loom_says_why(name: str, inputs: dict, words: str) -> None:
    found = ask("loom", id=name, inputs=inputs)
    assert not found["ok"]
    assert found["problem"]
    assert words in found["problem"]


@given(
    pieces=st.integers(1, 40),
    rows=st.integers(1, 500),
    row=st.integers(1, 20),
    picks=st.floats(1, 80),
    hem=st.floats(0, 30),
    gap=st.floats(0, 30),
    sample=st.floats(0, 200),
)
def test_stretches_add_up_to_the_cloth(
    pieces: int, rows: int, row: int, picks: float, hem: float, gap: float, sample: float
) -> None:
    order = stretches(
        pieces=pieces,
        rows=rows,
        picks_per_row=row,
        picks=picks,
        hem_on_loom=hem,
        gap=gap,
        sample=sample,
    )
    exactly = pieces * (rows * row + hem * picks) + ((pieces - 1) * gap + sample) * picks
    # Each hem, gap and sample is off by at most half a pick.
    assert abs(sum(one.picks for one in order) - exactly) <= (3 * pieces) / 2 + 1e-6
    assert sum(one.picks for one in order if one.row == row and "hem" not in one.name) >= (
        pieces * rows * row
    )
    assert all(one.picks > 0 and one.picks % one.row == 0 for one in order)


def test_the_job_sheet_leaves_no_result_out() -> None:
    outputs = registry()["cloth-plan"].outputs
    assert {one.stage for one in outputs} == set(STAGES)


@of_every(list(registry()))
def test_every_calculator_has_a_sheet_with_its_numbers(name: str) -> None:
    done = calculate(name, {})
    assert done.answer is not None
    sheet = sheet_html(done, "https://example.org/#v=1", "3 May", "Maren’s <plan>", "abc123")
    assert "Maren’s &lt;plan&gt;" in sheet
    assert "3 May" in sheet
    assert "build abc123" in sheet
    assert done.calculator.code in sheet
    assert "<svg" in sheet
    losses = (*LOSSES, "loom_waste") if name == "cloth-plan" else ()
    to_write = len(done.answer.results) + len(losses)
    assert sheet.count('class="ft-box"') == to_write


def test_a_link_too_long_for_a_code_still_has_a_sheet() -> None:
    address = "https://example.org/#" + "x" * 2000
    done = calculate("sett", {})
    sheet = sheet_html(done, address, "3 May")
    assert "<svg" not in sheet.split("</header>")[0]
    assert address in sheet
    assert not ask("share", id="sett", inputs={}, address=address)["ok"]


@pytest.mark.parametrize(("letters", "goes"), [(300, True), (2_000, False), (0, None)])
def test_the_sheet_s_code_holds_the_figure_where_it_fits(letters: int, goes: bool | None) -> None:
    bare = "https://example.org/#v=2&calculator=cloth-plan"
    whole = f"{bare}&figure=" + "x" * letters if letters else ""
    asked = {"id": "cloth-plan", "inputs": {}, "date": "3 May", "address": bare, "whole": whole}
    sheet = ask("sheet", **asked)["sheet"]
    assert code_svg(whole if goes else bare) in sheet
    assert ("with its figure" in sheet) == (goes is True)
    assert ("without its figure" in sheet) == (goes is False)


@of_every(list(registry()))
def test_a_message_is_short_and_ends_with_the_link(name: str) -> None:
    text = message_text(calculate(name, {}), "https://example.org/#v=1")
    assert text.startswith(registry()[name].title)
    assert text.endswith("\nhttps://example.org/#v=1")
    assert len(text.splitlines()) <= 34


def test_a_message_tells_what_was_chosen_even_if_folded_away() -> None:
    usual = {field.name: field.default for field in registry()["cloth-plan"].fields}
    text = message_text(calculate("cloth-plan", {**usual, "sample": "45 cm"}), "x")
    assert "Sample: 45 cm" in text
    assert "Pirn" not in text
    assert "Ends in a bout" not in text


def test_the_way_to_the_loom_takes_all_that_the_count_depends_on() -> None:
    """A default that changes later does not move a plan that is on the loom."""
    usual = {field.name: field.default for field in registry()["cloth-plan"].fields}
    typed = {**usual, "finished_length": "19", "pieces": "4", "sample": "", "hem": "2"}
    ways = dict(ways_on(calculate("cloth-plan", {**typed, "sample": "0"}, units="inch")))
    place, _, hash_ = ways["Take it to the loom"].partition("#")
    (version, units, named), held = parse_qsl(hash_)[:3], dict(parse_qsl(hash_)[3:])
    assert (place, version, units) == ("loom-side/", ("v", "2"), ("units", "inch"))
    assert named == ("calculator", "cloth-plan")
    assert held == {name: text for name, text in {**typed, "sample": "0"}.items() if text}


def test_the_printed_stretches_are_those_that_are_counted() -> None:
    counted = ask("loom", id="cloth-plan", inputs={})["stretches"]
    printed = re.findall(
        r'<tr><th scope="row">(.*?)</th><td>(.*?)</td><td>(.*?)</td></tr>', loom_side_html()
    )
    for one, (name, picks, rows) in zip(counted, printed, strict=True):
        assert name == one["name"]
        assert int(re.sub(r"\s", "", picks)) == one["picks"]
        whole = one["row"] > 1
        assert rows == (str(one["picks"] // one["row"]) if whole else "")
    units = {one["picks"] // one["row"] for one in counted if one["row"] > 1}
    assert units == {calculators.run("cloth-plan")["results"]["units_up"]["value"]}


def test_the_page_asks_for_a_sheet() -> None:
    about = {"address": "https://example.org/#v=1", "date": "3 May"}
    found = ask("sheet", id="sett", inputs={"weave": "satin_8"}, **about)
    done = calculate("sett", {"weave": "satin_8"})
    assert found == {"ok": True, "sheet": sheet_html(done, about["address"], about["date"])}
    named = ask("sheet", id="sett", inputs={}, name="Ines", build="abc", **about)["sheet"]
    assert "Ines" in named
    assert "build abc" in named
    refused = ask("sheet", id="sett", inputs={"weave": "knitted"}, **about)
    assert not refused["ok"]
    assert "knitted" in refused["problem"]
