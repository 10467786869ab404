"""The cloth of a plan's figure in the drawing of its piece: on the page, the card, the sheet."""

from base64 import b64decode
from io import BytesIO
from urllib.parse import quote

from PIL import Image
from playwright.sync_api import expect

import calculators
from calculators.figure.grid import Grid, packed

PLAN = {"pieces": "2", "weave": "satin_6", "finished_width": "20 cm", "finished_length": "20 cm"}


def hash_of():
    found = calculators.run("cloth-plan", PLAN)["results"]
    across, up = (found[f"units_{way}"]["value"] for way in ("across", "up"))
    figure = packed(Grid(across, ((1 << across // 2) - 1,) * up))  # the left half is drawn
    told = "".join(f"&{name}={quote(text)}" for name, text in (PLAN | {"figure": figure}).items())
    return f"#v=2&units=cm&calculator=cloth-plan&plan-name=Halves{told}"


def dark_on_the_left(image, where="href"):
    png = b64decode(image.get_attribute(where).removeprefix("data:image/png;base64,"))
    picture = Image.open(BytesIO(png)).convert("L")
    left, right = (picture.getpixel((picture.width * part // 8, 9)) for part in (1, 7))
    return left < right


def test_a_plan_with_a_figure_shows_its_cloth_on_page_card_and_sheet(phone, host):
    page = phone.new_page()
    page.goto(f"{host.address}plan/whole-plan/{hash_of()}")
    answer = page.locator('[data-calculator="cloth-plan"] .ft-answer')
    woven = answer.locator(".ft-piece image")
    expect(woven).to_have_count(1)
    assert dark_on_the_left(woven)
    pattern = answer.locator(".ft-piece-pattern").bounding_box()
    cloth = woven.bounding_box()
    for side in ("x", "y", "width", "height"):
        assert abs(pattern[side] - cloth[side]) < 3, side
    expect(answer.locator(".ft-of-cloth")).to_contain_text("the ground is the brighter")
    model = answer.locator(".ft-of-cloth a")
    expect(model).to_have_attribute("href", f"{host.address}structures/what-you-will-see/")

    page.get_by_role("button", name="Print", exact=True).first.click()
    expect(page.locator(".ft-print .ft-job .ft-piece image")).to_have_count(1)
    page.get_by_role("button", name="Back to the page").click()
    page.get_by_role("button", name="Share", exact=True).first.click()
    expect(page.locator(".ft-received-plan .ft-piece image")).to_have_count(1)
    page.get_by_role("button", name="Close", exact=True).click()

    page.get_by_role("button", name="Save", exact=True).first.click()
    expect(page.locator(".ft-received")).to_contain_text("Saved as “Halves”")
    plans = phone.new_page()
    plans.goto(f"{host.address}plans/")
    kept = plans.locator(".ft-plans img")
    expect(kept).to_have_count(1)
    assert dark_on_the_left(kept, "src")
    plans.close()

    # Another number makes another answer, and the cloth comes into it again.
    length = answer.locator('[data-result="warp_length"] .ft-value')
    before = length.inner_text()
    page.locator('[data-calculator="cloth-plan"] [name="pieces"]').fill("5")
    expect(length).not_to_have_text(before)
    expect(woven).to_have_count(1)
