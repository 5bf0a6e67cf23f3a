"""A printed test: a sheet for the answers, the questions in two columns, and the key on sheets of its own, as PDF."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from pathlib import Path

from coaxtell.models.palette import ACTION, INK, QUIET
from coaxtell.pages.document import Document
from coaxtell.pages.spacing import thin
from coaxtell.quiz import words
from coaxtell.quiz.item import Item
from coaxtell.quiz.score import steps
from coaxtell.quiz.terms import supports

LETTERS = "abcdefghij"
PICTURE_WIDTH, PICTURE_HEIGHT = 54.0, 36.0
"""A picture's room [mm]."""
BOX, ROW = 3.4, 6.6
"""A box to tick, and the step of the rows that hold them [mm]."""
GUTTER, GAP = 8.0, 4.0
"""Between the two columns, and between two questions [mm]."""
STEP = 4.3
"""Of a question's lines [mm]."""
KEY_STEP = 3.15
"""Of the key's [mm]."""


def write(title: str, items: Sequence[Item], pictures: Sequence[Path | None], seed: int, path: Path) -> None:
    """Write the test: a row of boxes for each item and a place for how sure, the questions, then the key with reasons.

    `pictures` holds a PNG file for each item, or none where its words stand instead.
    """
    pdf = Document(f"{title}, test {seed}")
    pdf.heading(title, 18)
    pdf.paragraph(f"Test {seed}, {len(items)} items. Name: ________________________________   Date: ______________", 10)
    pdf.paragraph(
        "Tick one answer for each item on this sheet and write how sure you are, in percent; what guessing comes to "
        "stands behind. A right answer earns most where you were sure, a wrong one costs most there: the honest figure "
        "pays best.",
        9,
        QUIET,
    )
    pdf.paragraph(supports(), 8, QUIET)
    _sheet(pdf, items)
    columns = _Columns(pdf)
    for number, (item, picture) in enumerate(zip(items, pictures, strict=True), start=1):
        _question(columns, number, item, picture)
    pdf.add_page()
    pdf.heading(f"Answer key to test {seed}", 18)
    pdf.paragraph("For who marks it. Points: right 100 (2p - p²), wrong -100 p², p the figure as a share.", 9, QUIET)
    pdf.paragraph("    ".join(f"{number}\u00a0{_right(item)}" for number, item in enumerate(items, start=1)), 11)
    _cautions(pdf, items)
    columns = _Columns(pdf)
    for number, item in enumerate(items, start=1):
        _key(columns, number, item)
    pdf.save(path)


class _Columns:
    """Two columns, filled one after the other, then those of the next page."""

    def __init__(self, pdf: Document) -> None:
        self.pdf = pdf
        self.width = (pdf.epw - GUTTER) / 2
        self._right = False
        self._top = self._y = pdf.get_y() + 2

    def place(self, height: float) -> tuple[float, float]:
        """Left edge and top of the next place of a height [mm]."""
        if self._y + height > self.pdf.page_break_trigger:
            if self._right:
                self.pdf.add_page()
                self._top = self.pdf.t_margin
            self._right = not self._right
            self._y = self._top
        y, self._y = self._y, self._y + height
        return self.pdf.l_margin + (self.width + GUTTER if self._right else 0), y


def _right(item: Item) -> str:
    return LETTERS[[option.id for option in item.options].index(item.right)]


def _sheet(pdf: Document, items: Sequence[Item]) -> None:
    """A row of boxes for each item, in two columns of the same length."""
    pdf.ln(1)
    rest = list(enumerate(items, start=1))
    while rest:
        top = pdf.get_y()
        most = int((pdf.page_break_trigger - top) // ROW)
        rows = min(most, ceil(len(rest) / 2))
        for place, (number, item) in enumerate(rest[: 2 * rows]):
            x = pdf.l_margin + (place >= rows) * (pdf.epw + GUTTER) / 2
            y = top + (place % rows) * ROW + 4.4
            pdf.ink(9.5, ACTION, bold=True)
            pdf.text(x, y, f"{number}")
            pdf.ink(9)
            pdf.stroke(INK, 0.25)
            for letter, _ in zip(LETTERS, item.options, strict=False):
                left = x + 9 + LETTERS.index(letter) * 9
                pdf.rect(left, y - BOX + 0.5, BOX, BOX)
                pdf.text(left + BOX + 1, y, letter)
            pdf.ink(8.5, QUIET)
            pdf.text(x + 63, y, f"______ % ({steps(len(item.options))[0]:.0%})")
        rest = rest[2 * rows :]
        pdf.set_y(top + rows * ROW + 2)
        if rest:
            pdf.add_page()
    pdf.rule(pdf.l_margin, pdf.get_y(), pdf.epw)


def _question(columns: _Columns, number: int, item: Item, picture: Path | None) -> None:
    pdf = columns.pdf
    said = words.of(item)
    question = said.question if picture is not None else f"{said.in_words} {said.unseen}".strip()
    pdf.ink(9)
    asked = pdf.broken(thin(question), columns.width)
    options = [pdf.broken(thin(option), columns.width - 6) for option in said.options.values()]
    tall = 0.0 if picture is None else PICTURE_HEIGHT + 2
    height = 6 + tall + STEP * (len(asked) + sum(map(len, options))) + 0.8 * len(options) + 1 + GAP
    x, y = columns.place(height)
    pdf.ink(9.5, ACTION, bold=True)
    pdf.text(x, y + 4, f"{number}. {words.kind(item.task.kind)}")
    if picture is not None:
        pdf.image(str(picture), x, y + 6, PICTURE_WIDTH, PICTURE_HEIGHT, keep_aspect_ratio=True)
    pdf.ink(9)
    y = pdf.lines(x, y + 6 + tall + 3.5, asked, STEP) + 1
    for letter, option in zip(LETTERS, options, strict=False):
        pdf.ink(9, INK, bold=True)
        pdf.text(x + 1, y, letter)
        pdf.ink(9)
        y = pdf.lines(x + 6, y, option, STEP) + 0.8


def _cautions(pdf: Document, items: Sequence[Item]) -> None:
    """What to beware of where such halves are in hand, each once, with the items that it belongs to."""
    found: dict[str, list[int]] = {}
    for number, item in enumerate(items, start=1):
        for caution in words.of(item).cautions:
            found.setdefault(caution, []).append(number)
    for caution, numbers in found.items():
        which = "every item" if len(numbers) == len(items) else ", ".join(map(str, numbers))
        pdf.paragraph(f"Caution: {caution} ({which})", 8, QUIET)


def _key(columns: _Columns, number: int, item: Item) -> None:
    pdf = columns.pdf
    said = words.of(item)
    pdf.ink(9, INK, bold=True)
    head = pdf.broken(f"{number}. {_right(item)}: {thin(said.options[item.right])}", columns.width)
    pdf.ink(7.5)
    reasons = [pdf.broken(thin(text), columns.width - 4) for text in (*said.reasons, said.look)]
    high = 1.6 + 4.4 * len(head)
    # the head stays with its first reason
    x, y = columns.place(high + KEY_STEP * len(reasons[0]) + 0.35)
    pdf.ink(9, INK, bold=True)
    y = pdf.lines(x, y + 1.6 + 3.2, head, 4.4)
    for place, lines in enumerate(reasons):
        if place:
            x, y = columns.place(KEY_STEP * len(lines) + 0.35)
            y += 3.2
        pdf.ink(7.5, QUIET)
        pdf.text(x, y, "–")
        pdf.ink(7.5)
        pdf.lines(x + 4, y, lines, KEY_STEP)
