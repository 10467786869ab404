"""From a photograph to the row that is woven, on a phone whose server is gone; then sent on."""

from io import BytesIO
from urllib.parse import quote

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import expect

from calculators import run
from calculators.figure.grid import read_grid
from calculators.figure.rows import in_words
from tests.browser.paper import Fingers, does, drawn_units, figure, unfold

PLAN = {"pieces": "2", "sample": "0 cm", "hem": "0 cm", "weave": "satin_6"}
HASH = "#v=2&units=cm&calculator=cloth-plan&plan-name=Leaf" + "".join(
    f"&{name}={quote(text)}" for name, text in PLAN.items()
)
PICKS = 6


def photograph():
    """A dark leaf on a light table that is lit from one side, in two thousand points."""
    picture = Image.linear_gradient("L").resize((1600, 1600)).point(lambda light: 190 + light // 5)
    pen = ImageDraw.Draw(picture)
    pen.ellipse((500, 150, 1100, 1200), fill=60)
    pen.rectangle((780, 1150, 820, 1500), fill=50)
    pen.line((800, 200, 800, 1150), fill=200, width=24)
    stored = BytesIO()
    picture.save(stored, "JPEG", quality=90)
    return {"name": "leaf.jpg", "mimeType": "image/jpeg", "buffer": stored.getvalue()}


def taken_from_picture(page, across):
    unfold(page, "From a file")
    page.locator("[name=file]").set_input_files(photograph())
    form = page.locator("[data-show=picture]")
    expect(form.locator("[role=status]")).to_contain_text(f"{across} units across and")
    page.get_by_role("button", name="Take it").click()
    fit = page.get_by_role("button", name="Fit the figure to the plan")
    if fit.is_visible():
        fit.click()
    expect(page.locator("[data-show=units]")).to_contain_text("So has the figure.")
    return drawn_units(figure(page))


def mended_by_touch(page, across, up, leaf):
    """Draw a speck by accident, see it warned of, go there at a tap, and take it away."""
    unit, row = speck = (across - 3, up - 3)
    Fingers(page, across, up).stroke(speck)
    assert drawn_units(figure(page)) == leaf | {speck}
    warnings = page.locator("[data-show=warnings]")
    place = warnings.get_by_role("button", name=f"row {row}, unit {unit}", exact=True)
    place.first.click()
    expect(page.locator("[data-show=place]")).to_have_text(f"Row {row}, unit {unit}, drawn.")
    page.keyboard.press("Space")
    expect(place).to_have_count(0)
    text = figure(page)
    assert drawn_units(text) == leaf
    expect(page.locator("[data-show=kept]")).to_have_text("Saved on this device, with the plan.")
    return read_grid(text, top_first=True)


def stands_after_a_reload(page, grid, row, pick):
    more = page.locator(".ft-loom-more > summary")
    more.click()
    page.locator("[name=picks]").fill(str((row - 1) * PICKS + pick - 1))
    page.get_by_role("button", name="Set the count").click()
    more.click()
    expect(page.locator("[data-show=written]")).to_contain_text("saved")
    page.reload()
    expect(page.locator(".ft-row-title")).to_have_text(f"Piece 1 of 2, row {row} of {grid.up}")
    expect(page.locator(".ft-row-pick")).to_contain_text(f"Pick {pick} of {PICKS}, treadle ")
    told = "; ".join(page.locator(".ft-row-line").all_text_contents())
    assert told == in_words(grid.rows[row - 1], grid.across)


def is_printed(page, grid):
    page.locator(".ft-loom-more > summary").click()
    page.get_by_role("button", name="Print the rows").click()
    lines = page.locator(".ft-print .ft-ticks").last.locator("li")
    expect(lines).to_have_count(grid.up)
    expect(lines.nth(56)).to_have_text(f"57 {in_words(grid.rows[56], grid.across)}")
    page.get_by_role("button", name="Back to the page").click()


@pytest.mark.bundled
@pytest.mark.long
def test_a_photographed_leaf_is_woven_row_by_row_without_a_server(
    keeping_phone, new_device, host, site
):
    page = keeping_phone.new_page()
    page.goto(host.address + "figure/drawing/" + HASH)
    expect(page.locator(".ft-offline")).to_contain_text("Ready offline: pages and calculators")
    host.stop()
    page.reload()
    page.locator(".ft-drawing[data-bound]").wait_for()
    expect(page.locator("[data-show=units]")).to_contain_text("units across")
    plan = run("cloth-plan", PLAN)["results"]
    across, up = (int(plan[f"units_{way}"]["value"]) for way in ("across", "up"))
    leaf = taken_from_picture(page, across)
    assert 0.05 < len(leaf) / (across * up) < 0.5
    grid = mended_by_touch(page, across, up, leaf)
    page.get_by_role("link", name="Row by row at the loom").click()
    expect(page.locator(".ft-row-title")).to_have_text(f"Piece 1 of 2, row 1 of {up}")
    stands_after_a_reload(page, grid, 57, 3)
    stands_after_a_reload(page, grid, up, 1)
    is_printed(page, grid)
    page.goto(host.address + "figure/drawing/" + HASH)
    page.locator(".ft-drawing[data-bound]").wait_for()
    unfold(page, "Send it")
    does(page, "link")
    link = page.locator("[data-show=link] a").get_attribute("href")
    # Another weaver, elsewhere, opens the link: at the loom, then on the squared paper.
    host.serve(site)
    with new_device() as other:
        there = other.new_page()
        there.goto(link.replace("figure/drawing/", "loom-side/"))
        expect(there.locator(".ft-row-title")).to_have_text(f"Piece 1 of 2, row 1 of {up}")
        there.goto(host.address + "figure/drawing/" + HASH)
        there.locator(".ft-drawing[data-bound]").wait_for()
        assert read_grid(figure(there), top_first=True) == grid
