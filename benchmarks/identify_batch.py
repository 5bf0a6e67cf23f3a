"""Ten thousand rows of a site walk by `coaxtell identify --batch`: seconds of wall and processor.

The rows are invented: true halves as a setting meets them, looks as they are, one in twenty mistaken for another
value, sizes read by calliper to a hundredth. Every row has its own readings, so that few are alike.
Run: python -m benchmarks.identify_batch [ROWS]
"""

from __future__ import annotations

import argparse
import csv
import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from random import Random
from resource import RUSAGE_CHILDREN, getrusage

from benchmarks.study import RESULTS
from coaxtell.identifier.answers import values
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models import tables
from tests.identifier.kit import truths

ROWS, SEED = 10_000, 18
LOOKS = (
    Feature.COUPLING, Feature.CENTRE, Feature.SIZE, Feature.PLASTIC, Feature.COUPLING_DIAMETER, Feature.PIN_DIAMETER,
)  # fmt: skip
SLIP = 0.05
READING_MM = 0.03
"""Spread of a reading [mm] (invented)."""


def write(path: Path, rows: int) -> None:
    """Write so many rows of a walk."""
    halves = list(tables.load().halves.values())
    shortlist = Shortlist(halves, "uhf-reader")
    rng = Random(SEED)
    told = {half.id: truths(half) for half in halves}
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        table.writerow(["place", *LOOKS])
        for number in range(rows):
            (half,) = rng.choices(halves, shortlist.prior.tolist())
            cells = []
            for look in LOOKS:
                true = told[half.id].get(look)
                if look in SEEN:
                    wrong = rng.random() < SLIP
                    cells.append(str(rng.choice(values(look, shortlist.looks)) if wrong else true or "not-sure"))
                else:
                    cells.append("none" if true is None else f"{rng.gauss(float(true), READING_MM):.2f}")
            table.writerow([f"mast {number // 8 + 1}", *cells])


def main() -> None:
    """Time the command and keep the figures."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.identify_batch", description=__doc__)
    parser.add_argument("rows", type=int, nargs="?", default=ROWS)
    args = parser.parse_args()
    figures: dict[str, object] = {"rows": args.rows}
    with tempfile.TemporaryDirectory() as folder:
        walk = Path(folder) / "walk.csv"
        write(walk, args.rows)
        for kind in ("csv", "xlsx", "html"):
            words = [
                "identify",
                "--batch",
                str(walk),
                "-o",
                str(Path(folder) / f"out.{kind}"),
                "--setting",
                "uhf-reader",
            ]
            start, before = time.perf_counter(), getrusage(RUSAGE_CHILDREN)
            done = subprocess.run(
                [sys.executable, "-m", "coaxtell", *words], capture_output=True, text=True, check=False
            )
            after = getrusage(RUSAGE_CHILDREN)
            figures[f"{kind}_wall_s"] = round(time.perf_counter() - start, 2)
            work = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
            figures[f"{kind}_work_s"] = round(work, 2)
            figures["said"] = done.stdout.strip().partition(": ")[2]
    print(json.dumps(figures, indent=1))
    if args.rows == ROWS:
        (RESULTS / "identify_batch.json").write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
