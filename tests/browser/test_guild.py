"""The guild's examples: a plan becomes a page, travels as file and link, prints as a booklet."""

import json
from io import BytesIO

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

import calculators
from calculators.engine.links import address
from calculators.examples.files import written
from calculators.figure.grid import packed
from calculators.figure.motifs import motif
from calculators.figure.wholes import repeated
from scripts.build import build

UNITS = ("units_across", "units_up")
MATS = {"pieces": "4", "finished_width": "30 cm", "finished_length": "30 cm"}


def press(page, words):
    page.get_by_role("button", name=words, exact=True).click()


def plain(text):
    return " ".join(text.replace("\u202f", " ").replace("\xa0", " ").split())


def write_one(page):
    """Make an example of a plan, with a number in the story; returns what is to be read in it."""
    for name, typed in MATS.items():
        page.locator(f'[data-calculator="cloth-plan"] [name="{name}"]').fill(typed)
    press(page, "Share")
    press(page, "Save as a worked example")
    page.get_by_label("Title", exact=True).fill("Four mats")
    press(page, "Add a part of the story")
    page.get_by_label("Heading").fill("On the shelf")
    page.get_by_label("Your own words").fill("From Odile, <b>all</b> of it: ")
    page.get_by_label("Put a number in").select_option("warp_length")
    page.get_by_label("The question it answers").fill("Is {nothing} wrong?")
    notice = page.locator(".ft-story + .ft-told")
    expect(notice).to_contain_text("Not shown yet: “nothing” is not known here.")
    page.reload()  # what was typed is there all the same
    question = page.get_by_label("The question it answers")
    expect(question).to_have_value("Is {nothing} wrong?")
    question.fill("")
    page.get_by_label("Add what was measured").select_option("finished_width")
    page.locator(".ft-story [name=finished_width]").fill("29,4 cm")


def file_of_three(told, folder):
    """Write a file whose second example is broken; returns it with the broken line's number."""
    (told,) = told["examples"]
    broken = {**told, "title": "Broken", "inputs": {"pieces": "a few"}}
    text = written([told, broken, {**told, "title": "Again"}])
    file = folder / "several.json"
    file.write_text(text, encoding="utf-8")
    return file, 1 + next(
        place for place, words in enumerate(text.splitlines()) if "a few" in words
    )


def open_print_and_delete(other, several, line):
    press(other, "Save among the guild’s examples")
    expect(other.get_by_role("link", name="Write in it")).to_be_visible()
    other.get_by_role("link", name="All examples").click()
    other.get_by_label("Open files of examples").set_input_files(several)
    say = other.locator(".ft-guild > .ft-told")
    expect(say).to_contain_text("2 taken in. Left out:")
    expect(say).to_contain_text(f"several.json, line {line}, “Broken”, inputs.pieces: ")
    expect(other.locator(".ft-plans > li")).to_have_count(3)
    other.get_by_role("link", name="Print all as a booklet").click()
    other.get_by_label("Title", exact=True).fill("Cloths of our guild")
    expect(other.locator(".ft-booklet article")).to_have_count(3)
    pages = [plain(one.extract_text()) for one in PdfReader(BytesIO(other.pdf(format="A4"))).pages]
    assert pages[0].startswith("Cloths of our guild")
    assert sum("The plan in numbers" in one for one in pages) == 3
    assert "Open files" not in " ".join(pages)
    other.get_by_role("link", name="All examples").click()
    other.get_by_role("link", name="Again").click()
    press(other, "Delete")
    expect(other.locator(".ft-plans > li")).to_have_count(2)
    press(other, "Put it back")
    expect(other.locator(".ft-plans > li")).to_have_count(3)
    other.get_by_role("link", name="Again").click()
    other.get_by_role("link", name="Open this plan live").click()
    for name, typed in MATS.items():
        control = other.locator(f'[data-calculator="cloth-plan"] [name="{name}"]')
        expect(control).to_have_value(typed)


def test_a_plan_becomes_an_example_that_others_read(phone, new_device, host, tmp_path, faults):
    page = phone.new_page()
    page.goto(host.address + "plan/whole-plan/")
    page.locator('[data-calculator="cloth-plan"][data-bound]').wait_for()
    write_one(page)
    plan = calculators.run("cloth-plan", MATS)["results"]
    length = plain(plan["warp_length"]["text"]["metric"])
    expect(page.locator(".ft-one")).to_contain_text("29.4 cm")
    assert faults(page) == []
    page.get_by_role("link", name="Read it as a page").click()
    expect(page.locator(".ft-story")).to_have_count(0)
    page.reload()  # kept, not merely shown
    expect(page.locator("h1:visible")).to_have_text("Four mats")
    text = plain(page.locator(".ft-one").inner_text())
    assert f"From Odile, <b>all</b> of it: {length}" in text
    gone = 100 * (29.4 / plan["finished_width"]["value"] - 1)
    assert f"−{abs(gone):.1f}".rstrip("0").rstrip(".") + " %" in text
    assert faults(page) == []
    page.get_by_text("Link and code of this example").click()
    link = page.get_by_label("Link to this example").input_value()
    expect(page.locator(".ft-hand-on svg")).to_be_visible()
    with page.expect_download() as download:
        press(page, "Save as a file")
    file = tmp_path / "mats.json"
    download.value.save_as(file)
    told = json.loads(file.read_text(encoding="utf-8"))
    assert (told["kind"], told["examples"][0]["title"]) == ("fine-thread examples", "Four mats")
    with new_device() as device:
        other = device.new_page()
        other.goto(link)
        expect(other.locator("h1:visible")).to_have_text("Four mats")
        assert plain(other.locator(".ft-one").inner_text()) == text
        open_print_and_delete(other, *file_of_three(told, tmp_path))


def test_the_figure_of_a_plan_comes_along_where_it_has_the_plans_units(visit, faults):
    units = [round(calculators.run("cloth-plan", MATS)["results"][key]["value"]) for key in UNITS]
    drawn = repeated(motif("star"), 1, 1, units[0] - 29, units[1] - 29)
    named = {"plan-name": "Mats", **MATS, "figure": packed(drawn)}
    page = visit(address("cloth-plan", named, "figure/drawing/"))
    expect(page.locator("[data-show=kept]")).to_contain_text("Saved on this device")
    page.locator("[data-show=plan]").get_by_role("link", name="Mats").click()
    press(page, "Share")
    press(page, "Save as a worked example")
    shown = page.locator(".ft-one")
    expect(shown.get_by_role("heading", name="The figure", exact=True)).to_be_visible()
    draws = f"{drawn.drawn:,}".replace(",", " ")
    assert f"Draws, over all rows {draws} " in plain(shown.inner_text())
    assert faults(page) == []


FIVE = {"weave": "satin_5", "ends_per_unit": "5", "picks_per_unit": "5", "ground_shafts": "5"}
SIX = {"weave": "satin_6", "ends_per_unit": "6", "picks_per_unit": "6", "ground_shafts": "6"}


def test_two_saved_plans_stand_side_by_side(visit, faults):
    saved = (
        ("Five-end", "cloth-plan", FIVE),
        ("Six-end", "cloth-plan", SIX),
        ("Thrice", "cloth-plan", SIX | {"pieces": "3"}),
        ("A sett", "sett", {"warp_yarn": "16/2"}),
    )
    for name, calculator, inputs in saved:
        page = visit(address(calculator, inputs))
        press(page, "Save")
        page.get_by_role("textbox", name="Name").fill(name)
        page.keyboard.press("Enter")
        expect(page.locator(".ft-dialog [role=status]")).to_contain_text(f"Saved as “{name}”")
        press(page, "Close")
    page = visit("plans/")
    press(page, "Compare: Five-end")
    table = page.locator(".ft-beside")
    expect(table.first).to_be_visible()
    told = plain(" ".join(table.all_inner_texts()))
    five, six = (calculators.run("cloth-plan", inputs)["results"] for inputs in (FIVE, SIX))
    for name in ("ends", "unit_width", "pattern_heddles"):
        texts = [plain(one[name]["text"]["metric"]) for one in (five, six)]
        assert texts[0] != texts[1]
        assert texts[0] in told
        assert texts[1] in told
    assert page.evaluate("() => document.querySelector('.ft-dialog').scrollWidth") <= 360
    assert faults(page) == []
    beside = page.locator(".ft-dialog select")
    assert set(beside.locator("option").all_inner_texts()) == {"Six-end", "Thrice"}
    for name in ("Six-end", "Thrice"):
        beside.select_option(name)
        expect(page.locator(".ft-beside-place")).to_contain_text(name)


@pytest.mark.thorough
def test_a_guilds_edition_is_read_without_a_signal(tmp_path, the_host, new_device):
    guild = tmp_path / "Wendlewater Guild"
    guild.mkdir()
    mats = {"title": "Four mats", "calculator": "cloth-plan", "inputs": MATS}
    (guild / "mats.json").write_text(written([mats]), encoding="utf-8")
    (guild / "broken.json").write_text("{\n", encoding="utf-8")
    said = []
    site = build(tmp_path / "site", "", say=said.append, guild=guild)
    assert any("broken.json, line 2" in line for line in said)
    assert not (site.path / "sitemap.xml").exists()  # it could name no address
    the_host.serve(site.path)
    with new_device(keeps=True) as device:
        page = device.new_page()
        page.goto(the_host.address + "plan/no-such/page/")
        expect(page.locator("h1")).to_have_text("No page here")
        expect(page.locator(".ft-skip")).to_have_css("position", "absolute")  # dressed all the same
        page.get_by_role("link", name="To the first page").click()
        expect(page.locator(".ft-home")).to_contain_text("Wendlewater Guild")
        page.get_by_role("link", name="our worked examples").click()
        page.locator(".ft-examples").get_by_role("link", name="Four mats").click()
        ends = calculators.run("cloth-plan", MATS)["results"]["ends"]["text"]["metric"]
        expect(page.locator(".ft-example")).to_contain_text(ends)
        page.get_by_text("Ready offline: the pages", exact=False).wait_for()
        the_host.stop()
        page.reload()
        expect(page.locator("h1")).to_have_text("Four mats")
