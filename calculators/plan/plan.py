"""One project from yarn to job sheet: it calls the rooms and has no arithmetic of its own."""

from dataclasses import dataclass

from calculators.cloth import losses, size, weight
from calculators.loom import harness, rhythm, warp, weft, winding
from calculators.quantities.interval import Range, spread
from calculators.sett.denting import width_of
from calculators.weave.matrix import Weave
from calculators.yarn.yarn import Yarn, length_of, mass_of


@dataclass(frozen=True)
class Project:
    """What the weaver decides and knows. Lengths in cm, threads per cm, losses as fractions."""

    finished_width: float
    finished_length: float
    pieces: int
    warp_yarn: Yarn
    weft_yarn: Yarn
    weave: Weave
    sett: float
    picks: float | None
    ends_per_unit: int
    picks_per_unit: int
    hem: float
    gap: float
    sample: float
    loom_waste: float
    turn_share: float
    turn_length: float
    selvedge_ends: int
    width_shrinkage: Range
    length_shrinkage: Range
    draw_in: Range
    take_up: Range
    threads_in_hand: int
    bout_ends: int
    circumference: float
    ground_shafts: int
    weight_each: float
    temple_step: float
    advance_step: float
    picks_per_minute: float
    picks_per_pirn: int
    ends_per_heddle: int | None = None


@dataclass(frozen=True)
class ClothPlan:
    """What follows: the cloth, the warp, the weft, the harness and the pace."""

    picks: float
    picks_for_square: float
    units_exactly: float
    units_across: int
    units_up: int
    pattern_ends: int
    ends: int
    loom_width: float
    reed_width: float
    warp_width_in_reed: float
    cloth_sett: float
    unit_width: Range
    unit_height: Range
    squareness: Range
    finished_width: Range
    finished_width_edge: Range
    finished_length: Range
    piece_on_loom: float
    woven_length: float
    warp_length: float
    warp_yarn_length: Range
    warp_yarn_mass: Range
    waste_share: float
    picks_total: float
    weft_yarn_length: Range
    weft_yarn_mass: Range
    grams_per_square_metre: Range
    passes: int
    loops: int
    groups_per_unit: float
    bouts: int
    turns: float
    walked: float
    pattern_heddles: int
    ground_heddles_per_shaft: int
    harness_mass: float
    temple_moves: int
    advances: int
    pirns: int
    hours: float


def plan(project: Project) -> ClothPlan:
    """Whole job of one cloth, from the finished size to the hours at the loom.

    Equation: the formulas of each room in the order of the job   (F-110)
    Parameters:
        project [decisions]: what the weaver decides and knows
    Returns:
        [plan] sizes [cm], threads [1/cm], yarn [cm, g], counts and hours; units and ends are
        fixed at the likely losses, and the ranges say what those ends may become
    Validity: each room's own.
    Errors: InputError from the room whose figure cannot be used.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> napkins = plan(NAPKINS)
        >>> napkins.units_across, napkins.pattern_ends, napkins.ends
        (253, 1265, 1273)
        >>> round(napkins.warp_length, 1)
        536.6

    Source: the order of work is common practice; each formula names its own.
    """
    sw, sl = project.width_shrinkage.likely, project.length_shrinkage.likely
    draw_in, take_up = project.draw_in.likely, project.take_up.likely

    loom_width = size.loom_width(project.finished_width, sw)
    reed_width = size.reed_width(loom_width, draw_in)
    cloth_sett = size.cloth_sett(project.sett, draw_in)
    units_exactly = loom_width * cloth_sett / project.ends_per_unit
    units_across = size.units_across(loom_width, cloth_sett, project.ends_per_unit)
    ends = size.ends(units_across, project.ends_per_unit, project.selvedge_ends)
    pattern_ends = size.ends(units_across, project.ends_per_unit)

    square = size.picks_for_square(
        project.ends_per_unit, project.picks_per_unit, cloth_sett, sw, sl
    )
    picks = square if project.picks is None else project.picks

    def wide(width_shrinkage: float, draw_in: float) -> float:
        in_cloth = size.cloth_sett(project.sett, draw_in)
        return size.unit_width(project.ends_per_unit, in_cloth, width_shrinkage)

    def high(length_shrinkage: float) -> float:
        return size.unit_height(project.picks_per_unit, picks, length_shrinkage)

    across = {"width_shrinkage": project.width_shrinkage, "draw_in": project.draw_in}
    along = {"length_shrinkage": project.length_shrinkage}

    in_reed = width_of(ends, project.sett)
    turn = _turn(project, in_reed)

    piece = size.piece_on_loom(project.finished_length, project.hem, sl)
    woven = warp.woven_length(project.pieces, piece, project.gap, project.sample)
    length = warp.warp_for(woven, take_up, project.loom_waste)
    picks_total = weft.picks_total(woven, picks)

    def warp_needed(length_shrinkage: float, take_up: float) -> float:
        on_loom = size.piece_on_loom(project.finished_length, project.hem, length_shrinkage)
        return warp.warp_yarn(
            ends,
            warp.warp_length(
                project.pieces, on_loom, project.gap, project.sample, take_up, project.loom_waste
            ),
        )

    def weft_needed(length_shrinkage: float) -> float:
        on_loom = size.piece_on_loom(project.finished_length, project.hem, length_shrinkage)
        woven = warp.woven_length(project.pieces, on_loom, project.gap, project.sample)
        return weft.weft_length(weft.picks_total(woven, picks), in_reed, turn)

    def washed(in_reed: float, width_shrinkage: float, draw_in: float) -> float:
        return size.finished_width(size.loom_width_from_reed(in_reed, draw_in), width_shrinkage)

    def weighs(
        length_shrinkage: float, width_shrinkage: float, draw_in: float, take_up: float
    ) -> float:
        turn_share = turn / in_reed
        in_cloth = size.cloth_sett(project.sett, draw_in)
        return weight.grams_per_square_metre(
            size.cloth_sett(in_cloth, width_shrinkage),
            size.cloth_sett(picks, length_shrinkage),
            project.warp_yarn.tex,
            project.weft_yarn.tex,
            losses.crimp_after(take_up, length_shrinkage),
            losses.crimp_after(turn_share, draw_in, width_shrinkage),
        )

    warp_yarn = spread(warp_needed, **along, take_up=project.take_up)
    weft_yarn = spread(weft_needed, **along)
    passes = winding.passes(ends, project.threads_in_hand)
    return ClothPlan(
        picks=picks,
        picks_for_square=square,
        units_exactly=units_exactly,
        units_across=units_across,
        units_up=size.units_up(
            size.piece_on_loom(project.finished_length, 0, sl), picks, project.picks_per_unit
        ),
        pattern_ends=pattern_ends,
        ends=ends,
        loom_width=loom_width,
        reed_width=reed_width,
        warp_width_in_reed=in_reed,
        cloth_sett=cloth_sett,
        unit_width=spread(wide, **across),
        unit_height=spread(high, **along),
        squareness=spread(
            lambda length_shrinkage, **width: size.squareness(
                high(length_shrinkage), wide(**width)
            ),
            **along,
            **across,
        ),
        finished_width=spread(
            lambda **losses: washed(width_of(pattern_ends, project.sett), **losses), **across
        ),
        finished_width_edge=spread(lambda **losses: washed(in_reed, **losses), **across),
        finished_length=spread(
            lambda length_shrinkage: size.finished_length(piece, project.hem, length_shrinkage),
            **along,
        ),
        piece_on_loom=piece,
        woven_length=woven,
        warp_length=length,
        warp_yarn_length=warp_yarn,
        warp_yarn_mass=_weighed(warp_yarn, project.warp_yarn),
        waste_share=warp.waste_share(project.loom_waste, length),
        picks_total=picks_total,
        weft_yarn_length=weft_yarn,
        weft_yarn_mass=_weighed(weft_yarn, project.weft_yarn),
        grams_per_square_metre=spread(weighs, **along, **across, take_up=project.take_up),
        passes=passes,
        loops=winding.loops(ends, project.threads_in_hand),
        groups_per_unit=winding.groups_per_unit(project.ends_per_unit, project.threads_in_hand),
        bouts=winding.bouts(ends, project.bout_ends),
        turns=winding.turns(length, project.circumference),
        walked=winding.walked(passes, length),
        pattern_heddles=harness.pattern_heddles(
            units_across, project.ends_per_unit, project.ends_per_heddle
        ),
        ground_heddles_per_shaft=harness.ground_heddles_per_shaft(
            pattern_ends, project.ground_shafts
        ),
        harness_mass=harness.harness_mass(units_across, project.weight_each),
        temple_moves=rhythm.temple_moves(woven, project.temple_step),
        advances=rhythm.advances(woven, project.advance_step),
        pirns=rhythm.pirns(picks_total, project.picks_per_pirn),
        hours=rhythm.weaving_hours(picks_total, project.picks_per_minute),
    )


@dataclass(frozen=True)
class OnHand:
    """Pieces that the yarn on hand gives, and the grams short for those wanted.

    ``pieces`` has whole numbers, the low one for the losses at their high end.
    """

    pieces: Range
    short: float


def pieces_from_warp(project: Project, done: ClothPlan, mass: float) -> OnHand:
    """Pieces that a given mass of warp yarn gives, and how many grams are short.

    Equation: pieces = down((W + g - a) / (L + g)), W = (Y / N - z) / (1 + t)   (F-111)
    Parameters:
        project [decisions]: the plan's own decisions
        done [plan]: what followed from them
        mass [g]: warp yarn on hand
    Returns:
        [count, g] pieces possible, and yarn short for those wanted at the losses' high end
    Validity: the same ends as the plan.
    Errors: none; too little yarn gives no piece.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> pieces_from_warp(NAPKINS, plan(NAPKINS), 200).pieces.likely
        3

    Source: the warp formulas turned round (F-80, F-81, F-82).
    """
    length = length_of(mass, project.warp_yarn.tex) / done.ends

    def pieces(length_shrinkage: float, take_up: float) -> int:
        woven = warp.woven_from_warp(length, take_up, project.loom_waste) if length else 0.0
        return _pieces(project, woven, length_shrinkage)

    found = spread(pieces, length_shrinkage=project.length_shrinkage, take_up=project.take_up)
    return OnHand(found, max(0.0, done.warp_yarn_mass.high - mass))


def pieces_from_weft(project: Project, done: ClothPlan, mass: float) -> OnHand:
    """Pieces that a given mass of weft yarn gives, and how many grams are short.

    Equation: pieces = down((W + g - a) / (L + g)), W = Y / ((R + u) p), R over all ends   (F-112)
    Parameters:
        project [decisions]: the plan's own decisions
        done [plan]: what followed from them
        mass [g]: weft yarn on hand
    Returns:
        [count, g] pieces possible, and yarn short for those wanted at the losses' high end
    Validity: the same picks as the plan.
    Errors: none; too little yarn gives no piece.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> pieces_from_weft(NAPKINS, plan(NAPKINS), 100).pieces.likely
        2

    Source: the weft formulas turned round (F-80, F-85, F-86).
    """
    pick = pick_length(project, done.warp_width_in_reed)
    woven = length_of(mass, project.weft_yarn.tex) / (done.picks * pick)
    found = spread(
        lambda length_shrinkage: _pieces(project, woven, length_shrinkage),
        length_shrinkage=project.length_shrinkage,
    )
    return OnHand(found, max(0.0, done.weft_yarn_mass.high - mass))


def pick_length(project: Project, in_reed: float) -> float:
    """Length of one pick over all the ends, with its turn.

    Equation: pick = R + u   (F-86)
    Parameters:
        project [decisions]: its turn, a share of the width or a length
        in_reed [cm]: R, width in the reed of all the ends, selvedges counted
    Returns:
        [cm] weft laid for each pick
    Validity: the weft goes from edge to edge.
    Errors: InputError when the width is not above nought.

    Example:
        >>> from calculators.plan.example import NAPKINS
        >>> round(pick_length(NAPKINS, 50), 9)
        51.0

    Source: as F-86.
    """
    return in_reed + _turn(project, in_reed)


def _turn(project: Project, in_reed: float) -> float:
    return weft.turn_allowance(project.turn_share, in_reed) + project.turn_length


def _pieces(project: Project, woven: float, length_shrinkage: float) -> int:
    piece = size.piece_on_loom(project.finished_length, project.hem, length_shrinkage)
    return warp.pieces_possible(woven, piece, project.gap, project.sample)


def _weighed(length: Range, yarn: Yarn) -> Range:
    return spread(lambda length: mass_of(length, yarn.tex), length=length)


__all__ = [
    "ClothPlan",
    "OnHand",
    "Project",
    "pick_length",
    "pieces_from_warp",
    "pieces_from_weft",
    "plan",
]
