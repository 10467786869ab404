"""Formulas as MathML, made from the plain line that the data files state.

A fraction is drawn for ÷ and /, a root for √, a raised figure for ^, a lowered one for _ and for
₁₂; what the formula's own symbols name is taken whole, and words stay words.
"""

import re
from collections.abc import Collection
from html import escape
from typing import NamedTuple

DIGITS = str.maketrans("₀₁₂₃₄₅₆₇₈₉⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789" * 2)
RELATIONS, STOPS, SIGNS, PRODUCTS, FRACTIONS = "=<>≤≥≈", ",;", "+−±", "×·", "÷/"
SPACE = "\u00a0"


class Part(NamedTuple):
    """Something set, and the same without its brackets, where a stroke or a root holds it."""

    text: str
    bare: str


def mathml(equation: str, symbols: Collection[str] = ()) -> str:
    """Write an equation as a MathML element; words without a relation are no mathematics.

    >>> mathml("d = 2 ÷ D", ("d", "D"))
    '<math alttext="d = 2 ÷ D"><mi>d</mi><mo>=</mo><mfrac><mn>2</mn><mi>D</mi></mfrac></math>'
    """
    if not set(equation) & set(RELATIONS):
        return escape(equation)
    return f'<math alttext="{escape(equation)}">{_Line(equation, symbols).whole()}</math>'


def unnamed(equation: str, symbols: Collection[str]) -> set[str]:
    """Return the letters of an equation that stand for something but are not among its symbols.

    >>> sorted(unnamed("s = D × e_2", ("s", "D")))
    ['e_2']
    """
    letters = {token for kind, token in _tokens(equation, symbols) if kind == "letter"}
    return letters - _names(symbols) if set(equation) & set(RELATIONS) else set()


def _names(symbols: Collection[str]) -> set[str]:
    return {name for key in symbols for name in key.split(", ")}


def _tokens(equation: str, symbols: Collection[str]) -> list[tuple[str, str]]:
    """Cut an equation into symbols, numbers, letters, words and marks, each with its kind."""
    named = "|".join(re.escape(one) for one in sorted(_names(symbols), key=len, reverse=True))
    named = named or "(?!)"
    pattern = re.compile(
        rf"(?P<letter>(?<![\w-])(?:(?:{named})(?![A-Za-z0-9_₀-₉-])"
        r"|(?:Δ?[A-Zb-zΑ-ΡΤ-Ωα-ω]|Δa|a(?=[*_₀-₉]))\u0304?\*?(?:_\w+|[₀-₉]+)?(?![A-Za-z0-9_₀-₉’'-])))"
        r"|(?P<number>\d{1,3}(?: \d{3})+|\d+(?:\.\d+)?°?|½)"
        r"|(?P<word>[A-Za-z][A-Za-z’'-]*)"
        r"|(?P<low>[₀-₉]+)|(?P<high>[⁰¹²³⁴-⁹]+)"
        r"|(?P<mark>[=<>≤≥≈+−±×·÷/√∛^(),;…%Σ])|(?P<space>\s+)|(?P<other>.)"
    )
    found = []
    for match in pattern.finditer(equation):
        kind = match.lastgroup or ""
        if kind == "other":
            raise ValueError(f"“{match[0]}” in “{equation}” cannot be set as mathematics")
        if kind != "space":
            found.append((kind, match[0]))
    return found


class _Line:
    """One equation, read from left to right."""

    def __init__(self, equation: str, symbols: Collection[str]) -> None:
        self.equation = equation
        self.tokens = _tokens(equation, symbols)
        self.place = 0

    def next_is(self, marks: str) -> bool:
        """Whether the next token is one of these marks."""
        return self.place < len(self.tokens) and self.tokens[self.place][1] in set(marks)

    def take(self) -> str:
        """Return the next token and go past it."""
        self.place += 1
        return self.tokens[self.place - 1][1]

    def whole(self) -> str:
        """Write the line to its end."""
        text = self.relations()
        if self.place < len(self.tokens):
            raise ValueError(f"a bracket is closed too often in “{self.equation}”")
        return text

    def relations(self) -> str:
        """Write what is said to be alike or more, parted by commas and semicolons."""
        parts = [self.sum()]
        while self.next_is(RELATIONS + STOPS):
            mark = self.take()
            apart = f"<mtext>{mark}{SPACE}</mtext>" if mark in STOPS else f"<mo>{escape(mark)}</mo>"
            parts += [apart, self.sum()]
        return "".join(parts)

    def sum(self) -> str:
        """Write terms and the signs between them."""
        parts = [self.term()]
        while self.next_is(SIGNS):
            parts += [f"<mo>{self.take()}</mo>", self.term()]
        return "".join(parts)

    def term(self) -> str:
        """Write a product, what stands before a stroke over what follows it."""
        parts = [self.factor()]
        while self.place < len(self.tokens) and not self.next_is(RELATIONS + SIGNS + STOPS + ")"):
            if self.next_is(FRACTIONS):
                self.take()
                above = "".join(one.text for one in parts) if len(parts) > 1 else parts[0].bare
                stroke = f"<mfrac>{_one(above)}{_one(self.factor().bare)}</mfrac>"
                parts = [Part(stroke, stroke)]
            elif self.next_is(PRODUCTS):
                mark = f"<mo>{self.take()}</mo>"
                parts += [Part(mark, mark), self.factor()]
            else:
                parts.append(self.factor())
        return "".join(one.text for one in parts)

    def factor(self) -> Part:
        """Write one thing, with what is raised or lowered behind it."""
        base = self.atom()
        while self.place < len(self.tokens):
            kind, token = self.tokens[self.place]
            if kind in ("low", "high"):
                digits = f"<mn>{self.take().translate(DIGITS)}</mn>"
            elif token == "^":
                self.take()
                digits = self.atom().text
            else:
                break
            name = "msub" if kind == "low" else "msup"
            text = f"<{name}>{_one(base.text)}{_one(digits)}</{name}>"
            base = Part(text, text)
        return base

    def atom(self) -> Part:
        """Write a letter, a number, words, a root or what stands in brackets."""
        if self.place == len(self.tokens):
            raise ValueError(f"“{self.equation}” breaks off")
        kind, _ = self.tokens[self.place]
        token = self.take()
        if token == "(":
            inside = self.relations()
            if not self.next_is(")"):
                raise ValueError(f"a bracket is left open in “{self.equation}”")
            self.take()
            return Part(f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>", inside)
        if kind == "letter":
            text = _letter(token)
        elif kind == "number":
            text = f"<mn>{token.replace(' ', SPACE)}</mn>"
        elif kind == "word":
            text = self.words(token)
        elif token == "√":
            text = f"<msqrt>{self.factor().bare}</msqrt>"
        elif token == "∛":
            text = f"<mroot>{_one(self.factor().bare)}<mn>3</mn></mroot>"
        elif token in "…%Σ":
            text = f"<mo>{token}</mo>"
        else:
            raise ValueError(f"“{token}” stands alone in “{self.equation}”")
        return Part(text, text)

    def words(self, first: str) -> str:
        """Write words, kept apart from the letters and figures around them."""
        before = self.tokens[self.place - 2][0] if self.place > 1 else "mark"
        found = [first]
        while self.place < len(self.tokens) and self.tokens[self.place][0] == "word":
            found.append(self.take())
        after = self.tokens[self.place][0] if self.place < len(self.tokens) else "mark"
        edges = [SPACE if kind != "mark" else "" for kind in (before, after)]
        return f"<mtext>{edges[0]}{escape(' '.join(found))}{edges[1]}</mtext>"


def _letter(token: str) -> str:
    match = re.fullmatch(r"([^\d_₀-₉]+)(?:_(\w+)|([₀-₉]+))", token)
    if not match:
        return f"<mi>{escape(token)}</mi>"
    low = match[2] or match[3].translate(DIGITS)
    kind = "mn" if low.isdigit() else "mi"
    return f"<msub><mi>{match[1]}</mi><{kind}>{low}</{kind}></msub>"


def _one(text: str) -> str:
    """Bind several elements into one, where MathML counts its children."""
    alone = re.fullmatch(r"<(m[a-z]+)>(?:(?!<\1>).)*</\1>", text)
    return text if alone else f"<mrow>{text}</mrow>"
