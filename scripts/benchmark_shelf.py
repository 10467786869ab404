"""How long the shelf's search takes as the shelf grows, here and in a browser.

    python scripts/benchmark_shelf.py [3 10 25 50 100]
    python scripts/benchmark_shelf.py --browser 100

Every cone is another colour, and most are another yarn: the hardest case, where nothing can be
counted together. In the browser the time runs from the typing of a whole shelf to the first ideas
on the page, and to the end of the search, the calculators having answered once before.
"""

import argparse
import random
import sys
import time
from collections.abc import Iterator
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parent.parent)

from calculators.shelf.cones_and_looms import Cone, Loom, Shelf, write_lines  # noqa: E402 - found only now
from calculators.shelf.search import Search, Wishes  # noqa: E402
from calculators.yarn.catalogue import catalogue  # noqa: E402

LOOM = Loom("Oak", 120, 12, 400, None, (10.16, 12.7, 15.24, 20.32, 30.48), 140, 2_000)
PORT = 8798
# Resolves when the search has ended: milliseconds to the first ideas and to the end.
SEARCH = """(text) => new Promise((done) => {
  const section = document.querySelector('[data-calculator="shelf"]');
  const field = section.querySelector('[name="cones"]');
  const answer = section.querySelector(".ft-answer");
  let first = 0;
  new MutationObserver((changes, observer) => {
    const now = performance.now() - begun;
    const shown = changes.some(({ target, type }) => target === answer && type === "childList");
    if (shown && !first && answer.querySelector(".ft-card")) first = now;
    const busy = changes.some(({ type }) => type === "attributes");
    if (!busy || answer.getAttribute("aria-busy") !== "false") return;
    observer.disconnect();
    requestAnimationFrame(() => {
      const end = performance.now() - begun;
      done([first || end, end]);
    });
  }).observe(answer, { childList: true, attributes: true, attributeFilter: ["aria-busy"] });
  const begun = performance.now();
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
})"""


def shelf(cones: int, seed: int) -> Iterator[Cone]:
    """Cones of catalogue yarns in random colours and weights, some without a colour."""
    chance = random.Random(seed)
    rows = catalogue()
    for number in range(cones):
        row = chance.choice(rows)
        colour = f"#{chance.randrange(1 << 24):06x}" if chance.random() < 0.9 else ""
        fibre = row.fibre.split(",")[0].split()[0]
        grams = chance.choice((80, 150, 250, 400, 700, 1200)) * chance.uniform(0.7, 1.3)
        yield Cone(f"Cone {number}", row.yarn, fibre, colour, grams, 0, 1, "")


def here(sizes: list[int]) -> None:
    """Print for each size of shelf: all pairs, the time to a first result, the time to the end."""
    print("cones  pairs         first s  done s  cpu s  steps  found  best")
    for size in sizes:
        search = Search(shelf(size, seed=size), LOOM, Wishes())
        started, cpu, first, steps = time.perf_counter(), time.process_time(), 0.0, 0
        for _ in search.steps():
            steps += 1
            if search.best and not first:
                first = time.perf_counter() - started
        end = time.perf_counter() - started
        cpu = time.process_time() - cpu
        ranked = search.ranked
        best = f"{ranked[0].score:.1f}" if ranked else "-"
        print(
            f"{size:5d}  {search.pairs:12,d}  {first:7.3f}  {end:6.2f}  {cpu:5.2f}  {steps:5d}"
            f"  {len(ranked):5d}  {best}",
            flush=True,
        )


def in_browser(sizes: list[int], runs: int) -> None:
    """Print for each size the times on the built page, for several shelves of that size."""
    # Only needed here: the search itself is measured without a browser.
    from scripts.build import build  # noqa: PLC0415
    from scripts.setting_up.chromium import chromium  # noqa: PLC0415
    from scripts.setting_up.environment import WORK  # noqa: PLC0415
    from scripts.web_server import serving  # noqa: PLC0415

    site = build(WORK / "measured-shelf", f"http://localhost:{PORT}/").path
    with serving(site, PORT) as server, chromium() as browser:
        page = browser.new_page(viewport={"width": 360, "height": 740})
        page.set_default_timeout(300_000)
        page.goto(f"{server.address}shelf/")
        page.evaluate(SEARCH, "A; 16/2; 400 g; white\nB; 16/2; 300 g; navy")
        print("cones  seed  first s  done s")
        for size in sizes:
            for seed in range(1, runs + 1):
                text = write_lines(Shelf(tuple(shelf(size, seed)), (LOOM,)))
                first, end = (milliseconds / 1000 for milliseconds in page.evaluate(SEARCH, text))
                print(f"{size:5d}  {seed:4d}  {first:7.2f}  {end:6.2f}", flush=True)


def main() -> None:
    """Measure from the command line."""
    parser = argparse.ArgumentParser(description="Measure the search from the shelf.")
    parser.add_argument("sizes", type=int, nargs="*", default=[3, 10, 25, 50, 100])
    parser.add_argument("--browser", action="store_true", help="in the browser, on the built page")
    parser.add_argument("--runs", type=int, default=3, help="shelves of each size in the browser")
    options = parser.parse_args()
    if options.browser:
        in_browser(options.sizes, options.runs)
    else:
        here(options.sizes)


if __name__ == "__main__":
    main()
