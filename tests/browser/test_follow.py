"""A plan that follows: from the sett to the whole plan, a weave in the weaver's own words."""

import re

from playwright.sync_api import Page, expect

import calculators
from calculators.engine.reading import KINDS


def section(page: Page, name: str):
    return page.locator(f'section[data-calculator="{name}"]').first


def values(form) -> dict[str, str]:
    controls = "all => Object.fromEntries(all.map(({ name, value }) => [name, value]))"
    return form.locator(".ft-form [name]").evaluate_all(controls)


def figure(text: str) -> re.Pattern[str]:
    return re.compile(re.sub(r"\\?\s", r"\\s", re.escape(text)))


def test_six_end_satin_goes_from_the_sett_to_the_plan(visit) -> None:
    page = visit("sett/")
    sett = section(page, "sett")
    weave, list_of = sett.locator("[name=weave]"), sett.locator(".ft-by-drawing").first
    sett.locator("[name=warp_yarn]").fill("16/2")
    weave.fill("åttaskaftad atlas")
    expect(sett.locator('[data-field="weave"] .ft-read')).to_contain_text("eight-end satin")
    folded = list_of.bounding_box()["height"]
    assert folded < 60, "the list does not push the form away"
    list_of.locator("summary").click()
    buttons = list_of.get_by_role("button")
    expect(buttons).to_have_count(len(KINDS["weave"].drawn()))
    expect(list_of.locator("button svg")).to_have_count(len(KINDS["weave"].drawn()))
    assert all(
        box["width"] <= 360 and box["height"] >= 44 and box["x"] >= 0
        for box in (button.bounding_box() for button in buttons.all()[:8])
    )
    list_of.get_by_role("button", name="six-end satin", exact=True).press("Enter")
    expect(weave).to_have_value("six-end satin")
    expect(list_of.locator("summary")).to_be_focused()
    expect(list_of).not_to_have_attribute("open", "")
    expect(sett.locator('[data-field="weave"] .ft-read')).to_contain_text("six-end satin")

    sett.get_by_role("link", name="Plan the whole cloth").click()
    plan = section(page, "cloth-plan")
    expect(plan.locator("[name=weave]")).to_have_value("six-end satin")
    expect(plan.locator(".ft-notice")).to_contain_text("everything else is the worked example’s")
    there = values(plan)
    assert (there["warp_yarn"], there["weft_yarn"]) == ("16/2", "")
    assert (there["ends_per_unit"], there["picks_per_unit"], there["ground_shafts"]) == ("",) * 3
    found = calculators.run("cloth-plan", there)
    worked = calculators.run("sett", {"warp_yarn": "16/2", "weave": "satin_6"})["results"]
    assert abs(found["results"]["sett"]["value"] - worked["working"]["value"]) <= 0.13
    for name in ("ends", "warp_length", "weft_yarn_mass"):
        shown = plan.locator(f'[data-result="{name}"] .ft-value').first
        expect(shown).to_contain_text(figure(found["results"][name]["text"]["metric"]))
    answer = plan.locator(".ft-answer")
    expect(answer).to_contain_text("ends in a pattern unit 6, picks in a unit 6, ground shafts 6")

    plan.locator("[name=ends_per_unit]").fill("5")
    expect(answer).to_contain_text("No order of threading is printed")
    plan.locator("[name=weave]").fill("femskaft")
    expect(answer).not_to_contain_text("No order of threading is printed")


def test_unit_shafts_and_weft_follow_what_is_typed(visit) -> None:
    """The worked example has six of each; they are not left beside a weave of five ends."""
    page = visit("plan/whole-plan/")
    plan = section(page, "cloth-plan")
    plan.locator("[name=picks_per_unit]").fill("10")
    plan.locator("[name=weave]").fill("5 shaft satin")
    plan.locator("[name=warp_yarn]").fill("30/2")
    followed = ("weft_yarn", "ends_per_unit", "ground_shafts", "picks_per_unit")
    there = values(plan)
    assert [there[name] for name in followed] == ["", "", "", "10"]
    answer = plan.locator(".ft-answer")
    expect(answer).to_contain_text("ends in a pattern unit 5, ground shafts 5")
    found = calculators.run("cloth-plan", there)["results"]
    shown = plan.locator('[data-result="ends"] .ft-value').first
    expect(shown).to_contain_text(figure(found["ends"]["text"]["metric"]))
    expect(page).to_have_url(re.compile("30%2F2"))  # it is written a moment later
    page.reload()
    plan = section(page, "cloth-plan")
    expect(plan.locator("[name=weave]")).to_have_value("5 shaft satin")
    expect(plan.locator("[name=ends_per_unit]")).to_have_value("")
    expect(plan.locator("[name=weft_yarn]")).to_have_value("")


def test_a_link_with_an_id_opens_in_words(visit) -> None:
    page = visit("sett/#v=2&calculator=sett&weave=satin_8")
    sett = section(page, "sett")
    expect(sett.locator("[name=weave]")).to_have_value("eight-end satin")
    expect(sett.locator('[data-field="weave"] .ft-read')).to_contain_text("eight-end satin")


def test_what_followed_follows_again_after_a_reload(visit) -> None:
    page = visit("plan/whole-plan/")
    plan = section(page, "cloth-plan")
    plan.locator("[name=pieces]").fill("4")
    followed = ("weft_yarn", "ends_per_unit", "ground_shafts", "picks_per_unit")
    assert [values(plan)[name] for name in followed] == [""] * 4
    expect(plan.locator('[data-field="ends_per_unit"] .ft-read')).to_contain_text("as the weave")
    expect(page).to_have_url(re.compile("pieces=4.*ends_per_unit=&"))
    page.reload()
    plan = section(page, "cloth-plan")
    expect(plan.locator("[name=pieces]")).to_have_value("4")
    plan.locator("[name=weave]").fill("5 shaft satin")
    expect(plan.locator(".ft-answer")).to_contain_text(
        "ends in a pattern unit 5, picks in a unit 5, ground shafts 5"
    )
    found = calculators.run("cloth-plan", values(plan))["results"]
    shown = plan.locator('[data-result="ends"] .ft-value').first
    expect(shown).to_contain_text(figure(found["ends"]["text"]["metric"]))
