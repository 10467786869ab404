"""The cloth room's calculators: size in units, take-up, weight, crimp, change in the wash."""

from collections.abc import Mapping

from calculators.cloth import size, weight
from calculators.cloth.cautions import (
    FELT,
    crimp_cautions,
    edge_cautions,
    remainder,
    size_cautions,
    wash_cautions,
    weight_cautions,
)
from calculators.cloth.networks import CRIMP, SIZE, TAKE_UP, WASH_TEST, WEIGHT
from calculators.engine.calculator import Answer, Field, Table, Way
from calculators.engine.network import Figure, Worked
from calculators.engine.vocabulary import Given, aside, ask, calculated, give, if_known
from calculators.quantities.sentences import both, guesses, percent
from calculators.quantities.units import per_inch
from calculators.sett.calculators import hand_weaving_caution
from calculators.yarn.systems import count_of


def size_remarks(given: Given, done: Worked) -> tuple[list[str], list[str]]:
    """Say what whole units leave over, and where they miss the size asked for."""
    width, length = given["finished_width"], given["finished_length"]
    wide, long = done.likely("washed_width"), done.likely("pattern_length")
    in_unit, of_unit = given["ends_per_unit"], given["picks_per_unit"]
    across = done.likely("loom_width") * done.likely("cloth_sett") / in_unit
    up = done.likely("loom_length") * done.likely("picks") / of_unit
    notes = [
        remainder(across, done.whole("units_across"), in_unit, "across", wide - width),
        remainder(up, done.whole("units_up"), of_unit, "up", long - length),
    ]
    cautions = [
        *hand_weaving_caution(per_inch(done.likely("reed_sett"))),
        *squareness_cautions(done.likely("squareness"), per_inch(done.likely("picks_for_square"))),
        *size_cautions(wide, width, "wide"),
        *size_cautions(long, length, "long"),
        *edge_cautions(wide, done.likely("washed_width_edge")),
    ]
    return notes, cautions


def _size_remarks(given: Given, done: Worked) -> Answer:
    tables = {"layout": _layout(given, done.whole("units_across"), done.whole("units_up"))}
    mixed = picks_table(given["picks_per_unit"], done.likely("squareness"))
    if mixed:
        tables["picks"] = mixed
    if given["ends"] is not None:
        tables["back"] = _back(given, done)
    notes, cautions = size_remarks(given, done)
    return Answer(
        tables=tables,
        notes=(
            *notes,
            "Pieces with hems are longer on the loom by their hems.",
            *guesses(
                width_shrinkage=given["width_shrinkage"],
                length_shrinkage=given["length_shrinkage"],
                draw_in=given["draw_in"],
            ),
        ),
        cautions=tuple(cautions),
        sources=("posselt-1888",),
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


def _back(given: Given, done: Worked) -> Table:
    """Work from the ends on the beam to the finished width."""
    ends = given["ends"]
    units, over = size.units_in_ends(ends, given["ends_per_unit"], given["selvedge_ends"] or 0)
    there = done.otherwise(ends=ends)
    return Table(
        f"Back from the {ends} ends you have",
        ("", "lowest", "likely", "highest"),
        (
            ("whole units", None, str(units), None),
            ("ends that make no unit, for the selvedges", None, str(over), None),
            *(
                (words, *(both(value, "cm") for value in (one.low, one.likely, one.high)))
                for words, one in (
                    (
                        "width in the reed, selvedges counted",
                        there.ranged("warp_width_in_reed"),
                    ),
                    ("width on the loom", there.ranged("edge_loom_width")),
                    ("width washed", there.ranged("washed_width_edge")),
                )
            ),
        ),
    )


def _layout(given: Given, across: int, up: int) -> Table:
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


def _weave_and_weft(given: Given) -> Mapping[str, Figure | None]:
    weave = given["weave"]
    return {
        "intersections_per_pick": weave.warp_intersections / weave.picks,
        "weft_count": count_of(given["weft_yarn"].tex, "cotton"),
    }


def _take_up_remarks(_: Given, done: Worked) -> Answer:
    cautions = []
    if done.likely("take_up") > 0.10:
        cautions.append(
            "More than 10 % lies outside the cloths that the rule was made for: it is for cotton "
            "of the mills, up to about 7 %. Weave a sample and measure it."
        )
    return Answer(
        notes=(
            "Where several weaves share one beam, take the take-up of the tightest.",
            "A first guess only: measure a thread of your own sample, and use that.",
        ),
        cautions=tuple(cautions),
        sources=("wolfensberger-1921",),
    )


def _counts(given: Given) -> Mapping[str, Figure | None]:
    return {
        "warp_count": count_of(given["warp_yarn"].tex, "cotton"),
        "weft_count": count_of(given["weft_yarn"].tex, "cotton"),
    }


def _weight_remarks(given: Given, done: Worked) -> Answer:
    cautions = [
        f"The {name} alone would cover more than all of the face: round threads of this yarn "
        "would have to press each other flat. Look at the sett again."
        for name in ("warp", "weft")
        if done.likely(f"cover_{name}") > weight.PEIRCE_DIAMETERS
    ]
    cautions += weight_cautions(done.likely("grams_per_square_metre"))
    return Answer(
        notes=(
            "Counts are those of the cloth you weigh: washed counts for washed cloth.",
            "Hotel table linen of 1908 was to weigh at least 153 g/m² (4.5 oz/yd²).",
            *guesses(warp_crimp=given["warp_crimp"], weft_crimp=given["weft_crimp"]),
        ),
        cautions=tuple(cautions),
        sources=("palmer-1908",),
    )


def _crimp_remarks(given: Given, done: Worked) -> Answer:
    misread = percent(0.1 / given["cloth_length"], 2)
    return Answer(
        cautions=tuple(crimp_cautions(done.likely("crimp"))),
        notes=(
            "These are the standard's words: crimp is told on the cloth, take-up on the thread. "
            "Where this handbook asks for the take-up of a warp it means the share of the woven "
            "length, which is the standard's crimp.",
            f"Misreading the thread by 1 mm changes the crimp by {misread}.",
        ),
    )


def _wash_remarks(given: Given, done: Worked) -> Answer:
    before, change = given["before"], done.likely("change")
    cautions = []
    if before < 35:
        cautions.append("The standard sets its marks at least 35 cm apart: mark further apart.")
    if change > 0:
        cautions.append("The cloth has grown. Was it ironed or pulled before it was measured?")
    cautions += wash_cautions(change)
    return Answer(
        notes=(
            f"Misreading by 1 mm changes the answer by {percent(0.1 / before, 2)}.",
            "Dry, rest and measure before ironing; most of the change comes in the first wash, "
            "so wash twice more and write down all three.",
        ),
        cautions=tuple(cautions),
        sources=("aatcc-135", "collins-1939"),
    )


def _yarn(which: str, default: str, system: str) -> tuple[Field, Field]:
    return (
        ask(f"{which}_yarn", default, system_field=f"{which}_system"),
        ask(f"{which}_system", system),
    )


CALCULATORS = (
    calculated(
        "unit-grid",
        "C-20",
        "units/",
        "Size in units",
        "How many pattern units make the finished size, and are they square?",
        (
            ask("finished_width", "48 cm"),
            ask("finished_length", "48 cm", hint="The patterned cloth, no hems."),
            ask("reed_sett", "24 /cm", name="sett"),
            ask("picks", "24.2 /cm"),
            ask("ends_per_unit", "5"),
            ask(
                "picks_per_unit",
                "5",
                kind="number",
                hint="A mean where they mix: 4.5 for 4 and 5 by turns.",
            ),
            ask("width_shrinkage"),
            ask("length_shrinkage"),
            ask("draw_in"),
            aside("selvedge_ends", "8", required=False),
            if_known("ends_there", name="ends"),
            if_known("margin"),
            if_known("border"),
            if_known("motif"),
        ),
        (
            give("units_across", headline=True),
            give("units_up", headline=True),
            give("units_per_inch"),
            give("unit_width"),
            give("unit_height"),
            give("squareness", headline=True),
            give("picks_for_square"),
            give("reed_width", headline=True),
            give("pattern_ends"),
            give("ends"),
            give("warp_width_in_reed"),
            give("washed_width"),
            give("washed_width_edge"),
            give("pattern_length", name="washed_length"),
        ),
        SIZE,
        _size_remarks,
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
    calculated(
        "take-up",
        "C-21",
        "plan/warp-length/",
        "Take-up of the warp",
        "How much longer than the cloth must the warp be?",
        (
            ask("weave", "satin_6"),
            ask("picks", "24 /cm"),
            *_yarn("weft", "30/2", "cotton"),
            ask("multiplier", "3", basis="published"),
        ),
        (give("take_up", label="Take-up on the woven length", headline=True),),
        TAKE_UP,
        _take_up_remarks,
        _weave_and_weft,
    ),
    calculated(
        "cloth-weight",
        "C-22",
        "plan/weft/",
        "Weight and cover",
        "How heavy is the cloth, and how much of it is thread?",
        (
            ask("cloth_ends", "19 /cm", name="ends"),
            ask("cloth_picks", "19 /cm", name="picks"),
            *_yarn("warp", "16/2", "cotton"),
            *_yarn("weft", "16/1", "linen"),
            ask("warp_crimp", "6 %", basis="common practice"),
            ask("weft_crimp", "3 %", basis="common practice"),
        ),
        (
            give("grams_per_square_metre", headline=True),
            give("cover_warp"),
            give("cover_weft"),
            give("area_covered", headline=True),
        ),
        WEIGHT,
        _weight_remarks,
        _counts,
    ),
    calculated(
        "crimp",
        "C-23",
        "finishing/record/",
        "Crimp of a thread",
        "How much longer is a thread than the cloth it was drawn from?",
        (ask("yarn_length", "26.5 cm"), ask("cloth_length", "25 cm")),
        (give("crimp", headline=True), give("thread_take_up", name="take_up")),
        CRIMP,
        _crimp_remarks,
    ),
    calculated(
        "wash-test",
        "C-24",
        "finishing/record/",
        "Change in the wash",
        "How much did the sample shrink, and how much larger must the piece be woven?",
        (ask("before", "35 cm"), ask("after", "32.2 cm")),
        (give("change", headline=True), give("plan_factor", headline=True)),
        WASH_TEST,
        _wash_remarks,
    ),
)
