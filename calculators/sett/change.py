"""Another yarn, another weave, the same firmness."""

from math import sqrt

from calculators.quantities.checks import positive
from calculators.weave.matrix import Weave


def sett_for_count(sett: float, tex_from: float, tex_to: float) -> float:
    """Sett in another yarn at the same firmness.

    Equation: s₂ = s₁·√(tex₁/tex₂) = s₁·√(N₂/N₁)   (F-50)
    Parameters:
        sett [1/inch]: s₁
        tex_from [tex]: the yarn it was made for
        tex_to [tex]: the other yarn
    Returns:
        [1/inch] s₂
    Validity: yarns of like material and twist, warp and weft changed together.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(sett_for_count(60, 590.5412 / 40, 590.5412 / 60), 1)
        73.5

    Source: Edinburgh Encyclopaedia (D. Brewster, ed.), Cloth Manufacture, web page 2; J. T. Taylor,
        Cotton Weaving and Designing, 6th edition 1909, p. 341.
    """
    positive(tex_from, "from_yarn", "The first yarn's weight")
    positive(tex_to, "to_yarn", "The other yarn's weight")
    return positive(sett, "sett", "The sett") * sqrt(tex_from / tex_to)


def tex_for_sett(tex: float, sett_from: float, sett_to: float) -> float:
    """Yarn that keeps the firmness when the sett changes.

    Equation: tex₂ = tex₁·(s₁/s₂)²   (F-50)
    Parameters:
        tex [tex]: tex₁
        sett_from [1/inch]: s₁
        sett_to [1/inch]: s₂
    Returns:
        [tex] tex₂
    Validity: as for sett_for_count.
    Errors: InputError when a figure is not above zero.
    Example:
        >>> round(590.5412 / tex_for_sett(590.5412 / 32, 78, 55), 2)
        15.91

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition 1909, p. 341 (“16s nearly”).
    """
    positive(sett_from, "sett", "The first sett")
    positive(sett_to, "sett", "The other sett")
    return positive(tex, "from_yarn", "The yarn's weight") * (sett_from / sett_to) ** 2


def sett_for_weave(sett: float, weave_from: Weave, weave_to: Weave) -> float:
    """Sett in another weave at the same firmness.

    Equation: s₂ = s₁·(1 + i₁/e₁)/(1 + i₂/e₂), that is (e + i)₁/(e + i)₂ over equal ends   (F-51)
    Parameters:
        sett [1/inch]: s₁
        weave_from [Weave]: e₁ ends and i₁ crossings of its tightest pick
        weave_to [Weave]: e₂ and i₂
    Returns:
        [1/inch] s₂
    Validity: the same yarns, warp and weft alike.
    Errors: InputError when the sett is not above zero.
    Example:
        >>> from calculators.weave.library import weave
        >>> round(sett_for_weave(103, weave("plain"), weave("twill_2_2")), 2)
        137.33

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition 1909, web page 464 (137 1/3).
    """
    return positive(sett, "sett", "The sett") * weave_to.sett_share / weave_from.sett_share


def tex_for_weave(tex: float, weave_from: Weave, weave_to: Weave) -> float:
    """Yarn that keeps sett and firmness when the weave changes.

    Equation: tex₂ = tex₁·((1 + i₁/e₁)/(1 + i₂/e₂))²   (F-51)
    Parameters:
        tex [tex]: tex₁
        weave_from [Weave]: e₁ ends and i₁ crossings of its tightest pick
        weave_to [Weave]: e₂ and i₂
    Returns:
        [tex] tex₂
    Validity: warp and weft alike, changed together.
    Errors: InputError when the yarn weighs nothing.
    Example:
        >>> from calculators.weave.library import weave
        >>> round(590.5412 / tex_for_weave(590.5412 / 36, weave("plain"), weave("twill_2_2")), 2)
        20.25

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition 1909, p. 340 (20 1/4).
    """
    ratio = weave_to.sett_share / weave_from.sett_share
    return positive(tex, "from_yarn", "The yarn's weight") * ratio**2
