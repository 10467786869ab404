"""The three losses, measured and foretold: take-up, crimp, change in the wash."""

from calculators.errors import InputError
from calculators.quantities.checks import kept, not_negative, positive
from calculators.quantities.units import per_inch


def take_up_taylor(
    picks: float, intersections_per_pick: float, weft_count: float, multiplier: float = 4
) -> float:
    """Take-up of the warp foretold from the weave and the weft, as a share of woven length.

    Equation: t = k i / N per cent, i = picks per inch x intersections per pick   (F-73)
    Parameters:
        picks [1/cm]: picks per centimetre
        intersections_per_pick [ratio]: an end's changes of side in the repeat / picks of the repeat
        weft_count [cotton count]: count of the weft, one for every 840 yards in a pound
        multiplier [ratio]: 4 for fine, heavily picked cloth, 3 for medium cloth
    Returns:
        [fraction] length taken up / woven length
    Validity: a first guess, from cotton mill cloths of the 1900s; your own measure is better.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(take_up_taylor(180 / 2.54, 2 / 5, 70, 4), 4)
        0.0411

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th ed., 1909, pp. 427-429 of the web
        edition.
    """
    crossings = per_inch(positive(picks, "picks", "The picks")) * positive(
        intersections_per_pick, "weave", "The weave's intersections"
    )
    count = positive(weft_count, "weft_yarn", "The weft's count")
    return positive(multiplier, "multiplier", "The multiplier") * crossings / count / 100


def crimp(yarn_length: float, cloth_length: float) -> float:
    """Crimp of a thread drawn out of the cloth, as a share of the cloth.

    Equation: crimp = (D - F) / F   (F-74)
    Parameters:
        yarn_length [cm]: the thread straightened
        cloth_length [cm]: the cloth it came from
    Returns:
        [fraction] extra length / length in the cloth
    Validity: yarn_length >= cloth_length > 0.
    Errors: InputError when the thread is shorter than its cloth.

    Example:
        >>> crimp(26.5, 25)
        0.06

    Source: ASTM D3883-04(2020), section 4.
    """
    return _extra(yarn_length, cloth_length) / cloth_length


def take_up(yarn_length: float, cloth_length: float) -> float:
    """Take-up of a thread drawn out of the cloth, as a share of the thread.

    Equation: take-up = (D - F) / D   (F-74)
    Parameters:
        yarn_length [cm]: the thread straightened
        cloth_length [cm]: the cloth it came from
    Returns:
        [fraction] extra length / length of the thread
    Validity: yarn_length >= cloth_length > 0.
    Errors: InputError when the thread is shorter than its cloth.

    Example:
        >>> round(take_up(26.5, 25), 4)
        0.0566

    Source: ASTM D3883-04(2020), section 4.
    """
    return _extra(yarn_length, cloth_length) / yarn_length


def _extra(yarn_length: float, cloth_length: float) -> float:
    positive(yarn_length, "yarn_length", "The thread's length")
    positive(cloth_length, "cloth_length", "The cloth's length")
    if yarn_length < cloth_length:
        raise InputError(
            "yarn_length",
            "The straightened thread is shorter than the cloth it came from.",
            "Give the thread's length first, and draw it straight without stretching it.",
        )
    return yarn_length - cloth_length


def crimp_from_take_up(take_up: float) -> float:
    """Crimp from take-up: the same loss told on the cloth instead of on the thread.

    Equation: crimp = u / (1 - u)   (F-74)
    Parameters:
        take_up [fraction]: extra length / length of the thread
    Returns:
        [fraction] extra length / length in the cloth
    Validity: 0 <= take_up < 1.
    Errors: InputError when the take-up is not a share.

    Example:
        >>> crimp_from_take_up(0.2)
        0.25

    Source: ASTM D3883-04(2020), section 4, both definitions together.
    """
    return not_negative(take_up, "take_up", "The take-up") / kept(take_up, "take_up")


def take_up_from_crimp(crimp: float) -> float:
    """Take-up from crimp: the same loss told on the thread instead of on the cloth.

    Equation: take-up = c / (1 + c)   (F-74)
    Parameters:
        crimp [fraction]: extra length / length in the cloth
    Returns:
        [fraction] extra length / length of the thread
    Validity: crimp >= 0.
    Errors: InputError when the crimp is below nought.

    Example:
        >>> take_up_from_crimp(0.25)
        0.2

    Source: ASTM D3883-04(2020), section 4, both definitions together.
    """
    return not_negative(crimp, "crimp", "The crimp") / (1 + crimp)


def crimp_after(extra: float, *shrinkages: float) -> float:
    """Crimp of a thread in finished cloth, from what it had when laid and the losses since.

    Equation: c = (1 + extra) / ((1 - s_1)(1 - s_2) ...) - 1   (F-106)
    Parameters:
        extra [fraction]: thread beyond the cloth's length when it was laid: a warp's take-up, a
            weft's turn
        shrinkages [fraction]: shares that the cloth has lost since, draw-in or wash
    Returns:
        [fraction] extra thread / length of the finished cloth
    Validity: the thread itself keeps its length; where it shrinks too, its tex grows with it.
    Errors: InputError when a figure is out of reach.

    Example:
        >>> round(crimp_after(0.06, 0.08), 4), round(crimp_after(0.02, 0.04, 0.05), 4)
        (0.1522, 0.1184)

    Source: definition of crimp (ASTM D3883): no thread is lost when cloth shrinks.
    """
    left = 1.0
    for shrinkage in shrinkages:
        left *= kept(shrinkage, "width_shrinkage")
    return (1 + not_negative(extra, "take_up", "The extra thread")) / left - 1


def dimensional_change(before: float, after: float) -> float:
    """Change in the wash, shrinkage below nought.

    Equation: change = (after - before) / before   (F-75)
    Parameters:
        before [cm]: distance between the marks before washing
        after [cm]: the same distance washed, dried and rested
    Returns:
        [fraction] change / distance before
    Validity: both > 0.
    Errors: InputError when a distance is nought or less.

    Example:
        >>> round(dimensional_change(35, 32.2), 9)
        -0.08

    Source: ISO 5077:2007 (formula read in UNE-EN ISO 5077:2008).
    """
    start = positive(before, "before", "The distance before")
    return (positive(after, "after", "The distance after") - start) / start


def plan_factor(change: float) -> float:
    """What to multiply a finished size by to get the size on the loom.

    Equation: factor = 1 / (1 + change) = 1 / (1 - s)   (F-76)
    Parameters:
        change [fraction]: change in the wash, shrinkage below nought
    Returns:
        [ratio] size on the loom / finished size
    Validity: -1 < change < 1.
    Errors: InputError when the cloth would vanish.

    Example:
        >>> round(plan_factor(-0.10) * 74, 1)
        82.2

    Source: definition; the example is the difference between dividing by 0.9 and adding 10 %.
    """
    return 1 / kept(-change, "after")
