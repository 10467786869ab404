"""What the room of the cloth's look is asked."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from math import gcd
from typing import Any

from calculators.appearance import eye
from calculators.appearance.fabric import AS_WOVEN, PRESSED, Fabric, Side, Thread
from calculators.appearance.light import STANDING, Light, read_light
from calculators.appearance.pictures import MOST_POINTS, Crop, luminances, seen_png, threads_png
from calculators.cloth import size
from calculators.cloth.networks import picks
from calculators.engine.calculator import Answer, Calculator, Way
from calculators.engine.formula import unlogged
from calculators.engine.links import carried
from calculators.engine.network import Network, Worked
from calculators.engine.reading import read_inputs
from calculators.engine.run import work_out
from calculators.engine.vocabulary import Inputs, aside, ask, calculated, give, if_known, known
from calculators.figure.draw import SQUARE, STAR
from calculators.figure.edges import given, weft_faced
from calculators.figure.grid import Grid
from calculators.figure.wholes import ground_orders, read_figure
from calculators.quantities.format import format_number
from calculators.quantities.sentences import both, many
from calculators.show.pictures import cloth_svg
from calculators.weave.drawing import room_of
from calculators.yarn.colour import parse_colour
from calculators.yarn.diameter import diameter_mm

NEAR_THREADS = 48  # about so many across a picture that is seen from near
MOST_TRIED = 20  # parts each way, to find the one that is seen from near
NEAR_POINTS = 8  # to a thread
TRUE_MM = 70  # of what is shown in true size: as much as a phone has room for
MOMENT = 1_000_000  # points that are drawn in a moment
THREADS_ACROSS = 1_400  # points across a picture of every thread, or one to a thread
MOST_SEEN = 1_500_000  # points of a picture of the whole cloth
TOLD_APART = 1.02  # from memory: a fiftieth more light is about what an eye tells apart

SEEN = Network(
    size.cloth_sett,
    size.unit_width,
    size.unit_height,
    size.squareness,
    size.picks_for_square,
    picks,
    eye.detail,
    eye.stroke_units,
    eye.stroke,
    decided=("picks", "stroke_units"),
)


@dataclass(frozen=True)
class Look:
    """A cloth in its light, seen from so many cm, where the eye parts so small a detail [mm]."""

    fabric: Fabric
    light: Light
    side: Side
    distance: float
    detail: float

    def near(self, fine: int = NEAR_POINTS) -> tuple[bytes, Crop]:
        """Some threads where figure and ground meet, and which part of the figure it is."""
        fabric = self.fabric
        rooms = 1 / fabric.sett, 1 / fabric.picks
        points = [max(3, round(fine * room / min(rooms))) for room in rooms]
        across = min(fabric.grid.across, max(2, round(NEAR_THREADS / fabric.ends_per_unit)))
        width, height = fabric.unit_mm
        crop = _meeting(fabric, across, max(2, round(across * width / height)))
        shape = min(24, points[0]), min(24, points[1])
        return threads_png(fabric, self.light, self.side, shape, crop), crop

    def whole(self) -> bytes:
        """The whole figure, as finely as the eye parts it, or as is worth drawing."""
        width, height = self.fabric.size_mm
        return seen_png(
            self.fabric,
            self.light,
            self.side,
            max(self.detail, (width * height / MOST_SEEN) ** 0.5),
        )

    def near_svg(self, larger: float = 0, fine: int = NEAR_POINTS) -> str:
        """The threads as a picture with words; so many times as large as the cloth, if told."""
        png, crop = self.near(fine)
        width, height = self.fabric.unit_mm
        scale = f", about {larger:g} times as large as the cloth" if larger else ""
        return cloth_svg(
            f"Near{scale}: {self.seen_as()}",
            f"{many(crop.across, 'units')} across and {crop.up} up, from unit {crop.left + 1} of "
            f"row {crop.low + 1}; {self.in_words()}.",
            png,
            (crop.across * width, crop.up * height),
            larger,
        )

    def whole_svg(self) -> str:
        """The whole figure as a picture with words, as it is seen from its distance."""
        width, height = self.fabric.size_mm
        return cloth_svg(
            f"The whole figure, and what the eye keeps of it from {both(self.distance, 'cm')}",
            f"{both(width / 10, 'cm')} wide, {both(height / 10, 'cm')} high; {self.in_words()}.",
            self.whole(),
            (width, height),
        )

    def true_svg(self) -> str:
        """The figure in its true size, of a large one a part where figure and ground meet."""
        fabric = self.fabric
        crop = _meeting(fabric, *(max(1, int(TRUE_MM / mm)) for mm in fabric.unit_mm))
        grid, ground = fabric.grid, fabric.ground
        # It begins on the first shaft, as the figure does.
        left = crop.left - crop.left % _whole_repeat(ground.shafts, fabric.ends_per_unit)
        low = crop.low - crop.low % _whole_repeat(ground.picks, fabric.picks_per_unit)
        rows = grid.rows[low : low + crop.up]
        full = (1 << crop.across) - 1
        cut = Grid(crop.across, tuple(row >> left & full for row in rows))
        shown = replace(self, fabric=replace(fabric, grid=cut))
        width, height = shown.fabric.size_mm
        name = "The figure" if cut == grid else "A part of the figure"
        return cloth_svg(
            f"{name} in true size, {both(width / 10, 'cm')} wide",
            f"{many(crop.across, 'units')} across and {crop.up} up, from unit {left + 1} of row "
            f"{low + 1}; {self.in_words()}.",
            shown.whole(),
            (width, height),
            1,
        )

    def seen_as(self) -> str:
        """Side, finish and light."""
        finish = "as on the loom" if self.fabric.flat == AS_WOVEN else "washed and pressed"
        return f"the {self.side}, {finish}, {self.light.in_words()}"

    def in_words(self) -> str:
        """What a seeing person learns first."""
        return _brighter(*luminances(self.fabric, self.light, self.side))

    def thread_points(self) -> tuple[int, int]:
        """Points to a thread where every thread is drawn: more than one while they are few."""
        across, up = self.fabric.ends, self.fabric.all_picks
        points = min(NEAR_POINTS, THREADS_ACROSS // across, int((MOST_POINTS / across / up) ** 0.5))
        return max(1, points), max(1, points)

    def strip(self, from_row: int, points: tuple[int, int]) -> tuple[bytes, int]:
        """Threads of some rows, as many as are drawn in a moment, and the row that comes next."""
        grid, fabric = self.fabric.grid, self.fabric
        across = fabric.ends * points[0] * fabric.picks_per_unit * points[1]
        up = min(grid.up - from_row, max(1, MOMENT // across))
        crop = Crop(0, from_row, grid.across, up)
        return threads_png(fabric, self.light, self.side, points, crop), from_row + up


def look_from(inputs: Mapping[str, Any], units: str = "") -> Look:
    """Cloth, light and eye of what is typed for the look."""
    readings, errors = read_inputs(LOOK, inputs, units)
    if errors:
        raise errors[0]
    return look_of({name: reading.value for name, reading in readings.items()})


def look_of_plan(
    plan: Calculator, planned: Mapping[str, Any], inputs: Mapping[str, Any], units: str = ""
) -> Look:
    """The look of what is planned with another calculator; ``inputs`` are the look's own fields."""
    run = work_out(plan, planned, units=units)
    if run.errors:
        raise run.errors[0]
    return look_from({**carried(run, Way(LOOK.id, "")), **inputs}, units)


def look_of(inputs: Inputs, figures: Worked | None = None) -> Look:
    """Cloth, light and eye of what was read for the calculator of the look."""
    with unlogged():
        figures = figures or SEEN.run(known(FIELDS, inputs))
        washed = inputs["washed"] == "washed"
        ends, picks_each = inputs["ends_per_unit"], inputs["picks_per_unit"]
        colour = parse_colour(inputs["warp_colour"], "warp_colour")
        weft_colour = inputs["weft_colour"]
        warp = Thread(colour, inputs["fibre"], diameter_mm(inputs["warp_yarn"].tex))
        weft = Thread(
            parse_colour(weft_colour, "weft_colour") if weft_colour else colour,
            inputs["weft_fibre"] or inputs["fibre"],
            diameter_mm(inputs["weft_yarn"].tex),
        )
        fabric = Fabric(
            read_figure(inputs["grid"], inputs["order"] == "last"),
            given(weft_faced(inputs["weave"]), *ground_orders(inputs)),
            ends,
            picks_each,
            warp,
            weft,
            ends / figures.likely("unit_width") if washed else figures.likely("cloth_sett"),
            picks_each / figures.likely("unit_height") if washed else figures.likely("picks"),
            PRESSED if washed else AS_WOVEN,
        )
        light = replace(read_light(inputs["light"]), height=inputs["light_height"])
        return Look(
            fabric, light, inputs["side"], inputs["viewing_distance"], figures.likely("detail")
        )


def _whole_repeat(of: int, each: int) -> int:
    """Units until one begins again with the first thread of the ground."""
    return of // gcd(of, each)


def _meeting(fabric: Fabric, across: int, up: int) -> Crop:
    """The part of the figure, so many units each way, in which figure and ground meet most."""
    grid = fabric.grid
    across, up = min(grid.across, across), min(grid.up, up)
    full = (1 << across) - 1

    def changes(left: int, low: int) -> int:
        cut = [row >> left & full for row in grid.rows[low : low + up]]
        inner = full >> 1
        return sum(((row ^ row >> 1) & inner).bit_count() for row in cut) + sum(
            (row ^ above).bit_count() for row, above in pairwise(cut)
        )

    lefts = range(0, grid.across - across + 1, max(1, across // 3, grid.across // MOST_TRIED))
    lows = range(0, grid.up - up + 1, max(1, up // 3, grid.up // MOST_TRIED))
    left, low = max(((x, y) for y in lows for x in lefts), key=lambda place: changes(*place))
    return Crop(left, low, across, up)


def _remarks(inputs: Inputs, figures: Worked) -> Answer:
    look = look_of(inputs, figures)
    fabric, light = look.fabric, look.light
    ground, figure = luminances(fabric, light, look.side)
    ratio = eye.contrast(max(ground, figure), min(ground, figure))
    turned, *level = (
        luminances(fabric, replace(light, bearing=bearing), look.side)
        for bearing in (light.bearing + 90, 0, 90)
    )
    best = max(max(faces) / min(faces) for faces in level)
    with unlogged():
        pictures = look.near_svg(), look.whole_svg(), look.true_svg()
        rooms = room_of(fabric.sett), room_of(fabric.picks)
    return Answer(
        results={"light_contrast": ratio},
        notes=tuple(
            _notes(
                (ground, figure),
                turned,
                min(rooms) >= look.detail,
                both(inputs["viewing_distance"], "cm"),
                ratio,
            )
        ),
        cautions=tuple(_cautions(ratio, best)),
        pictures=pictures,
        sources=("irawan-marschner-2006", "kalloniatis-luu"),
    )


def _brighter(ground: float, figure: float) -> str:
    if max(ground, figure) < TOLD_APART * min(ground, figure):
        return "figure and ground are equally bright"
    return "the figure is the brighter" if figure > ground else "the ground is the brighter"


def _notes(
    faces: tuple[float, float],
    turned: tuple[float, float],
    threads_seen: bool,
    seen_from: str,
    ratio: float,
) -> list[str]:
    words, after = _brighter(*faces), _brighter(*turned)
    light = f"In this light {words}."
    if after != words:
        light += f" Turn the cloth by a quarter, or walk round the table, and {after}."
    notes = [
        light,
        f"From {seen_from} the eye {'still' if threads_seen else 'no longer'} parts the threads.",
    ]
    if ratio >= TOLD_APART:
        notes.append(
            "The smallest stroke is that of black on white in good light. Your figure is fainter: "
            f"the brighter is {format_number(ratio, 1)} times as bright as the darker. How much "
            "wider a stroke must be for that is not worked out. Take two or three times as many "
            "units (from memory), and look at a sample from there."
        )
    return [
        *notes,
        "The picture is reckoned from the floats: a thread across the light is bright, one along "
        "it is dark. It shows no fluff, no twist and no crease.",
    ]


def _cautions(ratio: float, best: float) -> list[str]:
    if best < TOLD_APART:
        return [
            "No figure shows in any light. Two colours, or a ground with longer floats, would show "
            "it."
        ]
    if ratio < TOLD_APART:
        return [
            "In this light the figure hardly shows. Let the light come along or across the warp."
        ]
    return []


FIELDS = (
    ask("grid", STAR),
    ask("figure_order", "first", name="order"),
    ask("weave", "satin_6"),
    ask("ends_per_unit", "", required=False, follows="weave"),
    ask("picks_per_unit", "", required=False, follows="weave"),
    ask("warp_yarn", "16/2", system_field="warp_system"),
    ask("warp_system", "cotton"),
    ask("weft_yarn", "", required=False, follows="warp_yarn", system_field="weft_system"),
    ask("weft_system", "cotton"),
    ask("warp_colour", "bleached"),
    ask("weft_colour", "", required=False),
    ask("thread_fibre", "cotton", name="fibre"),
    ask("light", "12"),
    ask("viewing_distance", "60 cm"),
    aside("side_seen", "face", name="side"),
    aside("washed", "washed"),
    aside(
        "thread_fibre",
        "",
        name="weft_fibre",
        label="Fibre of the weft",
        required=False,
        hint="Left empty: as the warp.",
    ),
    aside("light_height", f"{STANDING:g}"),
    aside("acuity", "1"),
    aside("reed_sett", "18 /cm", name="sett", unit="1/inch"),
    aside("picks", "", unit="1/inch", required=False, hint=SQUARE),
    aside("width_shrinkage"),
    aside("length_shrinkage"),
    aside("draw_in"),
    if_known("rise"),
    if_known("sink"),
)

LOOK = replace(
    calculated(
        id="look",
        code="C-66",
        page="structures/what-you-will-see/",
        title="The look of the cloth",
        question="What will be seen of the figure, in which light, and from how far?",
        asks=FIELDS,
        gives=(
            give("light_contrast", headline=True),
            give("stroke_units", headline=True),
            give("stroke"),
            give("detail"),
            give("unit_width"),
            give("unit_height"),
        ),
        formulas=SEEN,
        remarks=_remarks,
        ways=(
            Way("figure", "Count its draws and cords"),
            Way("cloth-plan", "Plan the cloth with this weave and this unit"),
        ),
    ),
    drawn=True,
)
CALCULATORS: tuple[Calculator, ...] = (LOOK,)
