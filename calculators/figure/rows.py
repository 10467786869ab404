"""The rows of a figure as they are drawn: runs of units, or only what changes."""

import csv
import io
import re
from collections.abc import Iterator
from typing import Literal

from calculators.figure.grid import Grid

Start = Literal["left", "right", "middle"]
NOTHING = "none"
_RUN = re.compile("1+")


def runs(row: int) -> Iterator[tuple[int, int]]:
    """Yield the first and the last unit of every run, from the left, counted from 1.

    >>> list(runs(0b10111))
    [(1, 3), (5, 5)]
    """
    for found in _RUN.finditer(format(row, "b")[::-1]):
        yield found.start() + 1, found.end()


def in_words(row: int, across: int, start: Start = "left") -> str:
    """Write the units of a row as runs.

    >>> in_words(0b1100111, 7)
    '1–3, 6–7'
    >>> in_words(0b1100110, 7, "right"), in_words(0b110011, 6, "middle")
    ('1–2, 5–6', '2–3 on the left; 2–3 on the right')
    """
    if not row:
        return NOTHING
    if start == "left":
        return _told(row)
    if start == "right":
        return _told(_turned(row, across))
    half = across // 2
    left = _turned(row & (1 << half) - 1, half) if half else 0
    right, middle = row >> across - half, across % 2 and row >> half & 1
    parts = [
        "the middle unit" if middle else "",
        f"{_told(left)} on the left" if left else "",
        f"{_told(right)} on the right" if right else "",
    ]
    return "; ".join(filter(None, parts))


def what_changes(before: int, row: int, across: int, start: Start = "left") -> str:
    """Write what is drawn and what is let go from one row to the next.

    >>> what_changes(0b0011, 0b0110, 4)
    'draw 3; let go 1'
    """
    parts = [
        f"{word} {in_words(units, across, start)}"
        for word, units in (("draw", row & ~before), ("let go", before & ~row))
        if units
    ]
    return "; ".join(parts) or "as before"


def listed(grid: Grid, start: Start = "left", only_changes: bool = False) -> list[tuple[int, str]]:
    """Write every row: its number and its units.

    >>> listed(Grid(3, (0b011, 0b111)))
    [(1, '1–2'), (2, '1–3')]
    """
    before = [0, *grid.rows]
    return [
        (
            number,
            what_changes(before[number - 1], row, grid.across, start)
            if only_changes
            else in_words(row, grid.across, start),
        )
        for number, row in enumerate(grid.rows, 1)
    ]


def as_text(grid: Grid, start: Start = "left", only_changes: bool = False) -> str:
    """Write the rows under one another, to be printed or read aloud.

    >>> print(as_text(Grid(3, (0b011, 0b111))))
    Row 1: 1–2
    Row 2: 1–3
    """
    return "\n".join(
        f"Row {number}: {units}" for number, units in listed(grid, start, only_changes)
    )


def as_table(grid: Grid, start: Start = "left", only_changes: bool = False) -> str:
    """Write the rows as CSV.

    >>> as_table(Grid(3, (0b011, 0b101))).split()
    ['row,units', '1,1–2', '2,"1,', '3"']
    """
    lines = io.StringIO()
    writer = csv.writer(lines)
    writer.writerow(("row", "units"))
    writer.writerows(listed(grid, start, only_changes))
    return lines.getvalue()


def _told(row: int) -> str:
    return ", ".join(f"{first}–{last}" if last > first else str(first) for first, last in runs(row))


def _turned(row: int, across: int) -> int:
    return int(format(row, f"0{across}b")[::-1], 2)
