"""Pictures of the kind PNG: a figure of one pixel a unit, cloth in a few colours, any other."""

import re
import struct
import zlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import accumulate
from operator import add, itemgetter

from calculators.errors import InputError
from calculators.figure.grid import MOST_ACROSS, MOST_UP, Grid
from calculators.figure.picture import FIELD, MIDDLE, WHITE, Picture, figure_of, refuse_size

SMALL, MOST_PRESSED, PRESSED = 300_000, 9, 4  # points; of 9, for a small picture and a large one
SIGNATURE = b"\x89PNG\r\n\x1a\n"
_OTHERS = (
    (rb"\xff\xd8\xff", "a JPEG photograph"),
    (rb"GIF8", "a GIF picture"),
    (rb"RIFF....WEBP", "a WebP picture"),
    (rb"BM", "a BMP picture"),
    (rb"II\*\0|MM\0\*", "a TIFF picture"),
    (rb"....ftyp", "a photograph or film of a telephone"),
    (rb"%PDF", "a PDF document"),
    (rb"(\xef\xbb\xbf)?\s*<(\?xml|!|svg|html)", "a drawing or page written in XML, such as SVG"),
)
_OPEN_ON_PAGE = (
    "Open it on the handbook’s page of pictures, where the browser reads photographs, "
    "or save it as PNG."
)
_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
_DEPTHS = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}
_WHOLE = ((0, 0, 1, 1),)
_INTERLACED = (  # left, top, and the steps to the next point and line, for the seven passes
    *((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4)),
    *((0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2)),
)
_BYTE = bytes(range(256)) * 2  # a sum of two bytes, without what is over 255


def as_png(grid: Grid) -> bytes:
    """A picture of one pixel a unit, drawn units black, the row woven first at the bottom.

    >>> as_png(Grid(3, (3, 1)))[1:4]
    b'PNG'
    """
    wide = (grid.across + 7) // 8
    lines = (
        int(grid.bits(row ^ grid.full).ljust(wide * 8, "0"), 2).to_bytes(wide, "big")
        for row in reversed(grid.rows)
    )
    return _written((grid.across, grid.up), 1, 0, lines)


def colour_png(
    size: tuple[int, int],
    lines: Iterable[bytes],
    colours: Sequence[bytes],
    per_metre: tuple[float, float] = (0, 0),
) -> bytes:
    """A picture in at most 256 colours of three bytes each.

    A line, from the top, names a colour for each point. ``per_metre`` are points to the metre
    across and up, where the picture has a true size.

    >>> len(colour_png((2, 1), [bytes([0, 1])], [b"abc", b"def"]))
    85
    """
    chunks = [(b"PLTE", b"".join(colours))]
    if all(per_metre):
        chunks.append((b"pHYs", struct.pack(">IIB", round(per_metre[0]), round(per_metre[1]), 1)))
    if len(colours) > FEW:
        return _written(size, 8, 3, lines, chunks)
    return _written(size, 4, 3, (_two_in_a_byte(line) for line in lines), chunks)


FEW = 16
_UPPER_HALF = bytes(16 * (value % 16) for value in range(256))


def _two_in_a_byte(line: bytes) -> bytes:
    upper, lower = line[::2].translate(_UPPER_HALF), line[1::2]
    lower = lower.ljust(len(upper), b"\0")
    both = int.from_bytes(upper, "big") | int.from_bytes(lower, "big")
    return both.to_bytes(len(upper), "big")


def _written(
    size: tuple[int, int],
    depth: int,
    kind: int,
    lines: Iterable[bytes],
    chunks: Iterable[tuple[bytes, bytes]] = (),
) -> bytes:
    def chunk(name: bytes, data: bytes) -> bytes:
        body = name + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    press = zlib.compressobj(MOST_PRESSED if size[0] * size[1] <= SMALL else PRESSED)
    pressed = [press.compress(b"\0" + line) for line in lines]
    pressed.append(press.flush())
    header = struct.pack(">IIBBBBB", *size, depth, kind, 0, 0, 0)
    parts = ((b"IHDR", header), *chunks, (b"IDAT", b"".join(pressed)), (b"IEND", b""))
    return SIGNATURE + b"".join(chunk(name, data) for name, data in parts)


def grid_of_png(data: bytes, drawn: str = "dark") -> Grid:
    """Figure of a picture that has one point for each unit.

    >>> grid_of_png(as_png(Grid(3, (3, 1))))
    Grid(across=3, rows=(3, 1))
    """
    picture = read_png(data)
    if picture.across > MOST_ACROSS or picture.up > MOST_UP:
        raise InputError(
            FIELD,
            f"The picture has {picture.across} × {picture.up} points, one for each unit.",
            f"A figure has at most {MOST_ACROSS} units across and {MOST_UP} up. Say how many units "
            "across it should have, and it is scaled.",
        )
    return figure_of(picture, level=MIDDLE, drawn=drawn)


def read_png(data: bytes) -> Picture:
    """Greys and opacity of a PNG picture (ISO/IEC 15948); of an animated one the still picture.

    >>> list(read_png(as_png(Grid(3, (3, 1)))).grey)
    [0, 255, 255, 0, 0, 255]
    """
    if not data.startswith(SIGNATURE):
        others = (words for start, words in _OTHERS if re.match(start, data[:200], re.DOTALL))
        other = next(others, "no picture that is known here" if data else "an empty file")
        raise InputError(FIELD, f"This is {other}, and no PNG.", _OPEN_ON_PAGE)
    chunks = _chunks(data)
    kind, header = next(chunks)
    if kind != b"IHDR" or len(header) != 13:
        raise _damaged("its size is missing")
    across, up, depth, colour, packing, filtering, interlaced = struct.unpack(">IIBBBBB", header)
    refuse_size(across, up)
    if depth not in _DEPTHS.get(colour, ()) or packing or filtering or interlaced > 1:
        raise _damaged("its head says what no PNG says")
    palette, clear, pressed = b"", b"", []
    for kind, body in chunks:
        if kind == b"PLTE":
            palette = body
        elif kind == b"tRNS":
            clear = body
        elif kind == b"IDAT":
            pressed.append(body)
    if colour == 3 and not palette:
        raise _damaged("its colours are missing")
    bits = depth * _CHANNELS[colour]
    passes = [
        (one, -(-(across - one[0]) // one[2]), -(-(up - one[1]) // one[3]))
        for one in (_INTERLACED if interlaced else _WHOLE)
    ]
    passes = [(one, wide, tall) for one, wide, tall in passes if wide > 0 and tall > 0]
    points = _opened(b"".join(pressed), sum(t * (1 + (w * bits + 7) // 8) for _, w, t in passes))
    tones = _tones(depth, colour, palette, clear)
    grey, opacity = bytearray(across * up), bytearray(across * up)
    start = 0
    for (left, top, step, fall), wide, tall in passes:
        length = (wide * bits + 7) // 8
        line = bytes(length)
        for number in range(tall):
            coded = points[start + 1 : start + 1 + length]
            line = _unfiltered(points[start], coded, line, max(1, bits // 8))
            place = (top + number * fall) * across
            here = slice(place + left, place + across, step)
            grey[here], opacity[here] = tones(line, wide)
            start += 1 + length
    solid = opacity.count(WHITE) == len(opacity)
    return Picture(across, up, bytes(grey), b"" if solid else bytes(opacity))


def _damaged(how: str) -> InputError:
    return InputError(FIELD, f"The PNG is damaged: {how}.", "Fetch or save the picture again.")


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    place, kind = len(SIGNATURE), b""
    while kind != b"IEND":
        head = data[place : place + 8]
        if len(head) < 8:
            raise _damaged("its end is missing")
        length, kind = int.from_bytes(head[:4], "big"), head[4:]
        body = data[place + 8 : place + 8 + length]
        check = data[place + 8 + length : place + 12 + length]
        if len(body) < length or len(check) < 4:
            raise _damaged("its end is missing")
        if zlib.crc32(kind + body) != int.from_bytes(check, "big"):
            raise _damaged("a part of it does not add up")
        yield kind, body
        place += 12 + length


def _opened(pressed: bytes, length: int) -> bytes:
    """Unpack as many bytes as the head promises, and no more however many would come."""
    opened = zlib.decompressobj()
    try:
        points = opened.decompress(pressed, length)
    except zlib.error as error:
        raise _damaged("its points cannot be unpacked") from error
    if len(points) < length:
        raise _damaged("lines of it are missing")
    return points


def _unfiltered(way: int, coded: bytes, above: bytes, step: int) -> bytes:
    """Bytes of a line that is written as differences; ``step`` is from a point to the next."""
    if way == 0:
        return coded
    if way == 1:
        line = bytearray(len(coded))
        for first in range(step):
            line[first::step] = bytes([total & 255 for total in accumulate(coded[first::step])])
        return bytes(line)
    if way == 2:
        return bytes([_BYTE[total] for total in map(add, coded, above)])
    if way not in (3, 4):
        raise _damaged("a line is written in no known way")
    line = bytearray(step)
    if way == 3:
        for place, (difference, up) in enumerate(zip(coded, above, strict=True)):
            line.append((difference + (line[place] + up) // 2) & 255)
    else:
        corners = bytes(step) + above
        for place, (difference, up) in enumerate(zip(coded, above, strict=True)):
            left, corner = line[place], corners[place]
            # the nearest to left + up - corner, in this order
            guesses = ((abs(up - corner), left), (abs(left - corner), up))
            off, guess = min(guesses, key=itemgetter(0))
            guess = guess if off <= abs(left + up - 2 * corner) else corner
            line.append((difference + guess) & 255)
    return bytes(line[step:])


def _tones(
    depth: int, colour: int, palette: bytes, clear: bytes
) -> Callable[[bytes, int], tuple[bytes, bytes]]:
    """How the greys and the opacity of a line are read from its bytes."""
    solid = WHITE.to_bytes(1, "big")
    if colour == 3:
        greys = _grey(palette[0::3], palette[1::3], palette[2::3]) if len(palette) % 3 == 0 else b""
        clear = clear[: len(greys)].ljust(len(greys), solid)
        greys, clear = greys.ljust(256, b"\0"), clear.ljust(256, solid)
        return lambda line, wide: (
            (index := _spread(line, wide, depth)).translate(greys),
            index.translate(clear),
        )
    channels = _CHANNELS[colour]

    def tones(line: bytes, wide: int) -> tuple[bytes, bytes]:
        if depth < 8:
            index = _spread(line, wide, depth)
            most = (1 << depth) - 1
            shades = bytes([value % (most + 1) * WHITE // most for value in range(256)])
            greys, values = index.translate(shades), [index]
        else:
            wide_step = channels * depth // 8
            values = [line[first::wide_step] for first in range(wide_step)]
            high = values[:: depth // 8]  # of sixteen bits the upper eight
            greys = _grey(*high[:3]) if channels > 2 else high[0]
            if channels in (2, 4):
                return greys, high[-1]
        if not clear:
            return greys, solid * wide
        key = clear if depth == 16 else clear[1::2]  # one colour that is not there
        return greys, bytes(
            [0 if point == tuple(key) else WHITE for point in zip(*values, strict=True)]
        )

    return tones


def _spread(line: bytes, wide: int, depth: int) -> bytes:
    """One byte for each point of a line that has several in a byte."""
    if depth == 8:
        return line
    most = (1 << depth) - 1
    parts = bytearray(len(line) * 8 // depth)
    for place in range(8 // depth):
        shift = 8 - depth * (place + 1)
        parts[place :: 8 // depth] = line.translate(
            bytes([value >> shift & most for value in range(256)])
        )
    return bytes(parts[:wide])


def _grey(red: bytes, green: bytes, blue: bytes) -> bytes:
    """Grey as bright as a colour (ITU-R BT.601), in parts of 65,536."""
    return bytes(
        [
            (19595 * r + 38470 * g + 7471 * b + 32768) >> 16
            for r, g, b in zip(red, green, blue, strict=True)
        ]
    )
