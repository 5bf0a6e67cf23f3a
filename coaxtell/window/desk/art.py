"""Halves as flat outlines in mm, ready for the pen: cut open from the side, and face on.

The outlines are the models' own; this module only gives them the colours of the bench.
"""

from __future__ import annotations

import math

import numpy as np

from coaxtell.models.apart import lain
from coaxtell.models.body import styled
from coaxtell.models.drawings import drawing, face
from coaxtell.models.drawings.outlines import body_line, cut_regions
from coaxtell.models.half import Half
from coaxtell.models.palette import FILLS
from coaxtell.models.regions import Role, regions, socket_hole
from coaxtell.models.solids.camera import camera_at
from coaxtell.models.solids.solid import solid
from coaxtell.models.surfaces import CORNERS, surfaces
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Patch, Point
from coaxtell.window.kit.theme import Colour, Palette, mixed, rgb

NUT_STEPS = 24
"""A turning nut is drawn at so many places of one turn."""


def _outsides(half: Half) -> list[tuple[float, str]]:
    """Largest radius and form of each outside surface [mm]."""
    bodies = [(half.shell, half.thread)] + ([(half.nut.body, half.nut.thread)] if half.nut is not None else [])
    if half.housing is not None:
        bodies.append((half.housing, None))
    return [
        (max(s.r_front, s.r_back), s.form)
        for body, thread in bodies
        for s in surfaces(body, body.outside, thread, inside=False)
    ]


FACE_SHARE = 0.3
"""The front of a half that a person takes for its face, as a share of its length: flanges lie behind it."""


class Extent:
    """How far a half reaches: rear, front [z, mm], widest radius, that of its face, and the ball it turns in [mm]."""

    def __init__(self, half: Half) -> None:
        """Measured on its regions."""
        points = [p for region in regions(half) for p in region.outline]
        self.rear, self.front = min(z for z, _ in points), max(z for z, _ in points)
        self.radius = max(r for _, r in points)
        self.face = max(r for z, r in points if z >= self.front - FACE_SHARE * self.length)
        self.corner = max(self.radius, *(r * CORNERS.get(form, 1.0) for r, form in _outsides(half)))
        """Radius over its corners [mm], which a nut or a housing has."""
        self.reach = math.hypot(self.length / 2, self.corner) + 0.2

    @property
    def length(self) -> float:
        """Front to rear [mm]."""
        return self.front - self.rear


class Art:
    """Outlines made once for each half, palette and place of the nut."""

    def __init__(self) -> None:
        """Nothing drawn yet."""
        self._made: dict[object, tuple[Patch, ...]] = {}
        self._extents: dict[str, Extent] = {}
        self._reaches: dict[tuple[str, str], float] = {}
        self._seen: dict[tuple[str, str, float, float], Box] = {}

    def extent(self, half: Half) -> Extent:
        """How far a half reaches."""
        found = self._extents.get(half.id)
        if found is None:
            found = self._extents[half.id] = Extent(half)
        return found

    def ends(self, half: Half, share: float) -> tuple[float, float]:
        """Rear and front [z, mm] of a half taken apart by a share from 0 to 1."""
        if not share:
            extent = self.extent(half)
            return extent.rear, extent.front
        parts = lain(half, share)
        return min(part.z0 for part in parts), max(part.z1 for part in parts)

    def dressed_reach(self, half: Half, style: str) -> float:
        """Radius of the ball in which a half with another body style turns [mm]."""
        key = (half.id, style)
        found = self._reaches.get(key)
        if found is None:
            parts = solid(styled(half, style))
            low = [min(float(part.points[:, axis].min()) for part in parts) for axis in range(3)]
            high = [max(float(part.points[:, axis].max()) for part in parts) for axis in range(3)]
            found = self._reaches[key] = math.dist(low, high) / 2
        return found

    def seen(self, half: Half, style: str, azimuth: float, elevation: float) -> Box:
        """Where a half shows in its picture from there, with another body style where one is named [mm right and down
        of the picture's middle]."""
        key = (half.id, style, azimuth, elevation)
        found = self._seen.get(key)
        if found is None:
            points = np.vstack([part.points for part in solid(styled(half, style) if style else half, "small")])
            points = points - (points.min(axis=0) + points.max(axis=0)) / 2
            camera = camera_at(azimuth, elevation)
            across, down = points @ camera.right, -points @ camera.up
            found = Box(float(across.min()), float(down.min()), float(np.ptp(across)), float(np.ptp(down)))
            self._seen[key] = found
        return found

    def cut_open(self, half: Half, palette: Palette, towards: int = 1) -> tuple[Patch, ...]:
        """A half cut open, x along its axis (towards +1: face to the right), y down [mm]: inside walls, then cuts."""
        key = ("cut open", half.id, palette.tone, towards)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = (
                *self.inside(half, palette, towards),
                *self.hole(half, palette, towards),
                *self.section(half, palette, towards),
            )
        return found

    def inside(self, half: Half, palette: Palette, towards: int = 1) -> tuple[Patch, ...]:
        """The inside walls that are seen behind the cut: of a pair, both halves' lie behind both halves' cuts."""
        key = ("inside", half.id, palette.tone, towards)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = tuple(_walls(half, palette, towards))
        return found

    def hole(self, half: Half, palette: Palette, towards: int = 1) -> tuple[Patch, ...]:
        """The hole of a socket, a void: over both halves' walls and under both halves' cuts."""
        hole = socket_hole(half)
        outline = (*_mirrored(hole, towards, 1), *reversed(_mirrored(hole, towards, -1)))
        return (Patch(outline, palette.ink, None),) if hole else ()

    def section(self, half: Half, palette: Palette, towards: int = 1, turn: float = 0.0) -> tuple[Patch, ...]:
        """The cut faces of a half; the nut turned [turns]."""
        place = round(turn * NUT_STEPS) % NUT_STEPS
        key = ("section", half.id, palette.tone, towards, place)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = tuple(_section(half, palette, towards, place / NUT_STEPS))
        return found

    def lit(self, half: Half, palette: Palette, roles: frozenset[Role]) -> tuple[Patch, ...]:
        """A half cut open with only the parts of some roles in full colour, outlined in the colour of action."""
        key = ("lit", half.id, palette.tone, roles)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = tuple(_lit(half, palette, roles))
        return found

    def face(self, half: Half, palette: Palette) -> tuple[Patch, ...]:
        """A half face on, centred on its axis [mm]."""
        key = ("face", half.id, palette.tone)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = tuple(_face(half, palette))
        return found


def colour_of(role: Role, palette: Palette) -> Colour:
    """The colour of a cut face."""
    if role == "insulator":
        return palette.ptfe
    if role in ("pin", "socket"):
        return palette.brass
    return mixed(palette.metal, palette.skin, 0.55) if role == "nut" else palette.metal


def _mirrored(points: tuple[Point, ...] | list[Point], towards: int, sign: int) -> tuple[Point, ...]:
    return tuple((towards * z, -sign * r) for z, r in points)


def _section(half: Half, palette: Palette, towards: int, turn: float) -> list[Patch]:
    found: list[Patch] = []
    for sign in (1, -1):
        angle = 0.0 if sign > 0 else math.pi
        for region in cut_regions(half, angle, math.tau * turn):
            fill = colour_of(region.role, palette)
            hatched = None if region.role in ("insulator", "pin", "socket") else mixed(fill, palette.ink, 0.35)
            found.append(Patch(_mirrored(region.outline, towards, sign), fill, palette.ink, hatched))
    return found


def _lit(half: Half, palette: Palette, roles: frozenset[Role]) -> list[Patch]:
    quiet: list[Patch] = []
    lit: list[Patch] = []
    for sign in (1, -1):
        for region in cut_regions(half, 0.0 if sign > 0 else math.pi):
            fill = colour_of(region.role, palette)
            points = _mirrored(region.outline, 1, sign)
            if region.role in roles:
                lit.append(Patch(points, fill, palette.action))
            else:
                quiet.append(Patch(points, mixed(fill, palette.raised, 0.7), mixed(palette.edge, palette.raised, 0.5)))
    return [*quiet, *lit]


def _walls(half: Half, palette: Palette, towards: int) -> list[Patch]:
    """The inside walls that are seen behind the cut."""
    shade = mixed(palette.metal, palette.ink if palette.tone == "dark" else palette.panel, 0.55)
    found: list[Patch] = []
    bodies = [(half.shell, half.thread)]
    if half.nut is not None:
        bodies.insert(0, (half.nut.body, half.nut.thread))
    for body, thread in bodies:
        line = body_line(body, thread, inside=True, angle=0.0)
        rear = surfaces(body, body.outside, thread, inside=False)[-1].z_back
        line[-1] = (rear, line[-1][1])
        area = (*_mirrored(line, towards, 1), *reversed(_mirrored(line, towards, -1)))
        found.append(Patch(area, shade, None))
        for surface in surfaces(body, body.inside, thread, inside=True):
            if surface.z_back > rear:
                x = towards * surface.z_back
                found.append(Patch(((x, surface.r_back), (x, -surface.r_back)), None, palette.ink))
    return found


def _face(half: Half, palette: Palette) -> list[Patch]:
    sheet = face.face_on(half, 1.0)
    ox, oy = sheet.width_mm / 2, 10 + (face.HEIGHT - 28) / 2
    reach = Extent(half).radius * 1.2
    recoloured = {rgb(code): role for role, code in FILLS.items()}
    found: list[Patch] = []
    for item in sheet.items:
        if isinstance(item, drawing.Text):
            continue
        outlines = item.outlines if isinstance(item, drawing.Polygon) else (item.points,)
        moved = [tuple((x - ox, y - oy) for x, y in outline) for outline in outlines]
        if any(math.hypot(x, y) > reach for outline in moved for x, y in outline):
            continue  # the sheet's own grid and scale bar
        if isinstance(item, drawing.Polygon):
            fill = None if item.fill is None else _toned(rgb(item.fill), recoloured, palette)
            found.append(Patch(moved[0], fill, palette.ink, holes=tuple(moved[1:])))
        else:
            found.append(Patch(moved[0], None, palette.ink))
    return found


def _toned(colour: Colour, roles: dict[Colour, Role], palette: Palette) -> Colour:
    """A colour of the paper drawing in the colours of the bench, as dark as it was against its role's own."""
    best: Role = "outer"
    share, nearest = 1.0, 1e9
    for own, role in roles.items():
        ratio = sum(colour) / sum(own)
        off = sum(abs(c - o * ratio) for c, o in zip(colour, own, strict=True)) + (50 if ratio > 1.01 else 0)
        if off < nearest:
            best, share, nearest = role, min(1.0, ratio), off
    r, g, b = (round(c * share) for c in colour_of(best, palette))
    return r, g, b
