"""Yarns in the words of labels and lists, in four languages, in any order."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.data import load
from calculators.errors import InputError
from calculators.yarn.colour import COLOUR_WORDS, parse_colour
from calculators.yarn.systems import SYSTEMS
from calculators.yarn.words import COLOURS, COUNTED_IN_SEVERAL, FIBRES, IDLE
from calculators.yarn.yarn import parse_yarn
from tests.every import of_every

TYPED = {
    # English
    "16/2 cotton white": ("cotton", 16, 2),
    "white cotton 16/2": ("cotton", 16, 2),
    "40/2 linen, half-bleached": ("linen", 40, 2),
    # Swedish
    "bom 16/2": ("cotton", 16, 2),
    "16/2 bomull": ("cotton", 16, 2),
    "40/2 lin": ("linen", 40, 2),
    "lingarn 16/1 oblekt": ("linen", 16, 1),
    "bomullsgarn 8/2 blått": ("cotton", 8, 2),
    # German
    "Leinen 40/2": ("linen", 40, 2),
    "Baumwolle 16/2 weiß": ("cotton", 16, 2),
    "Baumwollgarn 30/2 grün": ("cotton", 30, 2),
    "Seide 60/2": ("spun_silk", 60, 2),
    # Danish
    "hør 16/1": ("linen", 16, 1),
    "bomuldsgarn 16/2 hvid": ("cotton", 16, 2),
    "hørgarn 40/2 ubleget": ("linen", 40, 2),
}


@of_every(TYPED)
def test_what_stands_on_labels_is_understood(typed: str, meant: tuple) -> None:
    yarn = parse_yarn(typed)
    assert (yarn.system, yarn.count, yarn.plies) == meant


@given(st.sampled_from(sorted(TYPED)), st.randoms())
def test_case_spaces_and_order_change_nothing(typed: str, chance: random.Random) -> None:
    words = typed.replace(",", "").split()
    chance.shuffle(words)
    mixed = "  ".join(word.upper() if chance.random() < 0.5 else word.lower() for word in words)
    assert parse_yarn(mixed).tex == parse_yarn(typed).tex


@of_every(["2/16 ull", "Wolle 2/16", "uld 2/16", "hampa 16/1", "Halbleinen 22/2"])
def test_what_is_counted_in_several_ways_asks_for_one(typed: str) -> None:
    with pytest.raises(InputError, match="counted in several systems"):
        parse_yarn(typed)


def test_a_word_that_is_not_known_is_named() -> None:
    with pytest.raises(InputError, match="“glittrande”"):
        parse_yarn("16/2 bomull glittrande")


def test_words_have_a_language_and_a_basis_and_one_meaning() -> None:
    table = load("yarn_words")
    assert table["basis"] == "from memory"
    for values in (table[role] for role in ("fibre", "several", "idle", "colour")):
        assert all(
            set(row) == {"english", "swedish", "german", "danish"} for row in values.values()
        )
    roles = [set(words) for words in (FIBRES, COUNTED_IN_SEVERAL, COLOURS, IDLE)]
    assert sum(map(len, roles)) == len(set().union(*roles))
    assert set(FIBRES.values()) <= set(SYSTEMS)
    assert set(COLOURS.values()) <= {row["name"] for row in load("colours")["colour"]}
    assert all(parse_colour(word.upper()) == colour for word, colour in COLOUR_WORDS.items())
