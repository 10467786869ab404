"""The built site: every page in the contents, every link with its place, every page well formed."""

import json
import subprocess
import tomllib
from html.parser import HTMLParser
from urllib.parse import unquote, urljoin, urlsplit

import pytest

from calculators.registry import registry
from scripts.build import DOCS
from scripts.pages.embed import ROOT_MARK
from scripts.setting_up.environment import ROOT
from scripts.setting_up.node import MODULES, node_and_npm

HOME = "http://handbook.invalid/"
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "wbr"}


class Page(HTMLParser):
    """What a page links to, what it can be linked at, and whether its elements nest."""

    def __init__(self, text):
        super().__init__()
        self.links, self.ids, self.open, self.wrong = [], [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if "id" in given:
            self.ids.append(given["id"])
        self.links += [given[name] for name in ("href", "src") if given.get(name)]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag):
        if tag in VOID:
            return
        if not self.open or self.open[-1] != tag:
            self.wrong.append(f"</{tag}> closes {self.open[-1:]} at {self.getpos()}")
        else:
            self.open.pop()


@pytest.fixture(scope="session")
def pages(site):
    """Every page by its path from the site's root."""
    return {
        path.relative_to(site).as_posix(): Page(path.read_text(encoding="utf-8"))
        for path in site.rglob("*.html")
    }


def test_every_markdown_page_is_built(site, pages):
    for source in DOCS.rglob("*.md"):
        inner = source.relative_to(DOCS).with_suffix("")
        folder = inner.parent if inner.name == "index" else inner
        assert (folder / "index.html").as_posix() in pages


def test_every_page_is_in_the_contents(pages):
    contents = {urljoin(HOME, link) for link in pages["index.html"].links}
    for name in pages:
        if name != "404.html":
            assert HOME + name.removesuffix("index.html") in contents


def test_every_link_and_anchor_leads_somewhere(site, pages):
    lost = []
    for name, page in pages.items():
        here = HOME + name.removesuffix("index.html")
        if name == "404.html":
            continue
        for link in page.links:
            there = urlsplit(urljoin(here, link))
            if f"{there.scheme}://{there.netloc}/" != HOME:
                continue
            path = unquote(there.path).lstrip("/")
            target = path + "index.html" if path.endswith("/") or not path else path
            if not (site / target).is_file():
                lost.append(f"{name}: {link}")
                continue
            part = unquote(there.fragment)
            if part and not part.startswith("v=") and part not in pages[target].ids:
                lost.append(f"{name}: {link} has no such part")
    assert lost == []


def test_no_page_loads_anything_from_elsewhere(site):
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        for kind in ("src=", "<link"):
            for piece in text.split(kind)[1:]:
                address = piece.split(">")[0]
                if "http" in address:
                    assert 'rel="canonical"' in address, f"{path}: {address}"


def test_no_page_names_one_id_twice(pages):
    for name, page in pages.items():
        twice = {one for one in page.ids if page.ids.count(one) > 1}
        assert not twice, name


def test_elements_nest_on_every_page(pages):
    for name, page in pages.items():
        assert page.wrong == [], name
        assert page.open == [], name


def test_no_embed_is_left_over(site):
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "[[" not in text.split("<main", 1)[-1], path
        assert ROOT_MARK not in text, path


def test_the_search_list_knows_every_page(site, pages):
    listed = json.loads((site / "search/list.json").read_text(encoding="utf-8"))
    known = {at.split("#")[0] for _, at, *_ in listed["entries"]}
    assert known == {name.removesuffix("index.html") for name in pages if name != "404.html"}


def test_whatever_can_be_found_opens_at_its_place(site, pages):
    listed = json.loads((site / "search/list.json").read_text(encoding="utf-8"))
    for _, at, title, *_ in listed["entries"]:
        page, _, anchor = at.partition("#")
        assert not anchor or anchor in pages[f"{page}index.html"].ids, at
        assert title == title.strip() != "", at


def test_the_search_words_name_places_that_are_there(site):
    listed = json.loads((site / "search/list.json").read_text(encoding="utf-8"))
    words = tomllib.loads((DOCS / "data/search_words.toml").read_text(encoding="utf-8"))
    assert words["asked"].keys() - {at for _, at, *_ in listed["entries"]} == set()


def test_html_validates(site):
    checker = MODULES / "html-validate/bin/html-validate.mjs"
    done = subprocess.run(
        [
            node_and_npm()[0],
            str(checker),
            "--config",
            str(ROOT / "tests/scripts/html-validate.json"),
            ".",
        ],
        cwd=site,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]


@pytest.mark.parametrize("name", list(registry()))
def test_every_calculator_lives_on_its_page(pages, name):
    assert f"calculator-{name}" in pages[f"{registry()[name].page}index.html"].ids
