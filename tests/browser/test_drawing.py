"""The figure is drawn on a phone: fingers, keys, reload, links, files, without a signal."""

import json
import re
from io import BytesIO
from urllib.parse import parse_qs, quote, urlsplit

import pytest
from PIL import Image
from playwright.sync_api import expect

from calculators import run
from calculators.contract import calculate
from calculators.figure.grid import as_csv, in_squares, packed, read_grid
from calculators.figure.motifs import lettering, motif
from calculators.figure.png import as_png
from calculators.figure.wholes import read_figure
from tests.browser.paper import Fingers, does, draw, drawn_units, figure, unfold

DRAWING = "figure/drawing/"
SMALL = """
#.........
##........
###.......
####......
.####.....
..####....
...####...
....##....
"""


@pytest.fixture
def open_figure(phone, host):
    """Open the squared paper on a phone, once the plan's units are told."""

    def go(place=DRAWING, context=phone):
        page = context.new_page()
        page.goto(host.address + place)
        page.locator(".ft-drawing[data-bound]").wait_for()
        expect(page.locator("[data-show=units]")).to_contain_text("units across")
        return page

    return go


def sized(page, across, up):
    unfold(page, "Size, rows and columns")
    page.locator("[name=across]").fill(str(across))
    page.locator("[name=upward]").fill(str(up))
    does(page, "size")


def test_a_finger_draws_mirrors_undoes_and_finds_it_again(open_figure):
    page = open_figure()
    sized(page, 20, 20)
    Fingers(page, 20, 20).stroke((3, 3), (3, 8), (7, 8))
    wanted = {(3, row) for row in range(3, 9)} | {(unit, 8) for unit in range(3, 8)}
    assert drawn_units(figure(page)) == wanted
    unfold(page, "Mirror, turn, shift")
    does(page, "sideToSide")
    mirrored = {(21 - unit, row) for unit, row in wanted}
    assert drawn_units(figure(page)) == mirrored
    does(page, "undo")
    assert drawn_units(figure(page)) == wanted
    does(page, "redo")
    does(page, "ink:rest")
    Fingers(page, 20, 20).stroke((18, 3), (18, 5))
    mirrored -= {(18, 3), (18, 4), (18, 5)}
    assert drawn_units(figure(page)) == mirrored
    expect(page.locator("[data-show=kept]")).to_have_text("Saved on this device, with the plan.")
    page.reload()
    page.locator(".ft-drawing[data-bound]").wait_for()
    assert drawn_units(figure(page)) == mirrored
    # What was done before can still be undone, and done again.
    does(page, "undo")
    does(page, "undo")
    assert drawn_units(figure(page)) == wanted
    expect(page.locator("[data-show=kept]")).to_have_text("Saved on this device, with the plan.")
    page.reload()
    page.locator(".ft-drawing[data-bound]").wait_for()
    does(page, "redo")
    does(page, "redo")
    assert drawn_units(figure(page)) == mirrored
    expect(page.locator('[data-does="redo"]')).to_have_attribute("aria-disabled", "true")


def test_the_squares_as_text_follow_the_hand_and_leave_the_reader_in_place(open_figure):
    page = open_figure()
    draw(page, SMALL)
    squares = page.locator("[name=squares]")
    assert figure(page) == SMALL.strip()
    squares.evaluate("(one) => { one.focus(); one.setSelectionRange(25, 25); }")
    page.evaluate(
        """() => {
          globalThis.written = 0;
          const own = HTMLTextAreaElement.prototype;
          const { get, set } = Object.getOwnPropertyDescriptor(own, "value");
          Object.defineProperty(document.querySelector("[name=squares]"), "value", {
            get, set(text) { globalThis.written += 1; set.call(this, text); },
          });
          const canvas = document.querySelector("canvas.ft-squares");
          const pressed = { bubbles: true, cancelable: true };
          const press = (key) =>
            canvas.dispatchEvent(new KeyboardEvent("keydown", { key, ...pressed }));
          for (let step = 0; step < 8; step++) { press(" "); press("ArrowUp"); }
        }"""
    )
    text = figure(page)
    assert text != SMALL.strip()
    assert page.evaluate("() => globalThis.written") == 1
    assert squares.evaluate("(one) => one.selectionStart") == 25
    expect(squares).to_be_focused()
    assert drawn_units(text) == drawn_units(SMALL.strip()) ^ {(1, row) for row in range(1, 9)}


def test_two_fingers_move_the_paper_and_never_draw(open_figure):
    page = open_figure()
    sized(page, 20, 20)
    before = figure(page)
    fingers = Fingers(page, 20, 20)
    picture = page.locator("canvas.ft-squares")
    there = picture.screenshot()
    fingers.go("touchStart", (5, 5))
    fingers.go("touchMove", (6, 6))
    fingers.go("touchMove", (6, 6), (12, 12))
    fingers.go("touchStart", (6, 6), (12, 12))
    fingers.go("touchMove", (4, 4), (16, 16))
    fingers.go("touchMove", (2, 6), (18, 16))
    fingers.go("touchEnd", (2, 6))
    fingers.go("touchMove", (9, 9))
    fingers.go("touchEnd")
    assert figure(page) == before
    assert "#" not in before
    assert picture.screenshot() != there  # nearer than it was
    expect(page.locator('[data-does="undo"]')).to_have_attribute("aria-disabled", "false")
    does(page, "undo")  # the size only: no stroke was left behind
    expect(page.locator('[data-does="undo"]')).to_have_attribute("aria-disabled", "true")


def test_shapes_and_moves_by_touch(open_figure):
    page = open_figure()
    sized(page, 20, 20)
    does(page, "tool:box")
    Fingers(page, 20, 20).stroke((2, 2), (9, 5))
    edge = {(unit, row) for unit in range(2, 10) for row in range(2, 6)}
    edge -= {(unit, row) for unit in range(3, 9) for row in (3, 4)}
    assert drawn_units(figure(page)) == edge
    does(page, "tool:fill")
    Fingers(page, 20, 20).stroke((5, 4))
    whole = {(unit, row) for unit in range(2, 10) for row in range(2, 6)}
    assert drawn_units(figure(page)) == whole
    does(page, "tool:choose")
    Fingers(page, 20, 20).stroke((1, 1), (10, 6))
    Fingers(page, 20, 20).stroke((4, 4), (10, 14))
    assert drawn_units(figure(page)) == {(unit + 6, row + 10) for unit, row in whole}


def test_the_keyboard_alone_draws_and_hears_where_it_is(open_figure):
    page = open_figure()
    sized(page, 12, 12)
    page.locator("canvas.ft-squares").focus()
    said = page.locator("[data-show=place]")
    page.keyboard.press("Home")
    for _ in range(12):
        page.keyboard.press("ArrowDown")
    expect(said).to_have_text("Row 1, unit 1, at rest.")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Space")
    expect(said).to_have_text("Row 2, unit 2, drawn.")
    page.keyboard.press("Enter")
    for _ in range(4):
        page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    expect(said).to_have_text("Row 6, unit 2, drawn.")
    assert drawn_units(figure(page)) == {(2, row) for row in range(2, 7)}
    page.locator("canvas.ft-squares").focus()
    page.keyboard.press("Control+z")
    page.keyboard.press("Space")
    assert drawn_units(figure(page)) == {(2, 2), (2, 6)}
    page.locator('[data-does="tool:line"]').focus()
    page.keyboard.press("Enter")
    expect(page.locator('[data-does="tool:line"]')).to_have_attribute("aria-pressed", "true")


def test_a_link_opens_the_same_figure_and_plan_elsewhere(open_figure, new_device, host):
    plan = "v=2&calculator=cloth-plan&plan-name=Hall&finished_width=30%20cm&finished_length=30%20cm"
    page = open_figure(f"{DRAWING}#{plan}")
    draw(page, SMALL)
    unfold(page, "The whole from a part")
    page.locator("[name=sideways]").select_option("unit")
    unfold(page, "Send it")
    does(page, "link")
    address = page.locator("[data-show=link] a").get_attribute("href")
    sent = parse_qs(urlsplit(address).fragment)
    assert read_figure(sent["figure"][0]).across == 19
    assert read_grid(sent["figure"][0].partition("~")[2]) == read_grid(SMALL, top_first=True)
    assert sent["finished_width"] == ["30 cm"]
    expect(page.locator("[data-show=code] svg")).to_be_visible()
    with new_device() as other:
        there = other.new_page()
        there.goto(address)
        there.locator(".ft-drawing[data-bound]").wait_for()
        expect(there.locator("[data-show=plan]")).to_contain_text("“Hall”")
        assert figure(there) == SMALL.strip()
        expect(there.locator(".ft-whole figcaption")).to_contain_text("19 units across, 8 up")
        expect(there.locator("[data-show=kept]")).to_have_text(
            "Saved on this device, with the plan."
        )
        there.goto(host.address + f"{DRAWING}#{plan}")
        there.reload()
        there.locator(".ft-drawing[data-bound]").wait_for()
        assert figure(there) == SMALL.strip()


def test_a_figure_too_large_for_a_link_says_so(open_figure):
    page = open_figure()
    rows = [format(pow(7, row, 1 << 300), "0300b") for row in range(90, 390)]
    draw(page, "\n".join(rows))
    unfold(page, "Send it")
    does(page, "link")
    expect(page.locator("[data-show=link]")).to_contain_text("too much for a link")


def test_a_saved_figure_is_opened_again(open_figure, tmp_path):
    page = open_figure()
    unfold(page, "Send it")
    unfold(page, "From a file")
    grid = read_grid(SMALL, top_first=True)
    for kind in ("png", "csv", "svg", "json"):
        draw(page, SMALL)
        with page.expect_download() as saving:
            does(page, kind)
        path = tmp_path / saving.value.suggested_filename
        saving.value.save_as(path)
        if kind == "csv":
            assert path.read_bytes() == as_csv(grid).encode()
        if kind == "json":
            assert json.loads(path.read_text())["squares"] == in_squares(grid).split("\n")
        draw(page, "#.\n.#")
        assert figure(page) == "#.\n.#"
        page.locator("[name=file]").set_input_files(path)
        expect(page.locator("[data-show=said]")).to_contain_text("10 units across, 8 up")
        assert figure(page) == SMALL.strip(), kind


def test_files_from_elsewhere_are_opened_or_refused_in_a_sentence(open_figure):
    page = open_figure()
    grid = read_grid(SMALL, top_first=True)
    unfold(page, "From a file")
    chooser, said = page.locator("[name=file]"), page.locator("[data-show=said]")

    def give(name, kind, data):
        chooser.set_input_files({"name": name, "mimeType": kind, "buffer": data})

    give("one.png", "image/png", as_png(grid))
    expect(said).to_contain_text("10 units across, 8 up")
    assert figure(page) == SMALL.strip()
    script = b'<svg xmlns="http://www.w3.org/2000/svg"><script>globalThis.bad = 1</script></svg>'
    for name, kind, data, words in (
        ("a.svg", "image/svg+xml", script, "no figure of the handbook"),
        ("b.png", "image/png", as_png(grid)[:60], "cannot open this picture"),
        ("c.txt", "text/plain", b"##\n#?", "Line 2 has the sign"),
        ("d.json", "application/json", b'{"kind": "else"}', "not one of the handbook"),
    ):
        give(name, kind, data)
        expect(said).to_contain_text(words)
        assert figure(page) == SMALL.strip()
    assert page.evaluate("() => globalThis.bad ?? 0") == 0


def test_plan_and_figure_say_how_they_differ_and_either_follows(open_figure):
    page = open_figure()
    plan = run("cloth-plan", {})["results"]
    across, up = int(plan["units_across"]["value"]), int(plan["units_up"]["value"])
    units = page.locator("[data-show=units]")
    expect(units).to_have_text(
        f"The plan has {across} units across and {up} up. So has the figure."
    )
    sized(page, across - 8, up)
    expect(units).to_contain_text("8 units too few across")
    page.get_by_role("button", name="Fit the plan to the figure").click()
    expect(units).to_contain_text(f"The plan has {across - 8} units across and {up} up. So has")
    inputs = {name: one[0] for name, one in parse_qs(urlsplit(page.url).fragment).items()}
    told = {name: text for name, text in inputs.items() if name.startswith("finished_")}
    assert calculate("cloth-plan", told).answer is not None
    changed = run("cloth-plan", told)["results"]
    assert changed["units_across"]["value"] == across - 8
    sized_lines = figure(page)
    page.get_by_role("button", name="As it was").click()
    expect(units).to_contain_text("8 units too few across")
    assert figure(page) == sized_lines
    page.get_by_role("button", name="Fit the figure to the plan").click()
    expect(units).to_contain_text("So has the figure")
    assert {len(line) for line in figure(page).split("\n")} == {across}


def test_the_largest_figure_takes_a_stroke(open_figure):
    page = open_figure()
    rows = ["#" * (row % 400) + "." * (400 - row % 400) for row in range(1000)]
    figure(page)
    page.locator("[name=squares]").evaluate("(one, text) => { one.value = text }", "\n".join(rows))
    does(page, "squares")
    expect(page.locator("[data-show=kept]")).to_have_text("Saved on this device, with the plan.")
    unfold(page, "As squares")
    spent = page.evaluate(
        """async () => {
          const canvas = document.querySelector("canvas.ft-squares");
          const { left, top, width, height } = canvas.getBoundingClientRect();
          const go = (kind, x, y) => canvas.dispatchEvent(new PointerEvent(kind, { pointerId: 1,
            clientX: left + x * width, clientY: top + y * height, bubbles: true }));
          canvas.setPointerCapture = () => {};
          const frame = () => new Promise(requestAnimationFrame);
          await frame();
          const began = performance.now();
          go("pointerdown", 0.4, 0.4);
          let frames = 0;
          for (; frames < 30; frames++) {
            go("pointermove", 0.4 + frames / 100, 0.4 + frames / 120);
            await frame();
          }
          go("pointerup", 0.7, 0.65);
          return frames;
        }"""
    )
    assert spent == 30
    drawn = read_grid(figure(page), top_first=True)
    assert drawn != read_grid("\n".join(rows), top_first=True)
    does(page, "undo")
    drawn = read_grid("\n".join(rows), top_first=True)
    assert read_grid(figure(page), top_first=True) == drawn
    # More steps than are kept: told, and those that are kept are there again.
    unfold(page, "Mirror, turn, shift")
    for _ in range(4):
        does(page, "turnedOver")
    expect(page.locator("[data-show=kept]")).to_contain_text("The last 3 steps can be undone")
    page.reload()
    page.locator(".ft-drawing[data-bound]").wait_for()
    for _ in range(3):
        does(page, "undo")
    expect(page.locator('[data-does="undo"]')).to_have_attribute("aria-disabled", "true")
    assert read_grid(figure(page), top_first=True) == drawn.turned_over()
    does(page, "redo")
    assert read_grid(figure(page), top_first=True) == drawn


@pytest.mark.parametrize("dark", [False, pytest.param(True, marks=pytest.mark.thorough)])
def test_all_of_it_can_be_used_by_everybody(new_device, host, faults, dark):
    scheme = "dark" if dark else "light"
    with new_device(bypass_csp=True, color_scheme=scheme, reduced_motion="reduce") as context:
        page = context.new_page()
        page.goto(host.address + DRAWING)
        page.locator(".ft-drawing[data-bound]").wait_for()
        draw(page, SMALL)
        page.evaluate(
            "document.querySelectorAll('.ft-drawing details').forEach((one) => { one.open = true })"
        )
        expect(page.locator("[name=motif] option").first).to_be_attached()
        page.locator("[name=times]").fill("2")
        page.locator("[name=times]").blur()
        expect(page.locator("[data-show=warnings] h2")).to_be_visible()
        assert faults(page) == []
        wide = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(wide) <= 0


def test_without_javascript_a_worked_figure_reads(chromium, host):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(host.address + DRAWING)
    assert page.locator("noscript").first.inner_text().startswith("Drawing needs JavaScript")
    leaf = read_grid(page.locator("noscript pre").inner_text(), top_first=True)
    paths = page.locator(".ft-squared-drawn").get_attribute("d")
    assert sum(int(length) for length in re.findall(r"h(\d+)v1", paths)) == leaf.drawn
    assert not page.locator(".ft-drawing").is_visible()
    context.close()


@pytest.mark.thorough
def test_the_figure_is_drawn_with_the_server_stopped(keeping_phone, host):
    """Daily, the test of the rows opens this page with the server stopped."""
    page = keeping_phone.new_page()
    page.goto(host.address + DRAWING)
    expect(page.locator(".ft-offline")).to_contain_text("Ready offline: pages and calculators")
    host.stop()
    page.reload()
    page.locator(".ft-drawing[data-bound]").wait_for()
    draw(page, SMALL)
    assert packed(read_grid(figure(page), top_first=True)) == packed(
        read_grid(SMALL, top_first=True)
    )
    page.reload()
    page.locator(".ft-drawing[data-bound]").wait_for()
    assert figure(page) == SMALL.strip()
    expect(page.locator("[data-show=units]")).to_contain_text("The plan has")


def test_a_photograph_becomes_a_figure_of_the_units_asked_for(open_figure):
    """Two thirds of the picture are dark; a picture is as many units high as it truly is."""
    light = Image.new("L", (900, 600), 235)
    light.paste(20, (0, 0, 600, 600))
    light.putpixel((0, 0), 128)
    page = open_figure()
    unfold(page, "From a file")
    turned = light.rotate(90, expand=True)  # as a phone stores what was held upright
    exif = Image.Exif()
    exif[0x0112] = 6  # turn it by a quarter to see it
    stored = BytesIO()
    turned.convert("RGB").save(stored, "JPEG", exif=exif, quality=95)
    photograph = {"name": "leaf.jpg", "mimeType": "image/jpeg", "buffer": stored.getvalue()}
    page.locator("[name=file]").set_input_files(photograph)
    form = page.locator("[data-show=picture]")
    expect(form.locator("[role=status]")).to_contain_text("units across and")
    form.locator("[name=units_across]").fill("30")
    form.locator("[name=units_across]").blur()
    expect(form.locator("[role=status]")).to_contain_text("30 units across and 20 up")
    form.locator("summary", has_text="Cut off").click()
    form.locator("[name=right]").fill("50")
    form.locator("[name=right]").blur()
    expect(form.locator("[role=status]")).to_contain_text("30 units across and 40 up")
    form.locator("[name=right]").fill("0")
    form.locator("[name=right]").blur()
    expect(form.locator("[role=status]")).to_contain_text("30 units across and 20 up")
    form.locator("[name=level]").fill("250")  # all of it is darker than that
    found = form.locator("[name=way]")
    found.select_option("level")
    expect(form.locator("[role=status]")).to_contain_text("30 units across and 20 up")
    assert "#" not in figure(page)  # not before it is taken
    page.get_by_role("button", name="Take it").click()
    assert figure(page) == "\n".join(["#" * 30] * 20)
    does(page, "undo")
    assert "#" not in figure(page)


def test_motifs_and_letters_are_laid_on_and_dragged(open_figure):
    page = open_figure()
    unfold(page, "Motifs and letters")
    page.locator("[name=motif]").select_option(label="Acorn")
    does(page, "motif")
    acorn = motif("acorn")
    expect(page.locator("[data-show=said]")).to_contain_text("drag it where it belongs")
    assert len(drawn_units(figure(page))) == acorn.drawn
    page.locator("[name=letters]").fill("1927")
    does(page, "letters")
    year = lettering("1927")
    expect(page.locator('[data-does="undo"]')).to_have_attribute("aria-disabled", "false")
    does(page, "undo")
    does(page, "undo")
    does(page, "letters")
    expect(page.locator("[data-show=said]")).to_contain_text("drag it where it belongs")
    assert len(drawn_units(figure(page))) == year.drawn


def test_a_plan_keeps_its_figure_while_it_changes_and_another_has_its_own(phone, host):
    page = phone.new_page()
    page.goto(host.address + "plan/whole-plan/")
    page.locator("[data-bound] [name=finished_width]").fill("30")
    way = page.get_by_role("link", name="Draw its figure")
    expect(page.locator(".ft-whose").first).to_have_text("Answer to your numbers")
    way.click()
    page.locator(".ft-drawing[data-bound]").wait_for()
    expect(page.locator("[data-show=units]")).to_contain_text("units across")
    draw(page, SMALL)
    expect(page.locator("[data-show=kept]")).to_have_text("Saved on this device, with the plan.")
    page.get_by_role("link", name="your plan").click()
    page.locator("[data-bound] [name=finished_length]").fill("40")
    expect(page.locator(".ft-whose").first).to_have_text("Answer to your numbers")
    page.get_by_role("link", name="Draw its figure").click()
    page.locator(".ft-drawing[data-bound]").wait_for()
    assert figure(page) == SMALL.strip()
    page.goto("about:blank")
    page.goto(host.address + DRAWING + "#v=2&calculator=cloth-plan&finished_width=12%20cm")
    page.locator(".ft-drawing[data-bound]").wait_for()
    assert "#" not in figure(page)


def test_a_border_with_its_corner_and_what_is_left_over_follow_from_a_part(open_figure):
    """The part is a corner, a strip beside it, and a motif, each drawn by itself on the paper."""
    page = open_figure(
        DRAWING + "#v=2&units=cm&calculator=cloth-plan&finished_width=30&finished_length=30"
    )
    draw(page, "....\n.##.\n.#..\n##.#\n#...")  # corner 2 by 2, then a strip of 2, lowest
    does(page, "tool:choose")
    unfold(page, "The whole from a part")
    corner = page.locator('[data-does="corner"]')
    expect(corner).to_have_attribute("aria-disabled", "true")
    corner.dispatch_event("click")  # which says why it is dimmed
    expect(page.locator("[data-show=said]")).to_contain_text("Make the border first")
    Fingers(page, 4, 5).stroke((3, 1), (4, 2))
    does(page, "border")
    Fingers(page, 4, 5).stroke((1, 1), (1, 2))
    does(page, "corner")
    expect(page.locator("[data-show=said]")).to_contain_text("as wide and as high")
    page.locator("canvas.ft-squares").press("Escape")  # else a stroke from there moves it
    Fingers(page, 4, 5).stroke((1, 1), (2, 2))
    does(page, "corner")
    draw(page, "##.\n#..")  # now the field

    def count(name, value):
        page.locator(f"[name={name}]").fill(str(value))
        page.locator(f"[name={name}]").blur()

    count("times", 2)
    expect(page.locator("[data-show=said]")).to_contain_text("Give the border more repeats")
    expect(page.locator("[name=times]")).to_have_value("1")
    for name, value in (("along", 4), ("times", 2), ("over", 1), ("rows", 2), ("above", 1)):
        count(name, value)
    caption = page.locator(".ft-whole figcaption")
    expect(caption).to_contain_text("12 units across, 10 up, from a part of 3 by 2")
    plan = run("cloth-plan", {"finished_width": "30 cm", "finished_length": "30 cm"})["results"]
    across, up = (int(plan[name]["value"]) for name in ("units_across", "units_up"))
    does(page, "noborder")
    does(page, "fill")
    expect(page.locator("[data-show=units]")).to_contain_text("So has the figure.")
    expect(page.locator("[name=times]")).to_have_value(str(across // 3))
    expect(page.locator("[name=over]")).to_have_value(str(across % 3))
    expect(page.locator("[name=above]")).to_have_value(str(up % 2))
    page.reload()
    page.locator(".ft-drawing[data-bound]").wait_for()
    expect(caption).to_contain_text(f"{across} units across, {up} up, from a part of 3 by 2")


def test_a_border_s_strip_and_corner_are_laid_back_on_the_paper(open_figure):
    def written(corner, strip):
        parts = (packed(read_grid(one)) for one in (corner, strip, "#.. / ##."))
        return "~".join(["r2x2+1+1-b4x3", *parts])

    sent = written("#. / ##", ".. / .#")
    page = open_figure(f"{DRAWING}#v=2&units=cm&calculator=cloth-plan&figure={quote(sent)}")
    assert figure(page) == "##.\n#.."
    does(page, "paper:border")
    assert figure(page) == ".#\n.."
    Fingers(page, 2, 2).stroke((1, 1), (1, 1))
    assert figure(page) == ".#\n#."
    does(page, "paper:corner")
    assert figure(page) == "##\n#."
    draw(page, ".#\n#.")
    draw(page, ".#.\n#..\n...")
    expect(page.locator("[data-show=said]")).to_contain_text("as wide and as high as the border")
    does(page, "paper:part")
    assert figure(page) == "##.\n#.."
    unfold(page, "The whole from a part")
    does(page, "asDrawn")
    whole = read_figure(written("#. / .#", "#. / .#"))
    assert figure(page) == in_squares(whole, top_first=True)
    expect(page.locator('[data-does="paper:border"]')).to_be_hidden()
    does(page, "undo")
    assert figure(page) == "##.\n#.."


def test_a_warning_names_its_place_and_a_tap_goes_there(open_figure):
    page = open_figure()
    lone = [["."] * 12 for _ in range(9)]
    for row, unit in ((2, 4), (6, 9), (6, 10), (7, 9), (7, 10)):  # rows and units from 0
        lone[row][unit] = "#"
    draw(page, "\n".join("".join(row) for row in lone[::-1]))
    warnings = page.locator("[data-show=warnings]")
    place = warnings.get_by_role("button", name="row 3, unit 5").first
    place.click()
    expect(page.locator("[data-show=place]")).to_have_text("Row 3, unit 5, drawn.")
    expect(page.locator("canvas.ft-squares")).to_be_focused()
    page.keyboard.press("Space")
    expect(page.locator("[data-show=place]")).to_have_text("Row 3, unit 5, at rest.")
    expect(place).to_have_count(0)
    unfold(page, "The whole from a part")
    page.locator("[name=sideways]").select_option("between")
    page.locator("canvas.ft-squares").focus()
    page.keyboard.press("Space")
    mirrored = warnings.get_by_role("button", name="row 3, unit 20")  # 24 units in all
    mirrored.click()
    expect(page.locator("[data-show=place]")).to_have_text("Row 3, unit 5, drawn.")


def test_orders_of_one_s_own_are_judged_on_the_paper(open_figure):
    """A twill whose drawn units sink one shaft in four has floats that the twill itself has not."""
    twill = "weave=twill_2_2&ground_shafts=4&ends_per_unit=4"
    page = open_figure(f"{DRAWING}#v=2&units=cm&calculator=cloth-plan&{twill}")
    draw(page, SMALL)
    warnings = page.locator("[data-show=warnings]")
    sink = {"sink": "4 1 2 3"}
    told = {
        name: run("figure", {"grid": SMALL.strip(), "order": "last", "weave": "twill_2_2", **more})
        for name, more in (("usual", {}), ("own", sink))
    }
    floats = [line for line in told["own"]["cautions"] if "longest float passes 3" in line]
    assert len(floats) == 1
    assert set(floats).isdisjoint(told["usual"]["cautions"])
    expect(warnings).to_contain_text("no figure will show")
    unfold(page, "own orders")
    page.get_by_label("Order of sinking").fill(sink["sink"])
    page.get_by_label("Order of sinking").blur()
    expect(warnings).to_contain_text(floats[0])
    does(page, "undo")
    expect(warnings).not_to_contain_text("longest float")
    expect(page.get_by_label("Order of sinking")).to_have_value("")
