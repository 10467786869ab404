"""The ground of a damask at the loom: which shafts rise and which sink on each pick."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from calculators.errors import InputError
from calculators.weave.library import weave
from calculators.weave.matrix import Marks

Shafts = tuple[tuple[int, ...], ...]
T = TypeVar("T")

EDGES = ("first-end", "last-end", "lower", "upper")
BY_ORDER = ("twill_1_3", "broken_twill_4", *(f"satin_{ends}" for ends in range(5, 13)))
TIED_OTHERWISE = ("plain", "lace_6")
GROUNDS = (*BY_ORDER, *TIED_OTHERWISE)


@dataclass(frozen=True)
class Ground:
    """One repeat of the ground, first pick first; shafts are entered straight, from 1.

    A shaft that rises lifts its ends in the resting units, one that sinks lowers its ends in the
    drawn units, and one that stays at rest leaves both where the pattern heddles hold them.
    """

    shafts: int
    rise: Shafts
    sink: Shafts

    def __post_init__(self) -> None:
        if not self.rise or len(self.rise) != len(self.sink):
            raise InputError(
                "sink",
                f"There are {len(self.rise)} picks that raise and {len(self.sink)} that sink.",
                "Say for every pick of the repeat which shafts rise and which sink.",
            )
        for field, picks in (("rise", self.rise), ("sink", self.sink)):
            for pick, shafts in enumerate(picks, 1):
                if any(not 1 <= shaft <= self.shafts for shaft in shafts):
                    raise InputError(
                        field,
                        f"Pick {pick} names a shaft that is not there.",
                        f"The shafts are numbered 1 to {self.shafts}.",
                    )
        for pick, (rise, sink) in enumerate(zip(self.rise, self.sink, strict=True), 1):
            both = sorted(set(rise) & set(sink))
            if both:
                raise InputError(
                    "sink",
                    f"Shaft {both[0]} is to rise and to sink on pick {pick}.",
                    "A shaft does one or the other: move the sinking order by some picks.",
                )

    @property
    def picks(self) -> int:
        """Picks of one repeat."""
        return len(self.rise)


def shifted(order: Sequence[T], behind: int) -> tuple[T, ...]:
    """The same order of shafts, some picks behind.

    Equation: sunk on pick p = raised on pick p − k   (F-155)
    Parameters:
        order [shafts]: the shaft of each pick, or the shafts
        behind [picks]: k, the picks from a shaft's rising to its sinking
    Returns:
        [shafts] those of each pick in the later order
    Validity: any number of picks, counted round the repeat.
    Errors: none.
    Example:
        >>> shifted((1, 3, 5, 2, 4), 2)
        (2, 4, 1, 3, 5)

    Source: definition.
    """
    return tuple(order[(pick - behind) % len(order)] for pick in range(len(order)))


def rising_order(name: str) -> tuple[int, ...]:
    """Order in which a ground raises its shafts, one on each pick.

    Equation: none
    Parameters:
        name [text]: one of BY_ORDER
    Returns:
        [shafts] the shaft that rises on each pick: the lifts of the weft-faced weave
    Validity: weaves in which every pick lifts one end, and every end is lifted once.
    Errors: InputError for any other weave.
    Example:
        >>> rising_order("satin_6")
        (1, 3, 5, 2, 6, 4)

    Source: the weave's own row in calculators/data/weaves.toml.
    """
    if name not in BY_ORDER:
        raise InputError(
            "weave",
            f"“{weave(name).title}” is not woven by raising one shaft a pick.",
            "These are: " + ", ".join(BY_ORDER) + ".",
        )
    return tuple(row.index(True) + 1 for row in weave(name).matrix)


def from_orders(rise: Sequence[int], sink: Sequence[int]) -> Ground:
    """Ground that raises one shaft and sinks one on every pick.

    Equation: none
    Parameters:
        rise [shafts]: the shaft that rises on each pick
        sink [shafts]: the shaft that sinks on each pick
    Returns:
        [Ground] its shafts are as many as the highest number in either order
    Validity: orders of the same length; no shaft twice on one pick.
    Errors: InputError when a pick cannot be tied so.
    Example:
        >>> from_orders((1, 3, 5, 2, 4), (2, 4, 1, 3, 5)).sink[0]
        (2,)

    Source: T. F. Bell, Jacquard Weaving and Designing, 1895, p. 178 (an eight-end satin: one shaft
        up, one down, six at rest).
    """
    return Ground(
        max((*rise, *sink), default=0),
        tuple((shaft,) for shaft in rise),
        tuple((shaft,) for shaft in sink),
    )


def from_weaves(resting: Marks, drawn: Marks) -> Ground:
    """Ground that weaves one structure in resting units and another in drawn ones.

    Equation: rise = ends up in the resting weave; sink = ends down in the drawn weave   (F-156)
    Parameters:
        resting [marks]: weave of the units at rest, first pick first, True an end up
        drawn [marks]: weave of the units that are drawn, of the same ends and picks
    Returns:
        [Ground] the tie-up, one shaft for each end of the repeat
    Validity: every end up in the resting weave must be up in the drawn one.
    Errors: InputError when a shaft would have to rise and sink on one pick.
    Example:
        >>> from_weaves(((True, False), (False, True)), ((True, False), (False, True)))
        Ground(shafts=2, rise=((1,), (2,)), sink=((2,), (1,)))

    Source: worked out from the loom: a ground shaft has three positions (Taylor 1909, p. 163).
    """
    ends = range(len(resting[0])) if resting else range(0)
    return Ground(
        len(ends),
        tuple(tuple(end + 1 for end in ends if row[end]) for row in resting),
        tuple(tuple(end + 1 for end in ends if not row[end]) for row in drawn),
    )


def plain_hem(shafts: int) -> Ground:
    """Plain weave, or the nearest to it, on shafts entered straight, whatever units are drawn.

    Equation: odd shafts rise while even ones sink, then the reverse; true where S is even   (F-157)
    Parameters:
        shafts [count]: S, ground shafts entered straight over
    Returns:
        [Ground] two picks; with an odd number of shafts the last end of each repeat and the first
        of the next go together
    Validity: two shafts and more.
    Errors: InputError for fewer than two shafts.
    Example:
        >>> plain_hem(4).rise, plain_hem(5).rise
        (((1, 3), (2, 4)), ((1, 3, 5), (2, 4)))

    Source: worked out: with S odd, shaft S and shaft 1 are both odd and their ends lie together.
    """
    if shafts < 2:
        raise InputError(
            "ground_shafts", f"{shafts} ground shafts cannot weave.", "Give two or more."
        )
    odd, even = tuple(range(1, shafts + 1, 2)), tuple(range(2, shafts + 1, 2))
    return Ground(shafts, (odd, even), (even, odd))


def on_more_shafts(ground: Ground, times: int) -> Ground:
    """The same ground with its ends spread over several times the shafts.

    Equation: shaft s becomes s, s + S, s + 2S …
    Parameters:
        ground [Ground]: the ground on its own number of shafts S
        times [count]: how many times as many shafts
    Returns:
        [Ground] the same cloth from an entering straight over all the shafts
    Validity: times from 1 up.
    Errors: none.
    Example:
        >>> on_more_shafts(ground_of("satin_5"), 2).rise[0]
        (1, 6)

    Source: definition.
    """

    def on_all(picks: Shafts) -> Shafts:
        return tuple(
            tuple(shaft + ground.shafts * turn for turn in range(times) for shaft in shafts)
            for shafts in picks
        )

    return Ground(ground.shafts * times, on_all(ground.rise), on_all(ground.sink))


def behinds(name: str) -> tuple[int, ...]:
    """How many picks the sinking order may lie behind the rising one.

    Equation: 1 to S − 1
    Parameters:
        name [text]: one of BY_ORDER
    Returns:
        [picks] every number but 0, at which one shaft would rise and sink at once
    Validity: grounds that raise one shaft and sink one.
    Errors: InputError for any other weave.
    Example:
        >>> behinds("broken_twill_4")
        (1, 2, 3)

    Source: definition.
    """
    return tuple(range(1, len(rising_order(name))))


def best_behind(rise: Shafts) -> int | None:
    """How many picks behind leave most of a figure's upright edges clean, then most of all four.

    Equation: the smallest such number   (F-158)
    Parameters:
        rise [shafts]: those that rise on each pick
    Returns:
        [picks] from the rising of shafts to their sinking; None where at every number a shaft
        would rise and sink on one pick
    Validity: shafts numbered from 1.
    Errors: none.
    Example:
        >>> best_behind(((1,), (3,), (5,), (2,), (4,))), best_behind(((1, 2), (2, 3), (3, 1)))
        (2, None)

    Source: worked out from the threads on both sides of each edge.
    """
    shafts = max((shaft for pick in rise for shaft in pick), default=0)
    best: tuple[tuple[int, int], int] | None = None
    for behind in range(1, len(rise)):
        sink = shifted(rise, behind)
        if any(set(up) & set(down) for up, down in zip(rise, sink, strict=True)):
            continue
        clean = clean_edges(Ground(shafts, rise, sink))
        merit = len(set(clean) & set(EDGES[:2])), len(clean)
        if best is None or merit > best[0]:  # the first of equals
            best = merit, behind
    return best and best[1]


def usual_behind(name: str) -> int:
    """How many picks the sinking order of a ground usually lies behind the rising one.

    Equation: see best_behind   (F-158)
    Parameters:
        name [text]: one of BY_ORDER
    Returns:
        [picks] from a shaft's rising to its sinking
    Validity: grounds that raise one shaft and sink one.
    Errors: InputError for any other weave.
    Example:
        >>> usual_behind("satin_5"), usual_behind("satin_8"), usual_behind("broken_twill_4")
        (2, 3, 2)

    Source: worked out from the threads on both sides of each edge.
    """
    behind = best_behind(tuple((shaft,) for shaft in rising_order(name)))
    assert behind is not None, "with one shaft a pick there is always a number"
    return behind


def ground_of(name: str, behind: int | None = None) -> Ground:
    """Ground of a structure, as it is tied.

    Equation: none
    Parameters:
        name [text]: one of GROUNDS
        behind [picks]: how far the sinking order lies behind the rising one; the usual if not given
    Returns:
        [Ground] satins and twills: one shaft up, one down; plain weave: the same in drawn and
        resting units; lace: lace at rest, plain where drawn
    Validity: GROUNDS; ``behind`` only for those that raise one shaft and sink one.
    Errors: InputError for another weave, or an order that cannot be tied.
    Example:
        >>> ground_of("lace_6").rise[0], ground_of("lace_6").sink[0]
        ((6,), (1, 3, 5))

    Source: T. F. Bell, Jacquard Weaving and Designing, 1895, p. 178, for one shaft up and one
        down; the others worked out from the weave.
    """
    if name in TIED_OTHERWISE:
        resting = weave(name).matrix
        if name == "plain":
            return from_weaves(resting, resting)
        return from_weaves(resting, _plain_around(resting))
    order = rising_order(name)
    return from_orders(order, shifted(order, usual_behind(name) if behind is None else behind))


def _plain_around(resting: Marks) -> Marks:
    """Plain weave that is up wherever a lace is; its first pick lifts the even ends."""
    return tuple(
        tuple((end + pick) % 2 == 1 for end in range(len(row))) for pick, row in enumerate(resting)
    )


def weave_ground(
    ground: Ground, grid: Sequence[Sequence[bool]], ends_per_unit: int, picks_per_row: int
) -> Marks:
    """Weave a design thread by thread, the ground running on through units and rows.

    Equation: up = (drawn and not sunk) or (at rest and raised)   (F-159)
    Parameters:
        ground [Ground]: the tie-up, its shafts entered straight over all the ends
        grid [marks]: rows of units, the first woven first; True is a drawn unit
        ends_per_unit [count]: ends on one pattern heddle
        picks_per_row [count]: picks for which a row of units is held
    Returns:
        [marks] the cloth, first pick first, True a warp end up
    Validity: rows of one length; both counts > 0.
    Errors: none.
    Example:
        >>> hem = plain_hem(2)
        >>> weave_ground(hem, [[True, False]], 2, 2)
        ((True, False, True, False), (False, True, False, True))

    Source: worked out from the loom, Taylor 1909, p. 163.
    """
    cloth = []
    for row_number, row in enumerate(grid):
        for pick in range(row_number * picks_per_row, (row_number + 1) * picks_per_row):
            rise = set(ground.rise[pick % ground.picks])
            sink = set(ground.sink[pick % ground.picks])
            shafts = [end % ground.shafts + 1 for end in range(len(row) * ends_per_unit)]
            cloth.append(
                tuple(
                    shaft not in sink if row[end // ends_per_unit] else shaft in rise
                    for end, shaft in enumerate(shafts)
                )
            )
    return tuple(cloth)


def uncut(ground: Ground, begins: int = 1, ends: int = 0) -> dict[str, int]:
    """Threads that cross each edge of a drawn unit without changing sides, in one repeat.

    Equation: threads that rise on one side of the edge and do not sink on the other, or the
        reverse   (F-158)
    Parameters:
        ground [Ground]: the tie-up
        begins [number]: the shaft of the unit's first end
        ends [ends]: those of the unit; one for each shaft when not given
    Returns:
        [count] by edge: picks along the two upright ones, ends along the lower and the upper one
    Validity: a drawn unit among resting ones, as high as the repeat, its first pick the first of
        the repeat.
    Errors: none.
    Example:
        >>> order = (1, 3, 5, 2, 4)
        >>> list(uncut(from_orders(order, shifted(order, 2))).values())
        [0, 2, 2, 2]

    Source: worked out: a thread crosses uncut where its end lies up on both sides or down on both,
        up being raised at rest and not sunk where drawn.
    """
    after = begins + (ends or ground.shafts)
    entered = [shaft % ground.shafts + 1 for shaft in range(begins - 1, after - 1)]
    before, beyond = (begins - 2) % ground.shafts + 1, (after - 1) % ground.shafts + 1

    def along_side(resting: int, drawn: int) -> int:
        pairs = zip(ground.rise, ground.sink, strict=True)
        return sum((resting in rise) != (drawn in sink) for rise, sink in pairs)

    def along_row(rise: Sequence[int], sink: Sequence[int]) -> int:
        return sum((shaft in rise) != (shaft in sink) for shaft in entered)

    return {
        EDGES[0]: along_side(before, entered[0]),
        EDGES[1]: along_side(beyond, entered[-1]),
        EDGES[2]: along_row(ground.rise[-1], ground.sink[0]),
        EDGES[3]: along_row(ground.rise[0], ground.sink[-1]),
    }


def clean_edges(ground: Ground) -> tuple[str, ...]:
    """Edges of a drawn unit that are cut clean: every thread that crosses them changes sides.

    Equation: clean = no thread uncut   (F-158)
    Parameters:
        ground [Ground]: the tie-up
    Returns:
        [names] those of EDGES that are clean
    Validity: a unit of one repeat both ways, its first end on shaft 1.
    Errors: none.
    Example:
        >>> order = (1, 3, 5, 2, 4)
        >>> clean_edges(from_orders(order, shifted(order, 3)))
        ('last-end',)

    Source: see uncut.
    """
    return tuple(edge for edge, threads in uncut(ground).items() if not threads)
