"""One calculation: what was typed is read, the calculator answers, and every formula is told."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import isfinite
from time import monotonic
from typing import Any

from calculators.engine.calculator import BARE, Answer, Calculator, Output, Stages, Step
from calculators.engine.formula import logged
from calculators.engine.reading import Reading, followed, plainly, read_inputs
from calculators.engine.steps import distinct, working
from calculators.errors import InputError
from calculators.quantities.format import format_quantity
from calculators.quantities.interval import Range


@dataclass(frozen=True)
class Run:
    """One calculation: the calculator, what was read, and the answer or the errors."""

    calculator: Calculator
    readings: Mapping[str, Reading]
    answer: Answer | None
    errors: tuple[InputError, ...]
    more: str = ""  # how far a long calculation has come, empty when it is done
    units: str = ""  # what the reader counts in

    @property
    def chosen(self) -> dict[str, str]:
        """What was typed where it is not the worked example's."""
        return {
            field.name: self.readings[field.name].typed
            for field in self.calculator.fields
            if field.name in self.readings
            and plainly(field, self.readings[field.name].typed) != field.default
        }

    @property
    def depended_on(self) -> dict[str, str]:
        """All that was typed or emptied: a link that holds it goes on saying the same."""
        return {
            field.name: self.readings[field.name].typed
            for field in self.calculator.fields
            if field.name in self.readings and (self.readings[field.name].typed or field.default)
        }


def work_out(
    calculator: Calculator,
    inputs: Mapping[str, Any],
    patience: float | None = None,
    units: str = "",
    brief: bool = False,
) -> Run:
    """Read the inputs and answer; what cannot be used comes back as errors beside its field.

    ``units`` are what the reader counts in, cm or inch; without them a bare number has its field's
    own unit.

    With ``patience`` a long calculation answers after so many seconds with what it has, and goes
    on from there when it is asked the same again. A ``brief`` answer may leave out all but
    results and cautions.
    """
    readings, errors = read_inputs(calculator, inputs, units)
    if errors:
        return Run(calculator, readings, None, tuple(errors), units=units)
    try:
        values = {BARE: units} | {key: reading.value for key, reading in readings.items()}
        if patience is None or calculator.stages is None:
            answer, more = _with_steps(calculator, values, brief), ""
        else:
            answer, more = _in_part(
                calculator.stages, values, (calculator.id, units, *inputs.items()), patience
            )
        _must_be_finite(calculator, answer)
    except InputError as error:
        return Run(calculator, readings, None, (error,), units=units)
    except (OverflowError, ZeroDivisionError):
        return Run(calculator, readings, None, (_out_of_reach(calculator),), units=units)
    notes = (*answer.notes, *followed(calculator, readings))
    return Run(calculator, readings, replace(answer, notes=notes), (), more, units)


_unfinished: dict[object, Stages] = {}  # at most one


def _in_part(
    stages: Callable[[Mapping[str, Any]], Stages],
    values: Mapping[str, Any],
    key: object,
    patience: float,
) -> tuple[Answer, str]:
    pending = _unfinished.pop(key, None) or stages(values)
    _unfinished.clear()
    until = monotonic() + patience
    words, make = next(pending)
    while words and monotonic() < until:
        words, make = next(pending)
    if words:
        _unfinished[key] = pending
    return make(), words


def result_texts(output: Output, value: float | str) -> tuple[str, str]:
    """Write one result for people, in both unit worlds."""
    return result_text(output, value, "metric"), result_text(output, value, "imperial")


def result_text(output: Output, value: float | str, world: str) -> str:
    """Write one result for people, in one unit world."""
    if isinstance(value, str):
        return value
    return format_quantity(value, "" if output.whole else output.unit, world, whole=output.whole)


def _with_steps(calculator: Calculator, values: Mapping[str, Any], brief: bool) -> Answer:
    """Answer, and tell each formula that ran; a search runs too many to tell."""
    if calculator.stages is not None:
        return calculator.answer(values)
    with logged() as log:
        answer = ((brief and calculator.brief) or calculator.answer)(values)
    steps = (
        Step(
            calculation.formula.name,
            working(calculation, values[BARE]),
            calculation.formula.id,
        )
        for calculation in distinct(log)
    )
    sources = (source for calculation in log for source in calculation.formula.sources)
    return replace(
        answer,
        steps=(*steps, *answer.steps),
        sources=tuple(dict.fromkeys((*sources, *answer.sources))),
    )


def _must_be_finite(calculator: Calculator, answer: Answer) -> None:
    for value in answer.results.values():
        numbers = (value.low, value.likely, value.high) if isinstance(value, Range) else (value,)
        for number in numbers:
            if isinstance(number, float) and not isfinite(number):
                raise _out_of_reach(calculator)


def _out_of_reach(calculator: Calculator) -> InputError:
    return InputError(
        calculator.fields[0].name,
        "These numbers together lead to something no cloth could be.",
        "Look for a figure that is far too large or too small.",
    )
