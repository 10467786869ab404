"""A folder of examples becomes an edition: its title, its pages, a line for what is broken."""

import json
import re
from types import SimpleNamespace

import pytest

from calculators import run
from calculators.examples.files import written
from scripts.build import inputs_digest
from scripts.pages.guild_edition import (
    FOLDER,
    LIST,
    Edition,
    name_site,
    on_config,
    on_page_markdown,
    read_edition,
)
from scripts.setting_up.environment import SetupError

PLAN = {"pieces": "4", "finished_width": "30 cm"}
MATS = {"title": "Four mats", "calculator": "cloth-plan", "inputs": PLAN}


@pytest.fixture
def folder(tmp_path):
    folder = tmp_path / "Wendlewater Guild"
    folder.mkdir()
    hers = {**MATS, "title": "Åtta <löpare>", "weaver": "Ines", "version": 2}
    broken = {**MATS, "inputs": {"pieces": "a few"}}
    (folder / "b.json").write_text(written([MATS, broken, hers]), encoding="utf-8")
    (folder / "a.json").write_text("{\n oops", encoding="utf-8")
    (folder / "c.json").write_bytes(b"\xff\xfe\x00 none")
    (folder / "d.json").write_text(written([{**MATS, "title": "Index"}, MATS]), encoding="utf-8")
    (folder / "notes.doc").write_text("not ours", encoding="utf-8")
    return folder


def test_every_sound_example_is_a_page_and_every_other_named_with_its_line(folder):
    edition = read_edition(folder, "ROOT")
    assert edition.title == "Wendlewater Guild"
    assert list(edition.pages) == ["four-mats", "atta-lopare", "index-2", "four-mats-2"]
    assert [one.split(":")[0].split(", ")[:2] for one in edition.problems] == [
        ["a.json", "line 2"],
        ["b.json", edition.problems[1].split(", ")[1]],
        ["c.json", "line 1"],
    ]
    line = int(re.search(r"line (\d+)", edition.problems[1])[1])
    assert "a few" in (folder / "b.json").read_text(encoding="utf-8").splitlines()[line - 1]


def test_a_page_holds_the_packages_numbers_and_no_foreign_markup(folder):
    page = read_edition(folder, "ROOT/").pages["atta-lopare"]
    ends = run("cloth-plan", PLAN)["results"]["ends"]["text"]["metric"]
    assert ends in page
    assert "<löpare>" not in page.partition("<div")[2]
    assert 'title: "Åtta <löpare>"' in page
    assert f'href="ROOT/{FOLDER}/#v=2&calculator=cloth-plan&' in page
    assert "\n\n" not in page.partition("<div")[2]  # one block, which Markdown leaves as it is


def test_the_title_may_stand_in_a_file(folder):
    (folder / "title.txt").write_text("\ufeff\n Weavers of the Wendle \n", encoding="utf-8")
    assert read_edition(folder, "").title == "Weavers of the Wendle"


def test_an_empty_folder_is_an_edition_and_a_missing_one_is_told(tmp_path):
    assert read_edition(tmp_path, "").pages == {}
    with pytest.raises(SetupError, match="no folder"):
        read_edition(tmp_path / "none", "")


def test_the_guilds_chapter_comes_behind_the_first_page():
    edition = Edition("Our Guild", {"four-mats": ""})
    nav = ["index.md", {"Examples": ["examples/index.md", LIST]}]
    config = SimpleNamespace(extra={"guild": edition}, nav=nav, site_name="", copyright="")
    on_config(config)
    assert config.site_name == "Our Guild"
    assert "CC BY" in config.copyright
    assert config.nav == [
        "index.md",
        {"Our Guild": [LIST, f"{FOLDER}/four-mats.md"]},
        {"Examples": ["examples/index.md"]},
    ]


def test_the_first_page_leads_there_and_the_list_names_each(folder):
    config = SimpleNamespace(extra={"guild": read_edition(folder, "")})

    def shown(place):
        page = SimpleNamespace(file=SimpleNamespace(src_uri=place))
        return on_page_markdown("# Head\n\nText", page=page, config=config, files=None)

    assert shown("index.md").startswith("# Head\n\n**Wendlewater Guild:** [")
    assert 'href="four-mats/"' in shown(LIST)
    assert "Ines. " in shown(LIST)
    assert shown("care.md") == "# Head\n\nText"


def test_the_home_screen_has_the_guilds_title(tmp_path):
    (tmp_path / "manifest.webmanifest").write_text('{"name": "x", "id": "./"}', encoding="utf-8")
    name_site(tmp_path, Edition("Our Guild"))
    named = json.loads((tmp_path / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert (named["name"], named["id"]) == ("Our Guild", "./")


def test_a_changed_example_makes_a_new_build(folder):
    before = inputs_digest("", folder)
    assert before == inputs_digest("", folder) != inputs_digest("")
    (folder / "e.json").write_text(written([MATS]), encoding="utf-8")
    assert inputs_digest("", folder) != before
