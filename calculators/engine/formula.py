"""A formula stands once: as a function whose body is the equation.

From that one statement come the value, the range over low, likely and high, the limits' errors,
the line with this plan's own numbers in it, the printed equation and its list of symbols.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cached_property, wraps
from inspect import CO_VARARGS, unwrap
from typing import Any, ParamSpec, TypeVar, cast

from calculators.engine.expression import (
    Constant,
    Expression,
    Result,
    Symbol,
    results,
    symbols,
    written,
)
from calculators.engine.terms import Term, terms

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True)
class Formula:
    """What is known of one formula beside its body.

    ``gives`` is the term it works out. ``words`` stand only where the body is an algorithm, and
    say what it does. ``where`` is the page in the sources. With ``several`` the last parameter
    stands for as many figures as are given, and the equation is written for two.
    """

    id: str
    name: str
    gives: str
    parameters: tuple[str, ...]
    function: Callable[..., Any]
    sources: tuple[str, ...]
    where: str
    basis: str
    validity: str
    words: str
    several: bool

    @cached_property
    def body(self) -> Expression | None:
        """The body as a tree; nothing where it is an algorithm."""
        return self.body_over(*self.names(len(self.parameters) + 1))

    def names(self, figures: int) -> tuple[str, ...]:
        """Name so many figures by the parameters, several of one parameter with their numbers."""
        if not self.several:
            return self.parameters
        *before, last = self.parameters
        return (*before, *(f"{last} {place + 1}" for place in range(figures - len(before))))

    def body_over(self, *names: str) -> Expression | None:
        """Return the body as a tree over figures of these names."""
        if self.words:
            return None
        body = self.function(*map(Symbol, names))
        if not isinstance(body, Expression):
            raise TypeError(f"{self.id} is not one expression")
        return body

    @cached_property
    def limits(self) -> tuple[tuple[float, float], ...]:
        """The least and the greatest figure of each parameter."""
        return tuple(terms()[name].limits for name in self.parameters)

    @property
    def equation(self) -> str:
        """The equation in symbols, on one line."""
        if self.body is None:
            return self.words
        lines = [f"{_symbol(self.gives)} = {written(self.body, _symbol)}"]
        lines += [
            f"{_symbol(result.name)} = {written(result.body, _symbol)}"
            for result in results(self.body)
            if result.body is not None
        ]
        return ", ".join(dict.fromkeys(lines))

    @property
    def symbols(self) -> Mapping[str, Term]:
        """The terms that the equation names, by their symbols, the result first."""
        names = [self.gives, *(self.parameters if self.body is None else symbols(self.body))]
        for result in () if self.body is None else results(self.body):
            names += symbols(result.body) if result.body is not None else ()
        return {terms()[name].symbol: terms()[name] for name in names}


@dataclass(frozen=True)
class Calculation:
    """A formula worked out once: with what, and what came out."""

    formula: Formula
    arguments: Mapping[str, float]
    value: float

    @property
    def body(self) -> Expression | None:
        """The formula's body, over as many figures as there were."""
        several = self.formula.several
        return self.formula.body_over(*self.arguments) if several else self.formula.body


BOOK: dict[str, list[Formula]] = {}  # by id; the first is the formula, others turn it round
_records: dict[Callable[..., Any], Formula] = {}
_log: ContextVar[list[Calculation] | None] = ContextVar("log", default=None)


def formula(
    id: str,  # noqa: A002 - the trade's word for F-60
    name: str,
    *sources: str,
    gives: str = "",
    where: str = "",
    basis: str = "worked out",
    validity: str = "",
    words: str = "",
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Enter a function into the book of formulas; its parameters are names of terms."""

    def entered(function: Callable[P, R]) -> Callable[P, R]:
        code = cast(Any, function).__code__
        several = bool(code.co_flags & CO_VARARGS)
        record = Formula(
            id=id,
            name=name,
            gives=gives or function.__name__,
            parameters=code.co_varnames[: code.co_argcount + several],
            function=function,
            sources=sources,
            where=where,
            basis=basis,
            validity=validity,
            words=words,
            several=several,
        )
        BOOK.setdefault(id, []).append(record)
        return checked(function, record)

    return entered


def record_of(function: Callable[..., Any]) -> Formula | None:
    """Return what is known of a formula; nothing of a function that is none."""
    return _records.get(function)


def checked(function: Callable[P, R], record: Formula) -> Callable[P, R]:
    """Return the function that holds every figure against its term, and is kept in the log."""
    code, defaults = cast(Any, function).__code__, cast(Any, function).__defaults__ or ()
    term_of = dict(zip(code.co_varnames, record.parameters, strict=False))
    left_out = dict(zip(record.parameters[::-1], defaults[::-1], strict=False))

    @wraps(function)
    def worked(*figures: P.args, **by_name: P.kwargs) -> R:
        if not by_name and _log.get() is None and _within(figures, record.limits):
            return function(*figures, **by_name)
        names = record.names(len(figures))
        arguments: dict[str, Any] = left_out | dict(zip(names, figures, strict=False))
        arguments.update((term_of[name], value) for name, value in by_name.items())
        vocabulary = terms()
        for parameter, argument in arguments.items():
            if isinstance(argument, Expression):  # not computed but read
                result = Result(record.gives, record.body, _parts(arguments), cast(Any, function))
                return cast(Any, result)  # type: ignore[no-any-return]
            low, high = vocabulary[parameter].limits
            if argument is not None and not low <= argument <= high:
                raise vocabulary[parameter].refusal(argument)
        value = function(*figures, **by_name)
        log = _log.get()
        if log is not None and isinstance(value, (int, float)):
            log.append(Calculation(record, arguments, value))
        return value

    _records[worked] = record
    return worked


def bare(function: Callable[P, R]) -> Callable[P, R]:
    """Return a formula's arithmetic alone, unchecked and untold, for a search's inmost loops."""
    return cast(Callable[P, R], unwrap(function))


@contextmanager
def logged() -> Iterator[list[Calculation]]:
    """Keep every calculation made inside, in order."""
    log: list[Calculation] = []
    token = _log.set(log)
    try:
        yield log
    finally:
        _log.reset(token)


@contextmanager
def unlogged() -> Iterator[None]:
    """Keep nothing of what is made inside: the other cases of a table, the ends of a range."""
    token = _log.set(None)
    try:
        yield
    finally:
        _log.reset(token)


def _within(figures: tuple[Any, ...], limits: tuple[tuple[float, float], ...]) -> bool:
    """Whether every parameter is given a plain figure inside its limits: the quick way."""
    try:
        for figure, (low, high) in zip(figures, limits, strict=True):
            if not low <= figure <= high:
                return False
    except (TypeError, ValueError):  # a symbol, nothing, or not so many
        return False
    return True


def _parts(arguments: Mapping[str, Any]) -> dict[str, Expression]:
    return {
        parameter: argument if isinstance(argument, Expression) else Constant(argument)
        for parameter, argument in arguments.items()
    }


def _symbol(name: str) -> str:
    return terms()[name].symbol
