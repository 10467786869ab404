"""A figure put together of motifs, letters and squares, told in words instead of code.

    across = 66                     units of the part that is told, and its rows
    up = 66
    mirrored = "between two"        left and right, or "about a unit"; left out: as it is told
    mirrored_up = "about a row"     up and down, or "between two"

    [[lay]]                         each piece is laid over those before it
    motif = "acorn"                 or letters = "Anna", with size; or squares = "…", drawn as seen
    at = [9, 9]                     unit and row of its lowest left square, counted from 1
    times = [3, 1]                  how often across and up; step = [24, 0] after so many units
    drop = 8                        every second one across stands so many rows higher
    quarter_turns = 1               against the clock
    reversed = true                 looking the other way
    rests = true                    its squares are at rest, whatever lies beneath

What reaches over the edge of the part is cut off there, so that a motif may be laid on a mirror.
"""

from collections.abc import Mapping
from typing import Any

from calculators.errors import InputError
from calculators.figure.grid import Grid
from calculators.figure.motifs import lettering, motif
from calculators.figure.wholes import mirrored_across, mirrored_up, quarter_turned, read_figure
from calculators.quantities.sentences import many

MOST_LAID = 200
MOST_TIMES = 1_000
_SHAPES = ("motif", "letters", "squares")
_WHOLE = ("across", "up", "mirrored", "mirrored_up", "lay")
_PIECE = (
    *_SHAPES, "size", "at", "times", "step", "drop", "quarter_turns", "reversed", "rests",
)  # fmt: skip
_MIRRORS = {
    "mirrored": {"about a unit": True, "between two": False},
    "mirrored_up": {"about a row": True, "between two": False},
}


def composed(told: Mapping[str, Any]) -> Grid:
    """Make the whole of a figure that is told piece by piece.

    >>> lay = [{"squares": "#", "at": [1, 1], "times": [2, 1], "step": [2, 1]}]
    >>> composed({"across": 4, "up": 1, "mirrored": "about a unit", "lay": lay}).rows
    (85,)
    """
    _known(told, _WHOLE)
    across, up = (_whole_number(name, told.get(name)) for name in ("across", "up"))
    rows = list(Grid(across, (0,) * up).rows)
    pieces = told.get("lay")
    if not isinstance(pieces, list) or not 0 < len(pieces) <= MOST_LAID:
        raise InputError(
            "lay",
            f"From 1 to {MOST_LAID} pieces are wanted here.",
            'For example motif = "leaf", at = [1, 1].',
        )
    for number, piece in enumerate(pieces, 1):
        where = f"lay {number}"
        if not isinstance(piece, Mapping):
            raise InputError(where, "A table is wanted here.", 'Such as motif = "leaf".')
        try:
            _lay(rows, across, piece)
        except InputError as error:
            raise InputError(f"{where}, {error.field}", error.message, error.hint) from error
    part = Grid(across, tuple(rows))
    if "mirrored" in told:
        part = mirrored_across(part, _mirror("mirrored", told["mirrored"]))
    if "mirrored_up" in told:
        part = mirrored_up(part, _mirror("mirrored_up", told["mirrored_up"]))
    return part


def _lay(rows: list[int], across: int, piece: Mapping[str, Any]) -> None:
    """Lay one piece, as often as it says."""
    _known(piece, _PIECE)
    shape = _shape(piece)
    left, low = _pair("at", piece.get("at", [1, 1]), least=None)
    times = _pair("times", piece.get("times", [1, 1]), least=1)
    step = _pair("step", piece.get("step", [shape.across, shape.up]), least=None)
    drop = _whole_number("drop", piece.get("drop", 0), least=None)
    if max(times) > MOST_TIMES:
        raise InputError("times", f"At most {many(MOST_TIMES, 'times')} will do.", "Take fewer.")
    full, seen = (1 << across) - 1, False
    for one in range(times[0]):
        unit = left - 1 + one * step[0]
        lying = [(row << unit if unit >= 0 else row >> -unit) & full for row in shape.rows]
        if not any(lying):
            continue
        for other in range(times[1]):
            first = low - 1 + other * step[1] + drop * (one % 2)
            for number, row in enumerate(lying, first):
                if 0 <= number < len(rows):
                    seen = seen or row > 0
                    rows[number] = rows[number] & ~row if piece.get("rests") else rows[number] | row
    if not seen:
        raise InputError(
            "at",
            f"This piece, {many(shape.across, 'units')} across and {shape.up} up, lies nowhere on "
            f"the part of {across} and {len(rows)}.",
            "Give the unit and the row of its lowest left square, counted from 1.",
        )


def _shape(piece: Mapping[str, Any]) -> Grid:
    given = [name for name in _SHAPES if name in piece]
    if len(given) != 1 or not isinstance(piece[given[0]], str):
        raise InputError(
            given[0] if given else "motif",
            "A motif, letters or squares are wanted here, one of them, as a text.",
            'For example motif = "leaf".',
        )
    kind = given[0]
    try:
        if kind == "motif":
            shape = motif(piece[kind])
        elif kind == "letters":
            shape = lettering(piece[kind], str(piece.get("size", "small")))
        else:
            shape = read_figure(piece[kind], top_first=True)
    except InputError as error:
        field = error.field if error.field in piece else kind
        raise InputError(field, error.message, error.hint) from error
    if piece.get("reversed"):
        mirrored = [int(shape.bits(row), 2) for row in shape.rows]
        shape = Grid(shape.across, tuple(mirrored))
    return quarter_turned(shape, _whole_number("quarter_turns", piece.get("quarter_turns", 0), 0))


def _known(told: Mapping[str, Any], names: tuple[str, ...]) -> None:
    for name in told:
        if name not in names:
            raise InputError(name, "This is not known here.", f"There are {', '.join(names)}.")


def _mirror(name: str, words: Any) -> bool:
    ways = _MIRRORS[name]
    if not isinstance(words, str) or words not in ways:
        raise InputError(
            name, "How it mirrors is wanted here.", f"It is {' or '.join(map(repr, ways))}."
        )
    return ways[words]


def _whole_number(name: str, value: Any, least: int | None = 1) -> int:
    if type(value) is not int or abs(value) > MOST_TIMES or (least is not None and value < least):
        raise InputError(
            name,
            "A whole number is wanted here.",
            f"From {-MOST_TIMES if least is None else least} to {MOST_TIMES} will do.",
        )
    return value


def _pair(name: str, value: Any, least: int | None) -> tuple[int, int]:
    if not isinstance(value, list) or len(value) != 2:
        raise InputError(
            name, "Two whole numbers are wanted here.", f"For example {name} = [1, 1]."
        )
    across, up = (_whole_number(name, one, least) for one in value)
    return across, up
