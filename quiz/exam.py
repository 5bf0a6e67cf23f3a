"""A test of a fixed number of items, drawn by its number alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from random import Random

from coaxtell.models.errors import InputError
from coaxtell.quiz import items
from coaxtell.quiz.item import Item, Kind, Task
from coaxtell.quiz.stock import Stock


def draw(
    stock: Stock, number: int, rng: Random, kinds: Sequence[Kind] | None = None, ports: Iterable[str] | None = None
) -> list[Item]:
    """So many items, each pair and kind once, the kinds and their sorts drawn alike.

    Raises InputError where there are not as many.
    """
    wanted = None if ports is None else set(ports)
    groups: dict[Kind, dict[str, list[Task]]] = {}
    for task in items.tasks(stock, kinds):
        if wanted is None or wanted & {task.a, task.b}:
            groups.setdefault(task.kind, {}).setdefault(items.sort(stock, task), []).append(task)
    there = len({task.key for sorts in groups.values() for tasks in sorts.values() for task in tasks})
    if there < number:
        raise InputError(f"There are only {there} different items for this; ask for fewer, or widen ports or kinds.")
    found: list[Item] = []
    used: set[str] = set()
    while len(found) < number:
        kind = rng.choice(list(groups))
        sort = rng.choice(list(groups[kind]))
        left = [task for task in groups[kind][sort] if task.key not in used]
        if not left:
            del groups[kind][sort]
            if not groups[kind]:
                del groups[kind]
            continue
        task = rng.choice(left)
        used.add(task.key)
        found.append(items.make(stock, task, rng))
    return found
