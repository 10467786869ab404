"""A ground on a phone: orders of one's own are counted, ringed and printed."""

from playwright.sync_api import expect

from calculators.tables import table

PLACE = "figure/which-ground-cuts-which-edge/"


def test_the_uneven_satin_of_the_table_is_typed_counted_and_printed(visit):
    *_, (name, _, best, rise, sink) = table("clean-edges").rows
    assert "uneven" in name
    assert best == "4 of 4"
    page = visit(PLACE)
    ground = page.locator('[data-calculator="ground"]')
    given = ground.locator('li[data-result="clean_edges_given"] .ft-value')
    ground.get_by_text("More options", exact=True).click()
    ground.locator('[name="weave"]').fill("7 shaft satin")
    ground.locator('[name="rise"]').fill("1 3 5 7 2 4 6")
    ground.locator('[name="sink"]').fill("1 3 5 7 2 4 6")
    expect(ground).to_contain_text("Shaft 1 is to rise and to sink on pick 1")
    ground.locator('[name="rise"]').fill(rise)
    ground.locator('[name="sink"]').fill(sink)
    expect(given).to_have_text("4")
    pictures = ground.locator(".ft-picture svg")
    expect(pictures).to_have_count(3)
    rings = [
        one.locator('path[stroke*="ft-mark"]').get_attribute("d") for one in pictures.all()[1:]
    ]
    assert rings[0] == "", "your own pair has no thread uncut"
    assert rings[1], "the best of the even satins has"
    ground.get_by_role("button", name="Print").click()
    sheet = page.locator(".ft-sheet")
    expect(sheet).to_contain_text("Your own pair, pick by pick")
    expect(sheet.locator("figure svg")).to_have_count(3)
    page.keyboard.press("Escape")  # the page is used again
