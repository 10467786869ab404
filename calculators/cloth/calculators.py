"""The cloth room's calculators: size in units, take-up, weight, crimp, change in the wash."""

from collections.abc import Mapping
from typing import Any

from calculators.cloth import losses, size, weight
from calculators.cloth.cautions import (
    FELT,
    crimp_cautions,
    edge_cautions,
    remainder,
    size_cautions,
    wash_cautions,
    weight_cautions,
)
from calculators.engine.calculator import Answer, Calculator, Field, Output, Step, Table, Way
from calculators.engine.first_guesses import guess
from calculators.quantities.interval import Range, spread
from calculators.quantities.sentences import both, cm, figure, guesses, percent, settled, times
from calculators.quantities.units import per_inch
from calculators.sett.calculators import hand_weaving_caution
from calculators.yarn.systems import count_of

LONGEST_CM = 100_000.0


def _unit_grid(given: Mapping[str, Any]) -> Answer:
    width, length = given["finished_width"], given["finished_length"]
    sett, picks = given["sett"], given["picks"]
    ends_in_unit, picks_in_unit = given["ends_per_unit"], given["picks_per_unit"]
    s_w, s_l, d = given["width_shrinkage"], given["length_shrinkage"], given["draw_in"]

    on_loom = size.loom_width(width, s_w.likely)
    in_cloth = size.cloth_sett(sett, d.likely)
    long_on_loom = size.piece_on_loom(length, 0, s_l.likely)
    across = size.units_across(on_loom, in_cloth, ends_in_unit)
    up = size.units_up(long_on_loom, picks, picks_in_unit)

    reed = spread(lambda s, d: size.reed_width(size.loom_width(width, s), d), s=s_w, d=d)
    wide = spread(
        lambda s, d: size.unit_width(ends_in_unit, size.cloth_sett(sett, d), s), s=s_w, d=d
    )
    high = spread(lambda s: size.unit_height(picks_in_unit, picks, s), s=s_l)
    square = spread(
        lambda sw, sl, d: size.squareness(
            size.unit_height(picks_in_unit, picks, sl),
            size.unit_width(ends_in_unit, size.cloth_sett(sett, d), sw),
        ),
        sw=s_w,
        sl=s_l,
        d=d,
    )
    to_square = spread(
        lambda sw, sl, d: per_inch(
            size.picks_for_square(ends_in_unit, picks_in_unit, size.cloth_sett(sett, d), sw, sl)
        ),
        sw=s_w,
        sl=s_l,
        d=d,
    )
    selvedge = given["selvedge_ends"] or 0
    ends = size.ends(across, ends_in_unit, selvedge)
    pattern_ends = size.ends(across, ends_in_unit)
    steps = (
        Step(
            "Width of these ends in the reed",
            f"{ends} ÷ {figure(sett)} /cm = {cm(ends / sett)}",
            "F-55",
        ),
    )
    tables = {"layout": _layout(given, across, up)}
    mixed = picks_table(picks_in_unit, square.likely)
    if mixed:
        tables["picks"] = mixed
    if given["ends"] is not None:
        tables["back"] = _back(given)
    washed_wide, washed_long = times(wide, across), times(high, up)
    edge = times(washed_wide, ends / pattern_ends)
    notes = [
        remainder(
            on_loom * in_cloth / ends_in_unit,
            across,
            ends_in_unit,
            "across",
            washed_wide.likely - width,
        ),
        remainder(
            long_on_loom * picks / picks_in_unit,
            up,
            picks_in_unit,
            "up",
            washed_long.likely - length,
        ),
        "Pieces with hems are longer on the loom by their hems.",
        *guesses(width_shrinkage=s_w, length_shrinkage=s_l, draw_in=d),
    ]
    cautions = [
        *hand_weaving_caution(per_inch(sett)),
        *squareness_cautions(square.likely, to_square.likely),
        *size_cautions(washed_wide.likely, width, "wide"),
        *size_cautions(washed_long.likely, length, "long"),
        *edge_cautions(washed_wide.likely, edge.likely),
    ]
    return Answer(
        {
            "units_across": across,
            "units_up": up,
            "units_per_inch": per_inch(sett) / ends_in_unit,
            "unit_width": settled(times(wide, 10)),
            "unit_height": settled(times(high, 10)),
            "squareness": settled(square),
            "picks_for_square": settled(to_square),
            "reed_width": settled(reed),
            "pattern_ends": pattern_ends,
            "ends": ends,
            "warp_width_in_reed": ends / sett,
            "washed_width": settled(washed_wide),
            "washed_width_edge": settled(edge),
            "washed_length": settled(washed_long),
        },
        steps=steps,
        tables=tables,
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("bell-1895", "posselt-1888", "iso-5077"),
    )


def squareness_cautions(squareness: float, to_square: float) -> list[str]:
    """Say how far units are from square, and the picks [1/inch] that would make them so."""
    off = squareness - 1
    if abs(off) <= FELT:
        return []
    return [
        f"Units will be {percent(abs(off))} {'taller' if off > 0 else 'shorter'} than wide after "
        f"washing. Weave {both(to_square, '1/inch')} for square units, or change the picks of a "
        "unit."
    ]


def picks_table(picks_in_unit: float, squareness: float) -> Table | None:
    """Set the picks of a unit beside the mixed order that would make it square, if they differ."""
    orders = [size.mixed_picks(picks_in_unit).order]
    wanted = picks_in_unit / squareness
    if size.FEWEST_PICKS <= wanted <= size.MOST_PICKS:
        orders.append(size.mixed_picks(wanted).order)
    if len({*orders}) == 1 and len(orders[0]) == 1:
        return None
    return Table(
        "Picks to a unit, at the picks you have",
        ("in turn", "mean", "height ÷ width"),
        tuple(
            (
                ", ".join(str(count) for count in order[:-1])
                + (" and " if len(order) > 1 else "")
                + str(order[-1]),
                sum(order) / len(order),
                squareness * sum(order) / len(order) / picks_in_unit,
            )
            for order in dict.fromkeys(orders)
        ),
        (None, 2, 3),
    )


def _back(given: Mapping[str, Any]) -> Table:
    """Work from the ends on the beam to the finished width."""
    in_unit, sett, ends = given["ends_per_unit"], given["sett"], given["ends"]
    units, over = size.units_in_ends(ends, in_unit, given["selvedge_ends"] or 0)
    in_reed = ends / sett
    on_loom = spread(
        lambda d: size.loom_width_from_reed(in_reed, d),
        d=given["draw_in"],
    )
    washed = spread(
        lambda d, s: size.finished_width(size.loom_width_from_reed(in_reed, d), s),
        d=given["draw_in"],
        s=given["width_shrinkage"],
    )
    return Table(
        f"Back from the {ends} ends you have",
        ("", "lowest", "likely", "highest"),
        (
            ("whole units", None, str(units), None),
            ("ends that make no unit, for the selvedges", None, str(over), None),
            *(
                (words, *(both(value, "cm") for value in (one.low, one.likely, one.high)))
                for words, one in (
                    ("width in the reed, selvedges counted", Range.exactly(in_reed)),
                    ("width on the loom", on_loom),
                    ("width washed", washed),
                )
            ),
        ),
    )


def _layout(given: Mapping[str, Any], across: int, up: int) -> Table:
    margin, border, motif = given["margin"] or 0, given["border"] or 0, given["motif"] or 1
    selvedge = given["selvedge_ends"] or 0
    rows: list[tuple[str, float, float | None]] = [
        ("selvedges, both sides together", selvedge / given["ends_per_unit"], selvedge)
    ]
    for way, units, threads in (
        ("across", across, given["ends_per_unit"]),
        ("up", up, given["picks_per_unit"]),
    ):
        plan = size.layout_in_units(units, margin, border, motif)
        rows += [
            (f"{name} {way}", count, None if name.startswith("whole") else count * threads)
            for name, count in (
                ("plain margin, each side", plan.margin),
                ("border, each side", plan.border),
                ("centre", plan.centre),
                ("whole motifs in the centre", plan.motifs),
                ("units left over for spacing", plan.left_over),
            )
            if (count or not name.endswith("each side"))
            and (motif > 1 or not name.startswith(("whole", "units left")))
        ]
    return Table(
        "The cloth in units", ("part", "units", "ends or picks"), tuple(rows), (None, None, 0)
    )


def _take_up(given: Mapping[str, Any]) -> Answer:
    weave, picks, weft = given["weave"], given["picks"], given["weft_yarn"]
    crossing = weave.warp_intersections / weave.picks
    count = count_of(weft.tex, "cotton")
    found = losses.take_up_taylor(picks, crossing, count, given["multiplier"])
    cautions = []
    if found > 0.10:
        cautions.append(
            "More than 10 % lies outside the cloths that the rule was made for: it is for cotton "
            "of the mills, up to about 7 %. Weave a sample and measure it."
        )
    return Answer(
        {"take_up": 100 * found},
        notes=(
            "Where several weaves share one beam, take the take-up of the tightest.",
            "A first guess only: measure a thread of your own sample, and use that.",
        ),
        cautions=tuple(cautions),
        sources=("taylor-1909", "wolfensberger-1921"),
    )


def _cloth_weight(given: Mapping[str, Any]) -> Answer:
    ends, picks = given["ends"], given["picks"]
    warp, weft = given["warp_yarn"], given["weft_yarn"]
    c1, c2 = given["warp_crimp"], given["weft_crimp"]
    grams = spread(
        lambda a, b: weight.grams_per_square_metre(ends, picks, warp.tex, weft.tex, a, b),
        a=c1,
        b=c2,
    )
    warp_count, weft_count = count_of(warp.tex, "cotton"), count_of(weft.tex, "cotton")
    k1 = weight.cover_factor(ends, warp_count)
    k2 = weight.cover_factor(picks, weft_count)
    covered = weight.area_covered(k1, k2)
    cautions = [
        f"The {name} alone would cover more than all of the face: round threads of this yarn "
        "would have to press each other flat. Look at the sett again."
        for name, cover in (("warp", k1), ("weft", k2))
        if cover > weight.PEIRCE_DIAMETERS
    ]
    cautions += weight_cautions(grams.likely)
    return Answer(
        {
            "grams_per_square_metre": settled(grams),
            "cover_warp": k1,
            "cover_weft": k2,
            "area_covered": 100 * covered,
        },
        steps=(
            Step(
                "Area covered",
                f"each ÷ 28, then warp + weft − warp × weft = {percent(covered)}",
                "F-79",
            ),
        ),
        notes=(
            "Counts are those of the cloth you weigh: washed counts for washed cloth.",
            "Hotel table linen of 1908 was to weigh at least 153 g/m² (4.5 oz/yd²).",
            *guesses(warp_crimp=c1, weft_crimp=c2),
        ),
        cautions=tuple(cautions),
        sources=("peirce-1937", "balasubramanian", "gate-textile", "astm-d3883", "palmer-1908"),
    )


def _crimp(given: Mapping[str, Any]) -> Answer:
    yarn, cloth = given["yarn_length"], given["cloth_length"]
    found, taken = losses.crimp(yarn, cloth), losses.take_up(yarn, cloth)
    return Answer(
        {"crimp": 100 * found, "take_up": 100 * taken},
        cautions=tuple(crimp_cautions(found)),
        notes=(
            "These are the standard's words: crimp is told on the cloth, take-up on the thread. "
            "Where this handbook asks for the take-up of a warp it means the share of the woven "
            "length, which is the standard's crimp.",
            f"Misreading the thread by 1 mm changes the crimp by {percent(0.1 / cloth, 2)}.",
        ),
        sources=("astm-d3883",),
    )


def _wash_test(given: Mapping[str, Any]) -> Answer:
    before, after = given["before"], given["after"]
    change = losses.dimensional_change(before, after)
    factor = losses.plan_factor(change)
    cautions = []
    if before < 35:
        cautions.append("The standard sets its marks at least 35 cm apart: mark further apart.")
    if change > 0:
        cautions.append("The cloth has grown. Was it ironed or pulled before it was measured?")
    cautions += wash_cautions(change)
    return Answer(
        {"change": 100 * change, "plan_factor": factor},
        notes=(
            f"Misreading by 1 mm changes the answer by {percent(0.1 / before, 2)}.",
            "Dry, rest and measure before ironing; most of the change comes in the first wash, "
            "so wash twice more and write down all three.",
        ),
        cautions=tuple(cautions),
        sources=("iso-5077", "aatcc-135", "collins-1939"),
    )


def _shrinkage(way: str) -> Field:
    return Field(
        f"{way}_shrinkage",
        f"Lost in the wash, {way}",
        "loss",
        guess(f"{way}_shrinkage"),
        hint="A share of what was on the loom. One figure, or low–likely–high. "
        "Your own washed sample is better than any guess.",
        minimum=0,
        maximum=0.6,
        basis="common practice",
    )


_DRAW_IN = Field(
    "draw_in",
    "Draw-in",
    "loss",
    guess("draw_in"),
    hint="Share of the reed width that is lost between reed and cloth.",
    minimum=0,
    maximum=0.5,
    basis="common practice",
)
_UNIT_FIELDS = (
    Field(
        "selvedge_ends",
        "Selvedge ends, both sides",
        "count",
        "8",
        unit="ends",
        minimum=0,
        maximum=500,
        required=False,
        advanced=True,
    ),
    Field(
        "ends",
        "Ends you have already",
        "count",
        "",
        unit="ends",
        hint="All on the beam, selvedges too: what units and what width they make.",
        minimum=1,
        maximum=100_000,
        required=False,
        advanced=True,
    ),
    Field(
        "margin",
        "Plain margin, each side",
        "count",
        "",
        unit="units",
        hint="Units without pattern along every edge.",
        minimum=0,
        maximum=100_000,
        required=False,
        advanced=True,
    ),
    Field(
        "border",
        "Border, each side",
        "count",
        "",
        unit="units",
        hint="Units of border inside the margin.",
        minimum=0,
        maximum=100_000,
        required=False,
        advanced=True,
    ),
    Field(
        "motif",
        "Motif of the centre",
        "count",
        "",
        unit="units",
        hint="Units after which the centre's motif repeats, the same across and up.",
        minimum=1,
        maximum=100_000,
        required=False,
        advanced=True,
    ),
)


def _length(name: str, label: str, default: str, hint: str = "", minimum: float = 0.1) -> Field:
    return Field(name, label, "length", default, "cm", hint, minimum, LONGEST_CM)


def _density(name: str, label: str, default: str, hint: str = "") -> Field:
    return Field(name, label, "density", default, "1/cm", hint, 0.1, 500)


def _yarn(which: str, default: str, system: str) -> tuple[Field, Field]:
    return (
        Field(
            f"{which}_yarn",
            f"{which.capitalize()} yarn",
            "yarn",
            default,
            hint="As on the label, such as 16/2.",
            system_field=f"{which}_system",
        ),
        Field(
            f"{which}_system",
            f"{which.capitalize()} is counted in",
            "system",
            system,
            hint="Used when the yarn's own words do not say it.",
        ),
    )


CALCULATORS = (
    Calculator(
        "unit-grid",
        "C-20",
        "units/",
        "Size in units",
        "How many pattern units make the finished size, and are they square?",
        (
            _length(
                "finished_width",
                "Finished width",
                "48 cm",
                hint="After washing, the pattern's; selvedges are added to it.",
            ),
            _length("finished_length", "Finished length", "48 cm", "The patterned cloth, no hems."),
            _density("sett", "Sett in the reed", "24 /cm", "Ends, not dents."),
            _density("picks", "Picks on the loom", "24.2 /cm", "Counted with the warp slack."),
            Field("ends_per_unit", "Ends in a unit", "count", "5", "ends", "", 1, 100),
            Field(
                "picks_per_unit",
                "Picks in a unit",
                "number",
                "5",
                "picks",
                "A mean where they mix: 4.5 for 4 and 5 by turns.",
                1,
                100,
            ),
            _shrinkage("width"),
            _shrinkage("length"),
            _DRAW_IN,
            *_UNIT_FIELDS,
        ),
        (
            Output("units_across", "Units across", "", formula="F-68", headline=True, whole=True),
            Output("units_up", "Units up", "", formula="F-68", headline=True, whole=True),
            Output("units_per_inch", "Units to the inch, in the reed"),
            Output("unit_width", "A unit's width, washed", "mm", formula="F-64"),
            Output("unit_height", "A unit's height, washed", "mm", formula="F-65"),
            Output("squareness", "Height ÷ width", formula="F-66", headline=True),
            Output("picks_for_square", "Picks for square units", "1/inch", formula="F-67"),
            Output("reed_width", "Reed width wanted", "cm", formula="F-61", headline=True),
            Output("pattern_ends", "Pattern ends", "", formula="F-69", whole=True),
            Output("ends", "Ends with the selvedges", "", formula="F-69", whole=True),
            Output("warp_width_in_reed", "Width of these ends in the reed", "cm", formula="F-55"),
            Output("washed_width", "Width that these units wash to", "cm", formula="F-64"),
            Output("washed_width_edge", "Edge to edge, selvedges too", "cm", formula="F-64"),
            Output("washed_length", "Length that these units wash to", "cm", formula="F-65"),
        ),
        _unit_grid,
        ways=(
            Way(
                "warp",
                "How long a warp",
                {"finished_length": "finished_length", "length_shrinkage": "length_shrinkage"},
                results={"ends": "ends"},
            ),
            Way(
                "weft",
                "How much weft",
                {"picks": "picks"},
                results={"warp_width_in_reed": "reed_width"},
            ),
            Way(
                "harness",
                "Heddles and cords",
                {"ends_per_unit": "ends_per_unit"},
                results={"units_across": "units"},
            ),
            Way(
                "cloth-plan",
                "Plan the whole cloth",
                {
                    name: name
                    for name in (
                        "finished_width",
                        "finished_length",
                        "sett",
                        "picks",
                        "ends_per_unit",
                        "picks_per_unit",
                        "width_shrinkage",
                        "length_shrinkage",
                        "draw_in",
                    )
                },
            ),
        ),
    ),
    Calculator(
        "take-up",
        "C-21",
        "plan/warp-length/",
        "Take-up of the warp",
        "How much longer than the cloth must the warp be?",
        (
            Field("weave", "Weave", "weave", "satin_6"),
            _density("picks", "Picks on the loom", "24 /cm"),
            *_yarn("weft", "30/2", "cotton"),
            Field(
                "multiplier",
                "Multiplier of the rule",
                "number",
                "3",
                "",
                "3 for medium cloth, 4 for fine cloth with many picks, up to 5 for some classes.",
                1,
                10,
                basis="published",
            ),
        ),
        (Output("take_up", "Take-up on the woven length", "%", formula="F-73", headline=True),),
        _take_up,
    ),
    Calculator(
        "cloth-weight",
        "C-22",
        "plan/weft/",
        "Weight and cover",
        "How heavy is the cloth, and how much of it is thread?",
        (
            _density("ends", "Ends in the cloth", "19 /cm"),
            _density("picks", "Picks in the cloth", "19 /cm"),
            *_yarn("warp", "16/2", "cotton"),
            *_yarn("weft", "16/1", "linen"),
            Field(
                "warp_crimp",
                "Crimp of the warp",
                "loss",
                "6 %",
                hint="Extra thread as a share of the cloth's length.",
                minimum=0,
                maximum=1,
                basis="common practice",
            ),
            Field(
                "weft_crimp",
                "Crimp of the weft",
                "loss",
                "3 %",
                hint="Extra thread as a share of the cloth's width.",
                minimum=0,
                maximum=1,
                basis="common practice",
            ),
        ),
        (
            Output(
                "grams_per_square_metre",
                "Weight of the cloth",
                "g/m2",
                formula="F-77",
                headline=True,
            ),
            Output("cover_warp", "Cover factor of the warp", formula="F-78"),
            Output("cover_weft", "Cover factor of the weft", formula="F-78"),
            Output("area_covered", "Area covered", "%", formula="F-79", headline=True),
        ),
        _cloth_weight,
    ),
    Calculator(
        "crimp",
        "C-23",
        "finishing/record/",
        "Crimp of a thread",
        "How much longer is a thread than the cloth it was drawn from?",
        (
            _length("yarn_length", "The thread, straightened", "26.5 cm"),
            _length("cloth_length", "The cloth it came from", "25 cm", "Mark it before drawing."),
        ),
        (
            Output("crimp", "Crimp, on the cloth", "%", formula="F-74", headline=True),
            Output("take_up", "Take-up, on the thread", "%", formula="F-74"),
        ),
        _crimp,
    ),
    Calculator(
        "wash-test",
        "C-24",
        "finishing/record/",
        "Change in the wash",
        "How much did the sample shrink, and how much larger must the piece be woven?",
        (
            _length("before", "Between the marks, before", "35 cm"),
            _length("after", "Between the marks, washed", "32.2 cm"),
        ),
        (
            Output("change", "Change", "%", formula="F-75", headline=True),
            Output("plan_factor", "Multiply the finished size by", formula="F-76", headline=True),
        ),
        _wash_test,
    ),
)
