"""What the pictures have in common: their colours, and words beside a key."""

from collections.abc import Sequence
from html import escape

from calculators.quantities.format import format_quantity

WIDTH = 300  # near the width of an answer on a phone, so that words are seen as large as written
LETTERS = 15
LINE = 20
KEY = 14

# Cloth keeps its own colours by day and by night; on paper the style sheet makes them grey.
COLOURS = {
    "cloth": "#f7f1e3",
    "turned-in": "#cdbf9f",
    "beside": "#e6dac0",
    "border": "#b9a578",
    "threads": "#8a7650",
}
INK = "#16191c"
LEVEL = '<path d="M{x} {y}m0 4v6m0 -3h14m0 -3v6" fill="none" stroke="currentColor"/>'


def filled(kind: str, name: str = "") -> str:
    """Write the class and fill of a part of the cloth, with its own name where it has one."""
    names = " ".join(filter(None, (name, f"ft-{kind}")))
    return f'class="{names}" fill="{COLOURS[kind]}"'


def both_spans(value: float, unit: str) -> str:
    """Write a quantity in both unit worlds, so that the page can hide the other one."""
    metric, imperial = (format_quantity(value, unit, world) for world in ("metric", "imperial"))
    if metric == imperial:
        return escape(metric)
    return (
        f'<tspan class="ft-both"><tspan class="ft-metric">{escape(metric)}</tspan>'
        '<tspan class="ft-and"> · </tspan>'
        f'<tspan class="ft-imperial">{escape(imperial)}</tspan></tspan>'
    )


def lines_svg(left: float, top: float, lines: Sequence[tuple[str, str]]) -> str:
    """Write lines of words, which may hold spans, one under the other, each behind its key.

    A key is drawn from the point {x}, {y}; one key may stand for the line below it too.
    """
    return "".join(
        key.format(x=f"{left:.1f}", y=f"{top + LINE * place:.1f}")
        + f'<text x="{left + KEY + 6:.1f}" y="{top + LINE * place + 12:.1f}">{words}</text>'
        for place, (key, words) in enumerate(lines)
    )


def swatch(kind: str, more: str = "") -> str:
    """Draw the key of a part of the cloth."""
    return f'<path d="M{{x}} {{y}}h{KEY}v{KEY}h-{KEY}z" {filled(kind)} stroke="{INK}"{more}/>'


def svg(name: str, height: float, title: str, description: str, parts: str) -> str:
    """Write the whole picture."""
    return (
        f'<svg class="{name}" xmlns="http://www.w3.org/2000/svg"'
        f' viewBox="0 0 {WIDTH} {height:.1f}" role="img" font-size="{LETTERS}" fill="currentColor">'
        f"<title>{escape(title)}</title><desc>{escape(description)}</desc>{parts}</svg>"
    )
