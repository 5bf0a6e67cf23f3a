"""A hundred deliveries of one plan judged, with a page of all: seconds, and the goal of 10 s.

The sweeps are made and written beforehand and not counted. Run: python -m benchmarks.arrival_100
"""

from __future__ import annotations

import contextlib
import io
import tempfile
import time
from pathlib import Path
from random import Random

from benchmarks import sweeps
from coaxtell.cli.main import main as coaxtell

GOAL_S = 10.0
DELIVERIES = 100


def main() -> None:
    """Write the sweeps, judge them all, and print how long that took."""
    rng = Random(100)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        truth = sweeps.Truth("240", 12.0, "240", 12.05, "", 0.0, "two-port", True, 24.0)
        for i in range(DELIVERIES):
            one = truth._replace(delivered_m=10.8) if i % 10 == 9 else truth
            sweeps.sweep(one, rng).write_touchstone(f"cable {i:03}", dir=name)
        for kind in (".html", ".pdf"):
            page, said = folder / f"page{kind}", io.StringIO()
            wall, cpu = time.perf_counter(), time.process_time()
            with contextlib.redirect_stdout(said):
                coaxtell(["arrival", "240:12m", "--batch", name, "-o", str(page)])
            seconds, own = time.perf_counter() - wall, time.process_time() - cpu
            kept = "kept" if seconds <= GOAL_S else "missed"
            print(f"{DELIVERIES} deliveries with a {kind} of {page.stat().st_size / 1e6:.1f} MB: {seconds:.1f} s, "
                  f"{own:.1f} s of processor; goal {GOAL_S:g} s {kept}")  # fmt: skip


if __name__ == "__main__":
    main()
