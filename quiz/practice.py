"""Practice: which task comes next for a person: what the assessment asks, the less often the better it is held.

A task is drawn as an assessment would draw it. It is kept with a chance that falls with every right answer in a row to
its fact, as far as that will be recalled in a month; else another is drawn. What was wrong comes again a few items
later. Compared with other policies in `benchmarks/practice.py`.
"""

from __future__ import annotations

import math
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
KEPT = 0.6
"""Factor on the chance to be kept for each right answer in a row, as far as it will be recalled `AHEAD`."""
AHEAD = timedelta(days=30)
"""For when a fact is to be held: what is held today and gone in a month is asked on (assumed)."""
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
        in_a_row = self.schedule.in_a_row(cell)
        if not in_a_row:
            return 1.0
        return max(LEAST, math.exp(math.log(KEPT) * in_a_row * self.schedule.recall(cell, now + AHEAD)))
