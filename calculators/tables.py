"""The handbook's printed tables, worked out by the package."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from itertools import zip_longest
from typing import Any

from calculators.cloth.networks import THICKNESS, WEIGHT
from calculators.data import load
from calculators.engine.calculator import Table
from calculators.engine.first_guesses import first_guesses
from calculators.engine.network import Network, Worked
from calculators.engine.sources import citation
from calculators.errors import InputError
from calculators.figure.edges import (
    Search,
    backs_alike,
    search,
    uneven_satins,
    usual,
    written_order,
)
from calculators.figure.grid import Grid
from calculators.figure.others import OTHERS
from calculators.figure.picture import WAYS
from calculators.plan.plan import PLAN
from calculators.quantities.format import format_number
from calculators.quantities.interval import Range
from calculators.quantities.sentences import many
from calculators.quantities.units import INCH_CM, per_cm
from calculators.sett.rules import ashenhurst_limit
from calculators.sett.working import working_range
from calculators.show.columns import Cell
from calculators.weave.ground import (
    BY_ORDER,
    EDGES,
    Ground,
    behinds,
    clean_edges,
    ground_of,
    on_more_shafts,
    plain_hem,
    rising_order,
    uncut,
    usual_behind,
    weave_ground,
)
from calculators.weave.library import weave as weave_named
from calculators.weave.matrix import Weave
from calculators.yarn.calculators import count_systems
from calculators.yarn.diameter import diameter_mm, diameters_per_inch_ashenhurst, ruler_wraps
from calculators.yarn.systems import SYSTEMS, count_of
from calculators.yarn.yarn import metres_per_kilogram, parse_yarn, yards_per_pound

NAPKIN = Network(PLAN, WEIGHT, THICKNESS)
SETT_WEAVES = ("plain", "twill_2_2", "broken_twill_4", "satin_5", "satin_6", "satin_8", "lace_6")


def table(name: str) -> Table:
    """Return a printed table by name, or say which there are."""
    if name not in TABLES:
        wanted = name if len(name) <= 40 else name[:40] + "…"
        raise InputError(
            "table",
            f"There is no table called “{wanted}”.",
            "There are: " + ", ".join(TABLES) + ".",
        )
    return replace(TABLES[name](), code=load("tables")["codes"][name])


def as_object(name: str) -> dict[str, Any]:
    """Return a printed table as plain data: title, columns, rows."""
    printed = table(name)
    return {
        "code": printed.code,
        "title": printed.title,
        "columns": list(printed.columns),
        "rows": [
            [_rounded(value, digits) for value, digits in zip_longest(row, printed.digits)]
            for row in printed.rows
        ],
    }


def _rounded(value: Cell, digits: int | None) -> Cell:
    return round(value, digits) if isinstance(value, float) and digits is not None else value


def _counts(title: str, system: str, labels: list[str]) -> Table:
    rows = []
    for label in labels:
        tex = parse_yarn(label, system).tex
        rows.append(
            (
                label,
                yards_per_pound(tex),
                metres_per_kilogram(tex),
                metres_per_kilogram(tex) / 10,
                tex,
                diameter_mm(tex),
                diameters_per_inch_ashenhurst(tex),
                ruler_wraps(tex),
            )
        )
    columns = (
        SYSTEMS[system].title,
        "yd/lb",
        "m/kg",
        "m in 100 g",
        "tex",
        "diameter, mm",
        "diameters in an inch",
        "ruler wraps in an inch",
    )
    return Table(title, columns, tuple(rows), (None, 0, 0, 0, 1, 2, 0, 0))


def _labels() -> Table:
    settings = load("tables")["labels"]
    rows: list[tuple[Cell, ...]] = []
    for label, system, meaning in settings["rows"]:
        yarn = parse_yarn(label, system)
        rows.append(
            (
                label,
                meaning,
                yarn.plies,
                yards_per_pound(yarn.tex),
                metres_per_kilogram(yarn.tex),
                yarn.tex,
            )
        )
    columns = ("Label", "which is", "threads plied", "yd/lb", "m/kg", "tex")
    return Table(settings["title"], columns, tuple(rows), (None, None, 0, 0, 0, 1))


def _setts(title: str, system: str, per: str, labels: list[str]) -> Table:
    weaves = [weave_named(name) for name in SETT_WEAVES]
    in_unit, digits = (per_cm, 1) if per == "cm" else (float, 0)
    rows = []
    for label in labels:
        cells = []
        for weave in weaves:
            working = _working(label, system, weave)
            low, likely, high = (
                format_number(in_unit(value), digits)
                for value in (working.low, working.likely, working.high)
            )
            cells.append(f"{likely} ({low}–{high})")
        rows.append((label, *cells))
    columns = (SYSTEMS[system].title, *(weave.title for weave in weaves))
    return Table(title, columns, tuple(rows))


def _working(label: str, system: str, weave: Weave) -> Range:
    limit = ashenhurst_limit(parse_yarn(label, system).tex, weave.ends, weave.tightest_pick)
    return working_range(limit, "table")


def _structures() -> Table:
    settings = load("tables")["structures"]
    rows: list[tuple[Cell, ...]] = []
    for weave in map(weave_named, settings["weaves"]):
        longest = max(weave.longest_float)
        floats = [
            10 * longest / per_cm(_working(label, settings["system"], weave).likely)
            for label in settings["labels"]
        ]
        rows.append(
            (
                weave.title,
                f"{weave.ends} × {weave.picks}",
                weave.tightest_pick,
                weave.sett_share,
                weave.average_float,
                longest,
                *floats,
            )
        )
    columns = (
        "Structure",
        "repeat, ends × picks",
        "intersections of a pick",
        "share left for ends",
        "average float, threads",
        "longest float, threads",
        *(f"in {label}, mm" for label in settings["labels"]),
    )
    return Table(settings["title"], columns, tuple(rows), (None, None, 0, 2, 2, 0, 1, 1, 1, 1))


def structure(name: str, unit_ends: int | None = None) -> Table:
    """Return one structure at a working sett in four yarns: sett, float, and its unit if any."""
    settings, weave = load("tables")["structures"], weave_named(name)
    rows: list[tuple[Cell, ...]] = []
    for label in settings["labels"]:
        working = _working(label, settings["system"], weave)
        likely = per_cm(working.likely)
        unit = () if unit_ends is None else (working.likely / unit_ends, 10 * unit_ends / likely)
        setts = f"{working.likely:.0f} ({working.low:.0f}–{working.high:.0f})"
        rows.append((label, setts, likely, 10 * max(weave.longest_float) / likely, *unit))
    columns = ("Cotton", "ends per inch", "ends per cm", "longest float, mm")
    of_unit = () if unit_ends is None else ("units per inch", f"unit of {unit_ends} ends, mm")
    title = f"{weave.title[:1].upper()}{weave.title[1:]} at working setts, on the loom"
    all_columns = (*columns, *of_unit)
    return Table(title, all_columns, tuple(rows), (None, None, 1, 1, 1, 1)[: len(all_columns)])


def _units_by_structure() -> Table:
    settings = load("tables")["structures"]
    rows: list[tuple[Cell, ...]] = []
    for name, ends in settings["unit_ends"].items():
        weave = weave_named(name)
        setts = [_working(label, settings["system"], weave).likely for label in settings["labels"]]
        rows.append(
            (
                weave.title,
                ends,
                *(sett / ends for sett in setts),
                *(10 * ends / per_cm(sett) for sett in setts),
            )
        )
    columns = (
        "Structure",
        "ends in a unit",
        *(f"{label}, units per inch" for label in settings["labels"]),
        *(f"{label}, mm" for label in settings["labels"]),
    )
    digits = (None, 0, *(1 for _ in columns[2:]))
    return Table(settings["units_title"], columns, tuple(rows), digits)


def napkin(label: str, system: str, weave: Weave) -> Worked:
    """Return an 18-inch napkin of one yarn both ways, with the first guess of every loss."""
    guesses, side = load("first_guesses"), load("tables")["looking"]["napkin_inches"] * INCH_CM
    tex = parse_yarn(label, system).tex
    losses = ("width_shrinkage", "length_shrinkage", "draw_in", "take_up")
    return NAPKIN.run(
        {
            **{name: guesses[name]["likely"] / 100 for name in losses},
            "turn_share": guesses["turn_allowance"]["likely"] / 100,
            **{"finished_width": float(side), "finished_length": float(side), "selvedge_ends": 0},
            **{"ends_per_unit": weave.ends, "picks_per_unit": weave.picks},
            "reed_sett": per_cm(_working(label, system, weave).likely),
            **{"warp_tex": tex, "weft_tex": tex},
            **{f"{one}_count": count_of(tex, "cotton") for one in ("warp", "weft")},
            "picks_per_intersection": weave.picks / weave.warp_intersections,
            "ends_per_intersection": weave.ends / weave.weft_intersections,
        }
    )


def _looking(title: str, label: str, system: str) -> Table:
    settings = load("tables")["looking"]
    rows: list[tuple[Cell, ...]] = []
    for weave in map(weave_named, settings["weaves"]):
        found = napkin(label, system, weave)
        has_units = weave.name != "plain"
        mass = found.likely("grams_per_square_metre")
        pressed, loose = (found.likely(f"thickness_{how}") for how in ("pressed", "loose"))
        longest = 10 * max(weave.longest_float) / found.likely("reed_sett")
        words = (
            f"{_word(settings['weight_words'], mass)}, {_word(settings['float_words'], longest)}"
        )
        rows.append(
            (
                weave.title.partition(",")[0],
                found.likely("reed_sett") * float(INCH_CM),
                found.likely("reed_sett"),
                found.whole("units_across") if has_units else "–",
                10 * found.likely("unit_width") if has_units else "–",
                mass,
                f"{pressed:.2f}–{loose:.2f}",
                pressed * settings["layers"],
                longest,
                words,
            )
        )
    columns = (
        "Structure",
        "ends per inch",
        "ends per cm",
        f"units in {settings['napkin_inches']} in (46 cm)",
        "unit, mm",
        "g/m²",
        "thickness, mm",
        f"{settings['layers']} layers, mm",
        "longest float, mm",
        "in the hand",
    )
    digits = (None, 0, 1, 0, 1, 0, None, 0, 1, None)
    return Table(f"{title} in each structure, washed", columns, tuple(rows), digits)


def _word(words: list[tuple[float, str]], figure: float) -> str:
    """Return the word from whose beginning a figure is the next above."""
    return next(word for least, word in reversed(words) if figure >= least)


def _articles() -> Table:
    rows = tuple(
        (
            row["title"],
            row["width_cm"],
            row["length_cm"],
            row["width_cm"] / float(INCH_CM),
            row["length_cm"] / float(INCH_CM),
            row["hem_cm"],
            row["basis"],
            citation(row["source"]),
        )
        for row in load("articles")["article"]
    )
    columns = (
        "Article",
        "width, cm",
        "length, cm",
        "width, in",
        "length, in",
        "hems, cm",
        "stands as",
        "source",
    )
    return Table("Usual finished sizes", columns, rows, (None, 0, 0, 1, 1, 1, None, None))


_GROUND_COLUMNS = (
    "Pick",
    "shafts that rise",
    "shafts that sink",
    "ends up, resting unit",
    "ends up, drawn unit",
)


def _ground(title: str, name: str, times: int) -> Table:
    """A whole ground to tie: every pick, then the two picks of a plain hem."""
    ground = on_more_shafts(ground_of(name), times)
    hem = plain_hem(ground.shafts)
    if name in BY_ORDER:
        title += f", sinking {many(usual_behind(name), 'picks')} behind"
    hem_name = "plain hem" if ground.shafts % 2 == 0 else "nearly plain hem"
    rows = (*_picks("", ground), *_picks(f"{hem_name}, pick ", hem))
    return Table(title, _GROUND_COLUMNS, rows)


def _picks(label: str, ground: Ground) -> tuple[tuple[Cell, ...], ...]:
    resting, drawn = (
        [_numbers(end for end, up in enumerate(row, 1) if up) for row in marks]
        for marks in (
            weave_ground(ground, [[up]], ground.shafts, ground.picks) for up in (False, True)
        )
    )
    return tuple(
        (f"{label}{pick + 1}", _numbers(rise), _numbers(sink), resting[pick], drawn[pick])
        for pick, (rise, sink) in enumerate(zip(ground.rise, ground.sink, strict=True))
    )


def _numbers(numbers: Iterable[int]) -> str:
    return " ".join(map(str, numbers))


def _sinking_orders() -> Table:
    settings = load("tables")["sinking_orders"]
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            weave_named(name).title.partition(",")[0],
            _numbers(rising_order(name)),
            behind,
            _numbers(shaft for shafts in ground_of(name, behind).sink for shaft in shafts),
            *(f"{count} uncut" if count else "clean" for count in uncut_floats.values()),
        )
        for name in settings["weaves"]
        for behind in behinds(name)
        if (uncut_floats := uncut(ground_of(name, behind)))
    )
    columns = (
        "Structure",
        "order of rising",
        "picks behind",
        "order of sinking",
        *(f"{edge} edge" for edge in EDGES),
    )
    return Table(settings["title"], columns, rows)


def _clean_edges() -> Table:
    settings = load("tables")["clean_edges"]
    rows = [
        _clean_row(weave.title.partition(",")[0], search(weave), usual(weave))
        for weave in map(weave_named, settings["weaves"])
    ]
    uneven = settings["uneven"]
    name = f"{weave_named(f'satin_{uneven}').title.partition(',')[0]}, uneven"
    columns = (
        "Structure",
        "clean, usual pair",
        "clean, best pair",
        "rise",
        "sink",
    )
    return Table(settings["title"], columns, (*rows, _clean_row(name, uneven_satins(uneven), None)))


def _clean_row(name: str, found: Search, usually: Ground | None) -> tuple[Cell, ...]:
    clean = clean_edges(found.best)
    which = "" if len(clean) == len(EDGES) else f": {' and '.join(clean)}"
    return (
        name,
        f"{len(clean_edges(usually))} of 4" if usually else "–",
        f"{found.clean} of 4{which}",
        written_order(found.best.rise),
        written_order(found.best.sink),
    )


def _face_down() -> Table:
    settings = load("tables")["clean_edges"]
    rows = []
    for weave in map(weave_named, settings["weaves"]):
        ground = usual(weave)
        assert ground is not None, "those of the table have a usual pair"
        stays = backs_alike(ground)
        back = {"first-end": "last-end", "lower": "upper"}
        opposite = {**back, **{other: edge for edge, other in back.items()}}
        clean = clean_edges(ground)
        seen = [edge for edge in EDGES if (opposite[edge] if stays else edge) in clean]
        rows.append(
            (
                weave.title.partition(",")[0],
                "stays as it is" if stays else "exchange rise and sink",
                *(
                    "all four"
                    if len(edges) == len(EDGES)
                    else " and ".join(edges).replace("-", " ") or "none"
                    for edges in (clean, seen)
                ),
            )
        )
    columns = ("Structure", "tie-up, face down", "clean, face up", "clean, face down")
    return Table(settings["face_down_title"], columns, tuple(rows))


def _edges_tried() -> Table:
    settings = load("tables")["clean_edges"]
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            weave.title.partition(",")[0],
            sum(search(weave).pairs_by_clean),
            *search(weave).pairs_by_clean,
        )
        for weave in map(weave_named, settings["weaves"])
    )
    columns = ("Structure", "pairs that can be tied", "no edge", "one", "two", "three", "all four")
    return Table(settings["tried_title"], columns, rows)


def _other_cloths() -> Table:
    squares = Grid(4, (0b0011, 0b0011, 0b1100, 0b1100))
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            cloth.title,
            cloth.heddles,
            cloth.held,
            cloth.unit_ends,
            cloth.ground.shafts,
            cloth.row_picks,
            cloth.draws_of_a_row,
            cloth.longest_float(squares),
            cloth.holds(drawn=False),
        )
        for cloth in OTHERS.values()
    )
    columns = (
        "Cloth",
        "pattern heddles to a unit",
        "ends in each",
        "ends in a unit, all warps",
        "ground shafts",
        "picks of a row",
        "draws of a row",
        "longest float of squares two units wide, threads",
        "where all units are at rest",
    )
    return Table("Other cloths on the same loom", columns, rows)


def _ways_to_squares() -> Table:
    columns = ("Way", "What it does", "What it does to the cloth")
    rows = tuple((way.title, way.does, way.cloth) for way in WAYS.values())
    return Table("Five ways from grey to figure and ground", columns, rows)


TABLES: dict[str, Callable[[], Table]] = {
    **{
        row["name"]: partial(_counts, row["title"], row["system"], row["labels"])
        for row in load("tables")["counts"]
    },
    **{
        row["name"]: partial(_setts, row["title"], row["system"], row["per"], row["labels"])
        for row in load("tables")["setts"]
    },
    "labels": _labels,
    "structures": _structures,
    "units-by-structure": _units_by_structure,
    **{
        row["name"]: partial(_looking, row["title"], row["label"], row["system"])
        for row in load("tables")["looking"]["yarns"]
    },
    "first-guesses": first_guesses,
    "articles": _articles,
    **{
        row["name"]: partial(_ground, row["title"], row["weave"], row["times"])
        for row in load("tables")["grounds"]
    },
    "sinking-orders": _sinking_orders,
    "clean-edges": _clean_edges,
    "edges-tried": _edges_tried,
    "face-down": _face_down,
    "count-systems": count_systems,
    "ways-to-squares": _ways_to_squares,
    "other-cloths": _other_cloths,
}
