"""Working ranges, and that they hold what weavers do."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.data import load
from calculators.errors import InputError
from calculators.sett.rules import maximum_sett
from calculators.sett.working import FIRMNESS, working_range
from calculators.weave.library import weave
from calculators.yarn.yarn import parse_yarn

# Common practice for damask on cotton warps, no source.
COMMON_PRACTICE = [
    ("8/2", "satin_5", 30),
    ("16/2", "plain", 30),
    ("16/2", "lace_6", 30),
    ("16/2", "satin_5", 46),
    ("16/2", "satin_6", 46),
    ("30/2", "satin_6", 69),
]


@pytest.mark.parametrize(("yarn", "name", "sett"), COMMON_PRACTICE)
def test_common_practice_lies_in_the_working_range(yarn, name, sett):
    found = working_range(maximum_sett(parse_yarn(yarn).tex, weave(name)), "table")
    assert found.low <= sett <= found.high


@pytest.mark.parametrize(("yarn", "satin"), [("8/2", 30), ("16/2", 46)])
def test_common_practice_broken_twill_a_hair_looser_than_five_end_satin(yarn, satin):
    tex = parse_yarn(yarn).tex
    found = working_range(maximum_sett(tex, weave("broken_twill_4")), "table")
    assert found.low <= 0.97 * satin <= found.high
    assert found.likely < working_range(maximum_sett(tex, weave("satin_5")), "table").likely


def test_the_handbook_s_own_list_of_common_setts_is_this_one():
    listed = [(row["yarn"], row["weave"], row["ends_per_inch"]) for row in load("setts")["common"]]
    assert listed == COMMON_PRACTICE
    assert {row["basis"] for row in load("setts")["common"]} == {"common practice"}


def test_low_end_of_table_is_the_published_share():
    # “Ashenhurst's formula”, note by M. Faena: about 3/4, or slightly more.
    assert FIRMNESS["table"].share.low == 0.75


def test_published_linen_damask_lies_under_the_limit():
    # Shares of Ashenhurst's limit, Dictionary of the English textile terms, count read as lea.
    for share in (0.762, 0.907, 0.85, 0.787):
        assert FIRMNESS["table"].share.low <= share <= FIRMNESS["table"].share.high


@given(st.floats(0.1, 1e4), st.sampled_from(sorted(FIRMNESS)))
def test_no_working_sett_passes_the_limit(limit, firmness):
    found = working_range(limit, firmness)
    assert 0 < found.low < found.likely < found.high <= limit


def test_firmness_rises_by_name():
    shares = [FIRMNESS[name].share for name in ("open", "table", "firm")]
    assert [s.likely for s in shares] == sorted(s.likely for s in shares)


def test_unknown_firmness_and_limits_are_refused():
    with pytest.raises(InputError, match="drum-tight") as caught:
        working_range(40, "drum-tight")
    assert caught.value.field == "firmness"
    with pytest.raises(InputError):
        working_range(0, "table")


def test_a_limit_that_cannot_be_is_refused_beside_it():
    with pytest.raises(InputError) as caught:
        working_range(0)
    assert caught.value.field == "maximum"


def test_what_is_not_said_is_a_table_cloth():
    assert working_range(40) == working_range(40, "table")
