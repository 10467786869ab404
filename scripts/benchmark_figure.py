"""How long a figure's counts, warnings and whole answer take as it grows.

    python scripts/benchmark_figure.py

Two kinds of figure of each size: shapes, as a weaver draws them, and units strewn at random, the
hardest case. The ratio is the time of a unit against that of the smallest figure of its kind: near
one where the time grows with the units.
"""

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parent.parent)

from calculators.contract import as_object, calculate  # noqa: E402 - found only now
from calculators.figure import counts, rows  # noqa: E402
from calculators.figure.grid import Grid, packed  # noqa: E402
from calculators.figure.threads import woven  # noqa: E402
from calculators.weave.ground import ground_of  # noqa: E402

SIZES = ((80, 100), (160, 200), (226, 284), (320, 400), (400, 1_000))
LIMITS = {(160, 200): 0.1, (400, 1_000): 2.0}  # seconds for all that is counted
TIMES = 3


def shapes(across: int, up: int) -> Grid:
    """Rings of eight units round the middle."""
    return Grid(
        across,
        tuple(
            sum(
                1 << unit
                for unit in range(across)
                if int(((unit - across / 2) ** 2 + (row - up / 2) ** 2) ** 0.5) // 8 % 2
            )
            for row in range(up)
        ),
    )


def strewn(across: int, up: int) -> Grid:
    """Every unit drawn or not by chance."""
    chance = random.Random(12)
    return Grid(across, tuple(chance.getrandbits(across) for _ in range(up)))


def all_counts(grid: Grid) -> None:
    """Count everything that is told of a figure."""
    woven(grid, ground_of("satin_6"), 6, 6)
    counts.places(counts.lone_units(grid))
    counts.places(counts.necks(grid))
    counts.column_kinds(grid)
    counts.row_changes(grid)
    counts.equal_rows(grid)
    counts.mirrors(grid)
    rows.listed(grid)


def whole_answer(grid: Grid) -> None:
    """Answer as the page does, another figure every time, for what is read is remembered."""
    first = grid.rows[0] ^ random.getrandbits(grid.across)
    as_object(calculate("figure", {"grid": packed(Grid(grid.across, (first, *grid.rows[1:])))}))


def fastest(work: Callable[[Grid], None], grid: Grid) -> float:
    """Return the least of a few times, in seconds."""
    taken = []
    for _ in range(TIMES):
        begun = time.perf_counter()
        work(grid)
        taken.append(time.perf_counter() - begun)
    return min(taken)


def main() -> int:
    """Print a line for each size; 1 where a limit is passed."""
    missed = False
    for kind in (shapes, strewn):
        print(f"\n{kind.__name__:10} units      counts, ms  a unit  against    answer, ms")
        first = 0.0
        for across, up in SIZES:
            grid = kind(across, up)
            counted, answered = fastest(all_counts, grid), fastest(whole_answer, grid)
            unit = counted / (across * up)
            first = first or unit
            late = counted > LIMITS.get((across, up), counted)
            missed |= late
            print(
                f"{across:4} × {up:<5}{across * up:9} {1000 * counted:12.1f} {1e6 * unit:6.2f}µ"
                f" {unit / first:8.2f} {1000 * answered:12.1f}{'  over the limit' if late else ''}"
            )
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
