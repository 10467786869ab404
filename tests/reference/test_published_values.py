import ast
import copy
import inspect
import json
import re
import sys
import textwrap
import tomllib
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from calculators.engine.sources import sources
from scripts import check_references
from scripts.check_references import check, main, published_rows
from scripts.workings import WAYS, formula_of

ROWS = published_rows()
WORKS = sources()
BY_ID = {row["id"]: row for row in ROWS}


@cache
def every_row():
    return check(ROWS, WORKS)


def judged(row, works=WORKS):
    return check([row], works).outcomes[0]


def changed(row_id, **new):
    row = copy.deepcopy(BY_ID[row_id]) | new
    return {name: value for name, value in row.items() if value is not None}


def test_every_published_value_is_met():
    assert every_row().misses == []


def test_values_are_worked_out_and_differ_from_each_other():
    assert len(every_row().checked) >= 680
    assert len(every_row().checked) - every_row().repeated >= 600


def test_three_in_four_values_need_no_code_of_their_own():
    assert (
        sum("check" in outcome.row for outcome in every_row().checked)
        <= len(every_row().checked) / 4
    )


def shifted(value, by):
    if isinstance(value, bool):
        return not value
    if isinstance(value, list):
        return [*value[:-1], shifted(value[-1], by)] if value else [1]
    return value + by


def test_a_changed_value_misses():
    rows = []
    for outcome in every_row().checked:
        size = abs(outcome.published) if isinstance(outcome.published, int | float) else 1
        far = Decimal(str(3 * outcome.tolerance + 1e-6 * size))
        value = shifted(outcome.row["value"], far)
        rows.append(outcome.row | {"tolerance": outcome.tolerance, "value": value})
    held = [outcome["id"] for outcome in check(rows, WORKS).outcomes if outcome.verdict != "MISS"]
    assert held == []


OTHER_UNITS = {"yd": "m", "in": "cm", "/in": "/cm", "/yd": "/m", "lb": "kg", "oz": "g"}
UNIT = re.compile(rf"(?<=\d )({'|'.join(OTHER_UNITS)})$")


def with_another_unit(given):
    """What is given, the unit of its first quantity changed."""
    if isinstance(given, str):
        return UNIT.sub(lambda found: OTHER_UNITS[found[0]], given)
    pairs = given.items() if isinstance(given, dict) else enumerate(given)
    for name, quantity in pairs:
        changed = with_another_unit(quantity) if isinstance(quantity, str | dict | list) else ""
        if changed and changed != quantity:
            new = copy.copy(given)
            new[name] = changed
            return new
    return given


def in_other_units(row):
    """A row with one unit changed, once in what is given and once in what is printed."""
    for name in ("typed", "given"):
        if name in row and (changed := with_another_unit(row[name])) != row[name]:
            yield row | {name: changed, "id": f"{row['id']}, {name}"}
    told = "told_in" if "told_in" in row else "unit"
    if ("formula" in row or "calculator" in row) and str(row.get(told)) in OTHER_UNITS:
        yield row | {told: OTHER_UNITS[row[told]]}


def test_a_changed_unit_misses():
    rows = [other for outcome in every_row().checked for other in in_other_units(outcome.row)]
    assert len(rows) >= 200
    held = [outcome["id"] for outcome in check(rows, WORKS).outcomes if outcome.verdict != "MISS"]
    assert held == []


def inside(quantity):
    """A row, and every quantity that is worked out inside what it is given."""
    if isinstance(quantity, dict):
        if any(way in quantity for way in WAYS):
            yield quantity
        for part in quantity.values():
            yield from inside(part)
    elif isinstance(quantity, list):
        for part in quantity:
            yield from inside(part)


def singly(row):
    """A row whose ``given`` is several, once for each."""
    given = row["given"] if isinstance(row["given"], list) else [row["given"]]
    return [row | {"given": one} for one in given]


def formulas_of_rows():
    """Every formula that a row names, and the rows that do."""
    found = {}
    for row in (outcome.row for outcome in every_row().checked):
        for part in inside(row):
            for single in singly(part) if "formula" in part else ():
                record = formula_of(single)
                found.setdefault(record.function, {})[row["id"]] = row
    return found


OPPOSITE = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}


def with_another_operator(function):
    """The function once for each operator in it, that one turned into its opposite."""
    source = textwrap.dedent(inspect.getsource(function))
    places = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.BinOp)]
    for place in range(len(places)):
        tree = ast.parse(source)
        tree.body[0].decorator_list = []
        node = [node for node in ast.walk(tree) if isinstance(node, ast.BinOp)][place]
        if type(node.op) in OPPOSITE:
            node.op = OPPOSITE[type(node.op)]()
            names = dict(vars(sys.modules[function.__module__]))
            exec(compile(ast.fix_missing_locations(tree), function.__name__, "exec"), names)
            yield names[function.__name__]


def test_a_changed_operator_misses(monkeypatch):
    """Of every formula that rows name, some operator cannot be changed unnoticed."""
    used = formulas_of_rows()
    assert len(used) >= 15
    unnoticed = []
    for function, rows in used.items():
        noticed = False
        for other in with_another_operator(function):
            with monkeypatch.context() as patched:
                patched.setattr(sys.modules[function.__module__], function.__name__, other)
                outcomes = check(rows.values(), WORKS).outcomes
            noticed |= any(outcome.verdict == "MISS" for outcome in outcomes)
        if not noticed:
            unnoticed.append(function.__name__)
    assert unnoticed == []


def test_errata_give_the_right_value_and_not_the_misprint():
    errata = [outcome for outcome in every_row().outcomes if "misprint" in outcome.row]
    assert len(errata) >= 12
    for outcome in errata:
        assert outcome.verdict == "erratum"
        assert abs(outcome.ours - outcome.misprint) > abs(outcome.ours - outcome.published)


def test_a_misprint_that_comes_out_is_a_miss():
    found = judged(changed("BK-POS-3620", misprint=3600))
    assert found.verdict == "MISS"
    assert "misprint" in found.reason


@pytest.mark.parametrize("name", ["source", "locator", "grade", "basis", "quantity", "id"])
def test_a_row_without_its_citation_is_at_fault(name):
    found = judged(changed("tay-03", **{name: None}))
    assert found.verdict == "FAULT"
    assert name in found.reason


def test_a_source_that_is_missing_is_at_fault():
    works = {key: work for key, work in WORKS.items() if key != "taylor-1909"}
    found = judged(BY_ID["tay-03"], works)
    assert found.verdict == "FAULT"
    assert "taylor-1909" in found.reason


@pytest.mark.parametrize(
    ("new", "words"),
    [
        ({"calculator": "astrology"}, "no calculator «astrology»"),
        ({"calculator": None, "formula": "F-999"}, "no formula «F-999»"),
        ({"calculator": None, "check": "astrology"}, "no check «astrology»"),
        ({"calculator": None}, "one working or a reason"),
        ({"typed": "24s cotton"}, "one working or a reason"),
        ({"unused": "no reason"}, "one working or a reason"),
        ({"value": None}, "nothing to check"),
    ],
)
def test_a_row_that_cannot_be_checked_is_at_fault(new, words):
    found = judged(changed("tay-03", **new))
    assert found.verdict == "FAULT"
    assert words in found.reason


def test_one_id_stands_for_one_row():
    found = check([BY_ID["tay-03"], BY_ID["tay-03"]], WORKS)
    assert [outcome.verdict for outcome in found.outcomes] == ["FAULT", "FAULT"]


def test_what_the_package_refuses_is_a_miss_and_told():
    found = judged(changed("tay-03", given={"yarns": "60, 0"}))
    assert found.verdict == "MISS"
    assert "InputError" in found.reason


@pytest.mark.parametrize(
    ("row_id", "new", "words"),
    [
        ("BK-TAY-warp-yd", {"unit": "lb"}, "no unit for what comes in"),
        ("BK-TAY-warp-yd", {"given": {"ends": "2100", "warp_length": "95 lb"}}, "InputError"),
        ("BK-TAY-warp-yd", {"given": {"ends": "2100"}}, "2 formulas"),
        ("BK-TAY-warp-yd", {"given": {"ends": "2100", "loom_width": "95 yd"}}, "0 formulas"),
        ("D3883-crimp", {"gives": None}, "2 formulas"),
        ("tay-18", {"result": "profit"}, "KeyError"),
        ("tay-18", {"given": {"ends": "2100", "yarn": "30s cotton"}}, "InputError"),
        ("tay-18", {"given": {"ends": "2100", "finished_length": "95 yd", "pieces": "1"}}, "yarn"),
        ("TAY-220a", {"result": ["used", "whole", "left"]}, "another value"),
        ("RD-tay-hist", {"inputs": [{"system": "blackburn"}]}, "another value"),
        ("def-ply-silk2", {"told_in": ["cotton"]}, "not equally long"),
    ],
)
def test_a_working_that_does_not_hold_is_a_miss_and_told(row_id, new, words):
    found = judged(changed(row_id, **new))
    assert found.verdict == "MISS"
    assert words in found.reason


def test_what_a_row_leaves_out_is_nothing_and_never_the_page_s_example():
    row = BY_ID["tay-18"]
    zeros = ("hem", "gap", "sample", "take_up", "loom_waste", "length_shrinkage")
    given = row["given"] | dict.fromkeys(zeros, "0")
    assert not set(zeros) & set(row["given"])
    assert judged(row | {"given": given}).ours == judged(row).ours
    assert judged(row | {"given": row["given"] | {"hem": "4 cm"}}).ours > judged(row).ours


def test_a_value_of_another_kind_is_a_miss():
    assert judged(changed("tay-03", value=[24])).verdict == "MISS"
    assert judged(changed("SAT-7", value=[2, 3, 4])).verdict == "MISS"


@pytest.mark.parametrize(
    ("printed", "verdict"),
    [
        (Decimal("24"), "agrees"),
        (Decimal("24.0"), "agrees"),
        (Decimal("24.4"), "MISS"),
        (Decimal("23.96"), "MISS"),
        (24, "agrees"),
        (25, "MISS"),
    ],
)
def test_half_a_unit_of_the_last_printed_digit_is_allowed(printed, verdict):
    assert judged(changed("tay-03", value=printed)).verdict == verdict


def test_the_command_fails_on_a_miss_and_passes_otherwise(monkeypatch, capsys, tmp_path):
    assert main(["--json", str(tmp_path / "report.json")]) == 0
    said = capsys.readouterr().out
    assert "0 misses" in said
    assert "BK-WOL-6-weft" in said
    written = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))
    assert written["misses"] == 0
    assert len(written["rows"]) == len(ROWS)

    rows = [changed("tay-03", value=25)]
    monkeypatch.setattr(check_references, "published_rows", lambda: rows)
    assert main(["--misses"]) == 1
    assert "MISS" in capsys.readouterr().out


def test_rows_not_used_say_why():
    assert every_row().unused
    for outcome in every_row().unused:
        assert len(outcome.reason) > 10


def test_values_from_memory_and_common_practice_are_marked():
    for outcome in every_row().outcomes:
        if outcome["source"] in ("from-memory", "trade-knowledge"):
            assert outcome["basis"] in ("from memory", "common practice")
        assert outcome["grade"] in ("A", "B", "C")


FAMILIES = {
    "Taylor's table of diameters": ("BK-TAY-dia-", 68),
    "Blanco's folded counts": ("BK-BLA-", 4),
    "Brooks's reeds": ("BK-BRO-reed-", 12),
    "reed systems": ("RD-", 18),
    "Bell's mails and cards": ("BK-BEL-", 20),
    "Posselt's bordered cloths": ("BK-POS-", 38),
    "catalogue yarns in three units": ("yarn-", 78),
    "exact constants": ("c-", 35),
    "regular satins": ("SAT-", 13),
    **{f"Wolfensberger's cloth {number}": (f"BK-WOL-{number}-", 3) for number in range(1, 7)},
}
NAMED = [
    "BK-TAY-chgweave",
    "BK-TAY-chgcount",
    "BK-TAY-wt-count",
    "TAY-464-plain2twill",
    "P022",
    "brk-11",
    "brk-12",
    "BRO-weft",
    "tay-18",
    "tay-19",
    "BK-TAY-warp-yd",
    "BK-TAY-weft-yd",
    "GATE09-37a",
    "BK-BEL-press2000",
    "BK-BEL-cards",
    "BEL-79",
    "BK-POS-3360",
    "BK-POS-3620",
    "BK-POS-1008",
    "BK-POS-leash-1",
]


def test_the_tables_and_worked_examples_that_matter_are_there():
    checked = [outcome["id"] for outcome in every_row().checked]
    for prefix, least in FAMILIES.values():
        assert sum(name.startswith(prefix) for name in checked) >= least, prefix
    assert set(NAMED) <= set(checked)


def test_what_nothing_works_out_is_kept_outside_the_package():
    folder = Path(check_references.files("calculators.data")) / "published"
    inside = [
        row
        for path in folder.glob("*.toml")
        for row in tomllib.loads(path.read_text("utf-8"))["row"]
    ]
    kept = tomllib.loads(check_references.KEPT.read_text("utf-8"))["row"]
    assert not any("unused" in row for row in inside)
    assert all("unused" in row for row in kept)
    assert len(inside) + len(kept) == len(ROWS)
