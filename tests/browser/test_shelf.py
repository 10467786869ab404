"""The shelf on a phone: cones from the scale, out as files and in again, a long search stopped."""

import json
import random
from pathlib import Path
from urllib.parse import quote, urlencode

import pytest
from playwright.sync_api import Page, expect

import calculators
from calculators.shelf.cones_and_looms import read_shelf
from calculators.yarn.catalogue import catalogue

TWO = "Blue; 16/2 cotton; 412 g; empty 38 g; #2b4a6f\nWhite; 16/2 cotton; 655 g; white"
OAK = "\nLoom: Oak; width 90 cm; shafts 8; reeds 40/10, 50/10; waste 150 cm"


def hundred() -> str:
    """Invented cones, no two alike."""
    chance = random.Random(5)
    rows = [chance.choice(catalogue()) for _ in range(100)]
    return "\n".join(
        f"Cone {number}; {row.yarn.text.strip()}; {chance.randrange(80, 1200)} g; "
        f"#{chance.randrange(1 << 24):06x}; system {row.yarn.system}"
        for number, row in enumerate(rows)
    )


@pytest.fixture
def page(visit) -> Page:
    page = visit("shelf/")
    expect(page.get_by_role("button", name="Add a cone")).to_be_visible()
    page.get_by_text("As lines, to be typed or pasted").click()
    return page


def cones(page: Page):
    return page.locator('[data-calculator="shelf"] [name=cones]')


def answer(page: Page):
    return page.locator('[data-calculator="shelf"] .ft-answer')


def press(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).click()


def said(page: Page):
    return page.locator(".ft-dialog [role=status]")


def saved(page: Page, words: str, file: Path) -> str:
    with page.expect_download() as download:
        press(page, words)
    assert download.value.suggested_filename.endswith(file.suffix)
    download.value.save_as(file)
    return file.read_text(encoding="utf-8")


def test_cones_come_from_the_scale_one_after_another(page, faults):
    cones(page).fill(TWO)
    press(page, "Add a cone")
    page.get_by_label("Yarn, as on the label").fill("30/2 cotton")
    page.get_by_label("Empty cone").fill("38")
    gross = page.get_by_label("On the scale")
    for grams, colour in (("495", "navy"), ("338", "#eeeeee")):
        gross.fill(grams)
        page.get_by_label("Colour").fill(colour)
        page.keyboard.press("Enter")
        expect(gross).to_have_value("")
        expect(gross).to_be_focused()
    expect(said(page)).to_contain_text("Cone 4 is written down: 30s cotton, two-ply, 300 g")
    gross.fill("20")
    press(page, "Add")
    expect(said(page)).to_contain_text("weigh")
    expect(gross).to_have_value("20")
    assert faults(page) == []
    press(page, "Close")
    written = cones(page).input_value()
    assert written.startswith(TWO + "\n")
    assert [one.net for one in read_shelf(written).cones][2:] == [457, 300]
    first = calculators.run("shelf", {"cones": written})["cards"][0]["title"]
    expect(answer(page).locator(".ft-card").first).to_have_text(first)


def test_cones_are_cards_that_are_added_changed_and_taken_off(page, faults):
    """Each cone is a card with its weight and length; no line of text is typed or read for it."""
    page.get_by_text("As lines, to be typed or pasted").click()
    names = page.locator(".ft-cone b")
    expect(names).to_have_count(3)
    one_more = page.get_by_label("One more cone")
    one_more.fill("16/2 cotton white, 12 oz")
    one_more.press("Enter")
    expect(names).to_have_text(["16/2 cotton white"])  # the example's have gone
    one_more.fill("16/1 linen 500 g")
    one_more.press("Enter")
    expect(names).to_have_count(2)
    flax = page.locator(".ft-cone").nth(1)
    # 16 lea linen: 16 × 300 yd in a pound
    expect(flax).to_contain_text(
        f"{500 / 453.59237 * 16 * 300 * 0.9144:,.0f} m".replace(",", "\u202f")
    )
    one_more.fill("sparkling 12 oz")
    one_more.press("Enter")
    expect(page.locator("[data-field=cones] > .ft-told")).to_contain_text("No yarn is named")
    expect(one_more).to_have_value("sparkling 12 oz")
    assert faults(page) == []

    flax.get_by_role("button", name="Change").click()
    page.locator(".ft-dialog [name=gross]").fill("300 g")
    page.locator(".ft-dialog [name=name]").fill("Flax")
    page.keyboard.press("Enter")
    expect(names).to_have_text(["16/2 cotton white", "Flax"])
    expect(flax).to_contain_text("300 g (10.6 oz) left")
    assert [one.net for one in read_shelf(cones(page).input_value()).cones][1] == 300
    page.get_by_role("button", name="Remove: 16/2 cotton white").click()
    expect(names).to_have_text(["Flax"])
    expect(page.get_by_role("button", name="Put it back")).to_be_focused()
    press(page, "Put it back")
    expect(names).to_have_count(2)
    written = cones(page).input_value()
    first = calculators.run("shelf", {"cones": written})["cards"][0]["title"]
    expect(answer(page).locator(".ft-card").first).to_have_text(first)


def test_a_line_that_cannot_be_read_is_shown_where_it_stands(page):
    page.get_by_text("As lines, to be typed or pasted").click()
    cones(page).evaluate("""(field) => {
        field.value = "A; 16/2; 40 g\\nB; 16/2; forty";
        field.dispatchEvent(new Event("input", {bubbles: true}));
    }""")
    expect(cones(page)).to_be_visible()
    expect(page.locator("[data-field=cones] .ft-error")).to_contain_text("Line 2")


def test_a_line_that_cannot_be_read_hides_no_other_card(page):
    cones(page).evaluate("""(field) => {
        field.value = "A; 16/2; 40 g\\n\\nB; 16/2; forty\\nC; 30/2; 50 g";
        field.dispatchEvent(new Event("input", {bubbles: true}));
    }""")
    cards = page.locator(".ft-cone > b")
    expect(cards).to_have_text(["A", "C", "Line 3 is not read"])
    expect(page.locator(".ft-cone").last).to_contain_text("forty")
    page.get_by_role("button", name="Remove: C").click()
    expect(cards).to_have_text(["A", "Line 3 is not read"])
    assert cones(page).input_value() == "A; 16/2; 40 g\n\nB; 16/2; forty"
    page.get_by_role("button", name="Remove: A").click()
    expect(cards).to_have_text(["Line 1 is not read"])


def test_several_structures_are_chosen_by_their_drawings(page):
    picker = page.locator("[data-field=structure]")
    field = picker.locator("[name=structure]")
    picker.locator("summary").filter(has_text="Choose by the drawing").click()
    for words in ("plain weave", "five-end satin"):
        picker.get_by_role("button", name=words, exact=True).click()
    expect(field).to_have_value("plain weave, five-end satin")
    chosen = picker.locator("[aria-pressed=true]")
    expect(chosen).to_have_count(2)
    found = calculators.run("shelf", {"structure": "plain, satin_5"})["cards"]
    expect(answer(page).locator(".ft-card")).to_have_text([card["title"] for card in found])
    for words in ("plain weave", "five-end satin"):
        picker.get_by_role("button", name=words, exact=True).click()
    expect(field).to_have_value("any")


def test_a_shelf_goes_to_another_device_as_a_file_and_as_a_table(page, host, new_device, tmp_path):
    cones(page).fill(TWO + OAK)
    whole, table = tmp_path / "shelf.json", tmp_path / "cones.csv"
    assert read_shelf(saved(page, "Save as a file", whole)) == read_shelf(TWO + OAK)
    assert read_shelf(saved(page, "Save as a table", table)).cones == read_shelf(TWO).cones
    with new_device() as device:
        other = device.new_page()
        other.goto(host.address + "shelf/")
        before = cones(other).input_value()
        press(other, "Open a file")
        chooser = other.get_by_label("A file from this page")
        chooser.set_input_files(whole)
        expect(said(other)).to_contain_text("2 cones taken in")
        assert read_shelf(cones(other).input_value()) == read_shelf(TWO + OAK)
        chooser.set_input_files(table)
        expect(said(other)).to_contain_text("holds no loom")
        assert read_shelf(cones(other).input_value()) == read_shelf(TWO + OAK)
        first = calculators.run("shelf", {"cones": TWO + OAK})["cards"][0]["title"]
        expect(answer(other).locator(".ft-card").first).to_have_text(first)
        press(other, "Close")
        press(other, "Undo")
        expect(cones(other)).to_have_value(before)


BROKEN = {  # no two are answered alike
    b"name,yarn,net\nA,16/2,40 g\nB,16/2": "Line 3",
    b"A; 16/2; 40 g\nB; 16/2; forty": "Line 2",
    b'{"shelf": 1, "cones": [{"name": 7}]}': "Cone 1",
    b"\x89PNG\r\n\x1a\n\x00\x00": "Line 1",
    b"": "From 1 to 200",
}


def test_a_broken_file_takes_nothing(page, tmp_path):
    cones(page).fill(TWO)
    press(page, "Open a file")
    file = tmp_path / "broken.csv"
    for content, words in BROKEN.items():
        file.write_bytes(content)
        page.get_by_label("A file from this page").set_input_files(file)
        expect(said(page)).to_contain_text(words)
        expect(said(page)).to_contain_text("Nothing was taken from this file.")
        expect(cones(page)).to_have_value(TWO)


def test_a_table_is_read_however_a_spreadsheet_wrote_it(page, tmp_path):
    for place, encoding in enumerate(("utf-8", "utf-8-sig", "windows-1252", "utf-16")):
        file, named = tmp_path / f"{encoding}.csv", f"{'Hellgrün'[place:]}, hell"
        text = f"name;yarn;net;colour\r\n{named};16/2;412 g;#99cc99\r\n"
        file.write_bytes(text.encode(encoding))
        press(page, "Open a file")
        page.get_by_label("A file from this page").set_input_files(file)
        expect(said(page)).to_contain_text("1 cone taken in")
        lines = cones(page).input_value().split("\n")
        assert any(one.startswith(f"{named}; 16/2 cotton; gross 412 g") for one in lines)
        press(page, "Close")


def test_a_long_search_can_be_stopped_and_gone_on_with(visit):
    only_left = {f"weigh_{name}": "0" for name in ("set", "use", "firm", "unit", "contrast")}
    state = urlencode(
        {"v": 1, "calculator": "shelf", "cones": hundred(), **only_left}, quote_via=quote
    )
    page = visit(f"shelf/#{state}")
    line = page.locator('[data-calculator="shelf"] .ft-state')
    stop = line.get_by_role("button", name="Stop here")
    stop.hover()
    page.mouse.down()
    page.wait_for_timeout(700)  # a slow finger, while the words change
    page.mouse.up()
    expect(line.get_by_role("button", name="Go on")).to_be_visible()
    expect(answer(page).locator(".ft-card").first).to_be_visible()
    page.wait_for_timeout(500)  # what was under way has come back
    share = line.inner_text()
    page.wait_for_timeout(1500)
    assert line.inner_text() == share
    press(page, "Go on")
    expect(line).not_to_have_text(share)
    page.get_by_text("As lines, to be typed or pasted").click()
    cones(page).fill(TWO)
    first = calculators.run("shelf", {"cones": TWO, **only_left})["cards"][0]["title"]
    expect(answer(page).locator(".ft-card").first).to_have_text(first)


@pytest.mark.thorough
def test_a_hundred_cones_are_searched_kept_and_brought_back(page, visit, tmp_path):
    shelf = hundred()
    cones(page).fill(shelf)
    best = calculators.run("shelf", {"cones": shelf})
    expect(answer(page).locator(".ft-card")).to_have_text([one["title"] for one in best["cards"]])

    press(page, "Save")
    page.get_by_role("textbox", name="Name").fill("The whole shelf")
    page.keyboard.press("Enter")
    expect(said(page)).to_contain_text("Saved as “The whole shelf”")
    visit("plans/")
    file = tmp_path / "plans.json"
    written = json.loads(saved(page, "Save all as one file", file))
    assert written["plans"][0]["inputs"]["cones"] == shelf
    press(page, "Delete: The whole shelf")
    expect(page.locator(".ft-kept > .ft-told")).to_contain_text("is deleted")
    page.get_by_label("Open a file of plans").set_input_files(file)
    expect(cones(page)).to_have_value(shelf)
