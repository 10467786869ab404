"""The weave and sett rooms' calculators, through the contract that everybody uses."""

import pytest

import calculators
from calculators.sett.calculators import CALCULATORS as SETT
from calculators.sett.reeds import REED_SYSTEMS
from calculators.sett.structures import CALCULATORS as WEAVE
from calculators.weave.library import WEAVES
from tests.every import of_every


def value(name, result, **inputs):
    done = calculators.run(name, inputs)
    assert done["ok"], done
    return done["results"][result]["value"]


def column(done, table, words):
    found = done["tables"][table]
    place = list(found["columns"]).index(words)
    return [row[place] for row in found["rows"]]


def refused(name, **inputs):
    done = calculators.run(name, inputs)
    assert not done["ok"]
    return done["errors"]


def test_names_and_codes_of_the_contract():
    assert {one.code: one.id for one in (*WEAVE, *SETT)} == {
        "C-10": "weave",
        "C-11": "satins",
        "C-12": "sett",
        "C-13": "sett-change",
        "C-14": "denting",
        "C-15": "reed-number",
    }


@pytest.mark.parametrize("one", [*WEAVE, *SETT], ids=lambda one: one.id)
def test_worked_example_answers_with_every_result(one):
    done = calculators.run(one.id, {})
    assert done["ok"]
    assert set(done["results"]) == {output.name for output in one.outputs}
    assert done["sources"]
    assert done["steps"]


@of_every(list(WEAVES))
def test_every_weave_answers(name):
    assert value("weave", "ends", weave=name) >= 2
    assert value("sett", "maximum", weave=name) > 10


def test_a_weave_by_name():
    assert value("weave", "intersections", weave="satin_8") == 2
    assert value("weave", "average_float", weave="satin_8") == 4
    assert value("weave", "longest_float", weave="satin_8") == 7
    assert value("weave", "warp_share", weave="satin_8") == pytest.approx(1 / 8)


def test_a_typed_matrix_takes_the_place_of_the_name():
    typed = {"weave": "satin_8", "matrix": "#.#. / .#.# / #.#. / .#.#"}
    assert value("weave", "ends", **typed) == 2
    assert value("weave", "ends", weave="", matrix="#.. / .#. / ..#") == 3
    assert [error["field"] for error in refused("weave", matrix="#. / ?")] == ["matrix"]
    assert [error["field"] for error in refused("weave", weave="", matrix="")] == ["weave"]


def test_lace_s_threads_are_listed_apart():
    done = calculators.run("weave", {"weave": "lace_6"})
    assert column(done, "threads", "Threads") == [
        "end 1, 3, 5, 6",
        "end 2, 4",
        "pick 1, 3",
        "pick 2, 4, 5, 6",
    ]
    assert any("tightest" in note for note in done["notes"])


def test_layers_are_warned_of():
    done = calculators.run("weave", {"matrix": "#.## / ..#. / ###. / #..."})
    assert any("comes apart" in caution for caution in done["cautions"])
    assert not calculators.run("weave", {})["cautions"]


def test_large_matrices_are_answered():
    rows = "/".join("." * place + "#" + "." * (69 - place) for place in range(70))
    assert value("weave", "ends", matrix=rows) == 70


def test_satins_of_the_contract():
    assert value("satins", "regular", ends="16") == 3
    done = calculators.run("satins", {"ends": "16"})
    assert column(done, "counters", "Satin move") == [3, 5, 7]
    assert column(done, "counters", "Leaning the other way") == [13, 11, 9]
    six = calculators.run("satins", {"ends": "6"})
    assert six["results"]["regular"]["value"] == 0
    assert six["tables"]["counters"]["rows"] in ([], ())
    assert len(six["tables"]["irregular"]["rows"]) == 6
    assert sum(column(six, "irregular", "Used here as six-end satin")) == 1
    assert any("broken twill" in note for note in calculators.run("satins", {"ends": "4"})["notes"])


@pytest.mark.parametrize("ends", ["2", "101", "4.5", "eight"])
def test_satins_that_cannot_be(ends):
    assert refused("satins", ends=ends)[0]["field"] == "ends"


@pytest.mark.parametrize(
    ("yarn", "weave", "sett"),
    # Common practice on cotton warps, no source.
    [
        ("8/2", "satin_5", 30),
        ("16/2", "plain", 30),
        ("16/2", "lace_6", 30),
        ("16/2", "satin_5", 46),
        ("16/2", "satin_6", 46),
        ("30/2", "satin_6", 69),
        ("8/2", "broken_twill_4", 29),
        ("16/2", "broken_twill_4", 45),
    ],
)
def test_common_practice_lies_in_the_range_of_the_form(yarn, weave, sett):
    inputs = {"warp_yarn": yarn, "weave": weave}
    low, high = (value("sett", name, **inputs) for name in ("working_low", "working_high"))
    assert low <= sett <= high


def test_ashenhurst_note_through_the_form():
    # Note by M. Faena: 8/2 cotton, plain, 26 ends.
    assert value("sett", "maximum", warp_yarn="8/2", weave="plain") == pytest.approx(26, abs=0.2)


def test_rules_side_by_side():
    done = calculators.run("sett", {"warp_yarn": "60 tex", "weave": "twill_2_2"})
    found = dict(
        zip(
            column(done, "methods", "Rule"),
            column(done, "methods", "Ends per inch"),
            strict=True,
        )
    )
    # GATE Textile Engineering 2006, question 66.
    assert found["Brierley, twill"] == pytest.approx(58.11, abs=0.1)
    assert len(set(column(done, "methods", "Source"))) >= 4


def test_a_thicker_weft_opens_the_sett_and_says_so():
    alone = value("sett", "maximum", warp_yarn="30/2", weave="satin_6")
    done = calculators.run(
        "sett",
        {"warp_yarn": "30/2", "weft_yarn": "16/1", "weft_system": "linen", "weave": "satin_6"},
    )
    assert done["results"]["maximum"]["value"] < alone
    assert done["results"]["maximum"]["basis"] == "worked out"
    assert any("thicker than the warp and lowers" in note for note in done["notes"])
    finer = calculators.run("sett", {"weft_yarn": "60/2"})
    assert any("finer than the warp and raises" in note for note in finer["notes"])


def test_an_empty_weft_is_the_warp_s_yarn():
    assert value("sett", "maximum", weft_yarn="") == value("sett", "maximum", weft_yarn="16/2")
    assert calculators.run("sett", {})["results"]["maximum"]["basis"] == "published"


def test_woollen_yarn_counts_as_soft():
    soft = calculators.run("sett", {"warp_yarn": "300 tex", "weave": "plain"})
    woollen = calculators.run(
        "sett", {"warp_yarn": "3", "warp_system": "woollen_run", "weave": "plain"}
    )
    assert woollen["ok"], woollen
    assert column(woollen, "methods", "Rule")[0] == "Ashenhurst, soft yarn"
    assert column(soft, "methods", "Rule")[0] == "Ashenhurst, firm yarn"


def test_firmness_moves_the_range():
    firm, loose = (value("sett", "working", firmness=name) for name in ("firm", "open"))
    assert firm > value("sett", "working") > loose
    assert refused("sett", firmness="drum-tight")[0]["field"] == "firmness"


def test_long_floats_are_warned_of():
    done = calculators.run("sett", {"warp_yarn": "2/1", "weave": "satin_12"})
    assert any("catch" in caution for caution in done["cautions"])
    assert not calculators.run("sett", {})["cautions"]


def test_common_practice_is_mentioned_where_it_is_known():
    assert any("46 per inch" in note for note in calculators.run("sett", {})["notes"])
    other = calculators.run("sett", {"warp_yarn": "20/2"})
    assert not any("Common practice" in note for note in other["notes"])


def test_sett_change_through_the_form():
    # Taylor 1909, web page 464: 103 plain → 137 1/3.
    same = {"sett": "103", "from_yarn": "16/2", "to_yarn": "16/2"}
    found = value("sett-change", "sett", **same, from_weave="plain", to_weave="twill_2_2")
    assert found == pytest.approx(137 + 1 / 3, abs=0.01)
    # The root rule: 60 of 40s → 73.5 of 60s; typed in metric units.
    found = value(
        "sett-change",
        "sett",
        sett="23.622 /cm",
        from_yarn="40/1",
        to_yarn="60/1",
        from_weave="plain",
        to_weave="plain",
    )
    assert found == pytest.approx(73.48, abs=0.01)


def test_denting_through_the_form():
    done = calculators.run(
        "denting", {"sett": "32 epi", "reeds": "12", "ends_per_unit": "8", "ends": ""}
    )
    # Weaving magazine, question column: 2-3-3 in a 12-dent reed.
    assert "2-3-3" in column(done, "choices", "Ends in the dents")
    assert done["results"]["best_sett"]["value"] == 32
    assert not any(name.startswith("Width") for name in done["tables"]["choices"]["columns"])
    assert any("uneven" in caution for caution in done["cautions"])


def test_denting_in_metric_units():
    done = calculators.run(
        "denting", {"sett": "24 /cm", "reeds": "80/10, 45/10", "ends_per_unit": "5"}
    )
    assert done["results"]["best_order"]["value"] == "3"
    assert done["results"]["best_sett"]["value"] == pytest.approx(60.96)
    assert any("do not begin at a dent" in caution for caution in done["cautions"])


def test_denting_says_when_no_reed_suits():
    done = calculators.run("denting", {"sett": "300", "reeds": "10"})
    assert any("none of these reeds suits" in caution for caution in done["cautions"])


def test_denting_rows_add_up():
    done = calculators.run("denting", {})
    rows = zip(
        column(done, "choices", "Dents per inch"),
        column(done, "choices", "Ends in the dents"),
        column(done, "choices", "Ends per inch"),
        strict=True,
    )
    for dents, order, sett in rows:
        ends = [int(part) for part in order.split("-")]
        assert dents * sum(ends) / len(ends) == pytest.approx(sett, abs=0.006)


@pytest.mark.parametrize("reeds", ["", "fine", "0", "60 ells", "8, -3"])
def test_reeds_that_cannot_be(reeds):
    assert refused("denting", reeds=reeds)[0]["field"] == "reeds"


@pytest.mark.parametrize(
    ("reed", "system", "goal", "printed", "within"),
    [
        ("60", "stockport", "dents_per_inch", 30, 1e-9),  # Taylor 1909, web page 243
        ("33", "dents_per_inch", "bolton", 40, 0.02),  # Brooks 1892, p. 148
        ("100/10", "dents_per_inch", "dents_per_inch", 25.4, 1e-9),  # definition of the inch
        ("12 porter", "leeds", "dents_per_inch", 12 * 20 / 37, 1e-9),  # Spons, Jute
    ],
)
def test_reed_number_through_the_form(reed, system, goal, printed, within):
    found = value("reed-number", goal, reed=reed, system=system)
    assert found == pytest.approx(printed, abs=within)


def test_reed_number_answers_in_every_system():
    done = calculators.run("reed-number", {"reed": "12", "system": "leeds"})
    assert set(done["results"]) == set(REED_SYSTEMS)
    assert any("50.67" in note for note in done["notes"])


def test_a_system_written_with_the_number_is_preferred_and_said():
    done = calculators.run("reed-number", {"reed": "60/10", "system": "leeds"})
    assert any("written with the number" in note for note in done["notes"])


@pytest.mark.parametrize("reed", ["", "reed", "0", "12 ells"])
def test_reed_numbers_that_cannot_be(reed):
    assert refused("reed-number", reed=reed)[0]["field"] == "reed"


def test_the_back_and_the_change_of_a_weave_are_listed():
    """A 2/1 twill on three ends: the back is turned over like a page, so the last end is first."""
    rows = calculators.run("weave", {"weave": "", "matrix": "#.# / ##. / .##"})["tables"]["lifts"]
    assert rows["columns"] == ["Pick", "Ends up", "Seen from the back", "Warp and weft changed"]
    assert rows["rows"] == [[1, "2, 3", "3", "1"], [2, "1, 2", "1", "3"], [3, "1, 3", "2", "2"]]


def test_turns_counted_on_a_ruler_stand_beside_the_rules():
    """Ten turns make seven ends of plain cloth (Osterkamp, 2004): 10 ÷ 0.7 ÷ 2 to the inch."""
    plain = calculators.run("sett", {"weave": "plain", "wraps": "10"})["tables"]["methods"]["rows"]
    assert plain[-1][0] == "Ruler turns ÷ 0.7, counted"
    assert plain[-1][1] == pytest.approx(10 / 0.7 / 2)
    assert len(calculators.run("sett", {"weave": "plain"})["tables"]["methods"]["rows"]) == (
        len(plain) - 1
    )


def told(name, **inputs):
    return {step["words"]: step["working"] for step in calculators.run(name, inputs)["steps"]}


def test_of_all_dentings_the_best_one_is_told():
    """60 dents in 10 cm are 15.24 an inch, and three ends in each 45.72; the 8-dent reed is out."""
    steps = told("denting", sett="46", reeds="8, 60/10", ends_per_unit="6", yarn="16/2")
    assert steps["Sett of a sleying order"] == "15.24 per inch × 3 ÷ 1 = 45.7 per inch"
    assert steps["Ends in a dent, on the average"].startswith("46 per inch ÷ 15.24 per inch = 3.0")
    assert "Dents in an inch" not in steps


def test_of_all_rules_the_one_that_is_used_is_told():
    """A weft four times as heavy is twice as thick: half as many lie side by side."""
    alike = told("sett", warp_yarn="16/2", weave="plain")
    assert [name for name in alike if "limit" in name] == ["Ashenhurst's limit"]
    unlike = told("sett", warp_yarn="60 tex", weft_yarn="240 tex", weave="plain")
    assert (
        unlike["Weft threads side by side in an inch"]
        .split(" × ")[1]
        .startswith("√(60 tex ÷ 240 tex) = 40.9")
    )
    assert "Ends and intersections, unlike yarns" in unlike
    assert not any("limit" in name for name in unlike)
