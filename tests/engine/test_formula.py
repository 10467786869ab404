"""A formula stands once: what is printed of it is read back and must be what was computed."""

import math
import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.engine.expression import (
    Constant,
    Operation,
    Symbol,
    down,
    nearest,
    root,
    up,
    written,
)
from calculators.engine.formula import BOOK, logged
from calculators.engine.steps import working
from calculators.engine.terms import terms
from calculators.errors import InputError
from calculators.yarn.folded import resultant_count
from tests.engine.evaluator import evaluate

NUMBERS = st.floats(0.001, 1000)
NAMES = {"a": "a", "b": "b"}


def trees(depth: int = 4) -> st.SearchStrategy[object]:
    leaves = st.one_of(st.sampled_from([Symbol("a"), Symbol("b")]), st.integers(1, 9).map(Constant))
    return st.recursive(
        leaves,
        lambda inner: st.builds(Operation, st.sampled_from("+−×÷"), inner, inner),
        max_leaves=2**depth,
    )


def value(tree: object, at: dict[str, Fraction]) -> Fraction:
    """What a tree comes to, by exact fractions and without its text."""
    if isinstance(tree, Symbol):
        return at[tree.name]
    if isinstance(tree, Constant):
        return Fraction(tree.value)
    assert isinstance(tree, Operation)
    one, other = value(tree.left, at), value(tree.right, at)
    if tree.sign == "÷":
        return one / other
    return {"+": one + other, "−": one - other, "×": one * other}[tree.sign]


@given(trees(), st.integers(1, 50), st.integers(51, 99))
def test_what_is_written_is_what_was_meant(tree: object, a: int, b: int) -> None:
    at = {"a": Fraction(a), "b": Fraction(b)}
    try:
        meant = value(tree, at)
    except ZeroDivisionError:
        return
    text = written(tree, lambda name: str(at[name]))
    assert evaluate(text) == pytest.approx(float(meant), rel=1e-9, abs=1e-9)


@given(NUMBERS)
def test_functions_are_the_ones_of_arithmetic(figure: float) -> None:
    assert root(figure) == math.sqrt(figure)
    assert down(figure) <= figure + 1e-9 < down(figure) + 1 + 2e-9
    assert up(figure) - 1 <= figure - 1e-9 + 2e-9
    assert up(figure) >= figure - 1e-9
    assert abs(nearest(figure) - figure) <= 0.5 + 1e-9


def test_a_formula_does_not_choose() -> None:
    with pytest.raises(TypeError, match="one expression"):
        _ = 1 if Symbol("a") else 2


def test_several_figures_of_one_kind_are_numbered() -> None:
    record = BOOK["F-13"][0]
    assert record.equation == "N = 1 ÷ (1 ÷ N_1 + 1 ÷ N_2)"
    assert list(record.symbols) == ["N", "N_1", "N_2"]
    with logged() as log:
        folded = resultant_count(60, 40, 24)
    assert folded == pytest.approx(12)
    assert working(log[0]) == "1 ÷ (1 ÷ 60 + 1 ÷ 40 + 1 ÷ 24) = 12"
    with pytest.raises(InputError) as error:
        resultant_count(60, 0)
    assert error.value.field == "yarns"
    with pytest.raises(KeyError):
        terms()["no such term"]


def test_the_evaluator_fails_on_what_it_cannot_read() -> None:
    for text in ("", "2 +", "2 2", "(2", "about 3", "2 ÷ x"):
        with pytest.raises((ValueError, SyntaxError)):
            evaluate(text)
    assert re.fullmatch(r"\d+", str(int(evaluate("1 273 × 2"))))
