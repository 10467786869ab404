"""How long a figure's warnings, answer and cloth take as it grows, here and in a browser.

    python scripts/benchmark_figure.py [--browser]

Two kinds of figure of each size: shapes, as a weaver draws them, and units strewn at random, the
hardest case. The ratio is the time of a unit against that of the smallest figure of its kind: near
one where the time grows with the units.

In the browser the page asks, and every time is told beside the same asked here, in the same run. A
photograph's time runs from its pick to the figure on the page, the calculators having answered once
before; beside it is the time that the same picture's points take here.
"""

import argparse
import json
import random
import sys
import time
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

sys.path[0] = str(Path(__file__).resolve().parent.parent)

from calculators.appearance.calculators import MOMENT  # noqa: E402 - found only now
from calculators.figure.grid import Grid, packed  # noqa: E402
from calculators.page import respond  # noqa: E402

SIZES = ((80, 100), (160, 200), (226, 284), (320, 400), (400, 1_000))
LIMITS = {(160, 200): (0.1, 0.15), (400, 1_000): (2.0, 3.0)}  # seconds: warnings, cloth
PHOTOGRAPH, UNITS, LIMIT = (4_000, 3_000), (160, 200), 2.0
PORT = 8799
TIMES = 3
ASK = """async ([module, request]) => {
  const { ask } = await import(module);
  const begun = performance.now();
  await ask(request);
  return (performance.now() - begun) / 1000;
}"""
# Resolves when the figure of the picture that is picked next is told and painted.
PICK = """() => {
  const place = document.querySelector("[data-show=picture]");
  let begun = 0;
  const chooser = document.querySelector("[name=file]");
  const begin = () => (begun = performance.now());
  chooser.addEventListener("change", begin, { once: true, capture: true });
  globalThis.picked = new Promise((done) => new MutationObserver((_, observer) => {
    const told = place.querySelector("[role=status]")?.textContent;
    if (!begun || !/units across and/.test(told)) return;
    observer.disconnect();
    requestAnimationFrame(() => setTimeout(() => done((performance.now() - begun) / 1000)));
  }).observe(place, { childList: true, subtree: true, characterData: true }));
}"""

Request = dict[str, Any]
Ask = Callable[[Request], float]


def shapes(across: int, up: int) -> Grid:
    """Rings of eight units round the middle."""
    return Grid(
        across,
        tuple(
            sum(
                1 << unit
                for unit in range(across)
                if int(((unit - across / 2) ** 2 + (row - up / 2) ** 2) ** 0.5) // 8 % 2
            )
            for row in range(up)
        ),
    )


def strewn(across: int, up: int) -> Grid:
    """Every unit drawn or not by chance."""
    chance = random.Random(12)
    return Grid(across, tuple(chance.getrandbits(across) for _ in range(up)))


def request(call: str, grid: Grid) -> Request:
    """Ask of another figure every time, for what is read is remembered."""
    first = grid.rows[0] ^ random.getrandbits(grid.across)
    other = packed(Grid(grid.across, (first, *grid.rows[1:])))
    return {"call": call, "id": "figure", "inputs": {"grid": other}}


def cloth(grid: Grid) -> list[Request]:
    """Ask for every thread in six-end satin, strip by strip as the page does, in another light."""
    inputs = {"grid": packed(grid), "weave": "satin_6", "light": f"{random.uniform(0, 12):.3f}"}
    rows = max(1, MOMENT // (36 * grid.across))
    return [
        {"call": "cloth", "inputs": inputs, "picture": "threads", "from_row": row}
        for row in range(0, grid.up, rows)
    ]


def here(asked: Request, points: bytes = b"") -> float:
    """Ask this Python, and return the seconds that it took."""
    text = json.dumps(asked)
    begun = time.perf_counter()
    respond(text, points)
    return time.perf_counter() - begun


def growing(ask: Ask, beside: Ask | None = None) -> bool:
    """Print a line for each size, against ``beside``; whether a limit is passed."""
    missed = False
    for kind in (shapes, strewn):
        print(f"\n{kind.__name__:11}  units  warnings, ms  a unit  against  answer, ms", end="")
        print("   cloth, ms  a unit  against", end="")
        print("  times as here" if beside else "")
        first = first_cloth = 0.0
        for across, up in SIZES:
            grid = kind(across, up)
            warned, answered = (
                min(ask(request(call, grid)) for _ in range(TIMES))
                for call in ("warnings", "answer")
            )
            unit = warned / (across * up)
            first = first or unit
            drawn = min(sum(map(ask, cloth(grid))) for _ in range(TIMES))
            cloth_unit = drawn / (across * up)
            first_cloth = first_cloth or cloth_unit
            limits = LIMITS.get((across, up), (warned, drawn))
            late = warned > limits[0] or drawn > limits[1]
            missed |= late
            ratio = ""
            if beside:
                native = min(beside(request("warnings", grid)) for _ in range(TIMES))
                ratio = f"{warned / native:15.1f}"
            print(
                f"{across:4} × {up:<5}{across * up:7} {1000 * warned:13.1f} {1e6 * unit:6.2f}µ"
                f" {unit / first:8.2f} {1000 * answered:11.1f}"
                f"{1000 * drawn:12.1f} {1e6 * cloth_unit:6.2f}µ {cloth_unit / first_cloth:8.2f}"
                f"{ratio}"
                f"{'  over the limit' if late else ''}",
                flush=True,
            )
    return missed


def photograph() -> bytes:
    """A dark leaf on a light table, with the grain that a photograph has."""
    from PIL import Image, ImageDraw  # noqa: PLC0415 - only here

    across, up = PHOTOGRAPH
    picture = Image.effect_noise(PHOTOGRAPH, 40).point(lambda tone: min(255, tone + 80))
    leaf = Image.new("L", PHOTOGRAPH)
    ImageDraw.Draw(leaf).ellipse((across // 4, up // 8, across * 3 // 4, up * 7 // 8), fill=255)
    picture.paste(picture.point(lambda tone: tone // 3), mask=leaf)
    file = BytesIO()
    picture.convert("RGB").save(file, "JPEG", quality=90)
    return file.getvalue()


def in_browser() -> bool:
    """Print the same of the built page, and the time of a photograph; whether a limit is passed."""
    # Only needed here: everything else is measured without a browser.
    from playwright.sync_api import FilePayload  # noqa: PLC0415

    from scripts.build import build  # noqa: PLC0415
    from scripts.setting_up.chromium import chromium  # noqa: PLC0415
    from scripts.setting_up.environment import WORK  # noqa: PLC0415
    from scripts.web_server import serving  # noqa: PLC0415

    site = build(WORK / "measured-figure", f"http://localhost:{PORT}/").path
    with serving(site, PORT) as server, chromium() as browser:
        page = browser.new_page(viewport={"width": 360, "height": 740})
        page.set_default_timeout(300_000)
        page.goto(f"{server.address}figure/drawing/")
        page.locator("[data-show=units]", has_text="units across").wait_for()
        module = f"{server.address}assets/runtime.mjs"
        missed = growing(lambda asked: float(page.evaluate(ASK, [module, asked])), here)

        page.locator(".ft-drawing summary", has_text="From a file").click()
        picked = FilePayload(name="leaf.jpg", mimeType="image/jpeg", buffer=photograph())
        seconds = []
        for _ in range(TIMES):
            page.evaluate(PICK)
            page.locator("[name=file]").set_input_files(picked)
            seconds.append(float(page.evaluate("() => picked")))
        across, up = page.evaluate(
            "() => { const { width, height } = document.querySelector('canvas.ft-photograph');"
            " return [width, height]; }"
        )
    asked = {"call": "picture", "points_across": across, "points_up": up}
    asked |= {"units_across": UNITS[0], "units_up": UNITS[1]}
    native = min(here(asked, random.Random(1).randbytes(across * up)) for _ in range(TIMES))
    print(
        f"\nphotograph of {PHOTOGRAPH[0]} × {PHOTOGRAPH[1]}, read at {across} × {up}: "
        f"{1000 * min(seconds):.0f} ms on the page, its points here {1000 * native:.0f} ms"
    )
    return missed or min(seconds) > LIMIT


def main() -> int:
    """Measure from the command line; 1 where a limit is passed."""
    parser = argparse.ArgumentParser(description="Measure what is said of a figure.")
    parser.add_argument("--browser", action="store_true", help="in the browser, on the built page")
    return int(in_browser() if parser.parse_args().browser else growing(here))


if __name__ == "__main__":
    sys.exit(main())
