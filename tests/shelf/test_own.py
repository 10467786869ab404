"""One's own cones, looms, reeds and records: entered in fields, listed, kept in files, offered."""

import json
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calculators.engine.reading import read_inputs
from calculators.errors import InputError
from calculators.page import respond
from calculators.records.book import read_records
from calculators.registry import calculator, registry
from calculators.shelf.cones_and_looms import read_shelf
from calculators.shelf.own import SORTS
from calculators.weave.matrix import parse_matrix

WORKROOM = """\
Blue cone; 16/2 cotton; 412 g; empty 38 g; #2b4a6f
Flax; 16/1 linen; 290 g
Loom: Oak; width 120 cm; shafts 8; heddles 300; reeds 40/10; waste 150 cm; longest 20 m
Reeds: 60/10, 12 dpi"""
TYPED = {
    "cone": {"yarn": "16/2", "gross": "412 g", "empty": "38 g", "colour": "navy", "name": "Blue"},
    "loom": {"name": "Oak", "width": "120 cm", "shafts": "8", "heddles": "300", "longest": "20 m"},
    "reeds": {"reeds": "60/10, 12 dpi"},
    "record": {"name": "Towels", "yarn": "16/2", "weave": "satin_5", "length_shrinkage": "5.5 %"},
}


def asked(**request):
    return json.loads(respond(json.dumps(request)))


def entered(sort, inputs, names=(), **more):
    return asked(call="own-entry", sort=sort, inputs=inputs, names=list(names), **more)


@pytest.mark.parametrize("sort", SORTS)
def test_what_was_entered_stands_in_the_form_again(sort):
    item = entered(sort, TYPED[sort])["item"]
    typed = SORTS[sort].typed(item["line"])
    assert entered(sort, typed)["item"] == item
    form = asked(call="own", form=sort, line=item["line"])["form"]
    assert f'value="{typed.get("name", typed.get("reeds"))}"' in form


IN_INCHES = {
    "cone": {"yarn": "16/2", "gross": "14 1/2 oz", "empty": "1.25 oz", "name": "Blue"},
    "loom": {"name": "Oak", "width": "47.25 in", "shafts": "8", "waste": "55 in", "longest": "22"},
    "reeds": {"reeds": "12, 15"},
    "record": {"name": "Towels", "yarn": "16/2", "weave": "plain", "loom_waste": "57.5 in"},
}


@pytest.mark.parametrize("sort", SORTS)
def test_what_is_ones_own_is_changed_in_the_readers_units(sort):
    """In inches it opens as it was typed, and saved again it is the same; no gram is left."""
    item = entered(sort, IN_INCHES[sort], units="inch")["item"]
    form = asked(call="own", form=sort, line=item["line"], units="inch")["form"]
    typed = dict(re.findall(r'name="(\w+)"[^>]*? value="([^"]*)"', form))
    assert entered(sort, typed, units="inch")["item"] == item
    there = {
        "cone": {"gross": "14.5 oz", "empty": "1.25 oz"},
        "loom": {"width": "47.25 in", "waste": "55 in", "longest": "22 yd"},
        "reeds": {"reeds": "12 dpi, 15 dpi"},
        "record": {"loom_waste": "57.5 in"},
    }
    assert {name: typed[name] for name in there[sort]} == there[sort]
    in_metric = SORTS[sort].typed(entered(sort, TYPED[sort])["item"]["line"], "inch")
    assert not re.search(r"\d (cm|m|g)\b", " ".join(in_metric.values()))


def test_a_cone_is_weighed_and_numbered_after_the_others():
    item = entered("cone", {"yarn": "16/2", "gross": "412", "empty": "38"}, ["Cone 2"])["item"]
    assert item["name"] == "Cone 3"
    (cone,) = read_shelf(item["line"]).cones
    assert (cone.net, cone.fibre) == (374, "cotton")
    in_ounces = entered("cone", {"yarn": "16/2", "gross": "16"}, units="inch")["item"]
    assert read_shelf(in_ounces["line"]).cones[0].net == pytest.approx(453.59237)


@pytest.mark.parametrize(
    ("sort", "wrong", "field"),
    [
        ("cone", {"empty": "500 g"}, "empty"),
        ("cone", {"colour": "sky-green"}, "colour"),
        ("cone", {"yarn": ""}, "yarn"),
        ("loom", {"width": "wide"}, "width"),
        ("loom", {"front": "20 cm"}, "ground"),
        ("loom", {"name": "Elm"}, "name"),
        ("record", {"name": "elm"}, "name"),
        ("record", {"weave": "knit"}, "weave"),
        ("reeds", {"reeds": "sixty"}, "reeds"),
    ],
)
def test_what_cannot_be_read_is_said_beside_its_field(sort, wrong, field):
    reply = entered(sort, TYPED[sort] | wrong, ["Elm"])
    assert not reply["ok"]
    assert reply["fields"][field]["error"]
    assert reply["problem"]


def test_a_workroom_travels_as_a_file_whole_or_not_at_all():
    items = asked(call="own", kind="workroom", file=WORKROOM)["items"]
    assert [item["sort"] for item in items] == ["loom", "reeds", "cone", "cone"]
    file = asked(call="own", kind="workroom", lines=[item["line"] for item in items])
    assert read_shelf(file["text"]) == read_shelf(WORKROOM)
    assert asked(call="own", kind="workroom", file=file["text"])["items"] == items
    broken = asked(call="own", kind="workroom", file=WORKROOM + "\nRed; 16/2; heavy")
    assert not broken["ok"]
    assert "Line 5" in broken["problem"]


def test_records_travel_as_a_table():
    lines = "A; 16/2 cotton; satin_5; oak; length 5.5 %; note hot, twice\nB; 16/2 cotton; plain; "
    items = asked(call="own", kind="records", file=lines)["items"]
    file = asked(call="own", kind="records", lines=[item["line"] for item in items])
    assert read_records(file["text"]) == read_records(lines)
    assert "nothing measured yet" in items[1]["about"]


def test_a_finished_cloth_is_a_record_and_what_was_not_measured_stays_empty():
    item = asked(
        call="finished", id="cloth-plan", inputs={"weave": "plain"}, name="Six; napkins", loom="Oak"
    )["item"]
    (record,) = read_records(item["line"])
    assert (record.name, record.weave.name, record.loom) == ("Six, napkins", "plain", "Oak")
    assert (record.losses, item["measured"]) == ({}, "")
    assert "&loom_width=&" in item["measure"]
    assert "&planned_length_shrinkage=8%20%25" in item["measure"]
    inch = asked(call="finished", id="cloth-plan", inputs={}, name="A", units="inch")["item"]
    grams, ounces = (
        [
            float(re.search(rf"planned_{side}=([\d.]+)%20(?:g|oz)\b", one["measure"])[1])
            for side in ("warp", "weft")
        ]
        for one in (asked(call="finished", id="cloth-plan", inputs={}, name="A")["item"], inch)
    )
    assert ounces == pytest.approx([gram / 28.349523125 for gram in grams], abs=0.07)
    measured = asked(call="finished", id="record", inputs={}, name="")["item"]
    assert read_records(measured["line"])[0].losses["loom_waste"] == 151
    assert measured["measured"]
    assert not asked(call="finished", id="rhythm", inputs={}, name="")["ok"]


def offers(name, inputs=None, **more):
    reply = asked(
        call="offers", id=name, inputs=inputs or {}, records="", workroom=WORKROOM, **more
    )
    return reply["offers"]


def test_one_press_fills_all_that_a_form_asks_of_a_loom():
    (loom,) = (one for one in offers("cloth-plan") if one["button"] == "Use Oak")
    assert loom["values"] == {
        "loom_weaving_width": "120 cm",
        "loom_ground_shafts": "8",
        "loom_pattern_heddles": "300",
        "loom_longest_warp": "20 m",
        "loom_waste": "150 cm",
        "reeds": "40/10",
    }
    assert loom["origin"] == "Oak, from your workroom"


def test_every_reed_there_is_offered_where_reeds_alone_are_asked_for():
    (reeds,) = (one for one in offers("denting") if not one["choice"])
    assert reeds["values"] == {"reeds": "60/10, 12 dpi, 40/10"}


def test_cones_of_the_plans_own_yarn_are_offered_beside_the_grams_on_hand():
    given = {"warp_yarn": "16/1 linen", "weft_yarn": "16/2"}
    on_hand = {one["field"]: one["words"] for one in offers("cloth-plan", given)}
    assert "the warp Flax has 290 g" in on_hand["warp_on_hand"]
    assert "the weft Blue cone has 374 g" in on_hand["weft_on_hand"]


def test_the_shelf_is_offered_the_cones_alone():
    (cones,) = (one for one in offers("shelf") if one["field"] == "cones")
    shelf = read_shelf(cones["values"]["cones"])
    assert (shelf.cones, shelf.looms) == (read_shelf(WORKROOM).cones, ())


def test_whatever_is_offered_can_be_typed_in_both_worlds():
    for name, form in registry().items():
        for units in ("cm", "inch"):
            for one in offers(name, units=units):
                _, errors = read_inputs(form, one["values"], units)
                assert not errors, (name, one)


def test_every_field_that_asks_for_a_yarn_is_offered_each_yarn_of_the_cones():
    cones = read_shelf(WORKROOM).cones
    for name, form in registry().items():
        chosen = [one for one in offers(name) if one["choice"]]
        for field in form.fields:
            if field.kind != "yarn":
                continue
            texes = set()
            for one in chosen:
                if field.name in one["values"]:
                    readings, _ = read_inputs(form, one["values"])
                    texes.add(readings[field.name].value.tex)
            assert texes == {cone.yarn.tex for cone in cones}, (name, field.name)


def test_where_a_cone_is_weighed_its_weights_come_along():
    flax = next(cone for cone in read_shelf(WORKROOM).cones if cone.name == "Flax")
    for name, inputs, yarn in (
        ("cone", {}, "yarn"),
        ("enough-yarn", {"side": "warp"}, "warp_yarn"),
        ("enough-yarn", {"side": "weft"}, "weft_yarn"),
    ):
        (one,) = (
            one for one in offers(name, inputs)
            if one["field"] == "gross" and one["button"].startswith("Flax")
        )  # fmt: skip
        readings, _ = read_inputs(calculator(name), one["values"])
        assert readings["gross"].value - readings["empty"].value == pytest.approx(flax.net)
        assert readings[yarn].value.tex == flax.yarn.tex


def test_a_form_of_nothing_in_the_workroom_is_offered_nothing():
    assert offers("satins") == []
    assert calculator("satins").fields


ROWS = st.integers(2, 9).flatmap(
    lambda ends: st.lists(st.text("#.", min_size=ends, max_size=ends), min_size=2, max_size=9)
)


@given(ROWS, st.sampled_from(("\n", "/", " / ", ";", ", ")))
def test_a_weave_typed_as_a_matrix_is_kept_and_read_back(rows, between):
    try:
        wanted = parse_matrix("\n".join(rows))
    except InputError:
        assume(False)
    item = entered("record", TYPED["record"] | {"weave": between.join(rows)})["item"]
    (kept,) = read_records(item["line"])
    assert (kept.weave.matrix, kept.weave.title) == (wanted.matrix, wanted.title)
    assert wanted.title in item["about"]
    assert entered("record", SORTS["record"].typed(item["line"]))["item"] == item
    file = asked(call="own", kind="records", lines=[item["line"]])
    assert asked(call="own", kind="records", file=file["text"])["items"] == [item]
    plan = {"weave": between.join(rows), "ends_per_unit": "", "picks_per_unit": ""}
    finished = asked(call="finished", id="cloth-plan", inputs=plan, name="Cloth")
    if finished["ok"]:  # not every pattern of marks makes a cloth to plan
        assert read_records(finished["item"]["line"])[0].weave.matrix == wanted.matrix


def at_the_loom(workroom, **inputs):
    reply = asked(call="loom", id="cloth-plan", inputs=inputs, workroom=workroom)
    return re.sub("<[^>]*>", "", reply["facts"])


def test_the_loom_side_tells_what_ones_own_loom_makes_of_the_plan():
    oak = "Loom: Oak; width 120 cm; shafts 8; heddles 300; reeds 40/10"
    narrow = "Loom: Ash; width 30 cm; shafts 4; reeds 60/10"
    told = at_the_loom(f"{oak}\n{narrow}", sett="16 /cm")
    # 16 ends per cm in 4 dents per cm are four to a dent
    assert "Your loom Oak: reed 40/10, 4 in the dents. It holds this warp." in told
    assert "Your loom Ash: reed 60/10" in told
    short = told.split("Your loom Ash")[1]
    assert "short of weaving width" in short
    assert "short of ground shafts" in short
    assert "Your loom" not in at_the_loom("")
