"""The command line: ``python -m calculators list | run | cloth | table``."""

import argparse
import csv
import json
import os
import sys
from pathlib import Path
from textwrap import fill
from typing import Any

import calculators
from calculators import tables
from calculators.appearance.calculators import LOOK, look_from
from calculators.appearance.pictures import threads_png
from calculators.contract import as_object, calculate, refusal
from calculators.errors import InputError
from calculators.figure.grid import packed
from calculators.figure.png import SIGNATURE, grid_of_png
from calculators.quantities.units import UNITS
from calculators.registry import calculator, registry
from calculators.show.text import answer_text

REFUSED = 2


def main(arguments: list[str] | None = None) -> int:
    """Run one command and return its exit status: 0, or 2 for something that cannot be used."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8")
    parser = _parser()
    options, trailing = parser.parse_known_args(arguments)
    misplaced = options.command is not _run or any(word.startswith("-") for word in trailing)
    if trailing and misplaced:
        parser.error("this cannot be understood: " + " ".join(trailing))
    if trailing:  # NAME=VALUE behind an option
        options.inputs += trailing
    return int(options.command(options))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m calculators",
        description="Yarn counts, sett, units, warp and weft for hand-woven pattern-unit cloth.",
        epilog="Example: python -m calculators run cone gross='412 g' empty='38 g' yarn=16/2",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    listing = commands.add_parser(
        "list",
        help="every calculator, its fields and its results",
        description="List the calculators: each field with the worked example's value, then the "
        "results. Name one to see what may be put into its fields.",
    )
    listing.add_argument("id", nargs="?", help="only this calculator, with its hints")
    listing.add_argument("--json", action="store_true", help="as JSON, with limits and hints")
    listing.add_argument(
        "--english", choices=("british", "american"), default="british", help="how labels are spelt"
    )
    listing.set_defaults(command=_list)

    running = commands.add_parser(
        "run",
        help="answer one calculator",
        description="Answer one calculator. A field that you leave out keeps the value of the "
        "worked example; “list” shows them all. Write quantities as you would on paper: 48 cm, "
        "19 1/2 in, 24 /cm, 60 epi, 250 g, 8 %, or 5–8–12 % for a loss you know only roughly.",
    )
    running.add_argument("id", metavar="CALCULATOR", help=", ".join(registry()))
    running.add_argument(
        "inputs",
        nargs="*",
        metavar="NAME=VALUE",
        help="for example sett='24 /cm'; NAME=@FILE takes what a text file or a PNG figure holds",
    )
    running.add_argument("--input", metavar="FILE", help="a JSON object of inputs; - reads stdin")
    running.add_argument(
        "--units", choices=UNITS, default="", help="what a number without a unit is counted in"
    )
    shown = running.add_mutually_exclusive_group()
    shown.add_argument("--json", action="store_true", help="the whole answer as JSON")
    shown.add_argument("--table", metavar="NAME", help="one of the answer's tables as CSV")
    shown.add_argument("--picture", action="store_true", help="the answer's first picture as SVG")
    running.set_defaults(command=_run)

    weaving = commands.add_parser(
        "cloth",
        help="draw the cloth of a figure as a PNG picture",
        description="Draw the cloth of a figure, its threads or what is seen from a distance.",
    )
    weaving.add_argument("grid", metavar="GRID", help="a PNG of one point a unit, or a text file")
    weaving.add_argument("--out", required=True, metavar="FILE", help="the picture, cloth.png")
    weaving.add_argument("--points", type=int, metavar="N", help="points to a thread")
    for field in LOOK.fields:
        if field.name != "grid":
            weaving.add_argument(
                f"--{field.name.replace('_', '-')}", default=field.default, help=field.label
            )
    weaving.set_defaults(command=_cloth)

    tabling = commands.add_parser("table", help="print one of the handbook's tables")
    tabling.add_argument("name", metavar="TABLE", help=", ".join(tables.TABLES))
    tabling.add_argument(
        "--format", choices=("csv", "json"), default="csv", help="csv unless you say json"
    )
    tabling.set_defaults(command=_table)
    return parser


def _list(options: argparse.Namespace) -> int:
    descriptions = calculators.describe("" if options.english == "british" else options.english)
    if options.id:
        try:
            wanted = calculator(options.id)
        except InputError as error:
            print(error.message, error.hint, file=sys.stderr)
            return REFUSED
        descriptions = [
            description for description in descriptions if description["id"] == wanted.id
        ]
    if options.json:
        _print_json(descriptions)
        return 0
    for description in descriptions:
        print(f"{description['id']}  ({description['code']})  {description['title']}")
        print(f"    {description['question']}")
        for field in description["fields"]:
            unit = f" [{field['unit']}]" if field["unit"] else ""
            print(f"    {field['name']}={field['default']!r}{unit}  {field['label']}")
            if options.id:
                _explain(field)
        results = ", ".join(output["name"] for output in description["outputs"])
        print(f"    → {results}\n")
    return 0


def _explain(field: dict[str, Any]) -> None:
    choices = ", ".join(field["choices"])
    for words in (field["hint"], choices and f"One of: {choices}."):
        if words:
            print(fill(words, 92, initial_indent=" " * 8, subsequent_indent=" " * 8))


def _run(options: argparse.Namespace) -> int:
    try:
        run = calculate(options.id, _inputs(options), units=options.units)
        answer, words = as_object(run), answer_text(run)
        if answer["ok"] and options.table:
            _print_csv(_part(answer["tables"], options.table))
            return 0
        if run.answer and options.picture:
            words = run.answer.pictures[0] if run.answer.pictures else _no_picture(options.id)
    except InputError as error:
        answer, words = refusal(error), f"{error.message} {error.hint}"
    if options.json:
        _print_json(answer)
    else:
        print(words, file=sys.stdout if answer["ok"] else sys.stderr)
    return 0 if answer["ok"] else REFUSED


def _cloth(options: argparse.Namespace) -> int:
    try:
        inputs = {field.name: getattr(options, field.name) for field in LOOK.fields}
        look = look_from(inputs | {"grid": _text_of(options.grid, "grid")})
        if options.points is None:
            png = look.whole()
        else:
            points = options.points, options.points
            png = threads_png(look.fabric, look.light, look.side, points)
        Path(options.out).write_bytes(png)
    except InputError as error:
        print(f"{error.field}: {error.message} {error.hint}", file=sys.stderr)
        return REFUSED
    except OSError as error:
        print(f"{options.out} could not be written: {error}.", file=sys.stderr)
        return REFUSED
    return 0


def _inputs(options: argparse.Namespace) -> dict[str, Any]:
    inputs: dict[str, Any] = {}
    if options.input:
        inputs.update(_from_file(options.input))
    for pair in options.inputs:
        name, equals, value = pair.partition("=")
        if not equals:
            raise InputError(
                "command line", f"“{pair[:40]}” is not NAME=VALUE.", "For example picks='24 /cm'."
            )
        inputs[name] = _text_of(value[1:], name) if value.startswith("@") else value
    return inputs


def _text_of(file: str, field: str) -> str:
    """Return what a text file holds, or the figure of a PNG picture of one point a unit."""
    try:
        data = Path(file).read_bytes()
        text = "" if data.startswith(SIGNATURE) else data.decode()
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(
            field,
            f"{file} could not be read: {error}.",
            "Give the name of a text file, or of a PNG picture of one point a unit.",
        ) from error
    return text or packed(grid_of_png(data))


def _part(tables: dict[str, Any], name: str) -> dict[str, Any]:
    if name not in tables:
        known = ", ".join(tables) or "none"
        raise InputError("table", f"The answer has no table called “{name}”.", f"It has: {known}.")
    found: dict[str, Any] = tables[name]
    return found


def _no_picture(calculator: str) -> str:
    raise InputError("picture", f"The answer of {calculator} has no picture.", "Ask without it.")


def _from_file(name: str) -> dict[str, Any]:
    try:
        text = sys.stdin.read() if name == "-" else Path(name).read_text(encoding="utf-8")
        inputs = json.loads(text)
    except (OSError, ValueError, RecursionError) as error:
        raise InputError(
            "input", f"{name} could not be read as JSON: {error}.", 'It holds {"name": "value", …}.'
        ) from error
    if not isinstance(inputs, dict):
        raise InputError("input", f"{name} is not a JSON object.", 'It holds {"name": "value", …}.')
    return inputs


def _table(options: argparse.Namespace) -> int:
    try:
        table = calculators.table(options.name)
    except InputError as error:
        print(error.message, error.hint, file=sys.stderr)
        return REFUSED
    if options.format == "json":
        _print_json(table)
    else:
        _print_csv(table)
    return 0


def _print_csv(table: dict[str, Any]) -> None:
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(table["columns"])
    writer.writerows(table["rows"])


def _print_json(content: object) -> None:
    print(json.dumps(content, ensure_ascii=False, allow_nan=False, indent=2))


if __name__ == "__main__":
    try:
        sys.exit(main())
    except BrokenPipeError:  # the reader of a pipe, such as head, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
