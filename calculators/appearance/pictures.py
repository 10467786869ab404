"""Pictures of a cloth: its threads, each several points wide or one, or what is left from afar.

Light is added up as light, and becomes screen colours at the end. Where a thread is narrower than
its room, the one that lies under it shows beside it, in shadow; where neither fills its room, a
hole. A point that holds several things has the light of each by its share of the point, so that a
picture of fewer points shows the same cloth from further away.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, pi, sqrt

from calculators.appearance.fabric import (
    CROSSINGS,
    HIGH,
    LOW,
    WARP,
    Fabric,
    Side,
    Thread,
    crossings,
    shares,
)
from calculators.appearance.light import Light, fibres, slope, thrown_back
from calculators.engine.formula import bare, unlogged
from calculators.errors import InputError
from calculators.figure.picture import WHITE, Picture, scaled
from calculators.figure.png import colour_png
from calculators.quantities.format import format_number
from calculators.weave.drawing import room_of
from calculators.yarn.colour import linear, luminance_of, on_screen

Rgb = tuple[float, float, float]

MOST_POINTS = 16_000_000
LARGEST_POINTS = 24  # to a thread
MOST_COLOURS = 256 // CROSSINGS  # of a warp: a byte tells colour and crossing
ROUND_FROM = 3  # points to a thread, from which it is seen to be round
EXPOSURE = 0.94  # of white, for a white thread across the light: its middle is brighter still
IN_SHADOW = 0.5
HOLE: Rgb = (0.05, 0.046, 0.04)  # what the cloth lies on, dark
_STEPS = 12  # of a thread's bend over one crossing
_ROUND = 0.45  # how much darker the sides of a thread are than its middle


@dataclass(frozen=True)
class Crop:
    """A part of the figure, in units from the left and rows from the first woven."""

    left: int
    low: int
    across: int
    up: int


def threads_png(
    fabric: Fabric,
    light: Light,
    side: Side = "face",
    points: tuple[int, int] = (1, 1),
    crop: Crop | None = None,
) -> bytes:
    """Threads of a cloth, so many points to an end and to a pick, the first at the bottom (F-209).

    >>> from calculators.figure.grid import Grid
    >>> from calculators.figure.png import read_png
    >>> from calculators.weave.ground import ground_of
    >>> thread = Thread("#ffffff", "cotton", 0.3)
    >>> cloth = Fabric(Grid(1, (0,)), ground_of("plain"), 2, 2, thread, thread, 18, 18)
    >>> read_png(threads_png(cloth, Light(), points=(3, 3))).across
    6
    """
    part = crop or Crop(0, 0, fabric.grid.across, fabric.grid.up)
    _inside(fabric, part)
    across, up = points
    wide, high = part.across * fabric.ends_per_unit, part.up * fabric.picks_per_unit
    if not 1 <= min(points) <= max(points) <= LARGEST_POINTS:
        raise InputError(
            "points",
            f"{across} × {up} points to a thread are asked for.",
            f"From 1 to {LARGEST_POINTS} will do.",
        )
    if wide * across * high * up > MOST_POINTS:
        raise InputError(
            "points",
            f"That picture would have {format_number(wide * across)} × {format_number(high * up)} "
            "points, too many to draw.",
            "Ask for fewer points to a thread, or for a part of the figure.",
        )
    if len(set(fabric.warp.colours)) > MOST_COLOURS:
        raise InputError(
            "warp_colour", "The warp has too many colours.", f"At most {MOST_COLOURS} can be drawn."
        )
    colours, tables = _tiles(_Seen.of(fabric, light), points)
    mm = room_of(fabric.sett) / across, room_of(fabric.picks) / up
    lines = _lines(fabric, side, part, tables, points)
    return colour_png((wide * across, high * up), lines, colours, (1000 / mm[0], 1000 / mm[1]))


def distant_png(fabric: Fabric, light: Light, side: Side = "face", point_mm: float = 1.0) -> bytes:
    """What is left of a cloth where the eye parts no more than a point: both faces mixed (F-209).

    >>> from calculators.figure.grid import Grid
    >>> from calculators.figure.png import read_png
    >>> from calculators.weave.ground import ground_of
    >>> thread = Thread("#ffffff", "cotton", 0.3)
    >>> cloth = Fabric(Grid(4, (3,) * 4), ground_of("satin_5"), 5, 5, thread, thread, 10, 10)
    >>> read_png(distant_png(cloth, Light(), point_mm=5)).across
    4
    """
    grid = fabric.grid
    size = [max(1, round(mm / point_mm)) for mm in fabric.size_mm]
    if size[0] * size[1] > MOST_POINTS:
        raise InputError("point_mm", "That picture has too many points.", "Take larger points.")
    signs = bytes(WHITE if value == ord("1") else 0 for value in range(256))
    units = b"".join(grid.bits(row).encode().translate(signs) for row in reversed(grid.rows))
    drawn = scaled(Picture(grid.across, grid.up, units), size[0], size[1])
    ground, figure = faces(fabric, light, side)
    colours = [
        _screen(_mixed(((figure, share / WHITE), (ground, 1 - share / WHITE))))
        for share in range(WHITE + 1)
    ]
    lines = (line if side == "face" else line[::-1] for line in drawn.lines())
    return colour_png((size[0], size[1]), lines, colours, (1000 / point_mm, 1000 / point_mm))


def seen_png(fabric: Fabric, light: Light, side: Side = "face", point_mm: float = 1.0) -> bytes:
    """The whole cloth in points of about such a size, its threads or what is left of them (F-209).

    >>> from calculators.figure.grid import Grid
    >>> from calculators.figure.png import read_png
    >>> from calculators.weave.ground import ground_of
    >>> thread = Thread("#ffffff", "cotton", 0.3)
    >>> cloth = Fabric(Grid(4, (3,) * 4), ground_of("satin_5"), 5, 5, thread, thread, 10, 10)
    >>> [read_png(seen_png(cloth, Light(), point_mm=mm)).across for mm in (0.5, 1, 5)]
    [40, 20, 4]
    """
    rooms = room_of(fabric.sett), room_of(fabric.picks)
    if min(rooms) < 0.75 * point_mm:
        return distant_png(fabric, light, side, point_mm)
    points = [min(LARGEST_POINTS, max(1, round(room / point_mm))) for room in rooms]
    return threads_png(fabric, light, side, (points[0], points[1]))


def faces(fabric: Fabric, light: Light, side: Side = "face") -> tuple[Rgb, Rgb]:
    """Light of the ground and of the figure, red, green and blue, each as a whole (F-203).

    >>> from calculators.figure.grid import Grid
    >>> from calculators.weave.ground import ground_of
    >>> thread = Thread("#ffffff", "cotton", 0.3)
    >>> cloth = Fabric(Grid(1, (1,)), ground_of("satin_5"), 5, 5, thread, thread, 18, 18)
    >>> ground, figure = faces(cloth, Light(bearing=0))
    >>> ground > figure
    True
    """
    tones = _means(_Seen.of(fabric, light))
    ground, figure = shares(fabric, side)
    return _mixed(zip(tones, ground, strict=True)), _mixed(zip(tones, figure, strict=True))


def luminances(fabric: Fabric, light: Light, side: Side = "face") -> tuple[float, float]:
    """Luminance of the ground and of the figure (F-122).

    >>> from calculators.figure.grid import Grid
    >>> from calculators.weave.ground import ground_of
    >>> thread = Thread("#ffffff", "cotton", 0.3)
    >>> cloth = Fabric(Grid(1, (1,)), ground_of("plain"), 2, 2, thread, thread, 18, 18)
    >>> ground, figure = luminances(cloth, Light(bearing=45))
    >>> round(ground - figure, 9)
    0.0
    """
    with unlogged():
        ground, figure = (luminance_of(*face) for face in faces(fabric, light, side))
    return ground, figure


# A crossing ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Seen:
    """All that the look of a crossing hangs on."""

    warp: Thread
    weft: Thread
    rooms: tuple[float, float]
    flat: float
    light: Light

    @staticmethod
    def of(fabric: Fabric, light: Light) -> "_Seen":
        with unlogged():
            rooms = room_of(fabric.sett), room_of(fabric.picks)
        return _Seen(fabric.warp, fabric.weft, rooms, fabric.flat, light)


@lru_cache(maxsize=32)
def _means(seen: _Seen) -> tuple[Rgb, ...]:
    """Light of each crossing as a whole."""
    lights = tuple(
        _mixed((linear(colour), 1 / len(thread.colours)) for colour in thread.colours)
        for thread in (seen.warp, seen.weft)
    )
    return tuple(_crossing(seen, kind, (1, 1), lights)[0][0] for kind in range(CROSSINGS))


@lru_cache(maxsize=32)
def _tiles(
    seen: _Seen, points: tuple[int, int]
) -> tuple[list[bytes], dict[str, list[list[bytes]]]]:
    """Colours, and which of them each crossing has at each of its points, from its foot.

    For each colour of the weft a byte names the warp's colour and the kind of crossing.
    """
    warps, wefts = (dict.fromkeys(thread.colours) for thread in (seen.warp, seen.weft))
    tiles = {
        weft: [
            _crossing(seen, kind, points, (linear(warp), linear(weft)))
            for warp in warps
            for kind in range(CROSSINGS)
        ]
        for weft in wefts
    }
    for step in (1, 2, 4, 8, 16, 32, 64):
        shown = {
            weft: [
                [[_screen(tile[y][x], step) for tile in of] for x in range(points[0])]
                for y in range(points[1])
            ]
            for weft, of in tiles.items()
        }
        every = dict.fromkeys(
            colour for of in shown.values() for line in of for place in line for colour in place
        )
        if len(every) <= 256:
            break
    number = {colour: place for place, colour in enumerate(every)}
    tables = {
        weft: [
            [bytes(number[colour] for colour in place).ljust(256, b"\0") for place in line]
            for line in of
        ]
        for weft, of in shown.items()
    }
    return list(every), tables


def _crossing(
    seen: _Seen, kind: int, points: tuple[int, int], colours: tuple[Rgb, ...]
) -> list[list[Rgb]]:
    """Light of each point of a crossing of such a warp and weft, line by line from its foot."""
    warp_up = bool(kind & WARP)
    top, under = (seen.warp, seen.weft) if warp_up else (seen.weft, seen.warp)
    room, other_room = seen.rooms if warp_up else seen.rooms[::-1]
    steep = _slope(seen.warp.thickness, seen.weft.thickness, other_room)
    beside, along = points if warp_up else points[::-1]
    body, beneath_it = colours if warp_up else colours[::-1]
    shadow = _mixed([(beneath_it, IN_SHADOW * EXPOSURE)])
    wide = min(1.0, seen.flat * top.thickness / room)
    covered, rounded = _covered(wide, beside), _rounded(wide, beside)
    below = _covered(min(1.0, seen.flat * under.thickness / other_room), along)
    fibre = fibres()[top.fibre]
    lines = []
    for place in range(along):
        diffuse = gloss = 0.0
        steps = ceil(_STEPS / along)
        for step in range(steps):
            at = (place + (step + 0.5) / steps) / along
            one, other = thrown_back(seen.light, fibre, warp_up, steep * _bend(kind, at))
            diffuse, gloss = diffuse + one / steps, gloss + other / steps
        beneath = _mixed([(shadow, below[place]), (HOLE, 1 - below[place])])
        lines.append(
            [
                _mixed(
                    [
                        (body, diffuse * bright * share * EXPOSURE),
                        ((1, 1, 1), gloss * bright * share * EXPOSURE),
                        (beneath, 1 - share),
                    ]
                )
                for share, bright in zip(covered, rounded, strict=True)
            ]
        )
    return lines if warp_up else [list(line) for line in zip(*lines, strict=True)]


_slope = bare(slope)


def _bend(kind: int, at: float) -> float:
    """How much of its slope a thread has at a place of the crossing, from 0 to 1 along it.

    It lies flat where it goes on, and bends down evenly towards an end; alone it bends both ways.
    """
    rising = 1 - at if kind & LOW else 0.0
    sinking = at if kind & HIGH else 0.0
    return rising - sinking


def _covered(share: float, points: int) -> list[float]:
    """How much of each point across its room a thread covers, lying in the middle."""
    left, right = (1 - share) / 2 * points, (1 + share) / 2 * points
    return [max(0.0, min(right, place + 1) - max(left, place)) for place in range(points)]


def _rounded(share: float, points: int) -> list[float]:
    """How bright each point across a round thread is, its mean being 1."""
    if points < ROUND_FROM:
        return [1.0] * points
    mean = 1 - _ROUND + _ROUND * pi / 4
    places = [(2 * place + 1 - points) / points / share for place in range(points)]
    return [(1 - _ROUND + _ROUND * sqrt(max(0.0, 1 - x**2))) / mean for x in places]


def _mixed(parts: Iterable[tuple[Rgb, float]]) -> Rgb:
    red = green = blue = 0.0
    for (r, g, b), share in parts:
        red, green, blue = red + r * share, green + g * share, blue + b * share
    return red, green, blue


def _screen(light: Rgb, step: int = 1) -> bytes:
    return bytes(min(WHITE, step * round(WHITE * on_screen(part) / step)) for part in light)


# The points ---------------------------------------------------------------------------------------


def _inside(fabric: Fabric, part: Crop) -> None:
    grid = fabric.grid
    if not (
        0 <= part.left < part.left + part.across <= grid.across
        and 0 <= part.low < part.low + part.up <= grid.up
    ):
        raise InputError(
            "crop",
            f"The part of {part.across} × {part.up} units from unit {part.left + 1} of row "
            f"{part.low + 1} reaches over the edge of the figure.",
            f"The figure has {grid.across} × {grid.up} units.",
        )


def _lines(
    fabric: Fabric,
    side: Side,
    part: Crop,
    tables: Mapping[str, Sequence[Sequence[bytes]]],
    points: tuple[int, int],
) -> Iterator[bytes]:
    """Lines of points from the top: rows, picks and the lines of a pick the other way round."""
    across, _ = points
    ends = fabric.ends_per_unit
    first = part.left if side == "face" else fabric.grid.across - part.left - part.across
    cut = slice(first * ends, (first + part.across) * ends)
    in_stripes = _in_stripes(fabric, side)[cut]
    wefts = fabric.weft.colours
    kept: dict[tuple[bytes, str], list[bytes]] = {}
    rows = range(part.low + part.up - 1, part.low - 1, -1)
    for row, picks in zip(rows, crossings(fabric, side, rows), strict=True):
        for number in range(fabric.picks_per_unit - 1, -1, -1):
            weft = wefts[(row * fabric.picks_per_unit + number) % len(wefts)]
            pick = picks[number], weft
            if pick not in kept:
                if len(kept) == 4_000:
                    kept.clear()
                kinds, made = picks[number][cut], []
                if in_stripes:
                    both = int.from_bytes(kinds, "big") | int.from_bytes(in_stripes, "big")
                    kinds = both.to_bytes(len(kinds), "big")
                for of_line in reversed(tables[weft]):
                    if across == 1:
                        made.append(kinds.translate(of_line[0]))
                        continue
                    line = bytearray(len(kinds) * across)
                    for place, table in enumerate(of_line):
                        line[place::across] = kinds.translate(table)
                    made.append(bytes(line))
                kept[pick] = made
            yield from kept[pick]


def _in_stripes(fabric: Fabric, side: Side) -> bytes:
    """What the colour of each end adds to its crossings; nothing where all are of one."""
    order = fabric.warp.colours
    places = {colour: CROSSINGS * place for place, colour in enumerate(dict.fromkeys(order))}
    if len(places) == 1:
        return b""
    of_each = bytes(places[order[end % len(order)]] for end in range(fabric.ends))
    return of_each if side == "face" else of_each[::-1]
