"""The handbook's two long lists, troubles and terms, as HTML from their data files."""

import tomllib
from html import escape
from itertools import groupby
from pathlib import Path
from typing import Any

from calculators.show.pairs import sentence_html
from calculators.show.pictures.loom import ABOVE, SIDE
from scripts.pages.signs import sign_svg

LOOM_PARTS = {"side": SIDE, "above": ABOVE}
DATA = Path(__file__).resolve().parent.parent / "docs" / "data"
STAGES = {
    "yarn": "Yarn",
    "winding": "Winding",
    "beaming": "Beaming",
    "entering": "Threading",
    "shed": "The shed",
    "weaving": "Weaving",
    "edges": "Edges",
    "pattern": "The pattern",
    "finishing": "Finishing",
}


def rows(name: str, key: str) -> list[dict[str, Any]]:
    """Read the rows of one data file."""
    text = (DATA / f"{name}.toml").read_text(encoding="utf-8")
    return list(tomllib.loads(text)[key])


def sentence(text: str) -> str:
    """Write text as a sentence: a capital at its start, a full stop at its end."""
    text = text.strip()
    ended = text if text.endswith((".", "!", "?")) else text + "."
    return sentence_html(ended[:1].upper() + ended[1:])


def troubles_html(root: str = "") -> str:  # noqa: ARG001 - every generated page is called alike
    """Write every trouble under its stage: what is seen, why, what to do, who says so."""
    stages = [
        (stage, list(group)) for stage, group in groupby(troubles(), lambda row: row["stage"])
    ]
    links = ", ".join(f'<a href="#trouble-{stage}">{STAGES[stage]}</a>' for stage, _ in stages)
    return f'<nav class="ft-stages" aria-label="Stages"><p>{links}</p></nav>' + "".join(
        f'<section class="ft-troubles"><h2 id="trouble-{stage}">{STAGES[stage]}</h2>'
        f"{''.join(map(_trouble, group))}</section>"
        for stage, group in stages
    )


def troubles() -> list[dict[str, Any]]:
    """Return the troubles in the order of the job."""
    order = list(STAGES)
    return sorted(rows("troubles", "trouble"), key=lambda row: order.index(row["stage"]))


def _trouble(row: dict[str, Any]) -> str:
    # The page explains the short sign once.
    source = row["source"].replace("common practice, no source", "practice")
    # The id is on what is folded: a browser that goes to it opens what lies around it.
    return (
        f'<details class="ft-trouble"><summary><h3>{escape(row["symptom"])}'
        f' <small class="ft-code">{row["id"]}</small></h3>{sign_svg(row["id"])}</summary>'
        f'<div id="{row["id"]}">'
        f"<p><b>Likely cause:</b> {sentence(row['cause'])}</p>"
        f"<p><b>What to do:</b> {sentence(row['remedy'])}</p>"
        f"<p><b>To avoid it:</b> {sentence(row['avoid'])}</p>"
        f'<p class="ft-said">{sentence(source)}</p></div></details>'
    )


def glossary_html(root: str = "") -> str:  # noqa: ARG001 - every generated page is called alike
    """Write every term with its other words and its meaning."""
    terms = sorted(rows("glossary", "term"), key=lambda row: row["term"].casefold())
    return f'<dl class="ft-glossary">{"".join(map(_term, terms))}</dl>'


def loom_parts_html(side: str, root: str) -> str:
    """List the numbered parts of a picture of the loom, each as the glossary explains it."""
    named = {row["term"]: row for row in rows("glossary", "term")}
    parts = "".join(
        f'<li><a href="{root}reference/glossary/#{term_id(named[name])}">{escape(name)}</a>: '
        f"{sentence(named[name]['meaning'])}</li>"
        for name in LOOM_PARTS[side]
    )
    return f'<ol class="ft-loom-parts">{parts}</ol>'


def term_id(row: dict[str, Any]) -> str:
    """Return the anchor of a term."""
    return "term-" + "-".join(
        "".join(c if c.isalnum() else " " for c in row["term"].casefold()).split()
    )


def _term(row: dict[str, Any]) -> str:
    also = f' <span class="ft-also">also {escape(row["also"])}</span>' if row.get("also") else ""
    return (
        f'<dt id="{term_id(row)}"><dfn>{escape(row["term"])}</dfn>{also}</dt>'
        f"<dd>{sentence(row['meaning'])}</dd>"
    )
