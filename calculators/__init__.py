"""The arithmetic of hand-woven pattern-unit cloth, from the cone to the washed piece.

``run`` answers a calculator, ``describe`` lists them, ``table`` gives a printed table.
"""

from collections.abc import Mapping
from typing import Any

__version__ = "0.1.0"
__all__ = ["describe", "run", "table"]


def run(name: str, inputs: Mapping[str, Any] | None = None, units: str = "") -> dict[str, Any]:
    """Answer calculator ``name`` for ``inputs``; fields left out keep the worked example's value.

    ``units`` is "cm" or "inch", what a bare number is counted in; without it each field has its
    own unit.

    >>> answer = run("yarn-count", {"yarn": "16/2", "system": "cotton"})
    >>> answer["results"]["yards_per_pound"]["value"]
    6720.0
    """
    from calculators import contract  # noqa: PLC0415  (a room can be imported without the others)

    return contract.run(name, inputs, units)


def describe(language: str = "") -> list[dict[str, Any]]:
    """List every calculator with its fields and outputs; ``language`` may be "american"."""
    from calculators import contract  # noqa: PLC0415

    return contract.describe(language)


def table(name: str) -> dict[str, Any]:
    """Return a printed table by name: title, columns and rows."""
    from calculators import tables  # noqa: PLC0415

    return tables.as_object(name)
