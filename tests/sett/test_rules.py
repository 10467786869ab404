"""Setting rules against published figures, exact fractions, and what must hold of any rule."""

from fractions import Fraction
from itertools import pairwise
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.data import load
from calculators.engine.sources import formulas
from calculators.errors import InputError
from calculators.sett import rules
from calculators.sett.rules import limits, maximum_sett
from calculators.weave.library import WEAVES, weave
from tests.every import of_every

YARDS_PER_POUND_TIMES_TEX = Fraction(45359237, 100000) / Fraction(9144, 10000) * 1000


def cotton(count, plies=1):
    """Weight in tex of a cotton yarn, from the 840-yard hank."""
    return float(YARDS_PER_POUND_TIMES_TEX * plies / (840 * Fraction(count)))


def linen(lea):
    return float(YARDS_PER_POUND_TIMES_TEX / (300 * lea))


# J. T. Taylor, Cotton Weaving and Designing, 6th edition 1909, p. 335 and web page 453: diameters
# per inch of cotton; the table goes by half threads.
TAYLOR_TABLE = {
    *[(1, 27.5), (2, 39), (3, 47.5), (4, 55.5), (5, 62), (6, 67.5), (7, 73), (8, 78), (9, 83.5)],
    *[(11, 91), (12, 95), (13, 99), (14, 103), (15, 106.5), (16, 110), (17, 113), (18, 117)],
    *[(19, 120), (20, 123.5), (21, 126), (22, 129.5), (23, 132), (25, 138), (26, 140.5)],
    *[(28, 145.5), (30, 151), (34, 160.5), (36, 165), (38, 169), (40, 174.5), (42, 178)],
    *[(46, 187), (48, 191), (50, 195), (60, 213), (64, 220.5), (72, 233.5), (80, 246), (90, 261)],
    *[(100, 275.5), (110, 289), (120, 302), (130, 314), (140, 326), (150, 337), (160, 349)],
    *[(170, 359), (180, 369), (190, 380)],
}


@of_every(sorted(TAYLOR_TABLE))
def test_taylor_diameters(count, printed):
    # A plain cloth has half as many threads as lie side by side.
    assert 2 * rules.taylor_limit(cotton(count), 2, 2) == pytest.approx(printed, abs=1.5)


@pytest.mark.parametrize(
    ("count", "ends", "crossings", "printed", "within"),
    [
        (32, 2, 2, 78, 0.5),  # Taylor, web page 436: 156 ÷ 2
        (32, 4, 2, 104, 0.5),  # the same page prints “about 102”; 156 × 4/6 is 104
        (24, 3, 2, 81, 0.41),  # Taylor p. 338, 2/1 twill
        (44, 9, 4, 126, 0.7),  # Taylor p. 338, twill on nine ends; cut short from 126.69
        (60, 2, 2, 106.5, 0.54),  # Taylor p. 338: as firm as 78 of 32s
    ],
)
def test_taylor_setts(count, ends, crossings, printed, within):
    assert rules.taylor_limit(cotton(count), ends, crossings) == pytest.approx(printed, abs=within)


def test_taylor_plain_with_its_twentieth():
    # Taylor, web page 453: a little more than 78, about 5 % → about 82.
    assert rules.taylor_plain_limit(cotton(32)) == pytest.approx(82, abs=0.5)


@pytest.mark.parametrize(
    ("ends", "crossings", "printed", "within"),
    [
        (2, 2, 26, 0.2),  # “Ashenhurst's formula”, note by M. Faena: 52 wraps, plain
        (4, 2, 34, 1),  # 2/2 twill; the note cuts 34.8 short
    ],
)
def test_ashenhurst_note(ends, crossings, printed, within):
    found = rules.ashenhurst_limit(cotton(8, 2), ends, crossings)
    assert found == pytest.approx(printed, abs=within)


def test_ashenhurst_soft_yarn_is_set_wider():
    # Note by M. Faena: 0.9 firm, 0.84 soft.
    firm, soft = (rules.ashenhurst_limit(100, 4, 2, kind) for kind in (True, False))
    assert soft / firm == pytest.approx(0.84 / 0.9)


def test_brierley_gate_example():
    # GATE Textile Engineering 2006, question 66: 2/2 twill, 60 tex, K = 200, m = 0.39, N = 9.84.
    assert rules.brierley_limit(60, 4, 2, 0.39) == pytest.approx(58.11, abs=0.1)
    assert rules.brierley_limit(60, 4, 2, 0.39) / 2.54 * 10 == pytest.approx(228.4, abs=0.6)


def test_brierley_constant_stands_inside_the_root():
    # The trap: K·√N would give 822.
    assert rules.brierley_limit(60, 4, 2, 0.39) < 100


@pytest.mark.parametrize(
    ("name", "printed"),
    # Multipliers over plain, m of the satin from memory.
    [("twill_2_2", 1.3104), ("satin_5", 1.4694), ("satin_8", 1.7901)],
)
def test_brierley_multipliers(name, printed):
    found, exponent = weave(name), rules.brierley_family(weave(name))[1]
    ratio = rules.brierley_limit(50, found.ends, 2, exponent) / rules.brierley_limit(50, 2, 2, 0.39)
    assert ratio == pytest.approx(printed, abs=1e-4)


def test_brierley_constants_agree_across_systems():
    # From memory: K scales with the hank, 134 for worsted, about 72 linen and 61 Yorkshire skeins.
    by_cotton = rules.brierley_limit(50, 4, 2, 0.39)
    for system in ("worsted", "linen", "yorkshire_skein"):
        assert rules.brierley_limit(50, 4, 2, 0.39, system) == pytest.approx(by_cotton, rel=0.01)
    with pytest.raises(InputError, match="silk"):
        rules.brierley_limit(50, 4, 2, 0.39, "silk")


@pytest.mark.parametrize(
    ("rule", "printed"),
    # Closest plain cotton setts as multiples of √Ne, worked out from the rules that were read.
    [
        (lambda tex: rules.ashenhurst_limit(tex, 2, 2), 13.04),
        (lambda tex: rules.taylor_limit(tex, 2, 2), 13.77),
        (rules.taylor_plain_limit, 14.46),
        (lambda tex: rules.brierley_limit(tex, 2, 2, 0.39), 14.14),
        (lambda tex: rules.jammed_limit(tex, 2, 2), 16.17),
        (lambda tex: rules.peirce_limit(tex, 2, 2), 14),
    ],
)
def test_plain_cloth_by_each_rule(rule, printed):
    assert rule(cotton(1)) == pytest.approx(printed, abs=0.01)
    assert rule(cotton(25)) == pytest.approx(5 * printed, abs=0.05)


def test_square_jammed_plain_cloth():
    # N. Balasubramanian, fabric geometry: spacing ÷ sum of diameters = 0.866.
    diameter = 1 / 28
    spacing = 1 / rules.jammed_limit(cotton(1), 2, 2)
    assert spacing / (2 * diameter) == pytest.approx(0.866, abs=0.0005)


def test_a_jammed_end_is_never_thinner_than_itself():
    # A weft as fine as a hair: the ends touch each other.
    assert rules.jammed_limit(cotton(1), 2, 2, 1e-6) == pytest.approx(28, rel=1e-3)


def test_ruler_wraps():
    # P. Osterkamp, Weaving tip, January 2004: 10 wraps → 7 ends in plain weave.
    assert rules.limit_from_wraps(10, 2, 2) == pytest.approx(7, abs=0.2)


@pytest.mark.parametrize("system", ["cotton", "linen"])
@pytest.mark.parametrize(
    ("ends", "threads", "share"),
    # Published damask (Dictionary of the English textile terms, Damask) as shares of Ashenhurst's
    # limit, the count read as lea.
    [(5, 60, 0.762), (8, 80, 0.907)],
)
def test_share_of_the_limit_reached_by_published_damask(system, ends, threads, share):
    tex = linen(50) if system == "linen" else cotton(50)
    found = threads / rules.ashenhurst_limit(tex, ends, 2)
    if system == "linen":
        assert found == pytest.approx(share, abs=0.005)
    else:  # read as cotton count the same cloth would be slack
        assert found < 0.6


@given(st.integers(1, 400), st.integers(2, 40), st.integers(2, 40))
def test_exact_fractions_agree(threads, ends, crossings):
    exact = Fraction(threads) * ends / (ends + crossings)
    assert rules.ends_and_intersections(threads, ends, crossings) == pytest.approx(
        float(exact), rel=1e-12
    )


@given(st.integers(5, 2000), st.integers(2, 24), st.integers(2, 24))
def test_squares_of_the_root_rules_are_rational(tex, ends, crossings):
    share = Fraction(ends, ends + crossings)
    yards = YARDS_PER_POUND_TIMES_TEX / tex
    for found, factor in (
        (rules.ashenhurst_limit(tex, ends, crossings), Fraction(9, 10)),
        (rules.ashenhurst_limit(tex, ends, crossings, firm=False), Fraction(84, 100)),
        (rules.taylor_limit(tex, ends, crossings), Fraction(95, 100)),
    ):
        assert found**2 == pytest.approx(float((factor * share) ** 2 * yards), rel=1e-11)
    peirce = rules.peirce_limit(tex, ends, crossings)
    assert peirce**2 == pytest.approx(float((28 * share) ** 2 * yards / 840), rel=1e-11)


@given(
    st.sampled_from(WEAVES),
    st.floats(2, 2000),
    st.floats(2, 2000),
    st.floats(1.001, 10),
)
def test_a_finer_yarn_never_lowers_a_limit(name, warp, weft, finer):
    one = weave(name)
    before, finer_weft = limits(warp, one, weft), limits(warp, one, weft / finer)
    finer_warp = limits(warp / finer, one, weft)
    assert [row.rule for row in before] == [row.rule for row in finer_warp]
    for old, new_warp, new_weft in zip(before, finer_warp, finer_weft, strict=True):
        assert new_warp.ends_per_inch >= old.ends_per_inch
        assert new_weft.ends_per_inch >= old.ends_per_inch * (1 - 1e-12)


@given(st.floats(2, 2000))
def test_longer_floats_never_lower_a_limit(tex):
    by_float = [limits(tex, weave(f"satin_{ends}")) for ends in (5, 6, 7, 8, 9, 10, 11, 12)]
    for shorter, longer in pairwise(by_float):
        for old, new in zip(shorter, longer, strict=True):
            assert new.ends_per_inch > old.ends_per_inch


@given(st.sampled_from(WEAVES), st.floats(2, 2000))
def test_the_same_yarn_as_weft_changes_nothing(name, tex):
    assert limits(tex, weave(name), tex) == limits(tex, weave(name))


@given(st.floats(2, 2000), st.floats(2, 2000))
def test_unlike_yarns_share_the_inch_by_their_diameters(warp, weft):
    # A repeat of satin_5 is five warp diameters and two weft diameters wide.
    width = 5 / (0.9 * sqrt(YARDS_PER_POUND_TIMES_TEX / Fraction(warp))) + 2 / (
        0.9 * sqrt(YARDS_PER_POUND_TIMES_TEX / Fraction(weft))
    )
    assert maximum_sett(warp, weave("satin_5"), weft) == pytest.approx(5 / width, rel=1e-9)


def test_the_tightest_pick_decides():
    assert maximum_sett(74, weave("lace_6")) == pytest.approx(maximum_sett(74, weave("plain")))


def test_table_has_taylor_s_plain_only_for_plain():
    plain = [row.rule for row in limits(74, weave("plain"))]
    satin = [row.rule for row in limits(74, weave("satin_5"))]
    assert len(plain) == len(satin) + 1
    assert any("5 % closer" in rule for rule in plain)


def test_standing_of_each_rule_is_honest():
    basis = {row.rule: row.basis for row in limits(74, weave("satin_5"))}
    assert basis["Ashenhurst, firm yarn"] == "published"
    assert basis["Brierley, satin"] == "from memory"
    assert basis["Peirce's diameter"] == "from memory"
    twill = {row.rule: row.basis for row in limits(74, weave("twill_2_2"))}
    assert twill["Brierley, twill"] == "published"


def test_sources_and_formulas_exist():
    keys = {source["key"] for source in load("sources")["source"]}
    for name in WEAVES:
        for row in limits(74, weave(name)):
            assert row.source in keys
            assert row.formula in formulas()


def test_rules_disagree_by_up_to_a_quarter_in_plain_cloth():
    found = [row.ends_per_inch for row in limits(74, weave("plain"))[:-1]]
    assert max(found) / min(found) == pytest.approx(1.24, abs=0.01)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_impossible_figures_are_refused(bad):
    for rule in (rules.ashenhurst_limit, rules.taylor_limit, rules.peirce_limit):
        with pytest.raises(InputError) as caught:
            rule(bad, 4, 2)
        assert caught.value.field == "warp_yarn"
        with pytest.raises(InputError):
            rule(74, bad, 2)
        with pytest.raises(InputError):
            rule(74, 4, bad)
    with pytest.raises(InputError) as caught:
        rules.ashenhurst_limit(74, 4, 2, weft_tex=bad)
    assert caught.value.field == "weft_yarn"
    for arguments in ((bad, 4, 2), (74, bad, 2), (74, 4, bad)):
        with pytest.raises(InputError):
            rules.brierley_limit(*arguments, 0.39)
        with pytest.raises(InputError):
            rules.jammed_limit(*arguments)


def test_taylors_plain_cloth_of_unlike_yarns():
    """The rule of ends and crossings with two diameters, and his twentieth; in exact halves."""
    warp, weft = cotton(36), cotton(16)  # the weft is half as thick again
    alike = rules.taylor_plain_limit(warp)
    # Warp 1 and weft 3/2 thick: 2 ends and 2 crossings take 2 + 3 instead of 4.
    assert rules.taylor_plain_limit(warp, weft) == pytest.approx(alike * 4 / 5)


def test_turns_on_a_ruler_that_cannot_be():
    for turns in (0, -1, float("nan")):
        with pytest.raises(InputError) as caught:
            rules.limit_from_wraps(turns, 2, 2)
        assert caught.value.field == "wraps"


@pytest.mark.parametrize(
    ("system", "hank", "constant"),
    [
        ("cotton", 840, 200),  # read in the GATE paper
        ("worsted", 560, 134),  # from memory
        ("linen", 300, round(134 * 300 / 560)),  # the worsted's, by the hank
        ("yorkshire_skein", 256, round(134 * 256 / 560)),
    ],
)
def test_brierleys_constant_of_each_system(system, hank, constant):
    """Plain cloth floats over one, so that its closest sett is √(K·N)."""
    count_of_fifty_tex = float(YARDS_PER_POUND_TIMES_TEX / hank / 50)
    plain = rules.brierley_limit(50, 2, 2, 0.39, system)
    assert plain**2 / count_of_fifty_tex == pytest.approx(constant, rel=1e-9)


def test_a_system_without_a_constant_is_refused_beside_its_field():
    with pytest.raises(InputError) as caught:
        rules.brierley_limit(50, 4, 2, 0.39, "silk")
    assert caught.value.field == "warp_system"


@pytest.mark.parametrize(
    ("name", "family"),
    # S. Brierley, from memory; twill published; a tightest pick that crosses at every end is plain.
    [
        ("plain", ("plain", 0.39, "published")),
        ("lace_6", ("plain", 0.39, "published")),
        ("twill_2_2", ("twill", 0.39, "published")),
        ("satin_5", ("satin", 0.42, "from memory")),
        ("basket_2_2", ("matt", 0.45, "from memory")),
        ("broken_twill_4", ("reckoned as twill", 0.39, "from memory")),
    ],
)
def test_brierleys_exponent_of_each_family(name, family):
    assert rules.brierley_family(weave(name)) == family


def test_each_rule_of_the_table_is_the_rule_by_itself():
    warp, weft, one = cotton(16, 2), cotton(12), weave("twill_2_2")
    found = {row.formula: row for row in limits(warp, one, weft, firm=False)}
    alone = {
        "F-42": (rules.ashenhurst_limit(warp, 4, 2, False, weft), "ashenhurst-note", "published"),
        "F-43": (rules.taylor_limit(warp, 4, 2, weft), "taylor-1909", "published"),
        "F-45": (rules.brierley_limit(warp, 4, 2, 0.39), "gate-textile", "published"),
        "F-46": (rules.peirce_limit(warp, 4, 2, weft), "peirce-1937", "from memory"),
        "F-47": (rules.jammed_limit(warp, 4, 2, weft), "seyam-1994", "from memory"),
        # 0.7 of Ashenhurst's 0.9 √(yards in a pound), 4 of 6 threads being ends
        "F-48": (0.7 * 0.9 * sqrt(840 * 8) * 4 / 6, "osterkamp-2004", "published"),
    }
    assert set(found) == set(alone)
    for formula, (sett, source, basis) in alone.items():
        row = found[formula]
        assert (row.ends_per_inch, row.source, row.basis) == (pytest.approx(sett), source, basis)
    assert "alike" in found["F-45"].remark
    plain = {row.formula: row for row in limits(warp, weave("plain"), weft)}
    assert plain["F-44"].ends_per_inch == pytest.approx(rules.taylor_plain_limit(warp, weft))
    assert (plain["F-44"].source, plain["F-44"].basis) == ("taylor-1909", "published")
    assert (plain["F-47"].source, plain["F-47"].basis) == ("balasubramanian", "published")
    assert limits(warp, one)[2].remark == ""
    assert limits(warp, weave("satin_5"))[2].source == "brierley-1952"


@pytest.mark.parametrize(
    ("rule", "factor"),
    # Threads side by side in an inch over the root of the yards in a pound, as published.
    [
        (lambda *yarns: rules.ashenhurst_limit(yarns[0], 5, 2, True, yarns[1]), 0.9),
        (lambda *yarns: rules.ashenhurst_limit(yarns[0], 5, 2, False, yarns[1]), 0.84),
        (lambda *yarns: rules.taylor_limit(yarns[0], 5, 2, yarns[1]), 0.95),
        (lambda *yarns: rules.peirce_limit(yarns[0], 5, 2, yarns[1]), 28 / sqrt(840)),
    ],
)
def test_five_ends_and_two_unlike_wefts_by_each_rule(rule, factor):
    across = [factor * sqrt(float(YARDS_PER_POUND_TIMES_TEX) / tex) for tex in (50, 90)]
    assert rule(50, 90) == pytest.approx(5 / (5 / across[0] + 2 / across[1]))


def test_unlike_threads_packed_round():
    """In plain cloth neighbouring ends stand apart by 0.866 of a warp and a weft diameter."""
    warp, weft = 1 / (28 * 6), 1 / (28 * 4)  # inches, of 36s and 16s
    spacing = rules.jammed_limit(cotton(36), 2, 2, cotton(16))
    assert 1 / spacing == pytest.approx(0.75**0.5 * (warp + weft))
    # In a five-end satin two spaces of five hold a weft, in the others the ends touch.
    satin = rules.jammed_limit(cotton(36), 5, 2, cotton(16))
    assert 5 / satin == pytest.approx(2 * 0.75**0.5 * (warp + weft) + 3 * warp)


@pytest.mark.parametrize("bad", [0, -1, float("nan"), float("inf")])
@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda bad: rules.ends_and_intersections(bad, 4, 2), "warp_yarn"),
        (lambda bad: rules.ends_and_intersections(60, bad, 2), "weave"),
        (lambda bad: rules.ends_and_intersections(60, 4, bad), "weave"),
        (lambda bad: rules.unlike_ends_and_intersections(60, bad, 4, 2), "weft_yarn"),
        (lambda bad: rules.taylor_limit(bad, 4, 2), "warp_yarn"),
        (lambda bad: rules.taylor_limit(74, 4, 2, bad), "weft_yarn"),
        (lambda bad: rules.brierley_limit(bad, 4, 2, 0.39), "warp_yarn"),
        (lambda bad: rules.brierley_limit(74, bad, 2, 0.39), "weave"),
        (lambda bad: rules.brierley_limit(74, 4, bad, 0.39), "weave"),
        (lambda bad: rules.peirce_limit(bad, 4, 2), "warp_yarn"),
        (lambda bad: rules.peirce_limit(74, 4, 2, bad), "weft_yarn"),
        (lambda bad: rules.jammed_limit(bad, 4, 2), "warp_yarn"),
        (lambda bad: rules.jammed_limit(74, bad, 2), "weave"),
        (lambda bad: rules.jammed_limit(74, 4, bad), "weave"),
        (lambda bad: rules.jammed_limit(74, 4, 2, bad), "weft_yarn"),
        (lambda bad: maximum_sett(bad, weave("plain")), "warp_yarn"),
    ],
)
def test_refusals_name_their_field(attempt, field, bad):
    with pytest.raises(InputError) as caught:
        attempt(bad)
    assert caught.value.field == field
