"""The first page's plate, and the three doors beside it."""

from base64 import b64encode

from scripts.binding.plate import ACROSS, ALONG, BIRD, woven
from scripts.pages.templates import rendered


def welcome_html(root: str) -> str:
    """Write the plate, one cloth in two lights, the search and the three doors."""
    cloths = []
    for light, words in ((ALONG, "light along the warp"), (ACROSS, "light across the warp")):
        look, png = woven(BIRD, "satin_6", light)
        size = [round(side) for side in look.fabric.size_mm]
        cloths.append((words, look.in_words(), size, b64encode(png).decode()))
    return rendered("frames/welcome.html.jinja", root=root, cloths=cloths)
