"""The main job on a phone: a whole plan, a published piece, the same with the server stopped."""

import re

import pytest
from playwright.sync_api import Page, expect

# Six linen napkins: arithmetic from definitions, recomputed in fractions in tests/plan.
NAPKINS = {
    "finished_width": "48 cm",
    "finished_length": "48 cm",
    "pieces": "6",
    "warp_yarn": "16/1",
    "warp_system": "linen",
    "weft_yarn": "16/1",
    "weft_system": "linen",
    "weave": "satin_5",
    "sett": "24 /cm",
    "ends_per_unit": "5",
    "picks_per_unit": "5",
    "width_shrinkage": "5 %",
    "length_shrinkage": "8 %",
    "draw_in": "4 %",
    "take_up": "6 %",
    "loom_waste": "140 cm",
    "hem": "4 cm",
    "gap": "1 cm",
    "sample": "30 cm",
    "selvedge_ends": "8",
    "turn_allowance": "2 %",
}
NAPKIN_ANSWERS = {
    "loom_width": "50.5 cm",
    "reed_width": "52.6 cm",
    "units_across": "253",
    "pattern_ends": "1 265",
    "ends": "1 273",
    "cloth_sett": "25 /cm",
    "piece_on_loom": "56.5 cm",
    "woven_length": "3.741 m",
    "warp_length": "5.366 m",
    "warp_yarn_length": "6 831 m",
    "warp_yarn_mass": "705.9 g",
    "picks_for_square": "24.2 /cm",
    "weft_yarn_mass": "506.4 g",  # 502.5 g over the width wanted, 52.63 cm; the ends take 53.04
    "waste_share": "26.1 %",
}
PLAN, WARP, WEFT = "plan/whole-plan/", "plan/warp-length/", "plan/weft/"

# C. P. Brooks, Cotton Manufacturing, 3rd edition, 1892: 38 in of a 60 reed is 2,280 ends; 38 yards
# of warp in 30s are 103 1/7 hanks, 3 lb 7 oz; 37 1/2 in, 64 picks, 36 yards of weft in 36s weigh
# 2 lb 13 3/4 oz. A hank is 840 yd.
BROOKS_WARP = {
    "ends": "2280",
    "yarn": "30s",
    "system": "cotton",
    "pieces": "1",
    "finished_length": "38 yd",
    "hem": "0",
    "gap": "0",
    "sample": "0",
    "length_shrinkage": "0",
    "take_up": "0",
    "loom_waste": "0",
}
BROOKS_WEFT = {
    "reed_width": "37 1/2 in",
    "picks": "64 ppi",
    "woven_length": "36 yd",
    "yarn": "36s",
    "system": "cotton",
    "turn_allowance": "0 cm",
}


def section(page: Page, calculator: str):
    return page.locator(f'section[data-calculator="{calculator}"]')


def put_in(page: Page, calculator: str, values: dict[str, str]) -> None:
    form = section(page, calculator)
    for name, value in values.items():
        control = form.locator(f'[name="{name}"]')
        folded = form.locator("details.ft-more")
        if not control.is_visible() and folded.count():
            folded.locator("summary").first.click()
        if control.evaluate("one => one.tagName") == "SELECT":
            control.select_option(value)
        else:
            control.fill(value)


def shown(page: Page, calculator: str, name: str):
    return section(page, calculator).locator(f'li[data-result="{name}"] .ft-value')


def in_plain_spaces(text: str) -> str:
    return re.sub(r"\s", r"\\s", re.escape(text).replace("\\ ", " "))


def expect_answers(page: Page, calculator: str, answers: dict[str, str]) -> None:
    for name, text in answers.items():
        expect(shown(page, calculator, name)).to_have_text(re.compile(in_plain_spaces(text)))


def test_six_napkins_planned_on_a_phone(visit):
    page = visit(PLAN)
    put_in(page, "cloth-plan", NAPKINS)
    expect_answers(page, "cloth-plan", NAPKIN_ANSWERS)
    cautions = section(page, "cloth-plan").locator(".ft-cautions")
    expect(cautions.filter(has_text="above the working range")).to_be_visible()


def test_a_published_piece_on_a_phone(visit):
    page = visit(WARP)
    put_in(page, "warp", BROOKS_WARP)
    yards = 2280 * 38
    assert yards / 840 == pytest.approx(103 + 1 / 7)
    expect_answers(
        page, "warp", {"yarn_length": f"{yards:,} yd".replace(",", " "), "yarn_mass": "3 lb 7 oz"}
    )
    visit(WEFT)
    put_in(page, "weft", BROOKS_WEFT)
    # The book rounds 2.857 lb to the quarter ounce above.
    expect_answers(page, "weft", {"yarn_mass": "2 lb 13.7 oz"})


@pytest.mark.bundled
def test_with_the_server_stopped_an_unread_page_answers(keeping_phone, host):
    page = keeping_phone.new_page()
    page.goto(host.address + PLAN)
    put_in(page, "cloth-plan", {"pieces": "8"})
    expect(shown(page, "cloth-plan", "ends")).to_contain_text("956")
    expect(page.locator(".ft-offline")).to_contain_text("pages and calculators are kept")
    host.stop()
    page.goto(host.address + "units/")
    put_in(page, "unit-grid", {"ends_per_unit": "6", "picks_per_unit": "6"})
    # 48 / 0.95 × 25 / 6 = 210.5; the six-end unit of 24 to the centimetre is 2.28 mm wide.
    expect_answers(page, "unit-grid", {"units_across": "211"})
    page.get_by_role("button", name="Search").click()
    page.get_by_role("searchbox").fill("the cross is lost")
    expect(page.locator(".ft-hits a").first).to_have_text("The cross is lost")
    page.keyboard.press("Enter")
    page.wait_for_url("**/trouble/#W-204")
