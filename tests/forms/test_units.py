"""A bare number has one meaning: the reader's centimetres, or the reader's inches."""

import re
from collections.abc import Callable
from typing import Any
from urllib.parse import parse_qsl

import pytest

import calculators
from calculators.__main__ import main
from calculators.data import load
from calculators.engine.calculator import Calculator, Field
from calculators.engine.reading import read_inputs
from calculators.engine.run import work_out
from calculators.errors import InputError
from calculators.page import respond
from calculators.quantities import parse
from calculators.quantities.units import UNITS
from calculators.records.book import read_records
from calculators.registry import registry
from calculators.sett.reeds import parse_reeds
from calculators.shelf.cones_and_looms import read_shelf
from calculators.show.html import reading_html
from calculators.show.in_inches import example_in_inches
from calculators.show.pairs import inches_first, sentence_html
from tests.every import of_every

# What weavers count in: cloth in cm or inches, warps and yarn in metres or yards.
LONG = {"warp_length", "circumference", "loom_longest_warp", "longest_warp", "length"}
HEAVY = {"loom_carries", "yarn_mass"}
TYPED = ("12", "1 1/2", "0,5", "250")
FIELDS = [
    (calculator.id, field) for calculator in registry().values() for field in calculator.fields
]


def written_out(field: Field, text: str) -> tuple[str, str]:
    """What a weaver would write who trusts nobody, in cm and in inches."""
    if field.kind == "reed" or field.name == "reeds":
        return f"{text} per 10 cm", f"{text} per inch"
    if field.kind == "density":
        return f"{text} /cm", f"{text} per inch"
    if field.kind == "price":
        return f"{text} per kg", f"{text} per lb"
    if field.kind == "mass":
        pair = ("kg", "lb") if field.name in HEAVY else ("g", "oz")
    elif field.name == "step":
        pair = ("mm", "in")
    elif field.kind == "length" or field.name in ("turn_allowance", "washed_width"):
        pair = ("m", "yd") if field.name in LONG else ("cm", "in")
    else:
        return text, text
    return f"{text} {pair[0]}", f"{text} {pair[1]}"


def read(calculator: str, field: Field, text: str, units: str) -> Any:
    """What reaches the calculator, or what is wrong with it."""
    readings, errors = read_inputs(registry()[calculator], {field.name: text}, units)
    return readings[field.name].value if field.name in readings else errors[0].message


@of_every(FIELDS)
def test_a_bare_number_is_the_same_as_with_its_unit(calculator: str, field: Field) -> None:
    if field.kind in ("text", "lines"):
        return  # read by its room, below
    for text in TYPED:
        for units, full in zip(("cm", "inch"), written_out(field, text), strict=True):
            assert read(calculator, field, text, units) == read(calculator, field, full, ""), units
            other = "inch" if units == "cm" else "cm"
            assert read(calculator, field, full, other) == read(calculator, field, full, "")


@of_every(FIELDS)
def test_no_worked_example_depends_on_the_reader(calculator: str, field: Field) -> None:
    by_room: dict[str, Callable[..., Any]] = {
        "reeds": lambda text, units: list(parse_reeds(text, units=units).values()),
        "cones": lambda text, units: read_shelf(text, units=units),
        "records": lambda text, units: read_records(text, units=units),
    }
    read_text = by_room.get(field.name, lambda text, units: read(calculator, field, text, units))
    in_cm, in_inches, alone = (read_text(field.default, units) for units in ("cm", "inch", ""))
    assert in_cm == in_inches == alone


def results(calculator: str, inputs: dict[str, str], units: str = "") -> Any:
    found = calculators.run(calculator, inputs, units)
    assert found["ok"], found
    return found["results"], [table["rows"] for table in found["tables"].values()]


@pytest.mark.parametrize(
    ("calculator", "name", "bare", "full"),
    [
        ("weft", "turn_allowance", "1", ("1 cm", "1 in")),
        ("cloth-plan", "turn_allowance", "1 1/2", ("1 1/2 cm", "1 1/2 in")),
        ("enough-yarn", "turn_allowance", "1", ("1 cm", "1 in")),
        ("record", "washed_width", "20,5; 20", ("20,5 cm; 20 cm", "20,5 in; 20 in")),
        ("next-guess", "records", "A; 16/2; satin_5; oak; waste 60",
         ("A; 16/2; satin_5; oak; waste 60 cm", "A; 16/2; satin_5; oak; waste 60 in")),
        ("shelf", "cones", "A; 16/2; 40; empty 2\nB; 16/2; gross 60; white",
         ("A; 16/2; 40 g; empty 2 g\nB; 16/2; gross 60 g; white",
          "A; 16/2; 40 oz; empty 2 oz\nB; 16/2; gross 60 oz; white")),
    ],
)  # fmt: skip
def test_text_fields_count_as_the_reader_does(
    calculator: str, name: str, bare: str, full: tuple[str, str]
) -> None:
    for units, written in zip(UNITS, full, strict=True):
        assert results(calculator, {name: bare}, units) == results(
            calculator, {name: written}, units
        )


def test_reeds_count_as_the_reader_does() -> None:
    typed = "50, 12-dent, 60/10"
    assert list(parse_reeds(typed, units="cm").values()) == pytest.approx([12.7, 12, 15.24])
    assert list(parse_reeds(typed, units="inch").values()) == pytest.approx([50, 12, 15.24])
    assert list(parse_reeds(typed)) == typed.split(", ")
    assert list(parse_reeds(typed, units="inch")) == ["50 dpi", "12-dent", "60/10"]
    for calculator in ("denting", "cloth-plan", "shelf"):
        bare = results(calculator, {"reeds": "50, 60"}, "cm")
        assert bare == results(calculator, {"reeds": "50/10, 60/10"})


def test_a_loom_written_among_the_cones_counts_as_the_reader_does() -> None:
    cone, loom = "A; 16/2; 40 g\n", "Loom: Oak; width {}; shafts 8; reeds {}; waste {}; longest {}"
    for units, full in (
        ("cm", ("100 cm", "50/10", "120 cm", "20 m")),
        ("inch", ("100 in", "50 dpi", "120 in", "20 yd")),
    ):
        bare = read_shelf(cone + loom.format("100", "50", "120", "20"), units=units)
        assert bare.looms == read_shelf(cone + loom.format(*full)).looms


def test_a_table_pasted_into_the_shelf_says_the_same_to_every_reader() -> None:
    table = "name,yarn,gross,empty\nA,16/2,40,2\n"
    assert read_shelf(table, units="inch") == read_shelf(table, units="cm") == read_shelf(table)


def test_without_a_reader_each_field_keeps_its_own_unit() -> None:
    """As the first edition's contract had it."""
    assert results("winding", {"warp_length": "500"}) == results("winding", {"warp_length": "5 m"})
    assert results("sett-change", {"sett": "30"}) == results("sett-change", {"sett": "30 per inch"})


def test_the_contract_and_the_command_line_take_the_readers_units(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = calculators.run("wash-test", {"before": "14", "after": "13"}, "inch")
    assert found["units"] == "inch"
    assert found["inputs"]["before"]["text"]["imperial"] == "14 in"
    assert calculators.run("wash-test")["units"] == ""
    fields = {one["name"]: one for one in calculators.describe()[-1]["fields"]}
    assert fields["loom_width"]["units"] == {"cm": "cm", "inch": "in"}
    assert fields["reeds"]["units"] == {"cm": "1/10cm", "inch": "1/inch"}
    assert main(["run", "wash-test", "before=10", "--units", "inch", "after=9"]) == 0
    assert main(["run", "wash-test", "before=10", "--units", "inch", "after=9.5 in", "--json"]) == 0
    assert '"units": "inch"' in capsys.readouterr().out


def test_units_that_nobody_counts_in_are_refused() -> None:
    found = calculators.run("warp", {}, "ell")
    assert not found["ok"]
    assert found["errors"][0]["field"] == "units"
    assert "cm or inch" in found["errors"][0]["hint"]


def test_the_page_asks_in_the_readers_units() -> None:
    reply = respond('{"call": "answer", "id": "warp", "inputs": {"hem": "2"}, "units": "inch"}')
    assert "2 in" in reply
    cone = '{"call": "cones", "cones": "", "units": "inch", "cone": {"yarn": "16/2", "gross": "8"}}'
    assert "(8 oz) of yarn" in respond(cone)


# What a fine scale, a tape or a raddle reads is the nearest step that there is, or stays in grams.
STEPS = {"1 g", "1 mm", "10/10"}
FINE = {"1.48 g", "0.01 g"}


def test_the_worked_examples_in_inches_are_near_those_in_centimetres() -> None:
    for metric, imperial in load("in_inches").items():
        if "," in metric:
            continue
        kind = next(
            one
            for one in (
                parse.parse_length,
                parse.parse_mass,
                parse.parse_density,
                parse.parse_reed,
                parse.parse_price,
            )
            if not refused(one, metric)
        )
        share = kind(imperial) / kind(metric)
        assert 0.9 < share < 1.1 or metric in STEPS, (metric, imperial)
        assert not re.search(r"cm|mm|\dg|kg", imperial)


def refused(parser: Callable[[str], float], text: str) -> bool:
    try:
        parser(text)
    except InputError:
        return True
    return False


@of_every(list(registry().values()))
def test_each_worked_example_has_its_figures_in_inches(calculator: Calculator) -> None:
    if calculator.stages is not None:
        return  # searched for, and long: the page of it is built
    example = example_in_inches(work_out(calculator, {}))
    assert example.answer is not None, example.errors
    assert len(example.answer.cautions) <= len(calculators.run(calculator.id)["cautions"])
    for field in calculator.fields:
        typed = example.readings[field.name].typed
        if field.bare_unit("cm") != field.bare_unit("inch") and field.default not in FINE:
            assert not re.search(r"\d ?(cm|mm|m|g|kg)\b|/cm|/10", typed), (field.name, typed)


def test_a_reed_is_told_in_the_readers_numbering() -> None:
    """Dents in 10 cm, or in an inch: the reader sees one of them, and what was typed not again."""
    told = calculators.run("cloth-plan", {"raddle": "12-dent"})["inputs"]["raddle"]["text"]
    assert told == {"metric": "47.2/10", "imperial": "12-dent"}
    assert 'class="ft-metric">60/10<' in sentence_html("a 60/10 (15.2-dent) reed")
    assert inches_first("4, 3   60/10 (15.2-dent)") == "4, 3   15.2-dent (60/10)"
    assert inches_first("at 60 °C (140 °F)") == "at 140 °F (60 °C)"
    assert inches_first("Or 34/2. 100 m (109 yd) tell") == "Or 34/2. 109 yd (100 m) tell"
    assert 'class="ft-metric">13,547 m/kg<' in sentence_html("16/2 goes 13,547 m/kg (6,720 yd/lb)")
    field = next(one for one in registry()["cloth-plan"].fields if one.name == "raddle")
    for typed, new in (("2 per inch", "7.9/10"), ("10/10", "2.5-dent")):
        readings, _ = read_inputs(registry()["cloth-plan"], {"raddle": typed})
        assert re.sub("<[^>]*>", "", reading_html(field, readings["raddle"])) == new


def test_the_forms_of_the_sett_open_in_the_readers_figures() -> None:
    for calculator, wanted in (("sett-change", "30 /in"), ("denting", "45 /in")):
        example = example_in_inches(work_out(registry()[calculator], {}))
        assert example.readings["sett"].typed == wanted
        assert registry()[calculator].fields[0].default.endswith(" /cm")
    assert example.readings["reeds"].typed.count("dpi") == 5


def test_an_ideas_link_numbers_the_reeds_as_the_reader_does() -> None:
    cones = "A; 16/2 cotton; 412 g; empty 38 g\nB; 16/2 cotton; 412 g; empty 38 g"
    asked = {
        "cones": cones,
        "reeds": "12-dent, 60/10, 8.5 dpi",
        "article": "napkins",
        "places": "1",
    }
    for units, reeds in (("cm", "12 dpi, 60/10, 33.46"), ("inch", "12 dpi, 60/10, 8.5 dpi")):
        answer = work_out(registry()["shelf"], asked, units=units).answer
        assert answer is not None
        link = dict(parse_qsl(answer.cards[0].address.partition("#")[2]))
        assert link["reeds"].startswith(reeds)
        assert list(parse_reeds(link["reeds"]).values()) == pytest.approx([12, 15.24, 8.5])
