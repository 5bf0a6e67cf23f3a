"""A cold `identify --json` with two answers beside `python -c 'import numpy'`: medians of 7 in one run.

Run: python -m benchmarks.cold_start
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time

ROUNDS = 7
BARE = [sys.executable, "-c", "import numpy"]
ANSWERS = ["--saw", "coupling=thread-outside", "--saw", "centre=pin", "--json"]
COMMANDS = {
    "python -c 'import numpy'": BARE,
    "coaxtell identify --json, two answers": [sys.executable, "-m", "coaxtell", "identify", *ANSWERS],
    "coaxtell list --json": [sys.executable, "-m", "coaxtell", "list", "--json"],
}


def seconds(command: list[str]) -> float:
    """Wall time of one run [s]."""
    # byte code is kept between runs as everywhere; without it our modules would be compiled each time, numpy's not
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=kept)
    return time.perf_counter() - start


def main() -> None:
    """Print the medians and their ratio to the import of numpy; the rounds take turns, so load hits all alike."""
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for command in COMMANDS.values():
        seconds(command)  # leaves the byte code
    for _ in range(ROUNDS):
        for name, command in COMMANDS.items():
            taken[name].append(seconds(command))
    bare = statistics.median(next(iter(taken.values())))
    print(f"{'command':<40}{'seconds':>9}{'of numpy':>10}")
    for name, times in taken.items():
        middle = statistics.median(times)
        print(f"{name:<40}{middle:>9.3f}{middle / bare:>10.2f}")


if __name__ == "__main__":
    main()
