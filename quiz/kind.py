"""What the rest of the quiz must know of a kind of item; each file in `items` ends with its own."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from random import Random
from typing import NamedTuple

from coaxtell.quiz.item import Item, Task
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock


class Offers(StrEnum):
    """What the options of a kind are, so that answers can be counted by what was taken for what."""

    HALVES = "halves"
    VERDICTS = "verdicts"
    OTHER = "other"


def both(task: Task) -> tuple[str, ...]:
    """Both halves."""
    return (task.a, task.b)


def first(task: Task) -> tuple[str, ...]:
    """The first half alone."""
    return (task.a,)


def various(stock: Stock, task: Task) -> str:
    """Nothing: tasks of the kind have answers of every sort."""
    return ""


class Kind(NamedTuple):
    """A kind of item: its name in the record, which tasks it allows, and the item made from a task."""

    name: str
    place: int
    """Its place in lists of kinds."""
    tasks: Callable[[Stock], list[Task]]
    """Every task of the kind that may be asked."""
    make: Callable[[Stock, Task, Random], Item]
    """The item of a task; the same generator gives the same item."""
    skills_of: Callable[[Stock, Task], tuple[Skill, ...]]
    """The skills that decide a task."""
    harmful: Callable[[Stock, Task], bool]
    """True where a wrong answer may end in a damaged contact."""
    sort: Callable[[Stock, Task], str]
    """What tasks of the kind are drawn alike by, so that the many do not drown the few."""
    offers: Offers = Offers.OTHER
    ports: Callable[[Task], tuple[str, ...]] = both
    """The halves of a task that it asks about as ports."""
    answer: Callable[[Stock, Task], str] = various
    """The answer to a task where nearly all of the kind would have the same one; else nothing."""
    confuses: bool = True
    """True where its two halves are taken for each other, so that a wrong answer makes a pair to practise."""
