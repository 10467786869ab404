"""The handbook's own Python environment, made with nothing but the standard library.

Every command begins with ``enter()``: it makes the environment in ``.venv``, fills it with exactly
the locked packages, and starts the command again inside it. Nothing outside the checkout is needed,
and an environment that happens to be active is neither used nor touched.

This file is kept readable for Python versions too old to run the rest, so that they hear why.
"""

from __future__ import annotations

import importlib.util
import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
VENV = ROOT / ".venv"
WORK = ROOT / ".build"
OLDEST_PYTHON = (3, 11)
SITE_LOCK = "requirements.txt"
TEST_LOCK = "requirements-test.txt"
NODE_LOCK = "requirements-node.txt"
UV_LOCK = "requirements-uv.txt"
WINDOWS = os.name == "nt"
FOREIGN = (  # what another environment may have left for us to trip over
    *("VIRTUAL_ENV", "CONDA_PREFIX", "PYTHONHOME", "PYTHONPATH", "PYTHONSTARTUP"),
    "PYTHONDONTWRITEBYTECODE",
    *("PIP_TARGET", "PIP_PREFIX", "PIP_USER", "PIP_REQUIRE_VIRTUALENV"),
    *("NODE_PATH", "NODE_OPTIONS"),
)


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
    """Run one long command, whose own words show it at work; when it fails, add the hint."""
    say(title)
    variables = dict(environment or clean_environment())
    try:
        process = subprocess.run(
            command, cwd=ROOT, env=variables, stdin=subprocess.DEVNULL, check=False
        )
    except OSError as problem:
        raise SetupError(f"{command[0]} could not be started ({problem}). {hint}") from problem
    if process.returncode != 0:
        raise SetupError(
            f"That step failed ({command[0]} ended with status {process.returncode}). {hint}"
        )


def is_copy(copy: Path, source: Path) -> bool:
    """Tell whether the lock that was fetched last is the lock that is wanted."""
    return copy.exists() and copy.read_bytes() == source.read_bytes()


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
    command = ["apt-get", "-q", "install", "-y", "--no-install-recommends", *packages]
    run_step("Installing Debian's " + ", ".join(packages), command, hint, quiet)


def python_inside() -> Path:
    """Return the Python of the project's own environment."""
    return VENV / ("Scripts/python.exe" if WINDOWS else "bin/python")


def _works(python: Path) -> bool:
    command = [str(python), "-c", "import pip"]
    try:
        process = subprocess.run(command, env=clean_environment(), capture_output=True, check=False)
    except OSError:
        return False
    return process.returncode == 0


def _make_venv() -> None:
    without = "On Debian and Ubuntu this needs python3-venv: sudo apt-get install python3-venv."
    if importlib.util.find_spec("ensurepip") is None:
        if not root_on_debian():
            raise SetupError(f"This Python lacks ensurepip and makes no environments. {without}")
        install_debian("python3-venv")
    run_step(
        "Making the handbook's own Python environment in .venv",
        [sys.executable, "-m", "venv", "--clear", str(VENV)],
        f"Is the folder writable, and is there room on the disk? {without}",
    )


def install(lock: str) -> None:
    """Bring the environment to the state of a lock file, of which it then keeps a copy."""
    if not _works(python_inside()):
        _make_venv()
    wanted, fetched = ROOT / lock, VENV / lock
    if is_copy(fetched, wanted):
        return
    fetched.unlink(missing_ok=True)
    packages = wanted.read_text(encoding="utf-8").count("==")
    title = f"Fetching the Python packages of {lock} ({packages})"
    hint = (
        "The packages come from the Python package index: check the network connection, then "
        "start again; what was fetched is kept."
    )
    locked = ("--no-deps", "--require-hashes", "-r")
    run = (str(python_inside()), "-m")
    pip = (*run, "pip", "install", "--no-input", "--disable-pip-version-check", *locked)
    uv = (*run, "uv", "pip", "install", "--python", str(python_inside()))
    try:
        run_step("Fetching uv, which fetches the rest quickly", [*pip, str(ROOT / UV_LOCK)], "")
        run_step(title, [*uv, "--compile-bytecode", *locked, str(wanted)], "")
    except SetupError as problem:
        say(f"{problem}\npip takes over, which may know better where packages come from here.")
        run_step(f"{title}; this takes a minute or two", [*pip, str(wanted)], hint)
    shutil.copyfile(wanted, fetched)
    if lock == TEST_LOCK:  # it holds everything the smaller lock does
        shutil.copyfile(ROOT / SITE_LOCK, VENV / SITE_LOCK)


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
