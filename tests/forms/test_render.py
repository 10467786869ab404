"""What the page shows: whole calculators, answers, guesses, ways on and the printed tables."""

import re
from dataclasses import replace
from html import escape
from html.parser import HTMLParser

import pytest

import calculators
from calculators import contract, tables
from calculators.engine.calculator import Answer
from calculators.engine.links import ways_on
from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.registry import calculator, registry
from calculators.show.columns import cell_text
from calculators.show.html import answer_html, calculator_html, value_html
from calculators.show.otherwise import guesses
from calculators.show.text import answer_text, message_text
from tests.every import of_every

ROOMS = sorted(set(registry()) - {"shelf"})  # the shelf has tests of its own
EMPTY = {"br", "hr", "img", "input", "meta", "link", "wbr"}


class Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.named: list[str] = []
        self.labelled: list[str] = []
        self.mistakes: list[str] = []
        self.words = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.ids += [given["id"]] if given.get("id") else []
        self.named += [given["name"]] if given.get("name") else []
        self.labelled += [given["for"]] if tag == "label" else []
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.mistakes.append(tag)

    def handle_data(self, data: str) -> None:
        self.words += data


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    reader.close()
    return reader


@of_every(ROOMS)
def test_a_calculator_is_sound_and_every_field_has_a_label(name: str) -> None:
    reader = read(calculator_html(calculator(name)))
    assert reader.mistakes == []
    assert reader.open == []
    assert len(set(reader.ids)) == len(reader.ids)
    fields = [field.name for field in registry()[name].fields]
    assert sorted(reader.named) == sorted(fields)
    assert set(reader.labelled) <= set(reader.ids)
    assert len(reader.labelled) == len(fields)


@of_every(list(registry()))
def test_no_two_lines_of_a_calculator_are_labelled_alike(name: str) -> None:
    for lines in (registry()[name].fields, registry()[name].outputs):
        assert len({line.label for line in lines}) == len(lines)


@of_every(ROOMS)
def test_the_worked_answer_holds_every_number_in_both_worlds(name: str) -> None:
    shown = read(answer_html(contract.calculate(name, {}))).words
    found = calculators.run(name)
    for result in found["results"].values():
        for text in result["text"].values():
            assert text in shown
    for table in found["tables"].values():
        assert table["title"] in shown
    for line in (*found["notes"], *found["cautions"]):
        assert line in shown
    for step in found["steps"]:
        assert step["working"] in shown


def test_nothing_said_is_left_out_of_an_answer_in_stages() -> None:
    left_empty = {"weft_yarn": "", "ends_per_unit": "", "ground_shafts": ""}
    run = contract.calculate("cloth-plan", left_empty)
    shown = re.sub(r"<[^>]+>", "", answer_html(run))
    said = [*run.answer.notes, *run.answer.cautions]
    assert any("Left empty" in line for line in said)
    assert [line for line in said if escape(line)[:40] not in shown] == []


def test_a_preset_is_what_the_form_begins_with() -> None:
    text = calculator_html(
        calculator("sett"), {"warp_yarn": "30/2", "weave": "satin_8", "firmness": "firm"}
    )
    assert 'value="30/2"' in text
    assert '<option value="firm" selected>' in text
    with pytest.raises(InputError):
        calculator_html(calculator("sett"), {"warp_yarn": "soft"})


def test_what_is_refused_has_no_answer() -> None:
    refused = contract.calculate("warp", {"ends": "none"})
    assert answer_html(refused) == ""
    assert answer_text(refused).startswith("ends: ")
    assert message_text(refused, "address").startswith("ends: ")
    assert guesses(refused) == {}
    assert ways_on(refused) == []


@pytest.mark.parametrize("fault", [OverflowError, ZeroDivisionError, float("inf"), float("nan")])
def test_a_fault_of_ours_becomes_a_sentence(fault, monkeypatch: pytest.MonkeyPatch) -> None:
    def answer(_: object) -> Answer:
        if isinstance(fault, float):
            return Answer({"crimp": fault})
        raise fault

    monkeypatch.setattr(
        contract, "calculator", lambda name: replace(registry()[name], answer=answer)
    )
    found = contract.run("crimp")
    assert found["ok"] is False
    assert found["errors"][0]["field"] == "yarn_length"
    assert "no cloth could be" in found["errors"][0]["message"]


def test_a_guess_says_what_it_would_change() -> None:
    lines = guesses(contract.calculate("cloth-plan", {}))
    about = next(line for line in lines if line.startswith("If wash shrinkage, length"))
    assert "is 12 % instead of 8 %" in about
    worst = 52 / 0.92 * 0.88 - 4  # the piece woven for 8 % that loses 12 %
    assert f"{worst:.1f} cm" in about
    assert "instead of 48 cm" in about
    known = contract.calculate("cloth-plan", {"length_shrinkage": "5–8–12 %"})
    assert not any(line.startswith("If wash shrinkage, length") for line in guesses(known))
    none = contract.calculate("cloth-plan", {"length_shrinkage": "0"})
    assert not any(line.startswith("If wash shrinkage, length") for line in guesses(none))
    assert guesses(contract.calculate("crimp", {})) == {}


@of_every(list(tables.TABLES))
def test_a_printed_table_has_a_cell_for_every_column(name: str) -> None:
    found = tables.table(name)
    assert found.rows
    assert all(len(row) == len(found.columns) for row in found.rows)
    plain = calculators.table(name)
    assert [len(row) for row in plain["rows"]] == [len(row) for row in found.rows]


def test_a_table_nobody_has_is_refused() -> None:
    with pytest.raises(InputError, match="no table called"):
        calculators.table("x" * 100)


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (None, None, ""),
        (True, None, "yes"),
        (False, 2, "no"),
        (1234.5, 0, "1\u202f235"),
        (-0.04, 1, "0.0"),
        (-0.06, 1, "−0.1"),
        (2, 1, "2.0"),
        (2, None, "2"),
        (0.5, None, "0.5"),
        ("16/2", 1, "16/2"),
    ],
)
def test_a_cell_is_written_so(value, digits, text) -> None:
    assert cell_text(value, digits) == text


@of_every(ROOMS)
def test_minus_nought_is_never_shown(name: str) -> None:
    done = contract.calculate(name, {})
    assert not re.search(r"[-−]0(\.0+)?(?![\d.])", answer_text(done).split("How this was")[0])


def test_a_range_of_no_width_is_shown_as_the_one_figure() -> None:
    length = next(one for one in registry()["cone"].outputs if one.name == "length")
    one = value_html(length, 7320.0)
    assert value_html(length, Range.exactly(7320.0)) == one
    assert value_html(length, Range(7000.0, 7320.0, 7500.0)).startswith(f"{one} <span")


def test_a_guess_that_would_hardly_be_felt_or_leave_no_cloth_is_passed_over() -> None:
    def told(**losses: str) -> bool:
        done = contract.calculate("cloth-plan", losses)
        assert done.answer is not None
        return any(line.startswith("If wash shrinkage, length") for line in guesses(done))

    # Half as much again as 0.6 % moves no length by half a per cent.
    assert not told(length_shrinkage="0.6 %")
    assert told(length_shrinkage="3 %")
    # 14 cm with the hems, woven as 35 cm for 60 %: at 90 % less than the hems would be left.
    assert not told(length_shrinkage="60 %", finished_length="10 cm", hem="4 cm")


def test_a_weave_too_large_for_a_picture_is_answered_without_one() -> None:
    def pictures(ends: int) -> int:
        rows = "/".join("." * end + "#" + "." * (ends - 1 - end) for end in range(ends))
        done = contract.calculate("sett", {"weave": rows})
        assert done.answer is not None
        return len(done.answer.pictures)

    assert pictures(32) == 2
    assert pictures(33) == 1


def test_labels_stand_in_both_kinds_of_english_where_they_differ() -> None:
    html = calculator_html(registry()["rhythm"])
    both = '<span class="ft-british">Pirns</span> <span class="ft-american">Quills</span>'
    assert both in html
    assert "ft-american" not in calculator_html(registry()["satins"])
