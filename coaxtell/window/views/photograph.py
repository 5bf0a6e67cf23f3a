"""A photograph on the bench: the part in sight, the card's outline, the circle, the rim, and a half at its size."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import pygame

from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.theme import LARGE, STEP, Colour
from coaxtell.window.views.scales import CARD, ground

NEAREST = 30.0
"""How much nearer than the whole a picture is brought at most."""
HANDLE = 9.0
"""Radius of a corner's handle [units]."""

USUAL, APART = "n-50-jack", 16.0
"""The port that stands beside the card where no picture lies yet, and how far from it [mm]."""
FILLED = 0.62
"""Share of the bench that the two fill at most."""


class Drawn(NamedTuple):
    """What lies over a photograph, in its pixels: corners of the card, circle (middle, radius), rim, closed outlines.

    `force` is the number of the corner that the keys move, or -1 for the circle.
    """

    corners: Sequence[Point]
    circle: tuple[Point, float]
    rim: Sequence[Point]
    outlines: Sequence[Sequence[Point]]
    force: int


def draw_empty(pen: Pen, box: Box, desk: Desk) -> None:
    """How a picture is to be taken: a port beside a card, at one scale, face on."""
    half = desk.half(USUAL)
    reach = desk.art.extent(half).reach
    wide = CARD[0] + APART + 2 * reach
    line = pen.type.line(LARGE)
    per_mm = max(0.1, min(FILLED * box.w / wide, (FILLED * box.h - line) / CARD[1]))
    left, middle = box.middle[0] - wide / 2 * per_mm, box.middle[1]
    pen.grid(ground(box), per_mm, (left, middle))
    card = Box(left, middle - CARD[1] / 2 * per_mm, CARD[0] * per_mm, CARD[1] * per_mm)
    pen.fill(card, pen.palette.raised, CARD[2] * per_mm)
    pen.frame(card, pen.palette.edge, 2, CARD[2] * per_mm)
    x = card.right + (APART + reach) * per_mm
    area = Box(x - reach * per_mm, middle - reach * per_mm, 2 * reach * per_mm, 2 * reach * per_mm)
    pen.shape(desk.art.face(half, pen.palette), (x, middle), per_mm, area, half.id)
    words = Box(box.x, card.bottom + 2 * STEP, box.w, line)
    pen.lines("Drop a picture here", words, LARGE, pen.palette.quiet, anchor="middle")


class Sight:
    """Which part of a picture the bench shows."""

    def __init__(self, size: tuple[int, int]) -> None:
        """All of a picture of this width and height [px]."""
        self.size = size
        self.nearer = 1.0
        self.middle: Point = (size[0] / 2, size[1] / 2)
        self._part: tuple[tuple[pygame.Rect, tuple[int, int]], pygame.Surface] | None = None

    def per_px(self, box: Box) -> float:
        """Units to a pixel of the picture."""
        return self.nearer * max(1e-6, min(box.w / self.size[0], box.h / self.size[1]))

    def on_bench(self, box: Box, at: Point) -> Point:
        """Where a pixel appears [units]."""
        k, (x, y) = self.per_px(box), box.middle
        return x + (at[0] - self.middle[0]) * k, y + (at[1] - self.middle[1]) * k

    def in_picture(self, box: Box, at: Point) -> Point:
        """Which pixel lies at a place of the bench [units]."""
        k, (x, y) = self.per_px(box), box.middle
        return self.middle[0] + (at[0] - x) / k, self.middle[1] + (at[1] - y) / k

    def bring(self, times: float, about: Point) -> None:
        """Bring it so many times nearer, a pixel staying where it is; back to the whole at most."""
        before, self.nearer = self.nearer, max(1.0, min(NEAREST, self.nearer * times))
        k = before / self.nearer
        self.shift(((about[0] - self.middle[0]) * (1 - k), (about[1] - self.middle[1]) * (1 - k)))

    def shift(self, by: Point) -> None:
        """Move the part in sight over the picture [px]; the whole stays in the middle."""
        held = []
        for at, far, size in zip(self.middle, by, self.size, strict=True):
            room = size / 2 * (1 - 1 / self.nearer)
            held.append(max(size / 2 - room, min(size / 2 + room, at + far)))
        self.middle = (held[0], held[1])

    def part(self, box: Box, whole: pygame.Surface, scale: float) -> tuple[pygame.Surface, Box]:
        """The pixels in sight at `scale` pixels of the screen to a unit, and where they lie on the bench.

        The same surface as long as the part is the same, and never one that holds the whole picture with it.
        """
        low, high = self.in_picture(box, (box.x, box.y)), self.in_picture(box, (box.right, box.bottom))
        left, top = (max(0, int(v)) for v in low)
        right, bottom = (min(size, int(v) + 2) for v, size in zip(high, self.size, strict=True))
        rect = pygame.Rect(left, top, max(1, right - left), max(1, bottom - top)).clip(whole.get_rect())
        (x0, y0), (x1, y1) = self.on_bench(box, rect.topleft), self.on_bench(box, rect.bottomright)
        shown = max(1, round((x1 - x0) * scale)), max(1, round((y1 - y0) * scale))
        if self._part is None or self._part[0] != (rect, shown):
            self._part = ((rect, shown), pygame.transform.smoothscale(whole.subsurface(rect), shown))
        return self._part[1], Box(x0, y0, x1 - x0, y1 - y0)


def draw(pen: Pen, box: Box, sight: Sight, whole: pygame.Surface, over: Drawn, name: str) -> None:
    """The part in sight with everything that is marked or was found on it; lines have two colours, so that they show
    on any picture."""
    surface, at = sight.part(box, whole, pen.type.scale)
    p = pen.palette
    with pen.clipped(box):
        pen.picture(at, surface, name, paper=True)
        _line(pen, [sight.on_bench(box, c) for c in over.corners], p.action, 2.0)
        for outline in over.outlines:
            _line(pen, [sight.on_bench(box, c) for c in outline], p.harm, 1.4)
        (middle, radius), k = over.circle, sight.per_px(box)
        here = sight.on_bench(box, middle)
        pen.ring(here, radius * k + 2, p.panel, 4)
        pen.ring(here, radius * k + 1, p.action, 2)
        # over the circle: the question is of this one, and names its colour
        _line(pen, [sight.on_bench(box, c) for c in over.rim], p.fits, 2.0)
        for i, corner in enumerate(over.corners):
            pen.ring(sight.on_bench(box, corner), HANDLE + (3 if i == over.force else 0), p.panel)
            pen.ring(sight.on_bench(box, corner), HANDLE - 2 + (3 if i == over.force else 0), p.action)


def _line(pen: Pen, points: Sequence[Point], colour: Colour, width: float) -> None:
    """A closed line that shows on any ground."""
    if len(points) > 1:
        closed = [*points, points[0]]
        pen.curve(closed, pen.palette.panel, width + 2.4)
        pen.curve(closed, colour, width)
