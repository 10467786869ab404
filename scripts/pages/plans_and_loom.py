"""The frames of pages that live in the browser: plans, examples, one’s own, the loom’s side."""

import json

from markupsafe import Markup

from calculators.engine.versions import VERSION
from calculators.figure.loom_side import loom_side_html
from calculators.registry import registry
from calculators.shelf.own import EXAMPLES, Item, items_in
from scripts.pages.templates import rendered


def kept_plans_html(root: str) -> str:  # noqa: ARG001 - every embed is told the way to the root
    """Write the place for the plans kept on the reader's device, with each calculator's page."""
    homes = {
        calculator.id: {
            "page": calculator.page,
            "title": calculator.title,
            "loom": calculator.woven_along,
        }
        for calculator in registry().values()
    }
    return rendered("frames/kept-plans.html.jinja", homes=json.dumps(homes))


def my_records_html(root: str) -> str:  # noqa: ARG001
    """Write the place for the records kept on the reader's device, with the example's."""
    return rendered("frames/own.html.jinja", kind="records", example=_example("records"))


def my_workroom_html(root: str) -> str:  # noqa: ARG001
    """Write the place for the reader's looms, reeds and cones, with the example's."""
    return rendered("frames/own.html.jinja", kind="workroom", example=_example("workroom"))


def _example(kind: str) -> list[Item]:
    return items_in(kind, EXAMPLES[kind])


def guild_examples_html(root: str) -> str:  # noqa: ARG001 - every embed is told the way to the root
    """Write the place for the examples kept on the reader's device."""
    return rendered("frames/guild-examples.html.jinja")


def at_the_loom_html(root: str) -> str:
    """Write the view that is counted along with, and the worked plan as a table for paper."""
    table = Markup(loom_side_html())
    return rendered("frames/at-the-loom.html.jinja", root=root, version=VERSION, table=table)
