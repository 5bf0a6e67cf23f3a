"""What a sitting in the window stands on: the items of these tables, worked out once, and the record of one person."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from random import SystemRandom

from coaxtell import kept_items, records
from coaxtell.models.half import Half
from coaxtell.port_list import counted
from coaxtell.quiz import overview
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import person_name
from coaxtell.quiz.sitting import Assessing, Practising


class Course:
    """What is asked, made once: it needs all matings and takes a moment."""

    def __init__(self, halves: dict[str, Half]) -> None:
        """Work out all tasks of these halves."""
        self.stock = kept_items.stock(halves)
        self._all = Blueprint(self.stock)
        self.all_ports()

    def all_ports(self) -> None:
        """Practice and assessment draw from all halves, as often as they are met."""
        self._draw_from("", self._all)

    def ports_of(self, path: Path) -> None:
        """They draw from a site's port list; raises InputError where the file or the ports do not serve."""
        site, counts = counted(path, self.stock.halves)
        plan = Blueprint(self.stock, counts)
        plan.assessable()
        self._draw_from(site or path.stem, plan)

    def _draw_from(self, site: str, plan: Blueprint) -> None:
        self.site, self.plan = site, plan


_courses: dict[int, tuple[dict[str, Half], Course]] = {}


def course_of(halves: dict[str, Half]) -> Course:
    """The course of these halves, worked out once as long as they are the same tables."""
    held = _courses.get(id(halves))
    if held is None or held[0] is not halves:
        held = _courses[id(halves)] = (halves, Course(halves))
    return held[1]


class Record:
    """The record of one person, open; every answer is written down before it is acknowledged."""

    def __init__(self, place: str, person: str) -> None:
        """Open it; raises InputError where it cannot be used or the name is none."""
        self.person = person_name(person)
        self.store = records.opened(place)

    def state(self) -> overview.PersonState:
        """Where the person stands."""
        return overview.person(self.person, self.store.events(self.person), datetime.now(UTC))

    def practising(self, course: Course) -> Practising:
        """Practice on the course."""
        outside = records.going_on(self.store, self.person, SystemRandom())
        return Practising(course.plan, self.store.events(self.person), outside)

    def assessing(self, course: Course, anew: bool) -> Assessing:
        """The assessment, its start not yet written; raises ChangedError where the one that was left cannot go on."""
        events = self.store.events(self.person)
        outside = records.outside(self.store, self.person, SystemRandom())
        return Assessing(course.plan, course.site, events, outside, anew)

    def close(self) -> None:
        """Let go of it."""
        self.store.close()
