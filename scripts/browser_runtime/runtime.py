"""Makes the calculators' runtime for the browser: Python itself, a small library, a warm memory.

Everything lands in ``assets/runtime`` of the site under names that carry the hash of their
content, beside a manifest with sizes and hashes. The slow steps are kept in ``.build`` and done
again only when something that goes into them has changed.
"""

from __future__ import annotations

import ast
import gzip
import hashlib
import importlib.util
import json
import shutil
import tempfile
import tomllib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

from scripts.setting_up.environment import ROOT, WORK, SetupError
from scripts.setting_up.node import MODULES, run_node

FOLDER = "assets/runtime"
DRAFT = "runtime.json"  # scripts/offline.py gives it the build's name
INSIDE = Path(__file__).with_name("inside_pyodide.py")
START = Path(__file__).with_name("start.py")
MAKE = Path(__file__).with_name("make.mjs")
CORE = {
    "loader": "pyodide.mjs",
    "glue": "pyodide.asm.mjs",
    "python": "pyodide.asm.wasm",
}
TYPES = {
    ".mjs": "text/javascript",
    ".wasm": "application/wasm",
    ".bin": "application/octet-stream",
}
NOT_IN_THE_BROWSER = ("__main__.py", "data/published/*")
NOT_IMPORTED = {"tomllib"}  # reads the tables only where they are not yet JSON
QUICKLY_COMPILED = ("--liftoff-only",)  # each step is over before better code would pay
LEVEL = 8  # the last level takes twice the time for three bytes in a thousand
SEGNO_FILES = ("__init__", "consts", "encoder", "helpers", "utils", "writers")


def digest(data: bytes) -> str:
    """Return the SHA-256 of the bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def package_files(package: Path) -> Iterator[tuple[str, Path]]:
    """Name each file of the calculators that the browser needs."""
    for path in sorted(package.rglob("*")):
        inner = path.relative_to(package)
        wanted = path.is_file() and "__pycache__" not in inner.parts
        if wanted and not any(inner.match(pattern) for pattern in NOT_IN_THE_BROWSER):
            yield f"calculators/{inner.as_posix()}", path


def segno_files() -> Iterator[tuple[str, Path]]:
    """Name each file of the one library the calculators may use."""
    specification = importlib.util.find_spec("segno")
    if specification is None or specification.origin is None:
        raise SetupError("The package segno is missing from this environment; start again.")
    folder = Path(specification.origin).parent
    for name in SEGNO_FILES:
        yield f"segno/{name}.py", folder / f"{name}.py"


def imported_names(paths: Iterable[Path]) -> set[str]:
    """Return the absolute imports of source files, wherever in them they stand."""
    names: set[str] = set()
    for path in paths:
        for statement in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(statement, ast.Import):
                names.update(alias.name for alias in statement.names)
            elif isinstance(statement, ast.ImportFrom) and statement.module:
                names.add(statement.module)
    return names


def _node(step: str, pyodide: Path, source: Path, target: Path, *options: str) -> str:
    places = map(str, (pyodide, source, INSIDE, target))
    failure = f"The browser's Python could not be prepared ({step})"
    return run_node(failure, MAKE, step, *places, *options, flags=QUICKLY_COMPILED)


def _make(
    work: Path, files: list[tuple[str, Path]], pyodide: Path, say: Callable[[str], None]
) -> None:
    work.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=work.parent) as scratch:
        stage, output = Path(scratch) / "stage", Path(scratch) / "made"
        output.mkdir()
        for name, path in files:
            copy = stage / name
            copy.parent.mkdir(parents=True, exist_ok=True)
            if path.suffix == ".toml":  # JSON is read far faster in the browser
                table = tomllib.loads(path.read_text(encoding="utf-8"))
                text = json.dumps(table, ensure_ascii=False, separators=(",", ":"))
                copy.with_suffix(".json").write_text(text, encoding="utf-8")
            else:
                shutil.copyfile(path, copy)
        say("Compiling the library for the browser's Python")
        imports = imported_names(stage.glob("calculators/**/*.py")) - NOT_IMPORTED
        report_json = _node(
            "library", pyodide, stage, output / "library.zip", ",".join(sorted(imports))
        )
        report = json.loads(report_json)
        say("Taking the memory picture that makes return visits fast")
        _node("memory", pyodide, output / "library.zip", output / "memory.raw")
        for raw in (output / "library.zip", output / "memory.raw"):  # few hosts compress such files
            raw.with_suffix(".bin").write_bytes(gzip.compress(raw.read_bytes(), LEVEL, mtime=0))
            raw.unlink()
        for key, name in CORE.items():
            shutil.copyfile(pyodide / name, output / f"{key}{Path(name).suffix}")
        packed = {
            path.name: len(gzip.compress(path.read_bytes(), LEVEL, mtime=0))
            for path in sorted(output.iterdir())
        }
        (output / "report.json").write_text(json.dumps({**report, "packed": packed}))
        shutil.rmtree(work, ignore_errors=True)
        output.rename(work)


def build_runtime(
    site: Path,
    say: Callable[[str], None],
    *,
    package: Path = ROOT / "calculators",
    pyodide: Path = MODULES / "pyodide",
    keep: Path = WORK / "runtime",
) -> dict[str, Any]:
    """Put the runtime into the site and return its manifest.

    The manifest names every file with its bytes, the bytes that travel when compressed, its
    SHA-256 and its type; ``memory`` is optional for the reader and the first to be given up.
    """
    lock = json.loads((pyodide / "pyodide-lock.json").read_text(encoding="utf-8"))
    files = [("handbook_start.py", START), *package_files(package), *segno_files()]
    inputs = hashlib.sha256(json.dumps(lock["info"]).encode())
    for path in (Path(__file__), INSIDE, MAKE, *(pyodide / name for name in CORE.values())):
        inputs.update(path.read_bytes())
    for name, path in files:
        inputs.update(f"\0{name}\0".encode() + path.read_bytes())
    work = keep / inputs.hexdigest()[:16]
    if not (work / "report.json").exists():
        _make(work, files, pyodide, say)
        for old in keep.iterdir():
            if old != work and not old.name.startswith("tmp"):  # another build may be at work
                shutil.rmtree(old, ignore_errors=True)

    report = json.loads((work / "report.json").read_text(encoding="utf-8"))
    target = site / FOLDER
    target.mkdir(parents=True, exist_ok=True)
    parts = {}
    for path in sorted(path for path in work.iterdir() if path.suffix in TYPES):
        data = path.read_bytes()
        sha256 = digest(data)
        name = f"{path.stem}-{sha256[:12]}{path.suffix}"
        (target / name).write_bytes(data)
        parts[path.stem] = {
            "path": name,
            "bytes": len(data),
            "packed": min(report["packed"][path.name], len(data)),
            "sha256": sha256,
            "type": TYPES[path.suffix],
        }
    manifest = {
        "build": "",
        "python": lock["info"]["python"],
        "lock": {"info": lock["info"], "packages": {}},
        "files": parts,
    }
    (target / DRAFT).write_text(json.dumps(manifest, indent=1), encoding="utf-8")
    say(
        f"Runtime: {sum(part['bytes'] for part in parts.values()) / 1e6:.1f} MB in {len(parts)} "
        f"files; {report['modules']} library modules; own packages "
        f"{report['own_bytes'] / 1e3:.0f} kB; "
        f"{report['answered']} worked examples rehearsed"
    )
    return manifest
