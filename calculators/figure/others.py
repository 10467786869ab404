"""Cloths beside damask that the same loom weaves: what each asks of it, woven thread by thread.

Each is told as a ground (which shafts rise and sink on every pick) and as what is drawn for a row
of the figure. So it is woven by the very rule that weaves a damask (F-159).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from calculators.errors import InputError
from calculators.figure.grid import Grid
from calculators.weave.ground import Ground, ground_of, weave_ground
from calculators.weave.matrix import Marks, Weave, longest_run

Row = tuple[bool, ...]


def _one_draw(row: Row) -> tuple[Row, ...]:
    return (row,)


def _layers_in_turn(row: Row) -> tuple[Row, ...]:
    """Draws of a double cloth: for a pick of one layer the other is drawn where it lies on top.

    Of each unit the first heddle holds the layer that is on top at rest, the second the other.
    """
    second = tuple(on for unit in row for on in (False, unit))
    first = tuple(on for unit in row for on in (not unit, False))
    return (second, first) * 2


@dataclass(frozen=True)
class OtherCloth:
    """One such cloth; each end and pick of its repeat is of one of the ``kinds``, by its letter."""

    title: str
    ground: Ground
    heddles: int  # pattern heddles to a unit
    ends: int  # ends of the warp to each of them, those beside it counted too
    held: int  # of those, the ends that hang in it
    picks: int  # for which a draw is held
    draws: Callable[[Row], tuple[Row, ...]]
    warps: str
    wefts: str
    kinds: Mapping[str, str]

    @property
    def unit_ends(self) -> int:
        """Ends across one unit."""
        return self.heddles * self.ends

    @property
    def draws_of_a_row(self) -> int:
        """Draws of the cords for one row of the figure."""
        return len(self.draws((True,)))

    @property
    def row_picks(self) -> int:
        """Picks of one row of the figure."""
        return self.picks * self.draws_of_a_row

    def woven(self, figure: Sequence[Row]) -> Marks:
        """Every end and pick of a figure, the first pick first, True a warp end up.

        >>> OTHERS["turned-twill"].woven([(True,)])[0]
        (True, True, True, False)
        """
        drawn = [draw for row in figure for draw in self.draws(row)]
        return weave_ground(self.ground, drawn, self.ends, self.picks)

    def longest_float(self, figure: Grid) -> int:
        """Threads in the longest float of a figure that is repeated.

        >>> OTHERS["tied"].longest_float(Grid(2, (0b01, 0b10)))
        3
        """
        marks = self.woven(figure.marks())
        return max(map(longest_run, (*marks, *zip(*marks, strict=True))))

    def holds(self, drawn: bool) -> str:
        """Say how a part holds in which every unit is drawn, or none is.

        >>> OTHERS["double"].holds(False), OTHERS["tied"].holds(True)
        ('two layers', 'one cloth')
        """
        marks = self.woven([(drawn, drawn)] * 4)
        try:
            return "one cloth" if Weave("", "", marks).hangs_together else "two layers"
        except InputError:  # a thread that is bound nowhere
            return "the second weft lies loose"


PLAIN_UP, PLAIN_DOWN = (1, 3), (2, 4)
OTHERS = {
    "supplementary": OtherCloth(
        "Second weft on a plain ground",
        Ground(
            4,
            (PLAIN_UP, (), PLAIN_DOWN, ()),
            (PLAIN_DOWN, (), PLAIN_UP, ()),
        ),
        *(1, 4, 4, 4),
        _one_draw,
        "gggg",
        "gsgs",
        {"g": "ground", "s": "second weft"},
    ),
    "tied": OtherCloth(
        "Second weft tied by a second warp",
        Ground(
            4,
            (PLAIN_UP, (1,), PLAIN_DOWN, (3,)),
            (PLAIN_DOWN, (3,), PLAIN_UP, (1,)),
        ),
        *(1, 4, 2, 4),
        _one_draw,
        "bgbg",
        "gsgs",
        {"g": "ground", "s": "second weft", "b": "binder"},
    ),
    "double": OtherCloth(
        "Double cloth, two plain layers",
        Ground(4, ((1,), (3,), (2,), (4,)), ((), (), (), ())),
        *(2, 2, 2, 1),
        _layers_in_turn,
        "ggss",
        "gsgs",
        {"g": "one layer", "s": "the other"},
    ),
    "turned-twill": OtherCloth(
        "Turned twill",
        ground_of("twill_1_3"),
        *(1, 4, 4, 4),
        _one_draw,
        "ssss",
        "gggg",
        {"g": "weft", "s": "warp"},
    ),
}
