"""Falsifies the book of formulas one statement at a time: a test must notice every change.

python -m scripts.falsify                        ten changes that must always be noticed
python -m scripts.falsify --sample 60 --seed 1   and a random sample of all others
python -m scripts.falsify --all                  and all others

A change is made in the memory of a forked process; the exit status is 1 when one survives.
"""

import argparse
import ast
import inspect
import random
import signal
import sys
from collections.abc import Callable, Iterator
from functools import partial
from itertools import count, islice
from multiprocessing import get_context
from types import CodeType, SimpleNamespace
from typing import Any, NamedTuple

import pytest
from _pytest.runner import runtestprotocol
from hypothesis import settings

import calculators.page  # noqa: F401 - every room enters its formulas
from calculators.data import load
from calculators.engine import sources, steps
from calculators.engine.calculator import Field, Output
from calculators.engine.formula import BOOK, Formula
from calculators.engine.terms import ROOMS, terms
from calculators.quantities.format import format_number
from calculators.registry import registry
from scripts.setting_up.environment import ROOT

SHARED = ("tests/engine", "tests/test_structure.py", "tests/forms", "tests/reference")
WIDER = {"more than nothing": "not less than nothing"}  # anything, where none stands here
SIGNS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
UNITS = {"cm": "m", "g": "kg", "1/cm": "1/inch", "1/inch": "1/cm", "h": "minute"}
ALWAYS = (  # where, and what becomes of it
    ("F-60 “Width after the wash”", "loom_width * (1 - width_shrinkage) → loom_width /"),
    ("F-81", "1 + take_up → 1 - take_up"),
    ("F-86", "reed_width + turn_allowance → reed_width - turn_allowance"),
    *(("F-86", "id → "), ("F-61", "sources → "), ("[loom_waste]", "unit → m")),
    *(("warp.warp_length", "formula → "), ("warp.loom_waste", "label → ")),
    *(("warp.loom_waste", "maximum → "), ("steps.py", "last digit → ")),
)


class Change(NamedTuple):
    """One statement made wrong: where it stands, what becomes of it, and how."""

    place: str
    what: str
    room: str
    make: Callable[[], Any]


def put(thing: object, **new: object) -> None:
    """Overwrite what is meant never to change, and forget what was worked out from it."""
    vars(thing).update(new)
    for kept in ("body", "limits"):
        vars(thing).pop(kept, None)


def bodies(record: Formula) -> Iterator[tuple[str, CodeType]]:
    """Yield every body in which one sign is turned round, or one number is larger by one."""
    text = inspect.getsource(record.function).partition("\ndef ")[2]
    for number in count():
        tree: Any = ast.parse(f"def {text}")
        nodes: list[Any] = [node for line in tree.body[0].body for node in ast.walk(line)]
        if number == len(nodes):
            return
        node, before = nodes[number], ast.unparse(nodes[number])
        if isinstance(node, ast.BinOp):
            node.op = SIGNS.get(type(node.op), ast.Mult)()
        elif isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
            node.value += 1
        else:
            continue
        made: dict[str, Any] = {}
        exec(compile(tree, record.id, "exec"), record.function.__globals__, made)
        yield f"{before} → {ast.unparse(node)}", made[record.function.__name__].__code__


def exchange(one: str, other: str) -> None:
    """Let two formulas trade their ids."""
    BOOK[one], BOOK[other] = BOOK[other], BOOK[one]
    for record in BOOK[one] + BOOK[other]:
        put(record, id=one if record in BOOK[one] else other)


def of_formulas() -> Iterator[Change]:
    """Yield bodies, names, sources and ids made wrong."""
    works, ids = list(sources.sources()), list(BOOK)
    for id_, record in [(key, record) for key in ids for record in BOOK[key]]:
        room = record.function.__module__.split(".")[1]
        change = partial(Change, f"{record.function.__module__} {id_} “{record.name}”", room=room)
        for what, code in bodies(record):
            yield change(what, make=partial(setattr, record.function, "__code__", code))
        yield change("name → Fringe", make=partial(put, record, name="Fringe"))
        for key in record.sources:
            new = tuple(works[works.index(work) - (work == key)] for work in record.sources)
            yield change(f"sources → {new}", make=partial(put, record, sources=new))
        yield change("id → another", make=partial(exchange, id_, ids[ids.index(id_) - 1]))
    high = partial(setattr, steps, "format_number", lambda x, n=2: format_number(x + 0.1**n, n))
    yield Change("engine/steps.py", "last digit → one too high", "loom", high)


def of_terms() -> Iterator[Change]:
    """Yield symbols, units and limits of terms made wrong."""
    used = [(record.gives, *record.parameters) for entries in BOOK.values() for record in entries]
    rooms = {name: room for room in ROOMS for name in load(f"terms/{room}")}
    for name, room in rooms.items():
        term, change = terms()[name], partial(Change, f"terms/{room}.toml [{name}]", room=room)
        beside = [other for names in used if name in names for other in names if other != name]
        if beside:
            new = {"symbol": terms()[beside[0]].symbol, "unit": UNITS.get(term.unit, "cm")}
            if term.must != "anything" and any(name in names[1:] for names in used):
                new["must"] = WIDER.get(term.must, "anything")
            for part, value in new.items():
                yield change(f"{part} → {value}", make=partial(put, term, **{part: value}))


def of_calculators() -> Iterator[Change]:
    """Yield labels, limits, defaults and citations made wrong."""
    ids = list(BOOK)
    for calculator in registry().values():
        fields, outputs = calculator.fields, calculator.outputs
        before: list[Field | Output] = [*fields[-1:], *fields[:-1], *outputs[-1:], *outputs[:-1]]
        for row, neighbour in zip((*fields, *outputs), before, strict=True):
            old = vars(row)
            new: dict[str, Any] = {"label": neighbour.label} if row is not neighbour else {}
            new |= {"default": f"{old.get('default')}1", "maximum": 10 * (old.get("maximum") or 0)}
            new["minimum"] = (old.get("minimum") or 0) - 1
            if old.get("formula") in BOOK:
                new["formula"] = ids[ids.index(old["formula"]) - 1]
            for part in [part for part in new if old.get(part) is not None]:
                make = partial(put, row, **{part: new[part]})
                label = f"{calculator.id}.{old['name']}"
                yield Change(label, f"{part} → {new[part]}", "forms", make)


TRIED: list[Change] = []
ITEMS: list[pytest.Item] = []
KILLERS: list[str] = []  # what has noticed much is asked first
WRONG: list[str] = []  # changes that survived, and tests that fail as things are


def failing(most: int | None = None) -> list[str]:
    """Run the tests, those that noticed most before the others; return those that fail."""
    items = sorted(ITEMS, key=lambda item: -KILLERS.count(item.nodeid))
    failures = (
        item.nodeid
        for item in items
        if any(report.failed for report in runtestprotocol(item, log=False))
    )
    return list(islice(failures, most))


def noticed(number: int) -> list[str]:
    """Make a change in a process of its own and return the first test that fails, if any does."""
    signal.signal(signal.SIGALRM, lambda *_: pytest.fail("it takes too long"))
    signal.alarm(300)
    TRIED[number].make()
    sources._formulas.cache_clear()
    for records in BOOK.values():
        for record in records:
            put(record)
    return failing(1)


def tried(session: pytest.Session) -> bool:
    """Run the tests as they are, and what passes once for every change."""
    ITEMS.extend(item for item in session.items if "every_field" not in item.nodeid)
    with get_context("fork").Pool(1) as pool:
        WRONG.extend(pool.apply(failing))
    ITEMS[:] = [item for item in ITEMS if item.nodeid not in WRONG]
    with get_context("fork").Pool(maxtasksperchild=1) as pool:
        answers = pool.imap(noticed, range(len(TRIED)))
        for (place, what, *_), killers in zip(TRIED, answers, strict=True):
            KILLERS.extend(killers)
            line = f"{place}: {what} – {(killers or ['SURVIVED'])[0]}"
            print(line, file=sys.__stderr__, flush=True)
            WRONG.extend([] if killers else [line])
    return True


def main() -> int:
    """Try the changes; the exit status is 0 only when every one was noticed."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--sample", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--all", action="store_true")
    options = parser.parse_args()
    every = [*of_formulas(), *of_terms(), *of_calculators()]
    for place, what in ALWAYS:
        matching = (change for change in every if place in change.place)
        TRIED.append(next(change for change in matching if change.what.startswith(what)))
    chance = random.Random(options.seed)
    TRIED.extend(every if options.all else chance.sample(every, options.sample))
    settings.register_profile("falsify", max_examples=20, deadline=None, database=None)
    arguments = [
        "-q",
        "-p",
        "no:cacheprovider",
        "-m",
        "not thorough",
        "--hypothesis-profile=falsify",
    ]
    rooms = [
        place
        for room in sorted({change.room for change in TRIED})
        for place in (f"tests/{room}", f"calculators/{room}")
        if (ROOT / place).exists()
    ]
    plugin = SimpleNamespace(pytest_runtestloop=tried)
    pytest.main([*arguments, *SHARED, *rooms], plugins=[plugin])
    print(f"{len(TRIED)} of {len(every)} changes tried. Wrong:", *WRONG or ["nothing"], sep="\n")
    return int(bool(WRONG) or not ITEMS)


if __name__ == "__main__":
    sys.exit(main())
