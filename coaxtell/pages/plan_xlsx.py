"""A site's plan as a workbook; openpyxl is imported here alone, and this module only when one is written."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.drawing.image import Image as SheetImage
from openpyxl.styles import Alignment, Font, PatternFill

from coaxtell.cables.plan import Plan
from coaxtell.cables.tables import CableTables
from coaxtell.models.sheet import BENCH, INK
from coaxtell.pages import content
from coaxtell.pages.face import life_size

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_NOT_ALLOWED = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")


def write(plan: Plan, tables: CableTables, path: Path) -> None:
    """Write the plan to a workbook with a sheet for each part."""
    book = Workbook()
    first = book.active
    assert first is not None
    first.title = "Order"
    _table(first, content.order(plan))
    _table(book.create_sheet("Runs"), content.runs(plan))
    labels = [(x.run, x.place, x.equipment, x.end.name, x.port.name, x.cable, x.through) for x in plan.labels]
    headings = ("Run", "End", "Equipment", "This end", "Goes onto", "Cable", "Through")
    _rows(book.create_sheet("Labels"), headings, labels, (22, 10, 14, 28, 28, 24, 40))
    _ports(book.create_sheet("Ports"), plan)
    _rows(book.create_sheet("On arrival"), ("Check", "Done"), [(c, "") for c in plan.checks], (120, 10))
    cautions = [*content.summary(plan, tables), *plan.cautions, *content.RUNS_NOTES, *content.run_notes(plan)]
    _rows(book.create_sheet("Cautions"), ("To mind",), [(c,) for c in cautions], (130,))
    faults = content.faults(plan)
    if faults:
        _rows(book.create_sheet("Not planned"), ("Row",), [(f,) for f in faults], (130,))
    book.save(path)


def _put(sheet: Any, row: int, column: int, value: str | float) -> None:
    """Set a cell; text stays text, so that nothing a site file says becomes a formula."""
    cell = sheet.cell(row=row, column=column)
    if isinstance(value, str):
        cell.value = _NOT_ALLOWED.sub(" ", value)[:32_000]
        cell.data_type = "s"
        cell.alignment = Alignment(wrap_text=True, vertical="top")
    else:
        cell.value = value
        cell.alignment = Alignment(vertical="top")


def _rows(sheet: Any, headings: Sequence[str], rows: Iterable[Sequence[str | float]], widths: Sequence[float]) -> None:
    for column, (heading, width) in enumerate(zip(headings, widths, strict=True), start=1):
        _put(sheet, 1, column, heading)
        cell = sheet.cell(row=1, column=column)
        cell.font = Font(bold=True, color=INK[1:])
        cell.fill = PatternFill("solid", start_color=BENCH[1:])
        sheet.column_dimensions[cell.column_letter].width = width
    for number, row in enumerate(rows, start=2):
        for column, value in enumerate(row, start=1):
            _put(sheet, number, column, value)
    sheet.freeze_panes = "A2"


def _table(sheet: Any, table: content.Table) -> None:
    def value(column: int, text: str) -> str | float:
        return float(text) if column in table.numbers and _NUMBER.fullmatch(text) else text

    rows = [[value(column, text) for column, text in enumerate(row)] for row in table.rows]
    _rows(sheet, table.headings, rows, [max(9.0, width * 0.75) for width in table.widths])


def _ports(sheet: Any, plan: Plan) -> None:
    """Every port of the site with its picture, so that labels can be told by eye."""
    halves = {half.id: half for half in content.port_halves(plan)}
    rows = [(p.id, p.count, content.shortened(tuple(p.where), 20), p.takes) for p in plan.ports.ports]
    _rows(sheet, ("Port", "Count", "On", "Takes", "Face-on"), [(*row, "") for row in rows], (18, 8, 60, 18, 18))
    for number, port in enumerate(plan.ports.ports, start=2):
        half = halves.get(port.id)
        if half is None:
            continue
        data = io.BytesIO()
        life_size(half).png(data)
        data.seek(0)
        picture = SheetImage(data)
        picture.width = picture.height = 96
        sheet.add_image(picture, f"E{number}")
        sheet.row_dimensions[number].height = 76
