"""A worked example as HTML: the one renderer for the handbook's own and for a weaver's."""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from html import escape

from calculators.engine.calculator import Answer, Table, by_stages
from calculators.engine.run import result_text
from calculators.examples.drawn import drawn_html
from calculators.examples.example import Example, address_in_inches, live_address
from calculators.examples.figures import PLACE, figure, planned_output, recorded
from calculators.examples.schema import ExampleError
from calculators.quantities.format import format_number, format_range
from calculators.quantities.interval import Range
from calculators.show.html import both_html, table_html, value_html

# In short, as far as the calculation knows of it.
IN_SHORT = (
    "{given.weave}",
    "warp {given.warp_yarn} {given.warp_system}, weft {given.weft_yarn} {given.weft_system},"
    " {sett}",
    "pieces of {given.finished_width} × {given.finished_length}: {given.pieces}",
    "{ends} ends, {warp_length} of warp, {hours} at the loom",
)
REEDS = ("Reed", "Ends in the dents", "Ends per cm", "Ends per inch", "Reed marks")


def told(example: Example, text: str, where: str) -> str:
    """Put the numbers into a part of the story."""
    sentence = PLACE.sub(
        lambda match: figure(example.name, where, example.runs, match[1]).shown(), text
    )
    return sentence[:1].upper() + sentence[1:]


def in_short(example: Example) -> str:
    """Say in one line what the project is."""
    parts = []
    for words in IN_SHORT if example.plan.calculator.id == "cloth-plan" else ():
        with suppress(ExampleError):  # left empty, so there is nothing to say of it
            parts.append(PLACE.sub(lambda match: _shown(example, match[1]), words))
    if not parts:
        parts = [f"{escape(label)} {value}" for label, value in _results(example, headline=True)]
    line = "; ".join(parts)
    return line[:1].upper() + line[1:]


def _shown(example: Example, name: str) -> str:
    return figure(example.name, "in short", example.runs, name).shown()


def example_html(example: Example, root: str = "", more: str = "") -> str:
    """Write a weaver's example as a whole page: the question, the story, the numbers.

    ``more`` stands at the end, such as the code that carries the example on.
    """
    name = escape(example.name)
    weaver = f'<p class="ft-weaver">{escape(example.weaver)}</p>' if example.weaver else ""
    parts = "".join(
        (f'<h2 id="{name}-part-{number}">{escape(heading)}</h2>' if heading else "")
        + _own_words(example, text, f"part {number}, text")
        for number, (heading, text) in enumerate(example.parts, 1)
    )
    figure = figure_html(example, root)
    figure = f'<h2 id="{name}-figure">The figure</h2>{figure}' if figure else ""
    return (
        f'<h1 id="{name}">{escape(example.title)}</h1>'
        f"<p><em>{_inline(told(example, escape(example.question), 'question'))}</em></p>"
        f"{weaver}<p>{in_short(example)}.</p>{parts}{figure}"
        f'<h2 id="{name}-numbers">The plan in numbers</h2>{numbers_html(example, root)}{more}'
    )


def _own_words(example: Example, text: str, where: str) -> str:
    paragraphs = filter(None, (part.strip() for part in re.split(r"\n\s*\n", text)))
    return "".join(
        f"<p>{_inline(told(example, escape(part), where)).replace(chr(10), '<br>')}</p>"
        for part in paragraphs
    )


def _inline(text: str) -> str:
    return re.sub(r"\*(\S(?:[^*\n]*\S)?)\*", r"<em>\1</em>", text)


def figure_html(example: Example, root: str = "") -> str:
    """Write a project's figure, where it has one."""
    if example.figure is None:
        return ""
    shown = drawn_html(example.figure, example.plan, root)
    return f'<section class="ft-example" id="figure-{escape(example.name)}">{shown}</section>'


# The numbers --------------------------------------------------------------------------------------


def numbers_html(example: Example, root: str = "") -> str:
    """Write a project's numbers: the way to the live plan, what was put in, what follows."""
    answer = example.plan.answer
    assert answer is not None
    given = "".join(
        f"<div><dt>{escape(label)}</dt><dd>{both_html(*typed)}</dd></div>"
        for label, *typed in _given(example)
    )
    inches = address_in_inches(example)
    near = inches and (
        '<span class="ft-both"><span class="ft-imperial"> · '
        f'<a href="{root}{escape(inches)}">one like it in whole inches</a></span></span>'
    )
    return (
        f'<section class="ft-example" id="example-{escape(example.name)}">'
        f'<p><a class="ft-open" href="{root}{escape(live_address(example))}">'
        f"Open this plan live, to change it and make it yours</a>{near}</p>"
        f'<h3>Put in</h3><dl class="ft-given">{given}</dl><h3>What follows</h3>'
        f"{_follows(example, answer)}{_cautions(answer)}"
        f"{''.join(map(table_html, _tables(answer)))}{_records(example)}</section>"
    )


def _given(example: Example) -> Iterator[tuple[str, str, str]]:
    """Give each field that was filled in: its label, and what it has in both unit worlds."""
    for field in example.plan.calculator.fields:
        reading = example.plan.readings[field.name]
        if reading.typed and not (field.advanced and reading.is_default):
            titled = field.kind in ("weave", "weaves", "system", "choice")
            if titled or reading.metric != reading.imperial:
                yield field.label, reading.metric, reading.imperial
            else:
                yield field.label, reading.typed, reading.typed


def _results(example: Example, *, headline: bool = False) -> list[tuple[str, str]]:
    assert example.plan.answer is not None
    results = example.plan.answer.results
    return [
        (output.label, value_html(output, results[output.name]))
        for output in example.plan.calculator.outputs
        if output.name in results and (output.headline or not headline)
    ]


def _stages(example: Example, answer: Answer) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    outputs = {
        output.name: output
        for output in example.plan.calculator.outputs
        if output.name in answer.results
    }
    staged: list[tuple[str, list[str]]] = [
        (title, keys) for title, keys in by_stages(outputs).items() if keys
    ]
    for title, keys in staged or [("Results", list(outputs))]:
        yield (
            title,
            [(outputs[key].label, value_html(outputs[key], answer.results[key])) for key in keys],
        )


def _follows(example: Example, answer: Answer) -> str:
    bodies = "".join(
        f'<tbody><tr><th scope="rowgroup" colspan="2">{escape(stage)}</th></tr>'
        + "".join(
            f'<tr><th scope="row">{escape(label)}</th><td>{value}</td></tr>'
            for label, value in results
        )
        + "</tbody>"
        for stage, results in _stages(example, answer)
    )
    return _scrolling("The plan in the order of the work", bodies)


def _scrolling(title: str, rows: str) -> str:
    return (
        f'<div class="ft-scroll" tabindex="0" role="region" aria-label="{title}">'
        f'<table class="ft-table"><caption>{title}</caption>{rows}</table></div>'
    )


def _cautions(answer: Answer) -> str:
    if not answer.cautions:
        return ""
    items = "".join(f"<li>{escape(caution)}</li>" for caution in answer.cautions)
    return f'<div class="ft-cautions"><p class="ft-label">Take care</p><ul>{items}</ul></div>'


def _tables(answer: Answer) -> Sequence[Table]:
    """Leave of the plan's tables the reeds, and of these what the reader wants to see."""
    dentings = answer.tables.get("denting")
    if dentings is None:
        return list(answer.tables.values())
    places = [place for place, column in enumerate(dentings.columns) if column in REEDS]
    reeds = Table(
        "The reeds on the shelf, for this sett",
        tuple(dentings.columns[place] for place in places),
        tuple(tuple(row[place] for place in places) for row in dentings.rows),
        tuple(dict(enumerate(dentings.digits)).get(place) for place in places),
    )
    return [reeds]


# What came out ------------------------------------------------------------------------------------


def _records(example: Example) -> str:
    if not example.records:
        return ""
    heads = "".join(
        f'<th scope="col">{words}</th>' for words in ("planned", "came out", "difference")
    )
    rows = "".join(
        f'<tr><th scope="row">{escape(label)}</th><td>{planned}</td><td>{found}</td>'
        f"<td>{difference}</td></tr>"
        for label, planned, found, difference in (
            _record(example, key, typed) for key, typed in example.records.items()
        )
    )
    return _scrolling(
        "What came out, beside what was planned",
        f"<thead><tr><td></td>{heads}</tr></thead><tbody>{rows}</tbody>",
    )


def _record(example: Example, key: str, typed: str) -> tuple[str, str, str, str]:
    """Return one row of the table: what it is, planned, came out, the difference."""
    calculator = example.plan.calculator
    measured = recorded(example.name, calculator, key, typed, example.plan.units)
    output = planned_output(calculator, key)
    if output is None or isinstance(measured, Range):
        assert isinstance(measured, Range)
        planned = example.plan.readings[key]
        label = next(field.label for field in calculator.fields if field.name == key)
        points = 100 * (measured.likely - planned.value.likely)
        return label, escape(planned.metric), format_range(measured), f"{signed(points)} in 100"
    assert example.plan.answer is not None
    value = example.plan.answer.results.get(key, "–")
    found = both_html(*(result_text(output, measured, world) for world in ("metric", "imperial")))
    likely = value.likely if isinstance(value, Range) else value
    if isinstance(likely, str) or likely == 0:
        return output.label, value_html(output, value), found, "–"
    difference = f"{signed(100 * (measured / likely - 1))} %"
    return output.label, value_html(output, value), found, difference


def signed(
    value: float, write: Callable[[float], str] = lambda value: format_number(value, 1)
) -> str:
    """Write a difference with its sign; nothing is nothing."""
    text = write(value)
    return text if text.startswith("−") or text == "0" else f"+{text}"
