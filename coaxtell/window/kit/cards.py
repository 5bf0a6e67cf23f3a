"""Choice cards: the key that takes one, its picture, its words."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import BODY, CORNER, SMALL, STEP, mixed
from coaxtell.window.kit.widgets import Action, Mood, Widget, focus_ring


class Art(NamedTuple):
    """The picture of a card: how it is drawn, how high, and how wide where it stands beside the words [units]."""

    draw: Callable[[Pen, Box], None]
    height: float
    beside: float = 0.0


CAP = 24.0
"""Width of the mark that shows the key of a card [units]."""


class Card(Widget):
    """A choice with its number, a picture and its words."""

    focusable = True

    def __init__(
        self,
        key: str,
        box: Box,
        words: str,
        action: Action,
        art: Art | None = None,
        note: str = "",
        chosen: bool = False,
        number: str = "",
        numbered: bool = True,
    ) -> None:
        """The picture stands over the words or beside them; a numbered card without a number keeps its room."""
        super().__init__(key, box)
        self.words, self.action, self.art = words, action, art
        self.note, self.chosen, self.number, self.numbered = note, chosen, number, numbered

    def press(self) -> None:
        """Choose it."""
        self.action()

    @staticmethod
    def height(type_: Type, words: str, note: str, width: float, art: Art | None, numbered: bool) -> float:
        """Height a card needs for its words at a width [units]."""
        beside = art.beside if art is not None else 0.0
        inner = width - 3 * STEP - (CAP + STEP if numbered else 0) - (beside + STEP if beside else 0)
        height = len(type_.folded(words, BODY, inner, True)) * type_.line(BODY)
        if note:
            height += len(type_.folded(note, SMALL, inner)) * type_.line(SMALL)
        if art is None:
            return height + 2 * STEP
        return max(height, art.height) + 2 * STEP if beside else height + art.height + 3 * STEP

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw it."""
        p, box = pen.palette, self.box
        pen.fill(box, mixed(p.raised, p.edge, 0.25) if mood.hovered else p.raised, CORNER)
        pen.frame(box, p.action if self.chosen else p.edge, 2 if self.chosen else 1)
        top, x, width = box.y + STEP, box.x + 1.5 * STEP, box.w - 3 * STEP
        if self.art is not None and not self.art.beside:
            # the picture runs out to the card's own edges
            self.art.draw(pen, Box(box.x + 2, box.y + 2, box.w - 4, self.art.height + STEP - 2))
            top += self.art.height + STEP
        line = pen.type.line(BODY)
        if self.art is not None and self.art.beside:
            # words beside a picture stand at its middle
            inner = width - (CAP + STEP if self.numbered else 0) - self.art.beside - STEP
            tall = len(pen.type.folded(self.words, BODY, inner, self.chosen)) * line
            tall += len(pen.type.folded(self.note, SMALL, inner)) * pen.type.line(SMALL) if self.note else 0.0
            top = box.y + (box.h - tall) / 2
        if self.numbered:
            if self.number:
                # the key that chooses it stands before the words, as on a key cap
                cap = Box(x, top, CAP, line)
                pen.frame(cap, p.edge, 1, 4)
                small = pen.type.line(SMALL, True)
                pen.words(self.number, (cap.x + CAP / 2, top + (line - small) / 2), SMALL, p.text, True, "middle")
            x, width = x + CAP + STEP, width - CAP - STEP
        if self.art is not None and self.art.beside:
            self.art.draw(pen, Box(x, box.y + (box.h - self.art.height) / 2, self.art.beside, self.art.height))
            x, width = x + self.art.beside + STEP, width - self.art.beside - STEP
        top += pen.lines(self.words, Box(x, top, width, 0), BODY, p.text, self.chosen)
        if self.note:
            pen.lines(self.note, Box(x, top, width, 0), SMALL, p.quiet)
        if mood.focused:
            focus_ring(pen, box)
