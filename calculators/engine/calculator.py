"""What a calculator is: fields to fill, a function that answers, and what the answer holds.

A room declares its calculators with these; the command line, the page, the printed sheet and the
tests all read the same declaration.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain
from typing import Any, Literal, get_args

from calculators.quantities.interval import Range
from calculators.quantities.units import UNITS, counted_in

Kind = Literal[
    "length",  # reaches the function in cm
    "mass",  # in g
    "density",  # threads or dents, in the field's unit: "1/inch" or "1/cm"
    "reed",  # dents per cm
    "price",  # of a kilogram
    "loss",  # a Range of fractions
    "count",  # a whole number
    "number",  # a plain number
    "range",  # a Range of plain numbers
    "yarn",  # a Yarn
    "system",  # a yarn count system's name
    "weave",  # a Weave
    "weaves",  # several of them; none where any will do
    "choice",  # one of the choices' keys
    "text",  # as typed, read by the room
    "lines",  # the same, with room for several lines
]
BARE = "bare numbers"  # under this name a function is told what the reader counts in
Basis = Literal["published", "common practice", "from memory", "worked out", "your own record"]

Stage = Literal[  # of a job, in the order of the work
    "",
    "Cloth",
    "Yarn",
    "Reed",
    "Winding and beaming",
    "Harness",
    "Weaving",
]
STAGES: tuple[Stage, ...] = get_args(Stage)[1:]


@dataclass(frozen=True)
class Field:
    """One thing the weaver fills in.

    ``unit`` is what a bare number means where nobody says what the reader counts in, and for a
    density also what the function receives.
    ``default`` is typed text, as a weaver would write it. ``basis`` says where a default that is
    a guess comes from. A field with ``required=False`` may be left empty and arrives as None.
    ``advanced`` fields are folded away.
    """

    name: str
    label: str
    kind: Kind
    default: str
    unit: str = ""
    hint: str = ""
    minimum: float | None = None
    maximum: float | None = None
    choices: tuple[tuple[str, str], ...] = ()
    required: bool = True
    advanced: bool = False
    basis: Basis | None = None
    system_field: str = ""  # for a yarn: the field that names its system
    term: str = ""  # what it is in the formulas; its own name when nothing is said
    counted_in: tuple[str, ...] = ()  # cm, inch: where the trade's unit is not the usual one
    follows: str = ""  # left empty, it follows from this field
    picture: Callable[[str, str], str] | None = None  # of what is typed, and what bare numbers mean

    def bare_unit(self, units: str) -> str:
        """Return what a bare number means to a reader who counts in cm or inches, or to nobody."""
        if units and self.counted_in:
            return self.counted_in[UNITS.index(units)]
        return counted_in(self.unit, units, reed=self.kind == "reed")


@dataclass(frozen=True)
class Output:
    """One result: its contract name, its words, the unit of the value, where it stands.

    ``unit`` is a contract unit: "mm" "cm" "m" "g" "kg" "1/inch" "1/cm" "%" "hours" "money" "g/m2"
    "" (a count or
    a pure number) or a count system's title. ``headline`` results are shown large.
    """

    name: str
    label: str
    unit: str = ""
    basis: Basis = "worked out"
    formula: str = ""  # "F-64"
    headline: bool = False
    whole: bool = False  # a count
    term: str = ""  # what it is in the formulas
    told: Literal["range", "likely", "high"] = "range"  # high: the safe end of the range
    stage: Stage = ""  # under which it stands in the answer and on a plan's sheet
    short: str = ""  # its words where there is little room


@dataclass(frozen=True)
class Step:
    """One line of «how this was worked out», with this plan's own numbers in it."""

    words: str  # "Reed width"
    working: str  # "50.53 cm ÷ (1 − 0.04) = 52.63 cm"
    formula: str = ""  # "F-62"


@dataclass(frozen=True)
class Table:
    """A table inside an answer or on a page; ``digits`` are the places shown, by column."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str | float | int | bool | None, ...], ...]
    digits: tuple[int | None, ...] = ()
    code: str = ""  # of a printed table


@dataclass(frozen=True)
class Card:
    """One of several ideas: its title, what is to be said of it, where it opens, its picture."""

    title: str
    lines: tuple[str, ...]
    address: str  # from the site's root
    picture: str = ""


@dataclass(frozen=True)
class Answer:
    """What a calculator says.

    ``results`` has a plain number or a Range for each Output's name (unrounded, in its unit); a
    name may be left out where it does not apply. ``notes`` inform, ``cautions`` warn. ``pictures``
    are SVG texts with a title inside. ``sources`` are keys of calculators/data/sources.toml.
    ``cards`` are ideas, the best first. ``bases`` overrides an Output's
    basis where this answer stands elsewhere. ``parts`` are the tables, notes, cautions and
    pictures once more, each at its stage of the work.
    """

    results: Mapping[str, float | int | Range | str] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    tables: Mapping[str, Table] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    pictures: tuple[str, ...] = ()
    bases: Mapping[str, Basis] = field(default_factory=dict)
    cards: tuple[Card, ...] = ()
    parts: "Mapping[Stage, Answer]" = field(default_factory=dict)


def in_parts(
    parts: Mapping[Stage, Answer], results: Mapping[str, float | Range | str] | None = None
) -> Answer:
    """Put an answer together from what is said of each stage of the work."""
    said = [parts[stage] for stage in STAGES if stage in parts]
    return Answer(
        results=results or {},
        tables={name: table for part in said for name, table in part.tables.items()},
        notes=tuple(chain.from_iterable(part.notes for part in said)),
        cautions=tuple(chain.from_iterable(part.cautions for part in said)),
        pictures=tuple(chain.from_iterable(part.pictures for part in said)),
        parts=parts,
    )


def by_stages(outputs: Mapping[str, Output]) -> dict[Stage, list[str]]:
    """Return the names of results under the stages of the work, in their order."""
    groups: dict[Stage, list[str]] = {stage: [] for stage in STAGES}
    for name, output in outputs.items():
        if output.stage:
            groups[output.stage].append(name)
    return groups


@dataclass(frozen=True)
class Calculator:
    """A calculator: permanent code, page, the question it answers, fields, outputs, function.

    A calculator that may take long has ``stages`` too: they yield, every few milliseconds, how far
    it has come in words and a function that answers with what is known by then, at last in full.
    ``brief`` answers with results and cautions alone, where tables and pictures take most time.
    """

    id: str
    code: str  # "C-3", never reused
    page: str  # where it lives in the handbook, from the site's root
    title: str
    question: str
    fields: tuple[Field, ...]
    outputs: tuple[Output, ...]
    answer: Callable[[Mapping[str, Any]], Answer]  # fields by name, already read
    stages: Callable[[Mapping[str, Any]], "Stages"] | None = None
    brief: Callable[[Mapping[str, Any]], Answer] | None = None
    ways: tuple["Way", ...] = ()
    woven_along: bool = False  # a plan that can be counted along at the loom
    drawn: bool = False  # its pictures are wanted on paper too

    def __post_init__(self) -> None:
        ENTERED[self.id] = self


@dataclass(frozen=True)
class Way:
    """From one answer on to another calculator, with what goes along.

    What both calculators call by one term goes along by itself. ``fields`` and ``results`` say,
    under the goal's name for a thing, which field or result of the start it is where the terms
    differ; of several fields the first that is filled in. A field may also settle it, as a weave
    settles the ends of a unit. ``empty`` are those of the goal that are to be worked out anew.
    """

    goal: str
    words: str
    fields: Mapping[str, str | tuple[str, ...]] = field(default_factory=dict)
    results: Mapping[str, str] = field(default_factory=dict)
    empty: tuple[str, ...] = ()


ENTERED: dict[str, Calculator] = {}  # each by its id, as the rooms are imported


Stages = Iterator[tuple[str, Callable[[], Answer]]]
