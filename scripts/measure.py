"""Measures the finished site beside a bare Pyodide page, in one run, on this machine.

    python -m scripts.measure [--runs 5] [--calculator sett]

Start-up is the time from the first keystroke in a form to the new answer on the page, against the
time from ``new Worker()`` to the result of ``1+1`` in a bare page. All times are medians.
"""

import argparse
import gzip
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
from scripts.offline import runtime_files
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
    raw, packed, smallest = map(sum, zip(*map(_weight, paths), strict=True))
    return raw, packed, smallest


def kilobytes(weight: tuple[int, int, int]) -> str:
    """Write what travels of a small weight."""
    return f"{weight[1] / 1e3:.0f} kB gzip, {weight[2] / 1e3:.0f} kB brotli"


def megabytes(weight: tuple[int, int, int]) -> str:
    """Write what travels of a large weight."""
    return f"{weight[1] / 1e6:.2f} MB gzip, {weight[2] / 1e6:.2f} MB brotli"


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
        milliseconds = float(page.evaluate(BARE_START))
        page.close()
        return milliseconds

    def live_start(self, context: BrowserContext, *, keep: bool) -> float:
        """Time the first answer; ``keep`` waits until the calculators are kept offline."""
        page = context.new_page()
        page.goto(self.site.address + self.page)
        line = page.locator(".ft-offline")
        line.filter(has_text="Ready offline").wait_for(timeout=60_000)
        milliseconds = float(page.evaluate(TYPE, [self.name, self.next_value()]))
        if keep:
            line.filter(has_text="pages and calculators").wait_for(timeout=60_000)
        page.close()
        return milliseconds

    def recalculations(self, context: BrowserContext, times: int) -> list[float]:
        """Time each of many keystrokes in a running calculator."""
        page = context.new_page()
        page.goto(self.site.address + self.page)
        page.evaluate(TYPE, [self.name, self.next_value()])
        milliseconds = [
            float(page.evaluate(TYPE, [self.name, self.next_value()])) for _ in range(times)
        ]
        page.close()
        return milliseconds

    def next_value(self) -> str:
        """Return a value that was not there before."""
        self.typed += 1
        return f"{20 + self.typed % 60}/2"

    def fresh(self) -> BrowserContext:
        """Return a browser profile that has seen nothing."""
        return self.browser.new_context(viewport={"width": 360, "height": 740})


def reading_weight(browser: Browser, site: Path, server: Server, address: str) -> list[Path]:
    """Return the files that one page loads by itself."""
    context = browser.new_context(service_workers="block")
    paths: set[str] = set()
    context.on("response", lambda answer: paths.add(urlsplit(answer.url).path))
    page = context.new_page()
    page.goto(server.address + address)
    page.wait_for_load_state("networkidle")
    context.close()
    files = [site / path.lstrip("/") for path in paths]
    return [path / "index.html" if path.is_dir() else path for path in files if path.exists()]


def table(rows: list[tuple[str, str, str]]) -> None:
    """Print measured figures beside their budgets."""
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    for row in rows:
        say("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def pages_of(site: Path) -> dict[str, Path]:
    """Return every page by its address from the site's root."""
    pages = sorted(site.rglob("index.html"))
    return {page.relative_to(site).as_posix().removesuffix("index.html"): page for page in pages}


def find_page(site: Path, name: str) -> str:
    """Return the address of a page that holds the calculator."""
    mark = f'data-calculator="{name}"'
    for address, page in pages_of(site).items():
        if mark in page.read_text(encoding="utf-8"):
            return address
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

        pages = {
            address: weights(reading_weight(browser, site, server, address))
            for address in pages_of(site)
        }

    heaviest, weight = max(pages.items(), key=lambda page: page[1][1])
    index = weights([site / "search/list.json"])
    runtime = runtime_files(site)
    on_use = weights([path for path in runtime if not path.name.startswith("memory-")])
    memory = weights([path for path in runtime if path.name.startswith("memory-")])
    rest = [path for path in site.rglob("*") if path.is_file() and FOLDER not in path.as_posix()]
    reading = weights(rest)
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
            (f"heaviest page ({heaviest or 'the first page'})", kilobytes(weight), "120 kB"),
            ("search index", kilobytes(index), "250 kB"),
            ("runtime on first use", megabytes(on_use), "4.5 MB"),
            ("memory picture, kept later", megabytes(memory), ""),
            ("reading tier", megabytes(reading), "2 MB"),
            ("reading tier as stored", f"{reading[0] / 1e6:.2f} MB", ""),
        ]
    )


def main() -> None:
    """Measure from the command line."""
    parser = argparse.ArgumentParser(description="Measure the site beside a bare Pyodide page.")
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--calculator", default="sett")
    parser.add_argument("--site", type=Path, help="a site already built for port 8797")
    options = parser.parse_args()
    site = options.site or build(WORK / "measured-site", f"http://localhost:{PORT}/").path
    measure(site, options.runs, options.calculator)


if __name__ == "__main__":
    main()
