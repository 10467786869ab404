"""The generated pages of sources, formulas and the check report, as accessible HTML."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from functools import cache
from html import escape
from typing import Any

import calculators.page  # noqa: F401 - every room enters its formulas
from calculators.engine.formula import BOOK
from calculators.engine.sources import formulas_of
from calculators.show.mathematics import equation_html
from scripts import lists
from scripts.check_references import Outcome, Report, check, citation, figure, sources
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
    taken = report().by_source()
    works = "".join(_work(work, taken.get(key, []), root) for key, work in sources().items())
    return f'<dl class="ft-sources">{works}</dl>'


def _work(work: Mapping[str, Any], taken: Sequence[Outcome], root: str) -> str:
    parts = [escape(work[name]) for name in ("author", "edition", "year", "where") if work[name]]
    author, *others = parts
    checked = sum(outcome.checked for outcome in taken)
    values = f"{len(taken)} published value{'s' if len(taken) > 1 else ''}"
    linked = f" {values}, kept without a check." if taken else ""
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
    keys = formula["sources"]
    cited = ", ".join(
        f'<a href="{root}reference/sources/#{key}">{escape(_short(key))}</a>' for key in keys
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
        more = (one for one in others if one.gives == first.gives)
        named = (f"; {escape(one.name.lower())}: {equation_html(one)}" for one in more)
        return equation_html(first) + "".join(named)
    return escape(formula["equation"])  # an algorithm: its line says in short what it does


def _short(key: str) -> str:
    work = sources()[key]
    year = f" {work['year']}" if work["year"] not in ("", "undated") else ""
    return f"{work['author']}{year}"


# The check report


def check_report_html(root: str = "") -> str:
    """Write what was checked: the summary, then every value source by source, then the unused."""
    found = report()
    return (
        f"<p>{escape(found.summary)}</p>"
        + _tally(found, "grade", "Rows by grade", GRADES)
        + _tally(found, "basis", "Rows by how the value was had", {})
        + _errata(found)
        + "".join(_source(found, key, group, root) for key, group in found.by_source().items())
        + _unused(found)
    )


def _tally(found: Report, what: Any, title: str, words: Mapping[str, str]) -> str:
    rows = [
        (escape(f"{name}: {words[name]}" if name in words else name), str(checked), str(kept))
        for name, (checked, kept) in found.tally(what).items()
    ]
    return table(title, ("", "worked out again", "kept"), rows)


def _errata(found: Report) -> str:
    rows = [
        (
            escape(outcome["quantity"]),
            escape(_short(outcome["source"])) + ", " + escape(outcome["locator"]),
            escape(figure(outcome.misprint)),
            escape(figure(outcome.published)),
            escape(f"{_rounded(outcome.ours)} {outcome['unit']}"),
        )
        for outcome in found.outcomes
        if outcome.verdict == "erratum"
    ]
    title = "Wrong figures in the sources, which must not come out"
    return table(title, ("quantity", "where", "wrong", "right", "ours"), rows)


def _source(found: Report, key: str, group: Sequence[Outcome], root: str) -> str:
    checked = [outcome for outcome in group if outcome.checked]
    if not checked:
        return ""
    title = escape(citation(found.sources[key]))
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
        escape(_apart(outcome)),
        VERDICTS[outcome.verdict],
    )


def working(row: Mapping[str, Any]) -> str:
    """Write in words what a row was worked out from, and by which formula or calculator."""
    way = row.get("formula", row.get("calculator", ""))
    given = row.get("typed", row.get("given", row.get("inputs", "")))
    result = row.get("result")
    told = f"by {result['row']}" if isinstance(result, Mapping) and "row" in result else ""
    added = f"and {row['added']} added" if "added" in row else ""
    return " ".join(filter(None, (f"{way}:" if way else "", _given(given), told, added)))


def _given(given: Any) -> str:
    if isinstance(given, list):
        return (", " if all(isinstance(one, Decimal | int) for one in given) else "; ").join(
            map(_given, given)
        )
    if not isinstance(given, Mapping):
        return str(given)
    if any(way in given for way in WAYS):
        return f"({working(given)})"
    return "; ".join(f"{name.replace('_', ' ')} {_given(one)}" for name, one in given.items())


def _rounded(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(map(_rounded, value)) or "none"
    return f"{value:.7g}" if isinstance(value, float) else figure(value)


def _apart(outcome: Outcome) -> str:
    if outcome.difference is None or outcome.tolerance is None:
        return outcome.reason
    if outcome.difference <= 1e-6 * outcome.tolerance or outcome.tolerance == 0:
        return "none"
    return f"{outcome.difference:.2g} of {outcome.tolerance:.2g} allowed"


def _unused(found: Report) -> str:
    reasons: dict[str, list[Outcome]] = {}
    for outcome in found.unused:
        reasons.setdefault(outcome.reason, []).append(outcome)
    rows = [
        (
            escape(reason[:1].upper() + reason[1:]),
            str(len(group)),
            ", ".join(escape(outcome["id"]) for outcome in group),
        )
        for reason, group in sorted(reasons.items(), key=lambda pair: -len(pair[1]))
    ]
    return (
        '<details class="ft-checked"><summary>'
        f"Kept without a check, with the reason: {len(found.unused)}</summary>"
        + table("Values kept without a check", ("reason", "values", "which"), rows)
        + "</details>"
    )


# The two lists that live with the handbook's text


def glossary_html(root: str = "") -> str:  # noqa: ARG001 - every generated page is called alike
    """Write every term with its other words and its meaning."""
    return lists.glossary_html()


def troubles_html(root: str = "") -> str:  # noqa: ARG001 - every generated page is called alike
    """Write every trouble under its stage."""
    return lists.troubles_html()
