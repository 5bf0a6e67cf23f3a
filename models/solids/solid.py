"""The solid of a half: one closed mesh per part, built from the same numbers as its profile.

Level `fine` stands on the profile at its vertices; edges are sharp, 144 columns or more. Level `display` has 96
columns or more and breaks the outer edges by at most 0.15 mm so that they catch the light, as on a real part.
Axes: x right and y up as seen from the front, z out of the mating face, z = 0 at the reference plane. In mm.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal, NamedTuple

import msgspec
import numpy as np

from coaxtell.models import cuts
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half, Thread, Turned
from coaxtell.models.helix import Array, End, Helix, Index, helix
from coaxtell.models.regions import Point, Role, regions
from coaxtell.models.solids.lathe import Lathe, polygon_radius, volume
from coaxtell.models.turning import Surface, surfaces, tooth_place

if TYPE_CHECKING:
    import trimesh
    from manifold3d import Manifold

Level = Literal["display", "fine"]
Material = Literal["gold", "nickel", "steel", "brass", "ptfe", "plastic"]

COLUMNS: dict[Level, int] = {"display": 96, "fine": 144}
KNURL_PITCH = 0.8
"""Pitch of a knurl round the part [mm], DIN 82 RGE 0.8; drawn so, no number of a table."""
KNURL_DEPTH = 0.3
"""Depth of a knurl in its pitches."""
HEX_CHAMFER = math.tan(math.radians(30))
"""Axial fall of a hexagon's chamfer over its radius: the usual 30 degrees."""
HEX_EDGE = math.radians(0.6)
"""Half width of the broken edge between two flats, display level only."""
BEVEL = 0.012
"""Broken edge in radii of the part, display level only."""

FLANGE = 0.25
"""Thickest flange in its widths; a thicker square is a block without mounting holes."""


class Part(msgspec.Struct, frozen=True, eq=False):
    """One part of a half as a closed mesh: points [mm] and triangles with outward normals.

    `colour` names the colour of plastic; empty for metal and PTFE.
    """

    name: str
    role: Role
    moving: bool
    material: Material
    points: Array
    faces: Index
    colour: str = ""

    @property
    def volume_mm3(self) -> float:
        """Volume enclosed by the mesh [mm3]."""
        return volume(self.points, self.faces)

    def mesh(self) -> trimesh.Trimesh:
        """The part as a trimesh object, its vertices untouched."""
        import trimesh

        return trimesh.Trimesh(self.points, self.faces, process=False)


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
        count = 2 * knurls[0]
    extra: list[float] = []
    for surface in outside:
        if surface.form == "hex":
            edges = math.tau / 6 * (np.arange(6) + 0.5)
            extra += [*edges] if level == "fine" else [*(edges - HEX_EDGE), *(edges + HEX_EDGE)]
        if surface.form == "square":
            corners = math.tau / 4 * (np.arange(4) + 0.5)
            wide = math.pi / 4 - math.acos(0.5 / cuts.CORNER)
            extra += [*(corners - wide), *corners, *(corners + wide)]
    even = np.arange(count) * math.tau / count
    near = np.abs(even[:, None] - np.array([math.inf, *extra])[None, :]).min(axis=1) < 0.3 * math.tau / count
    return np.sort(np.concatenate([even[~near], extra]))


def _ends(steps: list[Surface], index: int, crest: float, side: int) -> tuple[End, End]:
    """Front and rear end of a thread: chamfered where the neighbour is lower, run out at a shoulder."""
    before = steps[index - 1].r_back if index else None
    after = steps[index + 1].r_front if index + 1 < len(steps) else None
    front: End = "chamfer" if before is None or side * before < side * crest else "fade"
    rear: End = "chamfer" if after is None or side * after < side * crest else "fade"
    return front, rear


def body_threads(body: Turned, thread: Thread, inside: bool) -> list[Helix]:
    """The threads cut on one side of a body."""
    found = surfaces(body, body.inside if inside else body.outside, thread, inside)
    side = -1 if inside else 1
    return [
        helix(thread, s.z_front, s.z_back, inside, _ends(found, i, s.r_front, side))
        for i, s in enumerate(found)
        if s.thread
    ]


def _side(found: list[Surface], thread: Thread | None, inside: bool) -> list[_Corner | _Shaped]:
    """One side of a body, front to rear."""
    chain: list[_Corner | _Shaped] = []
    side = -1 if inside else 1
    for i, s in enumerate(found):
        front, rear = _Corner(s.z_front, s.r_front), _Corner(s.z_back, s.r_back)
        free_front = i == 0 or found[i - 1].r_back < s.r_front
        free_rear = i + 1 == len(found) or found[i + 1].r_front < s.r_back
        if s.thread:
            assert thread is not None
            cut = helix(thread, s.z_front, s.z_back, inside, _ends(found, i, s.r_front, side))
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
    slope = min(HEX_CHAMFER, 0.45 * (s.z_front - s.z_back) / (corner - s.r_front))
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
    low = s.r_front - KNURL_DEPTH * pitch
    front, rear = s.z_front - KNURL_DEPTH * pitch, s.z_back + KNURL_DEPTH * pitch
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


def _from_outline(outline: tuple[Point, ...], level: Level) -> cuts.Mesh:
    """A plain turned part from its closed outline, which runs from the front round to the axis or the bore."""
    chain: list[_Corner | _Shaped] = [_Corner(z, r) for z, r in outline]
    bevel = _bevel(max(r for _, r in outline), level)
    if bevel:
        chain = _broken(chain, bevel)
    count = COLUMNS[level]
    return _lay(chain, np.arange(count) * math.tau / count, level, bevel)


def _bevel(radius: float, level: Level) -> float:
    return min(BEVEL * radius, 0.15) if level == "display" else 0.0


def _body(body: Turned, thread: Thread | None, level: Level) -> cuts.Mesh:
    """A hollow turned body with its threads, flats and knurl, before any slot is cut."""
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


def turned(body: Turned, thread: Thread | None, level: Level) -> cuts.Mesh:
    """A hollow turned body as a mesh, without slots or holes."""
    return _body(body, thread, level)


def _finger_slots(body: Turned, thread: Thread | None) -> list[Manifold]:
    if body.slots is None or body.slot_length is None or body.slot_length.nominal <= 0:
        return []
    front, length = body.rim.nominal, body.slot_length.nominal
    reached = [s for s in surfaces(body, body.outside, thread, inside=False) if s.z_front > front - length]
    outer = max(max(s.r_front, s.r_back) for s in reached)
    inner = surfaces(body, body.inside, thread, inside=True)[0].r_front
    return cuts.saw_slots(body.slots.whole, front, length, inner, outer)


def _flange_holes(body: Turned, thread: Thread | None) -> list[Manifold]:
    found = surfaces(body, body.outside, thread, inside=False)
    cutters: list[Manifold] = []
    for i, s in enumerate(found):
        if s.form == "square" and s.z_front - s.z_back <= FLANGE * 2 * s.r_front:
            beside = max(t.r_front for t in (*found[:i], *found[i + 1 : i + 2]))
            cutters += cuts.flange_holes(2 * s.r_front, beside, s.z_front, s.z_back)
    return cutters


def ramp_reach(half: Half) -> float:
    """Radius [mm] to which bayonet slots are milled: through the thinnest wall they pass."""
    assert half.nut is not None
    assert half.nut.ramps is not None
    body = half.nut.body
    deepest = min(z for _, z in cuts.ramp_path(half.nut.ramps, body.rim.nominal))
    passed = [s for s in surfaces(body, body.outside, None, inside=False) if s.z_front > deepest]
    return min(min(s.r_front, s.r_back) for s in passed)


def _shell(half: Half, level: Level) -> cuts.Mesh:
    mesh = _body(half.shell, half.thread, level)
    cutters = [*_finger_slots(half.shell, half.thread), *_flange_holes(half.shell, half.thread)]
    if half.notches is not None:
        inner = surfaces(half.shell, half.shell.inside, half.thread, inside=True)[0].r_front
        outer = surfaces(half.shell, half.shell.outside, half.thread, inside=False)[0].r_front
        cutters += cuts.rim_notches(half.notches, half.shell.rim.nominal, inner, outer)
    return cuts.cut(mesh, cutters)


def _centre(half: Half, outline: tuple[Point, ...], level: Level) -> cuts.Mesh:
    mesh = _from_outline(outline, level)
    socket = half.centre.socket
    if socket is None or socket.slots is None or socket.slot_length is None or socket.slot_length.nominal <= 0:
        return mesh
    front, length = socket.tip.nominal, socket.slot_length.nominal
    outer = max(r for z, r in outline if z > front - length)
    return cuts.cut(mesh, cuts.saw_slots(socket.slots.whole, front, length, socket.hole.nominal / 2, outer))


def _nut(half: Half, level: Level) -> cuts.Mesh:
    nut = half.nut
    assert nut is not None
    mesh = _body(nut.body, nut.thread, level)
    if nut.ramps is None:
        return cuts.cut(mesh, _finger_slots(nut.body, nut.thread))
    inside = surfaces(nut.body, nut.body.inside, None, inside=True)
    reach = ramp_reach(half) + 0.05
    return cuts.cut(mesh, cuts.ramp_slots(nut.ramps, nut.body.rim.nominal, 2 * inside[0].r_front - 0.4, reach))


def _collar(half: Half, z: float) -> float:
    """Nominal outside radius of the shell at z [mm]."""
    for s in surfaces(half.shell, half.shell.outside, half.thread, inside=False):
        if s.z_front >= z > s.z_back:
            return s.r_front + (s.r_back - s.r_front) * (s.z_front - z) / (s.z_front - s.z_back)
    raise AssertionError("lugs stand on the shell")


def solid(half: Half, level: Level = "display") -> list[Part]:
    """The parts of a half as closed meshes, one for each region of its profile, at nominal size [mm].

    Raises InputError where a part would have no body because its inside lies outside its outside.
    """
    parts: list[Part] = []
    for region in regions(half):
        material: Material = half.finish
        colour = ""
        if region.role == "outer":
            mesh = _shell(half, level)
        elif region.role == "nut":
            mesh = _nut(half, level)
        elif region.role == "lug":
            assert half.lugs is not None
            collar = _collar(half, half.lugs.centre.nominal)
            mesh = cuts.studs(half, half.lugs, collar, 32 if level == "display" else 64)
        elif region.role == "tooth":
            assert half.teeth is not None
            mesh = cuts.teeth_blocks(half.teeth, *tooth_place(half))
        elif region.role in ("pin", "socket"):
            material = "gold"
            mesh = _centre(half, region.outline, level)
        elif region.role == "housing":
            assert half.housing is not None
            material, colour = "plastic", "" if half.key is None else half.key.colour
            mesh = _body(half.housing, None, level)
        else:
            material = "ptfe"
            mesh = _from_outline(region.outline, level)
        part = Part(region.name, region.role, region.moving, material, *mesh, colour=colour)
        if part.volume_mm3 <= 0:
            raise InputError(f"{half.id}: inside and outside of its {region.name} cross; correct their diameters.")
        parts.append(part)
    if half.back is not None:
        from coaxtell.models.solids.body_solid import dressed

        return dressed(half, parts, level)
    return parts
