"""What the page asks of the package: one JSON text in, one JSON text out."""

import json
from collections.abc import Callable
from typing import Any

from calculators.contract import as_object, calculate
from calculators.engine.versions import VERSION, as_of, told
from calculators.errors import InputError
from calculators.plan.loom_side import in_words, loom_side
from calculators.registry import calculator
from calculators.shelf import files as cones
from calculators.show.code import code_svg
from calculators.show.html import answer_html, reading_html
from calculators.show.sheet import sheet_html
from calculators.show.text import message_text


def respond(request: str) -> str:
    """Answer one request of the page; whatever happens, a JSON object comes back."""
    asked = json.loads(request)
    try:
        reply = CALLS[asked["call"]](asked)
    except InputError as error:
        reply = {"ok": False, "problem": f"{error.message} {error.hint}".strip(), "fields": {}}
    return json.dumps(reply, ensure_ascii=False, allow_nan=False)


def _answer(asked: dict[str, Any]) -> dict[str, Any]:
    done = calculate(asked["id"], asked["inputs"], asked.get("patience"))
    fields = {
        name: {"read": reading_html(reading), "error": "", "hint": ""}
        for name, reading in done.readings.items()
    }
    for error in done.errors:
        fields[error.field] = {"read": "", "error": error.message, "hint": error.hint}
    return {
        "ok": done.answer is not None,
        "answer": answer_html(done, asked.get("base", "")),
        "more": done.more,
        "fields": fields,
        "json": as_object(done),
    }


def _share(asked: dict[str, Any]) -> dict[str, Any]:
    done = calculate(asked["id"], asked["inputs"])
    code, problem = "", ""
    try:
        code = code_svg(asked["address"])
    except InputError as error:
        problem = f"{error.message} {error.hint}"
    text = message_text(done, asked["address"])
    return {"ok": not problem, "code": code, "problem": problem, "text": text}


def _sheet(asked: dict[str, Any]) -> dict[str, Any]:
    done = calculate(asked["id"], asked["inputs"])
    about = (asked["address"], asked["date"], asked.get("name", ""), asked.get("build", ""))
    return {"ok": True, "sheet": sheet_html(done, *about, words=in_words(done))}


def _loom(asked: dict[str, Any]) -> dict[str, Any]:
    known = {field.name for field in calculator(asked["id"]).fields}
    ignored = [name[:40] for name in asked["inputs"] if name not in known]
    inputs = {name: typed for name, typed in asked["inputs"].items() if name in known}
    version = asked.get("version", VERSION)
    since = told(asked["id"], version)
    inputs = as_of(version, asked["id"], inputs)
    left_out = (
        f"Not understood in this link, and left out: {', '.join(ignored)}." if ignored else ""
    )
    words = " ".join(filter(None, (left_out, since)))
    return {"ok": True, "ignored": words, **loom_side(calculate(asked["id"], inputs))}


def _cones(asked: dict[str, Any]) -> dict[str, Any]:
    written = asked["cones"]
    if "cone" in asked:
        return {"ok": True, **cones.added(written, asked["cone"])}
    if "file" in asked:
        return {"ok": True, **cones.opened(written, asked["file"])}
    return {"ok": True, **cones.saved(written, asked["kind"])}


CALLS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "answer": _answer,
    "share": _share,
    "sheet": _sheet,
    "loom": _loom,
    "cones": _cones,
}
