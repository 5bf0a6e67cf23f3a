"""`coaxtell progress`: what sits, what does not, what is due; for the lead, everyone."""

from __future__ import annotations

import argparse
import sys
import unicodedata
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from coaxtell import files
from coaxtell.cli import record_args
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.pages.content import Table
from coaxtell.quiz import overview
from coaxtell.quiz.log import Answered, Event, answers
from coaxtell.quiz.overview import PersonState

NAME = "progress"
HELP = "show what sits, what does not and what is due; --team for everyone"


KINDS = (".html", ".pdf", ".csv")


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    record_args.add_records(parser)
    record_args.add_person(parser)
    parser.add_argument("--team", action="store_true", help="everyone in the record, and what is taken for what")
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE", help="as .html, .pdf or .csv")


def run(args: argparse.Namespace) -> int:
    """Print the progress, or write it.

    Raises InputError where the record holds nothing of the person or the file's kind is not one of these.
    """
    output: Path | None = args.output
    if output is not None and output.suffix.lower() not in KINDS:
        raise InputError(f"{output}: progress is written as {', '.join(KINDS)}; name the file so.")
    if args.team and args.person is not None:
        raise InputError("Give either --team or --person, not both.")
    now = datetime.now(UTC)
    with record_args.open_record(args, create=False, write=False) as store:
        if args.team:
            events = store.events()
            record_args.warn_of_damage(store)
        else:
            person = record_args.person(args)
            events = store.events(person)
            if not events:
                raise InputError(f"The record holds nothing of {person!r}; `coaxtell practise` begins.")
    if args.team:
        return _team(args, events, now, output)
    state = overview.person(events[0].person, events, now)
    if output is None:
        print(person_words(state, now))
    else:
        _write_person(state, answers(events), now, output)
        print(f"Progress: {output}")
    return 0


def person_words(state: PersonState, now: datetime) -> str:
    """One person at the terminal."""
    from coaxtell.quiz_pages import progress_tables

    said = (progress_tables.headline(state), *progress_tables.sits(state, now))
    lines = [*(wrapped(line, "", "  ") for line in said), ""]
    lines += text_table(progress_tables.skills(state, now))
    if state.tries:
        lines += ["", "Assessments", *text_table(progress_tables.tries(state.tries))]
    return "\n".join([*lines, "", *_notes()])


def _notes() -> list[str]:
    from coaxtell.quiz_pages import progress_tables

    return [wrapped(note) for note in progress_tables.notes()]


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


def _write_person(state: PersonState, given: Sequence[Answered], now: datetime, output: Path) -> None:
    from coaxtell.quiz import exchange
    from coaxtell.quiz_pages import progress_tables

    kind = output.suffix.lower()
    if kind == ".html":
        from coaxtell.quiz_pages import progress_html

        files.write_text(output, progress_html.person(state, given, now))
    elif kind == ".pdf":
        from coaxtell.quiz_pages import progress_pdf

        _warn(progress_pdf.unprintable([state.name]))
        files.write(output, lambda path: progress_pdf.person(state, given, now, path))
    else:
        table = progress_tables.skills(state, now)
        _csv(output, exchange.table_csv(("Person", *table.headings), [(state.name, *row) for row in table.rows]))


def _warn(names: Sequence[str]) -> None:
    if names:
        print(f"coaxtell: the PDF's type has not all letters of {', '.join(names)}; .html shows them.", file=sys.stderr)


def _csv(output: Path, text: str) -> None:
    # the mark at the start tells spreadsheets that the file is UTF-8
    files.write(output, lambda aside: files.void(aside.write_text("\ufeff" + text, encoding="utf-8", newline="")))


def _team(args: argparse.Namespace, events: Sequence[Event], now: datetime, output: Path | None) -> int:
    from coaxtell.quiz import exchange
    from coaxtell.quiz_pages import progress_tables

    if not events:
        raise InputError("The record is empty; `coaxtell practise` begins one.")
    halves = tables.load(args.tables).halves
    people = overview.team(events, now)
    confusions = overview.confusions(events, halves.__contains__)
    verdicts = overview.wrong_verdicts(events)
    if output is None:
        lines = [*text_table(progress_tables.team(people, now)), "", "Which half is taken for which"]
        lines += text_table(progress_tables.confused(confusions)) if confusions else ["none so far"]
        lines += ["", "Which verdict is taken for which"]
        lines += text_table(progress_tables.confused(verdicts, "The verdict was")) if verdicts else ["none so far"]
        print("\n".join([*lines, "", *_notes()]))
        return 0
    given: dict[str, list[Answered]] = {}
    for answer in answers(events):
        given.setdefault(answer.person, []).append(answer)
    kind = output.suffix.lower()
    if kind == ".html":
        from coaxtell.quiz_pages import progress_html

        files.write_text(output, progress_html.team(people, given, confusions, verdicts, now))
    elif kind == ".pdf":
        from coaxtell.quiz_pages import progress_pdf

        _warn(progress_pdf.unprintable([state.name for state in people]))
        files.write(output, lambda path: progress_pdf.team(people, given, confusions, verdicts, now, path))
    else:
        skills = [(state.name, *row) for state in people for row in progress_tables.skills(state, now).rows]
        headings = ("Person", *progress_tables.skills(people[0], now).headings)
        _csv(output, exchange.table_csv(headings, skills))
    print(f"Progress: {output}")
    return 0
