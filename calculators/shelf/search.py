"""From cones and a loom to ranked projects: a best-first search that proves what it leaves out.

A project is an article, a weave, a warp and a weft. Every article in every weave has a score that
none of its projects can pass; so it has again in each size of warp with wefts of about one size,
and again on each warp. The search always opens the most promising one, and is done when nothing
unopened can pass the last place in the ranking. Its time grows at worst with articles × weaves ×
warps × wefts, that is with the square of the cones; as a rule a small part of that is opened, and
what has once been worked out for a size of yarn holds for every cone of it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from heapq import heappop, heappush
from itertools import chain, count
from math import floor, inf, sqrt

from calculators.cloth import size
from calculators.engine.formula import bare, formula
from calculators.engine.network import Figure, Worked
from calculators.loom.warp import pieces_possible, warp_yarn, woven_length
from calculators.loom.weft import turn_allowance
from calculators.plan.example import NAPKINS
from calculators.plan.plan import PLAN
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.calculators import SOFT_SYSTEMS
from calculators.sett.denting import Denting, width_of
from calculators.sett.rules import ashenhurst_limit, maximum_sett
from calculators.sett.working import working_range
from calculators.shelf.cones_and_looms import Cone, Loom
from calculators.shelf.dentings import Dentings
from calculators.shelf.scoring import (
    PARTS,
    UNKNOWN,
    WEIGHTS,
    Article,
    articles,
    contrast_part,
    firm_part,
    lasting,
    score,
    structure,
    use_part,
    washing,
)
from calculators.shelf.threads import Supply, Thread, grams_used, supplies, threads
from calculators.weave.library import WEAVES
from calculators.weave.library import weave as weave_named
from calculators.weave.matrix import Weave
from calculators.yarn.diameter import diameters_per_inch_ashenhurst
from calculators.yarn.yarn import Yarn, mass_of

MOST_PIECES = 500
MANY = inf  # of what the loom does not limit
MOST_WAITING = 100_000  # unopened warps; beyond, each is opened at once, so that memory has an end
ROUNDING = 1e-9
FINE, BOLD = 18.0, 9.0  # ends per cm of the washed cloth


@dataclass(frozen=True)
class Wishes:
    """What the weaver would like, and the plan's own figures behind it, by their terms."""

    figures: Mapping[str, Figure] = field(default_factory=lambda: NAPKINS)
    reserve: float = 0.03
    articles: tuple[str, ...] = ()  # names or groups; all when empty
    weaves: tuple[str, ...] = ()
    hours: float | None = None
    grain: str = "any"  # fine, middle or bold
    weights: Mapping[str, float] = field(default_factory=lambda: dict(WEIGHTS))
    places: int = 8
    each: int = 1  # places that one article may take
    units: str = ""  # what the sizes are whole in: "inch", or centimetres


@dataclass(frozen=True, eq=False)
class Project:
    """A project that fits, and what speaks for it."""

    article: Article
    weave: Weave
    warp: Thread
    weft: Thread
    denting: Denting
    figures: Mapping[str, Figure]  # what is decided, by its terms
    parts: Mapping[str, float]
    score: float
    short: Mapping[int, float]  # g of each supply that a whole set would want more

    @property
    def pieces(self) -> int:
        """How many of the article."""
        return PLAN.run(self.figures).whole("pieces")


@dataclass(frozen=True)
class NearMiss:
    """An article that a little more yarn would give one of."""

    article: Article
    weave: Weave
    warp: Thread
    weft: Thread
    short: Mapping[int, float]  # g of each supply

    @property
    def grams(self) -> float:
        """All the yarn wanting [g]."""
        return sum(self.short.values())


@dataclass(slots=True, eq=False)
class _WeftGroup:
    """Wefts of about one size against a warp, and the most contrast that any of them has."""

    same: bool  # they are the warp's own cones
    wefts: list[Thread]  # the thickest first
    contrast: float


@dataclass(slots=True, eq=False)
class _WarpGroup:
    """Warps of one size, with the wefts that are of about one size against them."""

    yarn: Yarn
    about: float  # tex that stands for the wefts
    thickest: float  # tex of the thickest weft
    warps: list[tuple[Thread, float, list[_WeftGroup]]] = field(default_factory=list)  # with its g
    grams: float = 0.0  # the most that any of the warps has
    contrast: float = 0.0  # the most that any pair has
    pairs: int = 0

    def add(self, warp: Thread, grams: float, weft_groups: list[_WeftGroup]) -> None:
        self.warps.append((warp, grams, weft_groups))
        self.grams = max(self.grams, grams)
        self.contrast = max(self.contrast, *(group.contrast for group in weft_groups))
        self.pairs += sum(len(group.wefts) for group in weft_groups)


@dataclass(slots=True)
class _OnLoom:
    """An article on the loom: its width, and its length at the high and the likely losses [cm]."""

    width: float
    length_high: float
    length_likely: float
    pieces_on_beam: int = MOST_PIECES


@dataclass(slots=True)
class _Setts:
    """Setts for a warp and wefts of about one size in one weave at one firmness [1/cm]."""

    denting: Denting
    reed: float
    cloth: float
    washed: float


@dataclass(slots=True)
class _Cloth:
    """An article in a weave, set for warps of one size and wefts of about one size."""

    article: Article
    on_loom: _OnLoom
    weave: Weave
    warp_yarn: Yarn
    setts: _Setts
    ends_per_unit: int
    pick_length: float  # cm, over all its ends, with the turn
    warp_per_cm: float  # g for each woven cm
    warp_in_waste: float  # g
    use: float  # what weave and floats of the weft leave of it
    unit: float
    pieces: int  # that beam and time allow with any of the wefts, and the most yarn of any warp
    picks: dict[float, "_Picks | None"] = field(default_factory=dict)  # by the tex of the weft


@dataclass(slots=True)
class _ClothOnWarp:
    """A cloth on a warp."""

    cloth: _Cloth
    warp: Thread
    reach: float  # woven cm that the warp's yarn allows
    pieces: int  # that warp, beam and time allow


@dataclass(slots=True)
class _Picks:
    """The picks of one size of weft in a cloth, and what speaks for them."""

    per_unit: int
    grams_per_cm: float  # of weft for each woven cm
    firm: float
    floats: float  # the longest of the washed cloth [cm]
    use: float
    pieces: int  # that beam and time allow


_Node = tuple[float, int, Article, Weave, _ClothOnWarp | None, _WeftGroup | None]


@formula(
    "F-121",
    "Length that a shelf allows",
    "trade-knowledge",
    gives="woven_length",
    where="the least over all yarns, and what beam and hours allow; the pieces follow by F-80",
    validity="losses at their high end",
)
def length_allowed(usable: float, waste_mass: float, mass_per_cm: float) -> float:
    """Length that a yarn allows to weave.

    >>> length_allowed(500, 100, 0.5)
    800.0
    """
    return (usable - waste_mass) / mass_per_cm


_length_allowed = bare(length_allowed)
_ends_of, _width_in_reed, _warp_yarn = bare(size.ends), bare(width_of), bare(warp_yarn)


def fits(project: Project, on_hand: tuple[Supply, ...], loom: Loom) -> Worked | None:
    r"""The whole plan of a project, or nothing when yarn, loom or reed will not do for it.

    Equation: the plan's own figures against what there is   (F-110)
    Parameters:
        project [Project]: as it was found
        on_hand [supplies]: what there is
        loom [Loom]: what it holds
    Returns:
        [plan] when every yarn, the width, heddles, shafts, beam and reed suffice
    Validity: losses at their high end.
    Errors: whatever the plan cannot work with.

    Example:
        >>> from calculators.shelf.cones_and_looms import read_shelf
        >>> shelf = read_shelf(
        ...     "Blue; 16/2; 400 g; navy\nFlax; 16/1 linen; 400 g; flax\n"
        ...     "Loom: Oak; width 60 cm; shafts 5; reeds 60/10"
        ... )
        >>> loom = shelf.looms[0]
        >>> search = Search(shelf.cones, loom, Wishes(articles=("tea-towel",), weaves=("satin_5",)))
        >>> _ = list(search.steps())
        >>> project = search.ranked[0]
        >>> plan = fits(project, search.on_hand, loom)
        >>> plan.whole("pieces") == project.pieces
        True
        >>> fits(project, supplies(shelf.cones, reserve=0.9), loom) is None
        True

    Source: worked out by the cloth plan.
    """
    plan = PLAN.run(project.figures)
    used = grams_used(
        (project.warp, plan.ranged("warp_yarn_mass").high),
        (project.weft, plan.ranged("weft_yarn_mass").high),
    )
    enough_yarn = all(
        grams <= on_hand[place].mass * (1 + ROUNDING) for place, grams in used.items()
    )
    warp, weft, firm = project.warp.yarn, project.weft.yarn, _firm(project.warp.yarn)
    fits_loom = (
        plan.likely("warp_width_in_reed") <= loom.width
        and plan.likely("pattern_heddles") <= (loom.pattern_heddles or MANY)
        and project.weave.ends <= loom.ground_shafts
        and plan.likely("warp_length") <= (loom.longest or MANY)
        and _in_working_range(
            per_inch(plan.likely("reed_sett")),
            _most_ends(warp.tex, weft.tex, project.weave, firm),
            project.article.firmness,
        )
        and per_inch(plan.likely("picks")) <= _most_picks(weft.tex, warp.tex, project.weave, firm)
    )
    return plan if enough_yarn and fits_loom else None


class Search:
    """One search: ``steps`` works on it in small pieces, ``ranked`` is what was found so far."""

    def __init__(self, cones: Iterable[Cone], loom: Loom, wishes: Wishes) -> None:
        """Take the question; nothing is searched yet."""
        self.loom, self.wishes = loom, wishes
        self.figures = {**wishes.figures, "loom_waste": loom.waste}
        self.plan = PLAN.run(self.figures)
        self.gap, self.sample = self.plan.likely("gap"), self.plan.likely("sample")
        self._selvedge, self._waste = self.plan.whole("selvedge_ends"), loom.waste
        self._take_up = self.plan.ranged("take_up").high
        by_share = "turn_share" in self.figures
        self._turn = self.plan.likely("turn_share" if by_share else "turn_allowance")
        self._turn_of = bare(turn_allowance) if by_share else lambda turn, _: turn
        self.on_hand = supplies(cones, wishes.reserve)
        self.warps = threads(self.on_hand, striped=True)
        self.wefts = tuple(thread for thread in self.warps if len(thread.shares) == 1)
        wished = set(wishes.articles)
        self.articles = tuple(
            article
            for article in articles(wishes.units)
            if not wished or wished & {article.name, article.group}
        )
        names = wishes.weaves or tuple(name for name in WEAVES if not name.endswith("_warp"))
        weaves = map(weave_named, names)
        self.weaves = tuple(weave for weave in weaves if weave.ends <= loom.ground_shafts)
        self.pairs = len(self.articles) * len(self.weaves) * len(self.warps) * len(self.wefts)
        self.settled = 0  # pairs looked at, or proved unable to reach a place
        self.best: dict[str, list[Project]] = {}
        self._last_place = -1.0
        total = sum(wishes.weights.values())
        self._weights = [100 * wishes.weights[name] / total for name in PARTS]
        self._shows_contrast = {weave.name: weave.face != "both alike" for weave in self.weaves}
        self._longest_floats = {weave.name: weave.longest_float for weave in self.weaves}
        self._dentings = Dentings(loom.reeds)
        self._setts: dict[tuple[str, str, float, bool, float], _Setts | None] = {}
        self._fibres = {supply.fibre for supply in self.on_hand}
        self._contrasts = self._all_contrasts()
        self._groups = self._warp_groups()
        self._on_loom = {article.name: self._article_on_loom(article) for article in self.articles}

    @property
    def ranked(self) -> list[Project]:
        """The projects found, the best first."""
        projects = chain.from_iterable(self.best.values())
        return sorted(projects, key=lambda project: -project.score)[: self.wishes.places]

    def steps(self) -> Iterator[None]:
        """Search; stop where you like, what is found by then stands in ``ranked``."""
        serial = count()
        heap: list[_Node] = []
        for article in self.articles:
            for weave in self.weaves:
                contrast = 1.0 if self._shows_contrast[weave.name] else UNKNOWN
                bound = self._at_most(use=structure(article, weave.name), contrast=contrast)
                heappush(heap, (-bound, next(serial), article, weave, None, None))
        while heap:
            below, _, article, weave, warped, weft_group = heappop(heap)
            if -below <= self._last_place + ROUNDING:
                break
            if -below <= self._score_to_pass(article):
                all_pairs = len(self.warps) * len(self.wefts)
                self.settled += len(weft_group.wefts) if weft_group else all_pairs
            elif warped and weft_group:
                self._try_wefts(warped, weft_group)
                self.settled += len(weft_group.wefts)
                yield
            else:
                # The most promising warp is tried at once: a first result, and a bar for the rest.
                promising = sorted(self._promising(article, weave), key=lambda row: -row[0])
                for bound, warped, weft_group in promising:
                    if bound > self._score_to_pass(article):
                        if article.name in self.best and len(heap) < MOST_WAITING:
                            node = (-bound, next(serial), article, weave, warped, weft_group)
                            heappush(heap, node)
                            continue
                        self._try_wefts(warped, weft_group)
                    self.settled += len(weft_group.wefts)
                yield
        self.settled = self.pairs

    def of_what_is_left(self, project: Project, plan: Worked) -> "Search":
        """Return a search for a second article, in the same weave, from what a project leaves."""
        used = grams_used(
            (project.warp, plan.ranged("warp_yarn_mass").high),
            (project.weft, plan.ranged("weft_yarn_mass").high),
        )
        cones = [
            Cone(supply.name, supply.yarn, supply.fibre, supply.colour, left, 0.0, 0.0, "")
            for place, grams in used.items()
            for supply in [self.on_hand[place]]
            if (left := supply.mass - grams) > ROUNDING
        ]
        others = tuple(row.name for row in articles() if row.name != project.article.name)
        wishes = replace(
            self.wishes,
            reserve=0.0,
            articles=others,
            weaves=(project.weave.name,),
            hours=None,
            grain="any",
            places=1,
            each=1,
        )
        return Search(cones, self.loom, wishes)

    def near_misses(self, most: int = 3) -> list[NearMiss]:
        """Return articles that only want of yarn keeps out, those with the least wanting first.

        Where the places are filled nobody asks for more: what was not opened is not looked at.
        """
        misses = []
        for article in self.articles if self._last_place < 0 else ():
            candidates = [] if article.name in self.best else self._wanting_yarn(article)
            least: NearMiss | None = None
            for lacking, warped, weft_group in sorted(candidates, key=lambda row: row[0]):
                if least is not None and lacking >= least.grams:
                    break
                for weft in weft_group.wefts:
                    picks = self._picks_of(warped.cloth, weft.yarn.tex)
                    short = self._grams_short(warped, weft, picks, 1) if picks else {}
                    if short and (least is None or sum(short.values()) < least.grams):
                        least = NearMiss(article, warped.cloth.weave, warped.warp, weft, short)
            misses += [least] if least else []
        return sorted(misses, key=lambda miss: miss.grams)[:most]

    def _wanting_yarn(self, article: Article) -> list[tuple[float, _ClothOnWarp, _WeftGroup]]:
        """Return the warps that the loom can take, with the grams one piece would lack of each."""
        candidates = []
        singles = set(map(id, self.warps[: len(self.on_hand)]))
        for weave in self.weaves:
            for group in self._groups if weave.name in article.structures else ():
                warps = [row for row in group.warps if id(row[0]) in singles]
                cloth = self._cloth_of(article, weave, group) if warps else None
                if cloth is None:
                    continue
                for warp, grams, weft_groups in warps:
                    lacking = max(0.0, self._length_and_warp(cloth, 1)[1] - grams)
                    warped = _ClothOnWarp(cloth, warp, 0.0, 1)
                    candidates += [(lacking, warped, weft_group) for weft_group in weft_groups]
        return candidates

    # What no project can pass ---------------------------------------------------------------------

    def _at_most(
        self,
        *,
        whole: float = 1.0,
        use: float = 1.0,
        firm: float = 1.0,
        unit: float = 1.0,
        contrast: float = 1.0,
        left: float = 1.0,
    ) -> float:
        """Return the score with these parts and full marks for the others (F-120)."""
        a, b, c, d, e, f = self._weights
        return a * whole + b * use + c * firm + d * unit + e * contrast + f * left

    def _score_to_pass(self, article: Article) -> float:
        """Return the score that a project must pass to get a place."""
        placed = self.best.get(article.name, [])
        least = placed[-1].score if len(placed) >= self.wishes.each else -1.0
        return max(self._last_place, least) + ROUNDING

    def _promising(
        self, article: Article, weave: Weave
    ) -> list[tuple[float, _ClothOnWarp, _WeftGroup]]:
        """Return every warp that will do, for each group of wefts, and what no weft can pass."""
        promising = []
        least, shows_contrast = self._score_to_pass(article), self._shows_contrast[weave.name]
        usual = structure(article, weave.name)
        bears_wash = {fibre: washing(article.heat, fibre) for fibre in self._fibres}
        for group in self._groups:
            contrast = group.contrast if shows_contrast else UNKNOWN
            cloth = None
            if self._at_most(use=usual, contrast=contrast) > least:
                cloth = self._cloth_of(article, weave, group)
            if (
                cloth is None
                or not cloth.pieces
                or least
                >= self._at_most(
                    whole=min(1.0, cloth.pieces / article.set),
                    use=cloth.use,
                    unit=cloth.unit,
                    contrast=contrast,
                )
            ):
                self.settled += group.pairs
                continue
            for warp, grams, weft_groups in group.warps:
                warped = self._on_warp(cloth, warp, grams)
                pieces, use = warped.pieces, cloth.use * bears_wash[warp.fibre]
                warp_used = self._length_and_warp(cloth, pieces)[1] if pieces else 0.0
                share = self._share_used(warp, warp_used)
                for weft_group in weft_groups:
                    bound = self._at_most(
                        whole=min(1.0, pieces / article.set),
                        use=use,
                        unit=cloth.unit,
                        contrast=weft_group.contrast if shows_contrast else UNKNOWN,
                        left=1.0 if weft_group.same else (1 + share) / 2,
                    )
                    if pieces and bound > least:
                        promising.append((bound, warped, weft_group))
                    else:
                        self.settled += len(weft_group.wefts)
        return promising

    # The warp -------------------------------------------------------------------------------------

    def _all_contrasts(self) -> dict[tuple[str, ...], list[float]]:
        """Return for the colours of every warp its contrast with each supply as weft."""
        contrasts: dict[tuple[str, ...], list[float]] = {
            (warp.colour,): [
                contrast_part((warp.colour,), weft.colour, True) for weft in self.on_hand
            ]
            for warp in self.on_hand
        }
        for thread in self.warps:
            if thread.colours not in contrasts:  # stripes: the nearer of the two counts
                of_each = (contrasts[(colour,)] for colour in thread.colours)
                contrasts[thread.colours] = list(map(min, *of_each))
        return contrasts

    def _warp_groups(self) -> list[_WarpGroup]:
        """Part the warps by size and softness, and the wefts by size against them."""
        wefts = sorted(self.wefts, key=lambda weft: -weft.yarn.tex)
        groups: dict[tuple[float, bool], list[tuple[_WarpGroup, list[Thread]]]] = {}
        for warp in self.warps:
            yarn = warp.yarn
            size_of_warp = (yarn.tex, _firm(yarn))
            if size_of_warp not in groups:
                by_size: dict[float, list[Thread]] = {}
                for weft in wefts:
                    ratio = weft.yarn.tex / yarn.tex
                    about = 0.5 if ratio < sqrt(0.5) else 1.0 if ratio <= sqrt(2) else 2.0
                    by_size.setdefault(about * yarn.tex, []).append(weft)
                groups[size_of_warp] = [
                    (_WarpGroup(yarn, about, alike[0].yarn.tex), alike)
                    for about, alike in by_size.items()
                ]
            places, contrasts = warp.places, self._contrasts[warp.colours]
            grams = min(self.on_hand[place].mass / share for place, share in warp.shares)
            for group, alike in groups[size_of_warp]:
                weft_groups = []
                for same in (True, False):
                    chosen = [weft for weft in alike if (weft.shares[0][0] in places) == same]
                    if chosen:
                        contrast = max(contrasts[weft.shares[0][0]] for weft in chosen)
                        weft_groups.append(_WeftGroup(same, chosen, contrast))
                group.add(warp, grams, weft_groups)
        return [group for pairs in groups.values() for group, _ in pairs]

    def _article_on_loom(self, article: Article) -> _OnLoom:
        plan = self.plan
        shrinkage = plan.ranged("length_shrinkage")
        on_loom = _OnLoom(
            size.loom_width(article.width, plan.likely("width_shrinkage")),
            size.piece_on_loom(article.length, article.hem, shrinkage.high),
            size.piece_on_loom(article.length, article.hem, shrinkage.likely),
        )
        if self.loom.longest is not None:
            longest = self.loom.longest - plan.likely("loom_waste")
            longest /= 1 + plan.likely("take_up")
            on_loom.pieces_on_beam = self._pieces_likely(on_loom, longest)
        return on_loom

    def _setts_of(self, firmness: str, weave: Weave, yarn: Yarn, weft_tex: float) -> _Setts | None:
        key = (firmness, weave.name, yarn.tex, _firm(yarn), weft_tex)
        if key not in self._setts:
            limit = _most_ends(yarn.tex, weft_tex, weave, _firm(yarn))
            diameters = diameters_per_inch_ashenhurst(yarn.tex, _firm(yarn))
            denting = self._dentings.best(working_range(limit, firmness), weave.ends, diameters)
            if denting is None:
                self._setts[key] = None
            else:
                reed = per_cm(denting.sett)
                cloth = size.cloth_sett(reed, self.plan.likely("draw_in"))
                washed = size.cloth_sett(cloth, self.plan.likely("width_shrinkage"))
                self._setts[key] = _Setts(denting, reed, cloth, washed)
        return self._setts[key]

    def _cloth_of(self, article: Article, weave: Weave, group: _WarpGroup) -> _Cloth | None:
        """Work out all that needs no cone but its size; None where the loom will not do."""
        loom, on_loom = self.loom, self._on_loom[article.name]
        setts = self._setts_of(article.firmness, weave, group.yarn, group.about)
        if setts is None or self.wishes.grain not in ("any", _grain(setts.washed)):
            return None
        in_unit = article.unit * setts.washed
        ends_per_unit = weave.ends * _nearest_repeats(in_unit / weave.ends)
        units = size.units_across(on_loom.width, setts.cloth, ends_per_unit)
        if loom.pattern_heddles is not None and units > loom.pattern_heddles:
            return None
        ends = _ends_of(units, ends_per_unit, self._selvedge)
        in_reed = _width_in_reed(ends, setts.reed)
        if in_reed > loom.width:
            return None
        grams = _grams_per_cm(group.yarn.tex)
        unit = in_unit / ends_per_unit
        floats = self._longest_floats[weave.name][1] / setts.washed
        cloth = _Cloth(
            article=article,
            on_loom=on_loom,
            weave=weave,
            warp_yarn=group.yarn,
            setts=setts,
            ends_per_unit=ends_per_unit,
            pick_length=self._pick_length(in_reed),
            warp_per_cm=_warp_yarn(ends, 1 + self._take_up) * grams,
            warp_in_waste=ends * self._waste * grams,
            use=lasting(article, weave.name, floats),
            unit=min(unit, 1 / unit),
            pieces=on_loom.pieces_on_beam,
        )
        if self.wishes.hours is not None:  # the thickest weft wants the fewest picks
            cloth.pieces = self._pieces_in_time(cloth, self._square_picks(cloth, group.thickest)[1])
        most = _length_allowed(group.grams, cloth.warp_in_waste, cloth.warp_per_cm)
        cloth.pieces = article.woven_of(min(cloth.pieces, self._pieces_high(on_loom, most)))
        return cloth

    def _pick_length(self, in_reed: float) -> float:
        """Return the length of one pick over all the ends in the reed, with its turn."""
        return in_reed + self._turn_of(self._turn, in_reed)

    def _on_warp(self, cloth: _Cloth, warp: Thread, grams: float) -> _ClothOnWarp:
        reach = _length_allowed(grams, cloth.warp_in_waste, cloth.warp_per_cm)
        pieces = cloth.article.woven_of(min(cloth.pieces, self._pieces_high(cloth.on_loom, reach)))
        return _ClothOnWarp(cloth, warp, reach, pieces)

    def _pieces_likely(self, on_loom: _OnLoom, woven: float) -> int:
        """Return the pieces in a length at the likely losses [cm].

        Beam and hours are planned at the likely losses, yarn at the high ones.
        """
        pieces = pieces_possible(max(0.0, woven), on_loom.length_likely, self.gap, self.sample)
        return min(pieces, MOST_PIECES)

    def _pieces_high(self, on_loom: _OnLoom, woven: float) -> int:
        if woven <= 0:
            return 0
        pieces = pieces_possible(woven, on_loom.length_high, self.gap, self.sample)
        return min(pieces, MOST_PIECES)

    def _pieces_in_time(self, cloth: _Cloth, picks: float) -> int:
        """Return the pieces that the beam takes and the hours allow."""
        if self.wishes.hours is None:
            return cloth.on_loom.pieces_on_beam
        woven = self.wishes.hours * 60 * self.plan.likely("picks_per_minute") / picks
        return min(cloth.on_loom.pieces_on_beam, self._pieces_likely(cloth.on_loom, woven))

    def _length_and_warp(self, cloth: _Cloth, pieces: int) -> tuple[float, float]:
        """Return woven length at the losses' high end, and the warp yarn for it [cm, g]."""
        woven = woven_length(pieces, cloth.on_loom.length_high, self.gap, self.sample)
        return woven, cloth.warp_in_waste + cloth.warp_per_cm * woven

    def _share_used(self, warp: Thread, grams: float) -> float:
        parts = [share * grams / self.on_hand[place].mass for place, share in warp.shares]
        return sum(parts) / len(parts)

    # The weft -------------------------------------------------------------------------------------

    def _try_wefts(self, warped: _ClothOnWarp, weft_group: _WeftGroup) -> None:
        """Try every weft of a group on its warp."""
        cloth, warp = warped.cloth, warped.warp
        article, weave, unit = cloth.article, cloth.weave, cloth.unit
        shows_contrast, contrasts = self._shows_contrast[weave.name], self._contrasts[warp.colours]
        least, warp_bears = self._score_to_pass(article), washing(article.heat, warp.fibre)
        for weft in weft_group.wefts:
            picks = self._picks_of(cloth, weft.yarn.tex)
            if picks is None:
                continue
            most = article.woven_of(min(warped.pieces, picks.pieces))
            contrast = contrasts[weft.shares[0][0]] if shows_contrast else UNKNOWN
            # Most wefts are out before their grams are looked at.
            if not most or least >= self._at_most(
                whole=min(1.0, most / article.set),
                use=picks.use * min(warp_bears, washing(article.heat, weft.fibre)),
                firm=picks.firm,
                unit=unit,
                contrast=contrast,
            ):
                continue
            length = self._woven_length(warped, weft, picks)
            pieces = article.woven_of(min(most, self._pieces_high(cloth.on_loom, length)))
            if not pieces:
                continue
            woven, warp_used = self._length_and_warp(cloth, pieces)
            parts = {
                "set": min(1.0, pieces / article.set),
                "use": use_part(article, weave.name, picks.floats, (warp.fibre, weft.fibre)),
                "firm": picks.firm,
                "unit": unit,
                "contrast": contrast,
                "left": self._used_up(warp, weft, warp_used, picks.grams_per_cm * woven),
            }
            total = score(parts, self.wishes.weights)
            if total > least:
                self._place(
                    Project(
                        article=article,
                        weave=weave,
                        warp=warp,
                        weft=weft,
                        denting=cloth.setts.denting,
                        figures=self._figures(cloth, weft, picks.per_unit, pieces),
                        parts=parts,
                        score=total,
                        short=self._grams_short(warped, weft, picks, max(pieces, article.set)),
                    )
                )
                least = self._score_to_pass(article)

    def _square_picks(self, cloth: _Cloth, weft_tex: float) -> tuple[int, float, float]:
        """Return the picks of a square unit, picks, and the closest there can be [1/inch]."""
        limit = _most_picks(weft_tex, cloth.warp_yarn.tex, cloth.weave, _firm(cloth.warp_yarn))
        likely = working_range(limit, cloth.article.firmness).likely
        ends, sett = cloth.ends_per_unit, cloth.setts.cloth
        shrinkages = self.plan.likely("width_shrinkage"), self.plan.likely("length_shrinkage")
        with_one = size.picks_for_square(ends, 1, sett, *shrinkages)  # pick in a unit
        picks_per_unit = max(1, round(per_cm(likely) / with_one))
        picks = size.picks_for_square(ends, picks_per_unit, sett, *shrinkages)
        return picks_per_unit, picks, limit

    def _picks_of(self, cloth: _Cloth, tex: float) -> _Picks | None:
        """Work out picks and yarn of a weft; None where sett or picks do not suit the pair."""
        if tex not in cloth.picks:
            cloth.picks[tex] = self._new_picks(cloth, tex)
        return cloth.picks[tex]

    def _new_picks(self, cloth: _Cloth, tex: float) -> _Picks | None:
        article, weave, washed = cloth.article, cloth.weave, cloth.setts.washed
        most = _most_ends(cloth.warp_yarn.tex, tex, weave, _firm(cloth.warp_yarn))
        if not _in_working_range(cloth.setts.denting.sett, most, article.firmness):
            return None
        picks_per_unit, picks, limit = self._square_picks(cloth, tex)
        if per_inch(picks) > limit:
            return None
        warp_float, weft_float = self._longest_floats[weave.name]
        picks_washed = size.cloth_sett(picks, self.plan.likely("length_shrinkage"))
        floats = max(weft_float / washed, warp_float / picks_washed)
        return _Picks(
            per_unit=picks_per_unit,
            grams_per_cm=picks * cloth.pick_length * _grams_per_cm(tex),
            firm=firm_part(per_inch(picks), working_range(limit, article.firmness)),
            floats=floats,
            use=lasting(article, weave.name, floats),
            pieces=self._pieces_in_time(cloth, picks),
        )

    def _grams_needed(
        self, warped: _ClothOnWarp, weft: Thread, picks: _Picks
    ) -> dict[int, list[float]]:
        """Return for each supply the grams used once and the grams for each woven cm."""
        needs = {
            place: [share * warped.cloth.warp_in_waste, share * warped.cloth.warp_per_cm]
            for place, share in warped.warp.shares
        }
        for place, share in weft.shares:
            needs.setdefault(place, [0.0, 0.0])[1] += share * picks.grams_per_cm
        return needs

    def _woven_length(self, warped: _ClothOnWarp, weft: Thread, picks: _Picks) -> float:
        """Return the woven length that the yarn allows [cm]."""
        return min(
            warped.reach,
            *(
                _length_allowed(self.on_hand[place].mass, once, each)
                for place, (once, each) in self._grams_needed(warped, weft, picks).items()
            ),
        )

    def _grams_short(
        self, warped: _ClothOnWarp, weft: Thread, picks: _Picks, pieces: int
    ) -> dict[int, float]:
        """Return the grams of each supply that so many pieces would want more."""
        woven = self._length_and_warp(warped.cloth, pieces)[0]
        return {
            place: lacking
            for place, (once, each) in self._grams_needed(warped, weft, picks).items()
            if (lacking := once + each * woven - self.on_hand[place].mass) > ROUNDING
        }

    def _used_up(self, warp: Thread, weft: Thread, warp_used: float, weft_used: float) -> float:
        """Return the share used of the cones: of all, where warp and weft come off the same."""
        if not warp.places & weft.places:
            return (self._share_used(warp, warp_used) + self._share_used(weft, weft_used)) / 2
        used = grams_used((warp, warp_used), (weft, weft_used))
        parts = [grams / self.on_hand[place].mass for place, grams in used.items()]
        return sum(parts) / len(parts)

    def _figures(
        self, cloth: _Cloth, weft: Thread, picks_per_unit: int, pieces: int
    ) -> Mapping[str, Figure]:
        article, repeat = cloth.article, cloth.weave.ends
        return {
            **self.figures,
            "finished_width": article.width,
            "finished_length": article.length,
            "hem": article.hem,
            "pieces": pieces,
            "warp_tex": cloth.warp_yarn.tex,
            "weft_tex": weft.yarn.tex,
            "reed_sett": cloth.setts.reed,
            "ends_per_unit": cloth.ends_per_unit,
            "picks_per_unit": picks_per_unit,
            "ground_shafts": repeat * (self.loom.ground_shafts // repeat),
        }

    def _place(self, project: Project) -> None:
        placed = self.best.setdefault(project.article.name, [])
        placed.append(project)
        placed.sort(key=lambda other: -other.score)
        del placed[self.wishes.each :]
        ranked = self.ranked
        if len(ranked) >= self.wishes.places:
            self._last_place = ranked[-1].score


@cache
def _grams_per_cm(tex: float) -> float:
    """Return the mass of a centimetre of yarn [g]."""
    return mass_of(1, tex)


@cache
def _most_ends(tex: float, weft_tex: float, weave: Weave, firm: bool) -> float:
    return maximum_sett(tex, weave, weft_tex, firm)


@cache
def _most_picks(weft_tex: float, tex: float, weave: Weave, firm: bool) -> float:
    return ashenhurst_limit(weft_tex, weave.picks, max(weave.intersections_of_ends), firm, tex)


def _firm(yarn: Yarn) -> bool:
    return yarn.system not in SOFT_SYSTEMS


def _in_working_range(sett: float, limit: float, firmness: str) -> bool:
    working = working_range(limit, firmness)
    return working.low * (1 - ROUNDING) <= sett <= working.high * (1 + ROUNDING)


def _grain(washed: float) -> str:
    return "fine" if washed >= FINE else "bold" if washed < BOLD else "middle"


def _nearest_repeats(wanted: float) -> int:
    """Return the whole number of repeats, at least one, that is nearest in proportion."""
    below = max(1, floor(wanted))
    return below if wanted / below <= (below + 1) / wanted else below + 1
