"""The cones of a shelf as cards: each in its colour, with its yarn and what is left on it."""

from html import escape

from calculators.quantities.sentences import both
from calculators.shelf.cones_and_looms import Cone, Shelf, readable_cones, write_lines
from calculators.show.pairs import sentence_html
from calculators.yarn.yarn import length_of

TOOLS = (("change", "Change"), ("remove", "Remove"))


def cards_html(text: str, units: str = "") -> str:
    """Cones of a shelf as cards: colour, name, yarn, and what is left in weight and length.

    Equation: length left = net weight / tex   (F-7)
    Parameters:
        text [text]: what ``read_shelf`` reads
        units [name]: what bare figures are counted in, "cm" or "inch"
    Returns:
        [html] one card a cone, in the order written, with its line for whoever changes it; beneath
            them each line that cannot be read, with what is wrong with it
    Validity: any text.
    Errors: none.

    Example:
        >>> cards_html("A; 20 tex; 400 g").count("listitem")
        1

    Source: definition; the drawing is this handbook's own.
    """
    cones, troubles = readable_cones(text, units)
    cards = "".join(map(_card, cones)) + "".join(
        f'<span class="ft-cone ft-unread" role="listitem"><b>{escape(where)} is not read</b>'
        f"<span>{escape(error.message)} {escape(error.hint)}</span></span>"
        for where, error in troubles
    )
    return f'<span class="ft-cone-cards" role="list">{cards}</span>'


def _card(cone: Cone) -> str:
    label = cone.yarn.text.strip()
    yarn = label if cone.fibre in label.casefold() else f"{label}, {cone.fibre}"
    yarn += "" if cone.colour else ", colour not named"
    said = "" if yarn == cone.name else f" <span>{escape(yarn)}</span>"
    buttons = "".join(
        f'<button type="button" class="ft-act" data-cone="{act}"'
        f' aria-label="{title}: {escape(cone.name)}">{title}</button>'
        for act, title in TOOLS
    )
    line = escape(write_lines(Shelf(cones=(cone,))))
    return (
        f'<span class="ft-cone" role="listitem" data-line="{line}">{drawn(cone)}'
        f"<b>{escape(cone.name)}</b>{said} "
        f"<span>{sentence_html(left_on(cone))}</span> {buttons}</span>"
    )


def left_on(cone: Cone) -> str:
    """Say how much yarn is left on a cone, in weight and in length.

    Equation: length left = net weight / tex   (F-7)
    Parameters:
        cone [Cone]: what was weighed
    Returns:
        [text] both figures, each in both unit worlds
    Validity: any cone.
    Errors: none.

    Example:
        >>> left_on(readable_cones("A; 20 tex; 400 g")[0][0])
        '400 g (14.1 oz) left, 20\u202f000 m (21\u202f872 yd)'

    Source: definition.
    """
    return f"{both(cone.net, 'g')} left, {both(length_of(cone.net, cone.yarn.tex) / 100, 'm')}"


def drawn(cone: Cone) -> str:
    """Draw a cone in its colour; what nobody named has a broken outline.

    Equation: none
    Parameters:
        cone [Cone]: what is drawn
    Returns:
        [svg] a small picture
    Validity: any cone.
    Errors: none.

    Example:
        >>> 'fill="#2b4a6f"' in drawn(readable_cones("A; 20 tex; 400 g; #2b4a6f")[0][0])
        True

    Source: the drawing is this handbook's own.
    """
    colour = f'fill="{cone.colour}"' if cone.colour else 'fill="none" stroke-dasharray="3 2"'
    return (
        f'<svg viewBox="0 0 36 44" width="36" height="44" aria-hidden="true">'
        '<path d="M15 1h6l2 6h-10z" fill="none" stroke="currentColor"/>'
        f'<path d="M12 6h12l10 32q-16 6-32 0z" {colour} stroke="currentColor"/>'
        '<path d="M10 14q8 4 17 0M7 22q11 5 22 0M5 30q13 6 26 0" fill="none"'
        ' stroke="currentColor" opacity=".35"/></svg>'
    )
