"""Makes the whole handbook one PDF, with contents, links and page numbers, and builds it in.

    python -m scripts.book --address ADDRESS [--site FOLDER]

builds the site as scripts.build does, prints every page of it with Chromium, and offers the file
on the page of downloads. It wants the environment of the tests, and takes about a minute more than
a build, so neither the server nor the tests do it unasked.
"""

import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from io import BytesIO
from pathlib import Path
from urllib.parse import urldefrag, urljoin

from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from calculators import __version__
from scripts import build
from scripts.build import BuildError
from scripts.pages.embed import BOOK_MARK
from scripts.setting_up.chromium import chromium
from scripts.setting_up.environment import say

NAME = "fine-thread-handbook.pdf"
LEFT_OUT = ("plans/", "reference/downloads/")  # of use on a screen only
ENTRY = re.compile(
    r'<span class="ft-chapter-name">(?P<chapter>.*?)</span>|'
    r'<a href="(?P<page>[^"#]*)"[^>]*>(?P<title>.*?)</a>'
)
MAIN = re.compile(r'<main class="ft-main".*?>(.*)</main>', re.S)
TURN = re.compile(r'(<h2 id="where-next".*)?<nav class="ft-turn".*?</nav>', re.S)  # a page turns
ID = re.compile(r'\bid="([^"]+)"')
LINK = re.compile(r'\b(href|src)="([^"]*)"')
SELF = re.compile(r"url\(#([^)]+)\)")
SITE = "http://book.invalid/"  # stands for the site while addresses are worked out
FOOT = (
    '<div style="width:100%;margin:0 15mm;font:8pt sans-serif;display:flex;'
    'justify-content:space-between"><span>Fine-Thread Handbook {}</span>'
    '<span class="pageNumber"></span></div>'
)
STYLE = """
@page { size: A4; margin: 18mm 16mm 20mm; }
.ft-leaf { break-before: page; }
.ft-title-leaf { padding-top: 60mm; }
.ft-title-leaf h1 { font-size: 34pt; }
.ft-toc { list-style: none; padding: 0; margin: 0; font-size: 9pt; line-height: 1.3; }
.ft-toc .ft-toc-chapter { margin-top: 8pt; font-weight: 600; }
.ft-toc a { display: flex; justify-content: space-between; gap: 1em; text-decoration: none; }
.ft-toc a span { border-bottom: 0.5pt dotted #000; flex: 1; }
.ft-main > :is(p, ul, ol, dl, blockquote, h1, h2, h3, h4, hr, details, pre) { max-width: none; }
"""


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
    pages: list[Leaf] = []
    chapter = ""
    for entry in ENTRY.finditer(contents):
        if entry["chapter"] is not None:
            chapter = entry["chapter"]
            continue
        address = "" if entry["page"] in (".", "./") else entry["page"]
        if address not in LEFT_OUT:
            pages.append(Leaf(chapter, address, entry["title"], f"leaf-{len(pages) + 1}"))
        if re.match(r"\s*</li>\s*</ul>", contents[entry.end() :]):
            chapter = ""
    return pages


def leaf_html(site: Path, leaf: Leaf, keys: dict[str, str]) -> str:
    """Take a page's own part, its anchors and links made the book's."""
    text = (site / leaf.address / "index.html").read_text(encoding="utf-8")
    main = MAIN.search(text)
    if main is None:
        raise BuildError(f"{leaf.address or 'The first page'} has no part of its own to print.")

    def link(match: re.Match[str]) -> str:
        target, anchor = urldefrag(urljoin(SITE + leaf.address, match[2]))
        if not target.startswith(SITE):
            return match[0]
        address = target.removeprefix(SITE)
        if match[1] == "href" and address in keys:
            in_page = anchor and not anchor.startswith("v=")
            return f'href="#{keys[address]}{"-" + anchor if in_page else ""}"'
        return f'{match[1]}="{address}"' if match[1] == "src" else 'class="ft-plain-link"'

    body = TURN.sub("", main[1])
    body = LINK.sub(link, ID.sub(rf'id="{leaf.key}-\1"', body))
    body = SELF.sub(rf"url(#{leaf.key}-\1)", body)
    return f'<section class="ft-main ft-leaf" id="{leaf.key}">{body}</section>'


def contents_html(pages: list[Leaf], numbers: dict[str, int]) -> str:
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


def book_html(pages: list[Leaf], bodies: list[str], numbers: dict[str, int]) -> str:
    """Write the whole book as one page."""
    return (
        '<!doctype html><html lang="en-GB" class="no-js"><head><meta charset="utf-8">'
        f"<title>Fine-Thread Handbook {escape(__version__)}</title>"
        f'<link rel="stylesheet" href="assets/style.css"><style>{STYLE}</style></head>'
        '<body><section class="ft-main ft-title-leaf"><h1>Fine-Thread Handbook</h1>'
        f"<p>Edition {escape(__version__)}. Text: CC BY 4.0. Code: MIT.</p></section>"
        f'<section class="ft-main ft-leaf">{contents_html(pages, numbers)}</section>'
        f"{''.join(bodies)}</body></html>"
    )


def _printed(page: Page, address: str) -> bytes:
    # Printed before it is laid out for paper, a page this long comes out cut short.
    page.emulate_media(media="print")
    page.goto(address)
    page.evaluate("document.fonts.ready.then(() => document.body.offsetHeight)")
    return page.pdf(
        format="A4",
        outline=True,
        tagged=True,
        prefer_css_page_size=True,
        display_header_footer=True,
        header_template="<span></span>",
        footer_template=FOOT.format(__version__),
    )


def page_numbers(pdf: bytes, keys: list[str]) -> dict[str, int]:
    """Read on which page of the PDF each leaf begins."""
    reader = PdfReader(BytesIO(pdf))
    places = reader.named_destinations
    missing = [key for key in keys if f"/{key}" not in places and key not in places]
    if missing:
        raise BuildError(f"The book's links do not lead to {', '.join(missing)}.")
    return {
        key: (reader.get_destination_page_number(places.get(key) or places[f"/{key}"]) or 0) + 1
        for key in keys
    }


def bind(browser: Browser, site: Path) -> None:
    """Print a site's pages as one PDF into it, and offer that on the page of downloads."""
    pages = leaves(site)
    keys = {leaf.address: leaf.key for leaf in pages}
    bodies = [leaf_html(site, leaf, keys) for leaf in pages]
    source = site / "book.html"
    page = browser.new_page()
    numbers: dict[str, int] = {}
    pdf = b""
    for _ in range(4):  # once to learn the numbers, once to print them; a third is never needed
        source.write_text(book_html(pages, bodies, numbers), encoding="utf-8")
        pdf = _printed(page, source.as_uri())
        printed_numbers = page_numbers(pdf, list(keys.values()))
        if printed_numbers == numbers:
            break
        numbers = printed_numbers
    page.close()
    source.unlink()
    (site / NAME).write_bytes(pdf)
    sheets = len(PdfReader(BytesIO(pdf)).pages)
    say(f"The book: {sheets} pages, {len(pdf) / 1e6:.1f} MB")
    downloads = site / "reference/downloads/index.html"
    words = (
        f'<p><a href="../../{NAME}" download>The whole handbook as one PDF</a>: {sheets} pages on'
        f" A4, {len(pdf) / 1e6:.1f} MB, for printing or for a reader without a browser.</p>"
    )
    text = downloads.read_text(encoding="utf-8")
    if BOOK_MARK not in text:
        raise BuildError("The page of downloads has no place for the book.")
    downloads.write_text(text.replace(BOOK_MARK, words), encoding="utf-8", newline="\n")


def make_book(site: Path) -> None:
    """Bind the book with a browser of its own."""
    with chromium() as browser:
        bind(browser, site)


if __name__ == "__main__":
    sys.exit(build.main("Build the site with the handbook as one PDF.", also=make_book))
