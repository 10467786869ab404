"""What can be drawn and would be weak in the cloth or hard at the loom: where, and what to do."""

from collections.abc import Sequence
from itertools import pairwise

from calculators.figure.grid import Grid
from calculators.loom.cautions import SAFE_LIFT_KG
from calculators.quantities.format import format_number
from calculators.quantities.sentences import both, many, percent

MOST_NAMED = 4
PARTS = ("left", "middle", "right")
STRETCHES = ("first", "middle", "last")
UNEVEN = 0.1  # from memory: a tenth more crossings is felt in the tension of a long warp
LOPSIDED = 0.25  # from memory: a quarter of a third's units more in the figure shows in the hand


def named(places: Sequence[tuple[int, int]]) -> str:
    """Say where on the grid: row and unit of the first few."""
    told = "; ".join(f"row {row}, unit {unit}" for row, unit in places[:MOST_NAMED])
    more = len(places) - MOST_NAMED
    return f"{told}; and {more} more" if more > 0 else told


def numbered(numbers: Sequence[int]) -> str:
    """Write the first few numbers."""
    told = ", ".join(map(str, numbers[: 2 * MOST_NAMED]))
    return f"{told} …" if len(numbers) > 2 * MOST_NAMED else told


def weak_places(
    lone: Sequence[tuple[int, int]], narrow: Sequence[tuple[int, int]], shows: bool
) -> list[str]:
    """Say which units stand alone, and which alone join two parts."""
    cautions = []
    if not shows:
        cautions.append(
            "This ground weaves alike in drawn and resting units: no figure will show, but in a "
            "second weft. Take a weave with two faces, such as broken twill or a satin."
        )
    if lone:
        cautions.append(
            f"{many(len(lone), 'units')} unlike all neighbours: {named(lone)}. The binding goes on "
            "inside, so in the cloth it is a speck. Give it a neighbour, or leave it out."
        )
    if narrow:
        cautions.append(
            f"{many(len(narrow), 'places')} where two parts hang together by one unit: "
            f"{named(narrow)}. Seen from a step away they part. Make them two units wide, or part "
            "them by two."
        )
    return cautions


def float_cautions(longest: int, own: int, places: Sequence[tuple[int, int]]) -> list[str]:
    """Say where the longest floats lie, if they are longer than the weave's own."""
    if longest <= own:
        return []
    return [
        f"The longest float passes {many(longest, 'threads')}; the weave by itself has none over "
        f"{own}. Where: {named(places)}. Choose another order of rising or sinking, or change "
        "these units."
    ]


def lift_cautions(heaviest: int, units: int, mass: float) -> list[str]:
    """Say when one row is too heavy [g] to be lifted at once."""
    if mass / 1000 <= SAFE_LIFT_KG:
        return []
    return [
        f"Row {heaviest} lifts {many(units, 'units')}, {both(mass, 'g')}, and friction besides: "
        "more than one person should. Lighter weights, or that row drawn in two parts."
    ]


def beside_the_plan(grid: Grid, across: int | None, up: int | None) -> tuple[list[str], list[str]]:
    """Say how often the figure goes into the plan, and where the two differ: notes and cautions."""
    notes, cautions = [], []
    for words, own, planned in (("across", grid.across, across), ("up", grid.up, up)):
        if planned is None or planned == own:
            continue
        both_sizes = f"The figure has {many(own, 'units')} {words}, the plan "
        times, over = divmod(planned, own)
        if planned < own:
            cautions.append(
                f"{both_sizes}only {planned}. Leave out {own - planned}, or plan {own}."
            )
        elif over:
            cautions.append(
                f"{both_sizes}{planned}: it goes in {many(times, 'times')}, and leaves "
                f"{many(over, 'units')} over. Put half of them on each side, or plan "
                f"{planned - over}."
            )
        else:
            notes.append(f"{both_sizes}{planned}: it goes in {many(times, 'times')}, none over.")
    return notes, cautions


def shares(figures: Sequence[int], whole: int) -> tuple[float, ...]:
    """Return the mean of each third of some figures, as a share; nothing below three.

    >>> shares([0, 4, 2], 4)
    (0.0, 1.0, 0.5)
    """
    count = len(figures)
    if count < len(PARTS):
        return ()
    outer = (count + 1) // 3  # the outer ones alike, or a mirrored figure would lean
    cuts = [0, outer, count - outer, count]
    return tuple(
        sum(figures[first:last]) / ((last - first) * whole) for first, last in pairwise(cuts)
    )


def balance_cautions(
    figure: Sequence[float], ends: Sequence[float], picks: Sequence[tuple[int, int, int]]
) -> list[str]:
    """Say where ends take up more than others, and which edge draws in.

    ``figure`` and ``ends`` are the share of figure and the crossings of an end with a pick in each
    third of the width, ``picks`` all crossings of each row's picks, and those of its outer thirds.
    """
    cautions = []
    if ends and min(ends) and max(ends) > (1 + UNEVEN) * min(ends):
        most, least = (PARTS[ends.index(pick(ends))] for pick in (max, min))
        cautions.append(
            f"The ends of the {most} third bend {percent(max(ends) / min(ends) - 1, 0)} more often "
            f"than those of the {least} third, and take up more: the others go slack on a long "
            "warp. Spread the figure more evenly, or weigh the slack ends at the back. In 100 "
            f"picks an end goes from face to back or up again {format_number(100 * max(ends), 1)} "
            f"times there, {format_number(100 * min(ends), 1)} in the other. {_told_from(UNEVEN)}"
        )
    left, right = sides = [sum(row) for row in zip(*picks, strict=True)][1:]
    if figure and min(sides) and max(sides) > (1 + UNEVEN) * min(sides):
        edge = "left" if left > right else "right"
        cautions.append(
            f"The weft bends {percent(max(sides) / min(sides) - 1, 0)} more often in the {edge} "
            f"third: the {edge} edge draws in more. Lay the weft looser there, or spread the "
            "figure. In one figure all picks together go from face to back or up again "
            f"{format_number(max(sides))} times there, {format_number(min(sides))} in the other "
            f"outer third. {_told_from(UNEVEN)}"
        )
    elif figure and abs(figure[0] - figure[-1]) > LOPSIDED:
        edge = PARTS[0] if figure[0] > figure[-1] else PARTS[-1]
        cautions.append(
            f"The {edge} third has {percent(abs(figure[0] - figure[-1]), 0)} more of its units in "
            "the figure than the other edge. Warp face and weft face pull differently after "
            "washing: weave a sample, or turn every second piece. "
            f"{_told_from(LOPSIDED)}"
        )
    return cautions


def _told_from(difference: float) -> str:
    return f"Told from {percent(difference, 0)} on: a mark from memory, not measured."
