"""From what was typed to what a calculator's function receives."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from calculators.errors import InputError
from calculators.forms.base import Calculator, Field
from calculators.forms.words import figures
from calculators.quantities import format as written
from calculators.quantities import parse
from calculators.quantities.interval import Range
from calculators.quantities.units import per_cm, per_inch
from calculators.weave.library import parse_weave
from calculators.yarn.systems import SYSTEMS, system_named
from calculators.yarn.yarn import Yarn, parse_yarn

LONGEST_ENTRY = 2_000


@dataclass(frozen=True)
class Reading:
    """One field read: what was typed, what reaches the function, and how it was understood."""

    typed: str
    value: Any
    metric: str
    imperial: str
    is_default: bool


def read_inputs(
    calculator: Calculator, given: Mapping[str, Any]
) -> tuple[dict[str, Reading], list[InputError]]:
    """Read every field; collect all errors rather than stop at the first."""
    errors = [_unknown(name, calculator) for name in given if name not in _names(calculator)]
    typed: dict[str, str] = {}
    for field in calculator.fields:
        try:
            typed[field.name] = _as_typed(field, given)
        except InputError as error:
            errors.append(error)
            typed[field.name] = ""
    refused = {error.field for error in errors}
    readings: dict[str, Reading] = {}
    for field in calculator.fields:
        if field.name in refused:
            continue
        try:
            readings[field.name] = _read(field, typed, field.name not in given)
        except InputError as error:
            errors.append(error.at(field.name))
    return readings, errors


def shown_value(field: Field, value: Any) -> tuple[str, str]:
    """Write a read value in both unit worlds."""
    if field.kind in ("length", "mass", "density", "reed"):
        unit = {"length": "cm", "mass": "g", "density": field.unit, "reed": "1/cm"}[field.kind]
        return _both(value, unit)
    if field.kind == "loss":
        text = written.format_range(value)
        return text, text
    if field.kind == "range":
        return figures(value), figures(value)
    if field.kind in ("count", "number"):
        unit = f" {field.unit}" if field.unit else ""
        text = written.format_number(value) + unit
        return text, text
    if isinstance(value, Yarn):
        return value.understood, value.understood
    if field.kind == "system":
        return SYSTEMS[value].title, SYSTEMS[value].title
    if field.kind == "weave":
        return value.title, value.title
    if field.kind == "choice":
        text = dict(field.choices)[value]
        return text, text
    if field.kind == "lines":
        return "", ""  # they stand there to be read
    return str(value), str(value)


def _both(value: float, unit: str) -> tuple[str, str]:
    return (
        written.format_quantity(value, unit, "metric"),
        written.format_quantity(value, unit, "imperial"),
    )


def _names(calculator: Calculator) -> set[str]:
    return {field.name for field in calculator.fields}


def _unknown(name: str, calculator: Calculator) -> InputError:
    shown = name if len(name) <= 40 else name[:40] + "…"
    known = ", ".join(field.name for field in calculator.fields)
    return InputError(
        shown, f"“{shown}” is not a field of {calculator.title}.", f"The fields are: {known}."
    )


def _as_typed(field: Field, given: Mapping[str, Any]) -> str:
    value = given.get(field.name, field.default)
    if value is None:
        return ""
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise InputError(
            field.name,
            f"{field.label} came as {type(value).__name__}, not as text or a number.",
            f"For example {field.default}.",
        )
    try:
        text = str(value).strip()
    except ValueError:  # a whole number of more digits than Python will write out
        text = "9" * (LONGEST_ENTRY + 1)
    if len(text) > LONGEST_ENTRY and field.kind not in ("text", "lines"):
        raise InputError(
            field.name,
            f"That is {len(text)} characters long, too much for {field.label.lower()}.",
            f"For example {field.default}.",
        )
    return text


def _read(field: Field, typed: Mapping[str, str], is_default: bool) -> Reading:
    text = typed[field.name]
    if not text:
        if field.required:
            raise InputError(
                field.name,
                f"{field.label} is empty.",
                f"For example {field.default}." if field.default else "",
            )
        return Reading(text, None, "", "", is_default)
    system = typed[field.system_field] if field.system_field else ""
    return Reading(text, *_understood(field, text, system or "cotton"), is_default)


@lru_cache(maxsize=1024)  # a keystroke changes one field of many
def _understood(field: Field, text: str, system: str) -> tuple[Any, str, str]:
    """Return the value of a typed text, and how it is shown in both unit worlds."""
    value = _READERS[field.kind](field, text, system)
    _check_limits(field, value)
    return value, *shown_value(field, value)


def _check_limits(field: Field, value: Any) -> None:
    bounds = (value.low, value.high) if isinstance(value, Range) else (value, value)
    if not isinstance(bounds[0], (int, float)):
        return
    if field.minimum is not None and bounds[0] < field.minimum:
        raise _outside(field, value, field.minimum, "at least")
    if field.maximum is not None and bounds[1] > field.maximum:
        raise _outside(field, value, field.maximum, "at most")


def _outside(field: Field, value: Any, limit: float, words: str) -> InputError:
    edge = Range.exactly(limit) if isinstance(value, Range) else limit
    metric, imperial = shown_value(field, edge)
    understood = shown_value(field, value)[0]
    wanted = metric if metric == imperial else f"{metric} ({imperial})"
    return InputError(
        field.name,
        f"{field.label} was read as {understood}; it must be {words} {wanted}.",
        f"For example {field.default}.",
    )


def _density(field: Field, text: str, _: str) -> float:
    value = parse.parse_density(text, unit=field.unit, field=field.name)
    return per_inch(value) if field.unit == "1/inch" else value


def _yarn(field: Field, text: str, system: str) -> Yarn:
    return parse_yarn(text, system_named(system, field.system_field), field.name)


def _choice(field: Field, text: str, _: str) -> str:
    wanted = text.casefold()
    for key, words in field.choices:
        if wanted in (key.casefold(), words.casefold()):
            return key
    raise InputError(
        field.name,
        f"“{text[:40]}” is not one of the choices for {field.label.lower()}.",
        "Choose one of: " + ", ".join(key for key, _ in field.choices) + ".",
    )


_READERS: dict[str, Callable[[Field, str, str], Any]] = {
    "length": lambda field, text, _: parse.parse_length(text, unit=field.unit, field=field.name),
    "mass": lambda field, text, _: parse.parse_mass(text, unit=field.unit, field=field.name),
    "density": _density,
    "reed": lambda field, text, _: parse.parse_reed(text, unit=field.unit, field=field.name),
    "loss": lambda field, text, _: parse.parse_loss(text, field=field.name),
    "count": lambda field, text, _: parse.parse_count(text, field=field.name),
    "number": lambda field, text, _: parse.parse_number(text, field=field.name),
    "range": lambda field, text, _: parse.parse_figures(text, field=field.name),
    "yarn": _yarn,
    "system": lambda field, text, _: system_named(text, field.name),
    "weave": lambda field, text, _: parse_weave(text, field=field.name),
    "choice": _choice,
    "text": lambda _, text, __: text,
    "lines": lambda _, text, __: text,
}

__all__ = ["LONGEST_ENTRY", "Reading", "per_cm", "read_inputs", "shown_value"]
