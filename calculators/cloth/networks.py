"""The cloth's formulas put together: from the finished size to the reed, and back to the wash."""

from calculators.cloth import losses, size, thickness, weight
from calculators.engine.network import Network, used_for
from calculators.sett.denting import width_of
from calculators.yarn.diameter import diameter, peirce


def picks(picks_for_square: float) -> float:
    """Picks on the loom where none are asked for: those that make a unit square (F-67).

    >>> picks(24.2)
    24.2
    """
    return picks_for_square


SIZE = Network(
    size.loom_width,
    size.cloth_sett,
    size.units_across,
    size.pattern_ends,
    size.ends,
    size.loom_length,
    size.units_up,
    size.units_per_inch,
    size.unit_width,
    size.unit_height,
    size.squareness,
    size.picks_for_square,
    picks,
    size.reed_width,
    width_of,
    used_for(
        "pattern_width_in_reed",
        width_of,
        "Width of the pattern in the reed",
        ends="pattern_ends",
    ),
    used_for(
        "pattern_loom_width",
        size.loom_width_from_reed,
        "Width of the pattern on the loom",
        reed_width="pattern_width_in_reed",
    ),
    used_for(
        "washed_width",
        size.finished_width,
        "Width of the pattern, washed",
        loom_width="pattern_loom_width",
    ),
    used_for(
        "edge_loom_width",
        size.loom_width_from_reed,
        "Width of all the ends on the loom",
        reed_width="warp_width_in_reed",
    ),
    used_for(
        "washed_width_edge",
        size.finished_width,
        "Width edge to edge, washed",
        loom_width="edge_loom_width",
    ),
    size.pattern_length,
    decided=("picks", "units_across", "units_up"),
)

TAKE_UP = Network(used_for("take_up", losses.take_up_taylor))

WEIGHT = Network(
    used_for("grams_per_square_metre", weight.grams_per_square_metre, picks="cloth_picks"),
    used_for("cover_warp", weight.cover_factor, threads="cloth_ends", cotton_count="warp_count"),
    used_for("cover_weft", weight.cover_factor, threads="cloth_picks", cotton_count="weft_count"),
    used_for("covered_by_warp", weight.covered, cover="cover_warp"),
    used_for("covered_by_weft", weight.covered, cover="cover_weft"),
    weight.area_covered,
)

THICKNESS = Network(
    used_for("warp_diameters", peirce, cotton_count="warp_count"),
    used_for("weft_diameters", peirce, cotton_count="weft_count"),
    used_for("warp_diameter", diameter, diameters_per_inch="warp_diameters"),
    used_for("weft_diameter", diameter, diameters_per_inch="weft_diameters"),
    used_for(
        "warp_wave",
        thickness.wave_height,
        "Height of the warp's wave",
        threads_crossed="cloth_picks",
        crimp="warp_crimp",
        threads_per_intersection="picks_per_intersection",
    ),
    used_for(
        "weft_wave",
        thickness.wave_height,
        "Height of the weft's wave",
        threads_crossed="cloth_ends",
        crimp="weft_crimp",
        threads_per_intersection="ends_per_intersection",
    ),
    used_for(
        "even_crimp_warp",
        thickness.even_crimp,
        "Crimp that a round warp needs",
        threads_crossed="cloth_picks",
        threads_per_intersection="picks_per_intersection",
    ),
    used_for(
        "even_crimp_weft",
        thickness.even_crimp,
        "Crimp that a round weft needs",
        threads_crossed="cloth_ends",
        threads_per_intersection="ends_per_intersection",
    ),
    thickness.roundness,
    thickness.roundness_kept,
    thickness.thickness_pressed,
    used_for(
        "thickness_over_warp",
        thickness.thickness_over,
        "Thickness over the warp",
        wave_height="warp_wave",
        diameter="warp_diameter",
    ),
    used_for(
        "thickness_over_weft",
        thickness.thickness_over,
        "Thickness over the weft",
        wave_height="weft_wave",
        diameter="weft_diameter",
    ),
    thickness.thickness_loose,
)

CRIMP = Network(losses.crimp, used_for("thread_take_up", losses.take_up))

WASH_TEST = Network(
    used_for("change", losses.dimensional_change),
    losses.plan_factor,
)
