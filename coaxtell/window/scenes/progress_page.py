"""The lead's progress page: written where sheets go and opened in the browser."""

from __future__ import annotations

import webbrowser
from datetime import UTC, datetime

from coaxtell import files
from coaxtell.models.errors import InputError
from coaxtell.pages import html
from coaxtell.quiz_pages import progress
from coaxtell.window.desk.desk import Desk
from coaxtell.window.sitting import Record

NAME = "team-progress.html"


def open_page(desk: Desk, record: Record) -> None:
    """Write the page of the whole team and open it; raises InputError where the record is empty or it cannot be."""
    events = record.store.events()
    if not events:
        raise InputError("The record holds no answers yet; practise first.")
    report = progress.of_team(events, desk.tables.halves.__contains__, datetime.now(UTC))
    page = desk.sheets / NAME
    files.write_text(page, html.page("progress", **report._asdict()))
    webbrowser.open(page.as_uri())
    desk.say(f"The progress page is {page}.")
