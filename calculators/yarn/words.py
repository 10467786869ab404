"""Words beside the count of a yarn, in the languages that labels are written in."""

from collections.abc import Mapping
from types import MappingProxyType

from calculators.data import load


def _words(role: str) -> Mapping[str, str]:
    return MappingProxyType(
        {
            word: value
            for value, languages in load("yarn_words")[role].items()
            for words in languages.values()
            for word in words
        }
    )


FIBRES: Mapping[str, str] = _words("fibre")  # the system that a fibre's name suggests
COUNTED_IN_SEVERAL: Mapping[str, str] = _words("several")
COLOURS: Mapping[str, str] = _words("colour")  # in English
IDLE: Mapping[str, str] = _words("idle")
