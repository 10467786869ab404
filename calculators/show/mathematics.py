"""A formula as MathML, drawn from the same tree that its plain equation is written from."""

import re
from html import escape

from calculators.engine.expression import (
    Applied,
    Constant,
    Expression,
    Operation,
    Result,
    Symbol,
    constant_text,
)
from calculators.engine.formula import Formula
from calculators.engine.terms import terms

BINDING = {"+": 1, "−": 1, "×": 2, "÷": 3, "^": 3}  # a fraction's stroke holds its parts together


def equation_html(formula: Formula) -> str:
    """Write a formula's equation as a MathML element, or its words where it is an algorithm.

    >>> from calculators.engine.formula import BOOK
    >>> from calculators.sett import change
    >>> "<msqrt><mfrac><msub><mi>T</mi><mn>1</mn></msub>" in equation_html(BOOK["F-50"][0])
    True
    """
    if formula.body is None:
        return escape(formula.equation)
    left = symbol_html(terms()[formula.gives].symbol)
    return (
        f'<math alttext="{escape(formula.equation)}">{left}<mo>=</mo>{_drawn(formula.body)}</math>'
    )


def symbol_html(symbol: str) -> str:
    """Write a letter, with what is lowered behind it."""
    letter, _, low = symbol.partition("_")
    if not low:
        return f"<mi>{escape(letter)}</mi>"
    kind = "mn" if low.isdigit() else "mi"
    return f"<msub><mi>{escape(letter)}</mi><{kind}>{escape(low)}</{kind}></msub>"


def _drawn(part: Expression, least: int = 0) -> str:
    """Draw an expression, in brackets where it binds looser than what is around it."""
    match part:
        case Symbol(name) | Result(name):
            return symbol_html(terms()[name].symbol)
        case Constant(value):
            return f"<mn>{constant_text(value)}</mn>"
        case Operation("÷", left, right):
            return f"<mfrac>{_one(_drawn(left))}{_one(_drawn(right))}</mfrac>"
        case Operation("^", left, right):
            return f"<msup>{_one(_drawn(left, 4))}{_one(_drawn(right))}</msup>"
        case Operation(sign, left, right):
            own = BINDING[sign]
            inside = f"{_drawn(left, own)}<mo>{sign}</mo>{_drawn(right, own + (sign == '−'))}"
            return _brackets(inside) if own < least else inside
        case Applied("√", inside):
            return f"<msqrt>{_drawn(inside)}</msqrt>"
        case Applied(function, inside):
            return f"<mi>{function}</mi>{_brackets(_drawn(inside))}"
    raise TypeError(f"not an expression: {part!r}")


def _brackets(inside: str) -> str:
    return f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>"


def _one(text: str) -> str:
    """Bind several elements into one, where MathML counts its children."""
    alone = re.fullmatch(r"<(m[a-z]+)>(?:(?!<\1>).)*</\1>", text)
    return text if alone else f"<mrow>{text}</mrow>"
