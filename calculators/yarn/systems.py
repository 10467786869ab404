"""The systems of yarn count, each from its definition."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor, isfinite, log, log10
from types import MappingProxyType
from typing import Literal

from calculators.data import load
from calculators.errors import InputError
from calculators.quantities import units
from calculators.quantities.parse import plain_text, shown

_CENTIMETRES = {"yd": units.YARD_CM, "m": units.METRE_CM}
_GRAMS = {"lb": units.POUND_G, "kg": units.KILOGRAM_G, "g": Fraction(1)}


@dataclass(frozen=True)
class System:
    """One system of count, a row of data/count_systems.toml.

    ``constant`` is exact: tex × count of an indirect system, tex ÷ count of a direct one.
    ``numbers`` says what a label's number names: the single thread, the resultant yarn, or the
    whole yarn, in which no fold is ever written. ``fibres`` are words that only suggest the system.
    """

    name: str
    title: str
    symbol: str
    direct: bool
    numbers: Literal["single", "resultant", "whole"]
    length: str
    mass: str
    aliases: tuple[str, ...]
    fibres: tuple[str, ...]
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
        row["name"]: System(
            **{**row, "aliases": tuple(row["aliases"]), "fibres": tuple(row["fibres"])}
        )
        for row in load("count_systems")["system"]
    }


SYSTEMS: Mapping[str, System] = MappingProxyType(_loaded())
FIBRES: Mapping[str, str] = MappingProxyType(
    {fibre: system.name for system in SYSTEMS.values() for fibre in system.fibres}
)
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


def _positive(value: float, words: str, field: str) -> float:
    if not isfinite(value) or value <= 0:
        raise InputError(field, f"{words} must be more than nothing.", "For example 16.")
    return value


def tex_of(count: float, plies: int, system: str) -> float:
    """Linear density of a yarn from its label: count, fold and system.

    Equation: tex = K × plies ÷ count (indirect); tex = k × count × plies (direct)   (F-1, F-2)
    Parameters:
        count [in the system]: the number on the label
        plies [count]: threads folded together; where the number is the resultant it changes nothing
        system [name]: a key of SYSTEMS
    Returns:
        [tex] of the folded yarn, without the twist's own take-up
    Validity: any count above zero, one ply or more.
    Errors: InputError when count or plies is not above zero, or no system is called that.

    Example:
        >>> round(tex_of(8, 2, "cotton"), 2), tex_of(37, 2, "tex")
        (147.64, 74.0)

    Source: ASTM D2260, section 1.1, Table 1 (definitions of the systems).
    """
    kind = SYSTEMS[system_named(system)]
    _positive(count, "The count", "count")
    _positive(plies, "The number of plies", "plies")
    folded = plies if kind.numbers == "single" else 1
    exact = Fraction(count)
    return float(kind.constant * (exact if kind.direct else 1 / exact) * folded)


# One decade of the standard's series, from memory; the others are ten times more or less.
TEX_SERIES = (
    10.0, 10.5, 11.0, 11.5, 12.0, 12.5, 13.0, 13.5, 14.0, 15.0, 16.0, 17.0, 18.0, 19.0, 20.0, 21.0,
    22.0, 23.0, 24.0, 25.0, 26.0, 28.0, 30.0, 32.0, 34.0, 36.0, 38.0, 40.0, 42.0, 44.0, 46.0, 48.0,
    50.0, 52.0, 56.0, 60.0, 64.0, 68.0, 72.0, 76.0, 80.0, 84.0, 88.0, 92.0, 96.0, 100.0,
)  # fmt: skip


def rounded_tex(tex: float) -> float:
    """Linear density rounded to the series in which the tex system writes yarns.

    Equation: the number of the series nearest by ratio, times a power of ten   (F-143)
    Parameters:
        tex [tex]: linear density of the yarn as it is
    Returns:
        [tex] the rounded value
    Validity: any linear density above zero.
    Errors: InputError when tex is not above zero.

    Example:
        >>> rounded_tex(29.53), rounded_tex(73.82), rounded_tex(9.84)
        (30.0, 72.0, 10.0)

    Source: ISO 2947, whose rounded values keep within 2 % as far as possible; the series from
        memory.
    """
    decade = 10.0 ** (floor(log10(_positive(tex, "The linear density", "tex"))) - 1)
    nearest = min(TEX_SERIES, key=lambda one: abs(log(one * decade / tex)))
    return float(f"{nearest * decade:.6g}")


def count_of(tex: float, system: str) -> float:
    """Count, in a system, of a yarn of known linear density.

    Equation: count = K ÷ tex (indirect); count = tex ÷ k (direct)   (F-3)
    Parameters:
        tex [tex]: linear density of the yarn as it is
        system [name]: a key of SYSTEMS
    Returns:
        [in the system] the count of a single thread as fine as this yarn
    Validity: any linear density above zero.
    Errors: InputError when tex is not above zero, or no system is called that.

    Example:
        >>> round(count_of(30, "cotton"), 1), round(count_of(30, "metric"), 2)
        (19.7, 33.33)

    Source: ASTM D2260, section 1.1 and its second example (30 tex is cotton 19.7).
    """
    kind = SYSTEMS[system_named(system)]
    _positive(tex, "The linear density", "tex")
    exact = Fraction(tex)
    count = exact / kind.constant if kind.direct else kind.constant / exact
    return float(f"{float(count):.15g}")  # 6720 yd/lb, not the 6719.999999999999 of binary figures
