"""Where jaws, pins and gauges go on this kind of port: the likeliest half cut open with the instrument at its place."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from coaxtell.identifier.features import Feature
from coaxtell.identifier.sizes import nominal_size
from coaxtell.models.drawings.outlines import cut_regions
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP, mixed

Tool = Literal["outside jaws", "inside jaws", "gauge pin", "thread gauge"]
PARTS: dict[Feature, tuple[str, ...]] = {
    Feature.PIN_DIAMETER: ("pin",),
    Feature.SOCKET_BORE: ("socket",),
    Feature.NUT_WIDTH: ("nut", "housing"),
}
"""Roles of the regions that are measured, where it is not the coupling or the shell."""
NEAR = 0.35
"""How far from the size a corner of an outline may lie and still belong to the surface measured [mm]."""
FRONT = 1.0
"""How far behind its front end a contact is measured at most [mm]."""
JAW = 1.2
"""Thickness of a jaw as it is drawn, in a tenth of the half's length and this [mm] at most."""


class Place(NamedTuple):
    """Where a tool touches: place along the axis and radius [mm], and which tool it is."""

    z: float
    r: float
    tool: Tool


def place(half: Half, feature: Feature, reach: Measure) -> Place | None:
    """Where and with what a feature is measured on a half; none where it has no such part."""
    if feature is Feature.THREADS:
        if half.coupling_thread is None:
            return None
        size = nominal_size(half, Feature.COUPLING_DIAMETER, reach)
    else:
        size = nominal_size(half, feature, reach)
    if size is None:
        return None
    r = size / 2
    spans = _surfaces(half, feature, r)
    if not spans:
        return None
    inner = feature in (Feature.BORE, Feature.SOCKET_BORE) or (
        feature in (Feature.COUPLING_DIAMETER, Feature.THREADS) and half.nut is not None and half.thread is None
    )
    low, high = max(spans, key=lambda s: (s[1], s[1] - s[0])) if inner else max(spans, key=lambda s: s[1] - s[0])
    z = high - 0.35 * (high - low) if inner else (low + high) / 2
    if feature in PARTS and feature is not Feature.NUT_WIDTH:
        # a contact is as thick at its root, where nothing reaches: its front end is measured
        z = high - min(FRONT, 0.35 * (high - low))
    if feature is Feature.THREADS:
        return Place((low + high) / 2, r, "thread gauge")
    if feature is Feature.SOCKET_BORE:
        return Place(z, r, "gauge pin")
    return Place(z, r, "inside jaws" if inner else "outside jaws")


def _surfaces(half: Half, feature: Feature, r: float) -> list[tuple[float, float]]:
    """Spans along the axis [mm] of the outline edges at about a radius."""
    roles = PARTS.get(feature)
    found: list[tuple[float, float]] = []
    for region in cut_regions(half, 0.0):
        if roles is not None and region.role not in roles:
            continue
        if roles is None and region.role in ("pin", "socket", "insulator"):
            continue
        at = [z for z, radius in region.outline if abs(radius - r) <= NEAR]
        if len(at) > 1 and max(at) - min(at) > 0.1:
            found.append((min(at), max(at)))
    return found


def draw(pen: Pen, box: Box, desk: Desk, half: Half, feature: Feature, reach: Measure) -> None:
    """The half cut open in a box, and the tool where it belongs."""
    at = place(half, feature, reach)
    extent = desk.art.extent(half)
    pen.fill(box, pen.palette.bench, 6)
    if at is None:
        return
    small = pen.type.line(SMALL)
    outer = at.tool == "outside jaws" or (at.tool == "thread gauge" and half.thread is not None)
    over = 2.6 if outer else 0.6
    tall, wide = 2 * (extent.radius + over), extent.length + 8.0
    told = f"{at.tool} on the {half.name}"
    foot = len(pen.type.folded(told, SMALL, box.w - 2 * STEP)) * small
    room = Box(box.x + STEP, box.y + STEP, box.w - 2 * STEP, box.h - foot - 2 * STEP)
    per_mm = min(room.w / wide, room.h / tall)
    x0 = room.x + (room.w - wide * per_mm) / 2 - extent.rear * per_mm
    axis = room.middle[1]
    area = Box(x0 + extent.rear * per_mm, axis - extent.radius * per_mm, extent.length * per_mm,
               2 * extent.radius * per_mm)  # fmt: skip
    with pen.clipped(box):
        pen.shape(desk.art.cut_open(half, pen.palette), (x0, axis), per_mm, area, f"{half.id} measured")
        _tool(pen, at, x0, axis, per_mm, extent.front, extent.radius, outer)
    pen.lines(told, Box(room.x, room.bottom + STEP / 2, room.w, foot), SMALL, pen.palette.quiet)


def _tool(pen: Pen, at: Place, x0: float, axis: float, per_mm: float, front: float, radius: float, outer: bool) -> None:
    p = pen.palette
    steel, edge = mixed(p.action, p.bench, 0.35), p.action
    x, thick = x0 + at.z * per_mm, max(5.0, JAW * per_mm)
    from_front = outer and at.r < 0.5 * radius
    if from_front:
        thick = max(4.0, 0.6 * JAW * per_mm)
    mouth = x0 + (front + 5.0) * per_mm
    if at.tool == "gauge pin":
        shaft = Box(x, axis - at.r * per_mm, mouth - x, 2 * at.r * per_mm)
        pen.fill(shaft, steel)
        pen.frame(shaft, edge, 1.4, 0)
        return
    for sign in (1, -1):
        touch = axis - sign * at.r * per_mm
        if at.tool == "thread gauge":
            _comb(pen, x, touch, sign if outer else -sign, per_mm)
            break
        if from_front:
            # a pin within its shell is reached through the mouth
            jaw = Box(x - thick / 2, touch - thick if sign > 0 else touch, mouth - x + thick / 2, thick)
        elif outer:
            far = axis - sign * (radius + 2.4) * per_mm
            jaw = Box(x - thick / 2, min(touch, far), thick, abs(far - touch))
        else:
            # inside jaws come in through the mouth and press outwards
            jaw = Box(x - thick / 2, touch if sign > 0 else touch - thick, mouth - x + thick / 2, thick)
        pen.fill(jaw, steel, 1)
        pen.frame(jaw, edge, 1.4, 1)
    if at.tool != "thread gauge":
        beside = mouth + 6 if from_front else x + (thick if outer else 0.0) + 6
        for sign in (1, -1):
            end = axis - sign * at.r * per_mm
            pen.curve([(beside, axis), (beside, end)], edge, 1.4)
            pen.curve([(beside - 4, end + sign * 8), (beside, end), (beside + 4, end + sign * 8)], edge, 1.6)


def _comb(pen: Pen, x: float, touch: float, away: int, per_mm: float) -> None:
    """A thread gauge: teeth that lie in the thread."""
    p = pen.palette
    teeth = [(x + (k - 4) * 0.5 * per_mm, touch - away * (0.0 if k % 2 else 0.35 * per_mm)) for k in range(9)]
    back = touch - away * 2.2 * per_mm
    pen.curve([*teeth, (teeth[-1][0], back), (teeth[0][0], back), teeth[0]], p.action, 2)
    middle = (x, (touch + back) / 2)
    pen.ring(middle, max(2.0, math.fabs(back - touch) / 8), p.action, 1.4)
