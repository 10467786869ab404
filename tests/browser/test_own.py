"""One's own records and workroom on a phone: put there once, offered by the forms."""

import re

import pytest
from playwright.sync_api import Page, expect

import calculators
from calculators.records.book import read_records
from calculators.shelf.cones_and_looms import Shelf, read_shelf, write_lines


def press(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).click()


def told(page: Page, place: str):
    return page.locator(f"{place} > .ft-told")


def form(page: Page, calculator: str):
    return page.locator(f'[data-calculator="{calculator}"] form')


def add(page: Page, words: str, **typed: str) -> None:
    press(page, words)
    for name, value in typed.items():
        page.locator(f".ft-dialog [name={name}]").fill(value)
    page.keyboard.press("Enter")
    expect(page.locator(".ft-dialog")).to_have_count(0)


def saved(page: Page, file):
    with page.expect_download() as download:
        press(page, "Save as a file")
    download.value.save_as(file)
    return file.read_text(encoding="utf-8")


MEASURED = {"name": "Blue towels", "loom_length": "80 cm", "washed_length": "75.6 cm"}
MORE = {"name": "Green towels", "loom_length": "80 cm", "washed_length": "75.6 cm"}


@pytest.mark.long
def test_two_cloths_tell_the_next_plan_what_to_expect(visit, faults, new_device, tmp_path):
    page = visit("my-records/")
    expect(page.get_by_text("The handbook’s example, until your own begins")).to_be_visible()
    for cloth in (MEASURED, MORE):
        visit("shelf/records/")
        section = page.locator('[data-calculator="record"]')
        for name, typed in cloth.items():
            section.locator(f"[name={name}]").fill(typed)
        press(page, "Put it into my records")
        expect(told(page, '[data-calculator="record"]')).to_contain_text("is in your records")

    # The example's cloths have gone from the next guess, and one's own stand there.
    expect(form(page, "next-guess").locator("[name=records]")).to_have_value(
        re.compile("Blue towels.*\nGreen towels")
    )
    book = read_records(form(page, "next-guess").locator("[name=records]").input_value())
    assert [record.name for record in book] == ["Blue towels", "Green towels"]

    visit("plan/whole-plan/#v=2&calculator=cloth-plan&warp_yarn=16/2&weave=satin_8")
    shrinkage = form(page, "cloth-plan").locator("[name=length_shrinkage]")
    offer = form(page, "cloth-plan").locator("[data-field=length_shrinkage] .ft-offer")
    expect(offer).to_contain_text("Your records: 5.5 %, 2 cloths")
    offer.get_by_role("button").click()
    lines = "\n".join(
        f"{one['name']}; 16/2; satin_5; oak; length 5.5 %" for one in (MEASURED, MORE)
    )
    guessed = calculators.run("next-guess", {"records": lines, "yarn": "16/2", "weave": "satin_8"})
    likely = guessed["results"]["length_shrinkage"]["value"]
    expect(shrinkage).to_have_value(f"{likely:g} %")
    expect(page.locator("[data-field=length_shrinkage] .ft-origin")).to_have_text(
        "from your records, 2 cloths"
    )
    planned = calculators.run(
        "cloth-plan", {"warp_yarn": "16/2", "weave": "satin_8", "length_shrinkage": f"{likely} %"}
    )
    expect(
        page.locator('[data-calculator="cloth-plan"] [data-result=warp_length] .ft-metric').first
    ).to_contain_text(planned["results"]["warp_length"]["text"]["metric"])

    visit("my-records/")
    names = page.locator(".ft-own > .ft-plans .ft-plan-name")
    expect(names).to_have_text(["Blue towels", "Green towels"])
    expect(page.locator(".ft-own-example")).to_be_hidden()
    assert faults(page) == []
    press(page, "Delete: Green towels")
    expect(names).to_have_text(["Blue towels"])
    press(page, "Put it back")
    expect(names).to_have_text(["Blue towels", "Green towels"])
    press(page, "Change: Blue towels")
    page.locator(".ft-dialog [name=draw_in]").fill("4 %")
    page.locator(".ft-dialog [name=draw_in]").press("Enter")
    expect(page.locator(".ft-own li").filter(has_text="draw-in 4 %")).to_have_count(1)
    table = tmp_path / "records.csv"
    assert [one.losses["length_shrinkage"] for one in read_records(saved(page, table))] == [
        0.055
    ] * 2
    with new_device() as device:
        other = device.new_page()
        other.goto(page.url)
        other.get_by_label("Open a file").set_input_files(table)
        expect(told(other, ".ft-own")).to_contain_text("2 cloths taken in")
        expect(other.locator(".ft-own > .ft-plans .ft-plan-name")).to_have_text(
            ["Blue towels", "Green towels"]
        )


def test_one_name_stands_once_of_its_sort_and_comes_back_when_undone(phone, host):
    page = phone.new_page()
    page.goto(f"{host.address}care/")
    kept = page.evaluate(
        """async (at) => {
        const { itemsOf, put } = await import(at);
        const told = async () =>
          (await itemsOf("workroom")).map(({ sort, name, line }) => [sort, name, line]);
        await put("workroom", { sort: "loom", name: "Oak", line: "first" });
        await put("workroom", { sort: "cone", name: "Oak", line: "a cone" });
        const undo = await put("workroom", { sort: "loom", name: "OAK", line: "second" });
        const replaced = await told();
        await undo();
        return [replaced, await told()];
        }""",
        f"{host.address}assets/mine.mjs",
    )
    assert kept == [
        [["loom", "OAK", "second"], ["cone", "Oak", "a cone"]],
        [["loom", "Oak", "first"], ["cone", "Oak", "a cone"]],
    ]


def test_what_cannot_be_kept_is_said_beside_its_field(visit):
    page = visit("my-workroom/")
    press(page, "Add a loom")
    dialog = page.locator(".ft-dialog")
    dialog.locator("[name=name]").fill("Ash")
    dialog.locator("[name=shafts]").fill("8")
    dialog.locator("[name=width]").fill("wide")
    page.keyboard.press("Enter")
    error = dialog.locator(".ft-field:has([name=width]) .ft-error")
    expect(error).to_be_visible()
    expect(error).to_contain_text("wide")
    expect(dialog.locator("[name=width]")).to_be_focused()
    dialog.locator("[name=width]").fill("90 cm")
    page.keyboard.press("Enter")
    expect(dialog).to_have_count(0)
    expect(page.locator(".ft-own > .ft-plans .ft-plan-name")).to_have_text(["Ash"])


@pytest.mark.long
def test_loom_reeds_and_cones_are_written_down_once(visit, faults, tmp_path):
    page = visit("my-workroom/")
    add(page, "Add a loom", name="Ash", width="90 cm", shafts="10", heddles="200")
    add(page, "My reeds", reeds="50/10, 12 dpi")
    add(page, "Add a cone", yarn="16/2 cotton", gross="500 g", empty="40 g", colour="navy")
    mine = page.locator(".ft-own > .ft-plans .ft-plan-name, .ft-own .ft-cone > b")
    expect(mine).to_have_text(["Ash", "Reeds", "Cone 1"])
    card = page.locator(".ft-own .ft-cone")
    assert int(card.locator('path[fill^="#"]').get_attribute("fill")[5:7], 16) > 80  # navy
    # 16/2 cotton is 590.54 / 8 tex, and a tex a gram in a kilometre
    metres = f"{460 / (590.5412 / 8) * 1000:,.0f}".replace(",", "\u202f")
    expect(card).to_contain_text(f"460 g left, {metres} m")
    page.get_by_role("button", name="Change: Cone 1").click()
    expect(page.locator(".ft-dialog [name=gross]")).to_have_value("500 g")
    press(page, "Close")
    assert faults(page) == []
    shelf = read_shelf(saved(page, tmp_path / "workroom.json"))
    assert (shelf.cones[0].net, shelf.looms[0].ground_shafts) == (460, 10)

    visit("sett/reeds/")
    form(page, "denting").locator("[name=reeds]").focus()
    press(page, "Use my reeds")
    expect(form(page, "denting").locator("[name=reeds]")).to_have_value("50/10, 12 dpi")

    visit("plan/whole-plan/")
    press(page, "Use Ash")
    plan = form(page, "cloth-plan")
    expect(plan.locator("[name=loom_weaving_width]")).to_have_value("90 cm")
    expect(plan.locator("[name=loom_ground_shafts]")).to_have_value("10")
    expect(plan.locator("[data-field=reeds] .ft-origin")).to_have_text("Ash, from your workroom")

    # The shelf begins with the cone that is there, and a cone from its scale is in the workroom.
    visit("shelf/")
    cones = page.locator("[name=cones]")
    expect(cones).to_have_value(write_lines(Shelf(cones=shelf.cones)))
    press(page, "Add a cone")
    page.get_by_label("Yarn, as on the label").fill("16/1 linen")
    page.get_by_label("On the scale").fill("300 g")
    page.keyboard.press("Enter")
    expect(page.locator(".ft-dialog [role=status]")).to_contain_text("It is in your workroom too.")
    press(page, "Close")
    assert [one.net for one in read_shelf(cones.input_value()).cones] == [460, 300]
    visit("my-workroom/")
    expect(mine).to_have_text(["Ash", "Reeds", "Cone 1", "Cone 2"])


def test_a_woven_cloth_goes_from_the_loom_into_the_records(visit):
    page = visit("loom-side/#v=2&calculator=cloth-plan&weave=satin_5")
    view = page.locator("dialog.ft-loom")
    expect(view).to_be_visible()
    into = view.get_by_role("button", name="Into my records")
    expect(into).to_be_hidden()
    view.get_by_text("More", exact=True).click()
    whole = view.locator("[data-show=whole]").inner_text().split(" of ")[1].split()[0]
    view.get_by_label("Picks woven so far").fill(whole)
    press(page, "Set the count")
    into.click()
    expect(view.locator("[data-show=said]")).to_contain_text("is in your records")
    view.get_by_role("link", name="Measure it now").click()
    record = form(page, "record")
    expect(record.locator("[name=washed_width]")).to_have_value("")
    expect(record.locator("[name=weave]")).to_have_value("five-end satin")
    record.locator("[name=thrums]").fill("140 cm")
    press(page, "Put it into my records")
    expect(told(page, '[data-calculator="record"]')).to_contain_text("is in your records")
    visit("my-records/")
    item = page.locator(".ft-own > .ft-plans li")
    expect(item).to_have_count(1)
    expect(item).to_contain_text("waste 140 cm")


WORKROOM = """\
Loom: Ash; width 90 cm; shafts 10; heddles 300; reeds 40/10, 50/10
Blue; 16/2 cotton; gross 412 g; empty 38 g; navy
White; 16/2 cotton; gross 655 g; empty 45 g; white
Flax; 16/1 linen; gross 290 g; empty 0 g
Silk; 60/2 silk; gross 100 g; empty 0 g
Merino; Nm 28/2 wool; gross 200 g; empty 0 g"""
LOST = "length 5.5 %; draw-in 4 %; take-up 5 %; waste 150 cm"
RECORDS = f"""\
Blue towels; 16/2 cotton; satin_5; Ash; width 4 %; {LOST}
Green towels; 16/2 cotton; satin_5; Ash; width 5 %; {LOST}"""


def take_in(visit, place: str, text: str) -> None:
    """Open a file of one's own on its page."""
    page = visit(place)
    file = {"name": "own.txt", "mimeType": "text/plain", "buffer": text.encode()}
    page.get_by_label("Open a file").set_input_files(file)
    expect(told(page, ".ft-own")).to_contain_text("taken in")


def test_a_tap_puts_one_of_my_cones_wherever_a_yarn_is_asked_for(visit, faults):
    take_in(visit, "my-workroom/", WORKROOM)
    page = visit("sett/")
    sett = form(page, "sett")
    yarn = sett.locator("[name=warp_yarn]")
    yarn.focus()
    cones = sett.locator("[data-field=warp_yarn] .ft-offer")
    expect(cones).to_contain_text("Your cones:")
    silk = cones.get_by_role("button", name="Silk")
    expect(silk).to_be_hidden()  # the least of four is folded away
    cones.get_by_text("1 more").click()
    silk.click()
    expect(yarn).to_have_value("60/2 silk")
    cones.get_by_role("button", name="Flax").click()
    expect(yarn).to_have_value("16/1 linen")
    expect(sett.locator("[data-field=warp_yarn] .ft-origin")).to_have_text(
        "Flax, from your workroom"
    )
    found = calculators.run("sett", {"warp_yarn": "16/1 linen", "weft_yarn": ""})
    expect(
        page.locator('[data-calculator="sett"] [data-result=working] .ft-metric').first
    ).to_contain_text(found["results"]["working"]["text"]["metric"])
    assert faults(page) == []

    page = visit("yarn/part-cone/")
    cone = form(page, "cone")
    cone.locator("[name=gross]").focus()
    cone.get_by_role("button", name="White, 16/2 cotton").click()
    for name, value in (("gross", "655 g"), ("empty", "45 g"), ("yarn", "16/2 cotton")):
        expect(cone.locator(f"[name={name}]")).to_have_value(value)

    visit("loom-side/#v=2&calculator=cloth-plan&weave=satin_5&sett=16%20%2Fcm")
    view = page.locator("dialog.ft-loom")
    expect(view).to_be_visible()
    view.get_by_text("More", exact=True).click()
    # 16 ends per cm through 4 dents per cm are four to a dent
    expect(view.locator("[data-show=facts]")).to_contain_text(
        "Your loom Ash: reed 40/10, 4 in the dents."
    )


def test_one_tap_takes_all_that_my_records_know(visit):
    take_in(visit, "my-records/", RECORDS)
    for place, calculator, names in (
        (
            "plan/whole-plan/",
            "cloth-plan",
            ("width_shrinkage", "length_shrinkage", "draw_in", "take_up", "loom_waste"),
        ),
        ("units/", "unit-grid", ("width_shrinkage", "length_shrinkage", "draw_in")),
    ):
        page = visit(place)
        asked = form(page, calculator)
        if calculator == "cloth-plan":
            asked.locator("[name=warp_yarn]").fill("16/2 cotton")
        else:
            asked.locator("[name]").first.focus()
        every = asked.get_by_role("button", name=f"Use all {len(names)}")
        every.click()
        for name in names:
            expect(asked.locator(f"[data-field={name}] .ft-origin")).to_contain_text(
                "from your records, 2 cloths"
            )
        expect(every).to_have_count(0)
        # F-128: the usual 8 % counts for half a cloth
        expect(asked.locator("[name=length_shrinkage]")).to_have_value(
            f"{(0.5 * 8 + 2 * 5.5) / 2.5:g} %"
        )
