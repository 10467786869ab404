"""The squared paper of the page that draws figures, and a worked figure for paper."""

from itertools import groupby

from markupsafe import Markup

from calculators.figure.grid import Grid, in_squares, read_grid
from scripts.pages.templates import rendered

LEAF = """
.......#.......
.......#.......
......###......
......###......
.....##.##.....
....###.###....
...####.####...
..#####.#####..
..##..#.#..##..
.###.##.##.###.
.######.######.
.######.######.
.##..##.##..##.
.##.###.###.##.
..#####.#####..
..#####.#####..
...####.####...
.....##.##.....
.......#.......
.......#.......
......##.......
"""


def drawing_html(root: str) -> str:  # noqa: ARG001 - every embed is told the way to the root
    """Write the place for drawing, and a leaf for readers whose browser draws nothing."""
    leaf = read_grid(LEAF, top_first=True)
    picture = Markup(squared_paper(leaf))
    squares = in_squares(leaf, top_first=True)
    return rendered("frames/drawing.html.jinja", example=leaf, picture=picture, squares=squares)


def squared_paper(grid: Grid) -> str:
    """Draw a figure on squared paper, a bolder line every ten, numbered on two edges."""
    wide, high, side = grid.across, grid.up, 14
    runs = []
    for row, units in enumerate(grid.marks()):
        unit = 0
        for drawn, group in groupby(units):
            length = len(list(group))
            if drawn:
                runs.append(f"M{unit} {high - 1 - row}h{length}v1h-{length}z")
            unit += length

    def lines(step: int) -> str:
        upright = "".join(f"M{unit} 0v{high}" for unit in range(0, wide + 1, step))
        level = "".join(f"M0 {high - row}h{wide}" for row in range(0, high + 1, step))
        return upright + level

    numbers = "".join(
        f'<text x="{unit - 0.5}" y="{high + 1}" text-anchor="middle">{unit}</text>'
        for unit in range(10, wide + 1, 10)
    ) + "".join(
        f'<text x="-0.3" y="{high - row + 0.85}" text-anchor="end">{row}</text>'
        for row in range(10, high + 1, 10)
    )
    return (
        f'<svg class="ft-squared" viewBox="-2 -0.5 {wide + 2.5} {high + 2}" '
        f'width="{(wide + 2.5) * side}" height="{(high + 2) * side}" role="img" '
        f'aria-label="A figure on squared paper, {wide} units across and {high} up">'
        f'<path class="ft-squared-drawn" d="{"".join(runs)}"/>'
        f'<path class="ft-squared-fine" d="{lines(1)}"/>'
        f'<path class="ft-squared-ten" d="{lines(10)}"/>'
        f"{numbers}</svg>"
    )
