"""The browser that tests, pictures and measurements use, and GNU Units beside it."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from scripts.setting_up.environment import (
    WINDOWS,
    SetupError,
    clean_environment,
    install_debian,
    root_on_debian,
    run_step,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
LIGHT = "chromium-headless-shell"  # the same engine without its windows: a third less work
VARIABLE = "HANDBOOK_CHROMIUM"
ASK_PLAYWRIGHT = """
from playwright.sync_api import sync_playwright
with sync_playwright() as playwright: print(playwright.chromium.executable_path)
"""


def find_chromium() -> str | None:
    """Return a Chromium or Chrome to test with, or None; the variable names one outright."""
    if named := os.environ.get(VARIABLE):
        return named
    for name in NAMES:
        program = shutil.which(name)
        if program and not _is_snap(Path(program)):
            return program
    # Asked in a process of its own: Playwright may be at work in this one already.
    process = subprocess.run(
        [sys.executable, "-c", ASK_PLAYWRIGHT],
        env=clean_environment(),
        capture_output=True,
        text=True,
        check=False,
    )
    installed = process.stdout.strip()
    return installed if installed and Path(installed).exists() else None


def _is_snap(program: Path) -> bool:
    """Tell a sandboxed snap package, which cannot read the temporary profiles that tests use."""
    with program.open("rb") as file:
        start = file.read(2000)
    return "/snap/" in str(program.resolve()) or (start.startswith(b"#!") and b"snap" in start)


def ensure_chromium(light: bool = False) -> str:
    """Return a Chromium, installing one where none is found; a light one where it can be had."""
    if light and VARIABLE not in os.environ:
        if shutil.which(LIGHT) is None and root_on_debian():
            with suppress(SetupError):  # not every Debian has it
                install_debian(LIGHT)
        if program := shutil.which(LIGHT):
            return program
    program = find_chromium()
    if not program and root_on_debian():
        install_debian("chromium")
        program = find_chromium()
    elif not program:
        with_libraries = ["--with-deps"] if not WINDOWS and os.geteuid() == 0 else []
        run_step(
            "Fetching a Chromium for the browser tests (about 150 MB)",
            [sys.executable, "-m", "playwright", "install", *with_libraries, "chromium"],
            f"Install Chromium or Chrome by hand, or name one in the variable {VARIABLE}, "
            "then start again.",
        )
        program = find_chromium()
    if not program:
        raise SetupError(
            "No Chromium was found even after installing one. Name the program in the variable "
            f"{VARIABLE} and start again."
        )
    return program


@contextmanager
def chromium() -> Iterator["Browser"]:
    """Run a Chromium for a block of code."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - the site needs none of it

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser
        browser.close()


def ensure_units() -> None:
    """Install GNU Units, an oracle for the conversions, where that can be done without asking."""
    if shutil.which("units") is None and root_on_debian():
        install_debian("units")
