"""What a worked example may hold, and the words for when it holds something else."""

from collections.abc import Callable, Iterable, Mapping
from difflib import get_close_matches
from typing import Any, NamedTuple

from calculators.errors import InputError

LONGEST = 20_000  # letters in one text


class ExampleError(InputError):
    """An example that cannot be used: which one, which key of it, and what would work."""

    def __init__(self, name: str, key: str, message: str, hint: str) -> None:
        super().__init__(key, message, hint)
        self.name, self.key = name, key

    def __str__(self) -> str:
        return f"{self.name}, {self.key}: {self.message} {self.hint}".strip()


class Kind(NamedTuple):
    """What one key may hold, and what is said when it holds something else."""

    fits: Callable[[Any], bool]
    wanted: str
    such_as: str
    optional: bool = False


TEXT = Kind(
    lambda value: isinstance(value, str) and 0 < len(value.strip()) <= LONGEST,
    "a text in quotes is wanted here.",
    'For example {key} = "…".',
)
TYPED = Kind(
    lambda value: isinstance(value, str) and len(value) <= LONGEST,
    "a text in quotes is wanted here, as it is typed in the form.",
    'For example {key} = "48 cm".',
    optional=True,
)


def known(name: str, key: str, word: str, offered: Iterable[str]) -> None:
    """Raise ExampleError for a word that is not among those offered, with the nearest one."""
    offered = list(offered)
    if word not in offered:
        nearest = get_close_matches(word, offered, 1)
        hint = (
            f"Did you mean {nearest[0]}?" if nearest else "There are: " + ", ".join(offered) + "."
        )
        raise ExampleError(name, key, f"“{word[:40]}” is not known here.", hint)


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


def optional(keys: Iterable[str], kind: Kind = TEXT) -> dict[str, Kind]:
    """Return the keys as ones that may hold something of a kind."""
    return dict.fromkeys(keys, kind._replace(optional=True))
