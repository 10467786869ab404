"""Proves that a rebuilding changes no answer: random jobs, kept with their answers, asked again.

python -m scripts.same_answers keep answers.json          5,000 jobs over all calculators
python -m scripts.same_answers compare answers.json       asks them again and lists what differs

A job is what somebody might type: some fields left out, the others filled at random, now and then
with something that is refused. Values must agree to 1e-12, texts and refusals to the letter.
"""

import argparse
import json
import random
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from math import isclose
from pathlib import Path
from typing import Any

from calculators.contract import run
from calculators.engine.calculator import Calculator, Field
from calculators.registry import registry
from calculators.weave.library import WEAVES
from calculators.yarn.systems import SYSTEMS

JOBS, SEED = 5_000, 1_909
YARNS = (
    *("16/2", "8/2", "30/2", "20/1", "60/2", "2/16", "Nm 28/2", "R 74 tex", "37 tex x 2", "70 den"),
    *("40/2 lea", "16/1 linen", "6720 yd/lb", "13500 m/kg", "60/2 spun silk", "30/2 cotton"),
)
PLACE = re.compile(r":| lacks | has besides ")
IN_ANY_ORDER = (".notes", ".cautions", ".sources", ".errors", ".steps")
REFUSED = ("", "nothing at all", "-3", "0", "1e99", "12 bananas")


def typed(field: Field, chance: random.Random) -> str:
    """Return something that may be typed into a field, most often something it takes."""
    if chance.random() < 0.005:
        return chance.choice(REFUSED)
    number = re.match(r"(\d+(?:\.\d+)?)(.*)", field.default)
    if field.kind in ("length", "mass", "density") and number and chance.random() < 0.8:
        return f"{float(number[1]) * chance.uniform(0.5, 2):.4g}{number[2]}"
    write = WRITERS.get(field.kind)
    return field.default if write is None else write(field, chance)


def _scaled(field: Field, chance: random.Random, typical: float) -> float:
    low = typical / 3 if field.minimum is None else max(field.minimum, typical / 3)
    high = typical * 3 if field.maximum is None else min(field.maximum, typical * 3)
    return low + (high - low) * chance.random() if low < high else typical


def _loss(_: Field, chance: random.Random) -> str:
    low, likely, high = sorted(round(chance.uniform(0.5, 15), 1) for _ in range(3))
    return f"{likely} %" if chance.random() < 0.6 else f"{low}–{likely}–{high} %"


def _count(field: Field, chance: random.Random) -> str:
    start = int(field.default) if field.default.isdigit() else 8
    return str(max(1, round(_scaled(field, chance, start))))


def _measured(units: tuple[tuple[str, float], ...]) -> Callable[[Field, random.Random], str]:
    def write(_: Field, chance: random.Random) -> str:
        unit, typical = chance.choice(units)
        return f"{typical * chance.uniform(0.3, 3):.4g} {unit}"

    return write


WRITERS: dict[str, Callable[[Field, random.Random], str]] = {
    "length": _measured((("cm", 50), ("in", 20), ("m", 2), ("yd", 2), ("cm", 3))),
    "mass": _measured((("g", 300), ("oz", 10), ("kg", 0.5))),
    "density": _measured((("/cm", 14), ("epi", 36), ("/in", 30))),
    "reed": lambda _, chance: chance.choice(("40/10", "60/10", "12 dpi", "15", "120/10")),
    "loss": _loss,
    "count": _count,
    "number": lambda field, chance: f"{_scaled(field, chance, float(field.default or 5)):.3g}",
    "yarn": lambda _, chance: chance.choice(YARNS),
    "system": lambda _, chance: chance.choice(sorted(SYSTEMS)),
    "weave": lambda _, chance: chance.choice(sorted(WEAVES)),
    "choice": lambda field, chance: chance.choice([choice[0] for choice in field.choices]),
}


def jobs(count: int = JOBS, seed: int = SEED) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield calculators with fields filled at random, every calculator as often as the others."""
    chance = random.Random(seed)
    calculators: list[Calculator] = list(registry().values())
    for number in range(count):
        calculator = calculators[number % len(calculators)]
        fields = (field for field in calculator.fields if chance.random() < 0.5)
        yield calculator.id, {field.name: typed(field, chance) for field in fields}


def differences(before: Any, after: Any, place: str = "") -> Iterator[str]:
    """Yield where two answers differ: numbers beyond 1e-12, anything else at all."""
    if isinstance(before, dict) and isinstance(after, dict):
        for name in sorted({*before, *after}):
            name_place = f"{place}.{name}"
            if name not in before or name not in after:
                yield f"{name_place} is only there {'after' if name in after else 'before'}"
            else:
                yield from differences(before[name], after[name], name_place)
    elif place in IN_ANY_ORDER and isinstance(before, list) and isinstance(after, list):
        yield from (f"{place} lacks {line!r}" for line in before if line not in after)
        yield from (f"{place} has besides {line!r}" for line in after if line not in before)
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for number, (old, new) in enumerate(zip(before, after, strict=True)):
            yield from differences(old, new, f"{place}[{number}]")
    elif isinstance(before, float) and isinstance(after, (int, float)):
        if not isclose(before, after, rel_tol=1e-12, abs_tol=1e-15):
            yield f"{place}: {before!r} has become {after!r}"
    elif before != after:
        yield f"{place}: {before!r} has become {after!r}"


def main(arguments: list[str] | None = None) -> int:
    """Keep the answers, or ask again and compare; the exit status is 0 when none differs."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else "")
    parser.add_argument("what", choices=("keep", "compare"))
    parser.add_argument("file", type=Path)
    parser.add_argument("--jobs", type=int, default=JOBS)
    parser.add_argument("--most", type=int, default=40, help="differences shown in full")
    options = parser.parse_args(arguments)
    if options.what == "keep":
        kept: list[Any] = [[name, inputs, run(name, inputs)] for name, inputs in jobs(options.jobs)]
        options.file.write_text(json.dumps(kept, ensure_ascii=False), encoding="utf-8")
        right = sum(answer["ok"] for _, _, answer in kept)
        print(f"{len(kept)} jobs kept, {right} answered and {len(kept) - right} refused.")
        return 0
    places: Counter[str] = Counter()
    shown: list[str] = []
    jobs_kept = json.loads(options.file.read_text(encoding="utf-8"))
    for name, inputs, before in jobs_kept:
        after = json.loads(json.dumps(run(name, inputs)))
        for difference in differences(before, after):
            places[f"{name} {PLACE.split(difference)[0]}"] += 1
            shown.append(f"{name} {inputs}{difference}")
    print("\n".join(shown[: options.most]))
    print(f"{len(jobs_kept)} jobs asked again, {len(shown)} differences in {len(places)} places.")
    for place, times in places.most_common():
        print(f"{times:6} × {place}")
    return int(bool(shown))


if __name__ == "__main__":
    sys.exit(main())
