"""The whole plan: the worked check, recomputed in exact fractions, and what it warns of."""

from fractions import Fraction as F
from typing import Any

import pytest

import calculators
from calculators.engine.versions import as_of
from calculators.quantities.interval import Range

# Six linen napkins, 48 × 48 cm finished, 16-lea singles, five-end satin, 24 ends per cm in the
# reed. The arithmetic is done again here with fractions from the definitions of the yard and the
# pound and of the losses (ASTM D3883, ISO 5077), and rounded as a weaver would read it.
SW, SL, D, T = F(5, 100), F(8, 100), F(4, 100), F(6, 100)
TEX = F(45359237, 100000) / (300 * 16 * F(9144, 10000)) * 1000
LOOM_WIDTH = F(48) / (1 - SW)
REED_WIDTH = LOOM_WIDTH / (1 - D)
CLOTH_SETT = F(24) / (1 - D)
PIECE = F(52) / (1 - SL)
WOVEN = 6 * PIECE + 5 + 30
WARP = WOVEN * (1 + T) + 140
ENDS = 253 * 5 + 8
PICKS = CLOTH_SETT * (1 - SL) / (1 - SW)
IN_REED = F(1273, 24)  # all the ends; over the width wanted the weft would be 4 861 m and 502 g
WEFT = WOVEN * PICKS * IN_REED * F(102, 100)


def planned(typed: dict[str, str]) -> dict[str, Any]:
    """A plan of those napkins, which were the form's example once, with some fields typed anew."""
    return calculators.run("cloth-plan", as_of(1, "cloth-plan", typed))


@pytest.fixture(scope="module")
def napkins() -> dict[str, float]:
    linen = {"warp_yarn": "16/1", "warp_system": "linen"}
    linen |= {"weft_yarn": "16/1", "weft_system": "linen"}
    found = planned(linen)
    assert found["ok"], found
    return {name: result["value"] for name, result in found["results"].items()}


@pytest.mark.parametrize(
    ("name", "exact", "printed"),
    [
        ("loom_width", LOOM_WIDTH, 50.53),
        ("reed_width", REED_WIDTH, 52.63),
        ("cloth_sett", CLOTH_SETT, 25.0),
        ("piece_on_loom", PIECE, 56.52),
        ("woven_length", WOVEN / 100, 3.741),
        ("warp_length", WARP / 100, 5.366),
        ("warp_yarn_length", ENDS * WARP / 100, 6831),
        ("warp_yarn_mass", ENDS * WARP / 100 * TEX / 1000, 706),
        ("picks_for_square", PICKS * F(254, 100), 24.2 * 2.54),
        ("weft_yarn_length", WEFT / 100, round(4861 * 53.04 / 52.63)),
        ("weft_yarn_mass", WEFT / 100 * TEX / 1000, round(502 * 53.04 / 52.63)),
        ("waste_share", F(140) / WARP * 100, 26),
    ],
)
def test_worked_check(napkins: dict[str, float], name: str, exact: F, printed: float) -> None:
    assert napkins[name] == pytest.approx(float(exact), rel=1e-12)
    assert napkins[name] == pytest.approx(printed, rel=4e-3)


def test_worked_check_in_whole_numbers(napkins: dict[str, float]) -> None:
    units = LOOM_WIDTH * CLOTH_SETT / 5
    assert napkins["units_across"] == 253 == round(units)
    assert napkins["pattern_ends"] == 1265
    assert napkins["ends"] == 1273
    assert napkins["picks_total"] == pytest.approx(9050, abs=10)


def test_one_napkin_wastes_most_of_its_warp() -> None:
    found = planned({"pieces": "1", "sample": "0"})
    one = F(140) / (PIECE * (1 + T) + 140) * 100
    assert found["results"]["waste_share"]["value"] == pytest.approx(float(one))
    assert round(one) == 70


def test_the_same_as_its_parts() -> None:
    whole = planned({})["results"]
    grid = calculators.run(
        "unit-grid",
        {
            "finished_width": "48 cm",
            "finished_length": "48 cm",
            "sett": "24 /cm",
            "picks": f"{float(PICKS)} /cm",
            "ends_per_unit": "5",
            "picks_per_unit": "5",
            "width_shrinkage": "5 %",
            "length_shrinkage": "8 %",
            "draw_in": "4 %",
        },
    )["results"]
    for name in ("units_across", "units_up", "reed_width", "unit_width", "unit_height"):
        assert whole[name]["value"] == pytest.approx(grid[name]["value"], rel=1e-9)
    warp = calculators.run(
        "warp",
        {
            "ends": "1273", "yarn": "30/2", "system": "cotton", "pieces": "6",
            "finished_length": "48 cm", "hem": "4 cm", "gap": "1 cm", "sample": "30 cm",
            "length_shrinkage": "8 %", "take_up": "6 %", "loom_waste": "140 cm",
        },
    )["results"]  # fmt: skip
    assert whole["warp_length"]["value"] == pytest.approx(warp["warp_length"]["value"])
    assert whole["warp_yarn_mass"]["value"] == pytest.approx(warp["yarn_mass"]["value"])


def test_a_range_of_losses_gives_a_range_of_results() -> None:
    found = planned({"length_shrinkage": "5–8–12 %", "take_up": "4–6–8 %"})
    length = found["results"]["finished_length"]
    assert length["value"] == pytest.approx(48)
    assert length["low"] == pytest.approx(float(PIECE * (1 - F(12, 100)) - 4))
    assert length["high"] == pytest.approx(float(PIECE * (1 - F(5, 100)) - 4))
    warp = found["results"]["warp_yarn_length"]
    most = ENDS * ((6 * F(52) / F(88, 100) + 35) * F(108, 100) + 140) / 100
    least = ENDS * ((6 * F(52) / F(95, 100) + 35) * F(104, 100) + 140) / 100
    assert (warp["low"], warp["high"]) == (
        pytest.approx(float(least)),
        pytest.approx(float(most)),
    )


def test_picks_left_empty_make_it_square_and_given_ones_are_kept() -> None:
    assert planned({})["results"]["squareness"]["value"] == pytest.approx(1)
    tight = planned({"picks": "25 /cm"})
    assert tight["results"]["squareness"]["value"] == pytest.approx(24.2 / 25, rel=1e-3)
    assert any("shorter than wide" in line for line in tight["cautions"])


def test_sett_left_empty_takes_the_middle_of_the_working_range() -> None:
    found = planned({"sett": ""})
    sett = calculators.run(
        "sett",
        {"warp_yarn": "30/2", "warp_system": "cotton", "weft_yarn": "30/2",
         "weft_system": "cotton", "weave": "satin_5", "firmness": "table"},
    )  # fmt: skip
    assert found["results"]["sett"]["value"] == pytest.approx(sett["results"]["working"]["value"])


@pytest.mark.parametrize(
    ("inputs", "words"),
    [
        ({"loom_weaving_width": "50 cm"}, "weaving width"),
        ({"loom_pattern_heddles": "200"}, "pattern heddles"),
        ({"loom_longest_warp": "5 m"}, "length of warp on the beam"),
        ({"loom_ground_heddles": "250"}, "heddles on each ground shaft"),
        ({"loom_carries": "6 kg"}, "weight in the pattern harness"),
        ({"weight_each": "80 g"}, "16 kg is about what one person should lift"),
        ({"picks": "70 /in", "weft_yarn": "8/2"}, "more picks than this weft can be beaten to"),
        ({"reeds": "15/10"}, "None of your reeds"),
        ({"reeds": "40/10"}, "lines between dents"),
        ({"finished_width": "4 cm", "ends_per_unit": "40"}, "not the 4 cm"),
        ({"threads_in_hand": "3"}, "braid"),
        ({"bout_ends": "101"}, "not a whole number of passes"),
        ({"weave": "satin_12", "warp_yarn": "3/2", "weft_yarn": "3/2", "sett": ""}, "catch in use"),
        ({"warp_on_hand": "200 g"}, "Warp yarn is short"),
        ({"weft_on_hand": "100 g"}, "Weft yarn is short"),
        ({"sett": "90 /in"}, "above the working range"),
        ({"sett": "20 /in"}, "below the working range"),
        ({"ends_per_unit": "7"}, "does not match"),
        ({"ground_shafts": "4"}, "ground shafts"),
    ],
)
def test_it_says_where_parts_disagree(inputs: dict[str, str], words: str) -> None:
    quiet = planned({})
    assert not any(words in line for line in quiet["cautions"])
    found = planned(inputs)
    assert found["ok"], found
    assert any(words in line for line in found["cautions"]), found["cautions"]


@pytest.mark.parametrize("grams", [80, 100, 130, 160, 200, 260, 320])
def test_pieces_possible_are_those_that_a_plan_for_them_needs(grams: int) -> None:
    """What the yarn on hand is said to give, re-planned for just that many, must fit."""
    for side in ("warp", "weft"):
        found = planned({f"{side}_on_hand": f"{grams} g"})
        pieces = found["results"]["pieces_possible"]["value"]
        if pieces:
            needed = planned({"pieces": str(pieces)})
            assert needed["results"][f"{side}_yarn_to_have"]["value"] <= grams * (1 + 1e-9)
        more = planned({"pieces": str(pieces + 1)})
        assert more["results"][f"{side}_yarn_to_have"]["value"] > grams * (1 - 1e-9)


def test_pieces_possible_are_a_range_where_a_loss_is_one() -> None:
    losses = {"length_shrinkage": "2–8–20 %", "take_up": "2–6–15 %"}
    found = planned({**losses, "warp_on_hand": "240 g"})
    pieces = found["results"]["pieces_possible"]
    for end, shrinkage, take_up in (("low", "20 %", "15 %"), ("high", "2 %", "2 %")):
        known = {"length_shrinkage": shrinkage, "take_up": take_up, "warp_on_hand": "240 g"}
        alone = planned(known)["results"]["pieces_possible"]
        assert "low" not in alone
        assert pieces[end] == alone["value"]
    assert pieces["low"] < pieces["value"] < pieces["high"]
    assert any(f"gives {pieces['low']} of 6" in line for line in found["cautions"])


def test_the_scarcer_yarn_decides() -> None:
    both = planned({"warp_on_hand": "200 g", "weft_on_hand": "100 g"})
    warp = planned({"warp_on_hand": "200 g"})
    weft = planned({"weft_on_hand": "100 g"})
    least = min(one["results"]["pieces_possible"]["value"] for one in (warp, weft))
    assert both["results"]["pieces_possible"]["value"] == least
    none = planned({"warp_on_hand": "1 g", "weft_on_hand": "0 g"})
    assert none["results"]["pieces_possible"]["value"] == 0


def test_the_cloth_weighs_what_its_yarn_weighs(napkins: dict[str, float]) -> None:
    """Weave exactly the finished size, without hem, gap, sample, waste or selvedge: the square
    metres of the washed cloth weigh as much as the yarn that went into them."""
    found = calculators.run(
        "cloth-plan",
        {"finished_width": "1 m", "finished_length": "1 m", "pieces": "1", "hem": "0", "gap": "0",
         "sample": "0", "loom_waste": "0", "selvedge_ends": "0", "turn_allowance": "1 cm"},
    )["results"]  # fmt: skip
    whole_units = found["finished_width"]["value"] / 100
    yarn = found["warp_yarn_mass"]["value"] + found["weft_yarn_mass"]["value"]
    weight = yarn / whole_units
    assert found["grams_per_square_metre"]["value"] == pytest.approx(weight, rel=1e-9)


def test_everything_for_the_loom_is_there() -> None:
    found = planned({"picks": "25 /cm"})
    best = found["tables"]["denting"]["rows"][0]
    assert best[:3] == ["60/10", pytest.approx(15.24), "4"]
    spaces = found["tables"]["spread"]["rows"]
    assert sum(row[1] for row in spaces) == 54  # 1273 ends stand 53.04 cm wide, a space a cm
    assert sum(row[0] * row[1] for row in spaces) == found["results"]["loops"]["value"] == 319
    assert found["tables"]["entering"]["rows"] == [[1, "1–5", "1 2 3 4 5"]]
    assert found["tables"]["picks"]["rows"][0][0] == "5"
    assert "picks" not in planned({})["tables"]
    rule = next(line for line in found["notes"] if "Taylor" in line)
    alone = calculators.run(
        "take-up", {"weave": "satin_5", "picks": "25 /cm", "weft_yarn": "30/2", "multiplier": "3"}
    )["results"]["take_up"]["text"]["metric"]
    assert alone in rule


def test_range_is_a_range() -> None:
    with pytest.raises(ValueError, match="not in order"):
        Range(2, 1, 3)
