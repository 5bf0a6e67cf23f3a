"""*Will they mate*: two named halves, and which of the five verdicts they come to."""

from __future__ import annotations

import math
from itertools import combinations_with_replacement
from random import Random

from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.models.words import said
from coaxtell.quiz import looks, skills, wording
from coaxtell.quiz.item import Explanation, Item, Kind, Option, Picture, Task
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

KIND = Kind.MATES

NEAR = 0.45
"""Halves whose couplings differ by more than this in the logarithm of their size are not asked about: nobody
tries to join them (assumed)."""

WORDS = {
    Verdict.MATES: "mates: it seats and connects",
    Verdict.LIMITS: "mates with limits: it connects, with a loss of match, frequency or torque",
    Verdict.NO_CONTACT: "joins, no contact: it couples and stays open",
    Verdict.DAMAGES: "damages: a contact is hurt before it seats",
    Verdict.NO_JOIN: "does not join: the couplings do not take each other",
}
"""The five verdicts as options, always in this order, so that no order gives the answer away."""


def likely(a: Half, b: Half) -> bool:
    """True where a person may try to join the two: their couplings are near in size."""
    return abs(math.log(looks.coupling_mm(a) / looks.coupling_mm(b))) <= NEAR


def tasks(stock: Stock) -> list[Task]:
    """Every pair that someone may try and whose verdict rests on no soft number."""
    return [
        Task(KIND, a.id, b.id)
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
        question="{} is brought to {}. What becomes of it?".format(*wording.named(a, b)),
        options=tuple(Option(verdict.value, words) for verdict, words in WORDS.items()),
        right=mating.verdict.value,
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=tuple(said(mating.reasons)),
            look=looks.for_mating(a, b, mating.verdict),
            pair=(a.id, b.id),
            stop_mm=mating.stops_at_mm or 0.0,
            cautions=tuple(said(mating.cautions)),
        ),
        picture=Picture(halves=(a.id, b.id)),
        harmful=harmful(stock, task),
    )
