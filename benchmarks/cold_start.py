"""Cold commands beside `python -c 'import numpy'`: work of the processor, medians of 7 in one run.

Practice has been taken once before, so that what may be asked is kept. Run: python -m benchmarks.cold_start
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
from resource import RUSAGE_CHILDREN, getrusage

from benchmarks.study import RESULTS, dated

ROUNDS = 7
MOST = 4.0
"""What a command may take, in starts of numpy."""
COAXTELL = [sys.executable, "-m", "coaxtell"]
BARE = [sys.executable, "-c", "import numpy"]
ANSWERS = ["--saw", "coupling=thread-outside", "--saw", "centre=pin", "--json"]
COMMANDS = {
    "python -c 'import numpy'": BARE,
    "coaxtell --help": [*COAXTELL, "--help"],
    "coaxtell practise, to its first item": [*COAXTELL, "practise", "--person", "Kim", "--pictures", "none"],
    "coaxtell progress": [*COAXTELL, "progress", "--person", "Kim"],
    "coaxtell sources": [*COAXTELL, "sources"],
    "coaxtell identify --json, two answers": [*COAXTELL, "identify", *ANSWERS],
    "coaxtell list --json": [*COAXTELL, "list", "--json"],
}


def seconds(command: list[str], env: dict[str, str], typed: str = "") -> float:
    """Work of one run [s of the processor], which other work on the machine does not touch."""
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(command, check=True, input=typed, text=True, stdout=subprocess.DEVNULL, env=env)
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def ratios() -> dict[str, float]:
    """Work of each command in starts of numpy; the rounds take turns, so that load hits all alike."""
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    with tempfile.TemporaryDirectory() as home:
        # byte code is kept between runs as everywhere; without it our modules would be compiled each time, numpy's not
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        env = {**kept, "COAXTELL_HOME": home}
        seconds(COMMANDS["coaxtell practise, to its first item"], env, "a 50\nq\n")
        for command in COMMANDS.values():
            seconds(command, env)  # leaves the byte code
        for _ in range(ROUNDS):
            for name, command in COMMANDS.items():
                taken[name].append(seconds(command, env))
    bare = statistics.median(next(iter(taken.values())))
    return {name: round(statistics.median(times) / bare, 2) for name, times in taken.items()}


def main() -> None:
    """Print the ratios and keep them."""
    found = ratios()
    print(f"{'command':<40}{'of numpy':>10}")
    for name, ratio in found.items():
        print(f"{name:<40}{ratio:>10.2f}{'' if ratio <= MOST else f'  more than {MOST:g}'}")
    (RESULTS / "cold_start.json").write_text(json.dumps(dated(found), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
