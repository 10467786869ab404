"""What a bare number means on the page: the reader's cm, or the reader's inches, and never both."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

import calculators
from calculators.engine.run import work_out
from calculators.registry import registry
from calculators.show.in_inches import example_in_inches

WARP = "plan/warp-length/"
WITHOUT_UNITS = json.loads((Path(__file__).parent / "links_v2.json").read_text(encoding="utf-8"))


def field(page: Page, calculator: str, name: str):
    return page.locator(f'section[data-calculator="{calculator}"] [name="{name}"]')


def unit(page: Page, calculator: str, name: str):
    return page.locator(f'section[data-calculator="{calculator}"] [data-field="{name}"] .ft-unit')


def shown(page: Page, calculator: str, name: str):
    return page.locator(
        f'section[data-calculator="{calculator}"] li[data-result="{name}"] .ft-value'
    )


def text(calculator: str, inputs: dict[str, str], name: str, world: str) -> str:
    found = calculators.run(calculator, inputs)
    assert found["ok"], found
    return found["results"][name]["text"][world]


def test_a_reader_in_inches_changes_over_twice_and_hands_the_plan_on(new_device, host):
    """A first visit where inches are usual; the plan is typed half in one and half in the other."""
    with new_device(locale="en-US") as device:
        page = device.new_page()
        page.goto(host.address + WARP)
        asked = page.locator(".ft-asked")
        expect(asked).to_contain_text("A bare 19 means 19 in here")
        assert asked.bounding_box()["height"] < 110
        expect(page.get_by_role("button", name="America")).to_have_attribute("aria-pressed", "true")
        expect(unit(page, "warp", "finished_length")).to_have_text("in")
        expect(field(page, "warp", "finished_length")).to_have_value("19 in")  # not 18 7/8
        asked.get_by_role("button").click()
        expect(asked).to_be_hidden()
        expect(field(page, "warp", "finished_length")).to_have_value("48 cm")
        expect(shown(page, "warp", "warp_length")).to_contain_text(
            text("warp", {}, "warp_length", "metric")
        )
        page.get_by_role("button", name="inch").click()
        field(page, "warp", "finished_length").fill("19")
        field(page, "warp", "hem_depth").fill("2 cm")
        readings = example_in_inches(work_out(registry()["warp"], {})).readings
        typed = {name: reading.typed for name, reading in readings.items()}
        typed |= {"finished_length": "19 in", "hem_depth": "2 cm"}
        expect(shown(page, "warp", "warp_length")).to_contain_text(
            text("warp", typed, "warp_length", "imperial")
        )
        page.get_by_role("button", name="cm", exact=True).click()
        expect(unit(page, "warp", "finished_length")).to_have_text("cm")
        expect(field(page, "warp", "finished_length")).to_have_value("19 in")
        field(page, "warp", "sample").fill("25,5")
        typed["sample"] = "25.5 cm"
        expect(shown(page, "warp", "warp_length")).to_contain_text(
            text("warp", typed, "warp_length", "metric")
        )
        page.get_by_role("button", name="inch").click()
        expect(field(page, "warp", "sample")).to_have_value("25,5 cm")
        for name, value in (("finished_length", "19 in"), ("hem_depth", "2 cm")):
            expect(field(page, "warp", name)).to_have_value(value)
        field(page, "warp", "gap").fill("1/2")
        typed["gap"] = "1/2 in"
        wanted = text("warp", typed, "warp_length", "imperial")
        expect(shown(page, "warp", "warp_length")).to_contain_text(wanted)
        expect(page).to_have_url(re.compile(r"#v=2&units=inch&calculator=warp&.*&gap=1%2F2&"))
        address = page.url
        page.get_by_role("button", name="Britain").click()
        page.reload()
        expect(page.locator("html")).to_have_attribute("data-english", "british")
        expect(asked).to_be_hidden()
        expect(field(page, "warp", "gap")).to_have_value("1/2")
        expect(shown(page, "warp", "warp_length")).to_contain_text(wanted)
    with new_device() as friend:
        there = friend.new_page()
        there.goto(address)
        expect(there.locator(".ft-asked")).to_contain_text("A bare 48 means 48 cm here")
        expect(field(there, "warp", "gap")).to_have_value("1/2 in")
        expect(shown(there, "warp", "warp_length")).to_contain_text(
            text("warp", typed, "warp_length", "metric")
        )


@pytest.mark.parametrize("world", [pytest.param("metric", marks=pytest.mark.thorough), "imperial"])
def test_links_that_say_no_units_open_as_they_did(visit, world):
    """Kept from the edition before units travelled: each bare number has its field's own unit."""
    page = visit("care/")
    page.get_by_role("button", name="cm" if world == "metric" else "inch").click()
    for one in WITHOUT_UNITS:
        visit(one["link"])
        calculator = re.search(r"calculator=([a-z-]+)", one["link"])[1]
        for name, values in one["fields"].items():
            expect(field(page, calculator, name)).to_have_value(values[world == "imperial"])
        expect(shown(page, calculator, one["result"])).to_contain_text(
            text(calculator, one["is"], one["result"], world)
        )
    page.get_by_role("button", name="cm").click()


def test_the_sett_and_the_examples_open_as_the_reader_counts(new_device, host):
    typed = {"en-US": ("45 /in", "10 dpi"), "sv-SE": ("18 /cm", "40/10")}
    for locale, (sett, first_reed) in typed.items():
        with new_device(locale=locale) as device:
            page = device.new_page()
            page.goto(host.address + "sett/reeds/")
            expect(field(page, "denting", "sett")).to_have_value(sett)
            assert field(page, "denting", "reeds").input_value().startswith(f"{first_reed}, ")
            page.goto(host.address + "examples/five-end-napkins/")
            like = page.get_by_role("link", name="one like it in whole inches")
            expect(like).to_be_visible(visible=locale == "en-US")
            if locale == "en-US":
                like.click()
                expect(field(page, "cloth-plan", "finished_width")).to_have_value(
                    re.compile(r"^[\d /]+ in$")
                )
                expect(field(page, "cloth-plan", "sett")).to_have_value(re.compile(r" /in$"))
