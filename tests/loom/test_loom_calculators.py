"""The loom room's forms: contract names, the worked check, ranges, cautions."""

from math import isclose, isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators import run
from calculators.engine.reading import read_inputs
from calculators.engine.versions import as_of
from calculators.errors import InputError
from calculators.loom.calculators import CALCULATORS
from calculators.quantities.interval import Range

ROOM = {one.id: one for one in CALCULATORS}
CONTRACT = {
    "warp": (
        "ends yarn system pieces finished_length hem_depth hem_turns hem gap sample "
        "length_shrinkage take_up loom_waste",
        "warp_length yarn_length yarn_mass waste_share yarn_to_have",
    ),
    "weft": (
        "reed_width picks woven_length yarn system turn_allowance",
        "yarn_length yarn_mass picks_total yarn_to_have",
    ),
    "winding": (
        "ends threads_in_hand bout_ends warp_length circumference ends_per_unit",
        "passes cross_groups groups_per_unit bouts turns walked",
    ),
    "harness": (
        "units ends_per_unit ground_shafts weight_each",
        "pattern_heddles ground_heddles_per_shaft cords harness_mass",
    ),
    "rhythm": (
        "woven_length picks temple_step advance_step picks_per_minute picks_per_pirn",
        "temple_moves advances picks_total pirns hours",
    ),
}


def ask(name, **typed):
    chosen = ROOM[name]
    readings, errors = read_inputs(chosen, as_of(1, name, typed))  # the first edition's examples
    assert not errors, [error.message for error in errors]
    return chosen.answer({key: reading.value for key, reading in readings.items()})


@pytest.mark.parametrize("name", CONTRACT)
def test_fields_and_results_are_those_of_the_contract(name):
    fields, results = CONTRACT[name]
    needed = {field.name for field in ROOM[name].fields if field.required}
    assert needed <= set(fields.split()) <= {field.name for field in ROOM[name].fields}
    always = [one.name for one in ROOM[name].outputs if not one.name.startswith("second_")]
    assert always == results.split()
    assert set(ask(name).results) == set(results.split())


def test_the_worked_check_of_the_warp():
    answer = ask("warp", yarn="16/1", system="linen")
    assert round(answer.results["warp_length"], 3) == 5.366
    assert round(answer.results["yarn_length"]) == 6831
    assert round(answer.results["yarn_mass"]) == 706
    assert round(answer.results["waste_share"]) == 26
    assert any("70 %" in note for note in answer.notes)


def test_the_worked_check_of_the_weft():
    found = ask(
        "weft", yarn="16/1 lea", reed_width="52.6316 cm", woven_length="374.1304 cm"
    ).results
    assert round(found["yarn_length"]) == 4861
    assert round(found["yarn_mass"]) == 502
    assert found["picks_total"] == 9054


def test_a_turn_may_be_a_length_or_a_share():
    share = ask("weft", reed_width="50 cm", turn_allowance="2 %").results["yarn_length"]
    for same in ("1 cm", "1", "10 mm", "2 percent", "2 per cent", "0.01 m", "２％"):
        found = ask("weft", reed_width="50 cm", turn_allowance=same).results["yarn_length"]
        assert isclose(found, share)
    assert ask("weft", turn_allowance="20 cm").cautions
    for bad in ("a little", "120 %", "2 g", "9000 km"):
        with pytest.raises(InputError) as caught:
            ask("weft", turn_allowance=bad)
        assert caught.value.field == "turn_allowance"


def test_yarn_to_have_uses_the_safe_end():
    answer = ask("warp", length_shrinkage="5–8–12 %", take_up="4–6–9 %")
    mass = answer.results["yarn_mass"]
    assert isinstance(mass, Range)
    worst = ask("warp", length_shrinkage="12 %", take_up="9 %").results["yarn_mass"]
    best = ask("warp", length_shrinkage="5 %", take_up="4 %").results["yarn_mass"]
    assert isclose(mass.high, worst)
    assert isclose(mass.low, best)
    assert any("safe end" in note for note in answer.notes)
    assert answer.results["waste_share"].low < answer.results["waste_share"].high


def test_yarn_to_have_leaves_enough_after_winding():
    answer = ask("warp", winding_waste="2–4–5 %")
    left = answer.results["yarn_to_have"] * 0.95
    assert isclose(left, answer.results["yarn_mass"])
    none = ask("warp", winding_waste="").results
    assert none["yarn_to_have"] == none["yarn_mass"]


def test_a_second_warp_has_its_own_take_up():
    answer = ask("warp", second_ends="20", second_yarn="8/2 cotton", second_take_up="20 %")
    woven = 6 * 52 / 0.92 + 5 + 30
    length = (woven * 1.2 + 140) / 100
    assert isclose(answer.results["second_warp_length"], length)
    assert isclose(answer.results["second_yarn_length"], 20 * length)
    grams_per_metre = 453.59237 / (4 * 840 * 0.9144)  # 8/2: four hanks of 840 yards to the pound
    assert isclose(answer.results["second_yarn_mass"], 20 * length * grams_per_metre)
    assert answer.results["warp_length"] == ask("warp").results["warp_length"]
    like = ask("warp", second_ends="20", second_yarn="8/2 cotton").results
    assert like["second_warp_length"] == like["warp_length"]


def test_a_second_weft_is_a_sum_of_its_own():
    alone = ask("weft").results
    found = ask("weft", second_yarn="40/1 lea", second_picks="12.1 /cm").results
    assert isclose(found["second_yarn_mass"], alone["yarn_mass"] / 2)
    assert found["yarn_mass"] == alone["yarn_mass"]
    assert found["second_picks_total"] == 4526  # 374 × 12.1 = 4525.4
    each = ask("weft", second_yarn="40/1 lea").results
    assert isclose(each["second_yarn_to_have"], each["yarn_to_have"])


@pytest.mark.parametrize(
    ("name", "typed", "field"),
    [
        ("warp", {"second_ends": "20"}, "second_yarn"),
        ("warp", {"second_yarn": "8/2"}, "second_ends"),
        ("weft", {"second_picks": "12 /cm"}, "second_yarn"),
    ],
)
def test_half_a_second_yarn_is_asked_about(name, typed, field):
    with pytest.raises(InputError) as caught:
        ask(name, **typed)
    assert caught.value.field == field


def test_a_range_of_turns_gives_a_range_of_weft():
    found = ask("weft", turn_allowance="1–2–4 %").results
    assert isclose(found["yarn_mass"].likely, ask("weft").results["yarn_mass"])
    assert isclose(found["yarn_mass"].high, ask("weft", turn_allowance="4 %").results["yarn_mass"])
    assert isclose(found["yarn_to_have"] * 0.98, found["yarn_mass"].high)


def test_a_warp_without_waste_is_doubted():
    answer = ask("warp", loom_waste="0", pieces="1")
    assert any("No loom waste" in caution for caution in answer.cautions)
    assert answer.results["waste_share"] == 0


def test_winding_in_units():
    answer = ask("winding")
    assert answer.results["groups_per_unit"] == 3
    assert answer.results["passes"] == answer.results["cross_groups"] == 640
    assert isclose(answer.results["turns"], 5.37 / 2)
    assert isclose(answer.results["walked"], 640 * 5.37)
    assert answer.cautions == ()


def test_winding_says_where_groups_and_units_part():
    answer = ask("winding", ends="1273", threads_in_hand="4", bout_ends="90", ends_per_unit="5")
    said = " ".join(answer.cautions)
    assert "braid" in said
    assert "every 4 units" in said
    assert "not a whole number of passes" in said
    assert "The last pass carries 1 instead of 4" in said


def test_winding_spreads_the_groups():
    # 444 ends, two in the hand: 111 loops over 105 spaces (Swedish note, 2010: 6 too many)
    table = ask("winding", ends="444", spaces="105").tables["spread"]
    assert table.rows == ((1, 99), (2, 6))
    assert "spread" not in ask("winding", spaces="").tables


def test_the_harness():
    answer = ask("harness")
    assert answer.results == {
        "pattern_heddles": 253,
        "ground_heddles_per_shaft": 253,
        "cords": 253,
        "harness_mass": 10.12,
    }
    assert answer.cautions == ()
    assert ask("harness", units="300", weight_each="60 g").results["harness_mass"] == 18
    assert ask("harness", different_columns="40").results["cords"] == 40


def test_the_entering_is_told_until_it_repeats():
    rows = ask("harness", ends_per_unit="6", ground_shafts="8").tables["entering"].rows
    assert rows == (
        (1, "1–6", "1 2 3 4 5 6"),
        (2, "7–12", "7 8 1 2 3 4"),
        (3, "13–18", "5 6 7 8 1 2"),
        (4, "19–24", "3 4 5 6 7 8"),
    )


def test_a_loom_too_small_is_said_so():
    answer = ask(
        "harness",
        loom_pattern_heddles="200",
        loom_ground_shafts="5",
        loom_ground_heddles="253",
        loom_cords="300",
        loom_carries="9 kg",
    )
    assert len(answer.cautions) == 2
    assert "pattern heddles: 253 needed, 200 there" in answer.cautions[0]
    assert "weight in the pattern harness: 10.12 kg" in answer.cautions[1]
    assert len(answer.tables["capacity"].rows) == 5
    heavy = ask("harness", weight_each="100 g")
    assert any("in portions" in caution for caution in heavy.cautions)
    assert any("16 kg" in caution and "from memory" in caution for caution in heavy.cautions)


def test_the_pace():
    answer = ask("rhythm")
    assert answer.results["picks_total"] == 9051
    assert answer.results["temple_moves"] == 187
    assert answer.results["pirns"] == 61
    assert isclose(answer.results["hours"], 374 * 24.2 / 5 / 60)
    assert answer.cautions == ()
    assert ask("rhythm", temple_step="4 cm").cautions


def test_the_cost_adds_up():
    found = ask("cost").results
    parts = ("yarn_cost", "labour", "other_costs", "overhead_cost")
    assert isclose(sum(found[name] for name in parts), found["total"])
    assert isclose(found["per_piece"] * 6, found["total"])
    assert isclose(found["other_costs"], 9.5)
    assert ask("cost", other="").results["other_costs"] == 0
    assert isinstance(ask("cost", overhead="5–10–20 %").results["total"], Range)
    pound = 0.45359237  # kg, by the agreement of 1959
    per_pound = run("cost", {"yarn_mass": "2 lb", "yarn_price": "30"}, "inch")
    assert per_pound["results"]["yarn_cost"]["value"] == pytest.approx(60)
    per_kilogram = ask("cost", yarn_mass="2 kg", yarn_price="30 / lb")
    assert per_kilogram.results["yarn_cost"] == pytest.approx(60 / pound)
    free = ask("cost", yarn_price="0", rate="0", other="", overhead="0")
    assert free.results["total"] == 0


@pytest.mark.parametrize("bad", ["thread", "thread five", "a 1;" * 100, "x" * 10_000, "; 🧵"])
def test_other_lines_that_hold_no_amount_are_refused(bad):
    with pytest.raises(InputError) as caught:
        ask("cost", other=bad)
    assert caught.value.field == "other"


@given(
    st.integers(1, 100_000),
    st.integers(1, 100),
    st.floats(0.1, 1e5),
    st.floats(0, 60),
    st.floats(0, 99),
    st.floats(0, 1e5),
)
def test_every_warp_has_a_finite_answer(ends, pieces, length, wash, take_up, waste):
    found = ask(
        "warp",
        ends=str(ends),
        pieces=str(pieces),
        finished_length=f"{length:.3f} cm",
        length_shrinkage=f"{wash:.3f} %",
        take_up=f"{take_up:.3f} %",
        loom_waste=f"{waste:.3f} cm",
    ).results
    assert all(isfinite(value) and value >= 0 for value in found.values())
    assert found["waste_share"] <= 100


@given(st.integers(1, 100_000), st.integers(1, 100), st.integers(1, 5000), st.integers(1, 100))
def test_every_winding_has_an_answer(ends, threads, bout, in_unit):
    found = ask(
        "winding",
        ends=str(ends),
        threads_in_hand=str(threads),
        bout_ends=str(bout),
        ends_per_unit=str(in_unit),
    ).results
    assert found["passes"] * threads >= ends > (found["passes"] - 1) * threads
    assert found["bouts"] * bout >= ends > (found["bouts"] - 1) * bout


@pytest.mark.parametrize(
    ("in_unit", "in_heddle", "to_a_weight"),
    [("5", "", 1), ("5", "5", 1), ("5", "2", 3), ("6", "2", 3), ("5", "1", 5), ("6", "4", 2)],
)
def test_heddles_are_counted_for_the_way_of_entering(in_unit, in_heddle, to_a_weight):
    """Two ends an eye: a unit of five takes 2 + 2 + 1 ends, three heddles on one weight."""
    typed = {"ends_per_unit": in_unit, "ends_per_heddle": in_heddle}
    answer = ask("harness", **typed)
    assert answer.results["pattern_heddles"] == 253 * to_a_weight
    assert isclose(answer.results["harness_mass"], 253 * 0.04), "one weight to a unit all the same"
    planned = run("cloth-plan", typed)["results"]
    units = planned["units_across"]["value"]
    assert planned["pattern_heddles"]["value"] == units * to_a_weight
    short = ask(
        "harness", ends_per_unit=in_unit, ends_per_heddle=in_heddle, loom_pattern_heddles="253"
    )
    assert any("short of pattern heddles" in said for said in short.cautions) == (to_a_weight > 1)


def test_a_heddle_never_holds_ends_of_two_units():
    for name in ("harness", "cloth-plan"):
        said = run(name, {"ends_per_unit": "5", "ends_per_heddle": "6"})
        assert said["errors"][0]["field"] == "ends_per_heddle"


# Results that are right and foolish: for each, the last sensible input and the first foolish one.
# The limits stand beside their basis in the package; most are from memory.
FOOLISH = [
    ("winding", {"warp_length": "2 m"}, {"warp_length": "1.99 m"}, "shorter than once round"),
    ("winding", {"warp_length": "100 m", "ends": "96"}, {"warp_length": "101 m"}, "turns to one"),
    ("winding", {"warp_length": "20 m", "ends": "2000"}, {"ends": "2002"}, "20 km"),
    ("winding", {"threads_in_hand": "20"}, {"threads_in_hand": "21"}, "paddle has holes"),
    ("winding", {"bout_ends": "400"}, {"bout_ends": "402"}, "more than a hand can hold"),
    ("winding", {"bout_ends": "4"}, {"bout_ends": "2"}, "less than one loop"),
    ("winding", {"spaces": "640"}, {"spaces": "641"}, "stay empty"),
    ("winding", {"spaces": "32"}, {"spaces": "31"}, "pile up"),
    ("harness", {"ground_shafts": "3"}, {"ground_shafts": "2"}, "no figure"),
    ("harness", {"ground_shafts": "2"}, {"ground_shafts": "1"}, "binds nothing"),
    ("harness", {"ground_shafts": "24"}, {"ground_shafts": "25"}, "one clean shed"),
    (
        "harness",
        {"units": "10", "ground_shafts": "50"},
        {"ground_shafts": "51"},
        "more than there are ends",
    ),
    ("harness", {"ends_per_unit": "2"}, {"ends_per_unit": "1"}, "nothing to bind"),
    ("harness", {"ends_per_unit": "16"}, {"ends_per_unit": "17"}, "Taylor's largest"),
    ("harness", {"weight_each": "12 g"}, {"weight_each": "11.9 g"}, "Bell's are"),
    ("harness", {"weight_each": "90 g"}, {"weight_each": "91 g"}, "Bell's are"),
    ("harness", {"weight_each": "64 g", "units": "250"}, {"units": "251"}, "in portions"),
    ("rhythm", {"temple_step": "2.6 cm"}, {"temple_step": "2.7 cm"}, "edges draw in"),
    ("rhythm", {"temple_step": "0.5 cm"}, {"temple_step": "0.4 cm"}, "every few picks"),
    ("rhythm", {"woven_length": "6 cm"}, {"woven_length": "5.9 cm"}, "longer than the whole"),
    ("rhythm", {"advance_step": "8 cm"}, {"advance_step": "8.1 cm"}, "shed gets low"),
    ("rhythm", {"picks_per_minute": "20"}, {"picks_per_minute": "20.1"}, "2 to 8 are usual"),
    ("rhythm", {"picks_per_minute": "0.5"}, {"picks_per_minute": "0.49"}, "2 to 8 are usual"),
    ("rhythm", {"picks_per_pirn": "20"}, {"picks_per_pirn": "19"}, "changed every few minutes"),
    ("rhythm", {"picks_per_pirn": "2000"}, {"picks_per_pirn": "2001"}, "weigh a full one"),
    ("rhythm", {"picks": "80 /cm"}, {"picks": "81 /cm"}, "beaten by hand"),
    (
        "rhythm",
        {"woven_length": "30 m", "picks": "100 /cm", "picks_per_minute": "5"},
        {"woven_length": "30.1 m"},
        "half a year",
    ),
]


@pytest.mark.parametrize(("name", "sensible", "foolish", "words"), FOOLISH)
def test_what_is_right_and_foolish_is_said_just_past_its_limit(name, sensible, foolish, words):
    before, past = ask(name, **sensible), ask(name, **{**sensible, **foolish})
    assert not any(words in said for said in before.cautions)
    assert any(words in said for said in past.cautions)


@pytest.mark.parametrize(("units", "cords"), [(253, 127), (252, 126), (2, 1)])
def test_a_mirrored_design_has_half_the_columns(units, cords):
    """Counted: each column and its mirror image hang on one cord."""
    assert len({min(column, units - 1 - column) for column in range(units)}) == cords
    said = " ".join(ask("harness", units=str(units)).notes)
    assert f"needs {cords} cord{'s' * (cords > 1)} for" in said
    typed = ask("harness", units=str(units), different_columns=str(cords))
    assert typed.results["cords"] == cords
    assert "mirrored" not in " ".join(typed.notes)


@pytest.mark.parametrize(
    ("ends", "shafts", "alike"),
    [(5, 5, True), (10, 5, True), (5, 10, True), (6, 8, False), (5, 8, False)],
)
def test_units_that_begin_on_different_shafts_are_said(ends, shafts, alike):
    notes = ask("harness", ends_per_unit=str(ends), ground_shafts=str(shafts)).notes
    assert any("binding walks" in note for note in notes) is not alike
