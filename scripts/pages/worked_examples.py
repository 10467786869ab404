"""Worked examples: one small file for each project, and the page that the build makes of it.

A file in ``docs/data/examples`` says what a weaver decided, in the words of the plan's own form,
and tells how it went. It holds no result: every number of the page is worked out when the site is
built. The format is described in DEVELOPERS.md; ``problems()`` says what is wrong with a file, by
file and key, and what would work. As a hook of MkDocs this module adds the pages.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import cache, partial
from html import escape
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from calculators.contract import Run, calculate, result_text
from calculators.errors import HandbookError, InputError
from calculators.forms import registry
from calculators.forms.base import Field, Output, Table
from calculators.forms.render import both_html, table_html, value_html
from calculators.forms.sheet import JOB
from calculators.forms.ways import UNITS, address
from calculators.quantities import parse
from calculators.quantities.format import format_number, format_range
from calculators.quantities.interval import Range
from calculators.quantities.units import per_inch
from scripts import reference_pages
from scripts.setting_up.environment import ROOT

FOLDER = ROOT / "docs" / "data" / "examples"
SECTION = "examples"
PLAN = "plan"
TEXTS = ("title", "weaver", "question", "description")
KEYS = ("order", *TEXTS, PLAN, "calculations", "part", "records", "next")
PLACE = re.compile(r"\{([a-z_0-9]+(?:\.[a-z_0-9]+)*)\}")
IN_SHORT = (
    "{given.weave}; warp {given.warp_yarn} {given.warp_system}, weft {given.weft_yarn} "
    "{given.weft_system}, {sett}; pieces of "
    "{given.finished_width} × {given.finished_length}: {given.pieces}; {ends} ends, {warp_length} "
    "of warp, {hours} at the loom. [All the numbers](#the-plan-in-numbers)"
)
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
    for key in told:
        _known(name, key, key, KEYS)
    texts = {key: _text(name, key, told.get(key)) for key in TEXTS}
    parts = tuple(_part(name, place, part) for place, part in _parts(name, told))
    plan = _table(name, PLAN, told.get(PLAN), 'such as finished_width = "48 cm"')
    others = _table(name, "calculations", told.get("calculations", {}), "one table for each")
    return Example(
        name=name,
        order=_order(name, told.get("order")),
        **texts,
        parts=parts,
        records=_records(name, told.get("records", {})),
        ways=tuple(_way(name, way) for way in told.get("next", [])),
        runs=_Runs(name, plan, others).all(),
    )


def _known(name: str, key: str, word: str, offered: Sequence[str]) -> None:
    if word not in offered:
        near = get_close_matches(word, offered, 1)
        hint = f"Did you mean {near[0]}?" if near else "There are: " + ", ".join(offered) + "."
        raise ExampleError(name, key, f"“{word}” is not known here.", hint)


def _text(name: str, key: str, value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ExampleError(
            name, key, "a text in quotes is wanted here.", f'For example {key} = "…".'
        )
    return value.strip()


def _order(name: str, value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise ExampleError(
            name, "order", "a whole number is wanted here.", "For example order = 100."
        )
    return value


def _table(name: str, key: str, value: Any, hint: str) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        raise ExampleError(
            name, key, "a table is wanted here.", f"Write [{key}] on a line of its own, {hint}."
        )
    return value


def _parts(name: str, told: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    parts = told.get("part")
    if not isinstance(parts, list) or not parts:
        raise ExampleError(
            name,
            "part",
            "the story is missing.",
            'Begin with [[part]], then heading = "…" and text = """…""".',
        )
    for number, part in enumerate(parts, start=1):
        yield f"part {number}", part


def _part(name: str, place: str, part: Any) -> tuple[str, str]:
    for key in _table(name, place, part, 'with heading = "…" and text = """…"""'):
        _known(name, place, key, ("heading", "text"))
    heading = _text(name, f"{place}, heading", part.get("heading"))
    text = _text(name, f"{place}, text", part.get("text"))
    typed = TYPED_QUANTITY.search(PLACE.sub("", text))
    if typed:
        raise ExampleError(
            name,
            f"{place}, text",
            f"the quantity “{typed[0]}” is typed, and would not follow the plan.",
            "Put its name in braces, such as {warp_length} or {given.finished_width}, or write a "
            "small number as a word.",
        )
    return heading, text


def _way(name: str, way: Any) -> tuple[str, str]:
    if not isinstance(way, list) or len(way) != 2 or not all(isinstance(one, str) for one in way):
        raise ExampleError(
            name,
            "next",
            "each way on is a pair of words and page.",
            'For example next = [["The whole plan", "../plan/whole-plan.md"]].',
        )
    return way[0], way[1]


def _records(name: str, told: Any) -> dict[str, str]:
    records = _table(name, "records", told, 'such as finished_length = "47.5 cm"')
    plan = registry()["cloth-plan"]
    offered = [one.name for one in plan.outputs]
    offered += [one.name for one in plan.fields if one.kind == "loss"]
    for key, value in records.items():
        _known(name, f"records.{key}", key, offered)
        _text(name, f"records.{key}", value)
        recorded(name, key, value)
    return dict(records)


class _Runs:
    """Works out a file's calculations, each when it is first asked for."""

    def __init__(self, name: str, plan: Mapping[str, Any], others: Mapping[str, Any]) -> None:
        self.name = name
        self.told: dict[str, Mapping[str, Any]] = {PLAN: {"calculator": "cloth-plan", **plan}}
        taken = [PLAN, "given", *(one.name for one in registry()["cloth-plan"].outputs)]
        for key, value in others.items():
            if key in taken:
                raise ExampleError(
                    name, f"calculations.{key}", "the plan uses this name.", "Choose another."
                )
            self.told[key] = _table(name, f"calculations.{key}", value, "with calculator = …")
        self.done: dict[str, Run] = {}
        self.asked: list[str] = []

    def all(self) -> dict[str, Run]:
        for key in self.told:
            self.run(key)
        return self.done

    def run(self, key: str) -> Run:
        if key in self.done:
            return self.done[key]
        where = key if key == PLAN else f"calculations.{key}"
        if key in self.asked:
            ring = " → ".join([*self.asked, key])
            raise ExampleError(
                self.name, where, f"it waits for itself: {ring}.", "Type one of these figures."
            )
        self.asked.append(key)
        told = dict(self.told[key])
        calculator = _text(self.name, f"{where}.calculator", told.pop("calculator", None))
        _known(self.name, f"{where}.calculator", calculator, list(registry()))
        fields = [one.name for one in registry()[calculator].fields]
        inputs = {}
        for word, value in told.items():
            _known(self.name, f"{where}.{word}", word, fields)
            typed = _text(self.name, f"{where}.{word}", value)
            inputs[word] = PLACE.sub(partial(self._typed, f"{where}.{word}"), typed)
        found = calculate(calculator, inputs)
        if found.answer is None:
            first = found.errors[0]
            raise ExampleError(self.name, f"{where}.{first.field}", first.message, first.hint)
        self.asked.pop()
        self.done[key] = found
        return found

    def _typed(self, where: str, found: re.Match[str]) -> str:
        names = found[1].split(".")
        run = self.run(names.pop(0) if names[0] in self.told else PLAN)
        return _place(self.name, where, run, names).typed()


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


def _place(name: str, where: str, run: Run, names: Sequence[str]) -> _Place:
    names = list(names)
    given = bool(names) and names[0] == "given"
    if given:
        names.pop(0)
    assert run.answer is not None
    offered = (
        [key for key, reading in run.readings.items() if reading.typed]
        if given
        else list(run.answer.results)
    )
    word = names.pop(0) if names else ""
    _known(name, where, word, offered)
    end = names.pop(0) if names and not given and names[0] in ("low", "high") else ""
    if names:
        raise ExampleError(
            name, where, f"“{names[0]}” means nothing after {word}.", "Leave it out."
        )
    return _Place(run, word, given, end)


def _told(metric: str, imperial: str) -> str:
    if metric == imperial:
        return escape(metric)
    return (
        f'<span class="ft-both"><span class="ft-metric">{escape(metric)}</span>'
        f' <span class="ft-imperial"><span class="ft-paren">(</span>{escape(imperial)}'
        '<span class="ft-paren">)</span></span></span>'
    )


def story(one: Example, text: str, where: str) -> str:
    """Put the numbers into a part of the story."""

    def shown(found: re.Match[str]) -> str:
        names = found[1].split(".")
        run = one.runs[names.pop(0)] if names[0] in one.runs else one.plan
        return _place(one.name, where, run, names).shown()

    told = PLACE.sub(shown, text)
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


def _field(key: str) -> Field:
    return next(one for one in registry()["cloth-plan"].fields if one.name == key)


def _records_html(one: Example) -> str:
    rows = [_record(one, key, typed) for key, typed in one.records.items()]
    if not rows:
        return ""
    columns = ("", "planned", "came out", "difference")
    return reference_pages.table("What came out, beside what was planned", columns, rows)


def _record(one: Example, key: str, typed: str) -> tuple[str, ...]:
    found, output = recorded(one.name, key, typed), _output(key)
    if output is None or isinstance(found, Range):
        assert isinstance(found, Range)
        planned = one.plan.readings[key]
        points = 100 * (found.likely - planned.value.likely)
        return (
            escape(_field(key).label),
            escape(planned.metric),
            escape(format_range(found)),
            f"{_signed(points)} in 100",
        )
    assert one.plan.answer is not None
    value = one.plan.answer.results[key]
    likely = value.likely if isinstance(value, Range) else value
    assert not isinstance(likely, str)
    texts = (result_text(output, found, world) for world in ("metric", "imperial"))
    return (
        escape(output.label),
        value_html(output, value),
        both_html(*texts),
        f"{_signed(100 * (found / likely - 1))} %",
    )


def _signed(value: float) -> str:
    text = format_number(value, 1)
    return text if text.startswith("−") or text == "0" else f"+{text}"


# The page -----------------------------------------------------------------------------------------


def example_html(name: str, root: str = "") -> str:
    """Write a project's numbers: the way to the live plan, what was put in, what follows."""
    one = example(name)
    assert one.plan.answer is not None
    return (
        f'<section class="ft-example" id="example-{name}">'
        f'<p><a class="ft-open" href="{root}{escape(live_address(one))}">'
        "Open this plan live, to change it and make it yours</a></p>"
        f"{_given(one)}{_numbers(one)}"
        + _list("Take care", one.plan.answer.cautions, "ft-cautions")
        + table_html(_reeds(one.plan.answer.tables["denting"]))
        + _records_html(one)
        + "</section>"
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


def live_address(one: Example) -> str:
    """Return the address, from the site's root, that opens the project in the whole plan."""
    typed = {
        key: reading.typed for key, reading in one.plan.readings.items() if not reading.is_default
    }
    return address("cloth-plan", typed)


def _given(one: Example) -> str:
    cells = ""
    for asked in one.plan.calculator.fields:
        reading = one.plan.readings[asked.name]
        if reading.typed and not (asked.advanced and reading.is_default):
            shown = reading.metric if asked.kind in ("weave", "system") else reading.typed
            cells += f"<div><dt>{escape(asked.label)}</dt><dd>{escape(shown)}</dd></div>"
    return f'<h3>Put in</h3><dl class="ft-given">{cells}</dl>'


def _numbers(one: Example) -> str:
    answer = one.plan.answer
    assert answer is not None
    outputs = {output.name: output for output in one.plan.calculator.outputs}
    rows = [
        f'<tbody><tr><th scope="rowgroup" colspan="2">{escape(title)}</th></tr>'
        + "".join(
            f'<tr><th scope="row">{escape(outputs[key].label)}</th>'
            f"<td>{value_html(outputs[key], answer.results[key])}</td></tr>"
            for key in keys
            if key in answer.results
        )
        + "</tbody>"
        for title, keys in JOB
    ]
    return (
        '<h3>What follows</h3><div class="ft-scroll" tabindex="0" role="region"'
        ' aria-label="The plan in the order of the work"><table class="ft-table">'
        f"<caption>The plan in the order of the work</caption>{''.join(rows)}</table></div>"
    )


def _list(title: str, lines: Sequence[str], name: str) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f'<div class="{name}"><p class="ft-label">{title}</p><ul>{items}</ul></div>'


def page(one: Example) -> str:
    """Write a project's page in Markdown."""
    parts = "\n\n".join(
        f"## {heading}\n\n{story(one, text, f'part {number}, text')}"
        for number, (heading, text) in enumerate(one.parts, start=1)
    )
    question = story(one, one.question, "question")
    short = story(one, IN_SHORT, "in short")
    ways = "\n".join(f"- [{words}]({place})" for words, place in one.ways)
    return (
        f"---\ntitle: {_quoted(one.title)}\ndescription: {_quoted(one.description)}\n---\n\n"
        f"# {one.title}\n\n*{question}*\n\n{short}\n\n{parts}\n\n"
        f"## The plan in numbers\n\n[[example: {one.name}]]\n\n"
        f"## Where next\n\n{ways}\n- [All worked examples](index.md)\n"
    )


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def examples_html(root: str = "") -> str:
    """Write the list of examples with what each is about."""
    items = "".join(
        f'<dt><a href="{root}{SECTION}/{one.name}/">{escape(one.title)}</a></dt>'
        f"<dd>{escape(one.weaver)}. {escape(one.description)}</dd>"
        for one in examples()
    )
    return f'<dl class="ft-examples">{items}</dl>'


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
