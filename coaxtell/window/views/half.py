"""The bench of one half: it turns above in the round, and below it lies cut open with the numbers pointed at."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from coaxtell.models.apart import lain
from coaxtell.models.drawings.dimensions import Dimension
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.theme import SMALL, STEP, mixed
from coaxtell.window.views.in_hand import InHand
from coaxtell.window.views.scales import ground, scale_bar

SECTION_SHARE = 0.34
"""Share of the bench's height that the section takes."""
CATCH = 14.0
"""How near to a place the mouse must point [units]."""
_MOST_NAMES = 6
"""So many lines over a part, and under it, its name may stand in."""
DOT, APART = 3.5, 11.0
"""Radius of a place's dot, and how near to each other two dots may lie [units]."""


class Section(NamedTuple):
    """Where the section stands: where z = 0 meets the axis [units] and its scale [units per mm]."""

    box: Box
    x: float
    axis: float
    per_mm: float

    def at(self, z: float, r: float) -> Point:
        """A point of the half, in its upper half [units]."""
        return self.x + z * self.per_mm, self.axis - r * self.per_mm


def section_of(box: Box, desk: Desk, half: Half) -> Section:
    """The section in the lower part of a bench."""
    tall = SECTION_SHARE * box.h
    lower = Box(box.x, box.bottom - tall, box.w, tall)
    extent = desk.art.extent(half)
    per_mm = min((lower.w - 12 * STEP) / extent.length, (lower.h - 6 * STEP) / (2 * extent.radius))
    x = lower.x + (lower.w - extent.length * per_mm) / 2 - extent.rear * per_mm
    return Section(lower, x, lower.y + (lower.h - 3 * STEP) / 2 + STEP / 2, per_mm)


def pointed(box: Box, desk: Desk, half: Half, found: Sequence[Dimension], at: Point) -> int | None:
    """Which dimension lies under the mouse; none where none is near."""
    section = section_of(box, desk, half)
    near: list[tuple[float, int]] = []
    for i, one in enumerate(found):
        if one.kind != "note":
            x, y = section.at(one.z, one.r)
            # the lower half of the section mirrors the upper
            far = min(math.hypot(at[0] - x, at[1] - y), math.hypot(at[0] - x, at[1] - 2 * section.axis + y))
            near.append((far, i))
    best = min(near, default=(math.inf, -1))
    return best[1] if best[0] <= CATCH else None


def draw(pen: Pen, box: Box, desk: Desk, in_hand: InHand, found: Sequence[Dimension], chosen: int | None) -> None:
    """Draw the half that turns, its parts' names where it is taken apart, and its section."""
    half = in_hand.half
    assert half is not None
    section = section_of(box, desk, half)
    upper = Box(box.x + STEP, box.y, box.w - 2 * STEP, section.box.y - box.y - STEP)
    per_mm = min(upper.w, upper.h) / 2 / in_hand.reach
    pen.grid(ground(box), per_mm, upper.middle)
    in_hand.draw(pen, upper, min(upper.w, upper.h))
    if in_hand.apart > 0.3 and not in_hand.style and not desk.pictures.why:
        _names(pen, upper, in_hand, per_mm)
    scale_bar(pen, upper, per_mm)
    pen.fill(section.box, mixed(pen.palette.bench, pen.palette.panel, 0.5))
    pen.line((section.box.x, section.box.y), (section.box.right, section.box.y), pen.palette.grid_coarse)
    extent = desk.art.extent(half)
    area = Box(section.x + extent.rear * section.per_mm, section.axis - extent.radius * section.per_mm,
               extent.length * section.per_mm, 2 * extent.radius * section.per_mm)  # fmt: skip
    pen.shape(
        desk.art.cut_open(half, pen.palette), (section.x, section.axis), section.per_mm, area, f"{half.id} section"
    )
    _dots(pen, section, found, chosen)
    if chosen is not None:
        _told(pen, section, area, found[chosen])


def _dots(pen: Pen, section: Section, found: Sequence[Dimension], chosen: int | None) -> None:
    """A dot at each place, the one in force larger; where several would touch, the first stands for them."""
    order = sorted((i for i, one in enumerate(found) if one.kind != "note"), key=lambda i: i != chosen)
    taken: list[Point] = []
    for i in order:
        at = section.at(found[i].z, found[i].r)
        if all(math.dist(at, other) > APART for other in taken):
            taken.append(at)
            pen.ring(at, DOT if i != chosen else 2 * DOT, pen.palette.action if i == chosen else pen.palette.quiet)


def _names(pen: Pen, box: Box, in_hand: InHand, per_mm: float) -> None:
    """The name of each part that lies apart, over it with a line to it, else under it."""
    assert in_hand.half is not None
    beam, small = in_hand.beam, pen.type.line(SMALL)
    taken: list[Box] = []
    for part in sorted(lain(in_hand.half, in_hand.apart), key=lambda p: p.z0):
        right, down = beam.at(0.0, part.radius, (part.z0 + part.z1) / 2)
        x, y = box.middle[0] + right * per_mm, box.middle[1] + down * per_mm
        wide = pen.type.width(part.name, SMALL)
        under = 2 * (box.middle[1] + beam.at(0.0, 0.0, (part.z0 + part.z1) / 2)[1] * per_mm) - y
        # over it, under it, and only then aside or on it
        tops = [y - k * small for k in range(3, 3 + _MOST_NAMES)] + [
            under + k * small for k in range(2, 2 + _MOST_NAMES)
        ]
        tops += [y + k * small for k in range(-2, 3)]
        tries = [Box(max(box.x, min(box.right - wide, x - wide / 2 + aside * wide)), top, wide, small)
                 for aside in (0.0, -0.6, 0.6, -1.2, 1.2) for top in tops]  # fmt: skip
        free = [place for place in tries if box.y <= place.y and place.bottom <= box.bottom
                and not any(place.overlaps(other, -4) for other in taken)]  # fmt: skip
        if not free:
            continue
        place = free[0]
        taken.append(place)
        if place.y < y:
            pen.line((x, place.bottom), (x, y), pen.palette.quiet, 1)
        else:
            pen.line((x, under), (x, place.y), pen.palette.quiet, 1)
        pen.fill(place, pen.palette.panel, radius=3, alpha=0.8)  # it may lie on a bright part
        pen.words(part.name, (place.x, place.y), SMALL, pen.palette.text)


def _told(pen: Pen, section: Section, area: Box, one: Dimension) -> None:
    """The words of the dimension pointed at: at the foot of the section, or beside it where they would lie on it."""
    p, small = pen.palette, pen.type.line(SMALL)
    words = f"{one.name}: {one.words}"
    if one.kind != "note":
        x, y = section.at(one.z, one.r)
        if one.kind == "diameter":
            pen.line((x, y), (x, 2 * section.axis - y), p.action, 1.6)
        else:
            zero = section.x
            foot = section.box.bottom - 2.2 * small - STEP
            pen.line((x, y), (x, foot), p.action, 1.4)
            pen.line((zero, section.axis), (zero, foot), p.action, 1.4)
            pen.line((zero, foot), (x, foot), p.action, 1.4)
    wide = section.box.w - 6 * STEP
    tall = len(pen.type.folded(words, SMALL, wide, True)) * small
    place = Box(section.box.x + 3 * STEP, section.box.bottom - tall - STEP, wide, tall)
    if place.y < area.bottom:
        wide = area.x - section.box.x - 2 * STEP
        tall = min(section.box.h, len(pen.type.folded(words, SMALL, wide, True)) * small)
        place = Box(section.box.x + STEP, section.box.middle[1] - tall / 2, wide, tall)
    pen.fill(place, p.bench)
    pen.lines(words, place, SMALL, p.text, True, "middle")
