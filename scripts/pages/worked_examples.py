"""The handbook's worked examples: one small file for each project, and the page made of it.

A file in ``docs/data/examples`` says what a weaver decided, in the words of the plan's own form,
and tells how it went. It holds no result: every number of the page is worked out by the package,
which also writes it. The format is described in DEVELOPERS.md; ``problems()`` says what is wrong
with a file, by file and key, and what would work. As a hook of MkDocs this module adds the pages.
"""

import re
import tomllib
from base64 import b64encode
from difflib import get_close_matches
from functools import cache
from operator import attrgetter
from typing import Any

from jinja2 import pass_context
from jinja2.runtime import Context
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from calculators.appearance.plates import look_of_figure, plate_png
from calculators.examples.drawn import FIGURE
from calculators.examples.example import TABLE, Example, made
from calculators.examples.figures import PLACE
from calculators.examples.schema import TEXT, ExampleError, Kind, fitting
from calculators.examples.show import figure_html, in_short, numbers_html, told
from scripts.pages.templates import rendered, templates
from scripts.setting_up.environment import ROOT

FOLDER = ROOT / "docs" / "data" / "examples"
SECTION = "examples"
LISTED = 96  # pixels across
TYPED_QUANTITY = re.compile(
    r"\d\s*(?:%|per cent|mm\b|cm\b|m\b|kg\b|g\b|in\b|inch|yd\b|yards?\b|oz\b|lb\b|hours?\b|ends\b|"
    r"picks\b|units\b|/cm\b|epi\b|ppi\b)"
)


def _are_texts(value: Any, number: int) -> bool:
    is_list = isinstance(value, list) and len(value) == number
    return is_list and all(isinstance(item, str) for item in value)


NUMBER = Kind(
    lambda value: type(value) is int, "a whole number is wanted here.", "For example {key} = 100."
)
WAYS = Kind(
    lambda value: isinstance(value, list) and all(_are_texts(way, 2) for way in value),
    "each way on is a pair of words and page.",
    'For example {key} = [["The whole plan", "../plan/whole-plan.md"]].',
)
PARTS = Kind(
    lambda value: isinstance(value, list) and value != [] and all(map(TABLE.fits, value)),
    "the story is missing.",
    'Begin with [[part]], then heading = "…" and text = """…""".',
)
PART = {"heading": TEXT, "text": TEXT}
FILE = {
    "order": NUMBER,
    **dict.fromkeys(("title", "weaver", "question", "description"), TEXT),
    "plan": TABLE,
    "calculations": TABLE._replace(optional=True),
    "figure": FIGURE,
    "part": PARTS,
    "records": TABLE._replace(optional=True),
    "next": WAYS._replace(optional=True),
}


# Reading a file -----------------------------------------------------------------------------------


def names() -> list[str]:
    """Return the examples by name."""
    return sorted(path.stem for path in FOLDER.glob("*.toml"))


def examples() -> list[Example]:
    """Return the examples in their order on the site."""
    return sorted(map(example, names()), key=attrgetter("order", "name"))


@cache
def example(name: str) -> Example:
    """Return one of the handbook's examples."""
    if name not in names():
        nearest = get_close_matches(name, names(), 1) or names()
        raise ExampleError(
            name, "the file", "there is no such example.", f"There is: {nearest[0]}."
        )
    return read(name, (FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def problems() -> list[str]:
    """Read every file and make its page; return a sentence for each that cannot be made."""
    sentences = []
    for name in names():
        try:
            page(example(name))
        except ExampleError as error:
            sentences.append(str(error))
    return sentences


def read(name: str, file: str) -> Example:
    """Read one file's text, or raise ExampleError."""
    if not re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", name):
        raise ExampleError(
            name,
            "the file's name",
            "it becomes an address on the site.",
            "Use small letters, digits and hyphens, such as six-napkins.toml.",
        )
    try:
        content = tomllib.loads(file)
    except tomllib.TOMLDecodeError as error:
        raise ExampleError(
            name,
            "the file",
            f"it is not TOML: {error}.",
            'Every text stands in quotes: title = "Six napkins".',
        ) from error
    content = fitting(name, "", content, FILE)
    for number, part in enumerate(content["part"], 1):
        fitting(name, f"part {number}, ", part, PART)
    ways = tuple((words, goal) for words, goal in content.pop("next", ()))
    one = made(name, {**content, "ways": ways})
    for number, (_, text) in enumerate(one.parts, 1):
        typed = TYPED_QUANTITY.search(PLACE.sub("", text))
        if typed:
            raise ExampleError(
                name,
                f"part {number}, text",
                f"the quantity “{typed[0]}” is typed, and would not follow the plan.",
                "Put its name in braces, such as {warp_length} or {given.finished_width}, or write "
                "a small number as a word.",
            )
    return one


# The page -----------------------------------------------------------------------------------------


@pass_context
def _told(context: Context, text: str, where: str) -> str:
    return told(context["example"], text, where)


def _cloth(example: Example) -> dict[str, Any] | None:
    """The cloth of an example for the list, a point to a unit."""
    look = look_of_figure(example.plan, example.figure.grid) if example.figure else None
    if look is None:
        return None
    width, height = look.fabric.size_mm
    return {
        "png": b64encode(plate_png(look, points=1)[0]).decode(),
        "size": (LISTED, round(LISTED * height / width)),
        "words": look.in_words(),
    }


templates().filters |= {"told": _told, "in_short": in_short, "cloth": _cloth}


def page(example: Example) -> str:
    """Write a project's page in Markdown."""
    return rendered("examples/templates/page.md.jinja", example=example)


def example_html(name: str, root: str = "") -> str:
    """Write the numbers of one of the handbook's examples."""
    return numbers_html(example(name), root)


def example_figure_html(name: str, root: str = "") -> str:
    """Write the figure of one of the handbook's examples."""
    return figure_html(example(name), root)


def examples_html(root: str = "") -> str:
    """Write the list of examples with what each is about."""
    return rendered(
        "examples/templates/list.html.jinja", examples=examples(), at=f"{root}{SECTION}/"
    )


# As a hook of MkDocs ------------------------------------------------------------------------------


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Add the pages to the section of the navigation that the list of examples heads."""
    for entry in config.nav or []:
        for pages in entry.values() if isinstance(entry, dict) else ():
            if isinstance(pages, list) and f"{SECTION}/index.md" in pages:
                pages += [f"{SECTION}/{example.name}.md" for example in examples()]
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the pages themselves."""
    for example in examples():
        files.append(File.generated(config, f"{SECTION}/{example.name}.md", content=page(example)))
    return files
