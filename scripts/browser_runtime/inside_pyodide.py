"""What runs inside Pyodide's own Python while the browser's runtime is made.

``REHEARSAL`` marks where this file is cut: the part above it is run first, so that the modules
loaded by then are those that the calculators need, and none that only the packing needs.
"""

import dataclasses
import json
import sys
from typing import Any

texts: set[str] = set()  # what dataclasses compile; see start.py


def overhear(text: str, scope: dict[str, Any], values: dict[str, Any]) -> None:
    """Do what ``exec`` does, and remember the text."""
    texts.add(text)
    exec(text, scope, values)


dataclasses.exec = overhear  # type: ignore[attr-defined]

import calculators  # noqa: E402
from calculators.page import respond  # noqa: E402


def rehearse() -> int:
    """Ask every calculator its worked example, so that all it needs is loaded and warm."""
    answered = 0
    for calculator in calculators.describe():
        inputs = {field["name"]: field["default"] for field in calculator["fields"]}
        for typed in (inputs, dict.fromkeys(inputs, "?")):
            request = {"call": "answer", "id": calculator["id"], "inputs": typed}
            answered += bool(json.loads(respond(json.dumps(request)))["ok"])
    return answered


def rehearse_code() -> None:
    """Draw one code to scan: its library takes the longest to load."""
    request = {"call": "share", "id": "sett", "inputs": {}, "address": "https://example.org/#v=1"}
    respond(json.dumps(request))


answered = rehearse()
rehearse_code()
needed = set(sys.modules)
del dataclasses.exec  # type: ignore[attr-defined]

# REHEARSAL

import importlib  # noqa: E402
import marshal  # noqa: E402
import zipfile  # noqa: E402
from importlib.util import MAGIC_NUMBER  # noqa: E402
from inspect import CO_OPTIMIZED  # noqa: E402
from pathlib import Path  # noqa: E402
from types import CodeType  # noqa: E402

# Needed at start-up, or only when something goes wrong, so a rehearsal does not load them.
ALWAYS = ("asyncio", "encodings.ascii", "encodings.latin_1", "linecache", "pkgutil", "traceback")
HAS_DOCSTRING = 0x4000000  # inspect.CO_HAS_DOCSTRING, since Python 3.13
UNCHECKED_HASH = b"\x01\0\0\0"  # Python will not look for the source
FIXED_TIME = (2026, 1, 1, 0, 0, 0)  # so that the same input makes the same archive


def lean(code: CodeType) -> CodeType:
    """Leave out what only a traceback or a help text would show: nearly half of the bytes."""
    constants = [lean(part) if isinstance(part, CodeType) else part for part in code.co_consts]
    if code.co_flags & HAS_DOCSTRING and code.co_flags & CO_OPTIMIZED:
        constants[0] = ""
    whole, rest = divmod(len(code.co_code) // 2, 8)
    nowhere = b"\xff" * whole + (bytes((0xF7 + rest,)) if rest else b"")
    return code.replace(co_linetable=nowhere, co_consts=tuple(constants))


def compiled(source: bytes, name: str) -> bytes:
    """Return a source file as the content of a lean .pyc."""
    code = compile(source, name, "exec", dont_inherit=True)
    return MAGIC_NUMBER + UNCHECKED_HASH + bytes(8) + marshal.dumps(lean(code))


def pack(stage: str, library: str, target: str, imported: list[str]) -> dict[str, Any]:
    """Write the archive: our packages, and of the standard library only what they use."""
    before = set(sys.modules)
    for name in (*ALWAYS, *imported):
        importlib.import_module(name)
    wanted = {name.replace(".", "/") for name in needed | (set(sys.modules) - before)}
    modules = own_bytes = 0
    with (
        zipfile.ZipFile(library) as whole,
        zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive,
    ):

        def add(name: str, data: bytes) -> int:
            data = compiled(data, name) if name.endswith(".py") else data
            name = f"{name}c" if name.endswith(".py") else name
            archive.writestr(zipfile.ZipInfo(name, FIXED_TIME), data)
            return len(data)

        for name in sorted(whole.namelist()):
            module = name.removesuffix(".py").removesuffix("/__init__")
            if name.endswith(".py") and module in wanted:
                add(name, whole.read(name))
                modules += 1
        ready = {text: lean(compile(text, "<dataclass>", "exec")) for text in sorted(texts)}
        add("handbook_start.bin", marshal.dumps(ready))
        for path in sorted(Path(stage).rglob("*")):
            if path.is_file():
                own_bytes += add(path.relative_to(stage).as_posix(), path.read_bytes())
    return {"answered": answered, "modules": modules, "own_bytes": own_bytes}
