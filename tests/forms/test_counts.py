"""What is counted is told as one or as several, and no word stands twice."""

import json
import re
from collections.abc import Iterator, Mapping
from itertools import combinations

from hypothesis import settings

from calculators.engine.calculator import Calculator
from calculators.engine.reading import KINDS
from calculators.engine.run import work_out
from calculators.figure.loom_side import in_words, loom_side
from calculators.registry import registry
from calculators.show.html import answer_html, reading_html
from calculators.show.sheet import sheet_html
from calculators.show.text import answer_text
from scripts.pages.worked_examples import examples, page
from tests.every import of_every

SEVERAL = re.compile(
    r"(?<![\w.,/–×−-])(?<!\d[ \u202f])(?<!– )1 "
    r"(?!(?:across|as|is|less|mm|this|was)\b)(?:[a-z]+ )?(?!is\b)[a-z]+(?<!s)s\b"
)
TWICE = re.compile(r"\b([A-Za-z]{3,}) \1\b")
COUNTED = ("count", "number")
THOROUGH = settings.default.max_examples > 100


def small_jobs(calculator: Calculator) -> Iterator[Mapping[str, str]]:
    counts = [field.name for field in calculator.fields if field.kind in COUNTED]
    yield {}
    for number in ("1", "2") if THOROUGH else ("1",):
        yield from ({name: number} for name in counts)
    together = 2 if THOROUGH else len(counts)
    yield from (dict.fromkeys(some, "1") for some in combinations(counts, together))


def told(calculator: Calculator, typed: Mapping[str, str]) -> Iterator[str]:
    run = work_out(calculator, typed)
    yield from (f"{error.message} {error.hint}" for error in run.errors)
    for field in calculator.fields:
        if field.name in run.readings:
            yield reading_html(field, run.readings[field.name])
    if run.answer is None:
        return
    yield answer_text(run)
    yield answer_html(run)
    yield sheet_html(run, "", "", words=in_words(run))
    if calculator.woven_along:
        yield json.dumps(loom_side(run), ensure_ascii=False)


def faults(text: str) -> list[str]:
    plain = re.sub(r"<[^>]*>", " § ", text)
    return [found[0] for rule in (SEVERAL, TWICE) for found in rule.finditer(plain)]


def test_the_rules_find_what_they_are_for() -> None:
    for wrong in ("1 groups for each", "the 5 shafts shafts", "1 selvedge ends in none"):
        assert faults(wrong), wrong
    for right in ("1 group for each", "11 groups", "1 280 ends", "0.1 ends", "1 pass", "2–1 ends"):
        assert not faults(right), right


@of_every([one for one in registry().values() if one.stages is None])
def test_one_of_a_thing_is_not_told_as_several(calculator: Calculator) -> None:
    wrong = [
        (typed, fault)
        for typed in small_jobs(calculator)
        for text in told(calculator, typed)
        for fault in faults(text)
    ]
    assert not wrong, wrong[:5]


@of_every(examples)
def test_a_worked_examples_page_says_no_word_twice(example) -> None:  # type: ignore[no-untyped-def]
    assert not faults(page(example))


def test_a_list_to_choose_from_has_each_thing_once() -> None:
    for name, kind in KINDS.items():
        for offered in (kind.offered(), kind.options(), kind.drawn()):
            typed = [one[0] for one in offered]
            assert len(typed) == len(set(typed)), name
