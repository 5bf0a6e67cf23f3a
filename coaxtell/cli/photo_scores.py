"""What `coaxtell photo --evaluate` prints: a reading of faces held to photographs that a person has labelled."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coaxtell import files
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped

if TYPE_CHECKING:
    from coaxtell.photo.reading import Reading
    from coaxtell.photo.scoring import Labelled

TITLE = 24
"""Width of the column that says what a row is about [letters]."""
UNTRAINED = (
    "No weights are given and none come with the program: those trained so far missed what was asked of them "
    "(docs/photo.md). Everything counts as not read; --weights FILE scores weights of your own training."
)


def run(folder: Path, weights: Path | None, as_json: bool) -> int:
    """Read every labelled place of a folder and print the scores. Raises InputError where something does not serve."""
    from coaxtell.photo import scoring

    path = folder / scoring.LABELS
    places = scoring.labels(str(path), files.read_text(path))
    readings = _read(folder, places, weights)
    looks = {name: {k: v._asdict() for k, v in rows.items()} for name, rows in scoring.scored(places, readings).items()}
    shots = {name: score._asdict() for name, score in scoring.photographs(places, readings).items()}
    data = {
        "weights": None if weights is None else str(weights),
        "looks": looks,
        "photographs": shots,
        "places": [_place(place, reading) for place, reading in zip(places, readings, strict=True)],
        "called a face": scoring.called_faces(places, readings),
    }
    print(json.dumps(data, indent=1) if as_json else "\n".join(_lines(data)))
    return 0


def _place(place: Labelled, reading: Reading | None) -> dict[str, Any]:
    """A marked place, what a person saw there, what was read, and what of that is wrong."""
    from coaxtell.photo import scoring
    from coaxtell.photo.reading import CLASSES

    looks = {}
    for name in CLASSES:
        look = None if reading is None else reading.looks[name]
        looks[name] = {
            "label": place.looks.get(name),
            "read": None if look is None or not look.readable else look.value,
            "sure": look is not None and look.sure,
        }
    return {
        "file": place.file,
        "cx": place.centre[0],
        "cy": place.centre[1],
        "r": place.radius,
        "kind": place.kind,
        "called a face": None if reading is None else scoring.called_a_face(reading),
        "looks": looks,
        "wrong": scoring.read_wrong(place, reading),
    }


def _read(folder: Path, places: list[Labelled], weights: Path | None) -> list[Reading | None]:
    import numpy as np

    from coaxtell.photo import file, reading

    reader = None if weights is None else reading.Reader(weights)
    crops: dict[str, list[Any]] = {}
    for place in places:
        crops.setdefault(place.file, []).append(place)
    found: dict[int, Reading] = {}
    for name, marked in crops.items():
        photo = file.load(folder / name)
        rows, columns = photo.picture.shape[:2]
        cut = []
        for place in marked:
            at, radius = np.array(place.centre) / photo.shrunk, place.radius / photo.shrunk
            if not (0 <= at[0] < columns and 0 <= at[1] < rows and radius < rows + columns):
                raise InputError(f"{folder / name}: the circle of labels.csv is outside the picture; mark it anew.")
            cut.append(reading.crop(photo.picture, at, radius))
        if reader is not None:
            found.update(zip(map(id, marked), reader.read(np.stack(cut)), strict=True))
    return [found.get(id(place)) for place in places]


def _lines(data: dict[str, Any]) -> list[str]:
    out = [wrapped(UNTRAINED), ""] if data["weights"] is None else []
    out += [f"{'':<{TITLE}}{'n':>5} {'right':>6} {'wrong':>6} {'unread':>7} {'sure, right':>12} {'commonest':>10}"]
    for name, rows in data["looks"].items():
        out += [_row(name if value == "all" else f"  {value}", row) for value, row in rows.items()]
    out += ["", "All labelled looks of each photograph"]
    out += [_row(name, row) for name, row in data["photographs"].items()]
    out += _wrong(data["places"])
    out.append("")
    for kind, (n, faces) in data["called a face"].items():
        out.append(f"{kind}: {faces} of {n} read as a mating face.")
    return out


def _wrong(places: list[dict[str, Any]]) -> list[str]:
    """A line for each photograph in which something was read wrong."""
    by_file: dict[str, list[str]] = {}
    for place in places:
        for name in place["wrong"]:
            by_file.setdefault(place["file"], []).append(f"{_misread(place, name)} at {place['cx']:g},{place['cy']:g}")
    lines = [wrapped(f"{file}: {'; '.join(told)}.", "", "  ") for file, told in by_file.items()]
    return ["", "Read wrong", *lines] if lines else []


def _misread(place: dict[str, Any], name: str) -> str:
    if name == "kind":
        return f"{place['kind']} read as {'a mating face' if place['called a face'] else 'no mating face'}"
    look = place["looks"][name]
    return f"{name} {look['label']} read as {look['read']}"


def _row(title: str, row: dict[str, int]) -> str:
    sure = f"{row['sure_and_right']} of {row['sure']}"
    counts = f"{row['n']:>5} {row['right']:>6} {row['wrong']:>6} {row['not_read']:>7} {sure:>12} {row['commonest']:>10}"
    return f"{title:<{TITLE}}{counts}"
