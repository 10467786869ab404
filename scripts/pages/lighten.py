"""Page scripts and style sheets without their comments and spaces: a phone pays for every byte."""

from pathlib import Path

from scripts.setting_up.node import run_node

PROGRAM = Path(__file__).with_suffix(".mjs")
AS_THEY_ARE = {"worker.mjs"}  # fetched once, with 11 MB beside it


def lighten(assets: Path) -> None:
    """Lighten every page script and style sheet of a folder, in its place."""
    names = {path.name for path in assets.iterdir() if path.suffix in {".mjs", ".css"}}
    failure = "The page's scripts could not be made lighter"
    run_node(failure, PROGRAM, str(assets), *sorted(names - AS_THEY_ARE))
