"""The weaves known by name, and reading a weave that was typed."""

import re
from functools import cache

from calculators.data import load
from calculators.errors import InputError
from calculators.weave.matrix import Weave, from_lifts, parse_matrix
from calculators.weave.satins import NUMBER_WORDS, irregular_six, regular_satin

WEAVES: tuple[str, ...] = tuple(row["name"] for row in load("weaves")["weave"])


@cache
def weave(name: str) -> Weave:
    """Weave known by its name.

    Equation: none
    Parameters:
        name [text]: one of WEAVES
    Returns:
        [Weave] its matrix as it lies in the loom; the title names the face where one shows more
    Validity: names of calculators/data/weaves.toml.
    Errors: InputError for any other name.
    Example:
        >>> weave("satin_5").rows_as_typed().split()
        ['...#.', '.#...', '....#', '..#..', '#....']

    Source: each row of calculators/data/weaves.toml names its own.
    """
    rows = {row["name"]: row for row in load("weaves")["weave"]}
    if name not in rows:
        raise InputError("weave", f"No weave is called “{_short(name)}”.", _names_hint())
    row = rows[name]
    if "satin" in row:
        return irregular_six() if row["satin"] == 6 else regular_satin(row["satin"])
    if "complement_of" in row:
        return Weave(name, row["title"], weave(row["complement_of"]).complement.matrix)
    return Weave(name, row["title"], from_lifts(row["ends"], row["lifts"]))


def parse_weave(text: str, field: str = "weave") -> Weave:
    """Weave from what was typed: a name, a title, another name for it, or a matrix.

    Equation: none
    Parameters:
        text [text]: such as satin_6, 2/2 twill, five-end satin, or rows of # and .
        field [name]: where an error is shown
    Returns:
        [Weave] the named weave or the typed matrix
    Validity: names known to the library, matrices up to 128 × 128.
    Errors: InputError when neither a name nor a matrix can be made out.
    Example:
        >>> parse_weave("2/2 twill").name, parse_weave("6-end satin").name
        ('twill_2_2', 'satin_6')
        >>> parse_weave("#. / .#").ends
        2

    Source: definition.
    """
    name = _known_names().get(_plain(text))
    if name:
        return weave(name)
    if text.strip() and not re.search(r"[^\s/;,|#xX×1■█.\-–0□·_]", text):
        return parse_matrix(text, field)
    if "\n" in text.strip() or "#" in text:
        return parse_matrix(text, field)
    raise InputError(field, f"“{_short(text)}” is not a weave known here.", _names_hint())


@cache
def _known_names() -> dict[str, str]:
    """Every way of writing a name, plain letters and figures only, and the name it means."""
    spellings: dict[str, str] = {}
    for row in load("weaves")["weave"]:
        name = row["name"]
        written = [name, weave(name).title, *row.get("aliases", ())]
        if "satin" in row:
            number = row["satin"]
            written += [f"{number}-end satin", f"{NUMBER_WORDS[number]}-end satin"]
        for spelling in written:
            spellings.setdefault(_plain(spelling), name)
    return spellings


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", text.casefold()).strip()


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:40] + "…"


def _names_hint() -> str:
    return "Known are: " + ", ".join(WEAVES) + "; or type the weave as rows of # and . marks."
