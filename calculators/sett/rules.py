"""How many ends an inch can hold: each published rule by itself, and all of them side by side."""

from collections.abc import Callable
from dataclasses import dataclass
from math import pi, sin

from calculators.engine.expression import root
from calculators.engine.formula import BOOK, formula
from calculators.errors import InputError
from calculators.quantities.checks import positive
from calculators.weave.matrix import Weave
from calculators.yarn.diameter import (
    WRAPS_SHARE,
    diameters_per_inch_ashenhurst,
    diameters_per_inch_peirce,
    diameters_per_inch_taylor,
    ruler_wraps,
)
from calculators.yarn.systems import count_of

TAYLOR_PLAIN_GAIN = 0.05
BRIERLEY_CONSTANTS: dict[str, tuple[float, str]] = {
    "cotton": (200, "published"),
    "worsted": (134, "from memory"),
    "linen": (72, "from memory"),
    "yorkshire_skein": (61, "from memory"),
}
BRIERLEY_EXPONENTS: dict[str, tuple[float, str]] = {
    "twill": (0.39, "published"),
    "satin": (0.42, "from memory"),
    "matt": (0.45, "from memory"),
}


@dataclass(frozen=True)
class Limit:
    """What one rule says: the closest sett, where the rule comes from and where it stands."""

    rule: str
    ends_per_inch: float
    source: str
    basis: str
    formula: str
    remark: str = ""


def _closest(diameters_per_inch: float, repeat_ends: float, intersections: float) -> float:
    """Ends of the threads side by side in an inch: each intersection takes the room of one."""
    return diameters_per_inch * repeat_ends / (repeat_ends + intersections)


@formula(
    "F-40",
    "Ends and intersections",
    "taylor-1909",
    gives="maximum",
    where="web pages 436 and 464; p. 338",
    basis="published",
    validity="warp and weft alike",
)
def ends_and_intersections(
    diameters_per_inch: float, repeat_ends: float, intersections: float
) -> float:
    """Closest sett from the threads that lie side by side in an inch.

    >>> round(ends_and_intersections(156, 4, 2))
    104
    >>> round(ends_and_intersections(183, 9, 4), 1)
    126.7
    """
    return _closest(diameters_per_inch, repeat_ends, intersections)


@formula(
    "F-41",
    "Ends and intersections, unlike yarns",
    "taylor-1909",
    "exact-arithmetic",
    gives="maximum",
    where="same picture as F-40: each intersection leaves room for one weft thread",
)
def unlike_ends_and_intersections(
    diameters_per_inch: float, weft_diameters: float, repeat_ends: float, intersections: float
) -> float:
    """Closest sett where the weft is thicker or finer than the warp.

    >>> round(unlike_ends_and_intersections(156, 104, 4, 2), 1)
    89.1
    """
    return repeat_ends / (repeat_ends / diameters_per_inch + intersections / weft_diameters)


@formula(
    "F-41",
    "Weft threads side by side in an inch",
    "exact-arithmetic",
    validity="by whichever rule the warp's were reckoned: a diameter grows as the root of the tex",
)
def weft_diameters(diameters_per_inch: float, warp_tex: float, weft_tex: float) -> float:
    """Weft threads that lie side by side in an inch, from the warp's.

    >>> weft_diameters(156, 20, 45)
    104.0
    """
    return diameters_per_inch * root(warp_tex / weft_tex)


@formula(
    "F-42",
    "Ashenhurst's limit",
    "ashenhurst-note",
    gives="maximum",
    where="formulas; D by F-8",
    basis="published",
    validity="yarns of ordinary twist; linen is reckoned as firm (common practice)",
)
def ashenhurst_alike(diameters_per_inch: float, repeat_ends: float, intersections: float) -> float:
    """Closest sett by Ashenhurst's diameters, warp and weft alike.

    >>> ashenhurst_alike(52, 2, 2)
    26.0
    """
    return _closest(diameters_per_inch, repeat_ends, intersections)


@formula(
    "F-43",
    "Taylor's limit",
    "taylor-1909",
    gives="maximum",
    where="web pages 436 and 458; D by F-9",
    basis="published",
    validity="cotton yarns",
)
def taylor_alike(diameters_per_inch: float, repeat_ends: float, intersections: float) -> float:
    """Closest sett by Taylor's diameters of cotton yarn, warp and weft alike.

    >>> taylor_alike(156, 2, 2)
    78.0
    """
    return _closest(diameters_per_inch, repeat_ends, intersections)


@formula(
    "F-44",
    "Taylor's plain cloth",
    "taylor-1909",
    where="web page 453, “perhaps 5 per cent”; s by F-43",
    basis="published",
    validity="plain weave in cotton",
)
def plain_maximum(maximum: float) -> float:
    """Taylor's plain cloth, a twentieth closer because the threads are forced out of plane.

    >>> round(plain_maximum(78))
    82
    """
    return (1 + TAYLOR_PLAIN_GAIN) * maximum


@formula(
    "F-45",
    "Brierley's limit",
    "gate-textile",
    "brierley-1952",
    gives="maximum",
    where="GATE 2006, question 66: K = 200 for cotton, m = 0.39 for twill; K is inside the root; "
    f"from memory: m = {BRIERLEY_EXPONENTS['satin'][0]} for satin and "
    f"{BRIERLEY_EXPONENTS['matt'][0]} for matt",
    basis="published",
    validity="square cloths, warp and weft alike",
)
def brierley(
    repeat_ends: float,
    intersections: float,
    brierley_exponent: float,
    brierley_constant: float,
    brierley_count: float,
) -> float:
    """Closest sett by Brierley, who found how much long floats give by weaving them.

    >>> round(brierley(4, 2, 0.39, 200, 9.84), 2)
    58.13
    """
    floats: float = (repeat_ends / intersections) ** brierley_exponent
    return floats * root(brierley_constant * brierley_count)


@formula(
    "F-46",
    "Limit by Peirce's diameter",
    "peirce-1937",
    "balasubramanian",
    gives="maximum",
    where="D by F-10: 28 from memory; 27.93 by arithmetic from 1.1 cm³/g",
    basis="from memory",
    validity="cotton yarns of 1.1 cm³ to the gram",
)
def peirce_alike(diameters_per_inch: float, repeat_ends: float, intersections: float) -> float:
    """Closest sett by ends and intersections over Peirce's diameter, warp and weft alike.

    >>> peirce_alike(168, 2, 2)
    84.0
    """
    return _closest(diameters_per_inch, repeat_ends, intersections)


@formula(
    "F-47",
    "Round threads packed until they touch",
    "balasubramanian",
    "seyam-1994",
    gives="maximum",
    where="D and W by F-10; plain cloth, 0.866 (sin 60°) of the sum of diameters: read; floats "
    "side by side: from memory",
    basis="from memory",
    validity="as many picks as ends; round threads that do not flatten; i not above e",
)
def packed_round(
    diameters_per_inch: float, weft_diameters: float, repeat_ends: float, intersections: float
) -> float:
    """Closest sett of a square cloth whose round threads are packed until they touch.

    >>> round(packed_round(28, 28, 2, 2), 2)
    16.17
    """
    return repeat_ends / (
        sin(pi / 3) * intersections * (1 / diameters_per_inch + 1 / weft_diameters)
        + (repeat_ends - intersections) / diameters_per_inch
    )


@formula(
    "F-48",
    "Turns on a ruler",
    "osterkamp-2004",
    gives="maximum",
    where="10 turns, 7 ends in plain weave",
    basis="published",
    validity="turns side by side and unpressed, 0.7 of Ashenhurst's D; warp and weft alike",
)
def limit_from_wraps(wraps: float, repeat_ends: float, intersections: float) -> float:
    """Closest sett from turns counted on a ruler.

    >>> round(limit_from_wraps(10, 2, 2), 2)
    7.14
    """
    return _closest(wraps / WRAPS_SHARE, repeat_ends, intersections)


def ashenhurst_limit(
    tex: float,
    ends: float,
    intersections: float,
    firm: bool = True,
    weft_tex: float | None = None,
) -> float:
    """Closest sett by Ashenhurst's diameters, of firm or of soft yarn (F-42, unlike yarns F-41).

    >>> round(ashenhurst_limit(147.635, 2, 2), 1)
    26.1
    """
    diameters = diameters_per_inch_ashenhurst(_warp(tex), firm)
    return _limit(ashenhurst_alike, diameters, tex, ends, intersections, weft_tex)


def taylor_limit(
    tex: float, ends: float, intersections: float, weft_tex: float | None = None
) -> float:
    """Closest sett by Taylor's diameters of cotton yarn (F-43, unlike yarns F-41).

    >>> round(taylor_limit(590.5412 / 32, 2, 2))
    78
    """
    diameters = diameters_per_inch_taylor(_warp(tex))
    return _limit(taylor_alike, diameters, tex, ends, intersections, weft_tex)


def taylor_plain_limit(tex: float, weft_tex: float | None = None) -> float:
    """Taylor's plain cloth of this yarn (F-44, on F-43).

    >>> round(taylor_plain_limit(590.5412 / 32))
    82
    """
    return plain_maximum(taylor_limit(tex, 2, 2, weft_tex))


def brierley_limit(
    tex: float, ends: float, intersections: float, exponent: float, system: str = "cotton"
) -> float:
    """Closest sett by Brierley, with the constant of a count system (F-45).

    >>> round(brierley_limit(60, 4, 2, 0.39), 2)
    58.14
    """
    if system not in BRIERLEY_CONSTANTS:
        raise InputError(
            "warp_system",
            f"Brierley's constant for {system} is not known here.",
            "Known are: " + ", ".join(BRIERLEY_CONSTANTS) + ".",
        )
    constant, _ = BRIERLEY_CONSTANTS[system]
    return brierley(ends, intersections, exponent, constant, count_of(_warp(tex), system))


def peirce_limit(
    tex: float, ends: float, intersections: float, weft_tex: float | None = None
) -> float:
    """Closest sett by ends and intersections over Peirce's diameter (F-46, unlike yarns F-41).

    >>> round(peirce_limit(590.5412 / 36, 2, 2))
    84
    """
    diameters = diameters_per_inch_peirce(_warp(tex))
    return _limit(peirce_alike, diameters, tex, ends, intersections, weft_tex)


def jammed_limit(
    tex: float, ends: float, intersections: float, weft_tex: float | None = None
) -> float:
    """Closest sett of round threads packed until they touch, ends side by side at most (F-47).

    >>> round(jammed_limit(590.5412, 2, 2), 2)
    16.17
    """
    diameters = diameters_per_inch_peirce(_warp(tex))
    weft = diameters if weft_tex is None else weft_diameters(diameters, tex, weft_tex)
    return min(diameters, packed_round(diameters, weft, ends, intersections))


def maximum_sett(
    tex: float, weave: Weave, weft_tex: float | None = None, firm: bool = True
) -> float:
    """Closest sett of a weave: Ashenhurst's rule on its tightest pick (F-42, unlike yarns F-41).

    >>> from calculators.weave.library import weave
    >>> round(maximum_sett(590.5412 / 8, weave("satin_6")), 1)
    55.3
    """
    return ashenhurst_limit(tex, weave.ends, weave.tightest_pick, firm, weft_tex)


def limits(
    tex: float, weave: Weave, weft_tex: float | None = None, firm: bool = True
) -> tuple[Limit, ...]:
    """Every rule that speaks of a weave, side by side, each with its source (F-42 to F-48).

    >>> from calculators.weave.library import weave
    >>> for row in limits(590.5412 / 8, weave("satin_5")):
    ...     print(row.rule, round(row.ends_per_inch, 1))
    Ashenhurst, firm yarn 52.7
    Taylor 55.6
    Brierley, satin 58.8
    Peirce's diameter 56.6
    Threads packed round 61.3
    Ruler turns, unpressed 36.9
    """
    ends, crossings, plain = weave.ends, weave.tightest_pick, weave.family == "plain"
    unlike = weft_tex is not None and weft_tex != tex
    family, exponent, basis = brierley_family(weave)
    rows = [
        limit_row(
            "F-42",
            f"Ashenhurst, {'firm' if firm else 'soft'} yarn",
            ashenhurst_limit(tex, ends, crossings, firm, weft_tex),
        ),
        limit_row("F-43", "Taylor", taylor_limit(tex, ends, crossings, weft_tex), "for cotton"),
        limit_row(
            "F-45",
            f"Brierley, {family}",
            brierley_limit(tex, ends, crossings, exponent),
            "warp and weft alike; the warp yarn is used" if unlike else "",
            None if basis == "published" else ("brierley-1952", basis),
        ),
        limit_row(
            "F-46", "Peirce's diameter", peirce_limit(tex, ends, crossings, weft_tex), "for cotton"
        ),
        limit_row(
            "F-47",
            "Threads packed round",
            jammed_limit(tex, ends, crossings, weft_tex),
            "square cloth, round threads",
            ("balasubramanian", "published") if plain else ("seyam-1994", "from memory"),
        ),
        limit_row(
            "F-48",
            "Ruler turns, unpressed",
            ends_and_intersections(ruler_wraps(tex), ends, crossings),
            "a soft cloth, not a limit",
        ),
    ]
    if plain:
        closer = taylor_plain_limit(tex, weft_tex)
        rows.insert(2, limit_row("F-44", "Taylor, plain and 5 % closer", closer, "for cotton"))
    return tuple(rows)


def limit_row(
    formula: str,
    rule: str,
    ends_per_inch: float,
    remark: str = "",
    stands: tuple[str, str] | None = None,
) -> Limit:
    """What a rule says, with the source and the standing of its formula.

    Equation: none
    Parameters:
        formula [id]: such as F-42
        rule [text]: the rule's name in this weave and yarn
        ends_per_inch [1/inch]: what it says
        remark [text]: what it is good for
        stands [source, basis]: where they are not the formula's own
    Returns:
        [Limit] a row of the table of rules
    Validity: formulas of this room.
    Errors: none.
    Example:
        >>> limit_row("F-48", "Ruler turns, unpressed", 37).source
        'osterkamp-2004'

    Source: definition.
    """
    record = BOOK[formula][0]
    source, basis = stands or (record.sources[0], record.basis)
    return Limit(rule, ends_per_inch, source, basis, formula, remark)


def brierley_family(weave: Weave) -> tuple[str, float, str]:
    """Name, exponent and standing of the family Brierley's rule puts a weave in.

    Equation: none
    Parameters:
        weave [Weave]: the weave
    Returns:
        [name, exponent m, basis] plain cloth floats over one, so that any exponent gives one
    Validity: twill 0.39 is published; satin 0.42 and matt 0.45 are from memory; weaves of no known
        family are given the least exponent, the twill's.
    Errors: none.
    Example:
        >>> from calculators.weave.library import weave
        >>> brierley_family(weave("satin_8"))
        ('satin', 0.42, 'from memory')

    Source: GATE examination paper, Textile Engineering 2006, question 66 (twill); S. Brierley,
        Textile Manufacturer 1952 (from memory).
    """
    if weave.tightest_pick == weave.ends:
        return "plain", BRIERLEY_EXPONENTS["twill"][0], "published"
    if weave.family in BRIERLEY_EXPONENTS:
        return weave.family, *BRIERLEY_EXPONENTS[weave.family]
    return "reckoned as twill", BRIERLEY_EXPONENTS["twill"][0], "from memory"


def _limit(
    alike: Callable[[float, float, float], float],
    diameters_per_inch: float,
    tex: float,
    ends: float,
    intersections: float,
    weft_tex: float | None,
) -> float:
    """Work out a rule by its diameters: its own form where warp and weft are alike."""
    if weft_tex is None or weft_tex == tex:
        return alike(diameters_per_inch, ends, intersections)
    weft = weft_diameters(diameters_per_inch, tex, weft_tex)
    return unlike_ends_and_intersections(diameters_per_inch, weft, ends, intersections)


def _warp(tex: float) -> float:
    return positive(tex, "warp_yarn", "The warp's weight")
