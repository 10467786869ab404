"""How far apart two colours lie, from the values a screen shows them with."""

import re
from functools import cache
from operator import sub

from calculators.data import load
from calculators.engine.expression import root
from calculators.engine.formula import bare, formula
from calculators.errors import InputError
from calculators.yarn.words import COLOURS as SPOKEN

Lab = tuple[float, float, float]
_XYZ = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
COLOURS: dict[str, str] = {row["name"]: row["hex"] for row in load("colours")["colour"]}
COLOUR_WORDS = {**COLOURS, **{word: COLOURS[name] for word, name in SPOKEN.items()}}


def parse_colour(text: str, field: str = "colour") -> str:
    """Colour from a word or its screen value.

    Equation: none
    Parameters:
        text [text]: such as #2b4a6f, #fff or natural
        field [text]: where an error is shown
    Returns:
        [text] # and six figures to the base sixteen
    Validity: the words of data/colours.toml and data/yarn_words.toml.
    Errors: InputError when it is neither.

    Example:
        >>> parse_colour("#FA0"), parse_colour("natural")
        ('#ffaa00', '#e8dfc8')

    Source: named colours: W3C, CSS Color Module Level 4, section 6.1; yarn words: common practice,
        no source.
    """
    plain = text.strip().casefold()
    if plain in COLOUR_WORDS:
        return COLOUR_WORDS[plain]
    if re.fullmatch(r"#[0-9a-f]{3}", plain):
        return "#" + "".join(2 * figure for figure in plain[1:])
    if re.fullmatch(r"#[0-9a-f]{6}", plain):
        return plain
    raise InputError(
        field,
        f"“{text.strip()[:30]}” is no colour known here.",
        "Write a value such as #2b4a6f, or one of: " + ", ".join(COLOURS) + ".",
    )


@formula(
    "F-122",
    "Relative luminance",
    "wcag-2-2",
    gives="luminance",
    where="definition of relative luminance; R = ((r + 0.055) ÷ 1.055)^2.4, or r ÷ 12.92 up to "
    "r = 0.04045, r being red as the screen is told, from 0 to 1; G and B likewise",
    basis="published",
    validity="sRGB; a yarn on the table is only near to any screen value",
)
def luminance_of(red: float, green: float, blue: float) -> float:
    """Relative luminance of red, green and blue light, 1 for white.

    >>> round(luminance_of(0, 1, 1), 4)
    0.7874
    """
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def luminance(colour: str) -> float:
    """Relative luminance of a screen colour, 0 for black and 1 for white (F-122).

    >>> luminance("#ffffff"), round(luminance("#808080"), 4)
    (1.0, 0.2159)
    """
    return luminance_of(*linear(colour))


@cache
def lab(colour: str) -> Lab:
    """Place of a screen colour in a space where like distances look alike.

    Equation: L* = 116 f(Y) − 16, a* = 500 (f(X) − f(Y)), b* = 200 (f(Y) − f(Z))   (F-123)
    Parameters:
        colour [text]: # and six figures
    Returns:
        [L*, a*, b*] lightness from 0 to 100, red against green, yellow against blue
    Validity: sRGB seen in daylight (D65).
    Errors: InputError when it is no colour.

    Example:
        >>> [round(part) for part in lab("#ff0000")]
        [53, 80, 67]

    Source: CIE 1976 L*a*b*, International Electrotechnical Vocabulary 845-23-076 (ISO/CIE 11664-4);
        sRGB to XYZ by IEC 61966-2-1 (from memory).
    """
    light = linear(colour)
    x, y, z = (
        _root(sum(factor * part for factor, part in zip(row, light, strict=True)) / sum(row))
        for row in _XYZ
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@formula(
    "F-123",
    "Difference of two colours",
    "iev-845",
    gives="colour_difference",
    where="845-23-076; L* = 116 × f(Y) − 16, a* = 500 × (f(X) − f(Y)), b* = 200 × (f(Y) − f(Z)) of "
    "the colour’s stimulus X, Y, Z, each against white’s; f(t) = ∛t, or 841 ÷ 108 × t + 4 ÷ 29 up "
    "to t = (6 ÷ 29)³",
    basis="published",
    validity="about 2 is just seen; how the light lies in satin and yarn counts as much",
)
def distance(lightness_apart: float, red_apart: float, yellow_apart: float) -> float:
    """Distance of two colours that stand so far apart each way.

    >>> distance(2, 3, 6)
    7.0
    """
    return root(lightness_apart**2 + red_apart**2 + yellow_apart**2)


_distance = bare(distance)


def difference(first: str, second: str) -> float:
    """Distance between two colours, as the eye sees it (F-123).

    >>> round(difference("#000000", "#ffffff"), 6), difference("#2b4a6f", "#2b4a6f")
    (100.0, 0.0)
    """
    return _distance(*map(sub, lab(first), lab(second)))


@cache
def linear(colour: str) -> tuple[float, float, float]:
    """Red, green and blue light of a screen colour, each from 0 to 1 (F-122).

    >>> linear("#ff0000")
    (1.0, 0.0, 0.0)
    """
    full = parse_colour(colour)
    parts = (int(full[place : place + 2], 16) / 255 for place in (1, 3, 5))
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return red, green, blue


def on_screen(light: float) -> float:
    """What a screen is told to show so much red, green or blue light, turned round from (F-122).

    >>> round(255 * on_screen(luminance("#808080")))
    128
    """
    light = max(0.0, min(1.0, light))
    return 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055


def _root(share: float) -> float:
    return share ** (1 / 3) if share > (6 / 29) ** 3 else share * 841 / 108 + 4 / 29
