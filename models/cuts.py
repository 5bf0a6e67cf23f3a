"""What a mill takes off a turned part: slots, bayonet ramps, flange holes; and the round bayonet studs.

Widths that no table states are drawn so, as fractions of the part, and named here. Lengths in mm.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half, Lugs, Notches, Ramps, Teeth
from coaxtell.models.helix import Array, Index
from coaxtell.models.surfaces import surfaces

if TYPE_CHECKING:
    from manifold3d import Manifold

Mesh = tuple[Array, Index]

SLOT_WIDTH = 0.065
"""Width of a saw slot in diameters of the part it cuts."""
SLIVER = 1e-5
"""Edges shorter than this are collapsed where bodies are joined [mm]."""
CLEAR = 0.2
"""How far a cutter reaches past the material [mm]."""
RAMP_RISE = 0.7
"""Axial rise of a bayonet ramp from its entry to its lock, in slot widths."""
RAMP_DIP = 0.18
"""How far the ramp passes the lock before the lug drops into it, in slot widths."""
HOLE = 0.126
"""Mounting hole of a square flange in flange widths: 3.2 mm in 25.4 mm."""
CORNER = 0.68
"""Rounded corner of a square flange, radius from the axis in flange widths."""
HEX_CHAMFER = math.tan(math.radians(30))
"""Axial fall of a hexagon's chamfer over its radius: the usual 30 degrees."""


def _manifold(mesh: Mesh) -> Manifold:
    import manifold3d

    points, faces = mesh
    body = manifold3d.Manifold(
        manifold3d.Mesh64(np.ascontiguousarray(points, dtype=np.float64), faces.astype(np.uint64))
    )
    if body.status() != manifold3d.Error.NoError:
        raise RefusedError("models.not_closed", name=body.status().name)
    return body


def _mesh(body: Manifold) -> Mesh:
    found = body.to_mesh64()
    return np.asarray(found.vert_properties)[:, :3].copy(), np.asarray(found.tri_verts).astype(np.int64)


def cut(mesh: Mesh, cutters: list[Manifold]) -> Mesh:
    """The mesh without what the cutters take away; raises InputError where it is not closed."""
    import manifold3d

    if not cutters:
        return mesh
    body = manifold3d.Manifold.batch_boolean([_manifold(mesh), *cutters], manifold3d.OpType.Subtract)
    return _mesh(body)


def as_manifold(mesh: Mesh) -> Manifold:
    """The mesh as a body to cut and join; raises InputError where it is not closed."""
    return _manifold(mesh)


def as_mesh(body: Manifold) -> Mesh:
    """Points [mm] and triangles of a body."""
    return _mesh(body)


def join(mesh: Mesh, others: list[Manifold]) -> Mesh:
    """The mesh made one piece with other bodies; raises InputError where it is not closed."""
    import manifold3d

    whole = manifold3d.Manifold.batch_boolean([_manifold(mesh), *others], manifold3d.OpType.Add)
    return _mesh(whole.simplify(SLIVER))


def quarter_away(mesh: Mesh) -> Mesh:
    """The mesh without its quarter at x > 0, y > 0 (upper right as seen from the front)."""
    points = mesh[0]
    reach = float(np.abs(points).max()) + 1.0
    import manifold3d

    box = manifold3d.Manifold.cube((reach, reach, 2 * reach)).translate((0.0, 0.0, -reach))
    return cut(mesh, [box])


def saw_slots(count: int, front: float, length: float, inner: float, outer: float) -> list[Manifold]:
    """Saw cuts from the front rim [z, mm] back, evenly round the axis, through the wall inner..outer [mm]."""
    import manifold3d

    width = SLOT_WIDTH * 2 * outer
    box = manifold3d.Manifold.cube((outer + CLEAR - inner / 2, width, length + CLEAR)).translate(
        (inner / 2, -width / 2, front - length)
    )
    return [box.rotate((0.0, 0.0, 360.0 * (k + 0.5) / count)) for k in range(count)]


def ramp_path(ramps: Ramps, front: float) -> list[tuple[float, float]]:
    """Way of a lug's centre through its slot: angle [deg] and z [mm], from the mouth to the lock.

    The sleeve turns clockwise for the person behind it, so seen from the front the lug travels clockwise.
    """
    width, lock, turn = ramps.width.nominal, ramps.lock.nominal, ramps.turn.nominal
    start = min(lock + RAMP_RISE * width, front - width / 2)
    deepest = lock - RAMP_DIP * width
    path = [(0.0, front + width), (0.0, start)]
    steps = 12
    path += [(-0.86 * turn * k / steps, start + (deepest - start) * k / steps) for k in range(1, steps + 1)]
    path += [(-0.93 * turn, lock - RAMP_DIP * width * 0.8), (-turn, lock)]
    return path


def ramp_reach(half: Half) -> float:
    """Radius [mm] to which bayonet slots are milled: through the thinnest wall they pass."""
    assert half.nut is not None
    assert half.nut.ramps is not None
    body = half.nut.body
    deepest = min(z for _, z in ramp_path(half.nut.ramps, body.rim.nominal))
    passed = [s for s in surfaces(body, body.outside, None, inside=False) if s.z_front > deepest]
    return min(min(s.r_front, s.r_back) for s in passed)


def ramp_slots(ramps: Ramps, front: float, bore: float, reach: float) -> list[Manifold]:
    """Bayonet slots of a sleeve, from its bore outwards to the radius `reach` [mm]."""
    import manifold3d

    width = ramps.width.nominal
    stud = manifold3d.Manifold.cylinder(reach - bore / 2, width / 2, width / 2, 32)
    stud = stud.rotate((0.0, 90.0, 0.0)).translate((bore / 2, 0.0, 0.0))
    places = [stud.rotate((0.0, 0.0, a)).translate((0.0, 0.0, z)) for a, z in ramp_path(ramps, front)]
    legs = [a + b for a, b in pairwise(places)]
    slot = manifold3d.Manifold.batch_boolean([leg.hull() for leg in legs], manifold3d.OpType.Add)
    return [slot.rotate((0.0, 0.0, 360.0 * k / ramps.count.whole)) for k in range(ramps.count.whole)]


def flange_holes(flat: float, neighbour: float, front: float, rear: float) -> list[Manifold]:
    """Four mounting holes in a square flange, midway between the body and the corners; none where no room is.

    `flat`: width over flats, `neighbour`: widest radius beside the flange, both in mm.
    """
    import manifold3d

    radius, away = HOLE * flat / 2, (neighbour + CORNER * flat) / 2
    if away - radius < neighbour + 0.3 or away + radius > CORNER * flat - 0.3:
        return []
    length = front - rear + 2 * CLEAR
    hole = manifold3d.Manifold.cylinder(length, radius, radius, 48).translate((away, 0.0, rear - CLEAR))
    return [hole.rotate((0.0, 0.0, 45.0 + 90.0 * k)) for k in range(4)]


def rim_notches(notches: Notches, rim: float, inner: float, outer: float) -> list[Manifold]:
    """Half-round notches across a rim [z, mm], through the wall inner..outer [mm], evenly round the axis."""
    import manifold3d

    r, count = notches.r.nominal, notches.count.whole
    bar = manifold3d.Manifold.cylinder(outer - inner + 2 * CLEAR, r, r, 48)
    bar = bar.rotate((0.0, 90.0, 0.0)).translate((inner - CLEAR, 0.0, rim))
    return [bar.rotate((0.0, 0.0, 360.0 * k / count)) for k in range(count)]


def teeth_blocks(teeth: Teeth, z: float, inner: float, outer: float) -> Mesh:
    """Index teeth standing on a shoulder at z from its inner to its outer radius [mm], evenly round the axis."""
    half_angle = teeth.width.nominal / (inner + outer)
    turns = np.linspace(-half_angle, half_angle, 9)
    ring = np.column_stack([np.cos(turns), np.sin(turns)])
    low, high = z, z + teeth.height.nominal
    corners = ((outer, low), (outer, high), (inner, high), (inner, low))
    one = np.concatenate([np.column_stack([r * ring, np.full(len(turns), at)]) for r, at in corners])
    n = len(turns)
    rows = [np.arange(n) + n * k for k in range(4)]
    faces: list[Index] = []
    for a, b in pairwise([*rows, rows[0]]):
        faces += [np.column_stack([a[:-1], a[1:], b[1:]]), np.column_stack([a[:-1], b[1:], b[:-1]])]
    first, last = [row[0] for row in rows], [row[-1] for row in rows]
    faces.append(np.array([[first[0], first[1], first[2]], [first[0], first[2], first[3]]]))
    faces.append(np.array([[last[0], last[2], last[1]], [last[0], last[3], last[2]]]))
    sides = np.concatenate(faces).astype(np.int64)
    return _round_the_axis(one, sides, teeth.count.whole)


def _round_the_axis(one: Array, sides: Index, count: int) -> Mesh:
    """Copies of a mesh, evenly round the axis."""
    made: list[Array] = []
    for k in range(count):
        turn = math.tau * k / count
        turned = np.array([[math.cos(turn), math.sin(turn), 0], [-math.sin(turn), math.cos(turn), 0], [0, 0, 1]])
        made.append(one @ turned)
    return np.concatenate(made), np.concatenate([sides + k * len(one) for k in range(count)])


def studs(half: Half, lugs: Lugs, collar: float, columns: int) -> Mesh:
    """Round studs standing on a collar of that radius [mm], evenly round the axis."""
    around = np.arange(columns) * math.tau / columns
    radius, tip = lugs.d.nominal / 2, lugs.over.nominal / 2
    shares = np.array([1.0, 0.75, 0.5, 0.25]) if columns < 48 else np.linspace(1.0, 0.1, 10)
    across, along = np.cos(around), np.sin(around)
    z = lugs.centre.nominal
    points: list[Array] = [np.array([[tip, 0.0, z], [collar, 0.0, z]])]
    points.append(np.column_stack([np.full(columns, tip), radius * across, z + radius * along]))
    for share in shares:
        y = share * radius * across
        points.append(np.column_stack([np.sqrt(collar**2 - y**2), y, z + share * radius * along]))
    rows = [2 + columns * k + np.append(np.arange(columns), 0) for k in range(len(shares) + 1)]
    faces: list[Index] = [np.column_stack([np.zeros(columns, int), rows[0][:-1], rows[0][1:]])]
    for a, b in pairwise(rows):
        faces += [np.column_stack([a[:-1], b[:-1], b[1:]]), np.column_stack([a[:-1], b[1:], a[1:]])]
    faces.append(np.column_stack([rows[-1][:-1], np.ones(columns, int), rows[-1][1:]]))
    one, sides = np.concatenate(points), np.concatenate(faces).astype(np.int64)
    return _round_the_axis(one, sides, lugs.count.whole)
