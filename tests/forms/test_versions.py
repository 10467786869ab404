"""Links, kept plans and files of the first edition go on meaning what they meant."""

import json
import re
from datetime import date
from pathlib import Path

import calculators
from calculators.data import load
from calculators.engine.versions import (
    OLDEST,
    VERSION,
    as_of,
    changes,
    changes_in_words,
    earlier_default,
)
from calculators.page import respond
from calculators.registry import calculator, registry
from calculators.show.html import calculator_html
from scripts.setting_up.environment import ROOT
from tests.every import of_every

FIRST = load("defaults_v1")  # kept from the first edition, where a test compared every field


def test_the_first_edition_is_not_rewritten() -> None:
    """Figures of that edition which later ones change, as its pages and links had them."""
    assert len(FIRST) == 26
    assert sum(map(len, FIRST.values())) == 268
    assert FIRST["cloth-plan"]["picks_per_minute"] == "8"
    assert FIRST["cloth-plan"]["sett"] == "24 /cm"
    assert FIRST["rhythm"]["temple_step"] == "2 cm"


@of_every(list(FIRST))
def test_every_field_of_an_old_link_is_still_asked_for(name: str) -> None:
    fields = {field.name: field for field in registry()[name].fields}
    assert set(FIRST[name]) <= set(fields)
    for field in fields.values():
        if field.name not in FIRST[name]:
            assert not field.required or field.default, "an old link could not be answered"


@of_every(list(FIRST))
def test_what_an_old_link_leaves_out_is_filled_in_as_it_was(name: str) -> None:
    for left_out in FIRST[name]:
        typed = {field: text for field, text in FIRST[name].items() if field != left_out}
        assert as_of(OLDEST, name, typed) == FIRST[name]
        assert as_of(VERSION, name, typed) == typed
    answer = calculators.run(name, as_of(OLDEST, name, {}))
    assert answer["ok"], answer
    for field, text in FIRST[name].items():
        assert answer["inputs"][field]["typed"] == text.strip()


@of_every(list(FIRST))
def test_the_form_knows_what_the_old_links_meant(name: str) -> None:
    """The page fills an old link up from these marks, so every differing field carries one."""
    html = calculator_html(calculator(name))
    for field in registry()[name].fields:
        control = re.search(rf'<(?:input|select|textarea) id="{name}-{field.name}"[^>]*>', html)
        assert control, field.name
        mark = re.search(r'data-default-v1="([^"]*)"', control[0])
        before = earlier_default(name, field.name, OLDEST)
        assert bool(mark) == (before is not None and before != field.default), field.name


def test_the_loom_opens_an_old_plan_with_its_old_figures() -> None:
    typed = {"pieces": "2", "sett": "20 /cm", "weave": "satin_5"}
    old = {**FIRST["cloth-plan"], **typed}

    def opened(inputs: dict[str, str], version: int) -> dict[str, object]:
        request = {"call": "loom", "id": "cloth-plan", "inputs": inputs, "version": version}
        reply: dict[str, object] = json.loads(respond(json.dumps(request)))
        assert reply["ok"], reply
        return reply

    def plan(reply: dict[str, object]) -> object:
        return reply["key"], reply["stretches"], reply["temple"], reply["advance"]

    assert plan(opened(typed, 1)) == plan(opened(old, 2))
    assert "Weft over all the ends" in str(opened(typed, 1)["ignored"])
    assert opened(old, 2)["ignored"] == ""


def test_changes_are_named_dated_and_of_calculators_that_are_there() -> None:
    names = [change["name"] for change in changes()]
    assert len(names) == len(set(names)) >= 4
    for change in changes():
        assert date.fromisoformat(change["day"])
        assert OLDEST < change["since"] <= VERSION
        assert change["calculators"]
        assert set(change["calculators"]) <= set(registry())
        for name in change["calculators"]:
            assert change["name"] in changes_in_words(name)
            assert change["name"] not in changes_in_words(name, change["since"])
    assert changes_in_words("satins") == ""


def test_readers_are_told_every_change_by_its_name() -> None:
    page = (ROOT / "docs/reference/changes.md").read_text(encoding="utf-8")
    for change in changes():
        assert f"**{change['name']}.**" in page


LINKS = json.loads((Path(__file__).parent / "links_v2.json").read_text(encoding="utf-8"))


@of_every(LINKS)
def test_a_link_of_version_2_means_what_it_meant(name: str, fields: dict[str, list]) -> None:
    """What a link leaves out, and how far what it holds may go: changed on purpose or not at all.

    The figures are kept by hand, as the first version's are; they prove nothing of the trade.
    """
    now = {one.name: [one.default, one.minimum, one.maximum] for one in registry()[name].fields}
    assert {field: now[field] for field in fields} == fields
