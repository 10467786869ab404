"""The cloth of a plan's figure, as the page asks for it and as worked examples show it."""

import json
import re
from base64 import b64decode
from io import BytesIO
from math import pi

import pytest
from PIL import Image

import calculators
from calculators.appearance.plates import look_of_figure, plate_png, plates_html
from calculators.contract import calculate
from calculators.figure.grid import Grid, packed
from calculators.page import respond

DAMASK = {"weave": "satin_6", "finished_width": "24 cm", "finished_length": "24 cm"}


def left_half(plan):
    """A figure of the plan's units, of which those on the left are drawn."""
    found = calculators.run("cloth-plan", plan)["results"]
    across, up = (found[f"units_{way}"]["value"] for way in ("across", "up"))
    return Grid(across, ((1 << across // 2) - 1,) * up)


def asked(plan, grid):
    request = {"call": "cloth", "picture": "plate", "id": "cloth-plan", "planned": plan}
    return json.loads(respond(json.dumps(request | {"grid": packed(grid)})))


def halves(png):
    """Mean lightness of the left half and of the right one."""
    picture = Image.open(BytesIO(png)).convert("L")
    middle = picture.width // 2
    boxes = ((0, 0, middle - 4, picture.height), (middle + 4, 0, picture.width, picture.height))
    return [
        picture.crop(box).resize((1, 1), Image.Resampling.BOX).getpixel((0, 0)) for box in boxes
    ]


def test_in_light_along_the_warp_the_drawn_half_is_dark():
    reply = asked(DAMASK, left_half(DAMASK))
    drawn, resting = halves(b64decode(reply["png"]))
    assert resting - drawn > 10
    assert "model of the cloth" in reply["words"]
    assert "the ground is the brighter" in reply["words"]


def test_five_end_satin_shows_the_figure_less_than_six_end_satin():
    apart = {}
    for weave in ("satin_5", "satin_6"):
        plan = DAMASK | {"weave": weave, "ends_per_unit": "", "picks_per_unit": ""}
        drawn, resting = halves(b64decode(asked(plan, left_half(plan))["png"]))
        apart[weave] = resting - drawn
    assert 0 < apart["satin_5"] < apart["satin_6"]


@pytest.mark.parametrize("weave", ["lace_6", "plain"])
def test_what_the_model_cannot_show_is_not_shown(weave):
    plan = DAMASK | {"weave": weave, "ends_per_unit": "6", "picks_per_unit": "6"}
    assert asked(plan, left_half(plan))["png"] == ""


def test_a_figure_of_other_units_than_the_plans_is_not_shown():
    grid = left_half(DAMASK)
    assert asked(DAMASK, Grid(grid.across - 1, grid.rows))["png"] == ""
    assert asked(DAMASK | {"finished_width": "oops"}, grid)["png"] == ""


def test_the_distance_is_that_at_which_a_point_is_one_minute_of_arc():
    """ISO 8596: acuity 1 parts one minute of arc, a 10,800th of half a turn."""
    grid = left_half(DAMASK)
    look = look_of_figure(calculate("cloth-plan", DAMASK), grid)
    png, metres = plate_png(look)
    picture = Image.open(BytesIO(png))
    point = look.fabric.size_mm[0] / picture.width
    assert metres == max(1, round(point * 10_800 / pi / 1000))
    assert picture.width % grid.across == 0
    assert f"from {metres} m (" in plates_html(look)


def test_linen_is_shown_as_linen_and_cotton_as_cotton():
    linen = {"warp_system": "linen", "weft_system": "linen", "warp_yarn": "40", "weft_yarn": "40"}
    for typed, fibre in (({}, "cotton"), (linen, "linen")):
        plan = DAMASK | typed
        fabric = look_of_figure(calculate("cloth-plan", plan), left_half(plan)).fabric
        assert (fabric.warp.fibre, fabric.weft.fibre) == (fibre, fibre)


def test_the_picture_of_the_whole_is_small():
    for side in ("24 cm", "48 cm", "90 cm"):
        plan = DAMASK | {"finished_width": side, "finished_length": side}
        grid = left_half(plan)
        look = look_of_figure(calculate("cloth-plan", plan), grid)
        pictures = re.findall('base64,([^"]*)"', plates_html(look))
        assert len(pictures) == 2
        assert sum(len(b64decode(one)) for one in pictures) < 20_000
