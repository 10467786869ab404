"""Reading what people type: a number, a fraction, a unit word – or a sentence saying why not.

Rules that are ours and are tested:
a single decimal comma or point is decimal, except that one comma with exactly three digits behind
it (``1,250``) is refused, because it is a thousand to one reader and a decimal to another;
two different marks, or the same mark twice, are thousands and decimal (``1.250,5``);
thousands may be set off by any space; a fraction is smaller than one (``1 1/2``, not ``3/2``);
a loss below 1 without its % sign is refused, because ``0.08`` may mean 8 % or 0.08 %.
"""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from math import copysign, isfinite, log10
from typing import NoReturn

from calculators.errors import InputError
from calculators.quantities import units
from calculators.quantities.interval import Range

LONGEST_TEXT = 200
LARGEST = 1e9
SMALLEST = 1e-9

_SPELLINGS = {
    "length": {
        units.INCH_CM: "in inch inches ins \" ''",
        units.FOOT_CM: "ft foot feet '",
        units.YARD_CM: "yd yds yard yards",
        Fraction(1, 10): "mm millimetre millimetres millimeter millimeters",
        Fraction(1): "cm cms centimetre centimetres centimeter centimeters",
        Fraction(10): "dm decimetre decimetres decimeter decimeters",
        units.METRE_CM: "m metre metres meter meters",
        units.KILOMETRE_CM: "km kilometre kilometres kilometer kilometers",
    },
    "mass": {
        Fraction(1, 1000): "mg milligram milligrams",
        Fraction(1): "g gram grams gramme grammes",
        units.KILOGRAM_G: "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
        units.GRAIN_G: "grain grains",
        units.DRAM_G: "dram drams",
        units.OUNCE_G: "oz ozs ounce ounces",
        units.POUND_G: "lb lbs pound pounds",
    },
    "threads": {
        1 / units.INCH_CM: "epi ppi tpi",
        Fraction(1): "epc ppc",
    },
    "dents": {1 / units.INCH_CM: "dpi", Fraction(1): "dpc"},
    "loss": {Fraction(1, 100): "% percent pct"},
    "speed": {Fraction(1): "ppm"},
}
_UNITS = {
    word: (dimension, factor)
    for dimension, spellings in _SPELLINGS.items()
    for factor, words in spellings.items()
    for word in words.split()
}
_DIMENSIONS = {
    "length": "a length",
    "mass": "a weight",
    "threads": "a number of threads per cm or inch",
    "dents": "a reed",
    "loss": "a percentage",
    "speed": "a speed",
    "number": "a number",
    "count": "a whole number",
}
_EXAMPLES = {
    "length": "48 cm, 0.5 m, 19 1/2 in or 5 yd",
    "mass": "250 g, 1.2 kg, 12 oz or 2 lb 3 oz",
    "threads": "12 /cm, 120 /10 cm or 30 per inch",
    "dents": "60/10 (60 dents in 10 cm), 12 dpi or 5 /cm",
    "loss": "8 %, or a range such as 5–8–12 %",
    "number": "12.5 or 3 1/2",
    "count": "253",
}
_PER = {"1/inch": 1 / units.INCH_CM, "1/cm": Fraction(1), "1/10cm": Fraction(1, 10)}
_NOUNS = {
    "threads": {"ends", "end", "picks", "pick", "threads", "thread", "e", "p"},
    "dents": {"dents", "dent", "d"},
}
_COUNTED = {
    *("ends", "end", "picks", "pick", "threads", "thread", "units", "unit", "dents", "dent"),
    *("pieces", "piece", "shafts", "shaft", "cones", "cone", "heddles", "cords", "mails", "bouts"),
    *("napkins", "towels", "rows", "columns", "x", "×"),
}

_NUMBER = re.compile(
    r"""(?P<sign>[-+])?\ ?
    (?: (?:(?P<whole>\d+)(?:\ ?-\ ?|\ +))?(?P<top>\d+)\ ?/\ ?(?P<bottom>\d+)
      | (?P<plain>\d{1,3}(?:\ \d{3})+(?![\d])(?:[.,]\d+)?|[.,]?\d[\d.,]*)
        (?:e(?P<power>[-+]?\d{1,9})(?!\d))? )""",
    re.VERBOSE,
)
_MARKS = str.maketrans(
    dict.fromkeys("‐‑‒–—―−", "-")
    | dict.fromkeys("″“”„＂", '"')
    | dict.fromkeys("′‘’ʹ＇", "'")
    | {"⁄": "/", "∕": "/"}
)


def plain_text(text: str) -> str:
    """Text with the many ways of writing digits, spaces, dashes and marks made one.

    Equation: none
    Parameters:
        text [text]: as typed or pasted
    Returns:
        [text] lower case, single spaces, plain digits, "1/2" for a vulgar half
    Validity: any text; superscripts stay as they are, so that 5² never becomes 52.
    Errors: none.

    Example:
        >>> plain_text(" １９½ ″")
        '19 1/2 "'

    Source: the Unicode character database.
    """
    if text.isascii():
        return " ".join(text.lower().split())
    letters = []
    for letter in text:
        decomposed = unicodedata.decomposition(letter)
        digit = unicodedata.decimal(letter, None)
        if digit is not None:
            letters.append(str(digit))
        elif decomposed.startswith("<fraction>"):
            letters.append(" " + unicodedata.normalize("NFKC", letter) + " ")
        elif decomposed.startswith("<wide>"):
            letters.append(unicodedata.normalize("NFKC", letter))
        elif unicodedata.category(letter) != "Cf":
            letters.append(letter)
    return " ".join("".join(letters).translate(_MARKS).lower().split())


def shown(text: str) -> str:
    """Typed text made short enough to be quoted in a sentence.

    Equation: none
    Parameters:
        text [text]: as typed
    Returns:
        [text] one line of at most 41 characters
    Validity: any text.
    Errors: none.

    Example:
        >>> shown("a" * 10_000)
        'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa…'

    Source: definition.
    """
    printable = (letter if letter.isprintable() else " " for letter in text[:LONGEST_TEXT])
    line = " ".join("".join(printable).split())
    return line if len(line) <= 40 else line[:40] + "…"


def dimension_of(word: str) -> str:
    """Kind of quantity that a unit word belongs to, in words.

    Equation: none
    Parameters:
        word [text]: a unit as plain text, such as cm or oz
    Returns:
        [text] such as "a length", or nothing for a word that is no unit
    Validity: any text.
    Errors: none.

    Example:
        >>> dimension_of("oz")
        'a weight'

    Source: definition.
    """
    return _DIMENSIONS[_UNITS[word][0]] if word in _UNITS else ""


@dataclass(frozen=True)
class _Entry:
    """What was typed, the dimension that is wanted there, and the field to name in an error."""

    text: str
    wanted: str
    field: str

    @property
    def plain(self) -> str:
        """Plain text to be read; empty and endless text is refused."""
        if len(self.text) > LONGEST_TEXT:
            self.refuse(f"“{shown(self.text)}” is far too long to be one figure.")
        return plain_text(self.text) or self.refuse("Nothing is written here.")

    def refuse(self, why: str = "") -> NoReturn:
        """Say why the text cannot be read, and what can."""
        wanted = _DIMENSIONS[self.wanted]
        message = why or f"“{shown(self.text)}” could not be read as {wanted}."
        raise InputError(self.field, message, f"Write {wanted} such as {_EXAMPLES[self.wanted]}.")

    def refuse_as(self, dimension: str) -> NoReturn:
        """Say which other dimension the text was read as."""
        wanted = "a plain number" if self.wanted == "number" else _DIMENSIONS[self.wanted]
        self.refuse(f"{shown(self.text)} is {_DIMENSIONS[dimension]}; {wanted} is wanted here.")

    def parts(self, plain: str) -> list[tuple[float, str]]:
        """Return the numbers in plain text, each with the word that follows it."""
        parts: list[tuple[float, str]] = []
        place = 0
        while place < len(plain):
            match = _NUMBER.match(plain, place) or self.refuse()
            word = re.split(r"\d", plain[match.end() :], maxsplit=1)[0]
            place = match.end() + len(word)
            parts.append((self.number(match), word.strip().rstrip(".,").strip()))
        return parts

    def number(self, match: re.Match[str]) -> float:
        """Return the number that the pattern found, finite and of a size that occurs."""
        if match["bottom"] is not None:
            top, bottom = int(match["top"]), int(match["bottom"])
            if top >= bottom:
                raise InputError(
                    self.field,
                    f"{top}/{bottom} is not a fraction smaller than one.",
                    "Write a mixed number such as 19 1/2, or a decimal such as 19.5."
                    if bottom
                    else "A fraction needs a number other than 0 under the line, such as 1/2.",
                )
            value = float(int(match["whole"] or 0) + Fraction(top, bottom))
        else:
            value = self.decimal(match["plain"])
            if match["power"]:
                value = _with_power(value, int(match["power"]))
        if not isfinite(value) or value > LARGEST:
            raise InputError(
                self.field,
                f"{shown(self.text)} is larger than anything a loom will see.",
                "Look for a digit too many, or a unit that does not belong.",
            )
        if 0 < value < SMALLEST:
            raise InputError(
                self.field,
                f"{shown(self.text)} is smaller than anything that can be measured.",
                "Look for a zero too many, or write 0.",
            )
        return -value if match["sign"] == "-" else value

    def decimal(self, plain: str) -> float:
        """Read a figure made only of digits, decimal and thousands marks, and spaces."""
        figure = plain.replace(" ", "")
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", figure):
            whole, part = figure.split(",")
            short = part.rstrip("0")
            decimal = f"{whole}.{short}" if short else f"{whole}.0"
            raise InputError(
                self.field,
                f"{plain} can be read in two ways: {whole}{part}, or {decimal}.",
                f"Write {whole}{part} without a comma, or {decimal} with a point.",
            )
        for thousands, mark in ((",", "."), (".", ",")):
            groups = rf"\d{{1,3}}(?:\{thousands}\d{{3}})"
            if re.fullmatch(rf"{groups}+\{mark}\d+|{groups}{{2,}}", figure):
                return float(figure.replace(thousands, "").replace(mark, "."))
        if not re.fullmatch(r"\d+[.,]?\d*|[.,]\d+", figure):
            raise InputError(
                self.field,
                f"“{shown(self.text)}” has more commas or points than a number can have.",
                "Write one decimal mark, such as 49.5 or 49,5.",
            )
        return float(figure.replace(",", "."))

    def not_negative(self, value: float) -> float:
        """Return a figure that is not below zero."""
        if value < 0:
            wanted = _DIMENSIONS[self.wanted]
            self.refuse(f"{shown(self.text)} is less than nothing; {wanted} cannot be.")
        return value


def _with_power(value: float, power: int) -> float:
    """Multiply by a power of ten; what would overflow or vanish becomes too large or too small."""
    if not value:
        return value
    size = log10(value) + power
    return (
        value * 10.0**power if abs(size) < 20 and abs(power) < 300 else 10.0 ** copysign(20, size)
    )


def _quantity(entry: _Entry, unit: str) -> float:
    """Read a length or a weight in one or several descending units; answer in cm or g."""
    total = 0.0
    above: Fraction | None = None
    for place, (value, word) in enumerate(entry.parts(entry.plain)):
        if not word and place and above == units.FOOT_CM:
            word = "in"  # noqa: PLW2901 – 5' 6 is five feet six inches
        dimension, factor = _UNITS.get(word or unit, ("", Fraction(0)))
        if word == "gr":
            entry.refuse(f"In “{shown(entry.text)}”, gr may mean grams or grains.")
        if dimension and dimension != entry.wanted:
            entry.refuse_as(dimension)
        if not dimension:
            entry.refuse()
        if place and (above is None or not word or value < 0 or value * factor >= above):
            entry.refuse()
        total += entry.not_negative(value) * float(factor)
        above = factor
    return total


def parse_length(text: str, unit: str = "cm", field: str = "") -> float:
    """Length in centimetres from typed text.

    Equation: cm = Σ number × unit
    Parameters:
        text [text]: such as 19 1/2 in, 49,5 cm, 5 ft 6 in
        unit [text]: what a bare number means
        field [text]: where an error is shown
    Returns:
        [cm] zero or more
    Validity: up to a thousand million of any unit.
    Errors: InputError when the text is no length.

    Example:
        >>> parse_length('19-1/2"')
        49.53
        >>> parse_length("250 g")
        Traceback (most recent call last):
        calculators.errors.InputError: 250 g is a weight; a length is wanted here.

    Source: NIST SP 811, appendix B.8 (the yard and its parts).
    """
    return _quantity(_Entry(text, "length", field), unit)


def parse_mass(text: str, unit: str = "g", field: str = "") -> float:
    """Mass in grams from typed text.

    Equation: g = Σ number × unit
    Parameters:
        text [text]: such as 250 g, 12 oz, 2 lb 3 oz
        unit [text]: what a bare number means
        field [text]: where an error is shown
    Returns:
        [g] zero or more
    Validity: up to a thousand million of any unit.
    Errors: InputError when the text is no weight.

    Example:
        >>> parse_mass("2 lb 3 oz")
        992.2333093750001

    Source: NIST SP 811, appendix B.8 (the avoirdupois pound and its parts).
    """
    return _quantity(_Entry(text, "mass", field), unit)


def _per_length(entry: _Entry, unit: str) -> float:
    """Threads or dents per centimetre, whichever of the two is wanted."""
    plain, wanted = entry.plain, entry.wanted
    if wanted == "dents" and re.fullmatch(r"[\d.,]+ ?/ ?10", plain):
        plain += " cm"
    if wanted == "dents":
        plain = re.sub(r"(?<=\d) ?- ?dent( reed)?$", " dpi", plain)  # 12-dent counts an inch
    match = re.fullmatch(
        r"(?P<number>.+?) ?(?P<noun>[a-z]*) ?(?:/ ?(?P<ten>10)?|\bper (?P<span>\d+)?) ?"
        r"(?P<unit>[a-z\"']+)\.?",
        plain,
    )
    if match and _UNITS.get(match["unit"], ("",))[0] == "length":
        number, noun = match["number"], match["noun"]
        span = Fraction(match["ten"] or match["span"] or 1) * _UNITS[match["unit"]][1]
        if not span:
            entry.refuse()
        factor = 1 / span
        parts = entry.parts(number)
        dimension = next((kind for kind, nouns in _NOUNS.items() if noun in nouns), wanted)
        if noun and dimension == wanted and noun not in _NOUNS[wanted]:
            entry.refuse()
    else:
        parts = entry.parts(plain)
        noun = parts[0][1]
        if noun in _NOUNS[wanted] or not noun:
            dimension, factor = wanted, _PER[unit.replace(" ", "")]
        else:
            dimension, factor = _UNITS.get(noun.replace(".", ""), ("", Fraction(0)))
        parts = [(parts[0][0], ""), *parts[1:]]
    if dimension in _NOUNS and dimension != wanted:
        counted = {"threads": "threads", "dents": "dents of a reed"}[dimension]
        entry.refuse(f"{shown(entry.text)} counts {counted}; {_DIMENSIONS[wanted]} is wanted here.")
    if dimension and dimension != wanted:
        entry.refuse_as(dimension)
    if not dimension or len(parts) != 1 or parts[0][1]:
        entry.refuse()
    value = entry.not_negative(parts[0][0])
    if value == 0:
        entry.refuse(f"{shown(entry.text)} is nothing; {_DIMENSIONS[wanted]} is needed.")
    return value * float(factor)


def parse_density(text: str, unit: str = "1/inch", field: str = "") -> float:
    """Threads per centimetre from typed text.

    Equation: threads per cm = number ÷ length counted over
    Parameters:
        text [text]: such as 30 epi, 12 /cm, 120 per 10 cm
        unit [text]: what a bare number means, "1/inch", "1/cm" or "1/10cm"
        field [text]: where an error is shown
    Returns:
        [1/cm] more than zero
    Validity: up to a thousand million.
    Errors: InputError when the text is no density, zero, or counts dents.

    Example:
        >>> parse_density("120 ends per 10 cm")
        12.0
        >>> round(parse_density("30 epi"), 3)
        11.811

    Source: definition of the inch, 25.4 mm.
    """
    return _per_length(_Entry(text, "threads", field), unit)


def parse_reed(text: str, unit: str = "1/inch", field: str = "") -> float:
    """Dents per centimetre from typed text.

    Equation: dents per cm = number ÷ length counted over; n/10 is n dents in 10 cm
    Parameters:
        text [text]: such as 60/10, 12 dpi, 12-dent, 5 /cm
        unit [text]: what a bare number means, "1/inch", "1/cm" or "1/10cm"
        field [text]: where an error is shown
    Returns:
        [1/cm] more than zero
    Validity: up to a thousand million.
    Errors: InputError when the text is no reed, zero, or counts ends.

    Example:
        >>> parse_reed("60/10")
        6.0

    Source: definition of the inch, 25.4 mm; n/10 is common practice, no source.
    """
    return _per_length(_Entry(text, "dents", field), unit)


def parse_number(text: str, field: str = "", signed: bool = False) -> float:
    """Plain number from typed text.

    Equation: none
    Parameters:
        text [text]: such as 12.5, 12,5 or 3 1/2
        field [text]: where an error is shown
        signed [yes or no]: whether a number below zero may be given
    Returns:
        [pure number] finite
    Validity: up to a thousand million.
    Errors: InputError when the text is no number, or below zero without ``signed``.

    Example:
        >>> parse_number("3½"), parse_number("12 500,25")
        (3.5, 12500.25)

    Source: definition.
    """
    entry = _Entry(text, "number", field)
    (value, word), *rest = entry.parts(entry.plain)
    if word in _UNITS:
        entry.refuse_as(_UNITS[word][0])
    if rest or word:
        entry.refuse()
    return value if signed else entry.not_negative(value)


def parse_price(text: str, unit: str = "1/kg", field: str = "") -> float:
    """Price of a kilogram from typed text.

    Equation: price of a kilogram = price ÷ weight it is asked for
    Parameters:
        text [text]: such as 60, 60 per kg, 27.50 / lb or 12 per 100 g
        unit [text]: what a bare number means, "1/kg" or "1/lb"
        field [text]: where an error is shown
    Returns:
        [1/kg] zero or more, in whatever money
    Validity: up to a thousand million.
    Errors: InputError when the text is no price, or its weight is no weight or zero.

    Example:
        >>> parse_price("60"), parse_price("12 per 100 g")
        (60.0, 120.0)
        >>> round(parse_price("27.5 / lb"), 2)
        60.63

    Source: definition of the pound, 453.59237 g.
    """
    in_words = re.sub(r"(?<=\d) ?/ ?(?=[a-z])", " per ", plain_text(text))
    price, _, weight = in_words.partition(" per ")
    weight = weight or unit.removeprefix("1/")
    weight = weight if weight[0].isdigit() else f"1 {weight}"
    grams = parse_mass(weight, field=field)
    if not grams:
        raise InputError(field, "This price is for no weight at all.", "For example 60 per kg.")
    return parse_number(price, field) * float(units.KILOGRAM_G) / grams


def parse_count(text: str, field: str = "") -> int:
    """Whole number from typed text.

    Equation: none
    Parameters:
        text [text]: such as 253, 1 250 or 253 ends
        field [text]: where an error is shown
    Returns:
        [count] zero or more
    Validity: up to a thousand million.
    Errors: InputError when the text is no whole number.

    Example:
        >>> parse_count("1 250 ends")
        1250

    Source: definition.
    """
    entry = _Entry(text, "count", field)
    (value, word), *rest = entry.parts(entry.plain)
    if word in _UNITS and word not in _COUNTED:
        entry.refuse_as(_UNITS[word][0])
    if rest or (word and word not in _COUNTED):
        entry.refuse()
    if entry.not_negative(value) != int(value):
        entry.refuse(f"{shown(text)} is not a whole number.")
    return int(value)


def parse_figures(text: str, field: str = "") -> Range:
    """Low, likely and high of a plain figure from typed text.

    Equation: of two figures the likely one is the middle
    Parameters:
        text [text]: such as 4, 2–4–8, 2 to 8
        field [text]: where an error is shown
    Returns:
        [as typed] low, likely and high; a single figure three times
    Validity: at most three figures, rising.
    Errors: InputError when the text is no figure, or the figures do not rise.

    Example:
        >>> parse_figures("2–4–8"), parse_figures("4").is_exact
        (Range(low=2.0, likely=4.0, high=8.0), True)

    Source: definition.
    """
    pieces = re.split(r" ?\bto\b ?|(?<=\d) ?(?:–|—|-|\.{2,3}|…) ?(?=\d)", text.strip())
    values = [parse_number(piece, field=field) for piece in pieces]
    if len(values) > 3 or values != sorted(values):
        raise InputError(
            field,
            f"{shown(text)} was read as {len(values)} figures, which do not rise from low to high.",
            "Give one figure, or low–likely–high such as 2–4–8.",
        )
    low, high = values[0], values[-1]
    return Range(low, values[1] if len(values) == 3 else (low + high) / 2, high)


def parse_loss(text: str, field: str = "") -> Range:
    """Loss as low, likely and high fractions from typed text.

    Equation: fraction = percentage ÷ 100; of two figures the likely one is the middle
    Parameters:
        text [text]: such as 8 %, 8, 5–8–12 %, 5 to 12 %
        field [text]: where an error is shown
    Returns:
        [fraction] zero or more, below one
    Validity: 0 % up to but not including 100 %.
    Errors: InputError when the text is no loss, or a bare figure below 1, which is ambiguous.

    Example:
        >>> parse_loss("5 to 12 %")
        Range(low=0.05, likely=0.085, high=0.12)
        >>> parse_loss("0.08")
        Traceback (most recent call last):
        calculators.errors.InputError: 0.08 without a % sign may mean 8 % or 0.08 %.

    Source: definition.
    """
    entry = _Entry(text, "loss", field)
    plain = entry.plain
    figures = re.sub(r"%|\bper ?cent\b|\bpct\b", " ", plain)
    marked = figures != plain
    figures = " ".join(figures.split())
    pieces = re.split(r" ?\bto\b ?|(?<=\d) ?(?:\.{2,3}|…) ?(?=\d)", figures)
    if len(pieces) == 1 and not re.fullmatch(r"\d+-\d+ ?/ ?\d+", figures):
        pieces = re.split(r"(?<=\d) ?- ?(?=[\d.,])", figures)
    values = []
    for piece in pieces:
        parts = entry.parts(piece.strip())
        if len(parts) != 1:
            entry.refuse()
        value, word = parts[0]
        if word in _UNITS:
            entry.refuse_as(_UNITS[word][0])
        if word:
            entry.refuse()
        values.append(value)
    if len(values) > 3:
        entry.refuse()
    low, high = min(values), max(values)
    if low < 0:
        entry.refuse(f"{shown(text)} is below zero; a loss cannot be.")
    if high >= 100:
        entry.refuse(f"{shown(text)} would leave nothing; a loss is below 100 %.")
    if values != sorted(values):
        entry.refuse(f"{shown(text)} does not rise from low through likely to high.")
    if not marked and 0 < high < 1:
        figure, hundredfold = f"{high:g}", f"{high * 100:g}"
        raise InputError(
            field,
            f"{shown(text)} without a % sign may mean {hundredfold} % or {figure} %.",
            f"Write {hundredfold} % or {figure} %.",
        )
    if len(values) == 3:
        return Range(low / 100, values[1] / 100, high / 100)
    return Range(low / 100, low / 100 if low == high else (low + high) / 200, high / 100)


def parse_list(text: str, field: str = "") -> list[str]:
    """Items of a typed list, each still as typed.

    Equation: none
    Parameters:
        text [text]: items parted by semicolons, new lines, "and", "+" or a comma with a space
        field [text]: where an error is shown
    Returns:
        [list of texts] at least one, none empty
    Validity: up to 200 characters; a comma between two digits is a decimal comma.
    Errors: InputError when the text is empty or too long.

    Example:
        >>> parse_list("60/10, 70/10; 12 dpi")
        ['60/10', '70/10', '12 dpi']

    Source: definition.
    """
    hint = "Write the items with a comma and a space between them, such as 60, 40."
    if len(text) > LONGEST_TEXT:
        raise InputError(field, f"“{shown(text)}” is far too long for this list.", hint)
    pieces = re.split(r"[;；\n]|[,，](?!\d)|\band\b|[+&]", text)
    items = [piece.strip() for piece in pieces if piece.strip()]
    if not items:
        raise InputError(field, "Nothing is written here.", hint)
    return items
