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

LONGEST_SIDE = 150  # as it is drawn
MOST_LINES = 20  # of the net over a piece, each way
DASHED = ' stroke-dasharray="4 3"'


def piece_svg(
    title: str,
    size: tuple[float, float],
    pattern: float,
    hems: tuple[float, float],
    units: tuple[int, int],
    frame: tuple[int, int] = (0, 0),
) -> str:
    """Draw a finished piece to scale, the warp upright, with what is turned in at its edges.

    ``size`` is its width and length [cm], ``pattern`` the width that is woven in units [cm],
    ``hems`` what one end and one side give to their hems [cm], ``units`` how many there are across
    and up; those of side hems are turned in. ``frame`` is how many units are left plain along every
    edge, and how many the border inside takes.
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
    margin, border = frame

    def inside(depth: int) -> str:
        aside, above = (right - left) * depth / across, high * depth / up
        return (
            f"M{left + aside:.2f} {turned + 1 + above:.2f}H{right - aside:.2f}"
            f"V{foot - above:.2f}H{left + aside:.2f}z"
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
        + (
            f'<path {filled("border", "ft-piece-border")} fill-rule="evenodd"'
            f' d="{inside(margin)}{inside(margin + border)}" stroke="{INK}"/>'
            if border
            else ""
        )
        + f'<path class="ft-piece-net" d="{upright}{level}" stroke="{INK}" stroke-width="0.5"/>'
    )
    beside, below = outer_wide + 9, outer + 9
    measures = (
        f"M{beside_it + 1:.2f} {below - 4:.2f}v8m0 -4h{wide:.2f}m0 -4v8"
        f"M{beside - 4:.2f} {turned + 1:.2f}h8m-4 0v{high:.2f}m-4 0h8"
    )
    lines = _told(size, edge, hems, units, frame, net)
    top = below + 12
    return svg(
        "ft-piece",
        top + LINE * len(lines) + 3,
        title,
        _in_words(size, edge, hems, units, frame),
        f'{cloth}<path class="ft-piece-measure" d="{measures}" fill="none"'
        f' stroke="currentColor"/>{lines_svg(0, top, lines)}',
    )


_UPRIGHT = '<path d="M{x} {y}m4 0h6m-3 0v14m-3 0h6" fill="none" stroke="currentColor"/>'
_NET = swatch("cloth") + f'<path d="M{{x}} {{y}}m7 0v14m-7 -7h14" stroke="{INK}"/>'


def _told(
    size: tuple[float, float],
    edge: float,
    hems: tuple[float, float],
    units: tuple[int, int],
    frame: tuple[int, int],
    net: int,
) -> list[tuple[str, str]]:
    """Return the lines below the piece, each with its key."""
    margin, border = frame
    return [
        (LEVEL, f"{both_spans(size[0], 'cm')}, {many(units[0], 'units')} across"),
        (_UPRIGHT, f"{both_spans(size[1], 'cm')}, {many(units[1], 'units')} up"),
        *(
            (swatch("turned-in", DASHED), f"turned in, each {edge_of}: {both_spans(hem, 'cm')}")
            for hem, edge_of in zip(hems, ("end", "side"), strict=True)
            if hem
        ),
        *([(swatch("beside"), f"selvedge, each side: {both_spans(edge, 'cm')}")] if edge else []),
        *([(swatch("cloth"), f"plain margin of {many(margin, 'units')}")] if margin else []),
        *([(swatch("border"), f"border of {many(border, 'units')}")] if border else []),
        (_NET, f"{net} by {net} units" if net > 1 else "one unit"),
    ]


def _in_words(
    size: tuple[float, float],
    edge: float,
    hems: tuple[float, float],
    units: tuple[int, int],
    frame: tuple[int, int],
) -> str:
    margin, border = frame
    hem, side = hems
    width, length = (both(side, "cm") for side in size)
    return (
        f"{width} wide in {many(units[0], 'units')}, {length} long in {many(units[1], 'units')}; "
        + (f"{both(hem, 'cm')} turned in at each end" if hem else "no hems at the ends")
        + (f", {both(side, 'cm')} at each side" if side else "")
        + (f"; {both(edge, 'cm')} of selvedge on each side" if edge else "")
        + (f"; a plain margin of {many(margin, 'units')}" if margin else "")
        + (f"; a border of {many(border, 'units')}" if border else "")
        + "."
    )


def _units_in_a_square(units: int) -> int:
    """How many units a square of the net holds, so that its lines stay apart."""
    sizes = (step * tens for tens in (1, 10, 100, 1000, 10_000) for step in (1, 2, 5))
    return next(size for size in sizes if units <= MOST_LINES * size)
