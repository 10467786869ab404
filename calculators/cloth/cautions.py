"""Results that are right and foolish: one sentence for each, wherever it may come up."""

from calculators.quantities.interval import Range
from calculators.quantities.sentences import both, figure, many, percent

FELT = 0.02  # of a size; common practice, no source: what an eye lets pass
MOST_WASTE = 0.6  # of a warp; common practice, no source: one piece alone wastes about as much
FORETOLD = 2.0  # times the take-up planned; common practice, no source
MOST_HEMS = 0.5  # of a piece
MOST_LOST = 0.25  # in one wash; common practice, no source
MOST_CRIMP = 0.3  # common practice, no source; Taylor's own cloths end at 15 %
LIGHTEST, HEAVIEST = 30.0, 700.0  # g/m² of table linen and towels; common practice, no source
_SAME = 1e-9


def _beyond(value: float, limit: float) -> bool:
    return value > limit + _SAME


def remainder(
    exactly: float, whole: int, direction: str, *, threads: float, larger_by: float
) -> str:
    """Tell what whole units of so many threads leave over, and how much larger [cm] they wash."""
    if abs(exactly - whole) < _SAME:
        return f"{many(whole, 'units')} {direction} {'fits' if whole == 1 else 'fit'} exactly."
    difference = whole - exactly
    word = "more" if difference > 0 else "less"
    return (
        f"{figure(exactly)} units {direction} would fit; {whole} are taken: "
        f"{figure(abs(difference) * threads, 1)} threads or {both(10 * abs(larger_by), 'mm')} "
        f"{word} than asked."
    )


def size_cautions(washed: float, wanted: float, direction: str) -> list[str]:
    """Warn when whole units make a cloth [cm] of another size than was asked for."""
    if not _beyond(abs(washed / wanted - 1), FELT):
        return []
    return [
        f"Whole units make the cloth {both(washed, 'cm')} {direction}, not the "
        f"{both(wanted, 'cm')} wanted: a smaller unit comes nearer."
    ]


def edge_cautions(pattern: float, edge: float) -> list[str]:
    """Warn when the selvedges make the cloth [cm] noticeably wider than its pattern."""
    if not _beyond(edge / pattern - 1, FELT):
        return []
    return [
        f"The pattern finishes {both(pattern, 'cm')} wide and the cloth with its selvedges "
        f"{both(edge, 'cm')}: the width asked for is the pattern's. If the whole cloth is to be as "
        "wide, ask for so much less."
    ]


def waste_cautions(share: float) -> list[str]:
    """Warn of a warp that is mostly loom waste."""
    if not _beyond(share, MOST_WASTE):
        return []
    return [
        f"{percent(share, 0)} of this warp is loom waste. More pieces on one warp, or a longer "
        "piece, make better use of it."
    ]


def take_up_cautions(planned: Range, foretold: float) -> list[str]:
    """Warn when the rule foretells far more take-up than a plan allows for."""
    if not _beyond(foretold, FORETOLD * planned.high):
        return []
    return [
        f"The plan takes {percent(planned.high)} of take-up, where the rule foretells "
        f"{percent(foretold)} for this weave, these picks and this weft: the warp may come out too "
        "short. Weave a sample and measure it."
    ]


def hem_cautions(hem: float, finished_length: float) -> list[str]:
    """Warn of hems that take as much cloth as the piece keeps."""
    if not _beyond(hem / (hem + finished_length), MOST_HEMS):
        return []
    return [
        f"The hems take {both(hem, 'cm')} of one piece, more than it keeps. Look at the depth of "
        "the hem and how often it is turned."
    ]


def wash_cautions(change: float) -> list[str]:
    """Warn of a wash that took more than cloth of cotton or linen gives."""
    if not _beyond(-change, MOST_LOST):
        return []
    return [
        f"{percent(-change, 0)} lost is more than cotton or linen cloth gives up in a wash: look "
        "whether both lengths are between the same marks."
    ]


def crimp_cautions(crimp: float) -> list[str]:
    """Warn of a thread that is far longer than the cloth it came from."""
    if not _beyond(crimp, MOST_CRIMP):
        return []
    return [
        f"{percent(crimp, 0)} is more than table cloth takes up: look whether the thread was "
        "stretched, or measured from another length of cloth."
    ]


def weight_cautions(grams_per_square_metre: float) -> list[str]:
    """Warn of a cloth far lighter or heavier than household cloth is."""
    if LIGHTEST - _SAME <= grams_per_square_metre <= HEAVIEST + _SAME:
        return []
    word = "lighter" if grams_per_square_metre < LIGHTEST else "heavier"
    return [
        f"{both(grams_per_square_metre, 'g/m2')} is {word} than cloth for table, bed or kitchen: "
        "look again at the threads and at the numbering of the yarns."
    ]


def cost_cautions(hours: float, rate: float, yarn: float) -> list[str]:
    """Warn of a reckoning from which the work or the yarn is missing."""
    missing = [words for words, amount in (("work", hours * rate), ("yarn", yarn)) if not amount]
    if not missing:
        return []
    return [f"Nothing is counted for the {' and the '.join(missing)}."]
