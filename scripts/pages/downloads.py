"""The handbook's tables as files to download: CSV and JSON, and the list of links to them."""

import csv
import json
from html import escape
from pathlib import Path

from calculators.forms.tables import TABLES, as_object

FOLDER = "tables"


def write_tables(site: Path) -> None:
    """Write every table into the site, as CSV and as JSON."""
    folder = site / FOLDER
    folder.mkdir()
    for name in TABLES:
        found = as_object(name)
        (folder / f"{name}.json").write_text(
            json.dumps(found, ensure_ascii=False, indent=1), encoding="utf-8", newline="\n"
        )
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(found["columns"])
            writer.writerows(found["rows"])


def downloads_html(root: str) -> str:
    """Write the list of tables with a link to each form of it."""
    rows = "".join(
        f'<tr><th scope="row">{escape(found["title"])}</th><td>{found["code"]}</td>'
        f'<td><a href="{root}{FOLDER}/{name}.csv" download>CSV</a></td>'
        f'<td><a href="{root}{FOLDER}/{name}.json" download>JSON</a></td></tr>'
        for name in TABLES
        for found in [as_object(name)]
    )
    return (
        '<div class="ft-scroll"><table class="ft-table"><thead><tr><th scope="col">Table</th>'
        '<th scope="col">Number</th><th scope="col">For a spreadsheet</th>'
        '<th scope="col">For a program</th></tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )
