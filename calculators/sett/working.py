"""From the closest sett to one that weaves well: a stated share of the limit."""

from dataclasses import dataclass

from calculators.data import load
from calculators.errors import InputError
from calculators.quantities.checks import positive
from calculators.quantities.interval import Range


@dataclass(frozen=True)
class Firmness:
    """A firmness by name: the share of the limit, what it suits, where it stands."""

    name: str
    title: str
    share: Range
    source: str
    basis: str


FIRMNESS: dict[str, Firmness] = {
    row["name"]: Firmness(
        row["name"], row["title"], Range(*row["share"]), row["source"], row["basis"]
    )
    for row in load("setts")["firmness"]
}


def working_range(maximum: float, firmness: str = "table") -> Range:
    """Working setts for a limit and a firmness.

    Equation: s = share × limit, low, likely and high share   (F-49)
    Parameters:
        maximum [1/inch]: the limit, by Ashenhurst's rule
        firmness [name]: open, table or firm
    Returns:
        [1/inch] low, likely and high ends
    Validity: the shares go with Ashenhurst's limit, not with another rule's.
    Errors: InputError when the limit is not above zero or the firmness is unknown.
    Example:
        >>> working_range(40.0, "table")
        Range(low=30.0, likely=34.0, high=38.0)

    Source: low end of “table”: “about 3/4 … or slightly more” of the maximum, note by M. Faena,
        1999; the other shares: common practice, no source.
    """
    positive(maximum, "maximum", "The closest sett")
    if firmness not in FIRMNESS:
        raise InputError(
            "firmness",
            f"“{firmness[:40]}” is not a firmness known here.",
            "Choose one of: " + ", ".join(FIRMNESS) + ".",
        )
    share = FIRMNESS[firmness].share
    return Range(maximum * share.low, maximum * share.likely, maximum * share.high)
