"""A figure as squares in the cloth's proportions."""

from collections.abc import Iterable, Sequence

from calculators.show.pictures.parts import COLOURS, INK, LINE, WIDTH, lines_svg, svg, swatch

TALLEST = 400
FEWEST_FOR_LINES = 4  # units of the picture that a square must have for its lines to be seen
TENTH = 10

Run = tuple[int, int, int]  # row, first and last unit, all from 1, the first row lowest


def squares_svg(
    title: str,
    description: str,
    size: tuple[int, int],
    tall: float,
    drawn: Iterable[Run],
    marked: Sequence[tuple[int, int]] = (),
    words: str = "",
) -> str:
    """Draw a figure of so many units across and up, each ``tall`` times as high as it is wide.

    ``marked`` are the rows and units to look at; ``words`` say what their mark means.
    """
    across, up = size
    wide = min(WIDTH - 2.0, TALLEST * across / (up * tall))
    unit, high = wide / across, wide / across * tall
    foot = 1 + high * up
    cells = "".join(f"M{first - 1} {up - row}.5h{last - first + 1}" for row, first, last in drawn)
    scale = f"translate(1 1) scale({unit:.4f} {high:.4f})"
    lines = _lines(across, up) if min(unit, high) >= FEWEST_FOR_LINES else ""
    rings = "".join(
        f'<circle cx="{1 + (place - 0.5) * unit:.2f}" cy="{foot - (row - 0.5) * high:.2f}"'
        f' r="{max(0.75 * max(unit, high), 3):.2f}"/>'
        for row, place in marked
    )
    ring = (
        '<circle cx="{x}" cy="{y}" r="5" transform="translate(7 7)" fill="none"'
        ' stroke="var(--ft-mark, currentColor)" stroke-width="2"/>'
    )
    told = [(swatch("threads"), "drawn"), (swatch("cloth"), "at rest")]
    told += [(ring, words)] if marked else []
    return svg(
        "ft-squares",
        foot + 9 + LINE * len(told),
        title,
        description,
        f'<path d="M1 1h{wide:.2f}V{foot:.2f}H1z" fill="{COLOURS["cloth"]}"/>'
        f'<g transform="{scale}" fill="none"><path d="{cells}" stroke="{COLOURS["threads"]}"/>'
        f'<g stroke="{INK}">{lines}</g></g>'
        f'<path d="M1 1h{wide:.2f}V{foot:.2f}H1z" fill="none" stroke="{INK}"/>'
        f'<g fill="none" stroke="var(--ft-mark, currentColor)" stroke-width="2">{rings}</g>'
        + lines_svg(1, foot + 8, told),
    )


def _lines(across: int, up: int) -> str:
    """Write the lines of point paper, every tenth stronger, counted from the first unit."""
    parts = []
    for strength, step in ((0.4, 1), (1.2, TENTH)):
        upright = "".join(f"M{place} 0v{up}" for place in range(step, across, step))
        level = "".join(f"M0 {up - place}h{across}" for place in range(step, up, step))
        parts.append(
            f'<path d="{upright}{level}" stroke-width="{strength}"'
            ' vector-effect="non-scaling-stroke"/>'
        )
    return "".join(parts)
