"""From cones and a loom to ranked projects: a best-first search that proves what it leaves out.

A project is an article, a weave, a warp and a weft. Every article in every weave has a score that
none of its projects can pass, and so has it again once the warp is known. The search always opens
the most promising one, and is done when nothing unopened can pass the last place in the ranking.
Its time grows at worst with articles × weaves × warps × wefts, that is with the square of the
cones; as a rule a few hundredths of that are opened.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from heapq import heappop, heappush
from itertools import count
from math import ceil, floor, gcd

from calculators.cloth import size
from calculators.loom import warp as warps
from calculators.loom import weft as wefts
from calculators.plan.example import NAPKINS
from calculators.plan.plan import ClothPlan, Project, plan
from calculators.quantities.interval import Range
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.denting import (
    FULLEST_DENT,
    LONGEST_ORDER,
    NEAR_ENOUGH,
    Denting,
    denting_sett,
    even_order,
    reed_marks,
    units_on_whole_dents,
)
from calculators.sett.rules import ashenhurst_limit
from calculators.sett.working import working_range
from calculators.shelf.cones import Cone, Loom
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
)
from calculators.weave.library import WEAVES, weave
from calculators.weave.matrix import Weave
from calculators.yarn.yarn import Yarn, mass_of, parse_yarn

LIKE_SIZE = 0.05  # yarns within this share of each other's tex may lie side by side in a warp
MOST_STRIPES = 300
MOST_PIECES = 500
ROUNDING = 1e-9
FINE, BOLD = 18.0, 9.0  # ends per cm of the washed cloth


@dataclass(frozen=True)
class Supply:
    """One yarn on hand: a cone, or several that are alike."""

    name: str
    yarn: Yarn
    fibre: str
    colour: str
    mass: float  # g that may be used


@dataclass(frozen=True)
class Thread:
    """What goes in as one end or one pick: a yarn, a doubled one, or two in stripes.

    ``shares`` says which part of its mass comes from which supply.
    """

    words: str
    yarn: Yarn
    shares: tuple[tuple[int, float], ...]
    fibre: str
    colours: tuple[str, ...]


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


@dataclass(frozen=True, slots=True)
class _Setting:
    """Sett, reed and room for one yarn in one weave at one firmness."""

    denting: Denting
    sett: float
    cloth_sett: float
    working: Range


@dataclass(frozen=True, slots=True)
class _Weft:
    """Picks [1/cm], their number in a unit, and g for each woven cm."""

    picks: float
    picks_per_unit: int
    per_cm: float
    firm: float


@dataclass(frozen=True, slots=True)
class _Warped:
    """An article in a weave on a warp: all that does not depend on the weft."""

    article: Article
    weave: Weave
    thread: Thread
    setting: _Setting
    ends_per_unit: int
    ends: int
    reach: float  # cm that warp, loom and beam allow
    per_cm: float  # g of warp for each woven cm
    fixed: float  # g of warp in the waste
    piece: float
    firm: float
    unit: float


def supplies(cones: Iterable[Cone], reserve: float) -> tuple[Supply, ...]:
    r"""Yarn on hand, cones of one yarn and one known colour counted together.

    Equation: usable = Σ (gross − empty) × (1 − reserve)   (F-19, F-84)
    Parameters:
        cones [cones]: as they stand
        reserve [fraction]: kept back for knots, winding and the scale
    Returns:
        [supplies] in the order of their first cones
    Validity: cones whose colour nobody gave are never counted together.
    Errors: none.

    Example:
        >>> from calculators.shelf.cones import read_shelf
        >>> shelf = read_shelf("A; 16/2; 100 g; white\nB; 16/2; 60 g; white\nC; 16/2; 60 g")
        >>> [(one.name, one.mass) for one in supplies(shelf.cones, 0.0)]
        [('A + B', 160.0), ('C', 60.0)]

    Source: definition.
    """
    alike: dict[object, list[Cone]] = {}
    for cone in cones:
        key = (round(cone.yarn.tex, 6), cone.fibre, cone.colour) if cone.colour else cone.name
        alike.setdefault(key, []).append(cone)
    return tuple(
        Supply(
            " + ".join(cone.name for cone in those),
            those[0].yarn,
            those[0].fibre,
            those[0].colour,
            sum(cone.net for cone in those) * (1 - reserve),
        )
        for those in alike.values()
    )


def threads(on_hand: tuple[Supply, ...], striped: bool) -> tuple[Thread, ...]:
    r"""Every thread the shelf can make: each yarn, each doubled, and two in stripes.

    Equation: tex of a doubled yarn = 2 tex
    Parameters:
        on_hand [supplies]: what there is
        striped [yes or no]: whether two yarns of like size may share, as in a warp
    Returns:
        [threads] of two in stripes the thicker one's size is used, to be on the safe side
    Validity: stripes of one fibre, within 5 % in size, of two known colours; at most 300 of them.
    Errors: none.

    Example:
        >>> from calculators.shelf.cones import read_shelf
        >>> shelf = read_shelf("A; 16/2; 100 g; white\nB; 16/2; 60 g; navy")
        >>> [one.words for one in threads(supplies(shelf.cones, 0.0), True)][2:]
        ['A doubled', 'B doubled', 'A and B in stripes']

    Source: definition; what is of like size is common practice, no source.
    """
    known = list(enumerate(on_hand))
    made = [
        Thread(one.name, one.yarn, ((place, 1.0),), one.fibre, (one.colour,))
        for place, one in known
    ]
    made += [
        Thread(f"{one.name} doubled", doubled, ((place, 1.0),), one.fibre, (one.colour,))
        for place, one in known
        if (doubled := _doubled(one.yarn)) is not None
    ]
    if striped:
        pairs = [
            (a, b)
            for a, one in known
            for b, other in known[a + 1 :]
            if one.fibre == other.fibre and one.colour != other.colour
            and one.colour and other.colour
            and abs(one.yarn.tex / other.yarn.tex - 1) <= LIKE_SIZE
        ]  # fmt: skip
        pairs.sort(key=lambda pair: -min(on_hand[place].mass for place in pair))
        made += [_striped(on_hand, *pair) for pair in pairs[:MOST_STRIPES]]
    return tuple(made)


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
    limit = working_range(
        ashenhurst_limit(project.warp_yarn.tex, found.weave.ends, found.weave.tightest_pick),
        found.article.firmness,
    )
    held = (
        done.warp_width_in_reed <= loom.width
        and done.pattern_heddles <= (loom.pattern_heddles or done.pattern_heddles)
        and found.weave.ends <= loom.ground_shafts
        and done.warp_length <= (loom.longest or done.warp_length)
        and limit.low <= per_inch(project.sett) * (1 + ROUNDING)
        and per_inch(project.sett) <= limit.high * (1 + ROUNDING)
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
        self._settings: dict[tuple[str, str, float], _Setting | None] = {}
        self._reeds = _Orders(loom.reeds)
        self._contrasts: dict[tuple[tuple[str, ...], str], float] = {}
        self._picks: dict[tuple[str, str], list[tuple[float, Thread]]] = {}
        self._best_contrasts: dict[tuple[tuple[int, ...], bool], float] = {}

    @property
    def ranked(self) -> list[Found]:
        """The projects found, the best first."""
        everything = sorted(
            (one for those in self.best.values() for one in those), key=lambda one: -one.score
        )
        return everything[: self.wishes.places]

    def steps(self) -> Iterator[None]:
        """Search; stop where you like, what is found by then stands in ``ranked``."""
        serial = count()
        heap: list[tuple[float, int, Article, Weave, _Warped | None, bool]] = []
        for article in self.articles:
            for one in self.weaves:
                known = {"set": 1.0, "use": 1.0 if one.name in article.structures else UNLISTED,
                         "contrast": 1.0 if _shows(one) else UNKNOWN}  # fmt: skip
                heappush(heap, (-self._at_most(known), next(serial), article, one, None, False))
        while heap:
            bound, _, article, one, warped, same = heappop(heap)
            if -bound <= self._bar:
                break
            if warped is not None:
                if not self._hopeless(-bound, article):
                    self._open(warped, same)
                self.settled += self._wefts_of(warped.thread, same)
            elif self._hopeless(-bound, article):
                self.settled += len(self.warps) * len(self.wefts)
            else:
                # The most promising warp is tried at once: a first result, and a bar for the rest.
                for top, ready, shared in sorted(
                    self._warped(article, one), key=lambda node: -node[0]
                ):
                    if self._hopeless(top, article):
                        self.settled += self._wefts_of(ready.thread, shared)
                    elif article.name not in self.best:
                        self._open(ready, shared)
                        self.settled += self._wefts_of(ready.thread, shared)
                    else:
                        heappush(heap, (-top, next(serial), article, one, ready, shared))
            yield
        self.settled = self.pairs

    def _warped(self, article: Article, one: Weave) -> Iterator[tuple[float, _Warped, bool]]:
        """Yield every warp that will do, once with its own cones as weft and once with others."""
        for thread in self.warps:
            ready = self._warp(article, one, thread)
            if ready is None:
                self.settled += len(self.wefts)
            else:
                yield self._top(ready, False), ready, False
                yield self._top(ready, True), ready, True

    def _wefts_of(self, thread: Thread, same: bool) -> int:
        own = 2 * len(thread.shares)
        return own if same else len(self.wefts) - own

    def _at_most(self, known: Mapping[str, float]) -> float:
        return score({name: known.get(name, 1.0) for name in PARTS}, self.wishes.weights) + ROUNDING

    def _hopeless(self, bound: float, article: Article) -> bool:
        mine = self.best.get(article.name, [])
        full = len(mine) >= self.wishes.each
        return bound <= self._bar or (full and bound <= mine[-1].score)

    def near(self, most: int = 3) -> list[Near]:
        """Return articles that only want of yarn keeps out, those with the least wanting first."""
        found = []
        for article in self.articles:
            if article.name in self.best or self._warpable(article):
                continue
            least: Near | None = None
            for lacking, warped in sorted(self._poor(article), key=lambda pair: pair[0]):
                if least is not None and lacking >= least.grams:
                    break
                for other in self.wefts[: len(self.on_hand)]:
                    weft = self._weft(warped, other)
                    short = self._short(warped, other, weft, 1) if weft else {}
                    if short and (least is None or sum(short.values()) < least.grams):
                        least = Near(article, warped.weave, warped.thread, other, short)
            found += [least] if least else []
        return sorted(found, key=lambda one: one.grams)[:most]

    def _warpable(self, article: Article) -> bool:
        return any(
            self._warp(article, one, thread)
            for one in self.weaves
            if one.name in article.structures
            for thread in self.warps
        )

    def _poor(self, article: Article) -> Iterator[tuple[float, _Warped]]:
        for one in self.weaves:
            for thread in self.warps[: len(self.on_hand)] if one.name in article.structures else ():
                warped = self._warp(article, one, thread, poor=True)
                if warped is not None:
                    grams = self._used(warped, 1)[1] - self.on_hand[thread.shares[0][0]].mass
                    yield max(0.0, grams), warped

    # The warp -------------------------------------------------------------------------------------

    def _setting(self, article: Article, one: Weave, yarn: Yarn) -> _Setting | None:
        key = (article.firmness, one.name, yarn.tex)
        if key not in self._settings:
            limit = ashenhurst_limit(yarn.tex, one.ends, one.tightest_pick)
            working = working_range(limit, article.firmness)
            order, made = self._reeds.best(working, one.ends), None
            if order is not None:
                sett = per_cm(order.sett)
                cloth = size.cloth_sett(sett, self.base.draw_in.likely)
                made = _Setting(order, sett, cloth, working)
            self._settings[key] = made
        return self._settings[key]

    def _warp(
        self, article: Article, one: Weave, thread: Thread, poor: bool = False
    ) -> _Warped | None:
        """Work out all that needs no weft; None where the loom, or unless poor the yarn, fails."""
        base, setting = self.base, self._setting(article, one, thread.yarn)
        if setting is None or not _grain(self.wishes.grain, setting, base):
            return None
        in_unit = article.unit * setting.cloth_sett / (1 - base.width_shrinkage.likely)
        ends_per_unit = one.ends * _nearest_repeats(in_unit / one.ends)
        width = _loom_width(article.width, base.width_shrinkage.likely)
        units = size.units_across(width, setting.cloth_sett, ends_per_unit)
        heddles = self.loom.pattern_heddles
        if units < 1 or (heddles is not None and units > heddles):
            return None
        ends = size.ends(units, ends_per_unit, base.selvedge_ends)
        if ends / setting.sett > self.loom.width:
            return None
        one_cm = warps.warp_yarn(ends, 1 + base.take_up.high) * _weight(thread.yarn.tex)
        fixed = ends * base.loom_waste * _weight(thread.yarn.tex)
        reach = min(
            (self.on_hand[place].mass / share - fixed) / one_cm for place, share in thread.shares
        )
        piece = _piece(article.length, article.hem, base.length_shrinkage.high)
        unit = in_unit / ends_per_unit
        warped = _Warped(
            article, one, thread, setting, ends_per_unit, ends, reach, one_cm, fixed, piece,
            firm_part(setting.denting.sett, setting.working), min(unit, 1 / unit),
        )  # fmt: skip
        if self.loom.longest is not None:
            longest = (self.loom.longest - base.loom_waste) / (1 + base.take_up.likely)
            warped = replace(warped, reach=min(reach, self._as_high(warped, longest)))
        if self.wishes.hours is not None:
            row = self._square(warped) / ends_per_unit  # of one pick in a unit
            fewest = max(row, self._by_picks(warped)[0][0] - row / 2)
            warped = replace(warped, reach=min(warped.reach, self._in_time(warped, fewest)))
        return warped if poor or self._pieces(warped, warped.reach) else None

    def _by_picks(self, warped: _Warped) -> list[tuple[float, Thread]]:
        """Return the wefts by the picks they want [1/cm], the fewest first."""
        key = (warped.article.firmness, warped.weave.name)
        if key not in self._picks:
            limits = ((_weft_limit(other.yarn.tex, warped.weave), other) for other in self.wefts)
            self._picks[key] = sorted(
                ((per_cm(working_range(limit, key[0]).likely), other) for limit, other in limits),
                key=lambda pair: pair[0],
            )
        return self._picks[key]

    def _square(self, warped: _Warped) -> float:
        """Return the picks that are square when a unit has as many picks as ends [1/cm]."""
        ends, cloth = warped.ends_per_unit, warped.setting.cloth_sett
        sw, sl = self.base.width_shrinkage.likely, self.base.length_shrinkage.likely
        return size.picks_for_square(ends, ends, cloth, sw, sl)

    def _pieces(self, warped: _Warped, woven: float) -> int:
        if woven <= 0:
            return 0
        found = warps.pieces_possible(woven, warped.piece, self.base.gap, self.base.sample)
        return min(found, MOST_PIECES)

    def _used(self, warped: _Warped, pieces: int) -> tuple[float, float]:
        """Return woven length at the losses' high end, and the warp yarn for it [cm, g]."""
        woven = warps.woven_length(pieces, warped.piece, self.base.gap, self.base.sample)
        return woven, warped.fixed + warped.per_cm * woven

    def _top(self, warped: _Warped, same: bool) -> float:
        """Return a score that no weft can pass on this warp."""
        article, thread = warped.article, warped.thread
        pieces = self._pieces(warped, warped.reach)
        used = self._used(warped, pieces)[1]
        shows = _shows(warped.weave)
        floats = _floats(warped.weave)[1] / self._ends_washed(warped)
        known = {
            "set": min(1.0, pieces / article.set),
            "use": use_part(article, warped.weave.name, floats, (thread.fibre,)),
            "firm": warped.firm,
            "unit": warped.unit,
            "left": 1.0 if same else (1 + self._share(thread, used)) / 2,
        }
        known["contrast"] = self._best_contrast(thread, same) if shows else UNKNOWN
        return self._at_most(known)

    def _ends_washed(self, warped: _Warped) -> float:
        return warped.setting.cloth_sett / (1 - self.base.width_shrinkage.likely)

    def _share(self, thread: Thread, grams: float) -> float:
        parts = [share * grams / self.on_hand[place].mass for place, share in thread.shares]
        return sum(parts) / len(parts)

    def _best_contrast(self, thread: Thread, same: bool) -> float:
        mine = tuple(place for place, _ in thread.shares)
        if (mine, same) not in self._best_contrasts:
            self._best_contrasts[mine, same] = max(
                (
                    self._contrast(thread, other, True)
                    for other in self.wefts
                    if (other.shares[0][0] in mine) == same
                ),
                default=0.0,
            )
        return self._best_contrasts[mine, same]

    def _contrast(self, thread: Thread, other: Thread, shows: bool) -> float:
        if not shows:
            return UNKNOWN
        key = (thread.colours, other.colours[0])
        if key not in self._contrasts:
            self._contrasts[key] = contrast_part(thread.colours, other.colours[0], True)
        return self._contrasts[key]

    # The weft -------------------------------------------------------------------------------------

    def _open(self, warped: _Warped, same: bool) -> None:
        """Try every weft on a warp; ``same`` takes those from the warp's own cones."""
        article, one, thread = warped.article, warped.weave, warped.thread
        mine = {place for place, _ in thread.shares}
        shows, (warp_float, weft_float) = _shows(one), _floats(one)
        for _, other in self._by_picks(warped):
            if (other.shares[0][0] in mine) != same:
                continue
            weft = self._weft(warped, other)
            if weft and self.wishes.hours and not self._in_time(warped, weft.picks):
                break  # every further weft wants as many picks or more
            pieces = self._pieces(warped, self._reach(warped, other, weft)) if weft else 0
            if weft is None or not pieces:
                continue
            woven, warp_used = self._used(warped, pieces)
            floats = max(
                weft_float / self._ends_washed(warped),
                warp_float * (1 - self.base.length_shrinkage.likely) / weft.picks,
            )
            parts = {
                "set": min(1.0, pieces / article.set),
                "use": use_part(article, one.name, floats, (thread.fibre, other.fibre)),
                "firm": min(warped.firm, weft.firm),
                "unit": warped.unit,
                "contrast": self._contrast(thread, other, shows),
                "left": self._left(thread, other, warp_used, weft.per_cm * woven),
            }
            total = score(parts, self.wishes.weights)
            if not self._hopeless(total, article):
                short = self._short(warped, other, weft, article.set)
                self._keep(
                    Found(
                        article, one, thread, other, warped.setting.denting,
                        self._project(warped, other, weft.picks_per_unit, pieces), parts, total,
                        short if pieces < article.set else {},
                    )
                )  # fmt: skip

    def _weft(self, warped: _Warped, other: Thread) -> _Weft | None:
        """Work out picks and yarn of a weft; None where such picks cannot be beaten in."""
        base, one, cloth = self.base, warped.weave, warped.setting.cloth_sett
        sw, sl = base.width_shrinkage, base.length_shrinkage
        limit = _weft_limit(other.yarn.tex, one)
        working = working_range(limit, warped.article.firmness)
        ends = warped.ends_per_unit
        picks_per_unit = max(1, round(ends * per_cm(working.likely) / self._square(warped)))
        picks = size.picks_for_square(ends, picks_per_unit, cloth, sw.likely, sl.likely)
        if per_inch(picks) > limit:
            return None
        width = _reed_width(warped.article.width, sw.high, base.draw_in.high)
        turn = wefts.turn_allowance(base.turn_share, width) + base.turn_length
        per_woven_cm = wefts.weft_length(picks, width, turn) * _weight(other.yarn.tex)
        firm = firm_part(per_inch(picks), working)
        return _Weft(picks, picks_per_unit, per_woven_cm, firm)

    def _needs(
        self, warped: _Warped, other: Thread, weft_per_cm: float
    ) -> list[tuple[int, float, float]]:
        """Return for each supply the grams used once and the grams for each woven cm."""
        needs = {
            place: (share * warped.fixed, share * warped.per_cm)
            for place, share in warped.thread.shares
        }
        for place, share in other.shares:
            once, each = needs.get(place, (0.0, 0.0))
            needs[place] = (once, each + share * weft_per_cm)
        return [(place, once, each) for place, (once, each) in needs.items()]

    def _reach(self, warped: _Warped, other: Thread, weft: _Weft) -> float:
        """Woven length that yarn, loom and time allow: the least of them [cm]."""
        reach = min(
            warped.reach,
            *(
                (self.on_hand[place].mass - once) / each
                for place, once, each in self._needs(warped, other, weft.per_cm)
            ),
        )
        if self.wishes.hours is not None:
            reach = min(reach, self._in_time(warped, weft.picks))
        return reach

    def _in_time(self, warped: _Warped, picks: float) -> float:
        """Return the length at the high losses for the pieces that the hours give [cm]."""
        minutes = (self.wishes.hours or 0) * 60
        return self._as_high(warped, minutes * self.base.picks_per_minute / picks)

    def _as_high(self, warped: _Warped, likely: float) -> float:
        """Return the length at the high losses for the pieces in a length at the likely ones [cm].

        Beam and hours are planned at the likely losses, yarn at the high ones.
        """
        base, article = self.base, warped.article
        piece = _piece(article.length, article.hem, base.length_shrinkage.likely)
        pieces = warps.pieces_possible(max(0.0, likely), piece, base.gap, base.sample)
        return warps.woven_length(pieces, warped.piece, base.gap, base.sample) if pieces else 0.0

    def _left(self, thread: Thread, other: Thread, warp_used: float, weft_used: float) -> float:
        if {place for place, _ in thread.shares} & {place for place, _ in other.shares}:
            used: dict[int, float] = {}
            for one, grams in ((thread, warp_used), (other, weft_used)):
                for place, share in one.shares:
                    used[place] = used.get(place, 0.0) + share * grams
            parts = [grams / self.on_hand[place].mass for place, grams in used.items()]
            return sum(parts) / len(parts)
        return (self._share(thread, warp_used) + self._share(other, weft_used)) / 2

    def _short(self, warped: _Warped, other: Thread, weft: _Weft, pieces: int) -> dict[int, float]:
        """Grams of each supply that so many pieces would want more."""
        woven = self._used(warped, pieces)[0]
        return {
            place: lacking
            for place, once, each in self._needs(warped, other, weft.per_cm)
            if (lacking := once + each * woven - self.on_hand[place].mass) > ROUNDING
        }

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


class _Orders:
    """Every denting of the reeds at hand by its sett, so that the best one is found at once."""

    def __init__(self, reeds: tuple[float, ...]) -> None:
        self.by_sett = sorted(
            (denting_sett(reed, order), reed, order)
            for reed in dict.fromkeys(reeds)
            for dents in range(1, LONGEST_ORDER + 1)
            for ends in range(1, FULLEST_DENT * dents + 1)
            if gcd(ends, dents) == 1
            for order in [even_order(ends, dents)]
        )
        self.setts = [one[0] for one in self.by_sett]

    def best(self, working: Range, unit: int) -> Denting | None:
        """Return the denting nearest the middle, even dents and whole units first; see denting."""
        wanted, found = working.likely, None
        for sett, reed, order in self.by_sett[
            bisect_left(self.setts, working.low) : bisect_right(self.setts, working.high)
        ]:
            if not floor(wanted / reed) <= sum(order) / len(order) <= ceil(wanted / reed):
                continue
            off, marks = round(abs(sett / wanted - 1), 6), reed_marks(order)
            turned = _whole(order, unit)
            key = (off > NEAR_ENOUGH, bool(marks), turned is None, off, len(order), reed)
            if found is None or key < found[0]:
                found = (key, reed, order, turned, sett, marks)
        if found is None:
            return None
        _, reed, order, turned, sett, marks = found
        dents = unit * len(order) / sum(order)
        error = sett / wanted - 1
        return Denting(reed, turned or order, sett, error, dents, turned is not None, marks)


@cache
def _whole(order: tuple[int, ...], unit: int) -> tuple[int, ...] | None:
    turns = (order[place:] + order[:place] for place in range(len(order)))
    return next((turn for turn in turns if units_on_whole_dents(turn, unit)), None)


@cache
def _weight(tex: float) -> float:
    """Return the mass of a centimetre of yarn [g]."""
    return mass_of(1, tex)


@cache
def _weft_limit(tex: float, one: Weave) -> float:
    return ashenhurst_limit(tex, one.picks, max(one.intersections_of_ends))


@cache
def _floats(one: Weave) -> tuple[int, int]:
    return one.longest_float


@cache
def _shows(one: Weave) -> bool:
    """Return whether the face shows one yarn more than the other."""
    return one.face != "both alike"


@cache
def _loom_width(width: float, shrinkage: float) -> float:
    return size.loom_width(width, shrinkage)


@cache
def _reed_width(width: float, shrinkage: float, draw_in: float) -> float:
    return size.reed_width(size.loom_width(width, shrinkage), draw_in)


@cache
def _piece(length: float, hem: float, shrinkage: float) -> float:
    return size.piece_on_loom(length, hem, shrinkage)


def _grain(wanted: str, setting: _Setting, base: Project) -> bool:
    washed = setting.cloth_sett / (1 - base.width_shrinkage.likely)
    found = "fine" if washed >= FINE else "bold" if washed < BOLD else "middle"
    return wanted in ("any", found)


def _nearest_repeats(wanted: float) -> int:
    """Return the whole number of repeats, at least one, that is nearest in proportion."""
    below = max(1, floor(wanted))
    return below if wanted / below <= (below + 1) / wanted else below + 1


def _doubled(yarn: Yarn) -> Yarn | None:
    for label in (f"{yarn.count:.12g}/{yarn.plies * 2} {yarn.system}", f"R {2 * yarn.tex!r} tex"):
        try:
            made = parse_yarn(label.replace("_", " "), yarn.system)
        except ValueError:
            continue
        if abs(made.tex / (2 * yarn.tex) - 1) < 1e-12:
            return made
    return None


def _striped(on_hand: tuple[Supply, ...], a: int, b: int) -> Thread:
    one, other = on_hand[a], on_hand[b]
    thicker = max((one, other), key=lambda supply: supply.yarn.tex)
    return Thread(
        f"{one.name} and {other.name} in stripes",
        thicker.yarn,
        ((a, 0.5), (b, 0.5)),
        one.fibre,
        (one.colour, other.colour),
    )


__all__ = ["Found", "Near", "Search", "Supply", "Thread", "Wishes", "fits", "supplies", "threads"]
