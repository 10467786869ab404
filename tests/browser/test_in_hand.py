"""In the hand: handing on, keeping, the sheet for paper, the loom's side, on a phone and beyond."""

import json
import re
from io import BytesIO
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

import calculators
from calculators.engine.links import address as address_of
from calculators.examples.example import live_address
from scripts.pages.worked_examples import example, names

LINKS = json.loads((Path(__file__).parent / "links_v1.json").read_text(encoding="utf-8"))
LOOM = "loom-side/#v=2&calculator=cloth-plan"
SETT_AS_IT_STANDS = "sett/#v=2&units=cm&calculator=sett&warp_yarn=16%2F2&"
SMALL = f"{LOOM}&pieces=2&sample=0&temple_step=1%20cm"
NO_STORE = """for (const store of ["localStorage", "sessionStorage", "indexedDB"])
  Object.defineProperty(window, store,
    { get() { throw new DOMException("closed", "SecurityError"); } });"""


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def field(page: Page, calculator: str, name: str):
    return page.locator(f'section[data-calculator="{calculator}"] [name="{name}"]')


def shown(page: Page, calculator: str, name: str):
    return page.locator(
        f'section[data-calculator="{calculator}"] li[data-result="{name}"] .ft-value'
    )


def press(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).click()


def keep(page: Page, name: str) -> None:
    press(page, "Save")
    page.get_by_role("textbox", name="Name").fill(name)
    page.keyboard.press("Enter")
    expect(page.locator(".ft-dialog [role=status]")).to_contain_text(f"Saved as “{name}”")
    press(page, "Close")


def number(page: Page):
    return page.locator(".ft-loom-number")


def at_the_loom(page: Page, address: str) -> Page:
    page.goto(address)
    expect(page.locator("dialog.ft-loom")).to_be_visible()
    return page


@pytest.fixture
def loom(visit, host):
    """A page beside the loom; the plan is there from a visit before, so it waits for nothing."""
    expect(visit(SMALL).locator("dialog.ft-loom")).to_be_visible()
    visit("care/")
    return lambda: at_the_loom(visit.context.new_page(), host.address + SMALL)


# What stays on one line: a cell may turn between the two worlds.
ONE_FIGURE = ":is(th, td):not(:has(.ft-both)), :is(th, td) :is(.ft-metric, .ft-imperial)"


def pdf_of(page: Page, paper: str) -> PdfReader:
    return PdfReader(BytesIO(page.pdf(format=paper)))


def close(text: str) -> str:
    """Leave out the spaces, which nobody finds again in a PDF whose letters were moved closer."""
    return re.sub(r"[\s·]", "", text)


def words_of(pdf: PdfReader) -> str:
    return close("".join(one.extract_text() for one in pdf.pages))


# Handing on ---------------------------------------------------------------------------------------


def test_links_of_version_1_go_on_working(visit):
    for one in LINKS:
        page = visit(one["link"])
        calculator = re.search(r"calculator=([a-z-]+)", one["link"])[1]
        for name, value in one["fields"].items():
            expect(field(page, calculator, name)).to_have_value(value)
        for name, text in one["shows"].items():
            # The number itself, followed by no further digit.
            expect(shown(page, calculator, name)).to_have_text(
                re.compile(r"^\s*" + re.escape(text).replace(r"\ ", r"\s") + r"(?![\d.])")
            )
        expect(page.locator(".ft-notice:visible")).to_have_count(0)


def test_napkins_from_three_cones_shared_printed_and_read_without_a_server(visit, host, new_device):
    page = visit("yarn/part-cone/")
    left = 0.0
    for gross, empty in (("182 g", "42 g"), ("131 g", "41 g"), ("95 g", "45 g")):
        field(page, "cone", "yarn").fill("30/2")
        field(page, "cone", "gross").fill(gross)
        field(page, "cone", "empty").fill(empty)
        wanted = calculators.run("cone", {"yarn": "30/2", "gross": gross, "empty": empty})
        text = wanted["results"]["net_mass"]["text"]["metric"]
        expect(shown(page, "cone", "net_mass")).to_contain_text(text)
        left += wanted["results"]["net_mass"]["value"]
    assert left == pytest.approx(140 + 90 + 50)
    page.get_by_role("link", name="Plan a cloth from it").click()
    expect(field(page, "cloth-plan", "warp_yarn")).to_have_value("30/2")
    page.locator(".ft-more > summary").click()
    field(page, "cloth-plan", "warp_on_hand").fill(f"{left:g} g")
    field(page, "cloth-plan", "weft_yarn").fill("16/1 linen")
    inputs = {"warp_yarn": "30/2", "warp_on_hand": "280 g", "weft_yarn": "16/1 linen"}
    follows = {"sett": ""}  # the yarn that came along
    plan = calculators.run("cloth-plan", {**inputs, **follows})["results"]
    for name in ("ends", "weft_yarn_mass", "pieces_possible"):
        expect(shown(page, "cloth-plan", name)).to_contain_text(plan[name]["text"]["metric"])

    press(page, "Share")
    link = page.get_by_label("Link to exactly these numbers").input_value()
    assert link.startswith(f"{host.address}plan/whole-plan/#v=2&units=cm&calculator=cloth-plan&")
    expect(page.locator(".ft-code-place svg")).to_be_visible()
    page.get_by_text("As text, for a message").click()
    message = plain(page.locator(".ft-dialog textarea").input_value())
    assert plan["weft_yarn_mass"]["text"]["metric"].replace("\u202f", " ") in message
    assert message.endswith(link)

    with new_device(keeps=True) as friend:
        other = friend.new_page()
        other.goto(link)
        for name, value in inputs.items():
            expect(field(other, "cloth-plan", name)).to_have_value(value)
            mark = other.locator(f'[data-field="{name}"][data-changed] .ft-example-has')
            expect(mark).to_contain_text("came with the link")
        expect(shown(other, "cloth-plan", "weft_yarn_mass")).to_contain_text(
            plan["weft_yarn_mass"]["text"]["metric"]
        )
        expect(other.locator(".ft-offline")).to_contain_text("pages and calculators are kept")
        host.stop()
        other.goto(link)
        expect(field(other, "cloth-plan", "weft_yarn")).to_have_value("16/1 linen")
        press(other, "Print")
        expect(other.get_by_role("button", name="Print this sheet")).to_be_enabled()
        printed = pdf_of(other, "A4")
        assert len(printed.pages) == 1
        text = words_of(printed)
        for result in plan.values():
            for world in result["text"].values():
                assert close(world) in text


def test_the_phones_own_way_of_sending_is_offered_where_there_is_one(new_device, host):
    with new_device() as device:
        device.add_init_script("navigator.share = async (what) => { globalThis.sent = what; }")
        page = device.new_page()
        page.goto(host.address + "sett/")
        press(page, "Share")
        press(page, "Send to…")
        sent = page.evaluate("() => globalThis.sent")
        assert sent["url"].startswith(
            f"{host.address}sett/#v=2&units=cm&calculator=sett&warp_yarn=16%2F2&"
        )


def test_link_and_text_are_copied(new_device, host):
    with new_device(permissions=["clipboard-read", "clipboard-write"]) as device:
        page = device.new_page()
        page.goto(host.address + "sett/")
        press(page, "Share")
        press(page, "Copy the link")
        expect(page.locator(".ft-dialog .ft-told")).to_have_text("Copied.")
        copied = page.evaluate("() => navigator.clipboard.readText()")
        assert copied.startswith(
            f"{host.address}sett/#v=2&units=cm&calculator=sett&warp_yarn=16%2F2&"
        )


# Keeping ------------------------------------------------------------------------------------------


def test_plans_are_kept_named_doubled_and_deleted_with_a_way_back(visit):
    page = visit("units/")
    field(page, "unit-grid", "ends_per_unit").fill("6")
    keep(page, "Ines’s cloth")
    visit("plans/")
    saved = page.locator(".ft-kept > .ft-plans")
    entry = saved.locator("> li")
    expect(entry).to_have_count(1)
    press(page, "Duplicate: Ines’s cloth")
    expect(entry).to_have_count(2)
    press(page, "Rename: Ines’s cloth, again")
    page.get_by_role("textbox", name="Name").fill("Odile’s <b>cloth</b>")
    page.keyboard.press("Enter")
    expect(page.locator(".ft-plan-name", has_text="Odile’s <b>cloth</b>")).to_be_visible()
    press(page, "Delete: Ines’s cloth")
    expect(entry).to_have_count(1)
    press(page, "Put it back")
    expect(entry).to_have_count(2)
    later = visit.context.new_page()
    later.goto(page.url)
    expect(later.locator(".ft-kept > .ft-plans > li")).to_have_count(2)
    saved.get_by_role("link", name="Ines’s cloth").click()
    expect(field(page, "unit-grid", "ends_per_unit")).to_have_value("6")
    expect(page.locator('[data-field="ends_per_unit"][data-changed]')).to_be_visible()

    field(page, "unit-grid", "ends_per_unit").fill("7")
    press(page, "Save")
    press(page, "Save the changes in “Ines’s cloth”")
    visit("plans/")
    expect(entry).to_have_count(2)
    saved.get_by_role("link", name="Ines’s cloth").click()
    expect(field(page, "unit-grid", "ends_per_unit")).to_have_value("7")


def test_two_tabs_never_overwrite_each_others_plans(visit, host):
    one, other = visit("sett/"), visit.context.new_page()
    other.goto(host.address + "plans/")
    expect(other.locator(".ft-kept")).to_contain_text("Nothing is saved yet")
    keep(one, "First")
    expect(other.locator(".ft-plan-name")).to_have_text(["First"])
    third = visit.context.new_page()
    third.goto(host.address + "units/")
    keep(third, "Second")
    keep(one, "Third")
    expect(other.locator(".ft-plan-name")).to_have_text(["Third", "Second", "First"])


def test_a_file_takes_plans_to_another_device(visit, host, new_device, tmp_path):
    page = visit("units/")
    keep(page, "As it came")
    field(page, "unit-grid", "ends_per_unit").fill("6")
    keep(page, "Tobias’s runner")
    visit("plans/")
    with page.expect_download() as download:
        press(page, "Save all as one file")
    file = tmp_path / "plans.json"
    download.value.save_as(file)
    written = json.loads(file.read_text(encoding="utf-8"))
    assert written["version"] == 2
    build = page.locator("meta[name=ft-build]").get_attribute("content")
    assert written["build"] == build
    assert written["plans"][0]["inputs"]["ends_per_unit"] == "6"
    with new_device() as device:
        other = device.new_page()
        other.goto(host.address + "plans/")
        chooser = other.get_by_label("Open a file of plans")
        chooser.set_input_files(file)
        expect(other.locator(".ft-kept > .ft-told")).to_contain_text("2 taken in")
        chooser.set_input_files(file)
        expect(other.locator(".ft-kept > .ft-told")).to_contain_text("2 stood here already")
        other.locator(".ft-plan-name", has_text="Tobias’s runner").click()
        expect(field(other, "unit-grid", "ends_per_unit")).to_have_value("6")


def test_a_plan_that_was_sent_opens_with_its_card(visit, host, new_device):
    page = visit("plan/whole-plan/")
    field(page, "cloth-plan", "pieces").fill("4")
    press(page, "Share")
    page.get_by_label("Name that goes along").fill("Odile’s <b>cloths</b>")
    page.get_by_label("Name that goes along").blur()
    expect(page.locator(".ft-dialog .ft-piece")).to_be_visible()
    expect(page.get_by_label("Link to exactly these numbers")).to_have_value(
        re.compile("&plan-name=Odile%E2%80%99s")
    )
    link = page.get_by_label("Link to exactly these numbers").input_value()
    with page.expect_download() as download:
        press(page, "Save as a file")
    press(page, "Close")
    expect(page.locator(".ft-received")).to_have_count(0)
    plan = calculators.run("cloth-plan", {"pieces": "4"})["results"]
    with new_device() as device:
        other = device.new_page()
        other.goto(link)
        card = other.locator(".ft-received")
        expect(card).to_contain_text("“Odile’s <b>cloths</b>”")
        expect(card.locator(".ft-piece")).to_be_visible()
        for name in ("ends", "warp_length", "warp_yarn_mass", "weft_yarn_mass"):
            expect(card).to_contain_text(plan[name]["text"]["metric"])
        save = card.get_by_role("button", name="Save")
        first = other.locator(".ft-form [name]").first.bounding_box()
        assert save.bounding_box()["y"] < first["y"]
        save.click()
        expect(card.get_by_role("status")).to_contain_text("Saved as “Odile’s <b>cloths</b>”")
        other.goto(f"{host.address}plans/")
        expect(other.locator(".ft-kept > .ft-plans > li")).to_have_count(1)
        press(other, "Delete: Odile’s <b>cloths</b>")
        other.locator(".ft-lately > summary").click()
        press(other, "Forget these")
        chooser = other.get_by_label("Open a file of plans")
        chooser.set_input_files(Path(download.value.path()))
        expect(card.locator(".ft-piece")).to_be_visible()
        expect(field(other, "cloth-plan", "pieces")).to_have_value("4")


def test_a_link_pasted_into_the_open_page_opens_with_its_card(visit):
    page = visit("plan/whole-plan/")
    expect(page.locator("section[data-bound]")).to_have_count(1)
    field(page, "cloth-plan", "pieces").fill("4")
    card = page.locator(".ft-received")
    for name, pieces in (("Odile’s cloths", "5"), ("Tobias’s cloths", "3")):
        page.evaluate(
            "(hash) => { location.hash = hash; }",
            f"v=2&calculator=cloth-plan&plan-name={quote(name)}&pieces={pieces}",
        )
        expect(card).to_have_count(1)
        expect(card).to_contain_text(name)
        expect(card.locator(".ft-piece")).to_be_visible()
        expect(field(page, "cloth-plan", "pieces")).to_have_value(pieces)
    # A plan that was worked on here is nobody else's.
    page.evaluate("() => history.back()")
    expect(field(page, "cloth-plan", "pieces")).to_have_value("5")
    expect(card).to_have_count(0)


def test_plans_without_a_name_are_told_apart(visit):
    page = visit("plan/whole-plan/")
    for pieces in ("4", "7"):
        visit("plan/whole-plan/")
        field(page, "cloth-plan", "pieces").fill(pieces)
        expect(page.locator(".ft-whose").first).to_have_text("Answer to your numbers")
        expect(page.locator("section[data-called]")).to_have_count(1)
    press(page, "Save")
    expect(page.get_by_role("textbox", name="Name")).to_have_value(
        "7 pieces, 48 × 48 cm, six-end satin"
    )
    press(page, "Close")
    visit("plans/")
    page.locator(".ft-lately > summary").click()
    expect(page.locator(".ft-lately a")).to_have_text(
        ["7 pieces, 48 × 48 cm, six-end satin", "4 pieces, 48 × 48 cm, six-end satin"]
    )


def test_the_last_plan_is_there_when_one_comes_back(visit, host):
    page = visit("plan/whole-plan/")
    go_on = page.locator(".ft-go-on")
    expect(go_on).to_have_count(0)
    field(page, "cloth-plan", "finished_width").fill("52 cm")
    expect(page.locator(".ft-answer")).to_contain_text("52 cm")
    keep(page, "Wide napkins")
    page.close()
    visit.page = visit.context.new_page()
    visit.page.goto(host.address)
    page = visit("plan/whole-plan/")
    go_on = page.locator(".ft-go-on")
    expect(go_on).to_contain_text("Go on with Wide napkins, 52 × 48 cm")
    field(page, "cloth-plan", "pieces").fill("2")  # another plan, which leaves that one alone
    expect(page.locator(".ft-answer")).to_contain_text("2 pieces")
    expect(go_on).to_contain_text("Wide napkins")
    go_on.get_by_role("link").click()
    expect(field(page, "cloth-plan", "finished_width")).to_have_value("52 cm")
    expect(field(page, "cloth-plan", "pieces")).to_have_value("6")
    expect(page.locator(".ft-called")).to_have_text("“Wide napkins”")
    expect(go_on).to_have_count(0)
    visit("plans/")
    expect(go_on).to_contain_text("Wide napkins")
    page.locator(".ft-lately > summary").click()
    expect(page.locator(".ft-lately li")).to_have_count(2)
    visit("plan/whole-plan/")
    press(page, "Start anew")
    expect(go_on).to_have_count(0)
    visit("plan/whole-plan/")
    expect(field(page, "cloth-plan", "finished_width")).to_have_value("48 cm")
    expect(go_on).to_have_count(0)


GOOD = {"name": "Good", "calculator": "sett", "inputs": {"weave": "plain"}}


def in_file(*plans, **other):
    return json.dumps({"kind": "fine-thread plans", "version": 2, "plans": plans} | other)


BROKEN = [
    ("{", "cannot be read as JSON"),
    ("[1, 2]", "not one of the handbook’s plans"),
    ("null", "not one of the handbook’s plans"),
    (in_file(GOOD, kind="other"), "not one of the handbook’s plans"),
    (in_file(GOOD, version=3), "another edition"),
    (in_file(GOOD, GOOD | {"calculator": "toString"}), "plan 2: there is no calculator"),
    (in_file(GOOD, GOOD | {"name": " "}), "plan 2: it has no name"),
    (in_file(GOOD, GOOD | {"inputs": {"weave": 3}}), "plan 2: its numbers"),
    (in_file(GOOD, GOOD | {"inputs": None}), "plan 2: its numbers"),
    (in_file(GOOD, None), "plan 2"),
]


def test_a_broken_file_is_refused_whole(visit):
    page = visit("plans/")
    told = page.locator(".ft-kept > .ft-told")
    for text, words in BROKEN:
        told.evaluate_all("(all) => { for (const one of all) one.textContent = ''; }")
        page.get_by_label("Open a file of plans").set_input_files(
            {"name": "plans.json", "mimeType": "application/json", "buffer": text.encode()}
        )
        expect(told).to_contain_text(words)
        expect(page.locator(".ft-plans > li")).to_have_count(0)
    page.reload()
    expect(page.locator(".ft-kept")).to_contain_text("Nothing is saved yet")


def test_without_a_store_it_says_so_and_offers_a_file(new_device, host):
    with new_device() as device:
        device.add_init_script(NO_STORE)
        page = device.new_page()
        page.goto(host.address + "sett/")
        press(page, "Save")
        expect(page.get_by_role("textbox", name="Name")).to_be_focused()
        page.keyboard.press("Enter")
        expect(page.locator(".ft-dialog [role=status]")).to_contain_text("keeps nothing more here")
        with page.expect_download() as download:
            press(page, "Save as a file")
        assert json.loads(Path(download.value.path()).read_text())["plans"][0]["inputs"]
        page.goto(host.address + "plans/")
        page.get_by_label("Open a file of plans").set_input_files(
            {"name": "p.json", "mimeType": "application/json", "buffer": in_file(GOOD).encode()}
        )
        expect(page.locator(".ft-received")).to_contain_text("Good")
        expect(field(page, "sett", "weave")).to_have_value("plain weave")
        at_the_loom(page, host.address + SMALL)
        page.keyboard.press("PageDown")
        expect(number(page)).to_have_text("1")
        expect(page.locator('[data-show="kept"]')).to_contain_text("only while this page is open")


def test_two_taps_open_one_dialog(phone, host):
    page = phone.new_page()
    page.goto(host.address + "sett/")
    page.locator('[data-action="keep"]').evaluate("button => { button.click(); button.click(); }")
    expect(page.get_by_role("textbox", name="Name")).to_be_focused()
    expect(page.locator(".ft-dialog")).to_have_count(1)


def test_a_full_store_keeps_what_it_had(phone, host):
    page = phone.new_page()
    page.goto(host.address + "sett/")
    room = {"origin": page.evaluate("location.origin"), "quotaSize": 1_000_000}
    phone.new_cdp_session(page).send("Storage.overrideQuotaForOrigin", room)
    keep(page, "Before")
    field(page, "sett", "warp_yarn").evaluate("(one) => (one.value = 'x'.repeat(2_000_000))")
    press(page, "Save")
    press(page, "Save as another plan")
    expect(page.locator(".ft-dialog [role=status]")).to_contain_text("keeps nothing more here")
    page.goto(host.address + "plans/")
    expect(page.locator(".ft-plan-name")).to_have_text(["Before"])


# Paper --------------------------------------------------------------------------------------------


MANY_NAPKINS = {  # and everything else that makes a sheet long
    "pieces": "144",
    "finished_width": "61.5 cm",
    "finished_length": "61.5 cm",
    "warp_yarn": "60/2 cotton",
    "weft_yarn": "16 lea linen",
    "ends_per_unit": "7",
    "picks_per_unit": "9",
    "sett": "17.3 /cm",
    "take_up": "4–6–20 %",
    "reeds": "40/10, 50/10, 60/10, 70/10, 75/10, 80/10, 90/10, 100/10, 110/10, 120/10",
    "ground_shafts": "8",
    "warp_on_hand": "200 g",
    "weft_on_hand": "300 g",
    "loom_weaving_width": "40 cm",
    "loom_pattern_heddles": "100",
    "loom_ground_shafts": "4",
    "loom_ground_heddles": "100",
    "loom_carries": "10 kg",
    "loom_longest_warp": "10 m",
}
BEYOND_ITS_EDGE = """() => [...document.querySelectorAll(".ft-job *")].filter((one) =>
  !one.closest("svg") && (one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0
    && getComputedStyle(one).display !== "inline"
    || one.getBoundingClientRect().right
      > document.querySelector(".ft-job").getBoundingClientRect().right + 1)
  ).map((one) => one.outerHTML.slice(0, 120))"""


OTHERS = [pytest.param(name, marks=pytest.mark.thorough) for name in names()]


@pytest.mark.parametrize(
    "which",
    ["many napkins", pytest.param("a short plan", marks=pytest.mark.thorough), *OTHERS],
)
def test_a_plans_sheet_is_one_page_with_nothing_cut_off(visit, which):
    plans = {"a short plan": {}, "many napkins": MANY_NAPKINS}
    typed = plans.get(which)
    place = live_address(example(which)) if typed is None else address_of("cloth-plan", typed)
    page = visit(place)
    if typed:
        expect(field(page, "cloth-plan", "pieces")).to_have_value(typed["pieces"])
    press(page, "Print")
    expect(page.get_by_role("button", name="Print this sheet")).to_be_enabled()
    for width in (320, 360, 768):  # as it is seen before it is printed
        page.set_viewport_size({"width": width, "height": 740})
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    reeds = page.locator(".ft-sheet table", has_text="Ends in the dents").locator("tr")
    told = [plain(text) for text in reeds.locator(ONE_FIGURE).all_inner_texts()]
    for paper in ("A4", "Letter"):
        printed = pdf_of(page, paper)
        assert len(printed.pages) == 1, paper
        words = words_of(printed)
        assert [one for one in told if close(one) not in words] == [], paper
    page.emulate_media(media="print")
    page.set_viewport_size({"width": round(186 * 96 / 25.4), "height": 980})
    assert page.evaluate(BEYOND_ITS_EDGE) == []
    page.keyboard.press("Escape")


@pytest.mark.parametrize("paper", ["A4", pytest.param("Letter", marks=pytest.mark.thorough)])
def test_the_job_sheet_is_told_in_both_worlds_and_in_black(visit, paper):
    page = visit("plan/whole-plan/")
    press(page, "Print")
    expect(page.get_by_role("button", name="Print this sheet")).to_be_enabled()
    printed = pdf_of(page, paper)
    text = words_of(printed)
    found = calculators.run("cloth-plan", {})
    for name, result in found["results"].items():
        assert close(result["text"]["metric"]) in text, name
        assert close(result["text"]["imperial"]) in text, name
    for step in found["steps"]:
        assert step["formula"] in text
    build = page.locator("meta[name=ft-build]").get_attribute("content")
    assert f"build{build}" in text
    order = ["Yarn", "Reed", "Windingandbeaming", "Harness", "Weaving"]
    assert order == sorted(order, key=text.index)
    pages = b"".join(one.get_contents().get_data() for one in printed.pages)
    for red, green, blue in re.findall(rb"([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)\b", pages):
        assert red == green == blue
    press(page, "Back to the page")
    expect(page.locator(".ft-print")).to_have_count(0)
    expect(page.get_by_role("button", name="Print")).to_be_focused()


def test_no_sheet_is_made_of_what_cannot_be(visit):
    page = visit("sett/")
    field(page, "sett", "warp_yarn").fill("seven")
    press(page, "Print")
    expect(page.locator(".ft-print [role=status]")).to_contain_text("No sheet can be made of this")
    page.keyboard.press("Escape")
    expect(field(page, "sett", "warp_yarn")).to_have_value("seven")


# At the loom --------------------------------------------------------------------------------------


def test_the_count_at_the_loom(loom):
    page = loom()
    inputs = {"pieces": "2", "sample": "0", "temple_step": "1 cm"}
    plan = calculators.run("cloth-plan", inputs)["results"]
    picks = plan["picks"]["value"] / 2.54  # to the centimetre
    hem = round(4 / 0.92 / 2 * picks)
    every = int(picks)
    left = page.locator('[data-show="left"]')
    temple = page.locator('[data-loom="temple"]')
    expect(page.locator('[data-show="stretch"]')).to_have_text("Piece 1 of 2, first hem")
    expect(left).to_contain_text(f"picks of {hem} woven")
    expect(temple).to_contain_text(f"in {every} picks")
    for _ in range(every):
        press(page, "Pick woven")
    expect(number(page)).to_have_text(str(every))
    expect(temple).to_contain_text("Move the temple now")
    temple.click()
    expect(temple).to_contain_text(f"in {every} picks")
    press(page, "Back")
    expect(temple).to_contain_text("Move the temple now")
    page.locator(".ft-loom-more > summary").click()
    press(page, "This stretch is done")
    expect(page.locator('[data-show="stretch"]')).to_have_text("Piece 1 of 2")
    rows = plan["units_up"]["value"]
    page.locator(".ft-loom-more > summary").click()
    press(page, "Row woven")
    press(page, "One pick")
    expect(number(page)).to_have_text("1")
    expect(left).to_contain_text(f"rows of {rows} woven, {rows - 1} left; 1 pick of the next")
    press(page, "Row woven")
    expect(number(page)).to_have_text("2")

    page.reload()
    expect(number(page)).to_have_text("2")
    page.close()
    page = loom()
    expect(number(page)).to_have_text("2")
    other = loom()
    press(other, "Row woven")
    expect(number(page)).to_have_text("3")
    for _ in range(4):
        press(page, "Back")
    expect(number(page)).to_have_text("0")
    page.locator(".ft-loom-more > summary").click()
    page.get_by_label("Picks woven so far").fill("1e9")
    press(page, "Set the count")
    expect(page.locator('[data-show="said"]')).to_contain_text("A whole number of picks is wanted")
    whole = 2 * (rows * 6 + 2 * hem) + round(picks)  # six picks in a row of the worked plan
    page.get_by_label("Picks woven so far").fill(str(whole))
    press(page, "Set the count")
    expect(page.locator('[data-show="stretch"]')).to_have_text("All of it is woven")


def test_a_changed_plan_asks_whether_the_picks_carry_over(visit, host):
    page = visit(f"{SMALL}&plan-name=Tray%20cloths")
    for _ in range(3):
        press(page, "Pick woven")
    expect(page.locator('[data-show="written"]')).to_have_text("3 picks in all, saved")
    page.close()  # at once: what was called saved is there
    visit.page = visit.context.new_page()
    visit.page.goto(host.address)
    page = visit("plan/whole-plan/#v=2&calculator=cloth-plan&plan-name=Tray%20cloths&pieces=4")
    page.get_by_role("link", name="Take it to the loom").click()
    asked = page.locator(".ft-loom-start .ft-told")
    expect(asked).to_contain_text(
        "“Tray cloths” was changed after 3 picks were woven of it, "
        "Piece 1 of 2, first hem, 3 picks. In the plan as it is now that is Sample, 3 picks."
    )
    expect(page.locator("dialog.ft-loom")).to_be_hidden()
    entry = page.locator(".ft-loom-start .ft-plans > li")
    size = calculators.run("cloth-plan", {})["inputs"]["finished_width"]["text"]["metric"]
    expect(entry).to_have_count(1)
    expect(entry).to_contain_text("Tray cloths")
    expect(entry).to_contain_text(f"{size.removesuffix(' cm')} × {size}")
    expect(entry).to_contain_text("3 picks woven · last on ")
    press(page, "Carry over 3 picks")
    expect(number(page)).to_have_text("3")
    press(page, "Pick woven")
    expect(page.locator('[data-show="written"]')).to_have_text("4 picks in all, saved")
    press(page, "Leave")
    expect(entry).to_have_count(1)
    expect(entry).to_contain_text("4 picks woven")
    visit(f"{LOOM}&plan-name=Something%20else&pieces=5")
    expect(page.locator('[data-show="said"]')).to_have_text("Nothing is counted of this plan yet.")
    expect(number(page)).to_have_text("0")


def test_another_spelling_of_a_plan_goes_on_with_its_count(visit):
    page = visit(f"{SMALL}&weave=satin_5&plan-name=Tray%20cloths")
    for _ in range(3):
        press(page, "Pick woven")
    expect(page.locator('[data-show="written"]')).to_have_text("3 picks in all, saved")
    press(page, "Leave")
    again = SMALL.replace("1%20cm", "10%20mm")
    visit(f"{again}&weave=5-bindig%20satin&plan-name=Tray%20cloths")
    expect(page.locator("dialog.ft-loom")).to_be_visible()
    expect(number(page)).to_have_text("3")
    press(page, "Leave")
    expect(page.locator(".ft-loom-start .ft-plans > li")).to_have_count(1)


def test_the_guard_and_the_pedal(loom):
    page = loom()
    for key in ("PageDown", "ArrowRight", " "):
        page.keyboard.press(key)
    expect(number(page)).to_have_text("3")
    page.keyboard.press("PageUp")
    page.keyboard.press("ArrowLeft")
    expect(number(page)).to_have_text("1")
    press(page, "Guard")
    page.get_by_role("button", name="Pick woven").click()
    page.get_by_role("button", name="Leave").click()
    page.keyboard.press("Escape")
    expect(page.locator("dialog.ft-loom")).to_be_visible()
    expect(number(page)).to_have_text("1")
    expect(page.locator('[data-show="said"]')).to_contain_text("Guarded")
    page.keyboard.press("PageDown")
    expect(number(page)).to_have_text("2")
    page.reload()
    expect(number(page)).to_have_text("2")
    guard = page.locator('[data-loom="guard"]')
    expect(guard).to_have_attribute("aria-pressed", "true")
    guard.click(delay=1_200)
    expect(guard).to_have_attribute("aria-pressed", "false")
    press(page, "Back")
    expect(number(page)).to_have_text("1")
    page.keyboard.press(" ")  # the pedal's, after a thumb was on another button
    expect(number(page)).to_have_text("2")
    press(page, "Guard")
    guard.click()
    expect(guard).to_have_attribute("aria-pressed", "true")
    guard.click()
    expect(guard).to_have_attribute("aria-pressed", "false")
    press(page, "Leave")
    expect(page.locator("dialog.ft-loom")).to_be_hidden()
    expect(page.locator(".ft-loom-start .ft-plans")).to_contain_text("2 picks woven")


@pytest.mark.parametrize("awake", [True, False])
def test_whether_the_screen_stays_awake_is_said(visit, awake):
    lock = "async request() { globalThis.asked = true; return { async release() {} }; }"
    refuse = 'async request() { throw new DOMException("no", "NotAllowedError"); }'
    visit.page.evaluate(
        'Object.defineProperty(navigator, "wakeLock", '
        f"{{ value: {{ {lock if awake else refuse} }}, configurable: true }});"
    )
    words = "stays awake" if awake else "does not keep the screen awake"
    expect(visit(SMALL).locator('[data-show="awake"]')).to_contain_text(words)


def test_what_is_pressed_at_the_loom_is_large(loom):
    page = loom()
    page.locator(".ft-loom-more > summary").click()
    for width, height in ((320, 640), (360, 740), (768, 1024), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        small = page.evaluate(
            """() => [...document.querySelectorAll(
            "dialog.ft-loom :is(button, summary)")].filter((one) => one.checkVisibility()).map(
            (one) => [one.textContent, one.getBoundingClientRect()]).filter(
            ([, box]) => box.width < 64 || box.height < 64).map(([words]) => words)"""
        )
        assert small == []
        beyond = page.evaluate(
            "() => { const view = document.querySelector('dialog.ft-loom');"
            " return view.scrollWidth - view.clientWidth; }"
        )
        assert beyond <= 0
    page.locator(".ft-loom-more > summary").click()
    page.set_viewport_size({"width": 360, "height": 740})
    button = page.locator('[data-loom="next"]').bounding_box()
    assert button["y"] + button["height"] <= 740


# For everyone -------------------------------------------------------------------------------------


@pytest.mark.thorough
def test_everything_that_opens_passes_the_accessibility_rules(visit, faults):
    found = {}
    page = visit("plan/whole-plan/")

    def note(what):
        page.emulate_media(color_scheme="light", reduced_motion="reduce")
        found[what] = faults(page)
        page.emulate_media(color_scheme="dark")
        found[what] += faults(page, only_colours=True)  # the rest is the same in the dark

    field(page, "cloth-plan", "pieces").fill("4")
    expect(page.locator('[data-field="pieces"][data-changed]')).to_be_visible()
    press(page, "Share")
    expect(page.locator(".ft-code-place svg")).to_be_visible()
    page.get_by_text("As text, for a message").click()
    note("hand on")
    press(page, "Close")
    press(page, "Save")
    note("keep")
    page.keyboard.press("Enter")
    expect(page.locator(".ft-dialog .ft-told")).to_contain_text("Saved as")
    note("kept")
    press(page, "Close")
    press(page, "Is this its true size?")
    note("true size")
    press(page, "Close")
    press(page, "Print")
    expect(page.get_by_role("button", name="Print this sheet")).to_be_enabled()
    note("sheet")
    press(page, "Back to the page")
    visit("plans/")
    expect(page.locator(".ft-plan-name")).to_have_count(1)
    note("plans")
    page.get_by_role("button", name="Rename").click()
    note("rename")
    visit(SMALL)
    expect(page.locator("dialog.ft-loom")).to_be_visible()
    note("loom")
    page.locator(".ft-loom-more > summary").click()
    note("loom, more")
    press(page, "Guard")
    note("loom, guarded")
    behaviour = "() => getComputedStyle(document.documentElement).scrollBehavior"
    assert page.evaluate(behaviour) == "auto"
    assert {name: problems for name, problems in found.items() if problems} == {}


def test_by_keyboard_alone(visit):
    page = visit("finishing/record/#v=1&calculator=wash-test&before=50%20cm")
    field(page, "wash-test", "after").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("48 cm")
    expect(shown(page, "wash-test", "change")).to_contain_text("4 %")

    def tab_to(words):
        for _ in range(40):
            page.keyboard.press("Tab")
            if page.evaluate("() => document.activeElement.textContent") == words:
                return
        pytest.fail(f"“{words}” is not reached with the tab key")

    tab_to("Share")
    page.keyboard.press("Enter")
    expect(page.get_by_role("dialog")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)
    assert page.evaluate("() => document.activeElement.textContent") == "Share"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("dialog").locator("input")).to_be_focused()
    page.keyboard.type("Linen sample")
    page.keyboard.press("Enter")
    expect(page.locator(".ft-dialog [role=status]")).to_contain_text("Saved as “Linen sample”")
    page.keyboard.press("Escape")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".ft-sheet h1")).to_have_text("Linen sample")
    page.keyboard.press("Escape")
    assert page.evaluate("() => document.activeElement.textContent") == "Print"


def test_without_javascript_nothing_is_offered_that_needs_it(new_device, host):
    with new_device(java_script_enabled=False) as device:
        page = device.new_page()
        page.goto(host.address + "plans/")
        expect(page.locator(".ft-kept noscript p")).to_be_visible()
        page.goto(host.address + "loom-side/")
        expect(page.locator(".ft-loom-start noscript p")).to_be_visible()
        expect(page.get_by_role("table")).to_contain_text("Piece 1 of 6")
        page.goto(host.address + "plan/whole-plan/")
        for words in ("Share", "Save", "Print", "Is this its true size?"):
            expect(page.get_by_role("button", name=words, exact=True)).to_have_count(0)


def test_a_bank_card_gives_the_true_size(phone, host):
    page = phone.new_page()
    page.goto(host.address + "plan/whole-plan/")
    drawn = page.locator("svg[data-millimetres]")
    millimetres = float(drawn.get_attribute("data-millimetres").split()[0])
    width = "(one) => one.getBoundingClientRect().width"
    assert drawn.evaluate(width) == pytest.approx(millimetres * 96 / 25.4, rel=0.02)
    press(page, "Is this its true size?")
    page.get_by_label("Size of the outline").fill("1.6")
    card = page.locator(".ft-bank-card").evaluate(width)
    assert card == pytest.approx(53.98 * 96 / 25.4 * 1.6, rel=0.02)
    press(page, "Close")
    page.reload()
    assert drawn.evaluate(width) == pytest.approx(millimetres * 96 / 25.4 * 1.6, rel=0.02)
    page.emulate_media(media="print")
    assert drawn.evaluate(width) == pytest.approx(millimetres * 96 / 25.4, rel=0.02)


def test_large_text_and_every_width_fit(visit, loom):
    page = visit("units/")
    keep(page, "A plan with a rather long name, as weavers give them")
    seen = ("plans/", ".ft-plan-name"), ("loom-side/", ".ft-plan-name"), (SMALL, "dialog.ft-loom")
    for name, shown in seen:
        expect(visit(name).locator(shown).first).to_be_visible()
        for width, text in ((320, "100%"), (360, "200%"), (768, "100%"), (1280, "200%")):
            page.set_viewport_size({"width": width, "height": 740})
            page.evaluate("(size) => { document.documentElement.style.fontSize = size }", text)
            beyond = page.evaluate(
                "() => Math.max(...[document.documentElement, ...document.querySelectorAll("
                "'dialog[open]')].map((one) => one.scrollWidth - one.clientWidth))"
            )
            assert beyond <= 0, (name, width, text)
