"""The figure of a worked example: read, held against its plan, asked of the calculators, shown."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from itertools import groupby
from typing import Any

from calculators.appearance.plates import look_of_figure, plates_html
from calculators.contract import calculate
from calculators.engine.calculator import Table, Way
from calculators.engine.links import address, carried
from calculators.engine.run import Run
from calculators.errors import InputError
from calculators.examples.schema import ExampleError, Kind
from calculators.figure.composed import composed
from calculators.figure.draw import ground_to_tie
from calculators.figure.grid import Grid
from calculators.figure.wholes import orders_with, read_figure, stored, with_orders
from calculators.quantities.sentences import many
from calculators.show.html import table_html, value_html
from calculators.show.pictures import cords_svg

FIGURE = Kind(
    lambda value: isinstance(value, str | dict),
    "a figure is wanted here: its squares, or the pieces it is put together of.",
    'For example {key} = "##. / .##".',
    optional=True,
)
SETTINGS = ("side", "order", "count_from", "rows_tell")
TOLD = (
    "draws",
    "different_columns",
    "heaviest_row",
    "heaviest_lift",
    "lone_units",
    "longest_float",
    "hours",
)
JOINED = "\u2060–\u2060"  # a dash that no line breaks at
FIRST = 10  # lines of a list that goes on


@dataclass(frozen=True)
class Drawn:
    """A figure, and what the calculator of figures says of it with the yarns of its plan."""

    grid: Grid
    run: Run


def drawn(name: str, told: str | Mapping[str, Any], plan: Run) -> Drawn:
    """Read a figure, or raise ExampleError where it does not fit its plan.

    It is a text as the field of the calculator takes it, or a table: such a text as ``grid``, or
    the pieces of ``composed``; and of the calculator's own settings those that are not usual.
    """
    table = {"grid": told} if isinstance(told, str) else dict(told)
    asked = {key: str(table.pop(key)) for key in SETTINGS if key in table}
    orders = orders_with(str(table.get("grid", "")))
    try:
        if "grid" in table:
            grid = read_figure(str(table["grid"]), asked.get("order") == "last")
        else:
            grid = composed(table)
    except InputError as error:
        at = "figure" if isinstance(told, str) else f"figure.{error.field}"
        raise ExampleError(name, at, error.message, error.hint) from error
    assert plan.answer is not None
    units = [plan.answer.results.get(key) for key in ("units_across", "units_up")]
    if None in units:
        raise ExampleError(
            name,
            "figure",
            f"“{plan.calculator.title}” counts no units.",
            "Leave the figure out, or tell a whole plan.",
        )
    if units != [grid.across, grid.up]:
        raise ExampleError(
            name,
            "figure",
            f"it has {many(grid.across, 'units')} across and {grid.up} up, the plan has "
            f"{units[0]} and {units[1]}.",
            "Draw it to the plan’s units, or leave it out.",
        )
    inputs = {**carried(plan, Way("figure", "")), **asked, "order": "first"}
    inputs["grid"] = with_orders(stored(grid), *orders)
    run = calculate("figure", inputs, units=plan.units)
    if run.answer is None:
        wrong = run.errors[0]
        raise ExampleError(name, f"figure.{wrong.field}", wrong.message, wrong.hint)
    return Drawn(grid, run)


def drawn_html(figure: Drawn, plan: Run, root: str = "") -> str:
    """Write a figure: the picture, what it costs, its cords, its tie-up, its first rows."""
    run, answer = figure.run, figure.run.answer
    assert answer is not None
    costs = "".join(
        f'<tr><th scope="row">{escape(output.label)}</th>'
        f"<td>{value_html(output, answer.results[output.name])}</td></tr>"
        for output in run.calculator.outputs
        if output.name in TOLD
    )
    ground, ties = ground_to_tie(run), answer.tables["tie_up"]
    cords = cords_svg(ties.title, ground.shafts, ground.rise, ground.sink)
    notes = "".join(f"<li>{escape(words)}</li>" for words in (*answer.notes, *answer.cautions))
    paper = address(
        plan.calculator.id,
        {key: plan.readings[key].typed for key in plan.chosen}
        | {"figure": run.readings["grid"].typed},
        "figure/drawing/",
        plan.units,
    )
    typed = {key: run.readings[key].typed for key in run.chosen}
    live = address(run.calculator.id, typed, units=run.units)
    look = look_of_figure(plan, figure.grid)
    return (
        (plates_html(look, root) if look else "")
        + f'<figure class="ft-picture">{answer.pictures[0]}</figure>'
        f'<p><a class="ft-open" href="{root}{escape(paper)}">Open it on squared paper, to change '
        "it and make it yours</a></p>"
        f'<p><a class="ft-open" href="{root}{escape(live)}">All its rows and cords</a></p>'
        '<div class="ft-scroll" tabindex="0" role="region" aria-label="What the figure costs">'
        f'<table class="ft-table"><caption>What the figure costs</caption><tbody>{costs}</tbody>'
        f"</table></div><ul>{notes}</ul>"
        f'<figure class="ft-picture">{cords}</figure>{table_html(ties)}'
        f"{table_html(_first(answer.tables['cords']))}{table_html(_first_rows(run))}"
    )


def _first(table: Table) -> Table:
    """Leave of a long table its first lines."""
    if len(table.rows) <= FIRST:
        return table
    title = f"{table.title}: the first {FIRST} of {len(table.rows)}"
    return Table(title, table.columns, table.rows[:FIRST], table.digits)


def _first_rows(run: Run) -> Table:
    """Tell the first rows, those together that are alike."""
    assert run.answer is not None
    table = run.answer.tables["rows"]
    told = list(alike((int(str(number)), str(units)) for number, units in table.rows))
    last_told = told[:FIRST][-1][1]
    rest = "" if last_told == len(table.rows) else f": rows 1 to {last_told} of {len(table.rows)}"
    lines = tuple(
        (f"{first}{JOINED}{last}" if last > first else first, units)
        for first, last, units in told[:FIRST]
    )
    return Table(table.title + rest, table.columns, lines)


def alike(rows: Iterator[tuple[int, str]]) -> Iterator[tuple[int, int, str]]:
    """Put together rows that are alike: the first, the last, their units.

    >>> list(alike(iter([(1, "none"), (2, "none"), (3, "1–4")])))
    [(1, 2, 'none'), (3, 3, '1–4')]
    """
    for units, same in groupby(rows, key=lambda row: row[1]):
        numbers = [number for number, _ in same]
        yield numbers[0], numbers[-1], units
