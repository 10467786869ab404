"""A guild's own edition: the handbook with the guild's title, and its members' examples in front.

The examples are files saved by the handbook's own page, in one folder. The folder's name is the
title, or the first line of a file ``title.txt`` in it. What cannot be used is told with its line,
and left out. As a hook of MkDocs this module adds the pages, where the build has an edition.
"""

import json
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from html import escape
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

from calculators.examples.example import Example
from calculators.examples.files import example_of, link_of, opened
from calculators.examples.show import example_html
from scripts.pages.templates import rendered
from scripts.setting_up.environment import SetupError

HOME = "index.md"
LIST = "examples/guild.md"
FOLDER = "examples/guild"
COPYRIGHT = (
    "The examples are their weavers’. From the Fine-Thread Handbook, text: CC BY 4.0, code: MIT."
)


@dataclass(frozen=True)
class Edition:
    """What a folder holds: a title, pages by name, and a sentence for what cannot be used."""

    title: str
    pages: dict[str, str] = field(default_factory=dict)
    examples: tuple[Example, ...] = ()
    problems: tuple[str, ...] = ()


def files_of(folder: Path) -> Iterator[Path]:
    """Yield the files that an edition is made from."""
    for path in sorted(folder.iterdir()):
        if path.suffix == ".json" or path.name == "title.txt":
            yield path


def read_edition(folder: Path, root: str) -> Edition:
    """Read a folder; ``root`` stands for the way from a page to the site's root."""
    if not folder.is_dir():
        raise SetupError(
            f"There is no folder {folder}. Give the folder with your guild's examples, "
            'such as --guild "Wendlewater Guild".'
        )
    title, problems = folder.resolve().name, list[str]()
    pages: dict[str, str] = {}
    examples = []
    for path in files_of(folder):
        try:
            text = path.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as problem:
            problems.append(f"{path.name}, line 1: it cannot be read ({problem}).")
            continue
        if path.name == "title.txt":
            title = next(filter(None, map(str.strip, text.splitlines())), title)
            continue
        sound, wrong = opened(text)
        problems += (f"{path.name}, {sentence}" for sentence in wrong)
        for content in sound:
            name = _name(content["title"], pages)
            example = example_of(content, name)
            examples.append(replace(example, description=example.question))
            pages[name] = _page(example, content, root)
    return Edition(title, pages, tuple(examples), tuple(problems))


def _name(title: str, taken: dict[str, str]) -> str:
    """Make an address of a title, another for each."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or "example"
    number, first = 1, name
    while name in taken or name == "index":
        number += 1
        name = f"{first}-{number}"
    return name


def _page(example: Example, content: dict[str, Any], root: str) -> str:
    """Write an example's page: its head in YAML, its body as the package writes it."""
    head = {"title": _line(example.title), "description": _line(example.question)[:150]}
    lines = (f"{key}: {json.dumps(text, ensure_ascii=False)}" for key, text in head.items())
    own = (
        f'<p><a class="ft-open" href="{root}{FOLDER}/#{link_of(content)}">'
        "Put it among your own examples, to keep it or to write in it</a></p>"
    )
    body = example_html(example, root, own).replace("\n", " ")
    return "---\n" + "\n".join(lines) + f'\n---\n\n<div class="ft-one">{body}</div>\n'


def _line(text: str) -> str:
    return " ".join(text.split())


def name_site(draft: Path, edition: Edition) -> None:
    """Give what stands on a phone's home screen the edition's title."""
    manifest = draft / "manifest.webmanifest"
    named = json.loads(manifest.read_text(encoding="utf-8"))
    named |= {"name": edition.title, "short_name": edition.title[:30]}
    manifest.write_text(json.dumps(named, ensure_ascii=False, indent=1), encoding="utf-8")


# As a hook of MkDocs ------------------------------------------------------------------------------


def _edition(config: MkDocsConfig) -> Edition | None:
    edition: Edition | None = config.extra.get("guild")
    return edition


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Name the site after the guild, and put its chapter behind the first page."""
    edition = _edition(config)
    if edition is None or config.nav is None:
        return config
    config.site_name, config.copyright = edition.title, COPYRIGHT
    for entry in config.nav:
        for pages in entry.values() if isinstance(entry, dict) else ():
            if isinstance(pages, list) and LIST in pages:
                pages.remove(LIST)
    chapter = [LIST, *(f"{FOLDER}/{name}.md" for name in edition.pages)]
    config.nav.insert(1, {edition.title: chapter})
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the pages themselves."""
    edition = _edition(config)
    for name, text in edition.pages.items() if edition else ():
        files.append(File.generated(config, f"{FOLDER}/{name}.md", content=text))
    return files


def on_page_markdown(markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG001 - the library's signature
    """List the guild's examples on their page, and lead there from the first one."""
    edition = _edition(config)
    if edition is None or page.file.src_uri not in (HOME, LIST):
        return markdown
    if page.file.src_uri == HOME:
        return _after_heading(
            markdown, f"**{escape(edition.title)}:** [our worked examples]({LIST})"
        )
    listed = rendered("examples/templates/list.html.jinja", examples=edition.examples, at="")
    return _after_heading(markdown, listed)


def _after_heading(markdown: str, text: str) -> str:
    heading, found, rest = markdown.partition("\n\n")
    return f"{heading}\n\n{text}\n\n{rest}" if found else f"{text}\n\n{markdown}"
