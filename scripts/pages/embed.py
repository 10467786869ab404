"""A Python-Markdown extension: one line in double square brackets becomes a living part of a page.

    [[calculator: sett | warp_yarn=30/2 | weave=satin_6]]
    [[table: cotton-counts]]

Everything comes from the package, so a page never holds a second copy of a number. ``check()``
makes every embed of the handbook once before the build, and says by page and line what is wrong.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, fromstring

from markdown import Markdown
from markdown.blockprocessors import BlockProcessor
from markdown.extensions import Extension
from markdown.inlinepatterns import InlineProcessor
from markdown.treeprocessors import Treeprocessor

from calculators import run
from calculators.appearance.calculators import LOOK, look_from
from calculators.contract import calculate
from calculators.data import load
from calculators.errors import HandbookError, InputError
from calculators.examples.schema import ExampleError
from calculators.quantities.parse import parse_count, parse_density
from calculators.quantities.units import INCH_CM
from calculators.registry import calculator, registry
from calculators.show.html import calculator_html, table_html
from calculators.show.pairs import PAIR, pair_html
from calculators.show.pictures import caption
from calculators.tables import structure, table
from calculators.weave.drawing import close_up_svg, point_paper_svg
from calculators.weave.library import parse_weave
from calculators.yarn.yarn import parse_yarn
from scripts.lists import LOOM_PARTS, glossary_html, loom_parts_html, troubles_html
from scripts.pages.downloads import downloads_html
from scripts.pages.drawing import drawing_html
from scripts.pages.figures import FIGURES, figure_svg
from scripts.pages.home import welcome_html
from scripts.pages.looking import true_size_html
from scripts.pages.plans_and_loom import (
    at_the_loom_html,
    guild_examples_html,
    kept_plans_html,
    my_records_html,
    my_workroom_html,
)
from scripts.pages.worked_examples import example_figure_html, example_html, examples_html
from scripts.reference_pages import check_report_html, formulas_html, sources_html

# Stands for the way from a page to the site's root until the build knows the page.
ROOT_MARK = "ft-root:/"
# Stands on the page of downloads where a build with the book (scripts/book.py) offers it.
BOOK_MARK = "<!-- the book -->"
EMBED = re.compile(r"\[\[(?P<kind>[a-z-]+)(?::(?P<rest>[^\]]*))?\]\]")
FENCE = re.compile(r"^\s*(```+|~~~+)")

Options = Mapping[str, str]


MAGNIFIED = 7  # times as large as the cloth, so that threads are seen on a phone


class EmbedError(HandbookError):
    """A line in double brackets that means nothing, with what would have."""


# What can be embedded -----------------------------------------------------------------------------


def _calculator(name: str, options: Options) -> str:
    _known(name, registry(), "calculator")
    for option in options:
        fields = [field.name for field in registry()[name].fields]
        _known(option, fields, f"field of the calculator “{name}”")
    errors = calculate(name, options).errors
    if errors:
        raise EmbedError(f"{errors[0].field}: {errors[0].message} {errors[0].hint}".strip())
    return calculator_html(calculator(name), options, ROOT_MARK)


def _table(name: str, options: Options) -> str:
    _none(options)
    return table_html(table(name))


def _structure(name: str, options: Options) -> str:
    for option in options:
        _known(option, ("unit",), "setting of a structure")
    unit = parse_count(options["unit"], "unit") if "unit" in options else None
    return table_html(structure(name, unit))


def _drawing(name: str, options: Options) -> str:
    _none(options)
    return _picture(point_paper_svg(parse_weave(name)))


def _closeup(name: str, options: Options) -> str:
    for option in options:
        _known(option, ("warp", "weft", "sett", "picks"), "setting of a close-up")
    warp, weft = options.get("warp", "16/2"), options.get("weft", "16/2")
    if "sett" in options:
        sett = parse_density(options["sett"])
    else:  # what the sett calculator answers for these yarns and this weave
        inputs = {"warp_yarn": warp, "weft_yarn": weft, "weave": name}
        sett = run("sett", inputs)["results"]["working"]["value"] / INCH_CM
    picks = parse_density(options["picks"]) if "picks" in options else sett
    warp_tex, weft_tex = parse_yarn(warp).tex, parse_yarn(weft).tex
    return _picture(close_up_svg(parse_weave(name), warp_tex, weft_tex, sett, picks))


def _cloth(name: str, options: Options) -> str:
    _known(name, ("near", "whole"), "picture of cloth")
    for option in options:
        _known(option, [field.name for field in LOOK.fields], "field of the look")
    look = look_from(options)
    if name == "near":
        return _picture(look.near_svg(MAGNIFIED))
    return _picture(look.whole_svg())


def _figure(name: str, options: Options) -> str:
    _none(options)
    _known(name, FIGURES, "figure")
    return _picture(figure_svg(name))


def _loom_parts(name: str, options: Options) -> str:
    _none(options)
    _known(name, LOOM_PARTS, "picture of the loom")
    return loom_parts_html(name, ROOT_MARK)


def _of_example(make: Callable[[str, str], str]) -> Callable[[str, Options], str]:
    def write(name: str, options: Options) -> str:
        _none(options)
        try:
            return make(name, ROOT_MARK)
        except ExampleError as error:
            raise EmbedError(str(error).rstrip(".")) from error

    return write


def _true_size(name: str, options: Options) -> str:
    _none(options)
    _known(name, [row["name"] for row in load("tables")["looking"]["yarns"]], "yarn")
    return true_size_html(name)


def _picture(svg: str) -> str:
    return f'<figure class="ft-picture">{svg}{caption(svg)}</figure>'


def _alone(make: Callable[[str], str]) -> Callable[[str, Options], str]:
    def write(name: str, options: Options) -> str:
        _none(options)
        if name:
            raise EmbedError(f"it stands alone, without “{name}”")
        return make(ROOT_MARK)

    return write


KINDS: dict[str, Callable[[str, Options], str]] = {
    "calculator": _calculator,
    "table": _table,
    "structure": _structure,
    "drawing": _drawing,
    "closeup": _closeup,
    "cloth": _cloth,
    "true-size": _true_size,
    "figure": _figure,
    "loom-parts": _loom_parts,
    "example": _of_example(example_html),
    "example-figure": _of_example(example_figure_html),
    "examples": _alone(examples_html),
    "formulas": _alone(formulas_html),
    "sources": _alone(sources_html),
    "downloads": _alone(downloads_html),
    "book": _alone(lambda _: BOOK_MARK),
    "check-report": _alone(check_report_html),
    "glossary": _alone(glossary_html),
    "troubles": _alone(troubles_html),
    "kept-plans": _alone(kept_plans_html),
    "guild-examples": _alone(guild_examples_html),
    "at-the-loom": _alone(at_the_loom_html),
    "draw-the-figure": _alone(drawing_html),
    "my-records": _alone(my_records_html),
    "my-workroom": _alone(my_workroom_html),
    "welcome": _alone(welcome_html),
}


# Reading one line ---------------------------------------------------------------------------------


def _known(name: str, offered: Iterable[str], kind: str) -> None:
    offered = list(offered)
    if name not in offered:
        nearest = get_close_matches(name, offered, 1)
        hint = f"did you mean “{nearest[0]}”?" if nearest else "there are: " + ", ".join(offered)
        raise EmbedError(f"there is no {kind} “{name}”; {hint}")


def _none(options: Options) -> None:
    if options:
        raise EmbedError("it takes no settings, but has " + ", ".join(options))


@cache
def html_of(line: str) -> str:
    """Return the HTML for one line such as ``[[table: cotton-counts]]``, or raise EmbedError."""
    match = EMBED.fullmatch(line.strip())
    if match is None:
        raise EmbedError("it is not of the form [[kind: name | setting=value]]")
    kind, rest = match["kind"], match["rest"] or ""
    _known(kind, KINDS, "kind of embed")
    name, *settings = (part.strip() for part in rest.split("|"))
    options: dict[str, str] = {}
    for setting in settings:
        key, equals, value = setting.partition("=")
        if not equals:
            raise EmbedError(f"“{setting}” is not of the form setting=value")
        options[key.strip()] = value.strip()
    try:
        return KINDS[kind](name, options)
    except InputError as error:
        raise EmbedError(f"{error.message} {error.hint}".strip()) from error


def embeds(page: Path) -> Iterator[tuple[int, str]]:
    """Yield line number and text of every embed in a Markdown file, passing over code."""
    fence = ""
    for number, line in enumerate(page.read_text(encoding="utf-8").splitlines(), 1):
        mark = FENCE.match(line)
        if mark and (not fence or mark[1].startswith(fence)):
            fence = "" if fence else mark[1]
        elif not fence and line.lstrip().startswith("[["):
            yield number, line.strip()


def check(docs: Path) -> list[str]:
    """Make every embed of every page once; return a sentence for each that cannot be made."""
    problems = []
    for page in sorted(docs.rglob("*.md")):
        seen: set[str] = set()
        for number, line in embeds(page):
            where = f"{page.relative_to(docs.parent).as_posix()}, line {number}: {line}"
            try:
                html_of(line)
            except EmbedError as error:
                problems.append(f"{where} – {error}.")
            match = EMBED.fullmatch(line)
            embed = (
                f"{match['kind']}: {(match['rest'] or '').split('|')[0].strip()}" if match else ""
            )
            if embed.startswith("calculator:") and embed in seen:
                problems.append(f"{where} – a page holds each calculator once.")
            seen.add(embed)
    return problems


# Markdown -----------------------------------------------------------------------------------------


class _Embeds(BlockProcessor):
    """Takes the blocks that begin with an embed; other lines of the block go back in the queue."""

    def test(self, parent: Element, block: str) -> bool:  # noqa: ARG002 - the library's signature
        return EMBED.fullmatch(block.strip().split("\n")[0].strip()) is not None

    def run(self, parent: Element, blocks: list[str]) -> None:
        first, _, others = blocks.pop(0).strip().partition("\n")
        place = Element("p")
        place.text = self.parser.md.htmlStash.store(html_of(first))
        parent.append(place)
        if others.strip():
            blocks.insert(0, others)


class _HeaderCells(Treeprocessor):
    """Says of every header cell of a table in the text that it heads its column."""

    def run(self, root: Element) -> None:
        for cell in root.iterfind(".//thead//th"):
            cell.set("scope", "col")


class _Pairs(InlineProcessor):
    """A quantity that the text tells in both unit worlds: the reader sees theirs."""

    def handleMatch(  # type: ignore[override]  # noqa: N802 - the library's name
        self, found: re.Match[str], _: str
    ) -> tuple[Element, int, int]:
        return fromstring(pair_html(found["metric"], found["imperial"])), found.start(), found.end()


class Embeds(Extension):
    """The extension that the site's configuration names."""

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802 - the library's name
        """Put the embeds after code blocks and before everything else."""
        md.parser.blockprocessors.register(_Embeds(md.parser), "ft-embeds", 75)
        md.treeprocessors.register(_HeaderCells(md), "ft-header-cells", 5)
        md.inlinePatterns.register(_Pairs(PAIR.pattern, md), "ft-pairs", 185)


def makeExtension(**settings: Any) -> Embeds:  # noqa: N802 - the name the library looks for
    """Make the extension."""
    return Embeds(**settings)
