"""The four calculators of the yarn room, through the contract that page and command line use."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.contract import run
from calculators.engine.sources import formulas, sources
from calculators.yarn.calculators import CALCULATORS, count_systems
from calculators.yarn.systems import SYSTEMS, count_of, rounded_tex

FIELDS = [(one.id, field.name) for one in CALCULATORS for field in one.fields]


def results(name, **inputs):
    found = run(name, inputs)
    assert found["ok"], found
    return {key: result["value"] for key, result in found["results"].items()}


def refusal(name, **inputs):
    found = run(name, inputs)
    assert not found["ok"], found
    return found["errors"]


def test_the_four_calculators_keep_their_codes_and_names():
    assert [(one.code, one.id) for one in CALCULATORS] == [
        ("C-1", "yarn-count"),
        ("C-2", "folded-yarn"),
        ("C-3", "unknown-yarn"),
        ("C-4", "cone"),
    ]


@pytest.mark.parametrize("name", [one.id for one in CALCULATORS])
def test_the_worked_example_answers_with_steps_and_known_sources(name):
    found = run(name)
    assert found["ok"]
    assert found["steps"]
    assert found["notes"]
    assert not found["cautions"]
    assert all(step["formula"] in formulas() for step in found["steps"])
    assert set(found["sources"]) <= set(sources())


def test_formulas_one_to_nineteen_have_known_sources():
    for number in range(1, 20):
        formula = formulas()[f"F-{number}"]
        assert formula["equation"]
        assert formula["symbols"]
        assert set(formula["sources"]) <= set(sources())


def test_a_count_in_every_system():
    found = results("yarn-count", yarn="16/2", system="cotton")
    assert found["yards_per_pound"] == 6720
    assert found["cotton_count"] == 8
    assert found["linen_lea"] == pytest.approx(22.4)  # ASTM D2260: 2.8 lea to a cotton count
    assert found["worsted_count"] == pytest.approx(12)  # 1.5
    assert found["woollen_run"] == pytest.approx(4.2)  # 0.525
    assert found["tex"] == pytest.approx(590.541247448 / 8)
    assert found["metric_count"] == pytest.approx(8 * 1.69336181735)
    assert found["metres_per_kilogram"] == pytest.approx(8000 * 1.69336181735)
    assert found["decitex"] == pytest.approx(10 * found["tex"])
    assert found["denier"] == pytest.approx(9 * found["tex"])
    assert found["plies"] == 2
    assert found["diameters_per_inch"] == pytest.approx(0.9 * 6720**0.5)
    assert found["diameter"] == pytest.approx(25.4 / found["diameters_per_inch"])


def test_a_direct_count_is_worked_by_its_own_formula():
    step = run("yarn-count", {"yarn": "2/70 den"})["steps"][0]
    assert step["formula"] == "F-2"
    assert step["working"].endswith(" tex × 70 × 2 = 15.56 tex")


def test_the_readings_of_a_label_are_shown_and_the_one_used_named():
    found = run("yarn-count", {"yarn": "60/2 spun silk"})
    text = " ".join(found["notes"])
    assert "Read as 60s spun silk" in text
    assert "Could also mean 60s singles, two-ply" in text
    assert "not cotton count" in text
    assert [row[0].endswith("(used)") for row in found["tables"]["readings"]["rows"]] == [
        *(True, False, False)
    ]


def test_a_label_with_its_own_system_leaves_the_field_aside():
    by_label = results("yarn-count", yarn="40/2 lea", system="cotton")
    by_field = results("yarn-count", yarn="40/2", system="linen")
    assert by_label == by_field


def test_folding_and_the_difference_rule():
    found = results("folded-yarn", yarns="60, 40", system="cotton")
    assert found["resultant"] == pytest.approx(24)  # Taylor
    assert found["side_by_side"] == pytest.approx(48)
    assert found["tex"] == pytest.approx(590.541247448 / 24)
    assert "partner" not in found
    assert results("folded-yarn", known="60", wanted="24")["partner"] == pytest.approx(40)
    partner = results("folded-yarn", yarns="48, 24", wanted="10")["partner"]
    assert partner == pytest.approx(80 / 3)  # Davis
    assert results("folded-yarn", yarns="64, 48, 32")["side_by_side"] == pytest.approx(44 + 4 / 13)
    assert results("folded-yarn", yarns="16/2, 30/2")["resultant"] == pytest.approx(120 / 23)


def test_folding_direct_counts_adds_them():
    found = results("folded-yarn", yarns="37, 20", system="tex", wanted="100")
    assert found["resultant"] == pytest.approx(57)
    assert found["side_by_side"] == pytest.approx(28.5)
    assert found["partner"] == pytest.approx(43)


def test_silk_folds_by_its_finished_count():
    assert results("folded-yarn", yarns="60/2, 60/2", system="spun_silk")[
        "resultant"
    ] == pytest.approx(30)


@pytest.mark.parametrize(
    ("inputs", "field", "words"),
    [
        ({"yarns": "60"}, "yarns", "one single yarn"),
        ({"yarns": "60,40"}, "yarns", "one single yarn"),
        ({"yarns": ""}, "yarns", "empty"),
        ({"yarns": "60, words"}, "yarns", "no count system"),
        ({"known": "60"}, "wanted", "not the yarn that shall come of it"),
        ({"known": "60, 40", "wanted": "24"}, "wanted", "as thick as"),
        ({"known": "60, 0", "wanted": "24"}, "known", "has a 0"),
    ],
)
def test_folding_that_cannot_be(inputs, field, words):
    error = refusal("folded-yarn", **inputs)[0]
    assert error["field"] == field
    assert words in error["message"]
    assert error["hint"]


def test_an_unknown_yarn():
    found = run(
        "unknown-yarn",
        {"length": "120 yd", "mass": "25 grains", "scale_step": "0", "length_off": "0"},
    )
    value = {key: result["value"] for key, result in found["results"].items()}
    assert value["cotton_count"] == pytest.approx(40)  # Brooks
    assert value["linen_lea"] == pytest.approx(112)
    assert value["tex_low"] == value["tex"] == value["tex_high"]
    open_one = run(
        "unknown-yarn",
        {"length": "10 m", "mass": "0.74 g", "scale_step": "0.02 g", "length_off": "0"},
    )
    assert open_one["results"]["tex_low"]["value"] == pytest.approx(73)
    assert open_one["results"]["tex_high"]["value"] == pytest.approx(75)
    nearest = open_one["tables"]["nearest"]["rows"]
    assert nearest[0][0] == "cotton 16/2"
    assert nearest[0][2] == pytest.approx(-0.246, abs=0.001)  # 73.818 ÷ 74 − 1, in per cent
    assert nearest[0][3] == "yes"


def test_the_rounded_tex_keeps_near_and_stays_as_it_is():
    """ISO 2947 keeps within 2 % as far as possible; half a step of the coarsest gap is 3.8 %."""
    for whole in range(1, 4_000):
        exact = whole * 0.37
        rounded = rounded_tex(exact)
        assert abs(rounded / exact - 1) < 0.04
        assert rounded_tex(rounded) == rounded
        assert rounded_tex(10 * exact) == pytest.approx(10 * rounded)
    # from memory: how the tables of the standard turn cotton 20s, 60s and 30s into tex
    assert [rounded_tex(590.5412 / count) for count in (20, 30)] == [30, 20]


def test_equal_weights_have_their_own_mean_and_a_french_count_is_half_the_metric():
    yarns = {"yarns": "60, 40, 30"}
    found = run("folded-yarn", yarns)["results"]
    metres = sum(1 / (590.5412 / count) for count in (60, 40, 30))  # km in a gram of each
    assert found["equal_masses"]["value"] == pytest.approx(590.5412 * metres / 3)
    assert found["equal_masses"]["value"] > found["side_by_side"]["value"]
    direct = run("folded-yarn", {"yarns": "20 tex, 30 tex", "system": "tex"})["results"]
    assert direct["equal_masses"]["value"] == pytest.approx(24)
    label = run("yarn-count")["results"]
    assert label["french_count"]["value"] == pytest.approx(label["metric_count"]["value"] / 2)


def test_a_coarse_scale_earns_a_caution_with_the_length_to_weigh():
    found = run("unknown-yarn", {"length": "1 m", "mass": "0.07 g", "scale_step": "0.01 g"})
    assert "14.3 %" in found["cautions"][0]
    assert "7.143 m" in found["cautions"][0]  # 0.005 g is 1 % of 0.5 g, and 0.5 g is 1/140 of 70 g


def test_a_sample_no_yarn_could_weigh():
    error = refusal("unknown-yarn", length="2 cm", mass="5 kg")[0]
    assert error["field"] == "mass"
    assert "thicker than any yarn" in error["message"]


def test_what_is_left_on_a_cone():
    inputs = {"gross": "1 lb", "empty": "0", "yarn": "16/2", "scale_step": "0", "tolerance": "0"}
    found = results("cone", **inputs)
    assert found["length"] == pytest.approx(6720 * 0.9144)
    assert found["net_mass"] == pytest.approx(453.59237)
    assert found["length_low"] == pytest.approx(found["length"])
    open_one = results("cone", **{**inputs, "tolerance": "5 %"})
    assert open_one["length_low"] == pytest.approx(found["length"] / 1.05)
    assert open_one["length_high"] == pytest.approx(found["length"] / 0.95)


def test_a_cone_too_light_to_tell_is_said():
    found = run("cone", {"gross": "46 g", "empty": "46 g"})
    assert found["results"]["length"]["value"] == 0
    assert "cannot tell" in found["cautions"][0]
    assert refusal("cone", gross="20 g")[0]["field"] == "empty"


def test_the_table_of_systems_has_them_all():
    rows = {row[0]: row for row in count_systems().rows}
    assert len(rows) == len(SYSTEMS)
    assert rows["cotton count"][4] == pytest.approx(1693.36181735)
    assert rows["spun silk count"][5] == "the finished yarn"
    assert rows["jute count"][3] == "thicker"


@given(
    st.sampled_from(FIELDS),
    st.one_of(
        st.text(max_size=60), st.sampled_from(["1e400", "NaN", "x" * 10_000, "🧶", "-1", "0"])
    ),
)
@settings(max_examples=5 * settings.default.max_examples)
def test_any_text_in_any_field_is_answered_or_refused_beside_it(place, text):
    name, field = place
    found = run(name, {field: text})
    if not found["ok"]:
        assert {error["field"] for error in found["errors"]} <= {
            other for one, other in FIELDS if one == name
        }
        assert all(error["message"] for error in found["errors"])


@given(st.integers(1, 200), st.integers(1, 6), st.sampled_from(["cotton", "linen", "metric"]))
@settings(max_examples=50, deadline=None)
def test_every_count_shown_is_the_same_yarn(count, fold, system):
    found = results("yarn-count", yarn=f"{count} {fold}-ply", system=system)
    for key, name in (
        ("cotton_count", "cotton"),
        ("linen_lea", "linen"),
        ("worsted_count", "worsted"),
        ("metric_count", "metric"),
        ("woollen_run", "woollen_run"),
        ("decitex", "decitex"),
        ("denier", "denier"),
        ("yards_per_pound", "yards_per_pound"),
    ):
        assert found[key] == pytest.approx(count_of(found["tex"], name), rel=1e-12)
