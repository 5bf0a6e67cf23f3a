"""Item kinds, a file each: which tasks a kind allows, and the item made from a task.

Every module here with a `KIND` is a kind; nothing else names it.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Mapping, Sequence
from importlib import import_module
from random import Random

import msgspec

from coaxtell.quiz import skills
from coaxtell.quiz.item import Item, Task
from coaxtell.quiz.kind import Kind, Offers
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock


def _found() -> dict[str, Kind]:
    modules = (import_module(f"{__name__}.{module.name}") for module in pkgutil.iter_modules(__path__))
    kinds: list[Kind] = [module.KIND for module in modules if hasattr(module, "KIND")]
    return {kind.name: kind for kind in sorted(kinds, key=lambda kind: kind.place)}


KINDS = _found()
"""Every kind by its name in the record, in the order of lists."""
OF_PAIRS = [kind.name for kind in KINDS.values() if kind.offers is Offers.VERDICTS]
"""The kinds that ask what a pair comes to: harmful facts, their foils and a lesson's joints are theirs."""


def shares(
    stock: Stock, ports: Mapping[str, float] | None = None, kinds: Sequence[str] | None = None
) -> dict[str, dict[Task, float]]:
    """By kind, every task that may be asked about these ports with its share; about all halves where there is none.

    Kinds without a task are left out.
    """
    key = repr((sorted((ports or {}).items()), [name for name in KINDS if kinds is None or name in kinds]))
    if key not in stock.shares:
        found = {
            kind.name: kind.shares(stock, ports or {}) for kind in KINDS.values() if kinds is None or kind.name in kinds
        }
        stock.shares[key] = {name: tasks for name, tasks in found.items() if tasks}
    return stock.shares[key]


def tasks(stock: Stock, kinds: Sequence[str] | None = None) -> list[Task]:
    """Every task that may be asked, of the named kinds or of all."""
    return [task for found in shares(stock, None, kinds).values() for task in found]


def pairs(stock: Stock) -> dict[Task, float]:
    """Every task that asks what a pair comes to, with its share of its kind."""
    return {task: share for found in shares(stock, {}, OF_PAIRS).values() for task, share in found.items()}


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a task; the same generator gives the same item."""
    return KINDS[task.kind].make(stock, task, rng)


def told(stock: Stock, item: Item, chosen: str) -> Item:
    """The item with what is said once an option was chosen; raises KeyError where that is not offered."""
    item.option(chosen)
    return msgspec.structs.replace(item, explanation=KINDS[item.task.kind].after(stock, item, chosen))


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The skills that decide a task."""
    return KINDS[task.kind].skills_of(stock, task)


def harmful(stock: Stock, task: Task) -> bool:
    """True where a wrong answer to the task may end in a damaged contact."""
    return KINDS[task.kind].harmful(stock, task)


def sort(stock: Stock, task: Task) -> str:
    """What a task comes to, beside its kind."""
    return KINDS[task.kind].sort(stock, task)


def cell(stock: Stock, task: Task) -> str:
    """The fact that a task asks about: its kind, what it comes to and the two lines of connectors, in either order."""
    lines = sorted(skills.line(stock.half(half_id)) for half_id in (task.a, task.b))
    return "/".join((task.kind, sort(stock, task), *lines))


def stratum(stock: Stock, task: Task) -> str:
    """The stratum of an assessment that a task belongs to; empty for none."""
    return KINDS[task.kind].stratum(stock, task)


def fact(stock: Stock, task: Task) -> str:
    """The pair that decides a task; a harmful fact where it damages a contact."""
    return "|".join(sorted(KINDS[task.kind].decides(stock, task)))


def ports(task: Task) -> tuple[str, ...]:
    """The halves of a task that it asks about as ports."""
    return KINDS[task.kind].ports(task)


def confuses(kind: str) -> bool:
    """True where the two halves of a kind's tasks are taken for each other; so it is with a kind not known here."""
    return kind not in KINDS or KINDS[kind].confuses


def offers(kind: str) -> Offers:
    """What the options of a kind are; nothing is known of a kind that is not here."""
    return KINDS[kind].offers if kind in KINDS else Offers.OTHER
