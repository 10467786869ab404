"""What is stored as a part makes the whole again; wholes built by numpy are the same."""

import random
import re

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.figure import wholes
from calculators.figure.grid import Grid, in_squares, of_marks, packed, read_grid
from tests.figure.figures import grids

SMALL = grids(9)
TIMES = st.integers(1, 4)


def marks(grid):
    return numpy.array(grid.marks(), dtype=bool)


def squares(size):
    return st.lists(st.integers(0, (1 << size) - 1), min_size=size, max_size=size).map(
        lambda rows: Grid(size, tuple(rows))
    )


@given(grids())
def test_whatever_is_stored_comes_back_whole(grid):
    assert wholes.read_figure(wholes.stored(grid)) == grid
    assert wholes.read_figure(in_squares(grid)) == grid
    assert len(wholes.stored(grid)) <= len(packed(grid))


@given(grids(20), st.booleans(), st.booleans())
def test_mirrored_storage_equals_the_whole(half, about, about_row):
    own = marks(half)
    across = numpy.concatenate([own, own[:, ::-1][:, int(about) :]], axis=1)
    whole = numpy.concatenate([across, across[::-1][int(about_row) :]])
    steps = f"m{'ba'[about]}-u{'ba'[about_row]}~"
    found = wholes.read_figure(steps + packed(half))
    assert found == of_marks(whole)
    assert wholes.read_figure(wholes.stored(found)) == found


@given(SMALL, TIMES, TIMES, st.data())
def test_repeated_storage_equals_the_whole(part, across, up, data):
    over = data.draw(st.integers(0, part.across - 1))
    above = data.draw(st.integers(0, part.up - 1))
    tiled = numpy.tile(marks(part), (up + 1, across + 1))
    whole = tiled[: up * part.up + above, : across * part.across + over]
    found = wholes.read_figure(f"r{across}x{up}+{over}+{above}~{packed(part)}")
    assert found == of_marks(whole)
    assert wholes.read_figure(wholes.stored(found)) == found


@given(SMALL, TIMES, TIMES, st.data())
def test_half_drop_by_numpy(part, across, up, data):
    over = data.draw(st.integers(0, part.across - 1))
    above = data.draw(st.integers(0, part.up - 1))
    own = marks(part)
    dropped = numpy.roll(own, -(part.up // 2), axis=0)
    columns = [dropped if number % 2 else own for number in range(across + 1)]
    tiled = numpy.tile(numpy.concatenate(columns, axis=1), (up + 1, 1))
    whole = tiled[: up * part.up + above, : across * part.across + over]
    found = wholes.read_figure(f"h{across}x{up}+{over}+{above}~{packed(part)}")
    assert found == of_marks(whole)


@given(st.integers(1, 5), st.integers(1, 5), TIMES, TIMES, st.data())
def test_a_border_turns_at_its_corners(deep, long, across, up, data):
    corner = data.draw(squares(deep))
    rows = st.lists(st.integers(0, (1 << long) - 1), min_size=deep, max_size=deep)
    border = Grid(long, tuple(data.draw(rows)))
    over, above = (data.draw(st.integers(0, long - 1)) for _ in range(2))
    text = f"b{across}x{up}+{over}+{above}~{packed(corner)}~{packed(border)}"
    found = marks(wholes.read_figure(text))
    assert found.shape == (2 * deep + up * long + above, 2 * deep + across * long + over)
    assert not found[deep:-deep, deep:-deep].any()
    lower, upper = found[:deep], found[-deep:]
    assert (lower[:, :deep] == marks(corner)).all()
    run = numpy.tile(marks(border), (1, max(across, up) + 1))
    assert (lower[:, deep:-deep] == run[:, : across * long + over]).all()
    right = numpy.rot90(found[:, -deep:])  # numpy counts rows downwards: its quarter goes back
    assert (right[:, deep:-deep] == run[:, : up * long + above]).all()
    assert (upper == lower[::-1, ::-1]).all(), "turned by a half, the frame is itself"
    even = f"b{across}x{across}+{over}+{over}"
    square = marks(wholes.read_figure(f"{even}~{packed(corner)}~{packed(border)}"))
    assert (numpy.rot90(square) == square).all(), "and a square one by a quarter"


@given(st.integers(1, 4), st.integers(1, 6), TIMES, TIMES, grids(12), st.data())
def test_a_border_is_found_again_in_the_finished_figure(deep, long, across, up, field, data):
    corner = data.draw(squares(deep))
    rows = st.lists(st.integers(0, (1 << long) - 1), min_size=deep, max_size=deep)
    border = Grid(long, tuple(data.draw(rows)))
    room = field.across, field.up
    size = "x".join(str(one // long) for one in room)
    over = "".join(f"+{one % long}" for one in room)
    around = f"{packed(corner)}~{packed(border)}"
    for text in (f"b{size}{over}~{around}~{packed(field)}", f"b{across}x{up}~{around}"):
        whole = wholes.read_figure(text)
        found = wholes.stored(whole)
        assert wholes.read_figure(found) == whole
        # a shorter repeat may need units over, and what is pressed may be a letter longer
        assert len(found) <= len(text) + 8 or re.search(r"^(\S+-)?[bf]", found)


@given(st.integers(1, 4), grids(12), grids(8))
def test_a_strip_that_turns_on_the_diagonal_is_found_again(deep, field, strip):
    strip = Grid(strip.across, (strip.rows * deep)[:deep])
    text = f"f~{packed(field)}~{packed(strip)}"
    whole = wholes.read_figure(text)
    found = wholes.stored(whole)
    assert wholes.read_figure(found) == whole
    assert len(found) <= len(text) + 8 or re.search(r"^(\S+-)?[bf]", found)


def test_a_napkin_s_border_is_stored_as_corner_and_repeat():
    noise = random.Random(12)
    corner, border, part = (
        Grid(across, tuple(noise.getrandbits(across) for _ in range(up)))
        for across, up in ((9, 9), (14, 9), (21, 13))
    )
    field = wholes.repeated(part, 6, 8, 5, 2)
    times = [divmod(length, 14) for length in (field.across, field.up)]
    whole = wholes.bordered(
        corner, border, *(one for one, _ in times), field, *(o for _, o in times)
    )
    around = f"{packed(corner)}~{packed(border)}"
    assert wholes.stored(whole) == f"r6x8+5+2-b9x7+5+8~{around}~{packed(part)}"
    strip = Grid(14, border.rows[:7])
    framed = wholes.framed(part, strip)
    assert wholes.stored(framed).startswith(f"f~{packed(part)}~")
    assert len(wholes.stored(framed)) < len(packed(framed))


@given(SMALL)
def test_a_field_stands_in_the_middle_of_its_border(field):
    corner, border = read_grid("#"), read_grid("#")
    text = f"b9x9~{packed(corner)}~{packed(border)}~{packed(field)}"
    inside = marks(wholes.read_figure(text))[1:-1, 1:-1]
    left, low = (9 - field.across) // 2, (9 - field.up) // 2
    assert (inside[low : low + field.up, left : left + field.across] == marks(field)).all()
    assert inside.sum() == field.drawn


def test_a_field_fills_the_border_with_its_units_over():
    """A napkin of 23 units by 19: a corner of 3, eight repeats of 2 and one over; six and one."""
    corner, border = read_grid("### / #.. / #.#"), read_grid("## / .. / #.")
    field = Grid(17, tuple([(1 << 17) - 1, 1] * 6 + [5]))
    text = f"b8x6+1+1~{packed(corner)}~{packed(border)}~{packed(field)}"
    whole = wholes.read_figure(text)
    assert (whole.across, whole.up) == (23, 19)
    assert (marks(whole)[3:-3, 3:-3] == marks(field)).all()
    with pytest.raises(InputError, match="the border leaves 16 and 12"):
        wholes.read_figure(text.replace("+1+1", ""))


@given(grids(4))
def test_a_part_is_made_whole_before_its_border_goes_around(part):
    corner, border = packed(read_grid("#")), packed(read_grid("#."))
    whole = wholes.read_figure(f"ma-r2x1~{packed(part)}")
    text = f"~{corner}~{border}~"
    framed = wholes.read_figure(f"ma-r2x1-b9x9{text}{packed(part)}")
    assert framed == wholes.read_figure(f"b9x9{text}{packed(whole)}")


@given(SMALL)
def test_four_quarters_are_a_whole_turn(grid):
    # numpy counts rows downwards, the cloth upwards: its quarter goes the other way
    assert (marks(wholes.quarter_turned(grid)) == numpy.rot90(marks(grid), -1)).all()
    assert wholes.quarter_turned(grid, 4) == grid


def test_a_half_of_253_about_a_unit_has_127_columns():
    half = Grid(127, tuple(1 << number for number in range(127)))
    whole = wholes.mirrored_across(half, about_a_unit=True)
    assert (whole.across, len(set(whole.columns))) == (253, 127)
    assert wholes.stored(whole).startswith("ma~127x127.")
    assert wholes.mirrored_across(half, about_a_unit=False).across == 254


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("r999x999~400x1.AA", "damaged"),
        ("r9999x1~{part}", "units across and"),
        ("h300x1~{part}", "units across and"),
        ("r1x9999~{part}", "19998 up"),
        ("r0x0~{part}", "0 units"),
        ("zz~{part}", "cannot be read"),
        ("ma-b2x2~{part}~{part}", "cannot be read"),
        ("b2x2-ma~{part}~{part}~{part}", "cannot be read"),
        ("b2x2~{part}", "cannot be read"),
        ("b2x2~{part}~{part}", "as wide"),
        ("-".join(["ma"] * 9) + "~{part}", "cannot be read"),
    ],
)
def test_what_makes_no_whole_is_refused_in_words(text, words):
    with pytest.raises(InputError) as refused:
        wholes.read_figure(text.format(part=packed(read_grid("#.. / ..#"))))
    assert refused.value.field == "grid"
    told = f"{refused.value.message} {refused.value.hint}"
    assert words in told
