"""A weave is a matrix of marks; everything else about it is counted from there."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from operator import ne
from typing import Literal

from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.sentences import many

Marks = tuple[tuple[bool, ...], ...]
Family = Literal["plain", "matt", "satin", "twill", "other"]

LARGEST_REPEAT = 128
_UP = "#xX×1■█"
_DOWN = ".-–0□·_"
_HINT = (
    "Write one row for each pick, the last pick on top: # where the warp end is up, . where it is "
    "down. Rows are parted by new lines, / or blanks; for example #. / .# is plain weave."
)


@dataclass(frozen=True)
class Weave:
    """A repeat of interlacing; rows are picks, the first pick first, True is a warp end up."""

    name: str
    title: str
    matrix: Marks

    def __post_init__(self) -> None:
        rows = self.matrix
        if not rows or not rows[0] or any(len(row) != len(rows[0]) for row in rows):
            raise InputError("weave", "Every pick of a weave must have the same ends.", _HINT)
        for words, threads in (("Pick", rows), ("End", self._columns)):
            for place, thread in enumerate(threads, start=1):
                if all(thread) or not any(thread):
                    side = "over" if thread[0] == (words == "End") else "under"
                    raise InputError(
                        "weave",
                        f"{words} {place} lies {side} everything: it would not be woven in.",
                        "Every end and every pick needs at least one intersection in the repeat.",
                    )

    @property
    def ends(self) -> int:
        """Ends in the matrix."""
        return len(self.matrix[0])

    @property
    def picks(self) -> int:
        """Picks in the matrix."""
        return len(self.matrix)

    @cached_property
    def _columns(self) -> Marks:
        return tuple(zip(*self.matrix, strict=True))

    @cached_property
    def intersections_of_ends(self) -> tuple[int, ...]:
        """Intersections from face to back and back of each end in the repeat."""
        return tuple(changes(end) for end in self._columns)

    @cached_property
    def intersections_of_picks(self) -> tuple[int, ...]:
        """Intersections from face to back and back of each pick in the repeat."""
        return tuple(changes(pick) for pick in self.matrix)

    @property
    def warp_intersections(self) -> float:
        """Mean intersections of one end in the repeat."""
        return crossings_of_an_end(sum(self.intersections_of_ends), self.ends)

    @property
    def weft_intersections(self) -> float:
        """Mean intersections of one pick in the repeat."""
        return crossings_of_a_pick(sum(self.intersections_of_picks), self.picks)

    @property
    def tightest_pick(self) -> int:
        """Intersections of the pick that crosses most: it decides how closely the ends can lie."""
        return max(self.intersections_of_picks)

    @property
    def sett_share(self) -> float:
        """Share of the inch left for ends."""
        return sett_share(self.ends, self.tightest_pick)

    @property
    def warp_average_float(self) -> float:
        """Mean picks from one intersection of an end to its next."""
        return self.ends * self.picks / sum(self.intersections_of_ends)

    @property
    def weft_average_float(self) -> float:
        """Mean ends from one intersection of a pick to its next."""
        return self.ends * self.picks / sum(self.intersections_of_picks)

    @property
    def average_float(self) -> float:
        """Mean length of all floats, of ends and picks, on face and back [threads]."""
        of_ends, of_picks = sum(self.intersections_of_ends), sum(self.intersections_of_picks)
        return average_float(self.ends, self.picks, of_ends, of_picks)

    @property
    def longest_float(self) -> tuple[int, int]:
        """Longest float of an end [picks] and of a pick [ends], on face or back."""
        return max(map(longest_run, self._columns)), max(map(longest_run, self.matrix))

    @property
    def squares_up(self) -> int:
        """Squares of the matrix with the warp up."""
        return sum(map(sum, self.matrix))

    @property
    def warp_share(self) -> float:
        """Share of the face where the warp shows."""
        return warp_share(self.squares_up, self.ends, self.picks)

    @property
    def face(self) -> str:
        """Which yarn shows more on the face: "warp", "weft" or "both alike"."""
        more_up = 2 * self.squares_up - self.ends * self.picks
        return "warp" if more_up > 0 else "weft" if more_up < 0 else "both alike"

    @property
    def is_satin(self) -> bool:
        """Whether it is a clean satin.

        Each end and each pick is bound once in the repeat, and no two neighbouring picks are
        bound on neighbouring ends.
        """
        repeat = self.repeat
        binds = repeat.matrix if repeat.face == "weft" else repeat.complement.matrix
        if any(sum(row) != 1 for row in (*binds, *zip(*binds, strict=True))):
            return False
        order = [row.index(True) for row in binds]
        return all(
            (second - first) % repeat.ends not in (1, repeat.ends - 1)
            for first, second in zip(order, order[1:] + order[:1], strict=True)
        )

    @property
    def family(self) -> Family:
        """Which family of weaves it belongs to, as the setting rules tell them apart."""
        repeat = self.repeat
        if repeat.ends == repeat.picks == 2:
            return "plain"
        if repeat.is_satin:
            return "satin"
        if len(set(repeat.matrix)) == 2:  # two picks that differ leave room for two kinds of ends
            return "matt"
        return "twill" if any(_steps_by(repeat.matrix, step) for step in (1, -1)) else "other"

    @property
    def reverse(self) -> "Weave":
        """The same cloth seen from its back, turned over like a page."""
        turned = tuple(tuple(not mark for mark in row[::-1]) for row in self.matrix)
        return Weave(f"{self.name}_reverse", f"{self.title}, seen from the back", turned)

    @property
    def complement(self) -> "Weave":
        """Every mark changed: warp face for weft face, thread for thread."""
        changed = tuple(tuple(not mark for mark in row) for row in self.matrix)
        return Weave(f"{self.name}_complement", f"{self.title}, warp and weft changed", changed)

    @property
    def repeat(self) -> "Weave":
        """The smallest part that makes the whole when repeated."""
        ends, picks = shortest_period(self._columns), shortest_period(self.matrix)
        if (ends, picks) == (self.ends, self.picks):
            return self
        return Weave(self.name, self.title, tuple(row[:ends] for row in self.matrix[:picks]))

    @property
    def hangs_together(self) -> bool:
        """Whether it is one cloth, not two layers that come apart.

        An end that lies over a pick leads to it, a pick that lies over an end leads to that; the
        cloth is one when every thread leads, through others, to every other (C. R. J. Clapham,
        When a fabric hangs together, Bulletin of the London Mathematical Society 12, 1980; from
        memory).
        """
        return self._reaches(forward=True) and self._reaches(forward=False)

    def _reaches(self, forward: bool) -> bool:
        """Whether the first end leads to every thread (or every thread to it)."""
        ends = new = {0}
        while new:
            picks = [pick for pick in self.matrix if any(pick[end] == forward for end in new)]
            new = {end for pick in picks for end in range(self.ends) if pick[end] != forward} - ends
            ends = ends | new
        return len(ends) == self.ends  # every pick crosses some end both ways, so none is missing

    def rows_as_typed(self) -> str:
        """Write the matrix the way a weaver types it, the last pick on top."""
        return "\n".join(
            "".join("#" if mark else "." for mark in row) for row in reversed(self.matrix)
        )


@formula(
    "F-20",
    "Intersections of a pick",
    "taylor-1909",
    gives="weft_intersections",
    where="web pages 427–428",
    basis="published",
    validity="counted over whole repeats",
)
def crossings_of_a_pick(pick_crossings: int, repeat_picks: int) -> float:
    """Intersections of a pick in the repeat, on the average.

    >>> crossings_of_a_pick(10, 5)
    2.0
    """
    return pick_crossings / repeat_picks


@formula(
    "F-20",
    "Intersections of an end",
    "taylor-1909",
    gives="warp_intersections",
    where="web pages 427–428",
    basis="published",
    validity="counted over whole repeats",
)
def crossings_of_an_end(end_crossings: int, repeat_ends: int) -> float:
    """Intersections of an end in the repeat, on the average.

    >>> crossings_of_an_end(16, 4)
    4.0
    """
    return end_crossings / repeat_ends


@formula(
    "F-21",
    "Average float",
    "exact-arithmetic",
    where="every thread's length shared by its floats",
)
def average_float(
    repeat_ends: int, repeat_picks: int, end_crossings: int, pick_crossings: int
) -> float:
    """Mean length of all floats, of ends and picks, on face and back.

    >>> average_float(5, 5, 10, 10)
    2.5
    """
    return 2 * repeat_ends * repeat_picks / (end_crossings + pick_crossings)


@formula(
    "F-23",
    "Warp share of the face",
    "exact-arithmetic",
    where="definition",
)
def warp_share(squares_up: int, repeat_ends: int, repeat_picks: int) -> float:
    """Share of the face where the warp shows.

    >>> warp_share(5, 5, 5)
    0.2
    """
    return squares_up / (repeat_ends * repeat_picks)


@formula(
    "F-24",
    "Share of the inch left for ends",
    "taylor-1909",
    where="web pages 436 and 464; the tightest pick is worked out",
    basis="published",
)
def sett_share(repeat_ends: int, intersections: int) -> float:
    """Share of the inch that is left for ends beside the intersections of a pick.

    >>> sett_share(2, 2)
    0.5
    """
    return repeat_ends / (repeat_ends + intersections)


def changes(marks: Sequence[bool]) -> int:
    """Intersections of one thread in a repeat.

    Equation: i = number of neighbouring marks that differ, the last beside the first   (F-20)
    Parameters:
        marks [up or down]: one thread's marks through the repeat
    Returns:
        [intersections] none or an even number
    Validity: marks of one whole repeat.
    Errors: none.
    Example:
        >>> changes([True, False, False, False, False])
        2

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition, web pages 427–428 (plain 1 in
        1, 2/2 twill 2 in 4, five-end satin 2 in 5).
    """
    return sum(map(ne, marks, [*marks[1:], marks[0]]))


def longest_run(marks: Sequence[bool]) -> int:
    """Longest float of one thread, on face or back.

    Equation: most equal marks in a row, running on from the last to the first   (F-22)
    Parameters:
        marks [up or down]: one thread's marks through the repeat
    Returns:
        [threads] length of the longest float
    Validity: a thread that crosses at least once; otherwise its whole repeat is returned.
    Errors: none.
    Example:
        >>> longest_run([True, False, False, True, True])
        3

    Source: definition.
    """
    longest = length = 1
    for before, mark in pairwise([*marks, *marks]):
        length = length + 1 if mark == before else 1
        longest = max(longest, length)
    return min(longest, len(marks))


def shortest_period(rows: Sequence[tuple[bool, ...]]) -> int:
    """Rows after which a repeat starts again.

    Equation: smallest divisor p of n with row k + p = row k throughout
    Parameters:
        rows [marks]: the n rows of a repeat
    Returns:
        [rows] smallest repeat
    Validity: at least one row.
    Errors: none.
    Example:
        >>> shortest_period([(True, False), (False, True)] * 3)
        2

    Source: definition.
    """
    count = len(rows)
    return next(
        period
        for period in range(1, count + 1)
        if count % period == 0 and list(rows[period:]) == list(rows[: count - period])
    )


def parse_matrix(text: str, field: str = "matrix") -> Weave:
    """Weave from a typed matrix, cut down to its smallest repeat.

    Equation: none
    Parameters:
        text [rows of marks]: # x 1 for a warp end up, . - 0 for down, the last pick on top
        field [name]: where an error is shown
    Returns:
        [Weave] first pick first
    Validity: up to 128 ends and 128 picks.
    Errors: InputError when a mark is unknown, the rows differ in length or a thread is not bound.
    Example:
        >>> parse_matrix("..#. / .#.. / ...# / #...").ends
        4
        >>> parse_matrix("#. / .##")
        Traceback (most recent call last):
        calculators.errors.InputError: Row 2 has 3 marks, but row 1 has 2.

    Source: point-paper practice: a filled square is a warp end up, the first pick at the bottom
        (E. A. Posselt, The Jacquard Machine, 1888; common practice).
    """
    rows = [row for row in re.split(r"[\s/;,|]+", text) if row]
    if not rows:
        raise InputError(field, "The matrix is empty.", _HINT)
    for number, row in enumerate(rows, start=1):
        strange = next((mark for mark in row if mark not in _UP + _DOWN), None)
        if strange is not None:
            raise InputError(field, f"Row {number} holds “{strange}”, which is no mark.", _HINT)
        if len(row) != len(rows[0]):
            raise InputError(
                field,
                f"Row {number} has {len(row)} marks, but row 1 has {len(rows[0])}.",
                "Every row needs one mark for each end of the repeat.",
            )
    if max(len(rows), len(rows[0])) > LARGEST_REPEAT:
        raise InputError(
            field,
            f"That is {len(rows[0])} ends and {len(rows)} picks, over {LARGEST_REPEAT}.",
            "Type one repeat of the weave only.",
        )
    marks = tuple(tuple(mark in _UP for mark in row) for row in reversed(rows))
    try:
        weave = Weave("typed", "", marks).repeat
    except InputError as error:
        raise error.at(field) from None
    return replace(
        weave, title=f"typed weave on {many(weave.ends, 'ends')} and {many(weave.picks, 'picks')}"
    )


def from_lifts(ends: int, lifts: Iterable[Iterable[int]]) -> Marks:
    """Matrix from the ends lifted on each pick.

    Equation: mark (pick, end) is up when the end is among the pick's lifts
    Parameters:
        ends [ends]: ends in the repeat
        lifts [end numbers]: for each pick, the first one first, the ends up, counted from 1
    Returns:
        [marks] rows of the matrix, first pick first
    Validity: end numbers from 1 to ends.
    Errors: none.
    Example:
        >>> from_lifts(2, [[1], [2]])
        ((True, False), (False, True))

    Source: definition.
    """
    return tuple(tuple(end in set(lift) for end in range(1, ends + 1)) for lift in lifts)


def _steps_by(rows: Marks, step: int) -> bool:
    """Whether each pick is the one before it, moved along by ``step`` ends."""
    return all(
        after == before[-step:] + before[:-step]
        for before, after in zip(rows, rows[1:] + rows[:1], strict=True)
    )
