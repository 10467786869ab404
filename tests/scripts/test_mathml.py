"""Formulas as MathML: sound, complete, and drawn as the plain line means them."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.engine.sources import formulas
from scripts.mathml import mathml, unnamed
from tests.every import of_every

CHILDREN = {"mfrac": 2, "mroot": 2, "msub": 2, "msup": 2, "math": None, "mrow": None, "msqrt": None}
DRAWN = "+−±×·=<>"


def inside(text):
    return text[text.index(">") + 1 : text.rindex("<")]


@of_every(formulas())
def test_every_formula_with_a_relation_is_sound_mathml(formula):
    text = mathml(formula["equation"], formula.get("symbols", {}))
    if not set(formula["equation"]) & set("=<>"):
        assert "<math" not in text
        return
    tree = ElementTree.fromstring(text)
    assert tree.tag == "math"
    assert tree.get("alttext") == formula["equation"]
    for node in tree.iter():
        wanted = CHILDREN.get(node.tag, 0)
        assert wanted is None or len(node) == wanted, node.tag
        assert node.tag in CHILDREN or node.text
    shown = "".join(tree.itertext())
    for sign in DRAWN:
        assert shown.count(sign) == formula["equation"].count(sign)
    plain = formula["equation"].translate(str.maketrans("₀₁₂₃₄₅₆₇₈₉²³", "012345678923"))
    plain = plain.replace("∛t", "t3")  # the 3 of a cube root is drawn behind what it is taken of
    assert re.findall(r"\w", shown) == re.findall(r"[^\W_]", plain), "nothing lost, nothing moved"


@of_every(formulas())
def test_every_letter_of_a_formula_is_explained(formula):
    assert unnamed(formula["equation"], formula.get("symbols", {})) == set()


def test_what_is_not_explained_is_noticed():
    assert unnamed("s = D × e ÷ (e + i)", ("s", "D", "e")) == {"i"}
    assert unnamed("1/N = 1/N₁ + 1/N₂", ("N", "N₁, N₂")) == set()


@pytest.mark.parametrize(
    ("equation", "drawn"),
    [
        ("a = b ÷ c × d", "<mfrac><mi>b</mi><mi>c</mi></mfrac><mo>×</mo><mi>d</mi>"),
        (
            "a = (b + c) ÷ (1 − d)",
            "<mfrac><mrow><mi>b</mi><mo>+</mo><mi>c</mi></mrow>"
            "<mrow><mn>1</mn><mo>−</mo><mi>d</mi></mrow></mfrac>",
        ),
        (
            "a = b × (c + d)",
            "<mi>b</mi><mo>×</mo><mrow><mo>(</mo><mi>c</mi><mo>+</mo><mi>d</mi><mo>)</mo></mrow>",
        ),
        ("a = b × c ÷ d", "<mfrac><mrow><mi>b</mi><mo>×</mo><mi>c</mi></mrow><mi>d</mi></mfrac>"),
        ("a = √(b + c)", "<msqrt><mi>b</mi><mo>+</mo><mi>c</mi></msqrt>"),
        ("a = ∛(b)", "<mroot><mi>b</mi><mn>3</mn></mroot>"),
        ("a = Δb*²", "<msup><mi>Δb*</mi><mn>2</mn></msup>"),
        ("a = x̄₁", "<msub><mi>x̄</mi><mn>1</mn></msub>"),
        ("a = b^c", "<msup><mi>b</mi><mi>c</mi></msup>"),
        ("a = b²", "<msup><mi>b</mi><mn>2</mn></msup>"),
        ("a = (b + c)₁", "<msub><mrow><mo>(</mo><mi>b</mi><mo>+</mo><mi>c</mi><mo>)</mo></mrow>"
         "<mn>1</mn></msub>"),
        ("a = s_w", "<msub><mi>s</mi><mi>w</mi></msub>"),
        ("a = 1 000 000", "<mn>1\u00a0000\u00a0000</mn>"),
        ("a = b per cent", "<mi>b</mi><mtext>\u00a0per cent</mtext>"),
    ],
)  # fmt: skip
def test_the_strokes_and_roots_stand_where_they_should(equation, drawn):
    assert inside(mathml(equation, "ab")).split("<mo>=</mo>", 1)[1] == drawn


@pytest.mark.parametrize("broken", ["a = ", "a = (b", "a = b)", "a = × b", "a = b @ c"])
def test_a_broken_line_is_refused(broken):
    with pytest.raises(ValueError, match=r"“"):
        mathml(broken, "ab")


@given(st.text("abc123 =+−×÷/√^()_,;<>&\"'²₁", max_size=30))
def test_whatever_is_written_is_sound_or_refused(line):
    try:
        text = mathml(line, ("a", "b"))
    except ValueError:
        return
    ElementTree.fromstring(f"<p>{text}</p>")
