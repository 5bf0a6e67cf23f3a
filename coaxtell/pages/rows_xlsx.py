"""Rows as a workbook of one sheet, written row by row so that many take little time and memory."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from openpyxl import Workbook

from coaxtell.models import cells
from coaxtell.pages import workbook
from coaxtell.pages.cell_text import allowed, fitting


def write(headings: Sequence[str], rows: Iterable[Sequence[str | float]], path: Path) -> None:
    """Write the sheet; text stays text, so that no name becomes a formula, and numbers stay numbers."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Ports")
    sheet.freeze_panes = "A2"
    sheet.append([_cell(heading) for heading in headings])
    for row in rows:
        sheet.append([_cell(value) for value in row])
    workbook.save(book, path)


def _cell(value: str | float) -> str | float:
    return fitting(cells.neutral(allowed(value))) if isinstance(value, str) else value
