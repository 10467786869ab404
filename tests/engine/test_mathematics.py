"""The printed equations of the book: sound MathML that says what the plain line says."""

import re
from xml.etree import ElementTree

import calculators.page  # noqa: F401 - every room enters its formulas
from calculators.engine.formula import BOOK
from calculators.show.mathematics import equation_html
from tests.every import of_every

CHILDREN = {"mfrac": 2, "msub": 2, "msup": 2, "math": None, "mrow": None, "msqrt": None}
RECORDS = {
    f"{name} {record.gives}": record
    for name, records in BOOK.items()
    for record in records
    if not record.words
}


@of_every(RECORDS)
def test_an_equation_is_sound_and_loses_no_letter(record) -> None:
    tree = ElementTree.fromstring(equation_html(record))
    for node in tree.iter():
        wanted = CHILDREN.get(node.tag, 0)
        assert wanted is None or len(node) == wanted, node.tag
    plain = record.equation.partition(", ")[0]
    shown = "".join(tree.itertext())
    assert sorted(re.findall(r"\w", shown)) == sorted(re.findall(r"[^\W_]", plain))
    assert plain.startswith(f"{next(iter(record.symbols))} = ")


def test_what_is_taken_of_what_shows() -> None:
    drawn = equation_html(BOOK["F-60"][0])
    assert "<mfrac><msub><mi>B</mi><mi>f</mi></msub><mrow><mn>1</mn><mo>−</mo>" in drawn
    assert BOOK["F-60"][0].equation == "B = B_f ÷ (1 − s_w)"
    assert BOOK["F-81"][0].equation == "Z = W × (1 + t) + z"
    assert BOOK["F-87"][0].equation == "a = up(N ÷ h)"
