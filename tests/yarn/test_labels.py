"""Labels: every usual notation, every reading it allows, and the one used named."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.yarn.systems import SYSTEMS
from calculators.yarn.yarn import FINEST_TEX, THICKEST_TEX, parse_yarn, yards_per_pound

COTTON = float(Fraction(45_359_237, 100_000) / (840 * Fraction(9144, 10_000)) * 1000)
LINEN = COTTON * 2.8
METRIC = 1000.0


@pytest.mark.parametrize(
    ("label", "system", "count", "plies", "tex"),
    [
        ("16/2", "cotton", 16, 2, COTTON / 8),
        ("2/16", "cotton", 16, 2, COTTON / 8),
        ("16/1", "cotton", 16, 1, COTTON / 16),
        ("1/16", "cotton", 16, 1, COTTON / 16),
        ("16", "cotton", 16, 1, COTTON / 16),
        ("16s", "cotton", 16, 1, COTTON / 16),
        ("16's", "cotton", 16, 1, COTTON / 16),
        ("2-16s", "cotton", 16, 2, COTTON / 8),
        ("2/16s", "cotton", 16, 2, COTTON / 8),
        ("16s/2", "cotton", 16, 2, COTTON / 8),
        ("16 x 2", "cotton", 16, 2, COTTON / 8),
        ("16×2", "cotton", 16, 2, COTTON / 8),
        ("１６／２", "cotton", 16, 2, COTTON / 8),
        ("30/2 cotton", "cotton", 30, 2, COTTON / 15),
        ("Ne 16/2", "cotton", 16, 2, COTTON / 8),
        ("ne16/2", "cotton", 16, 2, COTTON / 8),
        ("N.e. 16/2", "cotton", 16, 2, COTTON / 8),
        ("16/2 mercerised cotton", "cotton", 16, 2, COTTON / 8),
        ("two-fold 40s cotton", "cotton", 40, 2, COTTON / 20),
        ("40s 2-ply", "cotton", 40, 2, COTTON / 20),
        ("3/2", "cotton", 3, 2, COTTON / 1.5),
        ("1.5/2", "cotton", 1.5, 2, COTTON / 0.75),
        ("8/8", "cotton", 8, 8, COTTON),
        ("No. 16", "cotton", 16, 1, COTTON / 16),
        ("16,5", "cotton", 16.5, 1, COTTON / 16.5),
        ("R 24 Ne / 2", "cotton", 48, 2, COTTON / 24),
        ("Nm 28/2", "metric", 28, 2, METRIC / 14),
        ("Nm 2/28 wool", "metric", 28, 2, METRIC / 14),
        ("Nm 60/2 silk", "metric", 60, 2, METRIC / 30),
        ("40/2 lea", "linen", 40, 2, LINEN / 20),
        ("16 lea", "linen", 16, 1, LINEN / 16),
        ("linen 40/2", "linen", 40, 2, LINEN / 20),
        ("NeL 16/1", "linen", 16, 1, LINEN / 16),
        ("2/18 worsted", "worsted", 18, 2, COTTON * 1.5 / 9),
        ("60/2 spun silk", "spun_silk", 60, 2, COTTON / 60),
        ("40s-2 silk", "spun_silk", 40, 2, COTTON / 40),
        ("4 run", "woollen_run", 4, 1, COTTON * 840 / 1600 / 4),
        ("3½ run", "woollen_run", 3.5, 1, COTTON * 840 / 1600 / 3.5),
        ("3 1/2 run", "woollen_run", 3.5, 1, COTTON * 840 / 1600 / 3.5),
        ("12 cut", "woollen_cut", 12, 1, LINEN / 12),
        ("12 gala cut", "galashiels", 12, 1, LINEN * 1.5 / 12),
        ("20 skein", "yorkshire_skein", 20, 1, COTTON * 840 / 256 / 20),
        ("Nf 20/2", "french", 20, 2, 50),
        ("8 lb/spyndle", "jute", 8, 1, COTTON * 840 / 14_400 * 8),
        ("R 74 tex", "tex", 74, 1, 74),
        ("R74tex/2", "tex", 37, 2, 74),
        ("37 tex x 2", "tex", 37, 2, 74),
        ("2 x 37 tex", "tex", 37, 2, 74),
        ("dtex 167x2", "decitex", 167, 2, 33.4),
        ("70 den", "denier", 70, 1, 70 / 9),
        ("2/70 den", "denier", 70, 2, 140 / 9),
        ("70/34 den", "denier", 70, 1, 70 / 9),
        ("6720 yd/lb", "yards_per_pound", 6720, 1, COTTON / 8),
        ("6 720 yards per pound", "yards_per_pound", 6720, 1, COTTON / 8),
        ("6720 ypp", "yards_per_pound", 6720, 1, COTTON / 8),
        ("420 yd/oz", "yards_per_pound", 6720, 1, COTTON / 8),
        ("13500 m/kg", "metres_per_kilogram", 13_500, 1, 1e6 / 13_500),
        ("150 m / 50 g", "metres_per_kilogram", 3000, 1, 1000 / 3),
        ("400m/100g", "metres_per_kilogram", 4000, 1, 250),
    ],
)
def test_notations(label, system, count, plies, tex):
    yarn = parse_yarn(label)
    assert (yarn.system, yarn.count, yarn.plies) == (system, pytest.approx(count), plies)
    assert yarn.tex == pytest.approx(tex, rel=1e-12)
    assert yarn.readings[0].tex == yarn.tex
    assert yarn.readings[0].words in yarn.understood
    assert yarn.text == label


def test_the_system_beside_a_label_is_used_when_the_label_names_none():
    assert parse_yarn("16/2", "linen").tex == pytest.approx(LINEN / 8)
    assert parse_yarn("60/2", "spun_silk").tex == pytest.approx(COTTON / 60)
    assert parse_yarn("30/2 cotton", "linen").system == "cotton"


# label, the resultant tex of every reading it allows
@pytest.mark.parametrize(
    ("label", "readings", "words"),
    [
        # fold first or last
        ("16/2", [COTTON / 8, COTTON * 16 / 2], "the smaller, 2, is taken as the ply"),
        ("2/16", [COTTON / 8, COTTON * 16 / 2], "the smaller, 2, is taken as the ply"),
        ("3/2", [COTTON * 2 / 3, COTTON * 3 / 2], "the smaller, 2, is taken as the ply"),
        # Taylor, web page 239, and Brooks, ‘Wrapping’: silk is numbered by the finished yarn
        (
            "60/2 spun silk",
            [COTTON / 60, COTTON / 30, COTTON / 2],
            "numbered by the finished yarn, so 60 is the count as it is",
        ),
        # Taylor, web page 429: the cotton lea is 120 yd, not the linen lea of 300
        ("16 lea", [LINEN / 16, LINEN * 2.5 / 16], "the linen lea of 300 yd"),
        ("12 cut", [LINEN / 12, LINEN * 1.5 / 12], "not the Galashiels cut"),
        ("74/2 tex", [148, 74], "74 tex is taken as each of the 2 plies"),
        ("Ne 40/2 linen", [COTTON / 20, COTTON * 40 / 2, LINEN / 20], "though the yarn is linen"),
    ],
)
def test_both_readings_are_kept_and_the_one_used_is_named(label, readings, words):
    yarn = parse_yarn(label)
    assert [reading.tex for reading in yarn.readings] == pytest.approx(readings)
    assert len({reading.words for reading in yarn.readings}) == len(readings)
    assert words in yarn.note


@pytest.mark.parametrize(
    "label",
    ["16/1", "16", "16s", "6720 yd/lb", "70 den", "37 tex x 2", "2/2", "1.5/2", "2-ply 16s"],
)
def test_a_label_that_can_mean_one_thing_has_one_reading(label):
    yarn = parse_yarn(label)
    assert len(yarn.readings) == 1
    assert yarn.note == ""


def test_r_says_the_number_is_the_finished_yarn():
    yarn = parse_yarn("R 74 tex/2")
    assert yarn.tex == 74
    assert "finished yarn" in yarn.note


def test_published_folds():
    """Taylor: 2-40s cotton is a 20s, 40s-2 silk a 40s. Brooks: 2/30 cotton 15, 30/2 silk 30."""
    for label, resultant in (
        ("2-40s", 20),
        ("40s-2 silk", 40),
        ("2/30 cotton", 15),
        ("30/2 silk", 30),
        ("2/80s", 40),
        ("3/300s", 100),
    ):
        assert COTTON / parse_yarn(label).tex == pytest.approx(resultant), label


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ("", "No yarn is named"),
        ("  ", "No yarn is named"),
        ("16/0", "has a 0 where a count or a ply belongs"),
        ("0/2", "has a 0"),
        ("0", "has a 0"),
        ("2/", "breaks off after the /"),
        ("16 x", "breaks off after the x"),
        ("/2", "could not be read as a yarn"),
        ("16/2/3", "could not be read as a yarn"),
        ("-16/2", "could not be read as a yarn"),
        ("16/-2", "could not be read as a yarn"),
        ("cotton", "could not be read as a yarn"),
        ("🧶", "could not be read as a yarn"),
        ("16.5/2.5", "neither number is a whole number of plies"),
        ("2-ply 16/2", "names the ply twice"),
        ("Ne 16 tex", "names two ways of counting"),
        ("16 linen worsted", "names two ways of counting"),
        ("2/16 wool", "Wool is counted in several systems"),
        ("22/2 cottolin", "Cottolin is counted in several systems"),
        ("16/2 furlong", "“furlong” in “16/2 furlong” is no count system"),
        ("<b>16/2</b>", "no count system"),
        ("NaN", "no count system"),
        ("1e400", "no count system"),
        ("250 g", "250 g is a weight; a yarn is wanted"),
        ("48 cm", "48 cm is a length; a yarn is wanted"),
        ("6720/2 yd/lb", "speaks of the yarn as it is"),
        ("0 yd/lb", "without length or weight"),
        ("1000/500", "would have 500 plies"),
        ("6,720 yd/lb", "can be read in two ways"),
        ("13.500 m/kg", "thicker than any yarn"),
        ("0.001", "thicker than any yarn"),
        ("900000 Ne", "finer than any yarn"),
        ("9" * 100, "larger than anything"),
        ("x" * 10_000, "far too long"),
        ("16/2 " * 3_000, "far too long"),
    ],
)
def test_what_is_no_yarn_gets_a_sentence(label, words):
    with pytest.raises(InputError, match=words) as error:
        parse_yarn(label, field="warp_yarn")
    assert error.value.field == "warp_yarn"
    assert error.value.hint
    assert len(error.value.message) < 200


def attempt(label, system):
    try:
        return parse_yarn(label, system), None
    except InputError as error:
        return None, error


LABELS = st.one_of(
    st.text(max_size=300),
    st.text(alphabet="0123456789./,-x×s'½ NelmtxcdykgbRr", max_size=25),
    st.builds(
        "{} {}/{} {}".format,
        st.sampled_from(["", "Ne", "Nm", "R", "lea", "silk"]),
        st.integers(-2, 500),
        st.integers(-2, 500),
        st.sampled_from(["", "tex", "den", "s", "yd/lb", "cotton", "m/kg", "2-ply"]),
    ),
)


@given(LABELS, st.sampled_from(sorted(SYSTEMS)))
@settings(max_examples=5 * settings.default.max_examples)
def test_any_text_is_a_yarn_or_a_sentence(label, system):
    yarn, refused = attempt(label, system)
    if refused:
        assert refused.message
        assert refused.hint
    else:
        assert FINEST_TEX <= yarn.tex <= THICKEST_TEX
        assert yarn.plies >= 1
        assert all(reading.tex > 0 for reading in yarn.readings)


@given(st.integers(1, 200), st.integers(2, 12))
def test_the_fold_may_stand_first_or_last(count, fold):
    last, first = parse_yarn(f"{count}/{fold}"), parse_yarn(f"{fold}/{count}")
    assert last.tex == first.tex
    assert {reading.tex for reading in last.readings} == {reading.tex for reading in first.readings}


@given(st.integers(100, 100_000))
def test_a_whole_number_of_yards_stays_whole(yards):
    yarn = parse_yarn(f"{yards} yd/lb")
    assert yarn.count == yards
    assert yards_per_pound(yarn.tex) == pytest.approx(yards, rel=1e-15)


@pytest.mark.parametrize(
    ("label", "system", "count", "plies", "tex"),
    [
        ("½ run", "woollen_run", 0.5, 1, COTTON * 840 / 1600 / 0.5),
        ("3 3/4 run", "woollen_run", 3.75, 1, COTTON * 840 / 1600 / 3.75),
        ("three-fold 60s cotton", "cotton", 60, 3, COTTON / 20),
        ("four-cord 60s", "cotton", 60, 4, COTTON / 15),
        ("60s six-ply", "cotton", 60, 6, COTTON / 10),
        ("16/2.", "cotton", 16, 2, COTTON / 8),
        (" 16/2, ", "cotton", 16, 2, COTTON / 8),
        ("1000/200", "cotton", 1000, 200, COTTON / 5),
        ("70/12 den", "denier", 70, 12, 70 * 12 / 9),
        ("70/13 den", "denier", 70, 1, 70 / 9),
        ("0.05 tex", "tex", 0.05, 1, 0.05),
        ("R 50000 tex", "tex", 50_000, 1, 50_000),
        ("13.5 km/kg", "metres_per_kilogram", 13_500, 1, 1e6 / 13_500),
        ("20160 ft/lb", "yards_per_pound", 6720, 1, COTTON / 8),
        ("1 km / 125 g", "metres_per_kilogram", 8000, 1, 125),
        ("16/2" + " " * 196, "cotton", 16, 2, COTTON / 8),
    ],
)
def test_notations_at_their_edges(label, system, count, plies, tex):
    yarn = parse_yarn(label)
    assert (yarn.system, yarn.count, yarn.plies) == (system, pytest.approx(count), plies)
    assert yarn.tex == pytest.approx(tex, rel=1e-12)


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ("16/2" + " " * 197, "far too long"),
        ("1000/201", "would have 201 plies"),
        ("40 2/2", "could not be read as a number"),  # 2/2 is no part of a count
        ("16 3/2", "could not be read as a number"),
        ("0.0499 tex", "finer than any yarn"),
        ("R 50001 tex", "thicker than any yarn"),
        ("-R 16/2", "could not be read as a yarn"),
        ("-2-ply 16s", "could not be read as a yarn"),
        ("- 16 lea", "could not be read as a yarn"),
    ],
)
def test_what_is_no_yarn_any_more(label, words):
    with pytest.raises(InputError, match=words) as error:
        parse_yarn(label)
    assert error.value.field == "yarn"


@pytest.mark.parametrize(
    "label",
    [
        "linen 16",
        "linen 16/1",
        "Ne 16",
        "R 74 tex",
        "74/1 tex",
        "60 spun silk",
        "60/1 silk",
        "16 ne",
    ],
)
def test_other_labels_that_can_mean_one_thing(label):
    yarn = parse_yarn(label)
    assert len(yarn.readings) == 1
    assert yarn.note == ""


def test_the_fold_is_doubted_up_to_the_most_plies_there_are():
    assert [one.tex for one in parse_yarn("200/2").readings] == pytest.approx(
        [COTTON / 100, COTTON * 200 / 2]
    )
    assert len(parse_yarn("201/2").readings) == 1


def test_cotton_leas_are_folded_too():
    tex = [one.tex for one in parse_yarn("16 lea 2-ply").readings]
    assert tex == pytest.approx([LINEN / 8, LINEN * 2.5 / 8])
    assert any(one.tex == pytest.approx(LINEN * 2.5 / 8) for one in parse_yarn("16/2 lea").readings)


def test_filaments_are_said_to_be_no_plies():
    assert "filaments, not plies" in parse_yarn("70/34 den").note


@pytest.mark.parametrize(
    "label",
    [*("150 m / 1,250 g", "1,250 m / 50 g", "16/1,250", "1,250/2", "1,250"), "2/16 of nothing"],
)
def test_every_part_of_a_label_is_refused_beside_the_same_field(label):
    with pytest.raises(InputError) as error:
        parse_yarn(label, field="weft_yarn")
    assert error.value.field == "weft_yarn"


def test_a_system_nobody_knows_is_refused_beside_the_yarn():
    with pytest.raises(InputError, match="furlongs") as error:
        parse_yarn("16/2", "furlongs", "weft_yarn")
    assert error.value.field == "weft_yarn"
