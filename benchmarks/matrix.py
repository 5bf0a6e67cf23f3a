"""The matrix of all pairs with its sweep, beside the same without, and beside loading the tables.

Run: python -m benchmarks.matrix
"""

from __future__ import annotations

import time
from itertools import combinations_with_replacement

from coaxtell.models import tables
from coaxtell.models.mating import mate


def main() -> None:
    """Print one row per step with its ratio to loading."""
    start = time.perf_counter()
    halves = list(tables.load().halves.values())
    loaded = time.perf_counter() - start
    pairs = list(combinations_with_replacement(halves, 2))
    start = time.perf_counter()
    for a, b in pairs:
        mate(a, b, sweep=False)
    bare = time.perf_counter() - start
    start = time.perf_counter()
    for a, b in pairs:
        mate(a, b)
    swept = time.perf_counter() - start
    print(f"{len(halves)} halves, {len(pairs)} pairs")
    print(f"{'step':<28}{'seconds':>9}{'of loading':>12}")
    for name, seconds in (("load the tables", loaded), ("all pairs", bare), ("all pairs with the sweep", swept)):
        print(f"{name:<28}{seconds:>9.3f}{seconds / loaded:>12.2f}")


if __name__ == "__main__":
    main()
