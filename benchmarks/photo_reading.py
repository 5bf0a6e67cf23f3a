"""A reading of faces held to drawn pictures, per look and value, as issue and docs ask for it.

For each look and value: right of what was read, with its 95 % interval; for each look the calibration error, and how
much of the faces of 60 px and more is read where only as much is taken as sure as is right in 95 of 100. Pin or socket
is given within each coupling too, so that no family stands for the answer. Rear ends and pictures without a port: how
many were read as a mating face. Time of the processor a face. As JSON with check sums of labels and weights.
Run: python -m benchmarks.photo_reading FOLDER FILE.onnx [--keep] (the folder: python -m benchmarks.photo_faces)
"""

from __future__ import annotations

import argparse
import hashlib
import json
import re
import time
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from benchmarks.study import RESULTS, Tally, dated
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


def counted(rows: list[Read]) -> dict[str, float]:
    """How many there are, how many were read, and of these the share that is right with its 95 % interval."""
    read = [row for row in rows if row.read]
    share = Tally(sum(row.right for row in read), len(read))
    low, high = share.interval() if read else (0.0, 1.0)
    mean = share.mean if read else 0.0
    return {"n": len(rows), "read": len(read), "right": round(mean, 4), "low": round(low, 4), "high": round(high, 4)}


def confusion(look: str, places: list[scoring.Labelled], readings: list[Reading]) -> dict[str, dict[str, int]]:
    """How often each true value of a look was read as which, on mating faces; `not read` where it cannot be."""
    found = {value: dict.fromkeys((*CLASSES[look], "not read"), 0) for value in CLASSES[look]}
    for place, reading in zip(places, readings, strict=True):
        if place.kind == "face" and look in place.looks:
            answer = reading.looks[look]
            found[place.looks[look]][answer.value if answer.readable else "not read"] += 1
    return found


def mark(path: Path) -> str:
    """Check sum of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16]


def figures(places: list[scoring.Labelled], readings: list[Reading]) -> dict[str, Any]:
    """The table: for each look its lines by value and, for the centre, by coupling, calibration and coverage."""
    found: dict[str, Any] = {}
    for look in CLASSES:
        rows = []
        for place, reading in zip(places, readings, strict=True):
            if place.kind == "face" and look in place.looks:
                answer, px = reading.looks[look], re.search(r"(\d+)px", place.file)
                large = px is not None and int(px[1]) >= LARGE
                right = answer.value == place.looks[look]
                coupling = place.looks.get("coupling", "?")
                rows.append(Read(place.looks[look], coupling, answer.readable, right, answer.chance, large))
        lines = {"all": rows} | {value: [row for row in rows if row.value == value] for value in CLASSES[look]}
        if look == "centre":
            lines |= {value: [row for row in rows if row.coupling == value] for value in CLASSES["coupling"]}
        wide = [row for row in rows if row.large]
        found[look] = {
            "lines": {label: counted(of) for label, of in lines.items()},
            "read_as": confusion(look, places, readings),
            "calibration_error": round(calibration_error([row for row in rows if row.read]), 4),
            "faces_of_60_px_or_more": len(wide),
            "coverage_at_95_right": round(coverage(wide), 4),
        }
    return found


def main() -> None:
    """Read a folder and print the table; keep it where that is asked."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.photo_reading", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("weights", type=Path)
    parser.add_argument("--keep", action="store_true", help="put the table among the kept results")
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
    row = {
        "study": "photo_reading", "pictures": len(places), "labels": mark(path), "weights": mark(args.weights),
        "looks": figures(places, readings),
        "called_faces": {kind: {"n": n, "called": called} for kind, (n, called) in
                         scoring.called_faces(places, readings).items()},
        "processor_ms_a_face": round(1000 * took / len(places), 1),
    }  # fmt: skip
    print(json.dumps(row, indent=1))
    if args.keep:
        (RESULTS / "photo_reading.json").write_text(json.dumps(dated(row), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
