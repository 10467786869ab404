"""The figure at the loom, on a phone: rows told, counted, read out, printed, found again."""

import gzip
import json
import re
from io import BytesIO
from urllib.parse import parse_qs, quote, urlsplit

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from calculators import run
from calculators.figure.grid import Grid, of_marks, packed
from calculators.figure.rows import as_table, as_text, in_words, what_changes
from calculators.figure.wholes import orders_with
from calculators.page import respond
from calculators.weave.ground import ground_of

PLAN = {"pieces": "2", "sample": "10 cm", "weave": "satin_6"}
PICKS = 6
VOICES = """(voices) => {
  globalThis.said = [];
  const voice = {
    getVoices: () => voices, addEventListener() {}, removeEventListener() {},
    cancel: () => said.push("-"),
    speak: ({ text, voice, lang }) => said.push([text, voice.name, lang]),
  };
  Object.defineProperty(globalThis, "speechSynthesis", { value: voice });
  globalThis.SpeechSynthesisUtterance = function (text) { this.text = text; };
}"""
AWAY = {"name": "Far", "lang": "en-GB", "localService": False}
OWN = {"name": "Own", "lang": "en-GB", "localService": True}
BUDGET = 120_000


def drawn(plan: dict[str, str]) -> Grid:
    """A figure of the plan's own units, no two rows alike that follow one another."""
    results = run("cloth-plan", plan)["results"]
    across, up = (int(results[name]["value"]) for name in ("units_across", "units_up"))
    return of_marks(
        [
            [(unit // 3 + row) % 9 < 3 and unit % 11 < 9 for unit in range(across)]
            for row in range(up)
        ]
    )


FIGURE = drawn(PLAN)
LACE = {**PLAN, "weave": "lace_6", "ground_shafts": "6"}


def link(plan: dict[str, str], figure: Grid) -> str:
    typed = "".join(f"&{name}={quote(text)}" for name, text in plan.items())
    for_plan = f"#v=2&units=cm&calculator=cloth-plan&plan-name=Tulip{typed}"
    return f"figure/drawing/{for_plan}&figure={packed(figure)}"


LINK = link(PLAN, FIGURE)


def picks_before(piece: int, part: str = "", plan: dict[str, str] = PLAN) -> int:
    """Count all that is woven before a piece: the sample, hems and gaps, the piece before."""
    asked = {"call": "loom", "id": "cloth-plan", "inputs": plan, "units": "cm"}
    stretches = json.loads(respond(json.dumps(asked)))["stretches"]
    names = [one["name"] for one in stretches]
    return sum(
        one["picks"]
        for one in stretches[: names.index(", ".join(filter(None, (f"Piece {piece} of 2", part))))]
    )


@pytest.fixture
def at_the_loom(phone, host):
    """Open what was sent, on a device that never saw it, and go from there to the loom."""

    def go(context=phone, address=LINK):
        page = context.new_page()
        page.goto(host.address + address)
        page.locator(".ft-drawing[data-bound]").wait_for()
        expect(page.locator("[data-show=kept]")).to_have_text(
            "Saved on this device, with the plan."
        )
        page.get_by_role("link", name="Row by row at the loom").click()
        expect(page.locator("dialog.ft-loom")).to_be_visible()
        expect(page.locator(".ft-row-choices")).to_be_attached()
        return page

    return go


def more(page):
    page.locator(".ft-loom-more > summary").click()


def set_count(page, picks):
    more(page)
    page.locator("[name=picks]").fill(str(picks))
    page.get_by_role("button", name="Set the count").click()
    more(page)


def choose(page, **choices):
    more(page)
    for name, value in choices.items():
        page.locator(f".ft-row-choices [name={name}]").select_option(value)
    more(page)


def stands(page, piece, row, pick=1):
    """The place that is told, and the shafts of its pick."""
    expect(page.locator(".ft-row-title")).to_have_text(
        f"Piece {piece} of 2, row {row} of {FIGURE.up}"
    )
    ground = ground_of("satin_6")
    (rise,), (sink,) = ground.rise[pick - 1], ground.sink[pick - 1]
    expect(page.locator(".ft-row-pick")).to_have_text(
        f"Pick {pick} of {PICKS}, treadle {pick}: shaft {rise} rises, shaft {sink} sinks"
    )


def told(page):
    return "; ".join(page.locator(".ft-row-line").all_text_contents())


def test_the_place_is_kept_in_the_middle_of_row_57_and_for_each_piece(at_the_loom):
    page = at_the_loom()
    expect(page.locator(".ft-row")).to_be_hidden()  # the sample comes first
    set_count(page, picks_before(1) - 1)
    expect(page.locator("[data-show=stretch]")).to_have_text("Piece 1 of 2, first hem")
    page.locator('[data-loom="next"]').click()
    stands(page, 1, 1)
    assert told(page) == in_words(FIGURE.rows[0], FIGURE.across)
    set_count(page, picks_before(1) + 56 * PICKS)
    page.get_by_role("button", name="One pick").click()
    page.get_by_role("button", name="One pick").click()
    stands(page, 1, 57, 3)
    assert told(page) == in_words(FIGURE.rows[56], FIGURE.across)
    expect(page.locator("[data-show=written]")).to_contain_text("saved")
    page.reload()
    stands(page, 1, 57, 3)
    assert told(page) == in_words(FIGURE.rows[56], FIGURE.across)
    for key, row, pick in (
        ("PageDown", 58, 1),
        ("MediaTrackNext", 59, 1),
        ("MediaTrackPrevious", 58, 1),
        ("PageUp", 57, 3),
    ):
        page.evaluate(
            "(key) => document.activeElement.dispatchEvent("
            "new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }))",
            key,
        )
        stands(page, 1, row, pick)
    set_count(page, picks_before(2) - 1)
    expect(page.locator("[data-show=stretch]")).to_have_text("Piece 2 of 2, first hem")
    expect(page.locator(".ft-row")).to_be_hidden()
    page.keyboard.press("ArrowRight")
    stands(page, 2, 1)
    page.reload()
    stands(page, 2, 1)


def test_rows_are_told_as_the_weaver_likes_and_so_again(at_the_loom):
    page = at_the_loom()
    set_count(page, picks_before(1) + 56 * PICKS)
    before, row = FIGURE.rows[55:57]
    choose(page, **{"from": "right"})
    assert told(page) == in_words(row, FIGURE.across, "right")
    choose(page, **{"from": "middle", "tells": "changes"})
    assert told(page) == what_changes(before, row, FIGURE.across, "middle")
    choose(page, step="pick")
    page.reload()
    stands(page, 1, 57)
    assert told(page) == what_changes(before, row, FIGURE.across, "middle")
    page.keyboard.press(" ")
    stands(page, 1, 57, 2)
    for _ in range(PICKS - 1):
        page.locator('[data-loom="next"]').click()
    stands(page, 1, 58)
    # The strip: the row that is framed is the row that is told.
    choose(page, **{"from": "left", "tells": "units"})
    path = page.locator(".ft-row-now").get_attribute("d")
    runs = [(int(x) + 1, int(x) + int(w)) for x, w in re.findall(r"M(\d+) \d+h(\d+)v1", path)]
    assert ", ".join(f"{a}–{b}" if b > a else str(a) for a, b in runs) == told(page)
    choose(page, side="ground")
    assert told(page) == in_words(FIGURE.turned_over().rows[57], FIGURE.across)
    expect(page.locator(".ft-row")).to_contain_text("Ground, face down: units from the left")


def test_a_hem_woven_in_rows_is_told_and_the_figure_begins_after_it(at_the_loom):
    figured = run("cloth-plan", PLAN | {"hem_woven": "figured"})["results"]
    up = int(figured["units_up"]["value"])
    page = at_the_loom(address=f"{LINK}&hem_woven=figured")
    more(page)
    whole = int(page.locator("[data-show=whole]").inner_text().split()[2])
    more(page)
    rest = whole - 2 * up * PICKS  # the sample and the gap, and four hems
    sample = picks_before(1, "first hem")
    set_count(page, sample)
    title = page.locator(".ft-row-title")
    expect(title).to_contain_text("Piece 1 of 2, first hem, row 1 of ")
    rows = int(title.inner_text().split()[-1])
    assert 0 < 4 * rows * PICKS < rest
    expect(page.locator(".ft-row-units")).to_contain_text("draw what you chose for it")
    expect(page.locator(".ft-row-strip")).to_be_hidden()
    expect(page.locator(".ft-row-pick")).to_contain_text("treadle 1")
    for _ in range(rows):
        page.locator('[data-loom="next"]').click()
    expect(title).to_have_text(f"Piece 1 of 2, row 1 of {up}")
    assert told(page) == in_words(FIGURE.rows[0], FIGURE.across)
    expect(page.locator(".ft-row-strip")).to_be_visible()
    more(page)
    page.get_by_role("button", name="Print the rows").click()
    expect(page.locator(".ft-print-sheet > p")).to_contain_text(f"Each hem has {rows} rows")


def test_face_down_lace_is_told_as_it_is_tied_for_it(at_the_loom):
    """Lace and plain are not each other's backs: with the ground drawn what rose sinks."""
    page = at_the_loom(address=link(LACE, drawn(LACE)))
    set_count(page, picks_before(1, plan=LACE))
    pick = page.locator(".ft-row-pick")
    expect(pick).to_have_text("Pick 1 of 6, treadle 1: shaft 6 rises, shafts 1, 3 and 5 sink")
    choose(page, side="ground")
    expect(pick).to_have_text("Pick 1 of 6, treadle 1: shafts 1, 3 and 5 rise, shaft 6 sinks")
    choose(page, side="figure")
    expect(pick).to_have_text("Pick 1 of 6, treadle 1: shaft 6 rises, shafts 1, 3 and 5 sink")


def test_the_pick_is_told_by_the_weaver_s_own_orders(at_the_loom):
    page = at_the_loom()
    set_count(page, picks_before(1))
    stands(page, 1, 1)
    more(page)
    page.get_by_label("Own order of sinking").fill("1 2")
    page.get_by_label("Own order of sinking").blur()
    settings = page.locator(".ft-row-choices")
    expect(settings.locator(".ft-told")).to_contain_text("pick")
    page.get_by_label("Own order of rising").fill("1 2 3 4 5 6")
    page.get_by_label("Own order of sinking").fill("4 5 6 1 2 3")
    page.get_by_label("Own order of sinking").blur()
    pick = page.locator(".ft-row-pick")
    expect(pick).to_have_text(f"Pick 1 of {PICKS}, treadle 1: shaft 1 rises, shaft 4 sinks")
    expect(settings.locator(".ft-told")).to_have_text("")
    expect(page.locator("[data-show=written]")).to_contain_text("saved")
    page.reload()
    expect(pick).to_have_text(f"Pick 1 of {PICKS}, treadle 1: shaft 1 rises, shaft 4 sinks")
    # They are kept with the figure: on paper too, and in its link, until undone there.
    at_loom = page.url
    page.goto(at_loom.replace("loom-side/", "figure/drawing/"))
    page.locator(".ft-drawing[data-bound]").wait_for()
    page.locator(".ft-drawing summary", has_text="own orders").click()
    rising, sinking = (page.get_by_label(f"Order of {what}") for what in ("rising", "sinking"))
    expect(rising).to_have_value("1 2 3 4 5 6")
    sinking.fill("4, 5, 6, 1, 2")
    sinking.blur()
    expect(page.locator("[data-show=tied]")).to_contain_text("5 picks; the repeat has 6")
    sinking.fill("3, 4, 5, 6, 1, 2")
    sinking.blur()
    expect(page.locator("[data-show=tied]")).to_contain_text("Kept with the figure")
    orders = {"rise": "1 2 3 4 5 6", "sink": "3 4 5 6 1 2"}
    page.locator(".ft-drawing summary", has_text="Send it").click()
    page.locator("[data-does=link]").click()
    sent = page.locator("[data-show=link] a").get_attribute("href")
    assert orders_with(parse_qs(urlsplit(sent).fragment)["figure"][0]) == tuple(orders.values())
    page.goto(at_loom)
    expect(pick).to_have_text(f"Pick 1 of {PICKS}, treadle 1: shaft 1 rises, shaft 3 sinks")
    page.goto(page.url.replace("loom-side/", "figure/drawing/"))
    page.locator(".ft-drawing[data-bound]").wait_for()
    for _ in range(2):
        page.locator("[data-does=undo]").click()
    expect(page.locator("[name=rise]")).to_have_value("")
    expect(page.locator("[data-show=kept]")).to_have_text("Saved on this device, with the plan.")
    page.goto(at_loom)
    stands(page, 1, 1)


@pytest.mark.parametrize("voices", [[AWAY, OWN], [AWAY]])
def test_the_phone_s_own_voice_reads_each_row(new_device, at_the_loom, voices):
    with new_device() as context:
        context.add_init_script(f"({VOICES})({json.dumps(voices)})")
        page = at_the_loom(context)
        set_count(page, picks_before(1))
        more(page)
        if OWN not in voices:
            expect(page.get_by_text("no voice that works without a network")).to_be_visible()
            expect(page.locator("[name=aloud]")).to_be_hidden()
            return
        page.get_by_label("Read each row aloud").check()
        more(page)
        page.get_by_role("button", name="Row woven").click()
        page.get_by_role("button", name="One pick").click()  # the row stays: nothing to say
        page.get_by_role("button", name="Say it").click()
        page.get_by_role("button", name="Back", exact=True).click()
        page.get_by_role("button", name="Back", exact=True).click()
        said = [
            f"Row {row}. {in_words(FIGURE.rows[row - 1], FIGURE.across).replace('–', ' to ')}."
            for row in (1, 2, 2, 1)
        ]
        wanted = [part for words in said for part in ("-", [words, "Own", "en-GB"])]
        assert page.evaluate("() => said") == wanted


def test_the_whole_list_is_printed_with_boxes_and_saved(at_the_loom):
    page = at_the_loom()
    more(page)
    with page.expect_download() as table:
        page.get_by_role("button", name="Rows as a table").click()
    assert table.value.path().read_bytes().decode() == as_table(FIGURE)
    with page.expect_download() as text:
        page.get_by_role("button", name="Rows as text").click()
    assert text.value.path().read_text(encoding="utf-8").endswith(f"\n\n{as_text(FIGURE)}\n")
    page.get_by_role("button", name="Print the rows").click()
    lines = page.locator(".ft-print .ft-ticks").last.locator("li")
    expect(lines).to_have_count(FIGURE.up)
    expect(lines.nth(56)).to_have_text(f"57 {in_words(FIGURE.rows[56], FIGURE.across)}")
    expect(lines.nth(56).locator("i")).to_have_count(2)  # a box for each piece
    printed = "".join(one.extract_text() for one in PdfReader(BytesIO(page.pdf(format="A4"))).pages)
    close = re.sub(r"\s", "", printed)
    for row in (1, 57, FIGURE.up):
        assert re.sub(r"\s", "", f"{row} {in_words(FIGURE.rows[row - 1], FIGURE.across)}") in close
    page.get_by_role("button", name="Back to the page").click()
    expect(page.locator("dialog.ft-loom")).to_be_visible()


@pytest.mark.parametrize("dark", [False, pytest.param(True, marks=pytest.mark.thorough)])
def test_rows_can_be_read_by_everybody_and_are_light(new_device, at_the_loom, site, faults, dark):
    scheme = "dark" if dark else "light"
    with new_device(bypass_csp=True, color_scheme=scheme, reduced_motion="reduce") as context:
        page = at_the_loom(context)
        set_count(page, picks_before(1) + 56 * PICKS + 2)
        stands(page, 1, 57, 3)
        assert faults(page) == []
        more(page)
        assert faults(page) == []
        for width, height, text in (
            (320, 640, "100%"),
            (740, 360, "100%"),
            (360, 740, "200%"),
            (320, 640, "200%"),
        ):
            page.set_viewport_size({"width": width, "height": height})
            page.evaluate("(text) => { document.documentElement.style.fontSize = text }", text)
            view = page.locator("dialog.ft-loom")
            assert view.evaluate("(one) => one.scrollWidth - one.clientWidth") <= 0
        asked = set()
        page.on("request", lambda request: asked.add(request.url.split("#")[0]))
        page.reload()
        stands(page, 1, 57, 3)
        files = [site / url.partition("/a/b/")[2] for url in asked if "/a/b/" in url]
        loaded = [one / "index.html" if one.is_dir() else one for one in files]
        assert any(one.name.startswith("rows") for one in loaded)
        weights = [
            one.stat().st_size if one.suffix == ".woff2" else len(gzip.compress(one.read_bytes()))
            for one in loaded
        ]
        assert sum(weights) <= BUDGET


@pytest.mark.long
def test_rows_are_told_with_the_server_stopped(keeping_phone, host, at_the_loom):
    """The figure's page opens and keeps what came by link, and the loom opens, without a signal."""
    page = keeping_phone.new_page()
    page.goto(host.address + "figure/drawing/")
    expect(page.locator(".ft-offline")).to_contain_text("Ready offline: pages and calculators")
    host.stop()
    page.close()
    page = at_the_loom(keeping_phone)
    set_count(page, picks_before(1) + 56 * PICKS + 2)
    stands(page, 1, 57, 3)
    page.reload()
    stands(page, 1, 57, 3)
    assert told(page) == in_words(FIGURE.rows[56], FIGURE.across)
