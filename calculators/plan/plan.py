"""The whole plan: the rooms' formulas put together, with what is decided once for all."""

from calculators.cloth import losses, size, weight
from calculators.cloth.networks import SIZE
from calculators.engine.network import Network, used_for
from calculators.loom import rhythm, warp, weft
from calculators.loom.networks import HARNESS, PACE, WARP, WEFT, WINDING
from calculators.yarn.yarn import length_of


def piece_woven(piece_on_loom: float) -> float:
    """One piece as it will be woven, whatever the wash takes in the end (F-63).

    >>> piece_woven(56.5)
    56.5
    """
    return piece_on_loom


def picks_planned(picks_total: float) -> float:
    """Picks in all as they will be woven, whatever the wash takes in the end (F-85).

    >>> picks_planned(9054)
    9054
    """
    return picks_total


PLAN = Network(
    used_for("hours", rhythm.weaving_hours, picks_total="picks_planned"),
    used_for("side_hems", size.hem_length, "Hems of the two sides", hemmed_ends="hemmed_sides"),
    size.unhemmed_width,
    used_for("loom_width", size.loom_width, finished_width="unhemmed_width"),
    size.hemmed_width,
    used_for(
        "hemmed_width_edge",
        size.hemmed_width,
        "Width edge to edge with the side hems sewn",
        washed_width="washed_width_edge",
    ),
    *(SIZE, WARP, WEFT, WINDING, HARNESS, PACE),
    piece_woven,
    picks_planned,
    used_for("length_in_the_end", size.finished_length, piece_on_loom="piece_woven"),
    used_for(
        "cloth_ends",
        size.cloth_sett,
        "Ends in the washed cloth",
        reed_sett="cloth_sett",
        draw_in="width_shrinkage",
    ),
    used_for(
        "cloth_picks",
        size.cloth_sett,
        "Picks in the washed cloth",
        reed_sett="picks",
        draw_in="length_shrinkage",
    ),
    losses.warp_crimp,
    losses.weft_crimp,
    used_for(
        "warp_length_there",
        length_of,
        "Warp yarn on hand",
        yarn_mass="warp_there",
        tex="warp_tex",
    ),
    used_for(
        "warp_there_each",
        warp.length_of_each_end,
        "Warp that the yarn on hand gives",
        warp_yarn_length="warp_length_there",
    ),
    used_for("woven_from_warp", warp.woven_from_warp, warp_length="warp_there_each"),
    used_for("pieces_from_warp", warp.pieces_possible, woven_length="woven_from_warp"),
    used_for(
        "weft_length_there",
        length_of,
        "Weft yarn on hand",
        yarn_mass="weft_there",
        tex="weft_tex",
    ),
    used_for(
        "woven_from_weft",
        weft.woven_from_weft,
        weft_yarn_length="weft_length_there",
        reed_width="warp_width_in_reed",
    ),
    used_for("pieces_from_weft", warp.pieces_possible, woven_length="woven_from_weft"),
    used_for("grams_per_square_metre", weight.grams_per_square_metre, picks="cloth_picks"),
    decided=("piece_woven", "picks_planned"),
)
