"""What the file of a worked example may hold, and the words for when it holds something else."""

from collections.abc import Callable, Iterable, Mapping
from difflib import get_close_matches
from typing import Any, NamedTuple

from calculators.errors import HandbookError


class ExampleError(HandbookError):
    """A file that cannot be used: which file, which key, and what would work."""

    def __init__(self, name: str, key: str, message: str, hint: str) -> None:
        super().__init__(f"examples/{name}.toml, {key}: {message} {hint}".strip())
        self.name, self.key, self.message, self.hint = name, key, message, hint


class Kind(NamedTuple):
    """What one key of a file may hold, and what is said when it holds something else."""

    fits: Callable[[Any], bool]
    wanted: str
    such_as: str
    optional: bool = False


def _are_texts(value: Any, number: int) -> bool:
    is_list = isinstance(value, list) and len(value) == number
    return is_list and all(isinstance(item, str) for item in value)


TEXT = Kind(
    lambda value: isinstance(value, str) and bool(value.strip()),
    "a text in quotes is wanted here.",
    'For example {key} = "…".',
)
NUMBER = Kind(
    lambda value: type(value) is int, "a whole number is wanted here.", "For example {key} = 100."
)
TABLE = Kind(
    lambda value: isinstance(value, dict),
    "a table is wanted here.",
    "Write [{path}] on a line of its own, and what belongs to it in the lines below.",
)
PARTS = Kind(
    lambda value: isinstance(value, list) and value != [] and all(map(TABLE.fits, value)),
    "the story is missing.",
    'Begin with [[part]], then heading = "…" and text = """…""".',
)
WAYS = Kind(
    lambda value: isinstance(value, list) and all(_are_texts(way, 2) for way in value),
    "each way on is a pair of words and page.",
    'For example {key} = [["The whole plan", "../plan/whole-plan.md"]].',
)
FILE = {
    "order": NUMBER,
    **dict.fromkeys(("title", "weaver", "question", "description"), TEXT),
    "plan": TABLE,
    "calculations": TABLE._replace(optional=True),
    "part": PARTS,
    "records": TABLE._replace(optional=True),
    "next": WAYS._replace(optional=True),
}
PART = {"heading": TEXT, "text": TEXT}


def known(name: str, key: str, word: str, offered: Iterable[str]) -> None:
    """Raise ExampleError for a word that is not among those offered, with the nearest one."""
    offered = list(offered)
    if word not in offered:
        nearest = get_close_matches(word, offered, 1)
        hint = (
            f"Did you mean {nearest[0]}?" if nearest else "There are: " + ", ".join(offered) + "."
        )
        raise ExampleError(name, key, f"“{word}” is not known here.", hint)


def fitting(
    name: str, before: str, table: Mapping[str, Any], kinds: Mapping[str, Kind]
) -> dict[str, Any]:
    """Return what a table tells, in the order told, or say which of its keys is wrong."""
    for key in table:
        known(name, before + key, key, kinds)
    for key, kind in kinds.items():
        if not ((kind.optional and key not in table) or kind.fits(table.get(key))):
            such_as = kind.such_as.format(key=key, path=before + key)
            raise ExampleError(name, before + key, kind.wanted, such_as)
    return {key: value.strip() if isinstance(value, str) else value for key, value in table.items()}


def optional(keys: Iterable[str]) -> dict[str, Kind]:
    """Return the keys as ones that may hold a text."""
    return dict.fromkeys(keys, TEXT._replace(optional=True))
