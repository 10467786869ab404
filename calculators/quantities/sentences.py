"""Small ways of saying a figure inside a step, a note or a table cell."""

import re

from calculators.quantities.format import format_number, format_quantity, format_range
from calculators.quantities.interval import Range

RANGE_MEANS = (
    "Of ten cloths one comes out below low, and one above high; half of them lie on either side of "
    "likely."
)


def both(value: float, unit: str) -> str:
    """Write a quantity in both unit worlds, for a sentence or a table cell."""
    return both_texts(*(format_quantity(value, unit, world) for world in ("metric", "imperial")))


def both_texts(metric: str, imperial: str) -> str:
    """Write the two worlds' texts of one quantity, once where they agree."""
    return metric if metric == imperial else f"{metric} ({imperial})"


def size(width: str, length: str) -> str:
    """Write a size from the texts of its width and length, the unit once where they share it.

    >>> size("48 cm", "48 cm"), size("18 7/8 in", "1 yd 4 in")
    ('48 × 48 cm', '18 7/8 in × 1 yd 4 in')
    """
    number, _, unit = width.rpartition(" ")
    same = length.endswith(f" {unit}") and not any(map(str.isalpha, number + length[: -len(unit)]))
    return f"{number if same else width} × {length}"


def cm(value: float) -> str:
    """Write a length in a step, to a tenth of a millimetre."""
    return f"{format_number(value, 2)} cm"


def figure(value: float, digits: int = 2) -> str:
    """Write a plain number in a step."""
    return format_number(value, digits)


def many(number: float, things: str) -> str:
    """Count things: one of them is not told as several.

    >>> many(1, "ground shafts"), many(0, "passes"), many(1, "passes"), many(1200, "ends")
    ('1 ground shaft', '0 passes', '1 pass', '1\u202f200 ends')
    """
    one = re.sub(r"(?<=ss)es$|s$", "", things)
    return f"{format_number(number)} {one if number == 1 else things}"


def percent(share: float, digits: int = 1) -> str:
    """Write a fraction as a percentage."""
    return f"{format_number(100 * share, digits)} %"


def figures(bounds: Range) -> str:
    """Write a range of plain figures as a weaver types it: 4, or 2–4–8."""
    ends = (bounds.likely,) if bounds.is_exact else (bounds.low, bounds.likely, bounds.high)
    return "–".join(map(format_number, ends))


def settled(bounds: Range) -> float | Range:
    """Return one figure where low and high are alike, else the range."""
    return bounds.likely if bounds.is_exact else bounds


def times(bounds: Range, factor: float) -> Range:
    """Return a range in a unit that is smaller or larger by a factor above nought."""
    return Range(bounds.low * factor, bounds.likely * factor, bounds.high * factor)


def guesses(**losses: Range) -> tuple[str, ...]:
    """Say how a result was spread when a loss was given as a range."""
    uncertain = [
        f"{name.replace('_', ' ')} {format_range(loss)}"
        for name, loss in losses.items()
        if not loss.is_exact
    ]
    if not uncertain:
        return ()
    return (
        "Worked for the lowest, the likely and the highest of: " + ", ".join(uncertain) + ".",
        RANGE_MEANS,
    )
