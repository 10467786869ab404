"""The loom's formulas put together, part by part of the job."""

from calculators.cloth import size
from calculators.engine.network import Network, used_for
from calculators.loom import cost, dressing, harness, rhythm, warp, weft, winding
from calculators.yarn.yarn import mass_of

SECOND_YARN = Network(
    used_for(
        "second_yarn_mass",
        mass_of,
        "Weight of the second yarn",
        thread_length="second_yarn_length",
        tex="second_tex",
    ),
    used_for(
        "second_yarn_to_have",
        warp.with_winding_waste,
        "Second yarn needed, with reserve",
        yarn_woven="second_yarn_mass",
    ),
)

WARP = Network(
    size.hem_length,
    size.piece_on_loom,
    warp.woven_length,
    warp.warp_for,
    warp.warp_yarn,
    used_for(
        "warp_yarn_mass",
        mass_of,
        "Weight of the warp",
        thread_length="warp_yarn_length",
        tex="warp_tex",
    ),
    warp.waste_share,
    used_for(
        "warp_yarn_to_have",
        warp.with_winding_waste,
        "Warp yarn needed, with reserve",
        yarn_woven="warp_yarn_mass",
    ),
    used_for(
        "second_warp_length", warp.warp_for, "Length of the second warp", take_up="second_take_up"
    ),
    used_for(
        "second_yarn_length",
        warp.warp_yarn,
        "Yarn in the second warp",
        ends="second_ends",
        warp_length="second_warp_length",
    ),
    SECOND_YARN,
)

WEFT = Network(
    weft.picks_total,
    used_for("turn_allowance", weft.turn_allowance, reed_width="warp_width_in_reed"),
    used_for("turn_share", weft.turn_share, reed_width="warp_width_in_reed"),
    used_for("weft_yarn_length", weft.weft_length, reed_width="warp_width_in_reed"),
    used_for(
        "weft_yarn_mass",
        mass_of,
        "Weight of the weft",
        thread_length="weft_yarn_length",
        tex="weft_tex",
    ),
    used_for(
        "weft_yarn_to_have",
        warp.with_winding_waste,
        "Weft yarn needed, with reserve",
        yarn_woven="weft_yarn_mass",
    ),
    used_for(
        "second_picks_total", weft.picks_total, "Picks of the second weft", picks="second_picks"
    ),
    used_for(
        "second_yarn_length",
        weft.weft_length,
        "Second weft",
        reed_width="warp_width_in_reed",
        picks_total="second_picks_total",
    ),
    SECOND_YARN,
)

WINDING = Network(
    winding.passes,
    winding.loops,
    winding.groups_per_unit,
    winding.bouts,
    winding.turns,
    winding.walked,
)

HARNESS = Network(
    size.pattern_ends,
    harness.pattern_heddles,
    harness.ground_heddles_per_shaft,
    harness.cords,
    harness.harness_mass,
)

PACE = Network(
    rhythm.temple_moves,
    rhythm.advances,
    weft.picks_total,
    rhythm.pirns,
    rhythm.weaving_hours,
)

COST = Network(
    cost.yarn_cost,
    cost.all_hours,
    cost.labour,
    cost.total_cost,
    cost.cost_per_piece,
    cost.overhead_cost,
)

HEIGHTS = Network(
    dressing.drawn_height,
    dressing.rest_height,
    used_for(
        "shafts_shed",
        dressing.height_at_shafts,
        "Shed at the back ground shaft",
        height_at_harness="pattern_lift",
    ),
    used_for(
        "drawn_at_shafts",
        dressing.height_at_shafts,
        "Drawn ends at the ground shafts",
        height_at_harness="drawn_height",
    ),
    used_for(
        "rest_at_shafts",
        dressing.height_at_shafts,
        "Ends at rest at the ground shafts",
        height_at_harness="rest_height",
    ),
)

EYE = Network(
    HEIGHTS,
    dressing.eye_length,
    dressing.shaft_travel,
    dressing.shed_allowed,
    used_for(
        "lift_allowed",
        dressing.height_at_harness,
        "Lift that the eyes allow",
        height_at_shafts="shed_allowed",
    ),
)

# What an end does: its name, its words, its heights at the ground shafts and at the harness.
_ENDS = (
    ("rest", "at rest", "rest_at_shafts", "rest_height"),
    ("drawn", "drawn", "drawn_at_shafts", "drawn_height"),
    ("down", "drawn and bound down", "rest_at_shafts", "drawn_height"),
    ("up", "at rest and bound up", "drawn_at_shafts", "rest_height"),
)

SHED = Network(
    HEIGHTS,
    dressing.shuttle_shed,
    *(
        used_for(
            f"{end}_way",
            dressing.longer_way,
            f"Longer way of an end {words}",
            shafts_height=at_shafts,
            harness_height=at_harness,
        )
        for end, words, at_shafts, at_harness in _ENDS
    ),
    *(
        used_for(f"{end}_stretch", dressing.stretch, f"Stretch of an end {words}", way=f"{end}_way")
        for end, words, *_ in _ENDS[1:]
    ),
    dressing.greatest_stretch,
    dressing.length_behind,
)

WEIGHT = Network(
    HEIGHTS,
    used_for(
        "rest_bend",
        dressing.lifting_share,
        "Share of the pull that lifts, at rest",
        shafts_height="rest_at_shafts",
        harness_height="rest_height",
    ),
    used_for(
        "bound_bend",
        dressing.lifting_share,
        "Share of the pull that lifts, bound up",
        shafts_height="drawn_at_shafts",
        harness_height="rest_height",
    ),
    dressing.pull_from_sag,
    dressing.end_pull,
    dressing.heddle_weight,
    dressing.pull_held,
)
