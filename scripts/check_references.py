"""Work every published value out again with the package, and say where the two differ.

python scripts/check_references.py                 the whole report; exit status 1 on any miss
python scripts/check_references.py --misses        only what does not agree
python scripts/check_references.py --json FILE     also write the report as JSON
"""

import argparse
import json
import sys
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from calculators.engine.formula import BOOK
from calculators.engine.sources import citation, sources
from calculators.registry import registry
from scripts.reference_checks import CHECKS
from scripts.workings import WAYS, work_out

Verdict = Literal["agrees", "erratum", "unused", "MISS", "FAULT"]
Table = dict[str, Any]

FLOATING_DUST = 1e-11  # relative; what double precision leaves of an exact value
KEPT = Path(__file__).resolve().parent.parent / "docs/data/kept_values.toml"
KNOWN: Mapping[str, Mapping[str, Any]] = {
    "formula": BOOK,
    "calculator": registry(),
    "check": CHECKS,
}
NEEDED = ("id", "quantity", "source", "locator", "grade", "basis")


@dataclass(frozen=True)
class Outcome:
    """One published row beside our own value."""

    row: Table
    verdict: Verdict
    ours: Any = None
    difference: float | None = None
    tolerance: float | None = None
    reason: str = ""

    def __getitem__(self, name: str) -> str:
        return str(self.row.get(name, ""))

    @property
    def published(self) -> Any:
        """The value as the source has it."""
        return _plain(self.row.get("value"))

    @property
    def misprint(self) -> Any:
        """The wrong figure in the source, if there is one."""
        return _plain(self.row.get("misprint"))

    @property
    def checked(self) -> bool:
        """Whether our value was worked out."""
        return self.verdict != "unused"

    @property
    def failed(self) -> bool:
        """Whether the row must stop the build."""
        return self.verdict in ("MISS", "FAULT")


@dataclass(frozen=True)
class Report:
    """Every row's outcome, with the works that they come from."""

    outcomes: tuple[Outcome, ...]
    sources: Mapping[str, Table]
    repeated: int  # checked rows that repeat another's working and value

    @property
    def checked(self) -> list[Outcome]:
        """Rows whose value was worked out."""
        return [outcome for outcome in self.outcomes if outcome.checked]

    @property
    def failures(self) -> list[Outcome]:
        """Rows that must stop the build."""
        return [outcome for outcome in self.outcomes if outcome.failed]

    @property
    def misses(self) -> list[str]:
        """The rows that must stop the build, in words."""
        return [_line(outcome).strip() for outcome in self.failures]

    @property
    def summary(self) -> str:
        """The whole in one sentence."""
        errata = sum(outcome.verdict == "erratum" for outcome in self.outcomes)
        return (
            f"{len(self.outcomes)} published values from {len(self.by_source())} works: "
            f"{len(self.checked)} worked out again ({self.repeated} of them say what another one "
            f"says), {len(self.failures)} misses, {errata} misprints that do not come out; "
            f"{len(self.unused)} kept without a check."
        )

    @property
    def unused(self) -> list[Outcome]:
        """Rows kept but not checked, each with a reason."""
        return [outcome for outcome in self.outcomes if not outcome.checked]

    def by_source(self) -> dict[str, list[Outcome]]:
        """Outcomes under their source, in the order of the list of sources."""
        groups: dict[str, list[Outcome]] = {key: [] for key in self.sources}
        for outcome in self.outcomes:
            groups.setdefault(outcome["source"], []).append(outcome)
        return {key: group for key, group in groups.items() if group}

    def tally(self, what: Literal["grade", "basis"]) -> dict[str, tuple[int, int]]:
        """Rows checked and rows kept, for every grade or basis."""
        checked = Counter(outcome[what] for outcome in self.checked)
        kept = Counter(outcome[what] for outcome in self.outcomes)
        return {name: (checked[name], kept[name]) for name in sorted(kept)}


def published_rows() -> list[Table]:
    """Read every row, worked out or only kept, figures as they are printed."""
    folder = files("calculators.data").joinpath("published")
    worked = sorted(folder.iterdir(), key=lambda path: path.name)
    rows: list[Table] = []
    for path in (*worked, KEPT):
        if path.name.endswith(".toml"):
            text = path.read_text(encoding="utf-8")
            rows += tomllib.loads(text, parse_float=Decimal)["row"]
    return rows


def check(rows: Iterable[Table] | None = None, works: Mapping[str, Table] | None = None) -> Report:
    """Judge every row: our value against the published one."""
    rows = published_rows() if rows is None else list(rows)
    works = sources() if works is None else works
    ids = Counter(row.get("id") for row in rows)
    outcomes = tuple(_judge(row, works, ids[row.get("id")]) for row in rows)
    workings = [
        repr([row.get(name) for name in (*WAYS, "given", "inputs", "result", "value")])
        for row in rows
        if "unused" not in row
    ]
    return Report(outcomes, works, repeated=len(workings) - len(set(workings)))


def _judge(row: Table, works: Mapping[str, Table], times: int) -> Outcome:
    fault = _fault(row, works, times)
    if fault or "unused" in row:
        return Outcome(row, "FAULT" if fault else "unused", reason=fault or row["unused"])
    try:
        ours = work_out(_plain(row))
    except Exception as error:  # whatever goes wrong is a miss, told with its row
        return Outcome(row, "MISS", reason=f"{type(error).__name__}: {error}")
    tolerance = _tolerance(row)
    difference = _difference(ours, _plain(row["value"]))
    from_misprint = _difference(ours, _plain(row["misprint"])) if "misprint" in row else None
    allowed = _allowed(row, tolerance)
    verdict: Verdict = "erratum" if "misprint" in row else "agrees"
    reason = ""
    if difference is None or difference > allowed:
        verdict, reason = "MISS", "ours is another value"
    elif from_misprint is not None and from_misprint <= allowed:
        verdict, reason = "MISS", "the misprint is reproduced"
    return Outcome(row, verdict, ours, difference, tolerance, reason)


def _fault(row: Table, works: Mapping[str, Table], times: int) -> str:
    missing = [name for name in NEEDED if not row.get(name)]
    ways = [name for name in (*WAYS, "unused") if name in row]
    unknown = [
        f"no {way} «{row[way]}»"
        for way, known in KNOWN.items()
        if row.get(way, "") not in {"", *known}
    ]
    faults = {
        f"without {', '.join(missing)}": bool(missing),
        "two rows have this id": times > 1,
        f"no source «{row.get('source')}» in sources.toml": row.get("source") not in works,
        "a row has one working or a reason for not being used": len(ways) != 1,
        ", ".join(unknown): bool(unknown),
        "nothing to check against": "unused" not in row and "value" not in row,
    }
    return "; ".join(words for words, is_so in faults.items() if is_so)


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return float(value)
    if isinstance(value, Mapping):
        return {name: _plain(part) for name, part in value.items()}
    if isinstance(value, list):
        return [_plain(part) for part in value]
    return value


def _tolerance(row: Table) -> float:
    """Return half a unit of the last printed digit, unless the row says otherwise."""
    if "tolerance" in row:
        return float(row["tolerance"])
    return max(_half_unit(figure) for figure in _figures(row["value"]))


def _half_unit(figure: Any) -> float:
    if isinstance(figure, bool | str):
        return 0.0
    exponent = Decimal(figure).as_tuple().exponent
    assert isinstance(exponent, int)
    return float(Decimal(5).scaleb(exponent - 1))


def _allowed(row: Table, tolerance: float) -> float:
    sizes = [abs(float(figure)) for figure in _figures(row["value"]) if not isinstance(figure, str)]
    return tolerance + FLOATING_DUST * max(sizes, default=0.0)


def _figures(value: Any) -> list[Any]:
    return value if isinstance(value, list) and value else [0 if value == [] else value]


def _difference(ours: Any, published: Any) -> float | None:
    """Return the greatest difference; None where the two cannot be compared."""
    if isinstance(ours, list) or isinstance(published, list):
        if type(ours) is not type(published) or len(ours) != len(published):
            return None
        differences = [_difference(*pair) for pair in zip(ours, published, strict=True)]
        known = [difference for difference in differences if difference is not None]
        return max(known, default=0.0) if len(known) == len(differences) else None
    if isinstance(ours, str | bool) or isinstance(published, str | bool):
        return 0.0 if ours == published and type(ours) is type(published) else None
    return float(abs(ours - published))


# The report in words


def figure(value: Any) -> str:
    """Write a value shortly."""
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(figure(part) for part in value) or "none"
    if isinstance(value, float):
        return f"{value:.10g}"
    return str(value)


def _line(outcome: Outcome) -> str:
    difference = "–" if outcome.difference is None else f"{outcome.difference:.2g}"
    misprint = f"  (misprinted {figure(outcome.misprint)})" if outcome["misprint"] else ""
    return (
        f"  {outcome.verdict:8}{outcome['id']:28} published {figure(outcome.published):>16}"
        f"  ours {figure(outcome.ours):>18}  difference {difference:>8}"
        f"  {outcome['unit']}{misprint}  {outcome.reason}"
    ).rstrip()


def _lines(report: Report, misses_only: bool) -> Iterable[str]:
    for key, outcomes in report.by_source().items():
        lines = [
            _line(outcome)
            for outcome in outcomes
            if outcome.failed or (outcome.checked and not misses_only)
        ]
        if lines:
            work = citation(key) if key in report.sources else "not in the list of sources"
            yield f"\n{key} – {work}"
            yield from lines


def _summary(report: Report) -> Iterable[str]:
    yield f"\n{report.summary}"
    for what in ("grade", "basis"):
        yield f"  by {what}: " + "; ".join(
            f"{name} {checked} of {kept}" for name, (checked, kept) in report.tally(what).items()
        )


def as_json(report: Report) -> Table:
    """Turn the report into plain data."""
    return {
        "checked": len(report.checked),
        "repeated": report.repeated,
        "unused": len(report.unused),
        "misses": len(report.failures),
        "by_grade": report.tally("grade"),
        "by_basis": report.tally("basis"),
        "rows": [
            _plain(outcome.row)
            | {name: getattr(outcome, name) for name in ("verdict", "ours", "difference", "reason")}
            for outcome in report.outcomes
        ],
    }


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the report; 1 when a row misses."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--misses", action="store_true", help="print only what does not agree")
    parser.add_argument("--unused", action="store_true", help="also list the rows not used")
    parser.add_argument("--json", type=Path, metavar="FILE", help="also write the report as JSON")
    options = parser.parse_args(arguments)
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(encoding="utf-8")
    report = check()
    print("\n".join(_lines(report, options.misses)))
    if options.unused:
        print("\nKept but not used:")
        print("\n".join(f"  {outcome['id']:28} {outcome.reason}" for outcome in report.unused))
    print("\n".join(_summary(report)))
    if options.json:
        text = json.dumps(as_json(report), ensure_ascii=False, indent=1)
        options.json.write_text(text + "\n", encoding="utf-8")
    return 1 if report.failures else 0


if __name__ == "__main__":
    sys.exit(main())
