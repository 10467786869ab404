"""The handbook's drawings, made by code: one SVG text for each name.

Lines take the colour of the text around them, so a drawing turns with light, dark and paper. What
must be told apart is told apart by shape, hatching or a number, never by colour alone.
"""

from collections.abc import Callable, Iterable
from html import escape
from math import hypot, log

from calculators.errors import HandbookError
from calculators.weave.library import weave
from calculators.yarn.systems import tex_of

WIDTH = 320
LINE = 18  # from one line of words to the next

LINEN = "var(--ft-weft, #fff)"
MARK = "var(--ft-mark, currentColor)"


class FigureError(HandbookError):
    """There is no drawing of that name."""


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


def _hatched(x: float, y: float, width: float, height: float, step: float = 6) -> str:
    """Return a box filled with slanting lines: what is lost, or what is not cloth."""
    lines = ""
    reach = step
    while reach < width + height:
        right, left = min(reach, width), max(0.0, reach - height)
        low, high = min(reach, height), max(0.0, reach - width)
        lines += f"M{x + left:g} {y + low:g}L{x + right:g} {y + high:g}"
        reach += step
    return _box(x, y, width, height) + _path(lines, ' stroke-width="1"')


def _number(x: float, y: float, number: int) -> str:
    return (
        f'<circle cx="{x:g}" cy="{y:g}" r="9" fill="{LINEN}"/>'
        f'<text x="{x:g}" y="{y + 4.5:g}" text-anchor="middle" font-size="12.5" font-weight="700"'
        f' fill="currentColor" stroke="none">{number}</text>'
    )


def _key(y: float, *lines: str) -> str:
    return "".join(
        _words(0, y + LINE * place, f"{place + 1}", bold=True) + _words(20, y + LINE * place, words)
        for place, words in enumerate(lines)
    )


def _brace(left: float, right: float, y: float, depth: float = 7) -> str:
    return _path(f"M{left:g} {y:g}v{depth:g}H{right:g}v{-depth:g}")


# The drawings -------------------------------------------------------------------------------------


def _losses() -> str:
    bars_of = {
        "Across": (
            ("reed width", 300, 0, ""),
            ("cloth on the loom", 276, 24, "draw-in"),
            ("washed cloth", 244, 32, "wash shrinkage"),
        ),
        "Along": (
            ("yarn in the warp", 300, 0, ""),
            ("woven length", 284, 16, "take-up"),
            ("washed cloth", 252, 32, "wash shrinkage"),
        ),
    }
    parts = []
    y = 0.0
    for title, bars in bars_of.items():
        parts.append(_words(0, y + 14, title, bold=True))
        y += 24
        for words, kept, lost, name in bars:
            parts.append(_box(1, y, kept, 24, f' fill="{LINEN}"') + _words(9, y + 16.5, words))
            if lost:
                parts.append(_hatched(1 + kept, y, lost, 24))
                parts.append(_words(1 + kept + lost, y + 38, name, "end"))
                y += 16
            y += 32
        y += 10
    return _svg(
        "Three losses from reed to table",
        "Across: the reed width loses the draw-in and becomes the width on the loom; that loses the"
        " wash shrinkage and becomes the width of the washed cloth. Along: the yarn in the warp"
        " loses the take-up and becomes woven length; that loses the wash shrinkage.",
        y - 8,
        parts,
    )


def _thread_path() -> str:
    beams = "".join(
        f'<circle cx="{x}" cy="{y}" r="{r}" fill="{LINEN}"/>'
        for x, y, r in ((22, 96, 7), (30, 152, 13), (283, 96, 7), (258, 152, 13))
    )
    sticks = "".join(
        f'<circle cx="{x}" cy="{y}" r="3.5" fill="currentColor"/>'
        for x, y in ((289, 114), (281, 126))
    )
    cloth = _path("M31 139L22 89H84", ' stroke-width="3.5"')
    upper = _path("M84 89L126 66L196 72L283 89")
    lower = _path("M84 89L126 113L196 103L283 89")
    behind = _path("M283 89C292 92 291 106 289 112L280 128L269 145")
    beater = _path("M112 28V128", ' stroke-width="4"') + _path("M104 128h16", ' stroke-width="4"')
    shafts = "".join(_path(f"M{x} 40V136") for x in (126, 132, 138, 144))
    heddles = "".join(
        _path(f"M{x} 16V150")
        + f'<circle cx="{x}" cy="{eye}" r="3" fill="{LINEN}"/>'
        + _path(f"M{x} 150v16", ' stroke-width="4"')
        for x, eye in ((190, 72), (197, 103), (204, 73))
    )
    temple = _path("M58 84h18", ' stroke-width="5"')
    tallest = _path("M152 68V111M149 72l3-4 3 4M149 107l3 4 3-4", f' stroke="{MARK}"')
    numbers = "".join(
        _number(x, y, number)
        for number, (x, y) in enumerate(
            (
                (22, 72),
                (66, 66),
                (90, 106),
                (104, 16),
                (138, 26),
                (164, 90),
                (214, 30),
                (283, 72),
                (304, 122),
            ),
            start=1,
        )
    )
    key = _key(
        196,
        "breast beam, the weaver sits to its left",
        "temple, close behind the fell",
        "fell, kept near the beater",
        "beater, set back to the shafts",
        "ground shafts: one eye for each end",
        "here the shed is tallest",
        "pattern heddles: cords above, weights below",
        "back beam",
        "lease sticks, behind and below the back beam",
    )
    return _svg(
        "The path of a thread through the draw loom, seen from the side",
        "From the warp beam the ends rise past two lease sticks, which lie behind and lower than"
        " the back beam, over the back beam, through the pattern heddles with cords above and"
        " weights below, through the ground shafts and the beater to the fell, the temple and over"
        " the breast beam. The opening is tallest at the ground shafts, so the beater is set back"
        " to them and the fell is kept near.",
        196 + LINE * 8 + 8,
        (
            beams,
            cloth,
            upper,
            lower,
            behind,
            sticks,
            shafts,
            beater,
            heddles,
            temple,
            tallest,
            numbers,
            key,
        ),
    )


def _cross_and_groups() -> str:
    first, gap, ends = 26.0, 10.0, 6
    unit = ends * gap + 26
    parts = [_words(0, 14, "The cross, seen from above", bold=True)]
    upper, lower = 52, 104
    parts += [_box(4, y - 5, 290, 10, f' rx="5" fill="{LINEN}"') for y in (upper, lower)]
    for number in range(3):
        left = first + number * unit
        for end in range(ends):
            x = left + end * gap + (4 if end > 2 else 0)
            over = upper if end < 3 else lower
            under = lower if end < 3 else upper
            parts.append(_path(f"M{x:g} 28V{under - 7}M{x:g} {under + 7}V134", ' stroke-width="2"'))
            parts.append(_path(f"M{x:g} {over - 5}v10", ' stroke-width="3"'))
        right = left + 5 * gap + 4
        parts.append(_brace(left - 3, right + 3, 138))
        parts.append(_words((left + right) / 2, 162, f"unit {number + 1}", "middle"))
    parts.append(_words(302, upper - 9, "a", "middle", bold=True))
    parts.append(_words(302, lower - 9, "b", "middle", bold=True))
    lines = (
        "Three ends are carried together. The pass out",
        "lies over stick a and under stick b, the pass",
        "back the other way. Two passes: six ends, one",
        "unit, already counted when it is entered.",
    )
    parts += [_words(0, 190 + LINE * place, words) for place, words in enumerate(lines)]
    return _svg(
        "Cross and groups: two passes of three ends are one unit of six",
        "Two lease sticks seen from above, with eighteen ends. In every unit three ends lie over"
        " the first stick and under the second, the next three under the first and over the"
        " second. A bracket joins each pair of passes into a unit of six ends.",
        190 + LINE * 3 + 8,
        parts,
    )


def _units_and_edges() -> str:
    left, top, width, height = 40, 6, 240, 250
    selvedge, hem, margin, border, unit = 8, 18, 20, 20, 10
    inner_left, inner_top = left + selvedge, top + hem
    inner_width, inner_height = width - 2 * selvedge, height - 2 * hem
    parts = [_box(left, top, width, height, f' fill="{LINEN}"')]
    for x in (left, left + width - selvedge):
        steps = "".join(f"M{x + place} {top}v{height}" for place in range(2, selvedge + 1, 2))
        parts.append(_path(steps, ' stroke-width="0.8"'))
    parts += [_hatched(inner_left, y, inner_width, hem) for y in (top, top + height - hem)]
    frame_left, frame_top = inner_left + margin - 8, inner_top + margin - 3
    frame_width, frame_height = inner_width - 2 * (margin - 8), inner_height - 2 * (margin - 3)
    columns, rows = round(frame_width / unit), round(frame_height / unit)
    ring = border // unit
    grid = "".join(
        f"M{frame_left + unit * c} {frame_top}v{unit * rows}" for c in range(columns + 1)
    )
    grid += "".join(
        f"M{frame_left} {frame_top + unit * r}h{unit * columns}" for r in range(rows + 1)
    )
    filled: list[tuple[float, float, float, float]] = []
    for column in range(columns):
        for row in range(rows):
            edge = min(column, row, columns - 1 - column, rows - 1 - row)
            middle = hypot(column - (columns - 1) / 2, row - (rows - 1) / 2)
            in_border = edge < ring and (column + row) % 2 == 0
            in_figure = 2 < middle < 5 and (column + row) % 3 != 0
            if in_border or in_figure:
                x, y = frame_left + unit * column, frame_top + unit * row
                filled.append((x, y, unit, unit))
    parts.append(_solids(filled))
    parts.append(_path(grid, ' stroke-width="0.5"'))
    places = (
        (18, 60, left + 4, 60),
        (18, 16, inner_left + 8, 16),
        (18, 110, inner_left + 6, 110),
        (302, 150, frame_left + unit * columns - 8, 150),
        (302, 205, frame_left + unit * columns - 46, 205),
    )
    for number, (x, y, to_x, to_y) in enumerate(places, start=1):
        parts.append(_path(f"M{x} {y}L{to_x} {to_y}", f' stroke="{MARK}"'))
        parts.append(_number(x, y, number))
    foot = top + height + 26
    key = _key(
        foot,
        "selvedge, counted in ends",
        "hem, counted in picks",
        "margin: whole units without figure",
        "border, in units, with its corner",
        "field, in units: one square is one unit",
    )
    return _svg(
        "A napkin in units, with its edges",
        "From the outside in: a narrow selvedge at each side, a hem at each end, a margin without"
        " figure, a border two units wide, and the field. Border and field are a grid of units.",
        foot + LINE * 4 + 8,
        (*parts, key),
    )


def _entering() -> str:
    gap, unit = 20.0, 6
    lefts = (38.0, 187.0)
    parts = [_words(0, 14, "from the lease sticks", bold=True)]
    shafts = 172.0
    for left in lefts:
        ends = [left + gap * end for end in range(unit)]
        twist_y, eye_y = 44, 88
        a, b = ends[2], ends[3]
        for end, x in enumerate(ends):
            if end in (2, 3):
                other = b if end == 2 else a
                parts.append(
                    _path(
                        f"M{x:g} 24C{x:g} 34 {other:g} 34 {other:g} {twist_y}S{x:g} 58 {x:g} 68V258"
                    )
                )
            else:
                parts.append(_path(f"M{x:g} 24V258"))
        wall = "".join(f"M{left + gap * (end - 0.5):g} {eye_y - 10}v20" for end in range(unit + 1))
        box_left = left - gap / 2
        parts.append(_path(wall, ' stroke-width="3"'))
        parts.append(
            _path(
                f"M{box_left:g} {eye_y - 10}h{gap * unit:g}m0 20h{-gap * unit:g}",
                ' stroke-width="3"',
            )
        )
        for end, x in enumerate(ends):
            parts.append(
                f'<circle cx="{x:g}" cy="{shafts + 14 * (5 - end):g}" r="4" fill="currentColor"/>'
            )
    for shaft in range(unit):
        y = shafts + 14 * (5 - shaft)
        parts.append(_path(f"M20 {y:g}H298", ' stroke-width="0.8"'))
        parts.append(_words(310, y + 4.5, str(shaft + 1), "middle"))
    parts.append(_number(12, 48, 1))
    parts.append(_number(12, 88, 2))
    parts.append(_number(12, 148, 3))
    parts.append(_words(0, 278, "to the reed", bold=True))
    key = _key(
        304,
        "a twist between neighbours is held back",
        "pattern heddle: one unit, six gaps",
        "ground shafts: each end singly, 1 to 6",
    )
    return _svg(
        "Entering two units of six ends",
        "Seen from above. Six ends come to one pattern heddle and go through six gaps with walls"
        " between them; two ends twisted about each other are held apart behind it. In front each"
        " end is entered singly, straight over, on ground shafts one to six; the next unit starts"
        " again on shaft one.",
        304 + LINE * 2 + 8,
        (*parts, key),
    )


def _in_leaf(x: float, y: float) -> bool:
    """Tell whether a point of the unit square lies where two great circles overlap."""
    return hypot(x, y) < 0.97 and hypot(1 - x, 1 - y) < 0.97


def _unit_scale() -> str:
    parts = []
    side = 148.0
    for left, units in ((0.0, 9), (171.0, 36)):
        step = side / units
        parts.append(_box(left + 0.5, 1, side, side, f' fill="{LINEN}" stroke-width="0.8"'))
        filled: list[tuple[float, float, float, float]] = []
        for row in range(units):
            start = None
            for column in range(units + 1):
                inside = column < units and _in_leaf((column + 0.5) / units, (row + 0.5) / units)
                if inside and start is None:
                    start = column
                elif not inside and start is not None:
                    run = (column - start) * step
                    filled.append((left + 0.5 + start * step, 1 + row * step, run, step + 0.15))
                    start = None
        parts.append(_solids(filled))
        parts.append(_words(left + side / 2, side + 22, f"{units} units across", "middle"))
    return _svg(
        "One leaf on a coarse and on a fine grid of units",
        "The same leaf, drawn once on nine units across, where its curve becomes a few large"
        " steps, and once on thirty-six, where the steps are small and the curve is seen.",
        side + 30,
        parts,
    )


def _warp_bar() -> str:
    parts = []
    left = 1.0
    names = ("cloth for the table", "take-up", "sample and gaps", "waste at both ends")
    for number, width in enumerate((186, 16, 40, 76), start=1):
        if number == 4:
            parts.append(_hatched(left, 8, width, 36))
        else:
            fill = "currentColor" if number == 2 else LINEN
            parts.append(_box(left, 8, width, 36, f' fill="{fill}"'))
        parts.append(_number(left + width / 2, 62, number))
        left += width
    return _svg(
        "What a warp is made of",
        "One bar for the whole warp, split into the cloth for the table, the take-up that bends"
        " round the weft, the sample and the gaps between pieces, and the waste at both ends.",
        96 + LINE * 3 + 8,
        (*parts, _key(96, *names)),
    )


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


FIGURES: dict[str, Callable[[], str]] = {
    "losses": _losses,
    "thread-path": _thread_path,
    "cross-and-groups": _cross_and_groups,
    "units-and-edges": _units_and_edges,
    "entering": _entering,
    "unit-scale": _unit_scale,
    "warp-bar": _warp_bar,
    "count-scale": _count_scale,
    "satin-and-damask": _satin_and_damask,
}


def figure_svg(name: str) -> str:
    """Return the drawing of that name, with its title and description inside."""
    if name not in FIGURES:
        raise FigureError(f"There is no drawing “{name}”; there are: {', '.join(FIGURES)}.")
    return FIGURES[name]()
