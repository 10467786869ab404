"""The look of the cloth as it is asked for: by the calculator, the page's worker, a command."""

import base64
import json
import re
from io import BytesIO
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

import calculators
from calculators.__main__ import main
from calculators.appearance.calculators import LOOK, look_from, look_of_plan
from calculators.appearance.fabric import AS_WOVEN
from calculators.appearance.pictures import Crop, threads_png
from calculators.contract import calculate
from calculators.figure.draw import STAR
from calculators.figure.grid import Grid, packed, read_grid
from calculators.figure.png import as_png
from calculators.page import respond
from calculators.registry import calculator
from calculators.show.html import answer_html
from tests.every import of_every
from tests.figure.figures import grids


def results(**typed):
    found = calculators.run("look", typed)
    assert found["ok"], found
    return {name: one["value"] for name, one in found["results"].items()}


def opened(png):
    return np.asarray(Image.open(BytesIO(png)).convert("RGB")).astype(int)


def ask(**request):
    return json.loads(respond(json.dumps({"call": "cloth", **request})))


def drawn(reply):
    assert reply["ok"], reply
    return opened(base64.b64decode(reply["png"]))


def test_sizes_are_those_of_the_plan_before_and_after_the_wash():
    """Six ends at 18 to the cm in the reed, drawn in by a tenth, then washed by a tenth."""
    typed = {
        "draw_in": "10 %",
        "width_shrinkage": "10 %",
        "length_shrinkage": "0",
        "picks": "20 /cm",
    }
    washed, woven = (look_from({**typed, "washed": name}).fabric for name in ("washed", "woven"))
    assert woven.unit_mm == pytest.approx((60 / (18 / 0.9), 60 / 20))
    assert washed.unit_mm == pytest.approx((60 / (18 / 0.9) * 0.9, 60 / 20))
    assert results(**typed)["unit_width"] == pytest.approx(washed.unit_mm[0])
    assert (woven.flat, washed.flat > woven.flat) == (AS_WOVEN, True)


def test_without_picks_a_unit_is_square_once_it_is_washed():
    width, height = look_from({"weave": "satin_5", "warp_yarn": "30/2"}).fabric.unit_mm
    assert width == pytest.approx(height, rel=0.002)  # picks are rounded
    width, height = look_from({"washed": "woven"}).fabric.unit_mm
    assert height > 1.01 * width, "more is lost in length than in width"


@given(st.floats(0.2, 49), st.sampled_from([0.25, 0.5, 1, 2]))
def test_twice_the_distance_or_half_the_acuity_asks_for_twice_the_stroke(metres, acuity):
    near = results(viewing_distance=f"{metres} m", acuity=str(acuity))
    far = results(viewing_distance=f"{2 * metres} m", acuity=str(acuity))
    dim = results(viewing_distance=f"{metres} m", acuity=str(acuity / 2))
    assert far["detail"] == pytest.approx(2 * near["detail"])
    assert dim["detail"] == pytest.approx(2 * near["detail"])
    assert far["stroke_units"] in (2 * near["stroke_units"], 2 * near["stroke_units"] - 1)
    assert near["stroke"] >= near["detail"] * (1 - 1e-9)


def test_across_the_room_by_hand():
    """4 m × tan 1′ = 1.16 mm; a unit of 3.04 mm is more, at 12 m it takes two."""
    assert results(viewing_distance="4 m")["detail"] == pytest.approx(1.1636, abs=1e-4)
    assert results(viewing_distance="4 m")["stroke_units"] == 1
    assert results(viewing_distance="12 m")["stroke_units"] == 2


@of_every(["0", "12", "3", "6", "9"])
def test_light_along_or_across_the_warp_shows_the_figure_best(hour):
    best = results(light=hour)["light_contrast"]
    for other in ("1", "2", "10:30", "45°", "100 deg"):
        assert results(light=other)["light_contrast"] < best
    assert results(light="45°")["light_contrast"] == pytest.approx(1)


def test_words_say_which_is_bright_and_that_a_plain_cloth_shows_none():
    def said(**typed):
        run = calculate("look", typed)
        return " ".join((*run.answer.notes, *run.answer.cautions))

    assert "the ground is the brighter. Turn" in said(light="12")
    assert "the figure is the brighter. Turn" in said(light="3")
    assert "the figure is the brighter. Turn" in said(light="12", side="back")
    assert "hardly shows" in said(light="1:30")
    assert "No figure shows" in said(weave="plain")
    assert "hardly" not in said(weave="satin_5")
    assert "the figure is the brighter" in said(
        light="1:30", warp_colour="white", weft_colour="navy"
    )


@of_every([("12", "face"), ("3", "back"), ("1:30", "face")])
def test_pictures_have_titles_words_and_the_clothes_proportions(light, side):
    inputs = {"light": light, "side": side, "sett": "12 /cm", "picks": "20 /cm"}
    fabric = look_from(inputs).fabric
    near, whole, true = calculate("look", inputs).answer.pictures
    for picture in (near, whole, true):
        root = ET.fromstring(picture)
        names = [child.tag.rpartition("}")[2] for child in root]
        assert names == ["title", "desc", "image"]
        assert all(child.text for child in root[:2])
        assert "bright" in root[1].text
    for picture in (whole, true):
        wide, high = map(float, ET.fromstring(picture).get("viewBox").split()[2:])
        assert (wide, high) == pytest.approx(fabric.size_mm, abs=0.01)
        assert wide / high != pytest.approx(1, abs=0.2)
    assert ET.fromstring(true).get("width") == f"{fabric.size_mm[0]:.1f}mm"
    assert "the " + side in near
    assert {"12": "12 o’clock", "3": "3 o’clock", "1:30": "1:30"}[light] in near


@of_every(["satin_5", "satin_6", "satin_8"])
def test_of_a_large_figure_a_part_is_shown_in_true_size_as_it_is_in_the_whole(weave):
    """Units of ten ends, so that in six-end satin every third begins on the first shaft."""
    rng = np.random.default_rng(7)
    marks = rng.integers(0, 2, (40, 50))
    text = "\n".join("".join(".#"[mark] for mark in row) for row in marks)
    inputs = {"grid": text, "weave": weave, "ends_per_unit": "10", "picks_per_unit": "10"}
    look = look_from({**inputs, "viewing_distance": "20 cm"})
    root = ET.fromstring(look.true_svg())
    assert float(root.get("width").removesuffix("mm")) <= 70
    across, up, left, low = map(int, re.findall(r"\d+", root[1].text))
    image = root[2].get("href").partition("base64,")[2]
    shown = opened(base64.b64decode(image))
    each = shown.shape[1] // across // 10
    assert shown.shape[:2] == (up * 10 * each, across * 10 * each)
    crop = Crop(left - 1, low - 1, across, up)
    whole = opened(threads_png(look.fabric, look.light, look.side, (each, each), crop))
    inner = slice(each, -each)  # the outermost threads have neighbours in the whole
    assert (shown[inner, inner] == whole[inner, inner]).all()


def test_the_words_under_a_picture_are_its_title_in_the_readers_world():
    shown = answer_html(calculate("look", {}))
    captions = re.findall("<figcaption>(.*?)</figcaption>", shown)
    titles = [ET.fromstring(one)[0].text for one in calculate("look", {}).answer.pictures]
    assert [re.sub("<[^>]*>", "", one) for one in captions] == [f"{one}." for one in titles]
    assert "23 5/8 in" in re.search('ft-imperial">(.*)', captions[1])[1]


@given(grids(most=30))
def test_near_shows_a_part_where_figure_and_ground_meet_if_they_do(grid):
    crop = look_from({"grid": packed(grid)}).near()[1]
    rows = grid.marks()[crop.low : crop.low + crop.up]
    inside = {mark for row in rows for mark in row[crop.left : crop.left + crop.across]}
    if max(grid.across, grid.up) <= 10:  # all of it
        assert inside == {mark for row in grid.marks() for mark in row}
    assert crop.left + crop.across <= grid.across
    assert crop.low + crop.up <= grid.up


@of_every(
    [
        ("light", "from nowhere", "clock"),
        ("warp_colour", "mauvish", "#2b4a6f"),
        ("weft_colour", "12", "#2b4a6f"),
        ("grid", "##?", "row of units"),
        ("sink", "9", "1 to 6"),
    ]
)
def test_what_is_not_understood_is_told_beside_its_field(field, typed, hint):
    found = calculators.run("look", {field: typed})
    assert not found["ok"]
    (error,) = found["errors"]
    assert error["field"] == field
    assert hint in error["hint"]


# The page's worker --------------------------------------------------------------------------------


def test_the_threads_come_in_strips_that_make_the_whole():
    """400 × 40 units in six-end satin are more than is drawn in a moment."""
    rng = np.random.default_rng(13)
    marks = rng.integers(0, 2, (40, 400))
    text = "\n".join("".join(".#"[mark] for mark in row) for row in marks)
    inputs = {"grid": text, "warp_colour": "navy"}
    strips, row = [], 0
    while row < 40:
        reply = ask(inputs=inputs, picture="threads", thread_points=[2, 2], from_row=row)
        assert reply["next"] > row
        row = reply["next"]
        strips.append(drawn(reply))
    assert len(strips) > 2
    assert row == reply["units_up"]
    whole = np.concatenate(strips[::-1])
    assert whole.shape[:2] == (40 * 12, 400 * 12)
    assert opened_rows(whole, 12) == opened_rows(drawn_at_once(inputs), 12)


def drawn_at_once(inputs):
    look = look_from(inputs)
    return opened(threads_png(look.fabric, look.light, look.side, (2, 2)))


def opened_rows(points, each):
    return [points[place : place + each].tobytes() for place in range(0, len(points), each)]


def test_a_plan_lends_its_yarn_weave_and_sizes():
    planned = {"warp_yarn": "30/2", "weave": "satin_5", "ends_per_unit": "10", "sett": "24 /cm"}
    plan = calculator("cloth-plan")
    look = look_of_plan(plan, planned, {"grid": STAR, "warp_colour": "navy"})
    results_of_plan = calculators.run("cloth-plan", planned)["results"]
    assert look.fabric.ends_per_unit == 10
    assert look.fabric.ground.shafts == 5
    assert look.fabric.unit_mm[0] == pytest.approx(results_of_plan["unit_width"]["value"], rel=1e-6)
    assert look.fabric.warp.thickness < look_from({}).fabric.warp.thickness
    reply = ask(id="cloth-plan", planned=planned, inputs={"grid": STAR}, picture="whole")
    assert reply["millimetres"] == pytest.approx([15 * side for side in look.fabric.unit_mm])


@of_every(
    [{"inputs": {"light": "x"}}, {"id": "cloth-plan", "planned": {"sett": "x"}, "inputs": {}}]
)
def test_a_cloth_that_cannot_be_drawn_is_told_in_words(request):
    reply = ask(**request)
    assert not reply["ok"]
    assert reply["problem"]
    assert reply["field"] in ("light", "sett")


# The command --------------------------------------------------------------------------------------


def test_the_command_draws_the_cloth_of_a_picture(tmp_path, capsys):
    figure, out = tmp_path / "star.png", tmp_path / "cloth.png"
    figure.write_bytes(as_png(read_grid(STAR)))
    typed = ["cloth", str(figure), "--out", str(out), "--weave", "satin_6"]
    assert main([*typed, "--points", "2", "--warp-colour", "red", "--weft-colour", "blue"]) == 0
    points = opened(out.read_bytes())
    assert points.shape == (15 * 12, 15 * 12, 3)
    middle, corner = points[84:96, 84:96].mean((0, 1)), points[:12, :12].mean((0, 1))
    assert middle[0] > middle[2], "the middle of the star is drawn: warp"
    assert corner[0] < corner[2]
    assert main([*typed, "--viewing-distance", "10 m"]) == 0
    assert opened(out.read_bytes()).shape[0] < 20
    assert main([*typed, "--light", "upward"]) == 2
    assert "light" in capsys.readouterr().err
    assert main(["cloth", str(tmp_path / "none.png"), "--out", str(out)]) == 2
    assert main(["cloth", str(figure), "--out", str(tmp_path)]) == 2
    assert "could not be written" in capsys.readouterr().err


def test_every_field_of_the_look_is_an_option_of_the_command(capsys):
    with pytest.raises(SystemExit):
        main(["cloth", "--help"])
    said = capsys.readouterr().out
    for field in LOOK.fields:
        assert field.name == "grid" or f"--{field.name.replace('_', '-')}" in said


@given(st.integers(1, 400), st.integers(1, 1000), st.sampled_from(["satin_5", "satin_8", "plain"]))
def test_every_thread_has_as_many_points_as_a_picture_holds(across, up, weave):
    look = look_from({"grid": packed(Grid(across, (0,) * up)), "weave": weave})
    points = look.thread_points()
    ends, picks = look.fabric.ends, look.fabric.all_picks
    assert points[0] == points[1] >= 1
    if points[0] > 1:
        assert ends * points[0] <= 1_400
        assert ends * points[0] * picks * points[1] <= 16_000_000
    elif ends <= 700 and picks <= 5_000:
        assert ends * picks * 4 > 16_000_000
