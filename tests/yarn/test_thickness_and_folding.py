"""Diameters by each rule, folded yarns, unknown yarns and cones, against published values."""

from fractions import Fraction
from math import log, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.data import load
from calculators.errors import InputError
from calculators.yarn import cone, diameter, folded, unknown
from calculators.yarn.catalogue import catalogue
from calculators.yarn.systems import SYSTEMS, count_of, tex_of
from tests.every import of_every

TEX = st.floats(min_value=0.5, max_value=5000)
COUNTS = st.lists(st.floats(min_value=0.1, max_value=1000), min_size=1, max_size=8)
TAYLOR_TABLE = [
    row
    for row in load("published/taylor")["row"]
    if row["id"].startswith("BK-TAY-dia-") and "misprint" not in row
]


def test_taylors_table_is_there():
    assert len(TAYLOR_TABLE) >= 60


@of_every({row["id"]: row for row in TAYLOR_TABLE})
def test_taylors_table_of_diameters(row):
    """Cotton Weaving and Designing, 1909, p. 335.

    His table steps by halves from 156 for 32s, itself rounded, and slips by up to 1.2 at 86s.
    """
    count = float(row["given"]["yarn"].removesuffix("s cotton"))
    found = diameter.diameters_per_inch_taylor(tex_of(count, 1, "cotton"))
    assert found == pytest.approx(row["value"], abs=1.2 if row["value"] > 80 else 0.5)


@pytest.mark.parametrize(("count", "printed"), [(60, 213), (15, 106.5), (26, 140.5), (32, 156)])
def test_taylors_worked_diameters(count, printed):
    """Web pages 453 and 458; 38025 yards, of which the root is 195, is his own proportion."""
    found = diameter.diameters_per_inch_taylor(tex_of(count, 1, "cotton"))
    assert found == pytest.approx(printed, abs=0.5)


def test_ashenhurst_for_cotton_8_2():
    """‘Ashenhurst’s formula’, web note of 1999: 52 for cotton 8/2."""
    assert diameter.diameters_per_inch_ashenhurst(tex_of(8, 2, "cotton")) == pytest.approx(
        52, abs=0.5
    )
    firm, soft = (diameter.diameters_per_inch_ashenhurst(50, firm) for firm in (True, False))
    assert soft / firm == pytest.approx(0.84 / 0.9)


def test_peirce_follows_from_the_volume_of_a_gram():
    """A cylinder of 1.1 cm³ a gram: 1 Ne is 27.93 to the inch, which Peirce calls 28."""
    grams_per_cm = tex_of(1, 1, "cotton") / 1e5
    cylinder = 2.54 / sqrt(4 * grams_per_cm * 1.1 / pi)
    assert cylinder == pytest.approx(27.93, abs=0.005)
    assert diameter.diameters_per_inch_peirce(tex_of(1, 1, "cotton")) == pytest.approx(
        cylinder, rel=0.003
    )
    # the same in one figure: 0.037424 mm for the root of one tex
    assert 25.4 / 28 / sqrt(count_of(1, "cotton")) == pytest.approx(0.037424, rel=0.003)


def test_taylor_and_peirce_as_shares_of_ashenhurst():
    rows = {row.rule: row.per_inch for row in diameter.diameter_rules(73.8)}
    roots = {rule: value / (rows["Ashenhurst, firm yarn"] / 0.9) for rule, value in rows.items()}
    assert roots["Taylor, cotton"] == pytest.approx(0.95)
    assert roots["Peirce, cotton"] == pytest.approx(28 / sqrt(840))
    assert roots["Peirce, cotton"] == pytest.approx(0.9661, abs=0.0001)


def test_ten_wraps_on_a_ruler_are_a_plain_sett_of_seven():
    """Osterkamp 2004: (10 ÷ 2) ÷ 0.7 is 7 ends; a plain sett is half the diameters."""
    tex = 100.0
    wraps = diameter.ruler_wraps(tex)
    assert diameter.diameters_per_inch_ashenhurst(tex) / 2 * 10 / wraps == pytest.approx(7, abs=0.5)


@given(TEX)
def test_a_diameter_is_what_an_inch_holds(tex):
    spread = diameter.diameter_range(tex)
    across = diameter.diameters_per_inch(tex)
    assert spread.low < spread.likely < spread.high
    assert spread.likely * across.likely == pytest.approx(25.4)
    assert spread.low * across.high == pytest.approx(25.4)
    assert diameter.diameter_mm(tex) == spread.likely
    for row in diameter.diameter_rules(tex):
        assert across.low <= row.per_inch <= across.high
        assert row.millimetres * row.per_inch == pytest.approx(25.4)


@given(TEX, st.floats(min_value=1.01, max_value=9))
def test_a_yarn_four_times_as_heavy_is_twice_as_thick(tex, factor):
    assert diameter.diameter_mm(tex * factor**2) == pytest.approx(
        diameter.diameter_mm(tex) * factor
    )


@pytest.mark.parametrize(
    ("counts", "resultant"),
    [
        ([60, 40], 24),  # Taylor, web page 239
        ([40, 20], 40 / 3),  # Brooks, Cotton Manufacturing: 13 1/3
        ([48, 24], 16),  # Davis, Hosiery Manufacture
        ([300, 300, 300], 100),  # Brooks
        ([80, 80], 40),  # Brooks
        ([40, 40], 20),  # Taylor
    ],
)
def test_published_folded_counts(counts, resultant):
    assert folded.resultant_count(*counts) == pytest.approx(resultant, rel=1e-12)


def test_published_partner_and_average():
    # Davis, example 39 (question printed, answer worked in fractions) and example 30 (44 4/13)
    wanted = 1 / (Fraction(1, 10) - Fraction(1, 48) - Fraction(1, 24))
    assert folded.partner_count([48, 24], 10) == pytest.approx(float(wanted), rel=1e-12)
    assert folded.side_by_side_count(64, 48, 32) == pytest.approx(44 + 4 / 13, rel=1e-12)


@given(COUNTS)
def test_folding_adds_weights(counts):
    tex = sum(tex_of(count, 1, "cotton") for count in counts)
    assert count_of(tex, "cotton") == pytest.approx(folded.resultant_count(*counts), rel=1e-9)
    average = folded.side_by_side_count(*counts)
    assert min(counts) <= average * (1 + 1e-12)
    assert average <= max(counts) * (1 + 1e-12)
    assert average == pytest.approx(folded.resultant_count(*counts) * len(counts))


@given(COUNTS, st.floats(min_value=0.1, max_value=1000))
def test_the_partner_makes_the_wanted_count(known, partner):
    wanted = folded.resultant_count(*known, partner)
    assert folded.partner_count(known, wanted) == pytest.approx(partner, rel=1e-6)


@pytest.mark.parametrize(
    ("known", "wanted", "field"),
    [([60, 40], 24, "wanted"), ([60, 40], 30, "wanted"), ([60], 0, "wanted")],
)
def test_no_partner_can_make_it_finer(known, wanted, field):
    with pytest.raises(InputError) as error:
        folded.partner_count(known, wanted)
    assert error.value.field == field


@pytest.mark.parametrize("counts", [[0], [60, -1], [float("nan")], [float("inf")]])
def test_folding_needs_counts(counts):
    for rule in (folded.resultant_count, folded.side_by_side_count):
        with pytest.raises(InputError):
            rule(*counts)


def test_published_samples():
    grain, yard = 0.06479891, 91.44
    # Taylor, web page 429: 120 yd weighing 20 gr is 50s; Brooks: 25 gr is 40s
    for grains, count in ((20, 50), (25, 40)):
        tex = unknown.tex_from_sample(120 * yard, grains * grain)
        assert tex.is_exact
        assert count_of(tex.likely, "cotton") == pytest.approx(count)
    # Taylor: 34 yd weighing 8 gr (question printed; 34 × 1000 ÷ (120 × 8) = 35 5/12)
    tex = unknown.tex_from_sample(34 * yard, 8 * grain)
    assert count_of(tex.likely, "cotton") == pytest.approx(35 + 5 / 12)
    # Brooks 1898: 4000 yd weighing 5 oz is 8 run
    tex = unknown.tex_from_sample(4000 * yard, 5 * 28.349523125)
    assert count_of(tex.likely, "woollen_run") == pytest.approx(8)


@given(
    st.floats(min_value=10, max_value=1e5),
    st.floats(min_value=0.1, max_value=500),
    st.floats(min_value=0, max_value=0.1),
)
def test_the_scale_leaves_half_a_step_open_either_way(length, mass, step):
    tex = unknown.tex_from_sample(length, mass, step)
    assert (tex.high - tex.low) / tex.likely == pytest.approx(step / mass, abs=1e-9)
    assert tex.likely * length / 1e5 == pytest.approx(mass)


@given(TEX, st.floats(min_value=0.001, max_value=1), st.floats(min_value=0.001, max_value=0.5))
def test_the_length_for_an_accuracy_gives_that_accuracy(tex, step, share):
    length = unknown.length_for_accuracy(tex, step, share)
    found = unknown.tex_from_sample(length, tex * length / 1e5, step)
    assert (found.high - found.likely) / found.likely == pytest.approx(share, rel=1e-6)


@pytest.mark.parametrize(
    ("length", "mass", "step", "field"),
    [
        (0, 1, 0.01, "length"),
        (-5, 1, 0.01, "length"),
        (100, 0, 0.01, "mass"),
        (100, float("nan"), 0.01, "mass"),
        (100, 0.005, 0.01, "mass"),
        (100, 1, -1, "scale_step"),
    ],
)
def test_a_sample_that_says_nothing(length, mass, step, field):
    with pytest.raises(InputError) as error:
        unknown.tex_from_sample(length, mass, step)
    assert error.value.field == field


@given(TEX)
def test_the_nearest_yarns_are_the_nearest(tex):
    found = unknown.nearest_yarns(tex, 3)
    gaps = [abs(log(row.entry.yarn.tex / tex)) for row in found]
    others = [abs(log(row.yarn.tex / tex)) for row in catalogue()]
    assert gaps == pytest.approx(sorted(others)[:3])
    for row in found:
        assert row.entry.yarn.tex == pytest.approx(tex * (1 + row.deviation))


def test_a_catalogue_yarn_is_its_own_nearest():
    for entry in catalogue():
        assert unknown.nearest_yarns(entry.yarn.tex)[0].deviation == pytest.approx(0, abs=1e-12)


def test_the_catalogue_has_the_common_yarns_once_each_with_their_standing():
    names = [entry.name for entry in catalogue()]
    assert len(names) == len(set(names))
    for name in (
        *("cotton 8/2", "cotton 10/2", "cotton 16/2", "cotton 20/2", "cotton 24/2"),
        *("cotton 30/2", "cotton 60/2", "linen 8/1", "linen 16/1", "linen 40/2"),
    ):
        assert name in names
    for entry in catalogue():
        assert entry.system in SYSTEMS
        assert entry.basis in ("common practice", "from memory")
        assert entry.source


def test_a_cone():
    # 366 g of 50 tex: 366 ÷ 50 km
    assert cone.net_mass(412, 46) == 366
    assert cone.cone_length(412, 46, 50).likely == pytest.approx(732_000)
    spread = cone.cone_length(412, 46, 50, scale_step=2, tolerance=0.04)
    assert spread.low == pytest.approx(364 / 52 * 1e5)
    assert spread.high == pytest.approx(368 / 48 * 1e5)
    assert cone.cone_length(46, 46, 50, scale_step=1).low == 0


@given(
    st.floats(min_value=0, max_value=5000),
    st.floats(min_value=0, max_value=5000),
    TEX,
    st.floats(min_value=0, max_value=5),
    st.floats(min_value=0, max_value=0.5),
)
def test_what_a_cone_may_hold(one, other, tex, step, tolerance):
    empty, gross = sorted((one, other))
    spread = cone.cone_length(gross, empty, tex, step, tolerance)
    assert 0 <= spread.low <= spread.likely <= spread.high
    assert spread.likely * tex / 1e5 == pytest.approx(gross - empty, abs=1e-9)


@pytest.mark.parametrize(
    ("gross", "empty", "step", "tolerance", "field"),
    [
        (40, 46, 0, 0, "empty"),
        (-1, 0, 0, 0, "gross"),
        (float("nan"), 0, 0, 0, "gross"),
        (400, 46, -1, 0, "scale_step"),
        (400, 46, 0, 1, "tolerance"),
    ],
)
def test_a_cone_that_cannot_be(gross, empty, step, tolerance, field):
    with pytest.raises(InputError) as error:
        cone.cone_length(gross, empty, 50, step, tolerance)
    assert error.value.field == field


@pytest.mark.parametrize("tex", [0, -1, float("nan"), float("inf")])
def test_no_thickness_without_a_yarn(tex):
    for rule in (
        diameter.diameters_per_inch_ashenhurst,
        diameter.diameters_per_inch_taylor,
        diameter.diameters_per_inch_peirce,
        diameter.diameter_range,
        diameter.ruler_wraps,
        unknown.nearest_yarns,
    ):
        with pytest.raises(InputError):
            rule(tex)
    if not tex > 0:
        with pytest.raises(InputError):
            unknown.length_for_accuracy(tex, 0.01)


def test_the_thickest_yarn_is_the_inch_over_the_fewest():
    across = diameter.diameters_per_inch(147.635)
    assert diameter.diameter_range(147.635).high * across.low == pytest.approx(25.4)


def test_each_rule_of_thickness_names_a_known_source_and_where_it_stands():
    keys = {source["key"] for source in load("sources")["source"]}
    rows = {row.rule: (row.source, row.basis) for row in diameter.diameter_rules(74)}
    assert rows == {
        "Ashenhurst, soft yarn": ("ashenhurst-note", "published"),
        "Ashenhurst, firm yarn": ("ashenhurst-note", "published"),
        "Taylor, cotton": ("taylor-1909", "published"),
        "Peirce, cotton": ("peirce-1937", "from memory"),
    }
    assert {source for source, _ in rows.values()} <= keys


def test_what_is_missing_only_in_the_last_digits_is_not_missing():
    """A thousand-millionth of what is there is the least that counts as a thread."""
    assert folded.partner_count([1], 1 / (1 + 1.5e-9)) == pytest.approx(1 / 1.5e-9, rel=1e-6)
    with pytest.raises(InputError):
        folded.partner_count([1], 1 / (1 + 0.9e-9))


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: folded.resultant_count(60, 0), "yarns"),
        (lambda: folded.side_by_side_count(-1), "yarns"),
        (lambda: unknown.length_for_accuracy(0, 0.01), "tex"),
        (lambda: unknown.length_for_accuracy(74, 0.01, 0), "share_open"),
        (lambda: unknown.nearest_yarns(0), "tex"),
        (lambda: unknown.tex_from_sample(100, 1, float("inf")), "scale_step"),
        (lambda: cone.net_mass(float("inf"), 46), "gross"),
        (lambda: cone.net_mass(412, float("inf")), "empty"),
        (lambda: cone.net_mass(float("inf"), float("inf")), "gross"),
        (lambda: cone.cone_length(412, 46, 50, float("inf")), "scale_step"),
        (lambda: cone.cone_length(412, 46, 50, tolerance=-0.01), "tolerance"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as error:
        attempt()
    assert error.value.field == field


def test_five_yarns_are_listed_and_a_scale_is_exact_when_nothing_is_said_of_it():
    assert len(unknown.nearest_yarns(74)) == 5
    assert cone.cone_length(412, 46, 50).is_exact
    assert unknown.tex_from_sample(100, 1).is_exact


def test_the_catalogue_holds_its_rows_and_reads_each_in_its_own_system():
    for row, entry in zip(load("yarns")["yarn"], catalogue(), strict=True):
        for name in ("name", "fibre", "label", "system", "basis", "source"):
            assert getattr(entry, name) == row[name]
        assert entry.yarn.system == row["system"]
    # 300 yards of linen of count 1 weigh a pound: 16 times 300 of lea 16.
    linen = next(entry for entry in catalogue() if entry.name == "linen 16/1")
    assert linen.yarn.tex == pytest.approx(453.59237 / (16 * 300 * 0.9144) * 1000)
