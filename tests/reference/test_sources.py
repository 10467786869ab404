import ast
import tomllib
from pathlib import Path

import calculators
from calculators.engine.sources import sources
from calculators.sett.rules import limits
from calculators.weave.library import WEAVES, weave
from tests.every import of_every

PACKAGE = Path(calculators.__file__).parent
WORKS = sources()
TABLES = sorted(PACKAGE.rglob("*.toml"))
NAMES = ("source", "sources")


def cited(value, name=""):
    """Every source key in the data, whatever its depth."""
    if isinstance(value, dict):
        for inner, part in value.items():
            if inner != "inputs":
                yield from cited(part, inner)
    elif isinstance(value, list):
        for part in value:
            yield from cited(part, name)
    elif isinstance(value, str) and name in NAMES:
        yield value


def written(path):
    """Every source key given by name in the code."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
        for keyword in call.keywords:
            if keyword.arg in NAMES:
                constants = [
                    node
                    for node in ast.walk(keyword.value)
                    if isinstance(node, ast.Constant) and isinstance(node.value, str)
                ]
                inside = {
                    inner.value
                    for node in ast.walk(keyword.value)
                    if isinstance(node, ast.Subscript | ast.Call | ast.Compare)
                    for inner in ast.walk(node)
                    if isinstance(inner, ast.Constant)
                }
                yield from (node.value for node in constants if node.value not in inside)


@of_every(TABLES)
def test_every_source_of_the_data_is_listed(path):
    keys = set(cited(tomllib.loads(path.read_text(encoding="utf-8"))))
    assert keys - set(WORKS) == set()


@of_every(sorted(PACKAGE.rglob("*.py")))
def test_every_source_named_in_the_code_is_listed(path):
    assert set(written(path)) - set(WORKS) == set()


@of_every(list(WEAVES))
def test_every_rule_of_setting_names_a_listed_source(name):
    for limit in limits(73.8, weave(name)):
        assert limit.source in WORKS


def test_every_answer_names_listed_sources():
    for calculator in calculators.describe():
        answer = calculators.run(calculator["id"], {})
        assert answer["ok"], answer
        assert set(answer["sources"]) - set(WORKS) == set(), calculator["id"]


def test_ids_and_keys_are_single_and_in_order():
    works = tomllib.loads((PACKAGE / "data" / "sources.toml").read_text(encoding="utf-8"))["source"]
    assert [work["id"] for work in works] == [f"R-{place}" for place in range(1, len(works) + 1)]
    assert len({work["key"] for work in works}) == len(works)


@of_every(list(WORKS))
def test_a_work_is_cited_in_full(key):
    work = WORKS[key]
    for name in ("author", "title", "year", "where", "grade", "kind", "read"):
        assert work[name].strip(), name
    assert work["grade"] in ("A", "B", "C")


def test_what_was_not_read_does_not_pass_for_read():
    for work in WORKS.values():
        if work["kind"] in ("common practice", "from memory"):
            assert work["grade"] == "C"
            assert work["read"] == "not read"
