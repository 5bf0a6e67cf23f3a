"""One sitting, of practice or of an assessment: what is asked, what is answered, how one that was left goes on.

Terminal and window are faces of it. The clock, ids, chance and the place where events are kept come from outside.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from random import Random
from typing import NamedTuple

from coaxtell.models.catalogue import Reason
from coaxtell.quiz import items, lesson, tries
from coaxtell.quiz.assessment import Assessment, Result
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import (
    Answered,
    Event,
    Mode,
    Noted,
    Remark,
    Started,
    Stated,
    answered,
    answers,
    as_of,
    in_order,
)
from coaxtell.quiz.machine import Machine, lacking
from coaxtell.quiz.practice import Practice
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.tries import Try
from coaxtell.quiz.words import say


class Outside(NamedTuple):
    """What a sitting gets from outside: who sits there, where events are kept, the time, new ids and chance."""

    person: str
    keep: Callable[[Event], None]
    """Writes an event down; when it returns, the event stays. Raises InputError where it cannot."""
    now: Callable[[], datetime]
    new_id: Callable[[], str]
    rng: Random
    secret: bytes
    """What makes the items of an assessment; it stands in no record, so that they cannot be read off it."""
    left: Callable[[], Item | None] = lambda: None
    """The item of practice that this person was asked last and did not answer, so that none is evaded by leaving."""
    leave: Callable[[Item | None], None] = lambda item: None
    """Keeps the item that is asked now, and none once it is answered."""
    machine: Machine = Machine()
    """What this machine has seen of assessments."""


class ChangedError(Exception):
    """An assessment that was left cannot go on: its items are not the same any more. Nothing of it is lost."""


class Wrong(NamedTuple):
    """An item that was answered wrong, with what is said of it, and the option that was chosen."""

    item: Item
    chosen: str


class Tally:
    """Items answered in this sitting, how many right, and their points."""

    def __init__(self) -> None:
        self.given, self.right, self.points = 0, 0, 0.0

    def add(self, answer: Answered) -> None:
        """Count one more answer."""
        self.given += 1
        self.right += answer.correct
        self.points += answer.points


class Sitting:
    """Items one after another; an answer is written down before it is told to the engine."""

    def __init__(self, stock: Stock, outside: Outside) -> None:
        self.stock, self.outside = stock, outside
        self.tally = Tally()

    @property
    def number(self) -> int:
        """The number of the item to be answered now."""
        raise NotImplementedError

    def item(self) -> Item | None:
        """The item to be answered now, the same however often asked; none where nothing more is asked."""
        raise NotImplementedError

    def answer(self, chosen: str, sure: float) -> Answered:
        """Write down an answer to the item asked, and go on.

        Raises InputError where it cannot be written; then the item still stands to be answered.
        """
        raise NotImplementedError

    def told(self, item: Item, chosen: str) -> Item:
        """An item with what is said once an option was chosen."""
        return items.told(self.stock, item, chosen)

    def _written(self, item: Item, chosen: str, sure: float, sitting: str, cell: str, asks: str = "") -> Answered:
        found = answered(
            item, chosen, sure, event_id=self.outside.new_id(), time=self.outside.now(), person=self.outside.person,
            sitting=sitting, number=self.number, cell=cell, asks=asks,
        )  # fmt: skip
        self.outside.keep(found)
        self.tally.add(found)
        return found


class Practising(Sitting):
    """What is due or weak, each explained; its start is written with the first answer."""

    def __init__(self, plan: Blueprint, events: Sequence[Event], outside: Outside) -> None:
        """`events` are those of the person so far; an item that was left unanswered comes first, if it still may."""
        super().__init__(plan.stock, outside)
        self.plan = plan
        known = as_of(events, outside.now())
        self.practice = Practice(plan, answers(known))
        self._lesson = () if answers(known, Mode.PRACTICE) else lesson.tasks(plan)
        self._start = Started(
            id=outside.new_id(), time=outside.now(), person=outside.person, mode=Mode.PRACTICE
        )  # fmt: skip
        left = outside.left()
        self._item = left if left is not None and any(left.task in shares for shares in plan.shares.values()) else None
        self.again = False
        """True where the item comes since its fact was just missed."""

    @property
    def number(self) -> int:
        """The number of the item to be answered now."""
        return self.tally.given + 1

    @property
    def teaches(self) -> bool:
        """True while the first lesson lasts: its pairs are told after the answer, and it ends after six right."""
        return self.tally.given < len(self._lesson) and self.tally.right < lesson.RIGHT

    def item(self) -> Item:
        """The item to be answered now."""
        if self._item is None:
            if self.teaches:
                task, self.again = self._lesson[self.tally.given], False
            else:
                task, self.again = self.practice.ask(self.outside.now(), self.outside.rng)
            made = items.make(self.stock, task, self.outside.rng)
            self._item = lesson.plain(self.stock, made) if self.teaches else made
            self.outside.leave(self._item)
        return self._item

    def answer(self, chosen: str, sure: float) -> Answered:
        """Write down an answer and go on."""
        item = self.item()
        if self.tally.given == 0:
            self.outside.keep(self._start)
        found = self._written(item, chosen, sure, self._start.id, self.plan.cell(item.task))
        self.practice = self.practice.tell(found, item.task)
        self._item = None
        self.outside.leave(None)
        return found


class Assessing(Sitting):
    """The test before site work; it goes on where an undecided one on the same ports was left.

    Every start is a try and is written down, at `begin` and not before.
    """

    def __init__(
        self,
        plan: Blueprint,
        site: str,
        events: Sequence[Event],
        outside: Outside,
        anew: bool = False,
    ) -> None:
        """`events` are those of the person so far; `anew` leaves an undecided try as it is and begins another.

        Raises ChangedError where the tables or the program have changed since the undecided try was begun, InputError
        where these ports give no assessment or no other try may be begun now (`tries.another`).
        """
        super().__init__(plan.stock, outside)
        plan.assessable()
        self.plan, self.site = plan, site
        now = outside.now()
        seen = outside.machine.seen()
        lacks = lacking(events, seen)
        self._put_back = list(lacks.events)
        """Events that the machine has seen and the record lacks; they count, and `begin` writes them."""
        self._remarks = [(sitting, Remark.PUT_BACK, number) for sitting, number in lacks.answers.items()]
        """What `begin` writes of how earlier tries were taken: sitting, remark, number."""
        self._elsewhere = len({event.sitting for event in lacks.others})
        whole = in_order([*events, *lacks.events, *lacks.others])
        dated = tries.of(whole)
        on_time = {one.start.id for one in dated if one.on_time(now)}  # nobody waits for what a clock got wrong
        events = as_of(whole, now)
        self.tries = tries.of(events)
        self._unseen: list[Event] = []
        """Events of the try that goes on which this machine had not seen."""
        self.start: Started | None = None
        self.state: Assessment | None = None
        self.wrong: list[Wrong] = []
        """What was answered wrong in this sitting."""
        others = {event.id for event in lacks.others}
        own = [one for one in self.tries if one.start.id not in others]
        last = own[-1] if own else None
        counted = [one for one in self.tries if one.start.id in on_time]
        asked = (plan.ports, plan.fingerprint)
        held = tries.holding(dated, now, asked=lambda one: (one.start.ports, one.start.blueprint) == asked)
        self._recheck = held is not None and not anew and tries.may_recheck(self.tries, held)
        # what is dated ahead counts all the same: else a clock set back would begin everything anew
        self._number = len(tries.against(self.tries, now)) + 1
        self._lost = sorted(name for one in self.tries if not one.recheck for name in one.result.lost)
        if last is not None and not anew and last.verdict is Decision.UNDECIDED and last.start.ports == plan.ports:
            if last.start.blueprint != plan.fingerprint:
                raise ChangedError
            told = [event for event in events if isinstance(event, Answered) and event.sitting == last.start.id]
            self.start, self.state = last.start, self._state(last.start, told)
            known = {event.id for event in (*seen.here, *seen.elsewhere)}
            if outside.machine.remembers and last.start.id not in known:
                self._remarks.append((last.start.id, Remark.ELSEWHERE, self.state.told + 1))
                self._unseen = [last.start, *told]
        elif not self._recheck:
            tries.another(events, counted, now)
        self._in_words = self.start is not None and any(what is Remark.WITHOUT_PICTURES for what, _ in own[-1].remarks)
        self.noticed = self._noticed()
        """What is to be said of the record before anything else, in sentences."""

    def _state(self, start: Started, told: Sequence[Answered] = ()) -> Assessment:
        chance = self.outside.machine.draw
        return Assessment(self.plan, start, self.outside.secret, told, lambda given: chance(start.id, given))

    def _noticed(self) -> list[str]:
        missing = sum(number for _, what, number in self._remarks if what is Remark.PUT_BACK)
        lines = [say(Reason("noticed.put-back", {"answers": missing}))] if self._put_back else []
        lines += [
            say(Reason("noticed.elsewhere", {"item": number}))
            for _, what, number in self._remarks
            if what is Remark.ELSEWHERE
        ]
        if self._elsewhere:
            lines.append(say(Reason("noticed.others", {"tries": self._elsewhere})))
        return lines

    @property
    def number(self) -> int:
        """The number of the item to be answered now."""
        return 1 if self.state is None else self.state.told + 1

    @property
    def try_number(self) -> int:
        """Which try of this person it is."""
        return len(self.earlier) + 1

    @property
    def earlier(self) -> list[Try]:
        """The tries before this one."""
        return [one for one in self.tries if one.start is not self.start]

    @property
    def terms(self) -> Stated:
        """What this try asks: what was lost in earlier tries, on whatever ports, is asked harder."""
        if self.start is not None and self.start.terms is not None:
            return self.start.terms
        strata = [*self.plan.strata, *self.plan.alike]
        return Stated(
            facts=list(self.plan.facts),
            strata=strata,
            twins=list(self.plan.twins),
            harder=[name for name in self._lost if name in (*self.plan.facts, *self.plan.twins, *strata)],
            number=self._number,
            left_out=list(self.plan.left_out),
            tables=self.plan.tables,
            recheck=self._recheck,
        )

    def begin(self) -> None:
        """Write down the start of a new try; one that goes on is there already. What the record lacked of what this
        machine has seen is written again, with a remark."""
        while self._put_back:
            self.outside.keep(self._put_back[0])
            del self._put_back[0]
        for event in self._unseen:
            self.outside.machine.note(event)
        self._unseen = []
        while self._remarks:
            self._remark(*self._remarks[0])
            del self._remarks[0]
        if self.start is None:
            start = Started(
                id=self.outside.new_id(), time=self.outside.now(), person=self.outside.person, mode=Mode.ASSESSMENT,
                site=self.site, ports=self.plan.ports, blueprint=self.plan.fingerprint, terms=self.terms,
            )  # fmt: skip
            self._keep(start)
            self.start, self.state = start, self._state(start)

    def without_pictures(self) -> None:
        """Remark that from the item asked now on pictures are described in words; once for a try."""
        if self.start is not None and not self._in_words:
            self._remark(self.start.id, Remark.WITHOUT_PICTURES, self.number)
            self._in_words = True

    def _remark(self, sitting: str, what: Remark, number: int) -> None:
        outside = self.outside
        self._keep(Noted(outside.new_id(), outside.now(), outside.person, sitting, what, number))

    def _keep(self, event: Event) -> None:
        self.outside.keep(event)
        self.outside.machine.note(event)

    def item(self) -> Item | None:
        """The item to be answered now; none before `begin` and once the verdict stands."""
        asked = None if self.state is None else self.state.ask()
        return None if asked is None else asked[2]

    def answer(self, chosen: str, sure: float) -> Answered:
        """Write down an answer and go on; whether it was right is not told until the end."""
        assert self.start is not None
        assert self.state is not None
        asked = self.state.ask()
        assert asked is not None
        purpose, task, item = asked
        found = self._written(item, chosen, sure, self.start.id, self.plan.cell(task), str(purpose))
        self.outside.machine.note(found)
        self.state.tell(found.correct)
        if not found.correct:
            self.wrong.append(Wrong(self.told(item, chosen), chosen))
        return found

    def result(self) -> Result:
        """Where it stands; raises ValueError before `begin`."""
        if self.state is None:
            raise ValueError("nothing was begun")
        return self.state.result()
