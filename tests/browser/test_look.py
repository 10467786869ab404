"""The cloth on a phone: the light turned, the figure and the ground change places."""

import re
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

PLACE = "structures/what-you-will-see/"


def brightness(picture):
    return np.asarray(Image.open(BytesIO(picture.screenshot())).convert("L")).mean()


def test_the_light_is_turned_with_a_slider_and_the_figure_lights_up(visit):
    page = visit(PLACE)
    look = page.locator('[data-calculator="look"]')
    slider, field = look.get_by_label("Turn the light"), look.locator('[name="light"]')
    notes, near = look.locator(".ft-answer"), look.locator(".ft-answer .ft-cloth").first
    expect(slider).to_have_value("12")
    expect(notes).to_contain_text("the ground is the brighter")
    before = near.locator("image").get_attribute("href")
    slider.fill("3")
    expect(field).to_have_value("3")
    expect(notes).to_contain_text("In this light the figure is the brighter")
    assert near.locator("image").get_attribute("href") != before
    slider.fill("1.5")
    expect(field).to_have_value("1:30")
    expect(notes).to_contain_text("hardly shows")
    expect(look.locator('li[data-result="light_contrast"] .ft-value')).to_have_text("1")
    field.fill("270°")
    expect(slider).to_have_value("9")
    expect(notes).to_contain_text("In this light the figure is the brighter")


def test_cloth_keeps_its_colours_by_night(visit):
    page = visit(PLACE)
    cloth = page.locator(".ft-main > .ft-picture .ft-cloth").first
    by_day = brightness(cloth)
    page.emulate_media(color_scheme="dark")
    try:
        assert abs(brightness(cloth) - by_day) < 2
        assert brightness(page.locator("h1")) < by_day - 60, "the page is dark"
    finally:
        page.emulate_media(color_scheme="light")


ALL_OF_IT = """(canvas) => {
  const { width, height } = canvas;
  const { data } = canvas.getContext("2d").getImageData(0, 0, width, height);
  let drawn = 0;
  for (let y = 0; y < height; y++) {
    let x = 0;
    while (x < width && data[4 * (y * width + x) + 3] === 255) x++;
    drawn += x === width;
  }
  return [width, height, drawn];
}"""
FOLLOW = """() => {
  globalThis.told = [];
  const look = document.querySelector('[data-calculator="look"]');
  const hear = () => told.push(look.querySelector("figcaption[role=status]")?.textContent);
  new MutationObserver(hear).observe(look, { childList: true, subtree: true });
}"""
STOP_AT_ONCE = """() => {
  const caption = document.querySelector("figcaption[role=status]");
  new MutationObserver((_, watch) => {
    if (!/ of 90 rows/.test(caption.textContent)) return;
    watch.disconnect();
    const buttons = [...document.querySelectorAll("button")];
    buttons.find((one) => one.textContent === "Stop").click();
  }).observe(caption, { childList: true });
}"""


def every_thread(place):
    """Width and height of the drawn cloth in points, and how many of its lines are drawn."""
    return place.locator(".ft-threads canvas").evaluate(ALL_OF_IT)


def test_every_thread_is_drawn_strip_by_strip_and_can_be_given_up(visit):
    """400 × 90 units in six-end satin: 2,400 ends and 540 picks, more than one strip."""
    page = visit(PLACE)
    look = page.locator('[data-calculator="look"]')
    look.locator('[name="grid"]').fill("\n".join(["#." * 200, ".#" * 200] * 45))
    expect(look.locator(".ft-answer")).to_contain_text("units")
    caption = look.locator("figcaption[role=status]")
    page.evaluate(FOLLOW)
    look.get_by_role("button", name="Draw every thread").click()
    expect(caption).to_have_text("2,400 ends, 540 picks: every thread.")
    assert every_thread(look) == [2400, 540, 540], "a point to a thread, no row left out"
    told = page.evaluate("told")
    assert any(one and "of 90 rows" in one for one in told), "it said how far it had come"
    expect(look.get_by_role("button", name="Stop")).to_be_hidden()

    # Given up after its first strip, the rest stays undrawn.
    page.evaluate(STOP_AT_ONCE)
    look.get_by_role("button", name="Draw every thread").click()
    expect(caption).to_have_text(re.compile(r"Stopped\. \d+ of 90 rows of units"))
    rows = int(re.search(r"(\d+) of", caption.inner_text())[1])
    _, height, drawn = every_thread(look)
    assert 0 < drawn == rows * 6 < height == 540
    look.locator('[name="light"]').fill("3")
    expect(caption).to_contain_text("You have changed the cloth since.")


def test_the_figure_that_is_drawn_is_seen_as_cloth(visit):
    page = visit("figure/drawing/")
    place = page.locator(".ft-drawing")
    expect(place.locator("[data-show=units]")).to_contain_text("So has the figure.")
    place.locator("summary", has_text="See the cloth").click()
    place.get_by_role("button", name="Draw the cloth").click()
    caption = place.locator("figcaption[role=status]")
    expect(caption).to_contain_text("every thread.")
    ends = int(re.match(r"([\d,]+) ends", caption.inner_text())[1].replace(",", ""))
    units = place.locator("[data-show=units]").inner_text()
    across = int(re.search(r"(\d+) units across", units)[1])
    assert ends % across == 0
    width, height, drawn = every_thread(place)
    assert width % ends == 0
    assert drawn == height
    place.locator("summary", has_text="Mirror, turn").click()
    place.get_by_role("button", name="Turn over").click()
    expect(caption).to_contain_text("The figure has changed since.")
    place.get_by_role("button", name="Draw the cloth").click()
    expect(caption).not_to_contain_text("changed")


def test_the_figure_in_true_size_follows_the_screen(visit):
    page = visit(PLACE)
    true = page.locator('[data-calculator="look"] .ft-answer .ft-true:visible')
    millimetres = float(true.get_attribute("data-millimetres").split()[0])
    wide = "one => one.getBoundingClientRect().width"
    assert true.evaluate(wide) == pytest.approx(millimetres * 96 / 25.4, rel=0.02)
    page.evaluate("document.documentElement.style.setProperty('--ft-screen', 1.2)")
    assert true.evaluate(wide) == pytest.approx(1.2 * millimetres * 96 / 25.4, rel=0.02)
    page.evaluate("document.documentElement.style.removeProperty('--ft-screen')")
