"""The lead's progress page: written where sheets go and opened in the browser."""

from __future__ import annotations

import webbrowser
from datetime import UTC, datetime

from coaxtell import files
from coaxtell.models.errors import InputError
from coaxtell.quiz import overview
from coaxtell.quiz.log import Answered, answers
from coaxtell.quiz_pages import progress_html
from coaxtell.window.desk.desk import Desk
from coaxtell.window.sitting import Record

NAME = "team-progress.html"


def open_page(desk: Desk, record: Record) -> None:
    """Write the page of the whole team and open it; raises InputError where the record is empty or it cannot be."""
    events = record.store.events()
    if not events:
        raise InputError("The record holds no answers yet; practise first.")
    now = datetime.now(UTC)
    given: dict[str, list[Answered]] = {}
    for answer in answers(events):
        given.setdefault(answer.person, []).append(answer)
    confused = overview.confusions(events, desk.tables.halves.__contains__)
    text = progress_html.team(overview.team(events, now), given, confused, overview.wrong_verdicts(events), now)
    page = desk.sheets / NAME
    files.write_text(page, text)
    webbrowser.open(page.as_uri())
    desk.say(f"The progress page is {page}.")
