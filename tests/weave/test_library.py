"""Names of weaves, and reading a weave however it is written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.data import load
from calculators.errors import InputError
from calculators.weave.library import WEAVES, parse_weave, weave
from calculators.weave.matrix import Weave
from tests.every import of_every

PROMISED = {
    *("plain", "twill_2_2", "twill_1_3", "broken_twill_4", "satin_5", "satin_6", "satin_7"),
    *("satin_8", "satin_10", "satin_12", "lace_6", "basket_2_2"),
}


def test_promised_names_are_there():
    assert set(WEAVES) >= PROMISED


@of_every(list(WEAVES))
def test_every_name_and_title_leads_to_its_weave(name):
    assert weave(name).name == name
    assert parse_weave(name) is weave(name)
    assert parse_weave(name.replace("_", " ").upper()) is weave(name)
    assert parse_weave(weave(name).title) is weave(name)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("2/2 twill", "twill_2_2"),
        ("1/3", "twill_1_3"),
        ("tabby", "plain"),
        ("  Five-end satin ", "satin_5"),
        ("12-end satin", "satin_12"),
        ("six-thread lace", "lace_6"),
        ("Broken twill", "broken_twill_4"),
        ("hopsack", "basket_2_2"),
    ],
)
def test_other_ways_of_writing(typed, name):
    assert parse_weave(typed).name == name


def test_no_two_weaves_share_a_spelling():
    spellings = [
        alias.casefold() for row in load("weaves")["weave"] for alias in row.get("aliases", ())
    ]
    assert len(spellings) == len(set(spellings))


def test_titles_name_the_face_where_one_shows_more():
    for name in WEAVES:
        face = weave(name).face
        if face != "both alike" and name != "lace_6":
            assert f"{face} face" in weave(name).title
        stated = next(row for row in load("weaves")["weave"] if row["name"] == name).get("face")
        assert stated in (None, face)


def test_warp_faced_ones_are_complements():
    for ends in (5, 6, 8):
        assert weave(f"satin_{ends}_warp").matrix == weave(f"satin_{ends}").complement.matrix
    assert weave("twill_3_1").warp_share == 1 - weave("twill_1_3").warp_share


def test_a_matrix_is_a_weave_too():
    assert parse_weave("#. / .#").matrix == ((False, True), (True, False))
    with pytest.raises(InputError, match="Row 2"):
        parse_weave("#. / .##")


@pytest.mark.parametrize("typed", ["", "velvet", "satin_4_5", "satin 13", "🧶", "x" * 5000])
def test_anything_else_is_refused_with_help(typed):
    with pytest.raises(InputError) as caught:
        parse_weave(typed, "from_weave")
    assert caught.value.field == "from_weave"
    assert caught.value.hint
    assert len(caught.value.message) < 200


def test_an_unknown_name_is_refused():
    with pytest.raises(InputError, match="velvet"):
        weave("velvet")


@given(st.text(alphabet="#.x-10 /\n;ab2", max_size=40))
def test_any_text_is_a_weave_or_refused_in_words(text):
    try:
        found = parse_weave(text, "weave")
    except InputError as caught:
        found = caught
    assert isinstance(found, Weave) or (found.field == "weave" and found.message)


def test_every_row_names_its_source_or_what_it_is_made_from():
    keys = {source["key"] for source in load("sources")["source"]}
    for row in load("weaves")["weave"]:
        assert row.get("source") in keys or row.get("complement_of") in WEAVES, row["name"]


@pytest.mark.parametrize(
    "typed",
    ["x. / .x", "X. / .X", "10 / 01", "×.;.×", "■□|□■", "x-\n-x", "#_,_#", "█·/·█", "x–/–x"],
)
def test_a_matrix_is_known_by_its_marks(typed):
    assert parse_weave(typed).matrix == ((False, True), (True, False))


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("velvet", "“velvet” is not a weave known here"),
        ("", "“” is not a weave known here"),
        ("#q / .#", "Row 1 holds “q”"),  # a # is typed for a matrix only
        ("x.\nqx", "Row 2 holds “q”"),  # and so are several lines
        ("velvet\n", "is not a weave known here"),
    ],
)
def test_what_is_wrong_is_said_of_the_name_or_of_the_matrix(typed, words):
    with pytest.raises(InputError, match=words) as caught:
        parse_weave(typed)
    assert caught.value.field == "weave"


def test_a_long_text_is_cut_where_it_is_repeated():
    for length, shown in ((40, "v" * 40), (41, "v" * 40 + "…")):
        with pytest.raises(InputError, match=f"“{shown}”"):
            parse_weave("v" * length)


def test_an_unknown_name_is_refused_beside_the_weave():
    with pytest.raises(InputError) as caught:
        weave("velvet")
    assert caught.value.field == "weave"
