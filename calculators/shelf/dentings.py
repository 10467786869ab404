"""The dentings of the reeds at hand, ready to be looked up by the sett."""

from bisect import bisect_left, bisect_right
from math import ceil, floor, gcd

from calculators.quantities.interval import Range
from calculators.quantities.sharing import shared_evenly
from calculators.sett.denting import (
    FULLEST_DENT,
    LONGEST_ORDER,
    NEAR_ENOUGH,
    Denting,
    denting_of,
    denting_sett,
    ends_borne,
    evenness,
    on_whole_dents,
)


class Dentings:
    """Every denting of the reeds at hand by its sett, so that the best one is found at once."""

    def __init__(self, reeds: tuple[float, ...]) -> None:
        self.by_sett = sorted(
            (denting_sett(reed, order), reed, order, sum(order) / len(order), evenness(order))
            for reed in dict.fromkeys(reeds)
            for dents in range(1, LONGEST_ORDER + 1)
            for ends in range(1, FULLEST_DENT * dents + 1)
            if gcd(ends, dents) == 1
            for order in [shared_evenly(ends, dents)]
        )
        self.setts = [sett for sett, *_ in self.by_sett]
        self.reeds = dict.fromkeys(reeds)

    def best(self, working: Range, unit: int, diameters_per_inch: float) -> Denting | None:
        """Return the denting that ``suits`` a warp best, in its working range."""
        likely, best = working.likely, None
        borne = {reed: ends_borne(likely, reed, diameters_per_inch) for reed in self.reeds}
        for sett, reed, order, mean, uneven in self.by_sett[
            bisect_left(self.setts, working.low) : bisect_right(self.setts, working.high)
        ]:
            if not floor(likely / reed) <= mean <= ceil(likely / reed):
                continue
            error = round(abs(sett / likely - 1), 6)
            whole = on_whole_dents(order, unit)
            used = whole or order
            too_many = max(0, max(used) - borne[reed])
            key = (error > NEAR_ENOUGH, too_many, uneven, whole is None, error, len(used), reed)
            if best is None or key < best[0]:
                best = (key, reed, used)
        if best is None:
            return None
        _, reed, order = best
        return denting_of(reed, order, likely, unit, borne[reed])
