"""The systems of yarn count, each from its definition."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor, log, log10
from types import MappingProxyType
from typing import Literal

from calculators.data import load
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities import units
from calculators.quantities.parse import plain_text, shown
from calculators.yarn.words import FIBRES

_CENTIMETRES = {"yd": units.YARD_CM, "m": units.METRE_CM}
_GRAMS = {"lb": units.POUND_G, "kg": units.KILOGRAM_G, "g": Fraction(1)}


@dataclass(frozen=True)
class System:
    """One system of count, a row of data/count_systems.toml.

    ``constant`` is exact: tex × count of an indirect system, tex ÷ count of a direct one.
    ``numbers`` says what a label's number names: the single thread, the resultant yarn, or the
    whole yarn, in which no ply is ever written.
    """

    name: str
    title: str
    symbol: str
    direct: bool
    numbers: Literal["single", "resultant", "whole"]
    length: str
    mass: str
    aliases: tuple[str, ...]
    source: str
    where: str
    basis: str
    note: str

    @cached_property
    def constant(self) -> Fraction:
        """Tex for count 1: grams that one kilometre of it weighs."""
        length, length_unit = self.length.split()
        mass, mass_unit = self.mass.split()
        centimetres = Fraction(length) * _CENTIMETRES[length_unit]
        grams = Fraction(mass) * _GRAMS[mass_unit]
        return grams / centimetres * units.KILOMETRE_CM


def _loaded() -> dict[str, System]:
    return {
        row["name"]: System(**{**row, "aliases": tuple(row["aliases"])})
        for row in load("count_systems")["system"]
    }


SYSTEMS: Mapping[str, System] = MappingProxyType(_loaded())
SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        spelling: system.name
        for system in SYSTEMS.values()
        for spelling in (
            *system.aliases,
            *(system.name.replace("_", " "), system.title.lower(), system.symbol.lower()),
        )
        if spelling not in FIBRES
    }
)


def system_named(text: str, field: str = "system") -> str:
    """Name of a count system from its name, title, symbol or another usual spelling.

    Equation: none
    Parameters:
        text [text]: such as cotton, Nm, lea, yards per pound
        field [text]: where an error is shown
    Returns:
        [name] a key of SYSTEMS
    Validity: any text.
    Errors: InputError when no system is called that.

    Example:
        >>> system_named("Nm"), system_named("Spun silk")
        ('metric', 'spun_silk')

    Source: the spellings are common practice, no source.
    """
    if text in SYSTEMS:
        return text
    wanted = plain_text(text[:200]).replace(".", "").replace("_", " ")
    name = SPELLINGS.get(wanted) or FIBRES.get(wanted)
    if name:
        return name
    raise InputError(
        field,
        f"“{shown(text)}” is not a count system of this handbook."
        if wanted
        else "No count system is named here.",
        "Choose one of: " + ", ".join(SYSTEMS) + ".",
    )


@formula(
    "F-1",
    "Linear density from an indirect count",
    "astm-d2260",
    "yard-pound-1959",
    gives="tex",
    where="D2260 section 1.1, Table 1",
    basis="published",
    validity="without the take-up of the plying twist",
)
def tex_of_indirect(constant: float, plies: int, count: float) -> float:
    """Linear density of a yarn from count and ply, in a system whose finer yarns count higher.

    >>> round(tex_of_indirect(590.5412, 2, 8), 2)
    147.64
    """
    return constant * plies / count


@formula(
    "F-2",
    "Linear density from a direct count",
    "astm-d2260",
    "ucum",
    gives="tex",
    where="D2260 section 1.1, Table 1; UCUM entry ‘tex’",
    basis="published",
    validity="without the take-up of the plying twist",
)
def tex_of_direct(constant: float, count: float, plies: int) -> float:
    """Linear density of a yarn from count and ply, in a system whose thicker yarns count higher.

    >>> tex_of_direct(1.0, 37, 2)
    74.0
    """
    return constant * count * plies


def tex_of(count: float, plies: int, system: str) -> float:
    """Linear density of a yarn from its label; a resultant's ply changes nothing (F-1, F-2).

    >>> round(tex_of(8, 2, "cotton"), 2), tex_of(37, 2, "tex")
    (147.64, 74.0)
    """
    kind = SYSTEMS[system_named(system)]
    constant, threads = float(kind.constant), plies if kind.numbers == "single" else 1
    if kind.direct:
        return tex_of_direct(constant, count, threads)
    return tex_of_indirect(constant, threads, count)


# One decade of the standard's series, from memory; the others are ten times more or less.
TEX_SERIES = (
    10.0, 10.5, 11.0, 11.5, 12.0, 12.5, 13.0, 13.5, 14.0, 15.0, 16.0, 17.0, 18.0, 19.0, 20.0, 21.0,
    22.0, 23.0, 24.0, 25.0, 26.0, 28.0, 30.0, 32.0, 34.0, 36.0, 38.0, 40.0, 42.0, 44.0, 46.0, 48.0,
    50.0, 52.0, 56.0, 60.0, 64.0, 68.0, 72.0, 76.0, 80.0, 84.0, 88.0, 92.0, 96.0, 100.0,
)  # fmt: skip


@formula(
    "F-143",
    "Tex rounded to the standard’s series",
    "iso-2947",
    gives="tex_rounded",
    where="within 2 % as far as possible, read on the scope page; the series itself from memory: "
    "10 to 14 by halves, to 26 by ones, to 52 by twos, to 100 by fours",
    basis="from memory",
    words="the number of the series nearest by ratio",
)
def rounded_tex(tex: float) -> float:
    """Linear density rounded to the series in which the tex system writes yarns.

    >>> rounded_tex(29.53), rounded_tex(73.82), rounded_tex(9.84)
    (30.0, 72.0, 10.0)
    """
    decade = 10.0 ** (floor(log10(tex)) - 1)
    nearest = min(TEX_SERIES, key=lambda number: abs(log(number * decade / tex)))
    return float(f"{nearest * decade:.6g}")


@formula(
    "F-3",
    "Count from linear density",
    "astm-d2260",
    gives="count",
    where="D2260 section 1.1, with its second example, 30 tex = cotton 19.7",
    basis="published",
    validity="indirect systems: finer yarns count higher",
)
def indirect_count(constant: float, tex: float) -> float:
    """Count of a single thread as fine as a yarn, in an indirect system.

    >>> round(indirect_count(590.5412, 30), 1)
    19.7
    """
    return constant / tex


@formula(
    "F-3",
    "Direct count from linear density",
    "astm-d2260",
    gives="count",
    where="D2260 section 1.1",
    basis="published",
    validity="direct systems: thicker yarns count higher",
)
def direct_count(constant: float, tex: float) -> float:
    """Count of a single thread as thick as a yarn, in a direct system.

    >>> direct_count(0.1, 30)
    300.0
    """
    return tex / constant


def count_of(tex: float, system: str) -> float:
    """Count, in a system, of a single thread that weighs as much as a yarn (F-3).

    >>> round(count_of(30, "cotton"), 1), round(count_of(30, "metric"), 2)
    (19.7, 33.33)
    """
    kind = SYSTEMS[system_named(system)]
    count = (direct_count if kind.direct else indirect_count)(float(kind.constant), tex)
    return float(f"{count:.15g}")  # 6720 yd/lb, not the 6719.999999999999 of binary figures
