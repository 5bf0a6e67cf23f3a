"""Progress as a PDF sheet."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path

import msgspec

from coaxtell.models.drawings.drawing import Drawing
from coaxtell.models.palette import QUIET
from coaxtell.pages.content import Table
from coaxtell.pages.document import Document, font_file
from coaxtell.pages.drawing_pdf import put
from coaxtell.quiz.log import Answered
from coaxtell.quiz.overview import Confusion, PersonState
from coaxtell.quiz_pages import charts, progress_tables


def unprintable(names: Sequence[str]) -> list[str]:
    """The names whose letters the sheets' type lacks, or that run from right to left, which the sheets cannot set."""
    right_to_left = [any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in name) for name in names]
    return [name for name, turned in zip(names, right_to_left, strict=True) if turned or _set(name) != name]


def _set(name: str) -> str:
    """The name with a box for each letter that the sheets' type lacks."""
    return "".join(letter if ord(letter) in _letters() else "\N{WHITE SQUARE}" for letter in name)


@cache
def _letters() -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(font_file()) as type_face:
        return frozenset(type_face.getBestCmap())


def person(state: PersonState, given: Sequence[Answered], now: datetime, path: Path) -> None:
    """Write the sheet of one person."""
    state = msgspec.structs.replace(state, name=_set(state.name))
    pdf = Document(f"Progress of {state.name}")
    pdf.heading(f"Progress of {state.name}", 18)
    _person(pdf, state, given, now)
    _notes(pdf, now)
    pdf.save(path)


def team(
    people: Sequence[PersonState],
    given: Mapping[str, Sequence[Answered]],
    confusions: Sequence[Confusion],
    verdicts: Sequence[Confusion],
    now: datetime,
    path: Path,
) -> None:
    """Write the sheet of everyone, for the lead."""
    given = {_set(name): answers for name, answers in given.items()}
    people = [msgspec.structs.replace(state, name=_set(state.name)) for state in people]
    pdf = Document("Progress of the team")
    pdf.heading("Progress of the team", 18)
    for heading, table in progress_tables.of_team(people, confusions, verdicts, now):
        if heading:
            pdf.heading(heading)
        _table(pdf, table, 6.5 if len(table.headings) > 9 else 7.5)
    _notes(pdf, now)
    for state in people:
        pdf.add_page()
        pdf.heading(state.name, 15)
        _person(pdf, state, given.get(state.name, ()), now)
    pdf.save(path)


def _person(pdf: Document, state: PersonState, given: Sequence[Answered], now: datetime) -> None:
    pdf.paragraph(progress_tables.headline(state), 10)
    for sentence in progress_tables.sits(state, now):
        pdf.paragraph(sentence)
    for drawn in (charts.skills(state), charts.course(state.name, given), charts.honesty(state.name, given)):
        _figure(pdf, drawn)
    pdf.heading("Skills")
    _table(pdf, progress_tables.skills(state, now))
    pdf.heading("Assessments")
    _table(pdf, progress_tables.tries(state.tries))


def _figure(pdf: Document, drawn: Drawing) -> None:
    if pdf.will_page_break(drawn.height_mm + 2):
        pdf.add_page()
    y = pdf.get_y()
    put(pdf, drawn.items, pdf.l_margin, y)
    pdf.set_y(y + drawn.height_mm + 2)


def _table(pdf: Document, table: Table, size: float = 7.5) -> None:
    if table.rows:
        pdf.ruled(table, size)
    else:
        pdf.paragraph("None.", 9, QUIET)


def _notes(pdf: Document, now: datetime) -> None:
    pdf.ln(2)
    for line in (*progress_tables.notes(), f"As of {now:%Y-%m-%d %H:%M} UTC."):
        pdf.paragraph(line, 8, QUIET)
