"""Finished size, loom width, reed width, units and ends: each from the other.

Lengths in cm, setts and picks in threads per cm, losses as fractions.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from calculators.errors import InputError
from calculators.quantities.checks import kept, not_negative, positive
from calculators.quantities.format import round_nearest
from calculators.quantities.spread import spread_evenly

FEWEST_PICKS, MOST_PICKS = 0.5, 10_000  # in a unit; beyond them no order is looked for


def loom_width(finished: float, width_shrinkage: float) -> float:
    """Width of the cloth on the loom that washes down to the finished width.

    Equation: loom = finished / (1 - s_w)   (F-60)
    Parameters:
        finished [cm]: width wanted after washing
        width_shrinkage [fraction]: share of the loom width lost in washing
    Returns:
        [cm] width of the woven cloth before washing
    Validity: finished > 0, shrinkage below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(loom_width(48, 0.05), 2)
        50.53

    Source: definition of a loss as a share of what was there before (compare ISO 5077).
    """
    return positive(finished, "finished_width", "The finished width") / kept(
        width_shrinkage, "width_shrinkage"
    )


def finished_width(loom_width: float, width_shrinkage: float) -> float:
    """Width after washing of a cloth of known width on the loom.

    Equation: finished = loom (1 - s_w)   (F-60)
    Parameters:
        loom_width [cm]: width of the woven cloth before washing
        width_shrinkage [fraction]: share of it lost in washing
    Returns:
        [cm] width after washing
    Validity: loom_width > 0, shrinkage below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(finished_width(50, 0.05), 9)
        47.5

    Source: definition of a loss as a share of what was there before (compare ISO 5077).
    """
    return positive(loom_width, "loom_width", "The loom width") * kept(
        width_shrinkage, "width_shrinkage"
    )


def reed_width(loom_width: float, draw_in: float) -> float:
    """Width to enter in the reed for a cloth of known width on the loom.

    Equation: reed = loom / (1 - d)   (F-61)
    Parameters:
        loom_width [cm]: width of the woven cloth before washing
        draw_in [fraction]: share of the reed width lost between reed and cloth
    Returns:
        [cm] width in the reed
    Validity: loom_width > 0, draw-in below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(reed_width(50.526, 0.04), 2)
        52.63

    Source: definition of a loss as a share of what was there before.
    """
    return positive(loom_width, "loom_width", "The loom width") / kept(draw_in, "draw_in")


def loom_width_from_reed(reed_width: float, draw_in: float) -> float:
    """Width of the cloth on the loom that comes from a reed width.

    Equation: loom = reed (1 - d)   (F-61)
    Parameters:
        reed_width [cm]: width in the reed
        draw_in [fraction]: share of the reed width lost between reed and cloth
    Returns:
        [cm] width of the woven cloth before washing
    Validity: reed_width > 0, draw-in below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> loom_width_from_reed(50, 0.04)
        48.0

    Source: definition of a loss as a share of what was there before.
    """
    return positive(reed_width, "reed_width", "The reed width") * kept(draw_in, "draw_in")


def cloth_sett(sett_in_reed: float, draw_in: float) -> float:
    """Ends per centimetre in the cloth on the loom, from the sett in the reed.

    Equation: cloth sett = reed sett / (1 - d)   (F-62)
    Parameters:
        sett_in_reed [1/cm]: ends per centimetre in the reed
        draw_in [fraction]: share of the reed width lost between reed and cloth
    Returns:
        [1/cm] ends per centimetre in the woven cloth before washing
    Validity: sett > 0, draw-in below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> cloth_sett(24, 0.04)
        25.0

    Source: definition: the same ends in the narrower cloth.
    """
    return positive(sett_in_reed, "sett", "The sett") / kept(draw_in, "draw_in")


def sett_in_reed(cloth_sett: float, draw_in: float) -> float:
    """Ends per centimetre in the reed that give a sett in the cloth on the loom.

    Equation: reed sett = cloth sett (1 - d)   (F-62)
    Parameters:
        cloth_sett [1/cm]: ends per centimetre in the woven cloth before washing
        draw_in [fraction]: share of the reed width lost between reed and cloth
    Returns:
        [1/cm] ends per centimetre in the reed
    Validity: sett > 0, draw-in below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> sett_in_reed(25, 0.04)
        24.0

    Source: definition: the same ends in the narrower cloth.
    """
    return positive(cloth_sett, "sett", "The sett") * kept(draw_in, "draw_in")


def piece_on_loom(finished: float, hem: float, length_shrinkage: float) -> float:
    """Length to weave for one piece, its hems included.

    Equation: piece = (finished + hem) / (1 - s_l)   (F-63)
    Parameters:
        finished [cm]: length wanted after washing and hemming
        hem [cm]: all the length one piece gives to its hems, both ends
        length_shrinkage [fraction]: share of the loom length lost in washing
    Returns:
        [cm] length of the piece on the loom
    Validity: finished > 0, hem >= 0, shrinkage below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(piece_on_loom(48, 4, 0.08), 2)
        56.52

    Source: definition of a loss as a share of what was there before (compare ISO 5077).
    """
    cut = positive(finished, "finished_length", "The finished length") + not_negative(
        hem, "hem", "The hem"
    )
    return cut / kept(length_shrinkage, "length_shrinkage")


def finished_length(piece_on_loom: float, hem: float, length_shrinkage: float) -> float:
    """Length after washing and hemming of a piece of known length on the loom.

    Equation: finished = piece (1 - s_l) - hem   (F-63)
    Parameters:
        piece_on_loom [cm]: length of the piece on the loom
        hem [cm]: all the length the piece gives to its hems, both ends
        length_shrinkage [fraction]: share of the loom length lost in washing
    Returns:
        [cm] length after washing and hemming
    Validity: the washed piece is longer than its hems.
    Errors: InputError when a figure is out of reach or the hems take all.

    Example:
        >>> round(finished_length(56.52, 4, 0.08), 1)
        48.0

    Source: definition of a loss as a share of what was there before (compare ISO 5077).
    """
    washed = positive(piece_on_loom, "piece_on_loom", "The piece") * kept(
        length_shrinkage, "length_shrinkage"
    )
    left = washed - not_negative(hem, "hem", "The hem")
    if left <= 0:
        raise InputError("hem", "The hems take the whole piece.", "Weave longer or hem less.")
    return left


def unit_width(ends_per_unit: float, cloth_sett: float, width_shrinkage: float) -> float:
    """Finished width of one pattern unit.

    Equation: width = E / (e / (1 - s_w))   (F-64)
    Parameters:
        ends_per_unit [count]: ends on one pattern heddle
        cloth_sett [1/cm]: ends per centimetre in the woven cloth before washing
        width_shrinkage [fraction]: share of the loom width lost in washing
    Returns:
        [cm] width of one unit after washing
    Validity: ends and sett > 0, shrinkage below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(unit_width(5, 25, 0.05), 9)
        0.19

    Source: definition.
    """
    ends = positive(ends_per_unit, "ends_per_unit", "The ends of a unit")
    return (
        ends / positive(cloth_sett, "sett", "The sett") * kept(width_shrinkage, "width_shrinkage")
    )


def unit_height(picks_per_unit: float, picks: float, length_shrinkage: float) -> float:
    """Finished height of one pattern unit.

    Equation: height = (P / p)(1 - s_l)   (F-65)
    Parameters:
        picks_per_unit [count]: picks between two changes of the pattern
        picks [1/cm]: picks per centimetre on the loom, counted slack
        length_shrinkage [fraction]: share of the loom length lost in washing
    Returns:
        [cm] height of one unit after washing
    Validity: picks > 0, shrinkage below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(unit_height(5, 25, 0.08), 9)
        0.184

    Source: definition.
    """
    in_unit = positive(picks_per_unit, "picks_per_unit", "The picks of a unit")
    return (
        in_unit / positive(picks, "picks", "The picks") * kept(length_shrinkage, "length_shrinkage")
    )


def squareness(unit_height: float, unit_width: float) -> float:
    """How tall a unit stands beside its width: 1 is square, more is stretched.

    Equation: squareness = height / width   (F-66)
    Parameters:
        unit_height [cm]: height of one unit
        unit_width [cm]: width of one unit
    Returns:
        [ratio] height divided by width
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(squareness(0.184, 0.19), 3)
        0.968

    Source: definition.
    """
    return positive(unit_height, "picks", "The unit's height") / positive(
        unit_width, "sett", "The unit's width"
    )


def picks_for_square(
    ends_per_unit: float,
    picks_per_unit: float,
    cloth_sett: float,
    width_shrinkage: float,
    length_shrinkage: float,
) -> float:
    """Picks per centimetre on the loom that make a unit square after washing.

    Equation: p = (P / E) e (1 - s_l) / (1 - s_w)   (F-67)
    Parameters:
        ends_per_unit [count]: ends on one pattern heddle
        picks_per_unit [count]: picks between two changes of the pattern
        cloth_sett [1/cm]: ends per centimetre in the woven cloth before washing
        width_shrinkage [fraction]: share of the loom width lost in washing
        length_shrinkage [fraction]: share of the loom length lost in washing
    Returns:
        [1/cm] picks per centimetre on the loom
    Validity: all counts > 0, shrinkages below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(picks_for_square(5, 5, 25, 0.05, 0.08), 1)
        24.2

    Source: F-64 set equal to F-65; before washing it is Bell's rule, T. F. Bell, Jacquard
        Weaving and Designing, 1895, page 79 of the web edition.
    """
    ratio = positive(picks_per_unit, "picks_per_unit", "The picks of a unit") / positive(
        ends_per_unit, "ends_per_unit", "The ends of a unit"
    )
    washed = kept(length_shrinkage, "length_shrinkage") / kept(width_shrinkage, "width_shrinkage")
    return ratio * positive(cloth_sett, "sett", "The sett") * washed


def units_across(loom_width: float, cloth_sett: float, ends_per_unit: int) -> int:
    """Units across the cloth, to the nearest whole.

    Equation: units = nearest(loom width e / E)   (F-68)
    Parameters:
        loom_width [cm]: width of the woven cloth before washing
        cloth_sett [1/cm]: ends per centimetre in that cloth
        ends_per_unit [count]: ends on one pattern heddle
    Returns:
        [count] whole units, at least one
    Validity: all > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> units_across(50.526, 25, 5)
        253

    Source: definition; rounded once, to the nearest.
    """
    width = positive(loom_width, "finished_width", "The loom width")
    sett = positive(cloth_sett, "sett", "The sett")
    ends = positive(ends_per_unit, "ends_per_unit", "The ends of a unit")
    return max(1, int(round_nearest(width * sett / ends).value))


def units_up(loom_length: float, picks: float, picks_per_unit: float) -> int:
    """Units up the cloth, to the nearest whole.

    Equation: units = nearest(loom length p / P)   (F-68)
    Parameters:
        loom_length [cm]: length of the patterned cloth before washing
        picks [1/cm]: picks per centimetre on the loom
        picks_per_unit [count]: picks between two changes of the pattern, a mean where they mix
    Returns:
        [count] whole units, at least one
    Validity: all > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> units_up(52.174, 24, 5)
        250

    Source: definition; rounded once, to the nearest.
    """
    length = positive(loom_length, "finished_length", "The loom length")
    density = positive(picks, "picks", "The picks")
    in_unit = positive(picks_per_unit, "picks_per_unit", "The picks of a unit")
    return max(1, int(round_nearest(length * density / in_unit).value))


def ends(units: int, ends_per_unit: int, selvedge: int = 0) -> int:
    """Ends in the warp.

    Equation: ends = units E + selvedge   (F-69)
    Parameters:
        units [count]: units across
        ends_per_unit [count]: ends on one pattern heddle
        selvedge [count]: edge ends of both sides together
    Returns:
        [count] ends in all
    Validity: units and ends > 0, selvedge >= 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> ends(253, 5, 8)
        1273

    Source: definition.
    """
    positive(units, "units", "The number of units")
    positive(ends_per_unit, "ends_per_unit", "The ends of a unit")
    not_negative(selvedge, "selvedge_ends", "The selvedge")
    return units * ends_per_unit + selvedge


def units_in_ends(ends: int, ends_per_unit: int, selvedge: int = 0) -> tuple[int, int]:
    """Whole units in a number of ends, and the ends left over.

    Equation: units, rest = divmod(ends - selvedge, E)   (F-69)
    Parameters:
        ends [count]: ends in all
        ends_per_unit [count]: ends on one pattern heddle
        selvedge [count]: edge ends of both sides together
    Returns:
        [count] whole units; ends that make no unit
    Validity: selvedge at most ends.
    Errors: InputError when the selvedge takes more than there is.

    Example:
        >>> units_in_ends(1275, 5, 8)
        (253, 2)

    Source: definition.
    """
    positive(ends, "ends", "The number of ends")
    positive(ends_per_unit, "ends_per_unit", "The ends of a unit")
    if not 0 <= selvedge <= ends:
        raise InputError(
            "selvedge_ends",
            f"A selvedge of {selvedge} ends does not fit into {ends} ends.",
            "Count the edge ends of both sides together.",
        )
    return divmod(ends - selvedge, ends_per_unit)


@dataclass(frozen=True)
class MixedPicks:
    """Whole picks per unit in a short order that repeats, and the mean it makes."""

    order: tuple[int, ...]
    mean: Fraction
    error: float  # (mean - wanted) / wanted


def mixed_picks(wanted: float, tolerance: float = 0.005, longest: int = 8) -> MixedPicks:
    """The shortest repeating order of whole picks per unit that comes near a wanted mean.

    Equation: n = least n with |nearest(n w) / n - w| <= tolerance w, shared out evenly   (F-70)
    Parameters:
        wanted [count]: mean picks per unit that would be square
        tolerance [fraction]: how far the mean may stand from it
        longest [count]: most units the order may run before it repeats
    Returns:
        [count] the order, its mean and its error; the nearest there is where none is near enough
    Validity: 0.5 <= wanted <= 10,000.
    Errors: InputError when the picks cannot be whole and above nought.

    Example:
        >>> mixed_picks(3 * 150 / 100).order
        (4, 5)
        >>> mixed_picks(2 * 150 / 100).order
        (3,)

    Source: T. F. Bell, Jacquard Weaving and Designing, 1895, page 79 of the web edition (4 and 5
        alternately for 3 ends per mail at 100 by 150).
    """
    if not FEWEST_PICKS <= wanted <= MOST_PICKS:
        raise InputError(
            "picks_per_unit",
            f"{wanted:.3g} picks per unit cannot be woven.",
            "Change the ends per unit or the picks.",
        )
    found: list[MixedPicks] = []
    for length in range(1, longest + 1):
        mean = Fraction(max(length, int(round_nearest(wanted * length).value)), length)
        error = float(mean) / wanted - 1
        order = spread_evenly(int(mean * length), length)
        found.append(MixedPicks(order, mean, error))
        if abs(error) <= tolerance:
            return found[-1]
    return min(found, key=lambda one: (round(abs(one.error), 9), len(one.order)))


def hem_length(fold: float, turn_in: float, hemmed_ends: int = 2) -> float:
    """Length that one piece gives to its hems.

    Equation: hem = (fold + turn-in) ends   (F-71)
    Parameters:
        fold [cm]: depth of the finished hem
        turn_in [cm]: raw edge turned under inside it; nought for a single hem or a fringe
        hemmed_ends [count]: how many ends of the piece are hemmed
    Returns:
        [cm] length of washed cloth that goes into the hems
    Validity: both depths >= 0.
    Errors: InputError when a depth is below nought.

    Example:
        >>> hem_length(1, 1)
        4

    Source: common practice, no source.
    """
    not_negative(fold, "fold", "The hem's depth")
    not_negative(turn_in, "turn_in", "The turn-in")
    return (fold + turn_in) * not_negative(hemmed_ends, "hemmed_ends", "The number of hems")


@dataclass(frozen=True)
class Part:
    """A part of the cloth's width: how many ends it has, and how often it comes."""

    name: str
    ends: int
    times: int = 1


def layout_ends(parts: Sequence[Part]) -> int:
    """Ends of a cloth made of centre, borders, margins and selvedges.

    Equation: ends = sum of (ends of the part x times it comes)   (F-72)
    Parameters:
        parts [list]: each part with its ends and its times
    Returns:
        [count] ends in all
    Validity: ends and times >= 0.
    Errors: InputError when a part has fewer than no ends.

    Example:
        >>> layout_ends([Part("centre", 400, 6), Part("point border", 204 * 2, 2),
        ...     Part("margin", 96), Part("selvedge", 48)])
        3360

    Source: E. A. Posselt, The Jacquard Machine, 1888, p. 40.
    """
    for part in parts:
        not_negative(part.ends, "parts", f"The ends of the {part.name}")
        not_negative(part.times, "parts", f"The times of the {part.name}")
    return sum(part.ends * part.times for part in parts)


@dataclass(frozen=True)
class Layout:
    """Units of one direction of a bordered cloth: margin, border, centre, border, margin."""

    margin: int
    border: int
    centre: int
    motifs: int
    left_over: int


def layout_in_units(units: int, margin: int, border: int, motif: int = 1) -> Layout:
    """Share the units of one direction among plain margins, borders and the centre.

    Equation: centre = units - 2 (margin + border), motifs, rest = divmod(centre, motif)   (F-72)
    Parameters:
        units [count]: units across or up
        margin [count]: plain units along each edge
        border [count]: border units inside each margin
        motif [count]: units of the motif that repeats in the centre
    Returns:
        [count] the shares, whole motifs, and units left over for spacing
    Validity: the margins and borders leave a centre.
    Errors: InputError when they leave none.

    Example:
        >>> layout_in_units(253, 4, 20, 24)
        Layout(margin=4, border=20, centre=205, motifs=8, left_over=13)

    Source: definition.
    """
    positive(units, "units", "The number of units")
    not_negative(margin, "margin", "The plain margin")
    not_negative(border, "border", "The border")
    positive(motif, "motif", "The motif")
    centre = units - 2 * (margin + border)
    if centre < 1:
        raise InputError(
            "border" if border else "margin",
            f"Margins of {margin} and borders of {border} units on both sides leave no centre "
            f"in {units} units.",
            "Make the border or the margin narrower.",
        )
    return Layout(margin, border, centre, *divmod(centre, motif))


def units_in_length(length: float, unit: float) -> int:
    """Units that cover a length, such as a plain margin, to the nearest whole.

    Equation: n = nearest(length / unit)   (F-68)
    Parameters:
        length [cm]: finished length to cover
        unit [cm]: finished width or height of one unit
    Returns:
        [count] whole units
    Validity: length >= 0, unit > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> units_in_length(1, 0.19)
        5

    Source: definition; rounded once, to the nearest.
    """
    found = not_negative(length, "length", "The length") / positive(unit, "unit", "The unit")
    return int(round_nearest(found).value)
