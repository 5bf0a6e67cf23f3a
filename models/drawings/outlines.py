"""Cut outlines of a half with its threads in their true form, for drawing. Coordinates (z, r) in mm."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coaxtell.models.catalogue import tell
from coaxtell.models.cut_threads import body_threads
from coaxtell.models.half import Half, Thread, Turned
from coaxtell.models.helix import Helix, rows
from coaxtell.models.mating.coupling import couple, teeth_enter
from coaxtell.models.profile import profile
from coaxtell.models.regions import Point, Region, Role, regions
from coaxtell.models.surfaces import surfaces

SLIVER = 0.006
"""Overlaps thinner than this are a fit, not an obstacle [mm]."""


class Overlap(NamedTuple):
    """Where two regions would share space: their names, and the outlines of the shared area, half A's axes [mm]."""

    name_a: str
    name_b: str
    outlines: tuple[tuple[Point, ...], ...]
    length: float
    area: float


def thread_line(thread: Helix, angle: float) -> list[Point]:
    """The thread's edge in the half plane at an angle [rad], from rear to front (z, r) [mm]."""
    z, radius, shown = rows(thread, np.array([angle]))
    order = sorted({int(k) for k in shown[:, 0] if k >= 0})
    points = [(float(z[k, 0]), float(radius[k, 0])) for k in order]
    return [
        (thread.rear, thread.end_radius(thread.rear_end)),
        *points,
        (thread.front, thread.end_radius(thread.front_end)),
    ]


def body_line(body: Turned, thread: Thread | None, inside: bool, angle: float) -> list[Point]:
    """One side of a body from front to rear with its threads cut (z, r) [mm]."""
    cut = body_threads(body, thread, inside) if thread is not None else []
    line: list[Point] = []
    for surface in surfaces(body, body.inside if inside else body.outside, thread, inside):
        if surface.thread:
            helix = next(h for h in cut if h.front == surface.z_front)
            line += reversed(thread_line(helix, angle))
        else:
            line += [(surface.z_front, surface.r_front), (surface.z_back, surface.r_back)]
    return line


def body_outline(body: Turned, thread: Thread | None, angle: float) -> tuple[Point, ...]:
    """Cut outline of a hollow body at an angle [rad], threads in their form (z, r) [mm]."""
    outside = body_line(body, thread, inside=False, angle=angle)
    inside = body_line(body, thread, inside=True, angle=angle)
    inside[-1] = (outside[-1][0], inside[-1][1])
    points = [*outside, *reversed(inside)]
    kept = [p for i, p in enumerate(points) if math.dist(p, points[i - 1]) > 1e-9]
    return tuple(kept)


def _notched(half: Half, outline: tuple[Point, ...], angle: float) -> tuple[Point, ...]:
    """The shell's cut outline at an angle [rad], set back where an index notch of the rim lies there."""
    if half.notches is None:
        return outline
    step = math.tau / half.notches.count.whole
    across = max(r for _, r in outline)
    off = abs((angle + step / 2) % step - step / 2) * across
    r = half.notches.r.nominal
    if off >= r:
        return outline
    floor = half.shell.rim.nominal - math.sqrt(r * r - off * off)
    return tuple((min(z, floor), radius) for z, radius in outline)


def cut_regions(half: Half, angle: float, turn: float = 0.0) -> list[Region]:
    """The regions of a half cut at an angle [rad], threads in their form, its nut turned by `turn` [rad]."""
    found: list[Region] = []
    for region in regions(half):
        if region.role == "outer":
            region = region._replace(outline=_notched(half, body_outline(half.shell, half.thread, angle), angle))
        elif region.role == "nut":
            assert half.nut is not None
            region = region._replace(outline=body_outline(half.nut.body, half.nut.thread, angle - turn))
        found.append(region)
    return found


def _facing(outline: tuple[Point, ...], distance: float) -> tuple[Point, ...]:
    """An outline of the mate in the axes of the half it faces, `distance` [mm] between the planes."""
    return tuple((distance - z, r) for z, r in reversed(outline))


def _spring(a: Half, b: Half) -> float:
    """How far the springing end of one half gives way to the groove of the other [mm]; zero for other pairs."""
    for one, other in ((a, b), (b, a)):
        if one.snap is not None and other.groove is not None:
            return one.snap.spring.nominal
    return 0.0


def _butting(a: Half, b: Half) -> bool:
    """Whether both halves end in flat springs, which press each other back."""
    return a.centre.butt is not None and b.centre.butt is not None


def overlaps(a: Half, b: Half, distance: float, coupled: bool = True) -> list[Overlap]:
    """Where the cut regions of two facing halves share space at a distance of their reference planes [mm].

    With `coupled` the moving parts are left out, and what a springing end gives way by: a nut on its thread and a
    bead in its groove are joints, not obstacles. Halves that a keyed housing keeps apart share nothing. The largest
    comes first.
    """
    import manifold3d

    def section(outline: tuple[Point, ...]) -> manifold3d.CrossSection:
        return manifold3d.CrossSection([list(outline)], manifold3d.FillRule.EvenOdd)

    found: list[Overlap] = []
    spring = _spring(a, b) if coupled else 0.0
    pa, pb = profile(a), profile(b)
    coupling, indexed = couple(pa, pb), teeth_enter(pa, pb)
    if coupling.barred:
        return []
    theirs = [
        (region, section(_facing(region.outline, distance))) for region in regions(b) if not (coupled and region.moving)
    ]
    for mine in regions(a):
        if coupled and mine.moving:
            continue
        area = section(mine.outline)
        for region, other in theirs:
            if mine.moving and region.moving:
                continue
            if coupled and "tooth" in (mine.role, region.role) and indexed:
                continue
            if coupling.slides and "outer" in (mine.role, region.role) and (mine.moving or region.moving):
                continue
            shared = area ^ other
            if shared.offset(-SLIVER / 2, manifold3d.JoinType.Miter).is_empty():
                continue
            outlines = tuple(tuple((float(z), float(r)) for z, r in ring) for ring in shared.to_polygons())
            sprung = mine.role == region.role == "outer"
            if sprung and all(max(r for _, r in ring) - min(r for _, r in ring) <= spring for ring in outlines):
                continue
            if coupled and _butting(a, b) and mine.role == region.role == "socket":
                continue
            zs = [z for ring in outlines for z, _ in ring]
            found.append(
                Overlap(words(mine.name, mine.role), words(region.name, region.role), outlines,
                        max(zs) - min(zs), shared.area())
            )  # fmt: skip
    return sorted(found, key=lambda overlap: -overlap.area)


def words(name: str, role: Role) -> str:
    """A region as a person calls it."""
    return tell("legend.outer") if role == "outer" else name
