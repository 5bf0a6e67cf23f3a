"""The next question, the belief and a whole identification, beside one mating, in one run.

Run: python -m benchmarks.next_question
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from benchmarks.__main__ import fresh
from coaxtell.identifier.answers import Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import identify
from coaxtell.identifier.question import next_look
from coaxtell.models import tables
from coaxtell.models.half import Half


def median_ms(work: Callable[[], object], repeats: int = 30) -> float:
    """Median time of one run [ms]."""
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(1000 * (time.perf_counter() - start))
    return statistics.median(taken)


EVERYDAY = {"SMA", "RP-SMA", "TNC", "RP-TNC", "N", "RP-N", "BNC", "RP-BNC", "UHF", "F", "7/16", "3.5 mm", "2.92 mm"}


def steps(halves: list[Half]) -> dict[str, float]:
    """Median time of each step [ms]."""
    nothing = State()
    one = nothing.tell(Feature.COUPLING, Saw("thread-outside"))
    few = one.tell(Feature.SIZE, Saw("pencil")).tell(Feature.PLASTIC, Saw("sunk"))
    warm = Shortlist(halves)
    next_look(warm, nothing)
    return {
        "two beliefs, after three answers and one": median_ms(
            lambda: (warm.belief(few.answers), warm.belief(one.answers))
        ),
        "first question, tables built": median_ms(lambda: next_look(Shortlist(halves), nothing), 7),
        "first question": median_ms(lambda: next_look(warm, nothing)),
        "second question": median_ms(lambda: next_look(warm, one)),
        "a question two looks ahead": median_ms(lambda: next_look(warm, few)),
        "whole identification": median_ms(lambda: identify(warm, few)),
    }


def main() -> None:
    """Print one row per step for the thirteen everyday families and for all, with ratios to one mating."""
    halves = list(tables.load().halves.values())
    everyday = [half for half in halves if half.family in EVERYDAY]
    mating = median_ms(lambda: fresh(halves[0], halves[1]))
    few, all_ = steps(everyday), steps(halves)
    print(f"{len(Feature)} features; one mating: {mating:.3f} ms")
    print(f"{'step':<42}{f'{len(everyday)} halves, ms':>16}{f'{len(halves)} halves, ms':>16}{'ratio':>8}{'matings':>9}")
    for name, ms in all_.items():
        print(f"{name:<42}{few[name]:>16.3f}{ms:>16.3f}{ms / few[name]:>8.1f}{ms / mating:>9.1f}")


if __name__ == "__main__":
    main()
