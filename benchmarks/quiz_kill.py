"""A thousand writers killed at random moments: answers acknowledged, answers lost, state of the file.

A whole run is kept as JSON. Run: python -m benchmarks.quiz_kill [ROUNDS]
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from pathlib import Path
from random import Random

from benchmarks.study import RESULTS, dated
from coaxtell.quiz.store import Store
from tests.quiz.kill import killed_round

ROUNDS, SEED = 1000, 30


def main() -> None:
    """Print the sums of all rounds."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    rng = Random(SEED)
    with tempfile.TemporaryDirectory() as folder:
        where = str(Path(folder) / "records.db")
        start = time.perf_counter()
        told = lost = silent = 0
        for _ in range(rounds):
            safe, missing = killed_round(where, rng)
            told += safe
            lost += missing
            silent += safe == 0
        seconds = time.perf_counter() - start
        with Store(where) as store:
            count, problems = store.verify()
    figures = {
        "rounds": rounds, "seed": SEED, "seconds": round(seconds), "killed_before_the_first": silent, "told": told,
        "lost": lost, "held": count, "faults": len(problems),
    }  # fmt: skip
    print(f"{rounds} rounds in {seconds:.0f} s, {silent} of them killed before the first event was told")
    print(f"events told safe {told}, lost {lost}; events held {count}, faults found {len(problems)}")
    if rounds >= ROUNDS:
        (RESULTS / "quiz_kill.json").write_text(json.dumps(dated(figures), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
