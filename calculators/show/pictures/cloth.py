"""A picture of cloth made of points, with a title and at its size."""

import re
from base64 import b64encode
from html import escape, unescape

from calculators.show.pairs import sentence_html

CAPTIONED = re.compile(r'<svg class="ft-cloth[^>]*><title>(?P<title>[^<]*)')


def cloth_svg(
    title: str, description: str, png: bytes, size_mm: tuple[float, float], larger: float = 0
) -> str:
    """Show the points of a PNG as a cloth of such a size, as wide as there is room for.

    With ``larger`` it is so many times as large as the cloth itself; once is its true size.

    It keeps its own colours by day, by night and on paper.
    """
    wide, high = size_mm
    at = f' width="{wide * larger:.1f}mm" height="{high * larger:.1f}mm"' if larger else ""
    true = f' data-millimetres="{wide:.3f} {high:.3f}"' if larger == 1 else ""
    name = "ft-cloth ft-true" if true else "ft-cloth"
    data = b64encode(png).decode()
    return (
        f'<svg class="{name}" xmlns="http://www.w3.org/2000/svg"'
        f' viewBox="0 0 {wide:.2f} {high:.2f}"{at}{true} role="img"><title>{escape(title)}</title>'
        f"<desc>{escape(description)}</desc>"
        f'<image width="{wide:.2f}" height="{high:.2f}" preserveAspectRatio="none"'
        f' href="data:image/png;base64,{data}"/></svg>'
    )


def caption(picture: str) -> str:
    """Write what stands under a picture of cloth: its title, for all to read; nothing of others."""
    found = CAPTIONED.match(picture)
    title = sentence_html(unescape(found["title"])) if found else ""
    return f"<figcaption>{title}.</figcaption>" if title else ""
