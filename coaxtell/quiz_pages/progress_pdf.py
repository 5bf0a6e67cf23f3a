"""Progress as a PDF sheet."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import msgspec

from coaxtell.models.palette import QUIET
from coaxtell.pages.document import Document, font_file
from coaxtell.pages.drawing_pdf import figure
from coaxtell.pages.table import Table
from coaxtell.quiz_pages.progress import Report


def unprintable(names: Sequence[str]) -> list[str]:
    """The names whose letters the sheets' type lacks, or that run from right to left, which the sheets cannot set."""
    right_to_left = [any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in name) for name in names]
    return [name for name, turned in zip(names, right_to_left, strict=True) if turned or _set(name) != name]


def _set(text: str) -> str:
    """The text with a box for each letter that the sheets' type lacks."""
    return "".join(letter if ord(letter) in _letters() else "\N{WHITE SQUARE}" for letter in text)


@cache
def _letters() -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(font_file()) as type_face:
        return frozenset(type_face.getBestCmap())


def write(report: Report, path: Path) -> None:
    """Write the sheets: what is told of everyone first, then each person on a page of their own."""
    pdf = Document(_set(report.title))
    pdf.heading(_set(report.title), 18)
    for heading, table in report.tables:
        if heading:
            pdf.heading(heading)
        _table(pdf, table, 6.5 if len(table.headings) > 9 else 7.5)
    if report.tables:
        _notes(pdf, report)
    for person in report.people:
        if report.tables:
            pdf.add_page()
            pdf.heading(_set(person.name), 15)
        for sentence, size in zip(person.said, (10, 9, 9, 9), strict=True):
            pdf.paragraph(_set(sentence), size)
        for drawn in person.charts:
            figure(pdf, drawn)
        pdf.heading("Skills")
        _table(pdf, person.skills)
        pdf.heading("Assessments")
        _table(pdf, person.tries)
    if not report.tables:
        _notes(pdf, report)
    pdf.save(path)


def _table(pdf: Document, table: Table, size: float = 7.5) -> None:
    if table.rows:
        pdf.ruled(msgspec.structs.replace(table, rows=tuple(tuple(map(_set, row)) for row in table.rows)), size)
    else:
        pdf.paragraph("None.", 9, QUIET)


def _notes(pdf: Document, report: Report) -> None:
    pdf.ln(2)
    for line in report.notes:
        pdf.paragraph(line, 8, QUIET)
