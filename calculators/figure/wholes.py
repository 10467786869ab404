"""A whole figure from its part: mirrored, repeated, dropped by half, or framed by a border.

A stored whole is steps, then the packed form of the part, such as ``ma-r5x4~8x15.…``:

    ma, mb      mirrored left and right, about the last unit, or between two
    ua, ub      mirrored up, about the last row, or between two
    r5x4        5 repeats across and 4 up; r5x4+3+0 with 3 units over, here and below
    h5x4        the same, every second repeat across dropped by half its rows
    f           the last step: a strip around all of it, turning on the diagonal: part ~ strip
    b9x6        the last step: a border, 9 repeats along the lower and upper edge and 6 along the
                sides: corner ~ border ~ part, or alone, with nothing in it, corner ~ border

The weaver's own orders of rising and sinking for its ground may follow, such as ``~o1.3.2_2+4..``,
picks parted by stops; one that is left out is empty.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from calculators.errors import InputError
from calculators.figure.grid import (
    FIELD,
    MOST_ACROSS,
    MOST_UP,
    Grid,
    columns_of,
    packed,
    read_grid,
)
from calculators.quantities.sentences import many

APART = "~"
MOST_STEPS = 8
MOST_TRIED = 3  # borders of a figure that are written out and compared
_STEP = re.compile(r"m[ab]|u[ab]|f|[rhb](\d{1,4})x(\d{1,4})(?:\+(\d{1,4})\+(\d{1,4}))?")
_ORDERS = re.compile(r"~o([\d.+]*)_([\d.+]*)$", re.ASCII)
_STORED = re.compile(r"[a-z][a-z0-9+-]*~\d[\w.~-]*", re.ASCII)


def read_figure(text: str, top_first: bool = False) -> Grid:
    """Grid from squares, a table, the packed form, or a part and the steps to its whole.

    >>> read_figure("ma~" + packed(read_grid("#.."))).across
    5
    """
    text = _ORDERS.sub("", text.strip())
    return expanded(text) if _STORED.fullmatch(text) else read_grid(text, top_first)


def orders_with(figure: str) -> tuple[str, str]:
    """Return the orders of rising and sinking that came with a figure, each as it is typed.

    >>> orders_with("1x1.AQA~o1.3.2.4_"), orders_with("#. / .#")
    (('1 3 2 4', ''), ('', ''))
    """
    found = _ORDERS.search(figure.strip())
    rise, sink = found.groups() if found else ("", "")
    return rise.replace(".", " "), sink.replace(".", " ")


def ground_orders(inputs: Mapping[str, Any]) -> tuple[str, str]:
    """Return the orders for the ground of a figure: those typed, or else those that came with it.

    >>> ground_orders({"grid": "1x1.AQA~o1.2_2.1", "rise": None, "sink": "2 1"})
    ('', '2 1')
    """
    typed = inputs["rise"] or "", inputs["sink"] or ""
    return typed if any(typed) else orders_with(inputs["grid"])


def with_orders(figure: str, rise: str, sink: str) -> str:
    """Write a stored figure and the orders for its ground, such as 1 3 2 4, as one.

    >>> with_orders("1x1.AQA", "1 3 2 4", "")
    '1x1.AQA~o1.3.2.4_'
    """
    if not (rise or sink):
        return figure
    return f"{figure}~o{rise.replace(' ', '.')}_{sink.replace(' ', '.')}"


def expanded(text: str) -> Grid:
    """Make the whole of a stored part.

    >>> from calculators.figure.grid import in_squares
    >>> in_squares(expanded("mb-r2x1~" + packed(read_grid("#.."))))
    '#....##....#'
    """
    written, *parts = text.split(APART)
    steps = written.split("-")
    if len(steps) > MOST_STEPS or not all(_STEP.fullmatch(step) for step in steps):
        raise _damaged()
    grids = [read_grid(part) for part in parts if part]
    edge = steps[-1][0]
    needed = {"f": (2,), "b": (3,) if steps[1:] else (2, 3)}.get(edge, (1,))
    if len(grids) not in needed or any(step[0] in "fb" for step in steps[:-1]):
        raise _damaged()
    whole = grids[-1] if edge == "b" else grids[0]
    for step in steps:
        found = _STEP.fullmatch(step)
        assert found
        across, up, over, above = (int(count or 0) for count in found.groups())
        if step[0] == "m":
            whole = mirrored_across(whole, step[1] == "a")
        elif step[0] == "u":
            whole = mirrored_up(whole, step[1] == "a")
        elif step[0] == "r":
            whole = repeated(whole, across, up, over, above)
        elif step[0] == "h":
            whole = half_dropped(whole, across, up, over, above)
        elif step == "f":
            whole = framed(whole, grids[-1])
        else:
            field = whole if grids[2:] else None
            whole = bordered(grids[0], grids[1], across, up, field, over, above)
    return whole


def stored(grid: Grid) -> str:
    """Write the shortest form from which the whole follows.

    >>> stored(repeated(read_grid("#..##.#..## / .##.#..#..."), 20, 30))
    'r20x30~11x2.i2SbxgAA'
    """
    forms = [
        _written(steps, part) for steps, part in (*_parts(grid), *_bordered(grid), *_framed(grid))
    ]
    return min(forms, key=len)


def _written(steps: Sequence[str], parts: Sequence[Grid]) -> str:
    return APART.join((*(["-".join(steps)] if steps else []), *map(packed, parts)))


def _parts(grid: Grid) -> Iterator[tuple[list[str], list[Grid]]]:
    """Find what a figure follows from without a border: steps and part."""
    yield [], [grid]
    across, up = _period(grid.columns), _period(grid.rows)
    if across < grid.across or up < grid.up:
        part = Grid(across, tuple(row & (1 << across) - 1 for row in grid.rows[:up]))
        steps, half = _halves(part)
        yield [*steps, "r" + _times(grid.across, grid.up, across, up)], [half]
    steps, half = _halves(grid)
    if steps:
        yield steps, [half]


def _times(across: int, up: int, wide: int, high: int) -> str:
    """Write how often a part goes into a size, and what is over."""
    (times, over), (rows, above) = divmod(across, wide), divmod(up, high)
    return f"{times}x{rows}" + (f"+{over}+{above}" if over or above else "")


def _edges(grid: Grid) -> list[tuple[int, ...]]:
    """Return what lies in from each edge, as it runs against the clock: lower, right, upper, left.

    Bit k of a number is the unit k from the edge.
    """
    rows, columns = grid.rows, grid.columns
    return [
        columns,
        tuple(_turned(row, grid.across) for row in rows),
        tuple(_turned(column, grid.up) for column in columns[::-1]),
        rows[::-1],
    ]


def _within(grid: Grid, deep: int) -> Grid:
    """Return what lies inside a border."""
    across = grid.across - 2 * deep
    inside = grid.rows[deep : grid.up - deep]
    return Grid(across, tuple(row >> deep & (1 << across) - 1 for row in inside))


class _Border(NamedTuple):
    """One repeat from a border, so deep; where it has a corner of its own, that and its room."""

    deep: int
    one: Sequence[int]
    corner: Sequence[int] = ()
    room: tuple[int, int] = (0, 0)


def _bordered(grid: Grid) -> Iterator[tuple[list[str], list[Grid]]]:
    """Find a border that turns by a quarter at each corner, and what lies in it."""
    edges, found = _edges(grid), []
    for deep in range(1, (min(grid.across, grid.up) + 1) // 2):
        mask = (1 << deep) - 1
        lower, right, *others = ([line & mask for line in edge[:-deep]] for edge in edges)
        corner, along, side = lower[:deep], lower[deep:], right[deep:]
        long = max(along, side, key=len)
        turns = [lower, right] == others and right[:deep] == corner
        if turns and along == long[: len(along)] and side == long[: len(side)]:
            repeat = long[: _period(tuple(long))]
            found.append(_Border(deep, repeat, corner, (len(along), len(side))))
    for border in _least(grid, found):
        deep, one = border.deep, border.one
        step = "b" + _times(*border.room, len(one), len(one))
        around = [Grid(len(part), columns_of(part, deep)) for part in (border.corner, one)]
        field = _within(grid, deep)
        if not field.drawn:
            yield [step], around
        for steps, part in _parts(field):
            yield [*steps, step], [*around, *part]


def _framed(grid: Grid) -> Iterator[tuple[list[str], list[Grid]]]:
    """Find a strip that runs from each corner to the middle of the edge, and what lies in it."""
    ways = [way[: (len(way) + 1) // 2] for edge in _edges(grid) for way in (edge, edge[::-1])]
    longest, found = max(ways, key=len), []
    for deep in range(1, (min(grid.across, grid.up) + 1) // 2):
        known = [(1 << min(at + 1, deep)) - 1 for at in range(len(longest))]  # from the diagonal on
        if any(
            (line ^ own) & mask
            for way in ways
            for line, own, mask in zip(way, longest, known, strict=False)
        ):
            break
        lines = [line & mask for line, mask in zip(longest, known, strict=True)]
        found.append(_Border(deep, _strip(lines, known)))
    for deep, one, _, _ in _least(grid, found):
        for steps, part in _parts(_within(grid, deep)):
            yield [*steps, "f"], [*part, Grid(len(one), columns_of(one, deep))]


def _least(grid: Grid, found: Sequence[_Border]) -> list[_Border]:
    """Choose of the borders found those that leave fewest units to write."""

    def units(border: _Border) -> int:
        field = _within(grid, border.deep)
        inside = field.across * field.up if field.drawn else 0
        return border.deep * (len(border.one) + len(border.corner)) + inside

    return sorted((one for one in found if len(one.one) <= MOST_ACROSS), key=units)[:MOST_TRIED]


def _strip(lines: Sequence[int], known: Sequence[int]) -> list[int]:
    """Return the fewest lines that, repeated, make these in all bits that are known.

    A line knows the bits of those before it, and more.
    """
    return next(
        strip
        for length in range(1, len(lines) + 1)
        if (strip := _repeating(length, lines, known)) is not None
    )


def _repeating(length: int, lines: Sequence[int], known: Sequence[int]) -> list[int] | None:
    strip = list(lines[:length])
    for at in range(length, len(lines)):
        if (lines[at] ^ strip[at % length]) & known[at - length]:
            return None
        strip[at % length] = lines[at]
    return strip


def mirrored_across(part: Grid, about_a_unit: bool) -> Grid:
    """Mirror a left half: about its last unit, which stands once, or behind it.

    >>> mirrored_across(Grid(2, (0b01,)), True), mirrored_across(Grid(2, (0b01,)), False)
    (Grid(across=3, rows=(5,)), Grid(across=4, rows=(9,)))
    """
    across = 2 * part.across - about_a_unit
    _fits(across, part.up)
    return Grid(across, tuple(row | _turned(row, across) for row in part.rows))


def mirrored_up(part: Grid, about_a_row: bool) -> Grid:
    """Mirror a lower half: about its last row, which stands once, or above it.

    >>> mirrored_up(Grid(1, (0, 1)), True).rows, mirrored_up(Grid(1, (0, 1)), False).rows
    ((0, 1, 0), (0, 1, 1, 0))
    """
    _fits(part.across, 2 * part.up - about_a_row)
    return Grid(part.across, part.rows + part.rows[::-1][about_a_row:])


def repeated(part: Grid, across: int, up: int, over: int = 0, above: int = 0) -> Grid:
    """Repeat a part straight on, so many times, with so many units and rows over.

    >>> repeated(Grid(2, (0b01,)), 2, 1, 1)
    Grid(across=5, rows=(21,))
    """
    wide, high = across * part.across + over, up * part.up + above
    _fits(wide, high)
    rows = [_run_on(row, part.across, wide) for row in part.rows]
    return Grid(wide, tuple(rows[number % part.up] for number in range(high)))


def half_dropped(part: Grid, across: int, up: int, over: int = 0, above: int = 0) -> Grid:
    """Repeat a part, every second repeat across beginning half its rows later.

    >>> half_dropped(Grid(1, (0, 1)), 3, 1).rows
    (2, 5)
    """
    wide, high = across * part.across + over, up * part.up + above
    _fits(wide, high)
    half = part.up // 2
    rows = []
    for number in range(part.up):
        own, other = part.rows[number], part.rows[(number + half) % part.up]
        pair = own | other << part.across
        rows.append(_run_on(pair, 2 * part.across, wide))
    return Grid(wide, tuple(rows[number % part.up] for number in range(high)))


def bordered(
    corner: Grid,
    border: Grid,
    across: int,
    up: int,
    field: Grid | None = None,
    over: int = 0,
    above: int = 0,
) -> Grid:
    """Frame a field: the lower border turns at each corner, so many repeats along each edge.

    ``corner`` is the lower left one, as wide as it is high; ``border`` is one repeat of the lower
    edge, as high as the corner. The field stands in the middle, and may be smaller. Units ``over``
    along the lower and upper edges, or ``above`` along the sides, are a repeat begun and cut off
    before the next corner, going round against the clock.

    >>> ring = bordered(Grid(1, (1,)), Grid(1, (1,)), 1, 1)
    >>> ring.rows
    (7, 5, 7)
    """
    deep = corner.up
    if corner.across != deep or border.up != deep:
        raise InputError(
            FIELD,
            f"The corner has {many(corner.across, 'units')} across and {deep} up, the border "
            f"{border.up} up.",
            "A corner that turns is as wide as it is high, and the border as high as the corner.",
        )
    inside, high = across * border.across + over, up * border.across + above
    wide, tall = inside + 2 * deep, high + 2 * deep
    _fits(wide, tall)
    if field and (field.across > inside or field.up > high):
        raise InputError(
            FIELD,
            f"The field has {many(field.across, 'units')} across and {field.up} up; the border "
            f"leaves {inside} and {high}.",
            "Take more repeats of the border, or a smaller field.",
        )
    whole = [0] * tall
    for turn, (left, low) in enumerate(((0, 0), (wide - deep, 0), (wide - deep, tall - deep),
                                        (0, tall - deep))):  # fmt: skip
        _lay(whole, quarter_turned(corner, turn), left, low)
        times, rest = (up, above) if turn % 2 else (across, over)
        start = ((deep, 0), (wide - deep, deep), (deep, tall - deep), (0, deep))[turn]
        if times or rest:
            _lay(whole, quarter_turned(repeated(border, times, 1, rest), turn), *start)
    if field:
        _lay(whole, field, deep + (inside - field.across) // 2, deep + (high - field.up) // 2)
    return Grid(wide, tuple(whole))


def framed(field: Grid, strip: Grid) -> Grid:
    """Lay a strip around a field, its first row outermost: it turns each corner on the diagonal.

    It runs in from both corners of an edge and meets itself in the middle, so all corners and both
    halves of an edge are alike.

    >>> framed(Grid(1, (0,)), Grid(2, (0b01,))).rows
    (5, 0, 5)
    """
    deep = strip.up
    wide, high = field.across + 2 * deep, field.up + 2 * deep
    _fits(wide, high)
    sides = (*range(min(deep, wide)), *range(max(deep, wide - deep), wide))
    whole = []
    for number in range(high):
        inward = min(number, high - 1 - number)
        row = field.rows[number - deep] << deep if inward >= deep else 0
        for unit in range(wide) if inward < deep else sides:
            across = min(unit, wide - 1 - unit)
            depth, along = sorted((inward, across))
            row |= (strip.rows[depth] >> along % strip.across & 1) << unit
        whole.append(row)
    return Grid(wide, tuple(whole))


def quarter_turned(grid: Grid, times: int = 1) -> Grid:
    """Turn by quarters against the clock: what ran along the lower edge runs up the right one.

    >>> quarter_turned(Grid(3, (0b001,))).rows
    (1, 0, 0)
    """
    for _ in range(times % 4):
        _fits(grid.up, grid.across)
        grid = Grid(grid.up, columns_of(grid.rows[::-1], grid.across))
    return grid


def _lay(whole: list[int], part: Grid, left: int, low: int) -> None:
    for number, row in enumerate(part.rows, low):
        whole[number] |= row << left


def _turned(row: int, across: int) -> int:
    return int(format(row, f"0{across}b")[::-1], 2)


def _run_on(row: int, across: int, wide: int) -> int:
    """Repeat the bits of a row over and over, until it is so wide."""
    marks = format(row, f"0{across}b")
    return int((marks * (wide // across + 1))[-wide:], 2) if wide else 0


def _period(lines: tuple[int, ...]) -> int:
    """Return after how many lines they begin again, all that is there."""
    return next(
        step for step in range(1, len(lines) + 1) if lines[step:] == lines[: len(lines) - step]
    )


def _halves(grid: Grid) -> tuple[list[str], Grid]:
    """Return the half or quarter of a figure that mirrors, and the steps to its whole."""
    steps, half = [], grid
    if grid.across > 1 and grid.columns == grid.columns[::-1]:
        steps.append("ma" if grid.across % 2 else "mb")
        across = (grid.across + 1) // 2
        half = Grid(across, tuple(row & (1 << across) - 1 for row in grid.rows))
    if grid.up > 1 and grid.rows == grid.rows[::-1]:
        steps.append("ua" if grid.up % 2 else "ub")
        half = Grid(half.across, half.rows[: (grid.up + 1) // 2])
    return steps, half


def _fits(across: int, up: int) -> None:
    if not (1 <= across <= MOST_ACROSS and 1 <= up <= MOST_UP):
        raise InputError(
            FIELD,
            f"The whole would have {many(across, 'units')} across and {up} up.",
            f"The largest figure is {MOST_ACROSS} units across and {MOST_UP} up: repeat it fewer "
            "times.",
        )


def _damaged() -> InputError:
    return InputError(
        FIELD,
        "The steps from the part to the whole cannot be read.",
        "Ask for the link again, or for the figure as a file.",
    )
