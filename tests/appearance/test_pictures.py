"""The cloth's pictures, point by point, as another hand reads them (Pillow, numpy)."""

from dataclasses import replace
from io import BytesIO
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from calculators.appearance.fabric import Fabric, Thread
from calculators.appearance.light import Light, fibres, read_light
from calculators.appearance.pictures import (
    Crop,
    distant_png,
    faces,
    luminances,
    seen_png,
    threads_png,
)
from calculators.errors import InputError
from calculators.figure.grid import Grid, of_marks
from calculators.weave.ground import GROUNDS, Ground, ground_of
from tests.every import of_every
from tests.figure.figures import grids

WHITE = Thread("#f7f5ee", "cotton", 0.3)
RED, BLUE = Thread("#ff0000", "cotton", 0.3), Thread("#0000ff", "cotton", 0.3)
DAMASKS = ("twill_1_3", "broken_twill_4", "satin_5", "satin_6", "satin_8", "satin_12")
SOME = Grid(7, (0b0011010, 0b1111000, 0b0000001, 0b0110110, 0b1010101))


def cloth(grid=SOME, ground="satin_5", unit=(5, 5), warp=WHITE, weft=WHITE, sett=(18, 18), **more):
    woven = ground_of(ground) if isinstance(ground, str) else ground
    return Fabric(grid, woven, *unit, warp, weft, *sett, **more)


def points(png):
    return np.asarray(Image.open(BytesIO(png)).convert("RGB")).astype(int)


def as_light(screen):
    """Light of screen values, by the definition in IEC 61966-2-1."""
    part = np.asarray(screen) / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def transposed(fabric):
    """The same cloth with warp and weft exchanged, mirrored about the line between them."""
    grid, ground = fabric.grid, fabric.ground
    marks = [[not mark for mark in column] for column in zip(*grid.marks(), strict=True)]

    def turned(order):
        picks = range(ground.picks)
        return tuple(
            tuple(pick + 1 for pick in picks if shaft in order[pick])
            for shaft in range(1, ground.shafts + 1)
        )

    return Fabric(
        of_marks(marks),
        Ground(ground.picks, turned(ground.sink), turned(ground.rise)),
        fabric.picks_per_unit,
        fabric.ends_per_unit,
        fabric.weft,
        fabric.warp,
        fabric.picks,
        fabric.sett,
        fabric.flat,
    )


# Colour and thickness -----------------------------------------------------------------------------


@of_every(product(("satin_5", "broken_twill_4", "plain"), (0.2, 0.5, 1.6), (0.3, 0.6), (1.0, 1.25)))
def test_each_yarn_shows_as_much_as_its_thickness_leaves(ground, of_ends, of_picks, flat):
    """A thread on top shows its width, a share of its room; the other beside it, where it lies."""
    ends = ground_of(ground).shafts
    warp = Thread("#ff0000", "cotton", of_ends * 10 / 12 / flat)
    weft = Thread("#0000ff", "cotton", of_picks * 10 / 20 / flat)
    fabric = cloth(Grid(2, (3, 3)), ground, (ends, ends), warp, weft, (12, 20), flat=flat)
    seen = points(threads_png(fabric, Light(45), points=(20, 20)))
    red, blue = seen[..., 0] > seen[..., 2] + 30, seen[..., 2] > seen[..., 0] + 30
    up, of_ends = 1 / 2 if ground == "plain" else (ends - 1) / ends, min(1, of_ends)
    assert red.mean() == pytest.approx(of_ends * (up + (1 - up) * (1 - of_picks)))
    assert blue.mean() == pytest.approx(of_picks * (1 - up + up * (1 - of_ends)))


@given(grids(most=8), st.sampled_from(GROUNDS), st.tuples(st.integers(1, 7), st.integers(1, 7)))
def test_the_back_shows_the_other_yarn_at_every_crossing(grid, ground, unit):
    thick = [Thread(one.colour, "cotton", 1.0) for one in (RED, BLUE)]
    fabric = cloth(grid, ground, unit, *thick)
    face, back = (points(threads_png(fabric, Light(), side)) for side in ("face", "back"))
    red_in_front, red_behind = face[..., 0] > face[..., 2], back[:, ::-1, 0] > back[:, ::-1, 2]
    assert (red_in_front != red_behind).all()


def test_the_first_pick_is_at_the_bottom_and_the_first_end_on_the_left():
    thick = [Thread(one.colour, "cotton", 1.0) for one in (RED, BLUE)]
    fabric = cloth(Grid(2, (1, 0, 0)), "satin_5", (5, 5), *thick)
    red = points(threads_png(fabric, Light(45)))[..., 0]
    halves = red[-5:, :5].mean(), red[-5:, 5:].mean(), red[:5, :5].mean()
    assert halves[0] > 2 * max(halves[1:])


@given(st.integers(1, 6), st.integers(1, 6), st.floats(2, 40), st.floats(2, 40))
def test_a_picture_has_the_size_and_the_proportions_of_the_cloth(across, up, sett, picks):
    fabric = cloth(sett=(sett, picks))
    png = threads_png(fabric, Light(), points=(across, up))
    picture = Image.open(BytesIO(png))
    assert picture.size == (35 * across, 25 * up)
    inches = [size / dpi for size, dpi in zip(picture.size, picture.info["dpi"], strict=True)]
    assert inches == pytest.approx([35 / sett / 2.54, 25 / picks / 2.54], rel=0.01)


@of_every([Crop(0, 0, 7, 5), Crop(2, 1, 3, 3), Crop(6, 4, 1, 1)])
def test_a_part_is_cut_out_of_the_whole_on_both_sides(crop):
    for side in ("face", "back"):
        whole = points(threads_png(cloth(), Light(30), side, (3, 2)))
        part = points(threads_png(cloth(), Light(30), side, (3, 2), crop))
        left = crop.left if side == "face" else 7 - crop.left - crop.across
        top = (5 - crop.low - crop.up) * 10
        wide, high = crop.across * 15, crop.up * 10
        assert (part == whole[top : top + high, left * 15 : left * 15 + wide]).all()


@of_every([Crop(0, 0, 8, 5), Crop(-1, 0, 2, 2), Crop(0, 5, 1, 1), Crop(0, 0, 0, 1)])
def test_a_part_beyond_the_figure_is_refused_in_words(crop):
    with pytest.raises(InputError) as refused:
        threads_png(cloth(), Light(), crop=crop)
    assert refused.value.field == "crop"
    assert "7 × 5" in refused.value.hint


# Light --------------------------------------------------------------------------------------------


@of_every(product(DAMASKS, fibres(), range(0, 360, 15)))
def test_turning_figure_and_ground_exchanges_their_light(ground, fibre, bearing):
    thread = Thread("#f7f5ee", fibre, 0.3)
    fabric = cloth(ground=ground, warp=thread, weft=thread)
    face, back = (luminances(fabric, Light(bearing), side) for side in ("face", "back"))
    assert face == pytest.approx(back[::-1])  # a mirrored light would differ but in oblique ones
    turned = luminances(fabric, Light(bearing + 90))
    assert turned == pytest.approx(face[::-1])


@given(
    grids(most=6), st.sampled_from(GROUNDS), st.floats(0, 360), st.sampled_from(sorted(fibres()))
)
def test_light_turned_with_the_threads_gives_the_same_picture_turned(grid, ground, bearing, fibre):
    """Warp and weft exchanged and the light with them: the picture mirrored, point for point."""
    warp, weft = Thread("#f7f5ee", fibre, 0.3), Thread("#2b4a6f", "wool", 0.2)
    fabric = cloth(grid, ground, (3, 4), warp, weft, (15, 20))
    picture = points(threads_png(fabric, Light(bearing), points=(4, 3)))
    other = points(threads_png(transposed(fabric), Light(90 - bearing), points=(3, 4)))
    mirrored = other[::-1, ::-1].transpose(1, 0, 2)
    assert np.abs(picture - mirrored).max() <= 4  # colours are rounded to 256


@of_every(DAMASKS)
def test_the_threads_across_the_light_are_the_brighter(ground):
    fabric = cloth(ground=ground)
    for bearing, ground_wins in ((0, True), (90, False), (180, True), (270, False)):
        at_rest, drawn = luminances(fabric, Light(bearing))
        assert (at_rest > 1.05 * drawn) is ground_wins
        assert (drawn > 1.05 * at_rest) is not ground_wins
    at_rest, drawn = luminances(fabric, Light(45))
    assert at_rest == pytest.approx(drawn), "in slanting light one colour shows no figure"


def test_plain_weave_shows_no_figure_in_any_light():
    for bearing in range(0, 360, 10):
        ground, figure = luminances(cloth(ground="plain", unit=(2, 2)), Light(bearing))
        assert ground == pytest.approx(figure)


def test_longer_floats_and_glossier_fibres_tell_figure_from_ground_better():
    def contrast(ground, fibre):
        thread = Thread("#f7f5ee", fibre, 0.3)
        one, other = luminances(cloth(ground=ground, warp=thread, weft=thread), Light(0))
        return one / other

    by_float = [contrast(name, "linen") for name in ("plain", *DAMASKS[1:])]
    assert by_float == sorted(by_float)
    assert len(set(by_float)) == len(by_float)
    assert (
        contrast("satin_5", "linen")
        > contrast("satin_5", "mercerised")
        > contrast("satin_5", "cotton")
    )


def test_linen_loses_its_gloss_sooner_than_cotton_when_the_light_is_turned():
    def left(fibre, turned):
        """Of the gloss of a flat float across the light, what is left when it is turned."""
        one = fibres()[fibre]
        sine = (1 - (np.cos(np.radians(40)) * np.sin(np.radians(turned))) ** 2) ** 0.5
        return sine**one.sharpness

    assert left("linen", 30) < 0.6 * left("cotton", 30)


@of_every(product(DAMASKS, (0, 20, 90)))
def test_from_afar_a_field_is_as_bright_as_its_threads_are_together(ground, bearing):
    """The mean of many points to a thread, of one, and of none: one cloth from further away."""
    ends = ground_of(ground).shafts
    fabric = cloth(Grid(6, (0,) * 6), ground, (ends, ends), warp=RED, weft=WHITE)
    inner = slice(ends, -ends), slice(ends, -ends)
    one = as_light(points(threads_png(fabric, Light(bearing)))[inner]).mean(axis=(0, 1))
    middle = slice(9 * ends, -9 * ends)
    many_points = points(threads_png(fabric, Light(bearing), points=(9, 9)))[middle, middle]
    many = as_light(many_points).mean(axis=(0, 1))
    far = as_light(points(distant_png(fabric, Light(bearing), point_mm=5))[0, 0])
    assert one == pytest.approx(far, abs=0.006)
    assert many == pytest.approx(far, abs=0.02)
    assert faces(fabric, Light(bearing))[0] == pytest.approx(far, abs=0.004)


@given(grids(most=30), st.sampled_from((0.4, 1.0, 2.5, 9.0)))
def test_from_afar_every_point_mixes_what_lies_in_it(grid, unit_points):
    """Shares of figure in each point by numpy, from a picture far larger than both."""
    fabric = cloth(grid, warp=Thread("#000000", "wool", 2), weft=Thread("#ffffff", "wool", 2))
    side = 5 / 1.8
    seen = as_light(points(distant_png(fabric, Light(45), point_mm=side / unit_points)))
    fine = np.kron(np.array(grid.marks(), dtype=float)[::-1], np.ones((60, 60)))
    high, wide = seen.shape[:2]
    rows = np.arange(fine.shape[0]) * high // fine.shape[0]
    columns = np.arange(fine.shape[1]) * wide // fine.shape[1]
    sums = np.zeros((high, wide))
    np.add.at(sums, (rows[:, None], columns[None, :]), fine)
    shares = sums / (np.bincount(rows)[:, None] * np.bincount(columns)[None, :])
    ground, figure = (np.array(face) for face in faces(fabric, Light(45)))
    expected = figure * shares[..., None] + ground * (1 - shares[..., None])
    assert np.abs(seen - expected).max() < 0.03


def test_what_is_seen_has_threads_while_a_point_parts_them():
    fine = Image.open(BytesIO(seen_png(cloth(), Light(), point_mm=0.1)))
    coarse = Image.open(BytesIO(seen_png(cloth(), Light(), point_mm=2)))
    assert fine.size == (35 * 6, 25 * 6)
    assert coarse.size == (round(35 / 1.8 / 2), round(25 / 1.8 / 2))


def test_a_picture_too_large_is_refused_before_it_is_drawn():
    large = Grid(400, (0,) * 1000)
    with pytest.raises(InputError, match="too many"):
        threads_png(cloth(large, "satin_6", (6, 6)), Light(), points=(4, 4))


# Where the light comes from -----------------------------------------------------------------------


@of_every([("12", 0), ("0", 0), ("3", 90), ("6 o'clock", 180), ("9 o’clock", 270), ("1:30", 45)])
def test_a_clock_hour_is_read_as_on_a_clock(typed, degrees):
    assert read_light(typed).bearing == degrees


@of_every([("45°", 45), ("-90 deg", 270), ("720 degrees", 0), ("22,5°", 22.5), ("left", 270)])
def test_degrees_and_words_are_read(typed, degrees):
    assert read_light(typed).bearing == degrees


@of_every(["", "north", "13", "-1", "1e9", "∞", "12 cm", "nan"])
def test_no_direction_is_told_in_words(typed):
    with pytest.raises(InputError) as refused:
        read_light(typed)
    assert refused.value.field == "light"
    assert "clock" in refused.value.hint


@given(
    grids(most=6),
    st.lists(st.sampled_from(["#ff0000", "#0000ff", "#00ff00"]), min_size=1, max_size=7),
    st.lists(st.sampled_from(["#ffffff", "#808000"]), min_size=1, max_size=5),
    st.sampled_from(["face", "back"]),
)
def test_in_stripes_every_end_and_pick_has_its_own_colour(grid, warps, wefts, side):
    def shown(warp, weft, of_warp=(), of_weft=()):
        striped = Thread(warp, "cotton", 0.3, of_warp), Thread(weft, "linen", 0.2, of_weft)
        woven = cloth(grid, "satin_5", (5, 5), *striped)
        return points(threads_png(woven, Light(30), side, (1, 1)))[::-1], woven

    striped, woven = shown("#000000", "#000000", tuple(warps), tuple(wefts))
    of = {pair: shown(*pair)[0] for pair in product(set(warps), set(wefts))}
    ends = range(woven.ends) if side == "face" else range(woven.ends)[::-1]
    for column, end in enumerate(ends):
        for pick in range(woven.all_picks):
            pair = warps[end % len(warps)], wefts[pick % len(wefts)]
            assert (striped[pick, column] == of[pair][pick, column]).all()


def test_from_afar_stripes_are_the_mean_of_their_colours():
    red, blue = (faces(cloth(warp=one), Light(20)) for one in (RED, BLUE))
    both = faces(cloth(warp=replace(RED, stripes=("#ff0000", "#0000ff", "#0000ff"))), Light(20))
    for one, other, mixed in zip(red, blue, both, strict=True):
        assert mixed == pytest.approx([(a + 2 * b) / 3 for a, b in zip(one, other, strict=True)])


def test_a_warp_of_too_many_colours_is_refused():
    many = tuple(f"#0000{part:02x}" for part in range(33))
    with pytest.raises(InputError):
        threads_png(cloth(warp=replace(RED, stripes=many)), Light())
