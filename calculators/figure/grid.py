"""A figure as a grid of units, drawn or at rest; the ways to write one down and read it back."""

import base64
import binascii
import csv
import io
import re
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from calculators.errors import InputError
from calculators.quantities.sentences import many

MOST_ACROSS = 400
MOST_UP = 1_000
MOST_LETTERS = (MOST_ACROSS + 1) * MOST_UP + 1_000
FIELD = "grid"

_DRAWN = "#xX×1■█"
_REST = ".-–0□·_"
_HINT = (
    "Write a line for each row of units, the first row woven first: # for a drawn unit, . for one "
    "at rest."
)
_PACKED = re.compile(r"(\d{1,4})x(\d{1,4})\.([A-Za-z0-9_-]*)")


@dataclass(frozen=True)
class Grid:
    """Units across, and the rows in the order of weaving; bit k of a row is unit k + 1.

    Units are counted from the left. Rows are whole numbers, so that all units of a row are
    compared or counted at once.
    """

    across: int
    rows: tuple[int, ...]

    def __post_init__(self) -> None:
        for count, most, words in (
            (self.across, MOST_ACROSS, "units across"),
            (self.up, MOST_UP, "units up"),
        ):
            if not 1 <= count <= most:
                raise InputError(
                    FIELD,
                    f"The figure has {many(count, words)}.",
                    f"From 1 to {most} {words} can be counted here.",
                )
        if any(not 0 <= row < 1 << self.across for row in self.rows):
            raise InputError(FIELD, "A row has more units than the figure is wide.", _HINT)

    @property
    def up(self) -> int:
        """Rows of units."""
        return len(self.rows)

    @property
    def drawn(self) -> int:
        """Drawn units, over all rows."""
        return sum(row.bit_count() for row in self.rows)

    @property
    def full(self) -> int:
        """A row of drawn units only."""
        return (1 << self.across) - 1

    @cached_property
    def columns(self) -> tuple[int, ...]:
        """The units of each column from the left; bit k of a column is its unit in row k + 1."""
        return columns_of(self.rows, self.across)

    def turned_over(self) -> "Grid":
        """Figure and ground exchanged: what was drawn is at rest."""
        return Grid(self.across, tuple(row ^ self.full for row in self.rows))

    def marks(self) -> tuple[tuple[bool, ...], ...]:
        """Every unit by itself, for weaving thread by thread."""
        return tuple(tuple(bit == "1" for bit in self.bits(row)) for row in self.rows)

    def bits(self, row: int) -> str:
        """A row as 1 and 0, from the left."""
        return format(row, f"0{self.across}b")[::-1]


def columns_of(rows: Sequence[int], across: int) -> tuple[int, ...]:
    """Turn rows of so many bits across into columns, bit k of a column from row k + 1.

    >>> columns_of((0b011, 0b001), 3)
    (3, 1, 0)
    """
    written = "".join([format(row, f"0{across}b") for row in reversed(rows)])
    return tuple(int(written[place::across], 2) for place in range(across - 1, -1, -1))


def of_marks(rows: Iterable[Sequence[object]]) -> Grid:
    """Grid of rows of marks, the first woven first.

    >>> of_marks([[True, False], [True, True]])
    Grid(across=2, rows=(1, 3))
    """
    lines = [list(row) for row in rows]
    if len({len(line) for line in lines}) > 1:
        first, other = len(lines[0]), next(n for n in map(len, lines) if n != len(lines[0]))
        row = [len(line) for line in lines].index(other) + 1
        raise InputError(
            FIELD, f"Row 1 has {many(first, 'units')}, row {row} has {many(other, 'units')}.", _HINT
        )
    across = len(lines[0]) if lines else 0
    return Grid(
        across,
        tuple(sum(1 << place for place, mark in enumerate(line) if mark) for line in lines),
    )


def read_grid(text: str, top_first: bool = False) -> Grid:
    """Grid that was typed as squares, as a table of 1 and 0, or in the packed form of a link.

    >>> read_grid("##. / #..")
    Grid(across=3, rows=(3, 1))
    >>> read_grid(packed(read_grid("##. / #..")))
    Grid(across=3, rows=(3, 1))
    """
    if len(text) > MOST_LETTERS:
        raise InputError(
            FIELD,
            f"The figure is written with {len(text):,} letters.".replace(",", "\u202f"),
            f"The largest figure is {MOST_ACROSS} units across and {MOST_UP} up.",
        )
    if _PACKED.fullmatch(text.strip()):
        return _unpacked(text.strip())
    lines = [line for line in (part.strip() for part in re.split(r"[\n\r/]+", text)) if line]
    rows = [re.sub(r"[\s,;|]", "", line) for line in lines]
    for number, row in enumerate(rows, 1):
        if strange := next((sign for sign in row if sign not in _DRAWN + _REST), None):
            raise InputError(FIELD, f"Line {number} has the sign “{strange}”.", _HINT)
    if not rows:
        raise InputError(FIELD, "There is no figure yet.", _HINT)
    return of_marks(
        [[sign in _DRAWN for sign in row] for row in (rows[::-1] if top_first else rows)]
    )


def in_squares(grid: Grid, top_first: bool = False) -> str:
    """Squares as they are typed, a line for each row.

    >>> print(in_squares(Grid(3, (3, 1))))
    ##.
    #..
    """
    lines = ["".join(".#"[mark] for mark in row) for row in grid.marks()]
    return "\n".join(lines[::-1] if top_first else lines)


def packed(grid: Grid) -> str:
    """The form for links: units across and up, then the bits pressed together.

    >>> packed(Grid(3, (3, 1)))
    '3x2.Y2YEAA'
    """
    wide = (grid.across + 7) // 8
    bits = b"".join(row.to_bytes(wide, "little") for row in grid.rows)
    press = zlib.compressobj(9, zlib.DEFLATED, -15)
    pressed = press.compress(bits) + press.flush()
    return f"{grid.across}x{grid.up}.{base64.urlsafe_b64encode(pressed).decode().rstrip('=')}"


def _unpacked(text: str) -> Grid:
    found = _PACKED.fullmatch(text)
    assert found
    across, up = int(found[1]), int(found[2])
    Grid(across, (0,) * min(up, MOST_UP + 1))  # too large a figure is refused before it is unpacked
    wide, letters = (across + 7) // 8, found[3]
    opened = zlib.decompressobj(-15)
    try:
        pressed = base64.urlsafe_b64decode(letters + "=" * (-len(letters) % 4))
        bits = opened.decompress(pressed, wide * up + 1)
    except (zlib.error, binascii.Error, ValueError):
        bits = b""
    rows = tuple(
        int.from_bytes(bits[place : place + wide], "little") for place in range(0, len(bits), wide)
    )
    if len(bits) != wide * up or not opened.eof or any(row >> across for row in rows):
        raise InputError(
            FIELD,
            "The figure of this link arrived damaged.",
            "Ask for the link again, or for the figure as a file.",
        )
    return Grid(across, rows)


def as_csv(grid: Grid) -> str:
    """A table of 1 and 0, a line for each row, the first woven first.

    >>> as_csv(Grid(3, (3, 1))).split()
    ['1,1,0', '1,0,0']
    """
    lines = io.StringIO()
    csv.writer(lines).writerows([["01"[mark] for mark in row] for row in grid.marks()])
    return lines.getvalue()
