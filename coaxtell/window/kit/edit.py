"""A text being typed: where the caret stands, and what is selected."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from coaxtell.models.errors import InputError

LONGEST = 4096
"""Most characters a field takes by typing and pasting: a path may have so many (PATH_MAX of Linux)."""
TOO_LONG = "A field takes {most:,} characters, and these would be {number:,}; the text stands as it was."


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
        """Put text in at the caret, in place of what is selected; control characters are left out.

        Raises InputError where the text would become too long; it is then as it was.
        """
        low, high = self.selected
        clean = "".join(c for c in text if c.isprintable())
        number = len(self.text) - (high - low) + len(clean)
        if clean and number > LONGEST:
            raise InputError(TOO_LONG.format(most=LONGEST, number=number))
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

        def before(number: int) -> bool:
            return width(self.text[:number]) - width(self.text[number - 1 : number]) / 2 <= far

        return _most(before, len(self.text))


def shown(edit: Edit, room: float, width: Callable[[str], float]) -> tuple[int, int]:
    """Start and end of the part of a text that fits a room with the caret in sight; both the caret where none is.

    No more is measured than about twice what is in sight, however long the text.
    """
    if room <= 0:
        return edit.caret, edit.caret
    start = edit.caret - _most(lambda number: width(edit.text[edit.caret - number : edit.caret]) <= room, edit.caret)
    after = len(edit.text) - start
    return start, start + max(edit.caret - start, _most(lambda n: width(edit.text[start : start + n]) <= room, after))


def _most(fits: Callable[[int], bool], most: int) -> int:
    """The largest number up to `most` that fits, where all smaller ones do: by doubling, then by halves."""
    high = 1
    while high <= most and fits(high):
        high *= 2
    low, high = high // 2, min(high - 1, most)
    while low < high:
        middle = (low + high + 1) // 2
        if fits(middle):
            low = middle
        else:
            high = middle - 1
    return low
