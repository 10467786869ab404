"""The cloth as it comes on the loom: stretch after stretch, counted in rows and picks."""

from dataclasses import dataclass

from calculators.engine.expression import down, nearest
from calculators.engine.formula import formula


@dataclass(frozen=True)
class Stretch:
    """One stretch of weaving: its name, its picks, and how many of them make a row of units.

    ``row`` is 1 where the stretch is not woven in units.
    """

    name: str
    picks: int
    row: int = 1

    @property
    def rows(self) -> int | None:
        """Rows of units, None where it is not woven in units."""
        return self.picks // self.row if self.row > 1 else None

    @property
    def is_piece(self) -> bool:
        """Whether it is a piece between its hems: there the figure begins at its first row."""
        return self.name.partition(" ")[0] in ("Piece", "The") and "," not in self.name


@formula(
    "F-113",
    "Picks of a stretch",
    "trade-knowledge",
    gives="picks_woven",
)
def picks_of(length: float, picks: float) -> int:
    """Picks of one stretch.

    >>> picks_of(30, 24.2)
    726
    """
    return nearest(length * picks)


@formula(
    "F-114",
    "Picks between two moves",
    "trade-knowledge",
    gives="picks_between",
    validity="rounded down, so that the move never comes late",
)
def whole_picks_between(step: float, picks: float) -> int:
    """Picks from one move of the temple, or one advance, to the next.

    >>> whole_picks_between(2.5, 24.2)
    60
    """
    return down(step * picks)


def picks_between(step: float, picks: float) -> int:
    """Picks from one move to the next, one at least (F-114).

    >>> picks_between(2.5, 24.2), picks_between(0.01, 10)
    (60, 1)
    """
    return max(1, whole_picks_between(step, picks))


def stretches(
    *,
    pieces: int,
    rows: int,
    picks_per_row: int,
    picks: float,
    hem_on_loom: float,
    gap: float,
    sample: float,
    figured_hems: bool = False,
) -> tuple[Stretch, ...]:
    """The whole warp in the order it is woven: the sample, then each piece with its two hems.

    Equation: each length as picks by F-113, half of the hems at each end; rows of units are whole
    Parameters:
        pieces [count]: pieces on the warp
        rows [count]: rows of units in a piece
        picks_per_row [count]: picks of one unit
        picks [1/cm]: picks on the loom
        hem_on_loom [cm]: length one piece gives to its hems, both ends, on the loom
        gap [cm]: between two pieces
        sample [cm]: woven first
        figured_hems [yes or no]: hems woven in whole rows of the figure
    Returns:
        [stretches] those that have any picks
    Validity: units whole, so a piece may differ from its exact length by half a unit.
    Errors: InputError when there are no picks.

    Example:
        >>> order = stretches(
        ...     pieces=2, rows=250, picks_per_row=5, picks=24, hem_on_loom=4, gap=1, sample=0
        ... )
        >>> [(stretch.name, stretch.picks) for stretch in order]
        [('Piece 1 of 2, first hem', 48), ('Piece 1 of 2', 1250), ('Piece 1 of 2, last hem', 48),
         ('Gap', 24),
         ('Piece 2 of 2, first hem', 48), ('Piece 2 of 2', 1250), ('Piece 2 of 2, last hem', 48)]

    Source: common practice, no source (the sample first).
    """
    hem, row = picks_of(hem_on_loom / 2, picks), 1
    if figured_hems:
        hem, row = nearest(hem / picks_per_row) * picks_per_row, picks_per_row
    order = [Stretch("Sample", picks_of(sample, picks))]
    for number in range(1, pieces + 1):
        piece = f"Piece {number} of {pieces}" if pieces > 1 else "The piece"
        if number > 1:
            order.append(Stretch("Gap", picks_of(gap, picks)))
        order += [
            Stretch(f"{piece}, first hem", hem, row),
            Stretch(piece, rows * picks_per_row, picks_per_row),
            Stretch(f"{piece}, last hem", hem, row),
        ]
    return tuple(stretch for stretch in order if stretch.picks)
