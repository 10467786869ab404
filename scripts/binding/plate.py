"""Plates: damask of the handbook's own motifs, for the first page, the cover and links."""

from typing import Any

from calculators.appearance.calculators import Look, look_from
from calculators.appearance.pictures import threads_png
from calculators.figure.composed import composed
from calculators.figure.wholes import stored

POINTS = 2  # to a thread
ALONG, ACROSS = "12", "3"  # where light comes from, by the clock, and the warp it goes along
BIRD = {"across": 41, "up": 29, "lay": [{"motif": "bird", "at": [3, 3]}]}
PAIR: list[dict[str, Any]] = [
    {"motif": "bird", "at": [9, 12]},
    {"motif": "tree", "at": [48, 12]},
    {"motif": "bird", "at": [75, 12], "reversed": True},
]


def _framed(up: int, *pieces: dict[str, Any]) -> dict[str, Any]:
    """A figure as wide as two birds at a tree, in a frame one unit wide."""
    frame = [
        {"squares": "#", "at": [4, 4], "times": [113, up - 6]},
        {"squares": "#", "at": [5, 5], "times": [111, up - 8], "rests": True},
    ]
    return {"across": 119, "up": up, "lay": [*frame, *pieces]}


SENT = _framed(63, *PAIR)
COVER = _framed(
    168,
    *({**one, "at": [one["at"][0], one["at"][1] + 58]} for one in PAIR),
    {"motif": "star", "at": [12, 125], "times": [3, 1], "step": [33, 1]},
)


def woven(figure: dict[str, Any], weave: str, light: str = ALONG) -> tuple[Look, bytes]:
    """Weave a figure in bleached cotton: its look, and its threads as a PNG."""
    look = look_from({"grid": stored(composed(figure)), "weave": weave, "light": light})
    return look, threads_png(look.fabric, look.light, look.side, (POINTS, POINTS))


def sent_png() -> bytes:
    """Two birds at a tree, in the proportions of a picture that is shown with a link."""
    return woven(SENT, "satin_5")[1]


def cover_png() -> bytes:
    """The same under a row of stars, as tall as a page."""
    return woven(COVER, "satin_5")[1]
