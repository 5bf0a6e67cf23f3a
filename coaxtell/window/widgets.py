"""What a person reads and presses: words, buttons, choice cards, lists, the stage, progress.

A widget is made anew whenever the scene is arranged; what must last (a text being typed, a value) lives in the scene.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple

import pygame

from coaxtell.window.fonts import Type
from coaxtell.window.geometry import Box
from coaxtell.window.pen import Anchor, Pen, Point
from coaxtell.window.theme import BODY, CORNER, SMALL, STEP, Colour, mixed

Action = Callable[[], None]
Kind = Literal["action", "plain", "word"]
RoleName = Literal["text", "quiet", "harm", "fits", "action"]


class Mood(NamedTuple):
    """How a widget stands at this moment."""

    focused: bool = False
    hovered: bool = False


class Widget:
    """One thing on screen: its key, its box, and what keys and mouse do to it."""

    focusable = False
    takes_text = False

    def __init__(self, key: str, box: Box) -> None:
        """A widget of a key that is its own in the scene."""
        self.key = key
        self.box = box
        self.number = ""
        self.scrolls = True

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw it; changes nothing."""
        raise NotImplementedError

    def press(self) -> None:
        """Enter, Space or a click."""

    def key_down(self, event: pygame.event.Event) -> bool:
        """A key while it has the focus; true where it was used."""
        return False

    def typed(self, text: str) -> None:
        """Text while it has the focus."""

    def grab(self, at: Point) -> None:
        """The mouse went down on it [units]."""

    def drag(self, at: Point) -> None:
        """The mouse moves while held [units]."""

    def drop(self) -> None:
        """The mouse was let go."""

    def wheel(self, steps: float) -> bool:
        """The wheel over it; true where it was used."""
        return False


def focus_ring(pen: Pen, box: Box) -> None:
    """The mark of the focus, in two colours so that it shows on any ground."""
    pen.frame(box.inset(-3), pen.palette.panel, 5, CORNER + 3)
    pen.frame(box.inset(-3), pen.palette.action, 3, CORNER + 3)


def tint(pen: Pen, role: RoleName) -> Colour:
    """The colour of a role of text."""
    colours: dict[RoleName, Colour] = {
        "text": pen.palette.text,
        "quiet": pen.palette.quiet,
        "harm": pen.palette.harm,
        "fits": pen.palette.fits,
        "action": pen.palette.action,
    }
    return colours[role]


class Label(Widget):
    """Text that stands, folded to its width."""

    def __init__(
        self,
        key: str,
        box: Box,
        words: str,
        size: float = BODY,
        role: RoleName = "text",
        bold: bool = False,
        anchor: Anchor = "left",
    ) -> None:
        """The words fill the box from its top."""
        super().__init__(key, box)
        self.words, self.size, self.role, self.bold, self.anchor = words, size, role, bold, anchor

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw the words."""
        pen.lines(self.words, self.box, self.size, tint(pen, self.role), self.bold, self.anchor)


def mark(pen: Pen, box: Box, good: bool | None) -> None:
    """A tick, a cross or a dash: told by shape, not by colour alone."""
    x, y, s = box.x, box.y, min(box.w, box.h)
    if good is None:
        pen.curve([(x + 0.2 * s, y + 0.5 * s), (x + 0.8 * s, y + 0.5 * s)], pen.palette.quiet, 3)
    elif good:
        points = [(x + 0.15 * s, y + 0.55 * s), (x + 0.4 * s, y + 0.8 * s), (x + 0.88 * s, y + 0.2 * s)]
        pen.curve(points, pen.palette.fits, 3)
    else:
        pen.curve([(x + 0.2 * s, y + 0.2 * s), (x + 0.8 * s, y + 0.8 * s)], pen.palette.harm, 3)
        pen.curve([(x + 0.8 * s, y + 0.2 * s), (x + 0.2 * s, y + 0.8 * s)], pen.palette.harm, 3)


class Checked(Widget):
    """A sentence with a tick, a cross or a dash before it."""

    def __init__(self, key: str, box: Box, words: str, good: bool | None, size: float = BODY) -> None:
        """`good` is none where it is not decided."""
        super().__init__(key, box)
        self.words, self.good, self.size = words, good, size

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw mark and words."""
        line = pen.type.line(self.size)
        mark(pen, Box(self.box.x, self.box.y + (line - 20) / 2, 20, 20), self.good)
        pen.lines(self.words, Box(self.box.x + 32, self.box.y, self.box.w - 32, self.box.h), self.size)


class Button(Widget):
    """Something to press: the one action of a scene, a plain button, or a word that is a way."""

    focusable = True

    def __init__(
        self, key: str, box: Box, words: str, action: Action, kind: Kind = "plain", chosen: bool = False
    ) -> None:
        """`chosen` marks the one in force among several."""
        super().__init__(key, box)
        self.words, self.action, self.kind, self.chosen = words, action, kind, chosen

    def press(self) -> None:
        """Do it."""
        self.action()

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw it."""
        p, box = pen.palette, self.box
        line = pen.type.line(BODY, self.kind == "action")
        top = box.y + (box.h - line) / 2
        shown = pen.type.shortened(self.words, BODY, box.w - STEP, self.kind == "action" or self.chosen)
        if self.kind == "word":
            words = pen.words(self.words, (box.x + 4, top), BODY, p.text if mood.hovered else p.quiet)
            under = words.bottom + 1
            pen.line((words.x, under), (words.right, under), p.action if mood.hovered else p.edge, 1.5)
        elif self.kind == "action":
            ground = mixed(p.action, p.text, 0.12) if mood.hovered else p.action
            pen.fill(box, ground, CORNER)
            pen.words(shown, (box.x + box.w / 2, top), BODY, p.on_action, True, "middle")
        else:
            pen.fill(box, mixed(p.raised, p.edge, 0.25) if mood.hovered else p.raised, CORNER)
            pen.frame(box, p.action if self.chosen else p.edge, 2 if self.chosen else 1)
            middle = box.x + box.w / 2
            if self.chosen:
                # the mark besides the colour
                pen.fill(Box(box.x + 10, box.bottom - 5, box.w - 20, 3), p.action, 1.5)
            pen.words(shown, (middle, top), BODY, p.text, self.chosen, "middle")
        if mood.focused:
            focus_ring(pen, box)


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


class Row(NamedTuple):
    """One line of a list: its key, its words, and a quiet word at the right."""

    key: str
    words: str
    note: str = ""


ROW = 32
"""Height of a row of a list [units]."""


class ListBox(Widget):
    """A list with one row in force; arrows move, Enter takes."""

    focusable = True

    def __init__(
        self, key: str, box: Box, rows: Sequence[Row], at: int, move: Callable[[int], None], take: Action
    ) -> None:
        """`at` is the row in force, `move` puts another there, `take` chooses it."""
        super().__init__(key, box)
        self.rows, self.at, self.move, self.take = rows, at, move, take

    def row_box(self, i: int) -> Box:
        """The box of a row."""
        return Box(self.box.x, self.box.y + i * ROW, self.box.w, ROW)

    def press(self) -> None:
        """Take the row in force."""
        if self.rows:
            self.take()

    def grab(self, at: Point) -> None:
        """Put the row under the mouse in force; the click that follows takes it."""
        i = int((at[1] - self.box.y) // ROW)
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
            if i == self.at:
                pen.fill(box, p.raised, CORNER)
                pen.frame(box, p.action if mood.focused else p.edge, 2 if mood.focused else 1)
                pen.fill(Box(box.x, box.y + 6, 4, ROW - 12), p.action)
            line, small = pen.type.line(BODY), pen.type.line(SMALL)
            note = pen.type.width(row.note, SMALL) + STEP if row.note else 0
            words = pen.type.shortened(row.words, BODY, box.w - note - 28)
            pen.words(words, (box.x + 14, box.y + (ROW - line) / 2), BODY, p.text)
            if row.note:
                at = (box.right - STEP, box.y + (ROW - small) / 2)
                pen.words(row.note, at, SMALL, p.quiet, anchor="right")
        if mood.focused:
            focus_ring(pen, self.box)


class Progress(Widget):
    """How far something is, 0 to 1, with its words; no share where the end is not promised."""

    def __init__(self, key: str, box: Box, share: float, words: str) -> None:
        """A bar with words above it."""
        super().__init__(key, box)
        self.share, self.words = max(0.0, min(1.0, share)), words

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw bar and words."""
        height = pen.lines(self.words, self.box, SMALL, pen.palette.quiet)
        bar = Box(self.box.x, self.box.y + height + 4, self.box.w, 8)
        pen.fill(bar, pen.palette.raised, 4)
        pen.frame(bar, pen.palette.edge, 1, 4)
        if self.share > 0:
            pen.fill(Box(bar.x, bar.y, max(8, bar.w * self.share), bar.h), pen.palette.action, 4)


class Stage(Widget):
    """The bench: a picture that keys and mouse move."""

    focusable = True

    def __init__(
        self,
        key: str,
        box: Box,
        draw: Callable[[Pen, Box], None],
        on_key: Callable[[pygame.event.Event], bool] | None = None,
        on_drag: Callable[[float, float], None] | None = None,
        on_drop: Action | None = None,
        on_wheel: Callable[[float], None] | None = None,
    ) -> None:
        """`on_drag` is told how far the mouse went since last [units]; a stage without keys takes no focus."""
        super().__init__(key, box)
        self.draw, self.on_key, self.on_drag, self.on_drop, self.on_wheel = draw, on_key, on_drag, on_drop, on_wheel
        self.focusable = on_key is not None or on_drag is not None
        self._last: Point | None = None

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw it."""
        self.draw(pen, self.box)
        if mood.focused and self.focusable:
            inner = self.box.inset(4)
            pen.frame(inner, pen.palette.panel, 5, CORNER)
            pen.frame(inner, pen.palette.action, 3, CORNER)

    def key_down(self, event: pygame.event.Event) -> bool:
        """Keys of the stage."""
        return self.on_key(event) if self.on_key is not None else False

    def grab(self, at: Point) -> None:
        """Start of a drag."""
        self._last = at

    def drag(self, at: Point) -> None:
        """Tell how far the mouse went."""
        if self._last is not None and self.on_drag is not None:
            self.on_drag(at[0] - self._last[0], at[1] - self._last[1])
        self._last = at

    def drop(self) -> None:
        """End of a drag."""
        self._last = None
        if self.on_drop is not None:
            self.on_drop()

    def wheel(self, steps: float) -> bool:
        """The wheel."""
        if self.on_wheel is None:
            return False
        self.on_wheel(steps)
        return True


