"""The halves as models small enough for a page: 16-bit places, each told by its step from the one before."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from coaxtell.models.half import Half
from coaxtell.models.solids.part import Level, Part
from coaxtell.models.solids.solid import solid
from coaxtell.pocket.packed import squeezed

STEPS = 65_535
"""Steps over the longest side of a half: under a thousandth of a millimetre for all that ship."""


def model(half: Half, level: Level = "small") -> dict[str, Any]:
    """A half as parts with their counts, the corner and step [mm] of its places, and all numbers in one stream."""
    parts = solid(half, level)
    everything = np.concatenate([part.points for part in parts])
    corner = everything.min(axis=0)
    step = float((everything.max(axis=0) - corner).max()) / STEPS
    return {
        "corner": [round(float(c), 6) for c in corner],
        "step": step,
        "parts": [_told(part) for part in parts],
        "data": squeezed(b"".join(_numbers(part, np.round(corner, 6), step) for part in parts)),
    }


def _told(part: Part) -> list[Any]:
    """Name, role, whether it moves, material, colour, how many points and triangles."""
    return [
        part.name, part.role, int(part.moving), part.material, part.colour, len(part.points), len(part.faces),
    ]  # fmt: skip


def _numbers(part: Part, corner: npt.NDArray[np.float64], step: float) -> bytes:
    places = np.rint((part.points - corner) / step).astype(np.int64)
    order = _by_first_use(part.faces)
    numbered = np.empty(len(order), dtype=np.int64)
    numbered[order] = np.arange(len(order))
    faces = numbered[part.faces]
    return b"".join(_planes(column) for column in places[order].T) + b"".join(_planes(column) for column in faces.T)


def _by_first_use(faces: npt.NDArray[Any]) -> npt.NDArray[np.int64]:
    """The points in the order in which the triangles use them, so that their numbers grow by small steps."""
    used, first = np.unique(faces.ravel(), return_index=True)
    found: npt.NDArray[np.int64] = used[np.argsort(first)]
    return found


def _planes(numbers: npt.NDArray[np.int64]) -> bytes:
    """Whole numbers as steps from one to the next, all low bytes first, then all high bytes."""
    steps = np.diff(numbers, prepend=0).astype(np.uint16)
    return (steps & 255).astype(np.uint8).tobytes() + (steps >> 8).astype(np.uint8).tobytes()
