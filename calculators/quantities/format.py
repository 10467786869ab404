"""Writing figures for people, in both unit worlds, rounded once and said which way."""

from fractions import Fraction
from math import ceil, floor, isfinite
from typing import NamedTuple

from calculators.quantities import units
from calculators.quantities.interval import Range

THIN_SPACE = "\u202f"  # narrow and unbreakable
_NEARLY = 1e-9  # a whole number that arithmetic left a hair above or below


class Rounded(NamedTuple):
    """A whole number of steps, and the way it was reached: "up", "down" or "exact"."""

    value: float
    way: str


def round_up(value: float, step: float = 1) -> Rounded:
    """Next whole step at or above a figure.

    Equation: ⌈value ÷ step⌉ × step
    Parameters:
        value [any]: the figure
        step [same]: what it must be a whole number of
    Returns:
        [same] the step reached, and "up" or "exact"
    Validity: a figure within a thousand-millionth of a step counts as exact.
    Errors: none.

    Example:
        >>> round_up(1263.2), round_up(1264.0000000001)
        (Rounded(value=1264, way='up'), Rounded(value=1264, way='exact'))

    Source: definition.
    """
    return _rounded(value, step, ceil(value / step - _NEARLY))


def round_nearest(value: float, step: float = 1) -> Rounded:
    """Whole step nearest to a figure; a half goes up.

    Equation: ⌊value ÷ step + 1/2⌋ × step
    Parameters:
        value [any]: the figure
        step [same]: what it must be a whole number of
    Returns:
        [same] the step reached, and "up", "down" or "exact"
    Validity: a figure within a thousand-millionth of a step counts as exact.
    Errors: none.

    Example:
        >>> round_nearest(252.63)
        Rounded(value=253, way='up')
        >>> round_nearest(20.8, 0.125)
        Rounded(value=20.75, way='down')

    Source: definition.
    """
    return _rounded(value, step, floor(value / step + 0.5 + _NEARLY))


def _rounded(value: float, step: float, steps: int) -> Rounded:
    gap = steps - value / step
    way = "exact" if abs(gap) <= _NEARLY else "up" if gap > 0 else "down"
    return Rounded(steps * step, way)


def format_number(value: float, digits: int | None = None) -> str:
    """Plain number for people, with thin spaces between thousands.

    Equation: none
    Parameters:
        value [any]: a finite figure
        digits [count]: places behind the point at most; without it as many as the size deserves
    Returns:
        [text] no needless zeros, a true minus sign
    Validity: finite figures.
    Errors: ValueError for a figure that is not finite, which is a fault of ours.

    Example:
        >>> format_number(12.50), format_number(3.14159), format_number(6831.2)
        ('12.5', '3.142', '6\u202f831')

    Source: definition; the thin space is that of the SI brochure.
    """
    if not isfinite(value):
        raise ValueError(f"not finite: {value}")
    size = abs(value)
    if digits is None:
        digits = next(
            (places for limit, places in ((1000, 0), (100, 1), (10, 2), (1, 3)) if size >= limit), 4
        )
        if size and size < 0.1:
            digits = min(12, 2 - floor(_exponent(size)))
    text = format_fixed(value, digits)
    return text.rstrip("0").rstrip(".") if "." in text else text


def format_fixed(value: float, digits: int) -> str:
    """Plain number for people with a fixed number of places, as in the column of a table.

    Equation: none
    Parameters:
        value [any]: a finite figure
        digits [count]: places behind the point
    Returns:
        [text] thin spaces between thousands, a true minus sign, and never minus nought; halves
        are rounded up, away from nought
    Validity: finite figures.
    Errors: ValueError for a figure that is not finite, which is a fault of ours.

    Example:
        >>> format_fixed(12.5, 2), format_fixed(11.25, 1), format_fixed(-0.04, 1)
        ('12.50', '11.3', '0.0')

    Source: definition; the thin space is that of the SI brochure.
    """
    if not isfinite(value):
        raise ValueError(f"not finite: {value}")
    size = round_nearest(abs(value), 10**-digits).value
    text = f"{size:,.{digits}f}".replace(",", THIN_SPACE)
    return f"−{text}" if value < 0 and text.strip("0.") else text


def _exponent(size: float) -> int:
    return int(f"{size:e}".split("e")[1])


def format_range(loss: Range) -> str:
    """Loss as a percentage, or three percentages when it is not known exactly.

    Equation: percentage = fraction × 100
    Parameters:
        loss [fraction]: low, likely and high
    Returns:
        [text] "8 %" or "5–8–12 %"
    Validity: any finite range.
    Errors: none.

    Example:
        >>> format_range(Range(0.05, 0.08, 0.12))
        '5–8–12 %'

    Source: definition.
    """
    if loss.is_exact:
        return f"{format_number(loss.likely * 100, 2)} %"
    return (
        "–".join(format_number(end * 100, 2) for end in (loss.low, loss.likely, loss.high)) + " %"
    )


def format_quantity(value: float, unit: str, world: str, whole: bool = False) -> str:
    """Quantity for people, in one unit world.

    Equation: lengths to 1 mm or 1/8 in, setts to 0.1, percentages to 0.1, under 1 % to 0.01
    Parameters:
        value [unit]: a finite figure
        unit [text]: mm cm m km g kg 1/inch 1/cm 1/kg reed % hours g/m2 money, nothing, a count
        world [text]: "metric" or "imperial"
        whole [yes or no]: whether the figure is a count
    Returns:
        [text] the figure with its unit
    Validity: finite figures; anything under 1 cm is given to 0.01 mm or 0.001 in.
    Errors: ValueError for a figure that is not finite, which is a fault of ours.

    Example:
        >>> format_quantity(52.63, "cm", "metric"), format_quantity(52.63, "cm", "imperial")
        ('52.6 cm', '20 3/4 in')
        >>> format_quantity(24, "1/cm", "imperial"), format_quantity(705.8, "g", "imperial")
        ('61 per inch', '1 lb 8.9 oz')
        >>> format_quantity(6, "reed", "metric"), format_quantity(6, "reed", "imperial")
        ('60/10', '15.2-dent')

    Source: definition of the inch and the pound.
    """
    if not isfinite(value):
        raise ValueError(f"not finite: {value}")
    if whole:
        return format_number(value, 0) + (f" {unit}" if unit else "")
    sign = "−" if value < 0 else ""
    metric = world == "metric"
    size = abs(value)
    if unit in _LENGTHS:
        centimetres = size * _LENGTHS[unit]
        text = _metric_length(centimetres, unit) if metric else _imperial_length(centimetres, unit)
    elif unit in ("g", "kg"):
        grams = size * (1000 if unit == "kg" else 1)
        text = _metric_mass(grams) if metric else _imperial_mass(grams)
    elif unit in ("1/inch", "1/cm"):
        per_inch = size if unit == "1/inch" else units.per_inch(size)
        figure = units.per_cm(per_inch) if metric else per_inch
        text = f"{format_number(figure, 1)} {'/cm' if metric else 'per inch'}"
    elif unit == "reed":  # dents in a cm
        tens, dents = format_number(10 * size, 1), format_number(units.per_inch(size), 1)
        text = f"{tens}/10" if metric else f"{dents}-dent"
    elif unit == "g/m2":
        ounces = size / float(units.OUNCE_G) * float(units.YARD_CM / 100) ** 2
        text = f"{format_number(size, 1)} g/m²" if metric else f"{format_number(ounces, 2)} oz/yd²"
    elif unit == "1/kg":
        price = size if metric else units.converted(size, "1/kg", "1/lb")
        text = f"{format_fixed(price, 2)} {'per kg' if metric else 'per lb'}"
    elif unit == "%":
        text = f"{format_number(size, 2 if size < 1 else 1)} %"
    elif unit == "money":
        text = format_fixed(size, 2)
    elif unit == "hours":
        minutes = int(round_nearest(size * 60).value)
        text = f"{minutes // 60} h {minutes % 60} min" if minutes >= 60 else f"{minutes} min"
    else:
        text = format_number(size) + (f" {unit}" if unit else "")
    return sign + text if any(digit in text for digit in "123456789") else text


_LENGTHS = {"mm": 0.1, "cm": 1.0, "m": 100.0, "km": 100_000.0}


def _metric_length(centimetres: float, unit: str) -> str:
    if unit == "mm":
        return f"{format_number(centimetres * 10, 2)} mm"
    if unit == "cm" and centimetres < 1000:
        return f"{format_number(centimetres, 1)} cm"
    metres = centimetres / 100
    digits = 3 if metres < 10 else 2 if metres < 100 else 0
    return f"{format_number(metres, digits)} m"


def _imperial_length(centimetres: float, unit: str) -> str:
    inches = centimetres / float(units.INCH_CM)
    if unit == "mm":
        return f"{format_number(inches, 3)} in"
    if inches >= 36 * 20:
        return f"{format_number(inches / 36, 0)} yd"
    eighths = int(round_nearest(inches * 8).value)
    if unit == "cm" and inches < 36 * 10:
        return f"{_eighths(eighths)} in"
    yards, eighths = divmod(eighths, 36 * 8)
    if not yards or not eighths:
        return f"{yards} yd" if yards else f"{_eighths(eighths)} in"
    return f"{format_number(inches / 36, 2)} yd, or {yards} yd {_eighths(eighths)} in"


def _eighths(eighths: int) -> str:
    whole, rest = divmod(eighths, 8)
    fraction = str(Fraction(rest, 8)) if rest else ""
    return " ".join(part for part in (str(whole) if whole or not rest else "", fraction) if part)


def _metric_mass(grams: float) -> str:
    if grams >= 999.95:
        return f"{format_number(grams / 1000, 3)} kg"
    return f"{format_number(grams, 1 if grams >= 10 else 3)} g"


def _imperial_mass(grams: float) -> str:
    ounces = grams / float(units.OUNCE_G)
    if ounces < 1:
        return f"{format_number(ounces, 3)} oz"
    tenths = int(round_nearest(ounces * 10).value)
    pounds, tenths = divmod(tenths, 160)
    parts = [f"{format_number(pounds, 0)} lb"] if pounds else []
    if tenths or not pounds:
        parts.append(f"{format_number(tenths / 10, 1)} oz")
    return " ".join(parts)
