"""Common yarns, by fibre and count."""

from dataclasses import dataclass
from functools import cache

from calculators.data import load
from calculators.yarn.yarn import Yarn, parse_yarn


@dataclass(frozen=True)
class CatalogueYarn:
    """A row of data/yarns.toml, with its label read."""

    name: str
    fibre: str
    label: str
    system: str
    basis: str
    source: str
    yarn: Yarn


@cache
def catalogue() -> tuple[CatalogueYarn, ...]:
    """Read the catalogue of common yarns.

    Equation: none
    Parameters: none
    Returns:
        [rows] every yarn of data/yarns.toml
    Validity: fibre and count only; that a yarn is common is common practice.
    Errors: none.

    Example:
        >>> next(row.yarn.tex for row in catalogue() if row.name == "linen 16/1")
        103.34471830344124

    Source: common practice, no source.
    """
    return tuple(
        CatalogueYarn(
            name=row["name"],
            fibre=row["fibre"],
            label=row["label"],
            system=row["system"],
            basis=row["basis"],
            source=row["source"],
            yarn=parse_yarn(row["label"], row["system"]),
        )
        for row in load("yarns")["yarn"]
    )
