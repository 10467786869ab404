"""A plan on a card: its drawing, and the few figures that a weaver knows it by."""

from collections.abc import Collection
from html import escape

from calculators.engine.calculator import Answer
from calculators.engine.run import Run
from calculators.show.html import value_html

PUT_IN = ("warp_yarn", "weft_yarn")
FOUND = ("ends", "warp_length", "warp_yarn_mass", "weft_yarn_mass")


def card_html(run: Run) -> str:
    """Write a plan's drawing, ends, warp and weft; of another calculation, what matters most."""
    if run.answer is None:
        return ""
    piece = drawing(run.answer)
    large = [output.name for output in run.calculator.outputs if output.headline]
    figure = f'<figure class="ft-picture">{piece}</figure>' if piece else ""
    return figure + (facts_html(run, FOUND, PUT_IN) if piece else facts_html(run, large))


def drawing(answer: Answer) -> str:
    """Return the drawing of the finished piece among an answer's pictures, empty if there is none.

    >>> drawing(Answer({}))
    ''
    """
    return next((one for one in answer.pictures if 'class="ft-piece"' in one), "")


def facts_html(run: Run, results: Collection[str], inputs: Collection[str] = ()) -> str:
    """Write some of what was put in and found as a list of terms."""
    assert run.answer is not None
    found = run.answer.results
    lines = [
        *(
            (field.label, escape(run.readings[field.name].typed))
            for field in run.calculator.fields
            if field.name in inputs and run.readings[field.name].typed
        ),
        *(
            (output.label, value_html(output, found[output.name]))
            for output in run.calculator.outputs
            if output.name in results and output.name in found
        ),
    ]
    return (
        "<dl>"
        + "".join(f"<dt>{escape(label)}</dt><dd>{value}</dd>" for label, value in lines)
        + "</dl>"
    )
