"""The handbook's tables as files to download: CSV and JSON, and the list of links to them."""

import csv
import json
from pathlib import Path

from calculators.tables import TABLES, as_object
from scripts.pages.templates import rendered

FOLDER = "tables"


def write_tables(site: Path) -> None:
    """Write every table into the site, as CSV and as JSON."""
    folder = site / FOLDER
    folder.mkdir()
    for name in TABLES:
        table = as_object(name)
        (folder / f"{name}.json").write_text(
            json.dumps(table, ensure_ascii=False, indent=1), encoding="utf-8", newline="\n"
        )
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(table["columns"])
            writer.writerows(table["rows"])


def downloads_html(root: str) -> str:
    """Write the list of tables with a link to each form of it."""
    tables = {name: as_object(name) for name in TABLES}
    return rendered("frames/downloads.html.jinja", root=root, tables=tables)
