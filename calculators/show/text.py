"""An answer as plain text: for the command line, and for a message to a friend."""

from itertools import zip_longest

from calculators.engine.calculator import Card, Table
from calculators.engine.run import Run, result_text
from calculators.engine.sources import citation
from calculators.quantities.format import format_fixed, format_number
from calculators.quantities.interval import Range

MESSAGE_LINES = 12  # more results than this, and a message tells only those that matter most

Cell = str | float | int | bool | None


def answer_text(done: Run) -> str:
    """Write a whole answer in plain text."""
    answer = done.answer
    if answer is None:
        return "\n".join(
            f"{error.field}: {error.message} {error.hint}".rstrip() for error in done.errors
        )
    blocks = [
        _results(done),
        *map(_card, answer.cards),
        *(_table(table) for table in answer.tables.values()),
        *(f"Take care: {line}" for line in answer.cautions),
        *(f"Note: {line}" for line in answer.notes),
    ]
    if answer.steps:
        blocks.append(
            "How this was worked out\n"
            + "\n".join(
                f"  {step.words}: {step.working}" + (f"  [{step.formula}]" if step.formula else "")
                for step in answer.steps
            )
        )
    blocks.append("Sources\n" + "\n".join(f"  {citation(key)}" for key in answer.sources))
    return "\n\n".join(blocks)


def message_text(done: Run, address: str) -> str:
    """Write the few lines that one weaver sends another: what was put in, what came out, where."""
    if done.answer is None:
        return answer_text(done)
    asked = [
        f"{field.label}: {done.readings[field.name].typed}"
        for field in done.calculator.fields
        if field.name in done.chosen or (not field.advanced and done.readings[field.name].typed)
    ]
    few = len(done.answer.results) > MESSAGE_LINES
    found = _results(done, headlines_only=few)
    return "\n".join([done.calculator.title, *asked, "—", found, address]).strip()


def _card(card: Card) -> str:
    return "\n  ".join((card.title, *card.lines, card.address))


def _results(done: Run, *, headlines_only: bool = False) -> str:
    assert done.answer is not None
    lines = []
    for output in done.calculator.outputs:
        if headlines_only and not output.headline:
            continue
        value = done.answer.results.get(output.name)
        if value is None:
            continue
        likely = value.likely if isinstance(value, Range) else value
        metric = result_text(output, likely, "metric")
        imperial = result_text(output, likely, "imperial")
        shown = metric if metric == imperial else f"{metric} ({imperial})"
        if isinstance(value, Range) and not value.is_exact:
            low = result_text(output, value.low, "metric")
            shown += f", from {low} to {result_text(output, value.high, 'metric')}"
        lines.append(f"{output.label}: {shown}")
    return "\n".join(lines)


def cell_text(value: Cell, digits: int | None = None) -> str:
    """Write one cell of a table, with so many places behind the point."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if digits is not None and isinstance(value, (int, float)):
        return format_fixed(value, digits)
    return format_number(value) if isinstance(value, float) else str(value)


def _table(table: Table) -> str:
    cells = [
        list(table.columns),
        *([cell_text(*pair) for pair in zip_longest(row, table.digits)] for row in table.rows),
    ]
    widths = [max(len(row[column]) for row in cells) for column in range(len(table.columns))]
    lines = (
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in cells
    )
    return table.title + "\n" + "\n".join("  " + line for line in lines)
