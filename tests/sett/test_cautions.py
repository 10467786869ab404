"""Results that are right and foolish: a caution just past its limit, none just before it.

The limits are common practice, no source, but for the finest reed (Wolfensberger 1921, p. 70: silk
reeds of 50 to 90 dents per inch).
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators.sett.calculators import hand_weaving_caution


def told(calculator, words, **fields):
    """Whether a caution with these words is given."""
    done = calculators.run(calculator, fields)
    assert "errors" not in done, done
    return any(words in caution for caution in done["cautions"])


FURTHER = "hand weavers seldom pass"
ALIKE = "times as heavy"

# calculator, words of the caution, fields that both share, just before the limit, just past it
LIMITS = [
    ("denting", FURTHER, {"reeds": "25"}, {"sett": "100 /in"}, {"sett": "100.1 /in"}),
    (
        "sett-change",
        FURTHER,
        {"from_weave": "plain", "to_weave": "plain", "from_yarn": "1000 tex", "to_yarn": "10 tex"},
        {"sett": "10 /in"},
        {"sett": "10.01 /in"},
    ),
    # 0.85 × 0.9 × √(840 N) ÷ 2 = 100 in plain cloth: N = (200 ÷ 0.765)² ÷ 840 = 81.4.
    ("sett", FURTHER, {"weave": "plain"}, {"warp_yarn": "81/1"}, {"warp_yarn": "82/1"}),
    ("sett", ALIKE, {"warp_yarn": "50 tex"}, {"weft_yarn": "200 tex"}, {"weft_yarn": "201 tex"}),
    ("sett", ALIKE, {"warp_yarn": "200 tex"}, {"weft_yarn": "50 tex"}, {"weft_yarn": "49 tex"}),
    # 16/2 is 6,720 yd/lb: 0.7 × 0.9 × √6720 = 51.6 turns; 1.3 times that is 67.1, 0.7 times 36.2.
    ("sett", "turns in an inch", {"warp_yarn": "16/2"}, {"wraps": "67"}, {"wraps": "67.3"}),
    ("sett", "turns in an inch", {"warp_yarn": "16/2"}, {"wraps": "36.3"}, {"wraps": "36"}),
    (
        "sett-change", ALIKE, {"from_yarn": "50 tex"}, {"to_yarn": "200 tex"},
        {"to_yarn": "201 tex"},
    ),
    # 8/2 in plain cloth: half of 52.17 side by side (Ashenhurst's note: 52) is 26.09.
    (
        "sett-change", "closer than", {"from_yarn": "8/2", "from_weave": "plain"},
        {"sett": "26.08 /in"}, {"sett": "26.1 /in"},
    ),
    # Taken by the yarn alone: 52.17 of 8/2 lie in an inch.
    ("denting", "side by side", {"yarn": "8/2"}, {"sett": "52.1 /in"}, {"sett": "52.3 /in"}),
    ("denting", "none of these reeds", {"reeds": "10"}, {"sett": "10.3/in"}, {"sett": "10.31/in"}),
    ("denting", "Too few for one unit", {"ends_per_unit": "6"}, {"ends": "6"}, {"ends": "5"}),
    ("denting", "5 in a dent", {"reeds": "10"}, {"sett": "40 /in"}, {"sett": "50 /in"}),
    ("reed-number", "silk weavers", {"system": "dents_per_inch"}, {"reed": "90"}, {"reed": "90.1"}),
    ("reed-number", "so coarse", {"system": "dents_per_inch"}, {"reed": "2"}, {"reed": "1.9"}),
    ("satins", "few hand looms", {}, {"ends": "16"}, {"ends": "17"}),
    # Every second end crosses on each of 6 or 8 picks, the others twice: 3 and 4 times as often.
    (
        "weave", "take up unlike", {"weave": ""},
        {"matrix": " / ".join(["##.", ".##", "##.", "..#", "#..", "..#"])},
        {"matrix": " / ".join(["##.", ".##", "##.", ".##", "#..", "..#", "#..", "..#"])},
    ),
]  # fmt: skip


@pytest.mark.parametrize(("calculator", "words", "shared", "before", "past"), LIMITS)
def test_just_before_and_just_past_the_limit(calculator, words, shared, before, past):
    assert not told(calculator, words, **shared, **before)
    assert told(calculator, words, **shared, **past)


@given(st.floats(0.5, 2000))
def test_a_hundred_ends_an_inch(sett):
    assert bool(hand_weaving_caution(sett)) == (round(sett, 6) > 100)


@pytest.mark.parametrize("calculator", ["sett", "sett-change", "weave"])
def test_a_weave_in_two_layers_is_no_cloth(calculator):
    """Odd ends weave plain with odd picks above even ends with even picks: two cloths."""
    layers = "..#. / ###. / #... / #.##"
    field = {"sett": "weave", "sett-change": "to_weave", "weave": "matrix"}[calculator]
    done = calculators.run(calculator, {field: layers})
    assert any("comes apart" in caution for caution in done["cautions"])
    plain = calculators.run(calculator, {field: "#./.#"})
    assert not any("comes apart" in caution for caution in plain["cautions"])


def test_a_long_float_is_told_where_it_passes_a_centimetre():
    """A satin's float spans all ends but one; n-1 ends at the working sett of 16/2 cotton.

    0.85 × 73.78 × n/(n+2) to the inch: 22 ÷ (0.85 × 73.78 × 23/25) × 25.4 mm = 9.7 mm on 23 ends,
    23 ÷ (0.85 × 73.78 × 24/26) × 25.4 mm = 10.1 mm on 24.
    """
    assert not told("satins", "longest float", ends="23")
    assert told("satins", "longest float", ends="24")


def test_the_shelf_says_when_a_project_is_closer_than_hands_weave():
    """Of several the closest is named, once; the setts are read from the cards."""
    shelf = {"structure": "satin_8", "pattern_heddles": "10000", "reeds": "100/10, 80/10"}
    told_or_not = set()
    for yarn in ("16/2", "40/2", "60/2", "60/1"):
        done = calculators.run("shelf", {**shelf, "cones": f"A; {yarn} cotton; 3000 g"})
        setts = [
            float(found)
            for card in done["cards"]
            for line in card["lines"]
            for found in re.findall(r"^Sett .*?([\d.]+) per inch", line)
        ]
        assert len(setts) == len(done["cards"])
        cautions = [caution for caution in done["cautions"] if FURTHER in caution]
        assert len(cautions) == (max(setts) > 100)
        assert all(f"{max(setts):g} per inch" in caution for caution in cautions)
        told_or_not.add(bool(cautions))
    assert told_or_not == {False, True}


@pytest.mark.parametrize(
    "calculator", ["sett", "sett-change", "denting", "reed-number", "weave", "satins"]
)
def test_no_default_opens_with_a_caution(calculator):
    assert calculators.run(calculator, {})["cautions"] == []
