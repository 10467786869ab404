"""The alphabetical index of the book: terms, calculators, weaves and yarns, and their pages."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from itertools import groupby
from unicodedata import normalize

from calculators.registry import registry
from calculators.weave.library import WEAVES, weave
from calculators.yarn.catalogue import catalogue
from scripts.lists import rows, term_id

MOST_PAGES = 8  # of one entry: of a word that stands everywhere, only where it stands most often
MOST_WORDS = 3  # of another word for a term: what is longer explains
ASIDE = re.compile(r"\s*(\(.*?\)|,.*)")  # what a title says beside the name itself


@dataclass(frozen=True)
class Entry:
    """One line of the index: its words, what it is found by, where it is explained."""

    words: str
    forms: tuple[str, ...] = ()
    anchor: str = ""  # an id of the book, or its end
    see: str = ""


def entries() -> list[Entry]:
    """Return every entry, in the order of the alphabet."""
    found = [*_terms(), *_calculators(), *_weaves(), *_yarns()]
    unlike = {_in_order(one): one for one in reversed(found)}  # the first of two alike stays
    return [unlike[key] for key in sorted(unlike)]


def _in_order(one: Entry) -> str:
    return one.words.casefold()


def _terms() -> Iterator[Entry]:
    terms = rows("glossary", "term")
    own = {row["term"].casefold() for row in terms}
    for row in terms:
        yield Entry(row["term"], (row["term"],), term_id(row))
    for row in terms:
        for other in row.get("also", "").split(";"):
            word = ASIDE.sub("", other).strip()
            if word and word.casefold() not in own and len(word.split()) <= MOST_WORDS:
                yield Entry(word, see=row["term"])


def _calculators() -> Iterator[Entry]:
    for one in registry().values():
        yield Entry(f"{one.title} ({one.code})", anchor=f"calculator-{one.id}")


def _weaves() -> Iterator[Entry]:
    for name in WEAVES:
        title = ASIDE.sub("", weave(name).title)
        yield Entry(title, (title,))


def _yarns() -> Iterator[Entry]:
    for one in catalogue():
        fibre, _, label = one.name.partition(" ")
        yield Entry(one.name, (one.name, f"{label} {fibre}"))


# Where they stand ---------------------------------------------------------------------------------


def compared(text: str) -> str:
    """Write text so that a line's end, a hyphen, a ligature or a capital makes no difference."""
    plain = re.sub(r"[-\u2010\u2011\u00ad]\s*", "", normalize("NFKC", text))
    return re.sub(r"\s+", " ", plain).casefold()


def pages_of(one: Entry, texts: Mapping[int, str]) -> list[int]:
    """Return the pages where an entry's word stands most often, of the texts by page."""
    if not one.forms:
        return []
    forms = "|".join(re.escape(compared(form)) for form in one.forms)
    word = re.compile(rf"(?<!\w)(?:{forms})(?:e?s)?(?!\w)")
    often = {page: found for page, text in texts.items() if (found := len(word.findall(text)))}
    least = 1
    while sum(found >= least for found in often.values()) > MOST_PAGES:
        least += 1
    return [page for page, found in often.items() if found >= least]


def ranges(pages: Iterable[int]) -> list[str]:
    """Write pages with those that follow each other as one: 3, 5–7."""
    runs: list[list[int]] = []
    for page in sorted(set(pages)):
        if runs and page == runs[-1][1] + 1:
            runs[-1][1] = page
        else:
            runs.append([page, page])
    return [f"{first}–{last}" if last > first else str(first) for first, last in runs]


def index_html(
    chosen: Sequence[Entry],
    anchors: Mapping[str, str],
    explained: Mapping[str, int],
    texts: Mapping[int, str],
) -> str:
    """Write the index.

    ``anchors`` gives an entry's id in the book, ``explained`` the page of such an id, ``texts``
    the words of each page, as they are compared.
    """
    lines = []
    for letter, group in groupby(chosen, lambda one: _letter(one.words)):
        told = "".join(_line(one, anchors, explained, texts) for one in group)
        if told:
            lines.append(f'<p class="ft-letter">{letter}</p><ul>{told}</ul>')
    return "".join(lines)


def _letter(words: str) -> str:
    return words[0].upper() if words[0].isalpha() else "0–9"


def _line(
    one: Entry, anchors: Mapping[str, str], explained: Mapping[str, int], texts: Mapping[int, str]
) -> str:
    words = escape(one.words)
    if one.see:
        return f"<li>{words}, <i>see</i> {escape(one.see)}</li>"
    anchor = anchors.get(one.anchor, "")
    main = explained.get(anchor)
    others = [page for page in pages_of(one, texts) if page != main]
    if not (anchor or others):
        return ""
    linked = f'<a href="#{anchor}">{words}</a>' if anchor else words
    return f"<li>{', '.join([linked, *([f'<b>{main}</b>'] if main else []), *ranges(others)])}</li>"
