"""A site's plan as a workbook; openpyxl is imported here alone, and this module only when one is written."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.drawing.image import Image as SheetImage
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

from coaxtell.cables.plan import Plan
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models import cells
from coaxtell.models.palette import BENCH, GRID_FINE, INK
from coaxtell.pages import content, workbook
from coaxtell.pages.cell_text import allowed, fitting
from coaxtell.pages.content import life_size
from coaxtell.pages.table import Table

_NUMBER = re.compile(r"-?\d+(?:\.(\d+))?")
_TYPE = "DejaVu Sans"
_LINE_POINTS = 13.5
"""Height of a line of text, which a row needs told: not every program measures wrapped text itself [points]."""
_PICTURE_POINTS = 76
# Made once: the library looks every style up again by its parts.
_FONT, _BOLD = (Font(name=_TYPE, size=10, bold=bold, color=INK[1:]) for bold in (False, True))
_RULE = Border(bottom=Side(style="thin", color=GRID_FINE[1:]))
_SHADE = PatternFill("solid", start_color=BENCH[1:])
_TEXT = Alignment(wrap_text=True, vertical="top")
_FIGURE = Alignment(horizontal="right", vertical="top", indent=1)


def write(plan: Plan, tables: CableTables, path: Path, paper: str = "a4") -> None:
    """Write the plan to a workbook with a sheet for each part."""
    book = Workbook()
    first = book.active
    assert first is not None
    again = content.look_again(plan)
    if again:
        _rows(first, ("Not settled, before ordering",), [(line,) for line in again], (95,))
        first.title = "Not settled"
        first = book.create_sheet()
    short = content.shortfalls(plan)
    if short:
        _rows(first, ("Short of what was wanted",), [(line,) for line in short], (95,))
        first.title = "Short"
        first = book.create_sheet()
    first.title = "Order"
    _table(first, content.order(plan))
    _table(book.create_sheet("Runs"), content.runs(plan, tables))
    labels = [
        (x.run, x.place, x.equipment, x.end.name, x.port.name, say(x.cable), say(x.through) if x.through else "")
        for x in plan.labels
    ]
    headings = ("Run", "End", "Equipment", "This end", "Goes onto", "Cable", "Through")
    _rows(book.create_sheet("Labels"), headings, labels, (26, 10, 18, 26, 26, 20, 40))
    _ports(book.create_sheet("Ports"), plan)
    _rows(book.create_sheet("On arrival"), ("Check", "Done"), [(say(c), "") for c in plan.checks], (95, 10))
    _rows(book.create_sheet("Cautions"), ("To mind",), [(c,) for c in _cautions(plan, tables)], (95,))
    faults = content.faults(plan)
    if faults:
        _rows(book.create_sheet("Not planned"), ("What to mend",), [(f,) for f in faults], (95,))
    for sheet in book:
        _page(sheet, content.title(plan), paper)
    workbook.save(book, path)


def _cautions(plan: Plan, tables: CableTables) -> list[str]:
    return [
        *content.summary(plan, tables),
        *map(say, plan.cautions),
        *content.runs_notes(plan, tables),
        *content.run_notes(plan),
    ]


def _page(sheet: Any, title: str, paper: str) -> None:
    """How a sheet prints: across, as wide as the page, headings on each, named at the foot."""
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4 if paper == "a4" else sheet.PAPERSIZE_LETTER
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.print_title_rows = "1:1"
    # An ampersand begins a code in a footer; two stand for one.
    sheet.oddFooter.left.text = allowed(title).replace("&", "&&")[:120] + ": &A"
    sheet.oddFooter.right.text = "&P / &N"


def _put(sheet: Any, row: int, column: int, value: str | float, format_: str = "General") -> Any:
    """Set a cell; text stays text, so that nothing a site file says becomes a formula, here or once saved as CSV."""
    cell = sheet.cell(row=row, column=column)
    if isinstance(value, str):
        cell.value = fitting(cells.shown(allowed(value)))
        cell.data_type = "s"
        cell.alignment = _TEXT
    else:
        cell.value = value
        cell.number_format = format_
        cell.alignment = _FIGURE
    cell.font = _FONT
    cell.border = _RULE
    return cell


def _lines(value: str | float, width: float) -> int:
    """Lines a value takes in a column of so many digits' width, a little more rather than less."""
    return sum(max(1, math.ceil(1.05 * len(part) / width)) for part in str(value).split("\n"))


def _rows(
    sheet: Any,
    headings: Sequence[str],
    rows: Iterable[Sequence[str | float]],
    widths: Sequence[float],
    formats: dict[int, str] | None = None,
) -> None:
    for column, (heading, width) in enumerate(zip(headings, widths, strict=True), start=1):
        cell = _put(sheet, 1, column, heading)
        cell.font = _BOLD
        cell.fill = _SHADE
        sheet.column_dimensions[cell.column_letter].width = width
    _height(sheet, 1, headings, [0.85 * width for width in widths])
    for number, row in enumerate(rows, start=2):
        for column, value in enumerate(row, start=1):
            _put(sheet, number, column, value, (formats or {}).get(column, "General"))
        _height(sheet, number, row, widths)
    sheet.freeze_panes = "A2"


def _height(sheet: Any, number: int, row: Sequence[str | float], widths: Sequence[float]) -> None:
    lines = max(_lines(value, width) for value, width in zip(row, widths, strict=True))
    # No program shows a row higher than this.
    sheet.row_dimensions[number].height = min(lines * _LINE_POINTS + 3, 400)


def _table(sheet: Any, table: Table) -> None:
    """A table whose numbers stay numbers, with as many decimals as the sheet on paper shows."""
    formats: dict[int, str] = {}

    def value(column: int, text: str) -> str | float:
        found = _NUMBER.fullmatch(text) if column in table.numbers else None
        if found is None:
            return text
        formats[column + 1] = f"0.{'0' * len(found[1])}" if found[1] else "General"
        return float(text)

    rows = [[value(column, text) for column, text in enumerate(row)] for row in table.rows]
    _rows(sheet, table.headings, rows, [max(9.0, width * 0.85) for width in table.widths], formats)


def _ports(sheet: Any, plan: Plan) -> None:
    """Every port of the site with its picture, so that it can be told by eye."""
    asked = [half for run in plan.runs for half in (run.asked.run.reader, run.asked.run.antenna)]
    halves = {half.id: half for half in asked}
    rows = [(p.id, p.count, content.shortened(tuple(p.where), 20), p.takes, "") for p in plan.ports.ports]
    _rows(sheet, ("Port", "Count", "On", "Takes", "Face-on, not to scale"), rows, (20, 9, 60, 20, 22))
    for number, port in enumerate(plan.ports.ports, start=2):
        data = io.BytesIO()
        life_size(halves[port.id]).png(data)
        data.seek(0)
        picture = SheetImage(data)
        picture.width = picture.height = 96
        sheet.add_image(picture, f"E{number}")
        sheet.row_dimensions[number].height = max(_PICTURE_POINTS, sheet.row_dimensions[number].height)
