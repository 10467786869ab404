"""The JSON contract, from Python, from the command line and from the page."""

import json
import subprocess
import sys

import pytest

import calculators
from calculators.forms import registry
from calculators.page import respond

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
}
TABLES = {
    "unknown-yarn": {"nearest"},
    "sett": {"methods"},
    "satins": {"counters"},
    "denting": {"choices"},
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


@pytest.mark.parametrize("name", sorted(CONTRACT))
def test_every_promised_result_is_there(name: str) -> None:
    promised = set(CONTRACT[name].split())
    assert promised <= {output.name for output in registry()[name].outputs}
    found = calculators.run(name)
    assert found["ok"], found
    assert promised - {"partner"} <= set(found["results"])
    assert TABLES.get(name, set()) <= set(found["tables"])


@pytest.mark.parametrize("name", sorted(registry()))
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


def test_command_line_refuses_with_status_two() -> None:
    done = command("run", "yarn-count", "yarn=16/0", "--json")
    assert done.returncode == 2
    assert json.loads(done.stdout)["errors"][0]["field"] == "yarn"
    plain = command("run", "yarn-count", "yarn=16/0")
    assert plain.returncode == 2
    assert plain.stdout == ""
    assert "16/0" in plain.stderr
    assert command("run", "warp", "--input", "-", typed="[1]").returncode == 2
    assert command("run", "warp", "picks").returncode == 2
    assert command("table", "no-such-table").returncode == 2


def test_command_line_prints_for_people() -> None:
    done = command("run", "warp")
    assert done.returncode == 0, done.stderr
    assert "How this was worked out" in done.stdout
    assert "warp" in command("list").stdout
    assert {one["id"] for one in json.loads(command("list", "--json").stdout)} == set(registry())


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
    assert "412" in reply["fields"]["gross"]["read"]
    assert reply["fields"]["empty"]["error"]
