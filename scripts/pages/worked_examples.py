"""Worked examples: one small file for each project, and the page that the build makes of it.

A file in ``docs/data/examples`` says what a weaver decided, in the words of the plan's own form,
and tells how it went. It holds no result: every number of the page is worked out when the site is
built, and the templates beside the files put them in their places. The format is described in
DEVELOPERS.md; ``problems()`` says what is wrong with a file, by file and key, and what would work.
As a hook of MkDocs this module adds the pages.
"""

import dataclasses
import re
import tomllib
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from functools import cache, partial
from graphlib import CycleError, TopologicalSorter
from operator import attrgetter
from typing import Any

from jinja2 import pass_context
from jinja2.runtime import Context
from markupsafe import Markup
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from calculators.contract import calculate
from calculators.engine.calculator import Table
from calculators.engine.links import address
from calculators.engine.run import Run, result_text
from calculators.quantities.format import format_number, format_range
from calculators.quantities.interval import Range
from calculators.registry import registry
from calculators.show.html import both_html, table_html, value_html
from calculators.show.sheet import by_stages
from scripts.pages.example_figures import figure, planned_output, recorded
from scripts.pages.example_schema import (
    FILE,
    PART,
    TABLE,
    TEXT,
    ExampleError,
    fitting,
    known,
    optional,
)
from scripts.pages.templates import rendered, templates
from scripts.setting_up.environment import ROOT

FOLDER = ROOT / "docs" / "data" / "examples"
SECTION = "examples"
PLAN = "plan"
PLACE = re.compile(r"\{([a-z_0-9]+(?:\.[a-z_0-9]+)*)\}")
TYPED_QUANTITY = re.compile(
    r"\d\s*(?:%|per cent|mm\b|cm\b|m\b|kg\b|g\b|in\b|inch|yd\b|yards?\b|oz\b|lb\b|hours?\b|ends\b|"
    r"picks\b|units\b|/cm\b|epi\b|ppi\b)"
)


@dataclasses.dataclass(frozen=True)
class Example:
    """One project as its file tells it; what is worked out comes from ``runs``."""

    name: str
    order: int
    title: str
    weaver: str
    question: str
    description: str
    parts: tuple[tuple[str, str], ...]
    records: Mapping[str, str]
    ways: tuple[tuple[str, str], ...]
    runs: Mapping[str, Run] = dataclasses.field(repr=False)

    @property
    def plan(self) -> Run:
        """The project's whole plan."""
        return self.runs[PLAN]


# Reading a file -----------------------------------------------------------------------------------


def names() -> list[str]:
    """Return the examples by name."""
    return sorted(path.stem for path in FOLDER.glob("*.toml"))


def examples() -> list[Example]:
    """Return the examples in their order on the site."""
    return sorted(map(example, names()), key=attrgetter("order", "name"))


@cache
def example(name: str) -> Example:
    """Return one of the handbook's examples."""
    if name not in names():
        nearest = get_close_matches(name, names(), 1) or names()
        raise ExampleError(
            name, "the file", "there is no such example.", f"There is: {nearest[0]}."
        )
    return read(name, (FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def problems() -> list[str]:
    """Read every file and make its page; return a sentence for each that cannot be made."""
    sentences = []
    for name in names():
        try:
            page(example(name))
        except ExampleError as error:
            sentences.append(str(error))
    return sentences


def read(name: str, text: str) -> Example:
    """Read one file's text, or raise ExampleError."""
    if not re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", name):
        raise ExampleError(
            name,
            "the file's name",
            "it becomes an address on the site.",
            "Use small letters, digits and hyphens, such as six-napkins.toml.",
        )
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ExampleError(
            name,
            "the file",
            f"it is not TOML: {error}.",
            'Every text stands in quotes: title = "Six napkins".',
        ) from error
    content = {"calculations": {}, "records": {}, "next": [], **fitting(name, "", content, FILE)}
    return Example(
        name=name,
        parts=tuple(
            _part(name, number, table) for number, table in enumerate(content.pop("part"), 1)
        ),
        records=_records(name, content.pop("records")),
        ways=tuple((words, goal) for words, goal in content.pop("next")),
        runs=_runs(name, content.pop(PLAN), content.pop("calculations")),
        **content,
    )


def _part(name: str, number: int, table: Mapping[str, Any]) -> tuple[str, str]:
    part = fitting(name, f"part {number}, ", table, PART)
    typed = TYPED_QUANTITY.search(PLACE.sub("", part["text"]))
    if typed:
        raise ExampleError(
            name,
            f"part {number}, text",
            f"the quantity “{typed[0]}” is typed, and would not follow the plan.",
            "Put its name in braces, such as {warp_length} or {given.finished_width}, or write a "
            "small number as a word.",
        )
    return part["heading"], part["text"]


def _records(name: str, table: Mapping[str, Any]) -> dict[str, str]:
    plan = registry()["cloth-plan"]
    losses = [field.name for field in plan.fields if field.kind == "loss"]
    kinds = optional([*(output.name for output in plan.outputs), *losses])
    records = fitting(name, "records.", table, kinds)
    for key, typed in records.items():
        recorded(name, key, typed)
    return records


# Working it out -----------------------------------------------------------------------------------


def _runs(name: str, plan: Mapping[str, Any], others: Mapping[str, Any]) -> dict[str, Run]:
    """Work out the plan and the other calculations, each after those whose figures it takes."""
    tables = {PLAN: {"calculator": "cloth-plan", **plan}}
    reserved = [PLAN, "given", *(output.name for output in registry()["cloth-plan"].outputs)]
    for key, table in others.items():
        if key in reserved:
            raise ExampleError(
                name, f"calculations.{key}", "the plan uses this name.", "Choose another."
            )
        fitting(name, "calculations.", {key: table}, {key: TABLE})
        tables[key] = table
    places = {key: PLAN if key == PLAN else f"calculations.{key}" for key in tables}
    questions = {key: _asked(name, places[key], table) for key, table in tables.items()}
    needed = {}
    for key, (_, fields) in questions.items():
        heads = {path.split(".")[0] for text in fields.values() for path in PLACE.findall(text)}
        needed[key] = {head if head in tables else PLAN for head in heads}
    runs: dict[str, Run] = {}
    try:
        for key in TopologicalSorter(needed).static_order():
            calculator, fields = questions[key]
            runs[key] = _run(name, places[key], calculator, fields, runs)
    except CycleError as error:
        ring = list(reversed(error.args[1]))
        first = PLAN if PLAN in ring else ring[0]
        raise ExampleError(
            name,
            places[first],
            f"it waits for itself: {' → '.join(ring)}.",
            "Type one of these figures.",
        ) from error
    return {key: runs[key] for key in tables}


def _asked(name: str, where: str, table: Mapping[str, Any]) -> tuple[str, dict[str, str]]:
    """Return what a table asks: the calculator's name, and what is typed in its fields."""
    calculator = {"calculator": table["calculator"]} if "calculator" in table else {}
    chosen = fitting(name, f"{where}.", calculator, {"calculator": TEXT})["calculator"]
    known(name, f"{where}.calculator", chosen, registry())
    kinds = optional(field.name for field in registry()[chosen].fields)
    inputs = {key: typed for key, typed in table.items() if key != "calculator"}
    return chosen, fitting(name, f"{where}.", inputs, kinds)


def _run(
    name: str, where: str, calculator: str, fields: Mapping[str, str], runs: Mapping[str, Run]
) -> Run:
    inputs = {
        key: PLACE.sub(partial(_typed, name, f"{where}.{key}", runs), text)
        for key, text in fields.items()
    }
    run = calculate(calculator, inputs)
    if run.answer is None:
        error = run.errors[0]
        raise ExampleError(name, f"{where}.{error.field}", error.message, error.hint)
    return run


def _typed(name: str, where: str, runs: Mapping[str, Run], match: re.Match[str]) -> str:
    return figure(name, where, runs, match[1]).typed()


# The page -----------------------------------------------------------------------------------------


def story(example: Example, text: str, where: str) -> str:
    """Put the numbers into a part of the story."""
    sentence = PLACE.sub(
        lambda match: figure(example.name, where, example.runs, match[1]).shown(), text
    )
    return sentence[:1].upper() + sentence[1:]


def _record(example: Example, key: str, typed: str) -> tuple[str, ...]:
    """Return one row of the table: what it is, planned, came out, the difference."""
    measured, output = recorded(example.name, key, typed), planned_output(key)
    if output is None or isinstance(measured, Range):
        assert isinstance(measured, Range)
        planned = example.plan.readings[key]
        label = next(field.label for field in example.plan.calculator.fields if field.name == key)
        points = 100 * (measured.likely - planned.value.likely)
        return label, planned.metric, format_range(measured), f"{_signed(points)} in 100"
    assert example.plan.answer is not None
    value = example.plan.answer.results[key]
    likely = value.likely if isinstance(value, Range) else value
    assert not isinstance(likely, str)
    texts = (result_text(output, measured, world) for world in ("metric", "imperial"))
    difference = f"{_signed(100 * (measured / likely - 1))} %"
    return output.label, Markup(value_html(output, value)), Markup(both_html(*texts)), difference


def _signed(value: float) -> str:
    text = format_number(value, 1)
    return text if text.startswith("−") or text == "0" else f"+{text}"


@pass_context
def _story(context: Context, text: str, where: str) -> str:
    return story(context["example"], text, where)


templates().filters["story"] = _story


def page(example: Example) -> str:
    """Write a project's page in Markdown."""
    return rendered("examples/templates/page.md.jinja", example=example)


def numbers_html(example: Example, root: str = "") -> str:
    """Write a project's numbers: the way to the live plan, what was put in, what follows."""
    answer = example.plan.answer
    assert answer is not None
    return rendered(
        "examples/templates/numbers.html.jinja",
        example=example,
        root=root,
        address=live_address(example),
        given=list(_given(example)),
        stages=list(_stages(example)),
        cautions=answer.cautions,
        reeds=Markup(table_html(_reeds(answer.tables["denting"]))),
        records=[_record(example, key, typed) for key, typed in example.records.items()],
    )


def example_html(name: str, root: str = "") -> str:
    """Write the numbers of one of the handbook's examples."""
    return numbers_html(example(name), root)


def examples_html(root: str = "") -> str:
    """Write the list of examples with what each is about."""
    return rendered("examples/templates/list.html.jinja", examples=examples(), root=root)


def live_address(example: Example) -> str:
    """Return the address, from the site's root, that opens the project in the whole plan."""
    readings = example.plan.readings.items()
    typed = {key: reading.typed for key, reading in readings if not reading.is_default}
    return address("cloth-plan", typed)


def _given(example: Example) -> Iterator[tuple[str, str]]:
    for field in example.plan.calculator.fields:
        reading = example.plan.readings[field.name]
        if reading.typed and not (field.advanced and reading.is_default):
            titled = field.kind in ("weave", "system")
            yield field.label, reading.metric if titled else reading.typed


def _stages(example: Example) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    assert example.plan.answer is not None
    results = example.plan.answer.results
    outputs = {output.name: output for output in example.plan.calculator.outputs}
    for title, keys in by_stages(outputs):
        yield (
            title,
            [
                (outputs[key].label, Markup(value_html(outputs[key], results[key])))
                for key in keys
                if key in results
            ],
        )


def _reeds(dentings: Table) -> Table:
    """Leave of the table of dentings what the reader of an example wants to see."""
    columns = [
        place
        for place, column in enumerate(dentings.columns)
        if column in ("Reed", "Ends in the dents", "Ends per cm", "Ends per inch", "Reed marks")
    ]
    return Table(
        "The reeds on the shelf, for this sett",
        tuple(dentings.columns[place] for place in columns),
        tuple(tuple(row[place] for place in columns) for row in dentings.rows),
        tuple(dict(enumerate(dentings.digits)).get(place) for place in columns),
    )


# As a hook of MkDocs ------------------------------------------------------------------------------


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Add the pages to the section of the navigation that the list of examples heads."""
    for entry in config.nav or []:
        for pages in entry.values() if isinstance(entry, dict) else ():
            if isinstance(pages, list) and f"{SECTION}/index.md" in pages:
                pages += [f"{SECTION}/{example.name}.md" for example in examples()]
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the pages themselves."""
    for example in examples():
        files.append(File.generated(config, f"{SECTION}/{example.name}.md", content=page(example)))
    return files
