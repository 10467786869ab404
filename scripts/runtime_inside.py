"""What runs inside Pyodide's own Python while the browser's runtime is made."""

import ast
import importlib
import json
import py_compile
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

# Needed at start-up, or only when something goes wrong, so a rehearsal does not load them.
ALWAYS = (
    "asyncio",
    "encodings.ascii",
    "encodings.cp437",
    "encodings.idna",
    "encodings.latin_1",
    "encodings.utf_8",
    "importlib.resources",
    "importlib.readers",
    "linecache",
    "traceback",
    "zipfile",
)
COMPILED = "/tmp/compiled.pyc"
FIXED_TIME = (2026, 1, 1, 0, 0, 0)  # so that the same input makes the same archive


def sources(folder: Path) -> Iterator[Path]:
    """Every file of a package that the browser needs."""
    return (path for path in sorted(folder.rglob("*")) if path.is_file())


def imported_names(path: Path) -> Iterator[str]:
    """The absolute imports of one source file, wherever in it they stand."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module


def rehearse() -> int:
    """Ask every calculator its worked example, so that all it needs is loaded and warm."""
    calculators = importlib.import_module("calculators")
    respond = importlib.import_module("calculators.page").respond
    answered = 0
    for calculator in calculators.describe():
        inputs = {field["name"]: field["default"] for field in calculator["fields"]}
        for changed in (inputs, dict.fromkeys(inputs, "?")):
            reply = respond(
                json.dumps({"call": "answer", "id": calculator["id"], "inputs": changed})
            )
            answered += bool(json.loads(reply)["ok"])
    return answered


def compiled(path: Path, shown_as: str, optimize: int) -> bytes:
    """The file as an unchecked-hash .pyc: Python will not look for its source."""
    py_compile.compile(
        str(path),
        cfile=COMPILED,
        dfile=shown_as,
        doraise=True,
        optimize=optimize,
        invalidation_mode=py_compile.PycInvalidationMode.UNCHECKED_HASH,
    )
    return Path(COMPILED).read_bytes()


def pack(stage: str, library: str, target: str) -> dict[str, Any]:
    """Write the archive: our packages, and of the standard library only what they use."""
    packages = [folder for folder in sorted(Path(stage).iterdir()) if folder.is_dir()]
    own = [path for folder in packages for path in sources(folder)]
    for path in own:
        if path.suffix == ".py" and path.parts[len(Path(stage).parts)] == "calculators":
            for name in imported_names(path):
                importlib.import_module(name)
    for name in ALWAYS:
        importlib.import_module(name)
    answered = rehearse()

    wanted = {name.replace(".", "/") for name in sys.modules}
    with zipfile.ZipFile(library) as whole:
        names = [
            name
            for name in sorted(whole.namelist())
            if name.endswith(".py")
            and (name[:-3] in wanted or name.removesuffix("/__init__.py") in wanted)
        ]
        parts = Path("/tmp/library")
        whole.extractall(parts, names)

    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:

        def add(name: str, data: bytes) -> None:
            archive.writestr(zipfile.ZipInfo(name, FIXED_TIME), data)

        for name in names:
            add(name + "c", compiled(parts / name, name, 2))
        own_bytes = 0
        for path in own:
            name = path.relative_to(stage).as_posix()
            if path.suffix == ".py":
                data = compiled(path, name, 0)
                add(name + "c", data)
            else:
                data = path.read_bytes()
                add(name, data)
            own_bytes += len(data)
    return {"answered": answered, "modules": len(names), "own_bytes": own_bytes}
