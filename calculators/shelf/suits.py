"""What speaks for a project and what against: six parts from 0 to 1, and their weighted mean."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from calculators.data import load
from calculators.quantities.interval import Range
from calculators.shelf.colour import difference
from calculators.shelf.cones import FIBRES

PARTS: dict[str, str] = {
    "set": "a whole set",
    "use": "fit for its use",
    "firm": "firmness",
    "unit": "unit size",
    "contrast": "contrast",
    "left": "yarn used up",
}
WEIGHTS: dict[str, float] = dict(zip(PARTS, (3.0, 3.0, 2.0, 1.0, 2.0, 1.0), strict=True))
UNLISTED = 0.5  # a weave that the catalogue does not name for the article
TOO_HOT = 0.3  # a fibre that does not bear the article's washing
UNKNOWN = 0.5  # a fibre, a colour, or a weave that shows both yarns alike
TONE = 0.25  # warp and weft of one colour: the light alone draws the pattern
PLAIN_TO_SEE = 50.0  # ΔE from which more contrast is no better


@dataclass(frozen=True)
class Article:
    """A row of the catalogue with what its group, wear and washing ask; lengths in cm."""

    name: str
    title: str
    group: str
    width: float
    length: float
    hem: float
    unit: float
    structures: tuple[str, ...]
    wear: str
    wash: str
    set: int
    firmness: str
    longest_float: float
    heat: int
    second_weft: float = 0.0  # picks of a supplementary weft to each pick of the ground


@cache
def articles() -> tuple[Article, ...]:
    """Every article of the catalogue with what is asked of it.

    Equation: none
    Parameters: none
    Returns:
        [rows] in the catalogue's order; a length woven twice and folded is given as woven
    Validity: starting points; sets, floats and washing are common practice.
    Errors: none.

    Example:
        >>> next(one.set for one in articles() if one.name == "luncheon-napkin")
        4

    Source: the source of each row of data/articles.toml; the rest common practice, no source.
    """
    by = {
        kind: {row["name"]: row for row in load("shelf")[kind]}
        for kind in ("group", "wear", "wash")
    }
    return tuple(
        Article(
            row["name"], row["title"], row["group"], row["width_cm"],
            row["length_cm"] * row.get("lengths", 1), row["hem_cm"], row["unit_mm"] / 10,
            tuple(row["structures"]), row["wear"], row["wash"],
            by["group"][row["group"]]["set"], by["group"][row["group"]]["firmness"],
            by["wear"][row["wear"]]["float_mm"] / 10, by["wash"][row["wash"]]["heat"],
            row.get("second_weft", 0.0),
        )
        for row in load("articles")["article"]
    )  # fmt: skip


def score(parts: Mapping[str, float], weights: Mapping[str, float]) -> float:
    """Place of a project in the ranking, out of 100.

    Equation: score = 100 Σ w p / Σ w   (F-120)
    Parameters:
        parts [ratio]: p, each from 0 to 1, by the names of PARTS
        weights [number]: w, how much each counts, by the same names
    Returns:
        [points] from 0 to 100
    Validity: at least one weight above nought.
    Errors: none.

    Example:
        >>> score({"set": 1.0, "use": 0.5}, {"set": 3, "use": 1})
        87.5

    Source: weighted arithmetic mean, definition; the weights are the weaver's own.
    """
    return 100 * sum(weights[name] * part for name, part in parts.items()) / sum(weights.values())


def use_part(article: Article, weave: str, float_length: float, fibres: tuple[str, ...]) -> float:
    """How well a cloth suits what is done with it.

    Equation: p = structure × min(1, longest float that lasts / float) × washing   (F-124)
    Parameters:
        article [Article]: what is asked
        weave [name]: a weave the catalogue names for it counts 1, any other 0.5
        float_length [cm]: longest float of the washed cloth
        fibres [names]: one that does not bear the washing counts 0.3, an unknown one 0.5
    Returns:
        [ratio] from 0 to 1
    Validity: common practice; your own wash test is better.
    Errors: none.

    Example:
        >>> towel = next(one for one in articles() if one.name == "tea-towel")
        >>> use_part(towel, "plain", 0.2, ("cotton", "wool"))
        0.3

    Source: common practice, no source.
    """
    borne = min(washing(article.heat, fibre) for fibre in fibres)
    return lasting(article, weave, float_length) * borne


def structure(article: Article, weave: str) -> float:
    """How usual a weave is for an article.

    Equation: p = 1 for a weave the catalogue names for it, else 0.5   (F-124)
    Parameters:
        article [Article]: what is asked
        weave [name]: of the cloth
    Returns:
        [ratio] 1 or 0.5
    Validity: common practice.
    Errors: none.

    Example:
        >>> towel = next(one for one in articles() if one.name == "tea-towel")
        >>> structure(towel, "plain"), structure(towel, "satin_10")
        (1.0, 0.5)

    Source: common practice, no source.
    """
    return 1.0 if weave in article.structures else UNLISTED


def lasting(article: Article, weave: str, float_length: float) -> float:
    """How well a weave and its floats suit what is done with a cloth, before its washing.

    Equation: p = structure × min(1, longest float that lasts / float)   (F-124)
    Parameters:
        article [Article]: what is asked
        weave [name]: a weave the catalogue names for it counts 1, any other 0.5
        float_length [cm]: longest float of the washed cloth
    Returns:
        [ratio] from 0 to 1
    Validity: common practice.
    Errors: none.

    Example:
        >>> towel = next(one for one in articles() if one.name == "tea-towel")
        >>> lasting(towel, "plain", 0.2), lasting(towel, "plain", 0.7)
        (1.0, 0.5)

    Source: common practice, no source.
    """
    return structure(article, weave) * min(1.0, article.longest_float / float_length)


def washing(heat: int, fibre: str) -> float:
    """How well a fibre bears a wash.

    Equation: p = 1 where it bears the heat, else 0.3; 0.5 where the fibre is not known   (F-124)
    Parameters:
        heat [°C]: of the article's washing
        fibre [name]: of FIBRES, or nothing
    Returns:
        [ratio] 1, 0.5 or 0.3
    Validity: common practice.
    Errors: none.

    Example:
        >>> washing(95, "linen"), washing(60, "wool"), washing(60, "")
        (1.0, 0.3, 0.5)

    Source: common practice, no source.
    """
    if not heat:
        return 1.0
    if fibre not in FIBRES:
        return UNKNOWN
    return 1.0 if FIBRES[fibre] >= heat else TOO_HOT


def firm_part(sett: float, working: Range) -> float:
    """How near a sett lies to its working range.

    Equation: p = 1 inside, else max(0, 1 − 4 × share outside)   (F-125)
    Parameters:
        sett [1/inch]: ends or picks
        working [1/inch]: low, likely and high
    Returns:
        [ratio] 1 inside the range, 0 from a quarter outside
    Validity: sett and range above nought.
    Errors: none.

    Example:
        >>> firm_part(40, Range(38, 43, 48)), round(firm_part(36, Range(40, 43, 48)), 2)
        (1.0, 0.6)

    Source: the range: F-49; the slope beyond it: common practice, no source.
    """
    outside = max(1 - sett / working.low, sett / working.high - 1, 0.0)
    return max(0.0, 1 - 4 * outside)


def contrast_part(warp: tuple[str, ...], weft: str, shows: bool) -> float:
    """How plainly a pattern of warp on weft shows.

    Equation: p = max(0.25, min(1, ΔE / 50))   (F-123, F-126)
    Parameters:
        warp [colours]: one, or both of a striped warp, of which the nearer to the weft counts
        weft [colour]: # and six figures, or nothing where it is not known
        shows [yes or no]: whether the weave shows one yarn more than the other
    Returns:
        [ratio] 0.5 where a colour is not known or the weave shows both alike
    Validity: colours as a screen shows them; sheen counts as much as colour.
    Errors: InputError when a colour is none.

    Example:
        >>> contrast_part(("#ffffff",), "#000000", True), contrast_part(("#ffffff",), "", True)
        (1.0, 0.5)

    Source: CIE 1976 colour difference; the steps are common practice, no source.
    """
    if not shows or not weft or not all(warp):
        return UNKNOWN
    return max(TONE, min(1.0, min(difference(one, weft) for one in warp) / PLAIN_TO_SEE))


def second_weft(ground: float, ground_tex: float, tex: float, share: float) -> float:
    """Yarn of a supplementary weft laid from edge to edge, beside the weft of the ground.

    Equation: Y = Y_g × share × tex / tex_g   (F-134)
    Parameters:
        ground [g]: Y_g, all the weft of the ground
        ground_tex [tex]: its yarn
        tex [tex]: the second weft's yarn
        share [ratio]: picks of the second weft to each pick of the ground
    Returns:
        [g] yarn of the second weft
    Validity: both wefts as wide as the reed, with like turns; laid into the figure only it is less.
    Errors: none.

    Example:
        >>> second_weft(200, 50, 75, 0.5)
        150.0

    Source: worked out; F-86 for both wefts.
    """
    return ground * share * tex / ground_tex
