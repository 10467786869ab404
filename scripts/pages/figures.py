"""The handbook's drawings: SVG files, and those that the package works out.

Lines take the colour of the text around them, so a drawing turns with light, dark and paper. What
must be told apart is told apart by shape, hatching or a number, never by colour alone.
"""

from collections.abc import Callable, Iterable
from functools import partial
from html import escape
from itertools import groupby
from math import hypot, log, sqrt

from calculators.engine.reading import read_inputs
from calculators.figure.draw import STAR
from calculators.figure.grid import Grid, of_marks, read_grid
from calculators.figure.motifs import lettering, motif, motifs
from calculators.figure.others import OTHERS, OtherCloth
from calculators.figure.picture import WAYS, Picture, figure_of
from calculators.figure.rows import runs
from calculators.figure.wholes import bordered, half_dropped, mirrored_across, repeated
from calculators.registry import calculator
from calculators.show.pictures import loom_above_svg, loom_side_svg
from calculators.weave.ground import ground_of, weave_ground
from calculators.weave.library import weave
from calculators.yarn.systems import tex_of
from scripts.setting_up.environment import ROOT

DRAWINGS = ROOT / "docs" / "data" / "drawings"
WIDTH = 320
LINE = 18  # from one line of words to the next

SEAM = 0.1

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


def _units(grid: Grid, left: float, top: float, size: float, seam: float = 0) -> str:
    """Return the drawn units as one shape, each run one box; a ``seam`` more closes hairlines."""
    return _solids(
        (
            left + size * (first - 1),
            top + size * (grid.up - number) - seam,
            size * (last - first + 1),
            size + 2 * seam,
        )
        for number, row in enumerate(grid.rows, 1)
        for first, last in runs(row)
    )


def _pear(across: int, up: int) -> Picture:
    """Draw an invented pear in greys, the light from the left, its shadow on the table."""

    def half(y: float) -> float:
        """Half the pear's width: its body's and its neck's together."""
        body, neck = 1 - ((y - 0.66) / 0.26) ** 2, 1 - ((y - 0.40) / 0.22) ** 2
        return sqrt(hypot(0.36**2 * max(body, 0), 0.18**2 * max(neck, 0)))

    def grey(x: float, y: float) -> int:
        stalk = abs(x - 0.5 - 0.35 * (0.2 - y)) < 0.028 and 0.05 < y < 0.21
        leaf = ((x - 0.70) / 0.17) ** 2 + ((y - 0.11 + 0.25 * (x - 0.70)) / 0.05) ** 2 < 1
        if stalk or leaf:
            return 40
        if abs(x - 0.5) < half(y):
            turned = (x - 0.5) / half(y)
            return 50 if abs(turned) > 0.88 else round(170 - 120 * turned - 20 * turned**2)
        table = ((x - 0.60) / 0.38) ** 2 + ((y - 0.92) / 0.05) ** 2 < 1
        return 110 if table else 255

    points = [grey((x + 0.5) / across, (y + 0.5) / up) for y in range(up) for x in range(across)]
    return Picture(across, up, bytes(min(max(point, 0), 255) for point in points))


def _ways_to_squares() -> str:
    pear, units, size = _pear(180, 220), (36, 44), 4.0
    parts = []
    tall = size * units[1] + 38
    for number, (name, way) in enumerate(WAYS.items()):
        grid = figure_of(pear, name, size=units)
        left, top = (number % 2) * (WIDTH - size * units[0]), 2 + (number // 2) * tall
        parts.append(_box(left, top, size * units[0], size * units[1], ' stroke-width="0.8"'))
        parts.append(_units(grid, left, top, size))
        first, _, rest = way.title.partition(" against ")
        lines = [f"{first} against", rest] if rest else [first]
        foot = top + size * units[1] + 15
        parts += [_words(left, foot + 15 * line, words) for line, words in enumerate(lines)]
    return _svg(
        "One drawing of a pear, made into 36 by 44 units in five ways",
        "One level leaves a dark part and a light part. Against its surroundings the outline comes "
        "through. Fine dots, coarse dots and the rest passed on keep the shading as sprinkled "
        "units.",
        tall * ((len(WAYS) + 1) // 2),
        parts,
    )


def _motifs_in_squares() -> str:
    size, parts, top, row = 3.0, [], 2.0, 0.0
    left = 0.0
    for name, title in motifs().items():
        grid = motif(name)
        words, wide = title.partition(",")[0], size * grid.across
        room = max(wide, 7.2 * max(len(words), 11))
        if left and left + room > WIDTH:
            left, top, row = 0.0, top + row + 48, 0.0
        parts.append(_units(grid, left, top, size))
        foot = top + size * grid.up
        parts.append(_words(left, foot + 16, words))
        parts.append(_words(left, foot + 31, f"{grid.across} × {grid.up} units"))
        row = max(row, size * grid.up)
        left += room + 14
    return _svg(
        "The handbook’s motifs, with their units across and up",
        "A leaf, a star, a rosette, a fir tree, an acorn, a crown, a tulip, a bird, a stag, a knot "
        "and borders with a corner, each as drawn units on a grid.",
        top + row + 40,
        parts,
    )


def _letters_in_squares() -> str:
    parts, top = [], 2.0
    sets = (
        ("small", 2.0, ("ABCDEFGHIJKLM", "NOPQRSTUVWXYZ", "ÅÄÖÆØÉÜ &", "0123456789 . –")),
        ("large", 2.0, ("ABCDEFGHIJ", "KLMNOPQRS", "TUVWXYZ &", "ÅÄÖÆØÉÜ", "0123456789 . –")),
    )
    for size, unit, lines in sets:
        up = lettering("A", size).up
        top += 14
        parts.append(_words(0, top, f"{size.capitalize()}: {up} units high", bold=True))
        top += 10
        for line in lines:
            grid = lettering(line, size)
            parts.append(_units(grid, 0, top, unit))
            top += unit * grid.up + 10
    return _svg(
        "Letters and figures in two sizes",
        "Capitals from A to Z with Å, Ä, Ö, Æ, Ø, É and Ü, the figures, the and sign, the point "
        "and the dash: small ones drawn a unit thick, large ones two.",
        top,
        parts,
    )


LEAF = """
......##.
....####.
...#####.
..###.##.
.###.###.
.##.####.
.#.####..
..#####..
.#.##....
#........
"""
CORNER = "##### / #...# / #.#.# / #...# / #####"
BORDER = "####### / ....... / ..#.#.. / ...#... / #######"


def _star_cloth() -> str:
    grid, ground = read_grid(STAR), ground_of("satin_6")
    cloth = of_marks(weave_ground(ground, grid.marks(), 6, 6))
    size, side = 3.4, 3.4 * cloth.up
    parts = [_squares(cloth, (WIDTH - side) / 2, 2, size)]
    foot = side + 24
    captions = (
        "Filled: the warp end is up. 15 by 15 units of",
        "six-end satin, each of six ends and six picks.",
    )
    parts += [_words(0, foot + LINE * place, words) for place, words in enumerate(captions)]
    return _svg(
        "The star as cloth, thread by thread",
        "Where a unit is drawn five ends of six are up on each pick; where it is at rest, one of"
        " six. So the star stands in warp satin on a ground of weft satin.",
        foot + LINE + 8,
        parts,
    )


def _repeats() -> str:
    leaf = read_grid(LEAF, top_first=True)
    whole = 4 * leaf.across
    kinds = (
        ("straight", repeated(leaf, 4, 3)),
        ("mirrored", repeated(mirrored_across(leaf, about_a_unit=False), 2, 3)),
        ("half-drop", half_dropped(leaf, 4, 3)),
        (
            "border and corner",
            bordered(read_grid(CORNER), read_grid(BORDER), 4, 4, repeated(leaf, 2, 2)),
        ),
    )
    size = 140 / (whole + 2)
    parts: list[str] = []
    for number, (words, grid) in enumerate(kinds):
        left, top = 170.0 * (number % 2), 178.0 * (number // 2) + 18
        parts += [_words(left, top - 5, words), _squares(grid, left, top, size)]
    return _svg(
        "One leaf in four repeats",
        "Straight, every leaf stands beside and above the other. Mirrored, every second one looks "
        "the other way. In the half-drop every second column begins half a leaf higher. In the "
        "last, four leaves stand in a border that turns its corners.",
        178 * 2 + 4,
        parts,
    )


def _squares(grid: Grid, left: float, top: float, size: float) -> str:
    frame = f' fill="{LINEN}" stroke-width="0.8"'
    return _box(left, top, size * grid.across, size * grid.up, frame) + _units(
        grid, left, top, size, SEAM
    )


LOZENGE = Grid(6, (0b001100, 0b011110, 0b111111, 0b111111, 0b011110, 0b001100))
FILLS = {  # of what lies on top
    "g": LINEN,
    "s": "currentColor",
    "b": "var(--ft-mark, currentColor)",
}


def _other_cloth(cloth: OtherCloth) -> str:
    """Draw a lozenge of units, every crossing in the colour of the thread that lies on top."""
    marks = cloth.woven(LOZENGE.marks())
    ends, picks = len(marks[0]), len(marks)
    size = WIDTH / ends
    height = picks * size
    steps: dict[str, list[str]] = {kind: [] for kind in cloth.kinds}
    seams = []
    for pick, row in enumerate(marks):
        weft = cloth.wefts[pick % len(cloth.wefts)]
        y = height - (pick + 1) * size
        tops = [cloth.warps[end % len(cloth.warps)] if up else weft for end, up in enumerate(row)]
        end = 0
        for top, run in groupby(tops):
            count = len(list(run))
            wide = f"{count * size:.5g}"
            steps[top].append(f"M{end * size:.5g} {y:.5g}h{wide}v{size:.5g}h-{wide}z")
            end += count
        seams += [
            f"M{end * size:.5g} {y:.5g}{'v' if up else 'h'}{size:.5g}" for end, up in enumerate(row)
        ]
    parts = [
        _path("".join(steps[kind]), f' fill="{FILLS[kind]}" stroke="none"') for kind in cloth.kinds
    ]
    parts += [_path("".join(seams), ' stroke-width=".4"'), _box(0.5, 0.5, WIDTH - 1, height - 1)]
    for place, (kind, name) in enumerate(cloth.kinds.items()):
        x, y = 4 + place * 108, height + 6
        parts += [_box(x, y, 14, 14, f' fill="{FILLS[kind]}"'), _words(x + 20, y + 12, name)]
    words = (
        f"{cloth.title}: a lozenge of {LOZENGE.across} by {LOZENGE.up} units, {ends} ends and "
        f"{picks} picks. Every crossing has the colour of the thread on top."
    )
    return _svg(cloth.title, words, height + 24, parts)


def _distances(*names: str) -> dict[str, float]:
    """Return the distances [cm] of the loom in the worked example."""
    readings, _ = read_inputs(calculator("shed-and-stretch"), {})
    return {name: readings[name].value for name in names}


ALONG = ("fell_to_shafts", "harness_distance", "behind_harness")


def _loom_side() -> str:
    return loom_side_svg(**_distances(*ALONG, "pattern_lift", "below_line"), numbered=True)


def _loom_above() -> str:
    return loom_above_svg(**_distances(*ALONG))


WORKED_OUT: dict[str, Callable[[], str]] = {
    "count-scale": _count_scale,
    "letters": _letters_in_squares,
    "loom-above": _loom_above,
    "loom-side": _loom_side,
    "motifs": _motifs_in_squares,
    "repeats": _repeats,
    "satin-and-damask": _satin_and_damask,
    "star-cloth": _star_cloth,
    **{f"other-{name}": partial(_other_cloth, cloth) for name, cloth in OTHERS.items()},
    "ways-to-squares": _ways_to_squares,
}
FIGURES = sorted([*WORKED_OUT, *(path.stem for path in DRAWINGS.glob("*.svg"))])


def figure_svg(name: str) -> str:
    """Return one of the drawings, with its title and description inside."""
    if name in WORKED_OUT:
        return WORKED_OUT[name]()
    return (DRAWINGS / f"{name}.svg").read_text(encoding="utf-8").strip()
