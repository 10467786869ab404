"""What is counted on a figure: draws, kinds of columns, lone units, necks, equal rows."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from calculators.engine.formula import formula
from calculators.figure.grid import Grid, columns_of


@formula(
    "F-180",
    "Units at rest",
    "trade-knowledge",
    where="definition",
    gives="units_at_rest",
)
def at_rest(units_across: int, units_up: int, units_drawn: int) -> int:
    """Units that stay at rest, and the draws that the ground would take.

    >>> at_rest(10, 10, 60)
    40
    """
    return units_across * units_up - units_drawn


@formula(
    "F-182",
    "Share of the figure",
    "trade-knowledge",
    where="definition",
    gives="figure_share",
)
def figure_share(units_drawn: int, units_at_rest: int) -> float:
    """Share of the cloth's units that the figure fills.

    >>> figure_share(60, 40)
    0.6
    """
    return units_drawn / (units_drawn + units_at_rest)


@formula(
    "F-183",
    "Picks of the figure",
    "trade-knowledge",
    where="definition",
    gives="figure_picks",
)
def figure_picks(units_up: int, picks_per_unit: int) -> int:
    """Picks for which the figure is woven once.

    >>> figure_picks(15, 6)
    90
    """
    return units_up * picks_per_unit


def column_kinds(grid: Grid) -> dict[int, tuple[int, ...]]:
    """Units that may hang on one cord, by what is drawn of them; unit 1 is the first (F-184).

    >>> column_kinds(Grid(3, (0b101, 0b010)))
    {1: (1, 3), 2: (2,)}
    """
    kinds: dict[int, list[int]] = {}
    for unit, column in enumerate(grid.columns, 1):
        kinds.setdefault(column, []).append(unit)
    return {column: tuple(units) for column, units in kinds.items()}


def row_changes(grid: Grid) -> int:
    """Units drawn or let go from each row to the next (F-185).

    >>> row_changes(Grid(3, (0b101, 0b100, 0b011)))
    4
    """
    return sum((row ^ after).bit_count() for row, after in pairwise(grid.rows))


def equal_rows(grid: Grid) -> tuple[int, ...]:
    """Rows that are as the one before them (F-185).

    >>> equal_rows(Grid(1, (1, 1, 0)))
    (2,)
    """
    return tuple(
        number for number, (before, row) in enumerate(pairwise(grid.rows), 2) if row == before
    )


def lone_units(grid: Grid) -> tuple[int, ...]:
    """Units unlike their neighbours on all four sides, in each row as bits (F-186).

    >>> lone_units(Grid(3, (0b000, 0b010, 0b000)))
    (0, 2, 0)
    """
    below, above = _unlike_neighbours(grid.rows, grid.full)
    return tuple(
        _alone_in_row(row, grid.across) & under & over
        for row, under, over in zip(grid.rows, below, above, strict=True)
    )


def necks(grid: Grid) -> tuple[int, ...]:
    """Units that alone join two wider parts of the figure or of the ground (F-186).

    >>> necks(Grid(3, (0b111, 0b010, 0b111)))
    (0, 2, 0)
    """
    upright = _upright_necks(grid.rows, grid.across)
    level = columns_of(_upright_necks(grid.columns, grid.up), grid.up)
    return tuple(one | other for one, other in zip(upright, level, strict=True))


def mirrors(grid: Grid) -> tuple[bool, bool]:
    """Whether the figure mirrors left and right, and whether up and down (F-184).

    >>> mirrors(Grid(3, (0b101, 0b001)))
    (False, False)
    """
    return grid.columns == grid.columns[::-1], grid.rows == grid.rows[::-1]


def places(rows: Iterable[int]) -> list[tuple[int, int]]:
    """Row and unit of every bit, both from 1, as they are marked on the grid (F-186).

    >>> places((0, 0b101))
    [(2, 1), (2, 3)]
    """
    found = []
    for number, row in enumerate(rows, 1):
        left = row
        while left:
            found.append((number, (left & -left).bit_length()))
            left &= left - 1
    return found


def _unlike_neighbours(rows: Sequence[int], full: int) -> tuple[list[int], list[int]]:
    """Bits that differ from the row below and from the row above; past the edge all do."""
    steps = [row ^ after for row, after in pairwise(rows)]
    return [full, *steps], [*steps, full]


def _alone_in_row(row: int, across: int) -> int:
    """Bits that differ from both neighbours in their row, as far as there are any."""
    return ((row ^ row << 1) | 1) & ((row ^ row >> 1) | 1 << across - 1) & (1 << across) - 1


def _upright_necks(rows: Sequence[int], across: int) -> tuple[int, ...]:
    """Bits alone in their row, like the row below and the row above, which are wider there.

    Past the edge the cloth goes on: nothing is narrow there.
    """
    full = (1 << across) - 1
    below, above = _unlike_neighbours(rows, full)
    thin = [_alone_in_row(row, across) & full >> 1 & ~1 for row in rows]
    beside = [full, *thin, full]
    return tuple(
        one & ~(under | over | beside[place] | beside[place + 2])
        for place, (one, under, over) in enumerate(zip(thin, below, above, strict=True))
    )
