"""The weft: how many picks and how much yarn. Lengths in cm."""

from calculators.engine.formula import formula


@formula(
    "F-85",
    "Picks in all",
    "trade-knowledge",
)
def picks_total(woven_length: float, picks: float) -> float:
    """Picks in a woven length, not yet rounded.

    >>> round(picks_total(374.13, 24.2))
    9054
    """
    return woven_length * picks


@formula(
    "F-86",
    "Added to each pick",
    "taylor-1909",
    where="p. 312: a share of the reed width",
)
def turn_allowance(turn_share: float, reed_width: float) -> float:
    """Length added to each pick when the allowance is told as a share of the reed width.

    >>> turn_allowance(0.02, 50)
    1.0
    """
    return turn_share * reed_width


@formula(
    "F-86",
    "Added to each pick, as a share",
    "taylor-1909",
    where="p. 312, turned round",
)
def turn_share(turn_allowance: float, reed_width: float) -> float:
    """Length added to each pick, as a share of the reed width.

    >>> turn_share(1, 50)
    0.02
    """
    return turn_allowance / reed_width


@formula(
    "F-86",
    "Weft",
    "taylor-1909",
    gives="weft_yarn_length",
    where="p. 312: reed width, not cloth width",
    validity="the reed width of all the ends; a supplementary weft is a sum of its own",
)
def weft_length(picks_total: float, reed_width: float, turn_allowance: float) -> float:
    """Length of weft, each pick as long as the reed is wide and a little more.

    >>> round(weft_length(9054, 52.63, 0.02 * 52.63) / 100)
    4860
    """
    return picks_total * (reed_width + turn_allowance)


@formula(
    "F-86",
    "Length that a weft weaves",
    "taylor-1909",
    gives="woven_length",
    where="p. 312, turned round",
)
def woven_from_weft(
    weft_yarn_length: float, picks: float, reed_width: float, turn_allowance: float
) -> float:
    """Length that a length of weft yarn weaves.

    >>> round(woven_from_weft(486_000, 24.2, 52.63, 1.05), 1)
    374.1
    """
    return weft_yarn_length / (picks * (reed_width + turn_allowance))
