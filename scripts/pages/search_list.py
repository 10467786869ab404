"""What the search looks through: every part, trouble, term, calculator and formula, with its place.

Parts are read from the finished pages, by their headings; what comes from data is taken from there.
The libraries that search are npm packages, copied beside the page's own modules.
"""

import json
import re
import tomllib
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from html.parser import HTMLParser
from pathlib import Path

from calculators.engine.sources import formulas_of
from calculators.registry import registry
from scripts import lists
from scripts.reference_pages import ROOMS, report
from scripts.setting_up.node import MODULES

FOLDER = "search"
LIBRARIES = {"minisearch": "dist/es/index.js", "stemmer": "index.js"}
LICENCES = {"minisearch": "LICENSE.txt", "stemmer": "license"}
JSDOC = re.compile(r"^[ \t]*/\*\*.*?\*/\n", re.DOTALL | re.MULTILINE)
SOURCE_MAP = re.compile(r"^//# sourceMappingURL=.*\n?", re.MULTILINE)

VOID = {"br", "hr", "img", "input", "link", "meta", "wbr", "path", "circle", "use", "rect", "line"}
ADVICE = ("cause", "remedy", "avoid")
HEADINGS = {"h1", "h2", "h3", "h4"}
WITHIN_A_LINE = {
    "a",
    "abbr",
    "b",
    "cite",
    "code",
    "dfn",
    "em",
    "i",
    "small",
    "span",
    "strong",
    "var",
}
# What a page shows again from data, its buttons and pictures, and the way to the next page.
PASSED_OVER = {
    *("headerlink", "ft-section", "ft-turn", "ft-stages"),
    *("ft-calculator", "ft-troubles", "ft-glossary", "ft-formulas", "ft-sources", "ft-checked"),
}
ELEMENTS_PASSED_OVER = {"svg", "math", "script", "button", "noscript", "select"}


@dataclass
class Entry:
    """One thing that can be found: what it is, where, its names, its text."""

    kind: str
    at: str  # from the site's root
    title: str
    also: str = ""
    asked: str = ""
    text: str = ""


class _Parts(HTMLParser):
    """Reads a page's parts, each from its heading to the next."""

    def __init__(self, at: str) -> None:
        super().__init__()
        self.at, self.parts = at, list[Entry]()
        self.open: list[str] = []  # the elements within the page's own part
        self.passing = 0  # how many were open where something passed over began
        self.heading = False
        self.description = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        attributes = dict(attrs)
        if tag == "meta" and attributes.get("name") == "description":
            self.description = attributes.get("content") or ""
        if not self.open and tag != "main":
            return
        if tag in VOID:
            self._text(" ")
            return
        self.open.append(tag)
        classes = set((attributes.get("class") or "").split())
        if not self.passing and (tag in ELEMENTS_PASSED_OVER or classes & PASSED_OVER):
            self.passing = len(self.open)
        if tag in HEADINGS and "id" in attributes and not self.passing:
            if self.parts:
                self.parts.append(Entry("part", f"{self.at}#{attributes['id']}", ""))
            else:
                self.parts.append(Entry("page", self.at, "", self.description))
            self.heading = True

    def handle_endtag(self, tag: str) -> None:
        if not self.open or tag in VOID:
            return
        self.open.pop()
        if len(self.open) < self.passing:
            self.passing = 0
        if tag in HEADINGS:
            self.heading = False
        if tag not in WITHIN_A_LINE:
            self._text(" ")

    def handle_data(self, data: str) -> None:
        self._text(data)

    def _text(self, text: str) -> None:
        if not self.open or self.passing or not self.parts:
            return
        if self.heading:
            self.parts[-1].title += text
        else:
            self.parts[-1].text += text


def parts(site: Path, page: Path) -> list[Entry]:
    """Read the parts of one finished page."""
    address = page.parent.relative_to(site).as_posix()
    reader = _Parts("" if address == "." else f"{address}/")
    reader.feed(page.read_text(encoding="utf-8"))
    kind = "example" if re.match("examples/.", reader.at) else ""
    kind = "record" if reader.at in ("reference/check-report/", "reference/changes/") else kind
    for part in reader.parts:
        part.kind = kind or part.kind
        part.title, part.text = _plain(part.title), _plain(part.text)
    return [part for part in reader.parts if part.title != "Where next"]


def entries(site: Path) -> Iterator[Entry]:
    """Yield everything that can be found."""
    for page in sorted(site.rglob("index.html")):
        yield from parts(site, page)
    for one in registry().values():
        asked = [f"{field.label}. {field.hint}" for field in one.fields]
        told = [output.label for output in one.outputs]
        text = " ".join([*asked, *told])
        at = f"{one.page}#calculator-{one.id}"
        yield Entry("calculator", at, one.title, f"{one.question} {one.code}", text=_plain(text))
    for row in lists.troubles():
        text = " ".join(f"{row[key][:1].upper()}{row[key][1:]}." for key in ADVICE)
        stage = f"{lists.STAGES[row['stage']]} {row['id']}"
        yield Entry("trouble", f"trouble/#{row['id']}", row["symptom"], stage, text=text)
    for row in lists.rows("glossary", "term"):
        at = f"reference/glossary/#{lists.term_id(row)}"
        yield Entry("term", at, row["term"], row.get("also", ""), text=row["meaning"])
    for room in ROOMS:
        for formula in formulas_of(room):
            symbols = "; ".join(formula.get("symbols", {}).values())
            at = f"reference/formulas/#{formula['id'].lower()}"
            yield Entry("formula", at, formula["name"], formula["id"], text=symbols)
    for key, work in report().sources.items():
        at = f"reference/sources/#{key}"
        by = f"{work['author']} {work['year']} {work['id']}"
        yield Entry("source", at, work["title"], by, text=work["read"])
    for key, values in report().by_source().items():
        if any(value.checked for value in values):
            title = f"Checked: {report().sources[key]['title']}"
            text = "; ".join(value["quantity"] for value in values if value.checked)
            at = f"reference/check-report/#check-{key}"
            yield Entry("record", at, title, text=text)


def write_search(site: Path) -> None:
    """Write the list of all that can be found, and the libraries that look through it."""
    folder = site / FOLDER
    folder.mkdir()
    words = tomllib.loads((lists.DATA / "search_words.toml").read_text(encoding="utf-8"))
    found = list(entries(site))
    asked = words.pop("asked")
    for one in found:
        one.asked = asked.get(one.at, "")
    words["entries"] = [list(asdict(one).values()) for one in found]
    text = json.dumps(words, ensure_ascii=False, separators=(",", ":"))
    (folder / "list.json").write_text(text, encoding="utf-8", newline="\n")
    (site / "assets").mkdir(exist_ok=True)
    for name in LIBRARIES:
        _copy_library(name, site / "assets")


def _copy_library(name: str, target: Path) -> None:
    """Copy a package's module without its documentation, its licence before it."""
    package = MODULES / name
    version = json.loads((package / "package.json").read_text(encoding="utf-8"))["version"]
    licence = (package / LICENCES[name]).read_text(encoding="utf-8").strip()
    code = (package / LIBRARIES[name]).read_text(encoding="utf-8")
    code = SOURCE_MAP.sub("", JSDOC.sub("", code))
    head = f"/*! {name} {version}\n\n{licence}\n*/\n"
    (target / f"{name}.mjs").write_text(head + code, encoding="utf-8", newline="\n")


def _plain(text: str) -> str:
    return " ".join(text.split())
