"""Other cloths than damask: each is what its name says, by matrices that know no loom."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse.csgraph import connected_components

from calculators.figure.others import OTHERS


def figures():
    return st.integers(1, 5).flatmap(
        lambda across: st.lists(
            st.lists(st.booleans(), min_size=across, max_size=across).map(tuple),
            min_size=1,
            max_size=5,
        )
    )


def cloth_of(name, figure):
    return np.array(OTHERS[name].woven(figure))


def spread(figure, ends, picks):
    return np.kron(np.array(figure), np.ones((picks, ends), int)) == 1


def plain(shape):
    return np.indices(shape).sum(axis=0) % 2 == 0


@given(figures())
def test_without_its_second_weft_a_plain_ground_is_left(figure):
    marks = cloth_of("supplementary", figure)
    ground, second = marks[0::2], marks[1::2]
    assert (ground == plain(ground.shape)).all()
    assert (second == spread(figure, 4, 2)).all()


@given(figures())
def test_binders_tie_the_second_weft_and_all_weave_plain_with_the_ground(figure):
    marks = cloth_of("tied", figure)
    ground, second = marks[0::2], marks[1::2]
    assert (ground == plain(ground.shape)).all()
    assert (second[:, 1::2] == spread(figure, 2, 2)).all()  # the warp does as its unit does
    binders = second[:, 0::2]
    assert (binders == plain(binders.shape)).all()  # by turns, whatever is drawn


@given(figures())
def test_a_double_cloth_is_two_plain_cloths_that_change_places(figure):
    marks = cloth_of("double", figure)
    of_first = np.tile([True, True, False, False], len(figure[0]))
    first, second = marks[0::2], marks[1::2]
    one, other = first[:, of_first], second[:, ~of_first]
    assert (one == plain(one.shape)).all()
    assert (other == plain(other.shape)).all()
    on_top = spread(figure, 2, 2)  # the second layer, in the figure
    assert (first[:, ~of_first] == on_top).all()  # out of the first's way, above it or beneath
    assert (second[:, of_first] == ~on_top).all()


@given(figures())
def test_a_turned_twill_binds_one_end_in_four_on_either_face(figure):
    marks = cloth_of("turned-twill", figure)
    drawn = spread(figure, 4, 4)
    for row, lies in zip(marks, drawn, strict=True):
        ups = row.reshape(-1, 4).sum(axis=1)
        assert (ups == np.where(lies.reshape(-1, 4)[:, 0], 3, 1)).all()
    steps = np.array([np.roll(row, 1) for row in plain_twill(marks.shape)])
    assert (marks[~drawn] == steps[~drawn]).all()


def plain_twill(shape):
    picks, ends = np.indices(shape)
    return (ends - picks) % 4 == 3


@pytest.mark.parametrize("name", OTHERS)
@pytest.mark.parametrize("drawn", [False, True])
def test_whether_it_holds_together_is_what_a_graph_says(name, drawn):
    # An end over a pick leads to it, a pick over an end to that; one cloth is one strong part.
    marks = cloth_of(name, [(drawn, drawn)] * 4)
    picks, ends = marks.shape
    leads = np.zeros((ends + picks, ends + picks), int)
    leads[:ends, ends:] = marks.T
    leads[ends:, :ends] = ~marks
    parts, _ = connected_components(leads, directed=True, connection="strong")
    said = OTHERS[name].holds(drawn)
    assert (parts == 1) == (said == "one cloth"), (parts, said)
    assert (parts == 2) == (said == "two layers"), (parts, said)
