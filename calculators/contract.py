"""The one JSON contract, spoken by the command line, the page and Python alike."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import isfinite
from time import monotonic
from typing import Any

from calculators.engine.formula import logged
from calculators.errors import InputError
from calculators.forms import calculator, registry
from calculators.forms.base import Answer, Calculator, Field, Output, Stages, Step, Table
from calculators.forms.reading import Reading, read_inputs
from calculators.quantities.format import format_quantity
from calculators.quantities.interval import Range
from calculators.show.steps import distinct, working


@dataclass(frozen=True)
class Run:
    """One calculation: the calculator, what was read, and the answer or the errors."""

    calculator: Calculator
    readings: Mapping[str, Reading]
    answer: Answer | None
    errors: tuple[InputError, ...]
    more: str = ""  # how far a long calculation has come, empty when it is done

    @property
    def chosen(self) -> dict[str, str]:
        """What was typed where it is not the worked example's."""
        return {
            field.name: self.readings[field.name].typed
            for field in self.calculator.fields
            if field.name in self.readings and self.readings[field.name].typed != field.default
        }


def calculate(name: str, inputs: Mapping[str, Any], patience: float | None = None) -> Run:
    """Read the inputs and answer; what cannot be used comes back as errors beside its field.

    With ``patience`` a long calculation answers after so many seconds with what it has, and goes
    on from there when it is asked the same again.
    """
    chosen = calculator(name)
    readings, errors = read_inputs(chosen, inputs)
    if errors:
        return Run(chosen, readings, None, tuple(errors))
    try:
        values = {key: reading.value for key, reading in readings.items()}
        if patience is None or chosen.stages is None:
            answer, more = _with_steps(chosen, values), ""
        else:
            answer, more = _in_part(chosen.stages, values, (name, *inputs.items()), patience)
        _must_be_finite(chosen, answer)
    except InputError as error:
        return Run(chosen, readings, None, (error,))
    except (OverflowError, ZeroDivisionError):
        return Run(chosen, readings, None, (_out_of_reach(chosen),))
    return Run(chosen, readings, answer, (), more)


_unfinished: dict[object, Stages] = {}  # at most one


def _in_part(
    stages: Callable[[Mapping[str, Any]], Stages],
    values: Mapping[str, Any],
    key: object,
    patience: float,
) -> tuple[Answer, str]:
    going = _unfinished.pop(key, None) or stages(values)
    _unfinished.clear()
    until = monotonic() + patience
    words, make = next(going)
    while words and monotonic() < until:
        words, make = next(going)
    if words:
        _unfinished[key] = going
    return make(), words


def run(name: str, inputs: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Answer one calculator as the JSON contract's object."""
    try:
        return as_object(calculate(name, inputs or {}))
    except InputError as error:
        return refusal(error)


def refusal(*errors: InputError) -> dict[str, Any]:
    """Write errors as the JSON contract's object."""
    return {
        "ok": False,
        "errors": [
            {"field": error.field, "message": error.message, "hint": error.hint} for error in errors
        ],
    }


def as_object(done: Run) -> dict[str, Any]:
    """Write a run as the JSON contract's object."""
    if done.answer is None:
        return refusal(*done.errors)
    answer = done.answer
    return {
        "ok": True,
        "calculator": done.calculator.id,
        "inputs": {name: _input_object(reading) for name, reading in done.readings.items()},
        "results": {
            output.name: _result_object(output, answer)
            for output in done.calculator.outputs
            if output.name in answer.results
        },
        "tables": {name: _table_object(table) for name, table in answer.tables.items()},
        "cards": [
            {"title": card.title, "lines": list(card.lines), "address": card.address}
            for card in answer.cards
        ],
        "steps": [
            {"words": step.words, "working": step.working, "formula": step.formula}
            for step in answer.steps
        ],
        "notes": list(answer.notes),
        "cautions": list(answer.cautions),
        "sources": list(answer.sources),
    }


def describe() -> list[dict[str, Any]]:
    """List every calculator with its fields and outputs."""
    return [
        {
            "id": one.id,
            "code": one.code,
            "title": one.title,
            "question": one.question,
            "fields": [_field_object(field) for field in one.fields],
            "outputs": [
                {"name": output.name, "label": output.label, "unit": output.unit}
                for output in one.outputs
            ],
        }
        for one in registry().values()
    ]


def result_text(output: Output, value: float | str, world: str) -> str:
    """Write one result for people, in one unit world."""
    if isinstance(value, str):
        return value
    return format_quantity(value, "" if output.whole else output.unit, world, whole=output.whole)


def _with_steps(chosen: Calculator, values: Mapping[str, Any]) -> Answer:
    """Answer, and tell each formula that ran; a search runs too many to tell."""
    if chosen.stages is not None:
        return chosen.answer(values)
    with logged() as log:
        answer = chosen.answer(values)
    worked = (Step(done.formula.name, working(done), done.formula.id) for done in distinct(log))
    return replace(answer, steps=(*worked, *answer.steps))


def _must_be_finite(chosen: Calculator, answer: Answer) -> None:
    for value in answer.results.values():
        numbers = (value.low, value.likely, value.high) if isinstance(value, Range) else (value,)
        for number in numbers:
            if isinstance(number, float) and not isfinite(number):
                raise _out_of_reach(chosen)


def _out_of_reach(chosen: Calculator) -> InputError:
    return InputError(
        chosen.fields[0].name,
        "These numbers together lead to something no cloth could be.",
        "Look for a figure that is far too large or too small.",
    )


def _input_object(reading: Reading) -> dict[str, Any]:
    return {
        "typed": reading.typed,
        "text": {"metric": reading.metric, "imperial": reading.imperial},
        "default": reading.is_default,
    }


def _result_object(output: Output, answer: Answer) -> dict[str, Any]:
    value = answer.results[output.name]
    likely = value.likely if isinstance(value, Range) else value
    found: dict[str, Any] = {
        "value": likely,
        "unit": output.unit,
        "text": {world: result_text(output, likely, world) for world in ("metric", "imperial")},
        "basis": answer.bases.get(output.name, output.basis),
    }
    if isinstance(value, Range):
        found["low"], found["high"] = value.low, value.high
    return found


def _table_object(table: Table) -> dict[str, Any]:
    return {
        "title": table.title,
        "columns": list(table.columns),
        "rows": [list(row) for row in table.rows],
    }


def _field_object(field: Field) -> dict[str, Any]:
    return {
        "name": field.name,
        "label": field.label,
        "kind": field.kind,
        "unit": field.unit,
        "default": field.default,
        "required": field.required,
        "minimum": field.minimum,
        "maximum": field.maximum,
        "choices": [key for key, _ in field.choices],
        "hint": field.hint,
    }
