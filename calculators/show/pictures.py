"""Pictures inside answers: where people would rather look than read."""

from collections.abc import Sequence
from html import escape
from math import floor, log10

from calculators.quantities.sentences import both

WIDTH = 320
BAR = 34
LINE = 20
PIECE = 150  # the longest side of a piece, as it is drawn
MOST_LINES = 20  # of the net over a piece, each way


def bar_svg(title: str, parts: Sequence[tuple[str, float]]) -> str:
    """Draw how a length is made up: one bar, split, each part named with its length [cm]."""
    whole = sum(length for _, length in parts)
    left = 0.0
    bars, names = [], []
    for place, (words, length) in enumerate(parts):
        width = WIDTH * length / whole
        bars.append(
            f'<rect class="ft-part ft-part-{place}" x="{left:.2f}" y="1" width="{width:.2f}"'
            f' height="{BAR}"/>'
        )
        if width >= 14:
            bars.append(
                f'<text class="ft-part-number" x="{left + width / 2:.2f}" y="{BAR / 2 + 6}"'
                f' text-anchor="middle">{place + 1}</text>'
            )
        names.append(
            f'<text x="0" y="{BAR + LINE * (place + 1)}">{place + 1}  {escape(words)}: '
            f"{escape(both(length, 'cm'))}, {length / whole * 100:.0f} %</text>"
        )
        left += width
    height = BAR + LINE * len(parts) + 8
    return (
        f'<svg class="ft-bar" viewBox="0 0 {WIDTH} {height}" role="img">'
        f"<title>{escape(title)}</title>{''.join(bars)}{''.join(names)}</svg>"
    )


def range_svg(
    title: str, low: float, high: float, limit: float, chosen: Sequence[tuple[str, float]]
) -> str:
    """Draw a working range under its limit, with the chosen setts marked on it [1/inch]."""
    reach = max(limit, *(value for _, value in chosen)) * 1.06

    def at(value: float) -> float:
        return WIDTH * value / reach

    marks = "".join(
        f'<path class="ft-mark" d="M{at(value):.1f} 20l-6 -10h12z"/>'
        f'<text x="{min(max(at(value), 40), WIDTH - 40):.1f}" y="8" text-anchor="middle">'
        f"{escape(words)} {value:.0f}</text>"
        for words, value in chosen
    )
    return (
        f'<svg class="ft-scale" viewBox="0 -6 {WIDTH} 66" role="img"><title>{escape(title)}</title>'
        f'<rect class="ft-scale-all" x="0" y="20" width="{at(limit):.1f}" height="14"/>'
        f'<rect class="ft-scale-range" x="{at(low):.1f}" y="20" width="{at(high) - at(low):.1f}"'
        f' height="14"/>{marks}'
        f'<text x="{at(low):.1f}" y="52" text-anchor="middle">{low:.0f}</text>'
        f'<text x="{at(high):.1f}" y="52" text-anchor="end">{high:.0f}</text>'
        f'<text x="{at(limit):.1f}" y="52" text-anchor="start"> {limit:.0f}</text></svg>'
    )


def unit_svg(title: str, width_mm: float, height_mm: float, units: int = 4) -> str:
    """Draw a few units at true size, in millimetres, beside a centimetre."""
    across, up = width_mm * units, height_mm * units
    wide, high = max(across, 10.0) + 1, up + 4.5
    lines = "".join(
        f'<path d="M{0.5 + width_mm * place:.3f} 0.5v{up:.3f}"/>'
        f'<path d="M0.5 {0.5 + height_mm * place:.3f}h{across:.3f}"/>'
        for place in range(units + 1)
    )
    return (
        f'<svg class="ft-true" viewBox="0 0 {wide:.3f} {high:.3f}" width="{wide:.3f}mm"'
        f' height="{high:.3f}mm" data-millimetres="{wide:.3f} {high:.3f}" role="img">'
        f"<title>{escape(title)}</title>"
        f'<rect class="ft-true-unit" x="0.5" y="0.5" width="{width_mm:.3f}"'
        f' height="{height_mm:.3f}"/><g class="ft-true-grid">{lines}</g>'
        f'<path class="ft-true-rule" d="M0.5 {up + 2:.3f}v1.5m0 -0.75h10m0 -0.75v1.5"/></svg>'
    )


def piece_svg(
    title: str, size: tuple[float, float], pattern: float, hem: float, units: tuple[int, int]
) -> str:
    """Draw a finished piece to scale, the warp upright, with what is turned in at its two ends.

    ``size`` is its width and length [cm], ``pattern`` the width that is woven in units [cm],
    ``hem`` what one end gives to its hem [cm], ``units`` how many there are across and up.
    """
    width, length = size
    across, up = units
    scale = PIECE / max(width, length + 2 * hem)
    wide, high, turned = width * scale, length * scale, hem * scale
    left, net = 1 + (width - pattern) / 2 * scale, _units_in_a_square(max(units))
    right = left + pattern * scale
    upright = "".join(
        f"M{left + (right - left) * unit / across:.2f} {turned + 1:.2f}v{high:.2f}"
        for unit in range(0, across + 1, net)
    )
    level = "".join(
        f"M{left:.2f} {turned + 1 + high * (1 - unit / up):.2f}H{right:.2f}"
        for unit in range(0, up + 1, net)
    )
    outer, beside = high + 2 * turned, wide + 12
    rule: float = 10.0 ** floor(log10(max(width, length)))
    words = (
        both(width, "cm"),
        f"{across} units across",
        both(length, "cm"),
        f"{up} units along the warp",
        *((both(hem, "cm"), "turned in at each end") if hem else ("no hems",)),
        f"a square: {net} by {net} units" if net > 1 else "a square: one unit",
    )
    lines = "".join(
        f'<text x="{beside:.2f}" y="{14 + LINE * place}">{escape(line)}</text>'
        for place, line in enumerate((*words, both(rule, "cm")))
    )
    foot = 14 + LINE * len(words)
    return (
        f'<svg class="ft-piece" viewBox="0 0 {WIDTH} {max(outer + 2, foot + 16):.2f}" role="img">'
        f"<title>{escape(title)}</title>"
        f'<path class="ft-piece-hem" d="M1 1h{wide:.2f}v{outer:.2f}h-{wide:.2f}z"/>'
        f'<path class="ft-piece-net" d="{upright}{level}"/>'
        f'<path class="ft-piece-edge" d="M1 {turned + 1:.2f}h{wide:.2f}v{high:.2f}h-{wide:.2f}z"/>'
        f'{lines}<path class="ft-piece-rule"'
        f' d="M{beside:.2f} {foot + 6}v8m0 -4h{rule * scale:.2f}m0 -4v8"/></svg>'
    )


def _units_in_a_square(units: int) -> int:
    """How many units a square of the net holds, so that its lines stay apart."""
    sizes = (step * tens for tens in (1, 10, 100, 1000, 10_000) for step in (1, 2, 5))
    return next(size for size in sizes if units <= MOST_LINES * size)
