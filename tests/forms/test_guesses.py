"""One table of first guesses: every form, page and example reads it or says its own."""

import re

import pytest

import calculators
from calculators.data import load
from calculators.engine.first_guesses import first_guesses, guess, guess_range, spread_of
from calculators.registry import registry
from scripts.setting_up.environment import ROOT
from tests.every import of_every

GUESSES = load("first_guesses")
FIELDS = [(form.id, field) for form in registry().values() for field in form.fields]
OTHER_NAME = ("tolerance", "count_tolerance")  # the cone's field keeps its name for old links
GUESSED = [
    (field, name)
    for _, field in FIELDS
    for name in GUESSES
    if field.default
    and (field.name in (name, f"planned_{name}") or (field.name, name) == OTHER_NAME)
]


@of_every(GUESSED)
def test_no_form_has_a_guess_of_its_own(field, name) -> None:
    assert field.default in (guess(name), guess_range(name))


def test_how_far_the_waste_may_be_off_is_the_same_everywhere() -> None:
    typed = {field.default for _, field in FIELDS if field.name == "waste_spread"}
    assert typed == {spread_of("loom_waste")}


def test_the_guesses_stand_as_practice_and_print_have_them() -> None:
    """Ranges of the trade: wash and draw-in as practice 4.2 and 4.3 (common practice), temple
    steps of 19 to 25 mm (weaving magazine, question column), weights of 11 to 15 leads to the pound
    (Bell 1895, p. 177)."""
    inside = {
        "width_shrinkage": (3, 8), "length_shrinkage": (5, 12), "draw_in": (3, 9),
        "take_up": (4, 9), "loom_waste": (100, 200), "temple_step": (1.9, 2.5),
        "weight_each": (453.59237 / 15 - 0.5, 453.59237 / 11 + 0.5),
    }  # fmt: skip
    for name, (low, high) in inside.items():
        row = GUESSES[name]
        assert low <= row["low"] <= row["likely"] <= row["high"] <= high, name


def test_every_guess_says_where_it_stands() -> None:
    for row in GUESSES.values():
        assert row["basis"] in ("common practice", "published")
        assert (row["basis"] == "published") == ("source" in row and "where" in row)
    assert len(first_guesses().rows) == len(GUESSES)


FIGURE = re.compile(
    r"(\d+(?:\.\d+)?)(?:–(\d+(?:\.\d+)?))?(?:–(\d+(?:\.\d+)?))?\s?(%|cm\b|g\b|picks a)"
)
UNITS = {"%": "%", "cm": "cm", "g": "g", "picks a": ""}
SENTENCE = re.compile(r"(?<=[.;|])\s+")


def strangers(text: str) -> list[str]:
    """Figures of sentences on first guesses that are no figure of the table with that unit."""
    found = []
    for sentence in SENTENCE.split(text):
        if "first guess" not in sentence.lower():
            continue
        for *numbers, unit in FIGURE.findall(sentence):
            known = {
                float(row[end])
                for row in GUESSES.values()
                for end in ("low", "likely", "high")
                if row["unit"] == UNITS[unit]
            }
            found += [sentence for number in numbers if number and float(number) not in known]
    return found


def test_pages_have_no_second_figure_for_a_first_guess() -> None:
    for page in sorted((ROOT / "docs").rglob("*.md")):
        assert strangers(page.read_text(encoding="utf-8")) == [], page
    wrong = "A first guess at the draw-in is 11 %. A first guess: 90 cm of waste."
    assert len(strangers(wrong)) == 2


LIMITS = {  # how far a worked example may stand from the guess, before it would need its own reason
    name: (GUESSES[name]["low"] / 2, GUESSES[name]["high"] * 1.35)
    for name in ("width_shrinkage", "length_shrinkage", "draw_in", "take_up", "temple_step")
} | {"picks_per_minute": (2, 8), "loom_waste": (60, 200)}


def test_examples_stay_near_the_guesses() -> None:
    for path in sorted((ROOT / "docs/data/examples").glob("*.toml")):
        text = path.read_text(encoding="utf-8")
        for name, (low, high) in LIMITS.items():
            for typed in re.findall(rf'^{name} = "([^"{{]+)"', text, re.MULTILINE):
                for number in re.findall(r"\d+(?:\.\d+)?", typed):
                    figure = float(number) / (10 if " mm" in typed else 1)
                    assert low <= figure <= high, (path.name, name, typed)


def test_hours_come_as_a_range_until_the_pace_is_known() -> None:
    for name in ("cloth-plan", "rhythm"):
        hours = calculators.run(name)["results"]["hours"]
        picks = calculators.run(name)["results"]["picks_total"]["value"]
        for end, pace in (("low", 8), ("value", 4), ("high", 2)):
            assert hours[end] == pytest.approx(picks / pace / 60, rel=1e-3)
        known = calculators.run(name, {"picks_per_minute": "5"})["results"]["hours"]
        assert "low" not in known


@of_every(list(registry()))
def test_a_worked_example_is_one_that_a_careful_weaver_would_weave(name: str) -> None:
    assert calculators.run(name)["cautions"] == []
