"""A site of 500 antennas planned and written: seconds for each step, and the whole against its goal of 2 s.

Once with three kinds of port, as sites are, and once with every half that coaxtell knows, where most runs need a chain
of adapters. Both clocks are told: on a busy machine the time on the wall says little of the program.

Run: python -m benchmarks.plan_500
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from statistics import median

from coaxtell.cables import site
from coaxtell.cables.plan import plan
from coaxtell.cables.rows import NamedPort
from coaxtell.cli.cable import load, matings
from coaxtell.cli.plan import write

GOAL_S = 2.0
ROUNDS = 5
USUAL = ("n-50-jack", "rp-tnc-jack", "sma-jack")

Clocks = tuple[float, float]
"""Time on the wall and time of the processor [s both]."""


def site_text(antennas: int = 500, ports: Sequence[str] = USUAL) -> str:
    """A site with a reader for each four antennas, these kinds of port in turn and seventeen lengths."""
    lines = ['[site]\nname = "Hall"\nregion = "us"\nwant = "22dBm"\nsize = "25cm"\n']
    for i in range((antennas + 3) // 4):
        lines.append(f'[[reader]]\nid = "R{i}"\nport = "rp-tnc-jack"\npower = "30dBm"\n')
    for i in range(antennas):
        lines.append(
            f'[[antenna]]\nid = "A{i}"\nreader = "R{i // 4}"\nport = "{ports[i % len(ports)]}"\n'
            f'length = "{3 + i % 17}m"\ngain = "8.5dBic"\n'
        )
    return "".join(lines)


def measured(antennas: int, ports: Sequence[str]) -> dict[str, Clocks]:
    """Medians over the rounds for each step of planning and writing such a site."""
    text = site_text(antennas, ports)
    steps: dict[str, list[Clocks]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(ROUNDS):
            wall, cpu = time.perf_counter(), time.process_time()

            def lap(name: str) -> None:
                nonlocal wall, cpu
                now = time.perf_counter(), time.process_time()
                steps.setdefault(name, []).append((now[0] - wall, now[1] - cpu))
                wall, cpu = now

            found, halves = load(None)
            lap("tables")
            read = site.parse(text, "hall.toml", found, lambda name: NamedPort(halves.half(name)))  # noqa: B023
            lap("site file")
            made = plan(read, matings(halves), found)
            assert len(made.runs) == antennas
            lap("plan")
            for kind in ("html", "xlsx", "pdf"):
                write(made, found, Path(folder) / f"hall.{kind}")
                lap(f"write {kind}")
    return {name: (median(w for w, _ in laps), median(c for _, c in laps)) for name, laps in steps.items()}


def total(steps: dict[str, Clocks], names: Sequence[str]) -> Clocks:
    """Both clocks over some of the steps."""
    return sum(steps[name][0] for name in names), sum(steps[name][1] for name in names)


def show(title: str, steps: dict[str, Clocks]) -> Clocks:
    """Print one table; returns the clocks of the plan with its PDF."""
    print(f"{title:<34} {'wall':>8} {'processor':>10}")
    for name, (wall, cpu) in steps.items():
        print(f"  {name:<32} {wall:7.3f} s {cpu:8.3f} s")
    planned = ("tables", "site file", "plan")
    whole = total(steps, (*planned, "write pdf"))
    for name, (wall, cpu) in (("planned", total(steps, planned)), ("planned, with PDF", whole)):
        verdict = "met" if wall < GOAL_S else "missed"
        print(f"  {name:<32} {wall:7.3f} s {cpu:8.3f} s   goal {GOAL_S:g} s on the wall: {verdict}")
    return whole


def main() -> None:
    """Print the tables and the ratios between them."""
    everything = sorted(load(None)[1].halves)
    small = show("50 antennas, 3 kinds of port", measured(50, USUAL))
    usual = show("500 antennas, 3 kinds of port", measured(500, USUAL))
    every = show(f"500 antennas, {len(everything)} kinds of port", measured(500, everything))
    print(f"ten times the antennas: {usual[1] / small[1]:.1f} times the processor's time")
    print(f"every kind of port: {every[1] / usual[1]:.1f} times the processor's time of three kinds")


if __name__ == "__main__":
    main()
