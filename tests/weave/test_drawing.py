"""Pictures: what is drawn is the weave, at the scale that is claimed."""

import re
from math import sqrt
from xml.etree import ElementTree

import pytest

from calculators.errors import InputError
from calculators.weave.drawing import SQUARE, close_up_svg, point_paper_svg
from calculators.weave.library import WEAVES, weave
from calculators.weave.matrix import Weave, from_lifts

SVG = "{http://www.w3.org/2000/svg}"
TEX_16_2 = 453.59237 / (6720 * 0.9144) * 1000  # 6720 yards in a pound


def filled_squares(svg):
    """Squares (end, pick) filled on the point paper, read back from the picture."""
    root = ElementTree.fromstring(svg)
    height = float(root.get("viewBox").split()[3]) - 4
    path = root.find(f"{SVG}g").find(f"{SVG}path").get("d")
    squares = set()
    for left, top, length in re.findall(r"M(\d+) (\d+)h(\d+)v", path):
        pick = round((height - int(top)) / SQUARE) - 1
        squares |= {(int(left) // SQUARE + n, pick) for n in range(int(length) // SQUARE)}
    return squares


@pytest.mark.parametrize("name", WEAVES)
def test_point_paper_shows_the_weave_first_pick_at_the_bottom(name):
    one = weave(name)
    expected = {
        (end, pick)
        for pick in range(2 * one.picks)
        for end in range(2 * one.ends)
        if one.matrix[pick % one.picks][end % one.ends]
    }
    assert filled_squares(point_paper_svg(one, 2 * one.ends, 2 * one.picks)) == expected


def test_first_pick_of_a_twill_is_bottom_left():
    squares = filled_squares(point_paper_svg(weave("twill_1_3"), 4, 4))
    assert squares == {(0, 0), (1, 1), (2, 2), (3, 3)}


@pytest.mark.parametrize("name", WEAVES)
def test_pictures_have_titles_and_take_the_page_s_colours(name):
    for svg in (
        point_paper_svg(weave(name)),
        close_up_svg(weave(name), TEX_16_2, TEX_16_2, 18, 18),
    ):
        root = ElementTree.fromstring(svg)
        assert root.find(f"{SVG}title").text.startswith(weave(name).title)
        assert root.get("role") == "img"
        colours = set(re.findall(r'(?:fill|stroke)="([^"]*)"', svg))
        assert all(
            colour in ("none", "currentColor") or colour.startswith("var(--ft-")
            for colour in colours
        )


def test_rules_follow_the_repeat():
    def heavy(name):
        paths = ElementTree.fromstring(point_paper_svg(weave(name))).find(f"{SVG}g")
        return paths.findall(f"{SVG}path")[2].get("d")

    assert f"M{5 * SQUARE} 0v" in heavy("satin_5")
    assert f"M{8 * SQUARE} 0v" in heavy("satin_8")


def test_repeat_is_framed_only_when_there_is_more_than_one():
    framed = re.compile(r'd="M0 \d+V\d+H\d+V\d+z"')
    assert framed.search(point_paper_svg(weave("satin_8")))
    assert not framed.search(point_paper_svg(weave("satin_8"), 8, 8))


def rectangles(svg):
    """Rectangles of the lower warp, the weft and the upper warp, in that order."""
    groups = ElementTree.fromstring(svg).findall(f"{SVG}g")
    return [
        [{name: float(rect.get(name)) for name in ("x", "y", "width", "height")} for rect in group]
        for group in groups[:3]
    ]


def test_close_up_is_true_to_sett_and_thickness():
    svg = close_up_svg(weave("plain"), TEX_16_2, TEX_16_2 / 4, 12, 20, ends=8, picks=10)
    scale = float(ElementTree.fromstring(svg).get("data-millimetre"))
    below, weft, above = rectangles(svg)
    assert (len(below), len(weft)) == (8, 10)
    # 10 mm hold 12 ends and 20 picks; 0.9·√6720 warp threads lie in 25.4 mm, the weft is half as
    # thick, being a quarter of the weight.
    thick = 25.4 / (0.9 * sqrt(6720))
    assert (below[1]["x"] - below[0]["x"]) / scale == pytest.approx(10 / 12, rel=1e-2)
    assert (weft[1]["y"] - weft[0]["y"]) / scale == pytest.approx(10 / 20, rel=1e-2)
    assert below[0]["width"] / scale == pytest.approx(thick, rel=1e-2)
    assert weft[0]["height"] / scale == pytest.approx(thick / 2, rel=1e-2)
    assert len(above) == 8 * 10 // 2


def test_close_up_shows_each_end_above_where_it_is_up():
    one = weave("satin_5")
    below, weft, above = rectangles(close_up_svg(one, 30, 30, 10, 10, ends=5, picks=5))
    height = below[0]["height"]
    rise = height / 5
    shown = set()
    for rect in above:
        end = int(rect["x"] // (rect["x"] and below[1]["x"] - below[0]["x"]))
        middle = rect["y"] + rect["height"] / 2
        shown.add((end, int((height - middle) // rise)))
    assert shown == {(e, p) for p in range(5) for e in range(5) if one.matrix[p][e]}
    assert all(rect["width"] == below[0]["width"] for rect in above)
    assert len(weft) == 5


def test_a_float_is_drawn_in_one_piece():
    _, _, above = rectangles(close_up_svg(weave("twill_2_2"), 30, 30, 10, 10, ends=4, picks=4))
    # Ends 2, 3 and 4 float over two picks in one piece; the float of end 1 over picks 4 and 1 is
    # cut by the edges of the picture.
    assert len(above) == 5


def test_crowded_threads_fill_their_room_and_the_title_says_so():
    svg = close_up_svg(weave("plain"), TEX_16_2, 5, 100, 12)
    scale = float(ElementTree.fromstring(svg).get("data-millimetre"))
    below, _, _ = rectangles(svg)
    assert below[0]["width"] / scale == pytest.approx(0.1, rel=2e-2)
    assert "the warp must flatten or pile up" in svg
    assert "must flatten" not in close_up_svg(weave("plain"), TEX_16_2, 5, 12, 12)


def test_what_cannot_be_drawn_is_refused():
    with pytest.raises(InputError):
        point_paper_svg(weave("plain"), 257, 2)
    with pytest.raises(InputError):
        close_up_svg(weave("plain"), 74, 74, 12, 12, ends=65)
    for sett, picks, field in ((0, 12, "sett"), (12, 1e9, "picks")):
        with pytest.raises(InputError) as caught:
            close_up_svg(weave("plain"), 74, 74, sett, picks)
        assert caught.value.field == field


def test_names_are_escaped():
    odd = Weave("odd", "a <b> & c", from_lifts(2, [[1], [2]]))
    assert "a &lt;b&gt; &amp; c" in point_paper_svg(odd)
    assert "a &lt;b&gt; &amp; c" in close_up_svg(odd, 74, 74, 12, 12)


def test_a_large_weave_is_drawn_once():
    large = Weave("l", "l", from_lifts(70, ([end] for end in range(1, 71))))
    assert len(filled_squares(point_paper_svg(large))) == 70
