"""From cones and a loom to ranked projects: a best-first search that proves what it leaves out.

A project is an article, a weave, a warp and a weft. Every article in every weave has a score that
none of its projects can pass; so it has again in each size of warp with wefts of about one size,
and again on each warp. The search always opens the most promising one, and is done when nothing
unopened can pass the last place in the ranking. Its time grows at worst with articles × weaves ×
warps × wefts, that is with the square of the cones; as a rule a small part of that is opened, and
what has once been worked out for a size of yarn holds for every cone of it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from heapq import heappop, heappush
from itertools import count
from math import floor, inf, sqrt

from calculators.cloth import size
from calculators.engine.formula import bare, formula
from calculators.engine.network import Figure, Worked
from calculators.loom import warp as warps
from calculators.loom.weft import turn_allowance
from calculators.plan.example import NAPKINS
from calculators.plan.plan import PLAN
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.calculators import SOFT_SYSTEMS
from calculators.sett.denting import Denting, width_of
from calculators.sett.rules import ashenhurst_limit, maximum_sett
from calculators.sett.working import working_range
from calculators.shelf.cones import Cone, Loom
from calculators.shelf.orders import Orders
from calculators.shelf.suits import (
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
from calculators.shelf.threads import Supply, Thread, supplies, threads
from calculators.weave.library import WEAVES, weave
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

    base: Mapping[str, Figure] = field(default_factory=lambda: NAPKINS)
    reserve: float = 0.03
    articles: tuple[str, ...] = ()  # names or groups; all when empty
    weaves: tuple[str, ...] = ()
    hours: float | None = None
    grain: str = "any"  # fine, middle or bold
    weights: Mapping[str, float] = field(default_factory=lambda: dict(WEIGHTS))
    places: int = 8
    each: int = 1  # places that one article may take


@dataclass(frozen=True, eq=False)
class Found:
    """A project that fits, and what speaks for it."""

    article: Article
    weave: Weave
    warp: Thread
    weft: Thread
    denting: Denting
    project: Mapping[str, Figure]  # what is decided, by its terms
    parts: Mapping[str, float]
    score: float
    short: Mapping[int, float]  # g of each supply that a whole set would want more

    @property
    def pieces(self) -> int:
        """How many of the article."""
        return PLAN.run(self.project).whole("pieces")


@dataclass(frozen=True)
class Near:
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
class _Company:
    """Wefts of about one size against a warp, and the most contrast that any of them has."""

    same: bool  # they are the warp's own cones
    wefts: list[Thread]  # the thickest first
    contrast: float


@dataclass(slots=True, eq=False)
class _Kind:
    """Warps of one size, with the wefts that are of about one size against them."""

    yarn: Yarn
    about: float  # tex that stands for the wefts
    thickest: float  # tex of the thickest weft
    warps: list[tuple[Thread, float, list[_Company]]] = field(default_factory=list)  # with its g
    grams: float = 0.0  # the most that any of the warps has
    contrast: float = 0.0  # the most that any pair has
    pairs: int = 0

    def add(self, thread: Thread, grams: float, companies: list[_Company]) -> None:
        self.warps.append((thread, grams, companies))
        self.grams = max(self.grams, grams)
        self.contrast = max(self.contrast, *(company.contrast for company in companies))
        self.pairs += sum(len(company.wefts) for company in companies)


@dataclass(slots=True)
class _Job:
    """What an article asks of any warp and weft, at the losses that count [cm]."""

    width: float  # on the loom
    piece: float  # on the loom, at the high losses
    likely: float  # on the loom, at the likely ones
    beam: int = MOST_PIECES  # pieces that the beam takes


@dataclass(slots=True)
class _Setting:
    """Sett and reed for a warp and wefts of about one size in one weave at one firmness."""

    denting: Denting
    sett: float
    cloth: float
    washed: float


@dataclass(slots=True)
class _Cloth:
    """An article in a weave, set for warps of one size and wefts of about one size."""

    article: Article
    job: _Job
    weave: Weave
    yarn: Yarn  # of the warp
    setting: _Setting
    ends_per_unit: int
    pick: float  # cm, over all its ends, with the turn
    per_cm: float  # g of warp for each woven cm
    fixed: float  # g of warp in the waste
    use: float  # what weave and floats of the weft leave of it
    unit: float
    pieces: int  # that beam and time allow with any of the wefts, and the most yarn of any warp
    wefts: dict[float, "_Weft | None"] = field(default_factory=dict)  # by their tex


@dataclass(slots=True)
class _Warped:
    """A cloth on a warp."""

    cloth: _Cloth
    thread: Thread
    reach: float  # woven cm that the warp's yarn allows
    pieces: int  # that warp, beam and time allow


@dataclass(slots=True)
class _Weft:
    """A size of weft in a cloth: picks [1/cm], their number in a unit, g for each woven cm."""

    picks: float
    picks_per_unit: int
    per_cm: float
    firm: float
    floats: float  # the longest of the washed cloth [cm]
    use: float
    pieces: int  # that beam and time allow


_Node = tuple[float, int, Article, Weave, _Warped | None, _Company | None]


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


_allowed = bare(length_allowed)
_ends, _width, _yarn = bare(size.ends), bare(width_of), bare(warps.warp_yarn)


def fits(found: Found, on_hand: tuple[Supply, ...], loom: Loom) -> Worked | None:
    """The whole plan of a project, or nothing when yarn, loom or reed will not do for it.

    Equation: the plan's own figures against what there is   (F-110)
    Parameters:
        found [Found]: a project
        on_hand [supplies]: what there is
        loom [Loom]: what it holds
    Returns:
        [plan] when every yarn, the width, heddles, shafts, beam and reed suffice
    Validity: losses at their high end.
    Errors: whatever the plan cannot work with.

    Example:
        >>> fits.__name__
        'fits'

    Source: worked out by the cloth plan.
    """
    done = PLAN.run(found.project)
    used = [0.0] * len(on_hand)
    for thread, side in ((found.warp, "warp"), (found.weft, "weft")):
        mass = done.ranged(f"{side}_yarn_mass").high
        for place, share in thread.shares:
            used[place] += share * mass
    enough = all(
        grams <= there.mass * (1 + ROUNDING) for grams, there in zip(used, on_hand, strict=True)
    )
    warp, weft, firm = found.warp.yarn, found.weft.yarn, _firm(found.warp.yarn)
    held = (
        done.likely("warp_width_in_reed") <= loom.width
        and done.likely("pattern_heddles") <= (loom.pattern_heddles or MANY)
        and found.weave.ends <= loom.ground_shafts
        and done.likely("warp_length") <= (loom.longest or MANY)
        and _inside(
            per_inch(done.likely("reed_sett")),
            _most_ends(warp.tex, weft.tex, found.weave, firm),
            found.article.firmness,
        )
        and per_inch(done.likely("picks")) <= _most_picks(weft.tex, warp.tex, found.weave, firm)
    )
    return done if enough and held else None


class Search:
    """One search: ``steps`` works on it in small pieces, ``ranked`` is what was found so far."""

    def __init__(self, cones: Iterable[Cone], loom: Loom, wishes: Wishes) -> None:
        """Take the question; nothing is searched yet."""
        self.loom, self.wishes = loom, wishes
        self.known = {**wishes.base, "loom_waste": loom.waste}
        self.base = PLAN.run(self.known)
        self.gap, self.sample = self.base.likely("gap"), self.base.likely("sample")
        self._selvedge, self._waste = self.base.whole("selvedge_ends"), loom.waste
        self._take_up = self.base.ranged("take_up").high
        share = "turn_share" in self.known
        self._turn = self.base.likely("turn_share" if share else "turn_allowance")
        self._turn_of = bare(turn_allowance) if share else lambda turn, _: turn
        self.on_hand = supplies(cones, wishes.reserve)
        self.warps = threads(self.on_hand, striped=True)
        self.wefts = tuple(one for one in self.warps if len(one.shares) == 1)
        wanted = wishes.articles
        self.articles = tuple(
            one for one in articles() if not wanted or one.name in wanted or one.group in wanted
        )
        named = wishes.weaves or tuple(name for name in WEAVES if not name.endswith("_warp"))
        self.weaves = tuple(one for one in map(weave, named) if one.ends <= loom.ground_shafts)
        self.pairs = len(self.articles) * len(self.weaves) * len(self.warps) * len(self.wefts)
        self.settled = 0  # pairs looked at, or proved unable to reach a place
        self.best: dict[str, list[Found]] = {}
        self._bar = -1.0
        total = sum(wishes.weights.values())
        self._worth = [100 * wishes.weights[name] / total for name in PARTS]
        self._shows = {one.name: one.face != "both alike" for one in self.weaves}
        self._floats = {one.name: one.longest_float for one in self.weaves}
        self._reeds = Orders(loom.reeds)
        self._settings: dict[tuple[str, str, float, bool, float], _Setting | None] = {}
        self._fibres = {one.fibre for one in self.on_hand}
        self._contrasts = self._all_contrasts()
        self._kinds = self._all_kinds()
        self._jobs = {one.name: self._job(one) for one in self.articles}

    @property
    def ranked(self) -> list[Found]:
        """The projects found, the best first."""
        everything = (one for those in self.best.values() for one in those)
        return sorted(everything, key=lambda one: -one.score)[: self.wishes.places]

    def steps(self) -> Iterator[None]:
        """Search; stop where you like, what is found by then stands in ``ranked``."""
        serial = count()
        heap: list[_Node] = []
        for article in self.articles:
            for one in self.weaves:
                contrast = 1.0 if self._shows[one.name] else UNKNOWN
                bound = self._at_most(use=structure(article, one.name), contrast=contrast)
                heappush(heap, (-bound, next(serial), article, one, None, None))
        while heap:
            bound, _, article, one, warped, company = heappop(heap)
            if -bound <= self._bar + ROUNDING:
                break
            if -bound <= self._least(article):
                self.settled += len(company.wefts if company else self.wefts) * (
                    1 if company else len(self.warps)
                )
            elif warped and company:
                self._open(warped, company)
                self.settled += len(company.wefts)
                yield
            else:
                # The most promising warp is tried at once: a first result, and a bar for the rest.
                nodes = self._ready(article, one)
                nodes.sort(key=lambda node: -node[0])
                for top, ready, those in nodes:
                    if top > self._least(article):
                        if article.name in self.best and len(heap) < MOST_WAITING:
                            heappush(heap, (-top, next(serial), article, one, ready, those))
                            continue
                        self._open(ready, those)
                    self.settled += len(those.wefts)
                yield
        self.settled = self.pairs

    def near(self, most: int = 3) -> list[Near]:
        """Return articles that only want of yarn keeps out, those with the least wanting first.

        Where the places are filled nobody asks for more: what was not opened is not looked at.
        """
        found = []
        for article in self.articles if self._bar < 0 else ():
            poor = [] if article.name in self.best else self._poor(article)
            least: Near | None = None
            for lacking, warped, company in sorted(poor, key=lambda row: row[0]):
                if least is not None and lacking >= least.grams:
                    break
                for other in company.wefts:
                    weft = self._weft(warped.cloth, other.yarn.tex)
                    short = self._short(warped, other, weft, 1) if weft else {}
                    if short and (least is None or sum(short.values()) < least.grams):
                        least = Near(article, warped.cloth.weave, warped.thread, other, short)
            found += [least] if least else []
        return sorted(found, key=lambda one: one.grams)[:most]

    def _poor(self, article: Article) -> list[tuple[float, _Warped, _Company]]:
        """Return the warps that the loom can take, with the grams one piece would lack of each."""
        found = []
        singles = set(map(id, self.warps[: len(self.on_hand)]))
        for one in self.weaves:
            for kind in self._kinds if one.name in article.structures else ():
                warps = [row for row in kind.warps if id(row[0]) in singles]
                cloth = self._cloth(article, one, kind) if warps else None
                if cloth is None:
                    continue
                for thread, grams, companies in warps:
                    lacking = max(0.0, self._used(cloth, 1)[1] - grams)
                    warped = _Warped(cloth, thread, 0.0, 1)
                    found += [(lacking, warped, company) for company in companies]
        return found

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
        a, b, c, d, e, f = self._worth
        return a * whole + b * use + c * firm + d * unit + e * contrast + f * left

    def _least(self, article: Article) -> float:
        """Return the score that a project must pass to get a place."""
        mine = self.best.get(article.name, [])
        own = mine[-1].score if len(mine) >= self.wishes.each else -1.0
        return max(self._bar, own) + ROUNDING

    def _ready(self, article: Article, one: Weave) -> list[tuple[float, _Warped, _Company]]:
        """Return every warp that will do, for each company of wefts, and what no weft can pass."""
        found = []
        least, shows = self._least(article), self._shows[one.name]
        woven = structure(article, one.name)
        bears = {fibre: washing(article.heat, fibre) for fibre in self._fibres}
        for kind in self._kinds:
            contrast = kind.contrast if shows else UNKNOWN
            cloth = None
            if self._at_most(use=woven, contrast=contrast) > least:
                cloth = self._cloth(article, one, kind)
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
                self.settled += kind.pairs
                continue
            for thread, grams, companies in kind.warps:
                warped = self._warped(cloth, thread, grams)
                pieces, use = warped.pieces, cloth.use * bears[thread.fibre]
                share = self._share(thread, self._used(cloth, pieces)[1]) if pieces else 0.0
                for company in companies:
                    top = self._at_most(
                        whole=min(1.0, pieces / article.set),
                        use=use,
                        unit=cloth.unit,
                        contrast=company.contrast if shows else UNKNOWN,
                        left=1.0 if company.same else (1 + share) / 2,
                    )
                    if pieces and top > least:
                        found.append((top, warped, company))
                    else:
                        self.settled += len(company.wefts)
        return found

    # The warp -------------------------------------------------------------------------------------

    def _all_contrasts(self) -> dict[tuple[str, ...], list[float]]:
        """Return for the colours of every warp its contrast with each supply as weft."""
        found: dict[tuple[str, ...], list[float]] = {
            (one.colour,): [contrast_part((one.colour,), it.colour, True) for it in self.on_hand]
            for one in self.on_hand
        }
        for thread in self.warps:
            if thread.colours not in found:  # stripes: the nearer of the two counts
                one, other = (found[(colour,)] for colour in thread.colours)
                found[thread.colours] = list(map(min, one, other))
        return found

    def _all_kinds(self) -> list[_Kind]:
        """Part the warps by size and softness, and the wefts by size against them."""
        wefts = sorted(self.wefts, key=lambda other: -other.yarn.tex)
        kinds: dict[tuple[float, bool], list[tuple[_Kind, list[Thread]]]] = {}
        for thread in self.warps:
            yarn = thread.yarn
            if (yarn.tex, _firm(yarn)) not in kinds:
                parts: dict[float, list[Thread]] = {}
                for other in wefts:
                    ratio = other.yarn.tex / yarn.tex
                    about = 0.5 if ratio < sqrt(0.5) else 1.0 if ratio <= sqrt(2) else 2.0
                    parts.setdefault(about * yarn.tex, []).append(other)
                kinds[yarn.tex, _firm(yarn)] = [
                    (_Kind(yarn, about, those[0].yarn.tex), those) for about, those in parts.items()
                ]
            mine = {place for place, _ in thread.shares}
            seen = self._contrasts[thread.colours]
            grams = min(self.on_hand[place].mass / share for place, share in thread.shares)
            for kind, those in kinds[yarn.tex, _firm(yarn)]:
                own = [other for other in those if other.shares[0][0] in mine]
                rest = [other for other in those if other.shares[0][0] not in mine]
                kind.add(
                    thread,
                    grams,
                    [
                        _Company(same, some, max(seen[other.shares[0][0]] for other in some))
                        for same, some in ((True, own), (False, rest))
                        if some
                    ],
                )
        return [kind for those in kinds.values() for kind, _ in those]

    def _job(self, article: Article) -> _Job:
        base = self.base
        sw, sl = base.ranged("width_shrinkage"), base.ranged("length_shrinkage")
        job = _Job(
            size.loom_width(article.width, sw.likely),
            size.piece_on_loom(article.length, article.hem, sl.high),
            size.piece_on_loom(article.length, article.hem, sl.likely),
        )
        if self.loom.longest is not None:
            longest = self.loom.longest - base.likely("loom_waste")
            longest /= 1 + base.likely("take_up")
            job.beam = self._planned(job, longest)
        return job

    def _setting(self, firmness: str, one: Weave, yarn: Yarn, weft_tex: float) -> _Setting | None:
        key = (firmness, one.name, yarn.tex, _firm(yarn), weft_tex)
        if key not in self._settings:
            limit = _most_ends(yarn.tex, weft_tex, one, _firm(yarn))
            across = diameters_per_inch_ashenhurst(yarn.tex, _firm(yarn))
            order = self._reeds.best(working_range(limit, firmness), one.ends, across)
            if order is None:
                self._settings[key] = None
            else:
                sett = per_cm(order.sett)
                cloth = size.cloth_sett(sett, self.base.likely("draw_in"))
                washed = size.cloth_sett(cloth, self.base.likely("width_shrinkage"))
                self._settings[key] = _Setting(order, sett, cloth, washed)
        return self._settings[key]

    def _cloth(self, article: Article, one: Weave, kind: _Kind) -> _Cloth | None:
        """Work out all that needs no cone but its size; None where the loom will not do."""
        loom, job = self.loom, self._jobs[article.name]
        setting = self._setting(article.firmness, one, kind.yarn, kind.about)
        if setting is None or self.wishes.grain not in ("any", _grain(setting.washed)):
            return None
        in_unit = article.unit * setting.washed
        ends_per_unit = one.ends * _nearest_repeats(in_unit / one.ends)
        units = size.units_across(job.width, setting.cloth, ends_per_unit)
        if loom.pattern_heddles is not None and units > loom.pattern_heddles:
            return None
        ends = _ends(units, ends_per_unit, self._selvedge)
        in_reed = _width(ends, setting.sett)
        if in_reed > loom.width:
            return None
        grams = _weight(kind.yarn.tex)
        unit = in_unit / ends_per_unit
        cloth = _Cloth(
            article, job, one, kind.yarn, setting, ends_per_unit, self._pick_length(in_reed),
            _yarn(ends, 1 + self._take_up) * grams,
            ends * self._waste * grams,
            lasting(article, one.name, self._floats[one.name][1] / setting.washed),
            min(unit, 1 / unit),
            job.beam,
        )  # fmt: skip
        if self.wishes.hours is not None:  # the thickest weft wants the fewest picks
            cloth.pieces = self._in_time(cloth, self._picks(cloth, kind.thickest)[1])
        most = _allowed(kind.grams, cloth.fixed, cloth.per_cm)
        cloth.pieces = min(cloth.pieces, self._pieces(job, most))
        return cloth

    def _pick_length(self, in_reed: float) -> float:
        """Return the length of one pick over all the ends in the reed, with its turn."""
        return in_reed + self._turn_of(self._turn, in_reed)

    def _warped(self, cloth: _Cloth, thread: Thread, grams: float) -> _Warped:
        reach = _allowed(grams, cloth.fixed, cloth.per_cm)
        return _Warped(cloth, thread, reach, min(cloth.pieces, self._pieces(cloth.job, reach)))

    def _planned(self, job: _Job, woven: float) -> int:
        """Return the pieces in a length at the likely losses [cm].

        Beam and hours are planned at the likely losses, yarn at the high ones.
        """
        found = warps.pieces_possible(max(0.0, woven), job.likely, self.gap, self.sample)
        return min(found, MOST_PIECES)

    def _pieces(self, job: _Job, woven: float) -> int:
        if woven <= 0:
            return 0
        found = warps.pieces_possible(woven, job.piece, self.gap, self.sample)
        return min(found, MOST_PIECES)

    def _in_time(self, cloth: _Cloth, picks: float) -> int:
        """Return the pieces that the beam takes and the hours allow."""
        if self.wishes.hours is None:
            return cloth.job.beam
        woven = self.wishes.hours * 60 * self.base.likely("picks_per_minute") / picks
        return min(cloth.job.beam, self._planned(cloth.job, woven))

    def _used(self, cloth: _Cloth, pieces: int) -> tuple[float, float]:
        """Return woven length at the losses' high end, and the warp yarn for it [cm, g]."""
        woven = warps.woven_length(pieces, cloth.job.piece, self.gap, self.sample)
        return woven, cloth.fixed + cloth.per_cm * woven

    def _share(self, thread: Thread, grams: float) -> float:
        parts = [share * grams / self.on_hand[place].mass for place, share in thread.shares]
        return sum(parts) / len(parts)

    # The weft -------------------------------------------------------------------------------------

    def _open(self, warped: _Warped, company: _Company) -> None:
        """Try every weft of a company on its warp."""
        cloth, thread = warped.cloth, warped.thread
        article, one, unit = cloth.article, cloth.weave, cloth.unit
        shows, seen = self._shows[one.name], self._contrasts[thread.colours]
        least, bears = self._least(article), washing(article.heat, thread.fibre)
        for other in company.wefts:
            weft = self._weft(cloth, other.yarn.tex)
            if weft is None:
                continue
            most = min(warped.pieces, weft.pieces)
            contrast = seen[other.shares[0][0]] if shows else UNKNOWN
            # Most wefts are out before their grams are looked at.
            if not most or least >= self._at_most(
                whole=min(1.0, most / article.set),
                use=weft.use * min(bears, washing(article.heat, other.fibre)),
                firm=weft.firm,
                unit=unit,
                contrast=contrast,
            ):
                continue
            pieces = min(most, self._pieces(cloth.job, self._reach(warped, other, weft)))
            if not pieces:
                continue
            woven, warp_used = self._used(cloth, pieces)
            parts = {
                "set": min(1.0, pieces / article.set),
                "use": use_part(article, one.name, weft.floats, (thread.fibre, other.fibre)),
                "firm": weft.firm,
                "unit": unit,
                "contrast": contrast,
                "left": self._left(thread, other, warp_used, weft.per_cm * woven),
            }
            total = score(parts, self.wishes.weights)
            if total > least:
                short = self._short(warped, other, weft, max(pieces, article.set))
                project = self._project(cloth, other, weft.picks_per_unit, pieces)
                denting = cloth.setting.denting
                self._keep(
                    Found(article, one, thread, other, denting, project, parts, total, short)
                )
                least = self._least(article)

    def _picks(self, cloth: _Cloth, weft_tex: float) -> tuple[int, float, float]:
        """Return the picks of a square unit, picks, and the closest there can be [1/inch]."""
        limit = _most_picks(weft_tex, cloth.yarn.tex, cloth.weave, _firm(cloth.yarn))
        likely = working_range(limit, cloth.article.firmness).likely
        ends, sett = cloth.ends_per_unit, cloth.setting.cloth
        sw, sl = self.base.likely("width_shrinkage"), self.base.likely("length_shrinkage")
        row = size.picks_for_square(ends, 1, sett, sw, sl)  # with one pick in a unit
        picks_per_unit = max(1, round(per_cm(likely) / row))
        return picks_per_unit, size.picks_for_square(ends, picks_per_unit, sett, sw, sl), limit

    def _weft(self, cloth: _Cloth, tex: float) -> _Weft | None:
        """Work out picks and yarn of a weft; None where sett or picks do not suit the pair."""
        if tex not in cloth.wefts:
            cloth.wefts[tex] = self._new_weft(cloth, tex)
        return cloth.wefts[tex]

    def _new_weft(self, cloth: _Cloth, tex: float) -> _Weft | None:
        article, one, washed = cloth.article, cloth.weave, cloth.setting.washed
        most = _most_ends(cloth.yarn.tex, tex, one, _firm(cloth.yarn))
        if not _inside(cloth.setting.denting.sett, most, article.firmness):
            return None
        picks_per_unit, picks, limit = self._picks(cloth, tex)
        if per_inch(picks) > limit:
            return None
        warp_float, weft_float = self._floats[one.name]
        picks_washed = size.cloth_sett(picks, self.base.likely("length_shrinkage"))
        floats = max(weft_float / washed, warp_float / picks_washed)
        return _Weft(
            picks,
            picks_per_unit,
            picks * cloth.pick * _weight(tex),
            firm_part(per_inch(picks), working_range(limit, article.firmness)),
            floats,
            lasting(article, one.name, floats),
            self._in_time(cloth, picks),
        )

    def _needs(self, warped: _Warped, other: Thread, weft: _Weft) -> dict[int, list[float]]:
        """Return for each supply the grams used once and the grams for each woven cm."""
        needs = {
            place: [share * warped.cloth.fixed, share * warped.cloth.per_cm]
            for place, share in warped.thread.shares
        }
        for place, share in other.shares:
            needs.setdefault(place, [0.0, 0.0])[1] += share * weft.per_cm
        return needs

    def _reach(self, warped: _Warped, other: Thread, weft: _Weft) -> float:
        """Return the woven length that the yarn allows [cm]."""
        return min(
            warped.reach,
            *(
                _allowed(self.on_hand[place].mass, once, each)
                for place, (once, each) in self._needs(warped, other, weft).items()
            ),
        )

    def _short(self, warped: _Warped, other: Thread, weft: _Weft, pieces: int) -> dict[int, float]:
        """Return the grams of each supply that so many pieces would want more."""
        woven = self._used(warped.cloth, pieces)[0]
        return {
            place: lacking
            for place, (once, each) in self._needs(warped, other, weft).items()
            if (lacking := once + each * woven - self.on_hand[place].mass) > ROUNDING
        }

    def _left(self, thread: Thread, other: Thread, warp_used: float, weft_used: float) -> float:
        """Return the share used of the cones: of all, where warp and weft come off the same."""
        if not {place for place, _ in thread.shares} & {place for place, _ in other.shares}:
            return (self._share(thread, warp_used) + self._share(other, weft_used)) / 2
        used: dict[int, float] = {}
        for one, grams in ((thread, warp_used), (other, weft_used)):
            for place, share in one.shares:
                used[place] = used.get(place, 0.0) + share * grams
        parts = [grams / self.on_hand[place].mass for place, grams in used.items()]
        return sum(parts) / len(parts)

    def _project(
        self, cloth: _Cloth, other: Thread, picks_per_unit: int, pieces: int
    ) -> Mapping[str, Figure]:
        article, repeat = cloth.article, cloth.weave.ends
        return {
            **self.known,
            "finished_width": article.width,
            "finished_length": article.length,
            "hem": article.hem,
            "pieces": pieces,
            "warp_tex": cloth.yarn.tex,
            "weft_tex": other.yarn.tex,
            "reed_sett": cloth.setting.sett,
            "ends_per_unit": cloth.ends_per_unit,
            "picks_per_unit": picks_per_unit,
            "ground_shafts": repeat * (self.loom.ground_shafts // repeat),
        }

    def _keep(self, found: Found) -> None:
        mine = self.best.setdefault(found.article.name, [])
        mine.append(found)
        mine.sort(key=lambda one: -one.score)
        del mine[self.wishes.each :]
        placed = sorted((one.score for those in self.best.values() for one in those), reverse=True)
        if len(placed) >= self.wishes.places:
            self._bar = placed[self.wishes.places - 1]


@cache
def _weight(tex: float) -> float:
    """Return the mass of a centimetre of yarn [g]."""
    return mass_of(1, tex)


@cache
def _most_ends(tex: float, weft_tex: float, one: Weave, firm: bool) -> float:
    return maximum_sett(tex, one, weft_tex, firm)


@cache
def _most_picks(weft_tex: float, tex: float, one: Weave, firm: bool) -> float:
    return ashenhurst_limit(weft_tex, one.picks, max(one.intersections_of_ends), firm, tex)


def _firm(yarn: Yarn) -> bool:
    return yarn.system not in SOFT_SYSTEMS


def _inside(sett: float, limit: float, firmness: str) -> bool:
    working = working_range(limit, firmness)
    return working.low * (1 - ROUNDING) <= sett <= working.high * (1 + ROUNDING)


def _grain(washed: float) -> str:
    return "fine" if washed >= FINE else "bold" if washed < BOLD else "middle"


def _nearest_repeats(wanted: float) -> int:
    """Return the whole number of repeats, at least one, that is nearest in proportion."""
    below = max(1, floor(wanted))
    return below if wanted / below <= (below + 1) / wanted else below + 1


__all__ = ["Found", "Near", "Search", "Supply", "Thread", "Wishes", "fits", "supplies", "threads"]
