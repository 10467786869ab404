"""The record book: one cloth a line, or a table with commas; and which records are alike."""

import csv
import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from calculators.errors import InputError
from calculators.quantities.parse import parse_length, parse_number, shown
from calculators.quantities.units import counted_in
from calculators.weave.library import parse_weave, written
from calculators.weave.matrix import Weave
from calculators.yarn.yarn import Yarn, parse_yarn

MOST_RECORDS = 500
LIKE_YARN = 0.25  # share of the tex within which a yarn is like another; common practice
# Each loss: its name in plans, the words that lead it in a line.
LOSSES: dict[str, str] = {
    "width_shrinkage": "width",
    "length_shrinkage": "length",
    "draw_in": "draw-in",
    "take_up": "take-up",
    "loom_waste": "waste",
}
COLUMNS = ("name", "yarn", "weave", "loom", *LOSSES.values(), "note")
_HINT = "Write a line such as: Towels I; 16/2 cotton; five-end satin; oak; width 4.2 %"


@dataclass(frozen=True)
class Record:
    """One cloth as it came out; losses as fractions, waste in cm, only what was measured."""

    name: str
    yarn: Yarn
    weave: Weave
    loom: str
    losses: dict[str, float]
    note: str = ""


def read_records(text: str, field: str = "records", units: str = "") -> tuple[Record, ...]:
    """Records from lines or from a table with commas; all of them or none.

    Equation: none
    Parameters:
        text [text]: one cloth a line, or CSV with our column names
        field [text]: where an error is shown
        units [name]: what bare lengths of lines are counted in, "cm" or "inch"; a table's are cm
    Returns:
        [records] in the order written; none from empty text
    Validity: at most 500 cloths.
    Errors: InputError that names each line which cannot be read; then nothing is taken.

    Example:
        >>> records = read_records("Towels I; 16/2; satin_5; oak; length 5.5 %; waste 132 cm")
        >>> records[0].losses
        {'length_shrinkage': 0.055, 'loom_waste': 132.0}

    Source: definition; the format is this handbook's own.
    """
    records, troubles = [], []
    for number, row, bare in _rows(text.strip().lstrip("\ufeff"), counted_in("cm", units)):
        try:
            if isinstance(row, InputError):
                raise row
            records.append(_record(row, bare))
        except InputError as error:
            troubles.append((f"Line {number}: {error.message[:100]}", error.hint))
    if len(records) > MOST_RECORDS:
        troubles = [(f"There are {len(records)} cloths, more than {MOST_RECORDS}.", "")]
    if troubles:
        more = f" And {len(troubles) - 3} more." if len(troubles) > 3 else ""
        message = " ".join(words for words, _ in troubles[:3])
        raise InputError(field, message + more, troubles[0][1][:300] or _HINT)
    return tuple(records)


def write_record(record: Record) -> str:
    """Record as the line that ``read_records`` reads.

    Equation: none
    Parameters:
        record [Record]: a cloth
    Returns:
        [text] one line
    Validity: losses to a ten-thousandth, waste to a tenth of a millimetre.
    Errors: none.

    Example:
        >>> write_record(read_records("Towels I; 16/2; satin_5; oak; draw-in 4 %")[0])
        'Towels I; 16/2 cotton; five-end satin; oak; draw-in 4 %'

    Source: definition.
    """
    label = record.yarn.text.strip()
    if parse_yarn(label, "cotton").tex != parse_yarn(label, "linen").tex:
        label += " " + record.yarn.system.replace("_", " ")
    parts = [record.name, label, written(record.weave), record.loom]
    for name, value in record.losses.items():
        figure = f"{value:.2f} cm" if name == "loom_waste" else f"{100 * value:.2f} %"
        parts.append(f"{LOSSES[name]} {re.sub(r'[.]?0+ ', ' ', figure, count=1)}")
    return "; ".join(parts + ([f"note {record.note}"] if record.note else []))


def write_table(records: Iterable[Record]) -> str:
    """Records as a table with commas, which ``read_records`` reads.

    Equation: none
    Parameters:
        records [records]: cloths
    Returns:
        [text] a first line of column names, then one line a cloth
    Validity: as for ``write_record``.
    Errors: none.

    Example:
        >>> towels = read_records("Towels I; 16/2; satin_5; oak; draw-in 4 %; waste 151 cm")
        >>> print(write_table(towels).splitlines()[1])
        Towels I,16/2 cotton,five-end satin,oak,,,4 %,,151 cm,

    Source: definition; the format is this handbook's own.
    """
    sheet = io.StringIO()
    writer = csv.DictWriter(sheet, COLUMNS, lineterminator="\n")
    writer.writeheader()
    for record in records:
        parts = [part.strip() for part in write_record(record).split(";")]
        writer.writerow(_parts(parts))
    return sheet.getvalue()


def unlike(record: Record, yarn: Yarn | None, weave: Weave | None, loom: str) -> str:
    """Why a record does not speak for a plan; nothing when it does.

    Equation: |tex / tex of the plan − 1| <= 0.25, weaves of one family, the same loom
    Parameters:
        record [Record]: a cloth
        yarn [Yarn]: the plan's yarn, or nothing for any
        weave [Weave]: the plan's weave, or nothing for any
        loom [text]: the plan's loom, or nothing for any
    Returns:
        [text] the first difference found
    Validity: what counts as alike is common practice.
    Errors: none.

    Example:
        >>> from calculators.weave.library import weave
        >>> towels = read_records("Towels I; 16/2; satin_5; oak; draw-in 4 %")[0]
        >>> unlike(towels, towels.yarn, weave("satin_6"), "Oak")
        ''
        >>> unlike(towels, towels.yarn, weave("plain"), "")
        'another kind of weave'

    Source: common practice, no source.
    """
    if yarn and (
        record.yarn.system != yarn.system or abs(record.yarn.tex / yarn.tex - 1) > LIKE_YARN
    ):
        return "another yarn"
    if weave and record.weave.family != weave.family:
        return "another kind of weave"
    if loom and record.loom.casefold() != loom.strip().casefold():
        return "another loom"
    return ""


def _rows(text: str, bare: str) -> Iterator[tuple[int, dict[str, str] | InputError, str]]:
    titles = [title.strip().strip('"') for title in text.split("\n", 1)[0].casefold().split(",")]
    if len(titles) > 1 and {"name", "yarn", "weave"} <= set(titles) <= set(COLUMNS):
        reader = csv.reader(io.StringIO(text, newline=""), strict=True)
        try:
            next(reader)
            for cells in reader:
                if len(cells) == len(titles):
                    pairs = zip(titles, map(str.strip, cells), strict=True)
                    yield reader.line_num, {key: value for key, value in pairs if value}, "cm"
                elif cells:
                    message = f"{len(cells)} cells stand under {len(titles)} titles."
                    error = InputError("", message, "Quote cells that hold a comma.")
                    yield reader.line_num, error, "cm"
        except csv.Error as error:
            message = f"the table breaks off here ({error})."
            yield reader.line_num, InputError("", message, "Look for a lone quote."), "cm"
        return
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip():
            try:
                yield number, _parts([part.strip() for part in line.split(";")]), bare
            except InputError as error:
                yield number, error, bare


def _parts(parts: list[str]) -> dict[str, str]:
    row = dict(zip(("name", "yarn", "weave", "loom"), parts, strict=False))
    for part in filter(None, parts[4:]):
        word, _, value = part.partition(" ")
        if word.casefold() not in (*LOSSES.values(), "note"):
            raise InputError("", f"“{shown(part)}” is no loss known here.", _HINT)
        if word.casefold() in row:
            raise InputError("", f"“{shown(part)}” is a second figure for the same.", _HINT)
        row[word.casefold()] = value.strip()
    return row


def _record(row: dict[str, str], bare: str) -> Record:
    if not all(row.get(key) for key in ("name", "yarn", "weave")):
        raise InputError("", "a record needs a name, a yarn and a weave.", _HINT)
    losses = {}
    for name, key in LOSSES.items():
        if not row.get(key):
            continue
        if name == "loom_waste":
            losses[name] = parse_length(row[key], bare, "")
        else:
            losses[name] = parse_number(row[key].rstrip("% "), "", signed=True) / 100
            if not -0.5 < losses[name] < 0.9:
                raise InputError("", f"{key} {shown(row[key])} is beyond any cloth.", _HINT)
    return Record(
        row["name"][:60],
        parse_yarn(row["yarn"], "cotton", ""),
        parse_weave(row["weave"], ""),
        row.get("loom", "")[:60],
        losses,
        row.get("note", "")[:200],
    )
