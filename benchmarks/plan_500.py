"""A site of 500 antennas planned and written: seconds for each step, and the whole against its goal of 2 s.

Run: python -m benchmarks.plan_500
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path
from statistics import median

from coaxtell.cables import site
from coaxtell.cables.plan import plan
from coaxtell.cables.rows import NamedPort
from coaxtell.cli.cable import load, matings
from coaxtell.cli.plan import write

GOAL_S = 2.0
ROUNDS = 5


def site_text(antennas: int = 500) -> str:
    """A site with a reader for each four antennas, three kinds of port and seventeen lengths."""
    lines = ['[site]\nname = "Hall"\nregion = "us"\nwant = "22dBm"\nsize = "25cm"\n']
    ports = ("n-50-jack", "rp-tnc-jack", "sma-jack")
    for i in range((antennas + 3) // 4):
        lines.append(f'[[reader]]\nid = "R{i}"\nport = "rp-tnc-jack"\npower = "30dBm"\n')
    for i in range(antennas):
        lines.append(
            f'[[antenna]]\nid = "A{i}"\nreader = "R{i // 4}"\nport = "{ports[i % 3]}"\n'
            f'length = "{3 + i % 17}m"\ngain = "8.5dBic"\n'
        )
    return "".join(lines)


def main() -> None:
    """Print the table."""
    text = site_text()
    steps: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(ROUNDS):
            clock = time.perf_counter()

            def lap(name: str) -> None:
                nonlocal clock
                now = time.perf_counter()
                steps.setdefault(name, []).append(now - clock)
                clock = now

            found, halves = load(None)
            lap("tables")
            read = site.parse(text, "hall.toml", found, lambda name: NamedPort(halves.half(name)))  # noqa: B023
            lap("site file")
            made = plan(read, matings(halves), found)
            assert len(made.runs) == 500
            lap("plan")
            for kind in ("html", "xlsx", "pdf"):
                write(made, found, Path(folder) / f"hall.{kind}")
                lap(f"write {kind}")
    planned = sum(median(steps[name]) for name in ("tables", "site file", "plan"))
    for name, seconds in steps.items():
        print(f"{name:<12} {median(seconds):7.3f} s")
    print(f"{'planned':<12} {planned:7.3f} s, goal {GOAL_S:g} s: {'met' if planned < GOAL_S else 'missed'}")
    whole = planned + median(steps["write pdf"])
    print(f"{'with PDF':<12} {whole:7.3f} s, goal {GOAL_S:g} s: {'met' if whole < GOAL_S else 'missed'}")


if __name__ == "__main__":
    main()
