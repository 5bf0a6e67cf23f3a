"""What an assessment draws from, stated before it starts: ports of a site, kinds of item, two classes of task."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from itertools import accumulate
from random import Random

import msgspec

from coaxtell.models.errors import InputError
from coaxtell.quiz import everyday, items
from coaxtell.quiz.item import Task
from coaxtell.quiz.stock import Stock

APART = 10
"""The same pair and kind never comes twice within this many items."""


MOST_MET = 6
"""Families that are named where there is no port list."""


class Part(StrEnum):
    """The two classes of an assessment, each with a test of its own."""

    ORDINARY = "ordinary"
    HARMFUL = "harmful"


class Group(msgspec.Struct, frozen=True):
    """Tasks of one kind whose answers are of one sort; `weights` tell how often each is drawn beside the others."""

    kind: str
    sort: str
    tasks: tuple[Task, ...]
    weights: tuple[float, ...]


class Blueprint(msgspec.Struct, frozen=True):
    """The tasks of either class, in groups drawn with equal share of their kind."""

    ports: dict[str, int]
    """How often each port stands on the site's list; empty where there is none."""
    parts: dict[Part, tuple[Group, ...]]
    widened: bool
    """True where the harmful pairs of these ports are too few, so that those of all tables join in."""
    often: tuple[tuple[str, float], ...] = ()
    """Without a list: the families met most, with their share of all ports."""

    @property
    def fingerprint(self) -> str:
        """Check sum of the tasks and their weights: a sitting goes on only on the same ones."""
        lines = [
            f"{part.value} {group.sort} {task.key} {weight:.9g}"
            for part, groups in self.parts.items()
            for group in groups
            for task, weight in zip(group.tasks, group.weights, strict=True)
        ]
        return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16]


def blueprint(stock: Stock, ports: Mapping[str, int] | None = None, kinds: Sequence[str] | None = None) -> Blueprint:
    """The blueprint of a port list (half id and count); without one, of all halves by how often they are met.

    Raises InputError where the ports are too few for items that do not repeat.
    """
    counts = dict(ports or {})
    for half_id in counts:
        stock.half(half_id)
    every = {task: everyday.weight(stock, task, counts) for task in items.tasks(stock, kinds)}
    harm = {task for task in every if items.harmful(stock, task)}
    ordinary = {task: weight for task, weight in every.items() if task not in harm and weight > 0}
    harmful = {task: weight for task, weight in every.items() if task in harm and weight > 0}
    widened = len({task.key for task in harmful}) <= APART < len({task.key for task in harm})
    if widened:
        # those of other ports come as often as they are met, those of the list at least as often as any of them
        far = {task: everyday.weight(stock, task, {}) for task in harm - harmful.keys()}
        harmful = {task: max(far.values()) for task in harmful} | far
    for part, found in ((Part.ORDINARY, ordinary), (Part.HARMFUL, harmful)):
        number = len({task.key for task in found})
        if number <= APART:
            raise InputError(
                f"These ports give only {number} {part.value} items; an assessment needs "
                f"more than {APART}: add the ports of the cables and of the other equipment to the list."
            )
    return Blueprint(
        ports=counts,
        parts={Part.ORDINARY: _groups(stock, ordinary), Part.HARMFUL: _groups(stock, harmful)},
        widened=widened,
        often=() if counts else tuple(everyday.families(stock).items())[:MOST_MET],
    )


def _groups(stock: Stock, weights: Mapping[Task, float]) -> tuple[Group, ...]:
    sorted_out: dict[tuple[str, str], list[Task]] = {}
    for task in weights:
        sorted_out.setdefault((task.kind, items.answer(stock, task)), []).append(task)
    return tuple(
        Group(kind, sort, tuple(found), tuple(weights[task] for task in found))
        for (kind, sort), found in sorted(sorted_out.items())
    )


def draws(plan: Blueprint, part: Part, seed: int) -> Iterator[Task]:
    """The endless sequence of tasks of one class; it depends on the seed alone, never on an answer."""
    rng = Random(f"{seed}/{part.value}")
    kinds: dict[str, list[Group]] = {}
    for group in plan.parts[part]:
        kinds.setdefault(group.kind, []).append(group)
    names = list(kinds)
    sums = {id(group): list(accumulate(group.weights)) for groups in kinds.values() for group in groups}
    last: list[str] = []
    while True:
        group = rng.choice(kinds[rng.choice(names)])
        task = rng.choices(group.tasks, cum_weights=sums[id(group)])[0]
        if task.key in last:
            continue
        last = [*last, task.key][-APART:]
        yield task


def turns(seed: int) -> Iterator[Part]:
    """Which class has its turn, by an even chance; it depends on the seed alone."""
    rng = Random(f"{seed}/turns")
    while True:
        yield rng.choice((Part.ORDINARY, Part.HARMFUL))
