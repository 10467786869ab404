"""What one's own looms and reeds make of a plan, told beside the count."""

from calculators.engine.run import Run, work_out
from calculators.shelf.cones_and_looms import Shelf
from calculators.shelf.offers import looms_fields
from calculators.show.pairs import sentence_html


def own_looms_html(run: Run, shelf: Shelf, world: str) -> str:
    """Own looms on a plan: the reed and order of sleying each has, and whether it holds the warp.

    Equation: none
    Parameters:
        run [Run]: the plan
        shelf [Shelf]: looms and reeds
        world [text]: "metric" or "imperial"
    Returns:
        [html] a line for each loom; nothing for a calculation that asks for no loom
    Validity: the plan's own figures stay; only what the loom can hold, and its reeds, are its own.
    Errors: none.

    Example:
        >>> from calculators.registry import calculator
        >>> own_looms_html(work_out(calculator("rhythm"), {}), Shelf(), "metric")
        ''

    Source: definition.
    """
    asked, units = run.calculator, "inch" if world == "imperial" else "cm"
    typed = {name: reading.typed for name, reading in run.readings.items()}
    lines = []
    for loom in shelf.looms:
        values = looms_fields(asked, loom, world)
        values.pop("loom_waste", None)  # the warp is wound already
        if "reeds" not in values:
            continue
        answer = work_out(asked, {**typed, **values}, units=run.units or units).answer
        if answer is None:
            continue
        reed, harness = answer.parts["Reed"], answer.parts["Harness"]
        orders = reed.tables["denting"].rows if "denting" in reed.tables else ()
        sleying = (
            f"reed {orders[0][0]}, {orders[0][2]} in the dents."
            if orders
            else "none of its reeds comes near."
        )
        held = " ".join(harness.cautions) or "It holds this warp."
        lines.append(f"<p>{sentence_html(f'Your loom {loom.name}: {sleying} {held}')}</p>")
    return "".join(lines)
