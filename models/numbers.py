"""Every measure inside a half, by path: to list it, to name it, to replace one and leave the rest."""

from __future__ import annotations

from typing import Any

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure

Path = tuple[str | int, ...]

SHAPELESS = frozenset({"top_ghz", "torque_nm", "er", "impedance"})
"""Numbers of a half that say nothing about its shape."""


def walk(part: Any, path: Path = ()) -> list[tuple[Path, Measure]]:
    """All measures inside a struct or list with their paths, in the order of the table."""
    found: list[tuple[Path, Measure]] = []
    _gather(part, path, found)
    return found


def _gather(part: Any, path: Path, found: list[tuple[Path, Measure]]) -> None:
    """Add the measures inside; every command comes through here a few thousand times, so names and numbers that hold
    none get no path of their own."""
    if isinstance(part, Measure):
        found.append((path, part))
    elif isinstance(part, list):
        for place, item in enumerate(part):
            _gather(item, (*path, place), found)
    elif isinstance(part, msgspec.Struct):
        for field in part.__struct_fields__:
            inner = getattr(part, field)
            if isinstance(inner, msgspec.Struct | list):
                _gather(inner, (*path, field), found)


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


def parts(half: Half, path: Path) -> list[Reason]:
    """What stands on the way to the measure at `path`: steps by the table's names, fields by a text each."""
    found: list[Reason] = []
    part: Any = half
    for key in path:
        part = part[key] if isinstance(key, int) else getattr(part, key)
        found.append(Reason("number.step", {"name": part.name}) if isinstance(key, int) else Reason(f"number.{key}"))
    if path[-2:] == ("lugs", "centre"):
        found[-1] = Reason("number.lugs_centre")
    return found


def named(half: Half, path: Path) -> Reason:
    """What the measure at `path` is called."""
    return Reason("number.whole", {"words": [*parts(half, path)]})
