"""Satins: which moves make them, and the irregular orders on six ends."""

from itertools import permutations
from math import gcd

from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.weave.matrix import Weave, from_lifts

NUMBER_WORDS = {
    5: "five",
    6: "six",
    7: "seven",
    8: "eight",
    9: "nine",
    10: "ten",
    11: "eleven",
    12: "twelve",
}


def satin_counters(ends: int) -> tuple[int, ...]:
    """Satin moves of the regular satins on a number of ends.

    Equation: every k with 1 < k < n − 1 and no common factor with n   (F-26)
    Parameters:
        ends [ends]: n, ends in the repeat
    Returns:
        [ends] the moves in rising order; k and n − k lean opposite ways and make a pair
    Validity: n from 1 up; none for 1 to 4 and for 6.
    Errors: InputError when n is less than 1.
    Example:
        >>> satin_counters(8), satin_counters(6)
        ((3, 5), ())

    Source: A. Wolfensberger, Theory of Silk Weaving, 2nd edition 1921, p. 33 (table); M. Petrini,
        Satins and sateens, 2017.
    """
    if ends < 1:
        raise InputError("ends", f"A weave on {ends} ends cannot be.", "For example 8.")
    return tuple(counter for counter in range(2, ends - 1) if gcd(counter, ends) == 1)


@formula(
    "F-27",
    "Number of regular satins",
    "exact-arithmetic",
    gives="regular",
    where="from the rule for satin moves; agrees with Wolfensberger's table",
    validity="three ends and more",
)
def regular_satins(coprimes: int) -> float:
    """Regular satins, leaning left and right counted as one.

    >>> regular_satins(4)
    1.0
    """
    return coprimes / 2 - 1


def counter_pairs(ends: int) -> int:
    """Number of different regular satins on a number of ends (F-27).

    >>> [counter_pairs(n) for n in (4, 5, 6, 7, 8, 11)]
    [0, 1, 0, 2, 1, 4]
    """
    return int(regular_satins(len(satin_counters(ends)) + 2))  # with the counters, 1 and n − 1


def satin_order(ends: int, counter: int) -> tuple[int, ...]:
    """Order in which a regular satin lifts its ends.

    Equation: end on pick p = 1 + (p − 1)·k mod n   (F-25)
    Parameters:
        ends [ends]: n, ends in the repeat
        counter [ends]: k, the move from one pick to the next
    Returns:
        [end numbers] the end lifted on each pick, from 1
    Validity: k prime to n and neither 1 nor n − 1.
    Errors: InputError when the move makes no satin on that many ends.
    Example:
        >>> satin_order(8, 3)
        (1, 4, 7, 2, 5, 8, 3, 6)

    Source: J. T. Taylor, Cotton Weaving and Designing, 6th edition, web page 132 (the eight-end
        order); A. Wolfensberger, Theory of Silk Weaving, 2nd edition 1921, p. 33.
    """
    counters = satin_counters(ends)
    if counter not in counters:
        raise InputError(
            "counter",
            f"A satin move of {counter} makes no satin on {ends} ends.",
            "These do: " + ", ".join(map(str, counters)) + "." if counters else "None does.",
        )
    return tuple(1 + pick * counter % ends for pick in range(ends))


def regular_satin(ends: int, counter: int | None = None) -> Weave:
    """Regular satin, weft-faced: one end lifted on each pick.

    Equation: see satin_order   (F-25)
    Parameters:
        ends [ends]: ends in the repeat
        counter [ends]: the move; the evenest spread when not given
    Returns:
        [Weave] weft-faced; its complement is the warp-faced satin
    Validity: 5 ends, 7 ends and more.
    Errors: InputError when there is no such satin.
    Example:
        >>> regular_satin(5).longest_float
        (4, 4)

    Source: A. Wolfensberger, Theory of Silk Weaving, 2nd edition 1921, p. 33.
    """
    order = satin_order(ends, best_counter(ends) if counter is None else counter)
    title = f"{NUMBER_WORDS.get(ends, str(ends))}-end satin, weft face"
    return Weave(f"satin_{ends}", title, from_lifts(ends, ([end] for end in order)))


def binding_distance(ends: int, counter: int) -> float:
    """Distance from one binding point of a regular satin to the nearest other one.

    Equation: least √(p² + e²) over p picks up and e = p·k ends across, counted round n   (F-28)
    Parameters:
        ends [ends]: n, ends in the repeat
        counter [ends]: k
    Returns:
        [threads] in a square cloth
    Validity: any regular satin.
    Errors: none.
    Example:
        >>> round(binding_distance(8, 3), 3)
        2.828

    Source: worked out.
    """
    distances = [float(ends)]
    for pick in range(1, ends):
        across = pick * counter % ends
        distances.append((pick**2 + min(across, ends - across) ** 2) ** 0.5)
    return min(distances)


def best_counter(ends: int) -> int:
    """Satin move whose binding points lie farthest apart; of equal ones the smallest.

    Equation: the move with the greatest binding distance   (F-28)
    Parameters:
        ends [ends]: ends in the repeat
    Returns:
        [ends] the satin move
    Validity: 5 ends, 7 ends and more.
    Errors: InputError when no regular satin exists.
    Example:
        >>> [best_counter(n) for n in (5, 7, 8, 9, 10, 11, 12)]
        [2, 2, 3, 2, 3, 3, 5]

    Source: worked out.
    """
    counters = satin_counters(ends)
    if not counters:
        raise InputError(
            "ends",
            f"There is no regular satin on {ends} ends.",
            "Regular satins exist on 5 ends, and on 7 and more.",
        )
    return max(counters, key=lambda counter: (binding_distance(ends, counter), -counter))


def clean_orders(ends: int) -> tuple[tuple[int, ...], ...]:
    """Every order of lifting, regular or not, that makes a clean satin.

    Equation: orders starting with end 1 in which no two picks in turn lift neighbours   (F-29)
    Parameters:
        ends [ends]: ends in the repeat
    Returns:
        [end numbers] the orders, from 1
    Validity: 2 to 8 ends (all orders are tried).
    Errors: InputError outside that.
    Example:
        >>> len(clean_orders(6)), clean_orders(4)
        (6, ())

    Source: W. Watson, Textile Design and Colour, and others (the six-end order; from memory); the
        number of orders is worked out.
    """
    if not 2 <= ends <= 8:
        raise InputError("ends", "Irregular orders are listed for 2 to 8 ends.", "For example 6.")
    neighbours = {1, ends - 1}
    return tuple(
        order
        for rest in permutations(range(2, ends + 1))
        for order in [(1, *rest)]
        if all(
            (after - before) % ends not in neighbours
            for before, after in zip(order, order[1:] + order[:1], strict=True)
        )
    )


def irregular_six() -> Weave:
    """Irregular six-end satin, weft-faced, lifted 1, 3, 5, 2, 6, 4.

    Equation: none
    Parameters:
        none
    Returns:
        [Weave] weft-faced; its complement is the warp-faced satin
    Validity: no regular satin exists on six ends.
    Errors: none.
    Example:
        >>> irregular_six().is_satin
        True

    Source: W. Watson, Textile Design and Colour; G. H. Oelsner; H. Nisbet (from memory).
    """
    marks = from_lifts(6, ([end] for end in (1, 3, 5, 2, 6, 4)))
    return Weave("satin_6", "six-end satin (irregular), weft face", marks)
