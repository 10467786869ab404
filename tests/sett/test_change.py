"""Change of yarn and of weave at equal firmness."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.sett import change
from calculators.sett.rules import maximum_sett
from calculators.weave.library import WEAVES, weave

TEX_OF_COTTON_ONE = 590.541247

setts, texes, names = st.floats(1, 500), st.floats(2, 2000), st.sampled_from(WEAVES)


def test_plain_to_twill():
    # Taylor 1909, web page 464: 103 plain → 137 1/3 in 2/2 twill.
    found = change.sett_for_weave(103, weave("plain"), weave("twill_2_2"))
    assert found == pytest.approx(137 + 1 / 3, abs=0.1)


@pytest.mark.parametrize(
    ("name", "ratio"),
    # Worked out from Taylor's rule: ×1.33, 1.43, 1.50, 1.60 over plain.
    [("twill_1_3", 1.33), ("satin_5", 1.43), ("satin_6", 1.50), ("satin_8", 1.60)],
)
def test_over_plain(name, ratio):
    found = change.sett_for_weave(1, weave("plain"), weave(name))
    assert found == pytest.approx(ratio, abs=0.005)


def test_count_for_a_twill_of_the_same_threads():
    # Taylor 1909, p. 340: plain 36s → 20 1/4.
    tex = change.tex_for_weave(TEX_OF_COTTON_ONE / 36, weave("plain"), weave("twill_2_2"))
    assert TEX_OF_COTTON_ONE / tex == pytest.approx(20.25, abs=0.01)


def test_count_for_another_sett():
    # Taylor 1909, p. 341: 55 threads as firm as 78 of 32s: 15.91, “16s nearly”.
    tex = change.tex_for_sett(TEX_OF_COTTON_ONE / 32, 78, 55)
    assert TEX_OF_COTTON_ONE / tex == pytest.approx(15.91, abs=0.01)


def test_sett_for_another_count():
    # Worked out from the root rule: 60 threads of 40s → 73.5 of 60s.
    found = change.sett_for_count(60, TEX_OF_COTTON_ONE / 40, TEX_OF_COTTON_ONE / 60)
    assert found == pytest.approx(73.5, abs=0.05)


@given(setts, texes, texes)
def test_there_and_back_by_count(sett, one, other):
    there = change.sett_for_count(sett, one, other)
    assert change.sett_for_count(there, other, one) == pytest.approx(sett)
    assert change.tex_for_sett(one, sett, there) == pytest.approx(other)


@given(setts, names, names)
def test_there_and_back_by_weave(sett, one, other):
    there = change.sett_for_weave(sett, weave(one), weave(other))
    assert change.sett_for_weave(there, weave(other), weave(one)) == pytest.approx(sett)


@given(names, names, texes, texes)
def test_equal_firmness_is_an_equal_share_of_the_limit(one, other, tex, new_tex):
    old_limit = maximum_sett(tex, weave(one))
    moved = change.sett_for_weave(
        change.sett_for_count(0.8 * old_limit, tex, new_tex), weave(one), weave(other)
    )
    assert moved / maximum_sett(new_tex, weave(other)) == pytest.approx(0.8)


@given(names, names, texes)
def test_yarn_for_a_weave_keeps_the_limit(one, other, tex):
    moved = change.tex_for_weave(tex, weave(one), weave(other))
    assert maximum_sett(moved, weave(other)) == pytest.approx(maximum_sett(tex, weave(one)))


def test_impossible_figures_are_refused():
    for wrong, field in (((0, 1, 1), "sett"), ((1, 0, 1), "from_yarn"), ((1, 1, 0), "to_yarn")):
        with pytest.raises(InputError) as caught:
            change.sett_for_count(*wrong)
        assert caught.value.field == field
    for wrong in ((0, 1, 1), (1, 0, 1), (1, 1, 0)):
        with pytest.raises(InputError):
            change.tex_for_sett(*wrong)
    with pytest.raises(InputError):
        change.sett_for_weave(-1, weave("plain"), weave("plain"))
    with pytest.raises(InputError):
        change.tex_for_weave(0, weave("plain"), weave("plain"))


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: change.tex_for_sett(0, 60, 70), "from_yarn"),
        (lambda: change.tex_for_sett(30, 0, 70), "sett"),
        (lambda: change.tex_for_sett(30, 60, 0), "sett"),
        (lambda: change.sett_for_weave(0, weave("plain"), weave("satin_5")), "sett"),
        (lambda: change.tex_for_weave(0, weave("plain"), weave("satin_5")), "from_yarn"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field
