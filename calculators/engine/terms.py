"""The vocabulary: every quantity once, with its symbol, its words, its unit and what it must be."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from math import inf, nextafter
from typing import Any, Literal

from calculators.data import load
from calculators.errors import InputError
from calculators.quantities.checks import GREATEST, SMALLEST

ROOMS = (
    *("yarn", "weave", "sett", "cloth", "loom", "plan", "figure", "appearance"),
    *("records", "shelf"),
)
Must = Literal[
    "more than nothing",
    "not less than nothing",
    "be a part",  # of a whole: from nothing to all but a little
    "leave something",  # the same, or a gain of less than the whole
    "anything",
]
LIMITS: Mapping[Must, tuple[float, float]] = {
    "more than nothing": (SMALLEST, GREATEST),
    "not less than nothing": (0.0, GREATEST),
    "be a part": (0.0, 1 - SMALLEST),
    "leave something": (nextafter(-1.0, 0.0), 1 - SMALLEST),
    "anything": (-inf, inf),
}


@dataclass(frozen=True)
class Term:
    """A quantity: the name that code, links and pages use, and how people say and write it.

    ``unit`` is the one that formulas hold in. ``must`` is what a formula asks of it; ``field`` is
    where an error about it is shown, when no field carries the term's own name.

    The rest says how it is asked for and told: ``label`` names the field or the result, ``short``
    the result where there is little room, ``kind`` says how it is read, ``bare`` what a bare number
    means where nobody says what the reader counts in, ``counted_in`` what it means in cm and in
    inches where that is not the usual unit, ``shown`` the unit of a result.
    """

    name: str
    symbol: str = ""
    words: str = ""
    unit: str = ""
    must: Must = "anything"
    field: str = ""
    label: str = ""
    short: str = ""
    kind: str = ""
    bare: str = ""
    shown: str = ""
    whole: bool = False
    hint: str = ""
    minimum: float | None = None
    maximum: float | None = None
    choices: tuple[tuple[str, str], ...] = ()
    counted_in: tuple[str, ...] = ()

    @cached_property
    def limits(self) -> tuple[float, float]:
        """The least and the greatest figure that a formula can use."""
        return LIMITS[self.must]

    def refusal(self, value: float) -> InputError:
        """Return what to say of a figure that no formula can use."""
        field, words = self.field or self.name, self.words[0].upper() + self.words[1:]
        if self.must == "more than nothing":
            return InputError(
                field, f"{words} must be more than nothing.", "Give a number above zero."
            )
        if self.must == "not less than nothing":
            return InputError(field, f"{words} cannot be less than nothing.", "Give 0 for none.")
        return InputError(
            field,
            f"{words} of {100 * value:.3g} % would leave no cloth.",
            "A loss is less than 100 %, most often 2 to 15 %.",
        )


class Vocabulary(Mapping[str, Term]):
    """Every term by its name; ``yarns 2`` is the second of several, N_2 where ``yarns`` is N_i."""

    def __init__(self) -> None:
        self._rows: dict[str, dict[str, Any]] = {}
        for room in ROOMS:  # each term stands once, in the file of the room it begins in
            self._rows.update(load(f"terms/{room}"))
        self._made: dict[str, Term] = {}  # when it is first asked for: there are hundreds

    def __getitem__(self, name: str) -> Term:
        if name not in self._made:
            several, numbered, number = name.partition(" ")
            row = self._rows[several]
            lists = {
                "choices": tuple(map(tuple, row.get("choices", ()))),
                "counted_in": tuple(row.get("counted_in", ())),
            }
            term = Term(several, **{**row, **lists})
            if numbered:
                term = replace(term, symbol=term.symbol.replace("_i", f"_{number}"))
            self._made[name] = term
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)


@cache
def terms() -> Vocabulary:
    """Return every term by its name."""
    return Vocabulary()
