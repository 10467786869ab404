"""Builds the site: the published values are checked, the pages written, the runtime added.

    python -m scripts.build --address ADDRESS [--site FOLDER]
    python -m scripts.build --guild FOLDER [--address ADDRESS] [--site FOLDER]

ADDRESS is where the site will be served; without one the site works at any address, and tells
search engines none. ``--guild`` makes a guild's own edition: scripts/pages/guild_edition.py.
"""

import argparse
import hashlib
import logging
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from mkdocs.commands.build import build as write_pages
from mkdocs.config import load_config
from mkdocs.exceptions import MkDocsException

from scripts import check_references, offline
from scripts.binding.plate import sent_png
from scripts.browser_runtime.runtime import build_runtime
from scripts.pages import embed, worked_examples
from scripts.pages.downloads import write_tables
from scripts.pages.guild_edition import Edition, files_of, name_site, read_edition
from scripts.pages.lighten import lighten
from scripts.pages.search_list import write_search
from scripts.setting_up.environment import ROOT, WORK, SetupError, say

DOCS = ROOT / "docs"
INPUTS = ("docs", "calculators", "scripts", "mkdocs.yml", "package-lock.json", "requirements.txt")
PASSED_OVER = ("__pycache__", ".DS_Store")


class BuildError(Exception):
    """The site cannot be built, with every reason found."""


@dataclass(frozen=True)
class Site:
    """A finished site: its folder, the address it is made for, the build's id."""

    path: Path
    address: str
    build: str


def input_files(guild: Path | None = None) -> Iterator[Path]:
    """Yield every file that the site is made from, in a fixed order; last a guild's own."""
    for name in INPUTS:
        place = ROOT / name
        for path in sorted(place.rglob("*")) if place.is_dir() else [place]:
            if path.is_file() and not any(part in PASSED_OVER for part in path.parts):
                yield path
    if guild:
        yield from files_of(guild)


def inputs_digest(address: str, guild: Path | None = None) -> str:
    """Return one hash over everything the site is made from, and its address."""
    total = hashlib.sha256(address.encode())
    if guild:
        total.update(f"\0{guild.resolve()}".encode())
    for path in input_files(guild):
        name = path.relative_to(ROOT) if path.is_relative_to(ROOT) else path
        total.update(f"\0{name.as_posix()}\0".encode())
        total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()


def stamp_of(site: Path) -> Path:
    """Return the file that says what a finished site was made from."""
    return WORK / f"built-{hashlib.sha256(str(site.resolve()).encode()).hexdigest()[:16]}"


def write_site(draft: Path, address: str, edition: Edition | None = None) -> None:
    """Turn the Markdown into pages; every warning of MkDocs is an error."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"  # Material's, on every build
    warnings: list[str] = []
    listener = logging.Handler(logging.WARNING)
    listener.emit = lambda record: warnings.append(record.getMessage())  # type: ignore[method-assign]
    log = logging.getLogger("mkdocs")
    log.addHandler(listener)
    try:
        config = load_config(
            str(ROOT / "mkdocs.yml"),
            site_dir=str(draft),
            site_url=address,
            strict=True,
            extra={"guild": edition},
        )
        config.plugins.on_startup(command="build", dirty=False)
        write_pages(config)
        config.plugins.on_shutdown()
    except MkDocsException as problem:
        reasons = warnings or [problem.format_message()]
        raise BuildError("The pages could not be written:\n  " + "\n  ".join(reasons)) from problem
    finally:
        log.removeHandler(listener)
    (draft / "sitemap.xml.gz").unlink()  # holds the time of day, and nothing reads it
    if not address:
        (draft / "sitemap.xml").unlink()  # it would name no page
    for folder in ("images", "javascripts", "stylesheets"):  # Material's, for pages of its own
        shutil.rmtree(draft / "assets" / folder)


def place_root(draft: Path) -> None:
    """Give the links of embedded parts their way from each page to the site's root."""
    for page in draft.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        if embed.ROOT_MARK in text:
            root = "../" * (len(page.relative_to(draft).parts) - 1)
            page.write_text(text.replace(embed.ROOT_MARK, root), encoding="utf-8", newline="\n")


def tell(edition: Edition | None, say: Callable[[str], None]) -> None:
    """Say what a guild's folder gave, and what of it could not be used."""
    if edition is None:
        return
    say(f"{edition.title}: {len(edition.pages)} of the guild's examples are among the pages.")
    for problem in edition.problems:
        say(f"  Left out: {problem}")


def build(
    site: Path,
    address: str,
    say: Callable[[str], None] = say,
    also: Callable[[Path], None] | None = None,
    guild: Path | None = None,
) -> Site:
    """Build the site for the address it is served at, unless it is there already.

    The work is done beside the old site, which stays as it is when anything goes wrong. ``also``
    may add to the finished pages before the site is sealed; its repr says what it adds. ``guild``
    is the folder of a guild's own edition.
    """
    address = address.rstrip("/") + "/" if address else ""
    edition = read_edition(guild, embed.ROOT_MARK) if guild else None
    WORK.mkdir(exist_ok=True)
    stamp = stamp_of(site)
    wanted = inputs_digest(f"{address} {also!r}" if also else address, guild)
    if stamp.exists() and (site / "index.html").exists():
        made_from, _, build_id = stamp.read_text(encoding="utf-8").partition(" ")
        if made_from == wanted:
            say("The site is up to date.")
            tell(edition, say)
            return Site(site, address, build_id)

    say("Checking the calculators against the published values")
    report = check_references.check()
    if report.misses:
        raise BuildError("\n  ".join(["Published values are missed:", *report.misses]))
    say(f"  {report.summary}")
    if problems := worked_examples.problems():
        raise BuildError("\n  ".join(["These worked examples cannot be used:", *problems]))
    if problems := embed.check(DOCS):
        raise BuildError("\n  ".join(["These lines of the handbook mean nothing:", *problems]))

    with TemporaryDirectory(dir=WORK, prefix="draft-") as scratch:
        draft = Path(scratch) / "site"
        say("Writing the pages")
        write_site(draft, address, edition)
        place_root(draft)
        if edition:
            name_site(draft, edition)
        write_tables(draft)
        write_search(draft)
        (draft / "assets/damask.png").write_bytes(sent_png())
        lighten(draft / "assets")
        if also:
            also(draft)
        build_runtime(draft, say)
        build_id = offline.finish_site(draft, address, say, previous=site)
        stamp.unlink(missing_ok=True)
        shutil.rmtree(site, ignore_errors=True)
        shutil.move(draft, site)
    stamp.write_text(f"{wanted} {build_id}", encoding="utf-8")
    tell(edition, say)
    return Site(site, address, build_id)


def main(
    description: str = "Build the handbook's site.", also: Callable[[Path], None] | None = None
) -> int:
    """Build from the command line."""
    parser = argparse.ArgumentParser(description=description)
    parser.add_argument("--address", default="", help="where the site will be served")
    parser.add_argument("--site", type=Path, default=ROOT / "site", help="the folder to build into")
    parser.add_argument("--guild", type=Path, metavar="FOLDER", help="a guild's own examples")
    options = parser.parse_args()
    if not options.address and not options.guild:
        parser.error("--address says where the site will be served, such as https://example.org/")
    try:
        build(options.site, options.address, also=also, guild=options.guild)
    except (BuildError, SetupError) as problem:
        say(str(problem))
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
