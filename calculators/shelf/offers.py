"""What one's own workroom offers to a form: looms, reeds and cones, at one press."""

from collections.abc import Iterator, Mapping

from calculators.engine.calculator import Calculator
from calculators.engine.reading import Reading
from calculators.quantities.format import format_quantity
from calculators.quantities.units import YARD_CM
from calculators.records.offers import Offer
from calculators.shelf.cones_and_looms import Cone, Loom, Shelf, reeds_text, write_lines
from calculators.shelf.own import loom_item, says_its_waste
from calculators.yarn.yarn import Yarn

SAME_YARN = 0.02  # share of the tex within which two labels mean one yarn; our choice
MOST_CONES = 4  # offered beside one field, the fullest first


def from_workroom(
    calculator: Calculator, readings: Mapping[str, Reading], shelf: Shelf, world: str
) -> Iterator[Offer]:
    """Offer what this form asks of looms, reeds and cones."""
    asked = {field.term: field.name for field in calculator.fields}
    if "cones" in asked and shelf.cones:
        yield _all_cones(asked["cones"], shelf)
    if "reeds" in asked and not any(term in asked for term in _CAPACITY if term != "reeds"):
        every = dict.fromkeys(
            (*shelf.reeds, *(reed for loom in shelf.looms for reed in loom.reeds))
        )
        if every:
            yield _reeds(asked["reeds"], tuple(every), world)
    else:
        for loom in shelf.looms:
            values = {
                field.name: text
                for field in calculator.fields
                if (text := _of_loom(loom, field.term, world)) and _is_the_looms(field.name, asked)
            }
            if values:
                yield _loom(loom, values)
        if "reeds" in asked and shelf.reeds and not shelf.looms:
            yield _reeds(asked["reeds"], shelf.reeds, world)
    for side in ("warp", "weft"):
        yarn = readings.get(f"{side}_yarn")
        if f"{side}_on_hand" in asked and yarn is not None and isinstance(yarn.value, Yarn):
            alike = [
                one for one in shelf.cones if abs(one.yarn.tex / yarn.value.tex - 1) < SAME_YARN
            ]
            for cone in sorted(alike, key=lambda one: -one.net)[:MOST_CONES]:
                yield _cone(cone, side, world)


_CAPACITY = (
    "loom_weaving_width",
    "loom_ground_shafts",
    "loom_pattern_heddles",
    "loom_cords",
    "loom_longest_warp",
    "reeds",
    "loom",
)


def _is_the_looms(name: str, asked: Mapping[str, str]) -> bool:
    """Whether a field asks for the loom itself, and not for a plan's guess beside a record."""
    return not (name.startswith("planned_") or (name == "loom_waste" and "records" in asked))


def _of_loom(loom: Loom, term: str, world: str) -> str:
    if term in ("loom_weaving_width", "loom_waste"):
        value = loom.width if term == "loom_weaving_width" else loom.waste
        said = term == "loom_weaving_width" or says_its_waste(loom)
        return format_quantity(value, "cm", world) if said else ""
    if term == "loom_longest_warp":
        if loom.longest is None:
            return ""
        metric = world == "metric"
        return f"{loom.longest / 100:.4g} m" if metric else f"{loom.longest / YARD_CM:.4g} yd"
    counts = {
        "loom_ground_shafts": loom.ground_shafts,
        "loom_pattern_heddles": loom.pattern_heddles,
        "loom_cords": loom.cords,
    }
    if term in counts:
        return "" if counts[term] is None else str(counts[term])
    return {"reeds": _told(loom.reeds, world), "loom": loom.name}.get(term, "")


def _loom(loom: Loom, values: Mapping[str, str]) -> Offer:
    about = "" if set(values.values()) == {loom.name} else f": {loom_item(loom)['about']}"
    return Offer(
        field=next(iter(values)),
        words=f"Your loom {loom.name}{about}.",
        button=f"Use {loom.name}",
        values=values,
        origin=f"{loom.name}, from your workroom",
    )


def _told(reeds: tuple[float, ...], world: str) -> str:
    return reeds_text(reeds, "cm" if world == "metric" else "inch")


def _reeds(field: str, reeds: tuple[float, ...], world: str) -> Offer:
    text = _told(reeds, world)
    return Offer(field, f"Your reeds: {text}.", "Use my reeds", {field: text}, "from your workroom")


def _all_cones(field: str, shelf: Shelf) -> Offer:
    number = len(shelf.cones)
    return Offer(
        field,
        f"Your workroom: {number} cone{'' if number == 1 else 's'}.",
        "Use my cones",
        {field: write_lines(Shelf(cones=shelf.cones))},
        "from your workroom",
    )


def _cone(cone: Cone, side: str, world: str) -> Offer:
    grams, field = format_quantity(cone.net, "g", world), f"{side}_on_hand"
    return Offer(
        field, f"For the {side} {cone.name} has {grams}.", f"Use {grams}", {field: grams},
        f"{cone.name}, from your workroom",
    )  # fmt: skip
