"""Parts on the printer's plate: studs joined to their collar, a shell split where its nut could not be put on, each
part laid with its largest flat side down, side by side. Lengths in mm at the printed size.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import msgspec
import numpy as np

from coaxtell.models import cuts
from coaxtell.models.catalogue import Reason, tell
from coaxtell.models.half import Half
from coaxtell.models.helix import Array, Index
from coaxtell.models.solids.part import Level, Part, Placed
from coaxtell.models.solids.solid import solid
from coaxtell.models.surfaces import Surface, surfaces

GAP = 6.0
"""Gap between parts on the plate [mm at the printed size]."""
LARGER = 1.25
"""How much larger another flat side must be than the rear to lie on the plate instead."""
FLAT = 1e-4
"""Height within which a face lies on the plate, in heights of the part."""


class Laid(NamedTuple):
    """The parts on the plate and what to do with them, in sentences."""

    parts: list[Placed]
    notes: list[Reason]


class Splits(NamedTuple):
    """Where shell and nut are cut so that the nut can be put on [z, mm]; none where a part stays whole."""

    shell: float | None = None
    nut: float | None = None


def _narrowest(found: list[Surface]) -> float:
    return min((min(s.r_front, s.r_back) for s in found), default=math.inf)


def _widest(found: list[Surface]) -> float:
    return max((max(s.r_front, s.r_back) for s in found), default=0.0)


def splits(half: Half) -> Splits:
    """Where the parts of a half must be cut: a metal nut is closed over its ring, a printed one cannot be.

    The shell is cut in its neck, under the nut's back wall; the nut ahead of that wall, where its thread would not
    pass the shell's ring.
    """
    if half.nut is None:
        return Splits()
    bore = surfaces(half.nut.body, half.nut.body.inside, half.nut.thread, inside=True)
    outside = surfaces(half.shell, half.shell.outside, half.thread, inside=False)
    wall = bore[-1]
    middle = (wall.z_front + wall.z_back) / 2
    ahead = [s for s in outside if s.z_front > middle]
    behind = [s for s in outside if s.z_back < middle]
    if min(_widest(ahead), _widest(behind)) < _narrowest(bore):
        return Splits()
    under = [s for s in outside if _widest([s]) < _narrowest([wall]) and s.z_back < wall.z_front]
    if not under:
        return Splits()
    where = max(under, key=lambda s: s.z_front)
    shell = (min(where.z_front, wall.z_front) + where.z_back) / 2
    if _widest([s for s in outside if s.z_front > shell]) < _narrowest(bore[:-1]):
        return Splits(shell)
    return Splits(shell, wall.z_front)


def _cut_in_two(part: Part, z: float) -> list[Part]:
    front, rear = cuts.as_manifold((part.points, part.faces)).split_by_plane((0.0, 0.0, 1.0), z)
    pieces = []
    for name, body in (("front", front), ("rear", rear)):
        points, faces = cuts.as_mesh(body)
        pieces.append(
            msgspec.structs.replace(part, name=tell(f"print.{name}", part=part.name), points=points, faces=faces)
        )
    return pieces


def bodies(half: Half, level: Level = "fine") -> list[Part]:
    """The parts of a half as they are printed, in place and at life size [mm]."""
    parts = solid(half, level)
    lugs = [p for p in parts if p.role in ("lug", "tooth")]
    found: list[Part] = []
    where = splits(half)
    for part in parts:
        if part.role in ("lug", "tooth"):
            continue
        shell = part.name == "shell"
        if shell and lugs:
            # a stud's foot lies on the collar, a tooth's on its shoulder: let in a little so that both are one piece
            studs = [cuts.as_manifold((_sunk(p), p.faces)) for p in lugs]
            points, faces = cuts.join((part.points, part.faces), studs)
            part = msgspec.structs.replace(part, points=points, faces=faces)
        plane = where.shell if shell else where.nut if part.role == "nut" else None
        if plane is not None:
            found += _cut_in_two(part, plane)
        else:
            found.append(part)
    return found


def _sunk(part: Part) -> Array:
    """Studs and teeth drawn towards the axis by a hundredth, and teeth as much into their shoulder, which leaves their
    tips where they are within a line's width."""
    sunk = part.points * np.array([0.99, 0.99, 1.0])
    if part.role == "tooth":
        sunk[:, 2] -= 0.01
    return np.asarray(sunk)


def _flat_area(points: Array, faces: Index, axis: int, side: int) -> float:
    """Area of the faces that lie on the lowest plane when that side looks down [mm2]."""
    low = (points[:, axis] * side).max()
    height = float(np.ptp(points[:, axis])) or 1.0
    corners = points[faces]
    on = (low - corners[:, :, axis] * side).max(axis=1) < FLAT * height
    if not on.any():
        return 0.0
    a, b, c = (corners[on][:, i] for i in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def lying(points: Array, faces: Index) -> tuple[Array, float]:
    """The points turned so that a large flat side lies on z = 0, and that side's area [mm2].

    The rear lies down and the mating face stays clean, unless another side is larger by a quarter.
    """
    best = (-1.0, 2, -1)
    for axis in (2, 0, 1):
        for side in (-1, 1):
            area = _flat_area(points, faces, axis, side)
            if area > best[0] * LARGER:
                best = (area, axis, side)
    area, axis, side = best
    down = np.zeros(3)
    down[axis] = side
    # a turn, never a mirror: the third direction follows from the other two
    first = np.roll(np.abs(down), 1)
    second = np.cross(-down, first)
    laid = points @ np.column_stack([first, second, -down])
    return np.asarray(laid - np.array([0.0, 0.0, laid[:, 2].min()])), area


def plate(halves: list[Half], scale: float, level: Level = "fine") -> Laid:
    """All parts of the halves on one plate, side by side in rows, at `scale` [mm]."""
    laid: list[tuple[str, Part, Array]] = []
    notes: list[Reason] = []
    for half in halves:
        for part in bodies(half, level):
            points, _ = lying(part.points * scale, part.faces)
            laid.append((f"{half.id} {part.name}", part, points))
        where = splits(half)
        if where.shell is not None:
            notes.append(Reason("print.together" if where.nut is None else "print.together_cut", {"id": half.id}))
    wide = math.sqrt(sum(float(np.ptp(p[:, 0]) + GAP) * float(np.ptp(p[:, 1]) + GAP) for _, _, p in laid)) * 1.2
    found: list[Placed] = []
    x = y = deep = 0.0
    for name, part, points in laid:
        size = np.ptp(points, axis=0)
        if x > 0 and x + size[0] > wide:
            x, y, deep = 0.0, y + deep + GAP, 0.0
        move = np.array([x, y, 0.0]) - np.array([*points[:, :2].min(axis=0), 0.0])
        found.append(Placed(name, msgspec.structs.replace(part, points=points + move)))
        x, deep = x + float(size[0]) + GAP, max(deep, float(size[1]))
    return Laid(found, notes)
