"""A weave from the words that weavers type, in four languages, in any order."""

import random
import re
from html import unescape

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators import tables
from calculators.contract import calculate
from calculators.data import load
from calculators.engine.calculator import Calculator
from calculators.engine.reading import KINDS
from calculators.errors import InputError
from calculators.figure.loom_side import plan_key
from calculators.registry import calculator, registry
from calculators.show.html import calculator_html, table_html
from calculators.show.sheet import sheet_html
from calculators.show.text import message_text
from calculators.weave.library import WEAVES, parse_weave, spoken
from calculators.weave.words import folded, weave_called, weave_words
from tests.every import of_every

TYPED = {
    # English
    "satin": "satin_5",
    "sateen": "satin_5",
    "damask": "satin_5",
    "5 shaft satin": "satin_5",
    "5-end satin": "satin_5",
    "satin6": "satin_6",
    "Six harness satin": "satin_6",
    "6 end broken": "satin_6",
    "eight-shaft satin, warp face": "satin_8_warp",
    "1/4 satin": "satin_5",
    "4/1 satin": "satin_5_warp",
    "1/7 satin": "satin_8",
    "plain weave": "plain",
    "tabby on 4 shafts": "plain",
    "twill": "twill_2_2",
    "2/2 twill": "twill_2_2",
    "twill 3/1": "twill_3_1",
    "broken twill": "broken_twill_4",
    "3/1 broken twill": "broken_twill_4_warp",
    "4-end satin": "broken_twill_4",
    "hopsack": "basket_2_2",
    "3/3 matt": "basket_3_3",
    "Bronson lace": "lace_6",
    # Swedish
    "5-skaftad satin": "satin_5",
    "femskaft": "satin_5",
    "femskaftad satin": "satin_5",
    "sexskaftad atlas": "satin_6",
    "åttaskaft": "satin_8",
    "damast": "satin_5",
    "varpsatin, femskaft": "satin_5_warp",
    "tuskaft": "plain",
    "lärft": "plain",
    "kypert": "twill_2_2",
    "2/2-kypert": "twill_2_2",
    "korskypert": "broken_twill_4",
    "bruten kypert": "broken_twill_4",
    # German
    "Atlas fünfbindig": "satin_5",
    "fuenfbindiger Atlas": "satin_5",
    "8-bindiger Atlas": "satin_8",
    "Kettatlas": "satin_5_warp",
    "sechsschäftig": "satin_6",
    "Leinwandbindung": "plain",
    "Köper 2/2": "twill_2_2",
    "Kreuzköper": "broken_twill_4",
    "Panama": "basket_2_2",
    # Danish
    "femskaftet satin": "satin_5",
    "otteskafts atlask": "satin_8",
    "seksbindig satin": "satin_6",
    "lærred": "plain",
    "toskaft": "plain",
    "kiper": "twill_2_2",
    "krydskiper": "broken_twill_4",
}


@of_every(TYPED)
def test_what_weavers_type_is_understood(typed: str, name: str) -> None:
    assert parse_weave(typed).name == name


@given(st.sampled_from(sorted(TYPED)), st.randoms(), st.sampled_from([" ", "  ", ", ", " - "]))
def test_case_spaces_and_order_change_nothing(
    typed: str, chance: random.Random, between: str
) -> None:
    words = typed.replace(",", "").split()
    chance.shuffle(words)
    mixed = "".join(chance.choice((mark.upper(), mark.lower())) for mark in between.join(words))
    assert parse_weave(f" {mixed} ").name == TYPED[typed]


@of_every(list(WEAVES))
def test_the_spoken_name_is_read_back_and_is_no_id(name: str) -> None:
    assert parse_weave(spoken(name)).name == name
    assert "_" not in spoken(name)
    assert spoken(spoken(name)) == spoken(name)


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("satn 5", "five-end satin"),
        ("twil", "2/2 twill"),
        ("brokn twill", "broken twill"),
        ("satin 13", "satin"),
        ("tabbi", "plain weave"),
    ],
)
def test_what_is_not_known_is_offered_the_nearest(typed: str, offered: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_weave(typed)
    assert offered in caught.value.hint.partition("Known are")[0]
    assert not any(name in caught.value.hint for name in WEAVES if "_" in name)


@of_every(["5 6 satin", "2/2 satin", "1/4 5/1 satin", "plain satin", "4 shaft", "1/4 satin 6"])
def test_words_that_contradict_or_say_too_little_are_refused(typed: str) -> None:
    with pytest.raises(InputError):
        parse_weave(typed)


def test_the_word_that_is_not_understood_is_named() -> None:
    with pytest.raises(InputError, match="“brocaded” in “five-end brocaded satin”"):
        parse_weave("five-end brocaded satin")
    assert weave_called("tu" * 48 + "x") == ("", "tu" * 48 + "x")  # and in a moment


def test_words_have_a_language_and_a_basis_and_contradict_none() -> None:
    table = load("weave_words")
    assert table["basis"] == "from memory"
    languages = {"english", "swedish", "german", "danish"}
    for values in (value for value in table.values() if isinstance(value, dict)):
        for words in values.values():
            assert set(words) == languages
    meanings: dict[str, set[tuple[str, str]]] = {}
    for role, value, word in weave_words():
        meanings.setdefault(folded(word), set()).add((role, value))
    assert {word: found for word, found in meanings.items() if len(found) > 1} == {}


def seen(html: str) -> str:
    """Return what a reader sees: the text, and what stands in the fields."""
    fields = re.findall(r'<input[^>]* value="([^"]*)"', html)
    return " ".join((unescape(re.sub(r"<[^>]*>", " ", html)), *fields))


@of_every(registry())
def test_no_weaver_reads_an_id(name: str, asked: Calculator) -> None:
    words = seen(calculator_html(asked, {"weave": "satin_8"} if name == "sett" else {}))
    assert [one for one in WEAVES if "_" in one and one in words] == []


@of_every({"sett": "weave", "cloth-plan": "weave", "record": "weave", "sett-change": "to_weave"})
def test_no_weaver_is_sent_an_id(name: str, field: str) -> None:
    run = calculate(name, {field: "satin_5"})
    for words in (message_text(run, "address"), seen(sheet_html(run, "address", "2026-11-30"))):
        assert "five-end satin" in words
        assert "satin_" not in words


@of_every(list(tables.TABLES))
def test_no_weaver_reads_an_id_in_a_table(name: str) -> None:
    words = seen(table_html(tables.table(name)))
    assert [one for one in WEAVES if "_" in one and one in words] == []


def test_every_weave_can_be_chosen_by_its_drawing() -> None:
    drawn = KINDS["weave"].drawn()
    assert [name for name, _, _ in drawn] == list(WEAVES)
    assert len({picture for _, _, picture in drawn}) == len(WEAVES)
    html = calculator_html(calculator("sett-change"))
    assert html.count('class="ft-by-drawing"') == 2
    for name, words, picture in drawn:
        assert html.count(f'data-id="{name}" data-words="{words}">{picture}') == 2


@given(st.sampled_from(WEAVES))
def test_a_plan_is_the_same_in_words(name: str) -> None:
    by_id, in_words = (calculate("cloth-plan", {"weave": text}) for text in (name, spoken(name)))
    assert plan_key(by_id) == plan_key(in_words)
    assert ("weave" in by_id.chosen) == ("weave" in in_words.chosen)
