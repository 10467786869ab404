"""Pictures inside answers: where people would rather look than read."""

from collections.abc import Sequence
from html import escape

from calculators.quantities.sentences import both

WIDTH = 320
BAR = 34
LINE = 20


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
