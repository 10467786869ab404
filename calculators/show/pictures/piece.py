"""The finished piece, to scale."""

from calculators.quantities.sentences import both, many
from calculators.show.pictures.parts import (
    INK,
    LEVEL,
    LINE,
    both_spans,
    filled,
    lines_svg,
    svg,
    swatch,
)

LONGEST_SIDE = 128  # as it is drawn
MOST_LINES = 20  # of the net over a piece, each way
DASHED = ' stroke-dasharray="4 3"'


def piece_svg(
    title: str,
    size: tuple[float, float],
    pattern: float,
    hems: tuple[float, float],
    units: tuple[int, int],
) -> str:
    """Draw a finished piece to scale, the warp upright, with what is turned in at its edges.

    ``size`` is its width and length [cm], ``pattern`` the width that is woven in units [cm],
    ``hems`` what one end and one side give to their hems [cm], ``units`` how many there are across
    and up; those of side hems are turned in.
    """
    width, length = size
    hem, side = hems
    across, up = units
    scale = LONGEST_SIDE / max(width + 2 * side, length + 2 * hem)
    wide, high, turned, beside_it = width * scale, length * scale, hem * scale, side * scale
    edge, net = max(0.0, (width - pattern) / 2), _units_in_a_square(max(units))
    left, right = 1 + beside_it + edge * scale, 1 + beside_it + wide - edge * scale
    across = max(1, round(across * pattern / (pattern + 2 * side)))
    foot = 1 + turned + high
    upright = "".join(
        f"M{left + (right - left) * unit / across:.2f} {turned + 1:.2f}v{high:.2f}"
        for unit in range(0, across + 1, net)
    )
    level = "".join(
        f"M{left:.2f} {foot - high * unit / up:.2f}H{right:.2f}" for unit in range(0, up + 1, net)
    )
    outer, outer_wide = high + 2 * turned, wide + 2 * beside_it
    cloth = (
        f'<path {filled("turned-in", "ft-piece-hem")} d="M1 1h{outer_wide:.2f}v{outer:.2f}'
        f'h-{outer_wide:.2f}z"'
        f' stroke="{INK}"{DASHED}/>'
        f'<path {filled("beside", "ft-piece-edge")} d="M{beside_it + 1:.2f} {turned + 1:.2f}'
        f'h{wide:.2f}v{high:.2f}h-{wide:.2f}z" stroke="{INK}" stroke-width="1.5"/>'
        f'<path {filled("cloth", "ft-piece-pattern")} d="M{left:.2f} {turned + 1:.2f}H{right:.2f}'
        f'v{high:.2f}H{left:.2f}z"/>'
        f'<path class="ft-piece-net" d="{upright}{level}" stroke="{INK}" stroke-width="0.5"/>'
    )
    beside, below = outer_wide + 9, outer + 9
    measures = (
        f"M{beside_it + 1:.2f} {below - 4:.2f}v8m0 -4h{wide:.2f}m0 -4v8"
        f"M{beside - 4:.2f} {turned + 1:.2f}h8m-4 0v{high:.2f}m-4 0h8"
    )
    lines = _told(size, edge, hems, units, net)
    return svg(
        "ft-piece",
        max(below + 6, LINE * len(lines) + 3),
        title,
        _in_words(size, edge, hems, units),
        f'{cloth}<path class="ft-piece-measure" d="{measures}" fill="none"'
        f' stroke="currentColor"/>{lines_svg(beside + 13, 3, lines)}',
    )


_UPRIGHT = '<path d="M{x} {y}m3 0h6m-3 0v12m-3 0h6" fill="none" stroke="currentColor"/>'
_NET = swatch("cloth") + f'<path d="M{{x}} {{y}}m6 0v12m-6 -6h12" stroke="{INK}"/>'


def _told(
    size: tuple[float, float],
    edge: float,
    hems: tuple[float, float],
    units: tuple[int, int],
    net: int,
) -> list[tuple[str, str]]:
    """Return the lines beside the piece, each with its key."""
    return [
        (LEVEL, both_spans(size[0], "cm")),
        ("", f"{many(units[0], 'units')} across"),
        (_UPRIGHT, both_spans(size[1], "cm")),
        ("", f"{many(units[1], 'units')} up"),
        *(
            line
            for hem, edge_of in zip(hems, ("end", "side"), strict=True)
            if hem
            for line in (
                (swatch("turned-in", DASHED), f"turned in, each {edge_of}"),
                ("", both_spans(hem, "cm")),
            )
        ),
        *(
            ((swatch("beside"), "selvedge, each side"), ("", both_spans(edge, "cm")))
            if edge
            else ()
        ),
        (_NET, f"{net} by {net} units" if net > 1 else "one unit"),
    ]


def _in_words(
    size: tuple[float, float], edge: float, hems: tuple[float, float], units: tuple[int, int]
) -> str:
    hem, side = hems
    width, length = (both(side, "cm") for side in size)
    return (
        f"{width} wide in {many(units[0], 'units')}, {length} long in {many(units[1], 'units')}; "
        + (f"{both(hem, 'cm')} turned in at each end" if hem else "no hems at the ends")
        + (f", {both(side, 'cm')} at each side" if side else "")
        + (f"; {both(edge, 'cm')} of selvedge on each side" if edge else "")
        + "."
    )


def _units_in_a_square(units: int) -> int:
    """How many units a square of the net holds, so that its lines stay apart."""
    sizes = (step * tens for tens in (1, 10, 100, 1000, 10_000) for step in (1, 2, 5))
    return next(size for size in sizes if units <= MOST_LINES * size)
