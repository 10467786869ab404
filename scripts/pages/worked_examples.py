"""Worked examples: one small file for each project, and the page that the build makes of it.

A file in ``docs/data/examples`` says what a weaver decided, in the words of the plan's own form,
and tells how it went. It holds no result: every number of the page is worked out when the site is
built, and the templates beside the files put them in their places. The format is described in
DEVELOPERS.md; ``problems()`` says what is wrong with a file, by file and key, and what would work.
As a hook of MkDocs this module adds the pages.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import cache, partial
from graphlib import CycleError, TopologicalSorter
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


@dataclass(frozen=True)
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
    runs: Mapping[str, Run] = field(repr=False)

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
    return sorted(map(example, names()), key=lambda one: (one.order, one.name))


@cache
def example(name: str) -> Example:
    """Return one of the handbook's examples."""
    if name not in names():
        near = get_close_matches(name, names(), 1) or names()
        raise ExampleError(name, "the file", "there is no such example.", f"There is: {near[0]}.")
    return read(name, (FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def problems() -> list[str]:
    """Read every file and make its page; return a sentence for each that cannot be made."""
    found = []
    for name in names():
        try:
            page(example(name))
        except ExampleError as error:
            found.append(str(error))
    return found


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
        told = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ExampleError(
            name,
            "the file",
            f"it is not TOML: {error}.",
            'Every text stands in quotes: title = "Six napkins".',
        ) from error
    told = {"calculations": {}, "records": {}, "next": [], **fitting(name, "", told, FILE)}
    return Example(
        name=name,
        parts=tuple(_part(name, number, part) for number, part in enumerate(told.pop("part"), 1)),
        records=_records(name, told.pop("records")),
        ways=tuple((words, page) for words, page in told.pop("next")),
        runs=_runs(name, told.pop(PLAN), told.pop("calculations")),
        **told,
    )


def _part(name: str, number: int, told: Mapping[str, Any]) -> tuple[str, str]:
    part = fitting(name, f"part {number}, ", told, PART)
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


def _records(name: str, told: Mapping[str, Any]) -> dict[str, str]:
    plan = registry()["cloth-plan"]
    losses = [one.name for one in plan.fields if one.kind == "loss"]
    kinds = optional([*(one.name for one in plan.outputs), *losses])
    records = fitting(name, "records.", told, kinds)
    for key, typed in records.items():
        recorded(name, key, typed)
    return records


# Working it out -----------------------------------------------------------------------------------


def _runs(name: str, plan: Mapping[str, Any], others: Mapping[str, Any]) -> dict[str, Run]:
    """Work out the plan and the other calculations, each after those whose figures it takes."""
    tables = {PLAN: {"calculator": "cloth-plan", **plan}}
    taken = [PLAN, "given", *(one.name for one in registry()["cloth-plan"].outputs)]
    for key, told in others.items():
        if key in taken:
            raise ExampleError(
                name, f"calculations.{key}", "the plan uses this name.", "Choose another."
            )
        fitting(name, "calculations.", {key: told}, {key: TABLE})
        tables[key] = told
    where = {key: PLAN if key == PLAN else f"calculations.{key}" for key in tables}
    asked = {key: _asked(name, where[key], told) for key, told in tables.items()}
    needed = {}
    for key, (_, inputs) in asked.items():
        heads = {path.split(".")[0] for text in inputs.values() for path in PLACE.findall(text)}
        needed[key] = {head if head in tables else PLAN for head in heads}
    runs: dict[str, Run] = {}
    try:
        for key in TopologicalSorter(needed).static_order():
            calculator, inputs = asked[key]
            runs[key] = _run(name, where[key], calculator, inputs, runs)
    except CycleError as error:
        ring = list(reversed(error.args[1]))
        first = PLAN if PLAN in ring else ring[0]
        raise ExampleError(
            name,
            where[first],
            f"it waits for itself: {' → '.join(ring)}.",
            "Type one of these figures.",
        ) from error
    return {key: runs[key] for key in tables}


def _asked(name: str, where: str, told: Mapping[str, Any]) -> tuple[str, dict[str, str]]:
    """Return what a table asks: the calculator's name, and what is typed in its fields."""
    calculator = {"calculator": told["calculator"]} if "calculator" in told else {}
    asked = fitting(name, f"{where}.", calculator, {"calculator": TEXT})["calculator"]
    known(name, f"{where}.calculator", asked, registry())
    fields = optional(one.name for one in registry()[asked].fields)
    inputs = {key: typed for key, typed in told.items() if key != "calculator"}
    return asked, fitting(name, f"{where}.", inputs, fields)


def _run(
    name: str, where: str, calculator: str, inputs: Mapping[str, str], runs: Mapping[str, Run]
) -> Run:
    typed = {
        key: PLACE.sub(partial(_typed, name, f"{where}.{key}", runs), text)
        for key, text in inputs.items()
    }
    found = calculate(calculator, typed)
    if found.answer is None:
        first = found.errors[0]
        raise ExampleError(name, f"{where}.{first.field}", first.message, first.hint)
    return found


def _typed(name: str, where: str, runs: Mapping[str, Run], found: re.Match[str]) -> str:
    return figure(name, where, runs, found[1]).typed()


# The page -----------------------------------------------------------------------------------------


def story(one: Example, text: str, where: str) -> str:
    """Put the numbers into a part of the story."""
    told = PLACE.sub(lambda found: figure(one.name, where, one.runs, found[1]).shown(), text)
    return told[:1].upper() + told[1:]


def _record(one: Example, key: str, typed: str) -> tuple[str, ...]:
    """Return one row of the table: what it is, planned, came out, the difference."""
    found, output = recorded(one.name, key, typed), planned_output(key)
    if output is None or isinstance(found, Range):
        assert isinstance(found, Range)
        planned = one.plan.readings[key]
        label = next(asked.label for asked in one.plan.calculator.fields if asked.name == key)
        points = 100 * (found.likely - planned.value.likely)
        return label, planned.metric, format_range(found), f"{_signed(points)} in 100"
    assert one.plan.answer is not None
    value = one.plan.answer.results[key]
    likely = value.likely if isinstance(value, Range) else value
    assert not isinstance(likely, str)
    texts = (result_text(output, found, world) for world in ("metric", "imperial"))
    difference = f"{_signed(100 * (found / likely - 1))} %"
    return output.label, Markup(value_html(output, value)), Markup(both_html(*texts)), difference


def _signed(value: float) -> str:
    text = format_number(value, 1)
    return text if text.startswith("−") or text == "0" else f"+{text}"


@pass_context
def _story(context: Context, text: str, where: str) -> str:
    return story(context["example"], text, where)


templates().filters["story"] = _story


def page(one: Example) -> str:
    """Write a project's page in Markdown."""
    return rendered("examples/templates/page.md.jinja", example=one)


def numbers_html(one: Example, root: str = "") -> str:
    """Write a project's numbers: the way to the live plan, what was put in, what follows."""
    answer = one.plan.answer
    assert answer is not None
    return rendered(
        "examples/templates/numbers.html.jinja",
        example=one,
        root=root,
        address=live_address(one),
        given=list(_given(one)),
        stages=list(_stages(one)),
        cautions=answer.cautions,
        reeds=Markup(table_html(_reeds(answer.tables["denting"]))),
        records=[_record(one, key, typed) for key, typed in one.records.items()],
    )


def example_html(name: str, root: str = "") -> str:
    """Write the numbers of one of the handbook's examples."""
    return numbers_html(example(name), root)


def examples_html(root: str = "") -> str:
    """Write the list of examples with what each is about."""
    return rendered("examples/templates/list.html.jinja", examples=examples(), root=root)


def live_address(one: Example) -> str:
    """Return the address, from the site's root, that opens the project in the whole plan."""
    readings = one.plan.readings.items()
    typed = {key: reading.typed for key, reading in readings if not reading.is_default}
    return address("cloth-plan", typed)


def _given(one: Example) -> Iterator[tuple[str, str]]:
    for asked in one.plan.calculator.fields:
        reading = one.plan.readings[asked.name]
        if reading.typed and not (asked.advanced and reading.is_default):
            named = asked.kind in ("weave", "system")
            yield asked.label, reading.metric if named else reading.typed


def _stages(one: Example) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    assert one.plan.answer is not None
    results = one.plan.answer.results
    outputs = {output.name: output for output in one.plan.calculator.outputs}
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
    wanted = [
        place
        for place, column in enumerate(dentings.columns)
        if column in ("Reed", "Ends in the dents", "Ends per cm", "Ends per inch", "Reed marks")
    ]
    return Table(
        "The reeds on the shelf, for this sett",
        tuple(dentings.columns[place] for place in wanted),
        tuple(tuple(row[place] for place in wanted) for row in dentings.rows),
        tuple(dict(enumerate(dentings.digits)).get(place) for place in wanted),
    )


# As a hook of MkDocs ------------------------------------------------------------------------------


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Add the pages to the section of the navigation that the list of examples heads."""
    for entry in config.nav or []:
        for pages in entry.values() if isinstance(entry, dict) else ():
            if isinstance(pages, list) and f"{SECTION}/index.md" in pages:
                pages += [f"{SECTION}/{one.name}.md" for one in examples()]
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the pages themselves."""
    for one in examples():
        files.append(File.generated(config, f"{SECTION}/{one.name}.md", content=page(one)))
    return files
