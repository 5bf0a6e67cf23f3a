"""A reading held to photographs that a person has labelled: right, wrong, not read, and beside always the commonest."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Sequence
from typing import Any, NamedTuple

from coaxtell.models import quantity
from coaxtell.models.errors import RefusedError
from coaxtell.photo.reading import CLASSES, Look, Reading

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
        rows = [_row(path, table.line_num, row) for row in table]
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
        if not row[name].strip():
            raise RefusedError("photo.label_circle", path=path, line=line, name=name)
        try:
            numbers.append(quantity.within(row[name], name, "640.5", -LARGEST, LARGEST))
        except RefusedError:
            raise RefusedError("photo.label_number", path=path, line=line, name=name, text=row[name][:40]) from None
    if numbers[2] <= 1:
        raise RefusedError("photo.label_number", path=path, line=line, name="r", text=row["r"][:40])
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
    """How so many labelled looks were read: right, wrong, not read; how many surely, and of these how many right."""

    n: int
    right: int
    wrong: int
    not_read: int
    sure: int
    sure_and_right: int
    commonest: int
    """Right by always saying the commonest label of that look."""


class _Told(NamedTuple):
    """One look at one labelled face: its name, what a person saw, what was read, and the look's commonest label."""

    file: str
    name: str
    label: str
    look: Look | None
    common: str


def scored(places: Sequence[Labelled], readings: Sequence[Reading | None]) -> dict[str, dict[str, Score]]:
    """For each look, the score over all faces (`all`) and for each of its values; None where nothing was read."""
    told = _told(places, readings)
    found: dict[str, dict[str, Score]] = {}
    for name in CLASSES:
        known = [one for one in told if one.name == name]
        found[name] = {"all": _score(known)}
        for value in CLASSES[name]:
            part = [one for one in known if one.label == value]
            if part:
                found[name][value] = _score(part)
    return found


def photographs(places: Sequence[Labelled], readings: Sequence[Reading | None]) -> dict[str, Score]:
    """For each photograph the score over all labelled looks of its faces; of one without a face there are none."""
    told = _told(places, readings)
    files = dict.fromkeys(place.file for place in places)
    return {file: _score([one for one in told if one.file == file]) for file in files}


def read_wrong(place: Labelled, reading: Reading | None) -> list[str]:
    """What was read otherwise than it is labelled: looks of a face, and `kind`, whether it is a mating face at all."""
    if reading is None:
        return []
    face = place.kind == "face"
    looks = [] if not face else [
        name for name, label in place.looks.items()
        if reading.looks[name].readable and reading.looks[name].value != label
    ]  # fmt: skip
    return looks if called_a_face(reading) is face else [*looks, "kind"]


def called_a_face(reading: Reading | None) -> bool:
    """Whether a place was read as a mating face."""
    return reading is not None and reading.face >= IS_FACE


def _told(places: Sequence[Labelled], readings: Sequence[Reading | None]) -> list[_Told]:
    faces = [(place, reading) for place, reading in zip(places, readings, strict=True) if place.kind == "face"]
    counts = {name: Counter(place.looks[name] for place, _ in faces if name in place.looks) for name in CLASSES}
    return [
        _Told(
            place.file, name, label, None if reading is None else reading.looks[name], counts[name].most_common(1)[0][0]
        )
        for place, reading in faces
        for name, label in place.looks.items()
    ]


def _score(told: Sequence[_Told]) -> Score:
    read = [(one.label, one.look) for one in told if one.look is not None and one.look.readable]
    right = sum(look.value == label for label, look in read)
    return Score(
        n=len(told),
        right=right,
        wrong=len(read) - right,
        not_read=len(told) - len(read),
        sure=sum(look.sure for _, look in read),
        sure_and_right=sum(look.sure and look.value == label for label, look in read),
        commonest=sum(one.label == one.common for one in told),
    )


def called_faces(places: Sequence[Labelled], readings: Sequence[Reading | None]) -> dict[str, tuple[int, int]]:
    """For each kind of place: how many there are, and how many were read as a mating face."""
    found = {}
    for kind in KINDS:
        of_kind = [reading for place, reading in zip(places, readings, strict=True) if place.kind == kind]
        found[kind] = (len(of_kind), sum(map(called_a_face, of_kind)))
    return found
