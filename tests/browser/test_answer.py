"""The answer at once, and only the right one: on a phone, on its side, in large text, offline."""

import pytest
from playwright.sync_api import expect

import calculators

PLAN = "plan/whole-plan/"
FOOT = """() => {
  const foot = document.querySelector(".ft-foot"), box = foot.getBoundingClientRect();
  const cells = [...foot.querySelectorAll(".ft-bar > span")];
  const shown = [...foot.querySelectorAll("button")].filter((one) => one.offsetHeight);
  return {
    top: box.top, height: box.height, stuck: getComputedStyle(foot).position === "sticky",
    cut: cells.filter((one) => one.scrollWidth > one.clientWidth).map((one) => one.textContent),
    buttons: shown.map((one) => one.textContent),
  };
}"""
SCREENS = ((360, 740), (412, 915), (740, 360))
FIRST_FIELD = "() => document.activeElement.matches('.ft-form :is(input, select, textarea)')"
HEARD = "section[data-calculator] :is([role=status], [aria-live=polite])"


def plan_of(**inputs):
    results = calculators.run("cloth-plan", inputs)["results"]
    return {name: one["text"]["metric"] for name, one in results.items()}


def test_the_few_numbers_stay_in_sight_and_follow_what_is_typed(visit):
    page = visit(PLAN)
    field = page.locator("#cloth-plan-finished_width")
    bar, whose = page.locator(".ft-bar"), page.locator(".ft-whose")
    expect(whose).to_have_text("Worked example")
    field.fill("61 cm")
    wanted = plan_of(finished_width="61 cm")
    for name in ("ends", "warp_length", "weft_yarn_mass", "units_across"):
        expect(bar).to_contain_text(wanted[name])
    expect(whose).to_have_text("Answer to your numbers")
    expect(page.locator(".ft-said")).to_contain_text(f"Ends {wanted['ends']}, Warp")
    assert page.locator(HEARD).count() == 1

    for width, height in SCREENS:
        page.set_viewport_size({"width": width, "height": height})
        field.scroll_into_view_if_needed()
        foot = page.evaluate(FOOT)
        assert foot["stuck"], width
        assert foot["top"] + foot["height"] <= height + 1, width
        assert foot["height"] <= 0.15 * height, width
        assert foot["cut"] == [], width
        assert foot["buttons"] == ["Undo", "Share", "Save", "Print"], width
    page.set_viewport_size({"width": 360, "height": 740})
    page.evaluate("() => { document.documentElement.style.fontSize = '200%' }")
    assert not page.evaluate(FOOT)["stuck"]
    page.evaluate("() => { document.documentElement.style.fontSize = '' }")


def test_no_number_of_earlier_ones_stands_unmarked(visit):
    page = visit(PLAN)
    # What stands there at the very keystroke, before any answer can have come.
    marked = """() => {
      const field = document.querySelector("#cloth-plan-pieces");
      field.value = "7";
      field.dispatchEvent(new Event("input", { bubbles: true }));
      const section = field.closest("section");
      return ["stale" in section.dataset, section.querySelector(".ft-whose").textContent];
    }"""
    assert page.evaluate(marked) == [True, "Answer to the earlier numbers"]
    expect(page.locator(".ft-whose")).to_have_text("Answer to your numbers")
    expect(page.locator("section[data-stale]")).to_have_count(0)


@pytest.mark.bundled
def test_without_a_signal_it_says_what_is_missing_and_answers_when_it_is_back(phone, host):
    page = phone.new_page()
    page.goto(host.address + PLAN)
    phone.set_offline(True)
    page.locator("#cloth-plan-pieces").fill("3")
    state = page.locator(".ft-state")
    expect(state).to_contain_text("no connection")
    expect(state).to_contain_text("when the signal is back")
    expect(page.locator(".ft-whose")).to_have_text("Answer to the earlier numbers")
    phone.set_offline(False)
    ends = page.locator('li[data-result="warp_length"] .ft-value')
    expect(ends).to_contain_text(plan_of(pieces="3")["warp_length"])
    expect(page.locator(".ft-whose")).to_have_text("Answer to your numbers")


@pytest.mark.parametrize("every", [5, pytest.param(1, marks=pytest.mark.thorough)])
def test_the_first_field_is_never_further_than_eight_stops_of_the_tab_key(
    visit, site, site_pages, every
):
    """On pages with a form: straight on, or where much stands above it by the skip link."""
    far, seen = [], 0
    for name in site_pages[::every]:
        if 'class="ft-form"' not in (site / name / "index.html").read_text(encoding="utf-8"):
            continue
        seen += 1
        page = visit(name)
        page.reload()  # the tab key begins at the top
        stops = 0
        while not page.evaluate(FIRST_FIELD) and stops < 10:
            page.keyboard.press("Tab")
            stops += 1
            if page.evaluate("() => document.activeElement.textContent") == "Skip to the form":
                page.keyboard.press("Enter")
        if stops > 9:  # the ninth stop is the field itself
            far.append(name)
    assert seen > 15 / every
    assert far == []
