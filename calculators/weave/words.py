"""A weave from what weavers call it, in their own trade's words, in any order."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache
from unicodedata import combining, normalize

from calculators.data import load

RATIO = re.compile(r"(\d+) ?[/:-] ?(\d+)")
OTHER_LETTERS = {"ß": "ss", "æ": "a", "ø": "o", "ae": "a", "oe": "o", "ue": "u", "aa": "a"}
USUAL = {
    "plain": "plain",
    "twill": "twill_2_2",
    "broken": "broken_twill_4",
    "satin": "satin_5",
    "basket": "basket_2_2",
    "lace": "lace_6",
}
BY_ENDS = {
    "plain": {2: "plain", 4: "plain"},
    "twill": {3: "twill_2_1", 4: "twill_2_2", 6: "twill_3_3"},
    "broken": {4: "broken_twill_4", 6: "satin_6"},
    "satin": {4: "broken_twill_4", **{ends: f"satin_{ends}" for ends in range(5, 13)}},
    "basket": {4: "basket_2_2", 6: "basket_3_3"},
    "lace": {6: "lace_6"},
    "": {2: "plain", **{ends: f"satin_{ends}" for ends in range(5, 13)}},
}
FACES = {
    "twill_2_2": {"warp": "twill_3_1", "weft": "twill_1_3"},
    **{
        name: {"warp": f"{name}_warp", "weft": name}
        for name in ("broken_twill_4", "satin_5", "satin_6", "satin_8")
    },
}


@dataclass
class _Said:
    """What was said of a weave."""

    kinds: set[str] = field(default_factory=set)
    ends: set[int] = field(default_factory=set)
    ratios: set[tuple[int, int]] = field(default_factory=set)
    faces: set[str] = field(default_factory=set)


def weave_called(text: str) -> tuple[str, str]:
    """Name of the weave that trade words mean, and the word that was not understood.

    Equation: none
    Parameters:
        text [text]: such as 5 shaft satin, femskaft, Atlas fünfbindig, 1/4 satin
    Returns:
        [text] the name, empty where the words mean no weave known here; and the first word that
        none of the languages has, empty where all were understood
    Validity: the words of calculators/data/weave_words.toml, in any order, joined or apart.
    Errors: none.
    Example:
        >>> weave_called("5-skaftad satin"), weave_called("sateen, warp face")
        (('satin_5', ''), ('satin_5_warp', ''))
        >>> weave_called("velvet")
        ('', 'velvet')

    Source: the words are from memory.
    """
    said = _Said()
    for ratio in RATIO.findall(text):
        said.ratios.add((int(ratio[0]), int(ratio[1])))
    for word in re.findall(r"\d+|[^\W\d_]+", RATIO.sub(" ", text)):
        if word.isdigit():
            said.ends.add(int(word[:4]))
            continue
        meanings = _meanings(folded(word))
        if meanings is None:
            return "", word
        for role, value in meanings:
            if role == "number":
                said.ends.add(int(value))
            elif role == "kind":
                said.kinds.add(value)
            elif role == "face":
                said.faces.add(value)
    return _name(said), ""


def folded(text: str) -> str:
    """Word without case, accents and the other ways of writing them.

    Equation: none
    Parameters:
        text [text]: a word or several
    Returns:
        [text] plain small letters
    Validity: any text.
    Errors: none.
    Example:
        >>> folded("Fünf"), folded("fuenf"), folded("Åtta"), folded("Lærred")
        ('funf', 'funf', 'atta', 'larred')

    Source: definition.
    """
    plain = "".join(mark for mark in normalize("NFKD", text.casefold()) if not combining(mark))
    for letters, letter in OTHER_LETTERS.items():
        plain = plain.replace(letters, letter)
    return plain


def _name(said: _Said) -> str:
    kinds = said.kinds - {"broken", "twill"} or said.kinds
    kind = "broken" if "broken" in said.kinds and kinds <= {"broken", "twill"} else ""
    if not kind:
        if len(kinds) > 1:
            return ""
        kind = next(iter(kinds), "")
    if len(said.ends) > 1 or len(said.ratios) > 1 or len(said.faces) > 1:
        return ""
    ends, face = next(iter(said.ends), 0), next(iter(said.faces), "")
    if said.ratios:
        up, down = next(iter(said.ratios))
        if ends not in (0, up + down):
            return ""
        return _by_ratio(kind, up, down)
    if "broken" in said.kinds and kind == "satin":
        ends = ends or 6
    name = BY_ENDS[kind].get(ends, "") if ends else USUAL.get(kind, "")
    return FACES.get(name, {"weft": name}).get(face, "") if face and name else name


def _by_ratio(kind: str, up: int, down: int) -> str:
    """Return the weave of so many ends up and so many down."""
    if kind in ("satin", "broken") and min(up, down) == 1:
        name = BY_ENDS[kind].get(up + down, "")
        return name if up == 1 else FACES.get(name, {}).get("warp", "")
    if kind in ("", "plain") and up == down == 1:
        return "plain"
    named = {"": "twill", "twill": "twill", "basket": "basket"}.get(kind)
    return f"{named}_{up}_{down}" if named else ""


@lru_cache(maxsize=1024)  # of a compound that is none, each part is tried once
def _meanings(word: str) -> list[tuple[str, str]] | None:
    """Take a word apart into words that are known; None where it cannot be."""
    if word in _known():
        return [_known()[word]]
    for start in _starts():
        if word.startswith(start):
            rest = word[len(start) :]
            for end in (rest, rest.removeprefix("s")):
                meanings = _meanings(end) if end else None
                if meanings is not None:
                    return [_known()[start], *meanings]
    return None


@cache
def _starts() -> list[str]:
    return sorted(_known(), key=len, reverse=True)


@cache
def _known() -> dict[str, tuple[str, str]]:
    return {folded(word): (role, value) for role, value, word in weave_words()}


def weave_words() -> Iterator[tuple[str, str, str]]:
    """Every word for weaves that is known, with what it says.

    Equation: none
    Parameters:
        none
    Returns:
        [texts] role, value and word, row by row
    Validity: calculators/data/weave_words.toml.
    Errors: none.
    Example:
        >>> ("kind", "satin", "Atlas".lower()) in set(weave_words())
        True

    Source: from memory.
    """
    for role, values in load("weave_words").items():
        if isinstance(values, dict):
            for value, languages in values.items():
                for words in languages.values():
                    yield from ((role, value, word) for word in words)
