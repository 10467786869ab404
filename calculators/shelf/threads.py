"""What the shelf's cones can go in as: a yarn, a doubled one, or two in stripes."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from calculators.engine.formula import formula
from calculators.shelf.cones_and_looms import Cone
from calculators.yarn.yarn import Yarn, parse_yarn

LIKE_SIZE = 0.05  # yarns within this share of each other's tex may lie side by side in a warp
MOST_STRIPES = 300


@dataclass(frozen=True)
class Supply:
    """One yarn on hand: a cone, or several that are alike."""

    name: str
    yarn: Yarn
    fibre: str
    colour: str
    net: float  # g on the cones
    mass: float  # g that may be used


@dataclass(frozen=True)
class Thread:
    """What goes in as one end or one pick: a yarn, a doubled one, or two in stripes.

    ``shares`` says which part of its mass comes from which supply.
    """

    words: str
    yarn: Yarn
    shares: tuple[tuple[int, float], ...]
    fibre: str
    colours: tuple[str, ...]

    @property
    def places(self) -> set[int]:
        """The supplies that it comes from."""
        return {place for place, _ in self.shares}


@formula(
    "F-121",
    "Yarn that may be used",
    "trade-knowledge",
    gives="usable",
)
def usable_of(yarn_on_cones: float, reserve: float) -> float:
    """Yarn of the cones that may be used.

    >>> usable_of(160, 0.05)
    152.0
    """
    return yarn_on_cones * (1 - reserve)


def supplies(cones: Iterable[Cone], reserve: float) -> tuple[Supply, ...]:
    r"""Yarn on hand, cones of one yarn and one known colour counted together.

    Equation: usable = yarn on the cones that are alike, less the reserve   (F-19, F-121)
    Parameters:
        cones [cones]: as they stand
        reserve [fraction]: kept back for knots, winding and the scale
    Returns:
        [supplies] in the order of their first cones
    Validity: cones whose colour nobody gave are never counted together.
    Errors: none.

    Example:
        >>> from calculators.shelf.cones_and_looms import read_shelf
        >>> shelf = read_shelf("A; 16/2; 100 g; white\nB; 16/2; 60 g; white\nC; 16/2; 60 g")
        >>> [(supply.name, supply.mass) for supply in supplies(shelf.cones, 0.0)]
        [('A + B', 160.0), ('C', 60.0)]

    Source: definition.
    """
    alike: dict[object, list[Cone]] = {}
    for cone in cones:
        kind = (round(cone.yarn.tex, 6), cone.fibre, cone.colour) if cone.colour else cone.name
        alike.setdefault(kind, []).append(cone)
    return tuple(
        Supply(
            name=" + ".join(cone.name for cone in same),
            yarn=same[0].yarn,
            fibre=same[0].fibre,
            colour=same[0].colour,
            net=(net := sum(cone.net for cone in same)),
            mass=usable_of(net, reserve),
        )
        for same in alike.values()
    )


def threads(on_hand: tuple[Supply, ...], striped: bool) -> tuple[Thread, ...]:
    r"""Every thread the shelf can make: each yarn, each doubled, and two in stripes.

    Equation: tex of a doubled yarn = 2 tex
    Parameters:
        on_hand [supplies]: what there is
        striped [yes or no]: whether two yarns of like size may share, as in a warp
    Returns:
        [threads] of two in stripes the thicker one's size is used, to be on the safe side
    Validity: stripes of one fibre, within 5 % in size, of two known colours; at most 300 of them.
    Errors: none.

    Example:
        >>> from calculators.shelf.cones_and_looms import read_shelf
        >>> shelf = read_shelf("A; 16/2; 100 g; white\nB; 16/2; 60 g; navy")
        >>> [thread.words for thread in threads(supplies(shelf.cones, 0.0), True)][2:]
        ['A doubled', 'B doubled', 'A and B in stripes']

    Source: definition; what is of like size is common practice, no source.
    """
    known = list(enumerate(on_hand))
    possible = [
        Thread(supply.name, supply.yarn, ((place, 1.0),), supply.fibre, (supply.colour,))
        for place, supply in known
    ]
    possible += [
        Thread(f"{supply.name} doubled", doubled, ((place, 1.0),), supply.fibre, (supply.colour,))
        for place, supply in known
        if (doubled := _doubled(supply.yarn)) is not None
    ]
    if striped:
        pairs = [
            (place, other_place)
            for place, supply in known
            for other_place, other in known[place + 1 :]
            if supply.fibre == other.fibre and supply.colour != other.colour
            and supply.colour and other.colour
            and abs(supply.yarn.tex / other.yarn.tex - 1) <= LIKE_SIZE
        ]  # fmt: skip
        pairs.sort(key=lambda pair: -min(on_hand[place].mass for place in pair))
        possible += [_striped(on_hand, *pair) for pair in pairs[:MOST_STRIPES]]
    return tuple(possible)


def grams_used(*threads_and_grams: tuple[Thread, float]) -> dict[int, float]:
    r"""Yarn that threads take of each supply.

    Equation: used of a supply = sum of share × mass over the threads
    Parameters:
        threads_and_grams [thread, g]: such as warp and weft, each with its mass
    Returns:
        [g by supply] of the supplies that are used
    Validity: any masses.
    Errors: none.

    Example:
        >>> from calculators.shelf.cones_and_looms import read_shelf
        >>> shelf = read_shelf("A; 16/2; 100 g; white\nB; 16/2; 60 g; navy")
        >>> *_, weft, _, _, striped = threads(supplies(shelf.cones, 0.0), True)
        >>> grams_used((striped, 100), (weft, 30))
        {0: 50.0, 1: 80.0}

    Source: definition.
    """
    used: dict[int, float] = {}
    for thread, grams in threads_and_grams:
        for place, share in thread.shares:
            used[place] = used.get(place, 0.0) + share * grams
    return used


@lru_cache(maxsize=1024)
def _doubled(yarn: Yarn) -> Yarn | None:
    for label in (f"{yarn.count:.12g}/{yarn.plies * 2} {yarn.system}", f"R {2 * yarn.tex!r} tex"):
        try:
            doubled = parse_yarn(label.replace("_", " "), yarn.system)
        except ValueError:
            continue
        if abs(doubled.tex / (2 * yarn.tex) - 1) < 1e-12:
            return doubled
    return None


def _striped(on_hand: tuple[Supply, ...], first: int, second: int) -> Thread:
    supply, other_supply = on_hand[first], on_hand[second]
    thicker = max((supply, other_supply), key=lambda supply: supply.yarn.tex)
    return Thread(
        f"{supply.name} and {other_supply.name} in stripes",
        thicker.yarn,
        ((first, 0.5), (second, 0.5)),
        supply.fibre,
        (supply.colour, other_supply.colour),
    )
