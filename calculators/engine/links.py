"""The address of a calculator with its fields filled in, and how an answer carries on."""

import re
from collections.abc import Mapping
from urllib.parse import quote

from calculators.engine.calculator import ENTERED, Field, Output, Way
from calculators.engine.reading import settled
from calculators.engine.run import Run
from calculators.engine.versions import VERSION
from calculators.quantities.format import THIN_SPACE, format_number, format_quantity
from calculators.quantities.interval import Range
from calculators.quantities.units import converted, counted_in

LOOM_SIDE = "loom-side/"
DRAWING = "figure/drawing/"
CAME_FROM = "came-from"  # no field is called so
NUMBER = re.compile(r"[\d\s.,/½¼¾⅛⅜⅝⅞–-]+")  # a number that leaves its unit to the field
UNITS = {"1/inch": " /in", "1/cm": " /cm", "1/kg": " /kg", "1/lb": " /lb", "%": " %", "": ""}
MEASURED = ("length", "mass", "density", "price")
COUNTED = ("count", "number")


def ways_on(run: Run) -> list[tuple[str, str]]:
    """Return the words and the address, from the site's root, of each way on from an answer."""
    if run.answer is None:
        return []
    ways = [
        (
            way.words,
            address(way.goal, {**carried(run, way), CAME_FROM: run.calculator.id}, units=run.units),
        )
        for way in run.calculator.ways
    ]
    if run.calculator.woven_along:
        whole = address(run.calculator.id, run.depended_on, LOOM_SIDE, run.units)
        ways.append(("Take it to the loom", whole))
        if any(output.name == "units_up" for output in run.calculator.outputs):
            figure = address(run.calculator.id, run.depended_on, DRAWING, run.units)
            ways.append(("Draw its figure", figure))
    return ways


def address(calculator: str, inputs: Mapping[str, str], page: str = "", units: str = "") -> str:
    """Write the address of a calculator, or of another page about it, with some fields filled in.

    ``units`` are what bare numbers in them are counted in; without it each has its field's own.

    >>> from calculators.sett import calculators
    >>> address("sett", {"warp_yarn": "16/2"}, units="inch")
    'sett/#v=2&units=inch&calculator=sett&warp_yarn=16%2F2'
    """
    head = f"v={VERSION}" + (f"&units={units}" if units else "")
    fields = "".join(f"&{name}={quote(text, safe='')}" for name, text in inputs.items())
    return f"{page or ENTERED[calculator].page}#{head}&calculator={calculator}{fields}"


def carried(run: Run, way: Way) -> dict[str, str]:
    """Return what goes along to the goal, as it is typed there; what follows it goes along empty.

    What both ask for goes as it was typed, what was worked out as it was shown.
    """
    goal = ENTERED[way.goal]
    inputs = dict.fromkeys(way.empty, "")
    for field in goal.fields:
        text = _typed(run, way, field) or _worked_out(run, way, field)
        if text and field.name not in inputs:
            inputs[field.name] = text
    for field in goal.fields:
        if field.follows in inputs and field.default:
            inputs.setdefault(field.name, "")
    return {field.name: inputs[field.name] for field in goal.fields if field.name in inputs}


def _typed(run: Run, way: Way, field: Field) -> str:
    if field.name in way.results:
        return ""
    named = way.fields.get(field.name, ())
    own_fields = {own.name: own for own in run.calculator.fields}
    if not named:
        own = next(
            (one for one in own_fields.values() if one.term == field.term and _alike(one, field)),
            None,
        )
        return _with_unit(own, run.readings[own.name].typed, run.units) if own else ""
    for name in (named,) if isinstance(named, str) else named:
        own, reading = own_fields[name], run.readings[name]
        if _alike(own, field) or own.kind == "text":
            text = _with_unit(own, reading.typed, run.units)
        else:
            value = settled(own, reading.value, field)
            text = "" if value is None else str(value)
        if text:
            return text
    return ""


def _worked_out(run: Run, way: Way, field: Field) -> str:
    assert run.answer is not None
    named = way.results.get(field.name)
    for output in run.calculator.outputs:
        if output.name in run.answer.results and (
            output.name == named or (named is None and output.term == field.term)
        ):
            return _as_shown(output, run.answer.results[output.name], run.units)
    return ""


def _alike(own: Field, field: Field) -> bool:
    """Whether what is typed in one field may be typed in another."""
    return own.kind == field.kind or {own.kind, field.kind} <= {*COUNTED}


def _with_unit(field: Field, typed: str, units: str) -> str:
    if field.kind in MEASURED and NUMBER.fullmatch(typed):
        unit = field.bare_unit(units)
        return f"{typed}{UNITS.get(unit, f' {unit}')}"
    return typed


def _as_shown(output: Output, value: float | str | Range, units: str) -> str:
    likely = value.likely if isinstance(value, Range) else value
    if isinstance(likely, str):
        return likely
    if output.whole:
        text = format_number(likely, 0)
    elif output.unit in ("1/inch", "1/cm"):
        unit = counted_in(output.unit, units)
        text = f"{format_number(converted(likely, output.unit, unit), 1)}{UNITS[unit]}"
    else:
        world = "imperial" if units == "inch" else "metric"
        text = format_quantity(likely, output.unit, world).rpartition(" or ")[2]  # one way of yards
    return text.replace(THIN_SPACE, "").replace("−", "-")
