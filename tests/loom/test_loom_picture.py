"""The loom drawn: lengths to scale, every part with a number and a word of the glossary."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators.show.pictures.loom import ABOVE, SIDE, loom_above_svg, loom_side_svg
from scripts.build import DOCS
from scripts.lists import rows, term_id
from scripts.pages.embed import html_of
from scripts.pages.figures import figure_svg

MEASURE = re.compile(r"M([\d.]+) [\d.]+v8m0 -4H([\d.]+)m0 -4v8")
lengths = st.floats(8, 150)


def measures(svg):
    return [float(right) - float(left) for left, right in MEASURE.findall(svg)]


@given(lengths, lengths, lengths, st.floats(1, 15), st.floats(0, 10))
def test_lengths_along_the_warp_are_to_scale_in_both_views(front, apart, behind, lift, below):
    along = {"fell_to_shafts": front, "harness_distance": apart, "behind_harness": behind}
    wanted = [length / (front + apart + behind) for length in along.values()]
    for svg in (
        loom_side_svg(**along, pattern_lift=lift, below_line=below, numbered=True),
        loom_above_svg(**along),
    ):
        drawn = measures(svg)
        assert [one / sum(drawn) for one in drawn] == pytest.approx(wanted, abs=2e-3)


def test_the_ends_are_drawn_where_they_lie():
    """Rise and sink from the dotted line stand in the proportion of lift and line."""
    svg = loom_side_svg(fell_to_shafts=25, harness_distance=18, behind_harness=75,
                        pattern_lift=6, below_line=2)  # fmt: skip
    drawn, rest = re.findall(r'd="M58 128L[\d.]+ ([\d.]+)L268 128"', svg)
    assert (128 - float(drawn)) / (float(rest) - 128) == pytest.approx(2, abs=0.02)


@pytest.mark.parametrize(("name", "parts"), [("side", SIDE), ("above", ABOVE)])
def test_every_part_has_one_number_and_its_word_in_the_glossary(name, parts):
    drawing = ElementTree.fromstring(figure_svg(f"loom-{name}"))
    numbers = [int(text.text) for text in drawing.findall(".//{*}text")
               if text.get("font-size") == "12.5"]  # fmt: skip
    assert numbers == list(range(1, len(parts) + 1))
    assert len(set(parts)) == len(parts)
    terms = {row["term"]: row for row in rows("glossary", "term")}
    linked = re.findall(r'#([\w-]+)">([^<]+)</a>', html_of(f"[[loom-parts: {name}]]"))
    assert linked == [(term_id(terms[part]), part) for part in parts]


def test_numbers_do_not_lie_on_each_other():
    for name in ("side", "above"):
        drawing = ElementTree.fromstring(figure_svg(f"loom-{name}"))
        rounds = [one for one in drawing.findall(".//{*}circle") if one.get("r") == "9"]
        places = [(float(one.get("cx")), float(one.get("cy"))) for one in rounds]
        assert len(places) >= 10
        for number, (x, y) in enumerate(places):
            for other_x, other_y in places[:number]:
                assert (x - other_x) ** 2 + (y - other_y) ** 2 >= 17**2


def test_the_page_tells_the_stretch_that_is_worked_out():
    page = (DOCS / "warp" / "loom.md").read_text(encoding="utf-8")
    told = page.partition("stretches its worst end by")[2]

    def worst(**typed):
        done = calculators.run("longer-loom", typed)["results"]
        return done["greatest_stretch"]["value"], done["stretch_then"]["value"]

    now, then = worst()
    short, _ = worst(behind_harness="15 cm")
    figures = [float(figure) for figure in re.findall(r"([\d.]+) %", told)[:3]]
    assert figures == pytest.approx([now, then, short], abs=0.005)
