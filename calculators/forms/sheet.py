"""The sheet for paper: numbers in the order they are used, with room for the real ones."""

from collections.abc import Sequence
from html import escape

from calculators import __version__
from calculators.contract import Run
from calculators.errors import InputError
from calculators.forms.base import Answer, Output
from calculators.forms.citations import citation
from calculators.forms.render import table_html, value_html
from calculators.forms.share import code_svg

# The job sheet of a whole plan, in the order of the work; what is not named here is left out.
JOB: Sequence[tuple[str, tuple[str, ...]]] = (
    ("Yarn to have", ("warp_yarn_mass", "warp_yarn_length", "weft_yarn_mass", "weft_yarn_length")),
    ("Winding", ("warp_length", "ends", "passes", "groups_per_unit", "bouts", "turns", "walked")),
    ("Beaming", ("warp_width_in_reed",)),
    (
        "Entering",
        ("pattern_heddles", "units_across", "pattern_ends", "ground_heddles_per_shaft",
         "harness_mass"),
    ),
    ("In the reed", ("sett", "reed_width")),
    (
        "Weaving",
        ("picks", "picks_total", "units_up", "piece_on_loom", "woven_length", "temple_moves",
         "advances", "pirns", "hours"),
    ),
    (
        "Off the loom and washed",
        ("loom_width", "finished_width", "finished_length", "unit_width", "unit_height",
         "grams_per_square_metre", "waste_share"),
    ),
)  # fmt: skip


def sheet_html(done: Run, address: str, date: str, name: str = "") -> str:
    """Write the sheet of one calculation for paper; ``date`` is the reader's own, as text."""
    answer = done.answer
    if answer is None:
        raise done.errors[0]
    outputs = {
        output.name: output for output in done.calculator.outputs if output.name in answer.results
    }
    groups = JOB if done.calculator.id == "cloth-plan" else (("Results", tuple(outputs)),)
    return (
        '<article class="ft-sheet"><header>'
        f"<h1>{escape(name or done.calculator.title)}</h1>"
        f"<p>{escape(done.calculator.title)}, {done.calculator.code}. {escape(date)}. "
        f"Fine-Thread Handbook {__version__}.</p>{_code(address)}</header>"
        f"{_given(done)}"
        + "".join(_group(title, names, outputs, answer) for title, names in groups)
        + "".join(table_html(table) for table in answer.tables.values())
        + _list("Take care", answer.cautions)
        + _list("Notes", answer.notes)
        + _steps(answer)
        + _list("Sources", [citation(key) for key in answer.sources])
        + f'<p class="ft-sheet-link">{escape(address)}</p></article>'
    )


def _code(address: str) -> str:
    try:
        return code_svg(address)
    except InputError:
        return ""


def _given(done: Run) -> str:
    cells = "".join(
        f"<div><dt>{escape(field.label)}</dt><dd>{escape(done.readings[field.name].typed)}</dd></div>"
        for field in done.calculator.fields
        if done.readings[field.name].typed
    )
    return f'<section><h2>Put in</h2><dl class="ft-given">{cells}</dl></section>'


def _group(title: str, names: Sequence[str], outputs: dict[str, Output], answer: Answer) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(outputs[name].label)}</th>'
        f"<td>{value_html(outputs[name], answer.results[name])}</td>"
        '<td class="ft-box"></td></tr>'
        for name in names
        if name in outputs
    )
    return (
        f"<section><h2>{escape(title)}</h2><table><thead><tr><th></th>"
        f'<th scope="col">planned</th><th scope="col">real</th></tr></thead>'
        f"<tbody>{rows}</tbody></table></section>"
    )


def _steps(answer: Answer) -> str:
    return _list(
        "How this was worked out",
        [
            f"{step.words}: {step.working}" + (f" [{step.formula}]" if step.formula else "")
            for step in answer.steps
        ],
    )


def _list(title: str, lines: Sequence[str]) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<section><h2>{title}</h2><ul>{items}</ul></section>"
