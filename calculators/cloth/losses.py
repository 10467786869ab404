"""The three losses, measured and foretold: take-up, crimp, change in the wash."""

from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.units import per_inch


@formula(
    "F-73",
    "Take-up foretold",
    "taylor-1909",
    gives="take_up",
    where="pp. 427–429 of the web edition, p. 327 in print",
    basis="published",
    validity="a first guess; multiplier 4 for fine, heavily picked cotton, 3 for medium cloth",
)
def take_up_from_intersections(
    multiplier: float, intersections_per_inch: float, weft_count: float
) -> float:
    """Take-up of the warp from how often an end changes sides, as a share of woven length.

    >>> round(take_up_from_intersections(4, 72, 70), 4)
    0.0411
    """
    return multiplier * intersections_per_inch / weft_count / 100


def take_up_taylor(
    picks: float, intersections_per_pick: float, weft_count: float, multiplier: float = 4
) -> float:
    """Take-up of the warp foretold from the weave and the weft, picks told per centimetre (F-73).

    >>> round(take_up_taylor(180 / 2.54, 2 / 5, 70, 4), 4)
    0.0411
    """
    return take_up_from_intersections(
        multiplier, per_inch(picks) * intersections_per_pick, weft_count
    )


@formula(
    "F-74",
    "Crimp",
    "astm-d3883",
    gives="crimp",
    where="section 4",
    basis="published",
)
def crimp_of(yarn_length: float, cloth_length: float) -> float:
    """Crimp of a thread that is longer than its cloth, as a share of the cloth.

    >>> crimp_of(26.5, 25)
    0.06
    """
    return (yarn_length - cloth_length) / cloth_length


@formula(
    "F-74",
    "Take-up",
    "astm-d3883",
    gives="thread_take_up",
    where="section 4",
    basis="published",
)
def take_up_of(yarn_length: float, cloth_length: float) -> float:
    """Take-up of a thread that is longer than its cloth, as a share of the thread.

    >>> round(take_up_of(26.5, 25), 4)
    0.0566
    """
    return (yarn_length - cloth_length) / yarn_length


def crimp(yarn_length: float, cloth_length: float) -> float:
    """Crimp of a thread drawn out of the cloth, as a share of the cloth (F-74).

    >>> crimp(26.5, 25)
    0.06
    """
    _must_be_longer(yarn_length, cloth_length)
    return crimp_of(yarn_length, cloth_length)


def take_up(yarn_length: float, cloth_length: float) -> float:
    """Take-up of a thread drawn out of the cloth, as a share of the thread (F-74).

    >>> round(take_up(26.5, 25), 4)
    0.0566
    """
    _must_be_longer(yarn_length, cloth_length)
    return take_up_of(yarn_length, cloth_length)


def _must_be_longer(yarn_length: float, cloth_length: float) -> None:
    if 0 < yarn_length < cloth_length:
        raise InputError(
            "yarn_length",
            "The straightened thread is shorter than the cloth it came from.",
            "Give the thread's length first, and draw it straight without stretching it.",
        )


@formula(
    "F-74",
    "Crimp from take-up",
    "astm-d3883",
    gives="crimp",
    where="section 4, both definitions together",
)
def crimp_from_take_up(thread_take_up: float) -> float:
    """Crimp from take-up: the same loss told on the cloth instead of on the thread.

    >>> crimp_from_take_up(0.2)
    0.25
    """
    return thread_take_up / (1 - thread_take_up)


@formula(
    "F-74",
    "Take-up from crimp",
    "astm-d3883",
    gives="thread_take_up",
    where="section 4, both definitions together",
)
def take_up_from_crimp(crimp: float) -> float:
    """Take-up from crimp: the same loss told on the thread instead of on the cloth.

    >>> take_up_from_crimp(0.25)
    0.2
    """
    return crimp / (1 + crimp)


@formula(
    "F-106",
    "Crimp of the warp in the finished cloth",
    "astm-d3883",
    where="no thread is lost when cloth shrinks",
    validity="the thread itself keeps its length; where it shrinks too, its tex grows with it",
)
def warp_crimp(take_up: float, length_shrinkage: float) -> float:
    """Crimp of the warp in washed cloth, from its take-up and what the cloth has lost since.

    >>> round(warp_crimp(0.06, 0.08), 4)
    0.1522
    """
    return (1 + take_up) / (1 - length_shrinkage) - 1


@formula(
    "F-106",
    "Crimp of the weft in the finished cloth",
    "astm-d3883",
    where="no thread is lost when cloth shrinks",
    validity="the thread itself keeps its length; where it shrinks too, its tex grows with it",
)
def weft_crimp(turn_share: float, draw_in: float, width_shrinkage: float) -> float:
    """Crimp of the weft in washed cloth, from its turn, the draw-in and the wash.

    >>> round(weft_crimp(0.02, 0.04, 0.05), 4)
    0.1184
    """
    return (1 + turn_share) / ((1 - draw_in) * (1 - width_shrinkage)) - 1


@formula(
    "F-75",
    "Change in the wash",
    "iso-5077",
    gives="change",
    basis="published",
    validity="between the same marks, washed, dried and rested; shrinkage below nought",
)
def dimensional_change(before: float, after: float) -> float:
    """Change in the wash, shrinkage below nought.

    >>> round(dimensional_change(35, 32.2), 9)
    -0.08
    """
    return (after - before) / before


@formula(
    "F-76",
    "Factor to plan with",
    "iso-5077",
)
def plan_factor(change: float) -> float:
    """What to multiply a finished size by to get the size on the loom.

    >>> round(plan_factor(-0.10) * 74, 1)
    82.2
    """
    return 1 / (1 + change)
