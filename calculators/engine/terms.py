"""The vocabulary: every quantity once, with its symbol, its words, its unit and what it must be."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import isfinite
from typing import Literal

from calculators.data import load
from calculators.errors import InputError

SMALLEST, GREATEST = 1e-9, 1e12
Must = Literal[
    "more than nothing",
    "not less than nothing",
    "be a part",  # of a whole: from nothing to all but a little
    "leave something",  # the same, or a gain of less than the whole
    "anything",
]


@dataclass(frozen=True)
class Term:
    """A quantity: the name that code, links and pages use, and how people say and write it.

    ``unit`` is the one that formulas hold in. ``must`` is what a formula asks of it; ``field`` is
    where an error about it is shown, when no field carries the term's own name.
    """

    name: str
    symbol: str
    words: str
    unit: str = ""
    must: Must = "anything"
    field: str = ""

    def check(self, value: float | None) -> None:
        """Refuse a figure that no formula can use, in words for the weaver."""
        if value is None:
            return
        field, words = self.field or self.name, self.words[0].upper() + self.words[1:]
        if self.must == "more than nothing":
            if not (isfinite(value) and SMALLEST <= value <= GREATEST):
                raise InputError(
                    field, f"{words} must be more than nothing.", "Give a number above zero."
                )
        elif self.must == "not less than nothing":
            if not (isfinite(value) and 0 <= value <= GREATEST):
                raise InputError(field, f"{words} cannot be less than nothing.", "Give 0 for none.")
        elif (self.must == "be a part" and not 0 <= value <= 1 - SMALLEST) or (
            self.must == "leave something" and not -1 < value <= 1 - SMALLEST
        ):
            raise InputError(
                field,
                f"{words} of {100 * value:.3g} % would leave no cloth.",
                "A loss is less than 100 %, most often 2 to 15 %.",
            )


@cache
def terms() -> Mapping[str, Term]:
    """Return every term by its name."""
    return {name: Term(name, **row) for name, row in load("terms").items()}
