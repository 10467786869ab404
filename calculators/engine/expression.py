"""A formula's body seen as an expression: the tree that its printed forms are written from.

A formula is an ordinary function. Called with numbers it computes; called with symbols it returns
the tree of what it would compute. Nothing reads the source text, so nothing can differ from it.
"""

import operator
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import floor, sqrt
from typing import Any, TypeVar, cast

from calculators.quantities.format import format_number, round_nearest, round_up

R = TypeVar("R")
MOST_PLACES = 8  # of a constant: a pound is 0.45359237 kg
NEARLY = 1e-9  # a whole number that arithmetic left a hair below


class Expression:
    """Something that stands for a number; arithmetic on it makes a larger expression."""

    def __add__(self, other: "Operand") -> "Expression":
        return Operation("+", self, _of(other))

    def __radd__(self, other: "Operand") -> "Expression":
        return Operation("+", _of(other), self) if other != 0 else self  # sum() begins at nought

    def __sub__(self, other: "Operand") -> "Expression":
        return Operation("−", self, _of(other))

    def __rsub__(self, other: "Operand") -> "Expression":
        return Operation("−", _of(other), self)

    def __mul__(self, other: "Operand") -> "Expression":
        return Operation("×", self, _of(other))

    def __rmul__(self, other: "Operand") -> "Expression":
        return Operation("×", _of(other), self)

    def __truediv__(self, other: "Operand") -> "Expression":
        return Operation("÷", self, _of(other))

    def __rtruediv__(self, other: "Operand") -> "Expression":
        return Operation("÷", _of(other), self)

    def __pow__(self, other: "Operand") -> "Expression":
        return Operation("^", self, _of(other))

    def __bool__(self) -> bool:
        raise TypeError("a formula is one expression: it does not choose between two")


Operand = Expression | float


@dataclass(frozen=True)
class Symbol(Expression):
    """A quantity by the name of its term."""

    name: str


@dataclass(frozen=True)
class Constant(Expression):
    """A number that stands in the formula itself."""

    value: float


@dataclass(frozen=True)
class Operation(Expression):
    """Two expressions joined by one of + − × ÷ ^."""

    sign: str
    left: Expression
    right: Expression


@dataclass(frozen=True)
class Applied(Expression):
    """A named function of one expression: √, up, down or nearest."""

    function: str
    inside: Expression


@dataclass(frozen=True)
class Result(Expression):
    """What another formula gives, by the name of its term; ``body`` is that formula's own tree.

    ``body`` is None where the other formula is an algorithm; ``value`` works it out.
    """

    name: str
    body: Expression | None
    arguments: Mapping[str, Expression]
    value: Callable[..., float]


def symbols(expression: Expression) -> Iterator[str]:
    """Yield the names of an expression's symbols in the order in which they are read."""
    match expression:
        case Symbol(name) | Result(name):
            yield name
        case Operation(_, left, right):
            yield from symbols(left)
            yield from symbols(right)
        case Applied(_, inside):
            yield from symbols(inside)


def results(expression: Expression) -> Iterator[Result]:
    """Yield what an expression takes from other formulas."""
    match expression:
        case Result():
            yield expression
        case Operation(_, left, right):
            yield from results(left)
            yield from results(right)
        case Applied(_, inside):
            yield from results(inside)


def value_of(expression: Expression, values: Mapping[str, float]) -> float:
    """Work out an expression; a result of another formula is looked up before it is worked out."""
    match expression:
        case Symbol(name):
            return values[name]
        case Constant(value):
            return value
        case Operation(sign, left, right):
            return ARITHMETIC[sign](value_of(left, values), value_of(right, values))
        case Applied(function, inside):
            return FUNCTIONS[function](value_of(inside, values))
        case Result(name, _, arguments, value):
            if name in values:
                return values[name]
            return value(
                **{
                    parameter: value_of(argument, values)
                    for parameter, argument in arguments.items()
                }
            )
    raise TypeError(f"not an expression: {expression!r}")


def root(value: float) -> float:
    """Square root."""
    return _applied("√", sqrt, value)


def up(value: float) -> int:
    """Whole number at or above a figure."""
    return _applied("up", lambda figure: int(round_up(figure).value), value)


def down(value: float) -> int:
    """Whole number at or below a figure."""
    return _applied("down", lambda figure: floor(figure + NEARLY), value)


def nearest(value: float) -> int:
    """Whole number nearest to a figure; a half goes up."""
    return _applied("nearest", lambda figure: int(round_nearest(figure).value), value)


def _applied(name: str, function: Callable[[float], R], value: float) -> R:
    """Apply a function to a number, or note in an expression that it is applied."""
    seen: Any = value
    return cast(R, Applied(name, seen)) if isinstance(seen, Expression) else function(value)


ARITHMETIC: Mapping[str, Callable[[float, float], float]] = {
    "+": operator.add,
    "−": operator.sub,
    "×": operator.mul,
    "÷": operator.truediv,
    "^": operator.pow,
}
FUNCTIONS: Mapping[str, Callable[[float], float]] = {
    "√": root,
    "up": up,
    "down": down,
    "nearest": nearest,
}


def _of(operand: Operand) -> Expression:
    return operand if isinstance(operand, Expression) else Constant(operand)


# How a tree is written as a line: what binds looser than its surroundings goes into brackets.
_BINDING = {"+": 1, "−": 1, "×": 2, "÷": 2, "^": 3}
_TIGHTEST = 4


def written(expression: Expression, say: Callable[[str], str]) -> str:
    """Write an expression on one line, each symbol as it is told to be said.

    >>> loom = Symbol("finished_width") / (1 - Symbol("width_shrinkage"))
    >>> written(loom, {"finished_width": "B_f", "width_shrinkage": "s_w"}.__getitem__)
    'B_f ÷ (1 − s_w)'
    """
    return _line(expression, say)[0]


def constant_text(value: float) -> str:
    """Write a number of the formula itself: in full, unless it has no end.

    >>> constant_text(0.45359237), constant_text(3**0.5 / 2)
    ('0.45359237', '0.866')
    """
    return format_number(value, MOST_PLACES if round(value, MOST_PLACES) == value else None)


def _line(expression: Expression, say: Callable[[str], str]) -> tuple[str, int]:
    """Return the line and how tightly its loosest sign binds."""
    match expression:
        case Symbol(name) | Result(name):
            said = say(name)
            return said, 0 if said.startswith("−") else _TIGHTEST
        case Constant(value):
            return constant_text(value), _TIGHTEST
        case Operation(sign, left, right):
            own = _BINDING[sign]
            before = _bracketed(_line(left, say), own)
            after = _bracketed(_line(right, say), own + (sign in "−÷^"))
            return f"{before} {sign} {after}" if sign != "^" else f"{before}^{after}", own
        case Applied("√", inside):
            return f"√{_bracketed(_line(inside, say), _TIGHTEST)}", _TIGHTEST
        case Applied(function, inside):
            return f"{function}({_line(inside, say)[0]})", _TIGHTEST
    raise TypeError(f"not an expression: {expression!r}")


def _bracketed(part: tuple[str, int], least: int) -> str:
    text, binding = part
    return text if binding >= least else f"({text})"
