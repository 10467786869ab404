import copy
import json
from decimal import Decimal

import pytest

from scripts import check_references
from scripts.check_references import main, published_rows, report, sources

ROWS = published_rows()
WORKS = sources()
FOUND = report(ROWS, WORKS)
BY_ID = {row["id"]: row for row in ROWS}


def judged(row, works=WORKS):
    return report([row], works).outcomes[0]


def changed(row_id, **new):
    row = copy.deepcopy(BY_ID[row_id]) | new
    return {name: value for name, value in row.items() if value is not None}


def test_every_published_value_is_met():
    assert FOUND.misses == []


def test_at_least_five_hundred_values_are_worked_out_and_differ_from_each_other():
    assert len(FOUND.checked) >= 600
    assert len(FOUND.checked) - FOUND.repeated >= 500


def shifted(value, by):
    if isinstance(value, bool):
        return not value
    if isinstance(value, list):
        return [*value[:-1], shifted(value[-1], by)] if value else [1]
    return value + by


@pytest.mark.parametrize("outcome", FOUND.checked, ids=lambda outcome: outcome["id"])
def test_a_changed_value_misses(outcome):
    size = abs(outcome.published) if isinstance(outcome.published, int | float) else 1
    far = Decimal(str(3 * outcome.tolerance + 1e-6 * size))
    row = copy.deepcopy(outcome.row)
    row["tolerance"] = outcome.tolerance
    row["value"] = shifted(row["value"], far)
    assert judged(row).verdict == "MISS"


def test_errata_give_the_right_value_and_not_the_misprint():
    errata = [outcome for outcome in FOUND.outcomes if "misprint" in outcome.row]
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
        ({"check": "astrology"}, "no check"),
        ({"check": None}, "either a check or a reason"),
        ({"unused": "no reason"}, "either a check or a reason"),
        ({"value": None}, "nothing to check"),
    ],
)
def test_a_row_that_cannot_be_checked_is_at_fault(new, words):
    found = judged(changed("tay-03", **new))
    assert found.verdict == "FAULT"
    assert words in found.reason


def test_one_id_stands_for_one_row():
    found = report([BY_ID["tay-03"], BY_ID["tay-03"]], WORKS)
    assert [outcome.verdict for outcome in found.outcomes] == ["FAULT", "FAULT"]


def test_what_the_package_refuses_is_a_miss_and_told():
    found = judged(changed("tay-03", inputs={"counts": [60, 0]}))
    assert found.verdict == "MISS"
    assert "InputError" in found.reason


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
    for outcome in FOUND.unused:
        assert len(outcome.reason) > 10


def test_values_from_memory_and_common_practice_are_marked():
    for outcome in FOUND.outcomes:
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


@pytest.mark.parametrize(("prefix", "least"), FAMILIES.values(), ids=FAMILIES.keys())
def test_the_tables_that_matter_are_there(prefix, least):
    assert sum(outcome["id"].startswith(prefix) for outcome in FOUND.checked) >= least


@pytest.mark.parametrize("name", NAMED)
def test_the_worked_examples_that_matter_are_checked(name):
    assert name in {outcome["id"] for outcome in FOUND.checked}
