"""The solid of a half: one closed mesh per part, built from the same numbers as its profile.

Level `fine` stands on the profile at its vertices; edges are sharp, 144 columns or more. Level `display` has 96
columns or more and breaks the outer edges by at most 0.15 mm so that they catch the light, as on a real part.
Axes: x right and y up as seen from the front, z out of the mating face, z = 0 at the reference plane. In mm.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from coaxtell.models import cuts
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half, Thread, Turned
from coaxtell.models.regions import Point, regions
from coaxtell.models.solids.body_solid import dressed
from coaxtell.models.solids.part import COLUMNS, Level, Material, Part
from coaxtell.models.solids.turned import from_outline, turned
from coaxtell.models.surfaces import surfaces, tooth_place

if TYPE_CHECKING:
    from manifold3d import Manifold

FLANGE = 0.25
"""Thickest flange in its widths; a thicker square is a block without mounting holes."""


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


def _shell(half: Half, level: Level) -> cuts.Mesh:
    mesh = turned(half.shell, half.thread, level)
    cutters = [*_finger_slots(half.shell, half.thread), *_flange_holes(half.shell, half.thread)]
    if half.notches is not None:
        inner = surfaces(half.shell, half.shell.inside, half.thread, inside=True)[0].r_front
        outer = surfaces(half.shell, half.shell.outside, half.thread, inside=False)[0].r_front
        cutters += cuts.rim_notches(half.notches, half.shell.rim.nominal, inner, outer)
    return cuts.cut(mesh, cutters)


def _centre(half: Half, outline: tuple[Point, ...], level: Level) -> cuts.Mesh:
    mesh = from_outline(outline, level)
    socket = half.centre.socket
    if socket is None or socket.slots is None or socket.slot_length is None or socket.slot_length.nominal <= 0:
        return mesh
    front, length = socket.tip.nominal, socket.slot_length.nominal
    outer = max(r for z, r in outline if z > front - length)
    return cuts.cut(mesh, cuts.saw_slots(socket.slots.whole, front, length, socket.hole.nominal / 2, outer))


def _nut(half: Half, level: Level) -> cuts.Mesh:
    nut = half.nut
    assert nut is not None
    mesh = turned(nut.body, nut.thread, level)
    if nut.ramps is None:
        return cuts.cut(mesh, _finger_slots(nut.body, nut.thread))
    inside = surfaces(nut.body, nut.body.inside, None, inside=True)
    reach = cuts.ramp_reach(half) + 0.05
    return cuts.cut(mesh, cuts.ramp_slots(nut.ramps, nut.body.rim.nominal, 2 * inside[0].r_front - 0.4, reach))


def _collar(half: Half, z: float) -> float:
    """Nominal outside radius of the shell at z [mm]."""
    for s in surfaces(half.shell, half.shell.outside, half.thread, inside=False):
        if s.z_front >= z > s.z_back:
            return s.r_front + (s.r_back - s.r_front) * (s.z_front - z) / (s.z_front - s.z_back)
    raise AssertionError("lugs stand on the shell")


def solid(half: Half, level: Level = "display") -> list[Part]:
    """The parts of a half as closed meshes, one for each region of its profile, at nominal size [mm].

    Raises InputError where the level is not one of these, or a part would have no body because its inside lies outside
    its outside.
    """
    if level not in COLUMNS:
        raise RefusedError("models.level", level=level, known=", ".join(COLUMNS))
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
            mesh = cuts.studs(half, half.lugs, collar, {"display": 32, "fine": 64, "small": 12, "least": 8}[level])
        elif region.role == "tooth":
            assert half.teeth is not None
            mesh = cuts.teeth_blocks(half.teeth, *tooth_place(half))
        elif region.role in ("pin", "socket"):
            material = "gold"
            mesh = _centre(half, region.outline, level)
        elif region.role == "housing":
            assert half.housing is not None
            material, colour = "plastic", "" if half.key is None else half.key.colour
            mesh = turned(half.housing, None, level)
        else:
            material = "ptfe"
            mesh = from_outline(region.outline, level)
        part = Part(region.name, region.role, region.moving, material, *mesh, colour=colour)
        if part.volume_mm3 <= 0:
            raise RefusedError("models.region_crosses", id=half.id, name=region.name)
        parts.append(part)
    if half.back is not None:
        return dressed(half, parts, level)
    return parts
