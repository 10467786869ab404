"""The first page on a phone, the hint at the home screen, and the piece that fills at the loom."""

from playwright.sync_api import expect

import calculators
from calculators.engine.run import work_out
from calculators.figure.loom_side import loom_side
from calculators.plan.calculators import CLOTH_PLAN

OFFERED = """() => {
  const event = new Event("beforeinstallprompt", { cancelable: true });
  event.prompt = () => { globalThis.prompted = true };
  dispatchEvent(event);
  return event.defaultPrevented;
}"""


def test_the_first_page_shows_cloth_search_and_doors_and_answers_at_once(visit):
    page = visit("")
    height = page.viewport_size["height"]
    for part in (".ft-plate", ".ft-ask", ".ft-doors"):
        box = page.locator(part).bounding_box()
        assert box["y"] + box["height"] < height, part
    doors = page.locator(".ft-doors a")
    expect(doors).to_have_count(3)
    for door in doors.all():
        box = door.bounding_box()
        assert min(box["width"], box["height"]) >= 44
    page.locator(".ft-ask").click()
    expect(page.locator("#ft-query")).to_be_focused()
    page.keyboard.press("Escape")

    yarn = {"yarn": "30/2", "weave": "satin_5"}
    for name, typed in yarn.items():
        page.locator(f'[data-calculator="outlook"] [name="{name}"]').fill(typed)
    found = calculators.run("outlook", yarn)["results"]
    for name in ("units_across", "good_for"):
        told = page.locator(f'[data-calculator="outlook"] [data-result="{name}"] .ft-value')
        expect(told).to_have_text(found[name]["text"]["metric"])
    page.get_by_role("link", name="Plan a cloth of it").click()
    planned = page.locator('[data-calculator="cloth-plan"]')
    expect(planned.locator('[name="warp_yarn"]')).to_have_value("30/2")
    expect(planned.locator('[name="weave"]')).to_have_value("five-end satin")


def test_the_hint_at_the_home_screen_comes_once(visit):
    page = visit("")
    hint = page.get_by_role("complementary", name="On the home screen")
    assert page.evaluate(OFFERED)
    hint.scroll_into_view_if_needed()
    expect(hint).to_be_in_viewport()
    hint.get_by_role("button", name="Put it there").click()
    assert page.evaluate("globalThis.prompted")
    expect(hint).to_have_count(0)
    page.reload()
    assert page.evaluate(OFFERED)
    page.wait_for_timeout(300)
    expect(hint).to_have_count(0)


def test_the_piece_at_the_loom_fills_with_the_picks(visit):
    plan = {"pieces": "2", "sample": "0", "temple_step": "1 cm"}
    view = loom_side(work_out(CLOTH_PLAN, plan))
    page = visit("loom-side/#v=2&calculator=cloth-plan&pieces=2&sample=0&temple_step=1%20cm")
    picture = page.locator(".ft-loom .ft-filling")
    expect(picture).to_be_visible()
    page.locator(".ft-loom-more > summary").click()
    page.locator('[name="picks"]').fill(str(view["parts"][0]["picks"] // 2))
    page.get_by_role("button", name="Set the count").click()

    def tall(name):
        return picture.locator(f".ft-filling-{name}").bounding_box()["height"]

    whole = tall("warp")
    assert abs(tall("cloth") / whole - 0.5) < 0.03
    box = picture.locator(".ft-filling-warp").bounding_box()
    cloth = picture.locator(".ft-filling-cloth").bounding_box()
    foot = box["y"] + box["height"]
    assert abs(cloth["y"] + cloth["height"] - foot) < 1  # the cloth grows from below
    assert abs(box["width"] / whole - view["across"] / view["parts"][0]["picks"]) < 0.02
    due = f"in {view['temple']} picks"
    assert due in picture.locator("title").text_content()

    picks = page.locator('.ft-loom [data-show="written"]')
    expect(picks).to_contain_text("saved")
    page.get_by_role("button", name="Leave").click()
    visit("")
    door = page.locator(".ft-doors a").nth(2)
    expect(door).to_contain_text("2 pieces, 48 × 48 cm, six-end satin")
    door.click()
    expect(picture).to_be_visible()


def test_the_door_to_the_loom_leads_to_the_last_plan(visit):
    page = visit("plan/whole-plan/")
    page.locator('[data-calculator="cloth-plan"] [name=pieces]').fill("9")
    expect(page.locator(".ft-whose").first).to_have_text("Answer to your numbers")
    page.wait_for_function("() => location.hash.includes('pieces=9')")
    visit("")
    door = page.locator(".ft-doors a").nth(2)
    expect(door).to_contain_text("9 pieces, 48 × 48 cm, six-end satin")
    door.click()
    expect(page.locator("dialog.ft-loom")).to_be_visible()
    expect(page.locator('.ft-loom [data-show="plan"]')).to_contain_text("9 pieces")
