"""The matrix of all pairs with its sweep, beside the same without, and beside loading the tables.

Both clocks are printed: the wall's, and the processor's own, which other work on the machine does not touch. The
figure to reach for the whole trade is 5 s with the sweep. Run: python -m benchmarks.matrix
"""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import combinations_with_replacement

from coaxtell.models import tables
from coaxtell.models.mating.mate import mate


def clocks(work: Callable[[], object]) -> tuple[float, float]:
    """Seconds by the wall and by the processor."""
    wall, own = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - wall, time.process_time() - own


def main() -> None:
    """Print one row per step with its ratio to loading."""
    loaded = clocks(tables.load)
    halves = list(tables.load().halves.values())
    pairs = list(combinations_with_replacement(halves, 2))
    bare = clocks(lambda: [mate(a, b, doubt=False) for a, b in pairs])
    swept = clocks(lambda: [mate(a, b) for a, b in pairs])
    print(f"{len(halves)} halves, {len(pairs)} pairs")
    print(f"{'step':<28}{'seconds':>9}{'processor':>11}{'of loading':>12}")
    for name, (wall, own) in (("load the tables", loaded), ("all pairs", bare), ("all pairs with the sweep", swept)):
        print(f"{name:<28}{wall:>9.3f}{own:>11.3f}{own / loaded[1]:>12.2f}")


if __name__ == "__main__":
    main()
