"""How many ends an inch can hold: each published rule by itself, and all of them side by side."""

from dataclasses import dataclass
from math import pi, sin, sqrt

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
from calculators.yarn.yarn import yards_per_pound

TAYLOR_PLAIN_GAIN = 0.05
BRIERLEY_CONSTANTS: dict[str, tuple[float, int, str]] = {
    # count system: K, yards in its hank, where K stands
    "cotton": (200, 840, "published"),
    "worsted": (134, 560, "from memory"),
    "linen": (72, 300, "from memory"),
    "yorkshire_skein": (61, 256, "from memory"),
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


def ends_and_intersections(
    diameters: float, ends: float, intersections: float, weft_diameters: float | None = None
) -> float:
    """Closest sett from the threads that lie side by side in an inch.

    Equation: s = e / (e/D + i/W); with both yarns alike s = D·e/(e + i)   (F-40)
    Parameters:
        diameters [1/inch]: D, warp threads that lie side by side in an inch
        ends [ends]: e, ends in the repeat
        intersections [crossings]: i, crossings of one pick in the repeat
        weft_diameters [1/inch]: W, the same for the weft; the warp's when not given
    Returns:
        [1/inch] ends
    Validity: each crossing leaves room for one weft thread between two ends.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(ends_and_intersections(156, 4, 2))
        104
        >>> round(ends_and_intersections(183, 9, 4), 1)
        126.7

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition 1909, web pages 436 and 464,
        p. 338; the form for unlike yarns is worked out from the same picture.
    """
    positive(diameters, "warp_yarn", "The threads side by side in an inch")
    positive(ends, "weave", "The number of ends in the repeat")
    positive(intersections, "weave", "The number of crossings in the repeat")
    weft = diameters if weft_diameters is None else weft_diameters
    positive(weft, "weft_yarn", "The weft threads side by side in an inch")
    return ends / (ends / diameters + intersections / weft)


def ashenhurst_limit(
    tex: float,
    ends: float,
    intersections: float,
    firm: bool = True,
    weft_tex: float | None = None,
) -> float:
    """Closest sett by Ashenhurst's diameters.

    Equation: s = D·e/(e + i), D = 0.9·√(yd/lb) firm, 0.84·√(yd/lb) soft yarn   (F-42)
    Parameters:
        tex [tex]: the warp yarn
        ends [ends]: e
        intersections [crossings]: i of one pick in the repeat
        firm [yes or no]: cotton, linen, worsted; soft is woollen
        weft_tex [tex]: the weft yarn; the warp's when not given
    Returns:
        [1/inch] ends
    Validity: yarns of ordinary twist; linen is reckoned as firm (common practice).
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(ashenhurst_limit(147.635, 2, 2), 1)
        26.1

    Source: “Ashenhurst's formula”, note by M. Faena, 1999 (8/2 cotton: 52 diameters, 26 ends plain,
        34 in 2/2 twill, which the note cuts short).
    """
    warp = diameters_per_inch_ashenhurst(positive(tex, "warp_yarn", "The warp's weight"), firm)
    weft = None if weft_tex is None else diameters_per_inch_ashenhurst(_weft(weft_tex), firm)
    return ends_and_intersections(warp, ends, intersections, weft)


def taylor_limit(
    tex: float, ends: float, intersections: float, weft_tex: float | None = None
) -> float:
    """Closest sett by Taylor's diameters of cotton yarn.

    Equation: s = D·e/(e + i), D = 0.95·√(yd/lb)   (F-43)
    Parameters:
        tex [tex]: the warp yarn
        ends [ends]: e
        intersections [crossings]: i of one pick in the repeat
        weft_tex [tex]: the weft yarn; the warp's when not given
    Returns:
        [1/inch] ends
    Validity: cotton yarns.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(taylor_limit(590.5412 / 32, 2, 2))
        78

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition 1909, web pages 436, 453, 458.
    """
    warp = diameters_per_inch_taylor(positive(tex, "warp_yarn", "The warp's weight"))
    weft = None if weft_tex is None else diameters_per_inch_taylor(_weft(weft_tex))
    return ends_and_intersections(warp, ends, intersections, weft)


def taylor_plain_limit(tex: float, weft_tex: float | None = None) -> float:
    """Taylor's plain cloth, a twentieth closer because the threads are forced out of plane.

    Equation: s = 1.05·D/2, D = 0.95·√(yd/lb)   (F-44)
    Parameters:
        tex [tex]: the warp yarn
        weft_tex [tex]: the weft yarn; the warp's when not given
    Returns:
        [1/inch] ends
    Validity: plain weave in cotton; Taylor says “perhaps 5 per cent”.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(taylor_plain_limit(590.5412 / 32))
        82

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition 1909, web page 453.
    """
    return (1 + TAYLOR_PLAIN_GAIN) * taylor_limit(tex, 2, 2, weft_tex)


def brierley_limit(
    tex: float, ends: float, intersections: float, exponent: float, system: str = "cotton"
) -> float:
    """Closest sett by Brierley, who found how much long floats give by weaving them.

    Equation: s = F^m·√(K·N), F = e/i; K stands inside the root   (F-45)
    Parameters:
        tex [tex]: the yarn, warp and weft alike
        ends [ends]: e
        intersections [crossings]: i of one pick in the repeat
        exponent [pure number]: m, by the family of the weave
        system [count system]: whose K and hank are used: cotton, worsted, linen, yorkshire_skein
    Returns:
        [1/inch] ends
    Validity: square cloths, warp and weft alike.
    Errors: InputError when a figure is not above zero or the system has no constant.
    Example:
        >>> round(brierley_limit(60, 4, 2, 0.39), 2)
        58.14

    Source: K = 200 and m = 0.39 read in the solution of a GATE examination paper, Textile
        Engineering 2006, question 66 (58.11 with the count rounded to 9.84); K of the other systems
        and the other exponents from memory of S. Brierley, Textile Manufacturer 1952.
    """
    if system not in BRIERLEY_CONSTANTS:
        raise InputError(
            "warp_system",
            f"Brierley's constant for {system} is not known here.",
            "Known are: " + ", ".join(BRIERLEY_CONSTANTS) + ".",
        )
    constant, hank, _ = BRIERLEY_CONSTANTS[system]
    count = yards_per_pound(positive(tex, "warp_yarn", "The yarn's weight")) / hank
    positive(ends, "weave", "The number of ends in the repeat")
    floats = ends / positive(intersections, "weave", "The number of crossings in the repeat")
    return float(floats**exponent * sqrt(constant * count))


def peirce_limit(
    tex: float, ends: float, intersections: float, weft_tex: float | None = None
) -> float:
    """Closest sett by ends and intersections over Peirce's diameter.

    Equation: s = D·e/(e + i), D = 28·√Ne   (F-46)
    Parameters:
        tex [tex]: the warp yarn
        ends [ends]: e
        intersections [crossings]: i of one pick in the repeat
        weft_tex [tex]: the weft yarn; the warp's when not given
    Returns:
        [1/inch] ends
    Validity: cotton yarns of 1.1 cm³ to the gram.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(peirce_limit(590.5412 / 36, 2, 2))
        84

    Source: F. T. Peirce, The geometry of cloth structure, 1937 (28 from memory; the arithmetic of
        1.1 cm³/g agrees: 27.93, N. Balasubramanian); the rule of ends and intersections: Taylor.
    """
    warp = diameters_per_inch_peirce(positive(tex, "warp_yarn", "The warp's weight"))
    weft = None if weft_tex is None else diameters_per_inch_peirce(_weft(weft_tex))
    return ends_and_intersections(warp, ends, intersections, weft)


def jammed_limit(
    tex: float, ends: float, intersections: float, weft_tex: float | None = None
) -> float:
    """Closest sett of a square cloth whose round threads are packed until they touch.

    Equation: s = e / (i·p + (e − i)·d), p = sin 60°·(d + w)   (F-47)
    Parameters:
        tex [tex]: the warp yarn, d its diameter by Peirce
        ends [ends]: e
        intersections [crossings]: i of one pick in the repeat
        weft_tex [tex]: the weft yarn, w its diameter; the warp's when not given
    Returns:
        [1/inch] ends
    Validity: as many picks as ends; round threads that do not flatten; i not above e.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(jammed_limit(590.5412, 2, 2), 2)
        16.17

    Source: F. T. Peirce, The geometry of cloth structure, 1937, as given by N. Balasubramanian
        (spacing 0.866 of the sum of the diameters in plain cloth); floats laid side by side:
        A. Seyam and A. El-Shiekh, Mechanics of woven fabrics (from memory).
    """
    positive(ends, "weave", "The number of ends in the repeat")
    positive(intersections, "weave", "The number of crossings in the repeat")
    warp = 1 / diameters_per_inch_peirce(positive(tex, "warp_yarn", "The warp's weight"))
    weft = warp if weft_tex is None else 1 / diameters_per_inch_peirce(_weft(weft_tex))
    spacing = max(sin(pi / 3) * (warp + weft), warp)
    return ends / (intersections * spacing + (ends - intersections) * warp)


def limit_from_wraps(wraps: float, ends: float, intersections: float) -> float:
    """Closest sett from turns counted on a ruler.

    Equation: s = (w ÷ 0.7)·e/(e + i)   (F-48)
    Parameters:
        wraps [1/inch]: w, turns lying side by side without pressing
        ends [ends]: e
        intersections [crossings]: i of one pick in the repeat
    Returns:
        [1/inch] ends
    Validity: warp and weft alike.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(limit_from_wraps(10, 2, 2), 2)
        7.14

    Source: P. Osterkamp, Weaving tip, January 2004 (10 turns, 7 ends in plain weave).
    """
    return ends_and_intersections(
        positive(wraps, "wraps", "The turns on the ruler") / WRAPS_SHARE, ends, intersections
    )


def maximum_sett(
    tex: float, weave: Weave, weft_tex: float | None = None, firm: bool = True
) -> float:
    """Closest sett of a weave: Ashenhurst's rule on its tightest pick.

    Equation: s = e / (e/D + i/W), i the crossings of the pick that crosses most   (F-41)
    Parameters:
        tex [tex]: the warp yarn
        weave [Weave]: the weave
        weft_tex [tex]: the weft yarn; the warp's when not given
        firm [yes or no]: as for Ashenhurst
    Returns:
        [1/inch] ends
    Validity: all picks share one reed, so the tightest one decides; where they are alike, as in
        twills and satins, this is the published rule unchanged.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> from calculators.weave.library import weave
        >>> round(maximum_sett(590.5412 / 8, weave("satin_6")), 1)
        55.3

    Source: “Ashenhurst's formula”, note by M. Faena, 1999; the tightest pick: worked out.
    """
    return ashenhurst_limit(tex, weave.ends, weave.tightest_pick, firm, weft_tex)


def limits(
    tex: float, weave: Weave, weft_tex: float | None = None, firm: bool = True
) -> tuple[Limit, ...]:
    """Every rule side by side, each with its source.

    Equation: see each rule   (F-42 to F-48)
    Parameters:
        tex [tex]: the warp yarn
        weave [Weave]: the weave; its tightest pick decides
        weft_tex [tex]: the weft yarn; the warp's when not given
        firm [yes or no]: firm or soft yarn, for Ashenhurst
    Returns:
        [table] one Limit for each rule that speaks of this weave, in ends per inch
    Validity: as each rule says.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> from calculators.weave.library import weave
        >>> for row in limits(590.5412 / 8, weave("satin_5")):
        ...     print(row.rule, round(row.ends_per_inch, 1))
        Ashenhurst, firm yarn 52.7
        Taylor 55.6
        Brierley, satin 58.8
        Peirce's diameter 56.6
        Threads packed round 61.3
        Ruler turns, unpressed 36.9

    Source: each row names its own.
    """
    ends, crossings = weave.ends, weave.tightest_pick
    unlike = weft_tex is not None and weft_tex != tex
    alone = "warp and weft alike; the warp yarn is used" if unlike else ""
    rows = [
        Limit(
            f"Ashenhurst, {'firm' if firm else 'soft'} yarn",
            ashenhurst_limit(tex, ends, crossings, firm, weft_tex),
            "ashenhurst-note",
            "published",
            "F-42",
        ),
        Limit(
            "Taylor",
            taylor_limit(tex, ends, crossings, weft_tex),
            "taylor-1909",
            "published",
            "F-43",
            "for cotton",
        ),
    ]
    if weave.family == "plain":
        rows.append(
            Limit(
                "Taylor, plain and 5 % closer",
                taylor_plain_limit(tex, weft_tex),
                "taylor-1909",
                "published",
                "F-44",
                "for cotton",
            )
        )
    name, exponent, basis = brierley_family(weave)
    rows += [
        Limit(
            f"Brierley, {name}",
            brierley_limit(tex, ends, crossings, exponent),
            "gate-textile" if basis == "published" else "brierley-1952",
            basis,
            "F-45",
            alone,
        ),
        Limit(
            "Peirce's diameter",
            peirce_limit(tex, ends, crossings, weft_tex),
            "peirce-1937",
            "from memory",
            "F-46",
            "for cotton",
        ),
        Limit(
            "Threads packed round",
            jammed_limit(tex, ends, crossings, weft_tex),
            "balasubramanian" if weave.family == "plain" else "seyam-1994",
            "published" if weave.family == "plain" else "from memory",
            "F-47",
            "square cloth, round threads",
        ),
        Limit(
            "Ruler turns, unpressed",
            ends_and_intersections(ruler_wraps(tex), ends, crossings),
            "osterkamp-2004",
            "published",
            "F-48",
            "a soft cloth, not a limit",
        ),
    ]
    return tuple(rows)


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


def _weft(tex: float) -> float:
    return positive(tex, "weft_yarn", "The weft's weight")
