"""Two plans side by side: what differs in what was put in and in what follows, as the work goes."""

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from typing import Any, get_args

from calculators.contract import calculate
from calculators.engine.calculator import Answer, Field, Output, Stage
from calculators.engine.reading import Reading
from calculators.engine.run import Run, result_texts
from calculators.engine.versions import VERSION, as_of
from calculators.errors import InputError
from calculators.quantities.format import format_number
from calculators.quantities.interval import Range
from calculators.show.html import both_html

ORDER = get_args(Stage)
NO_OTHER = "<p>These two are the same in every number.</p>"
CLOTH = "Cloth"  # heads what has no stage of its own

Row = tuple[str, str, str, str]  # its words; in the first; in the second; the difference


def comparison_html(first: Mapping[str, Any], second: Mapping[str, Any]) -> str:
    """Write two kept plans of one calculator side by side."""
    names = [str(plan["name"]) for plan in (first, second)]
    runs = _run(first), _run(second)
    mine, hers = runs
    if mine.calculator is not hers.calculator:
        raise InputError(
            "calculator",
            f"“{names[0]}” is of “{mine.calculator.title}”, "
            f"“{names[1]}” of “{hers.calculator.title}”.",
            "Two of one calculator can stand side by side.",
        )
    differing, alike = _follows(*runs)
    groups = {"Put in": list(_put_in(*runs)), **differing}
    tables = [_table(title, names, rows) for title, rows in groups.items() if rows]
    return "".join((*(tables or [NO_OTHER]), _cautions(names, runs), _same(alike)))


def _run(plan: Mapping[str, Any]) -> Run:
    version = plan.get("version", VERSION)
    inputs = as_of(version, plan["calculator"], plan["inputs"])
    run = calculate(plan["calculator"], inputs, units=plan.get("units", ""))
    if run.answer is None:
        error = run.errors[0]
        raise InputError(error.field, f"“{plan['name']}”: {error.message}", error.hint)
    return run


def _put_in(first: Run, second: Run) -> Iterator[Row]:
    for field in first.calculator.fields:
        mine, hers = (run.readings[field.name] for run in (first, second))
        if mine.value != hers.value:
            apart = _in_hundred(_likely(mine.value), _likely(hers.value))
            yield field.label, _typed(field, mine), _typed(field, hers), apart


def _typed(field: Field, reading: Reading) -> str:
    if not (reading.typed or reading.metric):
        return "–"
    if reading.typed and field.kind in ("lines", "text", "yarn"):
        return escape(reading.typed)
    return both_html(reading.metric, reading.imperial)


def _likely(value: Any) -> float | None:
    value = value.likely if isinstance(value, Range) else value
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return value if is_number else None


def _in_hundred(first: float | None, second: float | None) -> str:
    if first is None or second is None or first <= 0:
        return ""
    text = format_number(100 * (second / first - 1), 1)
    return "" if text == "0" else f"{text if text.startswith('−') else f'+{text}'} %"


def _follows(first: Run, second: Run) -> tuple[dict[str, list[Row]], list[str]]:
    """Return the results that differ, as the work goes, and the words of those that do not."""
    assert first.answer is not None
    assert second.answer is not None
    groups: dict[str, list[Row]] = {}
    alike = []
    for output in sorted(first.calculator.outputs, key=lambda one: ORDER.index(one.stage)):
        row = _result(output, first.answer, second.answer)
        if row is None:
            continue
        if row[1] == row[2]:
            alike.append(output.label)
        else:
            groups.setdefault(output.stage or CLOTH, []).append(row)
    return groups, alike


def _result(output: Output, first: Answer, second: Answer) -> Row | None:
    values = [answer.results.get(output.name) for answer in (first, second)]
    if values == [None, None]:
        return None
    mine, hers = (both_html(*_texts(output, value)) for value in values)
    return output.label, mine, hers, _difference(output, *values)


def _texts(output: Output, value: float | str | Range | None) -> tuple[str, str]:
    if value is None:
        return "–", "–"
    return result_texts(output, value.likely if isinstance(value, Range) else value)


def _difference(output: Output, first: Any, second: Any) -> str:
    mine, hers = _likely(first), _likely(second)
    if mine is None or hers is None:
        return ""
    places = len(format_number(max(abs(mine), abs(hers))).partition(".")[2])
    size = round(abs(hers - mine), places)  # no finer than the figures themselves
    if not size:
        return ""
    sign = "+" if hers > mine else "−"
    apart = both_html(*(sign + text for text in result_texts(output, size)))
    share = "" if output.unit == "%" else _in_hundred(mine, hers)
    return f'{apart} <span class="ft-share">{share}</span>' if share else apart


# Writing ------------------------------------------------------------------------------------------


def _table(title: str, names: Sequence[str], rows: Sequence[Row]) -> str:
    """Write one group; the words stand above their figures, so that a phone has room for them."""
    heads = "".join(f'<th scope="col">{escape(name)}</th>' for name in (*names, "Difference"))
    bodies = "".join(
        f'<tbody><tr><th scope="rowgroup" colspan="3">{escape(label)}</th></tr>'
        f"<tr><td>{first}</td><td>{second}</td><td>{apart}</td></tr></tbody>"
        for label, first, second, apart in rows
    )
    return (
        f'<table class="ft-beside"><caption>{escape(title)}</caption>'
        f"<thead><tr>{heads}</tr></thead>{bodies}</table>"
    )


def _cautions(names: Sequence[str], runs: Sequence[Run]) -> str:
    """Write what is to be taken care of in one of the two alone."""
    cautions = [run.answer.cautions for run in runs if run.answer]
    items = "".join(
        f"<li>{escape(name)}: {escape(caution)}</li>"
        for name, own, others in zip(names, cautions, reversed(cautions), strict=True)
        for caution in own
        if caution not in others
    )
    if not items:
        return ""
    return f'<div class="ft-cautions"><p class="ft-label">Take care</p><ul>{items}</ul></div>'


def _same(alike: Sequence[str]) -> str:
    if not alike:
        return ""
    items = "".join(f"<li>{escape(label)}</li>" for label in alike)
    return f"<details><summary>The same in both: {len(alike)}</summary><ul>{items}</ul></details>"
