"""The warp as one strip, from the knots in front to the thrums behind."""

from itertools import accumulate

from calculators.quantities.sentences import both, many
from calculators.show.pictures.parts import (
    COLOURS,
    INK,
    LEVEL,
    LINE,
    WIDTH,
    both_spans,
    filled,
    lines_svg,
    svg,
    swatch,
)

FRONT, BEHIND = 22, 10  # the rod with its knots, the cut ends
HIGH = 36
NUMBERED = 13  # a piece at least so wide bears its number
MOST_PIECES = 60  # drawn one by one
THREAD = COLOURS["threads"]


def warp_svg(
    *,
    warp_length: float,
    woven_length: float,
    pieces: int,
    piece_on_loom: float,
    gap: float,
    sample: float,
    loom_waste: float,
) -> str:
    """Draw the whole warp to scale, in the order it is woven [cm].

    What is woven takes more warp than its own length: the take-up, spread over all of it. The waste
    is one length here, drawn where most of it is left, behind.
    """
    slack = warp_length - loom_waste  # what is woven, as long as its ends are
    scale = (WIDTH - FRONT - BEHIND) / warp_length
    of_woven = scale * slack / woven_length
    starts = [
        FRONT + of_woven * start
        for start in accumulate([sample] + [piece_on_loom + gap] * (pieces - 1))
    ]
    end = WIDTH - BEHIND
    threads = "".join(f"M{FRONT} {y}H{WIDTH}" for y in range(6, HIGH, 5))
    knots = "".join(
        f"M6 {y}L{FRONT} {y - 5}M6 {y}L{FRONT} {y}M6 {y}L{FRONT} {y + 5}" for y in (11, 26)
    )
    drawn = [
        f'<path class="ft-threads" d="{threads}{knots}" fill="none" stroke="{THREAD}"/>'
        f'<path d="M6 1v{HIGH}" stroke="currentColor" stroke-width="3"/>'
        + "".join(f'<circle cx="6" cy="{y}" r="3.5" {filled("threads")}/>' for y in (11, 26))
    ]
    if sample:
        drawn.append(_cloth("sample", FRONT, of_woven * sample, "beside"))
    wide = of_woven * piece_on_loom
    if pieces <= MOST_PIECES:
        for number, start in enumerate(starts, 1):
            drawn.append(_cloth("piece", start, wide, "cloth"))
            if wide >= NUMBERED:
                drawn.append(
                    f'<text x="{start + wide / 2:.2f}" y="{HIGH / 2 + 5.5}" fill="{INK}"'
                    f' text-anchor="middle">{number}</text>'
                )
    else:
        drawn.append(_cloth("piece", starts[0], starts[-1] + wide - starts[0], "cloth"))
    waste = scale * loom_waste
    if waste:
        drawn.append(
            f'<path class="ft-warp-waste" d="M{end - waste:.2f} {HIGH + 4}v6m0 -3H{end}m0 -3v6"'
            ' fill="none" stroke="currentColor"/>'
        )
    told = [
        (_THREADS, f"the whole warp: {both_spans(warp_length / 100, 'm')}"),
        *([(swatch("beside"), f"sample: {both_spans(sample, 'cm')}")] if sample else []),
        (
            swatch("cloth"),
            f"{many(pieces, 'pieces')} of {both_spans(piece_on_loom, 'cm')} on the loom",
        ),
        *(
            [("", f"{many(pieces - 1, 'gaps')} of {both_spans(gap, 'cm')}")]
            if gap and pieces > 1
            else []
        ),
        ("", f"take-up of all this: {both_spans(slack - woven_length, 'cm')}"),
        (LEVEL, f"loom waste, front and behind: {both_spans(loom_waste, 'cm')}"),
    ]
    top = HIGH + 16
    return svg(
        "ft-warp-strip",
        top + LINE * len(told) + 3,
        "The warp, from the knots in front to the thrums behind",
        f"{pieces} of {both(piece_on_loom, 'cm')}, sample {both(sample, 'cm')}, waste "
        f"{both(loom_waste, 'cm')}, in all {both(warp_length / 100, 'm')}.",
        "".join(drawn) + lines_svg(0, top, told),
    )


_THREADS = f'<path class="ft-threads" d="M{{x}} {{y}}m0 3h14m-14 4h14m-14 4h14" stroke="{THREAD}"/>'


def _cloth(name: str, left: float, width: float, kind: str) -> str:
    return (
        f'<rect {filled(kind, f"ft-warp-{name}")} x="{left:.2f}" y="1" width="{width:.2f}"'
        f' height="{HIGH}" stroke="{INK}" stroke-width="0.8"/>'
    )
