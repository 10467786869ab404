"""The one renderer: forms and answers as HTML, at build time and in the browser."""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from html import escape
from itertools import zip_longest

from calculators.engine.calculator import Answer, Calculator, Field, Output, Stage, Table, by_stages
from calculators.engine.links import ways_on
from calculators.engine.reading import KINDS, Choices, Reading
from calculators.engine.run import Run, result_texts, work_out
from calculators.engine.sources import citation, formulas
from calculators.engine.versions import OLDEST, changes_in_words, earlier_default
from calculators.engine.vocabulary import worded
from calculators.quantities.interval import Range
from calculators.quantities.units import UNITS
from calculators.show.columns import Told, in_both_worlds
from calculators.show.in_inches import elements, example_in_inches
from calculators.show.otherwise import guesses
from calculators.show.pairs import pair_html, sentence_html
from calculators.show.pictures import caption
from calculators.show.text import in_sight

MOST_COLUMNS, MOST_TURNED = 10, 6  # a table with more columns is turned if it has so few rows
KEYBOARDS = {"count": "numeric", "number": "decimal"}
UNIT_WORDS = {
    "1/inch": "per inch",
    "1/cm": "per cm",
    "1/10cm": "per 10 cm",
    "1/kg": "per kg",
    "1/lb": "per lb",
}
_AN_INCH = re.compile(r"per ?in(ch)?|/ ?in(ch)?|dpi|epi|ppi|dent", re.IGNORECASE)
STANDING = {
    "published": "Published",
    "common practice": "Common practice",
    "from memory": "From memory, not yet checked against a source",
    "worked out": "Worked out",
    "your own record": "Your own record",
}


def calculator_html(
    calculator: Calculator, preset: Mapping[str, str] | None = None, base: str = ""
) -> str:
    """Write a whole calculator: form, worked answer, and a place for the state of the runtime.

    ``base`` is the way from the page to the site's root, such as ``../../``.
    """
    run = work_out(calculator, preset or {}, units="cm")
    if run.answer is None:
        raise run.errors[0]
    main_fields = [field for field in calculator.fields if not field.advanced]
    finer_fields = [field for field in calculator.fields if field.advanced]
    folded = (
        f'<details class="ft-more"><summary>More options</summary>'
        f"{_fields(calculator, finer_fields, run)}</details>"
        if finer_fields
        else ""
    )
    shown, typed_in_inches = _in_inches(run, base)
    return (
        f'<section class="ft-calculator" id="calculator-{calculator.id}"'
        f' data-calculator="{calculator.id}" data-code="{calculator.code}">'
        f'<header class="ft-head"><h2 class="ft-title">{escape(calculator.title)}'
        f' <small class="ft-code">{calculator.code}</small></h2>'
        f'<p class="ft-question">{escape(calculator.question)}</p></header>'
        '<form class="ft-form" novalidate autocomplete="off">'
        f"{_fields(calculator, main_fields, run)}{folded}{_datalists(calculator)}"
        '<p class="ft-actions">'
        '<button type="button" data-action="reset">Worked example</button></p></form>'
        f'<div class="ft-foot"><p class="ft-bar" aria-hidden="true">{bar_html(run)}</p>'
        '<p class="ft-actions">'
        '<button type="button" data-action="undo">Undo</button>'
        '<button type="button" data-action="share">Share</button>'
        '<button type="button" data-action="keep">Save</button>'
        '<button type="button" data-action="print">Print</button></p></div>'
        "<noscript><p>This is a worked example. With JavaScript on you can put in your own"
        " numbers.</p></noscript>"
        f'<p class="ft-since" data-since="{escape(changes_in_words(calculator.id))}"></p>'
        '<p class="ft-state" data-state="idle"></p><p class="ft-said" role="status"></p>'
        '<p class="ft-whose">Worked example</p>'
        f'<div class="ft-answer" role="region" aria-label="Answer: {escape(calculator.title)}">'
        f"{shown}</div>{typed_in_inches}</section>"
    )


def bar_html(run: Run) -> str:
    """Write the few results that stay in sight while one types; yards without their inches."""

    def short(texts: tuple[str, str]) -> str:
        return both_html(*(text.partition(", or ")[0] for text in texts))

    return "".join(
        f"<span><small>{escape(words)}</small> <b>{' by '.join(map(short, values))}</b></span>"
        for words, values in in_sight(run)
    )


def _in_inches(run: Run, base: str) -> tuple[str, str]:
    """Return the worked answer, and what is typed where the reader counts in inches.

    Each part of the answer is followed by what stands in its place in inches: like beside like, so
    that it weighs next to nothing on its way.
    """
    example, shown = example_in_inches(run), answer_html(run, base)
    if example.answer is None:
        raise example.errors[0]
    typed = {
        field.name: (reading.typed, reading_html(field, reading))
        for field in run.calculator.fields
        if (reading := example.readings[field.name]).typed != run.readings[field.name].typed
    }
    in_inches = answer_html(example, base)
    if not typed and in_inches == shown:
        return shown, ""
    parts = zip_longest(elements(shown), elements(in_inches), fillvalue="")
    both = "".join(f'{part}<script type="text/html">{there}</script>' for part, there in parts)
    there = {"typed": typed, "bar": bar_html(example)}
    told = json.dumps(there, ensure_ascii=False).replace("<", "\\u003c")
    return both, f'<script type="application/json" class="ft-typed-in-inches">{told}</script>'


def fields_html(calculator: Calculator, typed: Mapping[str, str]) -> str:
    """Write the fields alone, filled with what was typed, for a form that is no calculation."""
    run = work_out(calculator, typed)
    blank = {
        field.name: Reading(typed.get(field.name, field.default), None, "", "", False)
        for field in calculator.fields
    }
    run = replace(run, readings=blank | dict(run.readings))
    main, finer = (
        _fields(calculator, [field for field in calculator.fields if field.advanced == asked], run)
        for asked in (False, True)
    )
    folded = f'<details class="ft-more"><summary>More options</summary>{finer}</details>'
    return f"{main}{folded if finer else ''}{_datalists(calculator)}"


def answer_html(run: Run, base: str = "") -> str:
    """Write an answer: the few numbers that matter, the rest, then how they were worked out."""
    answer = run.answer
    if answer is None:
        return ""
    shown = [output for output in run.calculator.outputs if output.name in answer.results]
    staged = any(output.stage for output in shown)
    guessed = guesses(run)
    return "".join(
        (
            _by_stages(run.calculator, shown, answer, guessed, base)
            if staged
            else _whole(run.calculator, shown, answer, base) + _guesses(guessed),
            _working(answer, base),
            _ways(run, base),
        )
    )


def _whole(calculator: Calculator, outputs: list[Output], answer: Answer, base: str) -> str:
    return "".join(
        (
            _results(
                calculator, [one for one in outputs if one.headline], answer, base, "ft-headline"
            ),
            _lines(answer.cautions, "ft-cautions", "Take care"),
            _cards(answer, base),
            _results(
                calculator, [one for one in outputs if not one.headline], answer, base, "ft-results"
            ),
            "".join(map(_picture, answer.pictures)),
            _tables(answer),
            _lines(answer.notes, "ft-notes", "Good to know"),
        )
    )


def _guesses(lines: Iterable[str]) -> str:
    return _lines(tuple(lines), "ft-guesses", "What is a guess here, and what it would change")


def _by_stages(
    calculator: Calculator,
    outputs: list[Output],
    answer: Answer,
    guessed: Mapping[str, Stage | None],
    base: str,
) -> str:
    """Write the results in the order of the work, each stage folded but for what heads it."""
    named = {output.name: output for output in outputs}
    placed = [line for part in answer.parts.values() for line in (*part.cautions, *part.notes)]
    cautions, notes = (
        tuple(line for line in lines if line not in placed)
        for lines in (answer.cautions, answer.notes)
    )
    return _lines(cautions, "ft-cautions", "Take care") + "".join(
        (
            *(
                _stage(
                    calculator,
                    stage,
                    [named[name] for name in names],
                    answer,
                    [line for line, about in guessed.items() if about == stage],
                    base,
                )
                for stage, names in by_stages(named).items()
                if names
            ),
            _lines(notes, "ft-notes", "Good to know"),
            _guesses(line for line, about in guessed.items() if about is None),
        )
    )


def _stage(
    calculator: Calculator,
    stage: Stage,
    outputs: list[Output],
    answer: Answer,
    guessed: list[str],
    base: str,
) -> str:
    part = answer.parts.get(stage, Answer())
    large = [output for output in outputs if output.headline] or outputs[:1]
    folded = "".join(
        (
            _results(
                calculator,
                [one for one in outputs if one not in large],
                answer,
                base,
                "ft-results",
            ),
            _tables(part),
            _lines(part.notes, "ft-notes", "Good to know"),
            _guesses(guessed),
        )
    )
    return (
        f'<div class="ft-part-of-work"><h3>{stage}</h3>'
        + _results(calculator, large, answer, base, "ft-headline")
        + "".join(map(_picture, part.pictures))
        + _lines(part.cautions, "ft-cautions", "Take care")
        + (
            f'<details class="ft-rest" data-part="{stage}">'
            f"<summary>More about the {stage.lower()}</summary>{folded}</details>"
            if folded
            else ""
        )
        + "</div>"
    )


def _cards(answer: Answer, base: str) -> str:
    if not answer.cards:
        return ""
    items = "".join(
        f'<li>{card.picture}<p class="ft-card"><a href="{base}{escape(card.address)}">'
        f"{escape(card.title)}</a></p>"
        f"<ul>{''.join(f'<li>{sentence_html(line)}</li>' for line in card.lines)}</ul></li>"
        for card in answer.cards
    )
    return f'<ol class="ft-cards">{items}</ol>'


def _picture(svg: str) -> str:
    ruler = (
        '<button type="button" data-action="ruler">Is this its true size?</button>'
        if "data-millimetres" in svg
        else ""
    )
    return f'<figure class="ft-picture">{svg}{ruler}{caption(svg)}</figure>'


def _tables(answer: Answer) -> str:
    return "".join(
        table_html(table, side_by_side=len(table.rows) if _is_wide(table) else None)
        for table in answer.tables.values()
    )


def _is_wide(table: Table) -> bool:
    return len(table.columns) > MOST_COLUMNS and len(table.rows) <= MOST_TURNED


def table_html(table: Table, *, side_by_side: int | None = None) -> str:
    """Write a table that scrolls sideways by itself on a narrow screen.

    One with many columns and many words is listed there: each figure beside its heading. With
    ``side_by_side`` it is turned: so many of its rows stand beside each other as columns.
    """
    columns = in_both_worlds(table)
    if side_by_side is not None:
        head, *lines = [column[: side_by_side + 1] for column in columns]
        worded = False
    else:
        head, *lines = map(list, zip(*columns, strict=True))
        worded = len(head) > 4 and any(len(cell[0] or "") > 30 for line in lines for cell in line)
    head_cells = "".join(
        f'<th scope="col"{_of_world(cell)}>{_heading(cell)}</th>' if any(cell) else "<td></td>"
        for cell in head
    )
    body = "".join(f"<tr>{_cells(line, head if worded else ())}</tr>" for line in lines)
    title = escape(table.title)
    code = f' <small class="ft-code">{table.code}</small>' if table.code else ""
    return (
        f'<div class="ft-scroll" tabindex="0" role="region" aria-label="{title}">'
        f'<table class="ft-table{" ft-worded" if worded else ""}"><caption>{title}{code}</caption>'
        f"<thead><tr>{head_cells}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def both_html(metric: str, imperial: str) -> str:
    """Write one quantity in both unit worlds, once where they agree."""
    if metric == imperial:
        return escape(metric)
    return (
        f'<span class="ft-both"><span class="ft-metric">{escape(metric)}</span> '
        f'<span class="ft-imperial">{escape(imperial)}</span></span>'
    )


def reading_html(field: Field, reading: Reading) -> str:
    """Write how a field was understood, where that says more than what stands in it."""
    if _is_chosen(field):
        return ""
    metric, imperial = (
        "" if _says_nothing_new(reading.typed, text) else text
        for text in (reading.metric, reading.imperial)
    )
    if metric == imperial:
        return reading.drawing + escape(metric)
    worlds = {"ft-metric": metric, "ft-imperial": imperial}
    told = " ".join(
        f'<span class="{world}">{escape(text)}</span>' for world, text in worlds.items() if text
    )
    return f'{reading.drawing}<span class="ft-both">{told}</span>'


def _is_chosen(field: Field) -> bool:
    return field.kind == "choice" or bool(KINDS[field.kind].options())


def _says_nothing_new(typed: str, told: str) -> bool:
    """Tell whether a text is what was typed, or that with the unit beside the field."""
    before, after = (
        _AN_INCH.sub("/in", re.sub(r"[\s-]|per(?=cm)", "", text)).replace(",", ".").casefold()
        for text in (typed, told)
    )
    return after == before or (
        bool(re.fullmatch(r"[\d./]+", before))
        and bool(re.fullmatch(re.escape(before) + r"\D*", after))
    )


def _fields(calculator: Calculator, fields: list[Field], run: Run) -> str:
    return "".join(_field(calculator, field, run.readings[field.name]) for field in fields)


def _field(calculator: Calculator, field: Field, reading: Reading) -> str:
    key = f"{calculator.id}-{field.name}"
    described = f"{key}-read {key}-error"
    unit = _unit(field)
    own_unit = " data-own-unit" if unit and re.search(r"[^\W\d]|%", reading.typed) else ""
    guess = (
        f'<span class="ft-guess">first guess, {escape(field.basis)}</span>' if field.basis else ""
    )
    label, words = map(said_html, *_in_both_kinds(calculator, field))
    hint = (
        f'<details class="ft-hint"><summary aria-label="About: {escape(field.label)}">?</summary>'
        f"<p>{words}</p></details>"
        if field.hint
        else ""
    )
    entry = (
        f'<span class="ft-entry">{_control(calculator, field, reading.typed, key, described)}{unit}'
        f"</span>{guess}"
    )
    read = (
        f'<output class="ft-read" id="{key}-read" for="{key}" aria-live="off">'
        f"{reading_html(field, reading)}</output>"
    )
    if field.picture:
        folded = "<details><summary>As lines, to be typed or pasted</summary>"
        shown = f"{read}{folded}{entry}</details>"
    else:
        shown = entry + read
    return (
        f'<div class="ft-field" data-field="{field.name}" data-kind="{field.kind}"{own_unit}>'
        f'<label for="{key}">{label}</label>{shown}'
        f'<p class="ft-error" id="{key}-error" hidden></p>{_by_drawing(field)}{hint}</div>'
    )


def _by_drawing(field: Field) -> str:
    """Write all there is to choose from, each with its drawing, folded away."""
    several = " data-several" if field.kind == "weaves" else ""
    items = "".join(
        f'<li data-id="{escape(name)}" data-words="{escape(words)}">{svg}'
        f"<span>{escape(words)}</span></li>"
        for name, words, svg in KINDS[field.kind].drawn()
    )
    if not items:
        return ""
    return (
        f'<details class="ft-by-drawing"{several}>'
        f'<summary aria-label="Choose by the drawing: {escape(field.label)}">'
        "Choose by the drawing</summary>"
        f"<ul>{items}</ul></details>"
    )


def _in_both_kinds(
    calculator: Calculator, labelled: Field | Output
) -> tuple[tuple[str, str], tuple[str, str]]:
    """Return label and hint in British and in American English."""
    british = labelled.label, getattr(labelled, "hint", "")
    return british, worded(calculator.id, labelled, "american")


def said_html(british: str, american: str) -> str:
    """Write words in both kinds of English, once where they agree."""
    if british == american:
        return sentence_html(british)
    return (
        f'<span class="ft-british">{sentence_html(british)}</span> '
        f'<span class="ft-american">{sentence_html(american)}</span>'
    )


def _unit(field: Field) -> str:
    """Write what a bare number means, and what it means to either reader where they differ."""
    own, *readers = (
        escape(UNIT_WORDS.get(unit, unit)) for unit in map(field.bare_unit, ("", *UNITS))
    )
    if not own:
        return ""
    each = "".join(f' data-{units}="{words}"' for units, words in zip(UNITS, readers, strict=True))
    return f'<span class="ft-unit"{each if len(set(readers)) > 1 else ""}>{own}</span>'


def _control(calculator: Calculator, field: Field, typed: str, key: str, described: str) -> str:
    spoken = KINDS[field.kind].spoken
    default, typed = escape(spoken(field.default)), spoken(typed)
    earlier = earlier_default(calculator.id, field.name, OLDEST)
    changed = (
        "" if earlier in (None, field.default) else f' data-default-v1="{escape(spoken(earlier))}"'
    )
    follows = f' data-follows="{field.follows}"' if field.follows else ""
    shared = (
        f'id="{key}" name="{field.name}" data-default="{default}"{changed}{follows}'
        f' aria-describedby="{described}"'
    )
    if options := field.choices if field.kind == "choice" else KINDS[field.kind].options():
        empty = "" if field.required else '<option value="">–</option>'
        return f"<select {shared}>{empty}{_option_list(options, typed)}</select>"
    if field.kind == "lines":
        return (
            f'<textarea {shared} rows="{min(12, typed.count(chr(10)) + 3)}" spellcheck="false"'
            f' autocapitalize="off">{chr(10)}{escape(typed)}</textarea>'
        )
    offered = f' list="{calculator.id}-{field.kind}-list"' if KINDS[field.kind].offered() else ""
    keyboard = KEYBOARDS.get(field.kind, "text")
    return (
        f'<input {shared} value="{escape(typed)}" inputmode="{keyboard}" spellcheck="false"'
        f' autocapitalize="off"{offered}>'
    )


def _datalists(calculator: Calculator) -> str:
    return "".join(
        f'<datalist id="{calculator.id}-{kind}-list">{_option_list(offered)}</datalist>'
        for kind in dict.fromkeys(field.kind for field in calculator.fields)
        if (offered := KINDS[kind].offered())
    )


def _option_list(choices: Choices, selected: str | None = None) -> str:
    return "".join(
        f'<option value="{escape(value)}"{" selected" if value == selected else ""}>'
        f"{escape(words)}</option>"
        for value, words in choices
    )


def _results(
    calculator: Calculator, outputs: list[Output], answer: Answer, base: str, css_class: str
) -> str:
    if not outputs:
        return ""
    items = "".join(_result(calculator, output, answer, base) for output in outputs)
    return f'<ul class="{css_class}">{items}</ul>'


def _result(calculator: Calculator, output: Output, answer: Answer, base: str) -> str:
    value = answer.results[output.name]
    label, _ = map(said_html, *_in_both_kinds(calculator, output))
    return (
        f'<li data-result="{output.name}"><details><summary>'
        f'<span class="ft-name">{label}</span> '
        f'<span class="ft-value">{value_html(output, value)}</span></summary>'
        f"<p>{_standing(output, answer, base)}</p></details></li>"
    )


def value_html(output: Output, value: float | str | Range) -> str:
    """Write one result in both unit worlds, with its range where it has one."""
    if not isinstance(value, Range):
        return both_html(*result_texts(output, value))
    low, likely, high = (
        both_html(*result_texts(output, end)) for end in (value.low, value.likely, value.high)
    )
    if value.is_exact:
        return likely
    return f'{likely} <span class="ft-range">from {low} to {high}</span>'


def _standing(output: Output, answer: Answer, base: str) -> str:
    words = STANDING[answer.bases.get(output.name, output.basis)]
    formula = formulas().get(output.formula)
    if formula is None:
        return f"{words}."
    return (
        f"{words}: {escape(formula['equation'])} "
        f"({_formula_link(output.formula, base)}, {escape(formula['name'])})."
    )


def _formula_link(formula: str, base: str) -> str:
    return f'<a href="{base}reference/formulas/#{formula.lower()}">{formula}</a>'


def _lines(lines: tuple[str, ...], css_class: str, title: str) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{sentence_html(line)}</li>" for line in lines)
    return f'<div class="{css_class}"><p class="ft-label">{title}</p><ul>{items}</ul></div>'


def _working(answer: Answer, base: str) -> str:
    steps = "".join(
        f'<li><span class="ft-words">{escape(step.words)}</span> '
        f'<span class="ft-sum">{escape(step.working)}</span>'
        + (f" {_formula_link(step.formula, base)}" if step.formula else "")
        + "</li>"
        for step in answer.steps
    )
    sources = "".join(
        f'<li><a href="{base}reference/sources/#{key}">{escape(citation(key))}</a></li>'
        for key in answer.sources
    )
    listed = f"<ol>{steps}</ol>" if steps else ""
    return (
        '<details class="ft-working"><summary>How this was worked out</summary>'
        f'{listed}<p class="ft-label">Sources</p><ul>{sources}</ul></details>'
    )


def _ways(run: Run, base: str) -> str:
    links = "".join(
        f'<li><a href="{base}{escape(address)}">{escape(words)}</a></li>'
        for words, address in ways_on(run)
    )
    label = escape(f"Carry on from: {run.calculator.title}")  # a page may hold several
    return f'<nav class="ft-ways-on" aria-label="{label}"><ul>{links}</ul></nav>' if links else ""


def _cells(told: Sequence[Told], heads: Sequence[Told]) -> str:
    first, *others = told
    return f'<th scope="row"{_of_world(first)}>{_heading(first)}</th>' + "".join(
        f"<td{_of_world(cell)}{_headed(head)}>{_told(cell)}</td>"
        for cell, head in zip_longest(others, heads[1:], fillvalue=("", ""))
    )


def _told(cell: Told) -> str:
    metric, imperial = cell
    if metric is None or imperial is None or metric == imperial:
        return sentence_html(metric or imperial or "")
    return pair_html(metric, imperial)


def _heading(cell: Told) -> str:
    """Write a heading, of which two readers share all but the unit."""
    metric, imperial = cell
    if metric is None or imperial is None or metric == imperial:
        return _told(cell)
    place = next(
        place
        for place, (one, other) in enumerate(zip(metric, imperial, strict=False))
        if one != other
    )
    return escape(metric[:place]) + pair_html(metric[place:], imperial[place:])


def _of_world(cell: Told) -> str:
    """Return the class of a cell that only one of two readers sees."""
    metric, imperial = cell
    if metric is None:
        return ' class="ft-imperial"'
    return ' class="ft-metric"' if imperial is None else ""


def _headed(head: Told) -> str:
    metric, imperial = head
    if not metric and not imperial:
        return ""
    there = (
        f' data-head-in="{escape(imperial)}"' if metric and imperial != metric and imperial else ""
    )
    return f' data-head="{escape(metric or imperial or "")}"{there}'
