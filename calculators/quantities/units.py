"""Exact units, written as definitions.

Source: international yard and pound agreement of 1959 (1 yd = 0.9144 m, 1 lb = 453.59237 g);
NIST Guide to the SI (SP 811), appendix B.8.
"""

from fractions import Fraction

YARD_CM = Fraction(9144, 100)
FOOT_CM = YARD_CM / 3
INCH_CM = YARD_CM / 36

POUND_G = Fraction(45359237, 100000)
OUNCE_G = POUND_G / 16
DRAM_G = OUNCE_G / 16
GRAIN_G = POUND_G / 7000

METRE_CM = Fraction(100)
KILOMETRE_CM = Fraction(100_000)
KILOGRAM_G = Fraction(1000)


def per_cm(per_inch: float) -> float:
    """Threads per centimetre from threads per inch.

    Equation: e_cm = e_in / 2.54
    Parameters:
        per_inch [1/inch]: threads or dents in one inch
    Returns:
        [1/cm] threads or dents in one centimetre
    Validity: any finite number.
    Errors: none.

    Example:
        >>> round(per_cm(60.96), 9)
        24.0

    Source: definition of the inch, 25.4 mm.
    """
    return per_inch / float(INCH_CM)


def per_inch(per_cm: float) -> float:
    """Threads per inch from threads per centimetre.

    Equation: e_in = 2.54 e_cm
    Parameters:
        per_cm [1/cm]: threads or dents in one centimetre
    Returns:
        [1/inch] threads or dents in one inch
    Validity: any finite number.
    Errors: none.

    Example:
        >>> per_inch(24.0)
        60.96

    Source: definition of the inch, 25.4 mm.
    """
    return per_cm * float(INCH_CM)


UNITS = ("cm", "inch")  # what a reader counts in
_COUNTED_IN = {
    "mm": ("mm", "in"),
    "cm": ("cm", "in"),
    "m": ("m", "yd"),
    "g": ("g", "oz"),
    "kg": ("kg", "lb"),
    "g/m2": ("g/m2", "oz/yd2"),
    "1/cm": ("1/cm", "1/inch"),
    "1/kg": ("1/kg", "1/lb"),
    "1/inch": ("1/cm", "1/inch"),
}
_REEDS = ("1/10cm", "1/inch")


def counted_in(unit: str, units: str, reed: bool = False) -> str:
    """Unit of a bare number to a reader who counts in centimetres or in inches.

    Equation: none
    Parameters:
        unit [name]: the unit of a bare number where nobody says
        units [name]: "cm", "inch", or nothing
        reed [yes or no]: whether it counts a reed's dents
    Returns:
        [name] the unit, the same where both readers count alike
    Validity: any unit.
    Errors: none.

    Example:
        >>> counted_in("cm", "inch"), counted_in("m", "inch"), counted_in("1/inch", "cm")
        ('in', 'yd', '1/cm')
        >>> counted_in("1/inch", "cm", reed=True), counted_in("cm", ""), counted_in("picks", "cm")
        ('1/10cm', 'cm', 'picks')

    Source: common practice, no source.
    """
    if not units:
        return unit
    metric, imperial = _REEDS if reed else _COUNTED_IN.get(unit, (unit, unit))
    return metric if units == UNITS[0] else imperial


_FACTORS = {
    ("cm", "mm"): 10.0,
    ("m", "cm"): 100.0,
    ("in", "mm"): float(10 * INCH_CM),
    ("in", "cm"): float(INCH_CM),
    ("yd", "cm"): float(YARD_CM),
    ("yd", "in"): 36.0,
    ("yd", "m"): float(YARD_CM / METRE_CM),
    ("lb", "kg"): float(POUND_G / KILOGRAM_G),
    ("oz", "g"): float(OUNCE_G),
    ("oz/yd2", "g/m2"): float(OUNCE_G / (YARD_CM / METRE_CM) ** 2),
    ("kg", "g"): 1000.0,
    ("share", "%"): 100.0,
    ("1/cm", "1/inch"): float(INCH_CM),
    ("1/kg", "1/lb"): float(POUND_G / KILOGRAM_G),
}


def converted(value: float, unit: str, wanted: str) -> float:
    """A figure in another unit of its kind, unchanged where none is known.

    Equation: value × factor
    Parameters:
        value [unit]: the figure
        unit [name]: the unit it is in
        wanted [name]: the unit it is wanted in
    Returns:
        [wanted] the same quantity
    Validity: units of the same kind.
    Errors: none.

    Example:
        >>> converted(537, "cm", "m"), converted(3, "", "")
        (5.37, 3)
        >>> converted(48.26, "cm", "in"), converted(36, "in", "yd")
        (19.0, 1.0)

    Source: definitions of the units.
    """
    if (unit, wanted) in _FACTORS:
        return value * _FACTORS[unit, wanted]
    if (wanted, unit) in _FACTORS:
        return value / _FACTORS[wanted, unit]
    return value
