"""Every measure inside a half, by path: to list it, to name it, to replace one and leave the rest."""

from __future__ import annotations

from typing import Any

import msgspec

from coaxtell.models.half import Half
from coaxtell.models.measure import Measure

Path = tuple[str | int, ...]

SHAPELESS = frozenset({"top_ghz", "torque_nm", "er", "impedance"})
"""Numbers of a half that say nothing about its shape."""


def walk(part: Any, path: Path = ()) -> list[tuple[Path, Measure]]:
    """All measures inside a struct or list with their paths, in the order of the table."""
    if isinstance(part, Measure):
        return [(path, part)]
    if isinstance(part, list):
        return [hit for i, item in enumerate(part) for hit in walk(item, (*path, i))]
    if isinstance(part, msgspec.Struct):
        return [hit for f in part.__struct_fields__ for hit in walk(getattr(part, f), (*path, f))]
    return []


def replaced(part: Any, path: Path, measure: Measure) -> Any:
    """A copy of the struct or list with the measure at `path` exchanged."""
    if not path:
        return measure
    head, rest = path[0], path[1:]
    if isinstance(part, list):
        assert isinstance(head, int)
        return [replaced(item, rest, measure) if i == head else item for i, item in enumerate(part)]
    assert isinstance(head, str)
    return msgspec.structs.replace(part, **{head: replaced(getattr(part, head), rest, measure)})


WORDS = {
    "shell": "",
    "body": "",
    "nut": "nut",
    "centre": "centre",
    "inside": "inside",
    "outside": "outside",
    "insulator": "",
    "d": "diameter",
    "d_end": "rear diameter",
    "to": "end (z)",
    "rim": "rim (z)",
    "tip": "tip (z)",
    "shoulder": "shoulder (z)",
    "bottom": "hole bottom (z)",
    "face": "face (z)",
    "back": "back (z)",
    "inner": "inner diameter",
    "outer": "outer diameter",
    "od": "outside diameter at the tip",
    "takes_min": "thinnest pin taken",
    "takes_max": "thickest pin taken",
    "hole": "hole diameter",
    "give": "spring of the fingers",
    "slot_length": "slot length",
    "tpi": "threads per inch",
    "major": "basic major diameter",
    "over": "diameter over the tips",
    "centre_z": "centre (z)",
    "top_ghz": "top frequency",
    "torque_nm": "coupling torque",
    "er": "relative permittivity of the insulator",
    "bore": "line bore of the outer conductor",
    "turn": "turn to lock",
    "lock": "locked position (z)",
    "width": "width",
    "r": "radius",
    "impedance": "nominal impedance",
}


def label(half: Half, path: Path) -> str:
    """The measure at `path` in words a person reads, such as `nut inside thread end (z)`."""
    words: list[str] = []
    part: Any = half
    for key in path:
        part = part[key] if isinstance(key, int) else getattr(part, key)
        if isinstance(key, int):
            words.append(part.name)
        else:
            words.append(WORDS.get(key, key.replace("_", " ")))
    if path[-2:] == ("lugs", "centre"):
        words[-1] = WORDS["centre_z"]
    return " ".join(word for word in words if word)
