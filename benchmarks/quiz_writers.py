"""Many processes that write into one record on SQLite: the longest wait of any, how even their shares are, what is
lost.

Each writes answers one after the other for so many seconds, as fast as it can: harder than people do. Without its
turns (`--alone`) SQLite's own waiting is measured. Run: python -m benchmarks.quiz_writers [WRITERS] [SECONDS] [--alone]
"""

from __future__ import annotations

import argparse
import json
import tempfile
import time
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, NamedTuple

from benchmarks.study import RESULTS, dated
from coaxtell.quiz import turns
from coaxtell.quiz.store import Store
from tests.quiz.kill import PROCESSES, answer, started

WRITERS, SECONDS = 32, 20.0


class Waits(NamedTuple):
    """What the writers met: answers of each, all waits [s] in order, and what of the told is not in the record."""

    answers: list[int]
    waits: list[float]
    lost: int
    faults: int


def _write(where: str, name: str, begin: Any, seconds: float, alone: bool, told: Connection) -> None:
    if alone:
        turns._stand = lambda *_: None
    with Store(where) as held:
        held.add(started(name, name))
        begin.wait()
        end = time.perf_counter() + seconds
        waits: list[float] = []
        while (start := time.perf_counter()) < end:
            held.add(answer(name, len(waits) + 1, name))
            waits.append(time.perf_counter() - start)
    told.send(waits)


def played(writers: int, seconds: float, alone: bool = False) -> Waits:
    """So many writers at one record for so long."""
    with tempfile.TemporaryDirectory() as folder:
        where = str(Path(folder) / "records.db")
        Store(where).close()
        begin = PROCESSES.Barrier(writers)
        ends, processes = [], []
        for number in range(writers):
            ours, theirs = PROCESSES.Pipe(duplex=False)
            one = PROCESSES.Process(target=_write, args=(where, f"writer-{number}", begin, seconds, alone, theirs))
            one.start()
            theirs.close()
            ends.append(ours)
            processes.append(one)
        found: list[list[float]] = [pipe.recv() for pipe in ends]
        for one in processes:
            one.join()
        with Store(where) as held:
            count, faults = held.verify()
    answers = [len(waits) for waits in found]
    return Waits(
        answers, sorted(wait for waits in found for wait in waits), sum(answers) + writers - count, len(faults)
    )


def main() -> None:
    """Print the figures, and keep them where nothing is left out."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.quiz_writers", description=__doc__)
    parser.add_argument("writers", type=int, nargs="?", default=WRITERS)
    parser.add_argument("seconds", type=float, nargs="?", default=SECONDS)
    parser.add_argument("--alone", action="store_true", help="without turns: SQLite's own waiting")
    args = parser.parse_args()
    found = played(args.writers, args.seconds, args.alone)
    n = len(found.waits)
    figures = {
        "writers": args.writers, "seconds": args.seconds, "answers": n, "fewest": min(found.answers),
        "most": max(found.answers), "median_s": round(found.waits[n // 2], 4),
        "p99_s": round(found.waits[int(0.99 * n)], 4), "longest_s": round(found.waits[-1], 4),
        "lost": found.lost, "faults": found.faults,
    }  # fmt: skip
    print("without turns" if args.alone else "with turns", json.dumps(figures))
    if not args.alone and args.writers == WRITERS:
        (RESULTS / "quiz_writers.json").write_text(json.dumps(dated(figures), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
