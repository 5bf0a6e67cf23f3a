"""A reading of faces held to drawn pictures, per look and value, as issue and docs ask for it.

For each look and value: right of what was read, with its 95 % interval; for each look the calibration error, and how
much of the faces of 60 px and more is read where only as much is taken as sure as is right in 95 of 100. Pin or socket
is given within each coupling too, so that no family stands for the answer. Rear ends and pictures without a port: how
many were read as a mating face. Seconds a face on this machine.
Run: python -m benchmarks.photo_reading FOLDER FILE.onnx (the folder: python -m benchmarks.photo_faces)
"""

from __future__ import annotations

import argparse
import re
import time
from pathlib import Path
from typing import NamedTuple

import numpy as np

from benchmarks.study import Tally
from coaxtell.photo import file, scoring
from coaxtell.photo.reading import CLASSES, Reader, Reading, crop

LARGE = 60
"""Faces from so many pixels on [px]."""
PRECISION = 0.95
BINS = 10


class Read(NamedTuple):
    """One labelled look: what it is, whether it was read right, with what chance, and whether the face is large."""

    value: str
    coupling: str
    read: bool
    right: bool
    chance: float
    large: bool


def calibration_error(rows: list[Read]) -> float:
    """Mean gap between what is stated and what holds, over ten bins of what is stated, by their share."""
    gap = 0.0
    for k in range(BINS):
        part = [row for row in rows if k / BINS <= row.chance < (k + 1) / BINS + (k == BINS - 1)]
        if part:
            stated, held = np.mean([row.chance for row in part]), np.mean([row.right for row in part])
            gap += len(part) / len(rows) * abs(float(stated - held))
    return gap


def coverage(rows: list[Read]) -> float:
    """The largest share of these that can be taken as sure, the likeliest first, with PRECISION of them right."""
    order = sorted((row for row in rows if row.read), key=lambda row: -row.chance)
    right, most = 0, 0
    for k, row in enumerate(order, 1):
        right += row.right
        if right >= PRECISION * k:
            most = k
    return most / len(rows) if rows else 0.0


def told(title: str, rows: list[Read]) -> str:
    """A line of the table."""
    read = [row for row in rows if row.read]
    share = Tally(sum(row.right for row in read), len(read))
    low, high = share.interval() if read else (0.0, 1.0)
    mean = share.mean if read else 0.0
    return f"{title:<34}{len(rows):>5}{len(read):>6}   {mean:.3f} ({low:.2f} to {high:.2f})"


def main() -> None:
    """Read a folder and print the table."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.photo_reading", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("weights", type=Path)
    args = parser.parse_args()
    path = args.folder / scoring.LABELS
    places = scoring.labels(str(path), path.read_text(encoding="utf-8"))
    reader, readings = Reader(args.weights), list[Reading]()
    took = 0.0
    for place in places:
        picture = file.load(args.folder / place.file).picture
        began = time.process_time()
        readings += reader.read(crop(picture, np.array(place.centre), place.radius)[None])
        took += time.process_time() - began
    print(f"{'look':<34}{'n':>5}{'read':>6}   right of what was read")
    for look in CLASSES:
        rows = []
        for place, reading in zip(places, readings, strict=True):
            if place.kind == "face" and look in place.looks:
                found, px = reading.looks[look], re.search(r"(\d+)px", place.file)
                large = px is not None and int(px[1]) >= LARGE
                right = found.value == place.looks[look]
                coupling = place.looks.get("coupling", "?")
                rows.append(Read(place.looks[look], coupling, found.readable, right, found.chance, large))
        print(told(look, rows))
        for value in CLASSES[look]:
            print(told(f"  {value}", [row for row in rows if row.value == value]))
        if look == "centre":
            for coupling in CLASSES["coupling"]:
                print(told(f"  {coupling}", [row for row in rows if row.coupling == coupling]))
        read, wide = [row for row in rows if row.read], [row for row in rows if row.large]
        print(f"  calibration error {calibration_error(read):.3f}; of {len(wide)} faces of {LARGE} px or more ", end="")
        print(f"{coverage(wide):.2f} at {PRECISION} right")
    for kind, (n, called) in scoring.called_faces(places, readings).items():
        print(f"{kind}: {called} of {n} read as a mating face")
    print(f"{1000 * took / len(places):.0f} ms of processor a face")


if __name__ == "__main__":
    main()
