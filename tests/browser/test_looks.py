"""How the handbook looks and can be used: contrast, size, reach, light, paper, weight."""

import gzip
import re
from functools import cache
from io import BytesIO

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from scripts.setting_up.environment import ROOT

EXAMPLES = sorted((ROOT / "docs/data/examples").glob("*.toml"))
SIDEWAYS = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
PACKED = {".woff2", ".png"}  # already compressed
BUDGET = 120_000


@pytest.fixture
def plain(chromium, host):
    """Open pages without keeping an offline copy, which is tested elsewhere."""
    contexts = []

    def make(**options):
        options = {"viewport": {"width": 360, "height": 740}, "locale": "en-GB", **options}
        context = chromium.new_context(service_workers="block", **options)
        contexts.append(context)
        return context.new_page()

    yield make
    for context in contexts:
        context.close()


@cache
def weight(path):
    """What a file weighs on its way from a host that compresses."""
    data = (path / "index.html" if path.is_dir() else path).read_bytes()
    return len(data) if path.suffix in PACKED else len(gzip.compress(data))


KINDS = (
    "",
    "care/",
    "examples/lace-runner/",
    "loom-side/",
    "plan/whole-plan/",
    "sett/",
    "shelf/",
    "structures/",
    "trouble/",
)


# Every table that is wider than its place: what it is, and whether that is shown.
SLID = """async () => {
  const folded = [...document.querySelectorAll("details:not([open])")];
  for (const one of folded) one.open = true;
  for (let frame = 0; frame < 3; frame++) await new Promise(requestAnimationFrame);
  const found = [...document.querySelectorAll("table")].flatMap((table) => {
    const place = table.closest(".ft-scroll") ?? table;
    if (!place.clientWidth || place.scrollWidth <= place.clientWidth + 1) return [];
    const { overflowX, backgroundImage } = getComputedStyle(place);
    const line = getComputedStyle(place, "::before");
    const shown = overflowX === "auto" && backgroundImage.includes("gradient")
      && line.content.includes("slide") && parseFloat(line.height) > 10;
    return [[table.textContent.trim().slice(0, 60), shown]];
  });
  for (const one of folded) one.open = false;
  return found;
}"""
ASKED_FIRST = ("sett/", "plan/whole-plan/", "examples/five-end-napkins/")


@pytest.mark.long
@pytest.mark.parametrize("half", [0, 1])
def test_every_page_is_light_and_fits_every_screen(plain, host, site, site_pages, half, thoroughly):
    """No page asks anybody else, is heavy, scrolls sideways, or cuts a table without a word.

    Large text on a wide screen is asked of one page of each kind daily.
    """
    address, found, asked = host.address, {}, set()
    slid = {}
    page = plain(reduced_motion="reduce")
    page.on("request", lambda request: asked.add(request.url.split("#")[0].split("?")[0]))

    def note(name, what):
        if what:
            found.setdefault(name, []).append(what)

    def stretched(name, width, text):
        page.set_viewport_size({"width": width, "height": 740})
        page.evaluate("(size) => { document.documentElement.style.fontSize = size }", text)
        if (beyond := page.evaluate(SIDEWAYS)) > 0:
            note(name, f"{beyond} px too wide at {width} px and {text}")

    for name in site_pages[half::2]:
        page.set_viewport_size({"width": 360, "height": 740})
        asked.clear()
        page.goto(address + name, wait_until="load")
        asked -= {url for url in asked if url.startswith("data:")}  # part of the page itself
        foreign = {url for url in asked if not url.startswith(address)}
        note(name, foreign)
        total = sum(weight(site / url.removeprefix(address)) for url in asked - foreign)
        note(name, f"{total} bytes" if total > BUDGET else "")
        if "<table" in (site / name / "index.html").read_text(encoding="utf-8"):
            slid[name] = page.evaluate(SLID)
            note(name, [f"cut: {one}" for one, shown in slid[name] if not shown])
        stretched(name, 320, "100%")
        stretched(name, 360, "200%")
        if name in KINDS or thoroughly:
            stretched(name, 1280, "200%")
        # What is asked first answers on a narrow screen without sliding.
        assert name not in ASKED_FIRST or len(slid[name]) <= 1, name
    assert any(slid.values())
    assert set(ASKED_FIRST) <= set(site_pages)
    assert found == {}


@pytest.mark.long
def test_every_page_passes_the_accessibility_rules_light_and_dark(
    plain, host, site_pages, faults, thoroughly
):
    """Daily one page of each kind; html-validate reads every page's code each time."""
    page, dressed, wrong = plain(bypass_csp=True, reduced_motion="reduce"), [], {}
    assert set(KINDS) <= set(site_pages)
    for name in site_pages if thoroughly else KINDS:
        page.emulate_media(color_scheme="light")
        page.goto(host.address + name, wait_until="load")
        known = len(dressed)
        told = faults(page, seen=dressed)
        if len(dressed) > known:  # the same places, in the dark
            page.emulate_media(color_scheme="dark")
            told += faults(page, only_colours=True)
        if told:
            wrong[name] = told
    assert wrong == {}


# What is printed in letters under 8 pt, beside the drawings.
SMALL = """() => {
  const own = (one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
  const size = (one) => 0.75 * parseFloat(getComputedStyle(one).fontSize);
  return [...document.querySelectorAll(".ft-main :not(svg, svg *, sup, sub), .ft-footer *")]
    .filter((one) => one.checkVisibility() && own(one) && size(one) < 7.99)
    .map((one) => `${one.textContent.trim().slice(0, 40)}: ${size(one)}`);
}"""


def test_a_worked_example_with_its_figure_is_printed_on_both_sides_of_one_sheet(plain, host):
    page = plain()
    drawn = [one for one in EXAMPLES if "[figure]" in one.read_text(encoding="utf-8")]
    assert len(drawn) > 5
    wrong = {}
    for name in (one.stem for one in drawn):
        page.goto(f"{host.address}examples/{name}/")
        printed = PdfReader(BytesIO(page.pdf(format="A4"))).pages
        words = re.sub(r"\s", "", "".join(one.extract_text() for one in printed))
        page.emulate_media(media="print")
        missing = [
            heading
            for heading in ("What the figure costs", "Which unit hangs on which cord", "Put in")
            if heading.replace(" ", "") not in words
        ]
        small = page.evaluate(SMALL)
        if len(printed) != 2 or missing or small:
            wrong[name] = len(printed), missing, small[:5]
        page.emulate_media(media="null")
    assert wrong == {}


def test_open_search_and_contents_pass_the_accessibility_rules(plain, host, faults):
    page = plain()
    page.goto(host.address)
    page.locator(".ft-contents > summary").click()
    assert faults(page) == []
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Search", exact=True).click()
    assert faults(page) == []


def test_troubles_are_found_by_words_and_by_stage(visit, faults):
    page = visit("trouble/")
    shown = page.locator(".ft-trouble:visible")
    everything = shown.count()
    page.get_by_label("Words that describe it").fill("temple EDGE")
    few = shown.all_text_contents()
    assert 0 < len(few) < everything
    assert all("temple" in text.lower() and "edge" in text.lower() for text in few)
    expect(page.locator(".ft-narrow [role=status]")).to_contain_text(
        f"{len(few)} of {everything} troubles"
    )
    assert faults(page) == []
    page.get_by_label("Words that describe it").fill("")
    page.get_by_label("Stage of the work").select_option("Winding")
    assert page.locator(".ft-troubles:visible").count() == 1
    assert page.locator("h2:visible", has_text="Winding").count() == 1
    page.get_by_label("Words that describe it").fill("no such words here")
    assert shown.count() == 0
    expect(page.locator(".ft-narrow [role=status]")).to_contain_text("None of them")
    # A link to a trouble wins over what was narrowed before.
    name = page.locator(".ft-trouble [id]").first.get_attribute("id")
    page.evaluate("(name) => (location.hash = name)", name)
    expect(page.locator(f"#{name}")).to_be_in_viewport()
    expect(page.get_by_label("Words that describe it")).to_have_value("")


@pytest.mark.parametrize("scripts", [pytest.param(True, marks=pytest.mark.thorough), False])
def test_a_trouble_shows_its_sign_and_opens_at_its_own_address(chromium, host, scripts):
    context = chromium.new_context(java_script_enabled=scripts)
    page = context.new_page()
    page.goto(host.address + "trouble/")
    sign, advice = page.get_by_text("A row is too heavy to draw"), page.locator("#W-512")
    expect(sign).to_be_visible()
    expect(advice).to_be_hidden()
    sign.click()
    expect(advice).to_be_visible()
    page.goto("about:blank")
    page.goto(host.address + "trouble/#W-512")
    expect(advice).to_be_in_viewport()
    expect(sign).to_be_in_viewport()
    expect(page.locator("#W-513")).to_be_hidden()
    page.emulate_media(media="print")
    expect(page.locator("#W-513")).to_be_visible()
    context.close()


def test_without_javascript_the_stages_are_links(chromium, host):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(host.address + "trouble/")
    page.locator(".ft-stages a", has_text="Weaving").click()
    assert page.url.endswith("#trouble-weaving")
    context.close()


@pytest.mark.parametrize("name", ["", "sett/", "plan/whole-plan/", "figure/drawing/"])
def test_what_is_tapped_is_large_enough(visit, name):
    page = visit(name)
    expect(page.locator(".ft-calculator, .ft-drawing").first).to_have_attribute("data-bound", "")
    small = page.evaluate(
        """() => [...document.querySelectorAll(
            "button, select, input, .ft-header a, .ft-ways li a, .ft-ways-on a, " +
            "summary:not(.ft-hint *)"
          )].filter((one) => one.checkVisibility({contentVisibilityAuto: true}))
            .map((one) => [one.outerHTML.slice(0, 80), (one.type === "checkbox" ?
              one.closest("label") : one).getBoundingClientRect().height])
            .filter(([, height]) => height < 44)"""
    )
    assert small == []


@pytest.mark.parametrize(("way", "title"), [("Sett", "Sett"), ("Warp", "Warp length")])
def test_sett_and_yardage_are_one_tap_from_every_page(visit, way, title):
    page = visit("care/")
    page.locator(".ft-header").get_by_role("link", name=way, exact=True).tap()
    page.get_by_role("heading", level=1, name=title).wait_for()
    assert page.locator(".ft-headline").first.is_visible()


def test_the_answer_stays_in_sight_while_one_types_on_a_phone(visit):
    page = visit("sett/")
    page.locator("#sett-warp_yarn").focus()
    box = page.locator(".ft-foot").first.bounding_box()
    assert box["y"] > 0
    assert box["y"] + box["height"] <= 740
    assert box["height"] <= 0.15 * 740


def test_every_page_says_what_it_is(site, site_pages):
    descriptions = {}
    for name in site_pages:
        text = (site / name / "index.html").read_text(encoding="utf-8")
        assert len(re.findall(r"<h1\b", text)) == 1, name
        [description] = re.findall(r'<meta name="description" content="([^"]+)"', text)
        assert "<" not in description, name
        descriptions.setdefault(description, []).append(name)
    assert [names for names in descriptions.values() if len(names) > 1] == []


def test_units_are_switched_without_asking_anybody_and_remembered(plain, host):
    page = plain()
    page.goto(host.address + "plan/warp-length/")
    page.wait_for_load_state("networkidle")
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    metric = page.locator(".ft-answer .ft-metric").first
    imperial = page.locator(".ft-answer .ft-imperial").first
    assert metric.is_visible()
    assert not imperial.is_visible()
    page.get_by_role("button", name="inch").click()
    assert imperial.is_visible()
    assert not metric.is_visible()
    assert asked == []
    page.reload()
    assert imperial.is_visible()
    assert not metric.is_visible()
    assert page.get_by_role("button", name="inch").get_attribute("aria-pressed") == "true"
    page.get_by_role("button", name="cm").click()
    assert metric.is_visible()
    assert not imperial.is_visible()


def test_light_and_dark_are_chosen_and_remembered(plain, host):
    page = plain(color_scheme="light")
    page.goto(host.address)
    ground = "() => getComputedStyle(document.documentElement).backgroundColor"
    before = page.evaluate(ground)
    page.get_by_role("button", name="Light or dark").click()
    dark = page.evaluate(ground)
    assert dark != before
    page.reload()
    assert page.evaluate(ground) == dark


def test_search_fetches_its_list_on_first_use_and_finds(plain, host):
    page = plain()
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(host.address + "care/")
    page.wait_for_load_state("networkidle")
    assert not any(re.search("search/list|ranking|minisearch", address) for address in asked)
    page.keyboard.press("/")
    page.get_by_role("searchbox").fill("temple")
    first = page.locator(".ft-hits a").first
    first.wait_for()
    assert "temple" in page.locator(".ft-hits li").first.inner_text().lower()
    expect(page.locator(".ft-hits li")).to_have_count(12)
    page.get_by_role("button", name="More", exact=True).click()
    expect(page.locator(".ft-hits a").nth(12)).to_be_focused()
    expect(page.locator(".ft-hits li")).to_have_count(24)
    target = first.get_attribute("href")
    page.get_by_role("searchbox").press("Enter")
    page.wait_for_url(target)
    assert not page.locator(".ft-search").is_visible()
    page.keyboard.press("/")
    page.get_by_role("searchbox").fill("zzyzx")
    page.get_by_text("Nothing found").wait_for()
    expect(page.get_by_role("button", name="More", exact=True)).to_be_hidden()
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")  # some browsers clear the field first
    expect(page.locator(".ft-search")).to_be_hidden()


def test_search_goes_by_arrows_and_opens_at_the_place(plain, host, faults):
    page = plain()
    page.goto(host.address + "care/")
    page.evaluate("() => { globalThis.witness = 1 }")
    page.keyboard.press("/")
    field = page.locator("#ft-query")
    field.fill("figures are too tall")
    links = page.locator(".ft-hits a")
    expect(links.first).to_have_text("Figures are too tall")
    expect(page.locator(".ft-search [role=status]")).to_have_text("The nearest first.")
    assert faults(page) == []
    assert page.evaluate(SIDEWAYS) <= 0
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    expect(links.nth(1)).to_be_focused()
    page.keyboard.press("ArrowUp")
    expect(links.first).to_be_focused()
    page.keyboard.press("ArrowUp")
    expect(field).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url("**/trouble/#W-801")
    expect(page.locator("#W-801")).to_be_in_viewport()
    assert page.evaluate("() => globalThis.witness") == 1
    page.get_by_label("Words that describe it").fill("temple")
    expect(page.locator(".ft-trouble", has=page.locator("#W-501"))).to_be_hidden()
    page.get_by_role("button", name="Search").click()
    field.fill("W-501")
    expect(links.first).to_have_attribute("href", re.compile("#W-501$"))
    page.keyboard.press("Enter")
    expect(page.locator("#W-501")).to_be_in_viewport()


def test_pages_turn_without_losing_what_runs(plain, host):
    page = plain()
    missing = []
    page.on("response", lambda reply: missing.append(reply.url) if reply.status >= 400 else None)
    page.goto(host.address + "sett/")
    page.evaluate("() => { globalThis.witness = 1 }")
    page.locator(".ft-header").get_by_role("link", name="Plan", exact=True).click()
    page.wait_for_url("**/plan/whole-plan/")
    assert page.title().startswith("The whole plan")
    assert page.evaluate("() => document.activeElement.id") == "ft-main"
    page.go_back()
    page.locator("h1", has_text=re.compile("^Sett")).wait_for()
    assert page.evaluate("() => globalThis.witness") == 1
    assert missing == []
    assert page.locator(".ft-quick > a[aria-current=page]").inner_text() == "Sett"


def test_a_page_of_another_build_is_loaded_whole(plain, host, site):
    text = (site / "plan" / "whole-plan" / "index.html").read_text(encoding="utf-8")
    other = re.sub(r'(name="ft-build" content=")[^"]+', r"\1other", text)
    host.faults({"plan/whole-plan/": {"body": other}})
    page = plain()
    page.goto(host.address + "sett/")
    page.evaluate("() => { globalThis.witness = 1 }")
    page.locator(".ft-header").get_by_role("link", name="Plan", exact=True).click()
    page.get_by_role("heading", level=1, name="The whole plan").wait_for()
    assert page.evaluate("() => globalThis.witness ?? 0") == 0


def test_without_javascript_the_worked_answer_reads_and_contents_open(plain, host):
    page = plain(java_script_enabled=False)
    page.goto(host.address + "plan/whole-plan/")
    assert page.locator(".ft-headline .ft-value").first.is_visible()
    assert page.locator("noscript").first.inner_text().startswith("This is a worked example.")
    assert not page.locator(".ft-tools").is_visible()
    page.locator(".ft-contents > summary").click()
    assert page.get_by_role("link", name="Weaving square").is_visible()


def test_paper_shows_both_worlds_in_black_and_nothing_to_press(plain, host):
    page = plain(color_scheme="dark")
    page.goto(host.address + "plan/warp-length/")
    page.get_by_role("button", name="inch").click()
    page.emulate_media(media="print")
    assert page.locator(".ft-answer .ft-metric").first.is_visible()
    assert page.locator(".ft-answer .ft-imperial").first.is_visible()
    assert not page.locator(".ft-header").is_visible()
    assert not page.locator(".ft-actions").first.is_visible()
    colours = page.evaluate(
        """() => [...new Set([...document.querySelectorAll("main *")]
            .filter((one) => one.checkVisibility() && !one.closest("svg"))
            .map((one) => getComputedStyle(one).color))]"""
    )
    assert colours == ["rgb(0, 0, 0)"]


def test_what_is_folded_in_a_plan_is_open_on_paper(plain, host):
    page = plain()
    page.goto(host.address + "plan/whole-plan/")
    folded = page.locator(".ft-rest .ft-value").first
    assert not folded.is_visible()
    page.emulate_media(media="print")
    assert folded.is_visible()
    assert not page.locator(".ft-rest > summary").first.is_visible()
    assert not page.locator(".ft-english").is_visible()


def test_nothing_moves_for_those_who_ask_for_stillness(plain, host):
    page = plain(reduced_motion="reduce")
    page.goto(host.address)
    moving = page.evaluate(
        """() => [...document.querySelectorAll("html, html *")].filter((one) => {
            const style = getComputedStyle(one);
            return style.animationName !== "none" || style.transitionDuration !== "0s"
              || style.scrollBehavior === "smooth";
          }).map((one) => one.tagName)"""
    )
    assert moving == []


def test_the_focus_is_seen_on_everything_that_takes_it(plain, host):
    page = plain()
    page.goto(host.address + "sett/")
    for _ in range(25):
        page.keyboard.press("Tab")
        shown = page.evaluate(
            """() => { const style = getComputedStyle(document.activeElement);
              return [document.activeElement.outerHTML.slice(0, 80),
                style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2]; }"""
        )
        assert shown[1], shown[0]


def test_a_table_of_words_is_a_list_on_a_phone_with_each_heading_beside_its_figure(plain, host):
    page = plain()
    page.goto(host.address + "sett/")
    table = page.locator(".ft-answer table", has_text="Ashenhurst, firm yarn").first
    heads = table.locator("thead th:not(.ft-imperial)").all_text_contents()
    beside = (
        table.locator("tbody tr")
        .first.locator("td:not(.ft-imperial)")
        .evaluate_all(
            "(cells) => cells.map((one) => getComputedStyle(one, '::before').content.slice(1, -1))"
        )
    )
    assert beside == heads[1:]
    assert not table.locator("thead").is_visible()
    page.set_viewport_size({"width": 1280, "height": 800})
    expect(table.locator("thead")).to_be_visible()


COVERED = """(section) => {
  const head = section.querySelector(".ft-head"), foot = section.querySelector(".ft-foot");
  const begin = section.getBoundingClientRect().top + scrollY - innerHeight, over = [];
  document.documentElement.style.scrollBehavior = "auto";
  for (let step = 0; step <= innerHeight; step += 20) {
    scrollTo(0, begin + step);
    const parts = [foot, ...foot.children].map((one) => one.getBoundingClientRect());
    const top = Math.min(...parts.filter((one) => one.height).map((one) => one.top));
    if (top < head.getBoundingClientRect().bottom) over.push(step);
  }
  return over;
}"""


@pytest.mark.parametrize("name", ["", "sett/", "shelf/", "plan/whole-plan/"])
def test_the_bar_never_lies_over_the_head_of_its_form(visit, name):
    page = visit(name)
    section = page.locator("section.ft-calculator").first
    section.locator(".ft-head").wait_for()
    for width, height in ((360, 740), (412, 915), (740, 360)):
        page.set_viewport_size({"width": width, "height": height})
        assert section.evaluate(COVERED) == [], (width, height)


def test_in_the_largest_text_the_head_leaves_room_for_the_page(visit):
    """A phone of 360 by 740 at 200 % is one of 180 by 370 to the styles."""
    page = visit("sett/")
    page.set_viewport_size({"width": 180, "height": 370})
    head = page.locator(".ft-header").bounding_box()
    assert head["height"] < 370 / 3
    page.locator(".ft-contents > summary").click()
    expect(page.locator(".ft-contents").get_by_role("link", name="Plan").first).to_be_visible()
