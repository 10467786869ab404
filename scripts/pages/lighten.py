"""Page scripts and style sheets without their comments and spaces: a phone pays for every byte."""

import subprocess
from pathlib import Path

from scripts.setting_up.environment import SetupError, clean_environment
from scripts.setting_up.node import node_and_npm

PROGRAM = Path(__file__).with_suffix(".mjs")
AS_THEY_ARE = {"worker.mjs"}  # fetched once, with 11 MB beside it


def lighten(assets: Path) -> None:
    """Lighten every page script and style sheet of a folder, in its place."""
    names = {path.name for path in assets.iterdir() if path.suffix in {".mjs", ".css"}}
    process = subprocess.run(
        [node_and_npm()[0], str(PROGRAM), str(assets), *sorted(names - AS_THEY_ARE)],
        env=clean_environment(),
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    if process.returncode:
        raise SetupError(f"The page's scripts could not be made lighter:\n{process.stderr}")
