"""Pictures of a weave: on point paper, and the threads themselves, true to scale.

These two are SVG that takes its colours from the page: ``currentColor`` for lines, ``--ft-warp``
and ``--ft-weft`` for the threads.
"""

from collections.abc import Sequence
from html import escape

from calculators.engine.formula import formula, unlogged
from calculators.errors import InputError
from calculators.quantities.sentences import many
from calculators.weave.matrix import Weave
from calculators.yarn.diameter import diameter_mm

SQUARE = 12
FEWEST_SQUARES = 12
THREADS_SHOWN = 12
MOST_THREADS_SHOWN = 32
CLOSE_UP_WIDTH = 320.0
SWATCH_THREADS = 12
MOST_IN_A_SWATCH = 16


def point_paper_svg(weave: Weave, ends: int = 0, picks: int = 0) -> str:
    """Weave on point paper: a filled square is a warp end up, the first pick is at the bottom.

    Equation: none
    Parameters:
        weave [Weave]: the weave
        ends [ends]: how many to draw; whole repeats, about twelve, when not given
        picks [picks]: how many to draw; whole repeats, about twelve, when not given
    Returns:
        [SVG] with a title; one repeat is framed, every eighth line (every fifth in a repeat of
        fives) is heavier
    Validity: up to 256 ends and picks.
    Errors: InputError when more are asked for.
    Example:
        >>> from calculators.weave.library import weave
        >>> picture = point_paper_svg(weave("satin_5"))
        >>> picture.count("<title>"), 'viewBox="0 0 184 184"' in picture
        (1, True)

    Source: E. A. Posselt, The Jacquard Machine Analyzed and Explained, 1888 (point paper and its
        rules); common practice.
    """
    across = ends or _whole_repeats(weave.ends)
    up = picks or _whole_repeats(weave.picks)
    if not (1 <= across <= 256 and 1 <= up <= 256):
        raise InputError("weave", "That is too large to draw.", "At most 256 ends and picks.")
    width, height = across * SQUARE, up * SQUARE
    filled = "".join(
        f"M{first * SQUARE} {height - (pick + 1) * SQUARE}h{length}v{SQUARE}h-{length}z"
        for pick in range(up)
        for first, last in _stretches_up(weave.matrix[pick % weave.picks], across)
        for length in [(last - first + 1) * SQUARE]
    )
    ruled = 5 if weave.ends % 5 == 0 else 8
    fine = _lines(range(across + 1), range(up + 1), width, height)
    heavy = _lines(range(0, across + 1, ruled), range(0, up + 1, ruled), width, height)
    frame_top = height - min(weave.picks, up) * SQUARE
    frame = (
        f"M0 {height}V{frame_top}H{min(weave.ends, across) * SQUARE}V{height}z"
        if weave.ends < across or weave.picks < up
        else ""
    )
    title = (
        f"{weave.title} on point paper, {many(weave.ends, 'ends')} and "
        f"{many(weave.picks, 'picks')} in the repeat; "
        "a filled square is a warp end up, the first pick is at the bottom"
    )
    return (
        f'<svg class="ft-paper" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="0 0 {width + 4} {height + 4}" width="{width + 4}" height="{height + 4}">'
        f'<title>{escape(title)}</title><g transform="translate(2 2)" fill="none" '
        f'stroke="currentColor"><path d="{filled}" fill="currentColor" stroke="none"/>'
        f'<path d="{fine}" stroke-width="0.5" stroke-opacity="0.6"/>'
        f'<path d="{heavy}" stroke-width="1.2"/><path d="{frame}" stroke-width="3"/></g></svg>'
    )


def swatch_svg(weave: Weave) -> str:
    """Small drawing of a weave, to be known by the eye beside its name.

    Equation: none
    Parameters:
        weave [Weave]: the weave
    Returns:
        [SVG] on point paper without lines, whole repeats where they are small; for the eye alone
    Validity: any weave; of a large one its corner.
    Errors: none.
    Example:
        >>> from calculators.weave.library import weave
        >>> 'viewBox="0 0 10 10"' in swatch_svg(weave("satin_5"))
        True

    Source: the rules of point_paper_svg.
    """
    across, up = _for_a_swatch(weave.ends), _for_a_swatch(weave.picks)
    filled = "".join(
        f"M{first} {up - 1 - pick}h{last - first + 1}v1H{first}z"
        for pick in range(up)
        for first, last in _stretches_up(weave.matrix[pick % weave.picks], across)
    )
    return (
        f'<svg class="ft-swatch" viewBox="0 0 {across} {up}" aria-hidden="true">'
        f'<path d="{filled}"/></svg>'
    )


@formula(
    "F-30",
    "Threads true to scale",
    "exact-arithmetic",
    gives="thread_room",
    where="a thread wider than its room is drawn as wide as the room",
)
def room_of(threads_per_cm: float) -> float:
    """Room of a thread, from its middle to the next one's.

    >>> room_of(12.5)
    0.8
    """
    return 10 / threads_per_cm


def close_up_svg(
    weave: Weave,
    warp_tex: float,
    weft_tex: float,
    sett_per_cm: float,
    picks_per_cm: float,
    *,
    ends: int = 0,
    picks: int = 0,
) -> str:
    """Threads of a cloth from the face, magnified, true to sett and thickness.

    Equation: each thread as wide as its diameter, in the room it has   (F-30)
    Parameters:
        weave [Weave]: the weave
        warp_tex [tex]: the warp yarn
        weft_tex [tex]: the weft yarn
        sett_per_cm [1/cm]: ends in the cloth
        picks_per_cm [1/cm]: picks in the cloth
        ends [ends]: how many to draw; about twelve when not given
        picks [picks]: how many to draw; about twelve when not given
    Returns:
        [SVG] with a title, a bar of one millimetre, the first pick at the bottom
    Validity: round threads by Ashenhurst's diameter; a thread with less room than its diameter is
        drawn as wide as its room, and the title says so.
    Errors: InputError when a figure is not above zero or too much is asked for.
    Example:
        >>> from calculators.weave.library import weave
        >>> picture = close_up_svg(weave("plain"), 73.8, 73.8, 11.8, 11.8)
        >>> "11.8 ends and 11.8 picks to the centimetre" in picture
        True

    Source: definition; diameters: “Ashenhurst's formula”, note by M. Faena, 1999.
    """
    across, up = ends or _enough(weave.ends), picks or _enough(weave.picks)
    if not (1 <= across <= 64 and 1 <= up <= 64):
        raise InputError("weave", "That is too many threads to draw.", "At most 64 each way.")
    for field, density in (("sett", sett_per_cm), ("picks", picks_per_cm)):
        if not 1e-3 <= density <= 1e4:
            raise InputError(field, "That many threads cannot be drawn.", "For example 12 /cm.")
    with unlogged():  # a picture is no part of how a plan was worked out
        apart, up_apart = room_of(sett_per_cm), room_of(picks_per_cm)
        warp_diameter, weft_diameter = diameter_mm(warp_tex), diameter_mm(weft_tex)
    scale = CLOSE_UP_WIDTH / max(across * apart, up * up_apart)
    warp, weft = min(warp_diameter, apart), min(weft_diameter, up_apart)
    step, rise, thick, high = (scale * size for size in (apart, up_apart, warp, weft))
    width, height = across * step, up * rise

    def warp_float(end: int, first: int, last: int) -> str:
        """One end where it lies above picks first to last."""
        top = max(0.0, height - (last + 1) * rise + (rise - high) / 2 - rise / 4)
        foot = min(height, height - first * rise - (rise - high) / 2 + rise / 4)
        sides = f'stroke-dasharray="0 {thick:.2f} {foot - top:.2f} {thick:.2f} {foot - top:.2f}"'
        return _thread(end * step + (step - thick) / 2, top, thick, foot - top, sides)

    below = [_thread(end * step + (step - thick) / 2, 0, thick, height) for end in range(across)]
    between = [_thread(0, pick * rise + (rise - high) / 2, width, high) for pick in range(up)]
    above = [
        warp_float(end, first, last)
        for end in range(across)
        for first, last in _stretches_up([row[end % weave.ends] for row in weave.matrix], up)
    ]
    threads = (("warp", warp_diameter, apart), ("weft", weft_diameter, up_apart))
    squeezed = [name for name, diameter, room in threads if diameter > room]
    title = (
        f"{weave.title}, close up from the face: {_figure(sett_per_cm)} ends and "
        f"{_figure(picks_per_cm)} picks to the centimetre; warp {_figure(warp_diameter)} "
        f"mm thick, weft {_figure(weft_diameter)} mm"
        + (f"; the {' and the '.join(squeezed)} must flatten or pile up to fit" if squeezed else "")
    )
    foot_line = height + 18
    bar = f"M1 {height + 9:.2f}v8m0 -4h{scale:.2f}m0 -4v8"
    key = "".join(
        f'<g class="ft-{name}" {colours}>{_thread(left, height + 7, 12, 12)}</g>'
        f'<text x="{left + 17:.2f}" y="{foot_line:.2f}">{name}</text>'
        for name, colours, left in (
            ("warp", _WARP, scale + 50),
            ("weft", _WEFT, scale + 110),
        )
    )
    return (
        f'<svg class="ft-close-up" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="-1 -1 {max(width, scale + 160) + 2:.2f} {height + 26:.2f}" '
        f'data-millimetre="{scale:.4f}"><title>{escape(title)}</title>'
        f'<g class="ft-warp" {_WARP}>{"".join(below)}</g>'
        f'<g class="ft-weft" {_WEFT}>{"".join(between)}</g>'
        f'<g class="ft-warp" {_WARP}>{"".join(above)}</g>'
        f'<g font-size="13" fill="currentColor">'
        f'<path d="{bar}" fill="none" stroke="currentColor" stroke-width="1.2"/>'
        f'<text x="{scale + 6:.2f}" y="{foot_line:.2f}">1 mm</text>{key}</g></svg>'
    )


_WARP = 'fill="var(--ft-warp, #16191c)" stroke="var(--ft-weft, #fcfcf9)" stroke-width="0.8"'
_WEFT = 'fill="var(--ft-weft, #fcfcf9)" stroke="var(--ft-warp, #16191c)" stroke-width="0.8"'


def _whole_repeats(threads: int) -> int:
    return threads * -(-FEWEST_SQUARES // threads)


def _for_a_swatch(threads: int) -> int:
    return min(MOST_IN_A_SWATCH, threads * max(1, SWATCH_THREADS // threads))


def _enough(threads: int) -> int:
    return min(MOST_THREADS_SHOWN, threads * -(-THREADS_SHOWN // threads))


def _lines(across: range, up: range, width: int, height: int) -> str:
    return "".join(f"M{place * SQUARE} 0v{height}" for place in across) + "".join(
        f"M0 {height - place * SQUARE}h{width}" for place in up
    )


def _stretches_up(marks: Sequence[bool], threads: int) -> list[tuple[int, int]]:
    """First and last thread of each stretch of ups, the marks repeated over so many threads."""
    stretches: list[tuple[int, int]] = []
    for place in range(threads):
        if not marks[place % len(marks)]:
            continue
        if stretches and stretches[-1][1] == place - 1:
            stretches[-1] = (stretches[-1][0], place)
        else:
            stretches.append((place, place))
    return stretches


def _thread(left: float, top: float, width: float, height: float, sides: str = "") -> str:
    place = f'x="{left:.2f}" y="{top:.2f}" width="{width:.2f}" height="{height:.2f}"'
    return f"<rect {place} {sides}/>" if sides else f"<rect {place}/>"


def _figure(value: float) -> str:
    return f"{value:.3g}"
