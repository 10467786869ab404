"""One worked example: what was decided, the story, what came out; its numbers are worked out."""

import dataclasses
from collections.abc import Mapping
from functools import partial
from graphlib import CycleError, TopologicalSorter
from typing import Any

from calculators.contract import calculate
from calculators.engine.links import _with_unit as with_unit
from calculators.engine.links import address
from calculators.engine.run import Run
from calculators.examples.drawn import Drawn, drawn
from calculators.examples.figures import PLACE, PLAN, figure, recordable, recorded
from calculators.examples.schema import TEXT, TYPED, ExampleError, Kind, fitting, known, optional
from calculators.registry import registry
from calculators.show.in_inches import in_inches, is_metric

TABLE = Kind(
    lambda value: isinstance(value, dict),
    "a table is wanted here.",
    "Write [{path}] on a line of its own, and what belongs to it in the lines below.",
)
OWN_WORDS = optional(("heading", "text"), TYPED)


@dataclasses.dataclass(frozen=True)
class Example:
    """One project as it was told; what is worked out comes from ``runs``."""

    name: str
    title: str
    question: str
    runs: Mapping[str, Run] = dataclasses.field(repr=False)
    weaver: str = ""
    parts: tuple[tuple[str, str], ...] = ()
    records: Mapping[str, str] = dataclasses.field(default_factory=dict)
    order: int = 0
    description: str = ""
    ways: tuple[tuple[str, str], ...] = ()
    figure: Drawn | None = dataclasses.field(default=None, repr=False)

    @property
    def plan(self) -> Run:
        """The project's own calculation, as a rule the whole plan."""
        return self.runs[PLAN]


def made(name: str, told: Mapping[str, Any]) -> Example:
    """Make an example of what was told, or raise ExampleError."""
    rest = dict(told)
    plan, others = rest.pop(PLAN), rest.pop("calculations", {})
    units, told_figure = rest.pop("units", ""), rest.pop("figure", None)
    runs = _runs(name, plan, others, units)
    calculator = runs[PLAN].calculator
    records = fitting(name, "records.", rest.pop("records", {}), optional(recordable(calculator)))
    for key, typed in records.items():
        recorded(name, calculator, key, typed, units)
    parts = tuple(_part(name, number, one) for number, one in enumerate(rest.pop("part", ()), 1))
    figure = drawn(name, told_figure, runs[PLAN]) if told_figure else None
    return Example(name=name, runs=runs, records=records, parts=parts, figure=figure, **rest)


def _part(name: str, number: int, table: Mapping[str, Any]) -> tuple[str, str]:
    words = fitting(name, f"part {number}, ", table, OWN_WORDS)
    return words.get("heading", ""), words.get("text", "")


def live_address(example: Example) -> str:
    """Return the address, from the site's root, that opens the project in its calculator.

    What was typed bare goes with its unit: whoever opens it may count otherwise.
    """
    run = example.plan
    readings = ((field, run.readings[field.name]) for field in run.calculator.fields)
    typed = {
        field.name: with_unit(field, reading.typed, run.units) if run.units else reading.typed
        for field, reading in readings
        if not reading.is_default
    }
    return address(run.calculator.id, typed)


def address_in_inches(example: Example) -> str:
    """Return the address that opens a like plan in sensible inches.

    It is empty where a figure has no sensible one near, or where those together want a caution
    that the example does not.
    """
    run, typed = example.plan, {}
    for field in run.calculator.fields:
        reading = run.readings[field.name]
        measured = field.bare_unit("cm") != field.bare_unit("inch")
        text = in_inches(reading.typed) if measured else reading.typed
        if run.units or (measured and is_metric(text)):
            return ""
        if text != field.default:
            typed[field.name] = text
    like = calculate(run.calculator.id, typed).answer
    if like is None or run.answer is None or len(like.cautions) > len(run.answer.cautions):
        return ""
    return address(run.calculator.id, typed)


# Working it out -----------------------------------------------------------------------------------


def _runs(
    name: str, plan: Mapping[str, Any], others: Mapping[str, Any], units: str
) -> dict[str, Run]:
    """Work out the plan and the other calculations, each after those whose figures it takes."""
    tables = {PLAN: {"calculator": "cloth-plan", **plan}}
    places = {PLAN: PLAN} | {key: f"calculations.{key}" for key in others}
    main, _ = _asked(name, PLAN, tables[PLAN])
    reserved = [PLAN, "given", *(output.name for output in registry()[main].outputs)]
    for key, table in others.items():
        if key in reserved:
            raise ExampleError(
                name, f"calculations.{key}", "the plan uses this name.", "Choose another."
            )
        fitting(name, "calculations.", {key: table}, {key: TABLE})
        tables[key] = table
    questions = {key: _asked(name, places[key], table) for key, table in tables.items()}
    needed = {}
    for key, (_, fields) in questions.items():
        heads = {path.split(".")[0] for text in fields.values() for path in PLACE.findall(text)}
        needed[key] = {head if head in tables else PLAN for head in heads}
    runs: dict[str, Run] = {}
    try:
        for key in TopologicalSorter(needed).static_order():
            calculator, fields = questions[key]
            runs[key] = _run(name, places[key], calculator, fields, runs, units)
    except CycleError as error:
        ring = list(reversed(error.args[1]))
        first = PLAN if PLAN in ring else ring[0]
        raise ExampleError(
            name,
            places[first],
            f"it waits for itself: {' → '.join(ring)}.",
            "Type one of these figures.",
        ) from error
    return {key: runs[key] for key in tables}


def _asked(name: str, where: str, table: Mapping[str, Any]) -> tuple[str, dict[str, str]]:
    """Return what a table asks: the calculator's name, and what is typed in its fields."""
    calculator = {"calculator": table["calculator"]} if "calculator" in table else {}
    chosen = fitting(name, f"{where}.", calculator, {"calculator": TEXT})["calculator"]
    known(name, f"{where}.calculator", chosen, registry())
    kinds = optional((field.name for field in registry()[chosen].fields), TYPED)
    inputs = {key: typed for key, typed in table.items() if key != "calculator"}
    return chosen, fitting(name, f"{where}.", inputs, kinds)


def _run(
    name: str,
    where: str,
    calculator: str,
    fields: Mapping[str, str],
    runs: Mapping[str, Run],
    units: str,
) -> Run:
    inputs = {
        key: PLACE.sub(partial(_typed, name, f"{where}.{key}", runs), text)
        for key, text in fields.items()
    }
    run = calculate(calculator, inputs, units=units)
    if run.answer is None:
        error = run.errors[0]
        raise ExampleError(name, f"{where}.{error.field}", error.message, error.hint)
    return run


def _typed(name: str, where: str, runs: Mapping[str, Run], match: Any) -> str:
    return figure(name, where, runs, match[1]).typed()
