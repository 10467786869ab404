"""Size in units, against printed examples and against itself read backwards."""

from fractions import Fraction
from math import isclose, isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.cloth import size
from calculators.errors import InputError

INCH = 2.54
lengths = st.floats(1, 1000)
setts = st.floats(2, 100)
shares = st.floats(0, 0.5)
counts = st.integers(1, 40)


@pytest.mark.parametrize(
    ("ends", "epi", "ppi", "order"),
    [
        (2, 100, 150, (3,)),  # BEL-79b: Bell 1895, web page 79
        (3, 100, 150, (4, 5)),  # BEL-79: the same page, 4 and 5 alternately
        (8, 80, 100, (10,)),  # BK-BEL-paper10: Bell 1895, p. 112
        (10, 80, 100, (12, 13)),  # BK-BEL-paper12h: 12 1/2 cards
        (12, 80, 100, (15,)),  # BK-BEL-paper15
        (8, 80, 120, (12,)),  # POS-80/120: Posselt 1888
        (8, 80, 60, (6,)),  # POS-80/60
        (8, 134, 100, (6,)),  # TAY-225: Taylor 1909, web page 225, x = 5.97
        (8, 96, 60, (5,)),  # BK-TAY-paper-85: Taylor 1909, p. 290
    ],
)
def test_picks_of_a_unit_on_the_loom(ends, epi, ppi, order):
    assert size.mixed_picks(ends * ppi / epi, tolerance=0.01).order == order


def test_bells_eight_cards_of_four_and_five_hold_36_picks():
    # BK-BEL-36picks8 and 36picks9: Bell 1895, p. 176
    assert sum(size.mixed_picks(4.5).order * 4) == 36
    assert sum(size.mixed_picks(4).order * 9) == 36


def test_museum_cloth_of_ten_ends_and_six_picks():
    # P041, P042: Löfstad castle museum; ends and picks stand 10 to 6
    assert isclose(size.picks_for_square(10, 6, 16.67, 0, 0), 16.67 * 0.6)


@pytest.mark.parametrize(
    ("parts", "printed"),
    [
        # BK-POS-3360: Posselt 1888, p. 40
        ([("centre", 400, 6), ("border", 204 * 2, 2), ("margin", 96, 1), ("edge", 48, 1)], 3360),
        # BK-POS-1008: p. 42, the borders
        ([("point", 144, 4), ("straight", 216, 2)], 1008),
        # BK-POS-624: p. 30, A B C B D B C B
        ([("A", 128, 1), ("B", 40, 4), ("C", 104, 2), ("D", 128, 1)], 624),
        # BK-POS-800: p. 44
        ([("point", 200, 2), ("straight", 100, 2), ("centre", 200, 1)], 800),
        # BK-POS-check400: p. 32
        ([("check", 20, 10), ("figure", 200, 1)], 400),
        # BK-BRO-stripe, -ground, -beams: Brooks 1892, pp. 151, 153
        ([("stripe", 15, 38), ("ground", 45, 38)], 2280),
        # BK-WOL-1, 2, 4, 5 -ends: Wolfensberger 1921, pp. 76, 80, 88, 92
        ([("ground", 3, 1308), ("edge, double", 2 * 27, 2)], 4032),
        ([("ground", 2, 1900), ("edge, double", 2 * 16, 2)], 3864),
        ([("ground", 4, 1148), ("edge, double", 2 * 48, 2)], 4784),
        ([("ground, double", 2, 1936), ("edge, double", 2 * 28, 2)], 3984),
        # BK-WOL-6-black, -sky, -repp: p. 97
        ([("edge", 84, 2), ("stripe", 204 + 180 + 234 + 180 + 30, 7), ("last", 168, 1)], 6132),
        ([("sky, double", 2 * (12 + 12 + 48 + 48), 7)], 1680),
        ([("repp", 4 + 4 + 10 + 10 + 10 + 4 + 10 + 10 + 10, 7)], 504),
    ],
)
def test_ends_of_bordered_and_striped_cloths(parts, printed):
    assert size.layout_ends([size.Part(*part) for part in parts]) == printed


def test_posselts_sum_on_page_42_is_a_misprint():
    # BK-POS-3620: the parts printed there make 3600, not 3620
    parts = [("centre", 240, 10), ("borders", 1008, 1), ("margins", 144, 1), ("edges", 48, 1)]
    found = size.layout_ends([size.Part(*part) for part in parts])
    assert found == 3600
    assert found != 3620


@pytest.mark.parametrize(
    ("ends", "per_mail", "mails"),
    [
        (6000, 3, 2000),  # BK-BEL-press2000: Bell 1895, p. 174
        (90, 3, 30),  # BK-BEL-mail90: p. 176
        (120, 4, 30),
        (10800, 3, 3600),  # BK-BEL-10800: p. 174
        (2000, 5, 400),  # BK-TAY-press5: Taylor 1909, p. 163
        (6400, 16, 400),  # BK-TAY-press16: p. 166
        (4800, 4, 1200),  # BK-POS-comp-1200: Posselt 1888, p. 58
        (3600, 4, 900),  # BK-POS-comp-900
    ],
)
def test_mails_and_ends(ends, per_mail, mails):
    assert size.units_in_ends(ends, per_mail) == (mails, 0)
    assert size.ends(mails, per_mail) == ends


def test_a_repeat_in_inches_and_its_ends():
    # BK-BEL-hooks: 2 in at 100; BEL-54rule: hooks = width x ends per inch; BK-TAY-ends-2100
    assert size.units_across(2 * INCH, 100 / INCH, 1) == 200
    assert size.units_across(30 * INCH, 70 / INCH, 1) == 2100
    # BK-BEL-press6000: 60 in at 100
    assert size.units_across(60 * INCH, 100 / INCH, 1) == 6000


def test_bells_cards_for_two_and_three_eighths_inches_are_a_slip():
    # BK-BEL-cards: p. 94 prints 240
    assert size.units_up(2.375 * INCH, 120 / INCH, 1) == 285


@pytest.mark.parametrize(
    ("cloth", "reed", "draw_in"),
    [
        (30, 32, 0.0625),  # BK-ROB-width-A: Roberts 1920, p. 205
        (31, 32, 0.03125),  # BK-ROB-width-C
        (32, 32, 0.0),  # BK-ROB-width-D
    ],
)
def test_roberts_widths(cloth, reed, draw_in):
    assert isclose(size.reed_width(cloth, draw_in), reed)
    assert isclose(size.loom_width_from_reed(reed, draw_in), cloth)


def test_dividing_is_not_adding():
    # P057: 74 cm and 10 % need 82.2 cm, not 81.4 cm
    assert round(size.loom_width(74, 0.10), 1) == 82.2


@given(lengths, shares, shares)
def test_finished_to_reed_and_back(width, shrinkage, draw_in):
    reed = size.reed_width(size.loom_width(width, shrinkage), draw_in)
    assert reed >= width * (1 - 1e-12)
    back = size.finished_width(size.loom_width_from_reed(reed, draw_in), shrinkage)
    assert isclose(back, width, rel_tol=1e-12)


@given(lengths, st.floats(0, 20), shares)
def test_finished_piece_to_loom_and_back(length, hem, shrinkage):
    piece = size.piece_on_loom(length, hem, shrinkage)
    assert isclose(size.finished_length(piece, hem, shrinkage), length, rel_tol=1e-9)


@given(setts, shares)
def test_sett_in_cloth_and_reed(sett, draw_in):
    assert isclose(size.sett_in_reed(size.cloth_sett(sett, draw_in), draw_in), sett)


@given(counts, counts, setts, shares, shares)
def test_picks_for_square_make_square_units(ends, picks, sett, s_w, s_l):
    density = size.picks_for_square(ends, picks, sett, s_w, s_l)
    wide = size.unit_width(ends, sett, s_w)
    high = size.unit_height(picks, density, s_l)
    assert isclose(size.squareness(high, wide), 1, rel_tol=1e-9)


@given(lengths, setts, counts, shares, shares)
def test_units_are_the_nearest_whole(width, sett, ends, shrinkage, draw_in):
    on_loom, in_cloth = size.loom_width(width, shrinkage), size.cloth_sett(sett, draw_in)
    units = size.units_across(on_loom, in_cloth, ends)
    made = units * size.unit_width(ends, in_cloth, shrinkage)
    half = size.unit_width(ends, in_cloth, shrinkage) / 2
    assert units == 1 or abs(made - width) <= half * (1 + 1e-6)


@given(lengths, setts, counts, shares, st.floats(0, 0.3))
def test_more_shrinkage_never_needs_fewer_units(width, sett, ends, less, more):
    assert size.units_across(size.loom_width(width, less), sett, ends) <= size.units_across(
        size.loom_width(width, less + more), sett, ends
    )


@given(st.floats(0.5, 60))
def test_mixed_picks_are_whole_and_near(wanted):
    found = size.mixed_picks(wanted)
    assert all(count >= 1 for count in found.order)
    assert Fraction(sum(found.order), len(found.order)) == found.mean
    assert isclose(float(found.mean), wanted * (1 + found.error), rel_tol=1e-9)
    if wanted >= 1:
        assert abs(float(found.mean) - wanted) <= 0.5 / 8 + 0.005 * wanted


@given(st.floats(1, 60), st.integers(1, 7))
def test_no_shorter_order_of_picks_would_do(wanted, fewer):
    found = size.mixed_picks(wanted)
    if abs(found.error) <= 0.005 and fewer < len(found.order):
        nearest = max(fewer, round(wanted * fewer))
        assert abs(nearest / fewer / wanted - 1) > 0.005 - 1e-9


@given(st.integers(1, 400), st.integers(0, 50), st.integers(0, 50), st.integers(1, 60))
def test_the_layout_uses_every_unit(units, margin, border, motif):
    if units <= 2 * (margin + border):
        with pytest.raises(InputError) as caught:
            size.layout_in_units(units, margin, border, motif)
        assert caught.value.field in ("border", "margin")
        return
    plan = size.layout_in_units(units, margin, border, motif)
    assert 2 * (plan.margin + plan.border) + plan.centre == units
    assert plan.motifs * motif + plan.left_over == plan.centre
    assert plan.left_over < motif


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -float("inf"), 0, -1, 1e300, 1e-300])
def test_figures_out_of_reach_are_refused(bad):
    for attempt in (
        lambda: size.loom_width(bad, 0.1),
        lambda: size.reed_width(bad, 0.1),
        lambda: size.cloth_sett(bad, 0.1),
        lambda: size.piece_on_loom(bad, 0, 0.1),
        lambda: size.unit_width(5, bad, 0.1),
        lambda: size.unit_height(bad, 24, 0.1),
        lambda: size.picks_for_square(5, 5, bad, 0.1, 0.1),
        lambda: size.units_across(bad, 25, 5),
        lambda: size.squareness(bad, 1),
        lambda: size.mixed_picks(bad),
    ):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.message


@pytest.mark.parametrize("loss", [1.0, 2.0, -1.0, float("nan"), float("inf")])
def test_a_loss_of_everything_is_refused(loss):
    for attempt, field in (
        (lambda: size.loom_width(48, loss), "width_shrinkage"),
        (lambda: size.reed_width(48, loss), "draw_in"),
        (lambda: size.piece_on_loom(48, 0, loss), "length_shrinkage"),
    ):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.field == field


def test_other_refusals_name_their_field():
    with pytest.raises(InputError, match="whole piece"):
        size.finished_length(10, 10, 0.08)
    with pytest.raises(InputError, match="does not fit"):
        size.units_in_ends(10, 5, 12)
    with pytest.raises(InputError, match="less than nothing"):
        size.hem_length(-1, 0, 2)
    with pytest.raises(InputError, match="centre"):
        size.layout_ends([size.Part("centre", -1)])


@given(lengths, setts, counts, counts, shares, shares, shares)
def test_every_result_is_finite(width, sett, ends, picks, s_w, s_l, d):
    in_cloth = size.cloth_sett(sett, d)
    assert isfinite(size.picks_for_square(ends, picks, in_cloth, s_w, s_l))
    assert isfinite(size.reed_width(size.loom_width(width, s_w), d))


def test_hems_and_margins():
    assert size.hem_length(1, 1, 2) == 4
    assert size.hem_length(0.6, 0.6, 1) == 1.2
    assert size.hem_length(0, 0, 2) == 0
    assert size.units_in_length(1, 0.19) == 5
    assert size.units_in_length(0, 0.19) == 0


ABOVE, FROM, LOSS = (0, -1, float("nan")), (-1, float("nan")), (1, -1, float("nan"))
FIELDS = [
    # a rule; for each of its figures one that will do, its field, and figures that will not
    (size.loom_width, (48, "finished_width", ABOVE), (0.05, "width_shrinkage", LOSS)),
    (size.finished_width, (50, "loom_width", ABOVE), (0.05, "width_shrinkage", LOSS)),
    (size.reed_width, (50, "loom_width", ABOVE), (0.04, "draw_in", LOSS)),
    (size.loom_width_from_reed, (50, "reed_width", ABOVE), (0.04, "draw_in", LOSS)),
    (size.cloth_sett, (24, "sett", ABOVE), (0.04, "draw_in", LOSS)),
    (size.sett_in_reed, (25, "sett", ABOVE), (0.04, "draw_in", LOSS)),
    (
        *(size.piece_on_loom, (48, "finished_length", ABOVE)),
        *((4, "hem", FROM), (0.08, "length_shrinkage", LOSS)),
    ),
    (
        *(size.finished_length, (56, "finished_length", ABOVE)),
        *((4, "hem", FROM), (0.08, "length_shrinkage", LOSS)),
    ),
    (
        *(size.unit_width, (5, "ends_per_unit", ABOVE)),
        *((25, "sett", ABOVE), (0.05, "width_shrinkage", LOSS)),
    ),
    (
        *(size.unit_height, (5, "picks_per_unit", ABOVE)),
        *((25, "picks", ABOVE), (0.08, "length_shrinkage", LOSS)),
    ),
    (size.squareness, (0.184, "picks", ABOVE), (0.19, "sett", ABOVE)),
    (
        *(size.picks_for_square, (5, "ends_per_unit", ABOVE), (5, "picks_per_unit", ABOVE)),
        *((25, "sett", ABOVE), (0.05, "width_shrinkage", LOSS), (0.08, "length_shrinkage", LOSS)),
    ),
    (
        *(size.units_across, (50, "loom_width", ABOVE)),
        *((25, "sett", ABOVE), (5, "ends_per_unit", ABOVE)),
    ),
    (
        *(size.units_up, (52, "finished_length", ABOVE)),
        *((24, "picks", ABOVE), (5, "picks_per_unit", ABOVE)),
    ),
    (
        *(size.ends, (253, "units_across", ABOVE)),
        *((5, "ends_per_unit", ABOVE), (8, "selvedge_ends", FROM)),
    ),
    (
        *(size.units_in_ends, (1275, "ends", ABOVE)),
        *((5, "ends_per_unit", ABOVE), (8, "selvedge_ends", (-1, 1276))),
    ),
    (size.mixed_picks, (4.5, "picks_per_unit", (0.49, 10_001, float("nan")))),
    (size.hem_length, (1, "fold", FROM), (1, "turn_in", FROM), (2, "hemmed_ends", FROM)),
    (
        *(size.layout_in_units, (253, "units", ABOVE), (4, "margin", FROM)),
        *((20, "border", FROM), (24, "motif", ABOVE)),
    ),
    (size.units_in_length, (1, "length", FROM), (0.19, "unit", ABOVE)),
]


@pytest.mark.parametrize(("rule", "figures"), [(rule, figures) for rule, *figures in FIELDS])
def test_every_figure_that_cannot_be_is_refused_beside_its_own_field(rule, figures):
    good = [figure for figure, _, _ in figures]
    rule(*good)
    for place, (_, field, wrong) in enumerate(figures):
        for figure in wrong:
            with pytest.raises(InputError) as caught:
                rule(*good[:place], figure, *good[place + 1 :])
            assert caught.value.field == field


def test_parts_that_cannot_be_are_refused_beside_the_parts():
    for part in (size.Part("centre", -1), size.Part("centre", 400, -1)):
        with pytest.raises(InputError, match="centre") as caught:
            size.layout_ends([part])
        assert caught.value.field == "parts"


def test_hems_and_edges_may_take_nearly_all_but_hems_not_the_whole():
    assert size.finished_length(10, 4.5, 0.5) == 0.5
    with pytest.raises(InputError) as caught:
        size.finished_length(10, 5, 0.5)
    assert caught.value.field == "hem"
    assert size.units_in_ends(8, 5, 8) == (0, 0)


def test_a_cloth_has_at_least_one_unit():
    assert size.units_across(1, 1, 100) == size.units_up(1, 1, 100) == 1
    assert size.units_across(2, 1, 1) == size.units_up(2, 1, 1) == 2


def test_an_order_of_picks_runs_over_eight_units_at_most():
    assert size.mixed_picks(4 + 1 / 8, tolerance=0).mean == Fraction(33, 8)
    # Of 4 1/9 nine units would make it exactly; of eight, 33 picks are the nearest.
    found = size.mixed_picks(4 + 1 / 9, tolerance=0)
    assert (found.mean, len(found.order)) == (Fraction(33, 8), 8)
    assert size.mixed_picks(4 + 1 / 9, tolerance=0, longest=9).mean == Fraction(37, 9)


def test_fewest_and_most_picks_of_a_unit():
    assert size.mixed_picks(0.5).order == (1,)
    assert size.mixed_picks(10_000).order == (10_000,)


def test_a_mean_just_at_the_tolerance_is_near_enough():
    # 2 picks where 1.6 were wanted are a quarter too many, exactly.
    assert size.mixed_picks(1.6, tolerance=0.25).order == (2,)
    assert size.mixed_picks(1.6, tolerance=0.24).order == (1, 2)


def test_a_centre_without_a_motif_is_counted_in_units():
    assert size.layout_in_units(10, 1, 1) == size.Layout(1, 1, 6, motifs=6, left_over=0)


@pytest.mark.parametrize(
    ("margin", "border", "field"), [(5, 0, "margin"), (4, 1, "border"), (0, 5, "border")]
)
def test_what_leaves_no_centre_is_named(margin, border, field):
    with pytest.raises(InputError, match="leave no centre in 10 units") as caught:
        size.layout_in_units(10, margin, border)
    assert caught.value.field == field
