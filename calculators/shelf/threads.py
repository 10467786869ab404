"""What the shelf's cones can go in as: a yarn, a doubled one, or two in stripes."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from calculators.engine.formula import formula
from calculators.shelf.cones import Cone
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
        >>> from calculators.shelf.cones import read_shelf
        >>> shelf = read_shelf("A; 16/2; 100 g; white\nB; 16/2; 60 g; white\nC; 16/2; 60 g")
        >>> [(one.name, one.mass) for one in supplies(shelf.cones, 0.0)]
        [('A + B', 160.0), ('C', 60.0)]

    Source: definition.
    """
    alike: dict[object, list[Cone]] = {}
    for cone in cones:
        key = (round(cone.yarn.tex, 6), cone.fibre, cone.colour) if cone.colour else cone.name
        alike.setdefault(key, []).append(cone)
    return tuple(
        Supply(
            " + ".join(cone.name for cone in those),
            those[0].yarn,
            those[0].fibre,
            those[0].colour,
            net := sum(cone.net for cone in those),
            usable_of(net, reserve),
        )
        for those in alike.values()
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
        >>> from calculators.shelf.cones import read_shelf
        >>> shelf = read_shelf("A; 16/2; 100 g; white\nB; 16/2; 60 g; navy")
        >>> [one.words for one in threads(supplies(shelf.cones, 0.0), True)][2:]
        ['A doubled', 'B doubled', 'A and B in stripes']

    Source: definition; what is of like size is common practice, no source.
    """
    known = list(enumerate(on_hand))
    made = [
        Thread(one.name, one.yarn, ((place, 1.0),), one.fibre, (one.colour,))
        for place, one in known
    ]
    made += [
        Thread(f"{one.name} doubled", doubled, ((place, 1.0),), one.fibre, (one.colour,))
        for place, one in known
        if (doubled := _doubled(one.yarn)) is not None
    ]
    if striped:
        pairs = [
            (a, b)
            for a, one in known
            for b, other in known[a + 1 :]
            if one.fibre == other.fibre and one.colour != other.colour
            and one.colour and other.colour
            and abs(one.yarn.tex / other.yarn.tex - 1) <= LIKE_SIZE
        ]  # fmt: skip
        pairs.sort(key=lambda pair: -min(on_hand[place].mass for place in pair))
        made += [_striped(on_hand, *pair) for pair in pairs[:MOST_STRIPES]]
    return tuple(made)


@lru_cache(maxsize=1024)
def _doubled(yarn: Yarn) -> Yarn | None:
    for label in (f"{yarn.count:.12g}/{yarn.plies * 2} {yarn.system}", f"R {2 * yarn.tex!r} tex"):
        try:
            made = parse_yarn(label.replace("_", " "), yarn.system)
        except ValueError:
            continue
        if abs(made.tex / (2 * yarn.tex) - 1) < 1e-12:
            return made
    return None


def _striped(on_hand: tuple[Supply, ...], a: int, b: int) -> Thread:
    one, other = on_hand[a], on_hand[b]
    thicker = max((one, other), key=lambda supply: supply.yarn.tex)
    return Thread(
        f"{one.name} and {other.name} in stripes",
        thicker.yarn,
        ((a, 0.5), (b, 0.5)),
        one.fibre,
        (one.colour, other.colour),
    )
