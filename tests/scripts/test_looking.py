"""Choosing by looking: tables, pictures and prose beside sums done by hand."""

import re
from fractions import Fraction
from math import floor, sqrt

import pytest

from calculators.data import load
from calculators.tables import table
from scripts.pages.embed import html_of
from scripts.setting_up.environment import ROOT
from tests.every import of_every

PAGE = (ROOT / "docs/structures/looking.md").read_text(encoding="utf-8")
REPEATS = {  # ends of the repeat, intersections of a pick
    "four-end broken twill": (4, 2),
    "five-end satin": (5, 2),
    "six-end satin (irregular)": (6, 2),
    "eight-end satin": (8, 2),
    "six-thread lace": (6, 6),
}
YARNS = {  # yards in a pound, and the cotton count of the same weight
    "looking-8-2": (840 * 4, 4.0),
    "looking-16-2": (840 * 8, 8.0),
    "looking-30-2": (840 * 15, 15.0),
    "looking-linen": (300 * 40, 300 * 40 / 840),
}
WIDTH_LOST, LENGTH_LOST, DRAWN_IN, TAKEN_UP, TURN = 0.05, 0.08, 0.04, 0.06, 0.02  # first guesses


def of_row(name):
    found = table(name)
    return {row[0]: dict(zip(found.columns, row, strict=True)) for row in found.rows}


def by_hand(name, ends, intersections):
    """Sett, units, weight and thickness from the printed rules."""
    yards, count = YARNS[name]
    reed = 0.85 * 0.9 * sqrt(yards) * ends / (ends + intersections)  # Ashenhurst; 85 % of it
    loom = reed / (1 - DRAWN_IN)
    units = floor(18 / (1 - WIDTH_LOST) * loom / ends + 0.5)
    washed = loom / (1 - WIDTH_LOST) / 2.54  # a square unit: picks and ends alike
    tex = 453592.37 / (yards * 0.9144)
    warp = (1 + TAKEN_UP) / (1 - LENGTH_LOST)
    weft = (1 + TURN) / ((1 - DRAWN_IN) * (1 - WIDTH_LOST))
    mass = washed * tex * (warp + weft) / 10
    round_thread = 25.4 / (28 * sqrt(count))
    between = ends / (6 * 5 / 6 if intersections == 6 else 2)
    waves = [40 / 3 / washed * sqrt((one - 1) * between) for one in (warp, weft)]
    return reed, units, 10 * ends / washed, mass, 2 * round_thread, max(waves) + round_thread


@of_every(list(YARNS))
def test_a_table_is_what_the_printed_rules_give(name):
    rows = of_row(name)
    for title, (ends, intersections) in REPEATS.items():
        row = rows[title]
        reed, units, unit, mass, pressed, loose = by_hand(name, ends, intersections)
        assert row["ends per inch"] == pytest.approx(reed, rel=1e-6)
        assert row["units in 18 in (46 cm)"] == units
        assert row["unit, mm"] == pytest.approx(unit, rel=1e-6)
        assert row["g/m²"] == pytest.approx(mass, rel=1e-6)
        low, high = map(float, row["thickness, mm"].split("–"))
        assert low == pytest.approx(pressed, abs=0.0051)
        if intersections == 2:  # in lace not every thread bends alike
            assert high == pytest.approx(loose, abs=0.0051)


@of_every(list(YARNS))
def test_a_picture_has_the_size_of_its_units(name):
    shown = html_of(f"[[true-size: {name}]]")
    pictures = re.findall(r'width="([\d.]+)mm".*?, ([^,]+), true size</title>', shown)
    rows = of_row(name)
    captions = re.findall("<figcaption>(.*?)</figcaption>", shown)
    for caption, (width, title) in zip(captions, pictures, strict=True):
        told = re.sub("<[^>]*>", "", caption)
        found = re.fullmatch(r"(.*), ([\d.]+) cm \(([\d /]+) in\)", told)
        assert found[1].casefold() == title.casefold()
        assert 10 * float(found[2]) == pytest.approx(float(width), abs=0.55)
        inches = float(sum(map(Fraction, found[3].split())))
        assert inches == pytest.approx(float(width) / 25.4, abs=1 / 16 + 0.02)
    assert {title for _, title in pictures} == set(REPEATS) - {"six-thread lace"}
    for width, title in pictures:
        assert float(width) == pytest.approx(9 * rows[title]["unit, mm"], abs=0.06)


def test_what_the_page_says_is_so():
    coarse, fine = of_row("looking-8-2"), of_row("looking-16-2")
    five, six = fine["five-end satin"], fine["six-end satin (irregular)"]

    def thick(row, end):
        return float(row["thickness, mm"].split("–")[end])

    assert "becomes two fifths thicker and heavier" in PAGE
    assert thick(coarse["five-end satin"], 0) / thick(five, 0) == pytest.approx(1.4, abs=0.04)
    assert coarse["five-end satin"]["g/m²"] / five["g/m²"] == pytest.approx(1.4, abs=0.04)
    assert "it gains a twentieth in weight" in PAGE
    assert six["g/m²"] / five["g/m²"] == pytest.approx(1.05, abs=0.005)
    assert "Pressed**, both are two threads thick. There is no difference at all." in PAGE
    assert thick(six, 0) == thick(five, 0)
    assert "six-end is thicker by about a fortieth" in PAGE
    exact = [by_hand("looking-16-2", ends, 2)[-1] for ends in (5, 6)]
    assert 1.02 < exact[1] / exact[0] < 1.03
    settings = load("tables")["looking"]
    for least, word in settings["weight_words"][1:]:
        assert re.search(rf"\*{word}\* (?:is under|from) ", PAGE) or f"under {least} g/m²" in PAGE
        assert str(least) in PAGE
