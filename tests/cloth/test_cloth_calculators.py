"""The cloth room's forms: contract names, the worked check, ranges, cautions."""

from math import isclose, isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.cloth.calculators import CALCULATORS
from calculators.contract import calculate
from calculators.data import load
from calculators.engine.reading import read_inputs
from calculators.engine.sources import formulas
from calculators.errors import InputError
from calculators.loom.calculators import CALCULATORS as LOOM
from calculators.quantities.interval import Range
from tests.every import of_every

ROOM = {one.id: one for one in CALCULATORS}
FORMULAS = formulas()
SOURCES = {row["key"] for row in load("sources")["source"]}
CONTRACT = {
    "unit-grid": (
        "finished_width finished_length sett picks ends_per_unit picks_per_unit width_shrinkage "
        "length_shrinkage draw_in",
        "units_across units_up units_per_inch unit_width unit_height squareness picks "
        "picks_for_square reed_width pattern_ends ends warp_width_in_reed washed_width "
        "washed_width_edge washed_length",
    ),
    "take-up": ("weave picks weft_yarn weft_system multiplier", "take_up"),
    "cloth-weight": (
        "ends picks warp_yarn warp_system weft_yarn weft_system warp_crimp weft_crimp",
        "grams_per_square_metre cover_warp cover_weft area_covered",
    ),
    "crimp": ("yarn_length cloth_length", "crimp take_up"),
    "wash-test": ("before after", "change plan_factor"),
}


def ask(name, **typed):
    chosen = ROOM[name]
    readings, errors = read_inputs(chosen, typed)
    assert not errors, [error.message for error in errors]
    return chosen.answer({key: reading.value for key, reading in readings.items()})


@pytest.mark.parametrize("name", CONTRACT)
def test_fields_and_results_are_those_of_the_contract(name):
    fields, results = CONTRACT[name]
    there = {field.name for field in ROOM[name].fields}
    assert set(fields.split()) <= there
    optional = {field.name for field in ROOM[name].fields if not field.required}
    assert there - optional <= set(fields.split())
    assert [output.name for output in ROOM[name].outputs] == results.split()
    assert set(ask(name).results) == set(results.split())


@of_every({one.id: one for one in (*CALCULATORS, *LOOM)})
def test_every_formula_and_source_named_is_there(one):
    answer = calculate(one.id, {}).answer
    assert answer.steps
    for named in [*one.outputs, *answer.steps]:
        assert not named.formula or named.formula in FORMULAS
    assert answer.sources
    assert set(answer.sources) <= SOURCES
    for table in answer.tables.values():
        assert all(len(row) == len(table.columns) for row in table.rows)


def test_every_formula_leans_on_known_sources():
    for row in FORMULAS.values():
        assert set(row["sources"]) <= SOURCES
        assert row["basis"] in ("worked out", "published", "common practice", "from memory")


def test_the_worked_check():
    found = ask("unit-grid").results
    assert found["units_across"] == 253
    assert found["pattern_ends"] == 1265
    assert round(found["reed_width"], 2) == 52.63
    assert round(found["picks_for_square"] / 2.54, 1) == 24.2
    assert isclose(found["unit_width"], 1.9)
    assert isclose(found["units_per_inch"], 24 * 2.54 / 5)


def test_inches_give_the_same_cloth():
    metric = ask("unit-grid").results
    inches = ask(
        "unit-grid",
        finished_width="18.8976378 in",
        finished_length="18.8976378 in",
        sett="60.96 epi",
        picks="61.468 ppi",
    ).results
    for name, value in metric.items():
        assert isclose(value, inches[name], rel_tol=1e-6)


def test_units_too_short_are_said_and_mended():
    answer = ask("unit-grid", picks="25 /cm")
    assert round(answer.results["squareness"], 3) == 0.968
    assert any("shorter than wide" in caution for caution in answer.cautions)
    assert ask("unit-grid", picks="24.2 /cm").cautions == ()
    tall = ask("unit-grid", picks="20 /cm")
    assert any("taller than wide" in caution for caution in tall.cautions)


def test_mixed_picks_are_offered():
    answer = ask(
        "unit-grid",
        sett="100 epi",
        picks="150 ppi",
        ends_per_unit="3",
        picks_per_unit="4",
        width_shrinkage="0",
        length_shrinkage="0",
        draw_in="0",
    )
    rows = answer.tables["picks"].rows
    assert [row[0] for row in rows] == ["4", "4 and 5"]
    assert rows[1][1:] == (4.5, pytest.approx(1))
    assert "picks" not in ask("unit-grid", picks_per_unit="5").tables
    assert ask("unit-grid", picks_per_unit="4.5").tables["picks"].rows[0][0] == "4 and 5"


def test_a_range_of_losses_gives_ranges_that_hold_the_likely():
    found = ask("unit-grid", width_shrinkage="3–5–8 %", length_shrinkage="5–8–12 %").results
    for name in ("reed_width", "unit_width", "unit_height", "squareness", "picks_for_square"):
        assert isinstance(found[name], Range)
        assert found[name].low < found[name].likely < found[name].high
    alone = ask("unit-grid", width_shrinkage="8 %", length_shrinkage="5 %").results
    assert isclose(found["unit_width"].low, alone["unit_width"])
    assert isclose(found["unit_height"].high, alone["unit_height"])
    assert isclose(found["squareness"].high, alone["squareness"])
    units = found["washed_width"].likely / found["unit_width"].likely
    assert isclose(units, 253 / 10)  # the units in cm, one unit in mm
    assert found["washed_length"].low < 48 < found["washed_length"].high


def test_the_ends_at_hand_tell_the_width():
    table = ask("unit-grid", ends="1300", width_shrinkage="3–5–8 %").tables["back"]
    rows = {row[0]: row[1:] for row in table.rows}
    assert rows["whole units"] == (None, "258", None)
    assert rows["ends that make no unit, for the selvedges"] == (None, "2", None)
    assert rows["width in the reed, selvedges counted"][1].startswith("54.2 cm")
    assert [cell.split()[0] for cell in rows["width on the loom"]] == ["52"] * 3  # 1300 ÷ 25
    assert [cell.split()[0] for cell in rows["width washed"]] == ["47.8", "49.4", "50.4"]
    assert "back" not in ask("unit-grid").tables
    with pytest.raises(InputError, match="does not fit"):
        ask("unit-grid", ends="5", selvedge_ends="8")


def test_the_reed_width_of_the_rounded_units_stands_beside_the_wanted():
    found = ask("unit-grid").results
    assert found["ends"] == 253 * 5 + 8
    assert isclose(found["warp_width_in_reed"], 1273 / 24)
    assert ask("unit-grid", selvedge_ends="").results["ends"] == 1265


def test_margins_and_borders():
    rows = ask("unit-grid", margin="4", border="20", motif="24").tables["layout"].rows
    across = {row[0]: row[1] for row in rows if row[0].endswith("across")}
    assert across["centre across"] == 253 - 2 * 24
    assert across["whole motifs in the centre across"] == 205 // 24
    assert across["units left over for spacing across"] == 205 % 24
    alone = ask("unit-grid").tables["layout"].rows
    assert [row[0].split()[0] for row in alone] == ["selvedges,", "centre", "centre"]
    assert alone[0][1:] == (1.6, 8)
    with pytest.raises(InputError, match="no centre"):
        ask("unit-grid", margin="200")


def test_taylor_through_the_form():
    # TAY-427: five-end satin, 180 picks, 70s: about 4 per cent
    found = ask("take-up", weave="satin_5", picks="180 ppi", weft_yarn="70/1", multiplier="4")
    assert abs(found.results["take_up"] - 4) < 0.15
    assert found.cautions == ()
    coarse = ask("take-up", weave="plain", weft_yarn="8/2", multiplier="4")
    assert coarse.cautions


def test_weight_of_an_overfull_cloth_is_doubted():
    assert ask("cloth-weight").cautions == ()
    full = ask("cloth-weight", ends="40 /cm")
    assert any("warp alone" in caution for caution in full.cautions)
    loose = ask("cloth-weight", warp_crimp="2–6–10 %").results["grams_per_square_metre"]
    assert isinstance(loose, Range)


def test_crimp_and_wash():
    assert ask("crimp").results["crimp"] == 6
    found = ask("wash-test").results
    assert isclose(found["change"], -8)
    assert isclose(found["plan_factor"], 1 / 0.92)
    assert any("grown" in caution for caution in ask("wash-test", after="36 cm").cautions)
    assert any("35 cm" in caution for caution in ask("wash-test", before="33 cm").cautions)


@given(
    st.floats(0.1, 500),
    st.floats(0.1, 500),
    st.floats(0.2, 200),
    st.integers(1, 100),
    st.floats(0, 60),
    st.floats(0, 50),
)
def test_every_grid_has_a_finite_answer(width, sett, picks, ends, wash, draw_in):
    readings, errors = read_inputs(
        ROOM["unit-grid"],
        {
            "finished_width": f"{width:.4f} cm",
            "sett": f"{sett:.4f} /cm",
            "picks": f"{picks:.4f} /cm",
            "ends_per_unit": str(ends),
            "width_shrinkage": f"{wash:.4f} %",
            "draw_in": f"{draw_in:.4f} %",
        },
    )
    assert not errors
    answer = ROOM["unit-grid"].answer({key: one.value for key, one in readings.items()})
    assert all(isfinite(value) for value in answer.results.values())
    assert answer.results["pattern_ends"] == answer.results["units_across"] * ends


def test_the_catalogue_of_articles():
    catalogue = load("articles")
    names = [row["name"] for row in catalogue["article"]]
    assert len(names) == len(set(names))
    for row in catalogue["article"] + catalogue["rule"]:
        assert row["source"] in SOURCES
        assert row["basis"] in ("published", "common practice")
        assert (row["basis"] == "common practice") == (row["source"] == "trade-knowledge")
    weaves = {row["name"] for row in load("weaves")["weave"]}
    for row in catalogue["article"]:
        assert row["width_cm"] > 0
        assert row["length_cm"] > row["hem_cm"] >= 0
        assert row["unit_mm"] > 0
        assert row["structures"]
        assert all(name in weaves or name.startswith("satin_") for name in row["structures"])
