"""The worked example: six cotton napkins of the invented Wendlewater guild."""

from collections.abc import Mapping

from calculators.engine.network import Figure
from calculators.yarn.yarn import parse_yarn

NAPKINS: Mapping[str, Figure] = {
    "finished_width": 48,
    "finished_length": 48,
    "pieces": 6,
    "warp_tex": parse_yarn("30/2", "cotton").tex,
    "weft_tex": parse_yarn("30/2", "cotton").tex,
    "reed_sett": 24,
    "ends_per_unit": 5,
    "picks_per_unit": 5,
    "hem": 4,
    "gap": 1,
    "sample": 30,
    "loom_waste": 140,
    "turn_share": 0.02,
    "selvedge_ends": 8,
    "width_shrinkage": 0.05,
    "length_shrinkage": 0.08,
    "draw_in": 0.04,
    "take_up": 0.06,
    "threads_in_hand": 2,
    "bout_ends": 100,
    "circumference": 200,
    "ground_shafts": 5,
    "weight_each": 25,
    "temple_step": 2.5,
    "advance_step": 5,
    "picks_per_minute": 8,
    "picks_per_pirn": 120,
}
