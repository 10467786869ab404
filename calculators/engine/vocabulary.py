"""A calculator made of terms and formulas: what it asks for, what it gives, what leads there."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
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

Inputs = Mapping[str, Any]  # what was read, by the names of the fields
KINDS_BY_UNIT: Mapping[str, Kind] = {
    "cm": "length",
    "g": "mass",
    "1/kg": "price",
    "1/cm": "density",
    "1/inch": "density",
    "share": "loss",
}
SHOWN_BY_UNIT = {"share": "%", "h": "hours"}


def ask(name: str, /, default: str | None = None, **overrides: Any) -> Field:
    """Ask for a quantity; its first guess is the default. ``overrides`` go before the term."""
    term = terms()[name]
    kind = cast(Kind, term.kind or KINDS_BY_UNIT.get(term.unit, "number"))
    guessed = default is None and name in load("first_guesses")
    if guessed:
        default = guess_range(name) if kind == "range" else guess(name)
    field: dict[str, Any] = {
        "name": name,
        "label": _label(term),
        "kind": kind,
        "default": default or "",
        "unit": term.bare or ("" if term.unit == "share" else term.unit),
        "hint": _hint(term, kind),
        "minimum": term.minimum,
        "maximum": term.maximum,
        "choices": term.choices,
        "basis": basis_of(name) if guessed else None,
        "term": name,
        "counted_in": term.counted_in,
    }
    if kind == "density" and "unit" in overrides:
        for end in ("minimum", "maximum"):
            field[end] = field[end] and converted(field[end], term.unit, overrides["unit"])
    return Field(**{**field, **overrides})


def aside(name: str, /, default: str | None = None, **overrides: Any) -> Field:
    """Ask for a quantity among the further options."""
    return ask(name, default, advanced=True, **overrides)


def if_known(name: str, /, **overrides: Any) -> Field:
    """Ask for something among the further options that may be left empty."""
    return aside(name, "", required=False, **overrides)


def give(name: str, /, **overrides: Any) -> Output:
    """Give a quantity as a result. ``overrides`` go before the term."""
    term = terms()[name]
    output: dict[str, Any] = {
        "name": name,
        "label": _label(term),
        "short": term.short,
        "unit": term.shown or SHOWN_BY_UNIT.get(term.unit, term.unit),
        "whole": term.whole,
        "term": name,
    }
    return Output(**{**output, **overrides})


def calculated(
    id: str,  # noqa: A002 - as the calculator calls it
    code: str,
    page: str,
    title: str,
    question: str,
    asks: tuple[Field, ...],
    gives: tuple[Output, ...],
    formulas: Network | tuple[Callable[..., Any], ...],
    remarks: Callable[[Inputs, Worked], Answer] = lambda _inputs, _figures: Answer(),
    prepare: Callable[[Inputs], Mapping[str, Figure | None]] = lambda _: {},
    brief: Callable[[Inputs, Worked], Answer] | None = None,
    ways: tuple[Way, ...] = (),
    woven_along: bool = False,
) -> Calculator:
    """Return a calculator that works out its results with a network, or with formulas alone.

    ``prepare`` says what follows from the fields beyond their own figures; ``remarks`` are the
    notes, cautions, tables and pictures; ``brief`` are the cautions alone, where that is quicker.
    """
    network = formulas if isinstance(formulas, Network) else Network(*formulas)
    cited = tuple(
        output if output.formula else replace(output, formula=_formula_of(output.term, network))
        for output in gives
    )

    field_names = {field.term: field.name for field in asks}

    def answer(remarks: Callable[[Inputs, Worked], Answer], inputs: Inputs) -> Answer:
        figures = network.run({**known(asks, inputs), **prepare(inputs)})
        try:
            results = {
                output.name: _result(figures, output) for output in cited if output.term in figures
            }
            remarked = remarks(inputs, figures)
        except InputError as error:
            raise error.at(field_names.get(error.field, error.field)) from error
        return replace(remarked, results={**results, **remarked.results})

    return Calculator(
        id=id,
        code=code,
        page=page,
        title=title,
        question=question,
        fields=asks,
        outputs=cited,
        answer=partial(answer, remarks),
        brief=brief and partial(answer, brief),
        ways=ways,
        woven_along=woven_along,
    )


def known(fields: tuple[Field, ...], inputs: Inputs) -> dict[str, Figure | None]:
    """Return the figures of the fields by their terms, in the units that formulas hold in."""
    figures: dict[str, Figure | None] = {}
    for field in fields:
        value = inputs[field.name]
        if field.kind == "yarn":
            figures[field.term.replace("yarn", "tex")] = value and value.tex
        elif field.kind == "density":
            unit = terms()[field.term].unit
            figures[field.term] = value and converted(value, field.unit, unit)
        elif isinstance(value, (int, float, Range)):
            figures[field.term] = value
    return figures


def worded(calculator: str, labelled: Field | Output, language: str) -> tuple[str, str]:
    """Return the label and the hint in a language whose table holds what differs from ours.

    >>> worded("unit-grid", ask("motif"), "american")[0]
    'Motif of the center'
    """
    rows = load(f"labels_{language}")
    row = rows.get(f"{calculator}.{labelled.name}") or rows.get(labelled.term, {})
    return row.get("label", labelled.label), row.get("hint", getattr(labelled, "hint", ""))


def _result(figures: Worked, output: Output) -> float | Range:
    unit = terms()[output.term].unit
    if output.told == "likely":
        return converted(figures.likely(output.term), unit, output.unit)
    if output.told == "high":
        return converted(figures.high(output.term), unit, output.unit)
    figure = figures.ranged(output.term)
    ends = [converted(end, unit, output.unit) for end in (figure.low, figure.likely, figure.high)]
    return ends[1] if figure.is_exact else Range(*ends)


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
