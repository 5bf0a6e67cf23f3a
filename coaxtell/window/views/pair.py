"""Two halves cut open, facing each other along one axis: what lies behind the cut first, then the cuts."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point

Turns = tuple[float, float]


def draw(
    pen: Pen, desk: Desk, pair: tuple[Half, Half], origin: Point, distance: float, per_mm: float, turns: Turns
) -> None:
    """Draw a pair; `origin` is where the first half's reference plane meets the axis [units], `distance` that of the
    reference planes [mm], `turns` how far each nut is turned."""
    x, axis = origin
    places: list[tuple[Half, int, float, float]] = [
        (pair[0], 1, x, turns[0]),
        (pair[1], -1, x + distance * per_mm, turns[1]),
    ]
    for half, towards, at, _ in places:
        pen.shape(desk.art.inside(half, pen.palette, towards), (at, axis), per_mm,
                  _area(desk, half, towards, (at, axis), per_mm), f"{half.id} inside")  # fmt: skip
    for half, towards, at, _ in places:
        if hole := desk.art.hole(half, pen.palette, towards):
            pen.shape(hole, (at, axis), per_mm, _area(desk, half, towards, (at, axis), per_mm), f"{half.id} hole")
    for half, towards, at, turn in places:
        pen.shape(desk.art.section(half, pen.palette, towards, turn), (at, axis), per_mm,
                  _area(desk, half, towards, (at, axis), per_mm), half.id)  # fmt: skip


def _area(desk: Desk, half: Half, towards: int, origin: Point, per_mm: float) -> Box:
    extent = desk.art.extent(half)
    start = origin[0] + (extent.rear if towards > 0 else -extent.front) * per_mm
    return Box(start, origin[1] - extent.radius * per_mm, extent.length * per_mm, 2 * extent.radius * per_mm)
