"""What is a guess in an answer, and what it would change if the truth were otherwise."""

from collections.abc import Iterator

from calculators.engine.calculator import Field, Output, Stage
from calculators.engine.run import Run, result_texts, work_out
from calculators.quantities.format import format_number
from calculators.quantities.interval import Range
from calculators.quantities.sentences import both_texts

MORE = 1.5  # the other case: half as much again
FELT = 0.005  # a change of less than half a per cent is not worth a line
MOST = 3


def guesses(run: Run) -> dict[str, Stage | None]:
    """Write a line for each guessed loss: the other case, and what it would make of the results.

    With each line goes the stage of the first result it names, if there is one. A search is not
    made again for it.
    """
    if run.answer is None or run.calculator.stages is not None:
        return {}
    return dict(line for field in run.calculator.fields if (line := _line(run, field)))


def _line(run: Run, field: Field) -> tuple[str, Stage | None] | None:
    loss = run.readings[field.name].value
    if field.kind != "loss" or field.basis is None or not isinstance(loss, Range):
        return None
    high = min(loss.high * MORE, 0.9)
    if not loss.is_exact or high == loss.likely:
        return None
    likely, typed = loss.likely * 100, high * 100
    inputs = {name: reading.typed for name, reading in run.readings.items()}
    inputs[field.name] = f"{likely!r}–{likely!r}–{typed!r} %"
    other = work_out(run.calculator, inputs, units=run.units, brief=True)
    changes = list(_changes(run, other))[:MOST]
    if not changes:
        return None
    words = (
        f"If {field.label[0].lower()}{field.label[1:]} is {format_number(typed, 1)} % instead of "
        f"{format_number(likely, 1)} %: " + "; ".join(change for _, change in changes) + "."
    )
    return words, changes[0][0].stage


def _changes(run: Run, other: Run) -> Iterator[tuple[Output, str]]:
    if run.answer is None or other.answer is None:
        return
    outputs = sorted(
        run.calculator.outputs, key=lambda output: not output.name.startswith("finished")
    )
    for output in outputs:
        before = run.answer.results.get(output.name)
        after = other.answer.results.get(output.name)
        if not isinstance(after, Range) or not isinstance(before, (int, float)) or not before:
            continue
        reached = max(after.low, after.high, key=lambda value: abs(value - before))
        if abs(reached / before - 1) >= FELT:
            yield (
                output,
                f"{output.label[0].lower()}{output.label[1:]} {_text(output, reached)} "
                f"instead of {_text(output, before)}",
            )


def _text(output: Output, value: float) -> str:
    return both_texts(*result_texts(output, value))
