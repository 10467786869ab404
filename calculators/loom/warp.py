"""The warp: how long, how much yarn, and how much of it is waste. Lengths in cm."""

from collections.abc import Sequence

from calculators.errors import InputError
from calculators.quantities.checks import kept, not_negative, positive


def woven_length(pieces: int, piece_on_loom: float, gap: float = 0.0, sample: float = 0.0) -> float:
    """Length to weave: the pieces, the gaps between them and the sample.

    Equation: woven = n piece + (n - 1) gap + sample   (F-80)
    Parameters:
        pieces [count]: pieces alike on one warp
        piece_on_loom [cm]: length of one piece on the loom, hems included
        gap [cm]: length left or woven between two pieces
        sample [cm]: length given to trials
    Returns:
        [cm] length on the loom
    Validity: at least one piece.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(woven_length(6, 52 / 0.92, 1, 30), 1)
        374.1

    Source: definition.
    """
    positive(pieces, "pieces", "The number of pieces")
    positive(piece_on_loom, "finished_length", "The piece on the loom")
    not_negative(gap, "gap", "The gap")
    not_negative(sample, "sample", "The sample")
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


def warp_for(woven: float, take_up: float, waste: float) -> float:
    """Length of the warp for a length to weave.

    Equation: warp = woven (1 + t) + waste   (F-81)
    Parameters:
        woven [cm]: length to weave, everything counted
        take_up [fraction]: extra warp / woven length
        waste [cm]: loom waste, both ends
    Returns:
        [cm] length of every end
    Validity: woven > 0, take-up and waste >= 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(warp_for(374.13, 0.06, 140), 1)
        536.6

    Source: take-up on woven length as J. T. Taylor, Cotton Weaving and Designing, 6th ed., 1909,
        p. 427 of the web edition (94 yards of cloth at about 4 per cent, 98 yards of warp).
    """
    positive(woven, "finished_length", "The length to weave")
    not_negative(take_up, "take_up", "The take-up")
    return woven * (1 + take_up) + not_negative(waste, "loom_waste", "The loom waste")


def warp_length(
    pieces: int, piece_on_loom: float, gap: float, sample: float, take_up: float, waste: float
) -> float:
    """Length of the warp for pieces alike.

    Equation: warp = (n piece + (n - 1) gap + sample)(1 + t) + waste   (F-81)
    Parameters:
        pieces [count]: pieces alike on one warp
        piece_on_loom [cm]: length of one piece on the loom, hems included
        gap [cm]: length left or woven between two pieces
        sample [cm]: length given to trials
        take_up [fraction]: extra warp / woven length
        waste [cm]: loom waste, both ends
    Returns:
        [cm] length of every end
    Validity: at least one piece, take-up and waste >= 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(warp_length(6, 52 / 0.92, 1, 30, 0.06, 140), 1)
        536.6

    Source: F-80 and F-81 together.
    """
    return warp_for(woven_length(pieces, piece_on_loom, gap, sample), take_up, waste)


def woven_from_warp(warp_length: float, take_up: float, waste: float) -> float:
    """Length that can be woven from a warp of known length.

    Equation: woven = (warp - waste) / (1 + t)   (F-81)
    Parameters:
        warp_length [cm]: length of every end
        take_up [fraction]: extra warp / woven length
        waste [cm]: loom waste, both ends
    Returns:
        [cm] length on the loom, nought where waste takes all
    Validity: take-up and waste >= 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(woven_from_warp(536.58, 0.06, 140), 1)
        374.1

    Source: F-81 solved for the woven length.
    """
    positive(warp_length, "warp_length", "The warp's length")
    not_negative(take_up, "take_up", "The take-up")
    return max(0.0, warp_length - not_negative(waste, "loom_waste", "The loom waste")) / (
        1 + take_up
    )


def pieces_possible(woven: float, piece_on_loom: float, gap: float, sample: float) -> int:
    """How many whole pieces alike a woven length holds.

    Equation: n = floor((woven - sample + gap) / (piece + gap))   (F-80)
    Parameters:
        woven [cm]: length that can be woven
        piece_on_loom [cm]: length of one piece on the loom, hems included
        gap [cm]: length left or woven between two pieces
        sample [cm]: length given to trials first
    Returns:
        [count] whole pieces, nought where the sample takes all
    Validity: piece > 0, the rest >= 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> pieces_possible(374.2, 52 / 0.92, 1, 30)
        6

    Source: F-80 solved for the pieces; rounded down, a part of a piece is none.
    """
    not_negative(woven, "woven_length", "The woven length")
    positive(piece_on_loom, "finished_length", "The piece on the loom")
    not_negative(gap, "gap", "The gap")
    room = woven - not_negative(sample, "sample", "The sample") + gap
    return max(0, int((room + 1e-9) // (piece_on_loom + gap)))


def warp_yarn(ends: int, warp_length: float) -> float:
    """Length of yarn in a warp.

    Equation: yarn = ends x warp length   (F-82)
    Parameters:
        ends [count]: ends in all, selvedges too
        warp_length [cm]: length of every end
    Returns:
        [cm] yarn
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(warp_yarn(1273, 536.58) / 100)
        6831

    Source: definition; worked so in C. P. Brooks, Cotton Manufacturing, 3rd ed., 1892, section
        “Weight of a Piece”.
    """
    return positive(ends, "ends", "The number of ends") * positive(
        warp_length, "warp_length", "The warp's length"
    )


def waste_share(waste: float, warp_length: float) -> float:
    """Share of the warp that ends as thrums.

    Equation: share = waste / warp   (F-83)
    Parameters:
        waste [cm]: loom waste, both ends
        warp_length [cm]: length of every end
    Returns:
        [fraction] waste / warp length
    Validity: 0 <= waste <= warp length.
    Errors: InputError when there is more waste than warp.

    Example:
        >>> round(waste_share(140, 536.58), 3)
        0.261

    Source: definition.
    """
    not_negative(waste, "loom_waste", "The loom waste")
    if waste > positive(warp_length, "warp_length", "The warp's length"):
        raise InputError("loom_waste", "The waste is longer than the warp.", "Check both lengths.")
    return waste / warp_length


def with_winding_waste(yarn: float, waste: float) -> float:
    """Yarn to have, so that enough is left after a share is lost in winding and knots.

    Equation: to have = yarn / (1 - w)   (F-84)
    Parameters:
        yarn [cm or g]: yarn that goes into the loom
        waste [fraction]: share of the yarn bought that never gets there
    Returns:
        [cm or g] yarn to have
    Validity: yarn > 0, waste below 1.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> with_winding_waste(960, 0.04)
        1000.0

    Source: definition of a loss as a share of what was there before.
    """
    return positive(yarn, "yarn", "The yarn") / kept(waste, "waste")
