import re
from html.parser import HTMLParser

import pytest

from calculators.engine.sources import sources
from scripts import lists, reference_pages
from scripts.check_references import check

PAGES = {
    "sources": reference_pages.sources_html,
    "check_report": reference_pages.check_report_html,
    "formulas": reference_pages.formulas_html,
    "glossary": lists.glossary_html,
    "troubles": lists.troubles_html,
}
EMPTY = {"br", "hr", "img", "input", "meta", "link", "wbr"}


class Reader(HTMLParser):
    def __init__(self):
        super().__init__()
        self.open, self.ids, self.links, self.mistakes = [], [], [], []

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if given.get("id"):
            self.ids.append(given["id"])
        if given.get("href"):
            self.links.append(given["href"])
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.mistakes.append(tag)


def read(text):
    reader = Reader()
    reader.feed(text)
    reader.close()
    return reader


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_sound_html_with_single_ids(name):
    reader = read(PAGES[name]("../"))
    assert reader.mistakes == []
    assert reader.open == []
    assert len(set(reader.ids)) == len(reader.ids)
    assert reader.ids


def test_links_between_the_pages_arrive():
    ids = {name: set(read(page("../")).ids) for name, page in PAGES.items()}
    for name in ("sources", "check_report", "formulas"):
        for link in read(PAGES[name]("../")).links:
            place, _, anchor = link.partition("#")
            assert place.startswith("../reference/")
            assert anchor in ids[place.split("/")[-2].replace("-", "_")], link


def test_every_work_has_its_place():
    ids = read(reference_pages.sources_html()).ids
    assert set(ids) >= set(sources())


def test_every_table_has_a_title_and_headed_rows():
    text = reference_pages.check_report_html()
    tables = re.findall(r"<table class=\"ft-table\">.*?</table>", text, re.S)
    assert len(tables) > 30
    for table in tables:
        assert re.search(r"<caption>\S", table)
        assert table.count("<tr>") - 1 == table.count('<th scope="row">')


def test_the_report_shows_every_checked_value():
    text = reference_pages.check_report_html()
    for outcome in check().checked:
        assert outcome["id"] in text


def test_a_value_says_from_what_it_was_worked_out():
    silk = {
        "calculator": "warp",
        "given": {
            "ends": "2100",
            "yarn": {"calculator": "unknown-yarn", "given": {"length": "1 yd", "mass": "2 drams"}},
        },
        "added": "4 %",
    }
    words = "warp: ends 2100; yarn (unknown-yarn: length 1 yd; mass 2 drams) and 4 % added"
    assert reference_pages.working(silk) == words
    assert reference_pages.working({"typed": ["97 /in", "68 /in"]}) == "97 /in; 68 /in"
    counted = {"check": "layout", "inputs": {"parts": [[8, 12], [4, 1]]}}
    assert reference_pages.working(counted) == "parts 8, 12; 4, 1"


def test_what_the_data_say_is_never_markup():
    shown = reference_pages.table("<i>", ("a",), [["b"]])
    assert "<caption>" in shown
    work = {**next(iter(sources().values())), "title": "<script>", "key": "x", "id": "R-0"}
    assert "<script>" not in reference_pages._work(work, [], "")
