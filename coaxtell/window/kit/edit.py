"""A text being typed: where the caret stands, and what is selected."""

from __future__ import annotations

from collections.abc import Callable

import pygame

LONGEST = 200
"""Most characters a field takes by typing and pasting."""


class Edit:
    """A line of text with its caret; kept by the scene."""

    def __init__(self, text: str = "") -> None:
        """A text with the caret at its end."""
        self.set(text)

    def set(self, text: str) -> None:
        """Another text, caret at its end, nothing selected."""
        self.text = text
        self.caret = self.anchor = len(text)

    @property
    def selected(self) -> tuple[int, int]:
        """Start and end of what is selected; equal where nothing is."""
        return min(self.caret, self.anchor), max(self.caret, self.anchor)

    @property
    def selection(self) -> str:
        """The words selected."""
        low, high = self.selected
        return self.text[low:high]

    def select_all(self) -> None:
        """Select the whole text."""
        self.anchor, self.caret = 0, len(self.text)

    def move(self, place: int, select: bool = False) -> None:
        """Put the caret somewhere; with `select` all that lies between is selected."""
        self.caret = max(0, min(len(self.text), place))
        if not select:
            self.anchor = self.caret

    def insert(self, text: str) -> None:
        """Put text in at the caret, in place of what is selected; control characters are left out."""
        low, high = self.selected
        clean = "".join(c for c in text if c.isprintable())[: max(0, LONGEST - len(self.text) + high - low)]
        self.text = self.text[:low] + clean + self.text[high:]
        self.move(low + len(clean))

    def _word(self, by: int) -> int:
        """The place one word further."""
        place = self.caret
        for space in (True, False):
            while 0 <= place + min(by, 0) < len(self.text) and self.text[place + min(by, 0)].isspace() == space:
                place += by
        return place

    def key(self, key: int, mod: int = 0) -> bool:
        """Move, select or delete; true where the key was used."""
        select, words = bool(mod & pygame.KMOD_SHIFT), bool(mod & pygame.KMOD_CTRL)
        low, high = self.selected
        if key in (pygame.K_BACKSPACE, pygame.K_DELETE):
            if low == high:
                by = -1 if key == pygame.K_BACKSPACE else 1
                self.anchor = self._word(by) if words else max(0, min(len(self.text), self.caret + by))
            self.insert("")
        elif key in (pygame.K_LEFT, pygame.K_RIGHT):
            by = -1 if key == pygame.K_LEFT else 1
            if low != high and not select and not words:
                self.move(low if by < 0 else high)
            else:
                self.move(self._word(by) if words else self.caret + by, select)
        elif key in (pygame.K_HOME, pygame.K_END):
            self.move(0 if key == pygame.K_HOME else len(self.text), select)
        else:
            return False
        return True

    def place_at(self, far: float, width: Callable[[str], float]) -> int:
        """The place in the text nearest to a distance from its start; `width` measures words."""
        low, high = 0, len(self.text)
        while low < high:
            middle = (low + high) // 2
            if width(self.text[: middle + 1]) - width(self.text[middle : middle + 1]) / 2 <= far:
                low = middle + 1
            else:
                high = middle
        return low


def shown(edit: Edit, room: float, width: Callable[[str], float]) -> tuple[int, int]:
    """Start and end of the part of a text that fits a room with the caret in sight; both the caret where none is."""
    if room <= 0:
        return edit.caret, edit.caret
    low, high = 0, edit.caret
    while low < high:
        middle = (low + high) // 2
        if width(edit.text[middle : edit.caret]) <= room:
            high = middle
        else:
            low = middle + 1
    start, low, high = low, edit.caret, len(edit.text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(edit.text[start:middle]) <= room:
            low = middle
        else:
            high = middle - 1
    return start, low
