"""The weaves known by name, and reading a weave that was typed."""

import re
from functools import cache

from calculators.data import load
from calculators.errors import InputError
from calculators.weave.matrix import Weave, from_lifts, parse_matrix
from calculators.weave.satins import NUMBER_WORDS, irregular_six, regular_satin
from calculators.weave.words import folded, weave_called

LONGEST_NAME = 100
LIKE_ENOUGH = 0.2  # of the pairs of letters that two names have in all
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
        text [text]: such as satin_6, 2/2 twill, 5 shaft satin, femskaft, or rows of # and .
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
    name, stranger = weave_called(text[:LONGEST_NAME])
    if name in WEAVES:
        return weave(name)
    raise InputError(field, _not_known(text, stranger), _names_hint(text))


def spoken(name: str) -> str:
    """Name of a weave as weavers say it; any other text as it is.

    Equation: none
    Parameters:
        name [text]: one of WEAVES, or what was typed instead
    Returns:
        [text] words that are read back as the same weave
    Validity: any text.
    Errors: none.
    Example:
        >>> spoken("satin_6"), spoken("satin_5_warp"), spoken("tabby")
        ('six-end satin', 'five-end satin, warp face', 'tabby')

    Source: the titles of calculators/data/weaves.toml.
    """
    if name not in WEAVES:
        return name
    title = weave(name).title
    face = ", warp face" if name.endswith("_warp") else ""
    return re.split(r",| \(", title)[0] + face


def written(weave: Weave) -> str:
    """Weave in one line that is read back: as weavers say it, a typed one by its matrix.

    Equation: none
    Parameters:
        weave [Weave]: of the library, or typed
    Returns:
        [text] a name, or rows with a stroke between, the last pick first
    Validity: any weave.
    Errors: none.
    Example:
        >>> written(parse_weave("satin_6")), written(parse_weave("xx- / -xx / x-x"))
        ('six-end satin', '##. / .## / #.#')

    Source: definition.
    """
    if weave.name in WEAVES:
        return spoken(weave.name)
    return weave.rows_as_typed().replace("\n", " / ")


def called(weave: Weave) -> str:
    """What weavers call a weave; one of their own marks goes by its title.

    Equation: none
    Parameters:
        weave [Weave]: any
    Returns:
        [text] words
    Validity: any weave.
    Errors: none.
    Example:
        >>> called(parse_weave("satin_6"))
        'six-end satin'

    Source: the titles of calculators/data/weaves.toml.
    """
    return spoken(weave.name) if weave.name in WEAVES else weave.title


def _not_known(text: str, stranger: str) -> str:
    if stranger and stranger != text.strip():
        return f"“{_short(stranger)}” in “{_short(text)}” is no word for a weave known here."
    return f"“{_short(text)}” is not a weave known here."


def _nearest(text: str) -> list[str]:
    """Return the spoken names most like what was typed, at most three."""
    wanted = _pairs(text)
    likeness: dict[str, float] = {}
    for spelling, name in _known_names().items():
        pairs = _pairs(spelling)
        alike = len(wanted & pairs) / max(1, len(wanted | pairs))
        likeness[name] = max(likeness.get(name, 0.0), alike)
    nearest = sorted(likeness, key=lambda name: -likeness[name])[:3]
    return [spoken(name) for name in nearest if likeness[name] > LIKE_ENOUGH]


def _pairs(text: str) -> set[str]:
    letters = f" {_plain(folded(text))} "
    return {letters[place : place + 2] for place in range(len(letters) - 1)}


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


def _names_hint(text: str = "") -> str:
    nearest = _nearest(text[:LONGEST_NAME])
    offered = f"Did you mean {' or '.join(nearest)}? " if nearest else ""
    known = ", ".join(spoken(name) for name in WEAVES if not name.endswith("_warp"))
    return f"{offered}Known are: {known}; or type the weave as rows of # and . marks."
