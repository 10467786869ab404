"""Fields and results by the names of their terms, and the table of a second language."""

import re
from pathlib import Path

import codespell_lib
import pytest

import calculators
from calculators.data import load
from calculators.engine.terms import terms
from calculators.engine.vocabulary import ask, give
from calculators.registry import registry

# Noah Webster's spellings, An American Dictionary of the English Language, 1828; from memory.
BRITISH = re.compile(r"selvedge|centre|metre|colour|grey|mould|plough|draught", re.IGNORECASE)
# What weavers call otherwise on either side of the sea; from memory.
TRADE = {
    "pirn",
    "pirns",
    "selvedge",
    "selvedges",
    "heald",
    "healds",
    "denting",
    "entering",
    "fibre",
}
TYPED = r"“[^”]*”"  # what is to be typed as it stands


def words(language=""):
    for one in calculators.describe(language):
        for line in (*one["fields"], *one["outputs"]):
            yield line["label"]
            yield line.get("hint", "")


def test_the_second_language_leaves_no_british_spelling():
    assert [line for line in words() if BRITISH.search(line)]
    assert [line for line in words("american") if BRITISH.search(line)] == []


def british():
    """Every British spelling that America spells otherwise, of a list that is not ours."""
    pairs = Path(codespell_lib.__file__).parent / "data" / "dictionary_en-GB_to_en-US.txt"
    return {line.partition("->")[0] for line in pairs.read_text("utf-8").splitlines()}


def test_the_second_language_is_complete():
    other = british() | TRADE
    assert {"colour", "centre", "metre"} <= other
    left = {}
    for line in words("american"):
        used = set(re.findall(r"[a-z]+", re.sub(TYPED, "", line).lower())) & other
        if used:
            left[line] = used
    assert left == {}
    ours = set(re.findall(r"[a-z]+", " ".join(words()).lower()))
    assert {"selvedge", "centre", "pirns"} <= ours & other


def test_the_table_of_a_language_says_only_what_differs():
    names = {
        f"{one.id}.{two.name}" for one in registry().values() for two in (*one.fields, *one.outputs)
    }
    for key, row in load("labels_american").items():
        assert key in names or key in terms(), key
        for part, text in row.items():
            assert key in names or getattr(terms()[key], part) != text


def test_what_is_asked_and_given_is_the_terms_unless_told_otherwise():
    hem, length = terms()["hem"], terms()["warp_length"]
    assert (ask("hem").label, ask("hem").maximum) == (hem.label, hem.maximum)
    assert ask("hem", label="Both hems").label == "Both hems"
    assert (give("warp_length").label, give("warp_length").unit) == (length.label, "m")
    assert ask("draw_in").default == "4 %"  # T-69


def test_limits_go_with_the_unit_of_a_bare_number():
    per_cm, per_inch = ask("picks"), ask("picks", unit="1/inch")
    assert per_inch.maximum == pytest.approx(per_cm.maximum * 2.54)
