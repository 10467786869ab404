"""The page's own search, over the built list, answers what weavers type."""

import json
import tomllib

import pytest

from scripts.setting_up.environment import ROOT

ASKED = tomllib.loads((ROOT / "tests/runtime/questions.toml").read_text(encoding="utf-8"))


def test_every_right_answer_is_a_place(site):
    listed = json.loads((site / "search/list.json").read_text(encoding="utf-8"))
    known = {at for _, at, *_ in listed["entries"]}
    for questions in ASKED.values():
        for question, *right in questions:
            assert right, question
            assert set(right) <= known, question


# What a change of the words or the weights may not fall below, of a hundred.
@pytest.mark.parametrize(
    ("part", "first", "among_three"),
    [("known", 90, 98), ("used", 88, 96), ("blind", 80, 90), ("stranger", 85, 95)],
)
def test_weavers_find_what_they_ask_for(found, part, first, among_three):
    asked = ASKED[part]
    places = found([question for question, *_ in asked])
    ranks = [
        next((place for place, at in enumerate(there) if at in right), len(there))
        for there, (_, *right) in zip(places, asked, strict=True)
    ]
    missed = [one[0] for one, rank in zip(asked, ranks, strict=True) if rank > 2]
    shares = [100 * sum(rank <= limit for rank in ranks) / len(ranks) for limit in (0, 2)]
    print(f"{part}: {len(asked)} asked, {shares[0]:.0f} % first, {shares[1]:.0f} % in three")
    assert shares[0] >= first, missed
    assert shares[1] >= among_three, missed


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("broken heald", "heddle broke"),
        ("wove", "weaving"),
        ("colour lot", "color lots"),
        ("förskedning", "FORSKEDNING"),
        ("weaver's knot", "weavers knot"),
    ],
)
def test_forms_and_spellings_of_a_word_are_one(found, one, other):
    first, second = found([one, other])
    assert first[:3] == second[:3] != []


def test_order_does_not_matter_and_a_stray_word_does_no_harm(found):
    straight, turned, more = found(
        ["temple tears selvedge", "selvedge tears temple", "temple tears selvedge xylophone"]
    )
    assert straight == turned
    assert straight[0] == more[0] == "trouble/#W-704"


def test_a_misspelt_word_finds_what_the_right_one_does(found):
    right, wrong = found(["selvedge temple", "selvege tempel"])
    assert set(right[:3]) & set(wrong[:3])


def test_reports_of_checks_come_last(found):
    (there,) = found(["cotton"])
    reports = [at.startswith("reference/check-report/#check-") for at in there]
    assert any(reports)
    assert not any(reports[:12])


def test_nothing_is_found_for_nothing(found):
    assert found(["", "  ", "?!", "qqqqzzzz"]) == [[], [], [], []]
