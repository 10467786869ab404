"""The scraps beside the shelf's ideas, as another hand reads them."""

import base64
from io import BytesIO
from xml.etree import ElementTree as ET

import numpy as np
from PIL import Image

from calculators.contract import calculate


def test_an_idea_shows_its_weave_in_the_colours_of_its_cones():
    """On the example's shelf lie a blue cone, a white one and unbleached linen."""
    blue = []
    for card in calculate("shelf", {}).answer.cards:
        title, _, image = ET.fromstring(card.picture)
        assert title.text in card.title
        png = base64.b64decode(image.get("href").partition("base64,")[2])
        points = np.asarray(Image.open(BytesIO(png)).convert("RGB")).astype(int)
        bluer = points[..., 2] - points[..., 0] > 25
        named = next(line for line in card.lines if "warp " in line)
        assert bluer.any() == ("Blue" in named), named
        if "Blue" in named and ("White" in named or "Maren" in named):
            assert not bluer.all()
        blue.append(bluer.any())
    assert any(blue)
