"""The loom knows a plan by what it means, not by how that was typed."""

import pytest

from calculators.contract import calculate
from calculators.figure.loom_side import plan_key

PLAN = {
    "finished_width": "46 cm", "warp_yarn": "16/2 cotton", "weave": "satin_5", "sett": "18 /cm",
    "weft_yarn": "", "reeds": "40/10, 50/10", "length_shrinkage": "8 %", "hem_depth": "1 cm",
    "ends_per_unit": "", "picks_per_unit": "", "ground_shafts": "",
}  # fmt: skip
SAME = [
    {"finished_width": "460 mm"},
    {"finished_width": "46"},
    {"warp_yarn": "16/2", "warp_system": "cotton"},
    {"warp_yarn": "16/2  cotton", "warp_system": "linen"},
    {"weave": "five-end satin"},
    {"weave": "femskaft satin"},
    {"weft_yarn": "16/2 cotton"},
    {"sett": "180 ends per 10 cm"},
    {"reeds": "50/10 , 40/10"},
    {"reeds": "10.16 dpi, 12.7 dpi"},
    {"length_shrinkage": "8"},
    {"length_shrinkage": "8,0 %"},
    {"ends_per_unit": "5"},
    {"hem_turns": "Twice"},
]
OTHER = [
    {"finished_width": "46.1 cm"},
    {"warp_yarn": "16/1 cotton"},
    {"weave": "six-end satin"},
    {"weave": "five-end satin, warp face"},
    {"weft_yarn": "30/2 cotton"},
    {"reeds": "40/10"},
    {"length_shrinkage": "7–8–9 %"},
    {"pieces": "7"},
]


def key(**changed):
    run = calculate("cloth-plan", PLAN | changed, units="cm")
    assert not run.errors
    return plan_key(run)


@pytest.mark.parametrize("changed", SAME)
def test_another_spelling_is_the_same_plan(changed):
    assert key(**changed) == key()


@pytest.mark.parametrize("changed", OTHER)
def test_another_meaning_is_another_plan(changed):
    assert key(**changed) != key()


def test_a_plan_in_inches_is_the_one_in_centimetres_of_the_same_size():
    inches = calculate("cloth-plan", {"finished_width": "20", "pieces": "2"}, units="inch")
    written = calculate("cloth-plan", {"finished_width": "50.8 cm", "pieces": "2"}, units="inch")
    assert plan_key(inches) == plan_key(written)
