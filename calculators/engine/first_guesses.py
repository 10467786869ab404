"""First guesses as a weaver would type them, all from the one table."""

from calculators.data import load
from calculators.engine.calculator import Basis, Table
from calculators.engine.sources import citation
from calculators.quantities.format import format_number


def guess(term: str) -> str:
    """Return the likely figure of a first guess.

    >>> guess("draw_in"), guess("loom_waste")
    ('4 %', '140 cm')
    """
    return _typed(term, "likely")


def guess_range(term: str) -> str:
    """Return a first guess with its low and its high figure.

    >>> guess_range("draw_in"), guess_range("picks_per_minute")
    ('3–4–7 %', '2–4–8')
    """
    return _typed(term, "low", "likely", "high")


def spread_of(term: str) -> str:
    """Return how far a first guess may be off, either way: half of low to high.

    >>> spread_of("loom_waste")
    '40 cm'
    """
    row = load("first_guesses")[term]
    return f"{format_number((row['high'] - row['low']) / 2)} {row['unit']}"


def basis_of(term: str) -> Basis:
    """Return where a first guess stands."""
    basis: Basis = load("first_guesses")[term]["basis"]
    return basis


def first_guesses() -> Table:
    """Return the first guesses as a printed table."""
    return Table(
        "First guesses, until you have your own",
        ("what", "low", "likely", "high", "of", "where it stands"),
        tuple(
            (
                row["title"],
                *(_with_unit(row[end], row["unit"]) for end in ("low", "likely", "high")),
                row["of"],
                f"{citation(row['source'])}, {row['where']}" if "source" in row else row["basis"],
            )
            for row in load("first_guesses").values()
        ),
    )


def _typed(term: str, *ends: str) -> str:
    row = load("first_guesses")[term]
    return _with_unit("–".join(format_number(row[end]) for end in ends), row["unit"])


def _with_unit(figure: str | float, unit: str) -> str:
    text = figure if isinstance(figure, str) else format_number(figure)
    return f"{text} {unit}" if unit else text
