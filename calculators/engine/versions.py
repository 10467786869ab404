"""Links, kept plans and files of earlier editions: they go on meaning what they meant."""

from collections.abc import Mapping
from typing import Any

from calculators.data import load

VERSION = 2  # what is written today
OLDEST = 1


def earlier_default(calculator: str, field: str, version: int) -> str | None:
    """Return what a field held when a link of this version left it out; None where as today.

    >>> earlier_default("warp", "loom_waste", 1), earlier_default("warp", "loom_waste", 2)
    ('140 cm', None)
    """
    if version >= VERSION:
        return None
    default: str | None = load("defaults_v1").get(calculator, {}).get(field)
    return default


def as_of(version: int, calculator: str, inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Fill in what a plan of an earlier version left out, as it was filled in then."""
    left_out = load("defaults_v1").get(calculator, {}) if version < VERSION else {}
    return {**left_out, **inputs}


def changes(calculator: str = "", version: int = OLDEST) -> list[dict[str, Any]]:
    """Return the changes of answers since a version, of one calculator or of all."""
    return [
        change
        for change in load("changes")["change"]
        if change["since"] > version and (not calculator or calculator in change["calculators"])
    ]


def changes_in_words(calculator: str, version: int = OLDEST) -> str:
    """Say which answers of a calculator have changed since a version, empty where none has."""
    sentences = [f"{change['name']}. {change['says']}" for change in changes(calculator, version)]
    return " ".join(("Changed since this was made:", *sentences)) if sentences else ""
