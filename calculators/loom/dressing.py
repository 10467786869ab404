"""Dressing the loom: how far an end is bent, what that stretches, what eye and weight it wants.

Heights are counted from the straight line between the fell and the place behind the harness where
the ends are held: above it more than nothing, below it less. All is seen from the side.
"""

from math import hypot

from calculators.engine.expression import root
from calculators.engine.formula import formula

LEAST, MOST = 0.1, 1e7  # cm behind the harness, between which a length is looked for


@formula(
    "F-210",
    "Shed where the shuttle runs",
    "geometry",
    validity="straight ends from the fell to the back ground shaft",
)
def shuttle_shed(shafts_shed: float, shuttle_place: float, fell_to_shafts: float) -> float:
    """Opening for the shuttle, so far from the fell.

    >>> round(shuttle_shed(3.2, 9, 22), 2)
    1.31
    """
    return shafts_shed * shuttle_place / fell_to_shafts


@formula(
    "F-211",
    "Height at the ground shafts",
    "geometry",
    validity="ends that the ground leaves alone; at the back ground shaft",
)
def height_at_shafts(
    height_at_harness: float, fell_to_shafts: float, harness_distance: float
) -> float:
    """Height at the ground shafts of an end that only the pattern harness holds.

    >>> height_at_shafts(5.0, 24, 16)
    3.0
    """
    return height_at_harness * fell_to_shafts / (fell_to_shafts + harness_distance)


@formula("F-211", "Height at the pattern harness", "geometry")
def height_at_harness(
    height_at_shafts: float, fell_to_shafts: float, harness_distance: float
) -> float:
    """Height at the pattern harness that gives a height at the ground shafts.

    >>> height_at_harness(3.0, 24, 16)
    5.0
    """
    return height_at_shafts * (fell_to_shafts + harness_distance) / fell_to_shafts


@formula("F-211", "Drawn ends above the line", "geometry")
def drawn_height(pattern_lift: float, below_line: float) -> float:
    """Height of drawn ends above the straight line, at the pattern harness.

    >>> drawn_height(5.5, 2.5)
    3.0
    """
    return pattern_lift - below_line


@formula("F-211", "Ends at rest, from the line", "geometry")
def rest_height(below_line: float) -> float:
    """Height of ends at rest, which hang below the straight line.

    >>> rest_height(2.5)
    -2.5
    """
    return 0 - below_line


@formula(
    "F-212",
    "Length of the long eye",
    "bell-1895",
    where="p. 179: for a shed of 2 in eyes of 2¼ to 2½ in, ⅛ in free above and below",
    basis="published",
    validity="at the back ground shaft, where the drawn ends stand highest",
)
def eye_length(shafts_shed: float, eye_clearance: float) -> float:
    """Length of an eye that leaves drawn and resting ends alone.

    >>> eye_length(2, 0.125)
    2.25
    """
    return shafts_shed + 2 * eye_clearance


@formula("F-212", "Shed that an eye allows", "bell-1895", where="p. 179")
def shed_allowed(own_eye: float, eye_clearance: float) -> float:
    """Tallest shed at the ground shafts that an eye leaves alone.

    >>> shed_allowed(2.25, 0.125)
    2.0
    """
    return own_eye - 2 * eye_clearance


@formula(
    "F-213",
    "Way of a ground shaft",
    "taylor-1909",
    "geometry",
    where="p. 163: up and down from the middle, in all twice a shed",
    basis="published",
    validity="from rest up or down; the clearance is ours",
)
def shaft_travel(shafts_shed: float, eye_clearance: float) -> float:
    """Way of a ground shaft from rest until its end lies in the other line.

    >>> shaft_travel(3.25, 0.25)
    3.5
    """
    return shafts_shed + eye_clearance


@formula(
    "F-214",
    "Longer way of a bent end",
    "geometry",
    validity="straight from point to point; beyond the straight line from fell to hold",
)
def longer_way(
    shafts_height: float,
    harness_height: float,
    fell_to_shafts: float,
    harness_distance: float,
    behind_harness: float,
) -> float:
    """Length that an end needs beyond the straight line.

    >>> round(longer_way(0, 3, 2, 2, 4), 9)
    2.605551275
    """
    return (
        root(fell_to_shafts**2 + shafts_height**2)
        + root(harness_distance**2 + (harness_height - shafts_height) ** 2)
        + root(behind_harness**2 + harness_height**2)
        - (fell_to_shafts + harness_distance + behind_harness)
    )


@formula(
    "F-215",
    "Stretch of an end",
    "geometry",
    validity="both ends held fast; a beam that gives makes it less",
)
def stretch(
    way: float,
    rest_way: float,
    fell_to_shafts: float,
    harness_distance: float,
    behind_harness: float,
    further_back: float,
) -> float:
    """Share by which an end is longer than at rest, over all the yarn that can give.

    >>> round(stretch(1.0, 0.25, 25, 20, 75, 30), 4)
    0.005
    """
    return (way - rest_way) / (fell_to_shafts + harness_distance + behind_harness + further_back)


def greatest_stretch(drawn_stretch: float, down_stretch: float, up_stretch: float) -> float:
    """Greatest stretch of any end, drawn, bound down or bound up (F-215).

    >>> greatest_stretch(-0.001, 0.003, 0.004)
    0.004
    """
    return max(drawn_stretch, down_stretch, up_stretch)


@formula(
    "F-216",
    "Length behind the harness for a stretch",
    "geometry",
    words="the shortest length behind the harness at which no end is stretched more than wanted; "
    "found by halving",
)
def length_behind(
    fell_to_shafts: float,
    harness_distance: float,
    further_back: float,
    pattern_lift: float,
    below_line: float,
    wanted_stretch: float,
) -> float:
    """Shortest length behind the pattern harness that keeps the stretch within bounds.

    >>> round(length_behind(25, 18, 40, 5.5, 2.75, 0.003), 1)
    77.4
    """
    front, whole = fell_to_shafts, fell_to_shafts + harness_distance
    drawn, rest = pattern_lift - below_line, -below_line
    down, up = rest * front / whole, drawn * front / whole

    def worst(behind: float) -> float:
        """Return the greatest of the ways, less the way at rest, shared over the yarn."""
        in_front = max(
            hypot(whole, drawn),
            hypot(front, down) + hypot(harness_distance, drawn - down),
        ) + hypot(behind, drawn)
        bound_up = hypot(front, up) + hypot(harness_distance, rest - up) + hypot(behind, rest)
        at_rest = hypot(whole, rest) + hypot(behind, rest)
        return (max(in_front, bound_up) - at_rest) / (whole + behind + further_back)

    low, high = LEAST, MOST
    if worst(low) <= wanted_stretch:
        return low
    while high - low > 1e-9 * high:
        middle = (low * high) ** 0.5
        low, high = (middle, high) if worst(middle) > wanted_stretch else (low, middle)
    return high


@formula(
    "F-217",
    "Share of an end’s pull that lifts the heddle",
    "geometry",
    gives="bend",
    where="the balance of forces in a bent string",
    validity="a string without stiffness or weight",
)
def lifting_share(
    shafts_height: float, harness_height: float, harness_distance: float, behind_harness: float
) -> float:
    """Upward share of an end's pull where its heddle bends it.

    >>> round(lifting_share(-3, -6, 4, 8), 3)
    1.2
    """
    return (shafts_height - harness_height) / root(
        harness_distance**2 + (shafts_height - harness_height) ** 2
    ) - harness_height / root(behind_harness**2 + harness_height**2)


@formula(
    "F-218",
    "Weight to a pattern unit",
    "geometry",
    validity="holds the unit down while the ground raises some of its ends",
)
def heddle_weight(
    end_pull: float,
    ends_per_unit: float,
    ends_bound: float,
    rest_bend: float,
    bound_bend: float,
    rubbing: float,
) -> float:
    """Weight that keeps the ends of a unit in the lower line.

    >>> round(heddle_weight(50, 5, 1, 0.1, 0.25, 0.2), 1)
    39.0
    """
    lifted = (ends_per_unit - ends_bound) * rest_bend + ends_bound * bound_bend
    return end_pull * lifted * (1 + rubbing)


@formula("F-218", "Pull that a weight holds", "geometry")
def pull_held(
    weight_each: float,
    ends_per_unit: float,
    ends_bound: float,
    rest_bend: float,
    bound_bend: float,
    rubbing: float,
) -> float:
    """Pull on each end up to which a weight keeps its unit down.

    >>> round(pull_held(39, 5, 1, 0.1, 0.25, 0.2), 1)
    50.0
    """
    lifted = (ends_per_unit - ends_bound) * rest_bend + ends_bound * bound_bend
    return weight_each / (lifted * (1 + rubbing))


@formula(
    "F-219",
    "Pull on one end, measured",
    "geometry",
    gives="pull_measured",
    where="the balance of forces in a bent string",
    validity="a weight in the middle of a free stretch, with so little sag that it hardly tightens",
)
def pull_from_sag(test_weight: float, test_ends: float, test_span: float, test_sag: float) -> float:
    """Pull on each end of a strip that a weight in its middle bends down.

    >>> round(pull_from_sag(120, 60, 60, 0.5), 1)
    60.0
    """
    return test_weight * root((test_span / 2) ** 2 + test_sag**2) / (2 * test_sag * test_ends)


def end_pull(pull_measured: float) -> float:
    """Pull on one end where it was measured (F-219).

    >>> end_pull(60.0)
    60.0
    """
    return pull_measured
