"""The loom on a phone: drawn anew for the weaver's own distances, every part led to its word."""

import re

import pytest
from playwright.sync_api import expect

import calculators
from scripts.pages.signs import SIGNS

MEASURE = re.compile(r"M([\d.]+) [\d.]+v8m0 -4H([\d.]+)m0 -4v8")


def lengths(picture):
    return [float(right) - float(left) for left, right in MEASURE.findall(picture.inner_html())]


def test_the_loom_is_drawn_for_the_distances_that_are_typed(visit):
    page = visit("warp/dressing/")
    shed = page.locator('[data-calculator="shed-and-stretch"]')
    picture = shed.locator(".ft-picture svg")
    typed = {"fell_to_shafts": "30 cm", "harness_distance": "30 cm", "behind_harness": "60 cm"}
    for name, value in typed.items():
        shed.locator(f'[name="{name}"]').fill(value)
    wanted = calculators.run("shed-and-stretch", typed, units="cm")["results"]
    told = shed.locator('li[data-result="greatest_stretch"] .ft-value')
    expect(told).to_contain_text(f"{wanted['greatest_stretch']['value']:.2f}")
    front, apart, behind = lengths(picture)
    assert (apart / front, behind / front) == pytest.approx((1, 2), abs=0.01)
    shed.locator('[name="shuttle_place"]').fill("40 cm")
    expect(shed).to_contain_text("behind the ground shafts")
    assert shed.locator('[name="shuttle_place"]').input_value() == "40 cm"


def test_a_number_on_the_loom_leads_to_its_word(visit):
    page = visit("warp/loom/")
    parts = page.locator("ol.ft-loom-parts").first.locator("li")
    expect(page.locator(".ft-picture svg").first).to_be_visible()
    parts.nth(12).get_by_role("link").click()
    expect(page).to_have_url(re.compile("glossary/#term-peg-rail$"))
    expect(page.locator("#term-peg-rail")).to_be_in_viewport()


def test_a_trouble_shows_its_sign_beside_its_words(visit):
    page = visit("trouble/")
    signs = page.locator(".ft-trouble svg.ft-sign")
    expect(signs).to_have_count(len(SIGNS))
    beside = page.locator(".ft-trouble", has=page.locator("#W-808"))
    beside.scroll_into_view_if_needed()
    sign, heading = beside.locator("svg").bounding_box(), beside.locator("h3").bounding_box()
    assert sign["width"] == pytest.approx(60, abs=1)
    assert heading["x"] + heading["width"] <= sign["x"]
    assert sign["x"] + sign["width"] <= page.viewport_size["width"]
