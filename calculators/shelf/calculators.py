"""The shelf as a form: cones, loom and wishes in, ranked projects out."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Any

from calculators.appearance.fabric import Fabric
from calculators.appearance.fabric import Thread as Seen
from calculators.appearance.light import Light, fibres
from calculators.appearance.pictures import threads_png
from calculators.engine.calculator import (
    BARE,
    ENTERED,
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
from calculators.figure.edges import given, weft_faced
from calculators.figure.grid import Grid
from calculators.plan.example import NAPKINS
from calculators.plan.plan import PLAN
from calculators.quantities.format import format_number, round_up
from calculators.quantities.interval import Range
from calculators.quantities.parse import parse_length
from calculators.quantities.sentences import both, figures, many
from calculators.quantities.units import INCH_CM, converted, counted_in, per_cm
from calculators.sett.calculators import hand_weaving_caution
from calculators.sett.reeds import parse_reeds
from calculators.shelf.cards import cards_html
from calculators.shelf.cones_and_looms import (
    Loom,
    Shelf,
    cones_in_free_words,
    read_shelf,
    reeds_text,
    standing_waste,
)
from calculators.shelf.outlook import OUTLOOK
from calculators.shelf.scoring import (
    PARTS,
    WEIGHTS,
    articles,
    contrast_part,
    score,
    second_weft,
    washing,
    weighed,
)
from calculators.shelf.search import BOLD, FINE, NearMiss, Project, Search, Wishes, fits
from calculators.shelf.threads import Thread, grams_used, usable_of
from calculators.show.in_inches import in_inches, is_metric
from calculators.show.pictures import cloth_svg
from calculators.weave.library import spoken
from calculators.yarn.colour import COLOURS, difference
from calculators.yarn.diameter import diameter_mm

EXAMPLE = """\
Blue cone; 16/2 cotton; 412 g; empty 38 g; #2b4a6f
White cone; 16/2 cotton; 655 g; empty 45 g; bleached
Maren’s flax; 16/1 linen; 290 g; unbleached"""
ANY = "any"
LOSSES = ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")
UNDYED = COLOURS["natural"]
TURNED_TWICE = 4  # depths of the hem in a piece whose both ends are turned twice
SCRAP, STRIPE = 12, 4  # threads of a scrap’s unit, and of a stripe
THICKEST_SECOND = 4.0  # times the ground's weft; common practice, no source
PlanOf = Callable[[Project], tuple[Worked, Card] | None]
Ranked = Sequence[tuple[Project, Worked, Card]]

_GROUPS = tuple(dict.fromkeys(article.group for article in articles()))
_ARTICLES = (
    (ANY, "anything"),
    *((group.replace(" ", "-"), f"all {group}") for group in _GROUPS),
    *((article.name, article.title) for article in articles()),
)
_GRAINS = (
    (ANY, "fine to bold"),
    ("fine", f"fine: {FINE:.0f} ends per cm washed, or more"),
    ("middle", f"middle: {BOLD:.0f} to {FINE:.0f}"),
    ("bold", f"bold: fewer than {BOLD:.0f}"),
)


FIELDS = (
    ask("cones", EXAMPLE, picture=cards_html),
    ask("loom_weaving_width", "120 cm", name="loom_width", minimum=5),
    ask("loom_ground_shafts", "8", name="ground_shafts", minimum=2, maximum=40),
    ask("loom_pattern_heddles", "300", name="pattern_heddles", minimum=1, required=False),
    ask("reeds", "40/10, 50/10, 60/10, 80/10"),
    ask("article", ANY, choices=_ARTICLES),
    ask("structure", ANY, required=False),
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


def answer(inputs: Mapping[str, Any]) -> Answer:
    """Search to the end and rank what fits."""
    for _, answer_so_far in stages(inputs):
        last = answer_so_far
    return last()


def stages(inputs: Mapping[str, Any]) -> Stages:
    """Search in small pieces; each says how far it has come and can answer with what is found."""
    units = inputs.get(BARE, "")
    shelf = read_shelf(inputs["cones"], units=units)
    loom, wishes = _loom(inputs, shelf), _wishes(inputs)
    search = Search(shelf.cones, loom, wishes)
    if not search.weaves:
        raise InputError(
            "structure",
            f"More than {many(loom.ground_shafts, 'ground shafts')} are wanted for this.",
            "Choose others, or write any.",
        )

    @cache  # each is planned once, however often the ranking is shown
    def plan_of(project: Project) -> tuple[Worked, Card] | None:
        plan = fits(project, search.on_hand, loom)
        return (plan, _card(search, project, plan, units)) if plan else None

    seconds: dict[Project, str] = {}

    understood = tuple(_understood(inputs["cones"], units))

    def so_far() -> Answer:
        return _answer(search, plan_of, (), seconds, understood, units)

    def in_full() -> Answer:
        return _answer(search, plan_of, search.near_misses(), seconds, understood, units)

    pairs = format_number(search.pairs)
    for _ in search.steps():
        share = f"{search.settled / search.pairs:.0%}"
        yield f"{share} of {pairs} ways weighed; most of them need not be.", so_far
    for project in search.ranked:
        planned = plan_of(project)
        if planned is None:
            continue
        left = search.of_what_is_left(project, planned[0])
        for _ in left.steps():
            yield f"100% of {pairs} ways weighed; now what is left over.", so_far
        seconds[project] = _second_article(left)
    yield "", in_full


def _understood(cones: str, units: str) -> Iterator[str]:
    """Say how the cones were read that were written in free words."""
    for cone in cones_in_free_words(cones, units=units):
        colour = f", colour {cone.colour}" if cone.colour else ""
        yarn = cone.yarn.readings[0].words
        yield f"{cone.name}: read as {yarn}, {both(cone.net, 'g')} of yarn{colour}."


def _second_article(left: Search) -> str:
    """Say which whole set the yarn that is left over would make."""
    for project in left.ranked:
        if project.pieces >= project.article.set and fits(project, left.on_hand, left.loom):
            warp_length = both(PLAN.run(project.figures).likely("warp_length") / 100, "m")
            return (
                f"What is left is enough for a second article: {_title(project)}, on a warp of "
                f"its own, {warp_length}."
            )
    return ""


def _loom(inputs: Mapping[str, Any], shelf: Shelf) -> Loom:
    if not shelf.looms:
        return Loom(
            name="",
            width=inputs["loom_width"],
            ground_shafts=inputs["ground_shafts"],
            pattern_heddles=inputs["pattern_heddles"],
            cords=inputs["cords"],
            reeds=shelf.reeds
            or tuple(parse_reeds(inputs["reeds"], units=inputs.get(BARE, "")).values()),
            waste=inputs["loom_waste"],
            longest=inputs["longest_warp"],
        )
    wanted = (inputs["loom"] or shelf.looms[0].name).strip().casefold()
    for loom in shelf.looms:
        if loom.name.casefold() == wanted:
            return loom
    raise InputError(
        "loom",
        f"No loom called “{inputs['loom'][:40]}” is written among the cones.",
        "There are: " + ", ".join(loom.name for loom in shelf.looms)[:300] + ".",
    )


def _wishes(inputs: Mapping[str, Any]) -> Wishes:
    weights = {name: inputs[f"weigh_{name}"] for name in PARTS}
    if not sum(weights.values()) > 0:
        raise InputError("weigh_set", "Nothing counts: every weight is 0.", "For example 3.")
    figures = {name: inputs[name] for name in (*LOSSES, "picks_per_minute")}
    article = inputs["article"]
    one_article = any(article == row.name for row in articles())
    return Wishes(
        figures={**NAPKINS, **_between_pieces(inputs.get(BARE, "")), **figures},
        reserve=inputs["reserve"].likely,
        articles=() if article == ANY else (article, article.replace("-", " ")),
        weaves=tuple(weave.name for weave in inputs["structure"] or ()),
        hours=inputs["hours"],
        grain=inputs["grain"],
        weights=weights,
        places=inputs["places"],
        each=max(inputs["each"], inputs["places"] if one_article else 1),
        units=inputs.get(BARE, ""),
    )


def _between_pieces(units: str) -> dict[str, float]:
    """Gap and sample as the plan's form has them for such a reader [cm]."""
    texts = _in_the_plan(units)
    return {name: parse_length(texts[name]) for name in ("gap", "sample")}


def _in_the_plan(units: str) -> dict[str, str]:
    """Lengths and weights that stand in the plan's form before anybody has typed there."""
    told = in_inches if units == "inch" else str
    fields = ENTERED["cloth-plan"].fields
    return {field.name: told(field.default) for field in fields if is_metric(field.default)}


def _answer(
    search: Search,
    plan_of: PlanOf,
    misses: Sequence[NearMiss],
    seconds: Mapping[Project, str],
    understood: tuple[str, ...],
    units: str,
) -> Answer:
    ranked = [
        (project, plan, replace(card, lines=(*card.lines, *filter(None, [seconds.get(project)]))))
        for project in search.ranked
        if (plan_and_card := plan_of(project))
        for plan, card in [plan_and_card]
    ]
    results: dict[str, float | str] = {"projects": len(ranked), "pairs": search.pairs}
    if ranked:
        results |= {"first": _title(ranked[0][0]), "score": ranked[0][0].score}
    return Answer(
        results=results,
        cards=tuple(card for _, _, card in ranked),
        tables={"projects": _table(ranked)} if ranked else {},
        steps=tuple(_steps(search, ranked[0][0], units)) if ranked else (),
        notes=(
            *understood,
            f"{_places_taken(search)}; the score is the mean of six parts, "
            "each counted as often as its weight says. Every one was planned again in full, and "
            "fits yarn, loom and reed at the losses’ high end.",
            *(_near_miss(search, miss) for miss in misses),
        ),
        cautions=_closest(ranked) if ranked else (_nothing(search),),
        sources=("trade-knowledge", "wcag-2-2", "iev-845", "ashenhurst-note"),
    )


def _closest(ranked: Ranked) -> tuple[str, ...]:
    """Say once, of the closest cloth, when it is closer than hand weavers set."""
    closest = max((project for project, _, _ in ranked), key=lambda project: project.denting.sett)
    cautions = hand_weaving_caution(closest.denting.sett)
    return tuple(f"{_title(closest)}: {caution}" for caution in cautions)


def _places_taken(search: Search) -> str:
    each = search.wishes.each
    if each == 1:
        return "Each place is the best project of its article"
    return f"An article may take {many(each, 'places')}, with its best projects"


def _title(project: Project) -> str:
    return f"{project.article.title} × {project.pieces}, {project.weave.title}"


def _card(search: Search, project: Project, plan: Worked, units: str) -> Card:
    denting = project.denting
    size = f"{both(project.article.width, 'cm')} by {both(project.article.length, 'cm')}"
    reed = f"{both(per_cm(denting.reed), 'reed')}, {denting.order_text} in the dents"
    if denting.marks:
        reed += f" ({denting.marks})"
    across = plan.whole("units_across")
    unit = f"{many(across, 'units')} across, {both(10 * plan.likely('unit_width'), 'mm')} wide"
    repeat = ""
    cords = search.loom.cords
    if cords is not None and cords < across:
        repeat = f"; with {many(cords, 'cords')} the design repeats or is mirrored"
    lines = [
        _reasons(search, project),
        f"{size}; warp {project.warp.words}, weft {project.weft.words}.",
        f"Sett {both(denting.sett, '1/inch')}, reed {reed}; {unit}{repeat}.",
        f"{_hours(plan)} hours of weaving; leaves {_yarn_left(search, project, plan)}.",
    ]
    if project.short:
        lines.append(f"{_grams(search, project.short)} gives {project.article.set}.")
    if project.article.second_weft:
        lines.append(_second_weft(search, project, plan))
    return Card(_title(project), tuple(lines), _address(search, project, units), _scrap(project))


def _scrap(project: Project) -> str:
    """Draw some figure and ground in the colours of the cones; what nobody named is undyed."""
    warp, weft = (
        Seen(
            colours[0],
            thread.fibre if thread.fibre in fibres() else "cotton",
            diameter_mm(thread.yarn.tex),
            tuple(colour for colour in colours for _ in range(STRIPE)) if colours[1:] else (),
        )
        for thread in (project.warp, project.weft)
        for colours in [[colour or UNDYED for colour in thread.colours]]
    )
    sett = project.denting.sett / INCH_CM
    ground = given(weft_faced(project.weave), "", "")
    cloth = Fabric(Grid(2, (1, 2)), ground, *(SCRAP,) * 2, warp, weft, sett, sett)
    png = threads_png(cloth, Light(), points=(4, 4))
    return cloth_svg(project.weave.title, "Figure and ground.", png, cloth.size_mm)


def _reasons(search: Search, project: Project) -> str:
    """Say in one line what the place in the ranking rests on."""
    weights = search.wishes.weights
    total = sum(weights.values())
    lost = {name: 100 * weights[name] * (1 - part) / total for name, part in project.parts.items()}
    worst = sorted(lost, key=lambda name: -lost[name])[:2]
    against = "; ".join(
        f"{_weakness(project, name)} (−{lost[name]:.0f})" for name in worst if lost[name] >= 0.5
    )
    full = [words for name, words in PARTS.items() if project.parts[name] > 0.99 and weights[name]]
    praise = f"full marks for {', '.join(full)}" if full else "no full marks"
    return f"{format_number(project.score, 1)} of 100: {praise}" + (
        f"; {against}." if against else "."
    )


def _weakness(project: Project, name: str) -> str:
    article, fibres = project.article, (project.warp.fibre, project.weft.fibre)
    if name == "set":
        return f"{project.pieces} of a set of {article.set}"
    if name == "use":
        for fibre in fibres:
            if washing(article.heat, fibre) < 1:
                return f"{fibre or 'a fibre not named'} for a wash {article.wash}"
        if project.weave.name not in article.structures:
            return f"{project.weave.title} is not usual for it"
        return "floats long for its wear"
    if name == "contrast":
        return _contrast(project)
    return {
        "firm": "weft outside the working range",
        "unit": f"units away from the usual {both(article.unit * 10, 'mm')}",
        "left": "yarn left over",
    }[name]


def _contrast(project: Project) -> str:
    weft = project.weft.colours[0]
    if project.weave.face == "both alike":
        return "this weave shows both yarns alike"
    if not weft or not all(project.warp.colours):
        return "a colour is not known"
    apart = min(difference(colour, weft) for colour in project.warp.colours)
    return "tone on tone" if apart < 5 else f"quiet contrast, ΔE {apart:.0f}"


def _yarn_left(search: Search, project: Project, plan: Worked) -> str:
    used = grams_used(
        (project.warp, plan.likely("warp_yarn_mass")),
        (project.weft, plan.likely("weft_yarn_mass")),
    )
    return ", ".join(
        f"{both(search.on_hand[place].mass - grams, 'g')} of {search.on_hand[place].name}"
        for place, grams in used.items()
    )


def _second_weft(search: Search, project: Project, plan: Worked) -> str:
    """Say what a second weft for the figure would want, and which cone has it."""
    share, ground_tex = project.article.second_weft, project.weft.yarn.tex
    of_ground = plan.ranged("weft_yarn_mass").high
    used = grams_used((project.warp, plan.ranged("warp_yarn_mass").high), (project.weft, of_ground))

    def wanted(tex: float) -> float:
        return second_weft(of_ground, ground_tex, tex, share)

    candidates = [
        (
            contrast_part(project.warp.colours + project.weft.colours, supply.colour, True),
            -place,
            supply,
        )
        for place, supply in enumerate(search.on_hand)
        if ground_tex <= supply.yarn.tex <= THICKEST_SECOND * ground_tex
        and washing(project.article.heat, supply.fibre) == 1
        and wanted(supply.yarn.tex) <= supply.mass - used.get(place, 0.0)
    ]
    intro = f"Woven with a second weft for the figure, {_picks(share)}, edge to edge:"
    if not candidates:
        least, most = (
            both(round_up(wanted(tex)).value, "g") for tex in (ground_tex, 2 * ground_tex)
        )
        return (
            f"{intro} {least} more of a yarn like the weft, {most} of one twice as thick; "
            "no cone here has it."
        )
    best = max(candidates)[2]
    grams = both(round_up(wanted(best.yarn.tex)).value, "g")
    return f"{intro} {grams} of {best.name}. Neither score nor hours count it."


def _picks(share: float) -> str:
    if share == 1:
        return "one pick to each of the ground"
    return f"one pick to {format_number(1 / share, 1)} of the ground"


def _grams(search: Search, short: Mapping[int, float]) -> str:
    return " and ".join(
        f"{both(round_up(grams).value, 'g')} more of {search.on_hand[place].name}"
        for place, grams in short.items()
    )


def _near_miss(search: Search, miss: NearMiss) -> str:
    return (
        f"Nearly: {_grams(search, miss.short)} gives one {miss.article.title.lower()}, "
        f"{miss.weave.title}, warp {miss.warp.words}, weft {miss.weft.words}."
    )


def _nothing(search: Search) -> str:
    too_wide = [article.title for article in search.articles if article.width > search.loom.width]
    if len(too_wide) == len(search.articles):
        return "Nothing fits: what is wished for is wider than the loom."
    return (
        "Nothing fits. More yarn, more hours, another reed or fewer wishes may open a way; what "
        "only wants of yarn stands below."
    )


def _hours(plan: Worked) -> str:
    hours = plan.ranged("hours")
    if hours.is_exact:
        return format_number(hours.likely, 1)
    low, likely, high = (format_number(end, 0) for end in (hours.low, hours.likely, hours.high))
    return f"About {likely} ({low} to {high})"


def _table(ranked: Ranked) -> Table:
    rows = tuple(
        (
            place, project.article.title, project.pieces, project.weave.title, project.warp.words,
            project.weft.words, project.denting.sett, plan.whole("units_across"),
            plan.likely("unit_width") * 10, plan.likely("warp_length") / 100,
            plan.ranged("warp_yarn_mass").high, plan.ranged("weft_yarn_mass").high,
            plan.likely("hours"), project.score,
        )
        for place, (project, plan, _) in enumerate(ranked, 1)
    )  # fmt: skip
    columns = (
        "Place", "Article", "Pieces", "Weave", "Warp", "Weft", "Sett, ends per inch",
        "Units across", "Unit, mm", "Warp, m", "Warp, g", "Weft, g", "Hours", "Score",
    )  # fmt: skip
    return Table("The projects side by side", columns, rows,
                 (None, None, None, None, None, None, 1, None, 1, 1, 0, 0, 1, 1))  # fmt: skip


def _steps(search: Search, project: Project, units: str) -> Iterator[Step]:
    weights, reserve = search.wishes.weights, search.wishes.reserve
    rules = {"use": "F-124", "firm": "F-125", "contrast": "F-126"}
    with logged() as log:
        for name in PARTS:
            weighed(project.parts[name], weights[name])
        score(project.parts, weights)
    *of_parts, of_score = (working(calculation, units) for calculation in log)
    for (name, words), of_part in zip(PARTS.items(), of_parts, strict=True):
        yield Step(f"First place, {words}", of_part, rules.get(name, "F-120"))
    yield Step("Score of the first place", of_score, "F-120")
    for thread in (project.warp, project.weft):
        for place, _ in thread.shares:
            supply = search.on_hand[place]
            with logged() as log:
                usable_of(supply.net, reserve)
            yield Step(f"May be used of {supply.name}", working(log[0], units), "F-121")
    loom = search.loom
    if loom.distances:
        with logged() as log:
            waste = standing_waste(*loom.distances)
        waste_words = "" if loom.waste == waste else "; the waste given counts"
        yield Step(f"Loom waste by the distances{waste_words}", working(log[0], units), "F-133")


def _address(search: Search, project: Project, units: str) -> str:
    plan, loom = PLAN.run(project.figures), search.loom
    on_hand: dict[str, float] = {}
    if not project.warp.places & project.weft.places:
        for side, thread in (("warp", project.warp), ("weft", project.weft)):
            on_hand[side] = min(
                search.on_hand[place].mass / share / (1 - search.wishes.reserve)
                for place, share in thread.shares
            )
    state = {
        **(_in_the_plan(units) if units == "inch" else {}),
        "finished_width": _typed(project.article.width, "cm", units),
        "finished_length": _typed(project.article.length, "cm", units),
        "pieces": str(project.pieces),
        **_yarn("warp", project.warp),
        **_yarn("weft", project.weft),
        "weave": spoken(project.weave.name),
        "sett": _typed(plan.likely("reed_sett"), "1/cm", units),
        "picks": "",
        "ends_per_unit": str(plan.whole("ends_per_unit")),
        "picks_per_unit": str(plan.whole("picks_per_unit")),
        **{name: _percentages(plan.ranged(name)) for name in LOSSES},
        "winding_waste": f"{100 * search.wishes.reserve:.12g} %",
        "loom_waste": _typed(plan.likely("loom_waste"), "cm", units),
        "hem": _typed(project.article.hem, "cm", units),
        "hem_depth": _typed(project.article.hem / TURNED_TWICE, "cm", units),
        "firmness": project.article.firmness,
        "reeds": reeds_text(loom.reeds, units),
        "ground_shafts": str(plan.whole("ground_shafts")),
        "picks_per_minute": figures(plan.ranged("picks_per_minute")),
        **{f"{side}_on_hand": _typed(grams, "g", units) for side, grams in on_hand.items()},
        "loom_weaving_width": _typed(loom.width, "cm", units),
        "loom_ground_shafts": str(loom.ground_shafts),
    }
    if loom.pattern_heddles is not None:
        state["loom_pattern_heddles"] = str(loom.pattern_heddles)
    if loom.longest is not None:
        state["loom_longest_warp"] = _typed(loom.longest, "cm", units)
    return address("cloth-plan", state)


def _typed(value: float, unit: str, units: str) -> str:
    """Write a figure as the reader types it: what was in cm as closely as anybody cuts."""
    wanted = counted_in(unit, units)
    places = 12 if wanted == unit else 7
    return f"{converted(value, unit, wanted):.{places}g} {wanted.removeprefix('1')}"


def _percentages(loss: Range) -> str:
    ends = (loss.likely,) if loss.is_exact else (loss.low, loss.likely, loss.high)
    return "–".join(f"{100 * end:.12g}" for end in ends) + " %"


def _yarn(side: str, thread: Thread) -> dict[str, str]:
    return {f"{side}_yarn": thread.yarn.text.strip(), f"{side}_system": thread.yarn.system}


CALCULATORS = (
    OUTLOOK,
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
