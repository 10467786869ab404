"""Fields for a yarn and for the system it is counted in."""

from calculators.engine.calculator import Field
from calculators.engine.reading import KINDS, Choices, Kind
from calculators.yarn.catalogue import catalogue
from calculators.yarn.systems import SYSTEMS, system_named
from calculators.yarn.yarn import Yarn, parse_yarn


def _read_yarn(field: Field, text: str, system: str, _: str) -> Yarn:
    return parse_yarn(text, system_named(system, field.system_field), field.name)


def _understood(_: Field, yarn: Yarn) -> tuple[str, str]:
    return yarn.understood, yarn.understood


def _title(_: Field, name: str) -> tuple[str, str]:
    return SYSTEMS[name].title, SYSTEMS[name].title


def _systems() -> Choices:
    return [(name, system.title) for name, system in SYSTEMS.items()]


def _common_yarns() -> Choices:
    return [(label, "") for label in dict.fromkeys(row.label for row in catalogue())]


KINDS["yarn"] = Kind(_read_yarn, _understood, offered=_common_yarns)
KINDS["system"] = Kind(lambda field, text, *_: system_named(text, field.name), _title, _systems)
