"""A printed test with its answer key on sheets of its own, as PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from coaxtell.models.palette import ACTION, INK, QUIET
from coaxtell.pages.document import Document
from coaxtell.quiz import words
from coaxtell.quiz.item import Item
from coaxtell.quiz.score import steps
from coaxtell.quiz.terms import supports

LETTERS = "abcdefghij"
PICTURE_WIDTH, PICTURE_HEIGHT = 72.0, 48.0
"""A picture's room [mm]."""
BOX = 3.2


def write(title: str, items: Sequence[Item], pictures: Sequence[Path | None], seed: int, path: Path) -> None:
    """Write the test: questions with boxes and a line for how sure, then the key with its reasons.

    `pictures` holds a PNG file for each item, or none where its words stand instead.
    """
    pdf = Document(f"{title}, test {seed}")
    pdf.heading(title, 18)
    pdf.paragraph(f"Test {seed}, {len(items)} items. Name: ________________________________   Date: ______________", 10)
    pdf.paragraph(
        "Tick one answer for each item and write how sure you are, in percent; guessing among four is 25. "
        "A right answer earns most where you were sure, a wrong one costs most there: the honest figure pays best.",
        9,
        QUIET,
    )
    pdf.paragraph(supports(), 8, QUIET)
    for number, (item, picture) in enumerate(zip(items, pictures, strict=True), start=1):
        _question(pdf, number, item, picture)
    pdf.add_page()
    pdf.heading(f"Answer key to test {seed}", 18)
    pdf.paragraph("For who marks it. Points: right 100 (2p - p²), wrong -100 p², p the figure as a share.", 9, QUIET)
    for number, item in enumerate(items, start=1):
        _key(pdf, number, item)
    pdf.save(path)


def _question(pdf: Document, number: int, item: Item, picture: Path | None) -> None:
    room = pdf.epw - (PICTURE_WIDTH + 4 if picture is not None else 0)
    said = words.of(item)
    question = said.question if picture is not None or not said.in_words else f"{said.in_words} {said.question}"
    pdf.ink(9.5)
    asked = pdf.broken(question, room)
    options = [pdf.broken(option, room - 10) for option in said.options.values()]
    lines = len(asked) + sum(len(option) for option in options)
    height = max(lines * 4.6 + len(options) * 1.2 + 16, PICTURE_HEIGHT + 10 if picture is not None else 0)
    pdf.room(height)
    top = pdf.get_y() + 2
    pdf.set_y(top)
    pdf.ink(9.5, ACTION, bold=True)
    pdf.text(pdf.l_margin, top + 4, f"{number}. {words.kind(item.task.kind)}")
    pdf.ink(9.5)
    y = pdf.lines(pdf.l_margin, top + 9.5, asked, 4.6) + 1.5
    pdf.stroke(INK, 0.25)
    for letter, option in zip(LETTERS, options, strict=False):
        pdf.rect(pdf.l_margin, y - BOX + 0.4, BOX, BOX)
        pdf.text(pdf.l_margin + BOX + 1.5, y, letter)
        y = pdf.lines(pdf.l_margin + BOX + 6, y, option, 4.6) + 1.2
    pdf.ink(8.5, QUIET)
    pdf.text(pdf.l_margin, y + 0.5, f"How sure: ______ % ({steps(len(item.options))[0]:.0%} is guessing)")
    if picture is not None:
        left = pdf.l_margin + pdf.epw - PICTURE_WIDTH
        pdf.image(str(picture), left, top + 1, PICTURE_WIDTH, PICTURE_HEIGHT, keep_aspect_ratio=True)
    pdf.set_y(top + height)


def _key(pdf: Document, number: int, item: Item) -> None:
    said = words.of(item)
    letter = LETTERS[[option.id for option in item.options].index(item.right)]
    pdf.room(28)
    pdf.ink(9.5, INK, bold=True)
    pdf.multi_cell(0, 5, f"{number}. {letter}: {said.options[item.right]}", new_x="LMARGIN", new_y="NEXT", align="L")
    pdf.points((*said.reasons, said.look), 8)
    for caution in said.cautions:
        pdf.paragraph(f"Caution: {caution}", 8, QUIET)
    pdf.ln(1)
