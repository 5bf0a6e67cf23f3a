"""Life-size sheets as PDF: every half face on and from the side at exactly 1 : 1, in rows of look-alikes."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from coaxtell.models.acts import Act, before
from coaxtell.models.drawings import face, section
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.half import Half
from coaxtell.models.palette import ACTION, HARM, INK, QUIET
from coaxtell.models.words import said
from coaxtell.pages.drawing_pdf import put
from coaxtell.pages.lifesize import Row, Shown, rows, twin_words
from coaxtell.pages.lifesize_page import MARGIN, Paper, TruePage, closing, hairline

GAP = 5.0
"""Paper between two views and between cells [mm]."""
COLUMNS = 3
KIND, HEADED = 7.5, 6.0
"""Heights of the headings of a kind of coupling, and of a row [mm]."""
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
    """A half with the room its views take [mm] and the columns of the page it stands over."""

    shown: Shown
    wide: float
    high: float
    rear: float
    front: float
    radius: float
    columns: int
    note: str

    @property
    def height(self) -> float:
        return 2 * max(self.high, self.radius)


class _Piece(NamedTuple):
    """As much of a row of look-alikes as stands in one line; whether the row ends here."""

    across: str
    cells: tuple[_Cell, ...]
    ends: bool


def write(
    halves: Sequence[Half],
    path: Path,
    paper: Paper,
    title: str,
    told: Told,
    notes: Mapping[str, str] | None = None,
    address: str = "",
) -> list[Placed]:
    """Write the sheets and say where each half stands; `told` hears how many rows are done of how many.

    `notes`: what is known of a half at its site, by id; `address`: of the page for the pocket.
    """
    pdf = TruePage(title, paper, address)
    _opening(pdf, title, halves)
    placed: list[Placed] = []
    found = rows(halves)
    done = 0
    with closing(pdf):
        for kind, alike in groupby(found, key=lambda row: row.kind):
            lines = _lines(list(alike), float(pdf.epw) / COLUMNS, notes or {})
            told_once: set[str] = set()
            for number, line in enumerate(lines):
                _line(pdf, kind if number == 0 else f"{kind}, continued", number == 0, line, told_once, placed)
                for _ in range(sum(piece.ends for piece in line)):
                    done += 1
                    told(done, len(found))
    pdf.output(str(path))
    return placed


def _opening(pdf: TruePage, title: str, halves: Sequence[Half]) -> None:
    pdf.ink(15, INK, bold=True)
    pdf.text(MARGIN, 17, title)
    pdf.ink(8.5, QUIET)
    pdf.text(MARGIN, 22, f"{len(halves)} halves, face on and from the side at life size; look-alikes stand in one row.")
    at = 26.0
    pdf.ink(8, HARM)
    for sentence in said(before([Act.TOUCH], halves))[1:-1]:
        at = pdf.lines(MARGIN, at, pdf.broken(sentence, float(pdf.epw)), LINE)
    pdf.set_y(at - 1)


def _cell(shown: Shown, column: float, note: str) -> _Cell:
    rear, front, radius = section.span(shown.half)
    wide, high = face.extent(shown.half)
    needed = math.ceil((2 * wide + GAP + front - rear + GAP) / column)
    return _Cell(shown, wide, high, rear, front, radius, min(needed, COLUMNS), note)


def _lines(alike: list[Row], column: float, notes: Mapping[str, str]) -> list[list[_Piece]]:
    """Rows laid into lines of the page's columns, short rows side by side; a row breaks only where it must."""
    lines: list[list[_Piece]] = [[]]
    free = COLUMNS
    for row in alike:
        cells = [_cell(shown, column, notes.get(shown.half.id, "")) for shown in row.shown]
        if sum(cell.columns for cell in cells) > free and lines[-1]:
            lines.append([])
            free = COLUMNS
        piece: list[_Cell] = []
        words = row.across
        for cell in cells:
            if cell.columns > free:
                lines[-1].append(_Piece(words, tuple(piece), False))
                lines.append([])
                piece, free, words = [], COLUMNS, f"{row.across}, continued"
            piece.append(cell)
            free -= cell.columns
        lines[-1].append(_Piece(words, tuple(piece), True))
    return [line for line in lines if line]


def _line(pdf: TruePage, kind: str, first: bool, line: list[_Piece], told: set[str], placed: list[Placed]) -> None:
    """One line of cells; `kind` stands above it where it is the first of its kind or of a page.

    `told`: what has been said of others of the kind and is not said again.
    """
    column = float(pdf.epw) / COLUMNS
    cells = [cell for piece in line for cell in piece.cells]
    words = [_words(pdf, cell, column * cell.columns - GAP, told) for cell in cells]
    high = max(cell.height for cell in cells)
    need = HEADED + high + 6 + max(sum(_step(bold) for _, bold, _, _ in text) for text in words)
    if pdf.get_y() + need + (KIND if first else 0) > pdf.floor:
        pdf.add_page()
        pdf.set_y(MARGIN)
        first = True
    if first:
        _heading(pdf, kind)
    top = pdf.get_y()
    x, at_cell = MARGIN, iter(zip(cells, words, strict=True))
    for piece in line:
        wide = column * sum(cell.columns for cell in piece.cells) - GAP
        pdf.rule(x, top, wide)
        pdf.ink(SAID, QUIET)
        pdf.text(x, top + 3.4, piece.across)
        for _ in piece.cells:
            cell, text = next(at_cell)
            _views(pdf, cell, x, top + HEADED + high / 2, placed)
            at = top + HEADED + high + 4.5
            for size, bold, colour, words_ in text:
                pdf.ink(size, colour, bold)
                pdf.text(x, at, words_)
                at += _step(bold)
            x += column * cell.columns
    pdf.set_y(top + need)


def _step(bold: bool) -> float:
    """From one line of words to the next [mm]: names are larger."""
    return 4.1 if bold else LINE


def _heading(pdf: TruePage, words: str) -> None:
    y = pdf.get_y() + 3.5
    pdf.ink(10, INK, bold=True)
    pdf.text(MARGIN, y + 1.0, words)
    pdf.set_y(y + KIND - 3.5)


def _words(pdf: TruePage, cell: _Cell, width: float, told: set[str]) -> list[tuple[float, bool, str, str]]:
    """What is said of a half, in lines of (size, bold, colour, words); `told`: wordings its kind has had already."""
    shown = cell.shown
    wording = "" if shown.half.wording in told else shown.half.wording
    told.add(shown.half.wording)
    pdf.ink(NAMED, INK, bold=True)
    said: list[tuple[float, bool, str, str]] = [(NAMED, True, INK, line) for line in pdf.broken(shown.half.name, width)]
    for words, colour in (
        (cell.note, ACTION),
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
    put(pdf, map(hairline, items))
    placed.append(Placed(half.id, int(pdf.page_no()), at, (frame.x, frame.y)))
