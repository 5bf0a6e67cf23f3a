"""Practice: which task comes next for a person: what the assessment asks, the less often the better it is held.

A task is drawn as an assessment would draw it. A fact that was right is trusted for a while: at first for a few days,
then for twice the longest time over which it was right again, since nothing else shows that it is held over such a
time. The more of that while is still to come, the rather its task is not kept, and another is drawn. What was wrong
comes again a few items later. Compared with other policies in `benchmarks/practice.py`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from random import Random
from typing import NamedTuple, Protocol

from coaxtell.quiz.item import Task
from coaxtell.quiz.log import Answered
from coaxtell.quiz.schedule import Schedule, replayed

SITTING_ITEMS = 10
"""Items that are offered a day: the same number spread over more days is held longer (see `benchmarks/practice.py`)."""
SITTING_MINUTES = 10
"""Longest sitting that is offered [min] (common practice)."""
APART = 5
"""The same pair and kind does not come again within this many items, where others serve as well."""
FIRST = 2.3
"""Days for which a fact is trusted that was right once: after them one in ten is forgotten by the default parameters of
the open FSRS scheduler, which were fitted on many people's reviews."""
TWICE = 2.0
"""How much longer a fact is trusted than the longest time over which it was right again (assumed)."""
LEAST = 0.1
"""The least chance to be kept, so that nothing is ever done with."""
AGAIN = 4
"""Items after which a fact comes again that was answered wrong."""


class Draws(Protocol):
    """What practice draws from: a blueprint, with the facts of its tasks."""

    def draw(self, rng: Random, last: Sequence[str] = ()) -> Task:
        """A task as an assessment would draw it."""

    def cell(self, task: Task) -> str:
        """The fact that a task asks about."""


class Missed(NamedTuple):
    """A fact that was answered wrong, its task, and the number of answers after which it comes again."""

    cell: str
    task: Task
    at: int


class Practice:
    """Asks for the next task of a person and is told the answers; telling gives a new practice."""

    def __init__(self, plan: Draws, answers: Sequence[Answered] = ()) -> None:
        self._plan = plan
        self.schedule: Schedule = replayed(answers)
        self._last = [Task(a.kind, a.a, a.b).key for a in answers][-APART:]
        self._given = 0
        self._missed: tuple[Missed, ...] = ()

    def ask(self, now: datetime, rng: Random) -> tuple[Task, bool]:
        """The task that comes next, and whether it comes since its fact was just missed."""
        for missed in self._missed:
            if missed.at <= self._given and missed.task.key not in self._last[-1:]:
                return missed.task, True
        while True:
            task = self._plan.draw(rng, self._last)
            if rng.random() < self._kept(self._plan.cell(task), now):
                return task, False

    def tell(self, answer: Answered, task: Task) -> Practice:
        """The practice after an answer to a task."""
        after = Practice.__new__(Practice)
        after._plan = self._plan
        after.schedule = self.schedule.tell(answer)
        after._last = [*self._last, task.key][-APART:]
        after._given = self._given + 1
        cell = self._plan.cell(task)
        missed = tuple(one for one in self._missed if one.cell != cell)
        after._missed = missed if answer.correct else (*missed, Missed(cell, task, after._given + AGAIN - 1))
        return after

    def _kept(self, cell: str, now: datetime) -> float:
        """The chance with which a drawn task of a fact is kept."""
        held = self.schedule.fact(cell)
        if held is None:
            return 1.0
        trusted = max(FIRST, TWICE * held.over)
        return min(1.0, max(LEAST, (now - held.since) / timedelta(days=trusted)))
