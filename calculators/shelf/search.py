"""From cones and a loom to ranked projects: a best-first search that proves what it leaves out.

A project is an article, a weave, a warp and a weft. Every article in every weave has a score that
none of its projects can pass, and so it has again on each warp with wefts of about one size. The
search always opens the most promising one, and is done when nothing unopened can pass the last
place in the ranking. Its time grows at worst with articles × weaves × warps × wefts, that is with
the square of the cones; as a rule a small part of that is opened.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from heapq import heappop, heappush
from itertools import count
from math import floor, sqrt

from calculators.cloth import size
from calculators.loom import warp as warps
from calculators.loom import weft as wefts
from calculators.plan.example import NAPKINS
from calculators.plan.plan import ClothPlan, Project, plan
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.denting import Denting
from calculators.sett.rules import ashenhurst_limit, maximum_sett
from calculators.sett.working import working_range
from calculators.shelf.cones import Cone, Loom
from calculators.shelf.orders import Orders
from calculators.shelf.suits import (
    PARTS,
    UNKNOWN,
    UNLISTED,
    WEIGHTS,
    Article,
    articles,
    contrast_part,
    firm_part,
    score,
    use_part,
    washing,
)
from calculators.shelf.threads import Supply, Thread, supplies, threads
from calculators.weave.library import WEAVES, weave
from calculators.weave.matrix import Weave
from calculators.yarn.yarn import Yarn, mass_of

MOST_PIECES = 500
ROUNDING = 1e-9
FINE, BOLD = 18.0, 9.0  # ends per cm of the washed cloth
SOFT_SYSTEMS = ("woollen_run", "woollen_cut", "yorkshire_skein", "galashiels")  # as the sett room


@dataclass(frozen=True)
class Wishes:
    """What the weaver would like, and the plan's own figures behind it."""

    base: Project = NAPKINS
    reserve: float = 0.03
    articles: tuple[str, ...] = ()  # names or groups; all when empty
    weaves: tuple[str, ...] = ()
    hours: float | None = None
    grain: str = "any"  # fine, middle or bold
    weights: Mapping[str, float] = field(default_factory=lambda: dict(WEIGHTS))
    places: int = 8
    each: int = 1  # places that one article may take


@dataclass(frozen=True)
class Found:
    """A project that fits, and what speaks for it."""

    article: Article
    weave: Weave
    warp: Thread
    weft: Thread
    denting: Denting
    project: Project
    parts: Mapping[str, float]
    score: float
    short: Mapping[int, float]  # g of each supply that a whole set would want more


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


@dataclass(slots=True)
class _Job:
    """What an article asks of any warp and weft, at the losses that count [cm]."""

    width: float  # on the loom
    pick: float  # a pick with its turn, at the high losses
    piece: float  # on the loom, at the high losses
    likely: float  # on the loom, at the likely ones
    beam: float | None = None  # woven length that the beam allows, for the pieces at the high ones


@dataclass(slots=True)
class _Setting:
    """Sett and reed for a warp and wefts of about one size in one weave at one firmness."""

    denting: Denting
    sett: float
    cloth: float
    washed: float


@dataclass(slots=True)
class _Warped:
    """An article in a weave on a warp, set for wefts of about one size."""

    article: Article
    job: _Job
    weave: Weave
    thread: Thread
    setting: _Setting
    ends_per_unit: int
    reach: float  # cm that warp, loom, beam and time allow
    per_cm: float  # g of warp for each woven cm
    fixed: float  # g of warp in the waste
    unit: float


@dataclass(slots=True)
class _Weft:
    """Picks [1/cm], their number in a unit, g for each woven cm, and how firm they lie."""

    picks: float
    picks_per_unit: int
    per_cm: float
    firm: float


_Node = tuple[float, int, Article, Weave, _Warped | None, _Company | None]


def fits(found: Found, on_hand: tuple[Supply, ...], loom: Loom) -> ClothPlan | None:
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
    project, done = found.project, plan(found.project)
    used = [0.0] * len(on_hand)
    for thread, mass in ((found.warp, done.warp_yarn_mass), (found.weft, done.weft_yarn_mass)):
        for place, share in thread.shares:
            used[place] += share * mass.high
    enough = all(
        grams <= there.mass * (1 + ROUNDING) for grams, there in zip(used, on_hand, strict=True)
    )
    warp, weft, firm = project.warp_yarn, project.weft_yarn, _firm(project.warp_yarn)
    held = (
        done.warp_width_in_reed <= loom.width
        and done.pattern_heddles <= (loom.pattern_heddles or done.pattern_heddles)
        and found.weave.ends <= loom.ground_shafts
        and done.warp_length <= (loom.longest or done.warp_length)
        and _inside(
            per_inch(project.sett),
            _most_ends(warp.tex, weft.tex, found.weave, firm),
            found.article.firmness,
        )
        and per_inch(done.picks) <= _most_picks(weft.tex, warp.tex, found.weave, firm)
    )
    return done if enough and held else None


class Search:
    """One search: ``steps`` works on it in small pieces, ``ranked`` is what was found so far."""

    def __init__(self, cones: Iterable[Cone], loom: Loom, wishes: Wishes) -> None:
        """Take the question; nothing is searched yet."""
        self.loom, self.wishes = loom, wishes
        self.base = replace(wishes.base, loom_waste=loom.waste)
        self.on_hand = supplies(cones, wishes.reserve)
        self.warps = threads(self.on_hand, striped=True)
        self.wefts = threads(self.on_hand, striped=False)
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
        self._worth = {name: 100 * wishes.weights[name] / total for name in PARTS}
        self._shows = {one.name: one.face != "both alike" for one in self.weaves}
        self._floats = {one.name: one.longest_float for one in self.weaves}
        self._reeds = Orders(loom.reeds)
        self._settings: dict[tuple[str, str, float, bool, float], _Setting | None] = {}
        self._contrasts: dict[tuple[tuple[str, ...], str], float] = {}
        self._companies = [(thread, self._sizes(thread)) for thread in self.warps]
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
                bound = self._at_most(use=_structure(article, one), contrast=contrast)
                heappush(heap, (-bound, next(serial), article, one, None, None))
        while heap:
            bound, _, article, one, warped, company = heappop(heap)
            if -bound <= self._bar:
                break
            if self._hopeless(-bound, article):
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
                    hopeless = self._hopeless(top, article)
                    if not hopeless and article.name in self.best:
                        heappush(heap, (-top, next(serial), article, one, ready, those))
                        continue
                    if not hopeless:
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
                    weft = self._weft(warped, other)
                    short = self._short(warped, other, weft, 1) if weft else {}
                    if short and (least is None or sum(short.values()) < least.grams):
                        least = Near(article, warped.weave, warped.thread, other, short)
            found += [least] if least else []
        return sorted(found, key=lambda one: one.grams)[:most]

    def _poor(self, article: Article) -> list[tuple[float, _Warped, _Company]]:
        """Return the warps that the loom can take, with the grams one piece would lack of each."""
        found = []
        for one in self.weaves:
            singles = self._companies[: len(self.on_hand)]
            for thread, sizes in singles if one.name in article.structures else ():
                for about, companies in sizes.items():
                    warped = self._warp(article, one, thread, about)
                    if warped is None:
                        continue
                    grams = self._used(warped, 1)[1]
                    lacking = sum(
                        max(0.0, share * grams - self.on_hand[place].mass)
                        for place, share in thread.shares
                    )
                    found += [(lacking, warped, company) for company in companies]
        return found

    # What no project can pass ---------------------------------------------------------------------

    def _at_most(self, **known: float) -> float:
        """Return the score with these parts and full marks for the others (F-120)."""
        lost = sum(self._worth[name] * (1 - part) for name, part in known.items())
        return 100 - lost + ROUNDING

    def _hopeless(self, bound: float, article: Article) -> bool:
        mine = self.best.get(article.name, [])
        full = len(mine) >= self.wishes.each
        return bound <= self._bar or (full and bound <= mine[-1].score)

    def _ready(self, article: Article, one: Weave) -> list[tuple[float, _Warped, _Company]]:
        """Return every warp that will do, for each company of wefts, and what no weft can pass."""
        found = []
        for thread, sizes in self._companies:
            use = _structure(article, one) * washing(article.heat, thread.fibre)
            for about, companies in sizes.items():
                hopeful = [
                    company
                    for company in companies
                    if not self._hopeless(
                        self._at_most(use=use, contrast=self._seen(company, one)), article
                    )
                ]
                warped = self._warp(article, one, thread, about) if hopeful else None
                pieces = self._pieces(warped, warped.reach) if warped else 0
                if warped is None or not pieces:
                    self.settled += sum(len(company.wefts) for company in companies)
                    continue
                for company in companies:
                    if company in hopeful:
                        found.append((self._top(warped, company, pieces), warped, company))
                    else:
                        self.settled += len(company.wefts)
        return found

    def _top(self, warped: _Warped, company: _Company, pieces: int) -> float:
        """Return a score that no weft of a company can pass on this warp."""
        used = self._used(warped, pieces)[1]
        floats = self._floats[warped.weave.name][1] / warped.setting.washed
        fibres = (warped.thread.fibre,)
        return self._at_most(
            set=min(1.0, pieces / warped.article.set),
            use=use_part(warped.article, warped.weave.name, floats, fibres),
            unit=warped.unit,
            contrast=self._seen(company, warped.weave),
            left=1.0 if company.same else (1 + self._share(warped.thread, used)) / 2,
        )

    def _seen(self, company: _Company, one: Weave) -> float:
        return company.contrast if self._shows[one.name] else UNKNOWN

    # The warp -------------------------------------------------------------------------------------

    def _sizes(self, thread: Thread) -> dict[float, list[_Company]]:
        """Part the wefts by size against a warp, and those of its own cones from the others."""
        mine = {place for place, _ in thread.shares}
        parts: dict[float, dict[bool, list[Thread]]] = {}
        for other in sorted(self.wefts, key=lambda other: -other.yarn.tex):
            ratio = other.yarn.tex / thread.yarn.tex
            about = 0.5 if ratio < sqrt(0.5) else 1.0 if ratio <= sqrt(2) else 2.0
            same = other.shares[0][0] in mine
            parts.setdefault(about * thread.yarn.tex, {}).setdefault(same, []).append(other)
        return {
            about: [
                _Company(same, those, max(self._contrast(thread, other) for other in those))
                for same, those in sides.items()
            ]
            for about, sides in parts.items()
        }

    def _job(self, article: Article) -> _Job:
        base = self.base
        sw, sl = base.width_shrinkage, base.length_shrinkage
        wide = size.reed_width(size.loom_width(article.width, sw.high), base.draw_in.high)
        turn = wefts.turn_allowance(base.turn_share, wide) + base.turn_length
        job = _Job(
            size.loom_width(article.width, sw.likely),
            wefts.weft_length(1, wide, turn),
            size.piece_on_loom(article.length, article.hem, sl.high),
            size.piece_on_loom(article.length, article.hem, sl.likely),
        )
        if self.loom.longest is not None:
            longest = (self.loom.longest - base.loom_waste) / (1 + base.take_up.likely)
            job.beam = self._as_high(job, longest)
        return job

    def _setting(self, firmness: str, one: Weave, yarn: Yarn, weft_tex: float) -> _Setting | None:
        key = (firmness, one.name, yarn.tex, _firm(yarn), weft_tex)
        if key not in self._settings:
            limit = maximum_sett(yarn.tex, one, weft_tex, _firm(yarn))
            order = self._reeds.best(working_range(limit, firmness), one.ends)
            if order is None:
                self._settings[key] = None
            else:
                sett = per_cm(order.sett)
                cloth = size.cloth_sett(sett, self.base.draw_in.likely)
                washed = size.cloth_sett(cloth, self.base.width_shrinkage.likely)
                self._settings[key] = _Setting(order, sett, cloth, washed)
        return self._settings[key]

    def _warp(self, article: Article, one: Weave, thread: Thread, about: float) -> _Warped | None:
        """Work out all that needs no weft but its rough size; None where the loom will not do."""
        base, loom, job = self.base, self.loom, self._jobs[article.name]
        setting = self._setting(article.firmness, one, thread.yarn, about)
        if setting is None or self.wishes.grain not in ("any", _grain(setting.washed)):
            return None
        in_unit = article.unit * setting.washed
        ends_per_unit = one.ends * _nearest_repeats(in_unit / one.ends)
        units = size.units_across(job.width, setting.cloth, ends_per_unit)
        if loom.pattern_heddles is not None and units > loom.pattern_heddles:
            return None
        ends = size.ends(units, ends_per_unit, base.selvedge_ends)
        if ends / setting.sett > loom.width:
            return None
        grams = _weight(thread.yarn.tex)
        per_woven_cm = warps.warp_yarn(ends, 1 + base.take_up.high) * grams
        fixed = ends * base.loom_waste * grams
        reach = min(
            (self.on_hand[place].mass / share - fixed) / per_woven_cm
            for place, share in thread.shares
        )
        if job.beam is not None:
            reach = min(reach, job.beam)
        unit = in_unit / ends_per_unit
        return _Warped(
            article, job, one, thread, setting, ends_per_unit, reach, per_woven_cm, fixed,
            min(unit, 1 / unit),
        )  # fmt: skip

    def _as_high(self, job: _Job, likely: float) -> float:
        """Return the length at the high losses for the pieces in a length at the likely ones [cm].

        Beam and hours are planned at the likely losses, yarn at the high ones.
        """
        base = self.base
        pieces = warps.pieces_possible(max(0.0, likely), job.likely, base.gap, base.sample)
        return warps.woven_length(pieces, job.piece, base.gap, base.sample) if pieces else 0.0

    def _pieces(self, warped: _Warped, woven: float) -> int:
        if woven <= 0:
            return 0
        found = warps.pieces_possible(woven, warped.job.piece, self.base.gap, self.base.sample)
        return min(found, MOST_PIECES)

    def _used(self, warped: _Warped, pieces: int) -> tuple[float, float]:
        """Return woven length at the losses' high end, and the warp yarn for it [cm, g]."""
        woven = warps.woven_length(pieces, warped.job.piece, self.base.gap, self.base.sample)
        return woven, warped.fixed + warped.per_cm * woven

    def _share(self, thread: Thread, grams: float) -> float:
        parts = [share * grams / self.on_hand[place].mass for place, share in thread.shares]
        return sum(parts) / len(parts)

    def _contrast(self, thread: Thread, other: Thread) -> float:
        key = (thread.colours, other.colours[0])
        if key not in self._contrasts:
            self._contrasts[key] = contrast_part(thread.colours, other.colours[0], True)
        return self._contrasts[key]

    # The weft -------------------------------------------------------------------------------------

    def _open(self, warped: _Warped, company: _Company) -> None:
        """Try every weft of a company on its warp."""
        article, one, thread = warped.article, warped.weave, warped.thread
        shows, (warp_float, weft_float) = self._shows[one.name], self._floats[one.name]
        for other in company.wefts:
            weft = self._weft(warped, other)
            if weft is None:
                continue
            reach = self._reach(warped, other, weft)
            if self.wishes.hours is not None:
                minutes = self.wishes.hours * 60
                likely = minutes * self.base.picks_per_minute / weft.picks
                in_time = self._as_high(warped.job, likely)
                if not in_time:
                    break  # every finer weft wants as many picks or more
                reach = min(reach, in_time)
            pieces = self._pieces(warped, reach)
            if not pieces:
                continue
            woven, warp_used = self._used(warped, pieces)
            picks_washed = size.cloth_sett(weft.picks, self.base.length_shrinkage.likely)
            floats = max(weft_float / warped.setting.washed, warp_float / picks_washed)
            parts = {
                "set": min(1.0, pieces / article.set),
                "use": use_part(article, one.name, floats, (thread.fibre, other.fibre)),
                "firm": weft.firm,
                "unit": warped.unit,
                "contrast": self._contrast(thread, other) if shows else UNKNOWN,
                "left": self._left(thread, other, warp_used, weft.per_cm * woven),
            }
            total = score(parts, self.wishes.weights)
            if not self._hopeless(total, article):
                short = self._short(warped, other, weft, max(pieces, article.set))
                project = self._project(warped, other, weft.picks_per_unit, pieces)
                denting = warped.setting.denting
                self._keep(
                    Found(article, one, thread, other, denting, project, parts, total, short)
                )

    def _weft(self, warped: _Warped, other: Thread) -> _Weft | None:
        """Work out picks and yarn of a weft; None where sett or picks do not suit the pair."""
        base, one, setting = self.base, warped.weave, warped.setting
        yarn, firmness = warped.thread.yarn, warped.article.firmness
        firm, ends = _firm(yarn), warped.ends_per_unit
        most = _most_ends(yarn.tex, other.yarn.tex, one, firm)
        if not _inside(setting.denting.sett, most, firmness):
            return None
        limit = _most_picks(other.yarn.tex, yarn.tex, one, firm)
        working = working_range(limit, firmness)
        sw, sl = base.width_shrinkage.likely, base.length_shrinkage.likely
        row = size.picks_for_square(ends, 1, setting.cloth, sw, sl)  # with one pick in a unit
        picks_per_unit = max(1, round(per_cm(working.likely) / row))
        picks = size.picks_for_square(ends, picks_per_unit, setting.cloth, sw, sl)
        if per_inch(picks) > limit:
            return None
        grams = picks * warped.job.pick * _weight(other.yarn.tex)
        return _Weft(picks, picks_per_unit, grams, firm_part(per_inch(picks), working))

    def _needs(self, warped: _Warped, other: Thread, weft: _Weft) -> dict[int, list[float]]:
        """Return for each supply the grams used once and the grams for each woven cm."""
        needs = {
            place: [share * warped.fixed, share * warped.per_cm]
            for place, share in warped.thread.shares
        }
        for place, share in other.shares:
            needs.setdefault(place, [0.0, 0.0])[1] += share * weft.per_cm
        return needs

    def _reach(self, warped: _Warped, other: Thread, weft: _Weft) -> float:
        """Return the woven length that yarn, loom and beam allow: the least of them [cm]."""
        return min(
            warped.reach,
            *(
                (self.on_hand[place].mass - once) / each
                for place, (once, each) in self._needs(warped, other, weft).items()
            ),
        )

    def _short(self, warped: _Warped, other: Thread, weft: _Weft, pieces: int) -> dict[int, float]:
        """Return the grams of each supply that so many pieces would want more."""
        woven = self._used(warped, pieces)[0]
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

    def _project(self, warped: _Warped, other: Thread, picks_per_unit: int, pieces: int) -> Project:
        article, repeat = warped.article, warped.weave.ends
        return replace(
            self.base,
            finished_width=article.width, finished_length=article.length, hem=article.hem,
            pieces=pieces, warp_yarn=warped.thread.yarn, weft_yarn=other.yarn, weave=warped.weave,
            sett=warped.setting.sett, picks=None, ends_per_unit=warped.ends_per_unit,
            picks_per_unit=picks_per_unit,
            ground_shafts=repeat * (self.loom.ground_shafts // repeat),
        )  # fmt: skip

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


def _structure(article: Article, one: Weave) -> float:
    return 1.0 if one.name in article.structures else UNLISTED


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
