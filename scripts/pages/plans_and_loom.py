"""The frames of two pages that live in the browser: the kept plans, and the view at the loom."""

import json
from html import escape

from calculators.forms import registry
from calculators.forms.loom_side import loom_side_html
from calculators.forms.versions import VERSION
from calculators.forms.ways import HOMES, WOVEN_ALONG

WITHOUT = "<noscript><p>This needs JavaScript. {}</p></noscript>"


def kept_plans_html(root: str) -> str:  # noqa: ARG001 - every embed is told the way to the root
    """Write the place for the plans kept on the reader's device, with each calculator's page."""
    homes = {
        name: {"page": home, "title": registry()[name].title, "loom": name in WOVEN_ALONG}
        for name, home in HOMES.items()
        if name in registry()
    }
    without = WITHOUT.format("The plan in a link can still be read from the link itself.")
    return f'<div class="ft-tool ft-kept" data-homes="{escape(json.dumps(homes))}">{without}</div>'


def at_the_loom_html(root: str) -> str:
    """Write the view that is counted along with, and the worked plan as a table for paper."""
    without = WITHOUT.format("The table below shows what it counts.")
    return (
        '<div class="ft-tool ft-loom-start"><p class="ft-told" role="status"></p>'
        f'<ul class="ft-plans"></ul>{without}'
        '<p class="ft-actions"><button type="button" class="ft-first" data-loom="open" hidden>'
        "Open it again</button>"
        f'<a href="{root}loom-side/#v={VERSION}&amp;calculator=cloth-plan">'
        "Try it with the worked plan</a>"
        "</p></div>"
        f"{_VIEW}{loom_side_html()}"
    )


def _button(act: str, words: str, name: str = "") -> str:
    kind = f' class="{name}"' if name else ""
    return f'<button type="button" data-loom="{act}"{kind}>{words}</button>'


_VIEW = (
    '<dialog class="ft-loom ft-loom-side" aria-label="At the loom">'
    '<p class="ft-loom-head">'
    + _button("guard", "Guard")
    + '<span data-show="plan"></span>'
    + _button("leave", "Leave")
    + "</p>"
    '<div class="ft-loom-count"><p data-show="stretch"></p>'
    '<p class="ft-loom-number" data-show="number"></p><p data-show="left"></p></div>'
    '<p class="ft-told" role="status" data-show="said"></p>'
    '<p class="ft-loom-due">'
    + _button("temple", '<span data-show="temple">Temple</span>')
    + _button("advance", '<span data-show="advance">Advance</span>')
    + "</p>"
    '<p class="ft-loom-hands">'
    + _button("back", "Back")
    + _button("pick", "One pick")
    + _button("next", '<span data-show="next">Next</span>', "ft-first")
    + "</p>"
    '<details class="ft-loom-more"><summary>More</summary>'
    '<p data-show="whole"></p><div data-show="facts"></div>'
    '<label class="ft-labelled">When something is due'
    '<select name="signal"><option value="">show it only</option>'
    '<option value="sound">sound</option><option value="shake">vibrate</option></select></label>'
    '<label class="ft-labelled">Picks woven so far'
    '<input name="picks" inputmode="numeric" autocomplete="off"></label>'
    '<p class="ft-actions">'
    + _button("set", "Set the count")
    + _button("stretch", "This stretch is done")
    + '<button type="button" data-turn-theme>Light or dark</button></p>'
    '<p data-show="awake"></p><p data-show="kept"></p></details></dialog>'
)
