"""Pictures of every kind, good and bad, opened on a phone: squares or a sentence, nothing else."""

import re
from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageOps
from playwright.sync_api import expect

from tests.browser.test_drawing import figure, unfold

SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><script>globalThis.bad = 1'
    b'</script><image href="http://elsewhere.invalid/a.png" width="9" height="9"/></svg>'
)
MOST = 2000  # points a side of what is kept of a picture
# The next picture is decoded when `goOn` is called, those after it at once.
HOLD = """() => {
  const own = globalThis.createImageBitmap;
  globalThis.createImageBitmap = async (...given) => {
    globalThis.createImageBitmap = own;
    await new Promise((done) => (globalThis.goOn = done));
    return own(...given);
  };
}"""


def stored(picture, kind="PNG", **options):
    file = BytesIO()
    picture.save(file, kind, **options)
    return file.getvalue()


def left_half(across, up, mode="L", dark=0, light=255):
    picture = Image.new(mode, (across, up), light)
    picture.paste(dark, (0, 0, across // 2, up))
    return picture


def squares(dark):
    """Squares of an array of what is dark, as the page writes them, the top row first."""
    return "\n".join("".join(".#"[bool(point)] for point in line) for line in dark)


@pytest.fixture
def paper(visit):
    """The squared paper with its file chooser unfolded, once the plan's units are told."""
    page = visit("figure/drawing/")
    page.locator(".ft-drawing[data-bound]").wait_for()
    expect(page.locator("[data-show=units]")).to_contain_text("units across")
    unfold(page, "From a file")
    return page


def pick(page, data, name="a.png", kind="image/png"):
    picked = {"name": name, "mimeType": kind, "buffer": data}
    page.locator("[name=file]").set_input_files(picked)


def test_a_picture_of_a_point_a_unit_is_what_pillow_reads(paper):
    """A single point; printer's colours; turned as a camera says; of an animation the first."""
    turned = Image.Exif()
    turned[0x0112] = 6
    print_colours = left_half(48, 24, "CMYK", (0, 0, 0, 255), (0, 0, 0, 0))
    first, then = left_half(20, 10).convert("P"), Image.new("P", (20, 10), 0)
    for name, kind, data in (
        ("one.png", "image/png", stored(Image.new("L", (1, 1), 0))),
        ("print.jpg", "image/jpeg", stored(print_colours, "JPEG", quality=100)),
        ("held.jpg", "image/jpeg", stored(left_half(48, 24), "JPEG", quality=100, exif=turned)),
        ("moves.gif", "image/gif", stored(first, "GIF", save_all=True, append_images=[then])),
        ("moves.png", "image/png", stored(first, save_all=True, append_images=[then])),
        ("thin.png", "image/png", stored(Image.new("1", (1, 1000), 0))),
    ):
        seen = np.asarray(ImageOps.exif_transpose(Image.open(BytesIO(data))).convert("L"))
        pick(paper, data, name, kind)
        expect(paper.locator("[data-show=said]")).to_contain_text(f"“{name}” is opened")
        assert figure(paper) == squares(seen < 128), name


def test_what_is_no_picture_is_refused_and_the_paper_stays(paper):
    blank = figure(paper)
    whole = stored(left_half(300, 200), "JPEG")
    huge = stored(Image.new("1", (20_000, 20_000), 1))
    for name, kind, data, words in (
        ("a.svg", "image/svg+xml", SVG, "no figure of the handbook"),
        ("a.png", "image/png", SVG, "no figure of the handbook"),
        ("b.svg", "image/svg+xml", SVG.decode().encode("utf-16-be"), "cannot open this picture"),
        ("c.png", "image/png", b"##..##", "cannot open this picture"),
        ("d.jpg", "image/jpeg", b"PK\3\4" + bytes(500), "cannot open this picture"),
        ("e.jpg", "image/jpeg", whole[:200], "cannot open this picture"),
        ("f.png", "image/png", b"", "cannot open this picture"),
        ("g.png", "image/png", huge, "20 000 × 20 000 points, too many to read"),
    ):
        pick(paper, data, name, kind)
        said = re.compile(words.replace(" ", r"\s"))
        expect(paper.locator("[data-show=said]")).to_contain_text(said)
        expect(paper.locator("[data-show=picture]")).to_be_empty()
        assert figure(paper) == blank, name
    assert paper.evaluate("() => globalThis.bad ?? 0") == 0


def test_a_picture_that_ends_early_is_what_there_is_or_a_sentence(paper):
    grain = Image.effect_noise((900, 600), 90).convert("RGB")
    for name, kind, data in (
        ("a.jpg", "image/jpeg", stored(grain, "JPEG")),
        ("a.png", "image/png", stored(grain)),
        ("a.gif", "image/gif", stored(grain, "GIF")),
    ):
        pick(paper, data[: len(data) // 2], name, kind)
        answered = re.compile("cannot open this picture|units across and")
        place = paper.locator("[data-show=picture] [role=status], [data-show=said]")
        expect(place.filter(has_text=answered)).to_have_count(1)


def test_what_is_transparent_rests_and_a_turned_photograph_stands_upright(paper):
    """Dark, light, and nothing, side by side; then a photograph of a phone held upright."""
    thirds = Image.new("RGBA", (600, 200), (90, 160, 40, 0))
    thirds.paste((10, 10, 10, 255), (0, 0, 200, 200))
    thirds.paste((250, 250, 250, 255), (200, 0, 400, 200))
    told = paper.locator("[data-show=picture] [role=status]")

    def brought_to(units, size):
        paper.locator("[name=units_across]").fill(str(units))
        paper.locator("[name=units_across]").blur()
        expect(told).to_contain_text(f"{units} units across and {size} up")

    for drawn, expected in (
        ("dark", "#" * 10 + "." * 20),
        ("light", "." * 10 + "#" * 10 + "." * 10),
    ):
        pick(paper, stored(thirds))
        expect(told).to_contain_text("units across and")
        paper.locator("[data-show=picture] [name=drawn]").select_option(drawn)
        brought_to(30, 10)
        paper.get_by_role("button", name="Take it").click()
        assert figure(paper) == "\n".join([expected] * 10)
    held = Image.Exif()
    held[0x0112] = 6
    photograph = left_half(2400, 1200, dark=20, light=235)
    pick(paper, stored(photograph, "JPEG", exif=held), "leaf.jpg", "image/jpeg")
    expect(told).to_contain_text("units across and")
    size = paper.evaluate(
        "() => (({ width, height }) => [width, height])(document.querySelector('.ft-photograph'))"
    )
    assert size == [MOST // 2, MOST]
    brought_to(20, 40)
    paper.get_by_role("button", name="Take it").click()
    assert figure(paper) == "\n".join(["#" * 20] * 20 + ["." * 20] * 20)


def test_reading_says_what_it_does_and_can_be_stopped(paper):
    """A picture that is stopped, or that another one follows, never comes back."""
    blank = figure(paper)
    big, other = stored(left_half(900, 600, light=200)), stored(left_half(30, 20))
    place, said = paper.locator("[data-show=picture]"), paper.locator("[data-show=said]")
    paper.evaluate(HOLD)
    pick(paper, big)
    expect(place.get_by_role("status")).to_have_text("The picture is being read: 900 × 600 points.")
    place.get_by_role("button", name="Stop").click()
    expect(said).to_have_text("Stopped. The paper is as it was.")
    paper.evaluate("() => goOn()")
    paper.evaluate(HOLD)
    pick(paper, big)
    expect(place.get_by_role("status")).to_contain_text("900 × 600 points")
    assert figure(paper) == blank
    pick(paper, other, "other.png")
    expect(said).to_contain_text("“other.png” is opened: 30 units across, 20 up.")
    taken = figure(paper)
    paper.evaluate("() => goOn()")
    pick(paper, big)
    expect(place.get_by_role("status")).to_contain_text("units across and")
    pick(paper, other, "other.png")
    expect(place).to_be_empty()
    expect(said).to_contain_text("“other.png” is opened")
    assert figure(paper) == taken


@pytest.mark.thorough
def test_forty_eight_megapixels_are_read_small(paper):
    across, up = 8_000, 6_000
    photograph = left_half(across, up, dark=30, light=220)
    pick(paper, stored(photograph, "JPEG"), "large.jpg", "image/jpeg")
    place = paper.locator("[data-show=picture]")
    expect(place.get_by_role("status")).to_have_text(re.compile("8.000 × 6.000 points"))
    expect(place.get_by_role("status")).to_contain_text("units across and")
    assert paper.evaluate("() => document.querySelector('.ft-photograph').width") == MOST
    paper.locator("[name=units_across]").fill("40")
    paper.locator("[name=units_across]").blur()
    expect(place.get_by_role("status")).to_contain_text("40 units across and 30 up")
    paper.get_by_role("button", name="Take it").click()
    assert figure(paper) == "\n".join(["#" * 20 + "." * 20] * 30)
