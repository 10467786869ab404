"""The generated pages of sources, formulas and the check report, as accessible HTML."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from functools import cache
from html import escape
from typing import Any, Literal

import calculators.page  # noqa: F401 - every room enters its formulas
from calculators.engine.formula import BOOK
from calculators.engine.sources import citation, formulas_of, sources
from calculators.show.mathematics import equation_html
from scripts.check_references import Outcome, Report, check, figure
from scripts.workings import WAYS

GRADES = {
    "A": "standard, law or reference library",
    "B": "published book or paper",
    "C": "note on the web or common practice, for corroboration only",
}
ROOMS = {
    "yarn": "Yarn",
    "weave": "Weave",
    "sett": "Sett",
    "cloth": "Cloth",
    "loom": "Loom",
    "plan": "Plan",
    "figure": "Figure",
    "appearance": "The look of the cloth",
    "records": "Records",
    "shelf": "From the shelf",
}
VERDICTS = {
    "agrees": "agrees",
    "erratum": "agrees; misprint kept out",
    "MISS": "misses",
    "FAULT": "faulty row",
}


@cache
def report() -> Report:
    """Return what the check of the published values found, checked once."""
    return check()


def table(title: str, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Write a table of HTML cells that scrolls sideways by itself on a narrow screen."""
    head = "".join(f'<th scope="col">{column}</th>' for column in columns)
    body = "".join(
        f'<tr><th scope="row">{first}</th>{"".join(f"<td>{cell}</td>" for cell in rest)}</tr>'
        for first, *rest in rows
    )
    return (
        f'<div class="ft-scroll" tabindex="0" role="region" aria-label="{title}">'
        f'<table class="ft-table"><caption>{title}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


# Sources


def sources_html(root: str = "") -> str:
    """Write every work with its grade, how much of it was read, and the values taken from it."""
    outcomes = report().by_source()
    works = "".join(_work(work, outcomes.get(key, []), root) for key, work in sources().items())
    return f'<dl class="ft-sources">{works}</dl>'


def _work(work: Mapping[str, Any], outcomes: Sequence[Outcome], root: str) -> str:
    parts = [escape(work[name]) for name in ("author", "edition", "year", "where") if work[name]]
    author, *others = parts
    checked = sum(outcome.checked for outcome in outcomes)
    values = f"{len(outcomes)} published value{'s' if len(outcomes) > 1 else ''}"
    linked = f" {values}, kept without a check." if outcomes else ""
    if checked:
        place = f"{root}reference/check-report/#check-{work['key']}"
        linked = f' <a href="{place}">{values}, {checked} worked out again</a>.'
    return (
        f'<dt id="{work["key"]}"><span class="ft-code">{work["id"]}</span> '
        f"<cite>{escape(work['title'])}</cite></dt>"
        f"<dd>{author}; {', '.join(others)}. Grade {work['grade']}, {escape(work['kind'])}; "
        f"read: {escape(work['read'])}.{linked}</dd>"
    )


# Formulas


def formulas_html(root: str = "") -> str:
    """Write every formula with its number, its symbols, its sources and where it stands."""
    return "".join(
        f'<h2 id="formulas-{room}">{title}</h2><dl class="ft-formulas">'
        + "".join(_formula(formula, root) for formula in formulas_of(room))
        + "</dl>"
        for room, title in ROOMS.items()
    )


def _formula(formula: Mapping[str, Any], root: str) -> str:
    symbols = "; ".join(
        f"<var>{escape(symbol)}</var> {escape(meaning)}"
        for symbol, meaning in formula.get("symbols", {}).items()
    )
    cited = ", ".join(
        f'<a href="{root}reference/sources/#{key}">{escape(_short(key))}</a>'
        for key in formula["sources"]
    )
    where = f", {escape(formula['where'])}" if formula.get("where") else ""
    standing = escape(formula["basis"]).capitalize()
    return (
        f'<dt id="{formula["id"].lower()}"><span class="ft-code">{formula["id"]}</span> '
        f"{escape(formula['name'])}</dt>"
        f'<dd><div class="ft-equation" tabindex="0" role="group" aria-label="{formula["id"]}">'
        f"{_equation(formula)}</div>"
        f"<p>{symbols}</p><p>{standing}{': ' if cited else ''}{cited}{where}.</p></dd>"
    )


def _equation(formula: Mapping[str, Any]) -> str:
    if formula["id"] in BOOK:
        first, *others = BOOK[formula["id"]]
        return equation_html(first) + "".join(
            f"; {escape(other.name.lower())}: {equation_html(other)}"
            for other in others
            if other.gives == first.gives
        )
    return escape(formula["equation"])  # an algorithm: its line says in short what it does


def _short(key: str) -> str:
    work = sources()[key]
    year = f" {work['year']}" if work["year"] not in ("", "undated") else ""
    return f"{work['author']}{year}"


# The check report


def check_report_html(root: str = "") -> str:
    """Write what was checked: the summary, then every value source by source, then the unused."""
    published = report()
    return (
        f"<p>{escape(published.summary)}</p>"
        + _tally(published, "grade", "Rows by grade", GRADES)
        + _tally(published, "basis", "Rows by how the value was had", {})
        + _errata(published)
        + "".join(_source(key, outcomes, root) for key, outcomes in published.by_source().items())
        + _unused(published)
    )


def _tally(
    report: Report, key: Literal["grade", "basis"], title: str, meanings: Mapping[str, str]
) -> str:
    rows = [
        (escape(f"{name}: {meanings[name]}" if name in meanings else name), str(checked), str(kept))
        for name, (checked, kept) in report.tally(key).items()
    ]
    return table(title, ("", "worked out again", "kept"), rows)


def _errata(report: Report) -> str:
    rows = [
        (
            escape(outcome["quantity"]),
            escape(_short(outcome["source"])) + ", " + escape(outcome["locator"]),
            escape(figure(outcome.misprint)),
            escape(figure(outcome.published)),
            escape(f"{_rounded(outcome.ours)} {outcome['unit']}"),
        )
        for outcome in report.outcomes
        if outcome.verdict == "erratum"
    ]
    title = "Wrong figures in the sources, which must not come out"
    return table(title, ("quantity", "where", "wrong", "right", "ours"), rows)


def _source(key: str, outcomes: Sequence[Outcome], root: str) -> str:
    checked = [outcome for outcome in outcomes if outcome.checked]
    if not checked:
        return ""
    title = escape(citation(key))
    return (
        f'<details class="ft-checked" id="check-{key}"><summary>{title}: {len(checked)}</summary>'
        f'<p><a href="{root}reference/sources/#{key}">About this source</a></p>'
        + table(
            title, ("quantity", "published", "ours", "difference", "verdict"), map(_row, checked)
        )
        + "</details>"
    )


def _row(outcome: Outcome) -> tuple[str, ...]:
    details = (outcome["id"], working(outcome.row), outcome["locator"], outcome["basis"])
    return (
        f"{escape(outcome['quantity'])}"
        f"<br><small>{escape(' · '.join(filter(None, details)))}</small>",
        escape(f"{figure(outcome.published)} {outcome['unit']}"),
        escape(_rounded(outcome.ours)),
        escape(_difference(outcome)),
        VERDICTS[outcome.verdict],
    )


def working(row: Mapping[str, Any]) -> str:
    """Write in words what a row was worked out from, and by which formula or calculator."""
    way = row.get("formula", row.get("calculator", ""))
    inputs = row.get("typed", row.get("given", row.get("inputs", "")))
    result = row.get("result")
    rule = f"by {result['row']}" if isinstance(result, Mapping) and "row" in result else ""
    added = f"and {row['added']} added" if "added" in row else ""
    return " ".join(filter(None, (f"{way}:" if way else "", _in_words(inputs), rule, added)))


def _in_words(inputs: Any) -> str:
    if isinstance(inputs, list):
        plain = all(isinstance(figure, Decimal | int) for figure in inputs)
        return (", " if plain else "; ").join(map(_in_words, inputs))
    if not isinstance(inputs, Mapping):
        return str(inputs)
    if any(way in inputs for way in WAYS):
        return f"({working(inputs)})"
    return "; ".join(
        f"{name.replace('_', ' ')} {_in_words(value)}" for name, value in inputs.items()
    )


def _rounded(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(map(_rounded, value)) or "none"
    return f"{value:.7g}" if isinstance(value, float) else figure(value)


def _difference(outcome: Outcome) -> str:
    if outcome.difference is None or outcome.tolerance is None:
        return outcome.reason
    if outcome.difference <= 1e-6 * outcome.tolerance or outcome.tolerance == 0:
        return "none"
    return f"{outcome.difference:.2g} of {outcome.tolerance:.2g} allowed"


def _unused(report: Report) -> str:
    reasons: dict[str, list[Outcome]] = {}
    for outcome in report.unused:
        reasons.setdefault(outcome.reason, []).append(outcome)
    rows = [
        (
            escape(reason[:1].upper() + reason[1:]),
            str(len(outcomes)),
            ", ".join(escape(outcome["id"]) for outcome in outcomes),
        )
        for reason, outcomes in sorted(reasons.items(), key=lambda pair: -len(pair[1]))
    ]
    return (
        '<details class="ft-checked"><summary>'
        f"Kept without a check, with the reason: {len(report.unused)}</summary>"
        + table("Values kept without a check", ("reason", "values", "which"), rows)
        + "</details>"
    )
