"""Who sits here to practise or to be assessed: the name, the record under it, and the items that are drawn from."""

from __future__ import annotations

import webbrowser
from datetime import UTC, datetime
from pathlib import Path

from coaxtell import files
from coaxtell.models.errors import InputError
from coaxtell.quiz.overview import PersonState
from coaxtell.records import user_name
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.edit import Edit
from coaxtell.window.sitting import Course, Record, course_of


class Sitter:
    """A person by name; the record is open while it is looked into or written to."""

    def __init__(self, desk: Desk) -> None:
        """The person of last time, else the one who is logged in; nothing looked into yet."""
        self.desk = desk
        self.name = Edit(desk.settings.person or user_name())
        self.course: Course | None = None
        """What is asked; none until it is worked out."""
        self.record: Record | None = None
        self.state: PersonState | None = None
        self.trouble = ""
        """Why the record cannot be used or the items not be worked out, in a sentence."""
        self.refused = ""
        """Why the assessment that was left cannot go on."""
        self.ports = ""
        """The port list that practice and assessment draw from; empty for all ports."""
        self._preparing = False

    def prepare(self) -> None:
        """Work out the tasks beside the window, and look into the record."""
        if self.course is None and not self._preparing:
            self._preparing = True
            halves = self.desk.tables.halves
            self.desk.later(lambda: course_of(halves), self._prepared, self._failed)
        elif self.course is not None:
            self.look_up()

    def _prepared(self, course: Course) -> None:
        self.course, self._preparing = course, False
        if not self.ports:
            course.all_ports()
        else:
            try:
                course.ports_of(Path(self.ports))
            except InputError as error:
                self.desk.say(f"{error} Practice and assessment draw from all ports.")
                self.all_ports()
        self.look_up()

    def _failed(self, why: str) -> None:
        self._preparing, self.trouble = False, why

    def look_up(self) -> None:
        """The record of the person named; where it cannot be used its sentence is the trouble."""
        self.let_go()
        self.state, self.trouble, self.refused = None, "", ""
        if not self.name.text.strip():
            return
        try:
            self.record = Record(self.desk.records, self.name.text)
            self.state = self.record.state()
        except InputError as error:
            self.trouble = str(error)

    def let_go(self) -> None:
        """Close the record."""
        if self.record is not None:
            self.record.close()
            self.record = None

    def take_name(self) -> None:
        """The name that was typed counts."""
        self.desk.settings.person = self.name.text.strip()
        self.look_up()

    def ready(self) -> tuple[Course, Record]:
        """The items and the record; raises InputError where the record cannot be used."""
        if self.record is None:
            self.look_up()
        if self.record is None:
            raise InputError(self.trouble or "Type your name first; answers are kept under it.")
        assert self.course is not None
        return self.course, self.record

    def draw_from(self, path: str) -> None:
        """Draw from a site's port list; raises InputError where it is none or the items are still worked out."""
        if self.course is None:
            raise InputError("The items are still being worked out; drop the port list in a moment.")
        if Path(path).suffix.lower() != ".toml":
            raise InputError(f"{Path(path).name} is no port list; drop the ports.toml of a site.")
        self.course.ports_of(Path(path))
        self.ports = path
        self.desk.say(f"Practice and assessment draw from the ports of {self.course.site}.")

    def all_ports(self) -> None:
        """Draw from all ports."""
        if self.course is not None:
            self.course.all_ports()
        self.ports = ""

    def open_progress(self) -> None:
        """Write the page of the whole team where sheets go, and open it.

        Raises InputError where the record is empty or the page cannot be written.
        """
        from coaxtell.pages import html
        from coaxtell.quiz_pages import progress

        _, record = self.ready()
        events = record.store.events()
        if not events:
            raise InputError("The record holds no answers yet; practise first.")
        report = progress.of_team(events, self.desk.tables.halves.__contains__, datetime.now(UTC))
        page = self.desk.sheets / "team-progress.html"
        files.write_text(page, html.page("progress", **report._asdict()))
        webbrowser.open(page.as_uri())
        self.desk.say(f"The progress page is {page}.")
