"""The first page's plate, and the three doors beside it."""

from markupsafe import Markup

from calculators.weave.drawing import weave_svg
from scripts.binding.plate import rings
from scripts.pages.templates import rendered

BLEACHED, UNBLEACHED = "#fbf6ea", "#c9bb9b"


def welcome_html(root: str) -> str:
    """Write the plate, the search and the three doors."""
    cloth = rings(20, 8)
    plate = weave_svg(cloth, BLEACHED, UNBLEACHED, threads=cloth.ends, picks=cloth.picks)
    return rendered("frames/welcome.html.jinja", root=root, plate=Markup(plate))
