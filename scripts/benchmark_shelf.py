"""How long the shelf's search takes as the shelf grows: python scripts/benchmark_shelf.py.

Every cone is another yarn and colour, the hardest case: nothing can be counted together.
"""

import random
import sys
import time
from collections.abc import Iterator
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parent.parent)

from calculators.shelf.cones import Cone, Loom  # noqa: E402 - found only after the line above
from calculators.shelf.search import Search, Wishes  # noqa: E402
from calculators.yarn.catalogue import catalogue  # noqa: E402

LOOM = Loom("Oak", 120, 12, 400, None, (10.16, 12.7, 15.24, 20.32, 30.48), 140, 2_000)


def shelf(cones: int, seed: int) -> Iterator[Cone]:
    """Cones of catalogue yarns in random colours and weights, some without a colour."""
    chance = random.Random(seed)
    rows = catalogue()
    for number in range(cones):
        row = chance.choice(rows)
        colour = f"#{chance.randrange(1 << 24):06x}" if chance.random() < 0.9 else ""
        fibre = row.fibre.split(",")[0].split()[0]
        grams = chance.choice((80, 150, 250, 400, 700, 1200)) * chance.uniform(0.7, 1.3)
        yield Cone(f"Cone {number}", row.yarn, fibre, colour, grams, 0, 1, "")


def main() -> None:
    """Print for each size of shelf: all pairs, the time to a first result, the time to the end."""
    sizes = [int(word) for word in sys.argv[1:]] or [3, 10, 25, 50, 100]
    print("cones  pairs         first s  done s  cpu s  steps  found  best")
    for size in sizes:
        search = Search(shelf(size, seed=size), LOOM, Wishes())
        started, cpu, first, steps = time.perf_counter(), time.process_time(), 0.0, 0
        for _ in search.steps():
            steps += 1
            if search.best and not first:
                first = time.perf_counter() - started
        done = time.perf_counter() - started
        cpu = time.process_time() - cpu
        ranked = search.ranked
        best = f"{ranked[0].score:.1f}" if ranked else "-"
        print(
            f"{size:5d}  {search.pairs:12,d}  {first:7.3f}  {done:6.2f}  {cpu:5.2f}  {steps:5d}"
            f"  {len(ranked):5d}  {best}",
            flush=True,
        )


if __name__ == "__main__":
    main()
