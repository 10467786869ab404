"""Examples as a weaver keeps and sends them: files of several, the link of a small one."""

import json
import re
from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import quote

from calculators.engine.versions import VERSION, as_of
from calculators.examples.drawn import FIGURE
from calculators.examples.example import Example, made
from calculators.examples.figures import PLAN
from calculators.examples.schema import TEXT, TYPED, ExampleError, Kind, fitting, known
from calculators.examples.show import example_html
from calculators.figure.wholes import stored
from calculators.quantities.units import UNITS
from calculators.registry import registry

KIND = "fine-thread examples"
LONGEST_TITLE = 200
MOST_PARTS = 40


def _is_table(value: Any) -> bool:
    return isinstance(value, dict)


def _are_parts(value: Any) -> bool:
    return isinstance(value, list) and len(value) <= MOST_PARTS and all(map(_is_table, value))


CONTENT = {
    "title": Kind(
        lambda value: TEXT.fits(value) and len(value) <= LONGEST_TITLE,
        f"a title is wanted here, of at most {LONGEST_TITLE} letters.",
        'For example "title": "Six napkins".',
    ),
    **dict.fromkeys(("weaver", "question"), TYPED._replace(such_as='For example "{key}": "…".')),
    "version": Kind(
        lambda value: type(value) is int and 1 <= value <= VERSION,
        "this example was made by a later edition of the handbook.",
        "Open it in an edition as new as the one it comes from.",
        optional=True,
    ),
    "units": Kind(
        lambda value: value in UNITS,
        "this says what a bare number counts: cm or inch.",
        'For example "units": "cm".',
        optional=True,
    ),
    "calculator": TEXT._replace(such_as='For example "calculator": "cloth-plan".'),
    "inputs": Kind(
        _is_table,
        "what was typed in the calculator's fields is wanted here.",
        'For example "inputs": {{"pieces": "6"}}.',
    ),
    "figure": FIGURE._replace(such_as='For example "{key}": "##. / .##".'),
    "part": Kind(
        _are_parts,
        f"at most {MOST_PARTS} parts of the story are wanted here, in square brackets.",
        'For example "part": [{{"heading": "…", "text": "…"}}].',
        optional=True,
    ),
    "records": Kind(
        _is_table,
        "what came out is wanted here.",
        'For example "records": {{"finished_width": "47.6 cm"}}.',
        optional=True,
    ),
}


def example_of(content: Mapping[str, Any], name: str = "own") -> Example:
    """Make an example of what was kept, with all that its page shows, or raise ExampleError."""
    told = fitting(name, "", content, CONTENT)
    chosen = told.pop("calculator")
    known(name, "calculator", chosen, registry())
    if registry()[chosen].stages:
        raise ExampleError(
            name,
            "calculator",
            f"“{registry()[chosen].title}” looks for ideas, and is no cloth yet.",
            "Open one of its ideas as a plan, and save that.",
        )
    told["question"] = told.get("question") or registry()[chosen].question
    inputs = as_of(told.pop("version", VERSION), chosen, told.pop("inputs"))
    told[PLAN] = {"calculator": chosen, **_remarkable(chosen, inputs)}
    try:
        example = made(name, told)
        example_html(example)
    except ExampleError as error:
        key = re.sub(rf"^{PLAN}\.", "inputs.", error.key)
        raise ExampleError(name, key, error.message, error.hint) from error
    return example


def _remarkable(chosen: str, inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Leave the finer settings out that are the usual ones: a page need not tell them."""
    usual = {field.name: field.default for field in registry()[chosen].fields if field.advanced}
    return {key: typed for key, typed in inputs.items() if usual.get(key) != typed}


# Files --------------------------------------------------------------------------------------------


def written(contents: Sequence[Mapping[str, Any]], build: str = "") -> str:
    """Write examples as the text of one file."""
    file = {"kind": KIND, "version": VERSION, "build": build, "examples": contents}
    return json.dumps(file, ensure_ascii=False, indent=1)


def opened(text: str) -> tuple[list[dict[str, Any]], list[str]]:
    """Read a file: the examples that can be used, and a sentence for each that cannot."""
    try:
        file = json.loads(text.removeprefix("\ufeff"))
    except json.JSONDecodeError as error:
        return [], [f"line {error.lineno}: the file is damaged here ({error.msg})."]
    except (ValueError, RecursionError):
        return [], ["line 1: this is not a file of examples."]
    told = file.get("examples") if isinstance(file, dict) else None
    if not isinstance(told, list) or file.get("kind") != KIND:
        plans = isinstance(file, dict) and file.get("kind") == "fine-thread plans"
        hint = " It holds plans: open it on the page “Your plans”." if plans else ""
        return [], [f"line 1: this is not a file of examples.{hint}"]
    if not CONTENT["version"].fits(file.get("version")):
        kind = CONTENT["version"]
        return [], [f"line {line_of(text, ['version'])}: {kind.wanted} {kind.such_as}"]
    sound, problems = [], []
    for place, content in enumerate(told):
        try:
            if not isinstance(content, dict):
                raise ExampleError("", "", "an example in curly brackets is wanted here.", "")
            whole = {"version": file["version"], **content}
            example_of(whole)
            sound.append(whole)
        except ExampleError as error:
            line = line_of(text, ["examples", place, *_path(error.key)])
            title = content.get("title") if isinstance(content, dict) else None
            title = f"“{title[:60]}”" if isinstance(title, str) else f"example {place + 1}"
            where = ", ".join(filter(None, (f"line {line}", title, error.key)))
            problems.append(f"{where}: {error.message} {error.hint}".rstrip())
    return sound, problems


def _path(key: str) -> list[str | int]:
    """Take a key such as ``part 2, text`` apart."""
    return [int(one) - 1 if one.isdigit() else one for one in re.findall(r"[a-z_]+|\d+", key)]


def line_of(text: str, path: Sequence[str | int]) -> int:
    r"""Say on which line of a JSON text something stands, or what is nearest around it.

    >>> line_of('{"a": 1,\n "b": [3,\n 4]}', ["b", 1]), line_of('{"a":\n {}}', ["a", "c"])
    (3, 2)
    """
    at = _found(text, _next(text, 0), path)
    return text.count("\n", 0, at) + 1


_DECODER = json.JSONDecoder()


def _next(text: str, at: int) -> int:
    while at < len(text) and text[at] in " \t\r\n,:\ufeff":
        at += 1
    return at


def _found(text: str, at: int, path: Sequence[str | int]) -> int:
    """Walk from a value to one within it, by keys and places."""
    if not path or text[at] not in "{[":
        return at
    wanted, *further = path
    start, inside, place = at, _next(text, at + 1), 0
    while text[inside] not in "]}":
        key: str | int = place
        here = inside
        if text[start] == "{":
            key, inside = _DECODER.raw_decode(text, inside)
            inside = _next(text, inside)
        if key == wanted:
            return _found(text, inside, further) if further else here
        _, inside = _DECODER.raw_decode(text, inside)
        inside, place = _next(text, inside), place + 1
    return start


# Links --------------------------------------------------------------------------------------------


def link_of(content: Mapping[str, Any]) -> str:
    """Write an example as the part of an address after the #."""
    example = example_of(content)
    run = example.plan
    pairs = {"v": str(VERSION), "calculator": content["calculator"], "units": run.units}
    pairs |= run.chosen
    for key in ("title", "weaver", "question"):
        pairs[f"example.{key}"] = content.get(key, "")
    for number, part in enumerate(content.get("part", ()), 1):
        for key in ("heading", "text"):
            pairs[f"example.{number}.{key}"] = part.get(key, "")
    if example.figure:
        pairs["example.figure"] = stored(example.figure.grid)
    for key, typed in content.get("records", {}).items():
        pairs[f"record.{key}"] = typed
    kept = {key: text for key, text in pairs.items() if text or key in run.chosen}
    return "&".join(f"{key}={quote(text, safe='')}" for key, text in kept.items())


def of_link(calculator: str, version: int, values: Mapping[str, str]) -> dict[str, Any]:
    """Read an example back from the values of its address."""
    content: dict[str, Any] = {
        "calculator": calculator,
        "version": version,
        "inputs": {key: text for key, text in values.items() if "." not in key and key != "units"},
        "records": {
            key.removeprefix("record."): text
            for key, text in values.items()
            if key.startswith("record.")
        },
    }
    if values.get("units"):
        content["units"] = values["units"]
    parts: dict[int, dict[str, str]] = {}
    for key, text in values.items():
        match = re.fullmatch(r"example\.(?:(\d{1,2})\.)?([a-z]+)", key)
        if match and match[1]:
            parts.setdefault(int(match[1]), {})[match[2]] = text
        elif match:
            content[match[2]] = text
    return content | {"part": [parts[number] for number in sorted(parts)]}
