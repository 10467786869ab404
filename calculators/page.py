"""What the page asks of the package: one JSON text in, one JSON text out."""

import base64
import json
from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from calculators.appearance.calculators import look_from, look_of_plan
from calculators.appearance.plates import look_of_figure, plate_png
from calculators.comparison import comparison_html
from calculators.contract import as_object, calculate
from calculators.engine.reading import read_inputs
from calculators.engine.run import work_out
from calculators.engine.versions import VERSION, as_of, changes_in_words
from calculators.errors import InputError
from calculators.examples import files as examples
from calculators.examples.page import booklet, shown
from calculators.figure.grid import packed
from calculators.figure.loom_side import in_words, loom_side
from calculators.figure.motifs import lettering, motif, motifs
from calculators.figure.picture import WAYS, Picture, best_level, cut_out, figure_of, in_units
from calculators.figure.png import read_png
from calculators.figure.proportions import rows_for_picture
from calculators.figure.wholes import read_figure
from calculators.quantities.sentences import many
from calculators.records.book import read_records
from calculators.records.offers import from_records
from calculators.registry import calculator
from calculators.shelf import files as cones
from calculators.shelf import own
from calculators.shelf.at_loom import own_looms_html
from calculators.shelf.cones_and_looms import read_shelf
from calculators.shelf.offers import from_workroom
from calculators.show.card import card_html
from calculators.show.code import LONGEST_ADDRESS, code_svg
from calculators.show.html import answer_html, bar_html, fields_html, reading_html
from calculators.show.sheet import sheet_html
from calculators.show.text import called, in_short, message_text, spoken


def respond(text: str, points: bytes | memoryview = b"") -> str:
    """Answer one request of the page; whatever happens, a JSON object comes back.

    ``points`` are a picture's, which come beside the text.
    """
    request = json.loads(text) | {"points": bytes(points)}
    try:
        reply = CALLS[request["call"]](request)
    except InputError as error:
        problem = f"{error.message} {error.hint}".strip()
        reply = {"ok": False, "problem": problem, "field": error.field, "fields": {}}
    return json.dumps(reply, ensure_ascii=False, allow_nan=False)


def _answer(request: dict[str, Any]) -> dict[str, Any]:
    run = calculate(
        request["id"], request["inputs"], request.get("patience"), request.get("units", "")
    )
    fields = {
        field.name: {"read": reading_html(field, reading), "error": "", "hint": ""}
        for field in run.calculator.fields
        if (reading := run.readings.get(field.name))
    }
    drawn = {field.name for field in run.calculator.fields if field.picture}
    for error in run.errors:
        read = fields[error.field]["read"] if error.field in drawn & fields.keys() else ""
        fields[error.field] = {"read": read, "error": error.message, "hint": error.hint}
    return {
        "ok": run.answer is not None,
        "answer": answer_html(run, request.get("base", "")),
        "about": in_short(run),
        "called": called(run),
        "card": card_html(run) if request.get("card") else "",
        "bar": bar_html(run) if run.answer else "",
        "spoken": spoken(run, "imperial" if request.get("units") == "inch" else "metric"),
        "more": run.more,
        "fields": fields,
        "json": as_object(run),
    }


def _warnings(request: dict[str, Any]) -> dict[str, Any]:
    asked, units = calculator(request["id"]), request.get("units", "")
    run = work_out(asked, request["inputs"], units=units, brief=True)
    if run.answer is None:
        return {"ok": False, "problem": f"{run.errors[0].message} {run.errors[0].hint}"}
    return {"ok": True, "cautions": run.answer.cautions}


def _share(request: dict[str, Any]) -> dict[str, Any]:
    run = calculate(request["id"], request["inputs"], units=request.get("units", ""))
    code, problem = "", ""
    try:
        code = code_svg(request["address"])
    except InputError as error:
        problem = f"{error.message} {error.hint}"
    name = [request["name"]] if request.get("name") else []
    text = "\n".join((*name, message_text(run, request["address"])))
    card = card_html(run)
    return {"ok": not problem, "code": code, "problem": problem, "text": text, "card": card}


WITH_FIGURE = "The code opens the plan with its figure."
WITHOUT_FIGURE = (
    "The code opens the plan without its figure, which is too much for it: a file takes it."
)


def _sheet(request: dict[str, Any]) -> dict[str, Any]:
    run = calculate(request["id"], request["inputs"], units=request.get("units", ""))
    address, whole = request["address"], request.get("whole", "")
    fits = len(whole) <= LONGEST_ADDRESS
    sheet = sheet_html(
        run,
        whole if whole and fits else address,
        request["date"],
        name=request.get("name", ""),
        build=request.get("build", ""),
        words=in_words(run),
        coded="" if not whole else WITH_FIGURE if fits else WITHOUT_FIGURE,
    )
    return {"ok": True, "sheet": sheet}


def _loom(request: dict[str, Any]) -> dict[str, Any]:
    names = {field.name for field in calculator(request["id"]).fields}
    ignored = [name[:40] for name in request["inputs"] if name not in names]
    inputs = {name: typed for name, typed in request["inputs"].items() if name in names}
    version = request.get("version", VERSION)
    left_out = (
        f"Not understood in this link, and left out: {', '.join(ignored)}." if ignored else ""
    )
    words = " ".join(filter(None, (left_out, changes_in_words(request["id"], version))))
    filled = as_of(version, request["id"], inputs)
    run = calculate(request["id"], filled, units=request.get("units", ""))
    side = loom_side(run, request.get("rise", ""), request.get("sink", ""))
    own_looms = read_shelf(request.get("workroom", ""), complete=False)
    world = "imperial" if request.get("units") == "inch" else "metric"
    side["facts"] += own_looms_html(run, own_looms, world)
    return {"ok": True, "ignored": words, **side}


def _cones(request: dict[str, Any]) -> dict[str, Any]:
    lines, units = request["cones"], request.get("units", "")
    if "line" in request:
        line = request["line"]
        if "place" in request:
            return {"ok": True, **cones.changed(lines, request["place"], line, units)}
        return {"ok": True, **cones.said(lines, line, units)}
    if "cone" in request:
        return {"ok": True, **cones.added(lines, request["cone"], units)}
    if "file" in request:
        return {"ok": True, **cones.opened(lines, request["file"], units)}
    return {"ok": True, **cones.saved(lines, request["kind"], units)}


def _example(request: dict[str, Any]) -> dict[str, Any]:
    content = request["example"]
    return {"ok": True, **shown(content, request["page"], request.get("base", ""))}


def _example_of_link(request: dict[str, Any]) -> dict[str, Any]:
    content = examples.of_link(request["id"], request["version"], request["values"])
    examples.example_of(content)
    return {"ok": True, "example": content}


def _examples_file(request: dict[str, Any]) -> dict[str, Any]:
    if "file" in request:
        sound, problems = examples.opened(request["file"])
        return {"ok": True, "examples": sound, "problems": problems}
    return {"ok": True, "text": examples.written(request["examples"], request["build"])}


def _booklet(request: dict[str, Any]) -> dict[str, Any]:
    contents, page = request["examples"], request["page"]
    return {"ok": True, **booklet(contents, request["title"], request["date"], page)}


def _compare(request: dict[str, Any]) -> dict[str, Any]:
    return {"ok": True, "html": comparison_html(*request["plans"])}


def _offers(request: dict[str, Any]) -> dict[str, Any]:
    asked, units = calculator(request["id"]), request.get("units", "")
    readings, _ = read_inputs(asked, request["inputs"], units)
    world = "imperial" if units == "inch" else "metric"
    book = read_records(request["records"])
    workroom = read_shelf(request["workroom"], complete=False)
    offers = [
        *from_workroom(asked, readings, workroom, world),
        *from_records(asked, readings, book, world),
    ]
    return {"ok": True, "offers": [asdict(offer) for offer in offers]}


def _own(request: dict[str, Any]) -> dict[str, Any]:
    units = request.get("units", "")
    if "form" in request:
        sort, line = own.SORTS[request["form"]], request["line"]
        form = fields_html(sort.asked, sort.typed(line, units) if line else {})
        return {"ok": True, "title": sort.asked.title, "form": form}
    if "file" in request:
        return {"ok": True, "items": own.items_in(request["kind"], request["file"], units)}
    return {"ok": True, **own.file_of(request["kind"], request["lines"])}


def _own_entry(request: dict[str, Any]) -> dict[str, Any]:
    asked = own.SORTS[request["sort"]].asked
    run = work_out(asked, request["inputs"], units=request.get("units", ""))
    try:
        return {"ok": True, "item": own.entered(request["sort"], run, request["names"])}
    except InputError as error:
        fields = {one.field: {"error": one.message, "hint": one.hint} for one in run.errors}
        here = {error.field: {"error": error.message, "hint": error.hint}} | fields
        return {"ok": False, "problem": f"{error.message} {error.hint}".strip(), "fields": here}


def _finished(request: dict[str, Any]) -> dict[str, Any]:
    known = {field.name for field in calculator(request["id"]).fields}
    inputs = {name: typed for name, typed in request["inputs"].items() if name in known}
    filled = as_of(request.get("version", VERSION), request["id"], inputs)
    run = calculate(request["id"], filled, units=request.get("units", ""))
    return {"ok": True, "item": own.finished(run, request["name"], request.get("loom", ""))}


def _picture(request: dict[str, Any]) -> dict[str, Any]:
    """Make a figure of a picture: a PNG, or the browser's greys, a byte a point.

    Asked in units across it keeps its proportions, unless units up are asked for too; asked in
    neither each point is a unit. The greys of the units come back, so that another way or level
    need not go through the whole picture again.
    """
    points = request["points"]
    if "points_across" in request:
        picture = Picture(request["points_across"], request["points_up"], points)
    else:
        picture = read_png(points)
    if request.get("part"):
        picture = cut_out(picture, *request["part"])
    across = request.get("units_across") or picture.across
    size = request.get("unit_width") or 1, request.get("unit_height") or 1
    true = picture.up
    if request.get("units_across"):
        true = max(1, int(rows_for_picture(across, picture.across, picture.up, *size)))
    up = request.get("units_up") or true
    drawn, way = request.get("drawn") or "dark", request.get("way") or "level"
    toned = in_units(picture, drawn, (across, up))
    level = request.get("level") or best_level(toned.grey)
    grid = figure_of(toned, way, level, drawn)
    words = [WAYS[way].does, WAYS[way].cloth]
    if up != true:
        words.append(
            f"The picture is {'drawn out' if up > true else 'pressed together'}: in its own "
            f"proportions it would have {many(true, 'units')} up."
        )
    return {
        "ok": True,
        "grid": packed(grid),
        "units_across": across,
        "units_up": up,
        "level": level,
        "grey": base64.b64encode(toned.grey).decode(),
        "words": " ".join(words),
    }


def _motif(request: dict[str, Any]) -> dict[str, Any]:
    if "text" in request:
        text, size, gap = (request.get(name) for name in ("text", "size", "gap"))
        return {"ok": True, "grid": packed(lettering(text or "", size or "small", gap))}
    if "motif" in request:
        return {"ok": True, "grid": packed(motif(request["motif"]))}
    return {"ok": True, "motifs": motifs(), "ways": {name: one.title for name, one in WAYS.items()}}


def _cloth(request: dict[str, Any]) -> dict[str, Any]:
    """Draw the cloth of what is typed for the look, and for a plan where ``id`` names one.

    Asked for its threads, some rows come at once and ``next`` is the row to go on from. Asked for
    the plate of a plan, nothing comes where its figure has other units or its look is no damask's.
    """
    units = request.get("units", "")
    if request.get("picture") == "plate":
        return _plate(request, units)
    if "id" in request:
        plan = calculator(request["id"])
        look = look_of_plan(plan, request["planned"], request["inputs"], units)
    else:
        look = look_from(request["inputs"], units)
    grid = look.fabric.grid
    size = look.fabric.size_mm
    reply: dict[str, Any] = {"ok": True, "units_across": grid.across, "units_up": grid.up}
    if request.get("picture") == "near":
        png, crop = look.near()
        share = crop.across / grid.across, crop.up / grid.up
        size = size[0] * share[0], size[1] * share[1]
    elif request.get("picture") == "threads":
        across, up = request.get("thread_points") or look.thread_points()
        png, reply["next"] = look.strip(request.get("from_row") or 0, (across, up))
        reply["ends"], reply["picks"] = ends, picks = look.fabric.ends, look.fabric.all_picks
        reply["points"] = ends * across, picks * up
    else:
        png = look.whole()
    return reply | {"png": base64.b64encode(png).decode(), "millimetres": size}


def _plate(request: dict[str, Any], units: str) -> dict[str, Any]:
    run = calculate(request["id"], request["planned"], units=units)
    grid = read_figure(request["grid"])
    planned = run.answer.results if run.answer else {}
    fits = [planned.get(f"units_{way}") for way in ("across", "up")] == [grid.across, grid.up]
    look = look_of_figure(run, grid) if fits else None
    if look is None:
        return {"ok": True, "png": "", "words": ""}
    words = f"Its figure is drawn as a model of the cloth in bleached yarn: {look.in_words()}."
    return {"ok": True, "png": base64.b64encode(plate_png(look)[0]).decode(), "words": words}


CALLS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "answer": _answer,
    "warnings": _warnings,
    "share": _share,
    "sheet": _sheet,
    "loom": _loom,
    "cones": _cones,
    "offers": _offers,
    "own": _own,
    "own-entry": _own_entry,
    "finished": _finished,
    "example": _example,
    "example-of-link": _example_of_link,
    "examples-file": _examples_file,
    "booklet": _booklet,
    "compare": _compare,
    "motif": _motif,
    "picture": _picture,
    "cloth": _cloth,
}
