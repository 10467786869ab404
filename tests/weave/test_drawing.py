"""Pictures: what is drawn is the weave, at the scale that is claimed."""

import re
from itertools import product
from math import sqrt
from xml.etree import ElementTree

import pytest

from calculators.errors import InputError
from calculators.weave.drawing import SQUARE, close_up_svg, point_paper_svg
from calculators.weave.library import WEAVES, weave
from calculators.weave.matrix import Weave, from_lifts
from calculators.yarn.diameter import diameter_mm
from tests.every import of_every

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


@of_every(list(WEAVES))
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


@of_every(list(WEAVES))
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


def lines(path):
    """Lines of a ruling: across where they stand, then up from the bottom, in squares."""
    upright = [int(x) // SQUARE for x in re.findall(r"M(\d+) 0v\d+", path)]
    level = [int(y) // SQUARE for y in re.findall(r"M0 (\d+)h\d+", path)]
    return upright, level


def test_every_square_is_ruled_and_the_frame_holds_one_repeat():
    root = ElementTree.fromstring(point_paper_svg(weave("satin_5"), 12, 7))
    _, fine, heavy, frame = (path.get("d") for path in root.find(f"{SVG}g").findall(f"{SVG}path"))
    assert lines(fine) == (list(range(13)), [7 - n for n in range(8)])
    assert lines(heavy) == ([0, 5, 10], [7, 2])
    assert set(re.findall(r"[vh](\d+)", fine)) == {str(12 * SQUARE), str(7 * SQUARE)}
    assert frame == f"M0 {7 * SQUARE}V{2 * SQUARE}H{5 * SQUARE}V{7 * SQUARE}z"
    assert root.get("viewBox") == f"0 0 {12 * SQUARE + 4} {7 * SQUARE + 4}"


@pytest.mark.parametrize(
    ("ends", "drawn"), [(2, 12), (5, 15), (11, 22), (12, 12), (13, 13), (63, 63), (70, 70)]
)
def test_whole_repeats_are_drawn_about_twelve_squares_or_one_large_repeat(ends, drawn):
    one = Weave("t", "t", from_lifts(ends, ([end] for end in range(1, ends + 1))))
    root = ElementTree.fromstring(point_paper_svg(one))
    assert (
        (int(root.get("width")) - 4) // SQUARE == (int(root.get("height")) - 4) // SQUARE == drawn
    )


def test_a_repeat_cut_by_the_edge_is_framed_as_far_as_it_goes():
    svg = point_paper_svg(weave("satin_8"), 16, 4)
    assert f'd="M0 {4 * SQUARE}V0H{8 * SQUARE}V{4 * SQUARE}z"' in svg


@pytest.mark.parametrize(
    ("ends", "drawn"), [(2, 12), (5, 15), (8, 16), (11, 22), (12, 12), (40, 32)]
)
def test_the_close_up_shows_whole_repeats_as_far_as_they_can_be_seen(ends, drawn):
    one = Weave("t", "t", from_lifts(ends, ([end] for end in range(1, ends + 1))))
    below, weft, _ = rectangles(close_up_svg(one, 30, 30, 10, 10))
    assert len(below) == len(weft) == drawn


def test_threads_lie_in_the_middle_of_their_room_and_ups_cover_the_weft():
    one = weave("twill_2_2")
    svg = close_up_svg(one, 30, 60, 10, 8, ends=4, picks=8)
    below, weft, above = rectangles(svg)
    scale = float(ElementTree.fromstring(svg).get("data-millimetre"))
    # 4 ends to be seen take 4 mm, 8 picks 10 mm: the height fills the picture's 320.
    assert scale == pytest.approx(32)
    room, rise = scale * 10 / 10, scale * 10 / 8
    for end, rect in enumerate(below):
        assert rect["x"] + rect["width"] / 2 == pytest.approx((end + 0.5) * room, abs=0.01)
        assert (rect["y"], rect["height"]) == (0, pytest.approx(8 * rise, abs=0.01))
    for pick, rect in enumerate(weft):
        assert rect["y"] + rect["height"] / 2 == pytest.approx((pick + 0.5) * rise, abs=0.01)
        assert (rect["x"], rect["width"]) == (0, pytest.approx(4 * room, abs=0.01))
    # A float goes a quarter of a pick's room over the picks it covers, never off the picture.
    height, over = 8 * rise, rise / 4
    drawn = {
        (below.index(end), rect["y"], rect["height"])
        for rect in above
        for end in below
        if (end["x"], end["width"]) == (rect["x"], rect["width"])
    }
    assert len(drawn) == len(above)
    picks_up = {
        0: [(0, 0), (3, 4), (7, 7)],
        1: [(0, 1), (4, 5)],
        2: [(1, 2), (5, 6)],
        3: [(2, 3), (6, 7)],
    }
    for end, floats in picks_up.items():
        tops = sorted((y, high) for which, y, high in drawn if which == end)
        for (y, high), (first, last) in zip(tops, reversed(floats), strict=True):
            bottom_edge = weft[7 - first]["y"] + weft[0]["height"] + over
            assert y == pytest.approx(max(0, weft[7 - last]["y"] - over), abs=0.02)
            assert y + high == pytest.approx(min(height, bottom_edge), abs=0.02)


def test_only_the_long_sides_of_a_float_have_an_outline():
    svg = close_up_svg(weave("plain"), 30, 30, 10, 10, ends=2, picks=2)
    for width, height, dashes in re.findall(
        r'width="([\d.]+)" height="([\d.]+)" stroke-dasharray="([^"]*)"', svg
    ):
        nothing, top, right, foot, left = dashes.split()
        assert (nothing, top, right, foot, left) == ("0", width, height, width, height)


@pytest.mark.parametrize(("sett", "picks"), [(10, 10), (0.5, 40), (40, 0.5), (60, 60)])
def test_nothing_is_drawn_outside_the_picture(sett, picks):
    root = ElementTree.fromstring(close_up_svg(weave("satin_8"), 30, 30, sett, picks))
    left, top, width, height = (float(part) for part in root.get("viewBox").split())
    for rect in root.iter(f"{SVG}rect"):
        x, y, wide, high = (float(rect.get(name)) for name in ("x", "y", "width", "height"))
        assert left <= x
        assert x + wide <= left + width + 0.01
        assert top <= y
        assert y + high <= top + height
    for text in root.iter(f"{SVG}text"):
        assert left <= float(text.get("x")) <= left + width - 30
        assert top <= float(text.get("y")) <= top + height


def test_the_bar_is_a_millimetre_and_the_key_names_the_threads():
    svg = close_up_svg(weave("plain"), 30, 30, 10, 10)
    scale = ElementTree.fromstring(svg).get("data-millimetre")
    assert re.search(rf'd="M1 [\d.]+v8m0 -4h{float(scale):.2f}m0 -4v8"', svg)
    assert re.findall(r"<text[^>]*>([^<]*)<", svg) == ["1 mm", "warp", "weft"]


def test_the_title_gives_setts_and_thicknesses():
    # Ashenhurst: 0.9 times the root of the yards in a pound, diameters in an inch.
    def thickness(tex):
        return 25.4 / (0.9 * sqrt(453.59237 / (tex * 0.9144) * 1000))

    svg = close_up_svg(weave("plain"), 30, 60, 10, 8)
    assert (
        f"10 ends and 8 picks to the centimetre; warp {thickness(30):.3g} mm thick, "
        f"weft {thickness(60):.3g} mm<" in svg
    )
    tight = close_up_svg(weave("plain"), 30, 60, 99, 98)
    assert "the warp and the weft must flatten or pile up to fit" in tight


def test_the_largest_that_can_be_drawn():
    one = weave("plain")
    assert "<svg" in point_paper_svg(one, 256, 256)
    assert "<svg" in close_up_svg(one, 74, 74, 1e4, 1e-3, ends=64, picks=64)
    for ends, picks in ((257, 2), (2, 257), (-1, 2), (2, -1)):
        with pytest.raises(InputError):
            point_paper_svg(one, ends, picks)
    for ends, picks in ((65, 2), (2, 65), (-1, 2), (2, -1)):
        with pytest.raises(InputError):
            close_up_svg(one, 74, 74, 12, 12, ends=ends, picks=picks)


POINT_PAPER = re.compile(r"(M\d+ \d+(h\d+v\d+h-\d+z|v\d+|h\d+)|M\d+ \d+V\d+H\d+V\d+z)*")


@of_every(product(WEAVES, ((0, 0), (1, 1), (9, 10), (10, 9), (16, 3))))
def test_every_line_on_point_paper_can_be_drawn_and_stays_on_it(name, size):
    one = weave(name)
    root = ElementTree.fromstring(point_paper_svg(one, *size))
    left, top, width, height = (int(part) for part in root.get("viewBox").split())
    assert (left, top) == (0, 0)
    assert (root.get("width"), root.get("height")) == (str(width), str(height))
    for path in root.find(f"{SVG}g"):
        assert POINT_PAPER.fullmatch(path.get("d"))
        for x, y in re.findall(r"M(\d+) (\d+)", path.get("d")):
            assert int(x) <= width - 4
            assert int(y) <= height - 4


def test_one_square_can_be_drawn():
    twill = weave("twill_1_3")
    assert filled_squares(point_paper_svg(twill, 1, 1)) == {(0, 0)}
    assert filled_squares(point_paper_svg(twill, 1, 2)) == {(0, 0)}
    assert filled_squares(point_paper_svg(twill, 2, 1)) == {(0, 0)}
    below, weft, above = rectangles(close_up_svg(twill, 30, 30, 10, 10, ends=1, picks=1))
    assert len(below) == len(weft) == len(above) == 1


@pytest.mark.parametrize(("squares", "heavy"), [(9, [0, 5]), (10, [0, 5, 10]), (11, [0, 5, 10])])
def test_heavy_lines_end_with_the_paper(squares, heavy):
    root = ElementTree.fromstring(point_paper_svg(weave("satin_5"), squares, squares))
    upright, level = lines(root.find(f"{SVG}g").findall(f"{SVG}path")[2].get("d"))
    assert upright == heavy
    assert level == [squares - line for line in heavy]


def test_what_cannot_be_drawn_is_said_beside_its_field():
    plain = weave("plain")
    for picture in (
        lambda: point_paper_svg(plain, 257, 2),
        lambda: close_up_svg(plain, 30, 30, 10, 10, ends=65, picks=2),
    ):
        with pytest.raises(InputError) as caught:
            picture()
        assert caught.value.field == "weave"
    for sett, picks, field in ((10_000.5, 10, "sett"), (10, 0.9e-3, "picks")):
        with pytest.raises(InputError) as caught:
            close_up_svg(plain, 30, 30, sett, picks)
        assert caught.value.field == field


def test_the_wider_side_fills_the_picture():
    # 8 ends at 4 to the centimetre take 20 mm, 4 picks at 10 take 4 mm: 320 ÷ 20.
    root = ElementTree.fromstring(close_up_svg(weave("plain"), 30, 30, 4, 10, ends=8, picks=4))
    assert float(root.get("data-millimetre")) == pytest.approx(16)


def test_crowded_floats_are_cut_at_the_edge_and_all_have_their_outline():
    svg = close_up_svg(weave("plain"), 30, 30, 10, 60, ends=2, picks=2)
    below, _, above = rectangles(svg)
    # Wefts touch, so a float would reach a quarter of a pick over the top and over the foot.
    assert min(rect["y"] for rect in above) == 0
    assert max(rect["y"] + rect["height"] for rect in above) == pytest.approx(
        below[0]["height"], abs=0.01
    )
    assert len(re.findall("stroke-dasharray", svg)) == len(above) == 2


def test_a_thread_that_just_fits_is_not_squeezed():
    tex = next(tex for tex in range(10, 90) if 10 / (10 / diameter_mm(tex)) == diameter_mm(tex))
    sett = 10 / diameter_mm(tex)
    assert "flatten" not in close_up_svg(weave("plain"), tex, tex, sett, sett)
    assert "flatten" in close_up_svg(weave("plain"), tex, tex, sett * 1.001, sett)


@pytest.mark.parametrize(("sett", "picks"), [(10, 10), (40, 0.5), (1, 60)])
def test_bar_and_key_stand_below_the_cloth_and_words_beside_their_squares(sett, picks):
    svg = close_up_svg(weave("plain"), 30, 30, sett, picks)
    root = ElementTree.fromstring(svg)
    below, _, _ = rectangles(svg)
    foot = max(rect["y"] + rect["height"] for rect in below)
    key = root.findall(f"{SVG}g")[3]
    bar = key.find(f"{SVG}path").get("d")
    start, length = (
        float(re.match(r"M1 ([\d.]+)v8", bar)[1]),
        float(re.search(r"h([\d.]+)", bar)[1]),
    )
    assert start > foot
    right = 1 + length
    for word in key.findall(f"{SVG}text"):
        assert float(word.get("x")) > right  # each to the right of what it explains
        assert float(word.get("y")) > foot
        right = float(word.get("x"))
    squares = [one.find(f"{SVG}rect") for one in key.findall(f"{SVG}g")]
    for square, word in zip(squares, key.findall(f"{SVG}text")[1:], strict=True):
        assert float(square.get("y")) > foot
        assert float(square.get("x")) + float(square.get("width")) < float(word.get("x"))
    assert "".join(root.itertext()).endswith("1 mmwarpweft")
