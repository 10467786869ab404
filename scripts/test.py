"""Sets everything up and checks the handbook: style, types, published values, every test.

python scripts/test.py              everything, as the continuous check does it
python scripts/test.py --quick      style, types, published values and the short tests, no browser
python scripts/test.py tests/sett   only pytest, with these arguments
"""

import os
import subprocess
import sys
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parent.parent)

from scripts.setting_up import environment  # noqa: E402 - found only after the line above
from scripts.setting_up.environment import ROOT, SetupError, say  # noqa: E402

SLOW = (  # a browser, or the whole site built
    *("tests/browser", "tests/offline", "tests/runtime", "tests/scripts/test_material.py"),
    *("tests/scripts/test_site.py", "tests/scripts/test_numbers.py"),
)
QUICK = (
    *(f"--ignore={place}" for place in SLOW),
    *("-m", "not thorough", "--hypothesis-profile=quick"),
)
WORKERS = str(min(4, os.cpu_count() or 1))

CHECKS = (
    ("Style (ruff)", ["ruff", "check", "."]),
    ("Layout of the code (ruff format)", ["ruff", "format", "--check", "."]),
    ("Types (mypy)", ["mypy"]),
    ("Published values", ["scripts.check_references", "--misses"]),
)


def run(module: str, *arguments: str) -> int:
    """Run a Python module of the environment from the checkout's top folder."""
    command = [sys.executable, "-m", module, *arguments]
    return subprocess.run(
        command,
        cwd=ROOT,
        env=environment.clean_environment(),
        check=False,
        stdin=subprocess.DEVNULL,
    ).returncode


def main() -> int:
    """Set up, then check; the exit status is 0 only when every check passed."""
    environment.enter(environment.TEST_LOCK)

    from scripts.setting_up import chromium, node  # noqa: PLC0415 - only inside the environment

    chosen = sys.argv[1:]
    quick = chosen == ["--quick"]
    everything = quick or not chosen
    try:
        node.install_node_packages()
        if not quick:
            os.environ[chromium.VARIABLE] = chromium.ensure_chromium()
        chromium.ensure_units()
    except SetupError as problem:
        say(str(problem))
        return 1
    failed = []
    for title, (module, *arguments) in CHECKS if everything else ():
        say(f"\n{title}")
        if run(module, *arguments) != 0:
            failed.append(title)
    say(f"\nTests (pytest{'' if quick else '; the browser’s part takes some minutes'})")
    if everything:
        chosen = ["-n", WORKERS, *(QUICK if quick else ())]
    status = run("pytest", *chosen)
    if failed:
        say("\nThese checks failed before the tests: " + ", ".join(failed) + ".")
    return status or len(failed)


if __name__ == "__main__":
    sys.exit(main())
