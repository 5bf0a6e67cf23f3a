"""A reading held to photographs that a person has labelled: right, wrong, not read, and beside always the commonest."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from coaxtell.models import quantity
from coaxtell.models.errors import RefusedError
from coaxtell.photo.reading import CLASSES, Reading

LABELS = "labels.csv"
COLUMNS = ("file", "cx", "cy", "r", "coupling", "centre", "plastic", "kind")
KINDS = ("face", "trap", "none")
"""A mating face, a side that does not mate, no port at all."""
LARGEST = 1e6
"""Of a coordinate [px]."""
UNKNOWN = ("", "?")
IS_FACE = 0.5
"""From this chance on it is read as a mating face."""


class Labelled(NamedTuple):
    """A marked place in a photograph [px of the file], what it is, and what a person saw there."""

    file: str
    centre: tuple[float, float]
    radius: float
    looks: dict[str, str]
    kind: str


def labels(path: str, text: str) -> list[Labelled]:
    """The labelled places in the text of a file of that name.

    Raises InputError, with the line, for what is not as COLUMNS, KINDS and CLASSES have it.
    """
    try:
        table = csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
        if tuple(table.fieldnames or ()) != COLUMNS:
            raise RefusedError("photo.label_columns", path=path, columns=",".join(COLUMNS))
        rows = [_row(path, line, row) for line, row in enumerate(table, 2)]
    except csv.Error:
        raise RefusedError("photo.label_text", path=path) from None
    if not rows:
        raise RefusedError("photo.label_none", path=path)
    return rows


def _row(path: str, line: int, row: dict[str | Any, Any]) -> Labelled:
    if None in row or None in row.values():
        raise RefusedError("photo.label_columns", path=f"{path}:{line}", columns=",".join(COLUMNS))
    if row["kind"] not in KINDS:
        raise RefusedError("photo.label_kind", path=path, line=line, kind=row["kind"][:40])
    numbers = []
    for name in ("cx", "cy", "r"):
        try:
            numbers.append(quantity.within(row[name], name, "640.5", -LARGEST, LARGEST))
        except RefusedError:
            raise RefusedError("photo.label_number", path=path, line=line, name=name, text=row[name][:40]) from None
    if numbers[2] <= 1:
        raise RefusedError("photo.label_number", path=path, line=line, name="cx, cy, r", text=str(numbers))
    looks = {}
    for name, values in CLASSES.items():
        if row[name] in UNKNOWN:
            continue
        if row[name] not in values:
            raise RefusedError(
                "photo.label_value", path=path, line=line, name=name, text=row[name][:40], values=", ".join(values)
            )
        looks[name] = row[name]
    return Labelled(row["file"], (numbers[0], numbers[1]), numbers[2], looks, row["kind"])


class Score(NamedTuple):
    """How so many labelled places were read: right, wrong, not read; how many surely, and of these how many right."""

    n: int
    right: int
    wrong: int
    not_read: int
    sure: int
    sure_and_right: int
    commonest: int
    """Right by always saying the commonest label."""


def scored(places: Sequence[Labelled], readings: Sequence[Reading | None]) -> dict[str, dict[str, Score]]:
    """For each look, the score over all faces (`all`) and for each of its values; None where nothing was read."""
    found: dict[str, dict[str, Score]] = {}
    for name in CLASSES:
        known = [
            (place.looks[name], reading)
            for place, reading in zip(places, readings, strict=True)
            if place.kind == "face" and name in place.looks
        ]
        most = Counter(label for label, _ in known).most_common(1)
        common = most[0][0] if most else ""
        found[name] = {"all": _score(name, known, common)}
        for value in CLASSES[name]:
            part = [pair for pair in known if pair[0] == value]
            if part:
                found[name][value] = _score(name, part, common)
    return found


def _score(name: str, known: Iterable[tuple[str, Reading | None]], common: str) -> Score:
    n = right = wrong = sure = sure_right = commonest = 0
    for label, reading in known:
        n += 1
        commonest += label == common
        look = None if reading is None else reading.looks[name]
        if look is None or not look.readable:
            continue
        right += look.value == label
        wrong += look.value != label
        sure += look.sure
        sure_right += look.sure and look.value == label
    return Score(n, right, wrong, n - right - wrong, sure, sure_right, commonest)


def photographs(places: Sequence[Labelled], readings: Sequence[Reading | None]) -> dict[str, int]:
    """Photographs with a labelled face, and of these: no look read wrong, and every labelled look read right."""
    clean: dict[str, tuple[bool, bool]] = {}
    for place, reading in zip(places, readings, strict=True):
        if place.kind != "face" or not place.looks:
            continue
        read = [] if reading is None else [(label, reading.looks[name]) for name, label in place.looks.items()]
        wrong = any(look.readable and look.value != label for label, look in read)
        whole = bool(read) and all(look.readable and look.value == label for label, look in read)
        before = clean.get(place.file, (True, True))
        clean[place.file] = (before[0] and not wrong, before[1] and whole)
    return {
        "n": len(clean),
        "nothing wrong": sum(one for one, _ in clean.values()),
        "all right": sum(two for _, two in clean.values()),
    }


def called_faces(places: Sequence[Labelled], readings: Sequence[Reading | None]) -> dict[str, tuple[int, int]]:
    """For each kind of place: how many there are, and how many were read as a mating face."""
    found = {}
    for kind in KINDS:
        of_kind = [reading for place, reading in zip(places, readings, strict=True) if place.kind == kind]
        found[kind] = (len(of_kind), sum(one is not None and one.face >= IS_FACE for one in of_kind))
    return found
