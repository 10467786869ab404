"""The dentings of the reeds at hand, ready to be looked up by the sett."""

from bisect import bisect_left, bisect_right
from functools import cache
from math import ceil, floor, gcd

from calculators.quantities.interval import Range
from calculators.quantities.spread import spread_evenly
from calculators.sett.denting import (
    FULLEST_DENT,
    LONGEST_ORDER,
    NEAR_ENOUGH,
    Denting,
    denting_sett,
    reed_marks,
    units_on_whole_dents,
)


class Orders:
    """Every denting of the reeds at hand by its sett, so that the best one is found at once."""

    def __init__(self, reeds: tuple[float, ...]) -> None:
        self.by_sett = sorted(
            (denting_sett(reed, order), reed, order, sum(order) / len(order), reed_marks(order))
            for reed in dict.fromkeys(reeds)
            for dents in range(1, LONGEST_ORDER + 1)
            for ends in range(1, FULLEST_DENT * dents + 1)
            if gcd(ends, dents) == 1
            for order in [spread_evenly(ends, dents)]
        )
        self.setts = [one[0] for one in self.by_sett]

    def best(self, working: Range, unit: int) -> Denting | None:
        """Return the denting nearest the middle, even dents and whole units first; see denting."""
        wanted, found = working.likely, None
        for sett, reed, order, mean, marks in self.by_sett[
            bisect_left(self.setts, working.low) : bisect_right(self.setts, working.high)
        ]:
            if not floor(wanted / reed) <= mean <= ceil(wanted / reed):
                continue
            off = round(abs(sett / wanted - 1), 6)
            turned = _whole(order, unit)
            key = (off > NEAR_ENOUGH, bool(marks), turned is None, off, len(order), reed)
            if found is None or key < found[0]:
                found = (key, reed, order, turned, sett, marks)
        if found is None:
            return None
        _, reed, order, turned, sett, marks = found
        dents = unit * len(order) / sum(order)
        error = sett / wanted - 1
        return Denting(reed, turned or order, sett, error, dents, turned is not None, marks)


@cache
def _whole(order: tuple[int, ...], unit: int) -> tuple[int, ...] | None:
    turns = (order[place:] + order[:place] for place in range(len(order)))
    return next((turn for turn in turns if units_on_whole_dents(turn, unit)), None)
