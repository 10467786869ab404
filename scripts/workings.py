"""A published value worked out again: typed quantities are read, then a formula or calculator runs.

What is typed is read by the package's own parser, in the unit that the term, the field or the row
asks for. No formula of the package is repeated here.
"""

import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from calculators.contract import calculate
from calculators.engine.calculator import Field, Table
from calculators.engine.formula import BOOK, Formula
from calculators.engine.terms import terms
from calculators.errors import InputError
from calculators.quantities.interval import Range
from calculators.quantities.parse import (
    parse_density,
    parse_length,
    parse_loss,
    parse_mass,
    parse_number,
    parse_reed,
)
from calculators.registry import calculator
from calculators.yarn.systems import count_of, system_named, tex_of
from calculators.yarn.yarn import parse_yarn
from scripts.reference_checks import CHECKS

WAYS = ("typed", "formula", "calculator", "check")
SEVERAL = ("typed", "given", "inputs", "result", "told_in")  # a list: one value for each
Row = Mapping[str, Any]
PARSERS: Mapping[str, Callable[[str], float]] = {
    "length": parse_length,
    "mass": parse_mass,
    "threads": parse_density,
    "dents": parse_reed,
}
SHARES = {"": 1.0, "share": 1.0, "fraction": 1.0, "%": 0.01, "per cent": 0.01}
NOTHING = {"length": "0", "mass": "0", "price": "0", "loss": "0", "count": "0", "number": "0"}
OWN = ("system", "choice")  # kinds of field that may keep the page's own choice


@dataclass(frozen=True)
class Amount:
    """What came out, in a unit of the package; a pure number or a text has none."""

    value: Any
    unit: str = ""

    def told_in(self, unit: str) -> Any:
        """Return the figure in the unit that the work prints."""
        if self.unit in ("", "money", unit):
            return self.value
        if system := _system(unit):
            return count_of(tex_of(self.value, 1, system_named(self.unit)), system)
        kind, size = measure(self.unit)
        unit_kind, unit_size = measure(unit)
        if kind != unit_kind and {kind, unit_kind} != {"threads", "dents"}:
            raise ValueError(f"“{unit}” is no unit for what comes in “{self.unit}”")
        return self.value * size / unit_size


def work_out(row: Row) -> Any:
    """Work a row's value out, in the unit that it is printed in; several values are a list."""
    several = {name: row[name] for name in SEVERAL if isinstance(row.get(name), list)}
    if not several:
        return _single(row)
    if len({len(parts) for parts in several.values()}) > 1:
        raise ValueError("the lists of one row are not equally long")
    return [
        _single({**row, **dict(zip(several, parts, strict=True))})
        for parts in zip(*several.values(), strict=True)
    ]


def _single(row: Row) -> Any:
    unit = row.get("told_in", row.get("unit", ""))
    value = amount(row, unit).told_in(unit)
    return value * (1 + parse_loss(row["added"]).likely) if "added" in row else value


def amount(row: Row, told_in: str = "") -> Amount:
    """Work out one quantity: a row, or a quantity that stands inside another's ``given``."""
    if "typed" in row:
        return _typed(row["typed"], told_in)
    if "formula" in row:
        return _by_formula(row)
    return _by_calculator(row) if "calculator" in row else _by_check(row)


def measure(unit: str) -> tuple[str, float]:
    """Return what a unit measures, and its size in the package's unit of that kind."""
    if unit in SHARES:
        return "share", SHARES[unit]
    quantity = unit if unit[:1].isdigit() else f"1 {unit}"
    for kind, parse in PARSERS.items():
        with suppress(InputError):
            return kind, parse(quantity)
    raise ValueError(f"“{unit}” is no unit that the package reads")


def _system(unit: str) -> str:
    with suppress(InputError):
        return system_named(unit)
    return ""


def _typed(text: str, unit: str) -> Amount:
    """Read a quantity as what its unit measures."""
    if _system(unit):
        return Amount(parse_yarn(text).tex, "tex")
    if not unit:
        return Amount(parse_number(text))
    kind, size = measure(unit)
    figure = parse_loss(text).likely if kind == "share" else PARSERS[kind](text)
    return Amount(figure / size, unit)


def _by_check(row: Row) -> Amount:
    result = CHECKS[row["check"]](**row.get("inputs", {}))
    return Amount(result[row["result"]] if "result" in row else result, row.get("in", ""))


def _by_formula(row: Row) -> Amount:
    formula = formula_of(row)
    function = getattr(sys.modules[formula.function.__module__], formula.function.__name__)
    arguments = {name: _for_term(name, quantity) for name, quantity in row["given"].items()}
    return Amount(function(**arguments), row.get("in", terms()[formula.gives].unit))


def formula_of(row: Row) -> Formula:
    """Return the formula of a row's id that takes what the row gives."""
    names = set(row["given"])
    formulas = [
        formula
        for formula in BOOK.get(row["formula"], [])
        if row.get("gives", formula.gives) == formula.gives and names <= set(formula.parameters)
    ]
    exact = [formula for formula in formulas if names == set(formula.parameters)]
    formulas = exact or formulas
    if len(formulas) != 1:
        listed = ", ".join(sorted(names))
        raise ValueError(f"{row['formula']} from {listed}: {len(formulas)} formulas")
    return formulas[0]


def _for_term(name: str, quantity: str | Row) -> float:
    unit = terms()[name].unit
    if not isinstance(quantity, str):
        return float(amount(quantity).told_in(unit))
    if unit == "share" and "%" not in quantity:
        return parse_number(quantity)
    return float(_typed(quantity, unit).told_in(unit))


def _by_calculator(row: Row) -> Amount:
    chosen = calculator(row["calculator"])
    inputs = {name: _for_field(quantity) for name, quantity in row["given"].items()}
    left_out = [field for field in chosen.fields if field.name not in inputs]
    run = calculate(chosen.id, inputs | {field.name: _nothing(field) for field in left_out})
    if run.answer is None:
        raise run.errors[0]
    result = row["result"]
    if not isinstance(result, str):
        return Amount(_cells(run.answer.tables[result["table"]], result), row.get("in", ""))
    value = run.answer.results[result]
    output = next(output for output in chosen.outputs if output.name == result)
    return Amount(value.likely if isinstance(value, Range) else value, row.get("in", output.unit))


def _cells(table: Table, where: Mapping[str, str]) -> Any:
    """Return a cell by the row's first word and the column's heading, or the whole column."""
    column = table.columns.index(where["column"])
    if "row" not in where:
        return [cells[column] for cells in table.rows]
    (cell,) = [cells[column] for cells in table.rows if cells[0] == where["row"]]
    return cell


def _for_field(quantity: str | Row) -> str:
    if isinstance(quantity, str):
        return quantity
    figure = amount(quantity)
    return f"{figure.value!r} {figure.unit}".strip()


def _nothing(field: Field) -> str:
    """Return what a row means by leaving a field out: nothing, never the page's example."""
    if field.kind in OWN:
        return field.default
    if not field.required:
        return ""
    if field.kind not in NOTHING:
        raise ValueError(f"{field.name} is not given")
    return NOTHING[field.kind]
