"""The one family of type in the window's sizes."""

from __future__ import annotations

import pygame

from coaxtell.models.lettering import font_file


class Type:
    """Fonts at one scale; text is rendered at its size, never scaled."""

    def __init__(self, scale: float) -> None:
        """Type at `scale` [px per unit]."""
        if not pygame.font.get_init():
            pygame.font.init()
        self.scale = scale
        self._fonts: dict[tuple[int, bool], pygame.font.Font] = {}
        self._widths: dict[tuple[str, int, bool], float] = {}
        self._folded: dict[tuple[str, int, bool, int], tuple[str, ...]] = {}

    def font(self, size: float, bold: bool) -> pygame.font.Font:
        """The font of a size [units]."""
        px = max(6, round(size * self.scale))
        found = self._fonts.get((px, bold))
        if found is None:
            path = font_file(bold)
            found = pygame.font.Font(None if path is None else str(path), px)
            self._fonts[(px, bold)] = found
        return found

    def width(self, words: str, size: float, bold: bool = False) -> float:
        """Width of one line [units]."""
        key = (words, round(size * 100), bold)
        held = self._widths.get(key)
        if held is None:
            held = self._widths[key] = self.font(size, bold).size(words)[0] / self.scale
            if len(self._widths) > 20_000:
                self._widths.clear()
        return held

    def line(self, size: float, bold: bool = False) -> float:
        """Height of one line [units]."""
        return self.font(size, bold).get_linesize() / self.scale

    def folded(self, words: str, size: float, width: float, bold: bool = False) -> tuple[str, ...]:
        """The words in lines no wider than `width` [units]; a word too long for a line is broken."""
        key = (words, round(size * 100), bold, round(width * 4))
        held = self._folded.get(key)
        if held is None:
            if len(self._folded) > 5_000:
                self._folded.clear()
            held = self._folded[key] = tuple(self._fold(words, size, width, bold))
        return held

    def _fold(self, words: str, size: float, width: float, bold: bool) -> list[str]:
        lines: list[str] = []
        for paragraph in words.split("\n"):
            line = ""
            for word in paragraph.split(" "):
                longer = f"{line} {word}" if line else word
                if self.width(longer, size, bold) <= width:
                    line = longer
                    continue
                if line:
                    lines.append(line)
                while self.width(word, size, bold) > width and len(word) > 1:
                    cut = self._fitting(word, size, width, bold)
                    lines.append(word[:cut])
                    word = word[cut:]
                line = word
            lines.append(line)
        return lines

    def _fitting(self, word: str, size: float, width: float, bold: bool) -> int:
        """How many letters of a word fit a width [units], one at least."""
        low, high = 1, len(word) - 1
        while low < high:
            middle = (low + high + 1) // 2
            if self.width(word[:middle], size, bold) <= width:
                low = middle
            else:
                high = middle - 1
        return low
