"""Weight and cover, against examination questions, Peirce's geometry and pint."""

from math import isclose, sqrt

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.cloth import weight
from calculators.errors import InputError
from calculators.yarn.systems import tex_of

units = pint.get_application_registry()
setts, texes, crimps = st.floats(1, 100), st.floats(5, 500), st.floats(0, 0.4)


def test_gate_2009_question_37():
    # GATE09-37a: 4000 ends per metre of 30 tex at 10 % crimp weigh 132 g/m2
    whole = weight.grams_per_square_metre(40, 20, 30, 25, 0.10, 0)
    weft = 20 * 25 / 10  # 20 picks of 25 tex to the centimetre, without crimp
    assert isclose(whole - weft, 132)


def test_gate_2003_question_74_as_solved_and_as_asked():
    # GATE03-74: the printed 112 belongs to 20 picks per cm; the question asks for 30
    warp, weft = tex_of(30, 1, "cotton"), tex_of(35, 1, "cotton")
    solved = weight.grams_per_square_metre(35, 20, warp, weft, 0.065, 0.13)
    asked = weight.grams_per_square_metre(35, 30, warp, weft, 0.065, 0.13)
    assert abs(solved - 112) < 0.6
    assert abs(asked - 130.7) < 0.2
    assert abs(asked - 112) > 10


def test_gate_2007_question_85():
    # PEI-GATE07: square cloth of 36s, 28 threads per cm: 66.4 % (exact 66.7)
    cover = weight.cover_factor(28, 36)
    assert isclose(cover / 28, 28 / 168 * 2.54)
    assert (
        abs(100 * weight.area_covered(weight.covered(cover), weight.covered(cover)) - 66.4) <= 0.4
    )


def test_the_jammed_square_plain_cloth():
    # PEI-jam-p and PP-023: spacing 0.866 of two diameters of 1/(28 sqrt N) inch, K = 16.17
    spacing = 0.866 * 2 / (28 * sqrt(30))
    assert abs(weight.cover_factor(1 / spacing / 2.54, 30) - 16.17) <= 0.02


@given(setts, setts, texes, texes, crimps, crimps)
def test_pint_weighs_the_same(ends, picks, warp, weft, c1, c2):
    per_cm = 1 / units.centimeter
    expected = (
        ends * per_cm * warp * units.tex * (1 + c1) + picks * per_cm * weft * units.tex * (1 + c2)
    ).to("gram / meter ** 2")
    found = weight.grams_per_square_metre(ends, picks, warp, weft, c1, c2)
    assert isclose(found, expected.magnitude, rel_tol=1e-12)


@given(setts, setts, texes, texes)
def test_weight_is_linear_in_ends_and_in_tex(ends, picks, warp, weft):
    base = weight.grams_per_square_metre(ends, picks, warp, weft)
    twice = weight.grams_per_square_metre(2 * ends, picks, warp, weft)
    heavier = weight.grams_per_square_metre(ends, picks, 2 * warp, weft)
    assert isclose(twice - base, ends * warp / 10, rel_tol=1e-9)
    assert isclose(heavier, twice, rel_tol=1e-12)


@given(st.floats(0, 100), st.floats(0, 100))
def test_cover_stays_between_nothing_and_all(warp, weft):
    covered = weight.area_covered(weight.covered(warp), weight.covered(weft))
    assert 0 <= covered <= 1
    assert covered >= min(1, max(warp, weft) / 28) - 1e-12


@pytest.mark.parametrize("cover", [28, 30, 100])
def test_threads_side_by_side_cover_all(cover):
    assert weight.area_covered(weight.covered(cover), 0) == 1


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: weight.grams_per_square_metre(0, 1, 1, 1), "ends"),
        (lambda: weight.grams_per_square_metre(1, 0, 1, 1), "picks"),
        (lambda: weight.grams_per_square_metre(1, 1, 0, 1), "warp_yarn"),
        (lambda: weight.grams_per_square_metre(1, 1, 1, -1), "weft_yarn"),
        (lambda: weight.grams_per_square_metre(1, 1, 1, 1, -0.1), "warp_crimp"),
        (lambda: weight.grams_per_square_metre(1, 1, 1, 1, 0, -0.1), "weft_crimp"),
        (lambda: weight.cover_factor(0, 1), "threads"),
        (lambda: weight.cover_factor(1, 0), "yarn"),
        (lambda: weight.area_covered(-1, 0), "ends"),
        (lambda: weight.area_covered(0, -1), "picks"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field


def test_a_square_metre_by_the_kilometre():
    """A thousand metres of ends and a thousand of picks; a tex is a gram in a kilometre."""
    assert weight.grams_per_square_metre(10, 10, 100, 100) == 200
    assert weight.grams_per_square_metre(10, 10, 100, 50, warp_crimp=0.1) == pytest.approx(160)
    assert weight.grams_per_square_metre(10, 10, 100, 50, weft_crimp=0.1) == pytest.approx(155)
