"""The shelf as a form: cones, loom and wishes in, ranked projects out."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from calculators.engine.calculator import (
    Answer,
    Calculator,
    Card,
    Stages,
    Step,
    Table,
)
from calculators.engine.formula import logged
from calculators.engine.links import address
from calculators.engine.network import Worked
from calculators.engine.steps import working
from calculators.engine.vocabulary import aside, ask, give, if_known
from calculators.errors import InputError
from calculators.plan.example import NAPKINS
from calculators.plan.plan import PLAN
from calculators.quantities.format import format_number, round_up
from calculators.quantities.interval import Range
from calculators.quantities.sentences import both, figures
from calculators.quantities.units import per_cm
from calculators.sett.calculators import hand_weaving_caution
from calculators.sett.reeds import parse_reeds
from calculators.shelf.colour import difference
from calculators.shelf.cones import Loom, Shelf, read_shelf, standing_waste
from calculators.shelf.search import BOLD, FINE, Found, Near, Search, Thread, Wishes, fits
from calculators.shelf.suits import (
    PARTS,
    WEIGHTS,
    articles,
    contrast_part,
    score,
    second_weft,
    washing,
    weighed,
)
from calculators.shelf.threads import usable_of
from calculators.weave.library import WEAVES, weave
from calculators.yarn.yarn import Yarn

EXAMPLE = """\
Blue cone; 16/2 cotton; 412 g; empty 38 g; #2b4a6f
White cone; 16/2 cotton; 655 g; empty 45 g; bleached
Maren’s flax; 16/1 linen; 290 g; unbleached"""
ANY = "any"
THICKEST_SECOND = 4.0  # times the ground's weft; common practice, no source
Planned = Callable[[Found], tuple[Worked, Card] | None]

_GROUPS = tuple(dict.fromkeys(one.group for one in articles()))
_ARTICLES = (
    (ANY, "anything"),
    *((group.replace(" ", "-"), f"all {group}") for group in _GROUPS),
    *((one.name, one.title) for one in articles()),
)
_WEAVES = (
    (ANY, "any the loom can weave"),
    *((name, weave(name).title) for name in WEAVES if not name.endswith("_warp")),
)
_GRAINS = (
    (ANY, "fine to bold"),
    ("fine", f"fine: {FINE:.0f} ends per cm washed, or more"),
    ("middle", f"middle: {BOLD:.0f} to {FINE:.0f}"),
    ("bold", f"bold: fewer than {BOLD:.0f}"),
)


FIELDS = (
    ask("cones", EXAMPLE),
    ask("loom_weaving_width", "120 cm", name="loom_width", minimum=5),
    ask("loom_ground_shafts", "8", name="ground_shafts", minimum=2, maximum=40),
    ask("loom_pattern_heddles", "300", name="pattern_heddles", minimum=1, required=False),
    ask("reeds", "40/10, 50/10, 60/10, 80/10"),
    ask("article", ANY, choices=_ARTICLES),
    ask("structure", ANY, choices=_WEAVES),
    ask("grain", ANY, choices=_GRAINS),
    ask("hours_at_most", "", name="hours", required=False),
    if_known("which_loom", name="loom"),
    if_known(
        "loom_cords",
        name="cords",
        minimum=1,
        hint="Fewer than units across: the design repeats or is mirrored.",
    ),
    aside("loom_waste"),
    if_known("loom_longest_warp", name="longest_warp", minimum=50),
    aside("width_shrinkage"),
    aside("length_shrinkage"),
    aside("draw_in"),
    aside("take_up"),
    aside("reserve"),
    aside("picks_per_minute"),
    aside("places", "6"),
    aside("each", "1"),
    *(
        aside(
            "weight",
            f"{WEIGHTS[name]:g}",
            name=f"weigh_{name}",
            label=f"How much counts: {words}",
        )
        for name, words in PARTS.items()
    ),
)

OUTPUTS = (
    give("first"),
    give("projects", headline=True),
    give("score", formula="F-120"),
    give("pairs"),
)


def answer(given: Mapping[str, Any]) -> Answer:
    """Search to the end and rank what fits."""
    for _, make in stages(given):
        last = make
    return last()


def stages(given: Mapping[str, Any]) -> Stages:
    """Search in small pieces; each says how far it has come and can answer with what is found."""
    shelf = read_shelf(given["cones"])
    loom, wishes = _loom(given, shelf), _wishes(given)
    search = Search(shelf.cones, loom, wishes)
    if not search.weaves:
        raise InputError(
            "structure",
            f"This structure wants more than {loom.ground_shafts} ground shafts.",
            "Choose another, or any.",
        )

    @cache  # each is planned once, however often the ranking is shown
    def planned(found: Found) -> tuple[Worked, Card] | None:
        done = fits(found, search.on_hand, loom)
        return (done, _card(search, loom, found, done)) if done else None

    def soon() -> Answer:
        return _answer(search, loom, planned, ())

    def done() -> Answer:
        return _answer(search, loom, planned, search.near())

    for _ in search.steps():
        share = f"{search.settled / search.pairs:.0%} of {format_number(search.pairs)} ways"
        yield f"{share} weighed; most of them need not be.", soon
    yield "", done


def _loom(given: Mapping[str, Any], shelf: Shelf) -> Loom:
    if not shelf.looms:
        return Loom(
            "", given["loom_width"], given["ground_shafts"], given["pattern_heddles"],
            given["cords"], tuple(parse_reeds(given["reeds"]).values()), given["loom_waste"],
            given["longest_warp"],
        )  # fmt: skip
    wanted = (given["loom"] or shelf.looms[0].name).strip().casefold()
    for loom in shelf.looms:
        if loom.name.casefold() == wanted:
            return loom
    raise InputError(
        "loom",
        f"No loom called “{given['loom'][:40]}” is written among the cones.",
        "There are: " + ", ".join(loom.name for loom in shelf.looms)[:300] + ".",
    )


def _wishes(given: Mapping[str, Any]) -> Wishes:
    losses = ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")
    pace: Range = given["picks_per_minute"]
    weights = {name: given[f"weigh_{name}"] for name in PARTS}
    if not sum(weights.values()) > 0:
        raise InputError("weigh_set", "Nothing counts: every weight is 0.", "For example 3.")
    wanted = given["article"]
    return Wishes(
        base={**NAPKINS, **{name: given[name] for name in losses}, "picks_per_minute": pace},
        reserve=given["reserve"].likely,
        articles=() if wanted == ANY else (wanted, wanted.replace("-", " ")),
        weaves=() if given["structure"] == ANY else (given["structure"],),
        hours=given["hours"],
        grain=given["grain"],
        weights=weights,
        places=given["places"],
        each=max(given["each"], given["places"] if wanted in dict(_ARTICLES[len(_GROUPS) + 1 :])
                 else 1),
    )  # fmt: skip


def _answer(search: Search, loom: Loom, planned: Planned, near: Sequence[Near]) -> Answer:
    shown = [(one, *made) for one in search.ranked if (made := planned(one))]
    results: dict[str, Any] = {"projects": len(shown), "pairs": search.pairs}
    if shown:
        results |= {"first": _title(shown[0][0]), "score": shown[0][0].score}
    return Answer(
        results=results,
        cards=tuple(card for _, _, card in shown),
        tables={"projects": _table([(one, done) for one, done, _ in shown])} if shown else {},
        steps=tuple(_steps(search, loom, shown[0][0])) if shown else (),
        notes=(
            f"{_taken(search)}; the score is the mean of six parts, "
            "each counted as often as its weight says. Every one was planned again in full, and "
            "fits yarn, loom and reed at the losses’ high end.",
            *(_near(search, one) for one in near),
        ),
        cautions=_closest(shown) if shown else (_nothing(search),),
        sources=("trade-knowledge", "wcag-2-2", "iev-845", "ashenhurst-note"),
    )


def _closest(shown: Sequence[tuple[Found, Worked, Card]]) -> tuple[str, ...]:
    """Say once, of the closest cloth, when it is closer than hand weavers set."""
    found = max((one for one, _, _ in shown), key=lambda one: one.denting.sett)
    return tuple(f"{_title(found)}: {words}" for words in hand_weaving_caution(found.denting.sett))


def _taken(search: Search) -> str:
    each = search.wishes.each
    if each == 1:
        return "Each place is the best project of its article"
    return f"An article may take {each} places, with its best projects"


def _title(found: Found) -> str:
    return f"{found.article.title} × {found.pieces}, {found.weave.title}"


def _card(search: Search, loom: Loom, found: Found, done: Worked) -> Card:
    denting = found.denting
    size = f"{both(found.article.width, 'cm')} by {both(found.article.length, 'cm')}"
    reed = f"{format_number(per_cm(denting.reed) * 10, 1)}/10 cm, {denting.order_text} in the dents"
    if denting.marks:
        reed += f" ({denting.marks})"
    across = done.whole("units_across")
    unit = f"{across} units across, {both(10 * done.likely('unit_width'), 'mm')} wide"
    repeat = ""
    if loom.cords is not None and loom.cords < across:
        repeat = f"; with {loom.cords} cords the design repeats or is mirrored"
    lines = [
        _why(search, found),
        f"{size}; warp {found.warp.words}, weft {found.weft.words}.",
        f"Sett {both(denting.sett, '1/inch')}, reed {reed}; {unit}{repeat}.",
        f"{_hours(done)} hours of weaving; leaves {_left(search, found, done)}.",
    ]
    if found.short:
        lines.append(f"{_grams(search, found.short)} gives {found.article.set}.")
    if found.article.second_weft:
        lines.append(_second_weft(search, found, done))
    return Card(_title(found), tuple(lines), _address(search, loom, found))


def _why(search: Search, found: Found) -> str:
    """Say in one line what the place in the ranking rests on."""
    weights = search.wishes.weights
    total = sum(weights.values())
    lost = {name: 100 * weights[name] * (1 - part) / total for name, part in found.parts.items()}
    worst = sorted(lost, key=lambda name: -lost[name])[:2]
    against = "; ".join(
        f"{_against(found, name)} (−{lost[name]:.0f})" for name in worst if lost[name] >= 0.5
    )
    full = [words for name, words in PARTS.items() if found.parts[name] > 0.99 and weights[name]]
    praise = f"full marks for {', '.join(full)}" if full else "no full marks"
    return f"{format_number(found.score, 1)} of 100: {praise}" + (
        f"; {against}." if against else "."
    )


def _against(found: Found, name: str) -> str:
    article, fibres = found.article, (found.warp.fibre, found.weft.fibre)
    if name == "set":
        return f"{found.pieces} of a set of {article.set}"
    if name == "use":
        for fibre in fibres:
            if washing(article.heat, fibre) < 1:
                return f"{fibre or 'a fibre not named'} for a wash {article.wash}"
        if found.weave.name not in article.structures:
            return f"{found.weave.title} is not usual for it"
        return "floats long for its wear"
    if name == "contrast":
        return _contrast(found)
    return {
        "firm": "weft outside the working range",
        "unit": f"units away from the usual {article.unit * 10:g} mm",
        "left": "yarn left over",
    }[name]


def _contrast(found: Found) -> str:
    weft = found.weft.colours[0]
    if found.weave.face == "both alike":
        return "this weave shows both yarns alike"
    if not weft or not all(found.warp.colours):
        return "a colour is not known"
    apart = min(difference(one, weft) for one in found.warp.colours)
    return "tone on tone" if apart < 5 else f"quiet contrast, ΔE {apart:.0f}"


def _used(found: Found, warp: float, weft: float) -> dict[int, float]:
    used: dict[int, float] = {}
    for thread, grams in ((found.warp, warp), (found.weft, weft)):
        for place, share in thread.shares:
            used[place] = used.get(place, 0.0) + share * grams
    return used


def _left(search: Search, found: Found, done: Worked) -> str:
    used = _used(found, done.likely("warp_yarn_mass"), done.likely("weft_yarn_mass"))
    return ", ".join(
        f"{both(search.on_hand[place].mass - grams, 'g')} of {search.on_hand[place].name}"
        for place, grams in used.items()
    )


def _second_weft(search: Search, found: Found, done: Worked) -> str:
    """Say what a second weft for the figure would want, and which cone has it."""
    share, ground = found.article.second_weft, found.weft.yarn.tex
    of_ground = done.ranged("weft_yarn_mass").high
    used = _used(found, done.ranged("warp_yarn_mass").high, of_ground)

    def wanted(tex: float) -> float:
        return second_weft(of_ground, ground, tex, share)

    suited = [
        (contrast_part(found.warp.colours + found.weft.colours, one.colour, True), -place, one)
        for place, one in enumerate(search.on_hand)
        if ground <= one.yarn.tex <= THICKEST_SECOND * ground
        and washing(found.article.heat, one.fibre) == 1
        and wanted(one.yarn.tex) <= one.mass - used.get(place, 0.0)
    ]
    words = f"Woven with a second weft for the figure, {_picks(share)}, edge to edge:"
    if not suited:
        least, most = (both(round_up(wanted(tex)).value, "g") for tex in (ground, 2 * ground))
        return (
            f"{words} {least} more of a yarn like the weft, {most} of one twice as thick; "
            "no cone here has it."
        )
    best = max(suited)[2]
    grams = both(round_up(wanted(best.yarn.tex)).value, "g")
    return f"{words} {grams} of {best.name}. Neither score nor hours count it."


def _picks(share: float) -> str:
    return (
        "one pick to each of the ground"
        if share == 1
        else (f"one pick to {format_number(1 / share, 1)} of the ground")
    )


def _grams(search: Search, short: Mapping[int, float]) -> str:
    return " and ".join(
        f"{both(round_up(grams).value, 'g')} more of {search.on_hand[place].name}"
        for place, grams in short.items()
    )


def _near(search: Search, one: Near) -> str:
    return (
        f"Nearly: {_grams(search, one.short)} gives one {one.article.title.lower()}, "
        f"{one.weave.title}, warp {one.warp.words}, weft {one.weft.words}."
    )


def _nothing(search: Search) -> str:
    wide = [one.title for one in search.articles if one.width > search.loom.width]
    if len(wide) == len(search.articles):
        return "Nothing fits: what is wished for is wider than the loom."
    return (
        "Nothing fits. More yarn, more hours, another reed or fewer wishes may open a way; what "
        "only wants of yarn stands below."
    )


def _hours(done: Worked) -> str:
    hours = done.ranged("hours")
    if hours.is_exact:
        return format_number(hours.likely, 1)
    low, likely, high = (format_number(end, 0) for end in (hours.low, hours.likely, hours.high))
    return f"About {likely} ({low} to {high})"


def _table(planned: list[tuple[Found, Worked]]) -> Table:
    rows = tuple(
        (
            place, found.article.title, found.pieces, found.weave.title, found.warp.words,
            found.weft.words, found.denting.sett, done.whole("units_across"),
            done.likely("unit_width") * 10, done.likely("warp_length") / 100,
            done.ranged("warp_yarn_mass").high, done.ranged("weft_yarn_mass").high,
            done.likely("hours"), found.score,
        )
        for place, (found, done) in enumerate(planned, 1)
    )  # fmt: skip
    columns = (
        "Place", "Article", "Pieces", "Weave", "Warp", "Weft", "Sett, ends per inch",
        "Units across", "Unit, mm", "Warp, m", "Warp, g", "Weft, g", "Hours", "Score",
    )  # fmt: skip
    return Table("The projects side by side", columns, rows,
                 (None, None, None, None, None, None, 1, None, 1, 1, 0, 0, 1, 1))  # fmt: skip


def _steps(search: Search, loom: Loom, found: Found) -> Iterator[Step]:
    weights, reserve = search.wishes.weights, search.wishes.reserve
    rules = {"use": "F-124", "firm": "F-125", "contrast": "F-126"}
    with logged() as log:
        for name in PARTS:
            weighed(found.parts[name], weights[name])
        score(found.parts, weights)
    *parts, total = map(working, log)
    for (name, words), told in zip(PARTS.items(), parts, strict=True):
        yield Step(f"First place, {words}", told, rules.get(name, "F-120"))
    yield Step("Score of the first place", total, "F-120")
    for thread in (found.warp, found.weft):
        for place, _ in thread.shares:
            supply = search.on_hand[place]
            with logged() as log:
                usable_of(supply.net, reserve)
            yield Step(f"May be used of {supply.name}", working(log[0]), "F-121")
    if loom.distances:
        with logged() as log:
            waste = standing_waste(*loom.distances)
        told = "" if loom.waste == waste else "; the waste given counts"
        yield Step(f"Loom waste by the distances{told}", working(log[0]), "F-133")


def _address(search: Search, loom: Loom, found: Found) -> str:
    project = PLAN.run(found.project)
    on_hand: dict[str, float] = {}
    if not {place for place, _ in found.warp.shares} & {place for place, _ in found.weft.shares}:
        for side, thread in (("warp", found.warp), ("weft", found.weft)):
            on_hand[side] = min(
                search.on_hand[place].mass / share / (1 - search.wishes.reserve)
                for place, share in thread.shares
            )
    state = {
        "finished_width": _cm(found.article.width),
        "finished_length": _cm(found.article.length),
        "pieces": str(found.pieces),
        **_yarn("warp", found.warp),
        **_yarn("weft", found.weft),
        "weave": found.weave.name,
        "sett": f"{project.likely('reed_sett'):.12g} /cm",
        "picks": "",
        "ends_per_unit": str(project.whole("ends_per_unit")),
        "picks_per_unit": str(project.whole("picks_per_unit")),
        **{
            name: _range(project.ranged(name))
            for name in ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")
        },
        "winding_waste": f"{100 * search.wishes.reserve:.12g} %",
        "loom_waste": _cm(project.likely("loom_waste")),
        "hem": _cm(found.article.hem),
        "firmness": found.article.firmness,
        "reeds": ", ".join(f"{per_cm(reed) * 10:.12g}/10" for reed in loom.reeds),
        "ground_shafts": str(project.whole("ground_shafts")),
        "picks_per_minute": figures(project.ranged("picks_per_minute")),
        **{f"{side}_on_hand": f"{grams:.12g} g" for side, grams in on_hand.items()},
        "loom_weaving_width": _cm(loom.width),
        "loom_ground_shafts": str(loom.ground_shafts),
    }
    if loom.pattern_heddles is not None:
        state["loom_pattern_heddles"] = str(loom.pattern_heddles)
    if loom.longest is not None:
        state["loom_longest_warp"] = _cm(loom.longest)
    return address("cloth-plan", state)


def _cm(value: float) -> str:
    return f"{value:.12g} cm"


def _range(loss: Any) -> str:
    figures = (loss.likely,) if loss.is_exact else (loss.low, loss.likely, loss.high)
    return "–".join(f"{100 * figure:.12g}" for figure in figures) + " %"


def _yarn(side: str, thread: Thread) -> dict[str, str]:
    yarn: Yarn = thread.yarn
    return {f"{side}_yarn": yarn.text.strip(), f"{side}_system": yarn.system}


CALCULATORS = (
    Calculator(
        "shelf",
        "C-50",
        "shelf/",
        "From the shelf",
        "What can these cones become on this loom?",
        FIELDS,
        OUTPUTS,
        answer,
        stages,
    ),
)
