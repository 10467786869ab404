"""The frames of two pages that live in the browser: the kept plans, and the view at the loom."""

import json

from markupsafe import Markup

from calculators.forms import registry
from calculators.forms.loom_side import loom_side_html
from calculators.forms.versions import VERSION
from calculators.forms.ways import HOMES, WOVEN_ALONG
from scripts.pages.templates import rendered


def kept_plans_html(root: str) -> str:  # noqa: ARG001 - every embed is told the way to the root
    """Write the place for the plans kept on the reader's device, with each calculator's page."""
    homes = {
        name: {"page": home, "title": registry()[name].title, "loom": name in WOVEN_ALONG}
        for name, home in HOMES.items()
        if name in registry()
    }
    return rendered("frames/kept-plans.html.jinja", homes=json.dumps(homes))


def at_the_loom_html(root: str) -> str:
    """Write the view that is counted along with, and the worked plan as a table for paper."""
    table = Markup(loom_side_html())
    return rendered("frames/at-the-loom.html.jinja", root=root, version=VERSION, table=table)
