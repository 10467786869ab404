"""What own records offer to a form: a figure beside each field that holds a general one."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from calculators.engine.calculator import Calculator
from calculators.engine.first_guesses import guess_range
from calculators.engine.reading import Reading
from calculators.quantities.format import format_number, format_quantity
from calculators.quantities.interval import Range
from calculators.quantities.parse import parse_figures, parse_length, parse_loss
from calculators.quantities.sentences import percent
from calculators.records.book import Record, unlike, write_record
from calculators.records.calculators import TITLES, expected
from calculators.records.learning import Estimate
from calculators.weave.library import called


@dataclass(frozen=True)
class Offer:
    """Values for a form at one press: beside which field, in which words, and whence."""

    field: str
    words: str
    button: str
    values: Mapping[str, str]  # as they would be typed, by the fields' names
    origin: str  # what is said of a field once it holds its value
    choice: bool = False  # one of several for its field, which stand in one line


def from_records(
    calculator: Calculator, readings: Mapping[str, Reading], book: Sequence[Record], world: str
) -> Iterator[Offer]:
    """Offer the losses of the records that are like this form's cloth, one by one and together.

    A form that asks for no yarn, or for no weave, hears of all; then it is said of which cloths.
    """
    said = {field.term: readings[field.name].value for field in calculator.fields
            if field.name in readings}  # fmt: skip
    if "records" in said:
        yield from _all_of_them(book)
        return
    asked = {field.term for field in calculator.fields}
    yarn, weave = said.get("warp_yarn") or said.get("yarn"), said.get("weave")
    if (yarn is None and asked & {"warp_yarn", "yarn"}) or (weave is None and "weave" in asked):
        return  # not readable yet
    alike = [one for one in book if not unlike(one, yarn, weave, said.get("loom") or "")]
    of_any = yarn is None or weave is None
    offers = []
    for field in calculator.fields:
        speaking = [one for one in alike if field.name in one.losses]
        if field.name != field.term or field.name not in TITLES or not speaking:
            continue
        own = [one.losses[field.name] for one in speaking]
        usual = _general(field.name)
        found = expected(field.name, usual, own)
        stands = readings[field.name].value if field.name in readings else None
        ranged = isinstance(stands, Range) and not stands.is_exact
        of = _kinds(speaking) if of_any else ""
        offers.append(_offer(field.name, usual.likely, found, ranged, world, of))
    yield from offers
    if len(offers) > 1:
        yield Offer(
            field=offers[0].field,
            words=f"Your records know {len(offers)} of the figures here.",
            button=f"Use all {len(offers)}",
            values={name: value for offer in offers for name, value in offer.values.items()},
            origin="from your records",
        )


def _kinds(records: Sequence[Record]) -> str:
    """Say of what the cloths are, where the form does not."""
    kinds = {f"{one.yarn.text.strip()}, {called(one.weave)}" for one in records}
    return f" of {kinds.pop()}" if len(kinds) == 1 else " of several kinds"


def _offer(term: str, usual: float, found: Estimate, ranged: bool, world: str, of: str) -> Offer:
    assert found.mean is not None
    cloths = _cloths(found.records) + of
    likely, mean, general = (
        _written(term, value, world) for value in (found.range.likely, found.mean, usual)
    )
    value = likely
    if ranged:
        ends = (found.range.low, found.range.likely, found.range.high)
        value = "–".join(format_number(100 * end, 1) for end in ends) + " %"
    weighed = "" if likely == mean else f"; with the usual {general} counted in, {likely}"
    return Offer(
        field=term,
        words=f"Your records: {mean}, {cloths}{weighed}.",
        button=f"Use {value}",
        values={term: value},
        origin=f"from your records, {cloths}",
    )


def _all_of_them(book: Sequence[Record]) -> Iterator[Offer]:
    if book:
        yield Offer(
            field="records",
            words=f"Your records: {_cloths(len(book))}.",
            button="Use my records",
            values={"records": "\n".join(map(write_record, book))},
            origin="your own records",
        )


def _cloths(number: int) -> str:
    return f"{number} cloth{'' if number == 1 else 's'}"


def _general(term: str) -> Range:
    if term != "loom_waste":
        return parse_loss(guess_range(term), term)
    figures, unit = guess_range(term).split()
    ends = parse_figures(figures, term)
    return Range(
        *(parse_length(f"{end:g}", unit, term) for end in (ends.low, ends.likely, ends.high))
    )


def _written(term: str, value: float, world: str) -> str:
    return format_quantity(value, "cm", world) if term == "loom_waste" else percent(value)
