"""The motifs and letters that come along: of a size to weave, each different, none specked."""

import itertools
import json
import re

import numpy as np
import pytest

from calculators.data import load
from calculators.errors import InputError
from calculators.figure.grid import packed
from calculators.figure.motifs import SIZES, lettering, motif, motifs
from calculators.page import respond
from scripts.pages.figures import figure_svg

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZÅÄÖÆØÉÜ0123456789&.–"


def drawn_of(grid):
    return np.array(grid.marks())[::-1]


def lone_of(drawn):
    """Units that differ from all four neighbours, with the ground going on around the figure."""
    ground = np.pad(drawn, 1)
    here = ground[1:-1, 1:-1]
    around = (ground[:-2, 1:-1], ground[2:, 1:-1], ground[1:-1, :-2], ground[1:-1, 2:])
    return np.logical_and.reduce([here != one for one in around])


@pytest.mark.parametrize("name", motifs())
def test_a_motif_is_a_figure_to_weave(name):
    grid = motif(name)
    drawn = drawn_of(grid)
    assert min(drawn.shape) >= 9
    assert max(drawn.shape) <= 60
    assert 0.2 < drawn.mean() < 0.8
    assert drawn.any(axis=0)[[0, -1]].all(), "no empty column beside it"
    assert drawn.any(axis=1)[[0, -1]].all(), "no empty row above or below"
    assert not lone_of(drawn).any()
    mirrored = load("motifs")["motifs"][name].get("mirrored")
    assert (mirrored is not None) == np.array_equal(drawn, drawn[:, ::-1])
    if mirrored:
        assert (grid.across % 2 == 1) == (mirrored == "about a unit")


def test_there_are_a_dozen_and_all_differ():
    assert len(motifs()) >= 12
    assert (
        len({motif(name).rows for name in motifs()}) == len(motifs()) == len(set(motifs().values()))
    )


def test_the_border_goes_on_and_its_corner_takes_it_up():
    """The lines along a side run on through the corner, and the corner is one square."""
    border, corner = drawn_of(motif("border")), drawn_of(motif("corner"))
    assert corner.shape[0] == corner.shape[1] == border.shape[0]
    assert np.array_equal(corner, corner[::-1, ::-1].T), "along both sides alike"
    lines = border.all(axis=1)
    assert np.array_equal(lines, corner[:, -2:].all(axis=1) & lines)
    assert np.array_equal(border[:, 0], border[:, -1])
    assert np.array_equal(corner[:, -1], border[:, 0])


@pytest.mark.parametrize(("size", "up"), [("small", 7), ("large", 14)])
def test_every_letter_is_drawn_in_two_sizes(size, up):
    seen = {}
    for sign in LETTERS:
        drawn = drawn_of(lettering(sign, size))
        plain = sign not in "ÅÄÖÉÜ.–"
        assert (drawn.shape[0] == up) == plain or sign in ".–"
        assert not lone_of(drawn).any(), sign
        assert drawn.any(axis=0)[[0, -1]].all(), sign
        seen[sign] = drawn.tobytes() + bytes(drawn.shape)
    for one, other in itertools.combinations(LETTERS, 2):
        assert seen[one] != seen[other], f"{one} and {other} look alike"


@pytest.mark.parametrize("size", SIZES)
def test_letters_stand_side_by_side_on_one_line(size):
    one, two = drawn_of(lettering("A", size)), drawn_of(lettering("N", size))
    both = drawn_of(lettering("an", size, gap=5))
    assert np.array_equal(both, np.hstack([one, np.zeros((len(one), 5), bool), two]))
    apart = drawn_of(lettering(" a  n ", size))
    assert apart.shape[1] > drawn_of(lettering("an", size)).shape[1]
    marked = drawn_of(lettering("Åa", size))
    assert np.array_equal(marked[-len(one) :, : one.shape[1]], one)
    assert marked[0].any()
    assert not marked[: -len(one), one.shape[1] :].any()


@pytest.mark.parametrize(
    ("make", "field", "words"),
    [
        (lambda: motif("dragon"), "motif", "“dragon”"),
        (lambda: lettering("Ж"), "text", "“Ж”"),
        (lambda: lettering("  "), "text", "no letters"),
        (lambda: lettering("A" * 200), "text", "400 units"),
        (lambda: lettering("A", "huge"), "size", "“huge”"),
        (lambda: lettering("A", gap=-1), "gap", "-1 units"),
    ],
)
def test_what_is_not_drawn_is_refused_in_words(make, field, words):
    with pytest.raises(InputError) as refused:
        make()
    assert refused.value.field == field
    assert words in refused.value.message
    assert refused.value.hint


def test_the_page_is_offered_all_and_given_each():
    def ask(**request):
        return json.loads(respond(json.dumps({"call": "motif", **request})))

    offered = ask()
    assert offered["motifs"] == motifs()
    for name in offered["motifs"]:
        assert ask(motif=name)["grid"] == packed(motif(name))
    assert ask(text="AN 1887", size="large")["grid"] == packed(lettering("AN 1887", "large"))
    assert ask(text="")["field"] == "text"
    assert ask(motif="dragon")["field"] == "motif"


def test_the_handbooks_picture_holds_each_drawn_unit_of_the_motifs():
    """The boxes of the drawing, measured: as much is dark as the motifs have drawn units."""
    shapes = re.findall(r'<path d="([^"]+)" fill="currentColor"', figure_svg("motifs"))
    assert len(shapes) == len(motifs())
    for shape, name in zip(shapes, motifs(), strict=True):
        boxes = re.findall(r"M[\d.]+ [\d.]+h([\d.]+)v([\d.]+)", shape)
        assert sum(float(w) * float(h) for w, h in boxes) / 9 == motif(name).drawn
