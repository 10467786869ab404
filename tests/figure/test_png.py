"""PNG files written by Pillow are read point by point; what is none is refused in words."""

import io
import struct
import tracemalloc
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from calculators.errors import InputError
from calculators.figure.png import as_png, grid_of_png, read_png
from tests.figure.test_grid import grids

SIGNATURE = b"\x89PNG\r\n\x1a\n"


def noise(mode, across, up):
    wide = {"1": 1, "L": 1, "P": 1, "LA": 2, "RGB": 3, "RGBA": 4, "I;16": 2}[mode]
    made = np.random.default_rng(across * up + wide).integers(0, 256, (up, across, wide), np.uint8)
    made[: up // 2] = np.cumsum(made[: up // 2] // 128, axis=1) % 256  # slopes: other filters
    if mode == "1":
        return Image.fromarray(made[:, :, 0]).point(lambda tone: 255 * (tone > 99)).convert("1")
    if mode == "P":
        return Image.frombytes("P", (across, up), made.tobytes())
    if mode == "I;16":
        return Image.frombytes("I;16", (across, up), made.tobytes())
    return Image.frombytes(mode, (across, up), made.tobytes())


def written(image, **options):
    file = io.BytesIO()
    image.save(file, "PNG", **options)
    return file.getvalue()


def chunk(kind, body):
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(across, up, depth, colour, lines, *others, interlaced=0):
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", across, up, depth, colour, 0, 0, interlaced))
    body = chunk(b"IDAT", zlib.compress(lines))
    return SIGNATURE + head + b"".join(others) + body + chunk(b"IEND", b"")


def grey_of(image):
    """Grey and opacity as Pillow has them."""
    whole = image.convert("RGBA")
    opacity = whole.getchannel("A").tobytes()
    return whole.convert("RGB").convert("L").tobytes(), opacity


@given(grids(60))
def test_a_figure_comes_back_from_its_picture(grid):
    assert grid_of_png(as_png(grid)) == grid
    assert grid_of_png(as_png(grid), "light") == grid.turned_over()
    seen = np.asarray(Image.open(io.BytesIO(as_png(grid))))
    assert np.array_equal(~seen[::-1], np.array(grid.marks()))


@pytest.mark.parametrize("mode", ["1", "L", "LA", "RGB", "RGBA"])
@pytest.mark.parametrize("size", [(1, 1), (7, 5), (64, 33), (201, 90)])
def test_every_mode_of_pillow_is_read_exactly(mode, size):
    image = noise(mode, *size)
    picture = read_png(written(image))
    grey, opacity = grey_of(image)
    assert (picture.across, picture.up) == size
    assert picture.grey == grey
    assert (picture.opacity or b"\xff" * len(opacity)) == opacity


@pytest.mark.parametrize("bits", [1, 2, 4, 8])
@pytest.mark.parametrize("clear", [False, True])
def test_palettes_are_read_exactly(bits, clear):
    image = noise("P", 37, 21).point(lambda number: number % (1 << bits))
    colours = np.random.default_rng(bits).integers(0, 256, 3 << bits, np.uint8)
    image.putpalette(colours.tobytes())
    options = {"transparency": bytes([0, 130])} if clear else {}
    data = written(image, bits=bits, **options)
    assert data[24] == bits
    again = Image.open(io.BytesIO(data))
    grey, opacity = grey_of(again)
    picture = read_png(data)
    assert picture.grey == grey
    assert (picture.opacity or b"\xff" * len(opacity)) == opacity


def test_sixteen_bits_are_read_by_their_upper_eight():
    image = noise("I;16", 40, 30)
    data = written(image)
    assert data[24] == 16
    assert read_png(data).grey == (np.asarray(image) >> 8).astype(np.uint8).tobytes()


@pytest.mark.parametrize(("mode", "clear"), [("L", 7), ("RGB", (1, 2, 3)), ("1", 0)])
def test_one_colour_may_be_the_transparent_one(mode, clear):
    image = noise(mode, 20, 12)
    image.putpixel((3, 4), clear)
    data = written(image, transparency=clear)
    assert b"tRNS" in data
    opacity = grey_of(Image.open(io.BytesIO(data)))[1]
    assert 0 in opacity
    assert read_png(data).opacity == opacity


@pytest.mark.parametrize("depth", [1, 2, 4, 8, 16])
@pytest.mark.parametrize("size", [(1, 1), (5, 3), (8, 8), (23, 17)])
def test_an_interlaced_picture_is_the_same_picture(depth, size):
    """Seven passes by ISO/IEC 15948, 8.2; Pillow, which reads them too, is the judge."""
    across, up = size
    values = np.random.default_rng(depth).integers(0, 1 << depth, (up, across))
    passes = [(0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4)]
    passes += [(0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2)]
    lines = b""
    for left, top, step, fall in passes:
        part = values[top::fall, left::step]
        for row in part if part.size else ():
            bits = "".join(format(value, f"0{depth}b") for value in row)
            bits += "0" * (-len(bits) % 8)
            lines += b"\0" + int(bits, 2).to_bytes(len(bits) // 8, "big")
    data = png(across, up, depth, 0, lines, interlaced=1)
    seen = np.asarray(Image.open(io.BytesIO(data)))
    shades = seen >> 8 if depth == 16 else seen * (255 if depth == 1 else 1)
    assert read_png(data).grey == shades.astype(np.uint8).tobytes()


@pytest.mark.parametrize("filtered", range(5))
@pytest.mark.parametrize("colour", [0, 2, 6])
def test_lines_written_as_differences_are_read_as_pillow_reads_them(filtered, colour):
    across, up = 19, 11
    wide = {0: 1, 2: 3, 6: 4}[colour] * across
    rows = np.random.default_rng(filtered).integers(0, 256, (up, wide), np.uint8)
    data = png(across, up, 8, colour, b"".join(bytes([filtered]) + row.tobytes() for row in rows))
    image = Image.open(io.BytesIO(data))
    picture = read_png(data)
    assert picture.grey == grey_of(image)[0]
    assert (picture.opacity or b"\xff" * across * up) == grey_of(image)[1]


def test_an_animated_picture_gives_the_still_one():
    frames = [Image.new("L", (6, 4), tone) for tone in (10, 200, 90)]
    data = written(frames[0], save_all=True, append_images=frames[1:])
    assert b"acTL" in data
    assert read_png(data).grey == bytes([10]) * 24


def saved(kind, mode="RGB"):
    file = io.BytesIO()
    Image.new(mode, (8, 8)).save(file, kind)
    return file.getvalue()


GOOD = as_png(grid_of_png(written(Image.new("1", (30, 20)))))
SCRIPTED = b'<svg xmlns="http://www.w3.org/2000/svg"><script>fetch("/")</script></svg>'
HOSTILE = [
    (b"", "empty file"),
    (b"hello", "no picture that is known"),
    (saved("JPEG"), "JPEG photograph"),
    (saved("JPEG", "CMYK"), "JPEG photograph"),
    (saved("GIF"), "GIF"),
    (saved("WEBP"), "WebP"),
    (saved("BMP"), "BMP"),
    (saved("TIFF"), "TIFF"),
    (SCRIPTED, "SVG"),
    (b'\xef\xbb\xbf <?xml version="1.0"?><svg/>', "SVG"),
    (b"\0\0\0\x18ftypheic", "telephone"),
    (GOOD[:-6], "its end is missing"),
    (GOOD[:40], "its end is missing"),
    (GOOD[:8], "its end is missing"),
    (GOOD[:20] + b"\7" + GOOD[21:], "does not add up"),
    (png(0, 5, 8, 0, b""), "no points"),
    (png(8000, 6000, 8, 0, b""), "8 000 × 6 000 points"),
    (png(2**31 - 1, 2**31 - 1, 16, 6, b""), "too many"),
    (png(5, 5, 8, 0, bytes(29)), "lines of it are missing"),
    (png(5, 5, 3, 0, bytes(30)), "no PNG says"),
    (png(5, 5, 8, 3, bytes(30)), "colours are missing"),
    (png(5, 5, 8, 0, b"\x09" + bytes(29)), "no known way"),
    (SIGNATURE + chunk(b"IEND", b""), "size is missing"),
    (
        SIGNATURE
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 3, 3, 8, 0, 0, 0, 0))
        + chunk(b"IDAT", b"not pressed")
        + chunk(b"IEND", b""),
        "cannot be unpacked",
    ),
    (png(5, 5, 8, 3, bytes(30), chunk(b"PLTE", b"abcd")), ""),  # a palette cut short
]


@pytest.mark.parametrize(("data", "words"), HOSTILE)
def test_what_is_no_sound_png_is_refused_in_words(data, words):
    if not words:
        assert len(read_png(data).grey) == 25
        return
    with pytest.raises(InputError) as refused:
        read_png(data)
    assert refused.value.field == "picture"
    assert words in refused.value.message.replace("\u202f", " ")
    assert refused.value.hint


@given(st.binary(max_size=80), st.integers(8, len(GOOD)))
def test_any_damage_ends_in_words(damage, place):
    damaged = GOOD[:place] + damage + GOOD[place + len(damage) :]
    if damaged[: len(GOOD)] != GOOD:  # what follows the end is no part of the picture
        with pytest.raises(InputError, match=r"The (PNG|picture)"):
            grid_of_png(damaged)


def test_a_picture_that_would_unpack_without_end_takes_no_memory():
    data = png(40, 40, 8, 0, bytes(300_000_000))
    assert len(data) < 400_000
    tracemalloc.start()
    assert read_png(data).grey == bytes(1600)
    assert tracemalloc.get_traced_memory()[1] < 5_000_000
    tracemalloc.stop()


def test_a_picture_with_more_points_than_a_figure_has_units_is_told_what_to_do():
    with pytest.raises(InputError) as refused:
        grid_of_png(written(Image.new("L", (500, 300))))
    assert "500 × 300" in refused.value.message
    assert "units across" in refused.value.hint
