"""Formulas and sources by their permanent ids, as the data files state them."""

from functools import cache
from typing import Any

from calculators.data import load
from calculators.engine.formula import BOOK, Formula
from calculators.engine.terms import ROOMS


def formulas() -> dict[str, dict[str, Any]]:
    """Return every formula by its permanent id."""
    return _formulas(len(BOOK))  # the book grows while rooms are imported


@cache
def _formulas(_: int) -> dict[str, dict[str, Any]]:
    return {row["id"]: row for room in ROOMS for row in formulas_of(room)}


def formulas_of(room: str) -> tuple[dict[str, Any], ...]:
    """Return the formulas of a room in the order of their ids, those of the book and the others."""
    rows = list(load(f"formulas/{room}").get("formula", ()))
    rows += [
        as_row(records[0])
        for records in BOOK.values()
        if records[0].function.__module__.split(".")[1] == room
    ]
    return tuple(sorted(rows, key=lambda row: int(row["id"].removeprefix("F-"))))


def as_row(record: Formula) -> dict[str, Any]:
    """Return a formula of the book as the data files wrote them."""
    return {
        "id": record.id,
        "name": record.name,
        "equation": record.equation,
        "symbols": {symbol: term.words for symbol, term in record.symbols.items()},
        "sources": record.sources,
        "where": record.where,
        "basis": record.basis,
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
