"""Life-size sheets as PDF: every half face on and from the side at exactly 1 : 1, in rows of look-alikes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from coaxtell.models import face, section
from coaxtell.models.drawing import Drawing
from coaxtell.models.half import Half
from coaxtell.models.sheet import GRID_COARSE, HARM, INK, QUIET, Frame
from coaxtell.pages.drawing_pdf import put
from coaxtell.pages.lifesize import Row, Shown, rows, twin_words
from coaxtell.pages.lifesize_page import MARGIN, Paper, TruePage, closing, thin
from coaxtell.pages.look import PAPER, rgb

GAP = 5.0
"""Paper between two views and between cells [mm]."""
COLUMNS = (3, 2, 1)
LINE = 3.3
SAID, NAMED = 7.5, 10.0
"""Sizes of the type [points]."""

Told = Callable[[int, int], None]


class Placed(NamedTuple):
    """Where a half stands on the sheets: page from 1, axis of its face-on view, reference plane of its side view."""

    half_id: str
    page: int
    face: tuple[float, float]
    side: tuple[float, float]


class _Cell(NamedTuple):
    """A half with the room its views take [mm] and its words in lines."""

    shown: Shown
    wide: float
    high: float
    rear: float
    front: float
    radius: float

    @property
    def width(self) -> float:
        return 2 * self.wide + GAP + self.front - self.rear

    @property
    def height(self) -> float:
        return 2 * max(self.high, self.radius)


def write(halves: Sequence[Half], path: Path, paper: Paper, title: str, told: Told) -> list[Placed]:
    """Write the sheets and say where each half stands; `told` hears how many rows are done of how many."""
    pdf = TruePage(title, paper)
    _opening(pdf, title, len(halves))
    placed: list[Placed] = []
    found = rows(halves)
    with closing(pdf):
        for done, row in enumerate(found, start=1):
            _row(pdf, row, placed)
            told(done, len(found))
    pdf.output(str(path))
    return placed


def _opening(pdf: TruePage, title: str, count: int) -> None:
    pdf.ink(15, INK, bold=True)
    pdf.text(MARGIN, 17, title)
    pdf.ink(8.5, QUIET)
    pdf.text(MARGIN, 22, f"{count} halves, face on and from the side at life size; look-alikes stand in one row.")
    pdf.set_y(25)


def _cell(shown: Shown) -> _Cell:
    rear, front, radius = section.span(shown.half)
    return _Cell(shown, *face.extent(shown.half), rear, front, radius)


def _row(pdf: TruePage, row: Row, placed: list[Placed]) -> None:
    cells = [_cell(shown) for shown in row.shown]
    widest = max(cell.width for cell in cells)
    room = float(pdf.epw)
    columns = next(n for n in COLUMNS if widest + GAP <= room / n or n == 1)
    width = room / columns
    lines = [cells[k : k + columns] for k in range(0, len(cells), columns)]
    told: set[str] = set()
    for number, line in enumerate(lines):
        words = [_words(pdf, cell, width - GAP, told) for cell in line]
        high = max(cell.height for cell in line)
        need = high + 6 + max(len(text) for text in words) * LINE + (9 if number == 0 else 0)
        if pdf.get_y() + need > pdf.floor:
            pdf.add_page()
            pdf.set_y(MARGIN)
            _heading(pdf, row.heading + (", continued" if number else ""))
        elif number == 0:
            _heading(pdf, row.heading)
        top = pdf.get_y()
        for k, (cell, text) in enumerate(zip(line, words, strict=True)):
            x = MARGIN + k * width
            _views(pdf, cell, x, top + high / 2, placed)
            at = top + high + 4.5
            for size, bold, colour, words_ in text:
                pdf.ink(size, colour, bold)
                pdf.text(x, at, words_)
                at += LINE
        pdf.set_y(top + need - (9 if number == 0 else 0))


def _heading(pdf: TruePage, words: str) -> None:
    y = pdf.get_y() + 2
    pdf.set_draw_color(*rgb(GRID_COARSE))
    pdf.set_line_width(0.2)
    pdf.line(MARGIN, y, float(pdf.w) - MARGIN, y)
    pdf.ink(8, QUIET, bold=True)
    pdf.text(MARGIN, y + 3.8, words)
    pdf.set_y(y + 7)


def _words(pdf: TruePage, cell: _Cell, width: float, told: set[str]) -> list[tuple[float, bool, str, str]]:
    """What is said of a half, in lines of (size, bold, colour, words); `told`: wordings the row has had already."""
    shown = cell.shown
    wording = "" if shown.half.wording in told else shown.half.wording
    told.add(shown.half.wording)
    said: list[tuple[float, bool, str, str]] = [(NAMED, True, INK, shown.half.name)]
    for words, colour in (
        (shown.names, QUIET),
        (shown.gender, INK),
        ("Look at: " + "; ".join(shown.look_at) if shown.look_at else "", INK),
        (twin_words(shown), INK),
        (wording[:1].upper() + wording[1:], QUIET),
        (shown.weak, HARM),
    ):
        if words:
            pdf.ink(SAID, colour)
            said += [(SAID, False, colour, line) for line in pdf.broken(words, width)]
    return said


def _views(pdf: TruePage, cell: _Cell, x: float, middle: float, placed: list[Placed]) -> None:
    half = cell.shown.half
    at = (x + cell.wide, middle)
    frame = Frame(x + 2 * cell.wide + GAP - cell.rear, middle, 1.0)
    items = [*face.parts(half, at, 1.0), *section.side(half, frame)]
    put(pdf, Drawing(0, 0, half.name, PAPER, tuple(thin(item) for item in items), 1.0), 0, 0)
    placed.append(Placed(half.id, int(pdf.page_no()), at, (frame.x, frame.y)))
