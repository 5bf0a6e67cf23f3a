"""Ten thousand rows of a site walk by `coaxtell identify --batch`: seconds of wall and processor.

The rows are invented: true halves as a setting meets them, looks as they are, one in twenty mistaken for another
value, sizes read by calliper to a hundredth. Every row has its own readings, so that few are alike. The rows that
clash are drawn with no half in mind, each look by itself, so that hardly any connector gives such answers together:
the most work that a row can be. Both kinds are to take 10 s for 10,000.
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

from benchmarks.study import RESULTS, dated
from coaxtell.identifier.answers import values
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.identifier.looks import load
from coaxtell.models import tables
from tests.identifier.kit import truths

ROWS, SEED = 10_000, 18
LOOKS = (
    Feature.COUPLING, Feature.CENTRE, Feature.SIZE, Feature.PLASTIC, Feature.COUPLING_DIAMETER, Feature.PIN_DIAMETER,
)  # fmt: skip
SLIP = 0.05
READING_MM = 0.03
"""Spread of a reading [mm] (invented)."""
ANY_MM = (5.5, 17.0)
"""Between these lies a diameter that was read on no port in particular [mm] (invented)."""


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


def write_clashing(path: Path, rows: int) -> None:
    """Write so many rows whose answers no half was asked for: they clash, or nearly."""
    looks = load()
    rng = Random(SEED)
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        table.writerow(["place", Feature.COUPLING, Feature.CENTRE, Feature.COUPLING_DIAMETER, Feature.PLASTIC])
        for number in range(rows):
            coupling, plastic = (rng.choice(values(look, looks)) for look in (Feature.COUPLING, Feature.PLASTIC))
            centre = rng.choice(("pin", "socket", "not-sure"))
            table.writerow([f"mast {number}", coupling, centre, f"{rng.uniform(*ANY_MM):.2f}", plastic])


def _timed(walk: Path, output: Path, *more: str) -> tuple[float, float, str]:
    """Seconds of wall and of processor for one file of rows, and what the command said of it."""
    words = ["identify", "--batch", str(walk), "-o", str(output), *more]
    start, before = time.perf_counter(), getrusage(RUSAGE_CHILDREN)
    done = subprocess.run([sys.executable, "-m", "coaxtell", *words], capture_output=True, text=True, check=False)
    after = getrusage(RUSAGE_CHILDREN)
    work = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return round(time.perf_counter() - start, 2), round(work, 2), done.stdout.strip().partition(": ")[2]


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
            wall, work, said = _timed(walk, Path(folder) / f"out.{kind}", "--setting", "uhf-reader")
            figures |= {f"{kind}_wall_s": wall, f"{kind}_work_s": work, "said": said}
        write_clashing(walk, args.rows)
        wall, work, said = _timed(walk, Path(folder) / "out.csv")
        figures |= {"clashing_wall_s": wall, "clashing_work_s": work, "said_of_clashing": said}
    print(json.dumps(figures, indent=1))
    if args.rows == ROWS:
        (RESULTS / "identify_batch.json").write_text(json.dumps(dated(figures), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
