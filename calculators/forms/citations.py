"""Formulas and sources by their permanent ids, as the data files state them."""

from functools import cache
from typing import Any

from calculators.data import load

FORMULA_ROOMS = ("yarn", "weave", "sett", "cloth", "loom", "plan", "shelf")


@cache
def formulas() -> dict[str, dict[str, Any]]:
    """Return every formula by its permanent id."""
    return {
        formula["id"]: formula
        for room in FORMULA_ROOMS
        for formula in load(f"formulas/{room}")["formula"]
    }


@cache
def sources() -> dict[str, dict[str, Any]]:
    """Return every source by its key."""
    return {source["key"]: source for source in load("sources")["source"]}


def citation(key: str) -> str:
    """Write a source in one line: author, title, edition, year."""
    source = sources()[key]
    parts = (source.get("author"), source["title"], source.get("edition"), source.get("year"))
    return ", ".join(str(part) for part in parts if part)
