"""A figure is written down and read back the same; pictures and pressed bits by other libraries."""

import csv
import io
import struct
import zlib
from base64 import urlsafe_b64decode

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.figure.grid import (
    MOST_ACROSS,
    MOST_UP,
    Grid,
    as_csv,
    in_squares,
    of_marks,
    packed,
    read_grid,
)
from calculators.figure.png import as_png
from tests.figure.figures import grids


@given(grids(), st.booleans())
def test_what_is_written_is_read_again(grid, top_first):
    assert of_marks(grid.marks()) == grid
    assert read_grid(in_squares(grid, top_first), top_first) == grid
    assert read_grid(packed(grid)) == grid
    assert read_grid(as_csv(grid)) == grid


@given(grids())
def test_every_way_of_writing_holds_the_same_units(grid):
    marks = [[unit == "1" for unit in line] for line in csv.reader(io.StringIO(as_csv(grid)))]
    assert [[sign == "#" for sign in line] for line in in_squares(grid).split("\n")] == marks
    size, letters = packed(grid).split(".")
    bits = zlib.decompress(urlsafe_b64decode(letters + "=" * (-len(letters) % 4)), -15)
    wide = len(bits) // grid.up
    assert size == f"{grid.across}x{grid.up}"
    assert marks == [
        [bool(bits[row * wide + unit // 8] >> unit % 8 & 1) for unit in range(grid.across)]
        for row in range(grid.up)
    ]
    assert grid.drawn == sum(map(sum, marks))
    assert [[bool(column >> row & 1) for column in grid.columns] for row in range(grid.up)] == marks
    assert [[not unit for unit in row] for row in grid.turned_over().marks()] == marks


@given(grids())
def test_a_picture_has_a_pixel_for_each_unit(grid):
    """Read by the PNG specification (ISO/IEC 15948): one bit a pixel, rows from the top."""
    data = as_png(grid)
    across, up, depth, colour, *_ = struct.unpack(">IIBBBBB", data[16:29])
    assert (across, up, depth, colour) == (grid.across, grid.up, 1, 0)
    start = data.index(b"IDAT")
    lines = zlib.decompress(
        data[start + 4 : start + 4 + struct.unpack(">I", data[start - 4 : start])[0]]
    )
    wide = (across + 7) // 8 + 1
    seen = [lines[row * wide + 1 : (row + 1) * wide] for row in range(up)][::-1]
    black = [[not line[x // 8] >> (7 - x % 8) & 1 for x in range(across)] for line in seen]
    assert of_marks(black) == grid


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no figure"),
        ("##\n#", "row 2 has 1 unit"),
        ("#?", "“?”"),
        ("#" * (MOST_ACROSS + 1), "401 units across"),
        ("#\n" * (MOST_UP + 1), "1 001 units up"),
        ("3x2.AAAA", "damaged"),
        ("999x2.Y2YEAA", "999 units across"),
        ("3x2.Y2YE", "damaged"),
        ("#" * 500_000, "500 000 letters"),
    ],
)
def test_what_is_no_figure_is_refused_in_words(text, words):
    with pytest.raises(InputError) as refused:
        read_grid(text)
    assert refused.value.field == "grid"
    assert words in refused.value.message
    assert refused.value.hint


def test_the_largest_figure_is_read():
    whole = Grid(MOST_ACROSS, tuple(range(MOST_UP)))
    assert read_grid(in_squares(whole)) == whole
    assert read_grid(packed(whole)) == whole
