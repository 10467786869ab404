"""What dressing the loom asks: eyes, weights, the shed and what it stretches, a longer loom."""

from collections.abc import Mapping

from calculators.engine.calculator import Answer, Field, Table, Way
from calculators.engine.formula import unlogged
from calculators.engine.network import Figure, Worked
from calculators.engine.vocabulary import Inputs, ask, calculated, give, if_known
from calculators.errors import InputError
from calculators.loom.cautions import (
    eye_cautions,
    line_cautions,
    sag_cautions,
    shuttle_cautions,
    stretch_cautions,
    unit_weight_cautions,
)
from calculators.loom.networks import EYE, SHED, WEIGHT
from calculators.quantities.sentences import both, many, percent
from calculators.show.pictures import loom_side_svg

HANDS_BREADTH_CM = 10
MEASURED = ("test_weight", "test_ends", "test_span", "test_sag")


def _eye_remarks(inputs: Inputs, figures: Worked) -> Answer:
    travel = figures.likely("shaft_travel")
    return Answer(
        notes=(
            f"A ground shaft goes {both(travel, 'cm')} up and as much down from rest, "
            f"{both(2 * travel, 'cm')} in all: its springs or weights must allow it.",
            "The eye is reckoned at the back ground shaft. In front of it the shed is lower, so "
            "all shafts may have the same eyes.",
        ),
        cautions=tuple(
            eye_cautions(
                inputs["own_eye"],
                inputs["pattern_lift"],
                inputs["eye_clearance"],
                figures.likely("eye_length"),
            )
        ),
    )


def _side_picture(inputs: Inputs) -> str:
    """Draw the loom from the side with these distances [cm]."""
    return loom_side_svg(
        fell_to_shafts=inputs["fell_to_shafts"],
        harness_distance=inputs["harness_distance"],
        behind_harness=inputs["behind_harness"],
        pattern_lift=inputs["pattern_lift"],
        below_line=inputs["below_line"],
    )


def _shuttle_before_the_shafts(inputs: Inputs) -> Mapping[str, Figure | None]:
    """Refuse a shuttle that would run behind the shafts."""
    place, shafts = inputs["shuttle_place"], inputs["fell_to_shafts"]
    if place > shafts:
        raise InputError(
            "shuttle_place",
            f"The shuttle would run {both(place, 'cm')} from the fell, behind the ground shafts, "
            f"which stand {both(shafts, 'cm')} from it.",
            "Measure from the fell to the near side of the shuttle, for example 9 cm.",
        )
    return {}


def _shed_remarks(inputs: Inputs, figures: Worked) -> Answer:
    drawn = figures.likely("drawn_stretch")
    notes = [
        "Stretch is reckoned against the ends at rest, with both ends of the warp held fast. A "
        "weighted beam gives, and makes it less.",
        "Ends at rest lie best half the lift below the straight line, here "
        f"{both(inputs['pattern_lift'] / 2, 'cm')}. Higher, drawn ends are stretched more; lower, "
        "they hang slacker than those at rest.",
    ]
    if drawn < 0:
        notes.append(f"Drawn ends are {percent(-drawn, 2)} slacker than at rest.")
    return Answer(
        notes=tuple(notes),
        cautions=(
            *shuttle_cautions(inputs["shuttle_depth"], figures.likely("shuttle_shed")),
            *stretch_cautions(figures.likely("greatest_stretch")),
            *line_cautions(inputs["below_line"], inputs["pattern_lift"]),
        ),
        pictures=(_side_picture(inputs),),
    )


def _pull_is_known(inputs: Inputs) -> Mapping[str, Figure | None]:
    """Take the measured pull before a typed one; refuse half a measurement."""
    missing = [name for name in MEASURED if inputs[name] is None]
    if 0 < len(missing) < len(MEASURED):
        raise InputError(
            missing[0],
            "The pull is measured only by half.",
            "Fill in the weight, the ends under it, the free stretch and the sag, or none of them.",
        )
    if inputs["ends_bound"] > inputs["ends_per_unit"]:
        raise InputError(
            "ends_bound",
            f"{many(inputs['ends_bound'], 'ends')} cannot be raised in a unit of "
            f"{inputs['ends_per_unit']}.",
            "In satin and 1/3 twill it is 1.",
        )
    return {} if missing else {"end_pull": None}


def _weight_remarks(inputs: Inputs, figures: Worked) -> Answer:
    wanted, pull = figures.high("heddle_weight"), figures.likely("end_pull")
    notes = [
        "The warp lifts a resting unit, because its ends lie below the straight line, and the "
        "ground lifts the end that it binds. The weight has to hold against both.",
        "More room between ground and harness lightens it; so does a lower pull, or resting ends "
        "nearer the line.",
    ]
    if inputs["test_sag"] is not None:
        notes.append(f"Measured: {both(pull, 'g')} on one end; a typed pull is not used.")
    return Answer(
        notes=tuple(notes),
        cautions=(
            *unit_weight_cautions(wanted, inputs["weight_each"], pull),
            *sag_cautions(inputs["test_sag"], inputs["test_span"]),
            *line_cautions(inputs["below_line"], inputs["pattern_lift"]),
        ),
        sources=("bell-1895",),
    )


def _longer_remarks(inputs: Inputs, figures: Worked) -> Answer:
    behind, more = inputs["behind_harness"], inputs["more_behind"]
    then = figures.otherwise(behind_harness=behind + more).likely("greatest_stretch")
    with unlogged():
        now = figures.likely("greatest_stretch")
        rows = tuple(
            (
                both(length, "cm"),
                100 * figures.otherwise(behind_harness=length).likely("greatest_stretch"),
            )
            for length in sorted(
                {behind + HANDS_BREADTH_CM * hands for hands in range(-6, 7)} | {behind + more}
            )
            if length >= HANDS_BREADTH_CM
        )
    notes = [
        "The gain lasts until the back rod comes over the back beam. From then on the free yarn "
        "ends at the rod, and the upper lines of the table come back one by one.",
        "A longer loom costs no yarn where the rod can follow, on long cords, up to the harness. "
        "Otherwise count the added length as loom waste.",
    ]
    if more and now > 0:
        notes.insert(0, f"That takes {percent((now - then) / now, 0)} off the greatest stretch.")
    return Answer(
        {"stretch_then": 100 * then},
        tables={
            "behind": Table(
                "Length behind the harness, and what it does",
                ("behind the harness", "greatest stretch, %"),
                rows,
                (None, 2),
            )
        },
        notes=tuple(notes),
        cautions=(
            *stretch_cautions(then),
            *line_cautions(inputs["below_line"], inputs["pattern_lift"]),
        ),
    )


def _distances() -> tuple[Field, ...]:
    return (ask("fell_to_shafts", "25 cm"), ask("harness_distance", "18 cm"))


PAGE = "warp/dressing/"
LIFT = ask("pattern_lift", "5.5 cm")
BEHIND = ask("behind_harness", "75 cm")
FURTHER = ask("further_back", "40 cm")
BELOW = ask("below_line", "2.5 cm")

CALCULATORS = (
    calculated(
        id="long-eye",
        code="C-62",
        page=PAGE,
        title="Long eyes",
        question="How long must the long eyes be, and how far does a ground shaft go?",
        asks=(
            LIFT,
            *_distances(),
            ask("eye_clearance", "3 mm"),
            if_known("own_eye"),
        ),
        gives=(
            give("eye_length", headline=True),
            give("shafts_shed"),
            give("shaft_travel", headline=True),
            give("lift_allowed"),
        ),
        formulas=EYE,
        remarks=_eye_remarks,
        ways=(Way("shed-and-stretch", "What that shed does to the ends"),),
    ),
    calculated(
        id="unit-weight",
        code="C-63",
        page=PAGE,
        title="Weight to a unit",
        question="How heavy must a weight be to hold its unit down?",
        asks=(
            ask("ends_per_unit", "5"),
            ask("end_pull", "50 g", basis="from memory"),
            LIFT,
            *_distances(),
            BEHIND,
            BELOW,
            ask("ends_bound", "1"),
            ask("rubbing", "20 %", basis="from memory"),
            if_known("weight_each"),
            if_known("test_weight"),
            if_known("test_ends"),
            if_known("test_span"),
            if_known("test_sag"),
        ),
        gives=(
            give("heddle_weight", headline=True),
            give("pull_measured"),
            give("pull_held"),
        ),
        formulas=WEIGHT,
        remarks=_weight_remarks,
        prepare=_pull_is_known,
        ways=(Way("harness", "All the weights", results={"weight_each": "heddle_weight"}),),
    ),
    calculated(
        id="shed-and-stretch",
        code="C-64",
        page=PAGE,
        title="Shed and stretch",
        question="How tall is the shed for the shuttle, and what does it stretch the ends?",
        asks=(
            LIFT,
            *_distances(),
            BEHIND,
            FURTHER,
            BELOW,
            ask("shuttle_place", "9 cm"),
            if_known("shuttle_depth"),
        ),
        gives=(
            give("shuttle_shed", headline=True),
            give("shafts_shed"),
            give("greatest_stretch", formula="F-215", headline=True),
            give("drawn_stretch"),
            give("down_stretch"),
            give("up_stretch"),
        ),
        formulas=SHED,
        remarks=_shed_remarks,
        prepare=_shuttle_before_the_shafts,
        ways=(Way("longer-loom", "More length behind"),),
    ),
    calculated(
        id="longer-loom",
        code="C-65",
        page=PAGE,
        title="A longer loom",
        question="What does more length behind the pattern harness buy?",
        asks=(
            LIFT,
            *_distances(),
            BEHIND,
            FURTHER,
            BELOW,
            ask("more_behind", "10 cm"),
            if_known("wanted_stretch"),
        ),
        gives=(
            give(
                "greatest_stretch",
                label="Greatest stretch now",
                short="Now",
                formula="F-215",
                headline=True,
            ),
            give("stretch_then", formula="F-215", headline=True),
            give("length_behind"),
        ),
        formulas=SHED,
        remarks=_longer_remarks,
    ),
)
