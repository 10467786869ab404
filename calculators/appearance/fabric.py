"""A cloth thread by thread: which thread lies on top at every crossing, and where it goes under."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import cycle
from math import gcd
from typing import Literal

from calculators.errors import InputError
from calculators.figure.grid import Grid
from calculators.weave.ground import Ground

Side = Literal["face", "back"]
WARP = 4  # what lies on top: 0 the weft, 4 the warp; and where it goes under:
LOW = 1  # towards the pick before, or the end on the left
HIGH = 2  # towards the next pick, or the end on the right
CROSSINGS = 8
AS_WOVEN, PRESSED = 1.0, 1.25  # from memory: washed and pressed, a thread spreads by a quarter

_SELF, _LEFT, _RIGHT, _BELOW, _ABOVE = (1 << place for place in range(5))
_CODES = 32  # a unit and its four neighbours, each drawn or at rest
_KEPT = 2_000  # rows of units, so that those alike are made once


@dataclass(frozen=True)
class Thread:
    """A yarn as it is seen: its colour, # and six figures; its fibre; its thickness in mm.

    Threads in stripes have the colours of ``stripes`` one after the other, over and over.
    """

    colour: str
    fibre: str
    thickness: float
    stripes: tuple[str, ...] = ()

    @property
    def colours(self) -> tuple[str, ...]:
        """The colours of the threads, in their order."""
        return self.stripes or (self.colour,)


@dataclass(frozen=True)
class Fabric:
    """A figure on its ground, in its yarns; ``sett`` and ``picks`` to the cm as it is to be seen.

    ``flat`` is how many times as wide as it is thick by itself a thread lies in the cloth.
    """

    grid: Grid
    ground: Ground
    ends_per_unit: int
    picks_per_unit: int
    warp: Thread
    weft: Thread
    sett: float
    picks: float
    flat: float = PRESSED

    def __post_init__(self) -> None:
        for field, count in (
            ("ends_per_unit", self.ends_per_unit),
            ("picks_per_unit", self.picks_per_unit),
            ("sett", self.sett),
            ("picks", self.picks),
            ("flat", self.flat),
        ):
            if not count > 0:
                raise InputError(field, f"{count} threads make no cloth.", "Give more than none.")

    @property
    def ends(self) -> int:
        """Ends of the figure."""
        return self.grid.across * self.ends_per_unit

    @property
    def all_picks(self) -> int:
        """Picks of the figure."""
        return self.grid.up * self.picks_per_unit

    @property
    def unit_mm(self) -> tuple[float, float]:
        """Width and height of a unit."""
        return 10 * self.ends_per_unit / self.sett, 10 * self.picks_per_unit / self.picks

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the figure."""
        width, height = self.unit_mm
        return width * self.grid.across, height * self.grid.up


def crossings(
    fabric: Fabric, side: Side = "face", rows: range | None = None
) -> Iterator[tuple[bytes, ...]]:
    """Picks of each row of units, the first woven first, a byte for each crossing (F-159).

    A unit and its neighbours make a number below 32, which tells for each pick how the unit's ends
    are woven; where units do not begin on the same shaft, so does the place in their order. Seen
    from the back, left and right change places.

    >>> from calculators.weave.ground import ground_of
    >>> thread = Thread("#ffffff", "cotton", 0.3)
    >>> plain = Fabric(Grid(1, (0,)), ground_of("plain"), 2, 2, thread, thread, 10, 10)
    >>> [list(pick) for pick in next(crossings(plain))]
    [[7, 3], [3, 7]]
    """
    grid, ground = fabric.grid, fabric.ground
    ends, picks = fabric.ends_per_unit, fabric.picks_per_unit
    period = ground.shafts // gcd(ground.shafts, ends)  # units until an end is on its shaft again
    firsts = range(0, ends * min(period, grid.across), ends)
    order = [_CODES * number for number in range(len(firsts))]

    @cache
    def woven(phase: int, of_first_pick: bool, of_last_pick: bool) -> list[bytes]:
        """How the ends of a unit are woven on a pick, by its code and its place in the order."""
        made = []
        for first in firsts:
            tables = [
                _table(
                    ground,
                    phase,
                    (first + end) % ground.shafts + 1,
                    (of_first_pick, of_last_pick, end == 0, end == ends - 1),
                    side,
                )
                for end in range(ends)
            ]
            made += [bytes(table[code] for table in tables) for code in range(_CODES)]
        return made

    kept: dict[tuple[int, int, int, int], tuple[bytes, ...]] = {}
    for number in range(grid.up) if rows is None else rows:
        row = grid.rows[number]
        below = grid.rows[number - 1] if number else row
        above = grid.rows[number + 1] if number + 1 < grid.up else row
        begins = number * picks % ground.picks
        key = below, row, above, begins
        if key not in kept:
            if len(kept) == _KEPT:
                kept.clear()
            codes = _codes(grid, below, row, above)
            units = [code + place for code, place in zip(codes, cycle(order), strict=False)]
            lines = (
                b"".join(
                    map(
                        woven(
                            (begins + pick) % ground.picks, pick == 0, pick == picks - 1
                        ).__getitem__,
                        units,
                    )
                )
                for pick in range(picks)
            )
            kept[key] = tuple(line if side == "face" else line[::-1] for line in lines)
        yield kept[key]


def _codes(grid: Grid, below: int, row: int, above: int) -> bytes:
    """A byte for each unit of a row: which of it and its neighbours are drawn."""
    last = grid.across - 1
    left = (row << 1 | row & 1) & grid.full
    right = row >> 1 | (row >> last & 1) << last

    def spread(bits: int, worth: int) -> int:
        signs = grid.bits(bits).encode().translate(_WORTH[worth])
        return int.from_bytes(signs, "big")

    return (
        spread(row, _SELF)
        | spread(left, _LEFT)
        | spread(right, _RIGHT)
        | spread(below, _BELOW)
        | spread(above, _ABOVE)
    ).to_bytes(grid.across, "big")


_WORTH = {
    worth: bytes(worth if value == ord("1") else 0 for value in range(256))
    for worth in (_SELF, _LEFT, _RIGHT, _BELOW, _ABOVE)
}


def _table(
    ground: Ground, pick: int, shaft: int, edges: tuple[bool, bool, bool, bool], side: Side
) -> list[int]:
    """What each code makes of the crossing of a pick and an end, both counted in the repeat.

    A neighbour beyond an edge of the unit is as its own unit has it, any other as this unit.
    """
    made, known = [], dict[tuple[int, ...], int]()
    for code in range(_CODES):
        own = code & _SELF
        beside = tuple(
            code & which > 0 if at_edge else own > 0
            for which, at_edge in zip((_BELOW, _ABOVE, _LEFT, _RIGHT), edges, strict=True)
        )
        key = own, *beside
        if key not in known:
            known[key] = _kind(ground, pick, shaft, own > 0, beside, side)
        made.append(known[key])
    return made


def _kind(
    ground: Ground, pick: int, shaft: int, drawn: bool, beside: Sequence[bool], side: Side
) -> int:
    """Which thread lies on top, and where it goes under; ``beside`` says which units are drawn."""

    def is_up(drawn: bool, shaft: int, pick: int) -> bool:
        """Warp end up (F-159)."""
        pick, shaft = pick % ground.picks, (shaft - 1) % ground.shafts + 1
        return shaft not in ground.sink[pick] if drawn else shaft in ground.rise[pick]

    below, above, left, right = beside
    up = is_up(drawn, shaft, pick)
    warp_seen = up == (side == "face")
    if warp_seen:
        low, high = is_up(below, shaft, pick - 1), is_up(above, shaft, pick + 1)
    else:
        low, high = is_up(left, shaft - 1, pick), is_up(right, shaft + 1, pick)
        if side == "back":
            low, high = high, low
    return WARP * warp_seen + LOW * (low != up) + HIGH * (high != up)


def shares(fabric: Fabric, side: Side = "face") -> tuple[Sequence[float], Sequence[float]]:
    """Shares of each kind of crossing in the ground and in the figure, inside (F-159).

    >>> from calculators.weave.ground import ground_of
    >>> thread = Thread("#ffffff", "cotton", 0.3)
    >>> satin = Fabric(Grid(1, (0,)), ground_of("satin_5"), 5, 5, thread, thread, 18, 18)
    >>> [round(share, 9) for share in shares(satin)[0]]
    [0.4, 0.2, 0.2, 0.0, 0.0, 0.0, 0.0, 0.2]
    """
    return _shares(fabric.ground, False, side), _shares(fabric.ground, True, side)


@lru_cache(maxsize=64)
def _shares(ground: Ground, drawn: bool, side: Side) -> tuple[float, ...]:
    counts = [0] * CROSSINGS
    for pick in range(ground.picks):
        for shaft in range(1, ground.shafts + 1):
            counts[_kind(ground, pick, shaft, drawn, (drawn,) * 4, side)] += 1
    return tuple(count / sum(counts) for count in counts)
