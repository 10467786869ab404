"""Finished size, loom width, reed width, units and ends: each from the other.

Lengths in cm, setts and picks in threads per cm, losses as fractions.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from calculators.engine.expression import nearest
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.checks import not_negative, positive
from calculators.quantities.format import round_nearest
from calculators.quantities.sentences import many
from calculators.quantities.sharing import shared_evenly

FEWEST_PICKS, MOST_PICKS = 0.5, 10_000  # in a unit; beyond them no order is looked for


@formula(
    "F-60",
    "Width on the loom",
    "iso-5077",
    validity="a loss is a share of what was there before",
)
def loom_width(finished_width: float, width_shrinkage: float) -> float:
    """Width of the cloth on the loom that washes down to the finished width.

    >>> round(loom_width(48, 0.05), 2)
    50.53
    """
    return finished_width / (1 - width_shrinkage)


@formula(
    "F-60",
    "Width after the wash",
    "iso-5077",
    validity="a loss is a share of what was there before",
)
def finished_width(loom_width: float, width_shrinkage: float) -> float:
    """Width after washing of a cloth of known width on the loom.

    >>> round(finished_width(50, 0.05), 9)
    47.5
    """
    return loom_width * (1 - width_shrinkage)


@formula(
    "F-61",
    "Width in the reed",
    "trade-knowledge",
    validity="a loss is a share of what was there before",
)
def reed_width(loom_width: float, draw_in: float) -> float:
    """Width to enter in the reed for a cloth of known width on the loom.

    >>> round(reed_width(50.526, 0.04), 2)
    52.63
    """
    return loom_width / (1 - draw_in)


@formula(
    "F-61",
    "Width on the loom from the reed",
    "trade-knowledge",
    gives="loom_width",
    validity="a loss is a share of what was there before",
)
def loom_width_from_reed(reed_width: float, draw_in: float) -> float:
    """Width of the cloth on the loom that comes from a reed width.

    >>> loom_width_from_reed(50, 0.04)
    48.0
    """
    return reed_width * (1 - draw_in)


@formula(
    "F-62",
    "Ends in the cloth on the loom",
    "trade-knowledge",
    validity="the same ends in the narrower cloth",
)
def cloth_sett(reed_sett: float, draw_in: float) -> float:
    """Ends per centimetre in the cloth on the loom, from the sett in the reed.

    >>> cloth_sett(24, 0.04)
    25.0
    """
    return reed_sett / (1 - draw_in)


@formula(
    "F-62",
    "Ends in the reed",
    "trade-knowledge",
    gives="reed_sett",
    validity="the same ends in the wider reed",
)
def sett_in_reed(cloth_sett: float, draw_in: float) -> float:
    """Ends per centimetre in the reed that give a sett in the cloth on the loom.

    >>> sett_in_reed(25, 0.04)
    24.0
    """
    return cloth_sett * (1 - draw_in)


@formula(
    "F-63",
    "One piece on the loom",
    "iso-5077",
    validity="a loss is a share of what was there before",
)
def piece_on_loom(finished_length: float, hem: float, length_shrinkage: float) -> float:
    """Length to weave for one piece, its hems included.

    >>> round(piece_on_loom(48, 4, 0.08), 2)
    56.52
    """
    return (finished_length + hem) / (1 - length_shrinkage)


@formula(
    "F-63",
    "The pattern’s length on the loom",
    "iso-5077",
    validity="a loss is a share of what was there before; without hems",
)
def loom_length(finished_length: float, length_shrinkage: float) -> float:
    """Length to weave for the pattern of one piece.

    >>> round(loom_length(48, 0.08), 2)
    52.17
    """
    return finished_length / (1 - length_shrinkage)


@formula(
    "F-63",
    "Length after wash and hems",
    "iso-5077",
    gives="finished_length",
    validity="a loss is a share of what was there before",
)
def hemmed_length(piece_on_loom: float, length_shrinkage: float, hem: float) -> float:
    """Length after washing and hemming, below nought where the hems take all.

    >>> round(hemmed_length(56.52, 0.08, 4), 1)
    48.0
    """
    return piece_on_loom * (1 - length_shrinkage) - hem


def finished_length(piece_on_loom: float, hem: float, length_shrinkage: float) -> float:
    """Length after washing and hemming of a piece of known length on the loom (F-63).

    >>> round(finished_length(56.52, 4, 0.08), 1)
    48.0
    """
    left = hemmed_length(piece_on_loom, length_shrinkage, hem)
    if left <= 0:
        raise InputError("hem", "The hems take the whole piece.", "Weave longer or hem less.")
    return left


@formula(
    "F-60",
    "Width lost in the wash",
    "iso-5077",
    gives="width_shrinkage",
    validity="measured slack on the loom, and washed, dried and rested",
)
def width_lost(finished_width: float, loom_width: float) -> float:
    """Share of the loom width that the wash took.

    >>> round(width_lost(47.5, 50), 9)
    0.05
    """
    return 1 - finished_width / loom_width


@formula(
    "F-63",
    "Length lost in the wash",
    "iso-5077",
    gives="length_shrinkage",
    validity="measured slack on the loom, and washed, dried and rested",
)
def length_lost(washed_length: float, loom_length: float) -> float:
    """Share of the loom length that the wash took.

    >>> round(length_lost(46, 50), 9)
    0.08
    """
    return 1 - washed_length / loom_length


@formula(
    "F-61",
    "Draw-in",
    "trade-knowledge",
    gives="draw_in",
    validity="measured slack on the loom",
)
def drawn_in(loom_width: float, reed_width: float) -> float:
    """Share of the reed width that was lost between reed and cloth.

    >>> round(drawn_in(48, 50), 9)
    0.04
    """
    return 1 - loom_width / reed_width


@formula(
    "F-64",
    "A unit’s finished width",
    "trade-knowledge",
)
def unit_width(ends_per_unit: float, cloth_sett: float, width_shrinkage: float) -> float:
    """Finished width of one pattern unit.

    >>> round(unit_width(5, 25, 0.05), 9)
    0.19
    """
    return ends_per_unit / cloth_sett * (1 - width_shrinkage)


@formula(
    "F-65",
    "A unit’s finished height",
    "trade-knowledge",
)
def unit_height(picks_per_unit: float, picks: float, length_shrinkage: float) -> float:
    """Finished height of one pattern unit.

    >>> round(unit_height(5, 25, 0.08), 9)
    0.184
    """
    return picks_per_unit / picks * (1 - length_shrinkage)


@formula(
    "F-65",
    "Length of the whole units, washed",
    "trade-knowledge",
)
def pattern_length(units_up: int, unit_height: float) -> float:
    """Finished length of the whole units of one piece.

    >>> round(pattern_length(253, 0.19), 2)
    48.07
    """
    return units_up * unit_height


@formula(
    "F-64",
    "Units to the inch, in the reed",
    "trade-knowledge",
)
def units_per_inch(reed_sett: float, ends_per_unit: float) -> float:
    """Pattern units in an inch of the reed.

    >>> round(units_per_inch(24, 5), 3)
    12.192
    """
    return reed_sett * 2.54 / ends_per_unit


@formula(
    "F-66",
    "Squareness",
    "trade-knowledge",
    validity="1 is square, more is tall",
)
def squareness(unit_height: float, unit_width: float) -> float:
    """How tall a unit stands beside its width.

    >>> round(squareness(0.184, 0.19), 3)
    0.968
    """
    return unit_height / unit_width


@formula(
    "F-67",
    "Picks for square units",
    "bell-1895",
    where="page 79 of the web edition, before washing; the wash is ours",
)
def picks_for_square(
    ends_per_unit: float,
    picks_per_unit: float,
    cloth_sett: float,
    width_shrinkage: float,
    length_shrinkage: float,
) -> float:
    """Picks per centimetre on the loom that make a unit square after washing.

    >>> round(picks_for_square(5, 5, 25, 0.05, 0.08), 1)
    24.2
    """
    return (
        picks_per_unit
        / ends_per_unit
        * cloth_sett
        * ((1 - length_shrinkage) / (1 - width_shrinkage))
    )


@formula(
    "F-68",
    "Units across",
    "trade-knowledge",
    gives="units_across",
    validity="to the nearest whole, once",
)
def whole_units_across(loom_width: float, cloth_sett: float, ends_per_unit: float) -> int:
    """Units across the cloth, to the nearest whole.

    >>> whole_units_across(50.526, 25, 5)
    253
    """
    return nearest(loom_width * cloth_sett / ends_per_unit)


def units_across(loom_width: float, cloth_sett: float, ends_per_unit: int) -> int:
    """Units across the cloth, one at least (F-68).

    >>> units_across(50.526, 25, 5), units_across(0.1, 25, 50)
    (253, 1)
    """
    return max(1, whole_units_across(loom_width, cloth_sett, ends_per_unit))


@formula(
    "F-68",
    "Units up",
    "trade-knowledge",
    gives="units_up",
    validity="to the nearest whole, once",
)
def whole_units_up(loom_length: float, picks: float, picks_per_unit: float) -> int:
    """Units up the cloth, to the nearest whole.

    >>> whole_units_up(52.174, 24.2, 5)
    253
    """
    return nearest(loom_length * picks / picks_per_unit)


def units_up(loom_length: float, picks: float, picks_per_unit: float) -> int:
    """Units up the cloth, one at least (F-68).

    >>> units_up(52.174, 24.2, 5), units_up(0.1, 10, 50)
    (253, 1)
    """
    return max(1, whole_units_up(loom_length, picks, picks_per_unit))


@formula(
    "F-69",
    "Ends of the warp",
    "trade-knowledge",
)
def ends(units_across: int, ends_per_unit: int, selvedge_ends: int = 0) -> int:
    """Ends in the warp.

    >>> ends(253, 5, 8)
    1273
    """
    return units_across * ends_per_unit + selvedge_ends


@formula(
    "F-69",
    "Ends of the pattern",
    "trade-knowledge",
    validity="selvedges not counted",
)
def pattern_ends(units_across: int, ends_per_unit: int) -> int:
    """Ends in the pattern.

    >>> pattern_ends(253, 5)
    1265
    """
    return units_across * ends_per_unit


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
            f"A selvedge of {many(selvedge, 'ends')} does not fit into {many(ends, 'ends')}.",
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
    tried: list[MixedPicks] = []
    for length in range(1, longest + 1):
        mean = Fraction(max(length, int(round_nearest(wanted * length).value)), length)
        error = float(mean) / wanted - 1
        order = shared_evenly(int(mean * length), length)
        tried.append(MixedPicks(order, mean, error))
        if abs(error) <= tolerance:
            return tried[-1]
    return min(tried, key=lambda mixed: round(abs(mixed.error), 9))  # the first of equals


@formula(
    "F-71",
    "Hems of one piece",
    "trade-knowledge",
    gives="hem",
    basis="common practice",
)
def hem_length(fold: float, turn_in: float, hemmed_ends: float) -> float:
    """Length that one piece gives to its hems.

    >>> hem_length(1, 1, 2)
    4
    """
    return (fold + turn_in) * hemmed_ends


@formula("F-161", "Width before the side hems", "trade-knowledge", where="definition")
def unhemmed_width(finished_width: float, side_hems: float) -> float:
    """Width after washing of a piece whose sides are hemmed then.

    >>> unhemmed_width(48, 4)
    52
    """
    return finished_width + side_hems


@formula("F-161", "Width with the side hems sewn", "trade-knowledge", where="definition")
def hemmed_width(washed_width: float, side_hems: float) -> float:
    """Width that the side hems leave of a washed piece, below nought where they take all.

    >>> hemmed_width(52, 4)
    48
    """
    return washed_width - side_hems


def hem_figures(inputs: Mapping[str, Any]) -> dict[str, float]:
    """Read a hem as it is sewn: what is turned in, and how many ends and sides have one (F-71).

    >>> hem_figures({"hem_depth": 1.0, "hem_turns": "twice", "hem_edges": "ends"})
    {'turn_in': 1.0, 'hemmed_ends': 2}
    """
    edges = inputs.get("hem_edges", "ends")
    turned = inputs["hem_depth"] if inputs["hem_turns"] == "twice" else 0
    figures = {"turn_in": turned, "hemmed_ends": 0 if edges == "none" else 2}
    return figures | ({"hemmed_sides": 2} if edges == "all" else {})


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
    units = not_negative(length, "length", "The length") / positive(unit, "unit", "The unit")
    return int(round_nearest(units).value)
