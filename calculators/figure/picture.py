"""From a picture to squares: cut out, scaled to units, reduced to figure and ground.

Whole numbers all the way, and whole lines at once where that can be: a photograph is made into
squares in the browser too, in moments.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import accumulate, cycle, pairwise
from operator import mul

from calculators.errors import InputError
from calculators.figure.grid import MOST_UP, Grid
from calculators.quantities.format import format_number
from calculators.quantities.sentences import many

FIELD = "picture"
MOST_POINTS = 4_000_000
WHITE = 255
MIDDLE = 128
CLEARLY = 8  # of 255: a unit this much darker than its surroundings is no chance of the light

_NEGATIVE = bytes(range(WHITE, -1, -1))


@dataclass(frozen=True)
class Picture:
    """Points of a picture, a byte each, line by line from the top: 0 is black, 255 is white.

    ``opacity`` is empty where nothing shines through; 0 is a point that is not there.
    """

    across: int
    up: int
    grey: bytes
    opacity: bytes = b""

    def __post_init__(self) -> None:
        refuse_size(self.across, self.up)
        points = self.across * self.up
        if len(self.grey) != points or len(self.opacity) not in (0, points):
            raise InputError(
                FIELD,
                f"The picture should have {many(points, 'points')}; {len(self.grey)} arrived.",
                "Open the picture again.",
            )

    def lines(self) -> Iterator[bytes]:
        """Return the greys line by line, from the top."""
        for place in range(0, len(self.grey), self.across):
            yield self.grey[place : place + self.across]


def refuse_size(across: int, up: int) -> None:
    """Refuse a picture with no points or too many, before any time goes into it."""
    if across < 1 or up < 1:
        raise InputError(FIELD, "The picture has no points.", "Open another one.")
    if across * up > MOST_POINTS:
        size = f"{format_number(across)} × {format_number(up)}"
        most = format_number(MOST_POINTS)
        raise InputError(
            FIELD,
            f"The picture has {size} points, too many to go through here.",
            f"Make it smaller, to {most} points in all: 2 000 along the longer side are plenty.",
        )


# Cutting out and scaling --------------------------------------------------------------------------


def cut_out(picture: Picture, left: int, top: int, across: int, up: int) -> Picture:
    """Part of a picture, counted in points from its left and its top.

    >>> cut_out(Picture(3, 2, b"abcdef"), 1, 0, 2, 2).grey
    b'bcef'
    """
    if min(left, top) < 0 or left + across > picture.across or top + up > picture.up:
        raise InputError(
            FIELD,
            f"The part to keep, {across} × {up} points from point {left + 1} of line {top + 1}, "
            "reaches over the edge of the picture.",
            f"The picture has {picture.across} × {picture.up} points.",
        )

    def part(points: bytes) -> bytes:
        starts = (line * picture.across + left for line in range(top, top + up))
        return b"".join(points[start : start + across] for start in starts)

    return Picture(across, up, part(picture.grey), part(picture.opacity))


@cache
def _shades() -> bytes:
    return bytes((product + WHITE // 2) // WHITE for product in range(WHITE * WHITE + 1))


def on_white(picture: Picture) -> Picture:
    """Lay the picture on white, which shows where the picture is transparent.

    >>> on_white(Picture(3, 1, bytes([10, 10, 10]), bytes([255, 0, 127]))).grey.hex()
    '0aff85'
    """
    if not picture.opacity:
        return picture
    shades, darkness = _shades(), _negative(picture).grey
    seen = bytes([shades[product] for product in map(mul, darkness, picture.opacity)])
    return _negative(Picture(picture.across, picture.up, seen))


def scaled(picture: Picture, across: int, up: int) -> Picture:
    """Scale greys by the average of the area that each new point covers, to the nearest.

    >>> list(scaled(Picture(4, 1, bytes([0, 100, 200, 255])), 2, 1).grey)
    [50, 228]
    """
    refuse_size(across, up)
    if (across, up) == (picture.across, picture.up):
        return picture
    area = picture.across * picture.up
    # A point is cut into `across` × `up` parts, and a new one covers `area` of them.
    places = [divmod(place * picture.across, across) for place in range(across + 1)]
    found, before, made = bytearray(), list[int](), b""
    for line in _averaged_lines(picture, up):
        if line == before:  # as often where a picture grows
            found += made
            continue
        before = line.copy()
        until = [0, *accumulate(line)]
        line.append(0)  # the end of the last point asks for nothing of the next
        edges = [across * until[whole] + rest * line[whole] for whole, rest in places]
        sums = (end - start for start, end in pairwise(edges))
        made = bytes([(2 * total + area) // (2 * area) for total in sums])
        found += made
    return Picture(across, up, bytes(found))


def _averaged_lines(picture: Picture, up: int) -> Iterator[list[int]]:
    """Sum the lines that each new line covers, a line being cut into ``up`` parts.

    All points of a line are added in one go, as one long number with four bytes for each.
    """
    wide = picture.across

    def long_number(line: int) -> int:
        spread = bytearray(4 * wide)
        spread[::4] = picture.grey[line * wide : (line + 1) * wide]
        return int.from_bytes(spread, "little")

    number, left, following = long_number(0), up, 1  # a line, and how much of it is not yet used
    for _ in range(up):
        total, wanted = 0, picture.up
        while wanted:
            part = min(wanted, left)
            total += number * part
            wanted, left = wanted - part, left - part
            if not left and following < picture.up:
                number, left, following = long_number(following), up, following + 1
        numbers = total.to_bytes(4 * wide, "little")
        yield list(memoryview(numbers).cast("I"))


# Figure and ground --------------------------------------------------------------------------------


def best_level(grey: bytes) -> int:
    """Level that parts dark from light with the two groups' averages furthest apart (Otsu).

    Points below the level are dark. Where several levels part them alike it is the middle one.

    >>> best_level(bytes([10, 10, 10, 200, 220]))
    105
    """
    counts = [grey.count(tone) for tone in range(WHITE + 1)]
    total, all_grey = len(grey), sum(grey)
    best, levels = (0, 1), [MIDDLE]
    dark = dark_grey = 0
    for level in range(1, WHITE + 1):
        dark += counts[level - 1]
        dark_grey += counts[level - 1] * (level - 1)
        light = total - dark
        # between the groups: n1 n2 (m1 - m2)², without the division by the total
        apart = (dark_grey * light - (all_grey - dark_grey) * dark) ** 2, dark * light
        if apart[0] * best[1] > best[0] * apart[1]:
            best, levels = apart, []
        if apart == best:
            levels.append(level)
    return (levels[0] + levels[-1]) // 2


def _row(marks: Iterable[bool]) -> int:
    return int("".join(["1" if mark else "0" for mark in marks])[::-1], 2)


def _grid(across: int, rows_from_top: Iterable[int]) -> Grid:
    return Grid(across, tuple(rows_from_top)[::-1])


def _by_one_level(picture: Picture, level: int) -> Grid:
    signs = bytes(b"01"[tone < level] for tone in range(WHITE + 1))
    return _grid(picture.across, (int(line.translate(signs)[::-1], 2) for line in picture.lines()))


def _by_surroundings(picture: Picture, level: int) -> Grid:  # noqa: ARG001 - it needs no level
    lines = list(picture.lines())
    reach = max(2, min(picture.across, picture.up) // 12)
    columns = [0] * picture.across
    spans = [
        (max(0, place - reach), min(picture.across, place + reach + 1))
        for place in range(picture.across)
    ]
    rows = []
    for place, line in enumerate(lines):
        arriving = range(place + reach, place + reach + 1) if place else range(reach + 1)
        for number in arriving:
            if number < picture.up:
                columns = [a + b for a, b in zip(columns, lines[number], strict=True)]
        if place > reach:
            columns = [a - b for a, b in zip(columns, lines[place - reach - 1], strict=True)]
        tall = min(place + reach, picture.up - 1) - max(0, place - reach) + 1
        until = [0, *accumulate(columns)]
        rows.append(
            _row(
                (grey + CLEARLY) * tall * (last - first) < until[last] - until[first]
                for grey, (first, last) in zip(line, spans, strict=True)
            )
        )
    return _grid(picture.across, rows)


@cache
def _screen() -> tuple[tuple[int, ...], ...]:
    """Order in which the sixteen units of a square darken, each as far from the last as can be."""
    two = ((0, 2), (3, 1))
    return tuple(
        tuple(4 * two[y % 2][x % 2] + two[y // 2][x // 2] for x in range(4)) for y in range(4)
    )


def _by_fine_dots(picture: Picture, level: int) -> Grid:  # noqa: ARG001
    limits = [[WHITE * (31 - 2 * place) for place in order] for order in _screen()]
    rows = (
        _row(32 * grey < limit for grey, limit in zip(line, cycle(order), strict=False))
        for line, order in zip(picture.lines(), cycle(limits), strict=False)
    )
    return _grid(picture.across, rows)


def _by_coarse_dots(picture: Picture, level: int) -> Grid:
    across, up = (picture.across + 1) // 2, (picture.up + 1) // 2
    fine = _by_fine_dots(scaled(picture, across, up), level)
    full = (1 << picture.across) - 1
    doubled = [
        int("".join(2 * mark for mark in fine.bits(row))[::-1], 2) & full for row in fine.rows
    ]
    from_top = [row for row in reversed(doubled) for _ in range(2)]
    return _grid(picture.across, from_top[: picture.up])


def _by_passing_on(picture: Picture, level: int) -> Grid:  # noqa: ARG001
    """What a unit has too much or too little goes to four units not yet settled.

    After Floyd and Steinberg: 7 of 16 parts to the next unit of the row, 3, 5 and 1 to the
    row below. What is passed on stays a whole number of sixteenths.
    """
    below = [0] * (picture.across + 2)
    rows = []
    for line in picture.lines():
        here, below = below, [0] * (picture.across + 2)
        ahead, marks = 0, []
        for place, grey in enumerate(line, 1):
            passed = here[place] + ahead
            seen = grey + (passed // 16 if passed >= 0 else -(-passed // 16))
            seen = 0 if seen < 0 else min(seen, WHITE)
            drawn = seen <= MIDDLE
            marks.append(drawn)
            left = seen if drawn else seen - WHITE
            ahead = 7 * left
            below[place - 1] += 3 * left
            below[place] += 5 * left
            below[place + 1] += left
        rows.append(_row(marks))
    return _grid(picture.across, rows)


@dataclass(frozen=True)
class Way:
    """A way to reduce greys to figure and ground: what it does, and what that does to the cloth."""

    title: str
    does: str
    cloth: str
    reduce: Callable[[Picture, int], Grid]


WAYS: dict[str, Way] = {
    "level": Way(
        "One level for all",
        "What is darker than one level is drawn, all else is at rest.",
        "Whole shapes with one outline: what a unit cloth carries best. Shading is lost. A shadow "
        "across the picture becomes part of the figure.",
        _by_one_level,
    ),
    "surroundings": Way(
        "Each unit against its surroundings",
        "A unit is drawn where it is clearly darker than the units around it.",
        "Outlines and veins come through even where the light was uneven. The middle of a large "
        "dark shape falls back to ground, and thin lines break into lone units: fill and mend "
        "them by hand.",
        _by_surroundings,
    ),
    "fine-dots": Way(
        "Fine dots",
        "Each grey becomes a regular scatter of units, the closer the darker.",
        "Shading is kept and seen from across the room. Nearly every dot is a lone unit: a speck, "
        "in five-end satin with one thread in five binding it. Many cords change on every row.",
        _by_fine_dots,
    ),
    "coarse-dots": Way(
        "Coarse dots",
        "As fine dots, but each dot is two units wide and two high.",
        "No dot is a lone unit, so each shows as a small square of satin, and every row is drawn "
        "twice. The picture keeps half its detail.",
        _by_coarse_dots,
    ),
    "passing-on": Way(
        "Passing on the rest",
        "What a unit is too dark or too light by is passed on to its neighbours.",
        "The most shading and the most detail. Its dots follow no order: lone units and one-unit "
        "necks everywhere, hardly two rows alike, and the longest work at the cords.",
        _by_passing_on,
    ),
}
DRAWN = {"dark": "what is dark", "light": "what is light"}


def figure_of(
    picture: Picture,
    way: str = "level",
    level: int | None = None,
    drawn: str = "dark",
    size: tuple[int, int] | None = None,
) -> Grid:
    """Reduce a picture to a figure of so many units, the lowest row woven first.

    Transparent points are at rest. Without a size each point is a unit; without a level it is the
    one that parts dark from light best.

    >>> from calculators.figure.grid import in_squares
    >>> print(in_squares(figure_of(Picture(3, 2, bytes([0, 0, 255, 0, 255, 255])))))
    #..
    ##.
    """
    _known("way", way, {name: each.title for name, each in WAYS.items()})
    if level is not None and not 1 <= level <= WHITE:
        raise InputError(
            "level",
            f"The level is {level}.",
            f"From 1, where only black is dark, to {WHITE}, where only white is light.",
        )
    toned = in_units(picture, drawn, size or (picture.across, picture.up))
    settled = best_level(toned.grey) if level is None else level
    if drawn == "dark":
        return WAYS[way].reduce(toned, settled)
    return WAYS[way].reduce(_negative(toned), WHITE + 1 - settled)


def in_units(picture: Picture, drawn: str, size: tuple[int, int]) -> Picture:
    """Scale a picture to a point for each unit, laid on what will be at rest: white or black.

    >>> list(in_units(Picture(2, 1, b"dd", bytes([255, 0])), "light", (1, 1)).grey)
    [50]
    """
    _known("drawn", drawn, DRAWN)
    across, up = size
    Grid(across, (0,) * min(up, MOST_UP + 1))  # a figure that is too large is refused first
    if drawn == "dark":
        return scaled(on_white(picture), across, up)
    return _negative(scaled(on_white(_negative(picture)), across, up))


def _negative(picture: Picture) -> Picture:
    grey = picture.grey.translate(_NEGATIVE)
    return Picture(picture.across, picture.up, grey, picture.opacity)


def _known(field: str, value: str, offered: dict[str, str]) -> None:
    if value not in offered:
        choices = "; ".join(f"{name}: {words}" for name, words in offered.items())
        raise InputError(field, f"“{value[:40]}” is not known here.", f"There are {choices}.")
