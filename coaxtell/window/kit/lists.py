"""Lists with one row in force, and the bar that says how far something is."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import NamedTuple

import pygame

from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.theme import BODY, CORNER, SMALL, STEP
from coaxtell.window.kit.widgets import Action, Mood, Widget, focus_ring


class Row(NamedTuple):
    """One line of a list: its key, its words, and a quiet word at the right."""

    key: str
    words: str
    note: str = ""


ROW = 32
"""Height of a row of one line [units]."""


class ListBox(Widget):
    """A list with one row in force; arrows move, Enter takes."""

    focusable = True

    def __init__(
        self, key: str, box: Box, rows: Sequence[Row], heights: Sequence[float], at: int, move: Callable[[int], None],
        take: Action,
    ) -> None:  # fmt: skip
        """Rows of these heights [units]; `at` is the row in force, `move` puts another there, `take` chooses it."""
        super().__init__(key, box)
        self.rows, self.at, self.move, self.take = rows, at, move, take
        self._feet = [0.0, *accumulate(heights)]

    @staticmethod
    def _room(type_: Type, row: Row, width: float) -> float:
        """Width of a row's words beside its note [units]."""
        return width - 28 - (type_.width(row.note, SMALL) + STEP if row.note else 0)

    @staticmethod
    def height(type_: Type, row: Row, width: float) -> float:
        """Height a row needs for its words at a width [units]."""
        line = type_.line(BODY)
        return max(ROW, len(type_.folded(row.words, BODY, ListBox._room(type_, row, width))) * line + STEP)

    def row_box(self, i: int) -> Box:
        """The box of a row."""
        return Box(self.box.x, self.box.y + self._feet[i], self.box.w, self._feet[i + 1] - self._feet[i])

    @property
    def sight(self) -> Box:
        """The row in force."""
        return self.row_box(self.at) if self.rows else self.box

    def press(self) -> None:
        """Take the row in force."""
        if self.rows:
            self.take()

    def grab(self, at: Point) -> None:
        """Put the row under the mouse in force; the click that follows takes it."""
        i = bisect_right(self._feet, at[1] - self.box.y) - 1
        if 0 <= i < len(self.rows):
            self.move(i)

    def key_down(self, event: pygame.event.Event) -> bool:
        """Up and down, Home and End."""
        steps = {pygame.K_UP: self.at - 1, pygame.K_DOWN: self.at + 1, pygame.K_HOME: 0,
                 pygame.K_END: len(self.rows) - 1}  # fmt: skip
        wanted = steps.get(event.key)
        if wanted is None or not self.rows:
            return False
        self.move(max(0, min(len(self.rows) - 1, wanted)))
        return True

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw the rows."""
        p = pen.palette
        for i, row in enumerate(self.rows):
            box = self.row_box(i)
            if not pen.shows(box):
                continue
            if i == self.at:
                pen.fill(box, p.raised, CORNER)
                pen.frame(box, p.action if mood.focused else p.edge, 2 if mood.focused else 1)
                pen.fill(Box(box.x, box.y + 6, 4, box.h - 12), p.action)
            line, small = pen.type.line(BODY), pen.type.line(SMALL)
            room = self._room(pen.type, row, box.w)
            tall = len(pen.type.folded(row.words, BODY, room)) * line
            pen.lines(row.words, Box(box.x + 14, box.y + (box.h - tall) / 2, room, tall), BODY, p.text)
            if row.note:
                at = (box.right - STEP, box.y + (box.h - small) / 2)
                pen.words(row.note, at, SMALL, p.quiet, anchor="right")
        if mood.focused:
            focus_ring(pen, self.box)


class Progress(Widget):
    """How far something is, 0 to 1, with its words; no share where the end cannot be promised."""

    def __init__(self, key: str, box: Box, share: float | None, words: str) -> None:
        """A bar with words above it; hatched where nobody knows how far it is."""
        super().__init__(key, box)
        self.share, self.words = share, words

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw bar and words."""
        height = pen.lines(self.words, self.box, SMALL, pen.palette.quiet)
        bar = Box(self.box.x, self.box.y + height + 4, self.box.w, 8)
        pen.fill(bar, pen.palette.raised, 4)
        pen.frame(bar, pen.palette.edge, 1, 4)
        if self.share is None:
            pen.hatch(bar.inset(1), pen.palette.action, 10)
        elif self.share > 0:
            pen.fill(Box(bar.x, bar.y, max(8, bar.w * min(1.0, self.share)), bar.h), pen.palette.action, 4)
