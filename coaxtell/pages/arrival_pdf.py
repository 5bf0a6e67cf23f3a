"""A delivery as PDF: all cables in a table where there are several, then a sheet for each on a page of its own."""

from __future__ import annotations

from pathlib import Path

from coaxtell.models.palette import HARM, QUIET
from coaxtell.pages.arrival_content import Pages, Sheet
from coaxtell.pages.document import Document
from coaxtell.pages.drawing_pdf import figure


def write(pages: Pages, path: Path, paper: str = "a4") -> str:
    """Write the delivery to a PDF file; returns the letters that its font lacks and leaves blank."""
    pdf = Document(pages.title, paper)
    pdf.heading(pages.title, 18)
    pdf.paragraph(pages.first, 9, QUIET)
    several = len(pages.sheets) != 1
    if several or pages.unread or pages.missing:
        pdf.paragraph(pages.summary, 10)
        for heading, names in (("Not read", pages.unread), ("Not measured", pages.missing)):
            if names:
                pdf.heading(f"{heading}: {len(names)}")
                pdf.points(names)
    if several and pages.sheets:
        pdf.ruled(pages.overview, title="All cables")
    for sheet in pages.sheets:
        if several:
            pdf.add_page()
        _sheet(pdf, sheet)
    return pdf.save(path)


def _sheet(pdf: Document, sheet: Sheet) -> None:
    pdf.heading(sheet.name, 14)
    pdf.ink(11, QUIET if sheet.good else HARM, bold=True)
    pdf.multi_cell(0, 6, sheet.verdict, new_x="LMARGIN", new_y="NEXT", align="L")
    pdf.paragraph(sheet.ordered, 9)
    pdf.points(sheet.against)
    pdf.ruled(sheet.table, size=8.5)
    pdf.ln(2)
    pdf.points(sheet.notes, 8)
    figure(pdf, sheet.figure)
