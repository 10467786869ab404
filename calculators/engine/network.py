"""Formulas put together: each figure is worked out from those it needs, in the order it needs them.

A figure that is not known exactly is a Range, and whatever depends on it becomes one: low and high
are the extremes over the ends of all that is open, for every formula rises or falls steadily with
each of its figures. What is ``decided`` is settled once, from the likely figures, and stands.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from inspect import unwrap
from itertools import product
from typing import Any

from calculators.engine.formula import Formula, checked, record_of, unlogged
from calculators.quantities.interval import Range

Figure = float | Range


@dataclass(frozen=True)
class Node:
    """A function and the terms it needs and gives."""

    gives: str
    function: Callable[..., Any]
    needs: Mapping[str, str]  # term by parameter
    defaults: Mapping[str, Any]  # of parameters that can do without a figure
    record: Formula | None


def used_for(gives: str, function: Callable[..., Any], named: str = "", **terms_of: str) -> Node:
    """Return a function for other quantities of its kinds: this yarn's mass, that one's.

    ``terms_of`` names the terms that take the place of its parameters; ``named`` is what its step
    is called.
    """
    record = record_of(function)
    if record is None:
        node = _node(function)
        needs = {name: terms_of.get(term, term) for name, term in node.needs.items()}
        return replace(node, gives=gives, needs=needs)
    parameters = tuple(terms_of.get(name, name) for name in record.parameters)
    other = replace(record, gives=gives, parameters=parameters, name=named or record.name)
    return _node(checked(record.function, other))


Way = tuple[Callable[..., Any], tuple[str, ...]]  # a function, and the terms it takes in order


class Network:
    """Formulas, and functions that choose between formulas, that share their terms."""

    def __init__(
        self, *parts: "Callable[..., Any] | Node | Network", decided: Iterable[str] = ()
    ) -> None:
        self.nodes: dict[str, list[Node]] = {}
        self.decided = set(decided)
        self._ways: dict[frozenset[str], dict[str, Way | None]] = {}
        for part in parts:
            if isinstance(part, Network):
                self.decided |= part.decided
                for node in part:
                    self._take(node)
            else:
                self._take(part if isinstance(part, Node) else _node(part))

    def __iter__(self) -> Iterator[Node]:
        """Yield every function once."""
        for nodes in self.nodes.values():
            yield from nodes

    def _take(self, node: Node) -> None:
        nodes = self.nodes.setdefault(node.gives, [])
        if all(node.function is not other.function for other in nodes):
            nodes.append(node)

    def behind(self, *names: str) -> set[str]:
        """Return every term from which some others follow."""
        terms: set[str] = set()
        waiting = list(names)
        while waiting:
            for node in self.nodes.get(waiting.pop(), ()):
                waiting += set(node.needs.values()) - terms
                terms |= set(node.needs.values())
        return terms

    def run(self, known: Mapping[str, Figure | None]) -> "Worked":
        """Return everything that follows from what is known; what is None is not known."""
        return Worked(self, {name: figure for name, figure in known.items() if figure is not None})

    def way_to(self, name: str, known: frozenset[str]) -> Way | None:
        """Return how a term is worked out from what is known, None where it is not."""
        ways = self._ways.setdefault(known, {})
        if name not in ways:
            node = self._node_for(name, known, ())
            ways[name] = None if node is None else self._way(node, known)
        return ways[name]

    def _way(self, node: Node, known: frozenset[str]) -> Way:
        function = node.function
        terms: list[str] = []
        for parameter, term in node.needs.items():
            if parameter in node.defaults and not (term in known or self.way_to(term, known)):
                function = _filled(function, len(terms), node.defaults[parameter])
            else:
                terms.append(term)
        return function, tuple(terms)

    def _node_for(
        self, name: str, known: frozenset[str], on_the_way: tuple[str, ...]
    ) -> Node | None:
        for node in self.nodes.get(name, ()):
            if all(
                term in known
                or parameter in node.defaults
                or (
                    term not in (*on_the_way, name)
                    and self._node_for(term, known, (*on_the_way, name))
                )
                for parameter, term in node.needs.items()
            ):
                return node
        return None


class Worked:
    """What follows from what is known: every figure is worked out when it is asked for, once."""

    def __init__(self, network: Network, known: Mapping[str, Figure]) -> None:
        self._network = network
        self._known = known
        self._names = frozenset(known)
        self._likely: dict[str, Any] = {
            name: figure.likely if isinstance(figure, Range) else figure
            for name, figure in known.items()
        }
        self._open: dict[str, tuple[str, ...]] = {
            name: (name,) if isinstance(figure, Range) and not figure.is_exact else ()
            for name, figure in known.items()
        }
        self._corners: dict[tuple[str, tuple[float, ...]], Any] = {}
        self._ranges: dict[str, Range] = {}

    def __contains__(self, name: str) -> bool:
        """Whether a term is known or can be worked out."""
        return name in self._names or self._network.way_to(name, self._names) is not None

    def likely(self, name: str) -> float:
        """Return a figure at the likely values of all that is open."""
        if name not in self._likely:
            function, terms = self._way(name)
            self._likely[name] = function(*map(self.likely, terms))
        figure: float = self._likely[name]
        return figure

    def whole(self, name: str) -> int:
        """Return a count."""
        return int(self.likely(name))

    def ranged(self, name: str) -> Range:
        """Return a figure with its low and its high."""
        if name not in self._ranges:
            likely, names = self.likely(name), self.open(name)
            ends = [{self._known_range(term).low, self._known_range(term).high} for term in names]
            with unlogged():
                figures = [
                    self._at(name, dict(zip(names, corner, strict=True)))
                    for corner in product(*ends)
                ]
            self._ranges[name] = Range(min(likely, *figures), likely, max(likely, *figures))
        return self._ranges[name]

    def high(self, name: str) -> float:
        """Return a figure at the dear end of all that is open, the safe one to go by."""
        names = self.open(name)
        if not names:
            return self.likely(name)
        ends = [(self._known_range(term).low, self._known_range(term).high) for term in names]
        corners = [dict(zip(names, corner, strict=True)) for corner in product(*ends)]
        with unlogged():
            worst = max(corners, key=lambda corner: self._at(name, corner))
            function, terms = self._way(name)
            arguments = [self._at(term, worst) for term in terms]
        figure: float = function(*arguments)
        return figure

    def otherwise(self, **known: Figure | None) -> "Worked":
        """Return what would follow if some of what is known were otherwise."""
        return self._network.run({**self._known, **known})

    def open(self, name: str) -> tuple[str, ...]:
        """Return what a figure depends on that is not known exactly."""
        if name not in self._open:
            names: tuple[str, ...] = ()
            if name not in self._network.decided:
                needs = map(self.open, self._way(name)[1])
                names = tuple(sorted(set[str]().union(*needs)))
            self._open[name] = names
        return self._open[name]

    def _at(self, name: str, corner: Mapping[str, float]) -> Any:
        names = self.open(name)
        if not names:
            return self.likely(name)
        if name in self._names:
            return corner[name]
        key = (name, tuple(corner[term] for term in names))
        if key not in self._corners:
            function, terms = self._way(name)
            self._corners[key] = function(*[self._at(term, corner) for term in terms])
        return self._corners[key]

    def _known_range(self, name: str) -> Range:
        figure = self._known[name]
        return figure if isinstance(figure, Range) else Range.exactly(figure)

    def _way(self, name: str) -> Way:
        way = self._network.way_to(name, self._names)
        if way is None:
            raise KeyError(name)
        return way


def _filled(function: Callable[..., Any], place: int, value: Any) -> Callable[..., Any]:
    """Return the function with one parameter left to its own value."""
    return lambda *figures: function(*figures[:place], value, *figures[place:])


def _node(function: Callable[..., Any]) -> Node:
    """Read what a function needs: a formula from its record, another from its parameters."""
    record = record_of(function)
    code, defaults = unwrap(function).__code__, unwrap(function).__defaults__ or ()
    names = code.co_varnames[: code.co_argcount]
    return Node(
        gives=function.__name__ if record is None else record.gives,
        function=function,
        needs=dict(zip(names, names if record is None else record.parameters, strict=True)),
        defaults=dict(zip(names[::-1], defaults[::-1], strict=False)),
        record=record,
    )
