"""A plan and its figure go together: sent, saved, deleted, put back, renamed, taken to the loom."""

import json
from random import Random
from urllib.parse import parse_qs, quote, urlsplit

import pytest
from playwright.sync_api import expect

from calculators.figure.grid import Grid, packed, read_grid
from calculators.figure.rows import in_words
from calculators.figure.wholes import read_figure

DRAWING, WHOLE, LOOM, PLANS = "figure/drawing/", "plan/whole-plan/", "loom-side/", "plans/"
FIGURE = read_grid("##..###... / .##..###.. / ..##..###. / ...##..###")
OTHER = read_grid("#.#. / .#.#")
PLAN = {"pieces": "2", "sample": "0 cm", "weave": "satin_6"}


def hash_of(name="", figure=None, **changed):
    values = {"plan-name": name} if name else {}
    values |= PLAN | changed | ({"figure": packed(figure)} if figure else {})
    asked = "".join(f"&{key}={quote(text)}" for key, text in values.items())
    return f"#v=2&units=cm&calculator=cloth-plan{asked}"


def open_plan(context, host, place):
    page = context.new_page()
    page.goto(host.address + place)
    page.locator("section[data-bound]").first.wait_for()
    return page


def press(page, name):
    page.get_by_role("button", name=name, exact=True).click()


def on_paper(page):
    """What is drawn on the squared paper that is open, or None where nothing is."""
    page.locator(".ft-drawing[data-bound]").wait_for()
    expect(page.locator("[data-show=units]")).to_contain_text("units across")
    squares = page.locator("[name=squares]")
    if not squares.is_visible():
        page.locator(".ft-drawing summary", has_text="As squares").click()
        expect(squares).not_to_have_value("")
    text = squares.input_value()
    return read_grid(text, top_first=True) if "#" in text else None


def paper_of(page, host, name="", **changed):
    page.goto("about:blank")
    page.goto(host.address + DRAWING + hash_of(name, **changed))
    return on_paper(page)


def arrive(context, host, name="Hall", figure=FIGURE, place=WHOLE):
    page = open_plan(context, host, place + hash_of(name, figure))
    expect(page.locator(".ft-came")).to_contain_text("The figure that came is kept")
    assert "figure=" not in page.url
    return page


def test_a_link_to_the_plan_brings_its_figure_and_takes_it_on(phone, new_device, host, tmp_path):
    page = arrive(phone, host)
    expect(page.locator(".ft-came")).to_contain_text("10 units across, 4 up")
    expect(page.locator(".ft-notice:visible")).to_have_count(0)
    press(page, "Share")
    expect(page.locator(".ft-dialog")).to_contain_text("Its figure goes along.")
    address = page.get_by_label("Link to exactly these numbers").input_value()
    assert read_figure(parse_qs(urlsplit(address).fragment)["figure"][0]) == FIGURE
    expect(page.locator(".ft-dialog .ft-qr")).to_be_visible()
    with page.expect_download() as saving:
        press(page, "Save as a file")
    path = tmp_path / "plan.json"
    saving.value.save_as(path)
    (told,) = json.loads(path.read_text(encoding="utf-8"))["plans"]
    assert read_figure(told["figure"]) == FIGURE
    # It goes by another name now, and so does its figure.
    page.get_by_label("Name that goes along").fill("Great hall")
    page.get_by_label("Name that goes along").blur()
    expect(page.get_by_label("Link to exactly these numbers")).to_have_value(
        urlsplit(address)._replace(fragment="").geturl()
        + "#"
        + urlsplit(address).fragment.replace("Hall", "Great%20hall")
    )
    press(page, "Close")
    page.get_by_role("link", name="Draw its figure").click()
    assert on_paper(page) == FIGURE
    with new_device() as other:
        there = other.new_page()
        there.goto(address)
        expect(there.locator(".ft-came")).to_contain_text("The figure that came is kept")
        assert paper_of(there, host, "Hall") == FIGURE
    with new_device() as third:
        there = third.new_page()
        there.goto(host.address + PLANS)
        there.get_by_label("Open a file of plans").set_input_files(path)
        expect(there.locator(".ft-came")).to_contain_text("The figure that came is kept")
        assert paper_of(there, host, "Hall") == FIGURE


@pytest.mark.parametrize("side", [90, 280])
def test_what_is_too_much_for_code_or_link_says_so_and_goes_by_file(phone, host, tmp_path, side):
    noise = Random(side)
    figure = Grid(side, tuple(noise.getrandbits(side) for _ in range(side)))
    page = arrive(phone, host, figure=figure)
    press(page, "Share")
    dialog = page.locator(".ft-dialog")
    sent = page.get_by_label("Link to exactly these numbers").input_value()
    told = parse_qs(urlsplit(sent).fragment)
    if side == 90:
        assert read_figure(told["figure"][0]) == figure
        expect(dialog).to_contain_text("The code holds the plan without its figure")
    else:
        assert "figure" not in told
        expect(dialog).to_contain_text("Its figure is too much for a link")
        expect(dialog).to_contain_text("The file takes it along.")
    with page.expect_download() as saving:
        press(page, "Save as a file")
    path = tmp_path / "plan.json"
    saving.value.save_as(path)
    (plan,) = json.loads(path.read_text(encoding="utf-8"))["plans"]
    assert read_figure(plan["figure"]) == figure


def test_a_link_with_a_figure_opened_at_the_loom_tells_its_rows(phone, host):
    page = phone.new_page()
    page.goto(host.address + LOOM + hash_of("", FIGURE, hem="0 cm"))
    expect(page.locator(".ft-row-title")).to_contain_text("Piece 1 of 2, row 1 of")
    assert page.locator(".ft-row-units").inner_text() == in_words(FIGURE.rows[0], FIGURE.across)
    assert "figure=" not in page.url
    page.reload()
    expect(page.locator(".ft-row-title")).to_contain_text("Piece 1 of 2, row 1 of")
    assert paper_of(page, host, hem="0 cm") == FIGURE


def test_one_s_own_figure_stays_until_the_weaver_says_otherwise(phone, host):
    page = arrive(phone, host)
    page.goto("about:blank")
    page.goto(host.address + WHOLE + hash_of("Hall", OTHER))
    expect(page.locator(".ft-came")).to_contain_text("Yours of this plan stays")
    press(page, "Take the one that came")
    expect(page.locator(".ft-came")).to_contain_text("is kept with this plan: 4 units across, 2 up")
    press(page, "Put mine back")
    press(page, "Take the one that came")
    expect(page.locator(".ft-came")).to_contain_text("4 units across")
    assert paper_of(page, host, "Hall") == OTHER


def test_a_plan_s_figure_goes_and_comes_back_with_it(phone, new_device, host, tmp_path):
    page = arrive(phone, host)
    press(page.locator(".ft-received"), "Save")
    expect(page.locator(".ft-received")).to_contain_text("Saved as “Hall”")
    page.goto(host.address + PLANS)
    press(page, "Duplicate: Hall")
    expect(page.locator(".ft-kept > .ft-plans > li")).to_have_count(2)
    press(page, "Rename: Hall")
    page.locator(".ft-dialog input").fill("Long hall")
    press(page.locator(".ft-dialog"), "Rename")
    expect(page.locator(".ft-kept")).to_contain_text("It is called “Long hall” now.")
    assert paper_of(page, host, "Hall") is None
    assert paper_of(page, host, "Hall, again") == FIGURE
    assert paper_of(page, host, "Long hall") == FIGURE
    page.goto(host.address + PLANS)
    with page.expect_download() as saving:
        press(page, "Save all as one file")
    path = tmp_path / "plans.json"
    saving.value.save_as(path)
    press(page, "Delete: Long hall")
    expect(page.locator(".ft-kept")).to_contain_text("“Long hall” is deleted, and its figure.")
    other = phone.new_page()
    assert paper_of(other, host, "Long hall") is None
    press(page, "Put it back")
    expect(page.locator(".ft-kept")).to_contain_text("“Long hall” is back, and its figure.")
    assert paper_of(other, host, "Long hall") == FIGURE
    with new_device() as device:
        there = device.new_page()
        there.goto(host.address + PLANS)
        there.get_by_label("Open a file of plans").set_input_files(path)
        expect(there.locator(".ft-kept")).to_contain_text("2 taken in.")
        there.get_by_label("Open a file of plans").set_input_files(path)
        expect(there.locator(".ft-kept")).to_contain_text("0 taken in; 2 stood here already.")
        assert paper_of(there, host, "Long hall") == FIGURE
        assert paper_of(there, host, "Hall, again") == FIGURE


def test_a_file_s_plan_of_the_same_name_takes_no_figure_s_place(phone, host, tmp_path):
    page = arrive(phone, host)
    plans = [
        {"name": name, "calculator": "cloth-plan", "version": 2, "inputs": PLAN, "figure": text}
        for name, text in (("Hall", packed(OTHER)), ("Barn", packed(OTHER)))
    ]
    path = tmp_path / "two.json"
    path.write_text(json.dumps({"kind": "fine-thread plans", "version": 2, "plans": plans}))
    page.goto(host.address + PLANS)
    chooser = page.get_by_label("Open a file of plans")
    chooser.set_input_files(path)
    expect(page.locator(".ft-kept > .ft-plans > li")).to_have_count(2)
    assert paper_of(page, host, "Hall") == FIGURE
    assert paper_of(page, host, "Hall, 2") == OTHER
    assert paper_of(page, host, "Barn") == OTHER
    plans[0]["figure"] = "4x2.<b>"
    path.write_text(json.dumps({"kind": "fine-thread plans", "version": 2, "plans": plans}))
    page.goto(host.address + PLANS)
    chooser.set_input_files(path)
    expect(page.locator(".ft-kept")).to_contain_text("plan 1: its figure is damaged")


@pytest.mark.parametrize("begins", [DRAWING, WHOLE])
def test_the_figure_of_a_plan_without_a_name_is_never_forgotten_in_silence(phone, host, begins):
    page = phone.new_page()
    page.goto(host.address + begins + hash_of("", FIGURE))
    page.locator("[data-bound]").first.wait_for()
    kept = ".ft-came" if begins == WHOLE else "[data-show=kept]"
    expect(page.locator(kept)).to_contain_text("kept" if begins == WHOLE else "Saved")
    for pieces in range(11, 24):
        other = f"v=2&calculator=cloth-plan&pieces={pieces}"
        if pieces == 11:
            page.goto("about:blank")
            page.goto(host.address + WHOLE + "#" + other)
        else:
            page.evaluate("(hash) => { location.hash = hash; }", other)
        expect(page.locator("[data-bound] [name=pieces]")).to_have_value(f"{pieces}")
    page.goto(host.address + PLANS)
    page.locator(".ft-lately > summary").click()
    lines = page.locator(".ft-lately li")
    expect(lines).to_have_count(13)
    expect(lines.last).to_contain_text("with a figure")
    press(page, "Forget these")
    expect(lines).to_have_count(1)
    lines.get_by_role("link").first.click()
    page.get_by_role("link", name="Draw its figure").click()
    assert on_paper(page) == FIGURE
    page.goto("about:blank")
    page.goto(host.address + DRAWING + hash_of("Another"))
    page.locator(".ft-drawing[data-bound]").wait_for()
    page.locator(".ft-drawing summary", has_text="All figures on this device").click()
    here = page.locator("[data-show=figures]")
    expect(here.locator("li")).to_have_count(1)
    here.get_by_role("button", name="Delete the figure").click()
    expect(here.locator("li")).to_have_count(0)
    press(page, "Put it back")
    here.get_by_role("link").click()
    expect(page.locator("[data-show=plan]")).to_contain_text("your plan")
    assert on_paper(page) == FIGURE


def test_a_figure_of_a_plan_without_a_name_goes_into_the_file_of_all(
    phone, new_device, host, tmp_path
):
    page = phone.new_page()
    page.goto(host.address + DRAWING + hash_of("", FIGURE))
    page.locator(".ft-drawing[data-bound]").wait_for()
    expect(page.locator("[data-show=kept]")).to_contain_text("Saved")
    page.goto(host.address + PLANS)
    with page.expect_download() as saving:
        press(page, "Save all as one file")
    path = tmp_path / "plans.json"
    saving.value.save_as(path)
    (plan,) = json.loads(path.read_text(encoding="utf-8"))["plans"]
    assert plan["name"].startswith("Without a name, drawn ")
    assert plan["inputs"] == PLAN
    assert read_figure(plan["figure"]) == FIGURE
    with new_device() as device:
        there = device.new_page()
        there.goto(host.address + PLANS)
        there.get_by_label("Open a file of plans").set_input_files(path)
        expect(there.locator(".ft-came")).to_contain_text("The figure that came is kept")
        assert paper_of(there, host, plan["name"]) == FIGURE


def test_the_printed_sheet_s_code_opens_the_plan_with_its_figure(phone, host):
    page = arrive(phone, host)
    press(page, "Print")
    sheet = page.locator(".ft-print .ft-sheet")
    expect(sheet).to_contain_text("The code opens the plan with its figure.")
    expect(sheet.locator(".ft-qr")).to_be_visible()
