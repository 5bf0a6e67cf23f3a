"""The first question over ten thousand halves: a hundred tables like ours, each half under a name of its own.

Building what every half shows is printed apart; it is done once. Run: python -m benchmarks.many_halves [HALVES]
"""

from __future__ import annotations

import json
import statistics
import sys
import time

import msgspec

from benchmarks.study import RESULTS, dated
from coaxtell.identifier.answers import State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.question import next_look
from coaxtell.models import tables
from coaxtell.models.half import Half

HALVES, ROUNDS = 10_000, 9


def many(number: int) -> list[Half]:
    """So many halves, ours over and over under other families."""
    ours = list(tables.load().halves.values())
    return [
        ours[k % len(ours)]
        if k < len(ours)
        else msgspec.structs.replace(ours[k % len(ours)], family=f"{ours[k % len(ours)].family} {k // len(ours)}")
        for k in range(number)
    ]


def main() -> None:
    """Print and keep the times by the processor's own clock, beside those of our tables alone."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else HALVES
    figures: dict[str, float] = {"halves": number}
    for name, halves in (("ours", many(103)), ("many", many(number))):
        start = time.process_time()
        shortlist = Shortlist(halves, "any")
        next_look(shortlist, State())
        figures[f"{name}_build_s"] = round(time.process_time() - start, 3)
        taken = []
        for _ in range(ROUNDS):
            start = time.process_time()
            next_look(shortlist, State())
            taken.append(time.process_time() - start)
        figures[f"{name}_first_question_ms"] = round(1000 * statistics.median(taken), 2)
    print(json.dumps(figures, indent=1))
    if number == HALVES:
        (RESULTS / "many_halves.json").write_text(json.dumps(dated(figures), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
