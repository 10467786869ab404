"""Warp and weft, against whole printed cloths, pint, and themselves read backwards."""

from math import isclose

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.loom import warp, weft
from calculators.quantities.units import DRAM_G, POUND_G, YARD_CM
from calculators.yarn.systems import tex_of
from calculators.yarn.yarn import length_of, mass_of

YARD, INCH, POUND = float(YARD_CM), 2.54, float(POUND_G)
units = pint.get_application_registry()


def pounds(length_cm, count, system="cotton"):
    return mass_of(length_cm, tex_of(count, 1, system)) / POUND


def silk_pounds(length_cm, drams, waste_percent):
    """Weight of silk numbered in drams to 1000 yards, waste added to the yarn as the book does."""
    tex = drams * float(DRAM_G) / (1000 * YARD) * 100_000
    lost = waste_percent / (100 + waste_percent)
    return warp.with_winding_waste(mass_of(length_cm, tex), lost) / POUND


def test_brooks_piece():
    # BRO-hanks, BRO-warp: Brooks 1892, «Weight of a Piece»: 2280 ends, 38 yd, 103 1/7 hanks of 30s
    warp_yarn = warp.warp_yarn(2280, 38 * YARD)
    assert isclose(warp_yarn / (840 * YARD), 103 + 1 / 7)
    warp_lb = pounds(warp_yarn, 30)
    assert abs(warp_lb - (3 + 7 / 16)) <= 0.01
    # BRO-weft: 37 1/2 in, 64 picks, 36 yd of 36s weigh 2 lb 13 3/4 oz
    picks = weft.picks_total(36 * YARD, 64 / INCH)
    weft_lb = pounds(weft.weft_length(picks, 37.5 * INCH, 0), 36)
    assert abs(weft_lb - (2 + 13.75 / 16)) <= 0.005
    # BRO-size, BRO-total: with 25 % of size on the warp, 7 lb 2 1/2 oz
    assert abs(warp_lb * 1.25 + weft_lb - 7.15625) <= 0.02


def test_brooks_other_figures():
    # BRO-hanks2: 40 in of 52 reed, 41 yd; BRO-order: 3750 pieces of 38 yd
    assert abs(warp.warp_yarn(40 * 52, 41 * YARD) / (840 * YARD) - 101.5) <= 0.05
    assert isclose(warp.warp_yarn(3750, 38 * YARD) / YARD, 142_500)
    # BRO-scotch-weft: 2300 picks to the yard, 37 1/2 in, 36 yd of 36s
    picks = weft.picks_total(36 * YARD, 2300 / YARD)
    assert abs(pounds(weft.weft_length(picks, 37.5 * INCH, 0), 36) - 2.85) <= 0.01


def test_taylors_piece():
    # BK-TAY-warp-yd, BK-TAY-weft-yd: Taylor 1909, p. 312; TAY-245-warp and -weft, web page 245
    warp_yarn = warp.warp_yarn(2100, 95 * YARD)
    assert isclose(warp_yarn / YARD, 199_500)
    assert abs(pounds(warp_yarn, 30) - 7.9167) <= 0.01
    weft_yarn = weft.weft_length(weft.picks_total(90 * YARD, 80 / INCH), 30 * INCH, 0)
    assert isclose(weft_yarn / YARD, 216_000)
    assert abs(pounds(weft_yarn, 40) - 6.4286) <= 0.01


def test_taylors_other_figures():
    # TAY-427b: 94 yd of cloth at 4 per cent, about 98 yd of warp
    assert abs(warp.warp_for(94 * YARD, 0.04, 0) / YARD - 98) <= 0.3
    # BK-TAY-beam-length: 50 lb of 40s on 2200 ends, 763.6 yd; p. 332
    length = length_of(50 * POUND, tex_of(40, 1, "cotton")) / 2200
    assert abs(length / YARD - 763.6) <= 0.1
    # BK-TAY-84yd: hanks in an 84-yard warp are a tenth of its ends; p. 332
    assert isclose(warp.warp_yarn(2000, 84 * YARD) / (840 * YARD), 200)
    # BK-TAY-wt-proof1, -proof2: 20 in, 102 yd; pp. 344
    assert abs(pounds(warp.warp_yarn(20 * 93, 102 * YARD), 45) - 5) <= 0.03
    assert abs(pounds(warp.warp_yarn(20 * 62, 102 * YARD), 20) - 7.5) <= 0.04


@pytest.mark.parametrize(
    ("cloth", "take_up", "printed"),
    [
        (100, 0.10, 110),  # Wolfensberger 1921, BK-WOL-tk-1 and -1-warp, pp. 75, 76; also
        # the repp beam of BK-WOL-2beam, p. 97
        (50, 0.08, 54),  # BK-WOL-2-takeup, p. 80
        (300, 0.06, 318),  # BK-WOL-3-takeup, p. 84
        (60, 0.065, 64),  # BK-WOL-tk-4 and -4-warp, pp. 87, 88: 63.9 taken up to 64
        (100, 0.06, 106),  # BK-WOL-2beam, p. 97: the satin beam
    ],
)
def test_wolfensbergers_warp_lengths(cloth, take_up, printed):
    assert abs(warp.warp_for(cloth * YARD, take_up, 0) / YARD - printed) <= 0.1 + 1e-9


@pytest.mark.parametrize(
    ("ends", "yards", "drams", "printed", "off"),
    [
        (4032, 110, 1.47, 2.65, 0.01),  # BK-WOL-1-warp, p. 76
        (3864, 54, 1.30, 1.10, 0.01),  # BK-WOL-2-warp, p. 80
        (12224, 318, 1.55, 24.477, 0.1224),  # BK-WOL-3-warp, p. 85
        (416, 318, 1.55, 0.833, 0.0042),  # BK-WOL-3-warpw, p. 85
        (4784, 64, 1.48, 1.84, 0.0093),  # BK-WOL-4-warp, p. 88
        (3984, 54, 1.50, 1.31, 0.0066),  # BK-WOL-5-warp, p. 92
        (6132, 106, 1.35, 3.56, 0.0179),  # BK-WOL-6-warp, p. 98
        (1680, 106, 1.15, 0.83, 0.0042),  # BK-WOL-6-warps, p. 98
    ],
)
def test_wolfensbergers_silk_warps(ends, yards, drams, printed, off):
    assert abs(silk_pounds(warp.warp_yarn(ends, yards * YARD), drams, 4) - printed) <= off


def test_wolfensbergers_second_warp_was_not_worked_with_the_misprinted_ends():
    # BK-WOL-2-ends: the sum is headed 4264 ends and worked with 3864
    assert abs(silk_pounds(warp.warp_yarn(4264, 54 * YARD), 1.3, 4) - 1.10) > 0.05


@pytest.mark.parametrize(
    ("yards", "picks", "ply", "inches", "drams", "printed", "off"),
    [
        (300, 80, 1, 47, 4.5, 21.414, 0.107),  # BK-WOL-3-weft, p. 85
        (60, 104, 2, 19.5, 2.95, 3.03, 0.01),  # BK-WOL-4-weft, p. 89
        (50, 96, 1, 19, 4, 1.54, 0.0077),  # BK-WOL-5-weft, p. 93
        (100, 144, 1, 21, 2.8, 3.57, 0.0179),  # BK-WOL-6-weft, p. 99
    ],
)
def test_wolfensbergers_silk_wefts(yards, picks, ply, inches, drams, printed, off):
    total = weft.picks_total(yards * YARD, picks / INCH)
    yarn = weft.weft_length(total, inches * INCH, 0)
    assert abs(silk_pounds(ply * yarn, drams, 8) - printed) <= off


def test_wolfensbergers_first_weft_is_a_slip():
    # BK-WOL-1-weft, p. 77: printed 2.73, the same sum is 2.698
    total = weft.picks_total(100 * YARD, 102 / INCH)
    found = silk_pounds(2 * weft.weft_length(total, 19 * INCH, 0), 1.65, 8)
    assert abs(found - 2.698) < 0.001
    assert abs(found - 2.73) > 0.02


def test_wolfensbergers_cotton_repp_warp():
    # BK-WOL-6-cotton, p. 99: 504 ends, 110 yd of 100/2 cotton, 50 hanks to the pound, 4 % waste
    yarn = warp.with_winding_waste(warp.warp_yarn(504, 110 * YARD), 4 / 104)
    assert abs(pounds(yarn, 50) - 1.37) <= 0.0069


@given(st.integers(1, 5000), st.floats(10, 10_000), st.floats(1, 2000))
def test_pint_finds_the_same_warp(ends, length, tex):
    yarn = ends * length * units.centimeter
    expected = (yarn * tex * units.tex).to("gram").magnitude
    assert isclose(mass_of(warp.warp_yarn(ends, length), tex), expected, rel_tol=1e-12)


@given(st.floats(10, 5000), st.floats(1, 80), st.floats(5, 300), st.floats(0, 10))
def test_pint_finds_the_same_weft(woven, picks, reed, turn):
    cm = units.centimeter
    expected = (woven * cm) * (picks / cm) * (reed * cm + turn * cm)
    found = weft.weft_length(weft.picks_total(woven, picks), reed, turn)
    assert isclose(found, expected.to("centimeter").magnitude, rel_tol=1e-12)


pieces = st.integers(1, 50)
lengths = st.floats(5, 500)
smalls = st.floats(0, 50)
shares = st.floats(0, 0.3)


@given(pieces, lengths, smalls, smalls, shares, st.floats(0, 300))
def test_the_warp_holds_the_pieces_it_was_made_for(count, piece, gap, sample, take_up, waste):
    length = warp.warp_length(
        count, piece, gap=gap, sample=sample, take_up=take_up, loom_waste=waste
    )
    woven = warp.woven_from_warp(length, take_up, waste)
    assert isclose(woven, warp.woven_length(count, piece, gap, sample), rel_tol=1e-9)
    assert warp.pieces_possible(woven + 1e-6, piece, gap, sample) == count
    assert warp.pieces_possible(woven - 0.01, piece, gap, sample) == count - 1


@given(pieces, lengths, smalls, smalls)
def test_pieces_alike_are_pieces_one_by_one(count, piece, gap, sample):
    assert isclose(
        warp.woven_length(count, piece, gap, sample),
        warp.woven_length_of([piece] * count, gap, sample),
        rel_tol=1e-9,
    )


@given(st.integers(1, 5000), lengths, st.integers(2, 9))
def test_yarn_is_linear_in_ends_and_length(ends, length, factor):
    base = warp.warp_yarn(ends, length)
    assert isclose(warp.warp_yarn(factor * ends, length), factor * base, rel_tol=1e-12)
    assert isclose(warp.warp_yarn(ends, factor * length), factor * base, rel_tol=1e-12)


@given(pieces, lengths, smalls, shares, st.floats(1, 300))
def test_more_pieces_waste_a_smaller_share(count, piece, gap, take_up, waste):
    losses = {"gap": gap, "sample": 0, "take_up": take_up, "loom_waste": waste}
    few = warp.warp_length(count, piece, **losses)
    many = warp.warp_length(count + 1, piece, **losses)
    assert warp.waste_share(waste, many) < warp.waste_share(waste, few)


@given(st.floats(1, 1e6), st.floats(0, 0.5))
def test_winding_waste_is_a_share_of_what_was_bought(yarn, waste):
    bought = warp.with_winding_waste(yarn, waste)
    assert isclose(bought * (1 - waste), yarn, rel_tol=1e-12)


@given(st.floats(1, 300), shares)
def test_a_share_of_the_reed_is_a_length(reed, share):
    turn = weft.turn_allowance(share, reed)
    assert isclose(weft.weft_length(100, reed, turn), 100 * reed * (1 + share), rel_tol=1e-12)


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: warp.woven_length(0, 10), "pieces"),
        (lambda: warp.woven_length(1, 0), "finished_length"),
        (lambda: warp.woven_length(1, 1, -1), "gap"),
        (lambda: warp.woven_length(1, 1, 0, -1), "sample"),
        (lambda: warp.woven_length_of([]), "pieces"),
        (lambda: warp.woven_length_of([0]), "pieces"),
        (lambda: warp.woven_length_of([1], -1), "gap"),
        (lambda: warp.woven_length_of([1], 0, -1), "sample"),
        (lambda: warp.warp_for(0, 0, 0), "woven_length"),
        (lambda: warp.warp_for(1, -1, 0), "take_up"),
        (lambda: warp.warp_for(1, 0, float("nan")), "loom_waste"),
        (lambda: warp.woven_from_warp(-1, 0, 0), "warp_length"),
        (lambda: warp.woven_from_warp(1, -1, 0), "take_up"),
        (lambda: warp.woven_from_warp(1, 0, -1), "loom_waste"),
        (lambda: warp.pieces_possible(-1, 1, 0, 0), "woven_length"),
        (lambda: warp.pieces_possible(1, 0, 0, 0), "finished_length"),
        (lambda: warp.pieces_possible(1, 1, -1, 0), "gap"),
        (lambda: warp.pieces_possible(1, 1, 0, -1), "sample"),
        (lambda: warp.warp_yarn(0, 1), "ends"),
        (lambda: warp.warp_yarn(1, float("inf")), "warp_length"),
        (lambda: warp.waste_share(2, 1), "loom_waste"),
        (lambda: warp.waste_share(-1, 1), "loom_waste"),
        (lambda: warp.waste_share(0, 0), "warp_length"),
        (lambda: warp.with_winding_waste(0, 0), "yarn"),
        (lambda: warp.with_winding_waste(1, 1), "winding_waste"),
        (lambda: weft.picks_total(0, 1), "woven_length"),
        (lambda: weft.picks_total(1, 0), "picks"),
        (lambda: weft.turn_allowance(-1, 1), "turn_allowance"),
        (lambda: weft.turn_allowance(1, 0), "reed_width"),
        (lambda: weft.weft_length(0, 1, 1), "picks"),
        (lambda: weft.weft_length(1, 0, 1), "reed_width"),
        (lambda: weft.weft_length(1, 1, -1), "turn_allowance"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field


def test_waste_longer_than_the_warp_leaves_nothing_to_weave():
    assert warp.woven_from_warp(100, 0.06, 140) == 0
    assert warp.pieces_possible(0, 50, 0, 30) == 0
