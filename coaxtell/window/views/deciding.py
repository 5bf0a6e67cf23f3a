"""The place that decides what becomes of a pair: marked on the bench, with an arrow and its words."""

from __future__ import annotations

from coaxtell.models.catalogue import MODELS
from coaxtell.models.mating.deciding import Place
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Patch, Pen, Point
from coaxtell.window.kit.theme import SMALL, STEP

HEAD = 9.0
"""Length of the arrow's head [units]."""


def height(type_: Type, place: Place, width: float) -> float:
    """Height of the words of a place in a box of a width [units]."""
    return len(type_.folded(MODELS.say(place.what), SMALL, width - 4 * STEP)) * type_.line(SMALL)


def draw(pen: Pen, box: Box, place: Place, origin: Point, per_mm: float) -> None:
    """Mark the place and say it at the top of a box; `origin` is the first half's plane on the axis."""
    p = pen.palette
    colour = {"harm": p.harm, "stop": p.text, "open": p.text, "holds": p.fits}[place.kind]
    (z0, z1), (r0, r1) = place.z, place.r
    for sign in (1, -1):
        ends = (origin[1] - sign * r0 * per_mm, origin[1] - sign * max(r1 * per_mm, r0 * per_mm + 3))
        for z in {z0, z1}:
            x = origin[0] + z * per_mm
            if z0 == z1:
                pen.line((x, ends[0]), (x, ends[1]), p.bench, 8)
            pen.line((x, ends[0]), (x, ends[1]), colour, 4 if z0 == z1 else 2)
    words, small = MODELS.say(place.what), pen.type.line(SMALL)
    lines = pen.type.folded(words, SMALL, box.w - 4 * STEP)
    tip = (origin[0] + (z0 + z1) / 2 * per_mm, origin[1] - r1 * per_mm)
    reach = max(pen.type.width(line, SMALL) for line in lines) / 2 + 2 * STEP
    middle = max(box.x + reach, min(box.right - reach, tip[0]))
    for i, line in enumerate(lines):
        pen.words(line, (middle, box.y + i * small), SMALL, colour, anchor="middle")
    pen.line((tip[0], box.y + len(lines) * small + 2), (tip[0], tip[1] - HEAD), colour, 1.6)
    head = Patch(((0.0, 0.0), (-HEAD / 2.5, -HEAD), (HEAD / 2.5, -HEAD)), colour, None)
    pen.shape((head,), tip, 1.0, Box(tip[0] - HEAD / 2.5, tip[1] - HEAD, HEAD / 1.25, HEAD), "arrow")
