"""The search against brute force that asks the whole cloth plan about every project there is."""

from bisect import bisect_left
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calculators.cloth.size import loom_width
from calculators.plan.example import NAPKINS
from calculators.plan.plan import PLAN
from calculators.quantities.interval import Range
from calculators.quantities.units import per_cm, per_inch
from calculators.sett.calculators import SOFT_SYSTEMS
from calculators.sett.denting import denting_choices
from calculators.sett.rules import ashenhurst_limit, maximum_sett
from calculators.sett.working import working_range
from calculators.shelf import search as room
from calculators.shelf.cones_and_looms import Cone, Loom, read_shelf
from calculators.shelf.scoring import articles, contrast_part, firm_part, score, use_part
from calculators.shelf.search import Project, Search, Wishes, fits
from calculators.shelf.threads import supplies, threads
from calculators.weave.library import weave
from calculators.yarn.diameter import diameters_per_inch_ashenhurst
from calculators.yarn.yarn import parse_yarn

LOOM = Loom("Oak", 120, 8, 400, None, tuple(per_inch(n) for n in (4, 5, 6, 8)), 140, 2_000)
YARNS = ("8/2 cotton", "16/2 cotton", "30/2 cotton", "16/1 linen", "40/2 linen", "60/2 spun silk")
WOVEN_IN = {  # in what numbers people weave: common practice, no source
    "napkins": (1, 2, 4, 6, 8, 12),
    "mats": (1, 2, 4, 6, 8, 12),
    "small things": (1, 2, 4, 6, 8, 12),
    "towels": (1, 2, 3, 4, 6),
    "upholstery": (1, 2, 4, 6),
    "pillowcases": (1, 2, 4),
    "bags": (1, 2, 4),
    "curtains": (1, 2, 4),
    "runners": (1, 2),
    "cloths": (1, 2),
    "wall pieces": (1, 2),
}
COLOURS = ("", "#ffffff", "#f0e8d8", "#2b4a6f", "#000000")
ARTICLES = ("luncheon-napkin", "tea-towel", "narrow-runner", "coaster", "cafe-curtain")
BASE = dict(
    NAPKINS,
    width_shrinkage=Range(0.03, 0.05, 0.07),
    length_shrinkage=Range(0.05, 0.08, 0.1),
    take_up=Range(0.05, 0.06, 0.08),
)


def brute_force(cones, loom, wishes):
    """The best score of each article, from nothing but plans."""
    base = dict(wishes.figures, loom_waste=loom.waste)
    likely = PLAN.run(base).likely
    on_hand = supplies(cones, wishes.reserve)
    best = {}
    for article, name, warp, weft in product(
        (one for one in articles() if one.name in wishes.articles),
        wishes.weaves,
        threads(on_hand, striped=True),
        threads(on_hand, striped=False),
    ):
        one = weave(name)
        if one.ends > loom.ground_shafts:
            continue
        ratio = weft.yarn.tex / warp.yarn.tex
        about = 0.5 if ratio < 0.5**0.5 else 1 if ratio <= 2**0.5 else 2
        middle = working_range(
            maximum_sett(warp.yarn.tex, one, about * warp.yarn.tex), article.firmness
        )
        working = working_range(maximum_sett(warp.yarn.tex, one, weft.yarn.tex), article.firmness)
        dentings = [
            made
            for made in denting_choices(
                middle.likely,
                loom.reeds,
                one.ends,
                tolerance=0.3,
                diameters_per_inch=diameters_per_inch_ashenhurst(warp.yarn.tex),
            )
            if middle.low <= made.sett <= middle.high
        ]
        if not dentings:
            continue
        denting = dentings[0]
        if not working.low <= denting.sett <= working.high:
            continue
        washed = per_cm(denting.sett) / (1 - likely("draw_in")) / (1 - likely("width_shrinkage"))
        wanted = article.unit * washed
        ends = min(
            range(one.ends, 40 * one.ends, one.ends),
            key=lambda n: (max(n / wanted, wanted / n), n),
        )
        tightest = max(one.intersections_of_ends)
        picks_limit = ashenhurst_limit(weft.yarn.tex, one.picks, tightest, weft_tex=warp.yarn.tex)
        picks_range = working_range(picks_limit, article.firmness)
        project = dict(
            base, finished_width=article.width, finished_length=article.length, hem=article.hem,
            warp_tex=warp.yarn.tex, weft_tex=weft.yarn.tex, reed_sett=per_cm(denting.sett),
            ends_per_unit=ends, picks_per_unit=ends, pieces=1,
            ground_shafts=one.ends * (loom.ground_shafts // one.ends),
        )  # fmt: skip
        if loom_width(article.width, likely("width_shrinkage")) * washed < ends / 2:
            continue
        square = PLAN.run(project).likely("picks_for_square")
        picks_per_unit = max(1, round(ends * per_cm(picks_range.likely) / square))
        project = dict(project, picks_per_unit=picks_per_unit)
        if per_inch(PLAN.run(project).likely("picks")) > picks_limit:
            continue

        def possible(pieces, project=project, warp=warp, weft=weft, article=article, one=one):
            tried = dict(project, pieces=pieces)
            done = fits(Project(article, one, warp, weft, None, tried, {}, 0, {}), on_hand, loom)
            in_time = done and (wishes.hours is None or done.likely("hours") <= wishes.hours)
            return (tried, done) if in_time else None

        most = bisect_left(range(1, 501), True, key=lambda n: possible(n) is None)
        pieces = max((size for size in WOVEN_IN[article.group] if size <= most), default=0)
        if not pieces:
            continue
        project, done = possible(pieces)
        left = used_up(on_hand, warp, weft, done)
        floats = max(
            one.longest_float[1] / washed,
            one.longest_float[0] * (1 - likely("length_shrinkage")) / done.likely("picks"),
        )
        parts = {
            "set": min(1, project["pieces"] / article.set),
            "use": use_part(article, name, floats, (warp.fibre, weft.fibre)),
            "firm": firm_part(per_inch(done.likely("picks")), picks_range),
            "unit": min(ends / wanted, wanted / ends),
            "contrast": contrast_part(warp.colours, weft.colours[0], one.face != "both alike"),
            "left": left,
        }
        total = score(parts, wishes.weights)
        if total > best.get(article.name, (0, None))[0]:
            best[article.name] = (total, project["pieces"])
    return best


def used_up(on_hand, warp, weft, done):
    used = {}
    for thread, grams in (
        (warp, done.ranged("warp_yarn_mass").high),
        (weft, done.ranged("weft_yarn_mass").high),
    ):
        for place, share in thread.shares:
            used.setdefault(thread is weft, {})[place] = share * grams
    together = {}
    for side in used.values():
        for place, grams in side.items():
            together[place] = together.get(place, 0) + grams
    if len(together) < sum(map(len, used.values())):
        return mean(grams / on_hand[place].mass for place, grams in together.items())
    return mean(
        mean(grams / on_hand[place].mass for place, grams in side.items()) for side in used.values()
    )


def mean(values):
    values = list(values)
    return sum(values) / len(values)


def searched(cones, loom, wishes):
    search = Search(cones, loom, wishes)
    for _ in search.steps():
        pass
    return search


cones_on_hand = st.lists(
    st.tuples(st.sampled_from(YARNS), st.sampled_from(COLOURS), st.integers(40, 900)),
    min_size=1,
    max_size=3,
).map(
    lambda rows: [
        Cone(f"Cone {number}", parse_yarn(label), label.split()[-1], colour, grams, 0, 1, "")
        for number, (label, colour, grams) in enumerate(rows)
    ]
)
looms = st.builds(
    lambda width, shafts, heddles, longest: replace(
        LOOM, width=width, ground_shafts=shafts, pattern_heddles=heddles, longest=longest
    ),
    st.sampled_from([45.0, 60.0, 120.0]),
    st.sampled_from([4, 5, 6, 8]),
    st.sampled_from([None, 150, 300]),
    st.sampled_from([None, 400.0, 1500.0]),
)


few_examples = settings(
    max_examples=settings.default.max_examples // 4,
    suppress_health_check=list(HealthCheck),
    derandomize=True,
)


@few_examples
@given(
    cones=cones_on_hand,
    loom=looms,
    names=st.lists(
        st.sampled_from(ARTICLES),
        min_size=1, max_size=2, unique=True,
    ),
    hours=st.sampled_from([None, 6.0, 30.0]),
    weights=st.tuples(*[st.sampled_from([0.0, 1.0, 3.0])] * 5, st.sampled_from([1.0, 4.0])),
    base=st.sampled_from([NAPKINS, BASE]),
)  # fmt: skip
def test_the_search_finds_what_brute_force_finds(cones, loom, names, hours, weights, base):
    wishes = Wishes(
        figures=base,
        articles=tuple(names),
        weaves=("plain", "satin_5", "satin_8"),
        hours=hours,
        weights=dict(zip(Wishes().weights, weights, strict=True)),
    )
    found = {one.article.name: one for one in searched(cones, loom, wishes).ranked}
    expected = brute_force(cones, loom, wishes)
    assert set(found) == set(expected)
    for name, (total, _) in expected.items():
        assert found[name].score == pytest.approx(total, abs=1e-6)


@few_examples
@given(cones=cones_on_hand, loom=looms, hours=st.sampled_from([None, 15.0]))
def test_everything_listed_fits_when_planned_again(cones, loom, hours):
    search = searched(cones, loom, Wishes(hours=hours, places=12))
    for found in search.ranked:
        done = fits(found, search.on_hand, loom)
        assert done is not None
        assert hours is None or done.likely("hours") <= hours + 1e-9
        assert found.pieces >= 1
        if not found.short:
            assert found.pieces >= found.article.set or hours or loom.longest
        sizes = WOVEN_IN[found.article.group]
        assert found.pieces in sizes
        if found.pieces == sizes[-1]:
            continue
        larger = sizes[sizes.index(found.pieces) + 1]
        more = replace(found, figures=dict(found.figures, pieces=larger))
        stopped = fits(more, search.on_hand, loom) is None or (
            hours is not None and PLAN.run(more.figures).likely("hours") > hours
        )
        assert stopped


def test_the_ranking_ends_where_it_says_it_does():
    cones = read_shelf(
        "A; 16/2 cotton; 600 g; white\nB; 30/2 cotton; 500 g; navy\nC; 16/1 linen; 400 g; flax"
    ).cones
    everything = searched(cones, LOOM, Wishes(places=100)).ranked
    first = searched(cones, LOOM, Wishes(places=5)).ranked
    assert [one.score for one in first] == [one.score for one in everything[:5]]
    assert [one.score for one in everything] == sorted(
        (one.score for one in everything), reverse=True
    )
    assert len({one.article.name for one in everything}) == len(everything)


@pytest.mark.thorough
@pytest.mark.parametrize("part", ["set", "use", "firm", "unit", "contrast", "left"])
def test_where_many_score_alike_the_best_is_found(part):
    """With one part counting, many have full marks, and the search may end at the first of them."""
    cones = [
        Cone(f"Cone {number}", parse_yarn(YARNS[number % 6]), "", COLOURS[1 + number % 4],
             200 + 30 * number, 0, 1, "")
        for number in range(6)
    ]  # fmt: skip
    weights = {**dict.fromkeys(Wishes().weights, 0.0), part: 1.0}
    wishes = Wishes(articles=ARTICLES[:2], weaves=("plain", "satin_5"), weights=weights)
    search = searched(cones, LOOM, wishes)
    expected = brute_force(cones, LOOM, wishes)
    found = {one.article.name: one.score for one in search.ranked}
    assert found == pytest.approx({name: total for name, (total, _) in expected.items()}, abs=1e-6)


@pytest.mark.parametrize("waiting", [0, 3])
def test_little_room_to_wait_changes_nothing_found(monkeypatch, waiting):
    cones = read_shelf(
        "A; 16/2 cotton; 600 g; white\nB; 30/2 cotton; 500 g; navy\nC; 16/1 linen; 400 g; flax"
    ).cones
    expected = [one.score for one in searched(cones, LOOM, Wishes(places=30)).ranked]
    monkeypatch.setattr(room, "MOST_WAITING", waiting)
    assert [one.score for one in searched(cones, LOOM, Wishes(places=30)).ranked] == expected


def test_more_places_for_an_article_are_its_next_best():
    cones = read_shelf("A; 16/2 cotton; 600 g; white\nB; 30/2 cotton; 500 g; navy").cones
    one = searched(cones, LOOM, Wishes(articles=("tea-towel",))).ranked
    many = searched(cones, LOOM, Wishes(articles=("tea-towel",), each=6)).ranked
    assert len(one) == 1
    assert len(many) == 6
    assert many[0].score == one[0].score


def test_what_is_short_makes_the_set_when_it_is_added():
    cones = read_shelf("A; 16/2 cotton; 190 g; white\nB; 16/2 linen; 200 g; flax").cones
    wishes = Wishes(articles=("luncheon-napkin",), reserve=0.0)
    search = searched(cones, LOOM, wishes)
    (found,) = search.ranked
    assert 0 < found.pieces < found.article.set
    more = [
        replace(cone, gross=cone.gross + found.short.get(place, 0) + 1e-6)
        for place, cone in enumerate(cones)
    ]
    project = dict(found.figures, pieces=found.article.set)
    assert fits(replace(found, figures=project), search.on_hand, LOOM) is None
    assert fits(replace(found, figures=project), supplies(more, 0.0), LOOM) is not None


def test_a_near_miss_wants_what_it_says_and_no_less():
    cones = read_shelf("A; 16/2 cotton; 100 g; white\nB; 16/2 linen; 100 g; flax").cones
    search = searched(cones, LOOM, Wishes(reserve=0.0, articles=("tea-towel", "table-runner")))
    assert not search.ranked
    near = search.near_misses()
    assert [miss.grams for miss in near] == sorted(miss.grams for miss in near)
    assert near
    for miss in near:
        wishes = Wishes(reserve=0.0, articles=(miss.article.name,), weaves=(miss.weave.name,))
        for spare, expected in ((1e-6, True), (-1e-3, False)):
            more = [
                replace(cone, gross=cone.gross + miss.short.get(place, 0) + spare)
                for place, cone in enumerate(cones)
            ]
            made = searched(more, LOOM, replace(wishes, each=100)).best.get(miss.article.name, [])
            pairs = [(found.warp.words, found.weft.words) for found in made]
            assert ((miss.warp.words, miss.weft.words) in pairs) is expected


def test_the_reed_is_the_one_the_denting_room_would_choose():
    search = searched(read_shelf("A; 16/2 cotton; 900 g").cones, LOOM, Wishes(places=40))
    for found in search.ranked:
        ratio = found.weft.yarn.tex / found.warp.yarn.tex
        about = 0.5 if ratio < 0.5**0.5 else 1 if ratio <= 2**0.5 else 2
        limit = maximum_sett(found.warp.yarn.tex, found.weave, about * found.warp.yarn.tex)
        wanted = working_range(limit, found.article.firmness).likely
        across = diameters_per_inch_ashenhurst(found.warp.yarn.tex)
        chosen = denting_choices(wanted, LOOM.reeds, found.weave.ends, diameters_per_inch=across)[0]
        assert (found.denting.reed, found.denting.order) == (chosen.reed, chosen.order)
        assert found.denting.sett == pytest.approx(chosen.sett)


def test_a_search_can_be_left_and_shows_what_it_has():
    cones = read_shelf("A; 16/2 cotton; 600 g; white\nB; 30/2 cotton; 500 g; navy").cones
    search = Search(cones, LOOM, Wishes())
    seen = []
    for _ in search.steps():
        seen.append(search.settled)
        if search.ranked:
            break
    assert search.ranked
    assert 0 < search.settled < search.pairs
    assert seen == sorted(seen)
    whole = searched(cones, LOOM, Wishes())
    assert whole.settled == whole.pairs
    assert whole.ranked[0].score >= search.ranked[0].score


def test_soft_yarns_are_those_of_the_sett_room():
    assert room.SOFT_SYSTEMS == SOFT_SYSTEMS


def test_every_group_is_woven_in_sizes_that_make_its_set():
    for article in articles():
        assert article.woven_in == WOVEN_IN[article.group]
        assert article.set in article.woven_in
        assert article.woven_of(500) == max(article.woven_in) <= 12


@few_examples
@given(cones=cones_on_hand, loom=looms)
def test_a_second_article_takes_only_what_the_first_leaves(cones, loom):
    first = searched(cones, loom, Wishes(places=2))
    for found in first.ranked:
        plan = fits(found, first.on_hand, loom)
        left = first.of_what_is_left(found, plan)
        for _ in left.steps():
            pass
        for second in left.ranked:
            assert second.article.name != found.article.name
            assert second.weave.name == found.weave.name
            done = PLAN.run(second.figures)
            used = {}
            for on_hand, project, needs in (
                (first.on_hand, found, plan),
                (left.on_hand, second, done),
            ):
                for side in ("warp", "weft"):
                    grams = needs.ranged(f"{side}_yarn_mass").high
                    for place, share in getattr(project, side).shares:
                        name = on_hand[place].name
                        used[name] = used.get(name, 0.0) + share * grams
            there = {supply.name: supply.mass for supply in first.on_hand}
            assert all(grams <= there[name] * (1 + 1e-6) for name, grams in used.items())
