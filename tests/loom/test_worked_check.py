"""Six linen napkins, worked here a second time with fractions alone and compared with the package.

The figures in ``PRINTED`` were worked out by hand before the package existed, and are rounded.
"""

from fractions import Fraction
from math import isclose

import pytest

from calculators.cloth import size
from calculators.loom import warp, weft
from calculators.yarn.yarn import mass_of, parse_yarn

FINISHED, HEM, SAMPLE, GAP, WASTE = (
    Fraction(48),
    Fraction(4),
    Fraction(30),
    Fraction(1),
    Fraction(140),
)
SETT, ENDS, PICKS, SELVEDGE, PIECES = Fraction(24), 5, 5, 8, 6
S_W, S_L, D, T = Fraction(5, 100), Fraction(8, 100), Fraction(4, 100), Fraction(6, 100)

ON_LOOM = FINISHED / (1 - S_W)
REED = ON_LOOM / (1 - D)
IN_CLOTH = SETT / (1 - D)
UNITS = int(ON_LOOM * IN_CLOTH / ENDS + Fraction(1, 2))
ALL_ENDS = UNITS * ENDS + SELVEDGE
PIECE = (FINISHED + HEM) / (1 - S_L)
WOVEN = PIECES * PIECE + (PIECES - 1) * GAP + SAMPLE
WARP = WOVEN * (1 + T) + WASTE
SQUARE = Fraction(PICKS, ENDS) * IN_CLOTH * (1 - S_L) / (1 - S_W)
LEA_TEX = (
    Fraction(45359237, 100000) / (300 * Fraction(9144, 10000)) * 1000
)  # grams in a kilometre of 1 lea

PRINTED = {
    "width on the loom": (ON_LOOM, 50.53, 0.005),
    "reed width": (REED, 52.63, 0.005),
    "exact pattern ends": (ON_LOOM * IN_CLOTH, 1263.2, 0.05),
    "pattern ends": (Fraction(UNITS * ENDS), 1265, 0),
    "all ends": (Fraction(ALL_ENDS), 1273, 0),
    "sett in the cloth": (IN_CLOTH, 25.0, 0.05),
    "piece on the loom": (PIECE, 56.52, 0.005),
    "length to weave": (WOVEN, 374.1, 0.05),
    "with take-up": (WOVEN * (1 + T), 396.6, 0.05),
    "warp": (WARP, 536.6, 0.05),
    "warp yarn, m": (ALL_ENDS * WARP / 100, 6831, 0.5),
    "warp yarn, kg": (ALL_ENDS * WARP / 100_000 * LEA_TEX / 16 / 1000, 0.706, 0.0005),
    "picks for square": (SQUARE, 24.2, 0.05),
    "picks, about": (WOVEN * Fraction(242, 10), 9050, 5),
    "weft yarn, m": (WOVEN * Fraction(242, 10) * REED * Fraction(102, 100) / 100, 4861, 1),
    "weft yarn, kg": (
        WOVEN * Fraction(242, 10) * REED * Fraction(102, 100) / 100_000 * LEA_TEX / 16 / 1000,
        0.502,
        0.0005,
    ),
    "waste's share": (WASTE / WARP, 0.26, 0.005),
    "waste's share, one piece": (WASTE / (PIECE * (1 + T) + WASTE), 0.70, 0.005),
}


@pytest.mark.parametrize("name", PRINTED)
def test_the_hand_worked_figures_hold(name):
    exact, printed, half_digit = PRINTED[name]
    assert abs(exact - Fraction(printed)) <= Fraction(half_digit)


def test_the_package_agrees_with_the_fractions():
    on_loom = size.loom_width(48, 0.05)
    in_cloth = size.cloth_sett(24, 0.04)
    units = size.units_across(on_loom, in_cloth, 5)
    ends = size.ends(units, 5, 8)
    piece = size.piece_on_loom(48, 4, 0.08)
    woven = warp.woven_length(6, piece, 1, 30)
    length = warp.warp_length(6, piece, gap=1, sample=30, take_up=0.06, loom_waste=140)
    yarn = warp.warp_yarn(ends, length)
    reed = size.reed_width(on_loom, 0.04)
    total = weft.picks_total(woven, 24.2)
    weft_yarn = weft.weft_length(total, reed, weft.turn_allowance(0.02, reed))
    tex = parse_yarn("16/1", "linen").tex
    for found, exact in (
        (on_loom, ON_LOOM),
        (reed, REED),
        (in_cloth, IN_CLOTH),
        (ends, ALL_ENDS),
        (piece, PIECE),
        (woven, WOVEN),
        (length, WARP),
        (warp.warp_for(woven, 0.06, 140), WARP),
        (yarn, ALL_ENDS * WARP),
        (mass_of(yarn, tex), ALL_ENDS * WARP / 100_000 * LEA_TEX / 16),
        (size.picks_for_square(5, 5, in_cloth, 0.05, 0.08), SQUARE),
        (weft_yarn, WOVEN * Fraction(242, 10) * REED * Fraction(102, 100)),
        (warp.waste_share(140, length), WASTE / WARP),
        (size.unit_width(5, in_cloth, 0.05), ENDS / IN_CLOTH * (1 - S_W)),
        (size.unit_height(5, 25, 0.08), Fraction(5, 25) * (1 - S_L)),
    ):
        assert isclose(found, float(exact), rel_tol=1e-12)


def test_weaving_square_on_the_loom_makes_units_three_per_cent_short():
    found = size.squareness(size.unit_height(5, 25, 0.08), size.unit_width(5, 25, 0.05))
    assert round(100 * (1 - found)) == 3
