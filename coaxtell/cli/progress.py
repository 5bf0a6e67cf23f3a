"""`coaxtell progress`: what sits, what does not, what is due; for the lead, everyone."""

from __future__ import annotations

import argparse
import unicodedata
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from coaxtell import files, streams
from coaxtell.cli import record_args
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.pages.table import Table

if TYPE_CHECKING:
    from coaxtell.quiz.log import Event
    from coaxtell.quiz_pages.progress import Report

NAME = "progress"
HELP = "show what sits, what does not and what is due; --team for everyone"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    record_args.add_records(parser)
    record_args.add_person(parser)
    parser.add_argument("--team", action="store_true", help="everyone in the record, and what is taken for what")
    parser.add_argument(
        "--ports", type=Path, metavar="FILE", help="and how an assessment on the ports of this list would go today"
    )
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE", help="as .html, .pdf or .csv")


def run(args: argparse.Namespace) -> int:
    """Print the progress, or write it.

    Raises InputError where the record holds nothing of the person or the file's kind is not one of these.
    """
    from coaxtell.quiz_pages import progress

    output: Path | None = args.output
    kind = files.kind(output, "progress is written as .html, .pdf, .csv", ".html", ".pdf", ".csv")
    if args.team and args.person is not None:
        raise InputError("Give either --team or --person, not both.")
    now = datetime.now(UTC)
    with record_args.open_record(args, create=False, write=False) as store:
        person = None if args.team else record_args.person(args)
        events = record_args.held(store, person).events
        everyone = store.events() if args.ports is not None else []
        if args.team:
            record_args.warn_of_damage(store)
    if not events and person is None:
        raise InputError("The record is empty; `coaxtell practise` begins one.")
    if not events:
        raise InputError(f"The record holds nothing of {person!r}; `coaxtell practise` begins.")
    halves = tables.load(args.tables).halves
    if args.team:
        report = progress.of_team(events, halves.__contains__, now)
    else:
        report = progress.of_person(events, now)
    told = [] if args.ports is None else ["", *_outlook(args, everyone, [one.name for one in report.people], now)]
    if output is None:
        told.insert(0, words(report))
    else:
        _write(report, output, kind)
        told.insert(0, f"Progress: {output}")
    print("\n".join(told))
    return 0


def _outlook(args: argparse.Namespace, events: Sequence[Event], people: Sequence[str], now: datetime) -> list[str]:
    """How an assessment on a site's ports would go for each of some people, a paragraph each."""
    from coaxtell import kept_items
    from coaxtell.port_list import counted
    from coaxtell.quiz.blueprint import Blueprint
    from coaxtell.quiz.outlook import Outlook

    stock = kept_items.stock(tables.load(args.tables).halves)
    outlook = Outlook(events, Blueprint(stock, counted(args.ports, stock.halves)[1]), now)
    return [wrapped(f"{person}: {' '.join(outlook.of(person))}", "", "  ") for person in people]


def words(report: Report) -> str:
    """The report at the terminal: everyone in tables, or the one person."""
    from coaxtell.quiz_pages.progress import SKILLS

    lines: list[str] = []
    for heading, table in report.tables:
        if heading != SKILLS:
            lines += [*(("", heading) if heading else ()), *(text_table(table) if table.rows else ["none so far"])]
    for person in () if report.tables else report.people:
        lines += [*(wrapped(line, "", "  ") for line in person.said), "", *text_table(person.skills)]
        if person.tries.rows:
            lines += ["", "Assessments", *text_table(person.tries)]
    return "\n".join([*lines, "", *map(wrapped, report.notes)])


def text_table(table: Table) -> list[str]:
    """A table in columns of letters."""
    rows = [table.headings, *table.rows]
    widths = [max(_columns(row[column]) for row in rows) for column in range(len(table.headings))]
    lines = []
    for row in rows:
        cells = []
        for column, (text, width) in enumerate(zip(row, widths, strict=True)):
            room = " " * (width - _columns(text))
            cells.append(room + text if column in table.numbers else text + room)
        lines.append("  ".join(cells).rstrip())
    return [lines[0], "  ".join("-" * width for width in widths), *lines[1:]]


def _columns(text: str) -> int:
    """How many columns of a terminal a text fills: two for a wide letter (Unicode Annex 11), none for an accent."""
    wide = sum(unicodedata.east_asian_width(letter) in "WF" for letter in text)
    return len(text) + wide - sum(unicodedata.category(letter) in ("Mn", "Me", "Cf") for letter in text)


def _write(report: Report, output: Path, kind: str) -> None:
    from coaxtell.pages import html
    from coaxtell.quiz import exchange

    if kind == ".html":
        files.write_text(output, html.page("progress", **report._asdict()))
    elif kind == ".pdf":
        from coaxtell.quiz_pages import progress_pdf

        files.write(output, lambda path: progress_pdf.write(report, path))
        names = progress_pdf.unprintable([person.name for person in report.people])
        if names:
            streams.told(f"the PDF's type has not all letters of {', '.join(names)}; .html shows them.")
    else:
        rows = [(person.name, *row) for person in report.people for row in person.skills.rows]
        text = exchange.table_csv(("Person", *report.people[0].skills.headings), rows)
        # the mark at the start tells spreadsheets that the file is UTF-8
        files.write(output, lambda aside: files.void(aside.write_text("\ufeff" + text, "utf-8", newline="")))
