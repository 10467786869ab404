"""From a picture to squares, held against the libraries Pillow and NumPy and against symmetry."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from calculators.errors import InputError
from calculators.figure.grid import Grid
from calculators.figure.picture import (
    MOST_POINTS,
    WAYS,
    Picture,
    best_level,
    cut_out,
    figure_of,
    on_white,
    scaled,
)

# Few tones of many points: those beside a limit, and any.
TONES = st.lists(
    st.sampled_from([0, 1, 40, 127, 128, 129, 200, 254, 255]) | st.integers(0, 255),
    min_size=1,
    max_size=40,
)


@st.composite
def pictures(draw, most=24, clear=False):
    across, up = draw(st.integers(1, most)), draw(st.integers(1, most))
    grey, opacity = (
        bytes(palette[one % len(palette)] for one in draw(st.binary(min_size=n, max_size=n)))
        for palette, n in ((draw(TONES), across * up), (draw(TONES), across * up if clear else 0))
    )
    return Picture(across, up, grey, opacity)


def array(picture):
    return np.frombuffer(picture.grey, np.uint8).reshape(picture.up, picture.across)


def image(picture):
    return Image.fromarray(array(picture))


def picture_of(greys):
    greys = np.asarray(greys, np.uint8)
    return Picture(greys.shape[1], greys.shape[0], greys.tobytes())


def drawn_of(grid):
    """What is drawn, with the row woven last at the top, as a picture has it."""
    return np.array(grid.marks())[::-1]


def leaf(across, up):
    """An invented leaf with a shadow over it, in greys."""
    y, x = np.mgrid[0:up, 0:across] / (up, across)[0]
    inside = (x / (across / up) - 0.5) ** 2 * 6 + (y - 0.5) ** 2 * 3 < 0.5
    veins = np.abs(np.sin(12 * (y + np.abs(x - 0.5 * across / up)))) < 0.2
    return picture_of(np.clip(np.where(inside & ~veins, 70, 220) - 60 * x, 0, 255))


# Scaling ------------------------------------------------------------------------------------------


@given(pictures(12), st.integers(1, 6), st.integers(1, 6))
def test_whole_numbers_of_points_average_as_pillow_has_it(small, wide, tall):
    """Enlarged first, so that every unit covers whole points and both mean the same average."""
    blocks = np.kron(array(small), np.ones((tall, wide), np.uint8))
    noise = np.arange(blocks.size).reshape(blocks.shape) * 37 % 97
    greys = picture_of((blocks + noise) % 256)
    ours = array(scaled(greys, small.across, small.up)).astype(int)
    theirs = image(greys).resize((small.across, small.up), Image.Resampling.BOX)
    assert np.abs(ours - np.asarray(theirs)).max() <= 1


@given(pictures(14), st.integers(1, 20), st.integers(1, 20))
def test_parts_of_points_average_by_the_area_they_cover(picture, across, up):
    """Every point repeated as often as there are units: then each unit covers whole points."""
    spread = np.repeat(np.repeat(array(picture), up, axis=0), across, axis=1)
    theirs = Image.fromarray(spread).resize((across, up), Image.Resampling.BOX)
    ours = array(scaled(picture, across, up)).astype(int)
    assert np.abs(ours - np.asarray(theirs)).max() <= 1
    exact = spread.reshape(up, picture.up, across, picture.across).mean(axis=(1, 3))
    assert np.array_equal(ours, np.floor(exact + 0.5))


@given(pictures())
def test_scaling_to_the_same_size_and_cutting_out_the_whole_change_nothing(picture):
    assert scaled(picture, picture.across, picture.up) == picture
    assert cut_out(picture, 0, 0, picture.across, picture.up) == picture


@given(pictures(clear=True), st.data())
def test_what_is_cut_out_is_what_pillow_cuts_out(picture, data):
    left = data.draw(st.integers(0, picture.across - 1))
    top = data.draw(st.integers(0, picture.up - 1))
    across = data.draw(st.integers(1, picture.across - left))
    up = data.draw(st.integers(1, picture.up - top))
    box = (left, top, left + across, top + up)
    part = cut_out(picture, left, top, across, up)
    assert part.grey == image(picture).crop(box).tobytes()
    opacity = Image.frombytes("L", (picture.across, picture.up), picture.opacity)
    assert part.opacity == opacity.crop(box).tobytes()


@given(pictures(clear=True))
def test_a_transparent_picture_is_laid_on_white_as_pillow_lays_it(picture):
    seen = array(on_white(picture)).astype(int)
    mask = Image.frombytes("L", (picture.across, picture.up), picture.opacity)
    under = Image.new("L", mask.size, 255)
    under.paste(image(picture), mask=mask)
    assert np.abs(seen - np.asarray(under)).max() <= 1
    alpha = np.frombuffer(picture.opacity, np.uint8).reshape(seen.shape)
    assert (seen[alpha == 0] == 255).all()
    assert np.array_equal(seen[alpha == 255], array(picture)[alpha == 255])


# Figure and ground --------------------------------------------------------------------------------


@given(pictures(), st.integers(1, 255))
def test_one_level_is_pillows(picture, level):
    light = image(picture).point(lambda tone: 255 if tone >= level else 0)
    assert np.array_equal(drawn_of(figure_of(picture, level=level)), np.asarray(light) == 0)


@given(pictures())
def test_the_level_parts_dark_from_light_best(picture):
    """Every level tried, by the definition: the variance between the groups, as floats."""
    tones = array(picture).ravel().astype(float)

    def apart(level):
        dark, light = tones[tones < level], tones[tones >= level]
        return dark.size * light.size * (dark.mean() - light.mean()) ** 2

    levels = range(int(tones.min()) + 1, int(tones.max()) + 1)
    if levels:
        best = max(map(apart, levels))
        assert apart(best_level(picture.grey)) == pytest.approx(best, rel=1e-9)


@given(pictures(30))
def test_passing_on_the_rest_is_pillows_own(picture):
    theirs = np.asarray(image(picture).convert("1"))
    assert np.array_equal(drawn_of(figure_of(picture, "passing-on")), ~theirs)


@given(pictures(20))
def test_surroundings_are_the_average_of_the_units_around(picture):
    greys = array(picture).astype(int)
    reach = max(2, min(greys.shape) // 12)
    expected = np.zeros(greys.shape, bool)
    for y, x in itertools.product(range(picture.up), range(picture.across)):
        around = greys[max(0, y - reach) : y + reach + 1, max(0, x - reach) : x + reach + 1]
        expected[y, x] = (greys[y, x] + 8) * around.size < around.sum()
    assert np.array_equal(drawn_of(figure_of(picture, "surroundings")), expected)


@pytest.mark.parametrize("grey", range(0, 256, 15))
def test_fine_dots_draw_as_many_units_as_the_grey_is_dark(grey):
    flat = Picture(4, 4, bytes([grey]) * 16)
    drawn = figure_of(flat, "fine-dots").drawn
    assert abs(drawn / 16 - (1 - grey / 255)) <= 1 / 32 + 1e-9


def test_fine_dots_darken_unit_by_unit_far_from_each_other():
    """Each tone holds the units of the lighter one, and the first eight stand corner to corner."""
    tones = [figure_of(Picture(8, 8, bytes([tone]) * 64), "fine-dots") for tone in range(256)]
    for darker, lighter in itertools.pairwise(tones):
        assert all(a & b == b for a, b in zip(darker.rows, lighter.rows, strict=True))
    half = drawn_of(tones[128])
    assert half.sum() == 32
    assert not (half[1:] & half[:-1]).any()
    assert not (half[:, 1:] & half[:, :-1]).any()


@given(pictures(18))
def test_coarse_dots_are_two_units_wide_and_high(picture):
    drawn = drawn_of(figure_of(picture, "coarse-dots"))
    down, over = (drawn.shape[0] // 2 * 2, drawn.shape[1] // 2 * 2)
    for part in (drawn[:, :over].reshape(-1, over // 2, 2) if over else (),):
        assert all((pair[:, 0] == pair[:, 1]).all() for pair in part)
    assert np.array_equal(drawn[:down:2], drawn[1:down:2])


@pytest.mark.parametrize("way", WAYS)
@given(picture=pictures(clear=True), level=st.integers(1, 255))
def test_light_as_drawn_is_dark_in_the_negative(way, picture, level):
    negative = Picture(
        picture.across, picture.up, (255 - array(picture)).tobytes(), picture.opacity
    )
    assert figure_of(picture, way, level, "light") == figure_of(negative, way, 256 - level)


@given(pictures(), st.integers(1, 255))
def test_light_as_drawn_is_what_dark_leaves_at_rest(picture, level):
    dark, light = (figure_of(picture, level=level, drawn=drawn) for drawn in ("dark", "light"))
    assert light == dark.turned_over()


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("drawn", ["dark", "light"])
def test_what_is_transparent_is_at_rest(way, drawn):
    nothing = Picture(9, 7, bytes(range(0, 252, 4)), bytes(63))
    assert figure_of(nothing, way, 128, drawn).drawn == 0
    half = Picture(9, 7, bytes(63 * [200 if drawn == "light" else 50]), bytes(35) + b"\xff" * 28)
    assert all(row == 0 for row in figure_of(half, way, 128, drawn).rows[5:])


@pytest.mark.parametrize("way", ["level", "surroundings"])
@given(picture=pictures())
def test_a_mirrored_picture_is_a_mirrored_figure(way, picture):
    straight, greys = drawn_of(figure_of(picture, way)), array(picture)
    turned = drawn_of(figure_of(picture_of(greys[:, ::-1]), way))
    upended = drawn_of(figure_of(picture_of(greys[::-1]), way))
    assert np.array_equal(turned, straight[:, ::-1])
    assert np.array_equal(upended, straight[::-1])


@pytest.mark.parametrize("way", WAYS)
def test_every_way_says_what_it_does_to_the_cloth(way):
    words = WAYS[way]
    assert words.title
    assert all(text.endswith(".") for text in (words.does, words.cloth))
    one, largest = Picture(1, 1, b"\0"), leaf(400, 1000)
    assert figure_of(one, way).across == 1
    grid = figure_of(largest, way)
    assert (grid.across, grid.up) == (400, 1000)
    assert 0.05 < grid.drawn / 400_000 < 0.95


def test_a_leaf_is_still_a_leaf():
    """A photograph's size: the figure is what the picture is, unit by unit, but for its outline."""
    photograph = leaf(2000, 1500)
    figure = figure_of(photograph, size=(160, 200))
    y = (np.arange(200) * 7.5 + 3).astype(int)
    x = (np.arange(160) * 12.5 + 6).astype(int)
    dark = array(photograph)[np.ix_(y, x)] < best_level(photograph.grey)
    assert (drawn_of(figure) == dark).mean() > 0.9


@pytest.mark.parametrize(
    ("make", "field", "words"),
    [
        (lambda: Picture(0, 5, b""), "picture", "no points"),
        (lambda: Picture(8000, 6000, b""), "picture", "8 000 × 6 000"),
        (lambda: Picture(2, 2, b"abc"), "picture", "4 points; 3 arrived"),
        (lambda: Picture(2, 2, b"abcd", b"a"), "picture", "arrived"),
        (lambda: cut_out(Picture(3, 2, bytes(6)), 1, 0, 3, 1), "picture", "over the edge"),
        (lambda: scaled(Picture(1, 1, b"a"), MOST_POINTS, 2), "picture", "too many"),
        (lambda: figure_of(Picture(1, 1, b"a"), "charcoal"), "way", "“charcoal”"),
        (lambda: figure_of(Picture(1, 1, b"a"), level=0), "level", "level is 0"),
        (lambda: figure_of(Picture(1, 1, b"a"), drawn="red"), "drawn", "“red”"),
        (lambda: figure_of(Picture(1, 1, b"a"), size=(4, 10**9)), "grid", "units up"),
        (lambda: figure_of(Picture(401, 1, bytes(401))), "grid", "401 units across"),
    ],
)
def test_what_is_no_picture_is_refused_in_words(make, field, words):
    with pytest.raises(InputError) as refused:
        make()
    assert refused.value.field == field
    assert words in refused.value.message.replace("\u202f", " ")
    assert refused.value.hint


def test_a_blank_picture_is_a_blank_figure():
    assert figure_of(Picture(3, 2, b"\xff" * 6)) == Grid(3, (0, 0))
