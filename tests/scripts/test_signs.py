"""The small pictures beside troubles: each shows what its words say."""

import re
from xml.etree import ElementTree

import pytest

from calculators.figure.motifs import lettering
from scripts.lists import troubles, troubles_html
from scripts.pages.signs import SIDE, SIGNS, sign_svg
from tests.every import of_every

BOX = re.compile(r"M(-?[\d.]+) (-?[\d.]+)h([\d.]+)v(-[\d.]+)h-[\d.]+z")


def boxes(trouble):
    """Left, top, right and foot of every box that is filled."""
    parts = ElementTree.fromstring(sign_svg(trouble)).iterfind(".//{*}path")
    steps = " ".join(part.get("d") for part in parts)
    found = []
    for box in BOX.findall(steps):
        left, foot, wide, high = map(float, box)
        found.append((left, foot + high, left + wide, foot))
    return found


def extent(found):
    return (
        max(box[2] for box in found) - min(box[0] for box in found),
        max(box[3] for box in found) - min(box[1] for box in found),
    )


@of_every(list(SIGNS))
def test_a_sign_belongs_to_a_trouble_and_says_what_it_shows(trouble):
    assert trouble in {row["id"] for row in troubles()}
    drawing = ElementTree.fromstring(sign_svg(trouble))
    assert drawing.get("role") == "img"
    assert len(drawing.find("{*}title").text) > 15
    assert len(drawing.findall("{*}path")) >= 1
    for part in drawing.iter():
        for paint in ("fill", "stroke"):
            colour = part.get(paint, "none")
            assert colour in ("none", "currentColor") or colour.startswith("var(--ft-"), colour


def test_every_sign_stands_beside_its_trouble():
    page = troubles_html()
    for trouble in SIGNS:
        before = page.partition(f'<div id="{trouble}">')[0]
        assert before.endswith(f"{sign_svg(trouble)}</summary>"), trouble
    assert sign_svg("W-101") == ""


@pytest.mark.parametrize(
    ("trouble", "proportion"), [("W-801", 4 / 3), ("W-802", 3 / 4), ("W-803", 0.9)]
)
def test_a_star_is_as_oblong_as_it_says(trouble, proportion):
    wide, high = extent(boxes(trouble))
    assert high / wide == pytest.approx(proportion, rel=0.01)


def test_the_letter_is_the_mirror_of_itself():
    shown = sorted(boxes("W-808"))
    middle = SIDE / 2
    turned = sorted((2 * middle - right, top, 2 * middle - left, foot)
                    for left, top, right, foot in shown)  # fmt: skip
    letter = lettering("R", "large")
    size = SIDE * 0.8 / letter.up
    drawn = [[False] * letter.across for _ in range(letter.up)]
    for left, _, right, foot in turned:
        row = round((SIDE / 2 + size * letter.up / 2 - foot) / size)
        first = round((left - (SIDE - size * letter.across) / 2) / size)
        for unit in range(first, first + round((right - left) / size)):
            drawn[row][unit] = True
    assert [tuple(row) for row in drawn] == [tuple(row) for row in letter.marks()]
    assert turned != shown


def test_streaks_have_a_dent_of_two_after_two_of_three():
    steps = ElementTree.fromstring(sign_svg("W-408")).findall("{*}path")[-1].get("d")
    places = [float(x) for x in re.findall(r"M([\d.]+) 0v", steps)]
    dents = [sum(1 for x in places if SIDE / 9 * dent <= x < SIDE / 9 * (dent + 1))
             for dent in range(9)]  # fmt: skip
    assert dents == [3, 3, 2] * 3


def test_the_two_sides_of_the_satin_square_are_unlike():
    """Of five-end satin's two sides one is cut at every pick, at the other threads run across."""
    size = SIDE / 25
    up = {(round(left / size) + step, round((SIDE - foot) / size))
          for left, _, right, foot in boxes("W-806")
          for step in range(round((right - left) / size))}  # fmt: skip

    def cut(end):
        """Whether warp and weft change places between two ends at every pick of the square."""
        return all(((end, pick) in up) != ((end + 1, pick) in up) for pick in range(5, 20))

    assert cut(4) != cut(19)
