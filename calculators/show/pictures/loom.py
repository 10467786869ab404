"""The draw loom, from the side and from above, its distances along the warp to scale.

Lines take the colour of the words around them, linen and wood that of the page, so that the picture
turns with light, dark and paper.
"""

from collections.abc import Iterable
from html import escape

from calculators.quantities.sentences import both
from calculators.show.pictures.parts import both_spans

WIDE = 320
FELL, BACK = 58, 268  # where they are drawn; what lies outside is not to scale
LINE_Y = 128  # the straight line from the fell to the back beam
TALLEST = 42  # the lift, as it is drawn
SHAFTS = 4
LINEN = "var(--ft-weft, #fff)"
MARK = "var(--ft-mark, currentColor)"

# The parts, each by its word in the glossary, in the order of their numbers.
SIDE = (
    "breast beam",
    "cloth beam",
    "temple",
    "fell",
    "beater",
    "ground shaft",
    "long eye",
    "treadle",
    "pattern heddle",
    "lingo or weight",
    "draw cord",
    "pulley",
    "peg rail",
    "back beam",
    "lease stick",
    "warp beam",
)
ABOVE = (
    "breast beam",
    "fell",
    "temple",
    "reed",
    "ground shaft",
    "pattern heddle",
    "pattern unit",
    "back beam",
    "lease stick",
    "warp beam",
)


def _words(x: float, y: float, words: str, anchor: str = "start", *, bold: bool = False) -> str:
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="15" fill="currentColor"'
        f' stroke="none"{weight}>{words}</text>'
    )


def _path(steps: str, more: str = "") -> str:
    return f'<path d="{steps}"{more}/>'


def _round(x: float, y: float, radius: float, fill: str = LINEN) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:g}" fill="{fill}"/>'


def _numbers(parts: Iterable[str], places: Iterable[tuple[float, float]]) -> str:
    """Number the parts, each where it is told to stand."""
    return "".join(
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="9" fill="{LINEN}" stroke-width="1"/>'
        f'<text x="{x:.1f}" y="{y + 4.5:.1f}" text-anchor="middle" font-size="12.5"'
        f' font-weight="700" fill="currentColor" stroke="none">{number}</text>'
        for number, (_, (x, y)) in enumerate(zip(parts, places, strict=True), 1)
    )


def _svg(title: str, description: str, height: float, parts: Iterable[str]) -> str:
    return (
        f'<svg class="ft-drawn" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {height:g}"'
        ' role="img" fill="none" stroke="currentColor" stroke-width="1.5" stroke-linecap="round"'
        f' stroke-linejoin="round"><title>{escape(title)}</title><desc>{escape(description)}</desc>'
        f"{''.join(parts)}</svg>"
    )


def _measures(
    top: float, fell_to_shafts: float, harness_distance: float, behind_harness: float
) -> list[str]:
    """Draw three lengths with their letters, and tell them below."""
    lengths = (
        ("a", fell_to_shafts, "fell to the back ground shaft"),
        ("d", harness_distance, "ground to pattern harness"),
        ("b", behind_harness, "harness to the back beam"),
    )
    scale = (BACK - FELL) / (fell_to_shafts + harness_distance + behind_harness)
    drawn, left = [], float(FELL)
    for letter, length, _ in lengths:
        right = left + scale * length
        drawn.append(_path(f"M{left:.1f} {top - 4}v8m0 -4H{right:.1f}m0 -4v8"))
        drawn.append(_words((left + right) / 2, top + 17, letter, "middle", bold=True))
        left = right
    for line, (letter, length, words) in enumerate(lengths):
        y = top + 42 + 20 * line
        drawn.append(_words(0, y, letter, bold=True))
        drawn.append(_words(18, y, f"{words}: {both_spans(length, 'cm')}"))
    return drawn


def loom_side_svg(
    *,
    fell_to_shafts: float,
    harness_distance: float,
    behind_harness: float,
    pattern_lift: float,
    below_line: float,
    numbered: bool = False,
) -> str:
    """Draw the loom from the side [cm]: one unit drawn, one at rest, and what the ground binds.

    Heights are drawn larger than lengths, as far as there is room; the picture says how much.
    ``numbered`` puts the numbers of ``SIDE`` on the parts.
    """
    front = fell_to_shafts + harness_distance
    scale = (BACK - FELL) / (front + behind_harness)
    tall = min(TALLEST / max(pattern_lift, below_line), 3 * scale)
    shafts, harness = FELL + scale * fell_to_shafts, FELL + scale * front
    up, down = tall * (pattern_lift - below_line), tall * below_line

    def level(height: float, x: float = harness) -> float:
        """Where a height at the harness is drawn, or the line of such an end nearer the fell."""
        return LINE_Y - height * (x - FELL) / (harness - FELL)

    drawn, rest = level(up), level(-down)
    drawn_there, rest_there = level(up, shafts), level(-down, shafts)
    apart = min(6.0, (shafts - FELL - 14) / SHAFTS)
    beater = shafts - apart * SHAFTS - 3
    eyes = []
    for number in range(SHAFTS):
        x = shafts - apart * number
        top, foot = level(up, x) - 3, level(-down, x) + 3
        eyes.append(
            _path(f"M{x:.1f} 60V{top:.1f}M{x:.1f} {foot:.1f}V192")
            + f'<ellipse cx="{x:.1f}" cy="{(top + foot) / 2:.1f}" rx="2"'
            f' ry="{(foot - top) / 2:.1f}" stroke-width="1"/>'
        )
    bars = "".join(
        f"M{shafts - apart * number:.1f} 56v7M{shafts - apart * number:.1f} 189v7"
        for number in range(SHAFTS)
    )
    beside = harness + 7  # the neighbour's heddle
    moved = max(14.0, tall * pattern_lift)
    cords = (
        f"M{harness:.1f} {drawn:.1f}V22M{harness - 4:.1f} 18H14M10 22V{58 + moved:.1f}"
        f"M{beside:.1f} {rest:.1f}V18M{beside - 4:.1f} 14H22M22 14V58"
    )
    parts = [
        # the warp: from the beam behind to the cloth in front
        _path(f"M{BACK} {LINE_Y}L287 152L278 190", ' stroke-width="2.5"'),
        _path(f"M{FELL} {LINE_Y}H28", ' stroke-width="4"'),
        _path(f"M26 {LINE_Y}L30 186", ' stroke-width="2"'),
        _round(28, LINE_Y + 7, 7),
        _round(34, 194, 10),
        _round(BACK, LINE_Y + 7, 7),
        _round(288, 198, 14),
        _round(286, 148, 3.5, "currentColor"),
        _round(284, 164, 3.5, "currentColor"),
        _path(f"M{FELL - 16} {LINE_Y - 4}h12", ' stroke-width="5"'),
        # the ends: the line they would lie in, drawn, at rest, and the two that the ground binds
        _path(f"M{FELL} {LINE_Y}H{BACK}", ' stroke-width="0.8" stroke-dasharray="1 4"'),
        _path(f"M{FELL} {LINE_Y}L{harness:.1f} {drawn:.1f}L{BACK} {LINE_Y}"),
        _path(f"M{FELL} {LINE_Y}L{harness:.1f} {rest:.1f}L{BACK} {LINE_Y}"),
        _path(
            f"M{FELL} {LINE_Y}L{shafts:.1f} {rest_there:.1f}L{harness:.1f} {drawn:.1f}"
            f"M{FELL} {LINE_Y}L{shafts:.1f} {drawn_there:.1f}L{harness:.1f} {rest:.1f}",
            f' stroke="{MARK}" stroke-dasharray="4 3"',
        ),
        # beater, ground shafts, harness
        _path(f"M{beater:.1f} 58V{LINE_Y + 34}", ' stroke-width="3.5"'),
        _path(f"M{beater - 7:.1f} {LINE_Y + 34}h14", ' stroke-width="4"'),
        *eyes,
        _path(bars, ' stroke-width="3"'),
        _path(
            f"M{shafts - apart * 1.5:.1f} 198L{shafts - apart * 1.5:.1f} 214"
            f"M{FELL - 6} 222L{shafts + 18:.1f} 212",
            ' stroke-width="2"',
        ),
        _path(cords, ' stroke-width="1"'),
        _path(f"M{harness:.1f} {drawn:.1f}V{drawn + 58:.1f}", ' stroke-width="1"'),
        _path(f"M{beside:.1f} {rest:.1f}V{rest + 58:.1f}", ' stroke-width="1"'),
        _path(
            f"M{harness:.1f} {drawn + 58:.1f}v18M{beside:.1f} {rest + 58:.1f}v18",
            ' stroke-width="4"',
        ),
        _round(harness, drawn, 3),
        _round(beside, rest, 3),
        *(_round(x, y, 4) for x, y in ((harness - 4, 22), (beside - 4, 18), (14, 22), (26, 18))),
        # the handles: drawn is held below the rail, at rest it hangs above
        _path("M3 66H30", ' stroke-width="3"'),
        _path(f"M5 {58 + moved:.1f}h10M17 58h10", ' stroke-width="4"'),
    ]
    if numbered:
        places = (
            *((11, LINE_Y + 12), (12, 204), (44, 108), (FELL, 149), (beater - 4, 48)),
            *((shafts - apart * 1.5, 44), (shafts + 13, LINE_Y - 26)),
            *((shafts + 28, 222), (beside + 13, 92), (beside + 13, rest + 64)),
            *((44, 34), (beside + 14, 24), (42, 66)),
            *((BACK, 108), (266, 166), (264, 204)),
        )
        parts.append(_numbers(SIDE, places))
    times = tall / scale
    parts += _measures(240, fell_to_shafts, harness_distance, behind_harness)
    told = [
        "Dots: the straight line. Broken: ends",
        "that the ground binds, up in the unit",
        "at rest, down in the one drawn.",
        *([] if 0.95 < times < 1.05 else [f"Heights are drawn {times:.2g} times as large."]),
    ]
    parts += [_words(0, 350 + 20 * line, words) for line, words in enumerate(told)]
    return _svg(
        "A draw loom from the side, its lengths along the warp to scale",
        "The weaver sits at the left. From the warp beam at the right the ends rise past the lease "
        "sticks over the back beam, run through the pattern heddles, then the ground shafts and "
        "the beater to the fell. One pattern heddle is drawn up by its cord, which runs over "
        "pulleys to the weaver and is held under a rail; its neighbour rests, held down by its "
        "weight. Between the two lines of ends the shed is tallest at the harness and nothing at "
        f"the fell. Fell to shafts {both(fell_to_shafts, 'cm')}, shafts to harness "
        f"{both(harness_distance, 'cm')}, behind it {both(behind_harness, 'cm')}; lift "
        f"{both(pattern_lift, 'cm')}.",
        350 + 20 * len(told) - 12,
        parts,
    )


def loom_above_svg(*, fell_to_shafts: float, harness_distance: float, behind_harness: float) -> str:
    """Draw the loom from above [cm]: three units of four ends, with their numbers."""
    scale = (BACK - FELL) / (fell_to_shafts + harness_distance + behind_harness)
    shafts = FELL + scale * fell_to_shafts
    harness = shafts + scale * harness_distance
    apart = min(6.0, (shafts - FELL - 14) / SHAFTS)
    reed = shafts - apart * SHAFTS - 3
    top, ends = 40, 3 * SHAFTS
    rows = [top + 10 * end + 8 * (end // SHAFTS) for end in range(ends)]
    foot = rows[-1]
    sticks = (280, 290)
    beams = [
        f'<rect x="{x - 5:.1f}" y="{top - 14}" width="10" height="{foot - top + 28}" rx="5"'
        f' fill="{LINEN}"/>'
        for x in (24, BACK, 306)
    ]
    threads = "".join(f"M{FELL} {y}H306" for y in rows)
    cloth = (
        f'<rect x="24" y="{top - 3}" width="{FELL - 24}" height="{foot - top + 6}" fill="{LINEN}"/>'
        + _path(
            "".join(f"M{x} {top - 3}V{foot + 3}" for x in range(28, FELL, 4)), ' stroke-width="0.8"'
        )
    )
    bars = "".join(
        f"M{shafts - apart * number:.1f} {top - 10}V{foot + 10}" for number in range(SHAFTS)
    )
    # First end on the front shaft, and straight over to the back one.
    eyes = "".join(
        _round(shafts - apart * (SHAFTS - 1 - end % SHAFTS), y, 2.2, "currentColor")
        for end, y in enumerate(rows)
    )
    heddles = "".join(
        f'<rect x="{harness - 5:.1f}" y="{rows[unit * SHAFTS] - 4}" width="10"'
        f' height="{rows[unit * SHAFTS + SHAFTS - 1] - rows[unit * SHAFTS] + 8}"/>'
        + _words(harness + 10, rows[unit * SHAFTS + 1] + 9.5, str(unit + 1), bold=True)
        for unit in range(3)
    )
    gaps = "".join(f"M{harness - 5:.1f} {y + 5}h10" for y in rows if (y - top) % 48 < 28)
    lying = "".join(
        f"M{stick} {y - 3}v6" for end, y in enumerate(rows) for stick in (sticks[end % 2],)
    )
    places = (
        *((24, 14), (FELL, 14), (FELL - 14, foot + 26), (reed - 6, foot + 26)),
        *((shafts - apart, 14), (harness, 14), (harness + 46, rows[5] + 5)),
        *((BACK, 14), (290, foot + 26), (308, 14)),
    )
    parts = [
        *beams,
        cloth,
        _path(threads, ' stroke-width="1"'),
        _path(f"M{FELL - 12} {top - 8}V{foot + 8}", ' stroke-width="4"'),
        _path(f"M{reed:.1f} {top - 10}V{foot + 10}", ' stroke-width="3" stroke-dasharray="1.5 3"'),
        _path(bars, ' stroke-width="1"'),
        eyes,
        heddles,
        _path(gaps, ' stroke-width="1"'),
        *(_path(f"M{stick} {top - 10}V{foot + 10}", ' stroke-width="1"') for stick in sticks),
        _path(lying, ' stroke-width="3"'),
        _path(f"M{harness + 26:.1f} {rows[4] - 3}h6V{rows[7] + 3}h-6"),
        _numbers(ABOVE, places),
        *_measures(foot + 54, fell_to_shafts, harness_distance, behind_harness),
    ]
    told = (
        "Three units of four ends. Bold figures:",
        "the numbers of units and cords, from",
        "the weaver’s left.",
    )
    parts += [_words(0, foot + 164 + 20 * line, words) for line, words in enumerate(told)]
    return _svg(
        "The same loom from above, the weaver at the left",
        "Twelve ends run from the warp beam across two lease sticks and the back beam. The pattern "
        "heddles take four ends each, numbered 1, 2 and 3 from one edge. In front of them every "
        "end has a heddle of its own, the first on the front ground shaft, the next on the one "
        "behind, and so over again in the next unit. Then follow the reed, the fell, the temple "
        "and the breast beam.",
        foot + 164 + 20 * len(told) - 12,
        parts,
    )
