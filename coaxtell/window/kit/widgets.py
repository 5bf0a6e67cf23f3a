"""What every widget is, and the plainest: words, ticks, buttons, the stage.

A widget is made anew whenever the scene is arranged; what must last (a text being typed, a value) lives in the scene.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

import pygame

from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Anchor, Pen, Point
from coaxtell.window.kit.theme import BODY, CORNER, STEP, TARGET, Colour, mixed

Action = Callable[[], None]
Kind = Literal["action", "plain", "word", "tab"]
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
        self.tip = ""
        """What it does, shown while the mouse points at it; empty where its words say that."""
        self.scrolls = True
        self.above = 0.0
        """How much above it [units] is to be in sight with it, such as the picture that it asks about."""

    @property
    def sight(self) -> Box:
        """The part that must be in sight while it has the focus."""
        return Box(self.box.x, self.box.y - self.above, self.box.w, self.box.h + self.above)

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

    def hover(self, at: Point) -> bool:
        """The mouse moves over it with nothing held [units]; true where that changes what is shown."""
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
        self, key: str, box: Box, words: str, action: Action, kind: Kind = "plain", chosen: bool = False,
        size: float = BODY,
    ) -> None:  # fmt: skip
        """`chosen` marks the one in force among several; a tab may have words of another size."""
        super().__init__(key, box)
        self.words, self.action, self.kind, self.chosen, self.size = words, action, kind, chosen, size

    @staticmethod
    def height(type_: Type, words: str, width: float, least: float = TARGET) -> float:
        """Height a button needs for its words at a width [units]."""
        return max(least, len(type_.folded(words, BODY, width - STEP, True)) * type_.line(BODY, True) + 1.5 * STEP)

    def press(self) -> None:
        """Do it."""
        self.action()

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw it."""
        p, box = pen.palette, self.box
        bold = self.kind == "action" or (self.kind == "plain" and self.chosen)
        tall = len(pen.type.folded(self.words, self.size, box.w - STEP, bold)) * pen.type.line(self.size, bold)
        top = box.y + (box.h - tall) / 2
        within = Box(box.x + STEP / 2, top, box.w - STEP, tall)
        if self.kind == "word":
            pen.fill(box, mixed(p.raised, p.edge, 0.25) if mood.hovered else p.raised, CORNER)
            pen.frame(box, p.edge, 1)
            pen.lines(self.words, within, BODY, p.text)
        elif self.kind == "tab":
            colour = p.text if self.chosen or mood.hovered else p.quiet
            pen.lines(self.words, within, self.size, colour, False, "middle")
            if self.chosen:
                pen.fill(Box(box.x + STEP, box.bottom - 3, box.w - 2 * STEP, 3), p.action, 1.5)
        elif self.kind == "action":
            ground = mixed(p.action, p.text, 0.12) if mood.hovered else p.action
            pen.fill(box, ground, CORNER)
            pen.lines(self.words, within, BODY, p.on_action, True, "middle")
        else:
            pen.fill(box, mixed(p.raised, p.edge, 0.25) if mood.hovered else p.raised, CORNER)
            pen.frame(box, p.action if self.chosen else p.edge, 2 if self.chosen else 1)
            if self.chosen:
                # the mark besides the colour
                pen.fill(Box(box.x + 10, box.bottom - 5, box.w - 20, 3), p.action, 1.5)
            pen.lines(self.words, within, BODY, p.text, self.chosen, "middle")
        if mood.focused:
            focus_ring(pen, box)


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
        on_hover: Callable[[Point], bool] | None = None,
    ) -> None:
        """`on_drag` is told how far the mouse went since last [units]; a stage without keys takes no focus."""
        super().__init__(key, box)
        self.draw, self.on_key, self.on_drag, self.on_drop, self.on_wheel = draw, on_key, on_drag, on_drop, on_wheel
        self.on_hover = on_hover
        self.on_grab: Callable[[Point], None] | None = None
        """Told where the mouse went down [units], where that matters."""
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
        if self.on_grab is not None:
            self.on_grab(at)

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

    def hover(self, at: Point) -> bool:
        """The mouse points at something."""
        return self.on_hover is not None and self.on_hover(at)
