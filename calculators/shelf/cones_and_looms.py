"""The shelf: cones and looms, written a line each, as a table with commas, or as JSON."""

import csv
import io
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import Any

from calculators.data import load
from calculators.engine.formula import formula
from calculators.errors import InputError
from calculators.quantities.format import format_number
from calculators.quantities.parse import (
    parse_count,
    parse_length,
    parse_list,
    parse_mass,
    parse_reed,
    shown,
)
from calculators.quantities.units import counted_in, per_cm, per_inch
from calculators.yarn.colour import COLOUR_WORDS, parse_colour
from calculators.yarn.cone import net_mass
from calculators.yarn.words import COLOURS as SPOKEN_COLOURS
from calculators.yarn.words import COUNTED_IN_SEVERAL, IDLE
from calculators.yarn.words import FIBRES as FIBRE_WORDS
from calculators.yarn.yarn import Yarn, parse_yarn

MOST_CONES = 200
FIBRES: dict[str, int] = {row["name"]: row["heat"] for row in load("shelf")["fibre"]}
COLUMNS = ("name", "yarn", "system", "fibre", "colour", "gross", "empty", "net", "step", "note")
DISTANCES = ("front", "ground", "between", "behind")
USUAL_WASTE = 140.0  # cm; common practice, no source
_LOOM = ("name", "width", "shafts", "heddles", "cords", "reeds", "waste", *DISTANCES, "longest")
_FIBRE_OF_SYSTEM = {
    "cotton": "cotton", "linen": "linen", "worsted": "wool", "woollen_run": "wool",
    "woollen_cut": "wool", "yorkshire_skein": "wool", "galashiels": "wool", "spun_silk": "silk",
    "jute": "jute",
}  # fmt: skip
_OTHER_NAMES = {
    **{word: _FIBRE_OF_SYSTEM[system] for word, system in FIBRE_WORDS.items()},
    **{word: fibre for word, fibre in COUNTED_IN_SEVERAL.items() if fibre in FIBRES},
}
_HINT = (
    "Write a line such as: Blue cone; 16/2 cotton; 412 g; empty 38 g; #2b4a6f; or, shorter: 16/2 "
    "cotton white, 12 oz"
)
Row = dict[str, str]
MOST_WORDS = 8  # of a yarn in a free line
# Beside a count the others have always meant no colour.
_DYED = {*SPOKEN_COLOURS} - {"bleached", "unbleached", "natural"}
_NUMBER = r"(?:\d+ \d/\d|\d+(?:[.,]\d+)?[½¼¾]?|[½¼¾])"
_WEIGHT = re.compile(
    rf"(?:\b(?P<of>gross|empty|net|brutto|netto|tom|tomme|leer)\b[: ]*)?(?<![\d/=.,])(?<![/=] )"
    rf"(?P<amount>(?:{_NUMBER} ?(?:kg|grams?|gramm|gr?|oz|ounces?|lbs?|pounds?)\b\.? ?)+)",
    re.IGNORECASE,
)
_WEIGHED = {
    **dict.fromkeys(("gross", "brutto"), "gross"),
    **dict.fromkeys(("empty", "tom", "tomme", "leer"), "empty"),
    **dict.fromkeys(("net", "netto"), "net"),
}


@dataclass(frozen=True)
class Cone:
    """A cone as it stands on the shelf; masses in g, colour as # and six figures or nothing."""

    name: str
    yarn: Yarn
    fibre: str
    colour: str
    gross: float
    empty: float
    step: float
    note: str

    @property
    def net(self) -> float:
        """Yarn on it [g]."""
        return self.gross - self.empty


@dataclass(frozen=True)
class Loom:
    """What a loom can hold; lengths in cm, reeds in dents per inch, None where nobody said.

    ``distances`` are those of DISTANCES along the warp, or none at all.
    """

    name: str
    width: float
    ground_shafts: int
    pattern_heddles: int | None
    cords: int | None
    reeds: tuple[float, ...]
    waste: float
    longest: float | None
    distances: tuple[float, ...] = ()


@dataclass(frozen=True)
class Shelf:
    """All that was written down; reeds that fit any of the looms, in dents per inch."""

    cones: tuple[Cone, ...] = ()
    looms: tuple[Loom, ...] = ()
    reeds: tuple[float, ...] = ()


@formula(
    "F-133",
    "Loom waste from the distances along the warp",
    "trade-knowledge",
    gives="loom_waste",
    basis="common practice",
    validity="measured along the thread, over every beam; your own thrums, measured, are better",
)
def standing_waste(front: float, ground: float, between: float, behind: float) -> float:
    """Loom waste from where things stand along the warp of a draw loom.

    >>> standing_waste(25, 35, 25, 75)
    160
    """
    return front + ground + between + behind


def read_shelf(text: str, field: str = "cones", units: str = "", complete: bool = True) -> Shelf:
    """Shelf from lines, from a table with commas, or from JSON; all of it or nothing.

    Equation: none
    Parameters:
        text [text]: one cone a line, CSV with our column names, or our JSON
        field [text]: where an error is shown
        units [name]: what bare figures of lines are counted in, "cm" or "inch"; a table or JSON
            counts in g and cm
        complete [yes or no]: whether there must be a cone, and a reed for every loom
    Returns:
        [Shelf] cones and looms in the order written; a loom without reeds has those apart
    Validity: at most 200 cones, every name once.
    Errors: InputError that names each line which cannot be read; then nothing is taken.

    Example:
        >>> shelf = read_shelf("Blue cone; 16/2 cotton; 412 g; empty 38 g; #2b4a6f")
        >>> shelf.cones[0].name, shelf.cones[0].net, shelf.cones[0].fibre
        ('Blue cone', 374.0, 'cotton')

    Source: definition; the format is this handbook's own.
    """
    cones, looms, reeds, troubles = _gathered(text, field, units)
    if complete and not reeds:
        troubles += [(where, _no_reeds()) for where, loom in looms if not loom.reeds]
    if troubles:
        message = " ".join(f"{where}: {error.message[:100]}" for where, error in troubles[:3])
        more = f" And {len(troubles) - 3} more." if len(troubles) > 3 else ""
        raise InputError(field, message + more, troubles[0][1].hint[:300] or _HINT)
    if not complete <= len(cones) <= MOST_CONES:
        raise InputError(field, f"From 1 to {MOST_CONES} cones; there are {len(cones)}.", _HINT)
    apart = tuple(dict.fromkeys(reeds))
    return Shelf(
        tuple(cone for _, cone in cones),
        tuple(loom if loom.reeds else replace(loom, reeds=apart) for _, loom in looms),
        apart,
    )


def _gathered(text: str, field: str, units: str) -> "_Gathered":
    """Read every line that can be read, and say of each where it stands."""
    troubles: list[tuple[str, InputError]] = []
    cones: list[tuple[str, Cone]] = []
    looms: list[tuple[str, Loom]] = []
    reeds: list[float] = []
    names: set[tuple[type, str]] = set()
    for where, make, row in _rows(text.lstrip("\ufeff"), field, units):
        try:
            if isinstance(row, InputError):
                raise row
            entry = make(row)
            if isinstance(entry, tuple):
                reeds.extend(entry)
                continue
            if isinstance(row, str) and isinstance(entry, Cone) and ";" not in row:
                entry = _told_apart(entry, names)
            name = (type(entry), entry.name.casefold())
            if name in names:
                raise InputError("", f"The name “{shown(entry.name)}” stands here twice.", _HINT)
            names.add(name)
            if isinstance(entry, Cone):
                cones.append((where, entry))
            else:
                looms.append((where, entry))
        except InputError as error:
            troubles.append((where, error))
    return cones, looms, reeds, troubles


def readable_cones(
    text: str, units: str = ""
) -> tuple[tuple[Cone, ...], tuple[tuple[str, InputError], ...]]:
    r"""Cones of the lines that can be read, and beside them what stands in the way of the others.

    Equation: none
    Parameters:
        text [text]: as ``read_shelf`` takes it
        units [name]: what bare figures are counted in, "cm" or "inch"
    Returns:
        [cones, errors] in the order written, each error with the name of its line
    Validity: any text.
    Errors: none.

    Example:
        >>> cones, errors = readable_cones("A; 16/2; 40 g\nB; 16/2; forty\nC; 30/2; 50 g")
        >>> [cone.name for cone in cones], [where for where, _ in errors]
        (['A', 'C'], ['Line 2'])

    Source: definition.
    """
    cones, _, _, troubles = _gathered(text, "cones", units)
    return tuple(cone for _, cone in cones), tuple(troubles)


def cones_in_free_words(text: str, field: str = "cones", units: str = "") -> tuple[Cone, ...]:
    r"""Cones whose lines were written as one says it, so that it can be told how they were read.

    Equation: none
    Parameters:
        text [text]: what ``read_shelf`` has read
        field [text]: where an error is shown
        units [name]: what a bare number is counted in, cm, inch or nothing
    Returns:
        [cones] those of lines without a semicolon
    Validity: a shelf that was read.
    Errors: InputError where it cannot be read.

    Example:
        >>> [cone.name for cone in cones_in_free_words("A; 16/2; 40 g\n30/2 linen grey, 5 oz")]
        ['30/2 linen grey']

    Source: definition.
    """
    entries = (
        make(row)
        for _, make, row in _rows(text.lstrip("\ufeff"), field, units)
        if isinstance(row, str) and ";" not in row
    )
    return tuple(entry for entry in entries if isinstance(entry, Cone))


def add_cone(text: str, cone: Row, units: str = "") -> str:
    r"""Shelf with one more cone at its end, every line before it as it was.

    Equation: none
    Parameters:
        text [text]: what stands there, in any form that is read
        cone [texts]: by the names of COLUMNS; without a name it is numbered
        units [name]: what bare figures are counted in, "cm" or "inch"
    Returns:
        [text] lines; a table or a file is turned into lines
    Validity: the lines before are not read: what is still being typed there is no hindrance.
    Errors: InputError when the cone cannot be read, or its name stands there already.

    Example:
        >>> print(add_cone("A; 16/2; 40 g", {"yarn": "30/2", "gross": "95", "empty": "38 g"}))
        A; 16/2; 40 g
        Cone 2; 30/2; 95; empty 38 g

    Source: definition; the format is this handbook's own.
    """
    lines = _lines_of(text)
    names = {line.split(";")[0].strip().casefold() for line in lines}
    numbers = (f"Cone {number}" for number in range(sum(map(bool, names)) + 1, 10_000))
    typed = {key: " ".join(value.replace(";", ",").split()) for key, value in cone.items()}
    row = {
        **typed,
        "name": typed.get("name") or next(n for n in numbers if n.casefold() not in names),
    }
    if not row.get("empty"):
        row["net"] = row.pop("gross", "")
    new_cone = _cone(row, units)
    if new_cone.name.casefold() in names:
        raise InputError("", f"The name “{shown(new_cone.name)}” stands here already.", _HINT)
    parts = [row["name"], row["yarn"], row.get("net") or row["gross"]]
    parts += [f"empty {row['empty']}"] if row.get("empty") else []
    parts += [row[key] for key in ("fibre", "colour") if row.get(key)]
    parts += [f"{key} {row[key]}" for key in ("system", "step", "note") if row.get(key)]
    return "\n".join((*lines, "; ".join(parts)))


def change_cone(text: str, place: int, line: str, units: str = "") -> str:
    r"""Shelf with another line in place of one of its cones, or without that cone.

    Equation: none
    Parameters:
        text [text]: what stands there, in any form that is read
        place [count]: which cone, the first being 0
        line [text]: what stands there instead; nothing takes the cone away
        units [name]: what bare figures are counted in, "cm" or "inch"
    Returns:
        [text] lines; a table or a file is turned into lines
    Validity: every other line stays as it was.
    Errors: InputError when there is no such cone.

    Example:
        >>> change_cone("A; 16/2; 40 g\nReeds: 40/10\nB; 16/2; 50 g", 1, "C; 30/2; 9 g")
        'A; 16/2; 40 g\nReeds: 40/10\nC; 30/2; 9 g'

    Source: definition; the format is this handbook's own.
    """
    lines = _lines_of(text)
    cones, *_ = _gathered("\n".join(lines), "cones", units)
    if not 0 <= place < len(cones):
        raise InputError("cones", f"There is no cone {place + 1} here.", "Load the page again.")
    number = int(cones[place][0].removeprefix("Line ")) - 1
    lines[number : number + 1] = [line] if line else []
    return "\n".join(lines)


def _lines_of(text: str) -> list[str]:
    plain = text.strip().lstrip("\ufeff")
    if plain.startswith("{") or _titles(plain):
        plain = write_lines(read_shelf(plain))
    return plain.splitlines()


def write_lines(shelf: Shelf) -> str:
    """Shelf as the lines that ``read_shelf`` reads.

    Equation: none
    Parameters:
        shelf [Shelf]: cones and looms
    Returns:
        [text] one line each
    Validity: exact: reading it gives the same shelf.
    Errors: none.

    Example:
        >>> write_lines(read_shelf("Odile’s; 16/2; 400 g; natural"))
        'Odile’s; 16/2 cotton; gross 400 g; empty 0 g; fibre cotton; #e8dfc8'

    Source: definition.
    """
    lines = []
    for row in map(_cone_row, shelf.cones):
        system = "" if _says_its_system(row["yarn"]) else row["system"].replace("_", " ")
        parts = [row["name"], f"{row['yarn']} {system}".strip()]
        parts += [f"gross {row['gross']}", f"empty {row['empty']}"]
        parts += [f"{key} {row[key]}" for key in ("step", "fibre") if row[key]]
        parts += [row["colour"]] if row["colour"] else []
        lines.append("; ".join(parts + ([f"note {row['note']}"] if row["note"] else [])))
    for row in map(_loom_row, shelf.looms):
        rest = (f"{key} {row[key]}" for key in _LOOM[1:] if row[key])
        lines.append("; ".join((f"Loom: {row['name']}", *rest)))
    if shelf.reeds:
        lines.append(f"Reeds: {reeds_text(shelf.reeds)}")
    return "\n".join(lines)


def write_csv(shelf: Shelf) -> str:
    """Cones as a table with commas.

    Equation: none
    Parameters:
        shelf [Shelf]: cones; looms have no place in this table
    Returns:
        [text] a first line of column names, then one line a cone
    Validity: exact for cones.
    Errors: none.

    Example:
        >>> print(write_csv(read_shelf("Odile’s; 16/2; 400 g")).splitlines()[1])
        Odile’s,16/2,cotton,cotton,,400 g,0 g,,,

    Source: definition.
    """
    sheet = io.StringIO()
    writer = csv.DictWriter(sheet, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(map(_cone_row, shelf.cones))
    return sheet.getvalue()


def write_json(shelf: Shelf) -> str:
    """Shelf as one file of JSON.

    Equation: none
    Parameters:
        shelf [Shelf]: cones and looms
    Returns:
        [text] JSON with the same words as the columns
    Validity: exact: reading it gives the same shelf.
    Errors: none.

    Example:
        >>> read_shelf(write_json(read_shelf("A; 16/2; 40 g"))) == read_shelf("A; 16/2; 40 g")
        True

    Source: definition.
    """

    def filled(row: Row) -> Row:
        return {key: value for key, value in row.items() if value}

    content: dict[str, Any] = {
        "shelf": 1,
        "cones": [filled(_cone_row(cone)) for cone in shelf.cones],
        "looms": [filled(_loom_row(loom)) for loom in shelf.looms],
    }
    if shelf.reeds:
        content["reeds"] = [reeds_text(shelf.reeds)]
    return json.dumps(content, ensure_ascii=False, indent=1)


def reeds_text(reeds: tuple[float, ...], units: str = "cm") -> str:
    """Reeds as a list that is read again: each as its maker numbered it, in whole dents.

    Equation: none
    Parameters:
        reeds [1/inch]: dents
        units [name]: how a reed is told that is whole both ways or neither, in cm or inch
    Returns:
        [text] with commas between
    Validity: exact to twelve figures.
    Errors: none.

    Example:
        >>> reeds_text((10.16, 12))
        '40/10, 12 dpi'
        >>> reeds_text((10.16, 12.5), "inch")
        '40/10, 12.5 dpi'

    Source: definition.
    """

    def text(reed: float) -> str:
        in_ten = 10 * per_cm(reed)
        by_inch, by_ten = (abs(dents - round(dents)) < 1e-9 for dents in (reed, in_ten))
        named_by_inch = units == "inch" if by_inch == by_ten else by_inch
        return f"{reed:.12g} dpi" if named_by_inch else f"{in_ten:.12g}/10"

    return ", ".join(map(text, reeds))


Entry = Cone | Loom | tuple[float, ...]  # the last are reeds
Maker = Callable[[Any], Entry]
Rows = Iterator[tuple[str, Maker, Row | str | InputError]]
_Gathered = tuple[
    list[tuple[str, Cone]], list[tuple[str, Loom]], list[float], list[tuple[str, InputError]]
]


def _rows(text: str, field: str, units: str) -> Rows:
    plain = text.strip()
    lines_above = text[: len(text) - len(text.lstrip())].count(
        "\n"
    )  # empty lines, which count as lines
    if plain.startswith("{"):
        yield from _json_rows(plain, lines_above, field)
        return
    titles = _titles(plain)
    if titles:
        separator = next(separator for separator in ",;\t" if separator in plain.split("\n", 1)[0])
        yield from _table_rows(plain, lines_above, titles, separator)
        return
    for number, line in enumerate(plain.splitlines(), lines_above + 1):
        if line.strip():
            yield f"Line {number}", partial(_cone_or_loom, units=units), line


def _titles(plain: str) -> list[str]:
    """Return the column names of a table, or nothing where there is none."""
    first = re.split(r"[,;\t]", plain.split("\n", 1)[0].casefold())
    titles = [title.strip().strip('"') for title in first]
    known = len(titles) > 1 and "yarn" in titles and set(titles) <= set(COLUMNS)
    return titles if known else []


@lru_cache(maxsize=1024)  # while one line is typed, all the others stand as they were
def _cone_or_loom(line: str, units: str) -> Entry:
    reeds = re.match(r"\s*reeds?\s*:", line, re.IGNORECASE)
    if reeds:
        return _reeds(line[reeds.end() :].replace(";", ","), units)
    loom = re.match(r"\s*loom\s*[:;]\s*", line, re.IGNORECASE)
    parts = [part.strip() for part in line[loom.end() if loom else 0 :].split(";")]
    return _loom(_loom_parts(parts), units) if loom else _cone(_cone_parts(parts), units)


def _table_rows(text: str, lines_above: int, titles: list[str], separator: str) -> Rows:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        next(reader)
        for cells in reader:
            where = f"Line {lines_above + reader.line_num}"
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != len(titles):
                message = f"{len(cells)} cells stand under {len(titles)} titles."
                yield where, _cone, InputError("", message, "Put cells with commas in quotes.")
            else:
                yield where, _cone, dict(zip(titles, map(str.strip, cells), strict=True))
    except csv.Error as error:
        message = f"the table breaks off here ({error})."
        yield (
            f"Line {lines_above + reader.line_num}",
            _cone,
            InputError("", message, "Look for a lone quote."),
        )


def _json_rows(text: str, lines_above: int, field: str) -> Rows:
    try:
        content = json.loads(text)
    except (ValueError, RecursionError) as error:
        line = lines_above + getattr(error, "lineno", 1)
        raise InputError(field, f"Line {line}: this JSON is broken.", _HINT) from error
    if content.get("shelf") != 1 or not isinstance(content.get("cones"), list):
        raise InputError(field, "Line 1: this JSON holds no shelf of this handbook.", _HINT)
    for key, title, make, known in (
        ("cones", "Cone", _cone, COLUMNS),
        ("looms", "Loom", _loom, _LOOM),
    ):
        rows = content.get(key, [])
        for number, row in enumerate(rows if isinstance(rows, list) else [rows], 1):
            well_formed = isinstance(row, dict) and set(row) <= set(known)
            if well_formed and all(isinstance(value, str) for value in row.values()):
                yield f"{title} {number}", make, row
            else:
                message = f"a {title.lower()} holds texts named {', '.join(known)}."
                yield f"{title} {number}", make, InputError("", message, _HINT)
    reeds = content.get("reeds", [])
    for listed in reeds if isinstance(reeds, list) else [reeds]:
        yield "Reeds", _reeds, str(listed)


def _reeds(text: str, units: str = "") -> tuple[float, ...]:
    bare = counted_in("1/inch", units, reed=True)
    return tuple(per_inch(parse_reed(reed, bare, "")) for reed in parse_list(text, ""))


def _no_reeds() -> InputError:
    return InputError(
        "",
        "a loom needs a name, a width, shafts and reeds.",
        "Loom: Oak; width 120 cm; shafts 8; heddles 300; reeds 40/10, 60/10; waste 140 cm",
    )


def _told_apart(cone: Cone, names: set[tuple[type, str]]) -> Cone:
    """Number a cone that nobody gave a name, where another is called so."""
    called = (cone.name, *(f"{cone.name} ({number})" for number in range(2, MOST_CONES + 2)))
    return replace(cone, name=next(name for name in called if (Cone, name.casefold()) not in names))


def _free_line(line: str) -> Row:
    """Read a cone written as one would say it: 16/2 cotton white, 12 oz."""
    row: Row = {}
    for weight in _WEIGHT.finditer(line):
        key = _WEIGHED.get((weight["of"] or "").casefold(), "weight")
        if key in row:
            raise InputError("", f"“{shown(weight[0].strip())}” is a second weight.", _HINT)
        row[key] = weight["amount"].strip()
    words = re.split(r"[,\s]+", _WEIGHT.sub(" ", line).strip(" ,"))
    first, end = _yarn_among(words)
    if first == end:
        raise InputError("", f"no yarn is named in “{shown(line)}”.", _HINT)
    colours = [word for word in words if _is_colour(word)]
    strangers = [word for word in words[end:] if word.casefold() not in (*COLOUR_WORDS, *IDLE)]
    strangers = [word for word in strangers if not word.startswith("#")]
    if strangers:
        raise InputError("", f"“{shown(strangers[0])}” is no weight, colour or fibre.", _HINT)
    row |= {
        "name": " ".join(words[:first]).strip(" :–-")
        or " ".join(word for word in words if not word.startswith("#")),
        "yarn": " ".join(word for word in words[first:end] if not word.startswith("#")),
        "colour": colours[0] if colours else "",
    }
    return _weighed(row)


def _yarn_among(words: list[str]) -> tuple[int, int]:
    """Return from where to where the longest yarn stands, words that change nothing left out."""
    spans = [
        (end - first, first, end)
        for first in range(len(words))
        for end in range(first + 1, min(len(words), first + MOST_WORDS) + 1)
        if any(mark.isdigit() for mark in "".join(words[first:end]))
        and _is_yarn(" ".join(words[first:end]))
    ]
    if not spans:
        return 0, 0
    _, first, end = max(spans, key=lambda span: (span[0], -span[1]))
    start = first
    while words[start].casefold() in (*COLOUR_WORDS, *IDLE) and start < end - 1:
        start += 1
    called = any(word.casefold() not in COLOUR_WORDS for word in words[first:start])
    return start if called else first, end


def _is_colour(word: str) -> bool:
    return word.startswith("#") or word.casefold() in SPOKEN_COLOURS


def _weighed(row: Row) -> Row:
    """Take a weight without a name for the gross weight, where the empty cone's stands too."""
    if "weight" in row:
        row["gross" if "empty" in row else "net"] = row.pop("weight")
    return row


def _cone_parts(parts: list[str]) -> Row:
    if len(parts) == 1:
        return _free_line(parts[0])
    if len(parts) > 1 and not _is_yarn(parts[1]) and _is_yarn(parts[0]):
        parts = [parts[0], *parts]
    row: Row = dict(zip(("name", "yarn"), parts, strict=False))
    for part in filter(None, parts[2:]):
        heading = re.match(r"(gross|empty|net|step|fibre|colour|system|note)\b[:\s]*", part, re.I)
        if heading:
            key, value = heading[1].casefold(), part[heading.end() :].strip()
        elif part.startswith("#") or part.casefold() in COLOUR_WORDS:
            key, value = "colour", part
        elif part.casefold() in (*FIBRES, *_OTHER_NAMES):
            key, value = "fibre", part
        elif part[0].isdigit() or part[0] in "½¼¾.,":
            key, value = "weight", part
        else:
            raise InputError("", f"“{shown(part)}” is no weight, colour, fibre or note.", _HINT)
        if key in row:
            raise InputError("", f"“{shown(part)}” stands where a {key} was given before.", _HINT)
        row[key] = value
    if "colour" not in row:
        dyed = [word for word in row.get("yarn", "").split() if word.casefold() in _DYED]
        row |= {"colour": dyed[0]} if dyed else {}
    return _weighed(row)


def _loom_parts(parts: list[str]) -> Row:
    row: Row = {"name": parts[0]}
    for part in filter(None, parts[1:]):
        key, _, value = part.partition(" ")
        if key.casefold() not in _LOOM[1:]:
            raise InputError(
                "", f"“{shown(part)}” says nothing of a loom.", "Known: " + ", ".join(_LOOM) + "."
            )
        row[key.casefold()] = value.strip()
    return row


def _cone(row: Row, units: str = "") -> Cone:
    unit = counted_in("g", units)
    texts = {key: row.get(key, "") for key in COLUMNS}
    if not texts["name"] or not texts["yarn"]:
        raise InputError("", "a cone needs a name and a yarn.", _HINT)
    yarn = _yarn(texts["yarn"], texts["system"] or "cotton")
    fibre = texts["fibre"].casefold()
    fibre = _OTHER_NAMES.get(fibre, fibre) or _fibre(texts["yarn"], yarn)
    if fibre and fibre not in FIBRES:
        raise InputError("", f"“{shown(fibre)}” is no fibre.", "Known: " + ", ".join(FIBRES) + ".")
    if bool(texts["net"]) == bool(texts["gross"]):
        raise InputError("", "give either the net weight or the gross weight.", _HINT)
    gross = parse_mass(texts["net"] or texts["gross"], unit, "")
    empty = parse_mass(texts["empty"], unit, "") if texts["empty"] else 0.0
    net_mass(gross, empty)
    step = parse_mass(texts["step"], unit, "") if texts["step"] else 0.0
    colour = parse_colour(texts["colour"], "") if texts["colour"] else ""
    name, note = (" ".join(texts[key].replace(";", ",").split()) for key in ("name", "note"))
    return Cone(
        name=name[:60],
        yarn=yarn,
        fibre=fibre,
        colour=colour,
        gross=gross,
        empty=empty,
        step=step,
        note=note[:200],
    )


def fibre_of(yarn: Yarn) -> str:
    """Fibre that a yarn's label or its way of counting tells.

    Equation: none
    Parameters:
        yarn [Yarn]: as read from its label
    Returns:
        [text] one of FIBRES, or nothing
    Validity: cotton counts for cotton, lea for linen, and so on.
    Errors: none.

    Example:
        >>> fibre_of(parse_yarn("16/1 linen")), fibre_of(parse_yarn("Nm 28/2"))
        ('linen', '')

    Source: common practice, no source.
    """
    return _fibre(yarn.text, yarn)


def _loom(row: Row, units: str = "") -> Loom:
    def length(key: str, unit: str = "cm") -> float | None:
        return parse_length(row[key], counted_in(unit, units), "") if row.get(key) else None

    width, waste, longest = length("width"), length("waste"), length("longest", "m")
    distances = [distance for distance in map(length, DISTANCES) if distance is not None]
    if not row.get("name") or width is None or not row.get("shafts"):
        raise _no_reeds()
    if len(distances) not in (0, len(DISTANCES)):
        raise InputError(
            "",
            f"{', '.join(DISTANCES[:-1])} and {DISTANCES[-1]} belong together.",
            "Loom waste is their sum: front 25 cm; ground 35 cm; between 25 cm; behind 75 cm",
        )
    if waste is None:
        waste = standing_waste(*distances) if distances else USUAL_WASTE
    counts = {
        key: parse_count(row[key], "") for key in ("shafts", "heddles", "cords") if row.get(key)
    }
    reeds = _reeds(row["reeds"], units) if row.get("reeds") else ()
    return Loom(
        name=row["name"][:60],
        width=width,
        ground_shafts=counts["shafts"],
        pattern_heddles=counts.get("heddles"),
        cords=counts.get("cords"),
        reeds=reeds,
        waste=waste,
        longest=longest,
        distances=tuple(distances),
    )


def _fibre(typed: str, yarn: Yarn) -> str:
    words = re.findall(r"[^\W\d_]+", typed.casefold())
    named = [_OTHER_NAMES.get(word, word) for word in words]
    return next((word for word in named if word in FIBRES), _FIBRE_OF_SYSTEM.get(yarn.system, ""))


@lru_cache(maxsize=1024)
def _yarn(text: str, system: str) -> Yarn:
    return parse_yarn(text, system, "")


def _is_yarn(text: str) -> bool:
    try:
        return bool(_yarn(text, "cotton"))
    except InputError:
        return False


def _says_its_system(label: str) -> bool:
    """Whether a label means the same yarn whatever system is offered with it."""
    return parse_yarn(label, "cotton").tex == parse_yarn(label, "linen").tex


def _cone_row(cone: Cone) -> Row:
    grams = {key: f"{format_number(value, 6)} g" for key, value in
             (("gross", cone.gross), ("empty", cone.empty), ("step", cone.step))}  # fmt: skip
    return {
        **dict.fromkeys(COLUMNS, ""), **grams, "step": grams["step"] if cone.step else "",
        "name": cone.name, "yarn": cone.yarn.text.strip(), "system": cone.yarn.system,
        "fibre": cone.fibre, "colour": cone.colour, "note": cone.note,
    }  # fmt: skip


def _loom_row(loom: Loom) -> Row:
    def written(value: float | None, unit: str) -> str:
        return "" if value is None else f"{value!r}{unit}"

    distances = loom.distances or (None,) * len(DISTANCES)
    along = {key: written(value, " cm") for key, value in zip(DISTANCES, distances, strict=True)}
    follows = loom.distances and loom.waste == standing_waste(*loom.distances)
    return {
        "name": loom.name, "width": written(loom.width, " cm"), "shafts": str(loom.ground_shafts),
        "heddles": written(loom.pattern_heddles, ""), "cords": written(loom.cords, ""),
        "reeds": reeds_text(loom.reeds),
        "waste": "" if follows else written(loom.waste, " cm"), **along,
        "longest": written(loom.longest, " cm"),
    }  # fmt: skip
