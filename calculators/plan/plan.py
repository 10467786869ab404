"""The whole plan: the rooms' formulas put together, with what is decided once for all."""

from calculators.cloth import losses, size, weight
from calculators.cloth.networks import SIZE
from calculators.engine.network import Network, Worked, used_for
from calculators.loom import rhythm, warp
from calculators.loom.networks import HARNESS, PACE, WARP, WEFT, WINDING
from calculators.quantities.interval import Range, spread
from calculators.yarn.yarn import length_of


def picks(picks_for_square: float) -> float:
    """Picks on the loom where none are asked for: those that make a unit square (F-67).

    >>> picks(24.2)
    24.2
    """
    return picks_for_square


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
    *(SIZE, WARP, WEFT, WINDING, HARNESS, PACE),
    picks,
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
    used_for("grams_per_square_metre", weight.grams_per_square_metre, picks="cloth_picks"),
    decided=("picks", "piece_woven", "picks_planned"),
)


def pieces_from_warp(plan: Worked, mass: float) -> Range:
    """Pieces that a mass of warp yarn gives, the low number for losses at their high end.

    Equation: pieces = down((W + g - a) / (L + g)), W = (Y / N - z) / (1 + t)   (F-111)
    Parameters:
        plan [plan]: what is decided, and what follows from it
        mass [g]: warp yarn on hand
    Returns:
        [count] whole pieces
    Validity: the same ends as the plan.
    Errors: none; too little yarn gives no piece.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> pieces_from_warp(PLAN.run(NAPKINS), 200).likely
        3

    Source: the warp formulas turned round (F-80, F-81, F-82).
    """
    length = length_of(mass, plan.likely("warp_tex")) / plan.likely("ends")
    waste = plan.likely("loom_waste")

    def pieces(length_shrinkage: float, take_up: float) -> int:
        woven = warp.woven_from_warp(length, take_up, waste) if length else 0.0
        return _pieces(plan, woven, length_shrinkage)

    losses_along = {name: plan.spread(name) for name in ("length_shrinkage", "take_up")}
    return spread(pieces, **losses_along)


def pieces_from_weft(plan: Worked, mass: float) -> Range:
    """Pieces that a mass of weft yarn gives, the low number for losses at their high end.

    Equation: pieces = down((W + g - a) / (L + g)), W = Y / ((R + u) p), R over all ends   (F-112)
    Parameters:
        plan [plan]: what is decided, and what follows from it
        mass [g]: weft yarn on hand
    Returns:
        [count] whole pieces
    Validity: the same picks as the plan.
    Errors: none; too little yarn gives no piece.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> pieces_from_weft(PLAN.run(NAPKINS), 100).likely
        2

    Source: the weft formulas turned round (F-80, F-85, F-86).
    """
    pick = pick_length(plan, plan.likely("warp_width_in_reed"))
    woven = length_of(mass, plan.likely("weft_tex")) / (plan.likely("picks") * pick)
    return spread(
        lambda length_shrinkage: _pieces(plan, woven, length_shrinkage),
        length_shrinkage=plan.spread("length_shrinkage"),
    )


def pick_length(plan: Worked, in_reed: float) -> float:
    """Length of one pick over all the ends in the reed, with its turn (F-86).

    >>> from calculators.plan.example import NAPKINS
    >>> round(pick_length(PLAN.run(NAPKINS), 50), 9)
    51.0
    """
    return in_reed + plan.otherwise(warp_width_in_reed=in_reed).likely("turn_allowance")


def _pieces(plan: Worked, woven: float, length_shrinkage: float) -> int:
    piece = plan.otherwise(length_shrinkage=length_shrinkage).likely("piece_on_loom")
    return warp.pieces_possible(woven, piece, plan.likely("gap"), plan.likely("sample"))
