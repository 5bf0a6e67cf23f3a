"""Boxes in units: one unit is one pixel at a scale of one."""

from __future__ import annotations

from typing import NamedTuple


class Box(NamedTuple):
    """A rectangle: left, top, width and height [units]."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """The right edge [units]."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """The lower edge [units]."""
        return self.y + self.h

    @property
    def middle(self) -> tuple[float, float]:
        """The centre [units]."""
        return self.x + self.w / 2, self.y + self.h / 2

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies inside."""
        return self.x <= x < self.right and self.y <= y < self.bottom

    def inset(self, by: float) -> Box:
        """The box with `by` [units] taken off each side."""
        return Box(self.x + by, self.y + by, max(0.0, self.w - 2 * by), max(0.0, self.h - 2 * by))

    def moved(self, dx: float, dy: float) -> Box:
        """The box shifted [units]."""
        return Box(self.x + dx, self.y + dy, self.w, self.h)

    def overlaps(self, other: Box, play: float = 0.0) -> bool:
        """Whether two boxes share an area deeper than `play` [units]."""
        across = min(self.right, other.right) - max(self.x, other.x)
        down = min(self.bottom, other.bottom) - max(self.y, other.y)
        return across > play and down > play

    def within(self, other: Box, play: float = 0.0) -> bool:
        """Whether the box lies inside another, over its edge by at most `play` [units]."""
        return (
            self.x >= other.x - play
            and self.y >= other.y - play
            and self.right <= other.right + play
            and self.bottom <= other.bottom + play
        )

    def shared(self, other: Box) -> Box:
        """The area two boxes share; of no size where they share none."""
        x, y = max(self.x, other.x), max(self.y, other.y)
        return Box(x, y, max(0.0, min(self.right, other.right) - x), max(0.0, min(self.bottom, other.bottom) - y))
