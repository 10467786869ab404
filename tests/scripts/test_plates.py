"""Damask of the handbook's own motifs: on the first page, the cover and beside a link."""

import re
from base64 import b64decode
from io import BytesIO

import pytest
from PIL import Image

from calculators.figure.composed import composed
from scripts.binding.plate import ACROSS, ALONG, BIRD, COVER, SENT, cover_png, sent_png, woven
from scripts.pages.home import welcome_html


def opened(png):
    return Image.open(BytesIO(png)).convert("RGB")


def light_of(picture, figure):
    """Mean lightness of the units at rest and of the drawn ones."""
    grid = composed(figure)
    wide, high = picture.width // grid.across, picture.height // grid.up
    assert (picture.width, picture.height) == (wide * grid.across, high * grid.up)
    small = picture.convert("L").resize((grid.across, grid.up), Image.Resampling.BOX)
    tones = ([], [])
    for row, units in enumerate(grid.marks()):
        for unit, drawn in enumerate(units):
            tones[drawn].append(small.getpixel((unit, grid.up - 1 - row)))
    return [sum(some) / len(some) for some in tones]


@pytest.mark.parametrize(("light", "figure_is_dark"), [(ALONG, True), (ACROSS, False)])
def test_floats_along_the_light_are_dark_and_those_across_it_are_bright(light, figure_is_dark):
    """The figure is warp: dark in light along the warp, bright in light across it."""
    ground, figure = light_of(opened(woven(BIRD, "satin_6", light)[1]), BIRD)
    assert (ground - figure > 15) == figure_is_dark
    assert (figure - ground > 15) != figure_is_dark


@pytest.mark.parametrize(("png", "figure"), [(sent_png, SENT), (cover_png, COVER)])
def test_plates_are_of_one_colour_and_light(png, figure):
    data = png()
    assert len(data) < 40_000
    picture = opened(data)
    ground, drawn = light_of(picture, figure)
    assert ground - drawn > 15
    assert all(max(colour) - min(colour) < 20 for _, colour in picture.getcolors(256))


def test_a_picture_beside_a_link_has_the_proportions_that_are_cut_nowhere():
    across, up = opened(sent_png()).size
    assert across >= 1190
    assert 1.85 < across / up < 1.95


def test_the_first_page_shows_one_cloth_in_two_lights_and_says_what_is_seen():
    pictures = re.findall(r'<img [^>]*base64,([^"]*)"[^>]* alt="([^"]*)"', welcome_html(""))
    assert len(pictures) == 2
    for png, words in pictures:
        ground, figure = light_of(opened(b64decode(png)), BIRD)
        brighter = "figure" if figure > ground else "ground"
        assert words.startswith("A bird woven in white damask")
        assert words.endswith(f"the {brighter} is the brighter.")


@pytest.mark.long
def test_every_page_names_the_picture_that_is_shown_with_its_link(site, site_pages):
    """The Open Graph protocol: `og:image` is a whole address; a picture stands there."""
    for name in site_pages:
        page = (site / name / "index.html").read_text(encoding="utf-8")
        home = re.search(r'<link rel="canonical" href="([^"]*)">', page)[1].removesuffix(name)
        image = re.search(r'<meta property="og:image" content="([^"]*)">', page)[1]
        assert image.startswith(home), name
        assert (
            opened((site / image.removeprefix(home)).read_bytes()).size == opened(sent_png()).size
        )
        assert '<meta property="og:title"' in page, name
