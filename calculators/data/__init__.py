"""The package's tables: TOML files with a source on every row."""

import json
from functools import cache
from pkgutil import get_data
from typing import Any


@cache
def load(name: str) -> dict[str, Any]:
    """Read the table ``name`` (a path under calculators/data without its ending), once."""
    try:  # the copy made for the browser holds them as JSON, which is read far faster there
        packed = get_data(__name__, f"{name}.json")
    except OSError:
        packed = None
    if packed is not None:
        table: dict[str, Any] = json.loads(packed)
        return table
    import tomllib  # noqa: PLC0415 - not needed in the browser

    text = get_data(__name__, f"{name}.toml")
    assert text is not None  # a file that is not there has raised by now
    return tomllib.loads(text.decode())
