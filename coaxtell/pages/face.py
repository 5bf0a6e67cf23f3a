"""A half seen face-on, at life size, from its table."""

from __future__ import annotations

import math

from coaxtell.models.half import Half, Lugs
from coaxtell.models.profile import Surface, ring_radii, surfaces
from coaxtell.pages import look
from coaxtell.pages.figure import Area, Figure, Point, Shape, circle

_MARGIN = 0.6
_METALS = {"gold": look.BRASS, "nickel": look.NICKEL, "steel": look.STEEL, "brass": look.BRASS}
_EDGE = look.SHADE


def _polygon(centre: Point, flats: float, sides: int) -> tuple[Point, ...]:
    """A regular polygon of a width across flats [mm], standing on a flat."""
    corner = flats / 2 / math.cos(math.pi / sides)
    turn = math.pi / sides + math.pi / 2
    return tuple(
        (
            centre[0] + corner * math.cos(turn + 2 * math.pi * i / sides),
            centre[1] + corner * math.sin(turn + 2 * math.pi * i / sides),
        )
        for i in range(sides)
    )


def _outline(surface: Surface, radius: float, centre: Point) -> tuple[Point, ...]:
    if surface.form == "hex":
        return _polygon(centre, 2 * radius, 6)
    if surface.form == "square":
        return _polygon(centre, 2 * radius, 4)
    if surface.form == "knurl":
        teeth = max(24, round(2 * math.pi * radius / 1.2))
        radii = [radius if i % 2 else radius - 0.25 for i in range(2 * teeth)]
        return tuple(
            (
                centre[0] + r * math.cos(math.pi * i / teeth),
                centre[1] + r * math.sin(math.pi * i / teeth),
            )
            for i, r in enumerate(radii)
        )
    return circle(centre, radius)


def _span(surface: Surface) -> float:
    """Half of the largest width a surface covers on the face [mm]."""
    radius = max(surface.r_front, surface.r_back)
    corners = {"hex": math.cos(math.pi / 6), "square": math.cos(math.pi / 4)}
    return radius / corners.get(surface.form, 1.0)


def _turned(found: list[Surface], centre: Point, fill: str, lugs: tuple[float, list[Shape]]) -> list[Shape]:
    """The outside of a body, rear first; what hides behind a wider front is left out.

    Lugs come with their place on the axis [mm] and cover what lies behind them.
    """
    shown: list[Surface] = []
    widest = 0.0
    for surface in found:
        radius = max(surface.r_front, surface.r_back)
        if radius > widest + 1e-6:
            shown.append(surface)
            widest = radius
    behind = [surface for surface in shown if surface.z_front < lugs[0]]
    front = [surface for surface in shown if surface.z_front >= lugs[0]]

    def discs(part: list[Surface]) -> list[Shape]:
        return [Area(_outline(s, max(s.r_front, s.r_back), centre), fill, _EDGE, 0.12) for s in reversed(part)]

    return [*discs(behind), *lugs[1], *discs(front)]


def _holes(found: list[Surface], centre: Point) -> list[Shape]:
    """The inside of a body, each narrower step darker than the one before."""
    shapes: list[Shape] = []
    narrowest = math.inf
    for surface in found:
        radius = min(surface.r_front, surface.r_back)
        if radius < narrowest - 1e-6:
            shade = look.SHADE if shapes else "#6B7376"
            shapes.append(Area(circle(centre, radius), shade, _EDGE, 0.12))
            narrowest = radius
    return shapes


_NO_LUGS: tuple[float, list[Shape]] = (-math.inf, [])


def _lugs(lugs: Lugs, centre: Point, fill: str) -> list[Shape]:
    shapes: list[Shape] = []
    wide, over = lugs.d.nominal / 2, lugs.over.nominal / 2
    for i in range(lugs.count):
        angle = 2 * math.pi * i / lugs.count
        along, across = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
        corners = ((0.0, -wide), (over, -wide), (over, wide), (0.0, wide))
        shapes.append(
            Area(
                tuple(
                    (
                        centre[0] + a * along[0] + b * across[0],
                        centre[1] + a * along[1] + b * across[1],
                    )
                    for a, b in corners
                ),
                fill,
                _EDGE,
                0.12,
            )
        )
    return shapes


def _middle(half: Half, centre: Point) -> list[Shape]:
    """Insulators and the centre contact."""
    shapes: list[Shape] = []
    for depth, ring in enumerate(sorted(half.insulator, key=lambda ring: ring.face.nominal)):
        inner, outer = ring_radii(half, ring)
        shapes.append(Area(circle(centre, outer), look.PTFE, _EDGE, 0.12))
        if ring.inner is not None:
            # Through a tube one sees the insulator behind it, in its shade, or else into the dark.
            shapes.append(Area(circle(centre, inner), "#D5D3CA" if depth else look.SHADE, _EDGE, 0.12))
    contact = half.centre
    shapes.append(Area(circle(centre, contact.d.nominal / 2), look.BRASS, _EDGE, 0.05))
    if contact.pin is not None:
        shapes.append(Area(circle(centre, contact.pin.d.nominal / 2), look.BRASS, _EDGE, 0.05))
        shapes.append(Area(circle(centre, contact.pin.d.nominal / 5), "#F6E3AE"))
    elif contact.socket is not None:
        if contact.socket.od is not None:
            shapes.append(Area(circle(centre, contact.socket.od.nominal / 2), look.BRASS, _EDGE, 0.05))
        shapes.append(Area(circle(centre, contact.socket.hole.nominal / 2), look.SHADE, _EDGE, 0.05))
    return shapes


def figure(half: Half) -> Figure:
    """The half face-on at life size, on a sheet just large enough for it."""
    metal = _METALS[half.finish]
    shell = surfaces(half.shell, half.shell.outside, half.thread, inside=False)
    bore = surfaces(half.shell, half.shell.inside, half.thread, inside=True)
    spans = [_span(surface) for surface in shell]
    if half.nut is not None:
        nut = surfaces(half.nut.body, half.nut.body.outside, half.nut.thread, inside=False)
        hollow = surfaces(half.nut.body, half.nut.body.inside, half.nut.thread, inside=True)
        spans = [_span(surface) for surface in nut]
    if half.lugs is not None:
        spans.append(half.lugs.over.nominal / 2)
    size = 2 * (max(spans) + _MARGIN)
    centre = (size / 2, size / 2)
    shapes: list[Shape] = []
    if half.nut is not None:
        shapes += _turned(nut, centre, metal, _NO_LUGS)
        shapes += _holes(hollow, centre)
        # Inside the nut one sees the front of the shell alone, up to the bore of the nut.
        mouth = min(min(s.r_front, s.r_back) for s in hollow)
        shell = [s for s in shell if max(s.r_front, s.r_back) <= mouth] or shell[:1]
    lugs = _NO_LUGS if half.lugs is None else (half.lugs.centre.nominal, _lugs(half.lugs, centre, metal))
    shapes += _turned(shell, centre, metal, lugs)
    shapes += _holes(bore, centre)
    shapes += _middle(half, centre)
    return Figure(size, size, tuple(shapes), f"{half.name}, face-on, life size")
