"""From what was typed to what a calculator's function receives."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from dataclasses import field as entry
from functools import lru_cache
from typing import Any

from calculators.engine.calculator import Calculator, Field
from calculators.errors import InputError
from calculators.quantities import format as written
from calculators.quantities import parse
from calculators.quantities.interval import Range
from calculators.quantities.sentences import figures, many
from calculators.quantities.units import UNITS, per_inch

LONGEST_ENTRY = 2_000
Choices = Sequence[tuple[str, str]]  # what is typed, and its words


Read = Callable[[Field, str, str, str], Any]
Shown = Callable[[Field, Any], tuple[str, str]]


def _none() -> Choices:
    return ()


def _none_drawn() -> Sequence[tuple[str, str, str]]:
    return ()


def _undrawn(_: Any) -> str:
    return ""


@dataclass(frozen=True)
class Kind:
    """How one kind of field is read and written.

    ``read`` takes the field, the text, what its system field says and what the reader counts in;
    ``shown`` writes a value in both unit worlds. ``options`` are all there are, to choose from;
    ``offered`` are some, to help.
    ``settles`` takes from a value what follows from it for another field, by that field's term.
    ``spoken`` turns an id that was typed into the words a weaver would type. ``drawn`` are all
    there are to choose by the eye: id, words and picture; ``drawing`` is the picture of a value.
    """

    read: Read
    shown: Shown
    options: Callable[[], Choices] = _none
    offered: Callable[[], Choices] = _none
    settles: Mapping[str, Callable[[Any], Any]] = entry(default_factory=dict)
    spoken: Callable[[str], str] = str
    drawn: Callable[[], Sequence[tuple[str, str, str]]] = _none_drawn
    drawing: Callable[[Any], str] = _undrawn


@dataclass(frozen=True)
class Reading:
    """One field read: what was typed, what reaches the function, and how it was understood."""

    typed: str
    value: Any
    metric: str
    imperial: str
    is_default: bool
    drawing: str = ""  # of what was understood


def read_inputs(
    calculator: Calculator, inputs: Mapping[str, Any], units: str = ""
) -> tuple[dict[str, Reading], list[InputError]]:
    """Read every field; collect all errors rather than stop at the first.

    ``units`` says what the reader counts in; without it a bare number has its field's own unit.
    """
    if units not in ("", *UNITS):
        return {}, [
            InputError(
                "units",
                f"“{units[:40]}” is not what lengths are counted in here.",
                "Choose cm or inch.",
            )
        ]
    names = {field.name for field in calculator.fields}
    errors = [_unknown(name, calculator) for name in inputs if name not in names]
    typed: dict[str, str] = {}
    for field in calculator.fields:
        try:
            typed[field.name] = _as_typed(field, inputs)
        except InputError as error:
            errors.append(error)
            typed[field.name] = ""
    refused = {error.field for error in errors}
    readings: dict[str, Reading] = {}
    for field in calculator.fields:
        if field.name in refused:
            continue
        try:
            readings[field.name] = _read(field, typed, field.name not in inputs, units)
        except InputError as error:
            errors.append(error.at(field.name))
    for field in calculator.fields:
        if field.follows in readings and field.name in readings and not typed[field.name]:
            try:
                readings[field.name] = _following(field, calculator, readings)
            except InputError as error:
                errors.append(error.at(field.name))
    return readings, errors


def plainly(field: Field, typed: str) -> str:
    """Return a typed text with the id for its words, where it is the words of an id."""
    ids = {words: name for name, words, _ in KINDS[field.kind].drawn()}
    return ids.get(typed, typed)


def shown_value(field: Field, value: Any) -> tuple[str, str]:
    """Write a read value in both unit worlds."""
    return KINDS[field.kind].shown(field, value)


def settled(other: Field, value: Any, field: Field) -> Any:
    """Return what the value of one field makes of another that follows it; None if nothing."""
    if value is None or other.kind == field.kind:
        return value
    take = KINDS[other.kind].settles.get(field.term)
    return take and take(value)


def followed(calculator: Calculator, readings: Mapping[str, Reading]) -> Iterator[str]:
    """Say of which fields nothing was typed, and what they follow instead."""
    for other in calculator.fields:
        left_empty = [
            _named(field, readings[field.name].value)
            for field in calculator.fields
            if field.follows == other.name
            and not readings[field.name].typed
            and readings[field.name].value is not None
        ]
        if left_empty:
            yield f"Left empty, and so as the {_inside(other.label)}: {', '.join(left_empty)}."


def _named(field: Field, value: Any) -> str:
    label = _inside(field.label)
    return f"{label} {value}" if isinstance(value, int) else label


def _inside(label: str) -> str:
    """Return a label as it stands inside a sentence."""
    return label[0].lower() + label[1:]


def _following(field: Field, calculator: Calculator, readings: Mapping[str, Reading]) -> Reading:
    other = next(one for one in calculator.fields if one.name == field.follows)
    empty = readings[field.name]
    value = settled(other, readings[other.name].value, field)
    if value is None:
        return empty
    _check_limits(field, value)
    same = f"as the {_inside(other.label)}"
    metric, imperial = (
        f"{text}, {same}" if isinstance(value, int) else same for text in shown_value(field, value)
    )
    return replace(empty, value=value, metric=metric, imperial=imperial)


def _unknown(name: str, calculator: Calculator) -> InputError:
    short = name if len(name) <= 40 else name[:40] + "…"
    known = ", ".join(field.name for field in calculator.fields)
    return InputError(
        short, f"“{short}” is not a field of {calculator.title}.", f"The fields are: {known}."
    )


def _as_typed(field: Field, inputs: Mapping[str, Any]) -> str:
    value = inputs.get(field.name, field.default)
    if value is None:
        return ""
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise InputError(
            field.name,
            f"{field.label} came as {type(value).__name__}, not as text or a number.",
            f"For example {KINDS[field.kind].spoken(field.default)}.",
        )
    try:
        text = str(value).strip()
    except ValueError:  # a whole number of more digits than Python will write out
        text = "9" * (LONGEST_ENTRY + 1)
    if len(text) > LONGEST_ENTRY and field.kind not in ("text", "lines"):
        raise InputError(
            field.name,
            f"That is {len(text)} characters long, too much for {field.label.lower()}.",
            f"For example {KINDS[field.kind].spoken(field.default)}.",
        )
    return text


def _read(field: Field, typed: Mapping[str, str], is_default: bool, units: str) -> Reading:
    text = typed[field.name]
    if not text:
        if field.required:
            raise InputError(
                field.name,
                f"{field.label} is empty.",
                f"For example {KINDS[field.kind].spoken(field.default)}." if field.default else "",
            )
        return Reading(text, None, "", "", is_default)
    system = typed[field.system_field] if field.system_field else ""
    value, metric, imperial = _understood(field, text, system or "cotton", units)
    drawing = field.picture(text, units) if field.picture else KINDS[field.kind].drawing(value)
    return Reading(text, value, metric, imperial, is_default, drawing)


@lru_cache(maxsize=1024)  # a keystroke changes one field of many
def _understood(field: Field, text: str, system: str, units: str) -> tuple[Any, str, str]:
    """Return the value of a typed text, and how it is shown in both unit worlds."""
    value = KINDS[field.kind].read(field, text, system, units)
    _check_limits(field, value)
    return value, *shown_value(field, value)


def _check_limits(field: Field, value: Any) -> None:
    low, high = (value.low, value.high) if isinstance(value, Range) else (value, value)
    if not isinstance(low, (int, float)):
        return
    if field.minimum is not None and low < field.minimum:
        raise _outside(field, value, field.minimum, "at least")
    if field.maximum is not None and high > field.maximum:
        raise _outside(field, value, field.maximum, "at most")


def _outside(field: Field, value: Any, limit: float, words: str) -> InputError:
    edge = Range.exactly(limit) if isinstance(value, Range) else limit
    metric, imperial = shown_value(field, edge)
    understood = shown_value(field, value)[0]
    wanted = metric if metric == imperial else f"{metric} ({imperial})"
    return InputError(
        field.name,
        f"{field.label} was read as {understood}; it must be {words} {wanted}.",
        f"For example {KINDS[field.kind].spoken(field.default)}.",
    )


def _measured(parser: Callable[..., Any]) -> Read:
    """Read a field with a parser that is told what a bare number means."""
    return lambda field, text, _, units: parser(text, unit=field.bare_unit(units), field=field.name)


def _plain(parser: Callable[..., Any]) -> Read:
    """Read a field with a parser that knows of no unit."""
    return lambda field, text, *_: parser(text, field=field.name)


def _density(field: Field, text: str, _: str, units: str) -> float:
    value = parse.parse_density(text, unit=field.bare_unit(units), field=field.name)
    return per_inch(value) if field.unit == "1/inch" else value


def _choice(field: Field, text: str, *_: str) -> str:
    wanted = text.casefold()
    for key, words in field.choices:
        if wanted in (key.casefold(), words.casefold()):
            return key
    raise InputError(
        field.name,
        f"“{text[:40]}” is not one of the choices for {field.label.lower()}.",
        "Choose one of: " + ", ".join(key for key, _ in field.choices) + ".",
    )


def _in_unit(unit: str) -> Shown:
    return lambda field, value: (
        written.format_quantity(value, unit or field.unit, "metric"),
        written.format_quantity(value, unit or field.unit, "imperial"),
    )


def _alike(write: Callable[[Any], str]) -> Shown:
    """Write a value alike in both unit worlds."""
    return lambda _, value: (write(value), write(value))


def _number(field: Field, value: float) -> tuple[str, str]:
    text = many(value, field.unit) if field.unit else written.format_number(value)
    return text, text


def _chosen(field: Field, value: str) -> tuple[str, str]:
    text = dict(field.choices)[value]
    return text, text


# The rooms of yarn and weave enter kinds of their own.
KINDS: dict[str, Kind] = {
    "length": Kind(_measured(parse.parse_length), _in_unit("cm")),
    "mass": Kind(_measured(parse.parse_mass), _in_unit("g")),
    "density": Kind(_density, _in_unit("")),
    "reed": Kind(_measured(parse.parse_reed), _in_unit("reed")),
    "price": Kind(_measured(parse.parse_price), _in_unit("")),
    "loss": Kind(_plain(parse.parse_loss), _alike(written.format_range)),
    "count": Kind(_plain(parse.parse_count), _number),
    "number": Kind(_plain(parse.parse_number), _number),
    "range": Kind(_plain(parse.parse_figures), _alike(figures)),
    "choice": Kind(_choice, _chosen),
    "text": Kind(lambda _, text, *__: text, _alike(str)),
    "lines": Kind(lambda _, text, *__: text, _alike(lambda _: "")),  # they stand there to be read
}
