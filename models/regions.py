"""The cut regions of a half: closed outlines of (z, r) for drawings and for solids, at nominal size. In mm."""

from __future__ import annotations

from typing import Literal, NamedTuple

from coaxtell.models.catalogue import piece
from coaxtell.models.half import Half, Nut, Socket, Thread, Turned
from coaxtell.models.surfaces import ring_radii, shell_outside, surfaces, tooth_place

Role = Literal["outer", "finger", "thread", "insulator", "pin", "socket", "lug", "tooth", "nut", "housing"]
Point = tuple[float, float]

PIN_NOSE = 0.45
"""Length of a pin's shaped end in pin diameters; drawn so, no number of the table."""
CONE_TIP = 0.35
"""Tip of a coned pin in pin diameters."""


class Region(NamedTuple):
    """One cut region: its name, role, whether it moves with the nut, and its closed outline of (z, r) [mm]."""

    name: str
    role: Role
    moving: bool
    outline: tuple[Point, ...]


def nut_name(nut: Nut) -> str:
    """What the moving part is called."""
    if nut.thread is not None:
        return "nut"
    return piece("bayonet_sleeve") if nut.ramps is not None else piece("locking_sleeve")


def _body_outline(body: Turned, thread: Thread | None) -> tuple[Point, ...]:
    outside = surfaces(body, body.outside, thread, inside=False)
    inside = surfaces(body, body.inside, thread, inside=True)
    end = outside[-1].z_back
    out = [p for s in outside for p in ((s.z_front, s.r_front), (s.z_back, s.r_back))]
    back: list[Point] = []
    for i, s in enumerate(inside):
        z_back = end if i + 1 == len(inside) else s.z_back
        back += [(s.z_front, s.r_front), (z_back, s.r_back)]
    return _tidy([*out, *reversed(back)])


def _tidy(points: list[Point]) -> tuple[Point, ...]:
    kept: list[Point] = []
    for point in points:
        if not kept or point != kept[-1]:
            kept.append(point)
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    return tuple(kept)


def _pin_nose(r: float, tip: float, end: str) -> list[Point]:
    """Outline of the pin's end from its tip on the axis to its full radius."""
    if end == "cut":
        return [(tip, 0.0), (tip, r * 0.8), (tip - r * 0.2, r)]
    if end == "cone":
        return [(tip, 0.0), (tip, r * CONE_TIP), (tip - 2 * r * PIN_NOSE, r)]
    flat = 0.3 * r
    length = 2 * r * PIN_NOSE
    arc = [
        (tip - length * (1 - (1 - t * t) ** 0.5), flat + (r - flat) * t) for t in (0.0, 0.25, 0.5, 0.7, 0.85, 0.95, 1.0)
    ]
    return [(tip, 0.0), *arc]


def centre_outline(half: Half) -> tuple[Point, ...]:
    """Cut outline of the inner conductor with its pin or socket, closed along the axis [mm]."""
    centre = half.centre
    back = _back(half)
    r = centre.d.nominal / 2
    if centre.butt is not None:
        face = centre.butt.face.nominal
        return ((face, 0.0), (face, r), (back, r), (back, 0.0))
    if centre.pin is not None:
        pin = centre.pin
        points = _pin_nose(pin.d.nominal / 2, pin.tip.nominal, pin.end)
        points += [(pin.shoulder.nominal, pin.d.nominal / 2), (pin.shoulder.nominal, r), (back, r), (back, 0.0)]
        return _tidy(points)
    socket = centre.socket
    assert socket is not None
    tip, bottom, hole = socket.tip.nominal, socket.bottom.nominal, socket.hole.nominal / 2
    outer = r if socket.od is None else socket.od.nominal / 2
    lead = min(0.1 * hole + 0.02, (outer - hole) * 0.6)
    points = [*_hole(socket, back)[:2], (tip - lead, hole), (tip, hole + lead), (tip, outer)]
    if socket.od is not None and socket.od.nominal < centre.d.nominal:
        neck = tip - 0.35 * (tip - bottom)
        points += [(neck, outer), (neck, r)]
    points += [(back, r), (back, 0.0)]
    return _tidy(points)


def socket_hole(half: Half) -> tuple[Point, ...]:
    """The hole of a socket from its tip to the drill's point on the axis [mm]; empty where there is none."""
    return () if half.centre.socket is None else tuple(_hole(half.centre.socket, _back(half)))


def _back(half: Half) -> float:
    return min(s.to.nominal for s in (half.shell.inside[-1], half.shell.outside[-1]))


def _hole(socket: Socket, back: float) -> list[Point]:
    tip, bottom, hole = socket.tip.nominal, socket.bottom.nominal, socket.hole.nominal / 2
    # a drill leaves a cone of 118 degrees at the bottom of the hole
    return [(max(bottom - hole / 1.664, back), 0.0), (bottom, hole), (tip, hole)]


def regions(half: Half) -> list[Region]:
    """The cut regions of a half for drawing and for solids, at nominal size: shell, insulators, centre, nut."""
    found = [Region("shell", "outer", False, _body_outline(half.shell, half.thread))]
    back = _back(half)
    for ring in half.insulator:
        inner, outer = ring_radii(half, ring)
        face, end = ring.face.nominal, max(ring.back.nominal, back)
        outline = ((face, inner), (face, outer), (end, outer), (end, inner))
        found.append(Region(ring.name, "insulator", False, outline))
    role: Role = "pin" if half.centre.pin is not None else "socket"
    name = role if half.centre.butt is None else "centre"
    found.append(Region(name, role, False, centre_outline(half)))
    if half.lugs is not None:
        lug = half.lugs
        collar, over = shell_outside(half, lug.centre.nominal), lug.over.nominal / 2
        low, high = (lug.centre.nominal + sign * lug.d.nominal / 2 for sign in (-1, 1))
        found.append(Region("lug", "lug", False, ((high, collar), (high, over), (low, over), (low, collar))))
    if half.teeth is not None:
        z, inner, outer = tooth_place(half)
        high = z + half.teeth.height.nominal
        found.append(
            Region(piece("index_tooth"), "tooth", False, ((high, inner), (high, outer), (z, outer), (z, inner)))
        )
    if half.housing is not None:
        found.append(Region("housing", "housing", False, _body_outline(half.housing, None)))
    if half.nut is not None:
        found.append(Region(nut_name(half.nut), "nut", True, _body_outline(half.nut.body, half.nut.thread)))
    return found
