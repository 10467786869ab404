"""A yarn, and reading it from a label in any of the usual notations.

A label such as 16/2 does not say which number is the ply, and a silk label does not say whether
its number is the single thread or the finished yarn. The readings that a weaver could mean are all
kept; one is used and named. Our rule: the smaller whole number is the ply, and a system's own
convention says what the other number names.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

from calculators.engine.formula import formula, unlogged
from calculators.errors import InputError
from calculators.quantities import units
from calculators.quantities.checks import SMALLEST
from calculators.quantities.format import format_number
from calculators.quantities.parse import (
    LONGEST_TEXT,
    dimension_of,
    parse_number,
    plain_text,
    shown,
)
from calculators.yarn.systems import SPELLINGS, SYSTEMS, count_of, system_named, tex_of
from calculators.yarn.words import COLOURS, COUNTED_IN_SEVERAL, FIBRES, IDLE

FINEST_TEX = 0.05
THICKEST_TEX = 50_000.0
MOST_PLIES = 200
POUND_MG, YARD_M = float(1000 * units.POUND_G), float(units.YARD_CM / units.METRE_CM)
TEX_LENGTH_CM = float(units.KILOMETRE_CM)  # its weight in grams is the tex
MOST_FOLDS_OF_FILAMENT = 12  # a higher number on a denier label counts filaments
COTTON_LEA_TEX = float(units.POUND_G / (120 * units.YARD_CM) * units.KILOMETRE_CM)


@dataclass(frozen=True)
class Meaning:
    """One way to understand a label."""

    words: str
    tex: float


@dataclass(frozen=True)
class Yarn:
    """A yarn as it was understood.

    ``count`` and ``plies`` are those of the label in its ``system``; ``tex`` is the linear density
    of the whole yarn. ``readings`` has the one used first and then the others a label allows;
    ``note`` says why that one was used, and is empty for a label that can only mean one thing.
    """

    text: str
    count: float
    plies: int
    system: str
    tex: float
    readings: tuple[Meaning, ...]
    note: str = ""

    @property
    def understood(self) -> str:
        """The reading used, in words and in two measures."""
        return (
            f"{self.readings[0].words}: {format_number(self.tex)} tex, "
            f"{format_number(metres_per_kilogram(self.tex))} m/kg, "
            f"{format_number(yards_per_pound(self.tex))} yd/lb"
        )


@formula(
    "F-4",
    "Yards in a pound",
    "yard-pound-1959",
    "exact-arithmetic",
    where="1 yd = 0.9144 m, 1 lb = 453.59237 g",
)
def yards_per_pound(tex: float) -> float:
    """Yards in a pound of yarn.

    >>> round(yards_per_pound(73.8176559310), 6)
    6720.0
    """
    return POUND_MG / (YARD_M * tex)


@formula(
    "F-5",
    "Metres in a kilogram",
    "nist-sp811",
    where="appendix B.8",
)
def metres_per_kilogram(tex: float) -> float:
    """Metres in a kilogram of yarn.

    >>> metres_per_kilogram(125)
    8000.0
    """
    return 1_000_000 / tex


@formula(
    "F-6",
    "Weight of a length of yarn",
    "ucum",
    gives="yarn_mass",
    where="entry ‘tex’",
)
def mass_of(thread_length: float, tex: float) -> float:
    """Weight of a length of yarn.

    >>> mass_of(100_000, 74)
    74.0
    """
    return thread_length * tex / TEX_LENGTH_CM


@formula(
    "F-7",
    "Length of a weight of yarn",
    "ucum",
    gives="thread_length",
    where="entry ‘tex’",
)
def length_of(yarn_mass: float, tex: float) -> float:
    """Length of a weight of yarn.

    >>> length_of(250, 125)
    200000.0
    """
    return yarn_mass * TEX_LENGTH_CM / tex


_HINT = (
    "Write a label such as 16/2, 2/16, 30/2 cotton, Nm 28/2, 40/2 lea, 37 tex x 2, 70 den, "
    "6720 yd/lb or 13500 m/kg."
)
_FIGURE = r"\d[\d ]*(?:[.,]\d+)*"
_PER_MASS = re.compile(
    rf"(?P<length>{_FIGURE}) ?(?P<length_unit>m|metres?|meters?|km|yd|yds|yards?|ft|feet) ?"
    rf"(?:/|per|=|-|in|to|a) ?(?P<mass>{_FIGURE})? ?"
    r"(?:a |the )?(?P<mass_unit>g|grams?|kg|kilo|kilograms?|oz|ounces?|lb|lbs|pounds?)\.?"
)
_CENTIMETRES = {
    "m": units.METRE_CM,
    "km": units.KILOMETRE_CM,
    "y": units.YARD_CM,
    "f": units.FOOT_CM,
}
_GRAMS = {
    "g": Fraction(1),
    "k": units.KILOGRAM_G,
    "o": units.OUNCE_G,
    "l": units.POUND_G,
    "p": units.POUND_G,
}
_LETTER = r"[^\W\d_]"
_IDLE = {*IDLE, *COLOURS, "s", "x"}
_PLY_NAMES = {"two": 2, "three": 3, "four": 4, "six": 6}
_PLY_WORDS = re.compile(rf"\b({'|'.join(_PLY_NAMES)})(?=[ -]?(?:ply|fold|cord))")
_FOLD_WORDS = re.compile(r"(\d+)[ -]?(?:ply|plies|fold|cord|strands?)\b")
_NUMBERS = re.compile(r"(?P<first>[\d., ]*\d)(?: ?(?P<sign>[/x×*-]) ?(?P<second>[\d.,]*\d)?)?")
_VULGAR = re.compile(r"(\d+)? ?([¼-¾⅐-⅞])")
_MIXED = re.compile(r"(?<![\d./])(\d+) ([1-7])/([248])(?![\d/])")


@cache
def _any_word(words: tuple[str, ...]) -> re.Pattern[str]:
    longer_first = sorted(words, reverse=True)  # of two that begin alike
    return re.compile(rf"(?<!{_LETTER})(?:{'|'.join(map(re.escape, longer_first))})(?!{_LETTER})")


@unlogged()
def parse_yarn(text: str, system: str = "cotton", field: str = "yarn") -> Yarn:
    """Yarn from the way its label is written.

    Equation: tex by F-1 or F-2 from count, ply and system
    Parameters:
        text [text]: such as 16/2, 30/2 cotton, Nm 28/2, R 74 tex, 6720 yd/lb
        system [name]: the system of a label that names none
        field [text]: where an error is shown
    Returns:
        [Yarn] the yarn, with every reading its label allows
    Validity: 0.05 tex to 50 000 tex; at most 200 plies.
    Errors: InputError when the label cannot be read, or names no yarn.

    Example:
        >>> parse_yarn("2/16").readings[0].words
        '16s cotton, two-ply'
        >>> [reading.words for reading in parse_yarn("60/2 spun silk").readings[:2]]
        ['60s spun silk, finished, two-ply', '60s singles, two-ply, as cotton would be written']

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition, page 239 of the web edition
        (cotton 2-40s, silk 40s-2); the rest is common practice, no source.
    """
    if len(text) > LONGEST_TEXT:
        raise InputError(field, f"“{shown(text)}” is far too long for a yarn.", _HINT)
    plain = _MIXED.sub(_mixed_as_decimal, plain_text(_VULGAR.sub(_vulgar_as_decimal, text)))
    if not plain:
        raise InputError(field, "No yarn is named here.", _HINT)
    yarn = _from_length_and_mass(text, plain, field) or _from_label(
        text, plain, system_named(system, field), field
    )
    refuse_if_no_yarn(yarn.tex, text, field)
    return yarn


def refuse_if_no_yarn(tex: float, text: str, field: str) -> None:
    """Refuse a linear density that no yarn has.

    Equation: none
    Parameters:
        tex [tex]: linear density
        text [text]: what was typed, for the sentence
        field [text]: where the error is shown
    Returns:
        nothing
    Validity: 0.05 tex to 50 000 tex pass.
    Errors: InputError outside these.

    Example:
        >>> refuse_if_no_yarn(74, "16/2", "yarn")

    Source: the limits are our own choice.
    """
    if not FINEST_TEX <= tex <= THICKEST_TEX:
        finer = tex < FINEST_TEX
        raise InputError(
            field,
            f"{shown(text)} would be {'finer' if finer else 'thicker'} than any yarn "
            f"({format_number(tex)} tex).",
            "Look at the units, and for a digit too many or a needless point.",
        )


def _mixed_as_decimal(match: re.Match[str]) -> str:
    """Write 3 1/2 as 3.5; leave what is no fraction smaller than one."""
    whole, top, bottom = (int(part) for part in match.groups())
    return f"{whole + top / bottom:g}" if top < bottom else match[0]


def _vulgar_as_decimal(match: re.Match[str]) -> str:
    """Write 3½ as 3.5."""
    return f"{int(match[1] or 0) + unicodedata.numeric(match[2]):.6g}"


def _from_length_and_mass(text: str, plain: str, field: str) -> Yarn | None:
    """Read a length to a mass, such as 6720 yd/lb or 150 m / 50 g."""
    match = _PER_MASS.fullmatch(plain)
    if not match:
        return None
    length = parse_number(match["length"], field)
    mass = parse_number(match["mass"], field) if match["mass"] else 1.0
    if not length or not mass:
        raise InputError(field, f"{shown(text)} leaves the yarn without length or weight.", _HINT)
    long = "km" if match["length_unit"] == "km" else match["length_unit"][0]
    centimetres = Fraction(length) * _CENTIMETRES[long]
    grams = Fraction(mass) * _GRAMS[match["mass_unit"][0]]
    tex = float(grams * units.KILOMETRE_CM / centimetres)
    refuse_if_no_yarn(tex, text, field)
    system = "yards_per_pound" if long in ("y", "f") else "metres_per_kilogram"
    count = count_of(tex, system)
    meaning = Meaning(_words(count, 1, system), tex)
    return Yarn(text, count, plies=1, system=system, tex=tex, readings=(meaning,))


def _from_label(text: str, plain: str, assumed: str, field: str) -> Yarn:
    """Read a count label: find the system, then the ply in words, then the numbers."""
    rest, named, fibre = _without_system(text, plain, field)
    rest, resultant = re.subn(r"(?<![a-z])r ?(?=\d)", " ", rest)
    rest = _PLY_WORDS.sub(lambda match: str(_PLY_NAMES[match[1]]), rest)
    spoken = _FOLD_WORDS.search(rest)
    if spoken:
        rest = f"{rest[: spoken.start()]} {rest[spoken.end() :]}"
    rest = _without_idle_words(text, re.sub(r"(?<=\d)'?s\b", " ", rest), bool(named), field)
    numbers = _NUMBERS.fullmatch(rest)
    if not numbers:
        raise InputError(field, f"“{shown(text)}” could not be read as a yarn.", _HINT)
    if numbers["sign"] and numbers["second"] is None:
        raise InputError(
            field,
            f"“{shown(text)}” breaks off after the {numbers['sign']}.",
            "Write both numbers, such as 16/2, or the count alone, such as 16.",
        )
    if spoken and numbers["second"]:
        raise InputError(
            field,
            f"“{shown(text)}” names the ply twice.",
            "Write the ply once, such as 16/2 or 16s 2-ply.",
        )
    first = parse_number(numbers["first"], field)
    second = parse_number(numbers["second"] or (spoken[1] if spoken else "1"), field)
    if not first or not second:
        raise InputError(
            field,
            f"{shown(text)} has a 0 where a count or a ply belongs.",
            "A single yarn is written 16/1 or 16.",
        )
    label = _Label(text, field, named or fibre or assumed, bool(resultant), numbers["sign"] == "/")
    yarn = _two_numbers(label, first, second) if numbers["second"] else label.yarn(first, second)
    if named == "cotton" and fibre == "linen":
        return _with_reading(
            yarn,
            _reading(yarn.count, yarn.plies, "linen"),
            "Ne is taken as the cotton count, as written, though the yarn is linen.",
        )
    return yarn


def _without_system(text: str, plain: str, field: str) -> tuple[str, str, str]:
    """Take the words for system and fibre out; return what is left and the systems they mean."""
    undotted = re.sub(r"(?<=[a-z])\.", "", plain)
    systems, materials = _any_word(tuple(SPELLINGS)), _any_word(tuple(FIBRES))
    named = {SPELLINGS[word] for word in systems.findall(undotted)}
    rest = systems.sub(" ", undotted)
    fibres = {FIBRES[word] for word in materials.findall(rest)}
    rest = materials.sub(" ", rest)
    if len(named) > 1 or (len(fibres) > 1 and not named):
        titles = " and ".join(sorted(SYSTEMS[name].title for name in named or fibres))
        raise InputError(
            field, f"“{shown(text)}” names two ways of counting: {titles}.", "Name only one."
        )
    return " ".join(rest.split()), next(iter(named), ""), next(iter(sorted(fibres)), "")


def _without_idle_words(text: str, rest: str, named: bool, field: str) -> str:
    """Take out words that change nothing; refuse those that might."""
    for word in re.findall(r"[^\W\d_]+", rest):
        if word in COUNTED_IN_SEVERAL and not named:
            raise InputError(
                field,
                f"{word.capitalize()} is counted in several systems.",
                "Name one, such as 2/16 worsted, Nm 2/28, 4 run, 12 cut, 20 skein or 22/2 lea.",
            )
        if dimension_of(word):
            raise InputError(
                field, f"{shown(text)} is {dimension_of(word)}; a yarn is wanted here.", _HINT
            )
        if word not in _IDLE and word not in COUNTED_IN_SEVERAL:
            raise InputError(
                field,
                f"“{shown(word)}” in “{shown(text)}” is no count system of this handbook.",
                _HINT,
            )
    rest = re.sub(
        rf"{_LETTER}+(?:-{_LETTER}+)*|#", lambda match: "x" if match[0] == "x" else " ", rest
    )
    return " ".join(rest.split()).strip(" .,")


@dataclass(frozen=True)
class _Label:
    """What a label says besides its numbers."""

    text: str
    field: str
    system: str
    resultant: bool  # an R stands before the number
    slash: bool  # the ply is set off by a slash, not by ×

    def yarn(self, count: float, fold: float) -> Yarn:
        """Build the yarn of known count and ply, with the other readings its system allows."""
        kind = SYSTEMS[self.system]
        if fold > MOST_PLIES or fold != int(fold):
            raise InputError(
                self.field,
                f"{shown(self.text)} would have {format_number(fold)} plies.",
                f"Write a whole number of plies, at most {MOST_PLIES}, or the count alone.",
            )
        plies = int(fold)
        if kind.numbers == "whole" and plies > 1:
            raise InputError(
                self.field,
                f"{kind.title.capitalize()} speaks of the yarn as it is, so {shown(self.text)} "
                "has a number too many.",
                f"Write the length alone, such as {format_number(count)} {kind.symbol}.",
            )
        if self.resultant and kind.numbers == "single":
            count = count / plies if kind.direct else count * plies
        reading = _reading(count, plies, self.system)
        yarn = Yarn(
            self.text,
            count,
            plies=plies,
            system=self.system,
            tex=reading.tex,
            readings=(reading,),
        )
        if self.resultant and plies > 1:
            return replace(yarn, note="R says that the number is the finished yarn, plies and all.")
        for other, note in self._other_readings(yarn):
            yarn = _with_reading(yarn, other, note)
        return yarn

    def _other_readings(self, yarn: Yarn) -> Iterable[tuple[Meaning, str]]:
        kind, count, plies = SYSTEMS[self.system], yarn.count, yarn.plies
        figure = format_number(count)
        if kind.direct and plies > 1 and self.slash:
            yield (
                Meaning(f"{figure} {kind.symbol} in all, {_fold(plies)}", yarn.tex / plies),
                f"{figure} {kind.symbol} is taken as each of the {plies} plies.",
            )
        if kind.numbers == "resultant" and plies > 1:
            words = f"{figure}s singles, {_fold(plies)}, as cotton would be written"
            yield (
                Meaning(words, yarn.tex * plies),
                f"Spun silk is numbered by the finished yarn, so {figure} is the count as it is.",
            )
        if self.system == "linen" and re.search(r"\blea", self.text.lower()):
            words = f"{figure} cotton leas of 120 yd to the pound, {_fold(plies)}"
            yield (
                Meaning(words, COTTON_LEA_TEX * plies / count),
                "The lea is taken as the linen lea of 300 yd; the cotton lea of 120 yd is a "
                "seventh of a hank.",
            )
        if self.system == "woollen_cut":
            yield (
                _reading(count, plies, "galashiels"),
                "The cut is taken as that of 300 yd to the pound, not the Galashiels cut.",
            )


def _two_numbers(label: _Label, first: float, second: float) -> Yarn:
    """Decide which of two numbers is the ply, and keep the other way round as a reading."""
    whole = [number for number in (first, second) if number == int(number)]
    if not whole:
        raise InputError(
            label.field,
            f"In {shown(label.text)} neither number is a whole number of plies.",
            _HINT,
        )
    fold = min(whole)
    count = first if fold == second else second
    if SYSTEMS[label.system].direct and label.slash and fold > MOST_FOLDS_OF_FILAMENT:
        note = f"{format_number(fold)} is taken as a number of filaments, not plies."
        return replace(label.yarn(count, 1), note=note)
    yarn = label.yarn(count, fold)
    ambiguous = fold not in (1, count) and count in whole and count <= MOST_PLIES
    if not ambiguous or SYSTEMS[label.system].direct:
        return yarn
    return _with_reading(
        yarn,
        _reading(fold, int(count), label.system),
        f"Of {format_number(first)} and {format_number(second)} the smaller, "
        f"{format_number(fold)}, is taken as the ply.",
    )


def _reading(count: float, plies: int, system: str) -> Meaning:
    least = max(count, SMALLEST)  # below that it is refused by its tex
    return Meaning(_words(count, plies, system), tex_of(least, plies, system))


def _with_reading(yarn: Yarn, reading: Meaning, note: str) -> Yarn:
    return replace(yarn, readings=(*yarn.readings, reading), note=f"{yarn.note} {note}".strip())


def _fold(plies: int) -> str:
    names = {1: "single", **{number: f"{name}-ply" for name, number in _PLY_NAMES.items()}}
    return names.get(plies, f"{plies}-ply")


def _words(count: float, plies: int, system: str) -> str:
    """Say a count and its ply as the trade would."""
    kind = SYSTEMS[system]
    figure = format_number(count)
    if kind.numbers == "whole":
        return f"{figure} {kind.symbol}"
    if kind.direct:
        return f"{figure} {kind.symbol}" + (f" × {plies}" if plies > 1 else "")
    names = {"cotton": "cotton", "worsted": "worsted", "spun_silk": "spun silk"}
    if system in names:
        thread = f"{figure}s {names[system]}"
    elif system in ("metric", "french"):
        thread = f"{kind.symbol} {figure}"
    else:
        thread = f"{figure} {kind.title}"
    finished = "finished, " if kind.numbers == "resultant" and plies > 1 else ""
    return f"{thread}, {finished}{_fold(plies)}"
