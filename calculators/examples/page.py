"""What the page of the guild's examples asks: one to read and write in, several as a booklet."""

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from calculators import __version__
from calculators.engine.run import Run, result_texts
from calculators.errors import InputError
from calculators.examples.example import Example
from calculators.examples.figures import recordable
from calculators.examples.files import example_of, link_of
from calculators.examples.schema import ExampleError
from calculators.examples.show import example_html
from calculators.quantities.interval import Range
from calculators.quantities.units import counted_in
from calculators.show.code import code_svg
from calculators.show.html import UNIT_WORDS


def shown(content: Mapping[str, Any], page: str, base: str = "") -> dict[str, Any]:
    """Write an example's page, what can be put into its story, and how it is handed on."""
    example = example_of(content)
    link = f"{page}#{link_of(content)}"
    code, problem = _code(link)
    return {
        "html": example_html(example, base, code),
        "title": example.title,
        "question": example.question,
        "figures": _figures(example.plan),
        "records": _measures(example.plan),
        "link": link,
        "code": code,
        "problem": problem,
    }


def _code(link: str) -> tuple[str, str]:
    try:
        return code_svg(link), ""
    except InputError as error:
        return "", f"{error.message} {error.hint}"


def _figures(run: Run) -> list[tuple[str, str]]:
    """List what a story may hold: the name in braces, and the words to choose it by."""
    assert run.answer is not None
    figures = []
    for output in run.calculator.outputs:
        if output.name in run.answer.results:
            value = run.answer.results[output.name]
            likely = value.likely if isinstance(value, Range) else value
            figures.append((output.name, f"{output.label}: {result_texts(output, likely)[0]}"))
    for field in run.calculator.fields:
        if run.readings[field.name].typed:
            typed = run.readings[field.name]
            figures.append((f"given.{field.name}", f"{field.label}: {typed.metric or typed.typed}"))
    return figures


def _measures(run: Run) -> list[tuple[str, str]]:
    """List what can be measured of the cloth: its name, its words with what a bare number means."""
    units = {one.name: counted_in(one.unit, run.units) for one in run.calculator.outputs}
    measures = []
    for name, label in recordable(run.calculator).items():
        unit = units.get(name, "%")
        words = UNIT_WORDS.get(unit, unit)
        measures.append((name, label if words.lower() in label.lower() else f"{label}, {words}"))
    return measures


def booklet(
    contents: Sequence[Mapping[str, Any]], title: str, date: str, page: str
) -> dict[str, Any]:
    """Write several examples for paper: a title page with the contents, then each on its own."""
    sound: list[tuple[Example, str]] = []
    problems = []
    for number, content in enumerate(contents, 1):
        try:
            example = example_of(content, f"example-{number}")
            sound.append((example, _code(f"{page}#{link_of(content)}")[0]))
        except ExampleError as error:
            problems.append(
                f"“{content.get('title', '')}”, {error.key}: {error.message} {error.hint}"
            )
    lines = "".join(
        f"<li>{escape(', '.join(filter(None, (one.title, one.weaver))))}</li>" for one, _ in sound
    )
    cover = (
        f'<header class="ft-cover"><h1>{escape(title)}</h1><p>{escape(date)}</p><ol>{lines}</ol>'
        f"<p>Fine-Thread Handbook {__version__}</p></header>"
    )
    articles = "".join(
        f'<article class="ft-one">{example_html(example, more=code)}</article>'
        for example, code in sound
    )
    return {"html": cover + articles, "problems": problems}
