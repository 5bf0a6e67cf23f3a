"""The matrix of all pairs by the tables alone and with how sure each verdict is, beside loading; and one pair alone.

Both clocks are printed: the wall's, and the processor's own, which other work on the machine does not touch. The
figures to reach, from kept draws: 15 s for all pairs, 0.3 s for one. Run: python -m benchmarks.matrix
"""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import combinations_with_replacement

from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.models.mating.confidence import Book, Confidence
from coaxtell.models.mating.mate import mate


def clocks(work: Callable[[], object]) -> tuple[float, float]:
    """Seconds by the wall and by the processor."""
    wall, own = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - wall, time.process_time() - own


def sure(book: Book, a: Half, b: Half) -> Confidence:
    """How sure the verdict of two halves is."""
    return book.confidence(a, b, mate(a, b, doubt=False).geometry)


def main() -> None:
    """Print one row per step with its ratio to loading."""
    loaded = clocks(tables.load)
    known = tables.load()
    halves = list(known.halves.values())
    pairs = list(combinations_with_replacement(halves, 2))
    steps = {
        "load the tables": loaded,
        "all pairs": clocks(lambda: [mate(a, b) for a, b in pairs]),
        "one pair, how sure": clocks(lambda: sure(Book(known), known.half("rp-tnc-plug"), known.half("tnc-jack"))),
    }
    book = Book(known)
    steps["all pairs, how sure"] = clocks(lambda: [sure(book, a, b) for a, b in pairs])
    print(f"{len(halves)} halves, {len(pairs)} pairs")
    print(f"{'step':<28}{'seconds':>9}{'processor':>11}{'of loading':>12}")
    for name, (wall, own) in steps.items():
        print(f"{name:<28}{wall:>9.3f}{own:>11.3f}{own / loaded[1]:>12.2f}")


if __name__ == "__main__":
    main()
