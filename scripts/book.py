"""Binds the whole handbook as a book in one PDF, and builds it in.

    python -m scripts.book --address ADDRESS [--site FOLDER] [--paper A4 Letter]

builds the site as scripts.build does, prints it with Chromium, twice, because contents and index
need the numbers of the pages, and offers the book on the page of downloads. Each chapter begins on
a right-hand page, with its title at the head of every page; the margin is wider where the book is
bound. It wants the environment of the tests, and takes some minutes more than a build, so neither
the server nor the tests do it unasked.
"""

import argparse
import re
import sys
from base64 import b64encode
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from io import BytesIO
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any
from urllib.parse import urldefrag, urljoin

from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from calculators import __version__
from scripts.binding.index import compared, entries, index_html
from scripts.binding.plate import cover_png
from scripts.build import BuildError, build
from scripts.pages.embed import BOOK_MARK
from scripts.setting_up.chromium import chromium
from scripts.setting_up.environment import ROOT, SetupError, say

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm
MARGINS = 39.0  # mm, both sides of a page together, as in book.css
LEFT_OUT = ("plans/", "reference/downloads/")  # of use on a screen only
LOOKED_UP = ("Examples", "Reference")  # chapters whose parts each have their own running head
NOT_INDEXED = ("reference/glossary/", "reference/sources/", "reference/check-report/")
ENTRY = re.compile(
    r'<span class="ft-chapter-name">(?P<chapter>.*?)</span>|'
    r'<a href="(?P<page>[^"#]*)"[^>]*>(?P<title>.*?)</a>'
)
MAIN = re.compile(r'<main class="ft-main".*?>(.*)</main>', re.S)
TURN = re.compile(r'(<h2 id="where-next".*)?<nav class="ft-turn".*?</nav>', re.S)  # a page turns
LINKS_ONLY = re.compile(
    r"<p>(?:<a [^>]*>[^<]*</a>[\s·,]*)+</p>|<ul>\s*(?:<li><a [^>]*>[^<]*</a></li>\s*)+</ul>"
)
ID = re.compile(r'\bid="([^"]+)"')
LINK = re.compile(r'\b(href|src)="([^"]*)"')
SELF = re.compile(r"url\(#([^)]+)\)")
SITE = "http://book.invalid/"  # stands for the site while addresses are worked out
STYLE = Path(__file__).parent / "binding" / "book.css"

# A form becomes its worked example: what was typed, and a line for one's own figure.
FORM = re.compile(r'<form class="ft-form".*?</form>', re.S)
SCREEN_ONLY = re.compile(
    r'<p class="ft-(?:actions|error|since|state)".*?</p>|<datalist.*?</datalist>'
    r'|<details class="ft-hint">.*?</details>|<noscript>.*?</noscript>'
    r'|<script.*?</script>| ?<span class="ft-american">.*?</span>',
    re.S,
)
CHOICE = re.compile(r"<select.*?</select>", re.S)
CHOSEN = re.compile(r"<option[^>]*\bselected[^>]*>(.*?)</option>", re.S)
TYPED = re.compile(r'<input\b[^>]*?\bvalue="([^"]*)"[^>]*>|<textarea[^>]*>(.*?)</textarea>', re.S)
FINER = re.compile(r'<details class="ft-more"><summary>(.*?)</summary>(.*)</details>', re.S)
FIGURES = re.compile(r"<td>(?=[\d .,–()\u202f]+</td>)")  # a range is not broken at its dash
ANSWER = re.compile(r'(<div class="ft-answer".*?>)')

# A table wider than the page is set smaller.
NARROW = """() => {
  for (const table of document.querySelectorAll(".ft-leaf table")) {
    const room = table.closest(".ft-leaf, .ft-calculator").clientWidth;
    let size = 8;
    while (table.scrollWidth > room && size > 5) table.style.fontSize = `${(size -= 0.25)}pt`;
  }
}"""
BEYOND = """() => [...document.querySelectorAll(".ft-leaf table, .ft-leaf svg, .ft-leaf pre")]
  .filter((one) => one.getBoundingClientRect().right > document.body.clientWidth + 1)
  .map((one) => one.textContent.trim().slice(0, 60))"""


@dataclass(frozen=True)
class Leaf:
    """One page of the site on its way into the book."""

    chapter: str
    address: str  # from the site's root
    title: str
    key: str  # the leaf's own anchor in the book


def leaves(site: Path) -> list[Leaf]:
    """Read the site's pages in the order of its contents."""
    home = (site / "index.html").read_text(encoding="utf-8")
    contents = home[home.index('class="ft-contents"') : home.index("</details>")]
    found: list[Leaf] = []
    chapter = ""
    for entry in ENTRY.finditer(contents):
        if entry["chapter"] is not None:
            chapter = entry["chapter"]
            continue
        address = "" if entry["page"] in (".", "./") else entry["page"]
        if address not in LEFT_OUT:
            found.append(Leaf(chapter, address, entry["title"], f"leaf-{len(found) + 1}"))
        if _ends_chapter(contents, entry.end()):
            chapter = ""
    return found


def _ends_chapter(contents: str, place: int) -> bool:
    return re.match(r"\s*</li>\s*</ul>", contents[place:]) is not None


def leaf_html(site: Path, leaf: Leaf, keys: dict[str, str]) -> str:
    """Take a page's own part, its anchors and links made the book's."""
    text = (site / leaf.address / "index.html").read_text(encoding="utf-8")
    found = MAIN.search(text)
    if found is None:
        raise BuildError(f"{leaf.address or 'The first page'} has no part of its own to print.")

    def link(match: re.Match[str]) -> str:
        there, anchor = urldefrag(urljoin(SITE + leaf.address, match[2]))
        inside = there.removeprefix(SITE) if there.startswith(SITE) else None
        if inside is None:
            return match[0]
        if match[1] == "href" and inside in keys:
            known = anchor and not anchor.startswith("v=")
            return f'href="#{keys[inside]}{"-" + anchor if known else ""}"'
        return f'{match[1]}="{inside}"' if match[1] == "src" else 'class="ft-plain-link"'

    body = LINKS_ONLY.sub("", TURN.sub("", FORM.sub(_worked, found[1])))
    body = ANSWER.sub(rf"\1{_heads('What follows')}", SCREEN_ONLY.sub("", body))
    body = FIGURES.sub('<td class="ft-figure">', body)
    body = LINK.sub(link, ID.sub(rf'id="{leaf.key}-\1"', body))
    body = SELF.sub(rf"url(#{leaf.key}-\1)", body)
    return f'<section class="ft-main ft-leaf" id="{leaf.key}">{body}</section>'


def _worked(form: re.Match[str]) -> str:
    """Turn a form into the figures that were typed into it."""

    def chosen(choice: re.Match[str]) -> str:
        found = CHOSEN.search(choice[0])
        return f'<span class="ft-typed">{found[1] if found else ""}</span>'

    text = CHOICE.sub(chosen, SCREEN_ONLY.sub("", form[0]))
    text = TYPED.sub(
        lambda found: f'<span class="ft-typed">{(found[1] or found[2] or "").strip()}</span>', text
    )
    text = re.sub(r"<label[^>]*>(.*?)</label>", r'<span class="ft-field-of">\1</span>', text)
    text = FINER.sub(lambda found: _heads(found[1]) + found[2], text)
    text = re.sub(r"<output[^>]*>(.*?)</output>", r'<span class="ft-read">\1</span>', text)
    inner = re.sub(r"</?form[^>]*>", "", text)
    return f'<div class="ft-form">{_heads("Put in")}{inner}</div>'


def _heads(words: str) -> str:
    return f'<p class="ft-heads">{words} <span>worked example, and a line for your own</span></p>'


def contents_html(pages: Sequence[Leaf], numbers: dict[str, int]) -> str:
    """Write the contents, with the numbers known so far."""

    def lines() -> Iterator[str]:
        chapter = ""
        for leaf in pages:
            if leaf.chapter and leaf.chapter != chapter:
                yield f'<li class="ft-toc-chapter">{leaf.chapter}</li>'
            chapter = leaf.chapter
            number = numbers.get(leaf.key, 0)
            yield f'<li><a href="#{leaf.key}">{leaf.title}<span></span>{number or "000"}</a></li>'

    return f'<h1>Contents</h1><ol class="ft-toc">{"".join(lines())}</ol>'


def runs(pages: Sequence[Leaf]) -> list[tuple[str, list[Leaf]]]:
    """Return the leaves that share one running head, with its words."""

    def head(leaf: Leaf) -> tuple[str, str]:
        alone = not leaf.chapter or leaf.chapter in LOOKED_UP
        return (leaf.chapter, leaf.title if alone else leaf.chapter)

    return [(words, list(group)) for (_, words), group in groupby(pages, head)]


def _page_rules(number: int, words: str) -> str:
    """Write the margins' words for the pages of one run: the number outside, the head inside."""
    head = "font: 8pt sans-serif; padding-top: 4mm; content:"
    return (
        f"@page run-{number} {{ @top-left {{ {head} {_css(words)} }}"
        f" @top-right {{ {head} counter(page) }} }}\n"
        f"@page run-{number}:left {{ @top-left {{ {head} counter(page) }}"
        f" @top-right {{ {head} {_css(words)} }} }}\n"
    )


def _css(words: str) -> str:
    text = re.sub(r"<[^>]+>", "", words).replace("&amp;", "&").replace("&#39;", "'")
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


@dataclass(frozen=True)
class Book:
    """A site's book before it is printed."""

    pages: list[Leaf]
    bodies: dict[str, str]  # by the leaf's key
    address: str
    paper: str

    @property
    def index(self) -> Leaf:
        """The last part, which is no page of the site."""
        return Leaf("", "", "Index", f"leaf-{len(self.pages) + 1}")

    @property
    def anchors(self) -> dict[str, str]:
        """Every calculator and term by the id of its page, with its id in the book."""
        found = re.findall(
            r'\bid="(leaf-\d+-((?:calculator|term)-[^"]+))"', "".join(self.bodies.values())
        )
        return {name: anchor for anchor, name in reversed(found)}

    @property
    def runs(self) -> list[tuple[str, list[Leaf]]]:
        """What shares one running head, with its words."""
        return [*runs(self.pages), ("Index", [self.index])]

    def left_blank(self, numbers: dict[str, int]) -> list[int]:
        """Return the pages before which one stays empty, so that chapters begin at the right."""
        found: list[int] = []
        for _, group in self.runs:
            begins = numbers[group[0].key]
            if self._is_first(group[0]) and (begins + len(found)) % 2 == 0:
                found.append(begins)
        return found

    def html(self, numbers: dict[str, int], index: str, blank: Sequence[str] = ()) -> str:
        """Write the whole book as one page, with the numbers known so far.

        ``blank`` are the leaves before which a page stays empty.
        """
        parts = self.runs
        bodies = {**self.bodies, self.index.key: _index_leaf(self.index, index)}
        rules = "".join(_page_rules(place, words) for place, (words, _) in enumerate(parts))
        chapters = "".join(
            self._run(place, group, bodies, blank) for place, (_, group) in enumerate(parts)
        )
        return (
            '<!doctype html><html lang="en-GB" class="no-js"><head><meta charset="utf-8">'
            f"<title>Fine-Thread Handbook {escape(__version__)}</title>"
            f'<link rel="stylesheet" href="assets/style.css">'
            f"<style>{STYLE.read_text(encoding='utf-8')}"
            f"@page {{ size: {self.paper} }}\n{rules}</style></head><body>"
            f"{_cover()}{_front(self.address)}"
            '<section class="ft-main ft-front">'
            f"{contents_html([*self.pages, self.index], numbers)}</section>"
            f"{chapters}</body></html>"
        )

    def _is_first(self, leaf: Leaf) -> bool:
        chapter = (one for one in self.pages if one.chapter == leaf.chapter)
        return not leaf.chapter or leaf == next(chapter)

    def _run(
        self, place: int, group: list[Leaf], bodies: dict[str, str], blank: Sequence[str]
    ) -> str:
        leaf = group[0]
        named = leaf.chapter and self._is_first(leaf)
        title = f'<p class="ft-chapter-title">{leaf.chapter}</p>' if named else ""
        empty = '<div class="ft-empty">&nbsp;</div>' if leaf.key in blank else ""
        inside = "".join(bodies[leaf.key] for leaf in group)
        return f'{empty}<div class="ft-run" style="page: run-{place}">{title}{inside}</div>'


def _cover() -> str:
    plate = b64encode(cover_png()).decode()
    return (
        f'<section class="ft-cover"><img src="data:image/png;base64,{plate}" alt="">'
        "<div><h1>Fine-Thread Handbook</h1>"
        "<p>Counts, sett, units, warp and weft for damask and other fine table linen</p>"
        "</div></section>"
    )


def _front(address: str) -> str:
    return (
        f'<section class="ft-main ft-front"><p>Fine-Thread Handbook, edition '
        f"{escape(__version__)}. Text: CC BY 4.0. Code: MIT.</p>"
        "<p>Where the handbook on the screen has a calculator, this book has its worked example. "
        "The line beside each figure is for your own, in pencil. "
        f"The calculators themselves are at {escape(address)}.</p>"
        "<p>This copy belongs to:</p></section>"
    )


def _index_leaf(leaf: Leaf, index: str) -> str:
    return (
        f'<section class="ft-main ft-leaf" id="{leaf.key}"><h1>Index</h1>'
        "<p>Pages in bold explain the word, or hold the calculator.</p>"
        f'<div class="ft-letters">{index}</div></section>'
    )


def _printed(page: Page, address: str, paper: str) -> bytes:
    # Printed before it is laid out for paper, a page this long comes out cut short.
    room, height = (PAPERS[paper][0] - MARGINS, PAPERS[paper][1])
    page.emulate_media(media="print")
    page.set_viewport_size({"width": int(room * 96 / 25.4), "height": int(height * 96 / 25.4)})
    page.goto(address)
    page.evaluate("document.fonts.ready.then(() => document.body.offsetHeight)")
    page.evaluate(NARROW)
    if beyond := page.evaluate(BEYOND):
        raise BuildError("\n  ".join(["These are wider than the book's page:", *beyond]))
    return page.pdf(outline=True, tagged=True, prefer_css_page_size=True)


def page_numbers(reader: PdfReader, keys: Sequence[str]) -> dict[str, int]:
    """Read on which page of the PDF each anchor stands."""
    places = reader.named_destinations
    missing = [key for key in keys if f"/{key}" not in places and key not in places]
    if missing:
        raise BuildError(f"The book's links do not lead to {', '.join(missing)}.")
    return {
        key: (reader.get_destination_page_number(places.get(key) or places[f"/{key}"]) or 0) + 1
        for key in keys
    }


def words_by_page(book: Book, reader: PdfReader, numbers: dict[str, int]) -> dict[int, str]:
    """Return what the pages say that the index looks into, as it compares it."""
    begins = [(numbers[leaf.key], leaf.address) for leaf in book.pages]
    begins.append((numbers[book.index.key], ""))
    texts = {}
    for (first, address), (after, _) in pairwise(begins):
        if address not in NOT_INDEXED:
            for number in range(first, max(after, first + 1)):
                texts[number] = compared(reader.pages[number - 1].extract_text())
    return texts


def bind(browser: Browser, site: Path, paper: str = "A4") -> tuple[str, int, float]:
    """Print a site's pages as a book into it; return the file's name, its pages, its megabytes."""
    pages = leaves(site)
    keys = {leaf.address: leaf.key for leaf in pages}
    bodies = {leaf.key: leaf_html(site, leaf, keys) for leaf in pages}
    home = (site / "index.html").read_text(encoding="utf-8")
    canonical = re.search(r'<link rel="canonical" href="([^"]*)"', home)
    book = Book(pages, bodies, canonical[1] if canonical else "", paper)
    anchors, chosen = book.anchors, entries()
    wanted = [*keys.values(), book.index.key]
    source = site / "book.html"
    page = browser.new_page()

    def printed(*told: Any) -> PdfReader:
        source.write_text(book.html(*told), encoding="utf-8")
        return PdfReader(BytesIO(_printed(page, source.as_uri(), paper)))

    reader = printed({}, index_html(chosen, anchors, {}, {}))
    before = page_numbers(reader, wanted)
    blank = book.left_blank(before)

    def moved(number: int) -> int:
        return number + bisect_right(blank, number)

    found = [anchors[one.anchor] for one in chosen if one.anchor in anchors]
    explained = {key: moved(number) for key, number in page_numbers(reader, found).items()}
    words = words_by_page(book, reader, before)
    index = index_html(
        chosen, anchors, explained, {moved(one): said for one, said in words.items()}
    )
    numbers = {key: moved(number) for key, number in before.items()}
    firsts = [key for key in wanted if before[key] in blank]
    reader = printed(numbers, index, firsts)
    if page_numbers(reader, wanted) != numbers:
        raise BuildError("The book's pages came out otherwise when they were numbered.")
    page.close()
    source.unlink()
    name = f"fine-thread-handbook-{paper.lower()}.pdf"
    reader.stream.seek(0)
    pdf = reader.stream.read()
    (site / name).write_bytes(pdf)
    sheets, size = len(reader.pages), len(pdf) / 1e6
    say(f"The book on {paper}: {sheets} pages, {size:.1f} MB")
    return name, sheets, size


def offer(site: Path, books: dict[str, tuple[str, int, float]]) -> None:
    """Name the books on the page of downloads."""
    downloads = site / "reference/downloads/index.html"
    words = "".join(
        f'<p><a href="../../{name}" download>The whole handbook as a book, on {paper}</a>: '
        f"{sheets} pages, {size:.1f} MB, for printing on both sides and binding.</p>"
        for paper, (name, sheets, size) in books.items()
    )
    text = downloads.read_text(encoding="utf-8")
    if BOOK_MARK not in text:
        raise BuildError("The page of downloads has no place for the book.")
    downloads.write_text(text.replace(BOOK_MARK, words), encoding="utf-8", newline="\n")


@dataclass(frozen=True)
class Binder:
    """What a build does in addition, when a book is wanted."""

    papers: tuple[str, ...]

    def __call__(self, site: Path) -> None:
        """Bind the books with a browser of their own."""
        with chromium() as browser:
            offer(site, {paper: bind(browser, site, paper) for paper in self.papers})


def main() -> int:
    """Build the site with the book from the command line."""
    reader = argparse.ArgumentParser(description="Build the site with the handbook as a book.")
    reader.add_argument("--address", required=True, help="where the site will be served")
    reader.add_argument("--site", type=Path, default=ROOT / "site", help="the folder to build into")
    reader.add_argument(
        "--paper", nargs="+", choices=tuple(PAPERS), default=["A4"], help="one book for each"
    )
    asked = reader.parse_args()
    try:
        build(asked.site, asked.address, also=Binder(tuple(asked.paper)))
    except (BuildError, SetupError) as problem:
        say(str(problem))
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
