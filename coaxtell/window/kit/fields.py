"""What a person types or slides: text, numbers with their unit, sliders."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from coaxtell.models.errors import InputError
from coaxtell.window.kit.clipboard import copy, paste
from coaxtell.window.kit.edit import Edit, shown
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.theme import BODY, CORNER, SMALL, STEP, TARGET, mixed
from coaxtell.window.kit.widgets import Action, Mood, Widget, focus_ring

IN_LINE_FROM = 400.0
"""From this width on a slider stands in one line with its label and its value [units]."""
NO_CLIPBOARD = "This screen has no clipboard that other programs see; the text stands as it was."
LABEL_SHARE, VALUE_SHARE = 0.3, 0.29
"""Shares of that line for the label and for the value."""


class TextField(Widget):
    """A line to type into, with its label above and its unit behind."""

    focusable = True
    takes_text = True

    def __init__(
        self,
        key: str,
        box: Box,
        label: str,
        edit: Edit,
        changed: Action,
        done: Action | None = None,
        unit: str = "",
        wrong: bool = False,
        width: Callable[[str], float] = lambda words: 9.0 * len(words),
    ) -> None:
        """`changed` is told of each change, `done` of Enter; the field is the lower part of the box.

        `width` measures words of its type [units].
        """
        super().__init__(key, box)
        self.label, self.edit, self.changed, self.done = label, edit, changed, done
        self.unit, self.wrong = unit, wrong
        self.width = width

    @property
    def field(self) -> Box:
        """The part that is typed into."""
        return Box(self.box.x, self.box.bottom - TARGET, self.box.w, TARGET)

    def press(self) -> None:
        """Enter: the text is done."""
        if self.done is not None:
            self.done()

    def key_down(self, event: pygame.event.Event) -> bool:
        """Editing keys; with Ctrl A, C, X and V select, copy, cut and paste.

        Raises InputError where the clipboard takes nothing; the text is then as it was.
        """
        before = self.edit.text
        used = self.edit.key(event.key, event.mod) or (bool(event.mod & pygame.KMOD_CTRL) and self._clip(event.key))
        if self.edit.text != before:
            self.changed()
        return used

    def _clip(self, key: int) -> bool:
        if key == pygame.K_a:
            self.edit.select_all()
        elif key == pygame.K_v:
            words = paste()
            if words:  # what is selected stays where nothing comes in its place
                self.edit.insert(words)
        elif key in (pygame.K_c, pygame.K_x):
            if self.edit.selection:
                if not copy(self.edit.selection):
                    raise InputError(NO_CLIPBOARD)
                if key == pygame.K_x:
                    self.edit.insert("")
        else:
            return False
        return True

    def typed(self, text: str) -> None:
        """Put text in."""
        self.edit.insert(text)
        self.changed()

    def _shown(self) -> tuple[int, int]:
        unit = self.width(self.unit) + STEP if self.unit else 0.0
        # the end that holds the caret stays in sight
        return shown(self.edit, self.field.w - unit - 3 * STEP, self.width)

    def _place(self, at: Point) -> int:
        start = self._shown()[0]
        return start + Edit(self.edit.text[start:]).place_at(at[0] - self.field.x - 1.5 * STEP, self.width)

    def grab(self, at: Point) -> None:
        """A click sets the caret there."""
        self.edit.move(self._place(at))

    def drag(self, at: Point) -> None:
        """What the mouse draws over is selected."""
        self.edit.move(self._place(at), select=True)

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw label, field, text, selection, caret and unit."""
        p, field, edit = pen.palette, self.field, self.edit
        if self.label:
            pen.lines(self.label, self.box, SMALL, p.quiet)
        pen.fill(field, p.raised, CORNER)
        pen.frame(field, p.harm if self.wrong else p.edge, 2 if self.wrong else 1)
        line = pen.type.line(BODY)
        top = field.y + (field.h - line) / 2
        if self.unit:
            pen.words(self.unit, (field.right - STEP, top), BODY, p.quiet, anchor="right")
        start, end = self._shown()
        x = field.x + 1.5 * STEP
        low, high = (max(start, min(end, place)) for place in edit.selected)
        if mood.focused and low < high:
            left, right = (x + self.width(edit.text[start:place]) for place in (low, high))
            pen.fill(Box(left, top, right - left, line), mixed(p.raised, p.action, 0.4))
        pen.words(edit.text[start:end], (x, top), BODY, p.text)
        if mood.focused:
            caret = x + self.width(edit.text[start : edit.caret])
            pen.line((caret, top), (caret, top + line), p.action, 2)
            focus_ring(pen, field)


class Slider(Widget):
    """A value between two ends: arrows step it, the mouse drags it."""

    focusable = True

    def __init__(
        self,
        key: str,
        box: Box,
        label: str,
        value: float,
        ends: tuple[float, float],
        step: float,
        changed: Callable[[float], None],
        shown: str,
        marks: tuple[str, ...] = (),
    ) -> None:
        """`shown` is the value as a person reads it, at the right of the label."""
        super().__init__(key, box)
        self.label, self.value, self.ends, self.step = label, value, ends, step
        self.changed, self.shown, self.marks = changed, shown, marks

    @property
    def track(self) -> Box:
        """The part that is dragged on."""
        if self.box.w < IN_LINE_FROM:
            return Box(self.box.x, self.box.bottom - 28, self.box.w, 28)
        left = self.box.x + LABEL_SHARE * self.box.w
        return Box(left, self.box.y, self.box.w * (1 - LABEL_SHARE - VALUE_SHARE), self.box.h)

    @staticmethod
    def height(width: float, line: float) -> float:
        """Height [units] of a slider of a width, `line` that of a line of text."""
        return line + 4 + 28 if width < IN_LINE_FROM else TARGET

    def _set(self, value: float) -> None:
        low, high = self.ends
        steps = round((value - low) / self.step)
        self.changed(max(low, min(high, low + steps * self.step)))

    def key_down(self, event: pygame.event.Event) -> bool:
        """Arrows, Page keys, Home and End; with Shift ten steps."""
        far = 10 if event.mod & pygame.KMOD_SHIFT else 1
        if event.key in (pygame.K_LEFT, pygame.K_DOWN):
            self._set(self.value - far * self.step)
        elif event.key in (pygame.K_RIGHT, pygame.K_UP):
            self._set(self.value + far * self.step)
        elif event.key == pygame.K_HOME:
            self._set(self.ends[0])
        elif event.key == pygame.K_END:
            self._set(self.ends[1])
        else:
            return False
        return True

    def grab(self, at: Point) -> None:
        """A click on the track sets the value there."""
        self.drag(at)

    def drag(self, at: Point) -> None:
        """The value follows the mouse."""
        track = self.track
        share = (at[0] - track.x - 12) / max(1.0, track.w - 24)
        self._set(self.ends[0] + max(0.0, min(1.0, share)) * (self.ends[1] - self.ends[0]))

    def paint(self, pen: Pen, mood: Mood) -> None:
        """Draw label, value, track and knob."""
        p, track = pen.palette, self.track
        line, small = pen.type.line(BODY), pen.type.line(SMALL)
        top = self.box.y if self.box.w < IN_LINE_FROM else self.box.y + (self.box.h - line) / 2
        value = pen.words(self.shown, (self.box.right, top), BODY, p.text, True, "right").w
        wide = self.box.w - value if self.box.w < IN_LINE_FROM else LABEL_SHARE * self.box.w
        tall = len(pen.type.folded(self.label, SMALL, wide - STEP)) * small
        within = Box(self.box.x, top + (line - tall) / 2, wide - STEP, tall)
        pen.lines(self.label, within, SMALL, p.quiet)
        low, high = self.ends
        share = (self.value - low) / (high - low) if high > low else 0.0
        middle = track.y + track.h / 2
        x = track.x + 12 + max(0.0, min(1.0, share)) * (track.w - 24)
        pen.fill(Box(track.x, middle - 3, track.w, 6), p.edge, 3)
        pen.fill(Box(track.x, middle - 3, x - track.x, 6), p.action, 3)
        pen.ring((x, middle), 12, p.panel)
        pen.ring((x, middle), 10, p.action)
        if mood.focused:
            focus_ring(pen, track)
