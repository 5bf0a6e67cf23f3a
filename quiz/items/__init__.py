"""Item kinds, a file each: which tasks a kind allows, and the item made from a task."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Protocol

from coaxtell.quiz.item import Item, Kind, Task
from coaxtell.quiz.items import cable, look, mates, name, order
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock


class Maker(Protocol):
    """What each kind's module offers."""

    def tasks(self, stock: Stock) -> list[Task]:
        """Every task of the kind that may be asked."""

    def make(self, stock: Stock, task: Task, rng: Random) -> Item:
        """The item of a task; the same generator gives the same item."""

    def skills_of(self, stock: Stock, task: Task) -> tuple[Skill, ...]:
        """The skills that decide the task."""

    def harmful(self, stock: Stock, task: Task) -> bool:
        """True where a wrong answer may end in a damaged contact."""

    def sort(self, stock: Stock, task: Task) -> str:
        """What tasks of one kind are drawn alike by, so that the many do not drown the few."""


MAKERS: dict[Kind, Maker] = {
    Kind.MATES: mates,
    Kind.NAME: name,
    Kind.ORDER: order,
    Kind.LOOK: look,
    Kind.CABLE: cable,
}


def tasks(stock: Stock, kinds: Sequence[Kind] | None = None) -> list[Task]:
    """Every task that may be asked, of the named kinds or of all."""
    return [task for kind, maker in MAKERS.items() if kinds is None or kind in kinds for task in maker.tasks(stock)]


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a task; the same generator gives the same item."""
    return MAKERS[task.kind].make(stock, task, rng)


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The skills that decide a task."""
    return MAKERS[task.kind].skills_of(stock, task)


def harmful(stock: Stock, task: Task) -> bool:
    """True where a wrong answer to the task may end in a damaged contact."""
    return MAKERS[task.kind].harmful(stock, task)


def sort(stock: Stock, task: Task) -> str:
    """What tasks of one kind are drawn alike by."""
    return MAKERS[task.kind].sort(stock, task)


def answer(stock: Stock, task: Task) -> str:
    """The answer to a task where nearly all of its kind would have the same one; else nothing."""
    return sort(stock, task) if task.kind is Kind.MATES else ""
