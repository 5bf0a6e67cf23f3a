"""A half seen face on, as a drawing: what looks at the person, nearest last."""

from __future__ import annotations

import math
from typing import NamedTuple

from coaxtell.models import cuts
from coaxtell.models.catalogue import tell
from coaxtell.models.cuts import ramp_reach
from coaxtell.models.drawings.drafting import best_scale, grid, scale_bar, sheet, text
from coaxtell.models.drawings.drawing import Drawing, Item, Line, Point, Polygon, circle
from coaxtell.models.half import Half, Thread, Turned
from coaxtell.models.palette import FILLS, HOLLOW, INK, fill
from coaxtell.models.regions import Role, regions
from coaxtell.models.surfaces import surfaces, tooth_place

WIDTH, HEIGHT = 90.0, 96.0
"""The sheet [mm]."""
KNURL_TICKS = 60


SLEEVE_TURN = math.radians(-20)
"""How far a bayonet sleeve, which turns freely, is drawn turned: whole at the cut, its slots in sight."""
NOTCH = "#6E838F"
"""The shaded bottom of a notch in metal."""


class _Layer(NamedTuple):
    """One visible surface: how near it lies [z, mm], its outlines about the axis [mm], its colour."""

    z: float
    outlines: tuple[tuple[Point, ...], ...]
    fill: str


def _shade(colour: str, depth: float) -> str:
    """A colour the darker the deeper it lies, down to seven tenths at 15 mm."""
    share = 1 - 0.3 * min(max(depth, 0.0) / 15, 1.0)
    parts = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(p * share):02X}" for p in parts)


def _polygon(sides: int, flat: float, corner: float) -> tuple[Point, ...]:
    points: list[Point] = []
    for k in range(240):
        turn = math.tau * (k + 0.5) / 240
        off = (turn + math.pi / sides) % (math.tau / sides) - math.pi / sides
        radius = min(flat / math.cos(off), corner)
        points.append((radius * math.cos(turn), radius * math.sin(turn)))
    return tuple(points)


def _front(outline: tuple[Point, ...]) -> list[tuple[float, float, float]]:
    """Rings of an outline that look to the front: inner and outer radius and the nearest z [mm]."""
    turning = sum(z0 * r1 - z1 * r0 for (z0, r0), (z1, r1) in zip(outline, (*outline[1:], outline[0]), strict=True))
    order = outline if turning > 0 else tuple(reversed(outline))
    rings: list[tuple[float, float, float]] = []
    end = math.inf
    for (z0, r0), (z1, r1) in zip(order, (*order[1:], order[0]), strict=True):
        if r1 <= r0 + 1e-9:
            continue
        near = max(z0, z1)
        joined = rings and abs(rings[-1][1] - r0) < 1e-9 and abs(end - z0) < 1e-9
        end = z1
        if z0 != z1 and joined:
            # a nose or bevel is one surface to the eye, however many facets draw it
            rings[-1] = (rings[-1][0], r1, max(near, rings[-1][2]))
        else:
            rings.append((r0, r1, near))
    return rings


def _in_the_hole(half: Half, outer: float, z: float) -> bool:
    """Whether a surface is the bottom of the socket's hole: to the eye a dark opening, not contact metal."""
    socket = half.centre.socket
    return socket is not None and z < socket.tip.nominal - 1e-6 and outer <= socket.hole.nominal / 2 + 1e-6


def _layers(half: Half) -> list[_Layer]:
    front = max(z for region in regions(half) for z, _ in region.outline)
    layers: list[_Layer] = []
    squares = _squares(half)
    for region in regions(half):
        if region.role == "lug":
            continue
        for inner, outer, z in _front(region.outline):
            # a square is flat to its corners: no circle shows on it, as the chamfer does on a hexagon
            square = any(abs(at - z) < 1e-6 and abs(flat - outer) < 1e-6 for at, flat in squares)
            edge = _polygon(4, outer, 2 * cuts.CORNER * outer) if square else circle((0, 0), outer)
            ring = (edge, circle((0, 0), inner)) if inner > 1e-9 else (edge,)
            hollow = region.role == "socket" and _in_the_hole(half, outer, z)
            layers.append(_Layer(z, ring, HOLLOW if hollow else _shade(fill(half, region.role), front - z)))
    for role, body, thread in bodies(half):
        mouth = surfaces(body, body.inside, thread, inside=True)[0].r_front
        for z, form, flat in _forms(body, thread):
            sides = 6 if form == "hex" else 4
            corner = flat / math.cos(math.pi / 6) if form == "hex" else 2 * cuts.CORNER * flat
            colour = _shade(fill(half, role), front - z + (1.5 if form == "hex" else 0.0))
            layers.append(_Layer(z - 1e-3, (_polygon(sides, flat, corner), circle((0, 0), mouth)), colour))
    return sorted(layers, key=lambda layer: layer.z)


def bodies(half: Half) -> list[tuple[Role, Turned, Thread | None]]:
    """The turned bodies of a half with their roles and threads."""
    found: list[tuple[Role, Turned, Thread | None]] = [("outer", half.shell, half.thread)]
    if half.housing is not None:
        found.append(("housing", half.housing, None))
    if half.nut is not None:
        found.append(("nut", half.nut.body, half.nut.thread))
    return found


def _squares(half: Half) -> list[tuple[float, float]]:
    """Front z and half width over flats of the square steps [mm]."""
    return [(z, flat) for _, body, thread in bodies(half) for z, form, flat in _forms(body, thread) if form == "square"]


def _forms(body: Turned, thread: Thread | None) -> list[tuple[float, str, float]]:
    """Front z, form and half width over flats of the hexagons and squares of a body [mm]."""
    found = surfaces(body, body.outside, thread, inside=False)
    return [(s.z_front, s.form, s.r_front) for s in found if s.form in ("hex", "square")]


def _socket_slots(half: Half, at: Point, scale: float) -> list[Item]:
    """The saw cuts of a slotted socket."""
    socket = half.centre.socket
    if socket is None or socket.slots is None:
        return []
    items: list[Item] = []
    outer = (socket.od or half.centre.d).nominal / 2
    for k in range(socket.slots.whole):
        turn = math.tau * (k + 0.5) / socket.slots.whole
        ends = tuple(
            (at[0] + scale * r * math.cos(turn), at[1] - scale * r * math.sin(turn))
            for r in (socket.hole.nominal / 2, outer)
        )
        items.append(Line(ends, INK, scale * cuts.SLOT_WIDTH * 2 * outer))
    return items


def _studs(half: Half, at: Point, scale: float) -> list[Item]:
    """Bayonet studs beside the collar."""
    if half.lugs is None:
        return []
    lug = half.lugs
    items: list[Item] = []
    collar = half.shell.outside[0].d
    inner = collar.nominal / 2 if collar is not None else 0.0
    wide, tip = lug.d.nominal / 2, lug.over.nominal / 2
    for k in range(lug.count.whole):
        box = [(inner, -wide), (tip, -wide), (tip, wide), (inner, wide)]
        items.append(Polygon((_rotated(box, math.tau * k / lug.count.whole, at, scale),), FILLS["lug"], INK, 0.2))
    return items


def _rotated(points: list[Point], turn: float, at: Point, scale: float) -> tuple[Point, ...]:
    """Points about the axis turned counter-clockwise [rad], on paper."""
    c, s = math.cos(turn), math.sin(turn)
    return tuple((at[0] + scale * (u * c - v * s), at[1] - scale * (u * s + v * c)) for u, v in points)


def _slot_mouths(half: Half, at: Point, scale: float) -> list[Item]:
    """Mouths of the bayonet slots in the sleeve's rim."""
    if half.nut is None or half.nut.ramps is None:
        return []
    ramps = half.nut.ramps
    inner, outer = surfaces(half.nut.body, half.nut.body.inside, None, inside=True)[0].r_front, ramp_reach(half)
    wide = ramps.width.nominal / 2
    colour = _shade(fill(half, "nut"), 15.0)
    items: list[Item] = []
    for k in range(ramps.count.whole):
        corners = ((inner, -wide), (outer, -wide), (outer, wide), (inner, wide))
        sides = [(math.sqrt(r * r - v * v), v) for r, v in corners]
        turn = SLEEVE_TURN + math.tau * k / ramps.count.whole
        items.append(Polygon((_rotated(sides, turn, at, scale),), colour, INK, 0.2))
    return items


def _rim_notches(half: Half, at: Point, scale: float) -> list[Item]:
    """Index notches across the rim, seen into."""
    if half.notches is None:
        return []
    inner = surfaces(half.shell, half.shell.inside, half.thread, inside=True)[0].r_front
    outer = surfaces(half.shell, half.shell.outside, half.thread, inside=False)[0].r_front
    return _round_blocks(half.notches.count.whole, inner, outer, 2 * half.notches.r.nominal, NOTCH, at, scale)


def _index_teeth(half: Half, at: Point, scale: float) -> list[Item]:
    """Index teeth on the shoulder."""
    if half.teeth is None:
        return []
    _, inner, outer = tooth_place(half)
    return _round_blocks(half.teeth.count.whole, inner, outer, half.teeth.width.nominal, FILLS["tooth"], at, scale)


def _round_blocks(
    count: int, inner: float, outer: float, width: float, colour: str, at: Point, scale: float
) -> list[Item]:
    """Blocks across a ring, evenly round the axis."""
    items: list[Item] = []
    for k in range(count):
        turn, half_angle = math.tau * k / count, width / (inner + outer)
        corners = [(inner, -1), (outer, -1), (outer, 1), (inner, 1)]
        points = tuple(
            (at[0] + scale * r * math.cos(turn + s * half_angle), at[1] - scale * r * math.sin(turn + s * half_angle))
            for r, s in corners
        )
        items.append(Polygon((points,), colour, INK, 0.15))
    return items


def _knurl_edge(half: Half, at: Point, scale: float) -> list[Item]:
    """Ticks round a knurled rim, as a drawing marks a knurl."""
    items: list[Item] = []
    for _, body, thread in bodies(half):
        for s in surfaces(body, body.outside, thread, inside=False):
            if s.form == "knurl":
                for k in range(KNURL_TICKS):
                    turn = math.tau * k / KNURL_TICKS
                    ends = tuple(
                        (at[0] + scale * r * math.cos(turn), at[1] - scale * r * math.sin(turn))
                        for r in (s.r_front * 0.96, s.r_front)
                    )
                    items.append(Line(ends, INK, 0.15))
    return items


def reach(half: Half) -> float:
    """How far the half reaches from its axis, seen face on [mm]."""
    return max(math.hypot(*p) for layer in _layers(half) for outline in layer.outlines for p in outline)


def extent(half: Half) -> tuple[float, float]:
    """How far the half reaches to the side and up from its axis, seen face on [mm]."""
    points = [p for layer in _layers(half) for outline in layer.outlines for p in outline]
    wide, high = max(abs(x) for x, _ in points), max(abs(y) for _, y in points)
    if half.lugs is not None:
        wide = max(wide, half.lugs.over.nominal / 2)
    return wide, high


def parts(half: Half, at: Point, scale: float) -> list[Item]:
    """The half seen along its axis from the mate's side, its axis at a place on paper, without sheet or words."""
    items: list[Item] = []
    studs_at = half.lugs.centre.nominal if half.lugs is not None else math.inf
    drawn = half.lugs is None
    for layer in _layers(half):
        if not drawn and layer.z > studs_at:
            items += _studs(half, at, scale)
            drawn = True
        outlines = tuple(
            tuple((at[0] + scale * x, at[1] - scale * y) for x, y in outline) for outline in layer.outlines
        )
        items.append(Polygon(outlines, layer.fill, INK, 0.2))
    index = _slot_mouths(half, at, scale) + _rim_notches(half, at, scale) + _index_teeth(half, at, scale)
    return items + index + _socket_slots(half, at, scale) + _knurl_edge(half, at, scale)


def face_on(half: Half, scale: float | None = None) -> Drawing:
    """The half seen along its axis from the mate's side, with name and scale bar.

    `scale`: paper millimetres for one of the part; without it the largest that fits the sheet.
    """
    across = 2 * reach(half)
    scale = scale or best_scale(across, across, (WIDTH - 12, HEIGHT - 28))
    at = (WIDTH / 2, 10 + (HEIGHT - 28) / 2)
    items = grid(WIDTH, HEIGHT, scale, at) + parts(half, at, scale)
    items.append(text((WIDTH / 2, HEIGHT - 13), half.name, anchor="middle"))
    items += scale_bar(WIDTH - 5, HEIGHT - 5, scale)
    return sheet(WIDTH, HEIGHT, tell("drawing.face", half=half.name), scale, items)
