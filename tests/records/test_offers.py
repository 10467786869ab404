"""What own records offer beside the fields of a form: which cloths speak, and with which figure."""

import pytest

from calculators.engine.reading import read_inputs
from calculators.quantities.parse import parse_loss
from calculators.records.book import read_records
from calculators.records.offers import from_records
from calculators.registry import calculator, registry

TWO = """\
Towels I; 16/2 cotton; satin_5; oak; length 5.5 %
Towels II; 16/2 cotton; satin_5; oak; length 5.5 %; waste 150 cm
Sheers; 40/2 cotton; plain; oak; length 9.5 %; width 7 %"""


def offers(name, inputs, lines=TWO, world="metric"):
    asked = calculator(name)
    readings, _ = read_inputs(asked, inputs)
    book = read_records(lines)
    every = from_records(asked, readings, book, world)
    return {one.field: one for one in every if not one.button.startswith("Use all")}


def all_at_once(name, inputs, lines=TWO):
    asked = calculator(name)
    readings, _ = read_inputs(asked, inputs)
    every = from_records(asked, readings, read_records(lines), "metric")
    return [one for one in every if one.button.startswith("Use all")]


def test_the_plan_is_offered_what_cloths_of_its_kind_lost():
    offered = offers("cloth-plan", {"warp_yarn": "16/2", "weave": "satin_8"})
    assert set(offered) == {"length_shrinkage", "loom_waste"}
    length = offered["length_shrinkage"]
    assert length.words.startswith("Your records: 5.5 %, 2 cloths")
    # F-128: the usual 8 % counts for half a cloth
    assert length.values == {"length_shrinkage": f"{(0.5 * 8 + 2 * 5.5) / 2.5:g} %"}
    assert length.origin == "from your records, 2 cloths"
    assert "1 cloth;" in offered["loom_waste"].words


def test_a_cloth_of_another_kind_does_not_speak():
    assert offers("cloth-plan", {"warp_yarn": "30/2", "weave": "satin_5"}) == {}
    assert offers("cloth-plan", {"warp_yarn": "16/2", "weave": "plain"}) == {}
    assert set(offers("cloth-plan", {"warp_yarn": "40/2", "weave": "plain"})) == {
        "length_shrinkage",
        "width_shrinkage",
    }


def test_a_range_is_offered_where_a_range_stands():
    given = {"warp_yarn": "16/2", "weave": "satin_5"}
    one = offers("cloth-plan", given | {"length_shrinkage": "5–8–12 %"})
    typed = parse_loss(one["length_shrinkage"].values["length_shrinkage"])
    assert typed.likely == pytest.approx(0.06)
    assert typed.low < typed.likely < typed.high


def test_lengths_are_offered_in_the_readers_world():
    given = {"warp_yarn": "16/2", "weave": "satin_5"}
    for world, unit in (("metric", "cm"), ("imperial", "in")):
        waste = offers("cloth-plan", given, world=world)["loom_waste"]
        assert waste.values["loom_waste"].split()[-1] == unit
        assert f"the usual {'140 cm' if unit == 'cm' else '55 1/8 in'}" in waste.words


def test_the_next_guess_is_offered_the_records_themselves_and_nothing_twice():
    (one,) = offers("next-guess", {}).values()
    assert read_records(one.values["records"]) == read_records(TWO)


def test_without_a_readable_yarn_or_weave_nothing_is_offered():
    assert offers("cloth-plan", {"warp_yarn": "sixteen"}) == {}
    assert offers("winding", {}) == {}


def test_all_that_the_records_know_is_offered_at_once():
    given = {"warp_yarn": "16/2", "weave": "satin_5"}
    (whole,) = all_at_once("cloth-plan", given)
    each = offers("cloth-plan", given)
    assert dict(whole.values) == {name: one.values[name] for name, one in each.items()}
    assert whole.button == f"Use all {len(each)}"
    assert all_at_once("cloth-plan", given, TWO.splitlines()[0]) == []


def test_a_form_without_a_weave_hears_of_which_cloths_the_figures_are():
    warp = offers("warp", {"yarn": "16/2 cotton"})
    assert set(warp) == {"length_shrinkage", "loom_waste"}
    assert "2 cloths of 16/2 cotton, five-end satin" in warp["length_shrinkage"].words
    grid = offers("unit-grid", {})
    assert "3 cloths of several kinds" in grid["length_shrinkage"].words
    assert "1 cloth of 40/2 cotton, plain weave" in grid["width_shrinkage"].words


def test_what_is_offered_can_be_typed_everywhere():
    for name, asked in registry().items():
        for one in offers(name, {"weave": "satin_5"} if name == "cloth-plan" else {}).values():
            readings, errors = read_inputs(asked, dict(one.values))
            assert not errors, (name, one)
            assert set(one.values) <= set(readings)
