"""The main ways through the handbook, on a phone, in cm and in inches, with taps counted."""

import pytest
from playwright.sync_api import Page, expect

import calculators
from calculators.engine.run import work_out
from calculators.registry import registry
from calculators.show.in_inches import example_in_inches

# Daily, each way in one of the two worlds.
WORLDS = {"en-GB": ("cm", "metric", "48"), "en-US": ("inch", "imperial", "19")}


def thoroughly(locale: str):
    return pytest.param(locale, marks=pytest.mark.thorough)


class Hand:
    """What a weaver does on a page: taps, and fields that are filled."""

    def __init__(self, page: Page):
        self.page, self.taps, self.fields = page, 0, 0

    def tap(self, name: str, role: str = "link") -> None:
        self.taps += 1
        self.page.get_by_role(role, name=name, exact=True).click()

    def fill(self, calculator: str, **typed: str) -> None:
        for name, text in typed.items():
            self.fields += 1
            field(self.page, calculator, name).fill(text)


def field(page: Page, calculator: str, name: str):
    return page.locator(f'[data-calculator="{calculator}"] form [name="{name}"]')


def shown(page: Page, calculator: str, name: str):
    return page.locator(f'[data-calculator="{calculator}"] li[data-result="{name}"] .ft-value')


def begun(calculator: str, units: str) -> dict[str, str]:
    """What stands in a form where nobody has typed, in one of the worlds."""
    run = work_out(registry()[calculator], {})
    if units == "inch":
        run = example_in_inches(run)
    return {name: reading.typed for name, reading in run.readings.items()}


def answered(calculator: str, typed: dict[str, str], units: str) -> dict:
    found = calculators.run(calculator, typed, units=units)
    assert found["ok"], found
    return found["results"]


@pytest.mark.parametrize("locale", ["en-GB", thoroughly("en-US")])
def test_from_a_yarn_on_the_first_page_to_the_loom(new_device, host, locale):
    units, world, side = WORLDS[locale]
    with new_device(locale=locale) as device:
        page = device.new_page()
        page.goto(host.address)
        hand = Hand(page)
        yarn = {"yarn": "30/2", "weave": "5 shaft satin"}
        hand.fill("outlook", **yarn)
        first = answered("outlook", begun("outlook", units) | yarn, units)
        expect(shown(page, "outlook", "units_across")).to_contain_text(
            first["units_across"]["text"][world]
        )
        hand.tap("Plan a cloth of it")
        expect(field(page, "cloth-plan", "warp_yarn")).to_have_value("30/2")
        size = {"finished_width": side, "finished_length": side, "pieces": "4"}
        hand.fill("cloth-plan", **size)
        carried = {"warp_yarn": "30/2", "weave": "5 shaft satin"}
        for name, text in carried.items():
            expect(field(page, "cloth-plan", name)).to_have_value(text)
        # The example's own sett, weft and unit do not stay behind in silence.
        left = ("sett", "weft_yarn", "ends_per_unit", "picks_per_unit", "ground_shafts", "picks")
        there = {name: field(page, "cloth-plan", name).input_value() for name in left}
        assert there["sett"] != begun("cloth-plan", units)["sett"]
        assert there["ends_per_unit"] in ("", "5")
        assert there["weft_yarn"] in ("", "30/2")
        plan = answered("cloth-plan", begun("cloth-plan", units) | carried | size | there, units)
        for name in ("ends", "warp_length", "weft_yarn_mass", "units_across"):
            expect(shown(page, "cloth-plan", name)).to_contain_text(plan[name]["text"][world])
        hand.tap("Save", "button")
        page.get_by_role("textbox", name="Name").fill("Four napkins")
        hand.fields += 1
        page.keyboard.press("Enter")
        expect(page.locator(".ft-dialog [role=status]")).to_contain_text("Saved")
        hand.tap("Close", "button")
        hand.tap("Take it to the loom")
        loom = page.locator("dialog.ft-loom")
        expect(loom).to_contain_text("Four napkins")
        assert (hand.taps, hand.fields) <= (4, 6)
        hand.tap("Leave", "button")
        page.goto(host.address + "plan/whole-plan/")
        expect(page.locator(".ft-go-on")).to_contain_text("Go on with Four napkins")


@pytest.mark.parametrize("locale", [thoroughly("en-GB"), "en-US"])
def test_from_a_sett_to_the_plan(new_device, host, locale):
    units, world, _ = WORLDS[locale]
    with new_device(locale=locale) as device:
        page = device.new_page()
        page.goto(host.address + "sett/")
        hand = Hand(page)
        typed = {"warp_yarn": "40/2 linen", "weave": "satin6"}
        hand.fill("sett", **typed)
        sett = answered("sett", begun("sett", units) | typed, units)["working"]
        expect(shown(page, "sett", "working")).to_contain_text(sett["text"][world])
        hand.tap("Plan the whole cloth")
        expect(field(page, "cloth-plan", "weave")).to_have_value("satin6")
        carried = field(page, "cloth-plan", "sett").input_value()
        assert float(carried.split()[0]) == pytest.approx(
            float(sett["text"][world].split()[0]), rel=0.005
        )
        assert (hand.taps, hand.fields) == (1, 2)


@pytest.mark.thorough
def test_a_plan_in_inches_goes_to_the_loom_without_a_signal(new_device, host):
    """Daily, an unread page answers in cm, and the loom opens, with the server stopped."""
    with new_device(locale="en-US", keeps=True) as device:
        page = device.new_page()
        page.goto(host.address + "sett/")
        field(page, "sett", "warp_yarn").fill("20/2")
        expect(shown(page, "sett", "working")).to_contain_text(
            answered("sett", begun("sett", "inch") | {"warp_yarn": "20/2"}, "inch")["working"][
                "text"
            ]["imperial"]
        )
        expect(page.locator(".ft-offline")).to_contain_text("pages and calculators are kept")
        host.stop()
        page.goto(host.address + "plan/whole-plan/")
        field(page, "cloth-plan", "pieces").fill("3")
        field(page, "cloth-plan", "finished_width").fill("20")
        typed = begun("cloth-plan", "inch") | {"pieces": "3", "finished_width": "20"}
        plan = answered("cloth-plan", typed, "inch")
        for name in ("ends", "warp_length"):
            expect(shown(page, "cloth-plan", name)).to_contain_text(plan[name]["text"]["imperial"])
        page.get_by_role("link", name="Take it to the loom").click()
        loom = page.locator("dialog.ft-loom")
        expect(loom).to_be_visible()
        loom.locator("button.ft-first").click()
        expect(loom.locator(".ft-loom-number")).to_have_text("1")
        expect(loom).to_contain_text("saved")
