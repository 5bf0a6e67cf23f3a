"""Drawings of a half, and of two halves facing each other, from their profiles: no mesh, no camera.

Metal is hatched as a drawing office does it, the two halves opposite ways. What stands in the way is red, hatched
crosswise and named, so that it shows without colour.
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from coaxtell.models import cuts
from coaxtell.models.drawing import Drawing, Item, Line, Point, Polygon, hatch, moved
from coaxtell.models.face import SLEEVE_TURN, face_on
from coaxtell.models.half import Half, Thread, Turned
from coaxtell.models.outlines import Overlap, body_line, cut_regions, meshing_turn, overlaps
from coaxtell.models.regions import Role, regions
from coaxtell.models.sheet import (
    ACTION,
    BEHIND,
    FILLS,
    HARM,
    INK,
    LEGEND,
    QUIET,
    Frame,
    best_scale,
    broken,
    dimension,
    fill,
    grid,
    obstacle,
    scale_bar,
    sheet,
    swatch,
    text,
    wide,
)
from coaxtell.models.solid import HEX_CHAMFER, ramp_reach
from coaxtell.models.turning import surfaces

__all__ = ["Said", "Touch", "face_on", "half_section", "pair", "side_by_side"]

PAIR_WIDTH, PAIR_HEIGHT = 190.0, 128.0
SAID_HEIGHT = 12.0
HALF_WIDTH, HALF_HEIGHT = 130.0, 112.0
"""The sheets [mm]."""
SLOT = "#8C9496"
"""A bayonet slot seen from outside."""
TOGETHER = 0.005
"""Planes nearer than this count as met [mm]."""


class Said(NamedTuple):
    """What stands under a pair: the verdict with its colour, and why."""

    verdict: str
    colour: str
    why: str


class Touch(NamedTuple):
    """A pair of faces that touch first: their names, the radii they share, z in half A's axes [mm]."""

    name_a: str
    name_b: str
    r0: float
    r1: float
    z: float


def span(half: Half) -> tuple[float, float, float]:
    """Rear and front end and widest radius of a half [mm]."""
    points = [p for region in regions(half) for p in region.outline]
    return min(z for z, _ in points), max(z for z, _ in points), max(r for _, r in points)


def _behind(frame: Frame, body: Turned, thread: Thread | None) -> list[Item]:
    """The inside wall of a body behind the cut, with the edges of its steps."""
    line = tuple(body_line(body, thread, inside=True, angle=0.0))
    rear = surfaces(body, body.outside, thread, inside=False)[-1].z_back
    line = (*line[:-1], (rear, line[-1][1]))
    area = (*frame.all(line), *reversed(frame.all(line, -1)))
    items: list[Item] = [Polygon((area,), BEHIND, None)]
    for surface in surfaces(body, body.inside, thread, inside=True):
        if surface.z_back > rear:
            ends = (frame.at(surface.z_back, surface.r_back), frame.at(surface.z_back, -surface.r_back))
            items.append(Line(ends, QUIET, 0.15))
    return items


def _walls(half: Half, frame: Frame) -> list[Item]:
    """The inside walls of nut and shell behind the cut."""
    items = _behind(frame, half.nut.body, half.nut.thread) if half.nut is not None else []
    if half.housing is not None:
        items += _behind(frame, half.housing, None)
    return items + _behind(frame, half.shell, half.thread)


def _cut(half: Half, frame: Frame, angle: float, signs: tuple[int, ...], turn: float = 0.0) -> list[Item]:
    """The cut faces of a half above (+1) and below (-1) the axis, hatched at `angle` [deg].

    `turn`: how far its nut is turned [rad].
    """
    items: list[Item] = []
    for sign in signs:
        for region in cut_regions(half, 0.0 if sign > 0 else math.pi, turn):
            outline = frame.all(region.outline, sign)
            items.append(Polygon((outline,), fill(half, region.role), INK, 0.25))
            if region.role != "insulator":
                lean = angle + (30 if region.moving else 90 if region.role == "housing" else 0)
                items += hatch((outline,), 1.9 if region.role == "outer" else 1.4, lean, QUIET, 0.12)
    return items


def _axis(frame: Frame, low: float, high: float) -> Line:
    return Line((frame.at(low, 0), frame.at(high, 0)), QUIET, 0.15, (4.0, 1.0, 0.8, 1.0))


def _outside(half: Half, frame: Frame, whole: bool = False) -> list[Item]:
    """The half from outside, below the axis or `whole`: what lies inside first, so that the shell covers it."""
    items: list[Item] = []
    bodies: list[tuple[Turned, Thread | None, Role]] = [(half.shell, half.thread, "outer")]
    if half.housing is not None:
        bodies.append((half.housing, None, "housing"))
    if half.nut is not None:
        bodies.append((half.nut.body, half.nut.thread, "nut"))
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
    for body, thread, role in bodies:
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
        points = tuple(
            frame.at(z + lean * pitch * t / 4, -radius * math.sin(t * math.pi / 2)) for t in turns
        )
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


def parts(half: Half, frame: Frame) -> list[Item]:
    """The half cut open above its axis and from outside below, without sheet or words."""
    return _walls(half, frame) + _cut(half, frame, 45.0, (1,)) + _outside(half, frame)


def side(half: Half, frame: Frame) -> list[Item]:
    """The half from outside, as the eye sees it from the side, without sheet or words."""
    return _outside(half, frame, whole=True)


def half_section(half: Half, scale: float | None = None) -> Drawing:
    """The half from the side, cut open above its axis, with its reference plane, name and scale bar.

    `scale`: paper millimetres for one of the part; without it the largest that fits the sheet.
    """
    rear, front, radius = span(half)
    scale = scale or best_scale(front - rear, 2 * radius, (HALF_WIDTH - 16, HALF_HEIGHT - 34))
    frame = Frame(HALF_WIDTH / 2 - scale * (front + rear) / 2, 12 + (HALF_HEIGHT - 34) / 2, scale)
    items = grid(HALF_WIDTH, HALF_HEIGHT, scale, (frame.x, frame.y)) + parts(half, frame)
    items.append(_axis(frame, rear - 1.5 / scale, front + 1.5 / scale))
    reach = radius + 3 / scale
    items.append(Line((frame.at(0, reach), frame.at(0, -reach)), ACTION, 0.25, (2.0, 1.0)))
    items.append(text((frame.x, 5.5), "reference plane", ACTION, "middle", 2.6))
    items.append(text((HALF_WIDTH / 2, HALF_HEIGHT - 13), half.name, anchor="middle"))
    items += scale_bar(HALF_WIDTH - 5, HALF_HEIGHT - 5, scale)
    return sheet(HALF_WIDTH, HALF_HEIGHT, f"{half.name}, half section", scale, items)


def side_by_side(halves: list[Half], view: Literal["face", "section"]) -> Drawing:
    """Several halves in one drawing at one common scale, face on or in half section."""
    draw = face_on if view == "face" else half_section
    scale = min(draw(half).scale for half in halves)
    items: list[Item] = []
    width = 0.0
    drawings = [draw(half, scale) for half in halves]
    for drawing in drawings:
        items += [moved(item, width) for item in drawing.items]
        width += drawing.width_mm
    title = " and ".join(half.name for half in halves)
    return sheet(width, drawings[0].height_mm, title, scale, items)


def _shown_overlap(overlap: Overlap, frame: Frame, distance: float) -> list[Item]:
    """An obstacle on both halves: the same area in A where A stands, and in B where B stands."""
    items: list[Item] = []
    for shift in {0.0, distance}:
        for sign in (1, -1):
            outlines = tuple(
                tuple(frame.at(z + shift, sign * r) for z, r in outline) for outline in overlap.outlines
            )
            items += obstacle(outlines)
    return items


def _top(overlap: Overlap) -> Point:
    """The middle of an obstacle's upper edge, half A's axes [mm]."""
    points = [p for outline in overlap.outlines for p in outline]
    return (min(z for z, _ in points) + max(z for z, _ in points)) / 2, max(r for _, r in points)


def _note(words: str, place: Point, frame: Frame, radius: float, width: float) -> list[Item]:
    """The words to an obstacle, on a line above the parts, with a leader to it."""
    x, y = frame.at(*place)
    level = frame.y - frame.scale * radius - 4.5
    middle = min(max(x, 60.0), width - 60.0)
    return [
        Line(((x, y), (x, level + 2.2)), HARM, 0.25),
        text((middle, level), words, HARM, "middle"),
    ]


def _legend(shown: bool, b: tuple[Half, Half], height: float) -> list[Item]:
    items: list[Item] = []
    x, y = 6.0, height - 5.0
    roles = {region.role for half in b for region in regions(half)}
    for role, words in LEGEND.items():
        if role in roles or (role == "pin" and "socket" in roles):
            items += swatch((x, y), role)
            items.append(text((x + 6.2, y), words, QUIET, size=2.5))
            x += 9.5 + 1.55 * len(words)
    if shown:
        items += swatch((x, y), None)
        items.append(text((x + 6.2, y), "in the way", HARM, size=2.5))
    return items


def pair(
    a: Half,
    b: Half,
    distance_mm: float,
    touches: list[Touch] | None = None,
    *,
    coupled: bool = True,
    home: bool = False,
    scale: float | None = None,
    said: Said | None = None,
) -> Drawing:
    """Two halves facing each other, cut open, with `distance_mm` between their reference planes.

    Red, hatched and named: what would share space if they were pushed on to the seat, shown on both halves where
    they stand, and what shares it already. `touches` marks the faces that meet first. `coupled` tells that the
    couplings fit, so that nut on thread is no obstacle, and `home` that this is where they lock. `scale`: paper
    millimetres for one of the parts, on a sheet as large as that takes; without it the largest that fits the usual
    sheet. `said`: words under the parts.
    """
    rear_a, front_a, radius_a = span(a)
    rear_b, front_b, radius_b = span(b)
    low, high = min(rear_a, distance_mm - front_b), max(front_a, distance_mm - rear_b)
    radius = max(radius_a, radius_b)
    scale = scale or best_scale(high - low, 2 * radius, (PAIR_WIDTH - 16, PAIR_HEIGHT - 50))
    width = max(PAIR_WIDTH, scale * (high - low) + 16)
    height = max(PAIR_HEIGHT, 2 * scale * radius + 50) + (SAID_HEIGHT if said is not None else 0.0)
    centre = 23 + (height - 50 - (SAID_HEIGHT if said is not None else 0.0)) / 2
    ours = Frame(width / 2 - scale * (low + high) / 2, centre, scale)
    theirs = Frame(ours.x + scale * distance_mm, centre, scale, towards=-1)
    items = grid(width, height - 22 - (SAID_HEIGHT if said is not None else 0.0), scale, (ours.x, centre))
    items += _walls(a, ours) + _walls(b, theirs)
    items += _cut(a, ours, 45.0, (1, -1), meshing_turn(a, b, distance_mm))
    items += _cut(b, theirs, -45.0, (1, -1), meshing_turn(b, a, distance_mm))
    at_seat = overlaps(a, b, 0.0, coupled) if distance_mm > TOGETHER and not home else []
    here = overlaps(a, b, distance_mm, coupled)
    for overlap in at_seat:
        items += _shown_overlap(overlap, ours, distance_mm)
    for overlap in here:
        items += _shown_overlap(overlap, ours, 0.0)
    items.append(_axis(ours, low - 2 / scale, high + 2 / scale))
    for touch in touches or []:
        for sign in (1, -1):
            ends: tuple[Point, Point] = (ours.at(touch.z, sign * touch.r0), ours.at(touch.z, sign * touch.r1))
            items.append(Line(ends, HARM, 0.9))
    items += _planes(ours, theirs, radius, distance_mm)
    for worst in (at_seat or here)[:1]:
        words = f"in the way: {worst.name_a} against {worst.name_b}, {worst.length:.2f} mm"
        items += _note(words, _top(worst), ours, radius, width)
    for touch in (touches or [])[:1]:
        if not at_seat and not here:
            words = f"in the way: {touch.name_a} against {touch.name_b}"
            items += _note(words, (touch.z, touch.r1), ours, radius, width)
    items += _names(a.name, b.name, ours.at((rear_a + front_a) / 2, 0)[0],
                    ours.at(distance_mm - (rear_b + front_b) / 2, 0)[0], width)  # fmt: skip
    items += _legend(bool(at_seat or here), (a, b), height)
    if said is not None:
        items.append(text((6, height - 26), said.verdict, said.colour, size=4.4))
        lines = broken(said.why, width - 12, 2.5)
        items += [text((6, height - 20.8 + 3.4 * i), line, QUIET, size=2.5) for i, line in enumerate(lines)]
    items += scale_bar(width - 5, height - 12, scale)
    return sheet(width, height, f"{a.name} and {b.name}, cut open", scale, items)


def _names(one: str, other: str, x: float, y: float, width: float) -> list[Item]:
    """The names of two halves over their middles, moved apart where they would run into each other."""
    size, middle, space = 4.0, width / 2, 5.0
    left, right = wide(one, size) / 2, wide(other, size) / 2
    x = max(min(x, middle - left - space), left + space)
    y = min(max(y, middle + right + space, x + left + 2 * space + right), width - right - space)
    return [
        text((x, 7), one, anchor="middle", size=size),
        text((y, 7), other, anchor="middle", size=size),
    ]


def _planes(ours: Frame, theirs: Frame, radius: float, distance: float) -> list[Item]:
    """Both reference planes and the dimension of the gap between them."""
    items: list[Item] = []
    reach = radius + 2 / ours.scale
    level = ours.y + ours.scale * reach + 4
    for frame in (ours, theirs):
        items.append(Line((frame.at(0, reach), (frame.x, level + 1.5)), ACTION, 0.22, (2.0, 1.0)))
    if abs(distance) <= TOGETHER:
        items.append(text((ours.x + 2, level), "seated: the reference planes meet", ACTION))
        return items
    words = f"gap {distance:.2f} mm" if distance > 0 else f"{-distance:.2f} mm past each other"
    return [*items, *dimension(ours.x, theirs.x, level, words, ACTION)]
