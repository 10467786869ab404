"""An answer as plain text: for the command line, and for a message to a friend."""

from collections.abc import Iterator
from itertools import groupby

from calculators.engine.calculator import Card, Table
from calculators.engine.reading import KINDS
from calculators.engine.run import Run, result_texts
from calculators.engine.sources import citation
from calculators.quantities.interval import Range
from calculators.quantities.sentences import both_texts, size
from calculators.show.columns import in_both_worlds, own_columns
from calculators.show.pairs import inches_first

MESSAGE_LINES = 12  # more results than this, and a message tells only those that matter most


def answer_text(run: Run) -> str:
    """Write a whole answer in plain text."""
    answer = run.answer
    if answer is None:
        return "\n".join(
            f"{error.field}: {error.message} {error.hint}".rstrip() for error in run.errors
        )
    blocks = [
        _results(run),
        *map(_card, answer.cards),
        *(_table(table, run.units) for table in answer.tables.values()),
        *(f"Take care: {line}" for line in answer.cautions),
        *(f"Note: {line}" for line in answer.notes),
    ]
    if run.units == "inch":  # an equation stays as it is: turned round it would be another
        blocks = list(map(inches_first, blocks))
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


def message_text(run: Run, address: str) -> str:
    """Write the few lines that one weaver sends another: what was put in, what came out, where."""
    if run.answer is None:
        return answer_text(run)
    inputs = [
        f"{field.label}: {KINDS[field.kind].spoken(run.readings[field.name].typed)}"
        for field in run.calculator.fields
        if field.name in run.chosen or (not field.advanced and run.readings[field.name].typed)
    ]
    many = len(run.answer.results) > MESSAGE_LINES
    results = _results(run, headlines_only=many)
    return "\n".join([run.calculator.title, *inputs, "—", results, address]).strip()


def in_short(run: Run) -> dict[str, str]:
    """Tell a calculation by what a weaver knows it by: the finished size, else its first result."""
    if run.answer is None or not run.answer.results:
        return {}
    width, length = map(run.readings.get, ("finished_width", "finished_length"))
    if width and length:
        metric, imperial = size(width.metric, length.metric), size(width.imperial, length.imperial)
    else:
        output = next(one for one in run.calculator.outputs if one.name in run.answer.results)
        value = run.answer.results[output.name]
        likely = value.likely if isinstance(value, Range) else value
        metric, imperial = (f"{output.label} {text}" for text in result_texts(output, likely))
    return {"metric": metric, "imperial": imperial}


def called(run: Run) -> dict[str, str]:
    """Name a calculation that nobody named by what it is of, in both unit worlds.

    >>> from calculators.engine.run import work_out
    >>> from calculators.registry import calculator
    >>> called(work_out(calculator("cloth-plan"), {"pieces": "2"}))["metric"]
    '2 pieces, 48 × 48 cm, six-end satin'
    """
    about = in_short(run)
    if not about:
        return {}
    readings = run.readings
    if "finished_width" not in readings:
        return {world: f"{run.calculator.title}: {text}" for world, text in about.items()}
    pieces = readings["pieces"].value if "pieces" in readings else None
    many = f"{pieces} piece{'' if pieces == 1 else 's'}" if pieces else run.calculator.title
    weave = KINDS["weave"].spoken(readings["weave"].typed) if "weave" in readings else ""
    return {world: ", ".join(filter(None, (many, text, weave))) for world, text in about.items()}


def _card(card: Card) -> str:
    return "\n  ".join((card.title, *card.lines, card.address))


def _results(run: Run, *, headlines_only: bool = False) -> str:
    assert run.answer is not None
    lines = []
    for output in run.calculator.outputs:
        value = run.answer.results.get(output.name)
        if value is None or (headlines_only and not output.headline):
            continue
        likely = value.likely if isinstance(value, Range) else value
        shown = both_texts(*result_texts(output, likely))
        if isinstance(value, Range) and not value.is_exact:
            low, high = (both_texts(*result_texts(output, end)) for end in (value.low, value.high))
            shown += f", from {low} to {high}"
        lines.append(f"{output.label}: {shown}")
    return "\n".join(lines)


def in_sight(run: Run) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Give the few results that stay in sight: their words, and values in both unit worlds.

    Those of one word, such as units across and up, stand together.
    """
    assert run.answer is not None
    results = run.answer.results
    large = [one for one in run.calculator.outputs if one.headline and one.name in results]
    chosen = [one for one in large if one.short] or large
    for words, outputs in groupby(chosen, key=lambda one: one.short or one.label):
        values = [(one, results[one.name]) for one in outputs]
        yield (
            words,
            [
                result_texts(one, value.likely if isinstance(value, Range) else value)
                for one, value in values
            ],
        )


def spoken(run: Run, world: str) -> str:
    """Say an answer in one sentence, in one unit world, or say what stands in its way."""
    if run.answer is None:
        return " ".join(filter(None, (run.errors[0].message, run.errors[0].hint)))
    place = ("metric", "imperial").index(world)
    told = ", ".join(
        f"{words} {' by '.join(texts[place] for texts in values)}"
        for words, values in in_sight(run)
    )
    return f"Answer: {told}."


def _table(table: Table, units: str) -> str:
    columns = (
        [[cell[units == "inch"] for cell in column] for column in in_both_worlds(table)]
        if units
        else own_columns(table)
    )
    cells = [
        [text or "" for text in line]
        for line in zip(*(column for column in columns if column[0] is not None), strict=True)
    ]
    widths = [max(len(row[column]) for row in cells) for column in range(len(cells[0]))]
    lines = (
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in cells
    )
    return table.title + "\n" + "\n".join("  " + line for line in lines)
