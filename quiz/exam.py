"""A test of a fixed number of items, drawn by its number alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random

from coaxtell.models.errors import InputError
from coaxtell.quiz import everyday, items
from coaxtell.quiz.item import Item, Task
from coaxtell.quiz.stock import Stock


def draw(
    stock: Stock,
    number: int,
    rng: Random,
    kinds: Sequence[str] | None = None,
    ports: Mapping[str, int] | None = None,
) -> list[Item]:
    """So many items, each pair and kind once, the kinds alike, their pairs as often as their ports are met.

    Raises InputError where there are not as many.
    """
    groups: dict[str, dict[str, dict[Task, float]]] = {}
    for task in items.tasks(stock, kinds):
        weight = everyday.weight(stock, task, ports or {})
        if weight > 0:
            groups.setdefault(task.kind, {}).setdefault(items.answer(stock, task), {})[task] = weight
    there = len({task.key for sorts in groups.values() for tasks in sorts.values() for task in tasks})
    if there < number:
        raise InputError(f"There are only {there} different items for this; ask for fewer, or widen ports or kinds.")
    found: list[Item] = []
    used: set[str] = set()
    while len(found) < number:
        kind = rng.choice(list(groups))
        answer = rng.choice(list(groups[kind]))
        left = {task: weight for task, weight in groups[kind][answer].items() if task.key not in used}
        if not left:
            del groups[kind][answer]
            if not groups[kind]:
                del groups[kind]
            continue
        task = rng.choices(list(left), list(left.values()))[0]
        used.add(task.key)
        found.append(items.make(stock, task, rng))
    return found
