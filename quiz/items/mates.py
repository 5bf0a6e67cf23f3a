"""*Will they mate*: two named halves, and which of the five verdicts they come to."""

from __future__ import annotations

import math
from itertools import combinations_with_replacement
from random import Random

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.quiz import skills, tells, wording
from coaxtell.quiz.item import Explanation, Item, Option, Picture, Task
from coaxtell.quiz.kind import Kind, Offers
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "mates"

NEAR = 0.45
"""Halves whose couplings differ by more than this in the logarithm of their size are not asked about: nobody
tries to join them (assumed)."""

VERDICTS = (Verdict.MATES, Verdict.LIMITS, Verdict.NO_CONTACT, Verdict.DAMAGES, Verdict.NO_JOIN)
"""The five verdicts as options, always in this order, so that no order gives the answer away."""


def likely(a: Half, b: Half) -> bool:
    """True where a person may try to join the two: their couplings are near in size."""
    return abs(math.log(tells.coupling_mm(a) / tells.coupling_mm(b))) <= NEAR


def tasks(stock: Stock) -> list[Task]:
    """Every pair that someone may try and whose verdict rests on no soft number."""
    return [
        Task(NAME, a.id, b.id)
        for a, b in combinations_with_replacement(stock.halves.values(), 2)
        if likely(a, b) and stock.firm(a.id, b.id)
    ]


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The rules that the pair breaks, and what the wrong pair does."""
    return skills.of_pair(stock.half(task.a), stock.half(task.b), stock.verdict(task.a, task.b))


def harmful(stock: Stock, task: Task) -> bool:
    """True for a pair that damages a contact."""
    return stock.verdict(task.a, task.b) is Verdict.DAMAGES


def sort(stock: Stock, task: Task) -> str:
    """Pairs are drawn alike by verdict, since most of all pairs do not join."""
    return stock.verdict(task.a, task.b).value


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a pair; chance decides only which half is named first."""
    ids = [task.a, task.b]
    rng.shuffle(ids)
    a, b = (stock.half(half_id) for half_id in ids)
    mating = stock.mating(a.id, b.id)
    return Item(
        task=task,
        question=Reason("mates.question", dict(zip(("one", "two"), wording.named(a, b), strict=True))),
        options=tuple(Option(verdict.value, Reason(f"mates.{verdict.name.lower()}")) for verdict in VERDICTS),
        right=mating.verdict.value,
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=tuple(mating.reasons),
            look=tells.for_mating(a, b, mating.verdict),
            pair=(a.id, b.id),
            stop_mm=mating.stops_at_mm or 0.0,
            cautions=tuple(mating.cautions),
        ),
        picture=Picture(halves=(a.id, b.id)),
        harmful=harmful(stock, task),
    )


KIND = Kind(NAME, 1, tasks, make, skills_of, harmful, sort, Offers.VERDICTS, answer=sort)
