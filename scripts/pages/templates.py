"""The Jinja templates in ``docs/data``, beside the data that they show."""

from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape

from scripts.setting_up.environment import ROOT


@cache
def templates() -> Environment:
    """Return the templates: what goes into HTML is escaped, a name without a value is an error."""
    environment = Environment(
        loader=FileSystemLoader(ROOT / "docs" / "data"),
        autoescape=select_autoescape(["html.jinja"]),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.policies["json.dumps_kwargs"] = {"ensure_ascii": False}
    return environment


def rendered(template: str, **values: Any) -> str:
    """Fill one template in."""
    return templates().get_template(template).render(values)
