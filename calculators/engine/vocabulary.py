"""A calculator made of terms and formulas: what it asks for, what it gives, what leads there."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, cast

from calculators.data import load
from calculators.engine.calculator import Answer, Calculator, Field, Kind, Output, Way
from calculators.engine.first_guesses import basis_of, guess, guess_range
from calculators.engine.formula import BOOK
from calculators.engine.network import Figure, Network, Worked
from calculators.engine.terms import Term, terms
from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.quantities.sentences import RANGE_MEANS
from calculators.quantities.units import converted

Given = Mapping[str, Any]  # what was read, by the names of the fields
KINDS_BY_UNIT: Mapping[str, Kind] = {
    "cm": "length",
    "g": "mass",
    "1/cm": "density",
    "1/inch": "density",
    "share": "loss",
}
SHOWN_BY_UNIT = {"share": "%", "h": "hours"}


def ask(term: str, /, default: str | None = None, **otherwise: Any) -> Field:
    """Ask for a quantity; its first guess is the default. ``otherwise`` overrides the term."""
    asked = terms()[term]
    kind = cast(Kind, asked.kind or KINDS_BY_UNIT.get(asked.unit, "number"))
    guessed = default is None and term in load("first_guesses")
    if guessed:
        default = guess_range(term) if kind == "range" else guess(term)
    field: dict[str, Any] = {
        "name": term,
        "label": _label(asked),
        "kind": kind,
        "default": default or "",
        "unit": asked.bare or ("" if asked.unit == "share" else asked.unit),
        "hint": _hint(asked, kind),
        "minimum": asked.minimum,
        "maximum": asked.maximum,
        "choices": asked.choices,
        "basis": basis_of(term) if guessed else None,
        "term": term,
    }
    if kind == "density" and "unit" in otherwise:
        limits = [
            one and converted(one, asked.unit, otherwise["unit"])
            for one in (asked.minimum, asked.maximum)
        ]
        field |= {"minimum": limits[0], "maximum": limits[1]}
    return Field(**{**field, **otherwise})


def aside(term: str, /, default: str | None = None, **otherwise: Any) -> Field:
    """Ask for a quantity among the finer settings."""
    return ask(term, default, advanced=True, **otherwise)


def if_known(term: str, /, **otherwise: Any) -> Field:
    """Ask for something among the finer settings that may be left empty."""
    return aside(term, "", required=False, **otherwise)


def give(term: str, /, **otherwise: Any) -> Output:
    """Give a quantity as a result. ``otherwise`` overrides the term."""
    given = terms()[term]
    shown = given.shown or SHOWN_BY_UNIT.get(given.unit, given.unit)
    output = {
        "name": term,
        "label": _label(given),
        "unit": shown,
        "whole": given.whole,
        "term": term,
    }
    return Output(**{**output, **otherwise})


def calculated(
    id: str,  # noqa: A002 - as the calculator calls it
    code: str,
    page: str,
    title: str,
    question: str,
    asks: tuple[Field, ...],
    gives: tuple[Output, ...],
    formulas: Network | tuple[Callable[..., Any], ...],
    remarks: Callable[[Given, Worked], Answer] = lambda _given, _done: Answer(),
    prepare: Callable[[Given], Mapping[str, Figure | None]] = lambda _: {},
    ways: tuple[Way, ...] = (),
    woven_along: bool = False,
) -> Calculator:
    """Return a calculator that works out its results with a network, or with formulas alone.

    ``prepare`` says what follows from the fields beyond their own figures; ``remarks`` are the
    notes, cautions, tables and pictures.
    """
    network = formulas if isinstance(formulas, Network) else Network(*formulas)
    cited = tuple(
        output if output.formula else replace(output, formula=_formula_of(output.term, network))
        for output in gives
    )

    field_of = {field.term: field.name for field in asks}

    def answer(given: Given) -> Answer:
        done = network.run({**known(asks, given), **prepare(given)})
        try:
            results = {output.name: _told(done, output) for output in cited if output.term in done}
            remarked = remarks(given, done)
        except InputError as error:
            raise error.at(field_of.get(error.field, error.field)) from error
        return replace(remarked, results={**results, **remarked.results})

    return Calculator(
        id, code, page, title, question, asks, cited, answer, ways=ways, woven_along=woven_along
    )


def known(asks: tuple[Field, ...], given: Given) -> dict[str, Figure | None]:
    """Return the figures of the fields by their terms, in the units that formulas hold in."""
    found: dict[str, Figure | None] = {}
    for field in asks:
        value = given[field.name]
        if field.kind == "yarn":
            found[field.term.replace("yarn", "tex")] = value and value.tex
        elif field.kind == "density":
            unit = terms()[field.term].unit
            found[field.term] = value and converted(value, field.unit, unit)
        elif isinstance(value, (int, float, Range)):
            found[field.term] = value
    return found


def worded(calculator: str, one: Field | Output, language: str) -> tuple[str, str]:
    """Return the label and the hint in a language whose table holds what differs from ours.

    >>> worded("unit-grid", ask("motif"), "american")[0]
    'Motif of the center'
    """
    rows = load(f"labels_{language}")
    row = rows.get(f"{calculator}.{one.name}") or rows.get(one.term, {})
    return row.get("label", one.label), row.get("hint", getattr(one, "hint", ""))


def _told(done: Worked, output: Output) -> float | Range:
    unit = terms()[output.term].unit
    if output.told == "likely":
        return converted(done.likely(output.term), unit, output.unit)
    if output.told == "high":
        return converted(done.high(output.term), unit, output.unit)
    found = done.ranged(output.term)
    ends = [converted(one, unit, output.unit) for one in (found.low, found.likely, found.high)]
    return ends[1] if found.is_exact else Range(*ends)


def _formula_of(term: str, formulas: Network) -> str:
    """Return the id of the formula that gives a term."""
    for node in formulas.nodes.get(term, ()):
        if node.record is not None:
            return node.record.id
    return next((name for name, entries in BOOK.items() if entries[0].gives == term), "")


def _hint(term: Term, kind: Kind) -> str:
    """Say what low, likely and high mean wherever they may be typed."""
    ranged = kind == "range" or (kind == "loss" and "low–likely–high" in term.hint)
    return f"{term.hint} {RANGE_MEANS}" if ranged else term.hint


def _label(term: Term) -> str:
    return term.label or term.words[0].upper() + term.words[1:]
