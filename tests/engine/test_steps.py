"""Every line of «how this was worked out» is read back and worked out again."""

import re

import pytest
from hypothesis import settings

import calculators
from calculators.engine.formula import BOOK
from calculators.registry import registry
from scripts.same_answers import jobs
from tests.engine.evaluator import evaluate, quantity, sides, told_once
from tests.every import of_every

SEARCHES = ("shelf", "enough-yarn")  # too many formulas run there to be told
TOLD = [name for name in registry() if name not in SEARCHES]
JOBS = 4 * settings.default.max_examples * len(registry())
READERS = ("", "cm", "inch")  # each is asked a third of the jobs
ROUNDED = re.compile(r"(?P<exact>.+), (?P<way>up to|down to|nearest) (?P<whole>.+)")


def last_place(text: str) -> float:
    """Half a unit of the last place printed."""
    figure = re.match(r"[−-]?[\d\u202f]*(?:\.(\d+))?", text)
    assert figure
    return 0.5 * 10 ** -len(figure[1] or "") / (100 if text.endswith("%") else 1)


def same(one: str, other: str) -> None:
    """Whether two figures in different units are the same quantity, as far as they are printed."""
    (kind, value, half), (other_kind, other_value, other_half) = quantity(one), quantity(other)
    assert kind == other_kind, (one, other)
    assert value == pytest.approx(other_value, rel=6e-4, abs=half + other_half), (one, other)


def check(text: str) -> None:
    working, results = sides(text)
    working, pairs = told_once(working)
    for pair in pairs:
        same(*pair)
    for told in results:
        result, _, otherwise = told.partition(", or ")
        rounded = ROUNDED.fullmatch(result)
        exact = rounded["exact"] if rounded else result
        if otherwise:
            same(rounded["whole"] if rounded else exact, otherwise)
        found, printed = evaluate(working), evaluate(exact)
        assert found == pytest.approx(printed, rel=1e-9, abs=last_place(exact) * 1.0001), text
        if rounded:
            whole = evaluate(rounded["whole"])
            way = rounded["way"]
            assert whole == int(whole)
            off = whole - printed
            reach = last_place(exact)
            if way == "up to":
                assert -reach <= off < 1 + reach, text
            elif way == "down to":
                assert -1 - reach < off <= reach, text
            else:
                assert abs(off) <= 0.5 + reach, text


@pytest.mark.parametrize("units", READERS)
def test_every_step_comes_out_as_printed(units: str) -> None:
    read = 0
    drawn = [job for job in jobs(JOBS, seed=3776) if job[0] in TOLD][READERS.index(units) :: 3]
    for name, inputs in [*((name, {}) for name in registry()), *drawn]:
        answer = calculators.run(name, inputs, units)
        for step in answer.get("steps", ()):
            records = BOOK.get(step["formula"], ())
            if all(record.words for record in records):
                continue
            check(step["working"])
            read += 1
    assert read > 100


WORLDS = {
    "cm": {"cm", "mm", "m", "g", "kg", "g/m²", "per cm"},
    "inch": {"in", "yd", "oz", "oz/yd²", "per inch"},
}
UNITS = re.compile(r"(?<![\w/])(?:per cm|per inch|g/m²|oz/yd²|mm|cm|kg|g|m|in|yd|oz)(?![\w/])")


@pytest.mark.parametrize("units", list(WORLDS))
def test_a_step_tells_every_quantity_in_what_the_reader_counts_in(units: str) -> None:
    """A figure in another unit has the reader's beside it."""
    for name in registry():
        for step in calculators.run(name, {}, units).get("steps", ()):
            text = re.sub(r"[\d.\u202f]+ [a-z ]+ (?=\()", "", step["working"])
            *working, result = text.split(" = ")
            told = result.partition(", or ")[2] or result
            found = set(UNITS.findall(" ".join((*working, told))))
            assert found <= WORLDS[units], f"{name}: {step['working']}"


@pytest.mark.parametrize(
    "broken",
    [
        "46 per inch × √(73.82 tex ÷ 39.37 tex) = 64 per inch",
        "46 per inch ÷ √(73.82 tex ÷ 39.37 tex) = 63 per inch",
        "374.13 cm ÷ 2.2 cm = 170.06, up to 172",
        "374.13 cm ÷ 2.2 cm = 171.06, up to 172",
        "374.13 cm × (1 − 0.06) + 140 cm = 536.58 cm",
        "147.3 in × (1 + 0.06) + 55.12 in = 211.26 in, or 5.87 m",
        "6 + 1 = 7 in, or 16 cm",
        "24 per cm (66 per inch) × 2.54 ÷ 5 = 12.19",
        "683 064 cm × 41.34 tex ÷ 100 000 = 282.4 g, or 282.4 oz",
    ],
)
def test_a_wrong_step_is_found(broken: str) -> None:
    with pytest.raises(AssertionError):
        check(broken)


def test_figures_nearly_alike_are_told_apart() -> None:
    """1/24 − 1/24.0001 is nought where both are rounded to 24."""
    answer = calculators.run("folded-yarn", {"yarns": "24.0001", "wanted": "24"})
    step = next(step for step in answer["steps"] if step["formula"] == "F-14")
    assert "24.0001" in step["working"]
    check(step["working"])


@of_every(TOLD)
def test_a_result_cites_a_formula_that_ran(name: str) -> None:
    ran = {step["formula"] for step in calculators.run(name)["steps"]}
    results = calculators.run(name)["results"]
    for output in registry()[name].outputs:
        if output.formula in BOOK and output.name in results:
            assert output.formula in ran, output.name
