"""A test of a fixed number of items, drawn by its number alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random

from coaxtell.models.errors import RefusedError
from coaxtell.quiz import items
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Item
from coaxtell.quiz.stock import Stock

TRIES = 60
"""Draws for each item before a repeated pair ends the search."""


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
    plan = Blueprint(stock, ports, kinds)
    if plan.tasks < number:
        raise RefusedError("quiz.few_items_exam", tasks=plan.tasks)
    found: list[Item] = []
    used: list[str] = []
    for _ in range(TRIES * number):
        task = plan.draw(rng, used)
        if task.key not in used:
            used.append(task.key)
            found.append(items.make(stock, task, rng))
        if len(found) == number:
            return found
    raise RefusedError("quiz.repeats", found=len(found))
