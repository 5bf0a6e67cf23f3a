"""A thousand writers killed at random moments: answers acknowledged, answers lost, state of the file.

Run: python -m benchmarks.quiz_kill [ROUNDS]
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path
from random import Random

from coaxtell.quiz.store import Store
from tests.quiz.kill import killed_round


def main() -> None:
    """Print the sums of all rounds."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    rng = Random(11)
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
    print(f"{rounds} rounds in {seconds:.0f} s, {silent} of them killed before the first event was told")
    print(f"events told safe {told}, lost {lost}; events held {count}, faults found {len(problems)}")


if __name__ == "__main__":
    main()
