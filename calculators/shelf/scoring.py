"""What speaks for a project and what against: six parts from 0 to 1, and their weighted mean."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from calculators.data import load
from calculators.engine.formula import bare, formula
from calculators.quantities.format import round_nearest
from calculators.quantities.interval import Range
from calculators.quantities.units import INCH_CM, UNITS
from calculators.shelf.cones_and_looms import FIBRES
from calculators.yarn.colour import difference

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
    woven_in: tuple[int, ...]  # the numbers that people weave, rising
    firmness: str
    longest_float: float
    heat: int
    second_weft: float = 0.0  # picks of a supplementary weft to each pick of the ground

    def woven_of(self, possible: int) -> int:
        """Return the most that one weaves of so many that are possible; nobody weaves 89 coasters.

        >>> coaster = next(row for row in articles() if row.name == "coaster")
        >>> coaster.woven_of(89), coaster.woven_of(5), coaster.woven_of(0)
        (12, 4, 0)
        """
        return max((number for number in self.woven_in if number <= possible), default=0)


@cache
def articles(units: str = "") -> tuple[Article, ...]:
    """Every article of the catalogue with what is asked of it.

    Equation: in inches the size nearest that such a weaver would choose: halves, hems in eighths
    Parameters:
        units [name]: "inch" for a reader who counts so
    Returns:
        [rows] in the catalogue's order; a length woven twice and folded is given as woven
    Validity: starting points; sets, floats and washing are common practice.
    Errors: none.

    Example:
        >>> next(row.set for row in articles() if row.name == "luncheon-napkin")
        4
        >>> round(articles("inch")[0].width / 2.54, 9), articles()[0].width
        (24.0, 61)

    Source: the source of each row of data/articles.toml; the rest common practice, no source.
    """
    asked = {
        kind: {row["name"]: row for row in load("shelf")[kind]}
        for kind in ("group", "wear", "wash")
    }
    return tuple(
        Article(
            name=row["name"],
            title=row["title"],
            group=row["group"],
            width=_whole(row["width_cm"], INCH_CM / 2, units),
            length=_whole(row["length_cm"] * row.get("lengths", 1), INCH_CM / 2, units),
            hem=_whole(row["hem_cm"], INCH_CM / 8, units),
            unit=row["unit_mm"] / 10,
            structures=tuple(row["structures"]),
            wear=row["wear"],
            wash=row["wash"],
            set=asked["group"][row["group"]]["set"],
            woven_in=tuple(asked["group"][row["group"]]["woven_in"]),
            firmness=asked["group"][row["group"]]["firmness"],
            longest_float=asked["wear"][row["wear"]]["float_mm"] / 10,
            heat=asked["wash"][row["wash"]]["heat"],
            second_weft=row.get("second_weft", 0.0),
        )
        for row in load("articles")["article"]
    )


def _whole(centimetres: float, step: Fraction, units: str) -> float:
    return round_nearest(centimetres, float(step)).value if units == UNITS[1] else centimetres


@formula(
    "F-120",
    "Place in the ranking",
    "trade-knowledge",
    gives="score",
    where="a weighted mean of six parts; the weights are the weaver’s own",
    validity="at least one part counts",
)
def mean_score(weighed_parts: float, weights: float) -> float:
    """Score out of 100, from the parts as they count.

    >>> mean_score(3.5, 4)
    87.5
    """
    return 100 * weighed_parts / weights


@formula(
    "F-120",
    "One part as it counts",
    "trade-knowledge",
    gives="weighed_part",
)
def weighed(part: float, weight: float) -> float:
    """One part of the score as it counts.

    >>> weighed(0.5, 3)
    1.5
    """
    return part * weight


_weighed = bare(weighed)


def score(parts: Mapping[str, float], weights: Mapping[str, float]) -> float:
    """Place of a project in the ranking, out of 100, by the names of PARTS (F-120).

    >>> score({"set": 1.0, "use": 0.5}, {"set": 3, "use": 1})
    87.5
    """
    counted = sum(_weighed(part, weights[name]) for name, part in parts.items())
    return mean_score(counted, sum(weights.values()))


@formula(
    "F-124",
    "Fit for its use",
    "trade-knowledge",
    gives="use",
    basis="common practice",
    validity="your own wash test is better",
)
def fit(usual: float, float_fit: float, borne: float) -> float:
    """How well a cloth suits what is done with it.

    >>> fit(1, 0.8, 0.5)
    0.4
    """
    return usual * float_fit * borne


_fit = bare(fit)


@formula(
    "F-124",
    "Floats against those that last",
    "trade-knowledge",
    gives="float_fit",
    basis="common practice",
    words="the float that such wear leaves alone as a share of the cloth’s longest, at most 1",
)
def fit_of_floats(lasting_float: float, washed_float: float) -> float:
    """How well the floats of a cloth bear its wear.

    >>> fit_of_floats(0.5, 2), fit_of_floats(0.5, 0.2)
    (0.25, 1.0)
    """
    return min(1.0, lasting_float / washed_float)


_fit_of_floats = bare(fit_of_floats)


def use_part(article: Article, weave: str, float_length: float, fibres: tuple[str, ...]) -> float:
    """How well a cloth suits what is done with it, its longest float in cm (F-124).

    >>> towel = next(row for row in articles() if row.name == "tea-towel")
    >>> use_part(towel, "plain", 0.2, ("cotton", "wool"))
    0.3
    """
    borne = min(washing(article.heat, fibre) for fibre in fibres)
    return lasting(article, weave, float_length, borne)


def structure(article: Article, weave: str) -> float:
    """How usual a weave is for an article (F-124).

    >>> towel = next(row for row in articles() if row.name == "tea-towel")
    >>> structure(towel, "plain"), structure(towel, "satin_10")
    (1.0, 0.5)
    """
    return 1.0 if weave in article.structures else UNLISTED


def lasting(article: Article, weave: str, float_length: float, borne: float = 1.0) -> float:
    """How well a weave and its floats suit a cloth's use, as well as it bears its wash (F-124).

    >>> towel = next(row for row in articles() if row.name == "tea-towel")
    >>> lasting(towel, "plain", 0.2), lasting(towel, "plain", 0.7)
    (1.0, 0.5)
    """
    floats = _fit_of_floats(article.longest_float, float_length)
    return _fit(structure(article, weave), floats, borne)


def washing(heat: int, fibre: str) -> float:
    """How well a fibre bears a wash of so many degrees Celsius (F-124).

    >>> washing(95, "linen"), washing(60, "wool"), washing(60, "")
    (1.0, 0.3, 0.5)
    """
    if not heat:
        return 1.0
    if fibre not in FIBRES:
        return UNKNOWN
    return 1.0 if FIBRES[fibre] >= heat else TOO_HOT


@formula(
    "F-125",
    "Firmness against the working range",
    "trade-knowledge",
    basis="common practice",
    words="1 inside the range; outside it, 1 less four times the share outside, at least 0",
)
def firm(outside: float) -> float:
    """How near a sett lies to its working range.

    >>> firm(0), firm(0.1), firm(0.3)
    (1.0, 0.6, 0.0)
    """
    return max(0.0, 1 - 4.0 * outside)


def firm_part(sett: float, working: Range) -> float:
    """How near a sett lies to its working range (F-125).

    >>> firm_part(40, Range(38, 43, 48)), round(firm_part(36, Range(40, 43, 48)), 2)
    (1.0, 0.6)
    """
    return firm(max(1 - sett / working.low, sett / working.high - 1, 0.0))


@formula(
    "F-126",
    "Contrast of warp and weft",
    "trade-knowledge",
    basis="common practice",
    where=f"{UNKNOWN:g} where a colour is not known or the weave shows both yarns alike",
    words=f"difference of the colours as a share of {PLAIN_TO_SEE:g}, at least {TONE:g}, at most 1",
)
def contrast(colour_difference: float) -> float:
    """How plainly a pattern of two colours shows.

    >>> contrast(40), contrast(5), contrast(100)
    (0.8, 0.25, 1.0)
    """
    return max(TONE, min(1.0, colour_difference / PLAIN_TO_SEE))


_contrast = bare(contrast)


def contrast_part(warp: tuple[str, ...], weft: str, shows: bool) -> float:
    """How plainly a pattern shows, if the weave shows one yarn more than the other (F-123, F-126).

    Of the colours of a striped warp the nearer to the weft counts; a colour may be unknown.

    >>> contrast_part(("#ffffff",), "#000000", True), contrast_part(("#ffffff",), "", True)
    (1.0, 0.5)
    """
    if not shows or not weft or not all(warp):
        return UNKNOWN
    return _contrast(min(difference(colour, weft) for colour in warp))


@formula(
    "F-134",
    "Second weft, from edge to edge",
    "trade-knowledge",
    validity="both wefts as wide as the reed, with like turns; in the figure alone it is less",
)
def second_weft(
    ground_weft: float, weft_tex: float, second_tex: float, picks_to_ground: float
) -> float:
    """Yarn of a supplementary weft laid from edge to edge, beside the weft of the ground.

    >>> second_weft(200, 50, 75, 0.5)
    150.0
    """
    return ground_weft * picks_to_ground * second_tex / weft_tex
