"""A range on its scale, and units at their true size."""

from collections.abc import Sequence
from html import escape

from calculators.show.pictures.parts import WIDTH


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
