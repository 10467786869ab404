"""What can be counted and would be foolish at the loom: one sentence for each."""

from math import gcd

from calculators.engine.vocabulary import Inputs
from calculators.quantities.format import format_number, round_up
from calculators.quantities.interval import Range
from calculators.quantities.sentences import both, figure, many, percent

SAFE_LIFT_KG = 16.0  # from memory: HSE's filter for women, knuckle to elbow, close to the body
MOST_THREADS_FREE = 2  # trade knowledge: three and more braid
MOST_IN_HAND = 20  # from memory: holes of a large paddle
MOST_ENDS_IN_A_BOUT = 400  # from memory
MOST_GROUND_SHAFTS = 24  # from memory
MOST_ENDS_OF_A_UNIT = 16  # Taylor 1909, p. 169
LIGHTEST_G, HEAVIEST_G = 12, 90  # half and twice Bell's range, 1895, pp. 75 and 177
LONGEST_ADVANCE_CM = 8.0  # common practice: from the temple to where the shuttle still clears
SLOWEST_PICKS, FASTEST_PICKS = 0.5, 20  # far outside common practice, 2 to 8
MOST_PICKS_PER_CM = 80.0  # from memory
MOST_ENDS_IN_A_SPACE = 40  # from memory
LEAST_CLEARANCE_CM = 0.3  # Bell 1895, p. 179: an eighth of an inch
MOST_STRETCH = 0.009  # half of the least at which linen breaks, by trade lists
MOST_SAG = 1 / 50  # of the free stretch: it lengthens the ends by less than one in a thousand


def winding_cautions(ends: int, threads: int, bout: int, in_unit: int) -> list[str]:
    """Say what does not go into whole groups when so many threads are wound together."""
    cautions = []
    if threads > MOST_THREADS_FREE:
        cautions.append(
            "Two threads can always be parted; three and more braid unless a paddle or the "
            "fingers keep them in order, and four are about what a hand holds."
        )
    if threads > MOST_IN_HAND:
        cautions.append(
            f"{threads} threads in hand are more than a paddle has holes for (from memory)."
        )
    if in_unit % threads:
        whole = threads // gcd(in_unit, threads)
        cautions.append(
            f"A unit of {many(in_unit, 'ends')} is not a whole number of groups of {threads}: "
            f"only every {many(whole, 'units')} a group ends where a unit ends. Another number of "
            "threads in hand would let you count units at the cross."
        )
    if bout < 2 * threads:
        cautions.append(f"A bout of {many(bout, 'ends')} is less than one loop of {2 * threads}.")
    elif bout > MOST_ENDS_IN_A_BOUT and ends > MOST_ENDS_IN_A_BOUT:
        cautions.append(
            f"A bout of {many(bout, 'ends')} is more than a hand can hold or chain "
            f"(more than {MOST_ENDS_IN_A_BOUT}, from memory)."
        )
    if bout % threads:
        cautions.append(
            f"A bout of {many(bout, 'ends')} is not a whole number of passes with "
            f"{many(threads, 'threads')}."
        )
    if ends % threads:
        cautions.append(f"The last pass carries {ends % threads} instead of {threads} threads.")
    return cautions


def reel_cautions(length: float, circumference: float, turns: float, walked: float) -> list[str]:
    """Say where the warp and the reel [cm] do not suit each other."""
    cautions = []
    if turns < 1:
        cautions.append(
            f"The warp of {both(length, 'cm')} is shorter than once round, "
            f"{both(circumference, 'cm')}: no peg or cross would lie where it ends."
        )
    elif turns > 50:
        cautions.append(
            f"{figure(turns, 0)} turns to one pass: look whether once round is really "
            f"{both(circumference, 'cm')}."
        )
    if walked > 2_000_000:
        cautions.append(
            f"The hand would go {format_number(walked / 100_000, 0)} km. More threads in hand, or "
            "a slip of a digit?"
        )
    return cautions


def weight_cautions(mass: float) -> list[str]:
    """Warn of pattern weights [g] that nobody should lift at once."""
    if mass / 1000 <= SAFE_LIFT_KG:
        return []
    return [
        f"The weights come to {both(mass, 'g')}: hang and take them down in portions, and two "
        f"together. {figure(SAFE_LIFT_KG)} kg is about what one person should lift close to the "
        "body (from memory, not checked)."
    ]


def harness_cautions(units: int, in_unit: int, shafts: int, weight_each: float) -> list[str]:
    """Say what can be counted but would be foolish to hang or to enter."""
    cautions = []
    if shafts == 1:
        cautions.append("One ground shaft binds nothing: even plain weave needs two.")
    elif shafts == 2:
        cautions.append(
            "Two ground shafts tied for plain weave bind drawn and resting units alike: no figure "
            "shows but in a second weft. The smallest ground with two faces has three shafts."
        )
    if shafts > max(MOST_GROUND_SHAFTS, units * in_unit):
        cautions.append(f"{many(shafts, 'ground shafts')} are more than there are ends.")
    elif shafts > MOST_GROUND_SHAFTS:
        cautions.append(
            f"{shafts} ground shafts: more than {MOST_GROUND_SHAFTS} hardly open one clean shed "
            "on a hand loom (from memory)."
        )
    if in_unit == 1:
        cautions.append(
            "A unit of one end has nothing to bind within it: this is a harness that draws every "
            "end by itself."
        )
    elif in_unit > MOST_ENDS_OF_A_UNIT:
        cautions.append(
            f"A unit of {in_unit} ends: Taylor's largest has {MOST_ENDS_OF_A_UNIT}, and its steps "
            "are already coarse."
        )
    if weight_each < LIGHTEST_G or weight_each > HEAVIEST_G:
        cautions.append(
            f"A weight of {both(weight_each, 'g')}: Bell's are 25 to 45 g. Lighter ones may not "
            "bring the heddle down again, heavier ones tire the puller and wear the cords."
        )
    return cautions


def picks_cautions(picks: float) -> list[str]:
    """Warn of picks [1/cm] closer than hand weavers beat them."""
    if picks <= MOST_PICKS_PER_CM:
        return []
    return [f"{both(picks, '1/cm')} picks are beyond what is beaten by hand, save in silk."]


def rhythm_cautions(inputs: Inputs, hours: float) -> list[str]:
    """Say what can be counted but hardly be woven by hand."""
    temple_step, advance_step = inputs["temple_step"], inputs["advance_step"]
    cautions = []
    if temple_step < 0.5:
        cautions.append(
            f"A temple moved every {both(temple_step, 'cm')} is moved at every few picks."
        )
    if max(temple_step, advance_step) > inputs["woven_length"]:
        cautions.append("A step is longer than the whole length to weave.")
    if advance_step > LONGEST_ADVANCE_CM:
        cautions.append(
            f"An advance of {both(advance_step, 'cm')} carries the fell far from the shafts: the "
            "shed gets low and the beat uneven. 3 to 5 cm is usual."
        )
    pace: Range = inputs["picks_per_minute"]
    beyond = pace.low if pace.low < SLOWEST_PICKS else pace.high
    if not SLOWEST_PICKS <= beyond <= FASTEST_PICKS:
        cautions.append(
            f"{figure(beyond)} picks a minute: on a draw loom, pauses and "
            "changes counted, 2 to 8 are usual (common practice). Count one of your own hours."
        )
    picks_per_pirn = inputs["picks_per_pirn"]
    if picks_per_pirn < 20:
        cautions.append(f"A pirn of {many(picks_per_pirn, 'picks')} is changed every few minutes.")
    elif picks_per_pirn > 2_000:
        cautions.append(
            f"A pirn of {many(picks_per_pirn, 'picks')} is more than a hand shuttle "
            "holds: weigh a full one."
        )
    cautions += picks_cautions(inputs["picks"])
    if hours > 1_000:
        cautions.append(
            f"{format_number(hours, 0)} hours are half a year of full days at the loom, or a slip "
            "of a digit."
        )
    return cautions


def unlike_units(in_unit: int, shafts: int) -> list[str]:
    """Say that the binding walks where units do not begin on the same shaft."""
    if in_unit % shafts == 0 or shafts % in_unit == 0:  # then the ground may repeat in the unit
        return []
    return [
        f"{many(in_unit, 'ends')} to a unit on {many(shafts, 'ground shafts')}: units begin on "
        "different shafts, so the binding walks through them and their edges are not all alike."
    ]


def mirrored_cords(units: int, different_columns: int | None) -> list[str]:
    """Say how many cords a mirrored design saves, where nothing is said of its columns."""
    if different_columns is not None or units < 2:
        return []
    return [
        f"A design mirrored about its middle needs {many((units + 1) // 2, 'cords')} for {units} "
        "units. "
        "Put that in as the columns unlike each other."
    ]


def spread_cautions(loops: int, spaces: int, threads: int) -> list[str]:
    """Say where the loops and the spaces of a raddle do not suit each other."""
    fullest = int(round_up(loops / spaces).value) * 2 * threads
    if 2 * loops < spaces:
        return [
            f"More than half of the {spaces} spaces stay empty: the warp would be "
            "beamed in stripes. Take a coarser raddle or fewer threads in hand."
        ]
    if fullest > MOST_ENDS_IN_A_SPACE:
        return [
            f"Up to {fullest} ends lie in one space: they pile up there on the beam. Take "
            "a finer raddle, or look whether the spaces are counted right."
        ]
    return []


def eye_cautions(own: float | None, lift: float, clearance: float, wanted: float) -> list[str]:
    """Say where long eyes [cm] press on drawn ends, or leave them hardly any room."""
    cautions = []
    if own is not None and own < wanted:
        cautions.append(
            f"Eyes of {both(own, 'cm')} are too short for a lift of {both(lift, 'cm')}: drawn ends "
            "press on their tops, and a shaft at rest lifts with the pattern."
        )
    if clearance < LEAST_CLEARANCE_CM:
        cautions.append(
            f"{both(clearance, 'cm')} of room is little: Bell leaves 3 mm (⅛ in) or more, and "
            "cords change their length with the damp of the air."
        )
    return cautions


def shuttle_cautions(depth: float | None, shed: float) -> list[str]:
    """Say that a shuttle [cm] does not pass."""
    if depth is None or depth <= shed:
        return []
    return [
        f"A shuttle {both(depth, 'cm')} deep does not pass a shed of {both(shed, 'cm')}: throw it "
        "nearer the reed, keep the fell nearer the shafts, or lift the harness higher."
    ]


def stretch_cautions(stretch: float) -> list[str]:
    """Warn of a stretch that takes much of what a weak yarn has."""
    if stretch <= MOST_STRETCH:
        return []
    return [
        f"A stretch of {percent(stretch, 2)} at every pick is more than half of the 1.8 % at which "
        "a weak linen breaks (trade lists). Give it more length behind, less lift, or a beam that "
        "gives."
    ]


def line_cautions(below: float, lift: float) -> list[str]:
    """Say that drawn ends do not come up to the straight line."""
    if below <= lift:
        return []
    return [
        f"Ends at rest lie {both(below, 'cm')} below the line and rise only {both(lift, 'cm')}: "
        "drawn ends stay below it, and are slacker than those at rest."
    ]


def unit_weight_cautions(wanted: float, own: float | None, pull: float) -> list[str]:
    """Say where weights [g] float or are heavier than looms have had."""
    cautions = []
    if own is not None and own < wanted:
        cautions.append(
            f"A weight of {both(own, 'g')} does not hold a unit down at a pull of "
            f"{both(pull, 'g')} on each end: its heddles float, and the lower line is unclean."
        )
    if wanted > HEAVIEST_G:
        cautions.append(
            f"{both(wanted, 'g')} to a unit is more than twice Bell's heaviest, 45 g (1.6 oz). "
            "Ease the warp, move the harness back, or bring resting ends nearer the line."
        )
    return cautions


def sag_cautions(sag: float | None, span: float | None) -> list[str]:
    """Say that a test weight tightened what it was to measure."""
    if sag is None or span is None or sag <= span * MOST_SAG:
        return []
    return [
        f"A sag of {both(sag, 'cm')} in {both(span, 'cm')} tightens the ends itself, so the pull "
        "comes out too great. Take a lighter weight, or more ends."
    ]
