"""The weft: how many picks and how much yarn. Lengths in cm."""

from calculators.quantities.checks import not_negative, positive


def picks_total(woven_length: float, picks: float) -> float:
    """Picks in a woven length, not yet rounded.

    Equation: picks = woven length x picks per cm   (F-85)
    Parameters:
        woven_length [cm]: length on the loom
        picks [1/cm]: picks per centimetre on the loom
    Returns:
        [count] picks
    Validity: both > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(picks_total(374.13, 24.2))
        9054

    Source: definition.
    """
    return positive(woven_length, "woven_length", "The woven length") * positive(
        picks, "picks", "The picks"
    )


def turn_allowance(share: float, reed_width: float) -> float:
    """Length added to each pick when the allowance is told as a share of the reed width.

    Equation: turn = share x reed width   (F-86)
    Parameters:
        share [fraction]: extra weft / reed width
        reed_width [cm]: width in the reed
    Returns:
        [cm] extra length of each pick
    Validity: share >= 0, reed width > 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> turn_allowance(0.02, 50)
        1.0

    Source: definition; 2 % is common practice, no source.
    """
    return not_negative(share, "turn_allowance", "The allowance") * positive(
        reed_width, "reed_width", "The reed width"
    )


def weft_length(picks_total: float, reed_width: float, turn_allowance: float) -> float:
    """Length of weft, each pick as long as the reed is wide and a little more.

    Equation: yarn = picks (reed width + turn)   (F-86)
    Parameters:
        picks_total [count]: picks in all; the picks of a supplementary weft are a sum of its own
        reed_width [cm]: width in the reed
        turn_allowance [cm]: extra length of each pick, for the turn and the weft's own take-up
    Returns:
        [cm] yarn
    Validity: picks and reed width > 0, turn >= 0.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(weft_length(9054, 52.63, 0.02 * 52.63) / 100)
        4860

    Source: reed width and not cloth width, J. T. Taylor, Cotton Weaving and Designing, 6th ed.,
        1909, p. 312.
    """
    pick = positive(reed_width, "reed_width", "The reed width") + not_negative(
        turn_allowance, "turn_allowance", "The turn allowance"
    )
    return positive(picks_total, "picks", "The number of picks") * pick
