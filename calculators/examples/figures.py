"""The figures of a worked example: what a name in braces stands for, what is typed as measured."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from calculators.engine.calculator import Calculator, Output
from calculators.engine.links import UNITS
from calculators.engine.run import Run, result_text
from calculators.errors import InputError
from calculators.examples.schema import ExampleError, known
from calculators.quantities import parse
from calculators.quantities.interval import Range
from calculators.quantities.units import counted_in, per_inch
from calculators.show.pairs import pair_html

PLAN = "plan"  # the run that the example is about
PLACE = re.compile(r"\{([a-z_0-9]+(?:\.[a-z_0-9]+)*)\}")


@dataclass(frozen=True)
class Figure:
    """What a name in braces stands for: something put in, or something worked out."""

    run: Run
    name: str
    typed_in: bool
    end: str

    def typed(self) -> str:
        """Write it as a weaver would type it, for another calculation."""
        if self.typed_in:
            return self.run.readings[self.name].typed
        value, unit = self._value, self._output.unit
        return value if isinstance(value, str) else f"{value:.6g}{UNITS.get(unit, f' {unit}')}"

    def shown(self) -> str:
        """Write it for the story, in both unit worlds."""
        if self.typed_in:
            reading = self.run.readings[self.name]
            kinds = {field.name: field.kind for field in self.run.calculator.fields}
            if kinds[self.name] in ("yarn", "text"):
                return escape(reading.typed)
            return pair_html(reading.metric, reading.imperial)
        output, value = self._output, self._value
        return pair_html(
            result_text(output, value, "metric"), result_text(output, value, "imperial")
        )

    @property
    def _output(self) -> Output:
        return next(output for output in self.run.calculator.outputs if output.name == self.name)

    @property
    def _value(self) -> float | str:
        assert self.run.answer is not None
        value = self.run.answer.results[self.name]
        if not isinstance(value, Range):
            return value
        ends = {"": value.likely, "low": value.low, "high": value.high}
        return ends[self.end]


def figure(name: str, where: str, runs: Mapping[str, Run], path: str) -> Figure:
    """Return what a name in braces, such as ``given.sett`` or ``cone.net_mass``, stands for."""
    names = path.split(".")
    run = runs[names.pop(0)] if names[0] in runs else runs[PLAN]
    assert run.answer is not None
    offered = list(run.answer.results)
    typed_in = names[:1] == ["given"]
    if typed_in:
        names.pop(0)
        offered = [key for key, reading in run.readings.items() if reading.typed]
    figure_name = names.pop(0) if names else ""
    known(name, where, figure_name, offered)
    end = names.pop(0) if names and not typed_in and names[0] in ("low", "high") else ""
    if names:
        raise ExampleError(
            name, where, f"“{names[0]}” means nothing after {figure_name}.", "Leave it out."
        )
    return Figure(run, figure_name, typed_in, end)


def recorded(
    name: str, calculator: Calculator, key: str, typed: str, units: str = ""
) -> float | Range:
    """Read a measured figure, in the unit of the planned one."""
    output = planned_output(calculator, key)
    try:
        if output is None:
            return parse.parse_loss(typed, field=key)
        return _READ.get(output.unit, _plain)(typed, key, counted_in(output.unit, units))
    except InputError as error:
        raise ExampleError(name, f"records.{key}", error.message, error.hint) from error


def recordable(calculator: Calculator) -> dict[str, str]:
    """Return what can be measured of a calculator's cloth: the labels of results and losses."""
    losses = {one.name: one.label for one in calculator.fields if one.kind == "loss"}
    return {one.name: one.label for one in calculator.outputs} | losses


def _plain(typed: str, key: str, _: str) -> float:
    return parse.parse_number(typed, field=key)


_READ = {
    "mm": lambda typed, key, bare: parse.parse_length(typed, unit=bare, field=key) * 10,
    "cm": lambda typed, key, bare: parse.parse_length(typed, unit=bare, field=key),
    "m": lambda typed, key, bare: parse.parse_length(typed, unit=bare, field=key) / 100,
    "g": lambda typed, key, bare: parse.parse_mass(typed, unit=bare, field=key),
    "kg": lambda typed, key, bare: parse.parse_mass(typed, unit=bare, field=key) / 1000,
    "1/inch": lambda typed, key, bare: per_inch(parse.parse_density(typed, bare, key)),
    "1/cm": lambda typed, key, bare: parse.parse_density(typed, bare, key),
}


def planned_output(calculator: Calculator, key: str) -> Output | None:
    """Return the calculator's result of that name, or None for one of its losses."""
    return next((output for output in calculator.outputs if output.name == key), None)
