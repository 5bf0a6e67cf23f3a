"""Drawings of a half, and of two halves facing each other, from their profiles: no mesh, no camera.

Metal is hatched as a drawing office does it, the two halves opposite ways. The place that decides has an arrow with
words and millimetres; what only would be in the way is a broken outline.
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from coaxtell.models.catalogue import MODELS, tell
from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.drawings.annotation import arrow as arrow_head
from coaxtell.models.drawings.drafting import (
    TYPE,
    Frame,
    best_scale,
    broken,
    dimension,
    ghost,
    grid,
    scale_bar,
    sheet,
    swatch,
    text,
    wide,
)
from coaxtell.models.drawings.drawing import Drawing, Item, Line, Polygon, hatch, moved
from coaxtell.models.drawings.face import face_on
from coaxtell.models.drawings.outlines import body_line, cut_regions, overlaps
from coaxtell.models.drawings.outside import outside
from coaxtell.models.half import Half, Thread, Turned
from coaxtell.models.mating.deciding import Kind, Place
from coaxtell.models.palette import ACTION, BEHIND, FILLS, FITS, HARM, HOLLOW, INK, LEGEND, QUIET, fill
from coaxtell.models.regions import regions, socket_hole
from coaxtell.models.surfaces import surfaces

__all__ = ["Said", "face_on", "facing", "half_section", "side_by_side"]

PAIR_WIDTH, PAIR_HEIGHT = 190.0, 128.0
SAID_HEIGHT = 12.0
HALF_WIDTH, HALF_HEIGHT = 130.0, 112.0
"""The sheets [mm]."""
TOGETHER = 0.005
"""Planes nearer than this count as met [mm]."""
SLIT, ASIDE = 3.0, 12.0
"""A place narrower than this on paper is pointed at from so far aside, clear of lines along it [mm]."""
LEGEND_SIZE, SWATCH, APART = 2.5, 6.2, 4.0
"""Type of the legend, room of a swatch, and most room between entries [mm]."""


class Said(NamedTuple):
    """What stands under a pair: the verdict with its colour, and why."""

    verdict: str
    colour: str
    why: str


COLOURS: dict[Kind, str] = {"harm": HARM, "stop": INK, "open": INK, "holds": FITS}
"""Colour of the mark at the place that decides; its words stand beside it."""


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


def _hole(half: Half, frame: Frame) -> list[Item]:
    """The hole of a socket: a void, dark whatever stands in it or not."""
    hole = socket_hole(half)
    return [Polygon((frame.all((*hole, *((z, -r) for z, r in reversed(hole)))),), HOLLOW, None)] if hole else []


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


def parts(half: Half, frame: Frame) -> list[Item]:
    """The half cut open above its axis and from outside below, without sheet or words."""
    return _walls(half, frame) + _hole(half, frame) + _cut(half, frame, 45.0, (1,)) + outside(half, frame)


def side(half: Half, frame: Frame) -> list[Item]:
    """The half from outside, as the eye sees it from the side, without sheet or words."""
    return outside(half, frame, whole=True)


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
    items.append(text((frame.x, 5.5), tell("drawing.plane"), ACTION, "middle", 2.6))
    items.append(text((HALF_WIDTH / 2, HALF_HEIGHT - 13), half.name, anchor="middle"))
    items += scale_bar(HALF_WIDTH - 5, HALF_HEIGHT - 5, scale)
    return sheet(HALF_WIDTH, HALF_HEIGHT, tell("drawing.half_section", half=half.name), scale, items)


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
    title = halves[0].name
    for half in halves[1:]:
        title = tell("drawing.and", one=title, other=half.name)
    return sheet(width, drawings[0].height_mm, title, scale, items)


def _ghosts(a: Half, b: Half, frame: Frame, distance: float, coupled: bool) -> list[Item]:
    """What the halves would share if they were pushed on to the seat, outlined where A has it and where B has it."""
    return [
        ghost(tuple(frame.at(z + shift, sign * r) for z, r in outline))
        for overlap in overlaps(a, b, 0.0, coupled)
        for outline in overlap.outlines
        for shift in (0.0, distance)
        for sign in (1, -1)
    ]


def _mark(place: Place, frame: Frame) -> list[Item]:
    """The faces that touch, or the two ends between which a contact is open or made, above and below the axis."""
    colour, items = COLOURS[place.kind], list[Item]()
    (z0, z1), (r0, r1) = place.z, place.r
    for sign in (1, -1):
        for z in {z0, z1}:
            reach = r1 + 0.6 / frame.scale if z1 > z0 else r1
            items.append(Line((frame.at(z, sign * r0), frame.at(z, sign * reach)), colour, 0.9 if z0 == z1 else 0.35))
    return items


def _note(place: Place, frame: Frame, radius: float, width: float) -> list[Item]:
    """The words of the place that decides, above the parts, with an arrow to it."""
    colour = COLOURS[place.kind]
    x, y = frame.at((place.z[0] + place.z[1]) / 2, place.r[1])
    lines = broken(MODELS.say(place.what), width - 24, TYPE)
    level = frame.y - frame.scale * radius - 4.5
    middle = min(max(x, 12 + wide(lines[0]) / 2), width - 12 - wide(lines[0]) / 2)
    slit = 0 < frame.scale * (place.z[1] - place.z[0]) < SLIT
    start = (x + ASIDE if slit else x, level + 2.2)
    away = 1.2 / math.dist(start, (x, y))
    end = (x + away * (start[0] - x), y + away * (start[1] - y))
    items: list[Item] = [Line((start, end), colour, 0.3), arrow_head((x, y), start, 2.4, colour)]
    for i, line in enumerate(reversed(lines)):
        items.append(text((middle, level - 3.8 * i), line, colour, "middle"))
    return items


def _legend(ghosts: bool, pair: tuple[Half, Half], width: float, height: float) -> list[Item]:
    """What the fills mean, in one line: entries stand closer where there are many."""
    roles = {region.role for half in pair for region in regions(half)}
    shown = [role for role in LEGEND if role in roles or (role == "pin" and "socket" in roles)]
    entries: list[tuple[str | None, str, str]] = [(FILLS[role], tell(f"legend.{role}"), QUIET) for role in shown]
    if "socket" in roles:
        entries.append((HOLLOW, tell("legend.hole"), QUIET))
    if ghosts:
        entries.append((None, tell("drawing.in_the_way"), HARM))
    items: list[Item] = []
    x, y = 6.0, height - 5.0
    room = width - 2 * x - sum(SWATCH + wide(words, LEGEND_SIZE) for _, words, _ in entries)
    between = min(APART, room / max(1, len(entries) - 1))
    for fill_, words, colour in entries:
        items += swatch((x, y), fill_)
        items.append(text((x + SWATCH, y), words, colour, size=LEGEND_SIZE))
        x += SWATCH + wide(words, LEGEND_SIZE) + between
    return items


def facing(
    a: Half,
    b: Half,
    distance_mm: float,
    place: Place | None = None,
    *,
    coupled: bool = True,
    scale: float | None = None,
    said: Said | None = None,
) -> Drawing:
    """Two halves facing each other, cut open, with `distance_mm` between their reference planes.

    `place` is marked with an arrow and its words; where it keeps the halves apart, what they would share if they were
    pushed on to the seat is outlined on both halves where they stand. `coupled` tells that the couplings fit, so that
    nut on thread is no obstacle. `scale`: paper millimetres for one of the parts, on a sheet as large as that takes;
    without it the largest that fits the usual sheet. `said`: words under the parts.
    """
    rear_a, front_a, radius_a = span(a)
    rear_b, front_b, radius_b = span(b)
    low, high = min(rear_a, distance_mm - front_b), max(front_a, distance_mm - rear_b)
    radius = max(radius_a, radius_b)
    scale = scale or best_scale(high - low, 2 * radius, (PAIR_WIDTH - 16, PAIR_HEIGHT - 50))
    width = max(PAIR_WIDTH, scale * (high - low) + 16)
    foot = SAID_HEIGHT if said is not None else 0.0
    height = max(PAIR_HEIGHT, 2 * scale * radius + 50) + foot
    centre = 23 + (height - 50 - foot) / 2
    ours = Frame(width / 2 - scale * (low + high) / 2, centre, scale)
    theirs = Frame(ours.x + scale * distance_mm, centre, scale, towards=-1)
    items = grid(width, height - 22 - foot, scale, (ours.x, centre))
    items += _walls(a, ours) + _walls(b, theirs) + _hole(a, ours) + _hole(b, theirs)
    items += _cut(a, ours, 45.0, (1, -1), meshing_turn(a, b, distance_mm))
    items += _cut(b, theirs, -45.0, (1, -1), meshing_turn(b, a, distance_mm))
    apart = place is not None and place.kind in ("harm", "stop") and distance_mm > TOGETHER
    ghosts = _ghosts(a, b, ours, distance_mm, coupled) if apart else []
    items += [*ghosts, _axis(ours, low - 2 / scale, high + 2 / scale)]
    items += _planes(ours, theirs, radius, distance_mm)
    if place is not None:
        items += _mark(place, ours) + _note(place, ours, radius, width)
    items += _names(a.name, b.name, ours.at((rear_a + front_a) / 2, 0)[0],
                    ours.at(distance_mm - (rear_b + front_b) / 2, 0)[0], width)  # fmt: skip
    items += _legend(bool(ghosts), (a, b), width, height)
    if said is not None:
        items.append(text((6, height - 26), said.verdict, said.colour, size=4.4))
        lines = broken(said.why, width - 12, 2.5)
        items += [text((6, height - 20.8 + 3.4 * i), line, QUIET, size=2.5) for i, line in enumerate(lines)]
    items += scale_bar(width - 5, height - 12, scale)
    return sheet(width, height, tell("drawing.pair", a=a.name, b=b.name), scale, items)


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
    """Both reference planes below the axis, clear of the arrow above it, and the dimension of the gap between them."""
    items: list[Item] = []
    reach = radius + 2 / ours.scale
    level = ours.y + ours.scale * reach + 4
    for frame in (ours, theirs):
        items.append(Line((frame.at(0, 0), (frame.x, level + 1.5)), ACTION, 0.22, (2.0, 1.0)))
    if abs(distance) <= TOGETHER:
        items.append(text((ours.x + 2, level), tell("drawing.seated"), ACTION))
        return items
    words = tell("drawing.gap" if distance > 0 else "drawing.past", mm=abs(distance))
    return [*items, *dimension(ours.x, theirs.x, level, words, ACTION)]
