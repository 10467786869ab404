"""Finishes a built site: one build id, the content policy, the list of what is kept offline.

    python -m scripts.offline --withdraw FOLDER

takes the offline copy back from every device that opens the site again: it puts a service worker
into the built site that deletes its own copies and takes itself out of use. Publish the folder
after that; publishing an ordinary build again brings the offline copy back.
"""

import argparse
import base64
import gzip
import hashlib
import json
import re
import shutil
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from scripts.browser_runtime.runtime import DRAFT
from scripts.browser_runtime.runtime import FOLDER as RUNTIME
from scripts.setting_up.environment import say

BUILD_MARK = "@FT-BUILD@"
KEEPER = "service-worker.js"
SWITCH_OFF = Path(__file__).with_name("service-worker-off.js")
READING = {".html", ".css", ".js", ".mjs", ".json", ".svg", ".png", ".woff2", ".xml", ".txt"}
READING |= {".webmanifest", ".csv"}
MARKED = {".html", ".mjs", ".js"}
CHARSET = '<meta charset="utf-8">'
SCRIPT = re.compile(r"<script\b.*?</script>", re.DOTALL | re.IGNORECASE)
NAMED_BUILD = re.compile(r'<meta name="ft-build" content="([0-9a-f]+)">')

Entry = tuple[str, str, int, int]  # address, SHA-256, bytes, bytes when compressed


class _InlineScripts(HTMLParser):
    """Collects the scripts that stand in a page itself."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.scripts: list[str] = []
        self.inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        attributes = dict(attrs)
        runs = attributes.get("type") in (None, "module", "text/javascript")
        self.inside = tag == "script" and "src" not in attributes and runs

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.scripts.append(data)

    def handle_endtag(self, tag: str) -> None:  # noqa: ARG002 - the library's name
        self.inside = False


def policy(pages: list[str]) -> str:
    """Return the content policy that all pages share: only the site itself, no foreign script."""
    reader = _InlineScripts()
    for page in pages:
        reader.feed("".join(SCRIPT.findall(page)))
    digests = {hashlib.sha256(script.encode()).digest() for script in reader.scripts}
    hashes = sorted(f"'sha256-{base64.b64encode(digest).decode()}'" for digest in digests)
    scripts = " ".join(["'self'", "'wasm-unsafe-eval'", *hashes])
    return (
        f"default-src 'self'; script-src {scripts}; worker-src 'self'; connect-src 'self'; "
        "style-src 'self'; img-src 'self' data:; font-src 'self'; manifest-src 'self'; "
        "base-uri 'none'; form-action 'self'; object-src 'none'"
    )


def _files(site: Path) -> list[Path]:
    return [path for path in sorted(site.rglob("*")) if path.is_file()]


def build_id(site: Path) -> str:
    """Return a short name for exactly this content."""
    total = hashlib.sha256()
    for path in _files(site):
        total.update(f"\0{path.relative_to(site).as_posix()}\0".encode())
        total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()[:12]


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def _entry(site: Path, path: Path) -> Entry:
    data = path.read_bytes()
    name = re.sub(r"(^|/)index\.html$", r"\1", path.relative_to(site).as_posix())
    packed = min(len(data), len(gzip.compress(data, 9, mtime=0)))
    return name, hashlib.sha256(data).hexdigest(), len(data), packed


def reading_tier(site: Path) -> Iterator[Entry]:
    """Yield what a reader needs without the calculators: kept on the first visit."""
    for path in _files(site):
        inside = path.relative_to(site).as_posix()
        if path.suffix in READING and not inside.startswith(f"{RUNTIME}/") and inside != KEEPER:
            yield _entry(site, path)


def computing_tier(site: Path, manifest: dict[str, Any]) -> Iterator[Entry]:
    """Yield what the calculators need: kept after their first use, or when asked for."""
    folder = site / RUNTIME
    for name in (f"worker-{manifest['build']}.mjs", f"runtime-{manifest['build']}.json"):
        yield _entry(site, folder / name)
    for part in manifest["files"].values():
        yield f"{RUNTIME}/{part['path']}", part["sha256"], part["bytes"], part["packed"]


def keep_previous(previous: Path, site: Path) -> None:
    """Leave the files that an open page of the previous build may still ask for."""
    for old in runtime_files(previous):
        new = site / RUNTIME / old.name
        if old.is_file() and not new.exists():
            shutil.copyfile(old, new)


def runtime_files(site: Path) -> list[Path]:
    """Return the runtime's files of a site's build, without those kept for the one before."""
    page = site / "index.html"
    build = NAMED_BUILD.search(page.read_text(encoding="utf-8")) if page.is_file() else None
    if build is None:
        return []
    folder = site / RUNTIME
    manifest = folder / f"runtime-{build[1]}.json"
    if not manifest.is_file():
        return []
    parts = json.loads(manifest.read_text(encoding="utf-8"))["files"].values()
    names = (manifest.name, f"worker-{build[1]}.mjs", *(part["path"] for part in parts))
    return [folder / name for name in names]


def finish_site(
    site: Path, address: str, say: Callable[[str], None] = say, previous: Path | None = None
) -> str:
    """Tie the site's parts together and return the build's id.

    First the id, over everything as it stands; then the id into pages and scripts; then the
    policy, which needs the pages' final scripts; last the list of hashes, which needs everything.
    """
    build = build_id(site)
    for path in _files(site):
        if path.suffix in MARKED:
            text = path.read_text(encoding="utf-8")
            if BUILD_MARK in text:
                _write(path, text.replace(BUILD_MARK, build))

    pages = {path: path.read_text(encoding="utf-8") for path in site.rglob("*.html")}
    rule = policy(list(pages.values()))
    for path, text in pages.items():
        if CHARSET not in text or not NAMED_BUILD.search(text):
            raise ValueError(f"{path.relative_to(site)} lacks its character set or build id")
        meta = f'<meta http-equiv="Content-Security-Policy" content="{rule}">'
        _write(path, text.replace(CHARSET, f"{CHARSET}\n{meta}", 1))

    runtime = site / RUNTIME
    manifest = json.loads((runtime / DRAFT).read_text(encoding="utf-8")) | {"build": build}
    (runtime / DRAFT).unlink()
    _write(runtime / f"runtime-{build}.json", json.dumps(manifest))
    (site / "assets/worker.mjs").rename(runtime / f"worker-{build}.mjs")

    index = site / "search/list.json"
    if index.is_file():
        listed = json.loads(index.read_text(encoding="utf-8")) | {"build": build}
        _write(index, json.dumps(listed, ensure_ascii=False, separators=(",", ":")))

    keeper = site / "assets" / KEEPER
    code = keeper.read_text(encoding="utf-8")
    keeper.unlink()
    reading, computing = list(reading_tier(site)), list(computing_tier(site, manifest))
    for mark, entries in (("@FT-READING@", reading), ("@FT-COMPUTING@", computing)):
        code = code.replace(f'"{mark}"', json.dumps(entries, separators=(",", ":")))
    _write(site / KEEPER, code)

    if previous is not None:
        keep_previous(previous, site)
    for title, entries in (("pages", reading), ("calculators", computing)):
        whole = sum(entry[2] for entry in entries) / 1e6
        packed = sum(entry[3] for entry in entries) / 1e6
        say(
            f"Kept offline, {title}: {len(entries)} files, {whole:.1f} MB ({packed:.1f} compressed)"
        )
    say(f"Build {build} for {address}")
    return build


def withdraw(site: Path) -> None:
    """Replace the built site's service worker by one that takes the offline copy back."""
    shutil.copyfile(SWITCH_OFF, site / KEEPER)


def main() -> None:
    """Take the offline copy back, from the command line."""
    parser = argparse.ArgumentParser(description="Take the offline copy back.")
    parser.add_argument("--withdraw", type=Path, required=True, metavar="FOLDER")
    withdraw(parser.parse_args().withdraw)
    say("This site now takes its offline copies back. Publish it.")


if __name__ == "__main__":
    main()
