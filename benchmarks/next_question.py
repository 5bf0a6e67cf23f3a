"""The next question, the belief and a whole identification, beside one mating, in one run.

Run: python -m benchmarks.next_question
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from coaxtell.identifier.answers import Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import identify
from coaxtell.identifier.question import next_feature
from coaxtell.models import tables
from coaxtell.models.mating import mate


def median_ms(work: Callable[[], object], repeats: int = 30) -> float:
    """Median time of one run [ms]."""
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(1000 * (time.perf_counter() - start))
    return statistics.median(taken)


def main() -> None:
    """Print one row per step with its ratio to one mating."""
    halves = list(tables.load().halves.values())
    nothing = State()
    one = nothing.tell(Feature.COUPLING, Saw("thread-outside"))
    few = one.tell(Feature.SIZE, Saw("pencil")).tell(Feature.INSULATOR, Saw("flush"))
    warm = Shortlist(halves)
    next_feature(warm, nothing)
    rows = [
        ("one mating, no sweep", lambda: mate(halves[0], halves[1], sweep=False)),
        ("belief after three answers", lambda: warm.belief(few.answers)),
        ("first question, tables built", lambda: next_feature(Shortlist(halves), nothing)),
        ("first question", lambda: next_feature(warm, nothing)),
        ("second question", lambda: next_feature(warm, one)),
        ("a question two looks ahead", lambda: next_feature(warm, few)),
        ("whole identification", lambda: identify(warm, few)),
    ]
    times = [(name, median_ms(work)) for name, work in rows]
    print(f"{len(halves)} halves, {len(Feature)} features")
    print(f"{'step':<32}{'ms':>9}{'matings':>10}")
    for name, ms in times:
        print(f"{name:<32}{ms:>9.3f}{ms / times[0][1]:>10.1f}")


if __name__ == "__main__":
    main()
