"""The shelf's cones beside the scale and in files: what the page asks, beyond an answer."""

from contextlib import suppress

from calculators.errors import InputError
from calculators.quantities.sentences import both
from calculators.shelf.cones import Shelf, add_cone, read_shelf, write_csv, write_json, write_lines

MARK = "\ufeff"  # without it spreadsheets take the letters for those of another alphabet


def added(cones: str, cone: dict[str, str]) -> dict[str, str]:
    """Write one more cone beneath the others, and say how it was understood."""
    text = add_cone(cones, cone)
    (made,) = read_shelf(text.splitlines()[-1]).cones
    colour = f", {made.colour}" if made.colour else ""
    yarn = made.yarn.readings[0].words
    told = f"{made.name} is written down: {yarn}, {both(made.net, 'g')} of yarn{colour}."
    return {"text": text, "told": told}


def opened(cones: str, file: str) -> dict[str, str]:
    """Write what a file holds as lines; looms written here stay where it holds none."""
    found = read_shelf(file)
    told = [f"{_many(len(found.cones), 'cone')} taken in; Undo brings back what stood here."]
    if not found.looms:
        with suppress(InputError):  # nothing readable may stand here
            found = Shelf(found.cones, read_shelf(cones).looms)
        if found.looms:
            told.append("The file holds no loom: what is written here of looms has been left.")
    return {"text": write_lines(found), "told": " ".join(told)}


def saved(cones: str, kind: str) -> dict[str, str]:
    """Write the shelf as a file's text: all of it as JSON, or the cones as a table."""
    shelf = read_shelf(cones)
    if kind == "csv":
        return {"text": MARK + write_csv(shelf), "file": "cones.csv", "type": "text/csv"}
    return {"text": write_json(shelf), "file": "shelf.json", "type": "application/json"}


def _many(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
