"""Worked examples: one small file for each project, and the page that the build makes of it.

A file in ``docs/data/examples`` says what a weaver decided, in the words of the plan's own form,
and tells how it went. It holds no result: every number of the page is worked out when the site is
built, and the templates beside the files put them in their places. The format is described in
DEVELOPERS.md; ``problems()`` says what is wrong with a file, by file and key, and what would work.
As a hook of MkDocs this module adds the pages.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import cache, partial
from graphlib import CycleError, TopologicalSorter
from typing import Any, NamedTuple

from jinja2 import pass_context
from jinja2.runtime import Context
from markupsafe import Markup, escape
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from calculators.contract import Run, calculate, result_text
from calculators.errors import HandbookError, InputError
from calculators.forms import registry
from calculators.forms.base import Output, Table
from calculators.forms.render import both_html, table_html, value_html
from calculators.forms.sheet import JOB
from calculators.forms.ways import UNITS, address
from calculators.quantities import parse
from calculators.quantities.format import format_number, format_range
from calculators.quantities.interval import Range
from calculators.quantities.units import per_inch
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


class ExampleError(HandbookError):
    """A file that cannot be used: which file, which key, and what would work."""

    def __init__(self, name: str, key: str, message: str, hint: str) -> None:
        super().__init__(f"{SECTION}/{name}.toml, {key}: {message} {hint}".strip())
        self.name, self.key, self.message, self.hint = name, key, message, hint


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


# What a file may hold -----------------------------------------------------------------------------


class Kind(NamedTuple):
    """What one key of a file may hold, and what is said when it holds something else."""

    fits: Callable[[Any], bool]
    wanted: str
    such_as: str
    optional: bool = False


def _are_texts(value: Any, number: int) -> bool:
    is_list = isinstance(value, list) and len(value) == number
    return is_list and all(isinstance(one, str) for one in value)


TEXT = Kind(
    lambda value: isinstance(value, str) and bool(value.strip()),
    "a text in quotes is wanted here.",
    'For example {key} = "…".',
)
NUMBER = Kind(
    lambda value: type(value) is int, "a whole number is wanted here.", "For example {key} = 100."
)
TABLE = Kind(
    lambda value: isinstance(value, dict),
    "a table is wanted here.",
    "Write [{key}] on a line of its own, and what belongs to it in the lines below.",
)
PARTS = Kind(
    lambda value: isinstance(value, list) and value != [] and all(map(TABLE.fits, value)),
    "the story is missing.",
    'Begin with [[part]], then heading = "…" and text = """…""".',
)
WAYS = Kind(
    lambda value: isinstance(value, list) and all(_are_texts(way, 2) for way in value),
    "each way on is a pair of words and page.",
    'For example {key} = [["The whole plan", "../plan/whole-plan.md"]].',
)
FILE = {
    "order": NUMBER,
    **dict.fromkeys(("title", "weaver", "question", "description"), TEXT),
    PLAN: TABLE,
    "calculations": TABLE._replace(optional=True),
    "part": PARTS,
    "records": TABLE._replace(optional=True),
    "next": WAYS._replace(optional=True),
}
PART = {"heading": TEXT, "text": TEXT}


def _known(name: str, key: str, word: str, offered: Iterable[str]) -> None:
    offered = list(offered)
    if word not in offered:
        near = get_close_matches(word, offered, 1)
        hint = f"Did you mean {near[0]}?" if near else "There are: " + ", ".join(offered) + "."
        raise ExampleError(name, key, f"“{word}” is not known here.", hint)


def _fitting(
    name: str, before: str, told: Mapping[str, Any], kinds: Mapping[str, Kind]
) -> dict[str, Any]:
    """Return what a table tells, in the order told, or say which of its keys is wrong."""
    for key in told:
        _known(name, before + key, key, kinds)
    for key, kind in kinds.items():
        if not ((kind.optional and key not in told) or kind.fits(told.get(key))):
            raise ExampleError(name, before + key, kind.wanted, kind.such_as.format(key=key))
    return {key: value.strip() if isinstance(value, str) else value for key, value in told.items()}


def _optional(keys: Iterable[str]) -> dict[str, Kind]:
    return dict.fromkeys(keys, TEXT._replace(optional=True))


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
    told = {"calculations": {}, "records": {}, "next": [], **_fitting(name, "", told, FILE)}
    return Example(
        name=name,
        parts=tuple(_part(name, number, part) for number, part in enumerate(told.pop("part"), 1)),
        records=_records(name, told.pop("records")),
        ways=tuple((words, page) for words, page in told.pop("next")),
        runs=_runs(name, told.pop(PLAN), told.pop("calculations")),
        **told,
    )


def _part(name: str, number: int, told: Mapping[str, Any]) -> tuple[str, str]:
    part = _fitting(name, f"part {number}, ", told, PART)
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
    kinds = _optional([*(one.name for one in plan.outputs), *losses])
    records = _fitting(name, "records.", told, kinds)
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
        _fitting(name, "calculations.", {key: told}, {key: TABLE})
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
    asked = _fitting(name, f"{where}.", calculator, {"calculator": TEXT})["calculator"]
    _known(name, f"{where}.calculator", asked, registry())
    fields = _optional(one.name for one in registry()[asked].fields)
    inputs = {key: typed for key, typed in told.items() if key != "calculator"}
    return asked, _fitting(name, f"{where}.", inputs, fields)


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
    return _place(name, where, runs, found[1]).typed()


# Numbers in the story -----------------------------------------------------------------------------


@dataclass(frozen=True)
class _Place:
    """What a name in braces stands for: something put in, or something worked out."""

    run: Run
    name: str
    given: bool
    end: str

    def typed(self) -> str:
        """Write it as a weaver would type it, for another calculation."""
        if self.given:
            return self.run.readings[self.name].typed
        value, unit = self._value, self._output.unit
        return value if isinstance(value, str) else f"{value:.6g}{UNITS.get(unit, f' {unit}')}"

    def shown(self) -> str:
        """Write it for the story, in both unit worlds."""
        if self.given:
            reading = self.run.readings[self.name]
            kinds = {one.name: one.kind for one in self.run.calculator.fields}
            if kinds[self.name] in ("yarn", "text"):
                return escape(reading.typed)
            return _told(reading.metric, reading.imperial)
        output, value = self._output, self._value
        return _told(result_text(output, value, "metric"), result_text(output, value, "imperial"))

    @property
    def _output(self) -> Output:
        return next(one for one in self.run.calculator.outputs if one.name == self.name)

    @property
    def _value(self) -> float | str:
        assert self.run.answer is not None
        value = self.run.answer.results[self.name]
        if not isinstance(value, Range):
            return value
        ends = {"": value.likely, "low": value.low, "high": value.high}
        return ends[self.end]


def _place(name: str, where: str, runs: Mapping[str, Run], path: str) -> _Place:
    names = path.split(".")
    run = runs[names.pop(0)] if names[0] in runs else runs[PLAN]
    assert run.answer is not None
    offered = list(run.answer.results)
    given = names[:1] == ["given"]
    if given:
        names.pop(0)
        offered = [key for key, reading in run.readings.items() if reading.typed]
    word = names.pop(0) if names else ""
    _known(name, where, word, offered)
    end = names.pop(0) if names and not given and names[0] in ("low", "high") else ""
    if names:
        raise ExampleError(
            name, where, f"“{names[0]}” means nothing after {word}.", "Leave it out."
        )
    return _Place(run, word, given, end)


def _told(metric: str, imperial: str) -> Markup:
    if metric == imperial:
        return escape(metric)
    return Markup(
        '<span class="ft-both"><span class="ft-metric">{}</span>'
        ' <span class="ft-imperial"><span class="ft-paren">(</span>{}'
        '<span class="ft-paren">)</span></span></span>'
    ).format(metric, imperial)


def story(one: Example, text: str, where: str) -> str:
    """Put the numbers into a part of the story."""
    told = PLACE.sub(lambda found: _place(one.name, where, one.runs, found[1]).shown(), text)
    return told[:1].upper() + told[1:]


# What came out ------------------------------------------------------------------------------------


def recorded(name: str, key: str, typed: str) -> float | Range:
    """Read a measured figure, in the unit of the planned one."""
    output = _output(key)
    try:
        if output is None:
            return parse.parse_loss(typed, field=key)
        return _READ.get(output.unit, _plain)(typed, key)
    except InputError as error:
        raise ExampleError(name, f"records.{key}", error.message, error.hint) from error


def _plain(typed: str, key: str) -> float:
    return parse.parse_number(typed, field=key)


_READ = {
    "mm": lambda typed, key: parse.parse_length(typed, unit="mm", field=key) * 10,
    "cm": lambda typed, key: parse.parse_length(typed, unit="cm", field=key),
    "m": lambda typed, key: parse.parse_length(typed, unit="m", field=key) / 100,
    "g": lambda typed, key: parse.parse_mass(typed, unit="g", field=key),
    "kg": lambda typed, key: parse.parse_mass(typed, unit="kg", field=key) / 1000,
    "1/inch": lambda typed, key: per_inch(parse.parse_density(typed, "1/inch", key)),
    "1/cm": lambda typed, key: parse.parse_density(typed, "1/cm", key),
}


def _output(key: str) -> Output | None:
    return next((one for one in registry()["cloth-plan"].outputs if one.name == key), None)


def _record(one: Example, key: str, typed: str) -> tuple[str, ...]:
    """Return one row of the table: what it is, planned, came out, the difference."""
    found, output = recorded(one.name, key, typed), _output(key)
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


# The page -----------------------------------------------------------------------------------------


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
    for title, keys in JOB:
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
