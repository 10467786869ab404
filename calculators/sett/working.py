"""From the closest sett to one that weaves well: a stated share of the limit."""

from dataclasses import dataclass

from calculators.data import load
from calculators.engine.formula import formula
from calculators.errors import InputError
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
    row["name"]: Firmness(**{**row, "share": Range(*row["share"])})
    for row in load("setts")["firmness"]
}


@formula(
    "F-49",
    "Working sett",
    "ashenhurst-note",
    "trade-knowledge",
    where="“about 3/4 … or slightly more” is published; the other shares are common practice: "
    + ", ".join(
        f"{firmness.name} {firmness.share.low:g}–{firmness.share.likely:g}–{firmness.share.high:g}"
        for firmness in FIRMNESS.values()
    ),
    basis="common practice",
    validity="the shares go with Ashenhurst's limit, not with another rule's",
)
def working(limit_share: float, maximum: float) -> float:
    """A sett that weaves well, as a share of the closest one.

    >>> working(0.85, 40)
    34.0
    """
    return limit_share * maximum


def working_range(maximum: float, firmness: str = "table") -> Range:
    """Working setts for a limit and a firmness: low, likely and high (F-49).

    >>> working_range(40.0, "table")
    Range(low=30.0, likely=34.0, high=38.0)
    """
    if firmness not in FIRMNESS:
        raise InputError(
            "firmness",
            f"“{firmness[:40]}” is not a firmness known here.",
            "Choose one of: " + ", ".join(FIRMNESS) + ".",
        )
    share = FIRMNESS[firmness].share
    likely = working(share.likely, maximum)
    return Range(working(share.low, maximum), likely, working(share.high, maximum))
