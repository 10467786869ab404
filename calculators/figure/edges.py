"""Which orders of rising and sinking a ground can be tied in, and which edges they cut clean."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import gcd

from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.sentences import many
from calculators.weave.ground import (
    EDGES,
    Ground,
    Shafts,
    best_behind,
    ground_of,
    shifted,
    weave_ground,
)
from calculators.weave.library import weave as weave_named
from calculators.weave.matrix import Weave
from calculators.weave.satins import clean_orders, satin_counters, satin_order

MOST_SEARCHED = 12  # ends and picks; of larger weaves only the same order, some picks behind
LARGEST = 32  # ends and picks of a ground that is told at all
IN_WORDS = {
    "first-end": "the side of the first end",
    "last-end": "the side of the last end",
    "lower": "the lower edge",
    "upper": "the upper edge",
}
Marks = tuple[int, tuple[int, ...], tuple[int, ...]]


@dataclass(frozen=True)
class Search:
    """What came of trying orders: the best pair, how clean it is, and what was tried."""

    best: Ground
    clean: int
    pairs_by_clean: tuple[int, ...]  # pairs with none, one … four clean edges


@formula("F-170", "Clean edges of a unit", "exact-arithmetic", gives="clean_edges")
def left_clean(uncut_edges: int) -> float:
    """Clean edges: the four of a unit but for those where some thread runs across uncut.

    >>> left_clean(3)
    1
    """
    return 4 - uncut_edges


def weft_faced(weave: Weave) -> Weave:
    """Weave of the units at rest: a warp face is changed for its weft face.

    Equation: none
    Parameters:
        weave [Weave]: as it was named
    Returns:
        [Weave] one repeat of it, or of the same with every mark changed where the warp shows more
    Validity: any weave.
    Errors: none.
    Example:
        >>> from calculators.weave.library import weave
        >>> weft_faced(weave("satin_5_warp")).matrix == weave("satin_5").matrix
        True

    Source: worked out: what is drawn lies with the warp up, so what rests has the weft up.
    """
    one = weave.repeat
    return one.complement if one.face == "warp" else one


def lifts(weave: Weave) -> Shafts:
    """Shafts that rise on each pick to weave a structure in resting units.

    Equation: see from_weaves   (F-156)
    Parameters:
        weave [Weave]: the structure
    Returns:
        [shafts] those that rise, first pick first
    Validity: shafts entered straight, one for each end of the repeat.
    Errors: none.
    Example:
        >>> from calculators.weave.library import weave
        >>> lifts(weave("satin_5"))
        ((1,), (3,), (5,), (2,), (4,))

    Source: definition.
    """
    return tuple(tuple(end for end, up in enumerate(row, 1) if up) for row in weave.matrix)


def is_true_satin(order: Shafts) -> bool:
    """Whether an order raises one shaft on each pick, always the same number of shafts on.

    Equation: see satin_order   (F-25)
    Parameters:
        order [shafts]: those of each pick
    Returns:
        [yes or no] yes for a regular satin
    Validity: any order.
    Errors: none.
    Example:
        >>> is_true_satin(((1,), (3,), (5,), (2,), (4,))), is_true_satin(((1,), (2,), (3,)))
        (True, False)

    Source: A. Wolfensberger, Theory of Silk Weaving, 2nd edition 1921, p. 33.
    """
    ends = len(order)
    moves = {
        (after[0] - before[0]) % ends
        for before, after in zip(order, shifted(order, -1), strict=True)
        if len(before) == len(after) == 1
    }
    return all(len(pick) == 1 for pick in order) and moves <= set(satin_counters(ends))


def begun_anywhere(order: Shafts, ends: int) -> Iterator[Shafts]:
    """Order begun at any pick and any end, forwards and backwards; each once, as it stands first.

    Equation: shaft s on pick p becomes s + a on pick p + b, or on pick b − p   (F-172)
    Parameters:
        order [shafts]: those of each pick
        ends [ends]: ends in the repeat
    Returns:
        [shafts] orders
    Validity: shafts numbered from 1 to the ends.
    Errors: none.
    Example:
        >>> len(list(begun_anywhere(((1,), (2,), (4,), (3,)), 4)))
        16

    Source: definition.
    """
    seen = set()
    for way in (order, order[::-1]):
        for along in range(ends):
            moved = tuple(tuple(sorted((one - 1 + along) % ends + 1 for one in up)) for up in way)
            for behind in range(len(order)):
                begun = shifted(moved, behind)
                if begun not in seen:
                    seen.add(begun)
                    yield begun


def orders(weave: Weave) -> tuple[tuple[Shafts, ...], tuple[Shafts, ...]]:
    """Orders in which a ground may raise its shafts, and those in which it may sink them.

    Equation: true satins in every regular satin, others in their own order begun anywhere   (F-172)
    Parameters:
        weave [Weave]: the structure of the units at rest, one repeat
    Returns:
        [orders] of rising and of sinking; the structure's own order is the first of both
    Validity: up to MOST_SEARCHED ends and picks, and any regular satin; of others its own order,
        and the same begun at any pick.
    Errors: none.
    Example:
        >>> from calculators.weave.library import weave
        >>> [len(some) for some in orders(weave("satin_8"))]
        [16, 16]

    Source: A. Wolfensberger, Theory of Silk Weaving, 2nd edition 1921, p. 33, for the satins.
    """
    own, ends = lifts(weave), weave.ends
    if is_true_satin(own):
        counters = satin_counters(ends)
        satins = [
            shifted(tuple((end,) for end in satin_order(ends, counter)), behind)
            for counter in counters
            for behind in range(ends)
        ]
        all_satins = tuple(sorted(satins, key=lambda one: not _same_begun_later(one, own)))
        return _with_first(all_satins, own), _with_first(all_satins, own)
    sunk = _sunk(weave)
    if max(ends, weave.picks) > MOST_SEARCHED:
        return (own,), tuple(shifted(sunk, behind) for behind in range(len(sunk)))
    return tuple(begun_anywhere(own, ends)), tuple(begun_anywhere(sunk, ends))


def usual(weave: Weave) -> Ground | None:
    """Ground of a structure as it is usually tied: the same order, some picks behind.

    Equation: see best_behind   (F-158)
    Parameters:
        weave [Weave]: the structure of the units at rest, one repeat
    Returns:
        [Ground] the tie-up; of a lace, plain where drawn; None where it cannot be tied so
    Validity: any structure.
    Errors: none.
    Example:
        >>> from calculators.weave.library import weave
        >>> usual(weave("satin_6")) == ground_of("satin_6")
        True

    Source: common practice; the number of picks is worked out.
    """
    return ground_of("lace_6") if _is_lace(weave) else sunk_behind(lifts(weave), weave.ends)


def tied(weave: Weave) -> Ground:
    """Ground of a figure in any structure: as it is usually tied, or as well as it can be.

    Equation: see search   (F-172)
    Parameters:
        weave [Weave]: the structure as it was named
    Returns:
        [Ground] the usual tie-up of its weft face, or the best where it has none
    Validity: any structure that can be tied.
    Errors: InputError when no pair can be tied.
    Example:
        >>> from calculators.weave.library import weave
        >>> tied(weave("satin_6_warp")) == usual(weave("satin_6"))
        True

    Source: common practice; worked out where there is none.
    """
    resting = weft_faced(weave)
    return usual(resting) or search(resting).best


def given(weave: Weave, rise: str, sink: str) -> Ground:
    """Ground of the orders that were typed; where one is left empty, what goes with the other.

    Equation: see tied   (F-172)
    Parameters:
        weave [Weave]: the structure of the units at rest, one repeat
        rise [text]: the shafts that rise on each pick; empty for the structure's own
        sink [text]: those that sink; empty for the rising order, some picks behind
    Returns:
        [Ground] the tie-up; with neither order that of ``tied``
    Validity: every end and every pick must be bound in drawn and in resting units.
    Errors: InputError for an order that cannot be read or tied.
    Example:
        >>> from calculators.weave.library import weave
        >>> given(weave("satin_5"), "", "3 5 2 4 1").sink[0]
        (3,)

    Source: definition.
    """
    if not rise and not sink:
        return tied(weave)
    raised = read_order(rise, "rise", weave.ends, weave.picks) if rise else lifts(weave)
    if sink:
        ground = Ground(weave.ends, raised, read_order(sink, "sink", weave.ends, weave.picks))
    else:
        behind = sunk_behind(raised, weave.ends)
        if behind is None:
            raise InputError(
                "sink",
                "At every number of picks behind some shaft would have to rise and to sink at "
                "once.",
                "Type the order of sinking too.",
            )
        ground = behind
    woven(ground)
    return ground


def exchanged(ground: Ground) -> Ground:
    """Ground that weaves the same cloth with its back up, where the ground is drawn.

    Equation: up, ground drawn = down, figure drawn: rise and sink change places   (F-173)
    Parameters:
        ground [Ground]: the tie-up where the figure is drawn
    Returns:
        [Ground] what rose sinks, and what sank rises
    Validity: any ground, any figure.
    Errors: none.
    Example:
        >>> exchanged(ground_of("lace_6")).rise[0], exchanged(ground_of("lace_6")).sink[0]
        ((1, 3, 5), (6,))

    Source: worked out from the loom: see weave_ground.
    """
    return Ground(ground.shafts, ground.sink, ground.rise)


def backs_alike(ground: Ground) -> bool:
    """Whether drawn and resting units are each other's backs, so that a tie-up serves either side.

    Equation: sunk on pick p = raised on pick p − k, for some k   (F-155)
    Parameters:
        ground [Ground]: the tie-up
    Returns:
        [yes or no] yes for satins and twills that sink in the order of their rising
    Validity: any ground.
    Errors: none.
    Example:
        >>> backs_alike(ground_of("satin_5")), backs_alike(ground_of("lace_6"))
        (True, False)

    Source: definition.
    """
    return any(shifted(ground.rise, behind) == ground.sink for behind in range(ground.picks))


def face_down(ground: Ground) -> Ground:
    """Ground to tie where the ground is drawn and the cloth woven face down.

    Equation: as it is where both faces are each other's backs, else exchanged   (F-173)
    Parameters:
        ground [Ground]: the tie-up where the figure is drawn
    Returns:
        [Ground] a tie-up in which figure and ground keep their weaves; left as it is, the figure
        is cut clean on the edges opposite
    Validity: any ground, any figure.
    Errors: none.
    Example:
        >>> face_down(ground_of("satin_5")) == ground_of("satin_5")
        True
        >>> face_down(ground_of("lace_6")) == exchanged(ground_of("lace_6"))
        True

    Source: worked out from the loom: see weave_ground.
    """
    return ground if backs_alike(ground) else exchanged(ground)


def sunk_behind(rise: Shafts, shafts: int) -> Ground | None:
    """Ground that sinks in its rising order, as many picks behind as cuts most edges clean.

    Equation: see best_behind   (F-158)
    Parameters:
        rise [shafts]: those that rise on each pick
        shafts [count]: how many there are
    Returns:
        [Ground] the tie-up; None where at every number of picks a shaft would do both at once
    Validity: any order.
    Errors: none.
    Example:
        >>> sunk_behind(((1,), (2,)), 2)
        Ground(shafts=2, rise=((1,), (2,)), sink=((2,), (1,)))

    Source: common practice; the number of picks is worked out.
    """
    behind = best_behind(rise)
    return None if behind is None else Ground(shafts, rise, shifted(rise, behind))


def search(weave: Weave, ends_per_unit: int = 0, picks_per_unit: int = 0) -> Search:
    """Best pair of orders for a structure, tried from all that the loom can do.

    Equation: most clean edges; of equals the usual pair, then the one with fewest threads uncut,
        then the one whose rising is most like the structure's own   (F-172)
    Parameters:
        weave [Weave]: the structure of the units at rest, one repeat
        ends_per_unit [ends]: of a unit; one repeat when not given
        picks_per_unit [picks]: of a row of units; one repeat when not given
    Returns:
        [Search] an edge counts as clean where it is clean on every unit, wherever it begins
    Validity: orders as in ``orders``.
    Errors: InputError when no pair can be tied.
    Example:
        >>> from calculators.weave.library import weave
        >>> found = search(weave("satin_8"))
        >>> found.clean, found.best.rise[:3], found.best.sink[:3]
        (4, ((6,), (1,), (4,)), ((3,), (8,), (5,)))

    Source: worked out by trying every pair.
    """
    unit = ends_per_unit or weave.ends, picks_per_unit or weave.picks
    return _tried(*orders(weave), weave.ends, unit, usual(weave))


def uneven_satins(ends: int) -> Search:
    """Best pair of all clean satins, their moves alike or not.

    Equation: orders in which no two picks in turn bind neighbouring ends, begun anywhere   (F-29)
    Parameters:
        ends [ends]: ends in the repeat
    Returns:
        [Search] the best pair
    Validity: 5 to 7 ends: all orders are tried.
    Errors: InputError outside the reach of clean_orders.
    Example:
        >>> uneven_satins(5).clean, uneven_satins(7).clean
        (1, 4)

    Source: worked out by trying every pair.
    """
    every = tuple(
        shifted(tuple((end,) for end in order), behind)
        for order in clean_orders(ends)
        for behind in range(ends)
    )
    return _tried(every, every, ends, (ends, ends))


def _tried(
    rising: tuple[Shafts, ...],
    sinking: tuple[Shafts, ...],
    ends: int,
    unit: tuple[int, int],
    usually: Ground | None = None,
) -> Search:
    """Try every order of rising with every order of sinking.

    An edge is clean when what rises on its one side is what sinks on its other.
    """
    raised, lowered = ([_marks(one, ends) for one in some] for some in (rising, sinking))
    sides = range(0, ends, gcd(ends, unit[0]))
    rows = range(0, len(rising[0]), gcd(len(rising[0]), unit[1]))
    pairs: list[list[tuple[int, int]]] = [[] for _ in range(5)]
    for one, (up, up_picks, up_ends) in enumerate(raised):
        for other, (down, down_picks, down_ends) in enumerate(lowered):
            if up & down:
                continue
            clean = (
                all(up_ends[side - 1] == down_ends[side] for side in sides)
                + all(up_ends[side] == down_ends[side - 1] for side in sides)
                + all(up_picks[row - 1] == down_picks[row] for row in rows)
                + all(up_picks[row] == down_picks[row - 1] for row in rows)
            )
            pairs[clean].append((one, other))
    if not any(pairs):
        raise InputError(
            "weave",
            "This ground cannot be tied: in every order tried some shaft would have to rise and to "
            "sink on one pick.",
            "Take a weave that lifts fewer ends on each pick, such as a satin, a 1/3 twill or a "
            "lace.",
        )
    most = max(clean for clean, some in enumerate(pairs) if some)

    def merit(pair: tuple[int, int]) -> tuple[bool, int, tuple[int, int]]:
        ground = Ground(ends, rising[pair[0]], sinking[pair[1]])
        uncut = _uncut_along(raised[pair[0]], lowered[pair[1]], unit)
        return ground != usually, sum(uncut), pair

    best = min(pairs[most], key=merit)
    ground = Ground(ends, rising[best[0]], sinking[best[1]])
    return Search(ground, most, tuple(map(len, pairs)))


def begins(shafts: int, ends_per_unit: int) -> tuple[int, ...]:
    """Shafts on which the units of a cloth begin, or the picks on which its rows do.

    Equation: 1, 1 + E, 1 + 2E …, counted round the shafts   (F-96)
    Parameters:
        shafts [count]: ground shafts, entered straight over, or the picks of the repeat
        ends_per_unit [count]: E, ends of a unit, or the picks of a row
    Returns:
        [numbers] each once, in the order of the units
    Validity: both > 0.
    Errors: none.
    Example:
        >>> begins(5, 10), begins(5, 6), begins(6, 4)
        ((1,), (1, 2, 3, 4, 5), (1, 5, 3))

    Source: definition.
    """
    units = shafts // gcd(shafts, ends_per_unit)
    return tuple(unit * ends_per_unit % shafts + 1 for unit in range(units))


def most_uncut(ground: Ground, ends_per_unit: int, picks_per_unit: int = 0) -> dict[str, int]:
    """Threads uncut along each edge of a unit, on the unit where they are most.

    Equation: see uncut   (F-158)
    Parameters:
        ground [Ground]: the tie-up
        ends_per_unit [ends]: of a unit
        picks_per_unit [picks]: of a row of units; one repeat when not given
    Returns:
        [count] by edge: along the sides picks of one repeat, along the others ends of the unit
    Validity: a ground that runs on through units and rows.
    Errors: none.
    Example:
        >>> most_uncut(ground_of("satin_5"), 10)
        {'first-end': 0, 'last-end': 2, 'lower': 4, 'upper': 4}

    Source: worked out from the threads on both sides of each edge.
    """
    raised, lowered = (_marks(order, ground.shafts) for order in (ground.rise, ground.sink))
    unit = ends_per_unit, picks_per_unit or ground.picks
    return dict(zip(EDGES, _uncut_along(raised, lowered, unit), strict=True))


def woven(ground: Ground, field: str = "") -> tuple[Weave, Weave]:
    """Weaves of the resting and of the drawn units.

    Equation: see weave_ground   (F-159)
    Parameters:
        ground [Ground]: the tie-up
        field [name]: where an error about the rising is shown when not beside it
    Returns:
        [weaves] resting and drawn
    Validity: every end and every pick must be bound in both.
    Errors: InputError when a thread would not be.
    Example:
        >>> [one.squares_up for one in woven(ground_of("satin_5"))]
        [5, 20]

    Source: definition.
    """
    both = []
    for units, drawn, beside in (("at rest", False, "rise"), ("drawn", True, "sink")):
        marks = weave_ground(ground, [[drawn]], ground.shafts, ground.picks)
        try:
            both.append(Weave("ground", f"units {units}", marks))
        except InputError as error:
            raise InputError(
                field or beside,
                f"In units {units}: {error.message[:1].lower()}{error.message[1:]}",
                "Let every shaft rise and sink once or more in the repeat, and name at least one "
                "for each pick.",
            ) from None
    return both[0], both[1]


def longest_float(ground: Ground) -> int:
    """Longest float anywhere in a figure of this ground, its edges included.

    Equation: the longest of the resting and of the drawn weave   (F-171)
    Parameters:
        ground [Ground]: the tie-up
    Returns:
        [threads] over ends or picks, on face or back
    Validity: any figure, because the ground goes on in its order.
    Errors: InputError when a thread is not bound at all.
    Example:
        >>> longest_float(ground_of("satin_8"))
        7

    Source: worked out: whatever is drawn, an end is up where its shaft rises and down where it
        sinks; Encyclopaedia Britannica, 11th edition, Damask, has 4 and 7 for five and eight ends.
    """
    return max(max(one.longest_float) for one in woven(ground))


def written_order(order: Shafts) -> str:
    """Order of shafts as it is typed and read.

    Equation: none
    Parameters:
        order [shafts]: those of each pick
    Returns:
        [text] picks parted by blanks, shafts of one pick joined by +
    Validity: any order; 0 stands for no shaft.
    Errors: none.
    Example:
        >>> written_order(((1,), (3,), (2, 4)))
        '1 3 2+4'

    Source: definition.
    """
    return " ".join("+".join(map(str, pick)) or "0" for pick in order)


def read_order(text: str, field: str, shafts: int, picks: int) -> Shafts:
    """Order of shafts from what was typed.

    Equation: none
    Parameters:
        text [text]: such as 1 3 5 2 4, or 6 1+3+5 where several shafts move on one pick
        field [name]: where an error is shown
        shafts [count]: how many there are
        picks [picks]: in the repeat
    Returns:
        [shafts] those of each pick
    Validity: as many picks as the repeat has; blanks, commas, dashes or slashes between them.
    Errors: InputError when a word is no shaft or the picks are not as many.
    Example:
        >>> read_order("1-3-5-2-4", "rise", 5, 5) == read_order("1, 3, 5, 2, 4", "rise", 5, 5)
        True

    Source: definition.
    """
    joined = re.sub(r"\s*\+\s*", "+", text.strip())
    words = [word for word in re.split(r"[\s,;/>→–—-]+", joined) if word]
    if len(words) == 1 and words[0].isdigit() and len(words[0]) == picks and shafts < 10:
        words = list(words[0])
    example = "For example " + " ".join(str(pick % shafts + 1) for pick in range(picks)) + "."
    read = []
    for word in words:
        if not re.fullmatch(r"[0-9]{1,3}(\+[0-9]{1,3})*", word):
            raise InputError(
                field,
                f"“{word[:20]}” is no shaft.",
                f"Give the shaft of each pick, parted by blanks; join several by +. {example}",
            )
        numbers = [int(part) for part in word.split("+")]
        high = max(numbers)
        if high > shafts:
            raise InputError(
                field,
                f"Shaft {high} is not there: this weave has {shafts}.",
                f"The shafts are numbered 1 to {shafts}.",
            )
        read.append(tuple(sorted({number for number in numbers if number})))
    if len(read) != picks:
        raise InputError(
            field,
            f"That names shafts for {many(len(read), 'picks')}; the repeat has {picks}.",
            f"Name the shafts of every pick, in turn. {example}",
        )
    return tuple(read)


def _is_lace(weave: Weave) -> bool:
    return weave.matrix == weave_named("lace_6").matrix


def _sunk(weave: Weave) -> Shafts:
    """The order of sinking before it is moved: the structure's own, or plain in a lace."""
    return ground_of("lace_6").sink if _is_lace(weave) else lifts(weave)


def _same_begun_later(order: Shafts, own: Shafts) -> bool:
    return any(order == shifted(own, behind) for behind in range(len(own)))


def _with_first(orders: Sequence[Shafts], first: Shafts) -> tuple[Shafts, ...]:
    return first, *(order for order in orders if order != first)


def _uncut_along(raised: Marks, lowered: Marks, unit: tuple[int, int]) -> tuple[int, ...]:
    """Threads uncut along each of the EDGES: those that rise on one side alone, or sink alone."""
    _, up_picks, up_ends = raised
    _, down_picks, down_ends = lowered
    ends, picks = len(up_ends), len(up_picks)
    sides = range(0, ends, gcd(ends, unit[0]))
    rows = range(0, picks, gcd(picks, unit[1]))
    whole, over = divmod(unit[0], ends)
    shafts = ((1 << over) - 1) * ((1 << ends) + 1)  # those of the last part of a repeat, twice

    def along_row(marks: int) -> int:
        return whole * marks.bit_count() + max(
            (marks & shafts >> ends - side).bit_count() for side in sides
        )

    return (
        max((up_ends[side - 1] ^ down_ends[side]).bit_count() for side in sides),
        max((up_ends[side] ^ down_ends[side - 1]).bit_count() for side in sides),
        max(along_row(up_picks[row - 1] ^ down_picks[row]) for row in rows),
        max(along_row(up_picks[row] ^ down_picks[row - 1]) for row in rows),
    )


def _marks(order: Shafts, ends: int) -> Marks:
    """One bit for each pick and end: the whole repeat, pick by pick, end by end."""
    picks = tuple(sum(1 << shaft - 1 for shaft in pick) for pick in order)
    columns = tuple(
        sum(1 << pick for pick, shafts in enumerate(order) if end in shafts)
        for end in range(1, ends + 1)
    )
    return sum(row << ends * pick for pick, row in enumerate(picks)), picks, columns
