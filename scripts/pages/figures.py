"""The handbook's drawings: SVG files, and the two that are worked out from yarns and weaves.

Lines take the colour of the text around them, so a drawing turns with light, dark and paper. What
must be told apart is told apart by shape, hatching or a number, never by colour alone.
"""

from collections.abc import Callable, Iterable
from html import escape
from math import log

from calculators.weave.library import weave
from calculators.yarn.systems import tex_of
from scripts.setting_up.environment import ROOT

DRAWINGS = ROOT / "docs" / "data" / "drawings"
WIDTH = 320
LINE = 18  # from one line of words to the next

LINEN = "var(--ft-weft, #fff)"


# The parts of a drawing ---------------------------------------------------------------------------


def _svg(title: str, description: str, height: float, parts: Iterable[str]) -> str:
    return (
        f'<svg class="ft-drawn" viewBox="0 0 {WIDTH} {height:g}" role="img" fill="none"'
        ' stroke="currentColor" stroke-width="1.5" stroke-linecap="round"'
        f' stroke-linejoin="round"><title>{escape(title)}</title>'
        f"<desc>{escape(description)}</desc>{''.join(parts)}</svg>"
    )


def _words(x: float, y: float, words: str, anchor: str = "start", bold: bool = False) -> str:
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}" font-size="13" fill="currentColor"'
        f' stroke="none"{weight}>{escape(words)}</text>'
    )


def _path(steps: str, more: str = "") -> str:
    return f'<path d="{steps}"{more}/>'


def _box(x: float, y: float, width: float, height: float, more: str = "") -> str:
    return f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}"{more}/>'


def _solids(boxes: Iterable[tuple[float, float, float, float]]) -> str:
    """Return filled boxes, each (x, y, width, height), as one path."""
    steps = "".join(
        f"M{x:.4g} {y:.4g}h{width:.4g}v{height:.4g}h-{width:.4g}z" for x, y, width, height in boxes
    )
    return _path(steps, ' fill="currentColor" stroke="none" shape-rendering="crispEdges"')


# The drawings -------------------------------------------------------------------------------------


def _count_scale() -> str:
    rows = (
        ("cotton", "cotton", ((8, 2), (16, 2), (30, 2), (60, 2))),
        ("linen, lea", "linen", ((16, 1), (40, 1), (80, 1))),
        ("worsted", "worsted", ((12, 2), (24, 2), (48, 2))),
        ("metric", "metric", ((10, 2), (28, 2), (60, 2))),
    )
    coarse, fine = 220.0, 16.0

    def place(tex: float) -> float:
        return 84 + (WIDTH - 104) * log(coarse / tex) / log(coarse / fine)

    parts = []
    for number, (words, system, labels) in enumerate(rows):
        y = 22 + 46 * number
        parts.append(_words(0, y + 4.5, words))
        parts.append(_path(f"M84 {y}H{WIDTH - 8}", ' stroke-width="0.8"'))
        for count, plies in labels:
            tex = tex_of(count, plies, system)
            x = place(tex)
            parts.append(
                f'<ellipse cx="{x:.1f}" cy="{y}" rx="{tex**0.5 / 2:.1f}" ry="{tex**0.5 / 2:.1f}"'
                f' fill="{LINEN}"/>'
            )
            parts.append(_words(round(x, 1), y + 22, f"{count}/{plies}", "middle"))
    y = 22 + 46 * len(rows)
    parts.append(_path(f"M84 {y - 4}H{WIDTH - 8}"))
    for tex in (200, 100, 50, 25):
        x = place(tex)
        parts.append(_path(f"M{x:.1f} {y - 8}v8") + _words(round(x, 1), y + 15, str(tex), "middle"))
    parts.append(_words(0, y + 15, "tex"))
    return _svg(
        "The same thickness under four systems of count",
        "Yarns of cotton, linen, worsted and metric count stand above one scale of tex, coarse at"
        " the left and fine at the right. The same digits stand at different places in each.",
        y + 24,
        parts,
    )


def _satin_and_damask() -> str:
    ground = weave("satin_5")
    weft_face = ground if ground.warp_share < 0.5 else ground.complement
    warp_face = weft_face.complement
    size, cells, figure = 7.2, 30, (10, 20)
    side = size * cells
    left, top = (WIDTH - side) / 2, 2.0
    parts = [_box(left, top, side, side, f' fill="{LINEN}"')]
    filled: list[tuple[float, float, float, float]] = []
    for pick in range(cells):
        y = top + size * (cells - 1 - pick)
        for end in range(cells):
            inside = figure[0] <= end < figure[1] and figure[0] <= pick < figure[1]
            face = warp_face if inside else weft_face
            if face.matrix[pick % face.picks][end % face.ends]:
                filled.append((left + size * end, y, size, size))
    parts.append(_solids(filled))
    lines = "".join(
        f"M{left + size * unit:g} {top}v{side:g}M{left:g} {top + size * unit:g}h{side:g}"
        for unit in range(0, cells + 1, 5)
    )
    parts.append(_path(lines, ' stroke-width="0.8"'))
    foot = top + side + 24
    captions = (
        "Filled: the warp end is up. Two by two units",
        "of warp satin are the figure, weft satin is",
        "the ground: one kind of thread, seen",
        "lengthways and crossways.",
    )
    parts += [_words(0, foot + LINE * place, words) for place, words in enumerate(captions)]
    return _svg(
        "Figure and ground in five-end satin, on point paper",
        "Six units by six, each of five ends and five picks. In the four units of the middle four"
        " ends of every five are up on each pick, the warp satin of the figure; around it one end"
        " of every five is up, the weft satin of the ground.",
        foot + LINE * 3 + 8,
        parts,
    )


WORKED_OUT: dict[str, Callable[[], str]] = {
    "count-scale": _count_scale,
    "satin-and-damask": _satin_and_damask,
}
FIGURES = sorted([*WORKED_OUT, *(path.stem for path in DRAWINGS.glob("*.svg"))])


def figure_svg(name: str) -> str:
    """Return one of the drawings, with its title and description inside."""
    if name in WORKED_OUT:
        return WORKED_OUT[name]()
    return (DRAWINGS / f"{name}.svg").read_text(encoding="utf-8").strip()
