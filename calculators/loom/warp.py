"""The warp: how long, how much yarn, and how much of it is waste. Lengths in cm."""

from collections.abc import Sequence

from calculators.engine.expression import down
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.checks import not_negative, positive


@formula(
    "F-80",
    "Length to weave",
    "trade-knowledge",
    validity="pieces alike, on one warp",
)
def woven_length(pieces: int, piece_on_loom: float, gap: float = 0.0, sample: float = 0.0) -> float:
    """Length to weave: the pieces, the gaps between them and the sample.

    >>> round(woven_length(6, 52 / 0.92, 1, 30), 1)
    374.1
    """
    return pieces * piece_on_loom + (pieces - 1) * gap + sample


def woven_length_of(
    pieces_on_loom: Sequence[float], gap: float = 0.0, sample: float = 0.0
) -> float:
    """Length to weave for pieces that are not alike.

    Equation: woven = sum of pieces + (n - 1) gap + sample   (F-80)
    Parameters:
        pieces_on_loom [list of cm]: length of each piece on the loom, hems included
        gap [cm]: length left or woven between two pieces
        sample [cm]: length given to trials
    Returns:
        [cm] length on the loom
    Validity: at least one piece.
    Errors: InputError when there is no piece or a figure is out of reach.

    Example:
        >>> woven_length_of([50, 50, 80], 2, 30)
        214

    Source: definition.
    """
    if not pieces_on_loom:
        raise InputError("pieces", "There is no piece to weave.", "Give at least one length.")
    for piece in pieces_on_loom:
        positive(piece, "pieces", "Every piece")
    not_negative(gap, "gap", "The gap")
    not_negative(sample, "sample", "The sample")
    return sum(pieces_on_loom) + (len(pieces_on_loom) - 1) * gap + sample


@formula(
    "F-81",
    "Length of the warp",
    "taylor-1909",
    gives="warp_length",
    where="p. 427 of the web edition: take-up is told on the cloth",
)
def warp_for(woven_length: float, take_up: float, loom_waste: float) -> float:
    """Length of the warp for a length to weave.

    >>> round(warp_for(374.13, 0.06, 140), 1)
    536.6
    """
    return woven_length * (1 + take_up) + loom_waste


def warp_length(
    pieces: int,
    piece_on_loom: float,
    *,
    gap: float,
    sample: float,
    take_up: float,
    loom_waste: float,
) -> float:
    """Length of the warp for pieces alike (F-80, F-81).

    >>> round(warp_length(6, 52 / 0.92, gap=1, sample=30, take_up=0.06, loom_waste=140), 1)
    536.6
    """
    return warp_for(woven_length(pieces, piece_on_loom, gap, sample), take_up, loom_waste)


@formula(
    "F-81",
    "Length that a warp weaves",
    "taylor-1909",
    gives="woven_length",
    where="p. 427 of the web edition, turned round",
)
def woven_from(warp_length: float, loom_waste: float, take_up: float) -> float:
    """Length that can be woven from a warp of known length that is longer than its waste.

    >>> round(woven_from(536.58, 140, 0.06), 1)
    374.1
    """
    return (warp_length - loom_waste) / (1 + take_up)


def woven_from_warp(warp_length: float, take_up: float, loom_waste: float) -> float:
    """Length that can be woven from a warp, nought where the waste takes all (F-81).

    >>> round(woven_from_warp(536.58, 0.06, 140), 1), woven_from_warp(100, 0.06, 140)
    (374.1, 0.0)
    """
    return max(0.0, woven_from(warp_length, loom_waste, take_up)) if warp_length else 0.0


@formula(
    "F-81",
    "Take-up measured",
    "taylor-1909",
    gives="take_up",
    where="p. 427 of the web edition, turned round",
    validity="nothing was cut off besides the thrums",
)
def taken_up(warp_length: float, thrums: float, woven_length: float) -> float:
    """Take-up from the warp wound, the thrums left and the length woven, all of it slack.

    >>> round(taken_up(536.6, 140, 374.1), 3)
    0.06
    """
    return (warp_length - thrums) / woven_length - 1


@formula(
    "F-80",
    "Pieces that a length holds",
    "trade-knowledge",
    gives="pieces",
    validity="pieces alike; a part of a piece is none",
)
def whole_pieces(woven_length: float, sample: float, gap: float, piece_on_loom: float) -> int:
    """How many whole pieces alike a woven length holds, below nought where the sample takes all.

    >>> whole_pieces(374.2, 30, 1, 52 / 0.92)
    6
    """
    return down((woven_length - sample + gap) / (piece_on_loom + gap))


def pieces_possible(woven_length: float, piece_on_loom: float, gap: float, sample: float) -> int:
    """How many whole pieces alike a woven length holds, none where the sample takes all (F-80).

    >>> pieces_possible(374.2, 52 / 0.92, 1, 30), pieces_possible(0, 52 / 0.92, 1, 30)
    (6, 0)
    """
    if not woven_length:
        return 0
    return max(0, whole_pieces(woven_length, sample, gap, piece_on_loom))


@formula(
    "F-82",
    "Yarn in the warp",
    "brooks-1892",
    gives="warp_yarn_length",
    where="section “Weight of a Piece”",
)
def warp_yarn(ends: int, warp_length: float) -> float:
    """Length of yarn in a warp.

    >>> round(warp_yarn(1273, 536.58) / 100)
    6831
    """
    return ends * warp_length


@formula(
    "F-82",
    "Length of each end",
    "brooks-1892",
    gives="warp_length",
    where="section “Weight of a Piece”, turned round",
)
def length_of_each_end(warp_yarn_length: float, ends: int) -> float:
    """Length of warp that a length of yarn gives to so many ends.

    >>> round(length_of_each_end(683_100, 1273), 1)
    536.6
    """
    return warp_yarn_length / ends


@formula(
    "F-83",
    "Waste’s share",
    "trade-knowledge",
    gives="waste_share",
)
def share_of_waste(loom_waste: float, warp_length: float) -> float:
    """Share of a warp that ends as thrums.

    >>> round(share_of_waste(140, 536.58), 3)
    0.261
    """
    return loom_waste / warp_length


def waste_share(loom_waste: float, warp_length: float) -> float:
    """Share of the warp that ends as thrums, refused where there is more waste than warp (F-83).

    >>> round(waste_share(140, 536.58), 3)
    0.261
    """
    if loom_waste > warp_length > 0:
        raise InputError("loom_waste", "The waste is longer than the warp.", "Check both lengths.")
    return share_of_waste(loom_waste, warp_length)


@formula(
    "F-84",
    "Yarn needed, with reserve",
    "wolfensberger-1921",
    gives="yarn_to_have",
)
def with_winding_waste(yarn_woven: float, winding_waste: float = 0.0) -> float:
    """Yarn needed, so that enough is left after a share is lost in winding and knots.

    >>> with_winding_waste(960, 0.04)
    1000.0
    """
    return yarn_woven / (1 - winding_waste)
