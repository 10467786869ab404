"""What was typed bare keeps its meaning when the reader begins to count in other units."""

import json
import re
import subprocess
from typing import Any

import pytest

from calculators.engine.calculator import BARE, Field
from calculators.engine.reading import KINDS
from calculators.errors import InputError
from calculators.loom.calculators import read_turn
from calculators.quantities.parse import parse_length, parse_list
from calculators.quantities.units import counted_in
from calculators.records.book import read_records
from calculators.registry import registry
from calculators.sett.reeds import parse_reeds
from calculators.shelf.cones_and_looms import read_shelf
from calculators.show.html import calculator_html
from scripts.setting_up.environment import ROOT
from scripts.setting_up.node import node_and_npm

READERS = ("", "cm", "inch")
FIGURES = ("12", " 19 1/2 ", "49,5", "½", "1 250", "1e2", "19-1/2")
WITH_UNITS = ("12 cm", "19 1/2 in", "5' 6\"", "5 ft 6", "8 oz", "2 %", "", "about 12", "24 /cm")
TEXTS = {
    "reeds": ("50, 60/10, 12 dpi", "8,10;12", "12-dent and 50 stockport", "40"),
    "washed_width": ("50,4; 50 cm", "20, 20 1/2", "50"),
    "washed_length": ("76, 75,6",),
    "turn_allowance": ("1", "1 1/2", "2 %", "1 cm"),
    "cones": (
        "A; 16/2; 400; empty 38\nB; 30; gross 412; step 5; note 12; white",
        "A; 16/2 cotton; 14 1/2 oz\nC; 16/2; 400; empty 12,5\n\nLoom: 7; width 120; shafts 8; "
        "heddles 300; reeds 40, 12 dpi, 60/10; waste 140; longest 20",
        "name,yarn,net\nA,16/2,400\n",
        '{"shelf": 1, "cones": [{"name": "A", "yarn": "16/2", "net": "400"}]}',
    ),
    "records": ("A; 16/2; satin_5; 7; width 4.2; waste 60\nB; 30/2; plain; oak; waste 151 cm",),
}


def written(cases: list[Any]) -> list[str]:
    done = subprocess.run(
        [node_and_npm()[0], str(ROOT / "tests/runtime/bare.mjs")],
        input=json.dumps(cases),
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    said: list[str] = json.loads(done.stdout)
    return said


def words_of(calculator: str) -> dict[str, dict[str, str]]:
    """The units of each field, as the page has them."""
    unit = re.compile('<span class="ft-unit" data-cm="(.*?)" data-inch="(.*?)">(.*?)<')
    words = {}
    for html in calculator_html(registry()[calculator]).split('<div class="ft-field" data-field="'):
        if found := unit.search(html):
            words[html.partition('"')[0]] = dict(
                zip(("cm", "inch", ""), found.groups(), strict=False)
            )
    return words


def read(field: Field, text: str, units: str) -> Any:
    if field.name == "reeds":
        return list(parse_reeds(text, units=units).values())
    if field.name == "turn_allowance":
        return read_turn({"turn_allowance": text, BARE: units})
    if field.name.startswith("washed_"):
        return [parse_length(one, counted_in("cm", units)) for one in parse_list(text)]
    if field.name == "cones":
        shelf = read_shelf(text, units=units)
        return [(one.net, one.step) for one in shelf.cones], shelf.looms
    if field.name == "records":
        return [one.losses for one in read_records(text, units=units)]
    try:
        return KINDS[field.kind].read(field, text, "cotton", units)
    except InputError:
        return "refused"


def test_every_field_written_out_says_the_same_to_every_reader() -> None:
    cases: list[tuple[str, Field, str, dict[str, Any], str]] = []
    known = []  # a field that several calculators have is asked once
    for calculator in registry().values():
        words = words_of(calculator.id)
        for field in calculator.fields:
            told = {"name": field.name, "kind": field.kind, "words": words.get(field.name)}
            alike = (told, field.unit, field.counted_in, field.minimum, field.maximum)
            if alike in known:
                continue
            known.append(alike)
            texts = TEXTS.get(field.name, (*FIGURES, *WITH_UNITS, "24 ends", "12 dents", "60/10"))
            cases += [
                (calculator.id, field, text, told, units) for text in texts for units in READERS
            ]
    said = written([[text, told, units] for _, _, text, told, units in cases])
    rewritten = 0
    for (calculator_id, field, text, _, units), full in zip(cases, said, strict=True):
        rewritten += full != text
        if field.kind in ("text", "lines") and field.name not in TEXTS:
            assert full == text
            continue
        for reader in READERS:
            assert read(field, full, reader) == read(field, text, units), (
                calculator_id,
                field.name,
                text,
                units,
                full,
                reader,
            )
    assert rewritten > 1000


@pytest.mark.parametrize(
    ("text", "kind", "words", "full"),
    [
        ("48", "length", "cm", "48 cm"),
        ("19 1/2", "length", "in", "19 1/2 in"),
        ("30", "density", "per inch", "30 per inch"),
        ("60", "reed", "per 10 cm", "60/10"),
        ("12", "reed", "per inch", "12 per inch"),
        ("50, 60/10", "text", "per 10 cm", "50/10, 60/10"),
        ("48 cm", "length", "in", "48 cm"),
        ("5 ft 6", "length", "in", "5 ft 6"),
    ],
)
def test_what_is_written_out_reads_as_a_weaver_writes(
    text: str, kind: str, words: str, full: str
) -> None:
    field = {"name": "x", "kind": kind, "words": {"": words, "cm": words, "inch": words}}
    assert written([[text, field, "cm"]]) == [full]


def test_a_plan_switched_twice_in_the_middle_is_the_same_plan() -> None:
    """Typed in cm, then in inches, then in cm again: each number means what it meant when typed."""
    words = {"": "cm", "cm": "cm", "inch": "in"}
    field = {"name": "hem", "kind": "length", "words": words}
    (first,) = written([["4", field, "cm", "inch"]])
    assert first == "4 cm"
    assert written([[first, field, "inch", "cm"], ["1 1/2", field, "inch", "cm"]]) == [
        "4 cm",
        "1 1/2 in",
    ]


def test_what_means_the_same_to_both_is_left_as_it_was_typed() -> None:
    """A link of before holds a sett for an inch: to a reader in inches it reads as it did."""
    sett = {"name": "sett", "kind": "density"}
    sett |= {"words": {"": "per inch", "cm": "per cm", "inch": "per inch"}}  # type: ignore[dict-item]
    assert written([["46", sett, "", "inch"], ["46", sett, "", "cm"]]) == ["46", "46 per inch"]
    lines = {"name": "cones", "kind": "lines", "words": {"": "g", "cm": "g", "inch": "oz"}}
    cone = "A; 16/2; 400"
    assert written([[cone, lines, "", "cm"], [cone, lines, "", "inch"]]) == [cone, f"{cone} g"]
