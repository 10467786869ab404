"""Measures the finished site beside a bare Pyodide page, in one run, on this machine.

    python -m scripts.measure [--runs 5] [--calculator sett]

Start-up is the time from the first keystroke in a form to the new answer on the page, against the
time from ``new Worker()`` to the result of ``1+1`` in a bare page. All times are medians.
"""

import argparse
import gzip
import json
import shutil
import statistics
import tempfile
from collections.abc import Callable
from contextlib import ExitStack
from functools import cache
from pathlib import Path
from urllib.parse import urlsplit

import brotli  # type: ignore[import-untyped]
from playwright.sync_api import Browser, BrowserContext

from scripts.browser_runtime.runtime import CORE, FOLDER
from scripts.build import build
from scripts.offline import NAMED_BUILD
from scripts.setting_up.chromium import chromium
from scripts.setting_up.environment import WORK, say
from scripts.setting_up.node import MODULES
from scripts.web_server import Server, serving

PORT = 8797
BARE_FILES = (*CORE.values(), "python_stdlib.zip", "pyodide-lock.json")
BARE_PAGE = "<!doctype html><meta charset=utf-8><title>bare</title><p>bare"
BARE_WORKER = """
import { loadPyodide } from "./pyodide.mjs";
const pyodide = await loadPyodide();
postMessage(pyodide.runPython("1+1"));
"""
BARE_START = """() => new Promise((done) => {
  const begun = performance.now();
  const worker = new Worker("worker.mjs", { type: "module" });
  worker.onmessage = () => done(performance.now() - begun);
})"""
# From a keystroke to the answer on the page; what is typed differs from what stood there.
TYPE = """([calculator, value]) => new Promise((done) => {
  const section = document.querySelector(`[data-calculator="${calculator}"]`);
  const input = section.querySelector("form input");
  const answer = section.querySelector(".ft-answer");
  new MutationObserver((_, observer) => {
    observer.disconnect();
    done(performance.now() - begun);
  }).observe(answer, { childList: true, subtree: true });
  input.focus();
  input.value = value;
  const begun = performance.now();
  input.dispatchEvent(new Event("input", { bubbles: true }));
})"""


def median(values: list[float]) -> float:
    """Return the median in whole milliseconds."""
    return round(statistics.median(values), 1)


@cache
def _weight(path: Path) -> tuple[int, int, int]:
    data = path.read_bytes()
    if path.suffix in (".bin", ".woff2", ".png"):  # packed already
        return len(data), len(data), len(data)
    squeezed = len(gzip.compress(data, 9)), len(brotli.compress(data, quality=11))
    return len(data), min(len(data), squeezed[0]), min(len(data), squeezed[1])


def weights(paths: list[Path]) -> tuple[int, int, int]:
    """Return bytes as they are, by gzip and by brotli."""
    each = [_weight(path) for path in paths]
    raw, packed, smallest = (sum(one[place] for one in each) for place in range(3))
    return raw, packed, smallest


def bare_folder(folder: Path) -> Path:
    """Make a page with nothing but Pyodide as it comes."""
    for name in BARE_FILES:
        shutil.copyfile(MODULES / "pyodide" / name, folder / name)
    (folder / "index.html").write_text(BARE_PAGE, encoding="utf-8")
    (folder / "worker.mjs").write_text(BARE_WORKER, encoding="utf-8")
    return folder


class Measuring:
    """One browser and the two sites."""

    def __init__(self, browser: Browser, bare: Server, site: Server, page: str, name: str) -> None:
        self.browser, self.bare, self.site = browser, bare, site
        self.page, self.name = page, name
        self.typed = 0

    def bare_start(self, context: BrowserContext) -> float:
        """Time ``1+1`` in the bare page."""
        page = context.new_page()
        page.goto(self.bare.address)
        took = float(page.evaluate(BARE_START))
        page.close()
        return took

    def live_start(self, context: BrowserContext, *, keep: bool) -> float:
        """Time the first answer; ``keep`` waits until the calculators are kept offline."""
        page = context.new_page()
        page.goto(self.site.address + self.page)
        line = page.locator(".ft-offline")
        line.filter(has_text="Ready offline").wait_for(timeout=60_000)
        took = float(page.evaluate(TYPE, [self.name, self.next_value()]))
        if keep:
            line.filter(has_text="pages and calculators").wait_for(timeout=60_000)
        page.close()
        return took

    def recalculations(self, context: BrowserContext, times: int) -> list[float]:
        """Time each of many keystrokes in a running calculator."""
        page = context.new_page()
        page.goto(self.site.address + self.page)
        page.evaluate(TYPE, [self.name, self.next_value()])
        took = [float(page.evaluate(TYPE, [self.name, self.next_value()])) for _ in range(times)]
        page.close()
        return took

    def next_value(self) -> str:
        """Return a value that was not there before."""
        self.typed += 1
        return f"{20 + self.typed % 60}/2"

    def fresh(self) -> BrowserContext:
        """Return a browser profile that has seen nothing."""
        return self.browser.new_context(viewport={"width": 360, "height": 740})


def reading_weight(browser: Browser, site: Path, server: Server, page: str) -> list[Path]:
    """Return the files that one page loads by itself."""
    context = browser.new_context(service_workers="block")
    asked: set[str] = set()
    context.on("response", lambda answer: asked.add(urlsplit(answer.url).path))
    view = context.new_page()
    view.goto(server.address + page)
    view.wait_for_load_state("networkidle")
    context.close()
    files = [site / path.lstrip("/") for path in asked]
    return [path / "index.html" if path.is_dir() else path for path in files if path.exists()]


def current_runtime(site: Path) -> list[Path]:
    """Return the runtime's files of this build, without those kept for the one before."""
    named = NAMED_BUILD.search((site / "index.html").read_text(encoding="utf-8"))
    if named is None:
        raise SystemExit("The site's first page names no build.")
    folder = site / FOLDER
    record = folder / f"runtime-{named[1]}.json"
    parts = json.loads(record.read_text(encoding="utf-8"))["files"].values()
    return [record, folder / f"worker-{named[1]}.mjs", *(folder / part["path"] for part in parts)]


def table(rows: list[tuple[str, str, str]]) -> None:
    """Print measured figures beside their budgets."""
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    for row in rows:
        say("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def find_page(site: Path, name: str) -> str:
    """Return the address of a page that holds the calculator."""
    mark = f'data-calculator="{name}"'
    for page in sorted(site.rglob("index.html")):
        if mark in page.read_text(encoding="utf-8"):
            inside = page.parent.relative_to(site).as_posix()
            return "" if inside == "." else f"{inside}/"
    raise SystemExit(f"No page of the site holds the calculator {name}.")


def measure(site: Path, runs: int, name: str, say: Callable[[str], None] = say) -> None:
    """Measure and print."""
    with ExitStack() as stack:
        scratch = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        bare = stack.enter_context(serving(bare_folder(scratch)))
        server = stack.enter_context(serving(site, PORT))
        browser = stack.enter_context(chromium())
        at = Measuring(browser, bare, server, find_page(site, name), name)

        bare_first, bare_again, first, again = [], [], [], []
        with at.fresh() as warm:
            at.bare_start(warm)  # both servers have now compressed every file once
            at.live_start(warm, keep=True)
            for run in range(runs):
                with at.fresh() as unseen:
                    bare_first.append(at.bare_start(unseen))
                with at.fresh() as unseen:
                    first.append(at.live_start(unseen, keep=False))
                bare_again.append(at.bare_start(warm))
                again.append(at.live_start(warm, keep=True))
                say(f"  run {run + 1} of {runs}")
            keystrokes = at.recalculations(warm, 40)

        pages = []
        for page in sorted(site.rglob("index.html")):
            inside = page.parent.relative_to(site).as_posix()
            address = "" if inside == "." else f"{inside}/"
            files = reading_weight(browser, site, server, address)
            pages.append((weights(files), address or "the first page"))

    heaviest, which = max(pages, key=lambda page: page[0][1])
    index = weights([site / "search/list.json"])
    runtime = current_runtime(site)
    on_use = weights([path for path in runtime if not path.name.startswith("memory-")])
    memory = weights([path for path in runtime if path.name.startswith("memory-")])
    rest = [path for path in site.rglob("*") if path.is_file() and FOLDER not in path.as_posix()]
    reading = weights(rest)
    in_kb = "{:.0f} kB gzip, {:.0f} kB brotli"
    in_mb = "{:.2f} MB gzip, {:.2f} MB brotli"
    first_share = median(first) / median(bare_first)
    again_share = median(again) / median(bare_again)
    table(
        [
            ("what", "measured", "budget"),
            ("bare Pyodide, first visit", f"{median(bare_first)} ms", ""),
            ("first live answer, first visit", f"{median(first)} ms", ""),
            ("  share of bare", f"{first_share:.2f}", "0.55"),
            ("bare Pyodide, return visit", f"{median(bare_again)} ms", ""),
            ("first live answer, return visit", f"{median(again)} ms", ""),
            ("  share of bare", f"{again_share:.2f}", "0.30"),
            ("keystroke to answer", f"{median(keystrokes)} ms", "50 ms"),
            ("keystroke to answer, slowest", f"{max(keystrokes):.1f} ms", ""),
            (f"heaviest page ({which})", in_kb.format(*(x / 1e3 for x in heaviest[1:])), "120 kB"),
            ("search index", in_kb.format(*(x / 1e3 for x in index[1:])), "250 kB"),
            ("runtime on first use", in_mb.format(*(x / 1e6 for x in on_use[1:])), "4.5 MB"),
            ("memory picture, kept later", in_mb.format(*(x / 1e6 for x in memory[1:])), ""),
            ("reading tier", in_mb.format(*(x / 1e6 for x in reading[1:])), "2 MB"),
            ("reading tier as stored", f"{reading[0] / 1e6:.2f} MB", ""),
        ]
    )


def main() -> None:
    """Measure from the command line."""
    reader = argparse.ArgumentParser(description="Measure the site beside a bare Pyodide page.")
    reader.add_argument("--runs", type=int, default=5)
    reader.add_argument("--calculator", default="sett")
    reader.add_argument("--site", type=Path, help="a site already built for port 8797")
    asked = reader.parse_args()
    site = asked.site or build(WORK / "measured-site", f"http://localhost:{PORT}/").path
    measure(site, asked.runs, asked.calculator)


if __name__ == "__main__":
    main()
