"""Small pictures of troubles whose sign is seen, each worked out from what goes wrong."""

from collections.abc import Callable, Iterable
from html import escape
from math import pi, sin

from calculators.figure.draw import STAR
from calculators.figure.grid import Grid, of_marks, read_grid
from calculators.figure.motifs import lettering
from calculators.figure.rows import runs
from calculators.weave.ground import ground_of, weave_ground

SIDE = 72
SHOWN = 60  # as large as the page has it
LINEN = "var(--ft-weft, #fff)"


def _svg(title: str, parts: Iterable[str]) -> str:
    return (
        f'<svg class="ft-sign" viewBox="0 0 {SIDE} {SIDE}" width="{SHOWN}" height="{SHOWN}"'
        f' role="img" fill="none" stroke="currentColor"><title>{escape(title)}</title>'
        f'<rect width="{SIDE}" height="{SIDE}" fill="{LINEN}" stroke="none"/>{"".join(parts)}</svg>'
    )


def _path(steps: str, width: float) -> str:
    return f'<path d="{steps}" stroke-width="{width:g}"/>'


def _solid(steps: str) -> str:
    return f'<path d="{steps}" fill="currentColor" stroke="none"/>'


def _units(grid: Grid, wide: float, high: float, lean: float = 0.0) -> str:
    """Draw a grid in the middle, its units so wide and high, each row pushed on a little."""
    left = (SIDE - wide * grid.across - lean * (grid.up - 1)) / 2
    foot = (SIDE + high * grid.up) / 2
    return _solid(
        "".join(
            f"M{left + lean * row + wide * (first - 1):.2f} {foot - high * row:.2f}"
            f"h{wide * (last - first + 1):.2f}v{-high:.2f}h{-wide * (last - first + 1):.2f}z"
            for row, units in enumerate(grid.rows)
            for first, last in runs(units)
        )
    )


def _in_dents(ends_of_dents: Iterable[int]) -> str:
    """Draw ends as they lie in their dents, a wire's room between."""
    dents = tuple(ends_of_dents)
    pitch = SIDE / len(dents)
    wire, thick = 0.3 * pitch, 0.2 * pitch
    room = pitch - wire
    return _path(
        "".join(
            f"M{dent * pitch + wire / 2 + room * (end + 0.5) / ends:.2f} 0v{SIDE}"
            for dent, ends in enumerate(dents)
            for end in range(ends)
        ),
        thick,
    )


def _dots(places: Iterable[tuple[float, float]]) -> str:
    return _solid("".join(f"M{x - 2:.1f} {y}a2 2 0 1 0 4 0a2 2 0 1 0 -4 0" for x, y in places))


def _streaks() -> str:
    return _svg("Every third dent holds an end less", [_in_dents((3, 3, 2) * 3)])


def _reed_marks() -> str:
    return _svg("Ends lie in threes, with a gap at every wire of the reed", [_in_dents((3,) * 8)])


def _shed(title: str, between: Callable[[int], float]) -> str:
    """Look into a shed: every second four of ends is up; some stay where they should not."""
    places = []
    for end in range(20):
        up = end // 4 % 2 == 0
        stays = between(end)
        places.append((5 + 3.25 * end, 12 + 44 * (stays if up else 1 - stays)))
    return _svg(title, [_dots(places)])


def _cling() -> str:
    held = {6: 0.45, 7: 0.5, 8: 0.5, 9: 0.4, 14: 0.3, 15: 0.35}
    return _shed("Some ends hang between the two lines", lambda end: held.get(end, 0.0))


def _layers() -> str:
    return _shed(
        "A third line of ends lies in the middle", lambda end: 0.5 if end % 4 == 1 else 0.0
    )


def _star(title: str, wide: float, high: float) -> str:
    return _svg(title, [_units(read_grid(STAR), wide, high)])


def _too_tall() -> str:
    return _star("A star a third taller than wide", 3.4, 3.4 * 4 / 3)


def _too_squat() -> str:
    return _star("A star a quarter wider than tall", 4.5, 4.5 * 3 / 4)


def _after_the_wash() -> str:
    return _star("A star a tenth shorter than wide", 4.5, 4.5 * 0.9)


def _soft_side() -> str:
    drawn = [[0 < unit < 4 and 0 < row < 4 for unit in range(5)] for row in range(5)]
    cloth = of_marks(weave_ground(ground_of("satin_5"), drawn, 5, 5))
    size = SIDE / cloth.across
    return _svg(
        "A square of satin: its one side is cut straight, at the other threads run across",
        [_units(cloth, size, size)],
    )


def _backwards() -> str:
    letters = lettering("R", "large")
    turned = of_marks([marks[::-1] for marks in letters.marks()])
    size = SIDE * 0.8 / turned.up
    return _svg("The letter R seen in a mirror", [_units(turned, size, size)])


def _leaning() -> str:
    return _svg("A star whose upper rows stand further right", [_units(read_grid(STAR), 3.6, 4, 1)])


def _row_missed() -> str:
    rows = read_grid(STAR).rows
    missed = Grid(15, rows[:4] + rows[6:])
    return _svg("A star that lacks two rows below its middle", [_units(missed, 4.4, 4.4)])


def _mirror_missed() -> str:
    star = read_grid(STAR).marks()
    grid = of_marks([(*row[:8], False, False, *row[8:]) for row in star])
    return _svg("A star whose two halves stand apart", [_units(grid, 4.2, 4.2)])


def _changed_places() -> str:
    grid = of_marks([[not mark for mark in row] for row in read_grid(STAR).marks()])
    return _svg("A light star on a dark ground", [_units(grid, 4.8, 4.8)])


def _picks(title: str, bend: Callable[[float], float]) -> str:
    """Draw picks, each bent by so much at a place from 0 to 1 across the cloth."""
    steps = "".join(
        f"M{4:.1f} {8 + 8 * pick + bend(0):.1f}"
        + "".join(
            f"L{4 + 64 * part / 16:.1f} {8 + 8 * pick + bend(part / 16):.1f}" for part in range(17)
        )
        for pick in range(7)
    )
    return _svg(title, [_path(steps, 3)])


def _curved_fell() -> str:
    return _picks("Picks that hang in an arc", lambda across: 8 * 4 * across * (1 - across))


def _loops() -> str:
    rows = "".join(
        f"M{66} {8 + 14 * pick}H14a{7 if pick % 2 else 3.5} 3.5 0 0 0 0 7H66" for pick in range(5)
    )
    return _svg("Turns of the weft stand out at the edge, some further", [_path(rows, 2.4)])


def _slack_edge() -> str:
    ends = "".join(f"M{x} 0v{SIDE}" for x in range(30, SIDE, 6))
    for x in (6, 14, 22):
        ends += f"M{x} 0" + "".join(
            f"L{x + 2.5 * sin(2 * pi * y / 24):.1f} {y}" for y in range(2, SIDE + 1, 2)
        )
    return _svg("The ends of the edge lie in waves beside straight ones", [_path(ends, 2.4)])


def _pulled_in() -> str:
    ends = "".join(f"M{36 + 4.4 * end} 0V22L{36 + 3.3 * end:.1f} 46V{SIDE}" for end in range(-7, 8))
    return _svg("Ends bend inward below the reed", [_path(ends, 1.6), _path(f"M0 22H{SIDE}", 3)])


def _open_and_close() -> str:
    places = (4, 8, 12, 16, 24, 33, 42, 46, 50, 54, 62)
    return _svg(
        "Picks that lie close, then open, then close",
        [_path("".join(f"M2 {place}H70" for place in places), 3)],
    )


SIGNS: dict[str, Callable[[], str]] = {
    "W-408": _streaks,
    "W-501": _layers,
    "W-502": _cling,
    "W-606": _open_and_close,
    "W-616": _curved_fell,
    "W-702": _loops,
    "W-703": _pulled_in,
    "W-705": _slack_edge,
    "W-801": _too_tall,
    "W-802": _too_squat,
    "W-803": _after_the_wash,
    "W-805": _row_missed,
    "W-806": _soft_side,
    "W-807": _mirror_missed,
    "W-808": _backwards,
    "W-811": _changed_places,
    "W-812": _leaning,
    "W-915": _reed_marks,
}


def sign_svg(trouble: str) -> str:
    """Return the picture of a trouble's sign, nothing where none was drawn."""
    return SIGNS[trouble]() if trouble in SIGNS else ""
