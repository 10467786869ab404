"""What the page asks for a picture, and what a hostile one answers."""

import base64
import io
import json
import time

import numpy as np
import pytest
from PIL import Image

from calculators.figure.grid import read_grid
from calculators.figure.picture import WAYS
from calculators.page import respond
from tests.figure.test_png import HOSTILE


def ask(points, **request):
    return json.loads(respond(json.dumps({"call": "picture", **request}), points))


def disc(across, up):
    """A black disc that fills four fifths of a picture both ways."""
    y, x = np.mgrid[0:up, 0:across]
    inside = ((x + 0.5 - across / 2) / across) ** 2 + ((y + 0.5 - up / 2) / up) ** 2 < 0.16
    return np.where(inside, 20, 230).astype(np.uint8)


def marks(reply):
    return np.array(read_grid(reply["grid"]).marks())


def test_a_picture_keeps_its_proportions_whatever_the_unit():
    """A square picture on units twice as wide as high: the cloth is square again."""
    grey = disc(600, 600)
    reply = ask(
        grey.tobytes(), points_across=600, points_up=600, units_across=60,
        unit_width=4.0, unit_height=2.0,
    )  # fmt: skip
    assert reply["ok"], reply
    assert (reply["units_across"], reply["units_up"]) == (60, 120)
    drawn = marks(reply)
    wide, tall = drawn.any(axis=0).sum() * 4.0, drawn.any(axis=1).sum() * 2.0
    assert wide == pytest.approx(tall, abs=4)
    assert wide == pytest.approx(0.8 * 60 * 4, abs=8)
    assert "proportions" not in reply["words"]


def test_a_picture_that_is_drawn_out_is_told():
    grey = disc(600, 600)
    points, request = grey.tobytes(), {"points_across": 600, "points_up": 600}
    tall = ask(points, **request, units_across=60, units_up=90)
    assert tall["units_up"] == 90
    assert "drawn out" in tall["words"]
    assert "60 units up" in tall["words"]
    flat = ask(points, **request, units_across=60, units_up=30)
    assert "pressed together" in flat["words"]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("drawn", ["dark", "light"])
def test_the_greys_that_come_back_make_the_same_figure(way, drawn):
    """So that another level or way is shown without the whole picture."""
    grey = np.random.default_rng(3).integers(0, 256, (90, 120), np.uint8)
    grey[:, :40] = 255 if drawn == "dark" else 0  # as the page lays on what is transparent
    first = ask(
        grey.tobytes(), points_across=120, points_up=90, way=way, drawn=drawn, units_across=30,
    )  # fmt: skip
    assert first["ok"], first
    again = ask(
        base64.b64decode(first["grey"]), points_across=30, points_up=first["units_up"], way=way,
        drawn=drawn, level=first["level"],
    )  # fmt: skip
    assert again["grid"] == first["grid"]
    assert not marks(first)[:, :9].any()
    assert WAYS[way].cloth in first["words"]


def test_a_part_of_a_picture_is_the_picture_of_that_part():
    grey = disc(100, 80)
    whole = ask(
        grey.tobytes(), points_across=100, points_up=80, part=[10, 20, 50, 40],
        units_across=25,
    )  # fmt: skip
    part = np.ascontiguousarray(grey[20:60, 10:60])
    alone = ask(part.tobytes(), points_across=50, points_up=40, units_across=25)
    assert whole == alone


def test_a_png_is_read_by_the_same_call():
    grey = disc(50, 40)
    file = io.BytesIO()
    Image.fromarray(grey).save(file, "PNG")
    reply = ask(file.getvalue(), level=100)
    assert np.array_equal(marks(reply)[::-1], grey < 100)
    assert reply["level"] == 100


@pytest.mark.parametrize(("data", "words"), [one for one in HOSTILE if one[1]])
def test_a_hostile_picture_is_answered_in_words(data, words):
    reply = ask(data)
    assert not reply["ok"]
    assert reply["field"] == "picture"
    assert words in reply["problem"].replace("\u202f", " ")


def test_what_arrives_broken_is_told():
    assert "no picture that is known" in ask(b"?")["problem"]
    assert "4 arrived" in ask(b"abcd", points_across=9, points_up=9)["problem"]


def test_a_photograph_is_quick():
    """The browser's own Python takes about three times as long, and is given two seconds."""
    grey = np.random.default_rng(1).integers(0, 256, 3_000_000, np.uint8)
    points, request = grey.tobytes(), {"points_across": 2000, "points_up": 1500}
    took = []
    for _ in range(3):
        begun = time.process_time()
        assert ask(points, **request, units_across=160, units_up=200, way="passing-on")["ok"]
        took.append(time.process_time() - begun)
    assert min(took) < 0.67
