"""The guide as PDF: numbered questions, where each answer leads, and what stands at the ends."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from coaxtell.identifier.guide import Group, Guide, Question, Way
from coaxtell.models.drawings import face
from coaxtell.models.half import Half
from coaxtell.models.palette import ACTION, HARM, INK, QUIET
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted
from coaxtell.pages import address_code
from coaxtell.pages import guide as content
from coaxtell.pages.content import shortened
from coaxtell.pages.document import Document
from coaxtell.pages.drawing_pdf import put
from coaxtell.pages.guide import End, Listed
from coaxtell.pages.lifesize_page import MARGIN, Paper, closing, hairline
from coaxtell.pages.thinned import thinned

PICTURE = 11.0
"""Room for one picture [mm]; pictures are not to one scale."""
LINE = 4.0
CODE = 28.0
"""Side of the code with the page's address [mm]: read from an arm's length (assumed)."""
ASKED, SAID, HOW, OPENING, ADDRESS = 10.5, 8.5, 7.5, 8.0, 6.5
"""Sizes of the type [points]."""
TOGETHER = 4
"""Answers of a question that stand on one page with it; those beyond may go on over the page."""
ENDS = 75.0
"""Room for the heading of the ends and the first of them [mm]."""
GOES = 116.0
"""Where the arrows stand, from the left edge [mm]."""
COLOURS = {"plain": INK, "quiet": QUIET, "harm": HARM}

Told = Callable[[int, int], None]


def write(
    guide: Guide, tables: Tables, path: Path, paper: Paper, told: Told, address: str = "", listed: Listed | None = None
) -> None:
    """Write the guide; `told` hears how many questions are done of how many.

    `address`: of the page for the pocket, shown beside the opening, where one is given; `listed`: of a guide to some
    halves alone.
    """
    known = content.ends(guide, tables)
    questions = list(guide.questions())
    ids = list(dict.fromkeys(half_id for group in known for half_id in group.ids))
    pdf = Document(f"Which port is it? {listed.title if listed else 'A guide to every half'}", paper)
    if address:
        pdf.set_right_margin(MARGIN + CODE + 6)
    pdf.heading(content.TITLE, 18)
    pdf.paragraph(
        f"{counted(len(ids), 'half', 'halves')} in {counted(len(questions), 'question')}, at most "
        f"{guide.longest} on the way to any one. Pictures are not to one scale: sizes are on the life-size sheets.",
        9,
        QUIET,
    )
    missing, opening = content.absent(tables, ids), content.opening(map(tables.half, ids), listed is None)
    named = content.not_here(missing)
    # small, so that questions begin on the first page
    pdf.points((*opening, named) if named else opening, OPENING)
    if address:
        _beside(pdf, address)
    with closing(pdf):
        for done, question in enumerate(questions, start=1):
            _question(pdf, question, known, tables)
            told(done, len(questions))
        # those of one half first, which need no heading of their own
        ends = sorted(known.values(), key=lambda end: end.several)
        _ends(pdf, [end for end in ends if end.several or listed], listed, tables)
        if missing:
            pdf.heading(content.BARE, 11)
            pdf.points(tuple(f"{' and '.join(one.names)}: {one.known}." for one in missing), OPENING)
    pdf.save(path)


def _beside(pdf: Document, address: str) -> None:
    """The address of the page as a code and in letters, to the right of the opening."""
    pdf.set_right_margin(MARGIN)
    left = float(pdf.w) - MARGIN - CODE
    address_code.put(pdf, address, left, MARGIN + 3, CODE)
    pdf.ink(ADDRESS, INK)
    words = [address_code.SAME, *pdf.broken(address, CODE)]
    pdf.set_y(max(pdf.get_y(), pdf.lines(left, MARGIN + CODE + 7, words, 2.8)))


def _question(pdf: Document, question: Question, known: dict[Group, End], tables: Tables) -> None:
    rows = [_row(pdf, way, known) for way in question.ways]
    pdf.ink(HOW, QUIET)
    how = pdf.broken(content.how(question), float(pdf.epw) - 14)
    pdf.ink(ASKED, INK, bold=True)
    ask = pdf.broken(question.ask, float(pdf.epw) - 14)
    first = rows if len(rows) < 2 * TOGETHER else rows[:TOGETHER]
    pdf.room(9 + 4.6 * len(ask) + 3.4 * len(how) + sum(height for *_, height in first))
    y = pdf.get_y() + 2
    pdf.rule(MARGIN, y, float(pdf.epw), 0.3)
    pdf.ink(13, ACTION, bold=True)
    pdf.text(MARGIN, y + 6, str(question.number))
    pdf.ink(ASKED, INK, bold=True)
    at = pdf.lines(MARGIN + 12, y + 6, ask, 4.6)
    pdf.ink(HOW, QUIET)
    y = pdf.lines(MARGIN + 12, at - 0.6, how, 3.4) - 1
    for way, words, goes, height in rows:
        if y + height > float(pdf.h) - 16:
            pdf.add_page()
            pdf.ink(HOW, QUIET)
            pdf.text(MARGIN, MARGIN + 2, f"Question {question.number}, the other answers")
            y = MARGIN + 4
        _answer(pdf, y, way, words, goes, height, tables)
        y += height
    pdf.set_y(y)


def _row(pdf: Document, way: Way, known: dict[Group, End]) -> tuple[Way, list[str], list[str], float]:
    """An answer with its words and where it leads, in lines, and the height it takes [mm]."""
    pdf.ink(SAID, INK)
    words = pdf.broken(content.answer(way), GOES - MARGIN - 12 - content.EXAMPLES * (PICTURE + 1) - 5)
    goes = [content.arrow(way, known)]
    if isinstance(way.to, Group):
        end = known[way.to]
        told = shortened([one.half.name for one in end.halves], 4) if end.several else end.halves[0].gender
        pdf.ink(HOW, QUIET)
        goes += pdf.broken(told, float(pdf.w) - MARGIN - GOES - 5)
    return way, words, goes, max(PICTURE + 1.5, LINE * len(words) + 2, LINE * len(goes) + 2)


def _answer(
    pdf: Document, y: float, way: Way, words: list[str], goes: list[str], height: float, tables: Tables
) -> None:
    middle = y + height / 2
    pdf.ink(SAID, INK)
    pdf.lines(MARGIN + 12, middle + 1.1 - LINE * (len(words) - 1) / 2, words, LINE)
    halves = content.examples(way, tables)
    for number, half in enumerate(halves):
        left = GOES - 3 - (len(halves) - number) * (PICTURE + 1)
        picture(pdf, half, (left + PICTURE / 2, middle), PICTURE)
    ends = isinstance(way.to, Group)
    pdf.ink(9, ACTION, bold=True)
    top = middle + 1.2 - LINE * (len(goes) - 1) / 2
    pdf.text(GOES, top, f"→ {goes[0]}")
    pdf.ink(HOW, QUIET if ends else INK)
    pdf.lines(GOES + 5, top + LINE, goes[1:], LINE)


def picture(pdf: Document, half: Half, at: tuple[float, float], size: float) -> None:
    """A half face on, fitted into a square about a place [mm]."""
    scale = size / (2 * max(face.extent(half)))
    put(pdf, (thinned(hairline(item)) for item in face.parts(half, at, scale)))


def _ends(pdf: Document, ends: list[End], listed: Listed | None, tables: Tables) -> None:
    """The ends of several halves, with what tells those apart; of a list each of its ports, with what fits it."""
    if not ends:
        return
    pdf.room(ENDS)
    pdf.ln(6)
    pdf.heading(listed.title if listed else content.SHARED, 14)
    pdf.paragraph(content.OF_LIST if listed else content.OF_SHARED, 9)
    notes = listed.notes if listed else {}
    width = float(pdf.epw) - PICTURE - 6
    for end in ends:
        headed = not end.several
        for one in end.halves:
            lines: list[tuple[str, str]] = []
            pdf.ink(HOW, INK)
            for role, sentence in content.said(one, content.fit(one.half, tables), notes.get(one.half.id, "")):
                if role == "quiet" and one is not end.halves[0]:
                    continue
                lines += [(role, line) for line in pdf.broken(sentence, width)]
            height = max(PICTURE + 2, 5 + 3.4 * len(lines) + 1.5)
            page = pdf.page_no()
            pdf.room(height + (0 if headed else 12))
            if not headed:
                pdf.heading(content.capital(end.label), 11)
                headed = True
            elif end.several and pdf.page_no() != page:
                pdf.paragraph(f"{content.capital(end.label)}, the others", HOW, QUIET)
            y = pdf.get_y()
            picture(pdf, one.half, (MARGIN + PICTURE / 2, y + PICTURE / 2 + 1), PICTURE)
            pdf.ink(9.5, INK, bold=True)
            pdf.text(MARGIN + PICTURE + 4, y + 4, one.half.name)
            at = y + 7.8
            for role, line in lines:
                pdf.ink(HOW, COLOURS[role])
                pdf.text(MARGIN + PICTURE + 4, at, line)
                at += 3.4
            pdf.set_y(y + height)
