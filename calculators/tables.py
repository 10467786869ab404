"""The handbook's printed tables, worked out by the package."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from itertools import zip_longest
from typing import Any

from calculators.data import load
from calculators.engine.calculator import Table
from calculators.engine.first_guesses import first_guesses
from calculators.engine.sources import citation
from calculators.errors import InputError
from calculators.quantities.format import format_number
from calculators.quantities.interval import Range
from calculators.quantities.units import INCH_CM, per_cm
from calculators.sett.rules import ashenhurst_limit
from calculators.sett.working import working_range
from calculators.show.text import Cell
from calculators.weave.ground import (
    BY_ORDER,
    EDGES,
    Ground,
    behinds,
    ground_of,
    on_more_shafts,
    plain_hem,
    rising_order,
    uncut,
    usual_behind,
    weave_ground,
)
from calculators.weave.library import weave as weave_named
from calculators.weave.matrix import Weave
from calculators.yarn.calculators import count_systems
from calculators.yarn.diameter import diameter_mm, diameters_per_inch_ashenhurst, ruler_wraps
from calculators.yarn.systems import SYSTEMS
from calculators.yarn.yarn import metres_per_kilogram, parse_yarn, yards_per_pound

SETT_WEAVES = ("plain", "twill_2_2", "broken_twill_4", "satin_5", "satin_6", "satin_8", "lace_6")


def table(name: str) -> Table:
    """Return a printed table by name, or say which there are."""
    if name not in TABLES:
        shown = name if len(name) <= 40 else name[:40] + "…"
        raise InputError(
            "table", f"There is no table called “{shown}”.", "There are: " + ", ".join(TABLES) + "."
        )
    return replace(TABLES[name](), code=load("tables")["codes"][name])


def as_object(name: str) -> dict[str, Any]:
    """Return a printed table as plain data: title, columns, rows."""
    found = table(name)
    return {
        "code": found.code,
        "title": found.title,
        "columns": list(found.columns),
        "rows": [
            [_rounded(value, digits) for value, digits in zip_longest(row, found.digits)]
            for row in found.rows
        ],
    }


def _rounded(value: Cell, digits: int | None) -> Cell:
    return round(value, digits) if isinstance(value, float) and digits is not None else value


def _counts(title: str, system: str, labels: list[str]) -> Table:
    rows = []
    for label in labels:
        tex = parse_yarn(label, system).tex
        rows.append(
            (
                label,
                yards_per_pound(tex),
                metres_per_kilogram(tex),
                metres_per_kilogram(tex) / 10,
                tex,
                diameter_mm(tex),
                diameters_per_inch_ashenhurst(tex),
                ruler_wraps(tex),
            )
        )
    columns = (
        SYSTEMS[system].title,
        "yd/lb",
        "m/kg",
        "m in 100 g",
        "tex",
        "diameter, mm",
        "diameters in an inch",
        "ruler wraps in an inch",
    )
    return Table(title, columns, tuple(rows), (None, 0, 0, 0, 1, 2, 0, 0))


def _labels() -> Table:
    told = load("tables")["labels"]
    rows: list[tuple[Cell, ...]] = []
    for label, system, words in told["rows"]:
        yarn = parse_yarn(label, system)
        rows.append(
            (
                label,
                words,
                yarn.plies,
                yards_per_pound(yarn.tex),
                metres_per_kilogram(yarn.tex),
                yarn.tex,
            )
        )
    columns = ("Label", "which is", "threads folded", "yd/lb", "m/kg", "tex")
    return Table(told["title"], columns, tuple(rows), (None, None, 0, 0, 0, 1))


def _setts(title: str, system: str, per: str, labels: list[str]) -> Table:
    weaves = [weave_named(name) for name in SETT_WEAVES]
    turned, digits = (per_cm, 1) if per == "cm" else (float, 0)
    rows = []
    for label in labels:
        tex = parse_yarn(label, system).tex
        cells = []
        for one in weaves:
            limit = ashenhurst_limit(tex, one.ends, one.tightest_pick)
            found = working_range(limit, "table")
            low, likely, high = (
                format_number(turned(value), digits)
                for value in (found.low, found.likely, found.high)
            )
            cells.append(f"{likely} ({low}–{high})")
        rows.append((label, *cells))
    columns = (SYSTEMS[system].title, *(one.title for one in weaves))
    return Table(title, columns, tuple(rows))


def _working(label: str, system: str, one: Weave) -> Range:
    limit = ashenhurst_limit(parse_yarn(label, system).tex, one.ends, one.tightest_pick)
    return working_range(limit, "table")


def _structures() -> Table:
    told = load("tables")["structures"]
    rows: list[tuple[Cell, ...]] = []
    for one in map(weave_named, told["weaves"]):
        longest = max(one.longest_float)
        floats = [
            10 * longest / per_cm(_working(label, told["system"], one).likely)
            for label in told["labels"]
        ]
        rows.append(
            (
                one.title,
                f"{one.ends} × {one.picks}",
                one.tightest_pick,
                one.sett_share,
                one.average_float,
                longest,
                *floats,
            )
        )
    columns = (
        "Structure",
        "repeat, ends × picks",
        "crossings of a pick",
        "share left for ends",
        "average float, threads",
        "longest float, threads",
        *(f"in {label}, mm" for label in told["labels"]),
    )
    return Table(told["title"], columns, tuple(rows), (None, None, 0, 2, 2, 0, 1, 1, 1, 1))


def structure(name: str, unit_ends: int | None = None) -> Table:
    """Return one structure at a working sett in four yarns: sett, float, and its unit if any."""
    told, one = load("tables")["structures"], weave_named(name)
    rows: list[tuple[Cell, ...]] = []
    for label in told["labels"]:
        found = _working(label, told["system"], one)
        likely = per_cm(found.likely)
        unit = () if unit_ends is None else (found.likely / unit_ends, 10 * unit_ends / likely)
        setts = f"{found.likely:.0f} ({found.low:.0f}–{found.high:.0f})"
        rows.append((label, setts, likely, 10 * max(one.longest_float) / likely, *unit))
    columns = ("Cotton", "ends per inch", "ends per cm", "longest float, mm")
    of_unit = () if unit_ends is None else ("units per inch", f"unit of {unit_ends} ends, mm")
    title = f"{one.title[:1].upper()}{one.title[1:]} at working setts, on the loom"
    whole = (*columns, *of_unit)
    return Table(title, whole, tuple(rows), (None, None, 1, 1, 1, 1)[: len(whole)])


def _units_by_structure() -> Table:
    told = load("tables")["structures"]
    rows: list[tuple[Cell, ...]] = []
    for name, ends in told["unit_ends"].items():
        one = weave_named(name)
        setts = [_working(label, told["system"], one).likely for label in told["labels"]]
        rows.append(
            (
                one.title,
                ends,
                *(sett / ends for sett in setts),
                *(10 * ends / per_cm(sett) for sett in setts),
            )
        )
    columns = (
        "Structure",
        "ends in a unit",
        *(f"{label}, units per inch" for label in told["labels"]),
        *(f"{label}, mm" for label in told["labels"]),
    )
    digits = (None, 0, *(1 for _ in columns[2:]))
    return Table(told["units_title"], columns, tuple(rows), digits)


def _articles() -> Table:
    rows = tuple(
        (
            row["title"],
            row["width_cm"],
            row["length_cm"],
            row["width_cm"] / float(INCH_CM),
            row["length_cm"] / float(INCH_CM),
            row["hem_cm"],
            row["basis"],
            citation(row["source"]),
        )
        for row in load("articles")["article"]
    )
    columns = (
        "Article",
        "width, cm",
        "length, cm",
        "width, in",
        "length, in",
        "hems, cm",
        "stands as",
        "source",
    )
    return Table("Usual finished sizes", columns, rows, (None, 0, 0, 1, 1, 1, None, None))


_GROUND_COLUMNS = (
    "Pick",
    "shafts that rise",
    "shafts that sink",
    "ends up, resting unit",
    "ends up, drawn unit",
)


def _ground(title: str, name: str, times: int) -> Table:
    """A whole ground to tie: every pick, then the two picks of a plain hem."""
    one = on_more_shafts(ground_of(name), times)
    hem = plain_hem(one.shafts)
    if name in BY_ORDER:
        title += f", sinking {usual_behind(name)} picks behind"
    called = "plain hem" if one.shafts % 2 == 0 else "nearly plain hem"
    rows = (*_picks("", one), *_picks(f"{called}, pick ", hem))
    return Table(title, _GROUND_COLUMNS, rows)


def _picks(label: str, ground: Ground) -> tuple[tuple[Cell, ...], ...]:
    resting, drawn = (
        [_numbers(end for end, up in enumerate(row, 1) if up) for row in marks]
        for marks in (
            weave_ground(ground, [[up]], ground.shafts, ground.picks) for up in (False, True)
        )
    )
    return tuple(
        (f"{label}{pick + 1}", _numbers(rise), _numbers(sink), resting[pick], drawn[pick])
        for pick, (rise, sink) in enumerate(zip(ground.rise, ground.sink, strict=True))
    )


def _numbers(numbers: Iterable[int]) -> str:
    return " ".join(map(str, numbers))


def _sinking_orders() -> Table:
    told = load("tables")["sinking_orders"]
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            weave_named(name).title.partition(",")[0],
            _numbers(rising_order(name)),
            behind,
            _numbers(shaft for shafts in ground_of(name, behind).sink for shaft in shafts),
            *(f"{count} uncut" if count else "clean" for count in found.values()),
        )
        for name in told["weaves"]
        for behind in behinds(name)
        if (found := uncut(ground_of(name, behind)))
    )
    columns = (
        "Structure",
        "order of rising",
        "picks behind",
        "order of sinking",
        *(f"{edge} edge" for edge in EDGES),
    )
    return Table(told["title"], columns, rows)


TABLES: dict[str, Callable[[], Table]] = {
    **{
        row["name"]: partial(_counts, row["title"], row["system"], row["labels"])
        for row in load("tables")["counts"]
    },
    **{
        row["name"]: partial(_setts, row["title"], row["system"], row["per"], row["labels"])
        for row in load("tables")["setts"]
    },
    "labels": _labels,
    "structures": _structures,
    "units-by-structure": _units_by_structure,
    "first-guesses": first_guesses,
    "articles": _articles,
    **{
        row["name"]: partial(_ground, row["title"], row["weave"], row["times"])
        for row in load("tables")["grounds"]
    },
    "sinking-orders": _sinking_orders,
    "count-systems": count_systems,
}
