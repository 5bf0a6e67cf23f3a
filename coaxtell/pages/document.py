"""PDF sheets in the project's look; this module is imported only when a PDF is written."""

from __future__ import annotations

import logging
import re
from collections.abc import Iterable
from pathlib import Path

from coaxtell.models import lettering
from coaxtell.models.errors import InputError
from coaxtell.models.palette import BENCH, GRID_COARSE, GRID_FINE, INK, QUIET, rgb
from coaxtell.pages.fpdf2 import FPDF, TTFFont, ViewerPreferences
from coaxtell.pages.spacing import thin
from coaxtell.pages.table import Table

FAMILY = "sheet"
_MARGIN = 12.0
_BLANKS = re.compile(r"[ \t\r\n]+")
"""Where a line may break; not at the thin space before a unit."""


def font_file(bold: bool = False) -> Path:
    """The file of the sheets' type; raises InputError where it is missing."""
    found = lettering.font_file(bold)
    if found is None:
        raise InputError(
            "PDF sheets need the DejaVu Sans font that matplotlib carries; install matplotlib, or write .html."
        )
    return found


class Document(FPDF):
    """An A4 document with the project's fonts, headings, paragraphs and tables; the foot names document and page."""

    def __init__(self, title: str, paper: str = "A4") -> None:
        super().__init__(orientation="portrait", unit="mm", format=paper)
        self._foot = title
        self._widths: dict[tuple[str, float, str], float] = {}
        self.set_title(title)
        self.set_creator("coaxtell")
        # Life-size pictures must not be fitted to the page by the viewer.
        self.viewer_preferences = ViewerPreferences(print_scaling="None")
        self.set_margins(_MARGIN, _MARGIN, _MARGIN)
        self.set_auto_page_break(True, 16)
        self.c_margin = 0
        for style, bold in (("", False), ("B", True)):
            self.add_font(FAMILY, style, str(font_file(bold)))
        self.add_page()

    def footer(self) -> None:
        """The line at the foot of each page."""
        self.set_y(-11)
        self.ink(7.5, QUIET)
        self.cell(0, 4, self.cut(self._foot, self.epw - 30))
        self.set_x(_MARGIN)
        self.cell(0, 4, f"page {self.page_no()} of {{nb}}", align="R")

    def ink(self, size: float, colour: str = INK, bold: bool = False) -> None:
        """Choose size [points], colour and weight of what is written next."""
        self.set_font(FAMILY, "B" if bold else "", size)
        self.set_text_color(*rgb(colour))

    def room(self, height: float) -> None:
        """Go on to a new page where this one has no room for a height [mm]."""
        if self.will_page_break(height):
            self.add_page()

    def stroke(self, colour: str, width: float) -> None:
        """Choose colour and width [mm] of the lines drawn next."""
        self.set_draw_color(*rgb(colour))
        self.set_line_width(width)

    def rule(self, x: float, y: float, width: float, thick: float = 0.2) -> None:
        """A light line to the right."""
        self.stroke(GRID_COARSE, thick)
        self.line(x, y, x + width, y)

    def lines(self, x: float, y: float, lines: Iterable[str], step: float) -> float:
        """Lines as they are from a base line on, in the ink chosen last. Gives the base line after them."""
        for line in lines:
            self.text(x, y, line)
            y += step
        return y

    def heading(self, text: str, size: float = 13) -> None:
        """A heading that stays with what follows it."""
        self.room(size + 14)
        self.ln(3)
        self.ink(size, INK, bold=True)
        self.multi_cell(0, size * 0.5, thin(text), new_x="LMARGIN", new_y="NEXT", align="L")
        self.ln(1.2)

    def paragraph(self, text: str, size: float = 9, colour: str = INK) -> None:
        """A paragraph over the whole width."""
        self.ink(size, colour)
        self.multi_cell(0, size * 0.5, thin(text), new_x="LMARGIN", new_y="NEXT", align="L")
        self.ln(0.8)

    def points(self, texts: tuple[str, ...], size: float = 9, box: bool = False) -> None:
        """A list, each entry behind a dash or a box to tick."""
        for text in map(thin, texts):
            self.ink(size)
            self.room(len(self.broken(text, self.epw - 6)) * size * 0.5)
            y = self.get_y()
            if box:
                self.stroke(INK, 0.25)
                self.rect(_MARGIN, y + 0.8, 3, 3)
            else:
                self.ink(size, QUIET)
                self.text(_MARGIN + 0.8, y + size * 0.37, "–")
            self.ink(size)
            self.set_xy(_MARGIN + 5, y)
            self.multi_cell(self.epw - 6, size * 0.5, text, new_x="LMARGIN", new_y="NEXT", align="L")
            self.ln(0.9)

    def ruled(self, table: Table, size: float = 7.5, title: str = "") -> None:
        """A ruled table under its title, kept with its first row; headings stand again on each page.

        A cell breaks its text, a row never breaks.
        """
        scale = self.epw / sum(table.widths)
        widths = [width * scale for width in table.widths]
        step = size * 0.46
        first = max((self._height(row, widths, size) for row in table.rows[:1]), default=0.0)
        self.room((11 if title else 0) + self._height(table.headings, widths, size, "B") + first)
        if title:
            self.heading(title)
        self._table_head(table, widths, size)
        for row in table.rows:
            self.set_font(FAMILY, "", size)
            cells = [self.broken(thin(text), width - 2) for text, width in zip(row, widths, strict=True)]
            height = max(len(lines) for lines in cells) * step + 1.6
            if self.will_page_break(height):
                self.add_page()
                self._table_head(table, widths, size)
            y = self.get_y()
            self.ink(size)
            self._cells(cells, widths, table.numbers, y + 0.8, step)
            self.stroke(GRID_FINE, 0.2)
            self.line(_MARGIN, y + height, _MARGIN + self.epw, y + height)
            self.set_y(y + height)

    def _height(self, row: tuple[str, ...], widths: list[float], size: float, style: str = "") -> float:
        """Height of a row of a table [mm]."""
        self.set_font(FAMILY, style, size)
        lines = [len(self.broken(thin(text), width - 2)) for text, width in zip(row, widths, strict=True)]
        return max(lines) * size * 0.46 + 1.6

    def cut(self, text: str, width: float) -> str:
        """The text as far as it fits a width [mm] in the font chosen last, with an ellipsis where it is cut."""
        if self._measured(text) <= width:
            return text
        kept = next((n for n in range(len(text), 0, -1) if self._measured(f"{text[:n]}…") <= width), 0)
        return f"{text[:kept]}…"

    def broken(self, text: str, width: float) -> list[str]:
        """The text in lines of a width [mm], in the font chosen last; a word longer than a line is cut.

        Each word is measured once: large tables repeat their words, and measuring is what costs time.
        """
        lines: list[str] = []
        line, used = "", 0.0
        space = self._measured(" ")
        for word in _BLANKS.split(text.strip()):
            length = self._measured(word)
            if line and used + space + length <= width:
                line, used = f"{line} {word}", used + space + length
                continue
            if line:
                lines.append(line)
            while length > width and len(word) > 1:
                kept = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or self._measured(word[:n]) <= width)
                lines.append(word[:kept])
                word = word[kept:]
                length = self._measured(word)
            line, used = word, length
        return [*lines, line] if line or not lines else lines

    def _measured(self, word: str) -> float:
        key = (self.font_style, self.font_size_pt, word)
        found = self._widths.get(key)
        if found is None:
            found = self._widths[key] = self.get_string_width(word)
        return found

    def _table_head(self, table: Table, widths: list[float], size: float) -> None:
        self.set_font(FAMILY, "B", size)
        cells = [self.broken(text, width - 2) for text, width in zip(table.headings, widths, strict=True)]
        step = size * 0.46
        height = max(len(lines) for lines in cells) * step + 2.2
        y = self.get_y()
        self.set_fill_color(*rgb(BENCH))
        self.rect(_MARGIN, y, self.epw, height, style="F")
        self.ink(size, INK, bold=True)
        self._cells(cells, widths, table.numbers, y + 1.1, step)
        self.set_y(y + height)

    def _cells(
        self, cells: list[list[str]], widths: list[float], numbers: frozenset[int], y: float, step: float
    ) -> None:
        """The words of a table's row below y [mm], numbers at the right of their columns."""
        x = _MARGIN
        for column, (lines, width) in enumerate(zip(cells, widths, strict=True)):
            for i, line in enumerate(lines):
                indent = width - 1 - self._measured(line) if column in numbers else 1
                self.text(x + indent, y + (i + 0.78) * step, line)
            x += width

    def save(self, path: Path) -> str:
        """Write the document; returns the letters that its font lacks and leaves blank."""
        # The library would tell of them in its own words.
        logger = logging.getLogger("fpdf.output")
        before = logger.level
        logger.setLevel(logging.ERROR)
        try:
            self.output(str(path))
        finally:
            logger.setLevel(before)
        fonts = [font for font in self.fonts.values() if isinstance(font, TTFFont)]
        return "".join(chr(code) for code in sorted({code for font in fonts for code in font.missing_glyphs}))
