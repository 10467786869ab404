"""The sheet for paper: numbers in the order they are used, with room for the real ones."""

from collections.abc import Mapping, Sequence
from html import escape
from typing import get_args

from calculators import __version__
from calculators.engine.calculator import Answer, Field, Output, Stage
from calculators.engine.reading import Reading
from calculators.engine.run import Run
from calculators.engine.sources import citation
from calculators.errors import InputError
from calculators.show.code import code_svg
from calculators.show.html import table_html, value_html

STAGES = tuple(get_args(Stage))[1:]  # in the order of the work
NOTHING_MORE: Mapping[str, Sequence[str]] = {}


def sheet_html(
    done: Run,
    address: str,
    date: str,
    name: str = "",
    build: str = "",
    words: Mapping[str, Sequence[str]] = NOTHING_MORE,
) -> str:
    """Write the sheet of one calculation for paper.

    ``date`` is the reader's own, as text; ``words`` say what is done, under the job's headings.
    """
    answer = done.answer
    if answer is None:
        raise done.errors[0]
    outputs = {
        output.name: output for output in done.calculator.outputs if output.name in answer.results
    }
    job = done.calculator.id == "cloth-plan"
    edition = f"Fine-Thread Handbook {__version__}" + (f", build {build}" if build else "")
    return (
        '<article class="ft-sheet"><header><div>'
        f"<h1>{escape(name or done.calculator.title)}</h1>"
        f"<p>{escape(done.calculator.title)}, {done.calculator.code}. {escape(date)}. "
        f"{escape(edition)}.</p>"
        '<p class="ft-blank">Weaver, loom, yarn lot:</p></div>'
        f"{_code(address)}</header>{_given(done)}"
        f'<div class="ft-groups">{_groups(words, outputs, answer, job)}</div>'
        + "".join(_list(card.title, card.lines) for card in answer.cards)
        + "".join(
            table_html(table)
            for key, table in answer.tables.items()
            if not (job and key in _PLACED)
        )
        + _list("Take care", answer.cautions)
        + _list("Notes", answer.notes)
        + '<section class="ft-own"><h2>My own notes</h2></section>'
        + _steps(answer)
        + _list("Sources", [citation(key) for key in answer.sources], "ft-small")
        + f'<p class="ft-small ft-sheet-link">{escape(address)}</p></article>'
    )


_PLACED = {"denting": "In the reed"}  # tables that stand with a group of the job


def by_stages(outputs: Mapping[str, Output]) -> list[tuple[str, list[str]]]:
    """Return the names of a plan's results under the stages of the work, in their order."""
    groups: dict[str, list[str]] = {stage: [] for stage in STAGES}
    for name, output in outputs.items():
        if output.stage:
            groups[output.stage].append(name)
    return list(groups.items())


def _groups(
    words: Mapping[str, Sequence[str]], outputs: Mapping[str, Output], answer: Answer, job: bool
) -> str:
    if not job:
        whole = _group("Results", tuple(outputs), outputs, answer)
        return whole + "".join(_list(title, lines) for title, lines in words.items())
    tables = {title: table_html(answer.tables[key]) for key, title in _PLACED.items()}
    return "".join(
        f"<section>{_group(title, names, outputs, answer)}{_items(words.get(title, ()))}"
        f"{tables.get(title, '')}</section>"
        for title, names in by_stages(outputs)
    )


def _code(address: str) -> str:
    try:
        return code_svg(address)
    except InputError:
        return ""


def _given(done: Run) -> str:
    cells = "".join(
        f"<div><dt>{escape(field.label)}</dt><dd>{escape(words)}</dd></div>"
        for field in done.calculator.fields
        if (words := _put_in(field, done.readings[field.name]))
    )
    return f'<section><h2>Put in</h2><dl class="ft-given">{cells}</dl></section>'


def _put_in(field: Field, reading: Reading) -> str:
    """Give a field as it was typed, and in words where a name was chosen from a list."""
    return reading.metric if field.kind in ("choice", "weave") and reading.typed else reading.typed


def _group(title: str, names: Sequence[str], outputs: Mapping[str, Output], answer: Answer) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(outputs[name].label)}</th>'
        f"<td>{value_html(outputs[name], answer.results[name])}</td>"
        '<td class="ft-box"></td></tr>'
        for name in names
        if name in outputs
    )
    return (
        f'<table><thead><tr><th scope="col">{escape(title)}</th><th scope="col">planned</th>'
        f'<th scope="col">real</th></tr></thead><tbody>{rows}</tbody></table>'
    )


def _steps(answer: Answer) -> str:
    return _list(
        "How this was worked out",
        [
            f"{step.words}: {step.working}" + (f" [{step.formula}]" if step.formula else "")
            for step in answer.steps
        ],
        "ft-small",
    )


def _list(title: str, lines: Sequence[str], name: str = "") -> str:
    if not lines:
        return ""
    kind = f' class="{name}"' if name else ""
    return f"<section{kind}><h2>{escape(title)}</h2>{_items(lines)}</section>"


def _items(lines: Sequence[str]) -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<ul>{items}</ul>" if items else ""
