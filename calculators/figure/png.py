"""A figure as a picture of one pixel a unit."""

import struct
import zlib

from calculators.figure.grid import Grid

_SIGNATURE = b"\x89PNG\r\n\x1a\n"


def as_png(grid: Grid) -> bytes:
    """A picture of one pixel a unit, drawn units black, the row woven first at the bottom.

    >>> as_png(Grid(3, (3, 1)))[1:4]
    b'PNG'
    """
    wide = (grid.across + 7) // 8
    lines = b"".join(
        b"\0" + int(grid.bits(row ^ grid.full).ljust(wide * 8, "0"), 2).to_bytes(wide, "big")
        for row in reversed(grid.rows)
    )

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    header = struct.pack(">IIBBBBB", grid.across, grid.up, 1, 0, 0, 0, 0)
    parts = ((b"IHDR", header), (b"IDAT", zlib.compress(lines, 9)), (b"IEND", b""))
    return _SIGNATURE + b"".join(chunk(kind, data) for kind, data in parts)
