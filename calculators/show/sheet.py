"""The sheet for paper: numbers in the order they are used, with room for the real ones."""

from collections.abc import Mapping, Sequence
from html import escape

from calculators import __version__
from calculators.engine.calculator import Answer, Field, Output, Table, by_stages
from calculators.engine.reading import Reading
from calculators.engine.run import Run
from calculators.engine.sources import citation
from calculators.errors import InputError
from calculators.show.card import drawing
from calculators.show.code import code_svg
from calculators.show.html import table_html, value_html
from calculators.show.pictures import caption

NOTHING_MORE: Mapping[str, Sequence[str]] = {}


def sheet_html(
    run: Run,
    address: str,
    date: str,
    name: str = "",
    build: str = "",
    words: Mapping[str, Sequence[str]] = NOTHING_MORE,
    coded: str = "",
) -> str:
    """Write the sheet of one calculation for paper.

    ``date`` is the reader's own, as text; ``words`` say what is done, under the job's headings,
    ``coded`` what the code of the address holds.
    """
    answer = run.answer
    if answer is None:
        raise run.errors[0]
    edition = f"Fine-Thread Handbook {__version__}" + (f", build {build}" if build else "")
    about = f"{run.calculator.title}, {run.calculator.code}. {date}. {edition}."
    head = (
        f"<h1>{escape(name or run.calculator.title)}</h1><p>{escape(about)}</p>"
        '<p class="ft-blank">Weaver, loom, yarn lot:</p>'
    )
    link = f'<p class="ft-small ft-sheet-link">{escape(address)}</p>'
    code = _code(address)
    if code and coded:
        code += f'<p class="ft-small">{escape(coded)}</p>'
    if run.calculator.id == "cloth-plan":
        body = f"<header>{head}</header>{_job(run, answer, words, code)}{'' if code else link}"
        return f'<article class="ft-sheet ft-job">{body}</article>'
    body = f"<header><div>{head}</div>{code}</header>{_whole(run, answer, words)}{link}"
    return f'<article class="ft-sheet">{body}</article>'


def _whole(run: Run, answer: Answer, words: Mapping[str, Sequence[str]]) -> str:
    """Write all of a calculation, with how it was worked out."""
    outputs = _told(run, answer)
    return (
        _inputs("Put in", run, run.calculator.fields)
        + f'<div class="ft-groups">{_group("Results", tuple(outputs), outputs, answer)}'
        + "".join(_list(title, lines) for title, lines in words.items())
        + "</div>"
        + "".join(_list(card.title, card.lines) for card in answer.cards)
        + "".join(map(table_html, answer.tables.values()))
        + (_drawings(answer.pictures) if run.calculator.drawn else "")
        + _list("Take care", answer.cautions)
        + _list("Notes", answer.notes)
        + '<section class="ft-own"><h2>My own notes</h2></section>'
        + _steps(answer)
        + _list("Sources", [citation(key) for key in answer.sources], "ft-small")
    )


def _drawings(pictures: Sequence[str]) -> str:
    figures = "".join(f"<figure>{picture}{caption(picture)}</figure>" for picture in pictures)
    return f'<div class="ft-groups">{figures}</div>'


def _job(run: Run, answer: Answer, words: Mapping[str, Sequence[str]], code: str) -> str:
    """Write what is wanted at the loom, for one page: how it was worked out stays on the screen."""
    losses = [field for field in run.calculator.fields if _is_loss(field)]
    finer = [field for field in run.calculator.fields if field.advanced]
    cloth = [field for field in run.calculator.fields if field not in (*losses, *finer)]
    formulas = ", ".join(
        f'<span class="ft-code">{one}</span>'
        for one in dict.fromkeys(step.formula for step in answer.steps if step.formula)
    )
    return (
        f'<div class="ft-groups"><figure>{drawing(answer)}{code}</figure>'
        + _inputs("The cloth", run, cloth)
        + _losses(run, losses)
        + _stages(words, _told(run, answer), answer)
        + _list("Take care", answer.cautions)
        + _inputs("More options", run, finer, "ft-run-on")
        + _list("Notes", answer.notes, "ft-small")
        + '<section class="ft-own"><h2>My own notes</h2></section></div>'
        + f'<p class="ft-small">Worked out by {formulas}.</p>'
    )


def _told(run: Run, answer: Answer) -> dict[str, Output]:
    return {one.name: one for one in run.calculator.outputs if one.name in answer.results}


def _is_loss(field: Field) -> bool:
    return not field.advanced and (field.kind == "loss" or field.name == "loom_waste")


_SIDE_BY_SIDE = {"spread": 3, "denting": 3}  # the plan's reed, and two others beside it


def _stages(
    words: Mapping[str, Sequence[str]], outputs: Mapping[str, Output], answer: Answer
) -> str:
    return "".join(
        f"<section>{_group(stage, names, outputs, answer)}{_items(words.get(stage, ()))}"
        f"{_placed(answer.parts.get(stage, Answer()).tables)}</section>"
        for stage, names in by_stages(outputs).items()
    )


def _placed(tables: Mapping[str, Table]) -> str:
    return "".join(
        table_html(table, side_by_side=_SIDE_BY_SIDE.get(key)) for key, table in tables.items()
    )


def _code(address: str) -> str:
    try:
        return code_svg(address)
    except InputError:
        return ""


def _inputs(title: str, run: Run, fields: Sequence[Field], name: str = "") -> str:
    cells = "".join(
        f"<div><dt>{escape(field.label)}</dt> <dd>{escape(words)}</dd></div> "
        for field in fields
        if (words := _put_in(field, run.readings[field.name]))
    )
    kind = " ".join(filter(None, ("ft-given", name)))
    return f'<section><h2>{title}</h2><dl class="{kind}">{cells}</dl></section>'


def _put_in(field: Field, reading: Reading) -> str:
    """Give a field as typed, in words where a name was chosen, or what it follows left empty."""
    in_words = field.kind in ("choice", "weave", "weaves") or not reading.typed
    return reading.metric if in_words else reading.typed


def _losses(run: Run, fields: Sequence[Field]) -> str:
    rows = [(field.label, escape(_put_in(field, run.readings[field.name]))) for field in fields]
    return f"<section>{_planned_and_real('Losses', rows)}</section>"


def _group(title: str, names: Sequence[str], outputs: Mapping[str, Output], answer: Answer) -> str:
    rows = [
        (outputs[name].label, value_html(outputs[name], answer.results[name]))
        for name in names
        if name in outputs
    ]
    return _planned_and_real(title, rows)


def _planned_and_real(title: str, rows: Sequence[tuple[str, str]]) -> str:
    lines = "".join(
        f'<tr><th scope="row">{escape(label)}</th><td>{value}</td><td class="ft-box"></td></tr>'
        for label, value in rows
    )
    return (
        f'<table><thead><tr><th scope="col">{escape(title)}</th><th scope="col">planned</th>'
        f'<th scope="col">real</th></tr></thead><tbody>{lines}</tbody></table>'
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
