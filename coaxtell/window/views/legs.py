"""The sketch of a cable's way under an item's port: the reader as a square, the antenna as a triangle."""

from __future__ import annotations

from coaxtell.quiz.legs import course
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.theme import BODY, STEP
from coaxtell.window.views.scales import THIN

LINES = 4.5
"""Lines of figures that its height holds."""
WIDE = 2.0
"""A bench of more than so many times its height has the sketch beside the port, not beneath."""
REACH = 0.75 * STEP
"""Half the side of the square and of the triangle [units]."""


def parted(box: Box, type_: Type) -> tuple[Box, Box]:
    """Where the port lies and where the sketch, beneath it or beside it."""
    tall = min(LINES * type_.line(BODY), box.h)
    if box.w > WIDE * box.h:
        half = box.w / 2
        return box._replace(w=half), Box(box.x + half, box.middle[1] - tall / 2, half, tall)
    return box._replace(h=box.h - tall), Box(box.x, box.bottom - tall, box.w, tall)


def draw(pen: Pen, box: Box, metres: tuple[float, ...]) -> None:
    """Draw a way into a box, each leg with its length."""
    line, colour = pen.type.line(BODY), pen.palette.text
    x0, y0 = box.x + box.w / 8, box.y + 1.4 * line
    wide, tall = 0.75 * box.w, box.h - 2 * line

    def at(place: tuple[float, float]) -> Point:
        return x0 + place[0] * wide, y0 + place[1] * tall

    legs = course(metres)
    for leg in legs:
        pen.line(at(leg.start), at(leg.end), colour, 2)
        x, y = at(leg.middle)
        words = f"{leg.metres:g}{THIN}m"
        if leg.upright:
            pen.words(words, (x + STEP, y - line / 2))
        else:
            pen.words(words, (x, y - line - 1), anchor="middle")
    (x, y), (u, v) = at(legs[0].start), at(legs[-1].end)
    pen.fill(Box(x - REACH, y - REACH, 2 * REACH, 2 * REACH), colour)
    corners = [(u - REACH, v - 2 * REACH), (u + REACH, v - 2 * REACH), (u, v)]
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        pen.line(start, end, colour, 2)
