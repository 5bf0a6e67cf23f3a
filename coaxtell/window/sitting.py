"""A sitting of practice or an assessment as the window runs it: the quiz's engine, the record, and the clock."""

from __future__ import annotations

import getpass
import os
import secrets
import uuid
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from coaxtell.cli.practise import read_ports
from coaxtell.models.half import Half
from coaxtell.quiz import items, overview
from coaxtell.quiz.assessment import Assessment, Result, error_words, replayed
from coaxtell.quiz.blueprint import Blueprint, blueprint
from coaxtell.quiz.blueprint import words as blueprint_words
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import Answered, Mode, Started, answered, answers, person_name
from coaxtell.quiz.practice import Practice, Shelf, shelf
from coaxtell.quiz.schedule import PAIR
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.store import Store

VARIABLE = "COAXTELL_RECORDS"
"""Environment variable that names the record, as for the commands."""


def user_name() -> str:
    """The name of who sits here as the system knows it; empty where it does not."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


class Course:
    """What is asked, made once: it needs all matings and takes a moment."""

    def __init__(self, halves: dict[str, Half]) -> None:
        """Work out all tasks of these halves."""
        self.stock = Stock(halves)
        self._all = shelf(self.stock), blueprint(self.stock)
        self.all_ports()

    def all_ports(self) -> None:
        """Practice and assessment draw from all halves, as often as they are met."""
        self._draw_from("", *self._all)

    def ports_of(self, path: Path) -> None:
        """They draw from a site's port list; raises InputError where the file or the ports do not serve."""
        site, counts = read_ports(path, self.stock)
        plan = blueprint(self.stock, counts)
        self._draw_from(site or path.stem, shelf(self.stock, ports=counts), plan)

    def _draw_from(self, site: str, found: Shelf, plan: Blueprint) -> None:
        self.site, self.shelf, self.plan = site, found, plan
        self.terms = [*blueprint_words(plan), *error_words()]
        """What an assessment draws from and how often it errs, in sentences."""


_courses: dict[int, tuple[dict[str, Half], Course]] = {}


def course_of(halves: dict[str, Half]) -> Course:
    """The course of these halves, worked out once as long as they are the same tables."""
    held = _courses.get(id(halves))
    if held is None or held[0] is not halves:
        held = _courses[id(halves)] = (halves, Course(halves))
    return held[1]


class Record:
    """The record of one person, open; every answer is written down before it is acknowledged."""

    def __init__(self, place: Path | str, person: str) -> None:
        """Open it, making its folder; raises InputError where it cannot be used or the name is none."""
        self.person = person_name(person)
        where = os.environ.get(VARIABLE) or str(place)
        if "://" not in where:
            from coaxtell.models.errors import InputError

            try:
                Path(where).absolute().parent.mkdir(parents=True, exist_ok=True)
            except OSError as error:
                raise InputError(f"{where} cannot be made ({error.strerror}); name a place in {VARIABLE}.") from None
        self.store = Store(where)

    def state(self) -> overview.PersonState:
        """Where the person stands."""
        return overview.person(self.person, self.store.events(self.person), datetime.now(UTC))

    def close(self) -> None:
        """Let go of it."""
        self.store.close()


class Sitting:
    """Items one after another; an answer given is recorded and told to the engine."""

    mode = Mode.PRACTICE

    def __init__(self, course: Course, record: Record) -> None:
        """Nothing asked yet."""
        self.course, self.record = course, record
        self.number = 0
        self.right = 0
        self.points = 0.0

    @property
    def why(self) -> str:
        """Why this item comes."""
        return ""

    def item(self) -> Item | None:
        """The item to be answered now; none where nothing more is asked."""
        raise NotImplementedError

    def answer(self, chosen: str, sure: float) -> Answered:
        """Record an answer; raises InputError where it cannot be written, and then it still stands to be given."""
        raise NotImplementedError

    def _recorded(self, start: Started, item: Item, chosen: str, sure: float, number: int) -> Answered:
        found = answered(
            item, chosen, sure, event_id=str(uuid.uuid4()), time=datetime.now(UTC), person=self.record.person,
            sitting=start.id, number=number,
        )  # fmt: skip
        self.record.store.add(found)
        self.number = number
        self.right += found.correct
        self.points += found.points
        return found


class PracticeSitting(Sitting):
    """What is due or weak, each explained."""

    def __init__(self, course: Course, record: Record, held: Item | None = None) -> None:
        """Go on with an item that was not answered when the window closed, if there is one."""
        super().__init__(course, record)
        self.practice = Practice(course.shelf, answers(record.store.events(record.person)))
        self.rng = Random(secrets.randbits(64))
        self._start = Started(id=str(uuid.uuid4()), time=datetime.now(UTC), person=record.person, mode=Mode.PRACTICE)
        self._item = held
        self._why = ""

    @property
    def why(self) -> str:
        """The skill or the pair that it practises."""
        if self._why.startswith(PAIR):
            return f"a pair you confused: {self._why.removeprefix(PAIR).replace('|', ' and ')}"
        return self._why

    def item(self) -> Item | None:
        """The next item; asking again gives the same one."""
        if self._item is None:
            self._why, task = self.practice.ask(datetime.now(UTC), self.rng)
            self._item = items.make(self.course.stock, task, self.rng)
        return self._item

    def answer(self, chosen: str, sure: float) -> Answered:
        """Record an answer and go on."""
        item = self.item()
        assert item is not None
        if self.number == 0:
            self.record.store.add(self._start)
        found = self._recorded(self._start, item, chosen, sure, self.number + 1)
        self.practice = self.practice.tell(found)
        self._item = None
        return found


class AssessmentSitting(Sitting):
    """The test before site work; it goes on where an undecided one was left."""

    mode = Mode.ASSESSMENT

    def __init__(self, course: Course, record: Record) -> None:
        """Find the undecided start of this person, if there is one; nothing is written before `begin`."""
        super().__init__(course, record)
        self.earlier = overview.tries(record.store.events(record.person))
        last = self.earlier[-1] if self.earlier else None
        self.start: Started | None = None
        self.state = Assessment(course.plan, 0)
        if last is not None and last.verdict is Decision.UNDECIDED and last.start.blueprint == course.plan.fingerprint:
            told = [e for e in record.store.events(sitting=last.start.id) if isinstance(e, Answered)]
            self.state = replayed(course.plan, last.start, told)
            self.start = last.start
            self.number = self.state.told

    @property
    def resumed(self) -> bool:
        """Whether it goes on with one that was left."""
        return self.number > 0

    def begin(self) -> None:
        """Record the start, so that every try counts."""
        if self.start is None:
            start = Started(
                id=str(uuid.uuid4()), time=datetime.now(UTC), person=self.record.person, mode=Mode.ASSESSMENT,
                seed=secrets.randbits(48), site=self.course.site, ports=self.course.plan.ports,
                blueprint=self.course.plan.fingerprint,
            )  # fmt: skip
            self.record.store.add(start)
            self.start = start
            self.state = Assessment(self.course.plan, start.seed)

    def item(self) -> Item | None:
        """The next item; none once the verdict stands."""
        return self.state.item(self.course.stock)

    def answer(self, chosen: str, sure: float) -> Answered:
        """Record an answer; whether it was right is not told until the end."""
        item = self.item()
        assert item is not None
        assert self.start is not None
        found = self._recorded(self.start, item, chosen, sure, self.state.told + 1)
        self.state = self.state.tell(found.correct)
        return found

    def result(self) -> Result:
        """Where it stands."""
        return self.state.result()
