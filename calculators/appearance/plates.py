"""The cloth of a plan with a figure, small enough for a page."""

from calculators.appearance.calculators import LOOK, Look, look_from
from calculators.appearance.eye import MINUTES
from calculators.appearance.pictures import seen_png
from calculators.engine.calculator import Way
from calculators.engine.links import carried
from calculators.engine.run import Run
from calculators.figure.grid import Grid
from calculators.figure.wholes import stored
from calculators.quantities.sentences import both
from calculators.show.pictures import cloth_svg
from calculators.weave.ground import TIED_OTHERWISE

POINTS = 200_000  # about so many
FINE = 6  # points to a thread, near
YARD = 0.9144  # metres
FIBRES = {"linen": "linen", "worsted": "wool", "spun_silk": "silk"}


def look_of_figure(plan: Run, grid: Grid) -> Look | None:
    """Bleached cloth of a plan that has been answered; none of a ground whose look is no damask's.

    >>> from calculators.contract import calculate
    >>> look_of_figure(calculate("cloth-plan", {"weave": "lace_6"}), Grid(2, (1, 2)))
    """
    if plan.readings["weave"].value.name in TIED_OTHERWISE:
        return None
    fibres = {
        field: FIBRES.get(plan.readings[yarn].value.system, "cotton")
        for field, yarn in (("fibre", "warp_yarn"), ("weft_fibre", "weft_yarn"))
        if plan.readings[yarn].value is not None
    }
    told = {**carried(plan, Way(LOOK.id, "")), **fibres, "grid": stored(grid), "order": "first"}
    return look_from(told, plan.units)


def plate_png(look: Look, points: int = POINTS) -> tuple[bytes, int]:
    """Draw the whole cloth with whole points to a unit, so that its edges stay sharp.

    Told with it are the metres from which normal sight parts no more than a point (F-205).
    """
    grid, (width, _) = look.fabric.grid, look.fabric.size_mm
    point = width / grid.across / max(1, round((points / grid.across / grid.up) ** 0.5))
    png = seen_png(look.fabric, look.light, look.side, point)
    return png, max(1, round(point * MINUTES / 1000))


def plates_html(look: Look, root: str = "") -> str:
    """Show the whole cloth, and threads of it where figure and ground meet."""
    width, height = look.fabric.size_mm
    png, metres = plate_png(look)
    seen_from = f"{metres} m ({max(1, round(metres / YARD))} yd)"
    whole = cloth_svg(
        f"The whole cloth, as it is seen from {seen_from}",
        f"{both(width / 10, 'cm')} wide, {both(height / 10, 'cm')} high; {look.in_words()}.",
        png,
        (width, height),
    )
    return (
        f'<figure class="ft-picture ft-plates">{whole}{look.near_svg(fine=FINE)}<figcaption>'
        f"The cloth from {seen_from}, and its threads where figure and ground meet. It is a "
        f'<a href="{root}{LOOK.page}">model of the look</a>, in bleached yarn and in light along '
        "the warp.</figcaption></figure>"
    )
