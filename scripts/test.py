"""Sets everything up and checks the handbook: style, types, published values, every test.

python scripts/test.py              as the continuous check does it
python scripts/test.py --quick      style, types, values and laws: no browser, no site, few examples
python scripts/test.py --thorough   the slow attacks too: kept copies damaged, the book printed,
                                    a whole Chromium and the browser's own Python everywhere
python scripts/test.py tests/sett   only pytest, with these arguments
"""

import os
import subprocess
import sys
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parent.parent)

from scripts.setting_up import environment  # noqa: E402 - found only after the line above
from scripts.setting_up.environment import ROOT, SetupError, say  # noqa: E402

SLOW = (  # a browser, the site built, pictures, long searches
    *("tests/browser", "tests/offline", "tests/runtime", "tests/scripts", "tests/shelf"),
    *("tests/forms/test_every_field.py", "tests/forms/test_counts.py", "tests/forms/test_units.py"),
    *("tests/appearance", "tests/examples", "tests/plan/test_weft_width.py"),
)
QUICK = (*(f"--ignore={place}" for place in SLOW), "--hypothesis-profile=quick")
SIDE_BY_SIDE = ("-n", str(min(4, os.cpu_count() or 1)), "--dist", "worksteal")

CHECKS = {
    "Style (ruff)": ("ruff", "check", "."),
    "Layout of the code (ruff format)": ("ruff", "format", "--check", "."),
    "Types (mypy)": ("mypy",),
    "Published values": ("scripts.check_references", "--misses"),
}


def start(module: str, *arguments: str, quietly: bool = False) -> subprocess.Popen[str]:
    """Start a Python module of the environment from the checkout's top folder."""
    return subprocess.Popen(
        [sys.executable, "-m", module, *arguments],
        cwd=ROOT,
        env=environment.clean_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE if quietly else None,
        stderr=subprocess.STDOUT if quietly else None,
        text=True,
    )


def failed_among(running: dict[str, subprocess.Popen[str]]) -> list[str]:
    """Tell what the checks say, and name those that failed."""
    for title, process in running.items():
        say(f"\n{title}\n{process.communicate()[0].rstrip()}")
    return [title for title, process in running.items() if process.returncode != 0]


def main() -> int:
    """Set up, then check; the exit status is 0 only when every check passed."""
    environment.enter(environment.TEST_LOCK)

    from scripts.setting_up import chromium, node  # noqa: PLC0415 - only inside the environment

    chosen = sys.argv[1:]
    quick, thorough = chosen == ["--quick"], chosen == ["--thorough"]
    everything = quick or thorough or not chosen
    try:
        node.install_node_packages()
        if not quick:
            os.environ[chromium.VARIABLE] = chromium.ensure_chromium(light=not thorough)
        chromium.ensure_units()
    except SetupError as problem:
        say(str(problem))
        return 1
    checks = CHECKS if everything else {}
    running = {title: start(*command, quietly=True) for title, command in checks.items()}
    say(f"\nTests (pytest{'' if quick else '; the browser’s part takes some minutes'})")
    if everything:
        left_out = (
            ("--hypothesis-profile=thorough", "--bundled") if thorough else ("-m", "not thorough")
        )
        chosen = [*SIDE_BY_SIDE, *left_out, *(QUICK if quick else ())]
    status = start("pytest", *chosen).wait()
    if failed := failed_among(running):
        say("\nThese checks failed: " + ", ".join(failed) + ".")
    return status or len(failed)


if __name__ == "__main__":
    sys.exit(main())
