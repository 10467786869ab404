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

MOST_OFFERED = 30  # cones for a field that asks for a yarn, the fullest first
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
            values = looms_fields(calculator, loom, world)
            if values:
                yield _loom(loom, values)
        if "reeds" in asked and shelf.reeds and not shelf.looms:
            yield _reeds(asked["reeds"], shelf.reeds, world)
    yield from _to_choose_from(calculator, readings, shelf, world)
    for side in ("warp", "weft"):
        yarn = readings.get(f"{side}_yarn")
        if f"{side}_on_hand" in asked and yarn is not None and isinstance(yarn.value, Yarn):
            alike = [
                one for one in shelf.cones if abs(one.yarn.tex / yarn.value.tex - 1) < SAME_YARN
            ]
            for cone in sorted(alike, key=lambda one: -one.net)[:MOST_CONES]:
                yield _cone(cone, side, world)


def looms_fields(calculator: Calculator, loom: Loom, world: str) -> dict[str, str]:
    """What a loom puts into the fields of a form.

    Equation: none
    Parameters:
        calculator [Calculator]: the form
        loom [Loom]: one's own
        world [text]: "metric" or "imperial"
    Returns:
        [texts] as they would be typed, by the fields' names
    Validity: only what was said of the loom.
    Errors: none.

    Example:
        >>> from calculators.registry import calculator
        >>> from calculators.shelf.cones_and_looms import read_shelf
        >>> (oak,) = read_shelf("Loom: Oak; width 90 cm; shafts 8", complete=False).looms
        >>> looms_fields(calculator("harness"), oak, "metric")
        {'loom_ground_shafts': '8'}

    Source: definition.
    """
    asked = {field.term: field.name for field in calculator.fields}
    return {
        field.name: text
        for field in calculator.fields
        if (text := _of_loom(loom, field.term, world)) and _is_the_looms(field.name, asked)
    }


def _to_choose_from(
    calculator: Calculator, readings: Mapping[str, Reading], shelf: Shelf, world: str
) -> Iterator[Offer]:
    """Offer the cones wherever a yarn is asked for, and with their weights where those are too."""
    names = {field.name for field in calculator.fields}
    fullest = sorted(shelf.cones, key=lambda cone: -cone.net)
    weighed = ""
    if {"gross", "empty"} <= names:
        side = readings["side"].value if "side" in readings else ""
        weighed = f"{side}_yarn" if side else "yarn"
        for cone in fullest[:MOST_OFFERED]:
            weights = {
                name: format_quantity(value, "g", world)
                for name, value in (("gross", cone.gross), ("empty", cone.empty))
            }
            yield _choice("gross", cone, weights | _labelled(calculator, weighed, cone))
    for field in calculator.fields:
        if field.kind != "yarn" or field.name == weighed:
            continue
        distinct = {(cone.yarn.text, cone.yarn.system): cone for cone in reversed(fullest)}
        for cone in list(reversed(distinct.values()))[:MOST_OFFERED]:
            yield _choice(field.name, cone, _labelled(calculator, field.name, cone))


def _labelled(calculator: Calculator, name: str, cone: Cone) -> dict[str, str]:
    """Return what a yarn's fields would hold for a cone: its label, and how that is counted."""
    (field,) = (one for one in calculator.fields if one.name == name)
    return {name: cone.yarn.text.strip(), field.system_field: cone.yarn.system}


def _choice(field: str, cone: Cone, values: Mapping[str, str]) -> Offer:
    label = cone.yarn.text.strip()
    button = cone.name if label in cone.name else f"{cone.name}, {label}"
    return Offer(field, "Your cones:", button, values, f"{cone.name}, from your workroom", True)


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
