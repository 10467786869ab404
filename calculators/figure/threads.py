"""The figure as cloth: every pick and every end at once, as one whole number each."""

from collections.abc import Sequence
from dataclasses import dataclass

from calculators.figure.grid import Grid
from calculators.weave.ground import Ground


@dataclass(frozen=True)
class Cloth:
    """What the threads of a figure do: the longest float and its unit, and how often they cross.

    ``row`` and ``unit`` are where the longest float begins, both from 1. ``ends_cross`` are the
    crossings of all the ends of each column of units, ``picks_cross`` those of all the picks of
    each row of units: all of them, those in the left and those in the right third of the cloth.
    """

    longest_float: int
    of_picks: bool
    row: int
    unit: int
    ends_cross: tuple[int, ...]
    picks_cross: tuple[tuple[int, int, int], ...]


def woven(grid: Grid, ground: Ground, ends_per_unit: int, picks_per_row: int) -> Cloth:
    """Cloth of a figure, its ground running on through units and rows (F-187).

    >>> from calculators.weave.ground import ground_of
    >>> cloth = woven(Grid(2, (0b01, 0b10)), ground_of("satin_5"), 5, 5)
    >>> cloth.longest_float, len(cloth.ends_cross)
    (4, 2)
    """
    shafts, picks = ground.shafts, ground.picks
    wide, high = grid.across * ends_per_unit, grid.up * picks_per_row
    across = _Threads(
        grid.rows,
        grid.across,
        (ends_per_unit, picks_per_row),
        [_mask(shafts, wide, raised) for raised in ground.rise],
        [_mask(shafts, wide, sunk) for sunk in ground.sink],
    )
    along = _Threads(
        grid.columns,
        grid.up,
        (picks_per_row, ends_per_unit),
        [_mask(picks, high, _picks_of(shaft, ground.rise)) for shaft in range(1, shafts + 1)],
        [_mask(picks, high, _picks_of(shaft, ground.sink)) for shaft in range(1, shafts + 1)],
    )
    of_picks = across.longest >= along.longest
    line, place = across.where if of_picks else along.where[::-1]
    return Cloth(
        max(across.longest, along.longest),
        of_picks,
        line + 1,
        place + 1,
        tuple(every for every, _, _ in along.crossings),
        tuple(across.crossings),
    )


def _picks_of(shaft: int, picks: Sequence[Sequence[int]]) -> list[int]:
    return [number for number, shafts in enumerate(picks, 1) if shaft in shafts]


def _mask(period: int, length: int, chosen: Sequence[int]) -> int:
    """Bits of every thread whose place in the period, from 1, is chosen."""
    marks = "".join("01"[place in chosen] for place in range(period, 0, -1))
    return int((marks * (length // period + 1))[-length:], 2)


class _Threads:
    """All threads of one direction: their longest float, and their crossings by line of units."""

    def __init__(
        self,
        lines: Sequence[int],
        units: int,
        each: tuple[int, int],
        rise: Sequence[int],
        sink: Sequence[int],
    ) -> None:
        along, per_line = each
        length = units * along
        gaps, third = (1 << length - 1) - 1, (length + 1) // 3
        near = (1 << third) - 1
        far = gaps ^ gaps >> third
        self.longest, self.where = 1, (0, 0)
        self.crossings: list[tuple[int, int, int]] = []
        spread: dict[int, int] = {}
        known: dict[tuple[int, int], tuple[int, int, int]] = {}
        for line, bits in enumerate(lines):
            if bits not in spread:
                spread[bits] = _spread(bits, units, along)
            drawn = spread[bits]
            of_line = []
            for thread in range(line * per_line, (line + 1) * per_line):
                phase = thread % len(rise)
                if (bits, phase) not in known:
                    up = (drawn & ~sink[phase]) | (rise[phase] & ~drawn)
                    cross = (up ^ up >> 1) & gaps
                    self._measure(cross ^ gaps, line, along)
                    known[bits, phase] = (
                        cross.bit_count(),
                        (cross & near).bit_count(),
                        (cross & far).bit_count(),
                    )
                of_line.append(known[bits, phase])
            every, left, right = map(sum, zip(*of_line, strict=True))
            self.crossings.append((every, left, right))

    def _measure(self, alike: int, line: int, along: int) -> None:
        """Lengthen the longest float by this thread's, whose neighbours ``alike`` do not cross."""
        reached, wanted = 1, self.longest
        runs = alike  # bits from which so many pairs in turn are alike
        while runs and reached < wanted:
            step = min(reached, wanted - reached)
            runs &= runs >> step
            reached += step
        while runs:
            self.longest = reached + 1
            self.where = line, ((runs & -runs).bit_length() - 1) // along
            runs &= alike >> reached
            reached += 1


def _spread(bits: int, units: int, each: int) -> int:
    """Repeat every bit as often as a unit has threads."""
    marks = format(bits, f"0{units}b")
    return int(marks.replace("0", "z" * each).replace("1", "1" * each).replace("z", "0"), 2)
