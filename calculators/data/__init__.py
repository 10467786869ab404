"""The package's tables: TOML files with a source on every row."""

import tomllib
from functools import cache
from pkgutil import get_data
from typing import Any


@cache
def load(name: str) -> dict[str, Any]:
    """Read the table ``name`` (a path under calculators/data without its ending), once."""
    data = get_data(__name__, f"{name}.toml")
    if data is None:
        raise FileNotFoundError(name)
    return tomllib.loads(data.decode())
