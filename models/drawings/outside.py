"""A half from outside, as the eye sees it from the side: threads, knurls, hexagons, bayonet slots, notches."""

from __future__ import annotations

import math

from coaxtell.models import cuts
from coaxtell.models.cuts import HEX_CHAMFER, ramp_reach
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.drawings.drawing import Item, Line, Point, Polygon, hatch
from coaxtell.models.drawings.face import SLEEVE_TURN, bodies
from coaxtell.models.drawings.outlines import body_line
from coaxtell.models.half import Half, Thread
from coaxtell.models.palette import FILLS, INK, QUIET, fill
from coaxtell.models.regions import regions
from coaxtell.models.surfaces import surfaces

SLOT = "#8C9496"
"""A bayonet slot seen from outside."""


def outside(half: Half, frame: Frame, whole: bool = False) -> list[Item]:
    """The half from outside, below the axis or `whole`: what lies inside first, so that the shell covers it."""
    items: list[Item] = []
    for region in regions(half):
        if region.role in ("pin", "socket", "insulator"):
            outline = (*region.outline, (region.outline[-1][0], 0.0), (region.outline[0][0], 0.0))
            edge = max(r for _, r in region.outline)
            if whole and region.outline[0][1] <= 0.0:
                outline = (*region.outline, *((z, -r) for z, r in reversed(region.outline)))
            elif whole:
                low, high = (f(z for z, _ in region.outline) for f in (min, max))
                outline = ((low, edge), (high, edge), (high, -edge), (low, -edge))
            items.append(Polygon((frame.all(outline, -1),), FILLS[region.role], INK, 0.2))
    for role, body, thread in bodies(half):
        line = tuple(body_line(body, thread, inside=False, angle=math.pi))
        outline = ((line[0][0], 0.0), *line, (line[-1][0], 0.0))
        if whole:
            over = tuple(body_line(body, thread, inside=False, angle=0.0))
            outline = (*line, *((z, -r) for z, r in reversed(over)))
        colour = "#D6DEE2" if role == "outer" else fill(half, role)
        items.append(Polygon((frame.all(outline, -1),), colour, INK, 0.25))
        for surface in surfaces(body, body.outside, thread, inside=False):
            top = surface.r_back if whole else 0.0
            items.append(Line((frame.at(surface.z_back, top), frame.at(surface.z_back, -surface.r_back)), INK, 0.15))
            if surface.form == "knurl":
                ends = (surface.r_front, surface.r_back) if whole else (0.0, 0.0)
                box = ((surface.z_front, -ends[0]), (surface.z_front, surface.r_front),
                       (surface.z_back, surface.r_back), (surface.z_back, -ends[1]))  # fmt: skip
                for lean in (30.0, -30.0):
                    items += hatch((frame.all(box, -1),), 1.3, lean, QUIET, 0.12)
            if surface.form == "hex":
                items += _hex_edges(frame, surface.z_front, surface.z_back, surface.r_front, whole)
            if surface.thread and thread is not None:
                items += _crests(frame, surface.z_front, surface.z_back, surface.r_front, thread, whole)
        if role == "nut":
            items += _ramps(half, frame, whole)
    items += _notched_rim(half, frame, whole)
    for region in regions(half):
        two = half.lugs is not None and half.lugs.count.whole == 2
        if region.role == "tooth" or (region.role == "lug" and two):
            for sign in (-1, 1) if whole else (-1,):
                items.append(Polygon((frame.all(region.outline, sign),), FILLS[region.role], INK, 0.2))
    return items


def _notched_rim(half: Half, frame: Frame, whole: bool) -> list[Item]:
    """The mouths of the index notches as the eye sees them, below the axis or whole."""
    if half.notches is None:
        return []
    items: list[Item] = []
    rim, r = half.shell.rim.nominal, half.notches.r.nominal
    outer = surfaces(half.shell, half.shell.outside, half.thread, inside=False)[0].r_front
    for k in range(half.notches.count.whole):
        turn = math.tau * k / half.notches.count.whole
        if math.sin(turn) < 1e-9 or (math.cos(turn) < -1e-9 and not whole):
            continue
        # the mouth is a half circle that narrows towards the outline
        height, narrow = -outer * math.cos(turn), math.sin(turn)
        arc = [math.pi * i / 12 for i in range(13)]
        points = tuple(frame.at(rim - r * math.sin(a), height + narrow * r * math.cos(a)) for a in arc)
        items.append(Polygon((points,), QUIET, INK, 0.12))
    return items


def _hex_edges(frame: Frame, front: float, rear: float, flat: float, whole: bool) -> list[Item]:
    """The curves in which a hexagon's chamfers meet the flat below the axis; `whole`: both flats and their edge."""
    items: list[Item] = []
    turns = [math.radians(d) for d in range(-30, 31, 6)]
    falls = [(flat / math.cos(turn) - flat) * HEX_CHAMFER for turn in turns]
    # round the axis 0 lies on top and 90 towards the eye [deg]
    for middle in (math.radians(60), math.radians(120)) if whole else (math.radians(120),):
        for end, inward in ((front, -1), (rear, 1)):
            points = [
                frame.at(end + inward * fall, flat / math.cos(turn) * math.cos(middle + turn))
                for turn, fall in zip(turns, falls, strict=True)
            ]
            items.append(Line(tuple(points), QUIET, 0.15))
    if whole:
        items.append(Line((frame.at(front - falls[0], 0.0), frame.at(rear + falls[0], 0.0)), QUIET, 0.15))
    return items


def _crests(frame: Frame, front: float, rear: float, radius: float, thread: Thread, whole: bool) -> list[Item]:
    """Crest lines of an outside thread as the eye sees them: below the axis, or on all the side it looks at."""
    items: list[Item] = []
    pitch = thread.pitch_mm
    lean = 1 if thread.hand == "right" else -1
    count = math.floor((front - rear) / pitch)
    turns = [t / 10 for t in range(-10 if whole else 0, 11, 2)]
    for k in range(count):
        z = front - (k + 0.75) * pitch
        points = tuple(frame.at(z + lean * pitch * t / 4, -radius * math.sin(t * math.pi / 2)) for t in turns)
        if all(rear <= z + s * pitch / 4 <= front for s in (-1, 1)):
            items.append(Line(points, QUIET, 0.15))
    return items


def _ramps(half: Half, frame: Frame, whole: bool) -> list[Item]:
    """The bayonet slots of a sleeve on the side that the eye sees."""
    if half.nut is None or half.nut.ramps is None:
        return []
    body, ramps, radius = half.nut.body, half.nut.ramps, ramp_reach(half)
    # a collar in front of the thin wall covers the mouths
    thin = [s.z_front for s in surfaces(body, body.outside, None, inside=False) if s.r_front <= radius + 1e-6]
    front = max(thin)
    wide = ramps.width.nominal / 2
    items: list[Item] = []
    for k in range(ramps.count.whole):
        first = math.degrees(SLEEVE_TURN) + 360 * k / ramps.count.whole
        # the slot laid flat: along the axis and round the sleeve [mm]
        way = [(z, math.radians(first + a) * radius) for a, z in cuts.ramp_path(ramps, body.rim.nominal)]
        way[0] = (front, way[0][1])
        edges: list[list[Point]] = []
        for side in (-1, 1):
            edge: list[Point] = []
            for i, (z, s) in enumerate(way):
                (z0, s0), (z1, s1) = way[max(i - 1, 0)], way[min(i + 1, len(way) - 1)]
                far = math.dist((z0, s0), (z1, s1))
                edge.append((min(z - side * wide * (s1 - s0) / far, front), s + side * wide * (z1 - z0) / far))
            edges.append(edge)
        (z0, s0), (z1, s1) = way[-2], way[-1]
        ahead = math.atan2(s1 - s0, z1 - z0)
        end = [
            (z1 + wide * math.cos(ahead + t * math.pi / 10), s1 + wide * math.sin(ahead + t * math.pi / 10))
            for t in range(4, -5, -1)
        ]
        flat = [*edges[1], *end, *reversed(edges[0])]
        low, high = (0.0 if whole else math.pi / 2) * radius, math.pi * radius
        seen = [(z, min(max(s, low), high)) for z, s in flat]
        if max(s for _, s in seen) - min(s for _, s in seen) > wide / 2:
            outline = tuple(frame.at(z, radius * math.cos(s / radius)) for z, s in seen)
            items.append(Polygon((outline,), SLOT, INK, 0.2))
    return items
