"""The cloth on a phone: the light turned, the figure and the ground change places."""

from io import BytesIO

import numpy as np
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
