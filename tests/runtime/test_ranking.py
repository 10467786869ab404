"""What stands before what, on lists of a few invented entries."""

import pytest

ASIDE = [["page", f"other-{n}/", f"Other {n}", "", "", f"warp number {n}"] for n in range(20)]


def entry(kind, at, title="", also="", asked="", text=""):
    return [kind, at, title, also, asked, text]


@pytest.fixture(scope="session")
def ranked(found):
    """The places found for a question among these entries, best first."""

    def ask(question, *entries, same=(), alike=()):
        listed = {"same": list(same), "alike": list(alike), "entries": [*ASIDE, *entries]}
        return found([question], listed)[0]

    return ask


BEFORE = {
    "a heading before the text": (
        "temple",
        entry("page", "told/", "Width", text="temple"),
        entry("page", "headed/", "Temple and width"),
        ["headed/", "told/"],
    ),
    "one phrase before its words here and there": (
        "cloth pulls in at the sides",
        entry("page", "strewn/", asked="cloth, sides, pulls"),
        entry("page", "phrase/", asked="the cloth pulls in at both sides"),
        ["phrase/", "strewn/"],
    ),
    "a phrase that says nothing else first": (
        "loose threads",
        entry("page", "more/", asked="loose threads stay behind the raddle"),
        entry("page", "same/", asked="loose threads"),
        ["same/", "more/"],
    ),
    "words that tell before words that every question has": (
        "what is there to do about fluff",
        entry("page", "chat/", asked="what is there to do about it"),
        entry("page", "fluff/", asked="fluff everywhere"),
        ["fluff/", "chat/"],
    ),
    "a rare word before a common one": (
        "warp xylem",
        entry("page", "common/", "Reed", text="warp"),
        entry("page", "rare/", "Reed", text="xylem"),
        ["rare/", "common/"],
    ),
    "more of the question before less": (
        "temple raddle",
        entry("page", "half/", "Width", text="temple, temple, temple"),
        entry(
            "page", "whole/", "Width", text="temple and raddle, among many words of other things"
        ),
        ["whole/", "half/"],
    ),
    "all of the question in a long text before most of it in a short one": (
        "temple raddle lingo pirn",
        entry("page", "most/", "Width", text="temple raddle lingo"),
        entry(
            "page",
            "all/",
            "Width",
            text="temple, raddle, lingo, pirn" + " among many words of other things" * 6,
        ),
        ["all/", "most/"],
    ),
    "its own name first": (
        "draw",
        entry("page", "phrase/", asked="draw"),
        entry("page", "named/", "Draw", text="a long text " * 20),
        ["named/", "phrase/"],
    ),
    "what is worked out for how many": (
        "how many heddles",
        entry("trouble", "trouble/", "Heddles and more"),
        entry("calculator", "worked/", "Heddles and more"),
        ["worked/", "trouble/"],
    ),
    "a word's meaning for what is": (
        "what is a temple bar",
        entry("trouble", "trouble/", "Temple bar"),
        entry("term", "word/", "Temple bar"),
        ["word/", "trouble/"],
    ),
    "what was checked last": (
        "temple bars",
        entry("record", "checked/", "Width", text="temple bars"),
        entry("part", "other-1/#part", "Width", text="temple bars"),
        ["other-1/#part", "checked/"],
    ),
}


@pytest.mark.parametrize("what", BEFORE)
def test_what_stands_first(ranked, what):
    question, *entries, places = BEFORE[what]
    assert [at for at in ranked(question, *entries) if at in places] == places
    assert [at for at in ranked(question, *reversed(entries)) if at in places] == places


def test_another_word_for_it_is_found_below_the_very_word(ranked):
    pirn, quill = entry("page", "pirn/", "Pirn full"), entry("page", "quill/", "Quill full")
    alike = [["quill", "pirn"], ["slack", "not tight"]]
    assert ranked("quill", pirn, quill, alike=alike) == ["quill/", "pirn/"]
    tight = entry("page", "tight/", asked="the warp is not tight")
    assert "tight/" in ranked("slack", tight, alike=alike)
    assert "tight/" not in ranked("slack", tight)


def test_forms_of_a_word_are_one_where_the_list_says_so(ranked):
    winding = entry("page", "winding/", "Winding it")
    assert ranked("wound", winding, same=[["wind", "wound"]]) == ["winding/"]
    assert ranked("wound", winding) == []


def test_the_beginning_of_the_last_word_is_enough(ranked):
    raddle = entry("page", "raddle/", "Raddle set wide")
    assert ranked("rad", raddle) == ["raddle/"]
    rad = entry("page", "rad/", "Rad")
    assert ranked("set rad", raddle, rad)[0] == "raddle/"


def test_a_misspelt_word_is_guessed_only_where_it_is_not_known(ranked):
    shuttle, scuttle = entry("page", "shuttle/", "Shuttle"), entry("page", "scuttle/", "Scuttle")
    assert ranked("shutle", shuttle) == ["shuttle/"]
    assert ranked("scuttle", shuttle, scuttle) == ["scuttle/"]


@pytest.mark.parametrize(
    ("typed", "written"),
    [("vavsked", "Vävsked"), ("væv", "vaev"), ("hor", "hør"), ("grosse", "Größe")],
)
def test_letters_of_other_languages_are_read_without_their_marks(ranked, typed, written):
    assert ranked(typed, entry("page", "found/", written)) == ["found/"]
