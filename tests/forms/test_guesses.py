"""One table of first guesses: every form, page and example reads it or says its own."""

import re

import pytest

import calculators
from calculators.data import load
from calculators.forms import registry
from calculators.forms.guesses import first_guesses, guess, guess_range, spread_of
from scripts.environment import ROOT

GUESSES = load("first_guesses")
FIELDS = [(form.id, field) for form in registry().values() for field in form.fields]
GUESSED = [
    pytest.param(field, name, id=f"{form}-{field.name}")
    for form, field in FIELDS
    for name in GUESSES
    if field.name in (name, f"planned_{name}") and field.default
]


@pytest.mark.parametrize(("field", "name"), GUESSED)
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


def test_pages_leave_the_figures_of_first_guesses_to_the_table() -> None:
    """A page may call something a first guess; the figures of the table stand in the table."""
    pace = re.compile(r"\b(\w+) picks a minute")
    words = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8}
    for page in sorted((ROOT / "docs").rglob("*.md")):
        text = page.read_text(encoding="utf-8")
        for number in pace.findall(text):
            assert 2 <= words.get(number, 4) <= 8, page
        for line in text.splitlines():
            if "first guess" in line and "reed width" in line and "|" not in line:
                assert "%" not in line, page
    told = (ROOT / "docs/plan/index.md").read_text(encoding="utf-8")
    assert "[[table: first-guesses]]" in told


def test_examples_are_woven_at_a_usual_pace() -> None:
    usual = GUESSES["picks_per_minute"]
    for path in sorted((ROOT / "docs/data/examples").glob("*.toml")):
        for pace in re.findall(r'picks_per_minute = "([\d.]+)"', path.read_text(encoding="utf-8")):
            assert usual["low"] <= float(pace) <= usual["high"], path.name


def test_hours_come_as_a_range_until_the_pace_is_known() -> None:
    for name in ("cloth-plan", "rhythm"):
        hours = calculators.run(name)["results"]["hours"]
        picks = calculators.run(name)["results"]["picks_total"]["value"]
        for end, pace in (("low", 8), ("value", 4), ("high", 2)):
            assert hours[end] == pytest.approx(picks / pace / 60, rel=1e-3)
        known = calculators.run(name, {"picks_per_minute": "5"})["results"]["hours"]
        assert "low" not in known


@pytest.mark.parametrize("name", registry())
def test_a_worked_example_is_one_that_a_careful_weaver_would_weave(name: str) -> None:
    assert calculators.run(name)["cautions"] == []
