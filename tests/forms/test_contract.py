"""The JSON contract, from Python, from the command line and from the page."""

import csv
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

import calculators
from calculators.__main__ import main
from calculators.page import respond
from calculators.registry import registry
from calculators.tables import TABLES as TABLE_MAKERS
from calculators.tables import table
from tests.every import of_every

CONTRACT = {
    "yarn-count": "tex decitex denier cotton_count linen_lea worsted_count metric_count "
    "woollen_run yards_per_pound metres_per_kilogram plies diameter diameters_per_inch",
    "unknown-yarn": "tex cotton_count linen_lea metric_count woollen_run tex_low tex_high",
    "cone": "net_mass length length_low length_high",
    "sett": "maximum working_low working working_high",
    "sett-change": "sett",
    "weave": "ends picks intersections average_float longest_float warp_share",
    "satins": "regular",
    "unit-grid": "units_across units_up units_per_inch unit_width unit_height squareness "
    "picks_for_square reed_width pattern_ends",
    "take-up": "take_up",
    "warp": "warp_length yarn_length yarn_mass waste_share",
    "weft": "yarn_length yarn_mass picks_total",
    "winding": "passes cross_groups groups_per_unit bouts turns walked",
    "harness": "pattern_heddles ground_heddles_per_shaft cords harness_mass",
    "rhythm": "temple_moves advances picks_total pirns hours",
    "cloth-weight": "grams_per_square_metre cover_warp cover_weft area_covered",
    "crimp": "crimp take_up",
    "wash-test": "change plan_factor",
    "figure": "units_across units_up units_drawn draws different_columns lone_units longest_float "
    "heaviest_row equal_rows face_down_saves",
}
TABLES = {
    "unknown-yarn": {"nearest"},
    "sett": {"methods"},
    "satins": {"counters"},
    "denting": {"choices"},
    "figure": {"rows"},
}


def command(*words: str, typed: str | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "calculators", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        input=typed,
        check=False,
    )


@of_every(list(CONTRACT))
def test_every_promised_result_is_there(name: str) -> None:
    promised = set(CONTRACT[name].split())
    assert promised <= {output.name for output in registry()[name].outputs}
    found = calculators.run(name)
    assert found["ok"], found
    assert promised - {"partner"} <= set(found["results"])
    assert TABLES.get(name, set()) <= set(found["tables"])


@of_every(list(registry()))
def test_the_worked_example_is_complete(name: str) -> None:
    found = calculators.run(name)
    assert found["ok"], found
    assert found["calculator"] == name
    assert found["steps"], "says how it was worked out"
    assert found["sources"], "names its sources"
    for field in found["inputs"].values():
        assert field["default"] is True


def test_codes_are_permanent_and_used_once() -> None:
    codes = [one.code for one in registry().values()]
    assert len(codes) == len(set(codes))


def test_unknown_names_are_refused_in_words() -> None:
    found = calculators.run("warp", {"no_such_field": "1"})
    assert found["ok"] is False
    assert found["errors"][0]["field"] == "no_such_field"
    assert "loom_waste" in found["errors"][0]["hint"]
    assert calculators.run("no-such-calculator")["ok"] is False


def test_command_line_answers_like_python() -> None:
    done = command("run", "yarn-count", "yarn=30/2", "system=cotton", "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == calculators.run(
        "yarn-count", {"yarn": "30/2", "system": "cotton"}
    )


def test_command_line_reads_json_from_a_pipe() -> None:
    done = command("run", "cone", "--input", "-", "--json", typed='{"gross": "412 g"}')
    assert json.loads(done.stdout)["inputs"]["gross"]["typed"] == "412 g"
    assert command("run", "warp", "--input", "-", typed="[1]").returncode == 2


def test_command_line_refuses_with_status_two() -> None:
    done = command("run", "yarn-count", "yarn=16/0", "--json")
    assert done.returncode == 2
    assert json.loads(done.stdout)["errors"][0]["field"] == "yarn"
    plain = command("run", "yarn-count", "yarn=16/0")
    assert plain.returncode == 2
    assert plain.stdout == ""
    assert "16/0" in plain.stderr
    assert main(["run", "warp", "picks"]) == 2
    assert main(["table", "no-such-table"]) == 2


def test_command_line_prints_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    done = command("run", "warp")
    assert done.returncode == 0, done.stderr
    assert "How this was worked out" in done.stdout
    assert main(["list"]) == 0
    assert "warp" in capsys.readouterr().out
    assert main(["list", "--json"]) == 0
    assert {one["id"] for one in json.loads(capsys.readouterr().out)} == set(registry())


def test_the_page_gets_the_same_numbers() -> None:
    inputs = {"yarn": "16/2", "system": "linen"}
    reply = json.loads(
        respond(json.dumps({"call": "answer", "id": "yarn-count", "inputs": inputs}))
    )
    assert reply["ok"] is True
    assert reply["json"] == calculators.run("yarn-count", inputs)
    assert reply["fields"]["yarn"]["error"] == ""


def test_the_page_keeps_good_readings_beside_an_error() -> None:
    request = {"call": "answer", "id": "cone", "inputs": {"gross": "412 g", "empty": "heavy"}}
    reply = json.loads(respond(json.dumps(request)))
    assert reply["ok"] is False
    assert reply["answer"] == ""
    assert f"{412 / 28.349523125:.1f} oz" in reply["fields"]["gross"]["read"]
    assert reply["fields"]["empty"]["error"]


def test_the_command_line_in_every_way_it_can_be_asked(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    plan = tmp_path / "plan.json"
    plan.write_text('{"pieces": "2"}', encoding="utf-8")
    assert main(["run", "warp", "--input", str(plan), "pieces=3", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["inputs"]["pieces"]["typed"] == "3"
    assert main(["run", "warp", "--input", str(tmp_path / "none.json")]) == 2
    assert "could not be read as JSON" in capsys.readouterr().err
    plan.write_text("[]", encoding="utf-8")
    assert main(["run", "warp", "--input", str(plan), "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["errors"][0]["field"] == "input"
    assert main(["run", "warp", "pieces"]) == 2
    assert "not NAME=VALUE" in capsys.readouterr().err
    for wrong in (["run", "warp", "--nonsense"], ["list", "warp", "weft"], ["weave"], []):
        with pytest.raises(SystemExit) as ended:
            main(wrong)
        assert ended.value.code == 2
        assert "usage" in capsys.readouterr().err
    assert main(["list", "sett"]) == 0
    listed = capsys.readouterr().out
    assert "One of: open, table, firm." in listed
    assert "or rows of # and . marks." in listed
    assert "loom_waste" not in listed
    assert main(["list", "nothing"]) == 2
    assert "cloth-plan" in capsys.readouterr().err
    assert main(["list", "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)) == len(registry())
    assert main(["table", "articles"]) == 0
    as_csv = list(csv.reader(capsys.readouterr().out.splitlines()))
    assert main(["table", "articles", "--format", "json"]) == 0
    as_json = json.loads(capsys.readouterr().out)
    assert as_csv[0] == as_json["columns"]
    assert len(as_csv) == len(as_json["rows"]) + 1
    assert main(["table", "nothing"]) == 2
    assert "no table called" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words", [["--help"], ["run", "--help"], ["table", "--help"], ["list", "-h"]]
)
def test_help_names_what_there_is(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 0
    shown = " ".join(capsys.readouterr().out.split())
    wanted = {"run": "cloth-plan", "table": "count-systems", "list": "hints"}.get(words[0], "list")
    assert wanted in shown.replace("- ", "-")


def test_what_the_text_says_is_what_the_numbers_say(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", "cost", "overhead=5–10–20 %"]) == 0
    shown = capsys.readouterr().out
    found = calculators.run("cost", {"overhead": "5–10–20 %"})["results"]["total"]
    total = f"Total: {found['text']['metric']}, from "
    assert total in shown
    assert f"{found['high']:.2f}"[-6:] in shown
    assert "Sources" in shown
    assert "  yarn" in shown


def test_numbers_that_lead_nowhere_get_a_sentence() -> None:
    huge = {"length": "900000000 km", "mass": "0.000001 mg"}
    found = calculators.run("unknown-yarn", huge)
    assert found["ok"] is False
    assert len(found["errors"][0]["message"]) > 20


@pytest.mark.parametrize("given", [None, {}, {"yarn": ""}])
def test_an_empty_answer_is_no_answer(given: dict[str, str] | None) -> None:
    found = calculators.run("yarn-count", given)
    assert found["ok"] is (given != {"yarn": ""})


def test_a_table_by_name_from_python() -> None:
    found = calculators.table("count-systems")
    assert {"code", "title", "columns", "rows"} == set(found)
    assert any(row[0] == "linen lea" for row in found["rows"])


def test_printed_tables_have_permanent_codes_used_once() -> None:
    codes = [table(name).code for name in TABLE_MAKERS]
    assert all(re.fullmatch(r"T-[1-9]\d*", code) for code in codes)
    assert len(set(codes)) == len(codes)
