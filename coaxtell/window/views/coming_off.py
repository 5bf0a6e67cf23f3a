"""How a mate comes off, as an arrow round its nut or along its axis: no picture of a half shows that."""

from __future__ import annotations

import math

from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.views.feature_art import Draw

TURNS = {"anticlockwise": -300.0, "clockwise": 300.0, "part-turn": -80.0}
"""How far round the arrow goes [degrees], clockwise as seen; a part of a turn most bayonets open anticlockwise."""
HEAD = 0.22
"""Length of the arrow's head, of the radius of its arc."""


def way_off_art(value: str) -> Draw:
    """Draws the mate from its far side, that of the cable, with the way it turns; from the side where it is pulled."""

    def draw(pen: Pen, box: Box) -> None:
        radius = 0.42 * min(box.w, box.h)
        if value in TURNS:
            _turned(pen, box.middle, radius, TURNS[value])
        else:
            _pulled(pen, box.middle, radius)

    return draw


def _turned(pen: Pen, middle: Point, radius: float, degrees: float) -> None:
    """A nut of six flats, or the round sleeve of a bayonet, with its cable in the middle; the arrow round it."""
    corners = 6 if abs(degrees) > 180 else 36
    _outline(pen, [_at(middle, 0.62 * radius, 360.0 / corners * k) for k in range(corners + 1)])
    pen.ring(middle, 0.2 * radius, pen.palette.edge)
    steps = max(2, round(abs(degrees) / 10))
    arc = [_at(middle, radius, degrees * k / steps - degrees / 2) for k in range(steps + 1)]
    _arrow(pen, arc, radius)


def _pulled(pen: Pen, middle: Point, radius: float) -> None:
    """A sleeve from the side, its cable to the right, and the arrow along it."""
    x, y = middle
    left, right, high = x - radius, x - 0.1 * radius, 0.45 * radius
    _outline(pen, [(left, y - high), (right, y - high), (right, y + high), (left, y + high), (left, y - high)])
    _arrow(pen, [(x + 0.15 * radius, y), (x + 1.1 * radius, y)], radius)


def _at(middle: Point, radius: float, degrees: float) -> Point:
    """The point so far round from the top, clockwise as seen."""
    turn = math.radians(degrees)
    return middle[0] + radius * math.sin(turn), middle[1] - radius * math.cos(turn)


def _outline(pen: Pen, points: list[Point]) -> None:
    pen.curve(points, pen.palette.text, 1.6)


def _arrow(pen: Pen, points: list[Point], size: float) -> None:
    """A line that ends in a head, which points as the line goes at its end."""
    pen.curve(points, pen.palette.action, 2.4)
    (x0, y0), (x1, y1) = points[-2:]
    along = math.atan2(y1 - y0, x1 - x0)
    for side in (-1, 1):
        turned = along + math.pi + side * math.radians(28)
        tip = (x1 + HEAD * size * math.cos(turned), y1 + HEAD * size * math.sin(turned))
        pen.line((x1, y1), tip, pen.palette.action, 2.4)
