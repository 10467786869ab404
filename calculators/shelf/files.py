"""The shelf's cones beside the scale and in files: what the page asks, beyond an answer."""

from contextlib import suppress
from dataclasses import replace

from calculators.errors import InputError
from calculators.quantities.sentences import both
from calculators.shelf.cones_and_looms import (
    Cone,
    Shelf,
    add_cone,
    change_cone,
    read_shelf,
    write_csv,
    write_json,
    write_lines,
)
from calculators.shelf.own import Item, cone_item

MARK = "\ufeff"  # without it spreadsheets take the letters for those of another alphabet


def added(cones: str, cone: dict[str, str], units: str) -> dict[str, str | Item]:
    """Write one more cone beneath the others, and say how it was understood."""
    text = add_cone(cones, cone, units)
    (new_cone,) = read_shelf(text.splitlines()[-1], units=units).cones
    return _written(text, new_cone)


def said(cones: str, line: str, units: str) -> dict[str, str | Item]:
    """Write one more cone beneath the others as one would say it: 16/2 cotton white, 12 oz."""
    try:
        read_shelf(line, units=units)
    except InputError as error:
        message = error.message.removeprefix("Line 1: ")
        raise InputError("cones", message[0].upper() + message[1:], error.hint) from error
    new_cone = read_shelf(f"{cones}\n{line}", units=units, complete=False).cones[-1]
    text = "\n".join(filter(None, (cones.rstrip("\n"), write_lines(Shelf(cones=(new_cone,))))))
    return _written(text, new_cone)


def changed(cones: str, place: int, line: str, units: str) -> dict[str, str | Item]:
    """Write another line in the place of a cone, or take the cone away."""
    return {"text": change_cone(cones, place, line, units)}


def _written(text: str, cone: Cone) -> dict[str, str | Item]:
    colour = f", {cone.colour}" if cone.colour else ""
    yarn = cone.yarn.readings[0].words
    message = f"{cone.name} is written down: {yarn}, {both(cone.net, 'g')} of yarn{colour}."
    return {"text": text, "told": message, "item": cone_item(cone)}


def opened(cones: str, file: str, units: str) -> dict[str, str]:
    """Write what a file holds as lines; looms written here stay where it holds none."""
    shelf = read_shelf(file)
    sentences = [f"{_many(len(shelf.cones), 'cone')} taken in; Undo brings back what stood here."]
    if not shelf.looms:
        with suppress(InputError):  # nothing readable may stand here
            shelf = replace(read_shelf(cones, units=units), cones=shelf.cones)
        if shelf.looms:
            sentences.append("The file holds no loom: what is written here of looms has been left.")
    return {"text": write_lines(shelf), "told": " ".join(sentences)}


def saved(cones: str, kind: str, units: str) -> dict[str, str]:
    """Write the shelf as a file's text: all of it as JSON, or the cones as a table."""
    shelf = read_shelf(cones, units=units)
    if kind == "csv":
        return {"text": MARK + write_csv(shelf), "file": "cones.csv", "type": "text/csv"}
    return {"text": write_json(shelf), "file": "shelf.json", "type": "application/json"}


def _many(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
