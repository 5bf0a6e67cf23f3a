"""Widgets set one under another in a column: each takes the height its words need."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from coaxtell.window.kit.cards import Art, Card
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.fields import IN_LINE_FROM, LABEL_SHARE, Slider, TextField
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.lists import ROW, ListBox, Progress, Row
from coaxtell.window.kit.theme import BODY, HUGE, LARGE, SMALL, STEP, TARGET
from coaxtell.window.kit.widgets import Action, Button, Checked, Kind, Label, RoleName, Widget


class Choice(NamedTuple):
    """A card to be: key, words, what it does, and its picture."""

    key: str
    words: str
    action: Action
    art: Art | None = None
    note: str = ""
    chosen: bool = False


class Stack:
    """A column that grows downwards."""

    def __init__(self, type_: Type, x: float, y: float, width: float) -> None:
        """An empty column [units]."""
        self.type = type_
        self.x, self.y, self.width = x, y, width
        self.sight = math.inf
        """Down to which y the column is in sight before it is scrolled [units], where that is known."""
        self.widgets: list[Widget] = []
        self._labels = 0

    def height_of(self, words: str, size: float, width: float, bold: bool = False) -> float:
        """Height of folded text [units]."""
        return len(self.type.folded(words, size, width, bold)) * self.type.line(size, bold)

    def gap(self, steps: float = 1) -> None:
        """Leave room."""
        self.y += steps * STEP

    def put(self, widget: Widget, after: float = 1) -> Widget:
        """Add a ready widget whose box starts at the column's foot."""
        self.widgets.append(widget)
        self.y = widget.box.bottom + after * STEP
        return widget

    def _key(self, key: str) -> str:
        self._labels += 1
        return key or f"words-{self._labels}"

    def say(
        self, words: str, size: float = BODY, role: RoleName = "text", bold: bool = False, after: float = 1,
        key: str = "",
    ) -> None:  # fmt: skip
        """Text."""
        if not words:
            return
        height = self.height_of(words, size, self.width, bold)
        self.put(Label(self._key(key), Box(self.x, self.y, self.width, height), words, size, role, bold), after)

    def pairs(self, items: Sequence[tuple[str, str]]) -> None:
        """Short words in bold with what they stand for beside them; under them where the column is narrow."""
        left = max(self.type.width(words, BODY, True) for words, _ in items) + 2 * STEP
        if left > 0.5 * self.width:
            for words, meaning in items:
                self.say(words, bold=True, after=0)
                self.say(meaning, after=0.75)
            return
        for words, meaning in items:
            height = self.height_of(meaning, BODY, self.width - left)
            name = Box(self.x, self.y, left, height)
            self.widgets.append(Label(self._key(""), name, words, bold=True))
            box = Box(self.x + left, self.y, self.width - left, height)
            self.put(Label(self._key(""), box, meaning, role="quiet"), 0.5)

    def title(self, words: str) -> None:
        """The one question or result of the column."""
        self.say(words, LARGE, bold=True, after=1.5)

    def verdict(self, words: str, role: RoleName) -> None:
        """One large word, smaller where it would not fit its line."""
        size = HUGE if self.type.width(words, HUGE, True) <= self.width else LARGE
        self.say(words, size, role, True, key="verdict")

    def _beside(self, words: str, on: str) -> tuple[float, float]:
        """Width of a large word with its margin, and height of a button that has the rest of the line [units]."""
        left = self.type.width(words, LARGE, True) + 2 * STEP
        return left, Button.height(self.type, on, max(0.0, self.width - left))

    def led_height(self, words: str, on: str) -> float:
        """Height of a line with a large word and the way on [units]."""
        return self._beside(words, on)[1]

    def led(self, label: str, words: str, role: RoleName, key: str, on: str, action: Action) -> None:
        """One large word with the way on beside it, where a bench over the column needs the room."""
        left, tall = self._beside(words, on)
        line = self.type.line(LARGE, True)
        at = Box(self.x, self.y + (tall - line) / 2, left, line)
        self.widgets.append(Label(label, at, words, LARGE, role, True))
        box = Box(self.x + left, self.y, max(0.0, self.width - left), tall)
        self.put(Button(key, box, on, action, "action"))

    def part(self, words: str) -> None:
        """The name of a part of the column."""
        self.gap(1)
        self.say(words, SMALL, "quiet", True, after=0.5)

    def check_height(self, words: str, size: float = BODY) -> float:
        """Height of a sentence with its mark [units]."""
        return max(20.0, self.height_of(words, size, self.width - 32))

    def check(self, words: str, good: bool | None, key: str = "", size: float = BODY) -> None:
        """A sentence with its mark."""
        height = self.check_height(words, size)
        self.put(Checked(self._key(key), Box(self.x, self.y, self.width, height), words, good, size), 0.75)

    def button(self, key: str, words: str, action: Action, kind: Kind = "plain", after: float = 1) -> None:
        """A button across the column."""
        box = Box(self.x, self.y, self.width, Button.height(self.type, words, self.width))
        self.put(Button(key, box, words, action, kind), after)

    def buttons(self, items: Sequence[tuple[str, str, Action, bool]], after: float = 1) -> None:
        """Buttons of one width in rows across the column: key, words, action, whether in force."""
        if not items:
            return
        widest = max(self.type.width(words, BODY, True) for _, words, _, _ in items) + 2 * STEP
        most = max(1, int((self.width + STEP) // (widest + STEP)))
        # as few rows as they need, filled evenly
        lines = -(-len(items) // most)
        across = -(-len(items) // lines)
        width = (self.width - (across - 1) * STEP) / across
        tall = max(Button.height(self.type, words, width) for _, words, _, _ in items)
        for i, (key, words, action, chosen) in enumerate(items):
            box = Box(self.x + i % across * (width + STEP), self.y + i // across * (tall + STEP), width, tall)
            self.widgets.append(Button(key, box, words, action, "plain", chosen))
        self.y += lines * (tall + STEP) + (after - 1) * STEP

    def choice(self, label: str, items: Sequence[tuple[str, str, Action, bool]]) -> None:
        """Buttons of which one is in force, their label in line with those of sliders."""
        if self.width < IN_LINE_FROM:
            self.part(label)
            self.buttons(items)
            return
        left = LABEL_SHARE * self.width
        tall = self.height_of(label, SMALL, left - STEP)
        box = Box(self.x, self.y + (TARGET - tall) / 2, left - STEP, tall)
        self.widgets.append(Label(self._key(""), box, label, SMALL, "quiet"))
        beside = Stack(self.type, self.x + left, self.y, self.width - left)
        beside.buttons(items)
        self.widgets += beside.widgets
        self.y = beside.y

    def words_row(self, items: Sequence[tuple[str, str, Action]]) -> None:
        """Words in a row, each a way."""
        x, right, tall = self.x, self.x + self.width, 0.0
        for key, words, action in items:
            width = min(self.width, self.type.width(words, BODY, True) + STEP + 1)
            if x > self.x and x + width > right:
                x = self.x
                self.y += tall + 4
                tall = 0.0
            box = Box(x, self.y, width, Button.height(self.type, words, width, 32))
            self.widgets.append(Button(key, box, words, action, "word"))
            x += width + STEP
            tall = max(tall, box.h)
        if items:
            self.y += tall + 4

    def cards(self, choices: Sequence[Choice], columns: int = 2, numbers: bool = True, already: int = 0) -> None:
        """Choice cards in columns, numbered on from `already`; each row is as high as its highest card."""
        across = columns if self.width / columns >= 150 else 1
        width = (self.width - (across - 1) * STEP) / across
        for start in range(0, len(choices), across):
            row = choices[start : start + across]
            height = max(
                TARGET,
                *(Card.height(self.type, c.words, c.note, width, c.art, numbers) for c in row),
            )
            for i, c in enumerate(row):
                place = already + start + i + 1
                number = str(place) if numbers and place < 10 else ""
                box = Box(self.x + i * (width + STEP), self.y, width, height)
                self.widgets.append(Card(c.key, box, c.words, c.action, c.art, c.note, c.chosen, number, numbers))
            self.y += height + STEP

    def rows(self, key: str, rows: Sequence[Row], at: int, move: Callable[[int], None], take: Action) -> None:
        """A list."""
        heights = [ListBox.height(self.type, row, self.width) for row in rows]
        box = Box(self.x, self.y, self.width, sum(heights) or ROW)
        self.put(ListBox(key, box, rows, heights, at, move, take))

    def field(
        self, key: str, label: str, edit: Edit, changed: Action, done: Action | None = None, unit: str = "",
        wrong: bool = False, above: float = 0.0,
    ) -> None:  # fmt: skip
        """A field with its label; so much above it [units] is to be in sight with it."""
        over = self.height_of(label, SMALL, self.width) + 4 if label else 0
        box = Box(self.x, self.y, self.width, over + TARGET)
        field = TextField(key, box, label, edit, changed, done, unit, wrong, lambda words: self.type.width(words, BODY))
        field.above = above
        self.put(field)

    def slider(
        self, key: str, label: str, value: float, ends: tuple[float, float], step: float,
        changed: Callable[[float], None], shown: str,
    ) -> None:  # fmt: skip
        """A slider with its number."""
        box = Box(self.x, self.y, self.width, Slider.height(self.width, self.type.line(BODY)))
        self.put(Slider(key, box, label, value, ends, step, changed, shown), 0.5)

    def progress(self, key: str, share: float | None, words: str) -> None:
        """A bar with words."""
        height = self.height_of(words, SMALL, self.width) + 14
        self.put(Progress(key, Box(self.x, self.y, self.width, height), share, words))
