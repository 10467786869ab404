"""Results that are right and foolish: each caution just past its limit, and none just before it."""

import random

import pytest

import calculators
from calculators.quantities.sentences import RANGE_MEANS
from calculators.yarn.unknown import tex_from_sample


def said(calculator, given, words):
    found = calculators.run(calculator, given)
    assert found["ok"], found
    return any(words in one for one in found["cautions"])


KNOWN = {
    "width_shrinkage": "5 %", "length_shrinkage": "8 %", "draw_in": "4 %", "take_up": "6 %",
}  # fmt: skip
ONE = "A; 16/2; satin_5; oak; length {} %"
# calculator, words of the caution, fields just before its limit, fields just past it
LIMITS = [
    ("record", "longer than its warp", {"woven_length": "329 cm"}, {"woven_length": "330 cm"}),
    ("record", "wider than the ends", {"loom_width": "54.8 cm"}, {"loom_width": "54.9 cm"}),
    ("record", "grown wider", {"washed_width": "52.6 cm"}, {"washed_width": "52.7 cm"}),
    ("record", "grown longer", {"washed_length": "80.3 cm"}, {"washed_length": "80.5 cm"}),
    ("record", "more than 25 %", {"washed_length": "60 cm"}, {"washed_length": "59.9 cm"}),
    ("record", "more than 20 %", {"loom_width": "43.9 cm"}, {"loom_width": "43.8 cm"}),
    ("record", "more than 30 %", {"woven_length": "253.1 cm"}, {"woven_length": "253 cm"}),
    ("record", "from the first wash to the last", {"washed_length": "76 cm, 76.3 cm"},
     {"washed_length": "76 cm, 76.4 cm"}),
    ("record", "off the loom is less", {"off_length": "75.3 cm"}, {"off_length": "75.2 cm"}),
    ("record", "from the tape alone", {"step": "5 mm"}, {"step": "10 mm"}),
    ("record", "Thrums of nought", {"thrums": "1 cm"}, {"thrums": "0 cm"}),
    ("record", "More than half", {"thrums": "240 cm"}, {"thrums": "241 cm"}),
    ("next-guess", "None of your records", {"loom": "oak"}, {"loom": "elm"}),
    ("next-guess", "nought or less", {"records": ONE.format(0.1)}, {"records": ONE.format(0)}),
    ("next-guess", "far outside", {"records": ONE.format(19.9)}, {"records": ONE.format(20.1)}),
    ("next-guess", "more than 25 %", {"records": ONE.format(25)}, {"records": ONE.format(25.1)}),
    ("next-guess", "off by more than all", {"loom_waste": "40 cm"}, {"loom_waste": "39 cm"}),
    ("next-guess", "low at nought", {"records": ONE.format(6)}, {"records": ONE.format(0.5)}),
    ("enough-yarn", "fewer than the", {"accepted": "45 %"}, {"accepted": "60 %"}),
    ("enough-yarn", "one cloth in two hundred", {"accepted": "0.5 %"}, {"accepted": "0.4 %"}),
    ("enough-yarn", "those for 0.1 %", {"accepted": "0.1 %"}, {"accepted": "0.09 %"}),
    ("enough-yarn", "given as one figure", KNOWN | {"take_up": "5–6–7 %"}, KNOWN),
    ("enough-yarn", "taken as nothing", {"empty": "1 g"}, {"empty": "0 g"}),
    ("enough-yarn", "from an empty one", {"gross": "40 g"}, {"gross": "39 g"}),
    ("enough-yarn", "finer scale", {"scale_step": "18 g"}, {"scale_step": "19 g"}),
    ("enough-yarn", "off by more than all", {"waste_spread": "140 cm"}, {"waste_spread": "141 cm"}),
    ("enough-yarn", "hardly a label", {"count_tolerance": "10 %"}, {"count_tolerance": "11 %"}),
    ("cone", "scale’s step alone", {"gross": "86 g"}, {"gross": "85 g"}),
    ("cone", "not this very cone", {"gross": "56 g"}, {"gross": "55 g"}),
    ("cone", "hardly a label", {"tolerance": "10 %"}, {"tolerance": "11 %"}),
    ("unknown-yarn", "scale’s step leaves", {"mass": "0.2 g"}, {"mass": "0.19 g"}),
    ("unknown-yarn", "The length leaves", {"length_off": "2.5 %"}, {"length_off": "2.6 %"}),
    ("unknown-yarn", "taken as exact", {"scale_step": "0", "length_off": "0.1 %"},
     {"scale_step": "0", "length_off": "0"}),
    ("unknown-yarn", "finer than any thread", {"mass": "0.04 g"}, {"mass": "0.039 g"}),
    ("unknown-yarn", "thicker than any yarn", {"mass": "20 g"}, {"mass": "20.1 g"}),
    ("yarn-count", "finer than any thread", {"yarn": "2 tex"}, {"yarn": "1.99 tex"}),
    ("yarn-count", "thicker than any yarn", {"yarn": "1000 tex"}, {"yarn": "1001 tex"}),
    ("cone", "finer than any thread", {"yarn": "2 tex"}, {"yarn": "1.99 tex"}),
    ("folded-yarn", "times as heavy", {"yarns": "80, 20"}, {"yarns": "81, 20"}),
    ("folded-yarn", "near enough", {"yarns": "60, 40", "wanted": "22.1"},
     {"yarns": "60, 40", "wanted": "22.2"}),
]  # fmt: skip


@pytest.mark.parametrize(("calculator", "words", "before", "past"), LIMITS)
def test_a_caution_speaks_past_its_limit_and_not_before(calculator, words, before, past):
    assert not said(calculator, before, words)
    assert said(calculator, past, words)


def test_no_amount_is_certain():
    errors = calculators.run("enough-yarn", {"accepted": "0 %"})["errors"]
    assert errors[0]["field"] == "accepted"


@pytest.mark.parametrize("calculator", ["enough-yarn", "next-guess", "cloth-plan"])
def test_the_meaning_of_a_range_is_told_wherever_one_is_typed(calculator):
    (described,) = (one for one in calculators.contract.describe() if one["id"] == calculator)
    fields = {one["name"]: one for one in described["fields"]}
    for name in ("width_shrinkage", "length_shrinkage", "draw_in", "take_up"):
        assert RANGE_MEANS in fields[name]["hint"]
    given = {"length_shrinkage": "5–8–12 %"}
    assert RANGE_MEANS in calculators.run(calculator, given)["notes"]


EVEN, BELL = "even", "bell"


@pytest.mark.parametrize("off", [0.002, 0.005, 0.02])
@pytest.mark.parametrize("step", [0.001, 0.01, 0.1])
@pytest.mark.parametrize("drawn", [EVEN, BELL])
def test_at_the_least_and_at_the_most_hold_the_yarn_nineteen_times_in_twenty(off, step, drawn):
    """Samples with a wrong length and a rounded weight: the true tex lies inside."""
    chance, inside, samples = random.Random(5), 0, 4_000
    for _ in range(samples):
        tex, told = chance.uniform(15, 150), chance.uniform(1_000, 6_000)
        wrong = chance.uniform(-off, off) if drawn == EVEN else chance.gauss(0, off / 1.96)
        read = round(told * (1 + wrong) * tex / 100_000 / step) * step
        if read <= step:
            inside += 1  # refused, or of no use: not counted against it
            continue
        found = tex_from_sample(told, read, step, off)
        inside += found.low <= tex <= found.high
    assert inside / samples >= 0.95 - 3 * (0.05 * 0.95 / samples) ** 0.5
