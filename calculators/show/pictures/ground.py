"""The ground at the loom: its cords on a plan, and a unit's four edges thread by thread."""

from collections.abc import Collection, Sequence
from html import escape

SQUARE = 18
BESIDE = 3  # threads of the neighbours that are shown around a unit
LETTERS = 12
MARGIN = 22
HEAD = 26  # room for the words above

Shafts = Sequence[Collection[int]]


def cords_svg(title: str, shafts: int, rise: Shafts, sink: Shafts) -> str:
    """Draw shafts as lines, the first in front, and the cords of each pick across them.

    A full dot above the line raises the shaft, an open one below it sinks it.
    """
    picks = len(rise)
    step, gap = 22, 26
    width, foot = MARGIN + picks * step + 6, shafts * gap

    def line(shaft: int) -> int:
        return foot - (shaft - 1) * gap - gap // 2

    lines = "".join(f"M{MARGIN} {line(shaft)}H{width - 4}" for shaft in range(1, shafts + 1))
    names = "".join(
        f'<text x="{MARGIN - 6}" y="{line(shaft) + 4}" text-anchor="end">{shaft}</text>'
        for shaft in range(1, shafts + 1)
    ) + "".join(
        f'<text x="{_middle(pick, step)}" y="{foot + 14}" text-anchor="middle">{pick + 1}</text>'
        for pick in range(picks)
    )
    cords = "".join(
        f'<path d="M{_middle(pick, step)} {line(shaft)}v{-7 * up}"/>'
        f'<circle cx="{_middle(pick, step)}" cy="{line(shaft) - 8 * up}" r="4"'
        f"{'' if up > 0 else _OPEN}/>"
        for up, order in ((1, rise), (-1, sink))
        for pick, moved in enumerate(order)
        for shaft in moved
    )
    words = (
        f'<circle cx="{MARGIN}" cy="{foot + 30}" r="4"/>'
        f'<text x="{MARGIN + 8}" y="{foot + 34}">rises</text>'
        f'<circle cx="{MARGIN + 58}" cy="{foot + 30}" r="4"{_OPEN}/>'
        f'<text x="{MARGIN + 66}" y="{foot + 34}">sinks</text>'
    )
    return _picture(
        title,
        "shaft 1 is the lowest line, pick 1 on the left",
        max(width, MARGIN + 150),
        foot + 42,
        f'<path d="{lines}" stroke-width="1"/>'
        f'<g fill="currentColor" stroke-width="1.5">{cords}{words}</g>{names}',
    )


def unit_edges_svg(
    title: str, cloth: Sequence[Sequence[bool]], ends: int, picks: int, shafts: Sequence[int]
) -> str:
    """Draw a unit among its neighbours as squares, and ring the threads that cross an edge uncut.

    ``cloth`` has three units each way, the drawn one in the middle; ``shafts`` are the unit's.
    """
    left, low = ends - min(BESIDE, ends), picks - min(BESIDE, picks)
    right, high = 3 * ends - left, 3 * picks - low
    width, height = (right - left) * SQUARE, (high - low) * SQUARE

    def at(end: int, pick: int) -> tuple[int, int]:
        """Upper left corner of a square."""
        return MARGIN + (end - left) * SQUARE, height - (pick - low + 1) * SQUARE

    squares = "".join(
        "M{} {}h{size}v{size}h-{size}z".format(*at(end, pick), size=SQUARE)
        for pick in range(low, high)
        for end in range(left, right)
        if cloth[pick][end]
    )
    rules = "".join(f"M{MARGIN + x * SQUARE} 0v{height}" for x in range(right - left + 1))
    rules += "".join(f"M{MARGIN} {y * SQUARE}h{width}" for y in range(high - low + 1))
    x, y = at(ends, 2 * picks - 1)
    frame = f"M{x} {y}h{ends * SQUARE}v{picks * SQUARE}h-{ends * SQUARE}z"
    across = "".join(
        _ring(*at(side - 1, pick), 2, 1)
        for side in (ends, 2 * ends)
        for pick in range(picks, 2 * picks)
        if cloth[pick][side - 1] == cloth[pick][side]
    ) + "".join(
        _ring(*at(end, row), 1, 2)
        for row in (picks, 2 * picks)
        for end in range(ends, 2 * ends)
        if cloth[row - 1][end] == cloth[row][end]
    )
    names = "".join(
        f'<text x="{at(ends + place, 0)[0] + SQUARE / 2}" y="{height + 14}" text-anchor="middle">'
        f"{shaft}</text>"
        for place, shaft in enumerate(shafts)
    ) + "".join(
        f'<text x="{MARGIN - 5}" y="{at(0, picks + pick)[1] + 13}" text-anchor="end">{pick + 1}'
        "</text>"
        for pick in range(picks)
    )
    return _picture(
        title,
        "among resting ones; a filled square is a warp end up, the first pick is at the bottom, "
        "shafts are numbered below; ringed threads cross the edge of the unit uncut",
        max(MARGIN + width, MARGIN + 180),
        height + 20,
        f'<path d="{squares}" fill="currentColor" stroke="none"/>'
        f'<path d="{rules}" stroke-width="0.5" stroke-opacity="0.6"/>'
        f'<path d="{frame}" stroke-width="3"/>'
        f'<path d="{across}" stroke="var(--ft-sheet, #fff)" stroke-width="6"/>'
        f'<path d="{across}" stroke="var(--ft-mark, currentColor)" stroke-width="2.5"/>{names}',
    )


_OPEN = ' fill="none"'


def _middle(pick: int, step: int) -> int:
    return MARGIN + pick * step + step // 2


def _ring(x: int, y: int, across: int, up: int) -> str:
    wide, high, r = across * SQUARE - 18, up * SQUARE - 18, 7
    return (
        f"M{x + 9} {y + 2}h{wide}a{r} {r} 0 0 1 {r} {r}v{high}a{r} {r} 0 0 1 -{r} {r}h-{wide}"
        f"a{r} {r} 0 0 1 -{r} -{r}v-{high}a{r} {r} 0 0 1 {r} -{r}z"
    )


def _picture(title: str, more: str, width: int, height: int, parts: str) -> str:
    return (
        f'<svg class="ft-paper" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="0 {-HEAD} {width + 4} {height + HEAD + 2}" width="{width + 4}" '
        f'height="{height + HEAD + 2}" font-size="{LETTERS}">'
        f"<title>{escape(title)}: {escape(more)}</title>"
        f'<text x="2" y="{14 - HEAD}" font-size="14" fill="currentColor">{escape(title)}</text>'
        '<g fill="none" stroke="currentColor">'
        + parts.replace("<text ", '<text fill="currentColor" stroke="none" ')
        + "</g></svg>"
    )
