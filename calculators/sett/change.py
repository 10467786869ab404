"""Another yarn, another weave, the same firmness."""

from calculators.engine.expression import root
from calculators.engine.formula import formula
from calculators.weave.matrix import Weave


@formula(
    "F-50",
    "Sett in another yarn",
    "edinburgh-encyclopaedia",
    "taylor-1909",
    gives="sett_to",
    where="Edinburgh Encyclopaedia, Cloth Manufacture, web page 2; Taylor p. 341",
    basis="published",
    validity="yarns of like material and twist, warp and weft changed together",
)
def sett_for_count(sett: float, tex_from: float, tex_to: float) -> float:
    """Sett in another yarn at the same firmness.

    >>> round(sett_for_count(60, 590.5412 / 40, 590.5412 / 60), 1)
    73.5
    """
    return sett * root(tex_from / tex_to)


@formula(
    "F-50",
    "Yarn for another sett",
    "taylor-1909",
    gives="tex_to",
    where="p. 341, “16s nearly”",
    basis="published",
    validity="as for the sett in another yarn",
)
def tex_for_sett(tex_from: float, sett: float, sett_to: float) -> float:
    """Yarn that keeps the firmness when the sett changes.

    >>> round(590.5412 / tex_for_sett(590.5412 / 32, 78, 55), 2)
    15.91
    """
    return tex_from * (sett / sett_to) ** 2


@formula(
    "F-51",
    "Sett in another weave",
    "taylor-1909",
    gives="sett_to",
    where="web page 464",
    basis="published",
    validity="the same yarns, warp and weft alike; the tightest pick decides",
)
def sett_for_floats(
    sett: float, ends_from: int, intersections_from: int, ends_to: int, intersections_to: int
) -> float:
    """Sett in another weave at the same firmness, by the ends and intersections of each repeat.

    >>> round(sett_for_floats(103, 2, 2, 4, 2), 2)
    137.33
    """
    return sett * (1 + intersections_from / ends_from) / (1 + intersections_to / ends_to)


def sett_for_weave(sett: float, weave_from: Weave, weave_to: Weave) -> float:
    """Sett in another weave at the same firmness (F-51).

    >>> from calculators.weave.library import weave
    >>> round(sett_for_weave(103, weave("plain"), weave("twill_2_2")), 2)
    137.33
    """
    return sett_for_floats(
        sett, weave_from.ends, weave_from.tightest_pick, weave_to.ends, weave_to.tightest_pick
    )


def tex_for_weave(tex: float, weave_from: Weave, weave_to: Weave) -> float:
    """Yarn that keeps sett and firmness when the weave changes (F-51, then F-50).

    >>> from calculators.weave.library import weave
    >>> round(590.5412 / tex_for_weave(590.5412 / 36, weave("plain"), weave("twill_2_2")), 2)
    20.25
    """
    return tex_for_sett(tex, sett_for_weave(1.0, weave_from, weave_to), 1.0)
