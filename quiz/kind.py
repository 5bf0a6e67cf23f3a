"""What the rest of the quiz must know of a kind of item; each file in `items` ends with its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum
from random import Random
from typing import NamedTuple

from coaxtell.quiz.item import Explanation, Item, Task
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock


class Offers(StrEnum):
    """What the options of a kind are, so that answers can be counted by what was taken for what."""

    HALVES = "halves"
    VERDICTS = "verdicts"
    OTHER = "other"


def by_kind(stock: Stock, task: Task) -> str:
    """One stratum for the whole kind."""
    return task.kind


def its_halves(stock: Stock, task: Task) -> tuple[str, ...]:
    """The two halves of the task."""
    return (task.a, task.b)


def none_decides(stock: Stock, task: Task) -> tuple[str, ...]:
    """No single pair."""
    return ()


def both(task: Task) -> tuple[str, ...]:
    """Both halves."""
    return (task.a, task.b)


def first(task: Task) -> tuple[str, ...]:
    """The first half alone."""
    return (task.a,)


def not_held(stock: Stock, task: Task) -> str | None:
    """The record does not hold enough of the item to say."""
    return None


def as_made(stock: Stock, item: Item, chosen: str) -> Explanation:
    """The explanation that the item was made with."""
    return item.explanation


class Kind(NamedTuple):
    """A kind of item: its name in the record, which tasks it allows, and the item made from a task."""

    name: str
    place: int
    """Its place in lists of kinds."""
    shares: Callable[[Stock, Mapping[str, float]], dict[Task, float]]
    """Every task that may be asked about these ports, or about all where there are none, with its share of the kind.

    Within a set of options every one is right equally often.
    """
    make: Callable[[Stock, Task, Random], Item]
    """The item of a task; the same generator gives the same item."""
    skills_of: Callable[[Stock, Task], tuple[Skill, ...]]
    """The skills that decide a task."""
    harmful: Callable[[Stock, Task], bool]
    """True where a wrong answer may end in a damaged contact."""
    sort: Callable[[Stock, Task], str]
    """What a task comes to, beside the kind: the verdict, or what tells its two halves apart."""
    offers: Offers = Offers.OTHER
    ports: Callable[[Task], tuple[str, ...]] = both
    """The halves of a task that it asks about as ports."""
    stratum: Callable[[Stock, Task], str] = by_kind
    """The stratum of an assessment's ordinary part; empty where the task stands in none."""
    decides: Callable[[Stock, Task], tuple[str, ...]] = none_decides
    """The two halves whose mating decides the task."""
    confuses: bool = True
    """True where its two halves are taken for each other, so that a wrong answer makes a pair to practise."""
    right: Callable[[Stock, Task], str | None] = not_held
    """The option that the tables make right of an item that somebody else made, `among` being the options it offered;
    none where that cannot be told."""
    after: Callable[[Stock, Item, str], Explanation] = as_made
    """What is said once an option was chosen: of a wrong one what it leads to, where each leads to something else."""
