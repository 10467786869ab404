"""Piece and warp: what is drawn stands in the proportions of the numbers."""

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.show.pictures import piece_svg, warp_svg
from calculators.show.pictures.parts import WIDTH

SVG = "{http://www.w3.org/2000/svg}"


def parts(svg):
    """Shapes of a picture by the first word of their class, each (x, y, width, height)."""
    found = {}
    for shape in ElementTree.fromstring(svg).iter():
        name = shape.get("class", "").split(" ")[0]
        if shape.tag == f"{SVG}rect":
            box = tuple(float(shape.get(key)) for key in ("x", "y", "width", "height"))
        elif shape.tag == f"{SVG}path":
            box = box_of(shape.get("d"))
        else:
            continue
        found.setdefault(name, []).append(box)
    return found


def box_of(path):
    x = y = 0.0
    places = []
    for step, numbers in re.findall(r"([MLHVmhvl])([-\d. ]*)", path):
        figures = [float(one) for one in numbers.split()]
        match step:
            case "M" | "L":
                x, y = figures
            case "m" | "l":
                x, y = x + figures[0], y + figures[1]
            case "H":
                x = figures[0]
            case "V":
                y = figures[0]
            case "h":
                x += figures[0]
            case "v":
                y += figures[0]
        places.append((x, y))
    across, down = zip(*places, strict=True)
    return min(across), min(down), max(across) - min(across), max(down) - min(down)


def words(svg):
    return ["".join(text.itertext()) for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@given(
    width=st.floats(5, 400),
    length=st.floats(5, 400),
    selvedge=st.floats(0, 2),
    hem=st.floats(0, 8),
    across=st.integers(1, 3000),
    up=st.integers(1, 3000),
)
def test_a_piece_is_drawn_to_scale(width, length, selvedge, hem, across, up):
    svg = piece_svg("A piece", (width, length), width - 2 * selvedge, (hem, 0), (across, up))
    drawn = parts(svg)
    (edge,), (whole,), (pattern,) = (
        drawn[f"ft-piece-{name}"] for name in ("edge", "hem", "pattern")
    )
    scale = edge[2] / width
    near = {"rel": 0.01, "abs": 0.02}
    assert edge[3] == pytest.approx(length * scale, **near)
    assert whole[3] == pytest.approx((length + 2 * hem) * scale, **near)
    assert pattern[2] == pytest.approx((width - 2 * selvedge) * scale, **near)
    assert edge[1] - whole[1] == pytest.approx(hem * scale, **near)
    assert whole[0] >= 0
    assert whole[2] <= WIDTH / 2
    view = float(ElementTree.fromstring(svg).get("viewBox").split()[3])
    assert whole[1] + whole[3] < view


def test_the_net_of_a_piece_counts_its_units():
    svg = piece_svg("A piece", (48, 24), 48, (0, 0), (96, 48))
    net = next(
        shape.get("d")
        for shape in ElementTree.fromstring(svg).iter(f"{SVG}path")
        if shape.get("class") == "ft-piece-net"
    )
    assert "5 by 5 units" in words(svg)  # 96 units in at most twenty squares
    assert len(re.findall(r"v", net)) == 96 // 5 + 1
    assert len(re.findall(r"H", net)) == 48 // 5 + 1


def test_a_piece_tells_its_sizes_in_both_worlds_and_only_what_there_is():
    told = words(piece_svg("A piece", (48, 36), 47, (2, 0), (158, 157)))
    assert {
        "48 cm · 18 7/8 in, 158 units across",
        "36 cm · 14 1/8 in, 157 units up",
        "turned in, each end: 2 cm · 3/4 in",
    } <= {*told}
    bare = " ".join(words(piece_svg("A piece", (48, 48), 48, (0, 0), (158, 158))))
    assert "turned in" not in bare
    assert "selvedge" not in bare


@given(
    across=st.integers(50, 400),
    up=st.integers(50, 400),
    margin=st.integers(0, 12),
    border=st.integers(1, 12),
)
def test_a_border_is_drawn_as_many_units_in_as_it_lies(across, up, margin, border):
    size = (across / 10, up / 10)  # units of a millimetre
    svg = piece_svg("A piece", size, size[0], (0, 0), (across, up), (margin, border))
    (pattern,) = parts(svg)["ft-piece-pattern"]
    unit = pattern[2] / across
    path = next(
        shape.get("d")
        for shape in ElementTree.fromstring(svg).iter(f"{SVG}path")
        if shape.get("class").startswith("ft-piece-border")
    )
    outer, inner = (box_of(one + "z") for one in path.rstrip("z").split("z"))
    for box, depth in ((outer, margin), (inner, margin + border)):
        assert box == pytest.approx(
            (
                pattern[0] + unit * depth,
                pattern[1] + unit * depth,
                unit * (across - 2 * depth),
                unit * (up - 2 * depth),
            ),
            abs=0.05,
        )
    told = words(svg)
    assert f"border of {border} {'unit' if border == 1 else 'units'}" in told
    margins = f"plain margin of {margin} {'unit' if margin == 1 else 'units'}"
    assert (margins in told) == bool(margin)


LENGTHS = {"pieces": 6, "piece_on_loom": 56, "gap": 2, "sample": 30, "loom_waste": 140}


def warp(take_up=0.06, **other):
    given = LENGTHS | other
    woven = (
        given["sample"]
        + given["pieces"] * given["piece_on_loom"]
        + (given["pieces"] - 1) * given["gap"]
    )
    length = woven * (1 + take_up) + given["loom_waste"]
    return length, warp_svg(warp_length=length, woven_length=woven, **given)


@pytest.mark.parametrize("take_up", [0, 0.06, 0.2])
@pytest.mark.parametrize("other", [{}, {"pieces": 1}, {"sample": 0}, {"gap": 0, "pieces": 9}])
def test_the_warp_is_one_strip_to_scale(take_up, other):
    length, svg = warp(take_up, **other)
    given, drawn = LENGTHS | other, parts(svg)
    pieces, (waste,) = drawn["ft-warp-piece"], drawn["ft-warp-waste"]
    scale = waste[2] / given["loom_waste"]
    assert len(pieces) == given["pieces"]
    for piece in pieces:
        assert piece[2] == pytest.approx(given["piece_on_loom"] * (1 + take_up) * scale, rel=0.01)
    for one, following in pairwise(pieces):
        gap = following[0] - one[0] - one[2]
        assert gap == pytest.approx(given["gap"] * (1 + take_up) * scale, abs=0.02)
    first = drawn["ft-warp-sample"][0] if given["sample"] else pieces[0]
    assert waste[0] + waste[2] - first[0] == pytest.approx(length * scale, rel=0.01)
    assert pieces[-1][0] + pieces[-1][2] == pytest.approx(waste[0], abs=0.02)


def test_the_warp_tells_its_lengths():
    length, svg = warp()
    told = " ".join(words(svg))
    assert length == pytest.approx((30 + 6 * 56 + 5 * 2) * 1.06 + 140)
    for part in ("the whole warp: 5.386 m", "sample: 30 cm", "6 pieces of 56 cm", "5 gaps of 2 cm"):
        assert part in told
    assert "take-up of all this: 22.6 cm" in told  # 0.06 × 376
    assert "loom waste, front and behind: 140 cm" in told


def test_very_many_pieces_are_one_stretch_of_cloth():
    _, svg = warp(pieces=300)
    assert len(parts(svg)["ft-warp-piece"]) == 1
    assert "300 pieces" in svg
