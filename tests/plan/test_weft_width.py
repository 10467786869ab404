"""The weft crosses every end that is there: a law of every plan, worked out from what was typed."""

from urllib.parse import parse_qsl

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import calculators
from calculators.contract import calculate
from calculators.engine.links import ways_on
from calculators.engine.reading import read_inputs
from calculators.figure.loom_side import loom_side
from calculators.registry import calculator

TEX_30_2 = 453.59237 / (840 * 0.9144 / 1000) / 15  # two-fold thirties run as one of fifteens
PLAN = {
    "finished_width": st.integers(4, 150).map(lambda cm: f"{cm} cm"),
    "finished_length": st.integers(10, 200).map(lambda cm: f"{cm} cm"),
    "pieces": st.integers(1, 8).map(str),
    "sett": st.integers(6, 30).map(lambda sett: f"{sett} /cm"),
    "picks": st.integers(6, 30).map(lambda picks: f"{picks} /cm"),
    "ends_per_unit": st.integers(1, 20).map(str),
    "picks_per_unit": st.integers(1, 12).map(str),
    "selvedge_ends": st.integers(0, 200).map(str),
    "width_shrinkage": st.sampled_from(["2 %", "5 %", "3–5–9 %"]),
    "length_shrinkage": st.sampled_from(["3 %", "8 %", "5–8–12 %"]),
    "draw_in": st.sampled_from(["2 %", "4 %", "3–4–8 %"]),
    "turn_allowance": st.sampled_from(["0 cm", "2 %", "1 cm"]),
    "weft_yarn": st.just("30/2"),
    "weft_system": st.just("cotton"),
}


@given(st.fixed_dictionaries(PLAN))
def test_no_plan_has_less_weft_than_its_ends_are_wide(typed: dict[str, str]) -> None:
    """Grams = picks × (ends ÷ sett) × tex, and what the turn adds."""
    done = calculators.run("cloth-plan", typed)
    assert done["ok"], done
    results = done["results"]
    ends, sett = results["ends"]["value"], float(typed["sett"].split()[0])
    picks = results["woven_length"]["value"] * 100 * float(typed["picks"].split()[0])
    least = picks * (ends / sett) * TEX_30_2 / 100_000
    weft = results["weft_yarn_mass"]["value"]
    assert weft >= least * (1 - 1e-9)
    turn = {"0 cm": 1.0, "2 %": 1.02, "1 cm": 1 + sett / ends}[typed["turn_allowance"]]
    assert abs(weft / (least * turn) - 1) < 1e-9, "and no more than the turn adds"
    pattern = results["units_across"]["value"] * int(typed["ends_per_unit"])
    assert ends == pattern + int(typed["selvedge_ends"])
    edge, inner = (results[name]["value"] for name in ("finished_width_edge", "finished_width"))
    assert abs(edge / inner - ends / pattern) < 1e-9


@given(st.fixed_dictionaries(PLAN), st.integers(50, 2000))
def test_enough_yarn_wants_what_the_plan_wants(typed: dict[str, str], grams: int) -> None:
    fields = {field.name: field.default for field in calculator("enough-yarn").fields}
    asked = {name: text for name, text in typed.items() if name in fields}
    hand = {"side": "weft", "gross": f"{grams} g", "empty": "0 g"}
    found = calculators.run("enough-yarn", {**asked, **hand})
    plan = {field.name for field in calculator("cloth-plan").fields}
    same = {name: text for name, text in {**fields, **asked}.items() if name in plan}
    planned = calculators.run("cloth-plan", same)
    assert found["ok"], found
    wanted, weft = found["results"]["wanted"], planned["results"]["weft_yarn_mass"]
    assert abs(wanted["value"] / weft["value"] - 1) < 1e-6


@settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(300, 900), st.integers(150, 900))
def test_no_card_of_the_shelf_promises_more_than_its_cones(warp: int, weft: int) -> None:
    """Every idea's weft, over all its ends and at the high losses, lies on the shelf."""
    typed = {"cones": f"Warp; 16/2 cotton; {warp} g\nWeft; 30/2 cotton; {weft} g"}
    shelf = calculator("shelf")
    readings, errors = read_inputs(shelf, typed)
    assert not errors
    cards = shelf.answer({name: reading.value for name, reading in readings.items()}).cards
    assert cards
    for card in cards:
        state = dict(parse_qsl(card.address.partition("#")[2]))
        del state["v"], state["calculator"]
        results = calculators.run("cloth-plan", state)["results"]
        label = state["weft_yarn"].split()[0]
        count, plies = map(int, label.split("/"))  # two threads at once are written as 16/4
        tex = TEX_30_2 * 15 / count * plies
        ends, sett = results["ends"]["value"], results["sett"]["value"] / 2.54
        picks = results["picks"]["value"] / 2.54 * results["woven_length"]["value"] * 100
        there = {16: warp, 30: weft}[count]
        assert picks * ends / sett * tex / 100_000 <= there


@given(st.integers(0, 200), st.integers(6, 30))
def test_ends_and_widths_are_handed_on_with_the_selvedges(selvedge: int, sett: int) -> None:
    """Wherever an answer carries on to a form that asks for ends or a reed width: all of them."""
    typed = {"selvedge_ends": str(selvedge), "sett": f"{sett} /cm"}
    done = calculate("unit-grid", typed)
    results = calculators.run("unit-grid", typed)["results"]
    ends = results["units_across"]["value"] * 5 + selvedge  # five ends in the example's unit
    goals = set()
    for _, address in ways_on(done):
        state = dict(parse_qsl(address.partition("#")[2]))
        if "ends" in state:
            goals.add("ends")
            assert float(state["ends"]) == ends
        if "reed_width" in state:
            goals.add("reed_width")
            assert abs(float(state["reed_width"].split()[0]) - ends / sett) <= 0.05 + 1e-9
    assert goals == {"ends", "reed_width"}


def test_the_card_at_the_loom_tells_the_width_of_all_the_ends() -> None:
    typed = {"selvedge_ends": "120"}
    facts = loom_side(calculate("cloth-plan", typed))["facts"]
    results = calculators.run("cloth-plan", typed)["results"]
    assert results["warp_width_in_reed"]["text"]["metric"] in facts
    assert results["reed_width"]["text"]["metric"] not in facts
