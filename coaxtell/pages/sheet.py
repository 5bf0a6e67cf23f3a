"""PDF sheets in the project's look; fpdf2 is imported here alone, and this module only when a PDF is written."""

from __future__ import annotations

import re
from pathlib import Path

from fpdf import FPDF, ViewerPreferences

from coaxtell.models.sheet import BENCH, GRID_FINE, INK, QUIET
from coaxtell.pages.content import Table
from coaxtell.pages.look import font_file, rgb, thin

FAMILY = "sheet"
_MARGIN = 12.0
_BLANKS = re.compile(r"[ \t\r\n]+")
"""Where a line may break; not at the thin space before a unit."""


class Sheet(FPDF):
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
        self.cell(0, 4, self._foot)
        self.set_x(_MARGIN)
        self.cell(0, 4, f"page {self.page_no()} of {{nb}}", align="R")

    def ink(self, size: float, colour: str = INK, bold: bool = False) -> None:
        """Choose size [points], colour and weight of what is written next."""
        self.set_font(FAMILY, "B" if bold else "", size)
        self.set_text_color(*rgb(colour))

    def heading(self, text: str, size: float = 13) -> None:
        """A heading that stays with what follows it."""
        if self.will_page_break(size + 14):
            self.add_page()
        self.ln(3)
        self.ink(size, INK, bold=True)
        self.multi_cell(0, size * 0.5, text, new_x="LMARGIN", new_y="NEXT")
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
            if self.will_page_break(len(self.broken(text, self.epw - 6)) * size * 0.5):
                self.add_page()
            y = self.get_y()
            if box:
                self.set_draw_color(*rgb(INK))
                self.set_line_width(0.25)
                self.rect(_MARGIN, y + 0.8, 3, 3)
            else:
                self.ink(size, QUIET)
                self.text(_MARGIN + 0.8, y + size * 0.37, "–")
            self.ink(size)
            self.set_xy(_MARGIN + 5, y)
            self.multi_cell(self.epw - 6, size * 0.5, text, new_x="LMARGIN", new_y="NEXT", align="L")
            self.ln(0.9)

    def ruled(self, table: Table, size: float = 7.5) -> None:
        """A ruled table whose headings stand again on each page; a cell breaks its text, a row never breaks."""
        scale = self.epw / sum(table.widths)
        widths = [width * scale for width in table.widths]
        step = size * 0.46
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
            x = _MARGIN
            for column, (lines, width) in enumerate(zip(cells, widths, strict=True)):
                for i, line in enumerate(lines):
                    indent = width - 1 - self._measured(line) if column in table.numbers else 1
                    self.text(x + indent, y + 0.8 + (i + 0.78) * step, line)
                x += width
            self.set_draw_color(*rgb(GRID_FINE))
            self.set_line_width(0.2)
            self.line(_MARGIN, y + height, _MARGIN + self.epw, y + height)
            self.set_y(y + height)

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
        x = _MARGIN
        for column, (lines, width) in enumerate(zip(cells, widths, strict=True)):
            for i, line in enumerate(lines):
                indent = width - 1 - self._measured(line) if column in table.numbers else 1
                self.text(x + indent, y + 1.1 + (i + 0.78) * step, line)
            x += width
        self.set_y(y + height)

    def save(self, path: Path) -> None:
        """Write the document."""
        self.output(str(path))
