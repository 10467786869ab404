"""The package: one way of importing, the standard library alone, every function explained."""

import ast
import re
import sys
from functools import cache, partial
from typing import get_args

import calculators.page  # noqa: F401 - every room enters its formulas
from calculators.cloth import networks as cloth_networks
from calculators.data import load
from calculators.engine.calculator import Basis
from calculators.engine.formula import BOOK
from calculators.engine.network import Network
from calculators.engine.sources import formulas, sources
from calculators.engine.terms import ROOMS, terms
from calculators.loom import networks as loom_networks
from calculators.plan import plan
from calculators.registry import registry
from calculators.shelf.own import SORTS
from scripts.setting_up.environment import ROOT
from tests.every import of_every

PACKAGE = ROOT / "calculators"
# Each stage may import only from itself and from those before it.
STAGES = [
    *("errors", "data", "quantities", "engine", "show"),
    *("yarn", "weave", "sett", "cloth", "loom", "plan", "figure", "appearance", "records", "shelf"),
    *("tables", "registry", "contract", "comparison", "examples", "page"),
]
PARTS = {"__init__": "page", "__main__": "page"}  # they belong to these stages
UNEXPLAINED = (  # no formulas
    *("data", "engine", "show", "tables", "registry", "contract", "comparison", "examples", "page"),
)
NO_FORMULAS = (
    "calculators.py",
    "sentences.py",
    "cautions.py",
    "kinds.py",
    "files.py",
    "composed.py",
    "grid.py",
    "picture.py",
    "motifs.py",
    "png.py",
    "rows.py",
    "wholes.py",
    "offers.py",
    "others.py",
    "own.py",
    "plates.py",
    "loom_side.py",
)
SECTIONS = ["Equation", "Parameters", "Returns", "Validity", "Errors", "Example", "Source"]
NAMED = re.compile(r"\((F-\d+)")
HEADING = re.compile(rf"^({'|'.join(SECTIONS)}):(.*)$")
NETWORKS = [
    one
    for module in (cloth_networks, loom_networks, plan)
    for one in vars(module).values()
    if isinstance(one, Network)
]
MODULES = sorted(PACKAGE.rglob("*.py"))


def stage(first):
    return PARTS.get(first, first)


def stage_of(path):
    return stage(path.relative_to(PACKAGE).parts[0].removesuffix(".py"))


def imported(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            yield node.module
            if node.module == "calculators":
                yield from (f"calculators.{name.name}" for name in node.names)


@cache
def public_functions(by_formulas=False):
    found = {}
    for path in MODULES:
        if stage_of(path) not in UNEXPLAINED and path.name not in NO_FORMULAS:
            for node in ast.parse(path.read_text(encoding="utf-8")).body:
                public = isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
                if public and told_by_formulas(node) == by_formulas:
                    found[f"{path.relative_to(PACKAGE)}:{node.name}"] = node
    return found


def told_by_formulas(function):
    """Whether the book of formulas tells what a function does: it is one, or names its own."""
    first = (ast.get_docstring(function) or "").partition("\n")[0]
    return bool(NAMED.search(first)) or any(
        isinstance(one, ast.Call) and getattr(one.func, "id", "") == "formula"
        for one in function.decorator_list
    )


def sections(function):
    """The docstring's sections in their order, each with its lines."""
    found = {"": []}
    current = ""
    for line in (ast.get_docstring(function) or "").splitlines():
        heading = HEADING.match(line)
        if heading:
            current = heading[1]
            assert current not in found, f"{current} stands twice"
            found[current] = [heading[2].strip()]
        else:
            found[current].append(line)
    return found


@of_every(MODULES)
def test_imports_go_one_way_and_stay_in_the_standard_library(path):
    here = stage_of(path)
    assert here in STAGES, f"{here} has no place in the order of the package"
    names = {place.stem for place in PACKAGE.iterdir()}
    for name in imported(ast.parse(path.read_text(encoding="utf-8"))):
        first, *rest = name.split(".")
        if first != "calculators":
            assert first in sys.stdlib_module_names or first == "segno", name
        elif rest and rest[0] in names:
            there = stage(rest[0])
            assert STAGES.index(there) <= STAGES.index(here), f"{here} imports {name}"


@of_every(public_functions)
def test_every_public_function_is_explained_in_the_one_order(function):
    found = sections(function)
    assert list(found) == ["", *SECTIONS]
    first, *others = found.pop("")
    assert first.endswith(".")
    assert not "".join(others), "one sentence comes first, then the sections"
    for title, lines in found.items():
        assert "".join(lines).strip(), f"{title} is empty"


@of_every(public_functions)
def test_every_parameter_has_its_unit_and_its_words(function):
    arguments = function.args
    names = [
        one.arg for one in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)
    ] + [one.arg for one in (arguments.vararg, arguments.kwarg) if one]
    lines = [line for line in sections(function)["Parameters"] if line.strip()]
    depth = min((len(line) - len(line.lstrip()) for line in lines), default=0)
    explained = [line.strip() for line in lines if len(line) - len(line.lstrip()) == depth]
    if not names:
        assert explained == ["none"]
        return
    assert [line.split(" ")[0] for line in explained] == names
    for line in explained:
        assert re.match(r"\w+ \[[^]]+\]: \S", line), line


@of_every(public_functions)
def test_every_function_says_what_it_returns_and_shows_it(function):
    found = sections(function)
    returned = " ".join(found["Returns"]).strip()
    assert function.returns is not None
    if ast.unparse(function.returns) == "None":
        assert returned.rstrip(".") == "nothing"
    else:
        assert re.match(r"\[[^]]+\]", returned)
    assert any(line.strip().startswith(">>>") for line in found["Example"])


@of_every(public_functions)
def test_every_formula_named_is_in_the_list_of_formulas(function):
    for name in re.findall(r"\bF-\d+\b", " ".join(sections(function)["Equation"])):
        assert name in formulas(), name


@of_every(partial(public_functions, by_formulas=True))
def test_what_the_book_tells_is_not_told_again(function):
    lines = (ast.get_docstring(function) or "").splitlines()
    assert lines[0].endswith(".")
    assert any(line.startswith(">>>") for line in lines), "an example that runs"
    assert not any(HEADING.match(line) for line in lines), "its record says that"
    for name in NAMED.findall(lines[0]):
        assert name in formulas(), name


RECORDS = {f"{name} {one.gives}": one for name, entries in BOOK.items() for one in entries}


@of_every(RECORDS)
def test_a_formula_is_made_of_terms_and_says_where_it_stands(record):
    known = terms()
    assert record.gives in known
    assert set(record.parameters) <= set(known)
    assert record.sources
    assert set(record.sources) <= set(sources())
    assert record.basis in get_args(Basis)
    assert record.equation
    named = [record.gives, *record.parameters]
    letters = [known[name].symbol for name in dict.fromkeys(named)]
    assert len(letters) == len(set(letters)), "two quantities of one formula share a symbol"


def test_every_term_stands_once():
    rows = [name for room in ROOMS for name in load(f"terms/{room}")]
    assert len(rows) == len(set(rows))


def test_every_term_is_used():
    """A term that no formula names and no calculator asks for, hands on or gives is ballast."""
    used = {name for entries in BOOK.values() for one in entries for name in one.parameters}
    used |= {one.gives for entries in BOOK.values() for one in entries}
    used |= {
        term
        for network in NETWORKS
        for node in network
        for term in (node.gives, *node.needs.values())
    }
    for calculator in (*registry().values(), *(sort.asked for sort in SORTS.values())):
        used |= {one.term for one in (*calculator.fields, *calculator.outputs)}
    assert set(terms()) - used == set()
