"""A calculator on the page: the answer follows the typing, and nothing typed is lost."""

import re

import pytest
from playwright.sync_api import expect

from calculators import run
from calculators.data import load
from calculators.weave.library import spoken

SETT = "sett/"
GRID = "units/"
CONE = "yarn/part-cone/"


def calculator(page, name):
    return page.locator(f'section[data-calculator="{name}"]').first


def ready(section):
    expect(section.locator(".ft-state")).to_have_attribute("data-state", "ready")


def shown(name, inputs, result):
    """The package's own words for a result, as the page is expected to show them."""
    return run(name, inputs)["results"][result]["text"]["metric"]


def opened(context, host, place, name):
    page = context.new_page()
    page.goto(host.address + place)
    return page, calculator(page, name)


def turned(visit, place, name):
    page = visit(place)
    return page, calculator(page, name)


@pytest.mark.bundled
def test_typing_gives_the_answer_of_the_package(visit):
    _, section = turned(visit, SETT, "sett")
    answer = section.locator(".ft-answer")
    expect(answer).to_contain_text(shown("sett", {}, "working"))
    section.locator("[name=warp_yarn]").fill("30/2")
    expect(answer).to_contain_text(shown("sett", {"warp_yarn": "30/2"}, "working"))
    expect(section.locator("[name=warp_yarn]")).to_be_focused()
    expect(section.locator(".ft-read").first).to_contain_text("30s cotton")
    section.locator("[name=firmness]").select_option("firm")
    both = {"warp_yarn": "30/2", "firmness": "firm"}
    expect(answer).to_contain_text(shown("sett", both, "working"))


@pytest.mark.bundled
def test_the_runtime_is_fetched_when_it_is_used_and_its_states_are_told(keeping_phone, host):
    page, section = opened(keeping_phone, host, SETT, "sett")
    expect(page.locator(".ft-offline")).to_contain_text("Ready offline")
    assert not [name for name in host.asked() if name.startswith("assets/runtime/")]
    page.evaluate("""() => {
      const line = document.querySelector(".ft-state");
      globalThis.seen = [line.dataset.state];
      new MutationObserver(() => {
        if (line.dataset.state !== seen.at(-1)) seen.push(line.dataset.state);
      }).observe(line, { attributes: true });
    }""")
    section.locator("[name=warp_yarn]").focus()
    ready(section)
    assert [name for name in host.asked() if name.startswith("assets/runtime/")]
    assert page.evaluate("seen") == ["idle", "fetching", "starting", "ready"]


NONSENSE = ["", "words", "NaN", "1e400", "250 g", "16/0", "🧶", "<img src=x onerror=alert(1)>"]


def test_bad_input_is_answered_beside_the_field_and_kept(visit):
    page, section = turned(visit, CONE, "cone")
    dialogs = []
    page.once("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    field = section.locator("[name=yarn]")
    error = section.locator("[data-field=yarn] .ft-error")
    field.focus()
    ready(section)
    for typed in NONSENSE:
        before = section.locator(".ft-answer").inner_text()
        field.fill(typed)
        expect(error).to_be_visible()
        expect(field).to_have_attribute("aria-invalid", "true")
        expect(field).to_have_value(typed)
        assert len(error.inner_text()) > 10
        assert error.locator("*").count() == 0
        expect(section.locator(".ft-whose")).to_have_text("Answer to the earlier numbers")
        assert section.locator(".ft-answer").inner_text() == before
        field.fill("16/2")
        expect(error).to_be_hidden()
        expect(section.locator(".ft-whose")).not_to_contain_text("earlier")
    assert dialogs == []


def test_the_plan_is_in_the_address_and_comes_back(visit, host, new_device):
    page, section = turned(visit, SETT, "sett")
    section.locator("[name=warp_yarn]").fill("30/2")
    section.locator("[name=firmness]").select_option("open")
    beginning = "#v=2&units=cm&calculator=sett&warp_yarn=30%2F2&"
    expect(page).to_have_url(re.compile(f"{SETT}{beginning}.*&firmness=open"))
    address = page.url
    with new_device() as other:
        there = other.new_page()
        there.goto(address)
        restored = calculator(there, "sett")
        expect(restored.locator("[name=warp_yarn]")).to_have_value("30/2")
        expect(restored.locator("[name=firmness]")).to_have_value("open")
        wanted = shown("sett", {"warp_yarn": "30/2", "firmness": "open"}, "working")
        expect(restored.locator(".ft-answer")).to_contain_text(wanted)


def test_a_link_followed_on_the_same_page_is_opened(visit):
    page, section = turned(visit, SETT, "sett")
    page.evaluate("location.hash = '#v=1&calculator=sett&warp_yarn=8%2F2'")
    expect(section.locator("[name=warp_yarn]")).to_have_value("8/2")
    wanted = shown("sett", {"warp_yarn": "8/2"}, "working")
    expect(section.locator(".ft-answer")).to_contain_text(wanted)


def test_what_a_link_holds_beyond_this_form_is_named(visit):
    place = f"{SETT}#v=1&calculator=sett&warp_yarn=8%2F2&colour=blue&firmness=steel&warp_yarn=9"
    _, section = turned(visit, place, "sett")
    notice = section.locator(".ft-notice")
    expect(notice).to_contain_text("colour")
    expect(notice).to_contain_text("firmness = steel")
    expect(notice).to_contain_text("warp_yarn (a second time)")
    ready(section)
    expect(notice).to_be_visible()
    expect(section.locator("[name=warp_yarn]")).to_have_value("8/2")
    expect(section.locator("[name=firmness]")).to_have_value("table")


@pytest.mark.parametrize(
    ("link", "words"),
    [("#v=99&calculator=sett", "another edition"), ("#v=1&calculator=loom99", "not on this page")],
)
def test_a_link_that_cannot_be_opened_says_why(visit, link, words):
    page, _ = turned(visit, SETT + link, "sett")
    expect(page.locator(".ft-link-trouble")).to_contain_text(words)


def test_undo_and_worked_example(visit, host):
    page, section = turned(visit, SETT, "sett")
    field, answer = section.locator("[name=warp_yarn]"), section.locator(".ft-answer")
    for typed in ("30/2", "8/2"):
        field.fill(typed)
        field.blur()
    undo = section.locator('[data-action="undo"]')
    undo.click()
    expect(field).to_have_value("30/2")
    wanted = shown("sett", {"warp_yarn": "30/2"}, "working")
    expect(answer).to_contain_text(wanted)
    section.locator('[data-action="reset"]').click()
    expect(field).to_have_value("16/2")
    expect(answer).to_contain_text(shown("sett", {}, "working"))
    expect(page).to_have_url(host.address + SETT)
    undo.click()
    expect(field).to_have_value("30/2")


@pytest.mark.bundled
def test_one_worker_serves_the_whole_visit(visit, host):
    page, section = turned(visit, SETT, "sett")
    section.locator("[name=warp_yarn]").fill("30/2")
    ready(section)
    at_work, later = page.workers, []
    assert len(at_work) == 1
    page.on("worker", lambda worker: later.append(worker.url))
    page.locator(".ft-contents > summary").click()
    page.locator(".ft-contents a", has_text="cone").first.click()
    page.locator("section[data-calculator]").first.wait_for()
    assert page.url != host.address + SETT
    section = page.locator("section[data-calculator]").first
    section.locator("input").first.focus()
    ready(section)
    page.go_back()
    section = calculator(page, "sett")
    expect(section.locator("[name=warp_yarn]")).to_have_value("30/2")
    ready(section)
    assert (page.workers, later) == (at_work, [])


def test_the_latest_of_many_keystrokes_wins(phone, host):
    _, section = opened(phone, host, SETT, "sett")
    field = section.locator("[name=warp_yarn]")
    field.focus()
    field.fill("")
    field.press_sequentially("20/2", delay=5)
    ready(section)
    wanted = shown("sett", {"warp_yarn": "20/2"}, "working")
    expect(section.locator(".ft-answer")).to_contain_text(wanted)
    expect(section.locator(".ft-error:visible")).to_have_count(0)


def test_what_was_unfolded_in_the_answer_stays_so(visit):
    _, section = turned(visit, SETT, "sett")
    section.locator(".ft-answer details > summary").first.click()
    section.locator("[name=warp_yarn]").fill("30/2")
    wanted = shown("sett", {"warp_yarn": "30/2"}, "working")
    expect(section.locator(".ft-answer")).to_contain_text(wanted)
    assert section.locator(".ft-answer details").first.evaluate("one => one.open")


def test_without_javascript_the_worked_answer_is_there(new_device, host):
    with new_device(java_script_enabled=False) as reader:
        _, section = opened(reader, host, SETT, "sett")
        expect(section.locator(".ft-answer")).to_contain_text(shown("sett", {}, "working"))
        expect(section.locator("noscript, p", has_text="With JavaScript on")).to_be_visible()


def test_a_page_saved_by_another_name_anchors_as_ever(phone, host):
    page, _ = opened(phone, host, SETT, "sett")
    heading = page.locator("main h2[id]").last
    name = heading.get_attribute("id")
    page.goto(f"{host.address}{SETT}#{name}")
    expect(heading).to_be_in_viewport()
    expect(page.locator(".ft-link-trouble")).to_have_count(0)


# Earlier editions ---------------------------------------------------------------------------------

PLAN_PAGE = "plan/whole-plan/"
THEN = load("defaults_v1")["cloth-plan"]


def test_a_link_of_the_first_edition_opens_with_its_own_figures(visit, host):
    typed = "finished_width=20%20cm&pieces=2"
    place = f"{PLAN_PAGE}#v=1&calculator=cloth-plan&{typed}"
    page, section = turned(visit, place, "cloth-plan")
    old = {**THEN, "finished_width": "20 cm", "pieces": "2"}
    for name in ("sett", "weave", "warp_yarn", "threads_in_hand", "picks_per_minute", "pieces"):
        expect(section.locator(f"[name={name}]")).to_have_value(spoken(old[name]))
    since = section.locator(".ft-since")
    expect(since).to_contain_text("Weft over all the ends")
    answer = section.locator(".ft-answer")
    expect(answer).to_contain_text(shown("cloth-plan", old, "weft_yarn_mass"))
    section.locator("[name=pieces]").fill("3")
    expect(since).to_be_empty()
    expect(page).to_have_url(re.compile(r"#v=2&units=cm&calculator=cloth-plan&.*sett=24%20%2Fcm"))
    _, same = turned(visit, page.url.removeprefix(host.address), "cloth-plan")
    expect(same.locator("[name=sett]")).to_have_value("24 /cm")
    expect(same.locator("[name=pieces]")).to_have_value("3")
    expect(same.locator(".ft-since")).to_be_empty()


def test_what_the_first_edition_kept_opens_as_it_was(visit):
    page = visit("plans/")
    plan = {"name": "Old", "calculator": "cloth-plan", "inputs": {"pieces": "4"}, "kept": "2026-11"}
    page.evaluate("plan => localStorage.setItem('ft-plan-old', JSON.stringify(plan))", plan)
    visit("plans/")
    page.get_by_role("link", name="Old", exact=True).click()
    section = calculator(page, "cloth-plan")
    expect(section.locator("[name=sett]")).to_have_value(THEN["sett"])
    expect(section.locator("[name=pieces]")).to_have_value("4")
    expect(section.locator(".ft-since")).to_contain_text("Weft over all the ends")


def test_picks_counted_in_the_first_edition_go_on(visit):
    page = visit("loom-side/")
    address = "#v=1&calculator=cloth-plan&pieces=2"
    count = {"picks": 321, "temple": 300, "advance": 300, "past": [], "address": address,
             "build": "older", "name": "Old"}  # fmt: skip
    page.evaluate("one => localStorage.setItem('ft-count-old', JSON.stringify(one))", count)
    visit(f"loom-side/{address}")
    whole = page.locator("dialog.ft-loom [data-show=whole]")
    expect(whole).to_contain_text("321")
