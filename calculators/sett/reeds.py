"""Reeds by every way of numbering them."""

import re
from dataclasses import dataclass
from fractions import Fraction

from calculators.data import load
from calculators.engine.formula import formula, unlogged
from calculators.errors import InputError
from calculators.quantities.checks import positive
from calculators.quantities.parse import parse_list, parse_number

LONGEST_NAME = 60
_NUMBER_AND_SYSTEM = r"([^A-Za-z]*?\d[^A-Za-z]*?)\s*((?:[A-Za-z]|/\s*(?:10\s*)?[A-Za-z]).*)"


@dataclass(frozen=True)
class ReedSystem:
    """A way of numbering reeds: the dents in an inch of the reed numbered 1, and its source."""

    name: str
    title: str
    aliases: tuple[str, ...]
    dents_per_inch: Fraction
    ends_per_dent: int
    source: str
    where: str
    basis: str


def _ratio(text: str) -> Fraction:
    dividend, _, divisor = text.partition("/")
    return Fraction(dividend) / Fraction(divisor or 1)


REED_SYSTEMS: dict[str, ReedSystem] = {
    row["name"]: ReedSystem(
        name=row["name"],
        title=row["title"],
        aliases=tuple(row["aliases"]),
        dents_per_inch=_ratio(row["dents"]) / _ratio(row["inches"]),
        ends_per_dent=row["ends_per_dent"],
        source=row["source"],
        where=row["where"],
        basis=row["basis"],
    )
    for row in load("reed_systems")["reed_system"]
}


def reed_system_named(text: str, field: str = "system") -> ReedSystem:
    """Reed system by its name, its title or another name for it.

    Equation: none
    Parameters:
        text [text]: such as stockport, Scotch, dents per 10 cm
        field [name]: where an error is shown
    Returns:
        [ReedSystem] the system
    Validity: systems of calculators/data/reed_systems.toml.
    Errors: InputError for any other name.
    Example:
        >>> reed_system_named("dpi").title
        'dents per inch'

    Source: definition.
    """
    if text in REED_SYSTEMS:
        return REED_SYSTEMS[text]
    wanted = _plain(text)
    for system in REED_SYSTEMS.values():
        if wanted in {_plain(name) for name in (system.name, system.title, *system.aliases)}:
            return system
    raise InputError(
        field,
        f"“{text[:40]}” is not a way of numbering reeds that is known here.",
        "Known are: " + ", ".join(REED_SYSTEMS) + ".",
    )


@formula(
    "F-52",
    "Dents in an inch",
    "taylor-1909",
    "brooks-1892",
    "textile-terms",
    "spons-jute",
    "shawl-trade-theory",
    gives="dents_per_inch",
    where="see the table of reed systems",
    basis="published",
)
def dents_of_reed(reed: float, dents_of_number_one: float) -> float:
    """Dents in an inch of a numbered reed.

    >>> dents_of_reed(60, 0.5)
    30.0
    """
    return reed * dents_of_number_one


@formula(
    "F-52",
    "Number of a reed",
    "brooks-1892",
    gives="reed",
    where="p. 148 (table)",
    basis="published",
    validity="not rounded",
)
def number_of_reed(dents_per_inch: float, dents_of_number_one: float) -> float:
    """Number of a reed of known dents.

    >>> number_of_reed(30, 0.5)
    60.0
    """
    return dents_per_inch / dents_of_number_one


@formula(
    "F-52",
    "Ends in an inch of a numbered reed",
    "textile-terms",
    "taylor-1909",
    gives="sett",
    where="Dictionary of the English Textile Terms, Sett systems; Taylor, web pages 243–244",
    basis="published",
    validity="even denting, or the mean of a mixed one",
)
def ends_of_reed(ends_per_dent: float, dents_per_inch: float) -> float:
    """Ends in an inch, from the ends in each dent.

    >>> ends_of_reed(2, 40)
    80
    """
    return ends_per_dent * dents_per_inch


def dents_per_inch(reed: float, system: str = "dents_per_inch") -> float:
    """Dents in an inch of a reed numbered in a system (F-52).

    >>> dents_per_inch(60, "stockport")
    30.0
    >>> round(2 * dents_per_inch(12, "leeds"), 2)
    50.67
    """
    return dents_of_reed(reed, float(reed_system_named(system).dents_per_inch))


def reed_number(dents: float, system: str) -> float:
    """Number of a reed in a system, not rounded (F-52).

    >>> reed_number(33, "stockport"), round(reed_number(33, "bolton"), 1)
    (66.0, 40.0)
    """
    return number_of_reed(dents, float(reed_system_named(system).dents_per_inch))


def ends_per_inch(reed: float, system: str, ends_per_dent: float | None = None) -> float:
    """Ends in an inch of a numbered reed, with the system's own ends in a dent if none (F-52).

    >>> ends_per_inch(72, "bradford"), ends_per_inch(16, "huddersfield", 3)
    (80.0, 48.0)
    """
    each = reed_system_named(system).ends_per_dent if ends_per_dent is None else ends_per_dent
    return ends_of_reed(each, dents_per_inch(reed, system))


def parse_reed_number(
    text: str, system: str = "dents_per_inch", field: str = "reed"
) -> tuple[float, ReedSystem]:
    """Number and system of a reed that was typed.

    Equation: none
    Parameters:
        text [text]: such as 60, 60/10, 12 dpi, 12-dent, 60 stockport
        system [name]: the system of a bare number
        field [name]: where an error is shown
    Returns:
        [number, ReedSystem] the number as typed and its system
    Validity: numbers above zero; n/10 is dents in 10 cm.
    Errors: InputError when there is no number or the system is unknown.
    Example:
        >>> [parse_reed_number(text)[1].name for text in ("60/10", "12 dpi", "40 porter", "12")]
        ['dents_per_10_cm', 'dents_per_inch', 'porter', 'dents_per_inch']

    Source: n/10: Swedish teaching page, note 3; the rest: definition.
    """
    typed = " ".join(text.split())
    if len(typed) > LONGEST_NAME:
        raise InputError(field, f"“{typed[:40]}…” is too long for a reed.", "For example 60/10.")
    typed = re.sub(r"(?<=\d) ?- ?dent( reed)?$", " dpi", typed)  # 12-dent
    tenths = re.fullmatch(r"(\d[\d.,]*)\s*/\s*10(?:\s*cm)?", typed)
    if tenths:
        return _number(tenths[1], field), REED_SYSTEMS["dents_per_10_cm"]
    split = re.fullmatch(_NUMBER_AND_SYSTEM, typed)
    if split:
        return _number(split[1], field), reed_system_named(split[2], field)
    return _number(typed, field), reed_system_named(system, "system")


@unlogged()
def parse_reeds(text: str, field: str = "reeds", units: str = "") -> dict[str, float]:
    """Dents in an inch of each reed of a typed list, by how it was typed (F-52).

    A bare number counts the dents in an inch, to a reader who counts in cm those in 10 cm.

    >>> parse_reeds("8,10, 60 stockport"), parse_reeds("50, 12 dpi", units="cm")
    ({'8': 8.0, '10': 10.0, '60 stockport': 30.0}, {'50/10': 12.7, '12 dpi': 12.0})
    """
    bare = "dents_per_10_cm" if units == "cm" else "dents_per_inch"
    said = {"": "", "cm": "/10", "inch": " dpi"}[units]
    dents = {}
    for reed in parse_list(re.sub(r"(?<=\d),(?=\d)", ", ", text), field=field):
        number, system = parse_reed_number(reed, bare, field=field)
        is_bare = re.fullmatch(r"[\d.,]+", reed)
        dents[reed + said if is_bare else reed] = dents_per_inch(number, system.name)
    return dents


def _number(text: str, field: str) -> float:
    return positive(parse_number(text, field=field), field, "The reed's number")


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9/]+", " ", text.casefold()).strip()
