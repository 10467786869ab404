"""The figure as cloth: every pick and every end at once, as one whole number each."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

from calculators.figure.grid import Grid, columns_of
from calculators.weave.ground import Ground


@dataclass(frozen=True)
class Cloth:
    """What the threads of a figure do: the longest float, and how often they cross.

    ``ends_cross`` are the crossings of all the ends of each column of units, ``picks_cross`` those
    of all the picks of each row of units: all of them, those in the left and those in the right
    third of the cloth.
    """

    longest_float: int
    ends_cross: tuple[int, ...]
    picks_cross: tuple[tuple[int, int, int], ...]


def woven(grid: Grid, ground: Ground, ends_per_unit: int, picks_per_row: int) -> Cloth:
    """Cloth of a figure, its ground running on through units and rows (F-187).

    >>> from calculators.weave.ground import ground_of
    >>> cloth = woven(Grid(2, (0b01, 0b10)), ground_of("satin_5"), 5, 5)
    >>> cloth.longest_float, len(cloth.ends_cross)
    (4, 2)
    """
    across, along = _both_ways(grid, ground, ends_per_unit, picks_per_row)
    (level, of_picks), (upright, of_ends) = _measured(across), _measured(along)
    return Cloth(max(level, upright), tuple(every for every, _, _ in of_ends), tuple(of_picks))


def float_places(
    grid: Grid, ground: Ground, ends_per_unit: int, picks_per_row: int, longest: int
) -> tuple[int, ...]:
    """Units on which floats of the longest kind lie, in each row as bits (F-187).

    >>> float_places(Grid(3, (0b000, 0b110)), Ground(1, ((),), ((),)), 2, 1, 6)
    (7, 0)
    """
    across, along = _both_ways(grid, ground, ends_per_unit, picks_per_row)
    level, upright = _floats(across, longest), columns_of(_floats(along, longest), grid.up)
    return tuple(one | other for one, other in zip(level, upright, strict=True))


def _picks_of(shaft: int, picks: Sequence[Sequence[int]]) -> list[int]:
    return [number for number, shafts in enumerate(picks, 1) if shaft in shafts]


def _mask(period: int, length: int, chosen: Sequence[int]) -> int:
    """Bits of every thread whose place in the period, from 1, is chosen."""
    marks = "".join("01"[place in chosen] for place in range(period, 0, -1))
    return int((marks * (length // period + 1))[-length:], 2)


@dataclass(frozen=True)
class _Threads:
    """All threads of one direction: lines of units, threads of a unit along and in each line.

    ``rise`` and ``sink`` are, by the phase of a thread, where it is raised at rest or sunk drawn.
    """

    lines: Sequence[int]
    units: int
    along: int
    per_line: int
    rise: Sequence[int]
    sink: Sequence[int]

    @property
    def length(self) -> int:
        """Threads that each of these crosses."""
        return self.units * self.along

    def phases(self, line: int) -> list[int]:
        """The phase of each thread of a line of units."""
        first = line * self.per_line
        return [thread % len(self.rise) for thread in range(first, first + self.per_line)]

    def crossed(self) -> Iterator[tuple[tuple[int, int], int]]:
        """Bits between neighbours that a thread crosses, by its line's units and its phase."""
        gaps = (1 << self.length - 1) - 1
        for bits, phases in self._kinds().items():
            drawn = _spread(bits, self.units, self.along)
            for phase in phases:
                up = (drawn & ~self.sink[phase]) | (self.rise[phase] & ~drawn)
                yield (bits, phase), (up ^ up >> 1) & gaps

    def _kinds(self) -> dict[int, set[int]]:
        kinds: dict[int, set[int]] = {}
        for line, bits in enumerate(self.lines):
            kinds.setdefault(bits, set()).update(self.phases(line))
        return kinds


def _both_ways(
    grid: Grid, ground: Ground, ends_per_unit: int, picks_per_row: int
) -> tuple[_Threads, _Threads]:
    """Picks, and ends."""
    shafts, picks = ground.shafts, ground.picks
    wide, high = grid.across * ends_per_unit, grid.up * picks_per_row
    return _Threads(
        grid.rows,
        grid.across,
        ends_per_unit,
        picks_per_row,
        [_mask(shafts, wide, raised) for raised in ground.rise],
        [_mask(shafts, wide, sunk) for sunk in ground.sink],
    ), _Threads(
        grid.columns,
        grid.up,
        picks_per_row,
        ends_per_unit,
        [_mask(picks, high, _picks_of(shaft, ground.rise)) for shaft in range(1, shafts + 1)],
        [_mask(picks, high, _picks_of(shaft, ground.sink)) for shaft in range(1, shafts + 1)],
    )


def _measured(threads: _Threads) -> tuple[int, list[tuple[int, int, int]]]:
    """Longest float, and the crossings by line of units: all, and in the outer thirds."""
    gaps, third = (1 << threads.length - 1) - 1, (threads.length + 1) // 3
    near = (1 << third) - 1
    far = gaps ^ gaps >> third
    longest, known = 1, {}
    for kind, cross in threads.crossed():
        longest = _longest(cross ^ gaps, longest)
        known[kind] = cross.bit_count(), (cross & near).bit_count(), (cross & far).bit_count()
    crossings = []
    for line, bits in enumerate(threads.lines):
        every, left, right = map(
            sum, zip(*(known[bits, phase] for phase in threads.phases(line)), strict=True)
        )
        crossings.append((every, left, right))
    return longest, crossings


def _longest(alike: int, longest: int) -> int:
    """Longest float so far, or of this thread, whose neighbours ``alike`` do not cross."""
    runs = _begun(alike, longest)
    while runs:
        longest += 1
        runs &= alike >> longest - 1
    return longest


def _begun(alike: int, pairs: int) -> int:
    """Bits from which so many pairs of neighbours in turn are alike."""
    reached, runs = 1, alike
    while runs and reached < pairs:
        step = min(reached, pairs - reached)
        runs &= runs >> step
        reached += step
    return runs


def _floats(threads: _Threads, longest: int) -> list[int]:
    """Units on which a float of that many threads lies, in each line as bits."""
    if longest < 2:
        return [(1 << threads.units) - 1] * len(threads.lines)
    gaps, lies = (1 << threads.length - 1) - 1, {}
    for kind, cross in threads.crossed():
        runs = _begun(cross ^ gaps, longest - 1)
        lies[kind] = _units(_covered(runs, longest), threads.units, threads.along)
    return [
        reduce(or_, (lies[bits, phase] for phase in threads.phases(line)))
        for line, bits in enumerate(threads.lines)
    ]


def _covered(runs: int, length: int) -> int:
    """Bits of every run of that length that begins where ``runs`` has one."""
    reached = 1
    while runs and reached < length:
        step = min(reached, length - reached)
        runs |= runs << step
        reached += step
    return runs


def _units(marks: int, units: int, each: int) -> int:
    """Units that have a mark on any of their threads."""
    bits = format(marks, f"0{units * each}b")[::-1]
    any_of = ("1" in bits[first : first + each] for first in range(0, len(bits), each))
    return sum(1 << unit for unit, marked in enumerate(any_of) if marked)


def _spread(bits: int, units: int, each: int) -> int:
    """Repeat every bit as often as a unit has threads."""
    marks = format(bits, f"0{units}b")
    return int(marks.replace("0", "z" * each).replace("1", "1" * each).replace("z", "0"), 2)
