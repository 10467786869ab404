"""A table for both unit worlds: each column as a reader in centimetres and one in inches has it."""

import re
from itertools import zip_longest

from calculators.engine.calculator import Table
from calculators.quantities.format import format_fixed, format_number
from calculators.quantities.units import converted

Cell = str | float | int | bool | None
Told = tuple[str | None, str | None]  # to a reader in centimetres, and in inches; None: to nobody

_PAIRS = (  # in a heading: a metric unit, an inch one, and by how many places more that is told
    ("mm", "in", 2),
    ("cm", "in", 1),
    ("m", "yd", 1),
    ("g", "oz", 1),
    ("kg", "lb", 1),
    ("per cm", "per inch", 0),
    ("m/kg", "yd/lb", 0),
)
_HEADING = re.compile(
    r"(?P<stem>.*?)(?:^|, | (?=per ))(?P<unit>mm|cm|m|g|kg|in|yd|oz|lb|per cm|per inch|m/kg|yd/lb)"
)

_NUMBER = r"\d+(?:\.\d+)?"
_RANGE = re.compile(rf"–|{_NUMBER}(?:–{_NUMBER})?")  # one figure, from one to another, or none


def in_both_worlds(table: Table) -> list[list[Told]]:
    """Return the columns of a table, heading first: what each of two readers is told in a cell.

    A column that stands in the table in both worlds is told in each to its own reader; one that
    stands in one alone is turned into the other's unit.

    >>> table = Table("", ("Reed", "Ends per inch", "Wide, cm"), (("8-dent", 16.0, 50.8),))
    >>> in_both_worlds(table)[2]
    [('Wide, cm', 'Wide, in'), ('50.8', '20')]
    """
    return [
        _column(table, column, list(cells or ()), places)
        for column, cells, places in zip_longest(
            own_columns(table), zip(*table.rows, strict=True), table.digits[: len(table.columns)]
        )
    ]


def own_columns(table: Table) -> list[list[str]]:
    """Return the columns of a table as it stands, heading first."""
    rows = [[cell_text(*pair) for pair in zip_longest(row, table.digits)] for row in table.rows]
    return list(map(list, zip(table.columns, *rows, strict=True)))


def _column(table: Table, own: list[str], cells: list[Cell], places: int | None) -> list[Told]:
    heading = own[0]
    as_it_is: list[Told] = [(text, text) for text in own]
    found = _HEADING.fullmatch(heading)
    pairs = [pair for pair in _PAIRS if found and found["unit"] in pair[:2]]
    if found is None or not pairs:
        return as_it_is
    is_metric = found["unit"] == pairs[0][0]
    before = heading[: found.start("unit")]
    if {before + (pair[1] if is_metric else pair[0]) for pair in pairs} & set(table.columns):
        return [(text, None) if is_metric else (None, text) for text in own]
    metric, imperial, more = pairs[-1]
    unit, wanted = (metric, imperial) if is_metric else (imperial, metric)
    if not _known(unit, wanted) or not all(_is_figure(cell) for cell in cells):
        return as_it_is
    more = more if is_metric else -more
    turned = [before + wanted]
    turned += [_figure(cell, unit, wanted, places, more) for cell in cells]
    return list(zip(own, turned, strict=True) if is_metric else zip(turned, own, strict=True))


def _known(unit: str, wanted: str) -> bool:
    return converted(1, _name(unit), _name(wanted)) != 1


def _name(unit: str) -> str:
    return unit.replace("per ", "1/")


def _is_figure(cell: Cell) -> bool:
    if isinstance(cell, str):
        return _RANGE.fullmatch(cell) is not None
    return not isinstance(cell, bool)


def _figure(cell: Cell, unit: str, wanted: str, places: int | None, more: int) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):

        def turned(found: re.Match[str]) -> str:
            behind_point = len(found[0].partition(".")[2])
            return _figure(float(found[0]), unit, wanted, behind_point, more)

        return re.sub(_NUMBER, turned, cell)
    value = converted(float(cell), _name(unit), _name(wanted))
    return format_number(value) if places is None else format_fixed(value, max(0, places + more))


def cell_text(value: Cell, digits: int | None = None) -> str:
    """Write one cell of a table, with so many places behind the point."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if digits is not None and isinstance(value, (int, float)):
        return format_fixed(value, digits)
    return format_number(value) if isinstance(value, float) else str(value)
