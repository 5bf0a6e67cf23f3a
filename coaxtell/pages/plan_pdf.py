"""A site's plan as PDF: order list, runs, checks, curves, cautions and the labels to print."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image

from coaxtell.cables.plan import Label, Plan
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.drawings.drawing import Drawing
from coaxtell.models.half import Half
from coaxtell.models.palette import ACTION, HARM, INK, QUIET
from coaxtell.pages import content
from coaxtell.pages.content import life_size
from coaxtell.pages.curve_figure import SMALL
from coaxtell.pages.document import Document
from coaxtell.pages.drawing_pdf import put
from coaxtell.pages.spacing import thin

_COLUMNS = 2
_LABEL_WIDTH, _LABEL_HEIGHT = 91.0, 36.0
_PICTURE = 34.0
"""Room for the picture on a label [mm]."""
_DOTS_PER_INCH = 300
_LABELS_TOP, _FOOT = 24.0, 13.0
"""Where the labels begin on a page of their own and how much they leave free below them [mm]."""
_LABELS_HEAD = 10.0
"""Room for their heading below what stands on the page before them [mm]."""
_FEW = 4
"""Rows of labels that a page of their own has at least, where it is not the only one."""


def write(plan: Plan, tables: CableTables, path: Path, paper: str = "a4") -> str:
    """Write the plan to a PDF file; returns the letters that its font lacks and leaves blank."""
    pdf = Document(content.title(plan), paper)
    pdf.heading(content.title(plan), 18)
    for sentence in content.summary(plan, tables):
        pdf.paragraph(sentence, 10)
    again = content.look_again(plan)
    if again:
        pdf.heading(f"Not settled, before ordering: {len(again)}")
        pdf.points(again)
    short = content.shortfalls(plan)
    if short:
        pdf.heading(f"Short of what was wanted: {len(short)}")
        pdf.points(short)
    faults = content.faults(plan)
    if faults:
        pdf.heading(f"Not planned: {len(faults)}")
        pdf.points(faults)
    pdf.ruled(content.order(plan), title="Order list")
    pdf.ruled(content.runs(plan, tables), title="Runs")
    pdf.ln(1.5)
    for note in content.runs_notes(plan, tables):
        pdf.paragraph(note, 8, QUIET)
    notes = content.run_notes(plan)
    if notes:
        pdf.heading("To mind with single runs")
        pdf.points(notes)
    pdf.heading("To check on arrival")
    pdf.points(tuple(map(say, plan.checks)), box=True)
    pdf.heading("Cautions")
    pdf.points(tuple(map(say, plan.cautions)))
    _curves(pdf, content.figures(plan, tables, SMALL))
    if plan.labels:
        _labels(pdf, plan.labels)
    return pdf.save(path)


def _curves(pdf: Document, drawn: tuple[Drawing, ...]) -> None:
    """Small figures two to a row, which stay with their heading."""
    if not drawn:
        return
    pdf.room(SMALL.height + 22)
    pdf.heading("Loss over length")
    pdf.paragraph("The longest run of each kind: its class between those with the next less and more loss.", 8, QUIET)
    for number, one in enumerate(drawn):
        if number % _COLUMNS == 0:
            pdf.room(SMALL.height)
            y = pdf.get_y()
            pdf.set_y(y + SMALL.height)
        put(pdf, one.items, pdf.l_margin + number % _COLUMNS * (SMALL.width + 4), y)


def _labels(pdf: Document, labels: tuple[Label, ...]) -> None:
    """Labels to cut out, two for each cable, with the port each end goes onto at life size."""
    pictures = {}
    for label in labels:
        if label.port.id not in pictures:
            pictures[label.port.id] = _picture(label.port)
    pdf.set_auto_page_break(False)
    rows = -(-len(labels) // _COLUMNS)
    room = _rows_below(pdf, pdf.get_y() + _LABELS_HEAD)
    here = _rows_here(rows, room, _rows_below(pdf, _LABELS_TOP), pdf.get_y() < pdf.h / 2)
    top = pdf.get_y() + _LABELS_HEAD if here else 0.0
    if here:
        _labels_head(pdf, top)
    left = here
    for row in range(rows):
        if not left:
            pdf.add_page()
            top, left = _LABELS_TOP, _rows_below(pdf, _LABELS_TOP)
            _labels_head(pdf, top)
        for column, label in enumerate(labels[row * _COLUMNS : (row + 1) * _COLUMNS]):
            _label(pdf, label, pictures[label.port.id], pdf.l_margin + column * (_LABEL_WIDTH + 4), top)
        top += _LABEL_HEIGHT + 1
        left -= 1


def _rows_below(pdf: Document, top: float) -> int:
    """How many rows of labels fit below a height of the page [mm]."""
    return max(0, int((pdf.h - top - _FOOT + 1) // (_LABEL_HEIGHT + 1)))


def _rows_here(rows: int, room: int, page: int, white: bool) -> int:
    """How many rows of labels stand below what is on the page already, which has room for some: where they save a page
    that would take so many, or where it would be mostly white without them."""
    if rows <= room or -(-(rows - room) // page) < -(-rows // page):
        return min(rows, room)
    return max(0, min(room, rows - _FEW)) if white else 0


def _labels_head(pdf: Document, top: float) -> None:
    pdf.ink(11, INK, bold=True)
    pdf.text(pdf.l_margin, top - 8, "Labels, one for each cable end")
    pdf.ink(7.5, QUIET)
    words = "The picture is the port this end goes onto, face-on at life size (print at 100 %)."
    pdf.text(pdf.l_margin, top - 3.5, words)
    _check_bar(pdf, top - 8)


def _label(pdf: Document, label: Label, pictured: tuple[io.BytesIO, float], x: float, y: float) -> None:
    picture, size = pictured
    pdf.stroke(QUIET, 0.2)
    pdf.rect(x, y, _LABEL_WIDTH, _LABEL_HEIGHT)
    pdf.image(picture, x + 1 + (_PICTURE - size) / 2, y + (_LABEL_HEIGHT - size) / 2, size, size)
    _label_words(pdf, label, x + _PICTURE + 3, y, _LABEL_WIDTH - _PICTURE - 5)


def _picture(port: Half) -> tuple[io.BytesIO, float]:
    """A port's picture at life size as PNG with its size [mm]; a flange too wide loses its rim, never its scale."""
    drawn = life_size(port)
    data = io.BytesIO()
    drawn.png(data, dpi=_DOTS_PER_INCH)
    size = drawn.width_mm
    if size <= _PICTURE:
        return data, size
    picture = Image.open(data)
    edge = round(picture.width * (size - _PICTURE) / size / 2)
    cut = io.BytesIO()
    picture.crop((edge, edge, picture.width - edge, picture.height - edge)).save(cut, "PNG")
    return cut, _PICTURE


def _check_bar(pdf: Document, y: float) -> None:
    """A bar of 100 mm to the right, to lay a ruler on."""
    right = pdf.w - pdf.r_margin
    pdf.stroke(INK, 0.3)
    pdf.line(right - 100, y, right, y)
    for x in (right - 100, right):
        pdf.line(x, y - 1.5, x, y + 1.5)
    pdf.ink(7.5, QUIET)
    words = "100 mm: if it measures otherwise, the printer scaled"
    pdf.text(right - pdf.get_string_width(words), y - 2, words)


def _label_words(pdf: Document, label: Label, x: float, y: float, width: float) -> None:
    """The words of a label, smaller where long names would not fit, and cut only where even that is not enough."""
    texts = [
        (12.0, True, INK, label.run),
        (9.0, True, ACTION, f"{label.place} end, to {label.equipment}"),
        (8.5, False, INK, f"this end: {label.end.name}"),
        (8.5, False, INK, f"goes onto: {label.port.name}"),
        (8.5, False, INK, say(label.cable)),
    ]
    if label.through:
        texts.append((7.0, False, HARM, f"through {say(label.through)}"))
    most = 99
    for scale in (1.0, 0.9, 0.8, 0.7, 0.6, 0.6):
        lines = []
        for size, bold, colour, text in texts:
            pdf.ink(scale * size, colour, bold)
            parts = pdf.broken(thin(text), width)
            if len(parts) > most:
                parts = [*parts[: most - 1], pdf.cut(" ".join(parts[most - 1 :]), width)]
            lines += [(scale * size, bold, colour, part, part is parts[-1]) for part in parts]
        if sum(size * 0.48 + 0.5 * last for size, *_, last in lines) <= _LABEL_HEIGHT - 3:
            break
        # At the smallest size names are cut.
        most = 2 if scale == 0.6 else 99
    at = y + 1.4 + 0.35 * lines[0][0]
    for size, bold, colour, part, last in lines:
        pdf.ink(size, colour, bold)
        pdf.text(x, at, part)
        at += size * 0.48 + 0.5 * last
