"""The one JSON contract, spoken by the command line, the page and Python alike."""

from collections.abc import Mapping
from typing import Any

from calculators.engine.calculator import Answer, Calculator, Field, Output, Table
from calculators.engine.reading import Reading
from calculators.engine.run import Run, result_texts, work_out
from calculators.engine.vocabulary import worded
from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.quantities.units import UNITS
from calculators.registry import calculator, registry


def calculate(
    name: str, inputs: Mapping[str, Any], patience: float | None = None, units: str = ""
) -> Run:
    """Answer the calculator called ``name``; ``units`` are what the reader counts in."""
    return work_out(calculator(name), inputs, patience, units)


def run(name: str, inputs: Mapping[str, Any] | None = None, units: str = "") -> dict[str, Any]:
    """Answer one calculator as the JSON contract's object."""
    try:
        return as_object(calculate(name, inputs or {}, units=units))
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


def as_object(run: Run) -> dict[str, Any]:
    """Write a run as the JSON contract's object."""
    if run.answer is None:
        return refusal(*run.errors)
    answer = run.answer
    return {
        "ok": True,
        "calculator": run.calculator.id,
        "units": run.units,
        "inputs": {name: _input_object(reading) for name, reading in run.readings.items()},
        "results": {
            output.name: _result_object(output, answer)
            for output in run.calculator.outputs
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


def describe(language: str = "") -> list[dict[str, Any]]:
    """List every calculator with its fields and outputs, in British English unless told."""
    return [_calculator_object(calculator, language) for calculator in registry().values()]


def _calculator_object(calculator: Calculator, language: str) -> dict[str, Any]:
    return {
        "id": calculator.id,
        "code": calculator.code,
        "title": calculator.title,
        "question": calculator.question,
        "fields": [
            _field_object(field) | _words(calculator.id, field, language)
            for field in calculator.fields
        ],
        "outputs": [
            {
                "name": output.name,
                "label": _words(calculator.id, output, language).get("label", output.label),
                "unit": output.unit,
            }
            for output in calculator.outputs
        ],
    }


def _words(calculator: str, labelled: Field | Output, language: str) -> dict[str, str]:
    if not language:
        return {}
    label, hint = worded(calculator, labelled, language)
    return {"label": label, "hint": hint}


def _input_object(reading: Reading) -> dict[str, Any]:
    return {
        "typed": reading.typed,
        "text": {"metric": reading.metric, "imperial": reading.imperial},
        "default": reading.is_default,
    }


def _result_object(output: Output, answer: Answer) -> dict[str, Any]:
    value = answer.results[output.name]
    likely = value.likely if isinstance(value, Range) else value
    result: dict[str, Any] = {
        "value": likely,
        "unit": output.unit,
        "text": dict(zip(("metric", "imperial"), result_texts(output, likely), strict=True)),
        "basis": answer.bases.get(output.name, output.basis),
    }
    if isinstance(value, Range):
        result["low"], result["high"] = value.low, value.high
    return result


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
        "units": {units: field.bare_unit(units) for units in UNITS},
        "default": field.default,
        "required": field.required,
        "minimum": field.minimum,
        "maximum": field.maximum,
        "choices": [key for key, _ in field.choices],
        "hint": field.hint,
    }
