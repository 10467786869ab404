"""A table tells each reader its figures in what they count in, and both the same."""

import re

import pint
import pytest

from calculators.engine.calculator import Table
from calculators.engine.run import work_out
from calculators.registry import registry
from calculators.show.columns import in_both_worlds, own_columns
from calculators.show.html import table_html
from calculators.tables import TABLES, table
from tests.every import of_every

MEASURES = pint.get_application_registry()
UNITS = {
    **{unit: unit for unit in ("mm", "cm", "m", "g", "kg", "oz", "lb")},
    "in": "inch", "yd": "yard", "per cm": "1/cm", "per inch": "1/inch",
    "m/kg": "m/kg", "yd/lb": "yard/lb",
}  # fmt: skip
METRIC = {"mm", "cm", "m", "g", "kg", "per cm", "m/kg"}
HEADING = re.compile(rf"(?:.*, |.* (?=per )|^)(?P<unit>{'|'.join(map(re.escape, UNITS))})")


def every_table():
    for name in TABLES:
        yield f"table {name}", table(name)
    for name, calculator in registry().items():
        answer = work_out(calculator, {}).answer
        for key, found in (answer.tables if answer else {}).items():
            yield f"{name} {key}", found


EVERY = dict(every_table())


def unit_of(heading):
    found = HEADING.fullmatch(heading)
    return found["unit"] if found else None


def figure(text):
    return float(text.replace("\u202f", "").replace("−", "-"))


def last_place(text):
    return 0.51 * 10 ** -len(text.partition(".")[2])


@of_every(list(EVERY))
def test_each_reader_is_told_in_their_own_units(name: str) -> None:
    for column in in_both_worlds(EVERY[name]):
        metric, imperial = (cell for cell in column[0])
        if (unit := unit_of(metric or "")) and UNITS[unit]:
            assert unit in METRIC, metric
        if (unit := unit_of(imperial or "")) and UNITS[unit]:
            assert unit not in METRIC, imperial


@of_every(list(EVERY))
def test_both_readers_are_told_the_same(name: str) -> None:
    """What stands in the table, turned by an independent hand into the unit of the heading."""
    for own, column in zip(own_columns(EVERY[name]), in_both_worlds(EVERY[name]), strict=True):
        unit = unit_of(own[0])
        for place in (0, 1):
            heads, *told = [cell[place] for cell in column]
            if heads is None:
                assert told == [None] * len(told)
                assert any(cell[1 - place] is not None for cell in column)
                continue
            assert len(told) == len(own) - 1
            wanted = unit_of(heads)
            if wanted == unit:
                assert told == own[1:]
                continue
            for before, after in zip(own[1:], told, strict=True):
                if not before:
                    assert after == ""
                    continue
                factor = MEASURES(UNITS[unit]).to(UNITS[wanted]).magnitude
                if before == "–":
                    assert after == "–"
                    continue
                for old, new in zip(before.split("–"), after.split("–"), strict=True):
                    reach = last_place(old) * factor + last_place(new)
                    assert figure(new) == pytest.approx(figure(old) * factor, abs=reach)


def test_a_column_of_one_reader_is_marked_in_the_page() -> None:
    reeds = Table("Reeds", ("Reed", "Ends per inch", "Ends per cm"), (("a", 48.0, 18.9),))
    for side_by_side in (None, 1):
        html = table_html(reeds, side_by_side=side_by_side)
        assert re.findall(r'<th scope="\w+" class="ft-(\w+)">([^<]*)', html) == [
            ("imperial", "Ends per inch"),
            ("metric", "Ends per cm"),
        ]
        assert re.findall(r'<td class="ft-(\w+)">([^<]*)', html) == [
            ("imperial", "48"),
            ("metric", "18.9"),
        ]
