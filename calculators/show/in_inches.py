"""A worked example for a reader in inches: sensible figures near those in centimetres."""

import re

from calculators.data import load
from calculators.engine.run import Run, work_out

_QUANTITY = re.compile(r"(?<![\w.,/])\d[\d.]*(?:/10| ?(?:mm|cm|m|g|kg|/cm)\b)")


def in_inches(typed: str) -> str:
    """Return what a worked example has where its reader counts in inches.

    >>> in_inches("48 cm"), in_inches("A; 16/2 cotton; 412 g; empty 38 g"), in_inches("4 %")
    ('19 in', 'A; 16/2 cotton; 14 1/2 oz; empty 1.3 oz', '4 %')
    """
    figures: dict[str, str] = load("in_inches")
    if typed in figures:
        return figures[typed]
    return _QUANTITY.sub(lambda found: figures.get(found[0], found[0]), typed)


def is_metric(typed: str) -> bool:
    """Whether a quantity in a typed text is in centimetres, grams or dents in 10 cm.

    >>> is_metric("48 cm"), is_metric("19 in"), is_metric("4 %")
    (True, False, False)
    """
    return _QUANTITY.search(typed) is not None


def example_in_inches(run: Run) -> Run:
    """Work a worked example out for a reader in inches."""
    typed = {
        field.name: in_inches(run.readings[field.name].typed)
        if field.bare_unit("cm") != field.bare_unit("inch")
        else run.readings[field.name].typed
        for field in run.calculator.fields
    }
    return work_out(run.calculator, typed, units="inch")


_TAG = re.compile(r"<(?P<end>/?)(?P<name>[a-z0-9]+)[^>]*?(?P<empty>/?)>")
_VOID = {"br", "hr", "img", "input", "meta", "link", "wbr"}


def elements(html: str) -> list[str]:
    """Return the elements that stand side by side in a piece of HTML of ours.

    >>> elements("<p>A <b>b</b></p><ul><li>c</li></ul>")
    ['<p>A <b>b</b></p>', '<ul><li>c</li></ul>']
    """
    found, begin, depth = [], 0, 0
    for tag in _TAG.finditer(html):
        if tag["name"] not in _VOID and not tag["empty"]:
            depth += -1 if tag["end"] else 1
        if depth == 0:
            found.append(html[begin : tag.end()])
            begin = tag.end()
    return found
