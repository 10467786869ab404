"""The cloth room's calculators: size in units, take-up, weight, crimp, change in the wash."""

from collections.abc import Mapping
from dataclasses import replace

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
from calculators.cloth.networks import CRIMP, SIZE, TAKE_UP, THICKNESS, WASH_TEST, WEIGHT
from calculators.engine.calculator import Answer, Field, Table, Way, in_parts
from calculators.engine.network import Figure, Worked
from calculators.engine.vocabulary import Inputs, aside, ask, calculated, give, if_known
from calculators.errors import InputError
from calculators.quantities.sentences import both, guesses, many, percent
from calculators.quantities.units import per_inch
from calculators.sett.calculators import hand_weaving_caution
from calculators.yarn.systems import count_of

FLATTENED = 0.6  # of a round thread; common practice, no source


def size_remarks(inputs: Inputs, figures: Worked) -> tuple[list[str], list[str]]:
    """Say what whole units leave over, and where they miss the size asked for."""
    finished_width, finished_length = inputs["finished_width"], inputs["finished_length"]
    sides = figures.likely("side_hems") if "side_hems" in figures else 0.0
    width, length = figures.likely("washed_width") - sides, figures.likely("pattern_length")
    ends, picks = inputs["ends_per_unit"], inputs["picks_per_unit"]
    notes = [
        remainder(
            figures.likely("loom_width") * figures.likely("cloth_sett") / ends,
            figures.whole("units_across"),
            "across",
            threads=ends,
            larger_by=width - finished_width,
        ),
        remainder(
            figures.likely("loom_length") * figures.likely("picks") / picks,
            figures.whole("units_up"),
            "up",
            threads=picks,
            larger_by=length - finished_length,
        ),
    ]
    picks_for_square = per_inch(figures.likely("picks_for_square"))
    cautions = [
        *hand_weaving_caution(per_inch(figures.likely("reed_sett"))),
        *squareness_cautions(figures.likely("squareness"), picks_for_square),
        *size_cautions(width, finished_width, "wide"),
        *size_cautions(length, finished_length, "long"),
        *edge_cautions(width, figures.likely("washed_width_edge") - sides),
    ]
    return notes, cautions


def _size_remarks(inputs: Inputs, figures: Worked) -> Answer:
    notes, cautions = size_remarks(inputs, figures)
    across, up = figures.whole("units_across"), figures.whole("units_up")
    mixed = picks_table(inputs["picks_per_unit"], figures.likely("squareness"))
    backward = {} if inputs["ends"] is None else {"back": _back(inputs, figures)}
    answer = in_parts(
        {
            "Cloth": Answer(
                tables={"layout": _layout(inputs, across, up)},
                notes=(
                    *notes,
                    "Pieces with hems are longer on the loom by their hems.",
                    *guesses(
                        width_shrinkage=inputs["width_shrinkage"],
                        length_shrinkage=inputs["length_shrinkage"],
                        draw_in=inputs["draw_in"],
                    ),
                ),
                cautions=tuple(cautions),
            ),
            "Winding and beaming": Answer(tables=backward),
            "Weaving": Answer(tables={"picks": mixed} if mixed else {}),
        }
    )
    return replace(answer, sources=("posselt-1888",))


def squareness_cautions(squareness: float, picks_for_square: float) -> list[str]:
    """Say how far units are from square, and the picks [1/inch] that would make them so."""
    excess = squareness - 1
    if abs(excess) <= FELT:
        return []
    return [
        f"Units will be {percent(abs(excess))} {'taller' if excess > 0 else 'shorter'} than wide "
        f"after washing. Weave {both(picks_for_square, '1/inch')} for square units, or change the "
        "picks of a unit."
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


def _back(inputs: Inputs, figures: Worked) -> Table:
    """Work from the ends on the beam to the finished width."""
    ends = inputs["ends"]
    units, rest = size.units_in_ends(ends, inputs["ends_per_unit"], inputs["selvedge_ends"] or 0)
    back = figures.otherwise(ends=ends)
    return Table(
        f"Back from the {many(ends, 'ends')} you have",
        ("", "lowest", "likely", "highest"),
        (
            ("whole units", None, str(units), None),
            ("ends that make no unit, for the selvedges", None, str(rest), None),
            *(
                (words, *(both(value, "cm") for value in (width.low, width.likely, width.high)))
                for words, width in (
                    ("width in the reed, selvedges counted", back.ranged("warp_width_in_reed")),
                    ("width on the loom", back.ranged("edge_loom_width")),
                    ("width washed", back.ranged("washed_width_edge")),
                )
            ),
        ),
    )


def _layout(inputs: Inputs, across: int, up: int) -> Table:
    margin, border, motif = inputs["margin"] or 0, inputs["border"] or 0, inputs["motif"] or 1
    selvedge = inputs["selvedge_ends"] or 0
    rows: list[tuple[str, float, float | None]] = [
        ("selvedges, both sides together", selvedge / inputs["ends_per_unit"], selvedge)
    ]
    for direction, units, threads in (
        ("across", across, inputs["ends_per_unit"]),
        ("up", up, inputs["picks_per_unit"]),
    ):
        layout = size.layout_in_units(units, margin, border, motif)
        rows += [
            (f"{part} {direction}", count, count * threads)
            for part, count in (
                ("plain margin, each side", layout.margin),
                ("border, each side", layout.border),
                ("centre", layout.centre),
            )
            if count
        ]
        if motif > 1:
            left_over = layout.left_over
            rows += [
                (f"whole motifs in the centre {direction}", layout.motifs, None),
                (f"units left over for spacing {direction}", left_over, left_over * threads),
            ]
    return Table(
        "The cloth in units", ("part", "units", "ends or picks"), tuple(rows), (None, None, 0)
    )


def frame_remarks(inputs: Inputs, figures: Worked) -> tuple[str, ...]:
    """Say what a plain margin and a border leave for the centre, refused where they leave none."""
    margin, border = inputs["margin"] or 0, inputs["border"] or 0
    if not margin + border:
        return ()
    across, up = (
        size.layout_in_units(figures.whole(f"units_{way}"), margin, border).centre
        for way in ("across", "up")
    )
    return (
        f"Inside a margin of {margin} and a border of {many(border, 'units')} the centre has "
        f"{many(across, 'units')} across and {up} up.",
    )


def _weave_and_weft(inputs: Inputs) -> Mapping[str, Figure | None]:
    weave = inputs["weave"]
    return {
        "intersections_per_pick": weave.warp_intersections / weave.picks,
        "weft_count": count_of(inputs["weft_yarn"].tex, "cotton"),
    }


def _take_up_remarks(_: Inputs, figures: Worked) -> Answer:
    cautions = []
    if figures.likely("take_up") > 0.10:
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


def _counts(inputs: Inputs) -> Mapping[str, Figure | None]:
    return {
        "warp_count": count_of(inputs["warp_yarn"].tex, "cotton"),
        "weft_count": count_of(inputs["weft_yarn"].tex, "cotton"),
    }


def _weight_remarks(inputs: Inputs, figures: Worked) -> Answer:
    cautions = [
        f"The {name} alone would cover more than all of the face: round threads of this yarn "
        "would have to press each other flat. Look at the sett again."
        for name in ("warp", "weft")
        if figures.likely(f"cover_{name}") > weight.PEIRCE_DIAMETERS
    ]
    cautions += weight_cautions(figures.likely("grams_per_square_metre"))
    return Answer(
        notes=(
            "Counts are those of the cloth you weigh: washed counts for washed cloth.",
            "Hotel table linen of 1908 was to weigh at least 153 g/m² (4.5 oz/yd²).",
            *guesses(warp_crimp=inputs["warp_crimp"], weft_crimp=inputs["weft_crimp"]),
        ),
        cautions=tuple(cautions),
        sources=("palmer-1908",),
    )


def _weave_and_counts(inputs: Inputs) -> Mapping[str, Figure | None]:
    weave = inputs["weave"]
    if inputs["warp_crimp"].likely == inputs["weft_crimp"].likely == 0:
        raise InputError(
            "warp_crimp",
            "Neither warp nor weft is to bend, but where they cross one of them must.",
            "Draw a thread from the cloth and measure its crimp; 5 to 15 % is common.",
        )
    return {
        **_counts(inputs),
        "picks_per_intersection": weave.picks / weave.warp_intersections,
        "ends_per_intersection": weave.ends / weave.weft_intersections,
    }


def _thickness_remarks(inputs: Inputs, figures: Worked) -> Answer:
    kept = figures.likely("roundness")
    cautions = [
        *crimp_cautions(inputs["warp_crimp"].likely),
        *crimp_cautions(inputs["weft_crimp"].likely),
    ]
    if kept < FLATTENED:
        cautions.append(
            f"With so little crimp the threads would be pressed to {percent(kept)} of their round "
            "thickness. Look at the crimp again: draw a thread and measure it."
        )
    return Answer(
        notes=(
            "Pressed is the least, loose the most: all the crimp would have to stand up, and some "
            "of it always lies sideways. A cloth in the hand is between the two.",
            "Counts and crimp are those of the cloth you hold: washed ones for washed cloth.",
            "The diameter is Peirce’s for cotton. Linen is reckoned as cotton of its weight.",
            *guesses(warp_crimp=inputs["warp_crimp"], weft_crimp=inputs["weft_crimp"]),
        ),
        cautions=tuple(cautions),
    )


def _crimp_remarks(inputs: Inputs, figures: Worked) -> Answer:
    misread = percent(0.1 / inputs["cloth_length"], 2)
    return Answer(
        cautions=tuple(crimp_cautions(figures.likely("crimp"))),
        notes=(
            "These are the standard's words: crimp is told on the cloth, take-up on the thread. "
            "Where this handbook asks for the take-up of a warp it means the share of the woven "
            "length, which is the standard's crimp.",
            f"Misreading the thread by 1 mm (0.04 in) changes the crimp by {misread}.",
        ),
    )


def _wash_remarks(inputs: Inputs, figures: Worked) -> Answer:
    before, change = inputs["before"], figures.likely("change")
    cautions = []
    if before < 35:
        cautions.append(
            "The standard sets its marks at least 35 cm (13¾ in) apart: mark further apart."
        )
    if change > 0:
        cautions.append("The cloth has grown. Was it ironed or pulled before it was measured?")
    cautions += wash_cautions(change)
    return Answer(
        notes=(
            f"Misreading by 1 mm (0.04 in) changes the answer by {percent(0.1 / before, 2)}.",
            "Dry, rest and measure before ironing; most of the change comes in the first wash, "
            "so wash twice more and write down all three.",
        ),
        cautions=tuple(cautions),
        sources=("aatcc-135", "collins-1939"),
    )


def _yarn(side: str, default: str, system: str) -> tuple[Field, Field]:
    return (
        ask(f"{side}_yarn", default, system_field=f"{side}_system"),
        ask(f"{side}_system", system),
    )


CALCULATORS = (
    calculated(
        id="unit-grid",
        code="C-20",
        page="units/",
        title="Size in units",
        question="How many pattern units make the finished size, and are they square?",
        asks=(
            ask("finished_width", "48 cm"),
            ask("finished_length", "48 cm", hint="The patterned cloth, no hems."),
            ask("reed_sett", "24 /cm", name="sett"),
            ask(
                "picks",
                "24.2 /cm",
                required=False,
                hint="Left empty, the picks that make a unit square after washing are taken.",
            ),
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
        gives=(
            give("units_across", headline=True, stage="Cloth"),
            give("units_up", headline=True, stage="Cloth"),
            give("units_per_inch", stage="Reed"),
            give("unit_width", stage="Cloth"),
            give("unit_height", stage="Cloth"),
            give("squareness", headline=True, stage="Cloth"),
            give("picks", stage="Weaving"),
            give("picks_for_square", stage="Weaving"),
            give("reed_width", headline=True, stage="Reed"),
            give("pattern_ends", stage="Winding and beaming"),
            give("ends", stage="Winding and beaming"),
            give("warp_width_in_reed", stage="Reed"),
            give("washed_width", stage="Cloth"),
            give("washed_width_edge", stage="Cloth"),
            give("pattern_length", name="washed_length", stage="Cloth"),
        ),
        formulas=SIZE,
        remarks=_size_remarks,
        ways=(
            Way("warp", "How long a warp"),
            Way("weft", "How much weft"),
            Way("harness", "Heddles and cords"),
            Way("cloth-plan", "Plan the whole cloth"),
        ),
    ),
    calculated(
        id="take-up",
        code="C-21",
        page="plan/warp-length/",
        title="Take-up of the warp",
        question="How much longer than the cloth must the warp be?",
        asks=(
            ask("weave", "satin_6"),
            ask("picks", "24 /cm"),
            *_yarn("weft", "30/2", "cotton"),
            ask("multiplier", "3", basis="published"),
        ),
        gives=(give("take_up", label="Take-up on the woven length", headline=True),),
        formulas=TAKE_UP,
        remarks=_take_up_remarks,
        prepare=_weave_and_weft,
    ),
    calculated(
        id="cloth-weight",
        code="C-22",
        page="plan/weft/",
        title="Weight and cover",
        question="How heavy is the cloth, and how much of it is thread?",
        asks=(
            ask("cloth_ends", "19 /cm", name="ends"),
            ask("cloth_picks", "19 /cm", name="picks"),
            *_yarn("warp", "16/2", "cotton"),
            *_yarn("weft", "16/1", "linen"),
            ask("warp_crimp", "6 %", basis="common practice"),
            ask("weft_crimp", "3 %", basis="common practice"),
        ),
        gives=(
            give("grams_per_square_metre", headline=True),
            give("cover_warp"),
            give("cover_weft"),
            give("area_covered", headline=True),
        ),
        formulas=WEIGHT,
        remarks=_weight_remarks,
        prepare=_counts,
    ),
    calculated(
        id="thickness",
        code="C-67",
        page="structures/looking/",
        title="Thickness of a cloth",
        question="How thick is the cloth, pressed and loose?",
        asks=(
            ask("weave", "satin_6"),
            *_yarn("warp", "16/2", "cotton"),
            *_yarn("weft", "16/2", "cotton"),
            ask("cloth_ends", "20 /cm", name="ends"),
            ask("cloth_picks", "20 /cm", name="picks"),
            ask("warp_crimp", "12 %", basis="common practice"),
            ask("weft_crimp", "12 %", basis="common practice"),
        ),
        gives=(
            give("thickness_pressed", headline=True),
            give("thickness_loose", headline=True),
            give("roundness"),
            give("even_crimp_warp"),
            give("even_crimp_weft"),
            give("warp_wave"),
            give("weft_wave"),
        ),
        formulas=THICKNESS,
        remarks=_thickness_remarks,
        prepare=_weave_and_counts,
    ),
    calculated(
        id="crimp",
        code="C-23",
        page="finishing/record/",
        title="Crimp of a thread",
        question="How much longer is a thread than the cloth it was drawn from?",
        asks=(ask("yarn_length", "26.5 cm"), ask("cloth_length", "25 cm")),
        gives=(give("crimp", headline=True), give("thread_take_up", name="take_up")),
        formulas=CRIMP,
        remarks=_crimp_remarks,
    ),
    calculated(
        id="wash-test",
        code="C-24",
        page="finishing/record/",
        title="Change in the wash",
        question="How much did the sample shrink, and how much larger must the piece be woven?",
        asks=(ask("before", "35 cm"), ask("after", "32.2 cm")),
        gives=(give("change", headline=True), give("plan_factor", headline=True)),
        formulas=WASH_TEST,
        remarks=_wash_remarks,
    ),
)
