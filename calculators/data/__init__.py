"""The package's tables: TOML files with a source on every row."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def load(name: str) -> dict[str, Any]:
    """Read the table ``name`` (a path under calculators/data without its ending), once."""
    text = files(__name__).joinpath(*f"{name}.toml".split("/")).read_text(encoding="utf-8")
    return tomllib.loads(text)
