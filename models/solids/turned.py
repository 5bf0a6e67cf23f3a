"""The mesh of one turned body: its cut outline as a chain of corners and shaped surfaces, laid on a lathe. In mm."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coaxtell.models import cuts
from coaxtell.models.cut_threads import cut_thread
from coaxtell.models.half import Thread, Turned
from coaxtell.models.helix import Array, Helix
from coaxtell.models.regions import Point
from coaxtell.models.solids.lathe import Lathe, polygon_radius
from coaxtell.models.solids.part import COLUMNS, Level
from coaxtell.models.surfaces import Surface, surfaces

KNURL_PITCH = 0.8
"""Pitch of a knurl round the part [mm], DIN 82 RGE 0.8; drawn so, no number of a table."""
KNURL_DEPTH = 0.3
"""Depth of a knurl in its pitches."""
THINNED: dict[Level, int] = {"display": 1, "fine": 1, "small": 3, "least": 6}
"""How many teeth of a knurl are drawn as one."""
FEWEST_TEETH = 18
HEX_EDGE = math.radians(0.6)
"""Half width of the broken edge between two flats, display level only."""
BEVEL = 0.012
"""Broken edge in radii of the part, display level only."""


class _Corner(NamedTuple):
    """A plain circle in the chain of rows."""

    z: float
    r: float


class _Shaped(NamedTuple):
    """A surface that is no plain cone, with its first and last corner in the direction of the chain."""

    surface: Surface
    first: _Corner
    last: _Corner
    inside: bool
    thread: Helix | None
    free_front: bool
    free_rear: bool


def _knurl_teeth(radius: float) -> int:
    return max(52, 4 * round(math.tau * radius / KNURL_PITCH / 4))


def _angles(outside: list[Surface], level: Level) -> Array:
    """Columns of a body [rad]: even, with the edges of its polygons among them."""
    count = COLUMNS[level]
    knurls = [_knurl_teeth(s.r_front) for s in outside if s.form == "knurl"]
    if knurls:
        count = 2 * max(FEWEST_TEETH, knurls[0] // THINNED[level])
    extra: list[float] = []
    for surface in outside:
        if surface.form == "hex":
            edges = math.tau / 6 * (np.arange(6) + 0.5)
            extra += [*edges] if level != "display" else [*(edges - HEX_EDGE), *(edges + HEX_EDGE)]
        if surface.form == "square":
            corners = math.tau / 4 * (np.arange(4) + 0.5)
            wide = math.pi / 4 - math.acos(0.5 / cuts.CORNER)
            extra += [*(corners - wide), *corners, *(corners + wide)]
    even = np.arange(count) * math.tau / count
    near = np.abs(even[:, None] - np.array([math.inf, *extra])[None, :]).min(axis=1) < 0.3 * math.tau / count
    return np.sort(np.concatenate([even[~near], extra]))


def _side(found: list[Surface], thread: Thread | None, inside: bool) -> list[_Corner | _Shaped]:
    """One side of a body, front to rear."""
    chain: list[_Corner | _Shaped] = []
    for i, s in enumerate(found):
        front, rear = _Corner(s.z_front, s.r_front), _Corner(s.z_back, s.r_back)
        free_front = i == 0 or found[i - 1].r_back < s.r_front
        free_rear = i + 1 == len(found) or found[i + 1].r_front < s.r_back
        if s.thread:
            assert thread is not None
            cut = cut_thread(found, i, thread, inside)
            front = _Corner(cut.front, cut.end_radius(cut.front_end))
            rear = _Corner(cut.rear, cut.end_radius(cut.rear_end))
            chain.append(_Shaped(s, front, rear, inside, cut, free_front, free_rear))
        elif s.form == "round" or inside:
            chain += [front, rear]
        else:
            chain.append(_Shaped(s, front, rear, inside, None, free_front, free_rear))
    return chain


def _broken(chain: list[_Corner | _Shaped], size: float) -> list[_Corner | _Shaped]:
    """The chain with its convex plain corners broken by `size` [mm] at most."""
    chain = [link for i, link in enumerate(chain) if isinstance(link, _Shaped) or link != chain[i - 1]]
    n = len(chain)
    found: list[_Corner | _Shaped] = []
    for i, link in enumerate(chain):
        if isinstance(link, _Shaped):
            found.append(link)
            continue
        before, after = chain[i - 1], chain[(i + 1) % n]
        p = before.last if isinstance(before, _Shaped) else before
        q = after.first if isinstance(after, _Shaped) else after
        u, v = (link.z - p.z, link.r - p.r), (q.z - link.z, q.r - link.r)
        lengths = math.hypot(*u), math.hypot(*v)
        if min(lengths) < 1e-9:
            continue
        sine = (u[0] * v[1] - u[1] * v[0]) / (lengths[0] * lengths[1])
        if link.r < 1e-9 or sine < 0.25:
            found.append(link)
            continue
        a, b = (min(size, 0.3 * length) / length for length in lengths)
        found.append(_Corner(link.z - a * u[0], link.r - a * u[1]))
        found.append(_Corner(link.z + b * v[0], link.r + b * v[1]))
    return found


def _lay_hex(lathe: Lathe, part: _Shaped, level: Level) -> None:
    s = part.surface
    corner = s.r_front / math.cos(math.pi / 6)
    if level == "display":
        corner = s.r_front / math.cos(math.pi / 6 - HEX_EDGE)
    radius = polygon_radius(lathe.angles, 6, s.r_front, corner)
    slope = min(cuts.HEX_CHAMFER, 0.45 * (s.z_front - s.z_back) / (corner - s.r_front))
    fall = (radius - s.r_front) * slope
    if part.free_front:
        lathe.row(s.z_front, s.r_front)
    lathe.row(s.z_front - (fall if part.free_front else 0.0), radius)
    lathe.row(s.z_back + (fall if part.free_rear else 0.0), radius)
    if part.free_rear:
        lathe.row(s.z_back, s.r_front)


def _lay_square(lathe: Lathe, part: _Shaped, bevel: float) -> None:
    s = part.surface
    radius = polygon_radius(lathe.angles, 4, s.r_front, 2 * s.r_front * cuts.CORNER)
    if bevel:
        lathe.row(s.z_front, radius - bevel)
    lathe.row(s.z_front - bevel, radius)
    lathe.row(s.z_back + bevel, radius)
    if bevel:
        lathe.row(s.z_back, radius - bevel)


def _lay_knurl(lathe: Lathe, part: _Shaped) -> None:
    """A diamond knurl: four-sided pyramids whose peaks stand on the profile."""
    s = part.surface
    n = len(lathe.angles)
    pitch = math.tau * s.r_front / (n / 2)
    depth = KNURL_DEPTH * min(pitch, 2 * KNURL_PITCH)
    low = s.r_front - depth
    front, rear = s.z_front - depth, s.z_back + depth
    count = max(2, round((front - rear) / (pitch / 2)))
    columns = np.arange(n)
    lathe.row(s.z_front, low)
    for k in range(count + 1):
        peak = (columns + k) % 2 == 1
        lathe.row(front + (rear - front) * k / count, np.where(peak, s.r_front, low), flip=~peak)
    lathe.row(s.z_back, low)


def _lay(chain: list[_Corner | _Shaped], angles: Array, level: Level, bevel: float) -> cuts.Mesh:
    lathe = Lathe(angles)
    for link in chain:
        if isinstance(link, _Corner):
            lathe.row(link.z, link.r)
        elif link.thread is not None:
            lathe.thread(link.thread, forwards=link.inside)
        elif link.surface.form == "hex":
            _lay_hex(lathe, link, level)
        elif link.surface.form == "square":
            _lay_square(lathe, link, bevel)
        else:
            _lay_knurl(lathe, link)
    return lathe.mesh()


def from_outline(outline: tuple[Point, ...], level: Level) -> cuts.Mesh:
    """A plain turned part from its closed outline, which runs from the front round to the axis or the bore."""
    chain: list[_Corner | _Shaped] = [_Corner(z, r) for z, r in outline]
    bevel = _bevel(max(r for _, r in outline), level)
    if bevel:
        chain = _broken(chain, bevel)
    count = COLUMNS[level]
    return _lay(chain, np.arange(count) * math.tau / count, level, bevel)


def _bevel(radius: float, level: Level) -> float:
    return min(BEVEL * radius, 0.15) if level == "display" else 0.0


def turned(body: Turned, thread: Thread | None, level: Level) -> cuts.Mesh:
    """A hollow turned body with its threads, flats and knurl, before any slot or hole is cut."""
    outside = surfaces(body, body.outside, thread, inside=False)
    inside = surfaces(body, body.inside, thread, inside=True)
    inside[-1] = inside[-1]._replace(z_back=outside[-1].z_back)
    back = [
        link._replace(first=link.last, last=link.first) if isinstance(link, _Shaped) else link
        for link in reversed(_side(inside, thread, inside=True))
    ]
    chain = [*_side(outside, thread, inside=False), *back]
    bevel = _bevel(max(s.r_front for s in outside), level)
    if bevel:
        chain = _broken(chain, bevel)
    return _lay(chain, _angles(outside, level), level, bevel)
