"""Thickness beside Peirce's exact geometry, solved by another hand, and laws it must keep."""

from math import asin, cos, isclose, radians, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from calculators import run
from calculators.cloth.thickness import even_crimp, wave_height


def exact_crimp(spacing, touching, wave):
    """Crimp of a thread bent round round ones: l and θ of Peirce 1937, as PP-018 restates them.

    p = (l - Dθ) cos θ + D sin θ and h = (l - Dθ) sin θ + D (1 - cos θ); straight in between.
    """

    def straight(angle):
        return (spacing - touching * sin(angle)) / cos(angle)

    most = asin(spacing / touching) if spacing < touching else 1.5  # no straight part is left
    angle = brentq(
        lambda one: straight(one) * sin(one) + touching * (1 - cos(one)) - wave, 1e-9, most
    )
    return (straight(angle) + touching * angle) / spacing - 1


def test_the_jammed_square_cloth_is_the_published_one():
    # PP-019 to PP-022: 60 degrees, p/D 0.866, l/D 1.0472, crimp 0.2092
    assert exact_crimp(0.8661, 1, 0.5) == pytest.approx(0.2092, abs=5e-4)
    assert sin(radians(60)) == pytest.approx(0.866, abs=5e-5)


@pytest.mark.parametrize("spacing", [1.2, 1.5, 2, 3])
def test_the_printed_shortcut_is_near_the_exact_geometry(spacing):
    # In sums of two diameters; a thread bent as high as one diameter, in plain cloth.
    exact = exact_crimp(spacing, 1, 0.5)
    shortcut = even_crimp(0.5, 0.5, 10 / spacing, 1)
    assert shortcut == pytest.approx(exact, rel=0.13)
    assert wave_height(10 / spacing, exact, 1) == pytest.approx(0.5, rel=0.07)


def thick(**inputs):
    found = run("thickness", {name: str(value) for name, value in inputs.items()})
    assert found["ok"], found
    return {name: result["value"] for name, result in found["results"].items()}


def test_round_threads_are_two_of_peirces_diameters_high():
    # 28 times the root of the count lie side by side in an inch
    assert thick(warp_yarn="16/2", weft_yarn="16/2")["thickness_pressed"] == pytest.approx(
        2 * 25.4 / (28 * sqrt(8)), rel=1e-6
    )


def test_a_straight_warp_lies_between_two_wefts():
    # All bending in the weft: the cloth is a weft, a warp and a weft thick (Peirce).
    found = thick(warp_yarn="16/2", weft_yarn="16/2", warp_crimp="0 %", weft_crimp="12 %")
    need = found["even_crimp_weft"] * 4
    found = thick(warp_yarn="16/2", weft_yarn="16/2", warp_crimp="0 %", weft_crimp=f"{need:.9f} %")
    assert found["thickness_loose"] == pytest.approx(3 * 25.4 / (28 * sqrt(8)), rel=1e-5)


@given(count=st.floats(4, 60), finer=st.floats(1.1, 4), crimp=st.floats(2, 25))
def test_a_finer_cloth_of_one_build_is_thinner_as_the_root(count, finer, crimp):
    def cloth(number, sett):
        yarn = f"{number:.6f}/1 cotton"
        return thick(
            warp_yarn=yarn,
            weft_yarn=yarn,
            ends=f"{sett:.9f} /cm",
            picks=f"{sett:.9f} /cm",
            warp_crimp=f"{crimp:.6f} %",
            weft_crimp=f"{crimp:.6f} %",
        )

    sett = 5 * sqrt(count)
    coarse, fine = cloth(count, sett), cloth(count * finer, sett * sqrt(finer))
    for name in ("thickness_pressed", "thickness_loose"):
        assert isclose(coarse[name] / fine[name], sqrt(finer), rel_tol=1e-4)
    assert coarse["thickness_pressed"] <= coarse["thickness_loose"] * (1 + 1e-9)


def test_what_the_pages_say_of_five_and_six_ends():
    # Set alike and bent alike, a wave goes as the root of the threads between intersections.
    five, six = (
        thick(weave=weave, ends="20 /cm", picks="20 /cm") for weave in ("satin_5", "satin_6")
    )
    assert six["warp_wave"] / five["warp_wave"] == pytest.approx(sqrt(6 / 5), rel=1e-6)
    assert six["thickness_pressed"] == five["thickness_pressed"]
    assert 1.04 < six["thickness_loose"] / five["thickness_loose"] < 1.06


def test_no_crimp_at_all_is_refused():
    found = run("thickness", {"warp_crimp": "0 %", "weft_crimp": "0 %"})
    assert not found["ok"]
    assert found["errors"][0]["field"] == "warp_crimp"
