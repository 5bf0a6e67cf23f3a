"""No item can be answered without looking: attackers that see no picture are right no more often than by chance.

The whole run of 3,000 items a kind is `python -m benchmarks.attackers`; here fewer, with room for chance.
"""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from itertools import islice
from random import Random

import pytest

from coaxtell.quiz import items, words
from coaxtell.quiz.blueprint import APART, Blueprint
from coaxtell.quiz.item import Item
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.trial import Part, Terms, Trial
from tests.halves import all_halves
from tests.quiz.attackers import Scored, Seen, attacked

ITEMS = 400
SITE = {"rp-tnc-jack": 4, "tnc-jack": 1, "n-50-jack": 2, "sma-jack": 1, "rp-sma-jack": 1}


@cache
def plan(site: bool) -> Blueprint:
    return Blueprint(Stock(all_halves()), SITE if site else None)


def seen(kind: str, number: int, seed: int, site: bool = False) -> list[Seen]:
    """Items of a kind as an attacker sees them; a picture's alternative text is what a training system is told."""
    whole, rng = plan(site), Random(seed)
    tasks, shares = list(whole.shares[kind]), list(whole.shares[kind].values())
    found = []
    for _ in range(number):
        found.append(as_seen(items.make(whole.stock, rng.choices(tasks, shares)[0], rng)))
    return found


def seen_in_tries(number: int, seed: int, site: bool = False) -> list[Seen]:
    """So many items of the harmful part of tries that somebody takes who is always right."""
    whole, rng = plan(site), Random(seed)
    found: list[Seen] = []
    while len(found) < number:
        test, last = Trial(Terms(whole.facts, (*whole.strata, *whole.alike), twins=whole.twins)), list[str]()
        while (asked := test.ask(rng)) is not None:
            task = whole.task_for(asked, rng, last)
            last = [*last, task.key][-APART:]
            test.tell(asked, True)
            if asked.part is Part.HARMFUL:
                found.append(as_seen(items.make(whole.stock, task, rng)))
    return found[:number]


def as_seen(item: Item) -> Seen:
    """What an attacker sees of an item."""
    said = words.of(item)
    place = [option.id for option in item.options].index(item.right)
    return Seen(said.question, tuple(said.options.values()), words.alternative(item), place)


def test_who_sees_no_picture_does_not_pass_the_harmful_part_of_a_try() -> None:
    """Its pairs either damage or mate, so that more than one of five verdicts is not to be told from them; who always
    says the commoner of the two loses every pair of the other kind."""
    found = attacked(seen_in_tries(600, 5))
    whole = plan(False)
    assert found.rate < 0.75, found
    for seed in range(40):
        rng = Random(seed)
        test = Trial(Terms(whole.facts, (*whole.strata, *whole.alike), twins=whole.twins))
        while (asked := test.ask(rng)) is not None:
            test.tell(asked, rng.random() < (found.rate if asked.part is Part.HARMFUL else 0.99))
        assert test.verdict is Decision.NOT_YET


@pytest.mark.parametrize("kind", items.KINDS)
def test_attackers_that_see_no_picture_are_right_by_chance_only(kind: str) -> None:
    found: Scored = attacked(seen(kind, ITEMS, 11))
    spread = 2.5 * (found.chance * (1 - found.chance) / found.items) ** 0.5
    assert found.rate <= found.chance + 0.05 + spread, found


def test_the_attacker_finds_what_is_to_be_found() -> None:
    leaky = [item._replace(options=(*item.options[:-1], "the odd one"), right=len(item.options) - 1)
             if place % 2 else item for place, item in enumerate(seen("name", 400, 3))]  # fmt: skip
    assert attacked(leaky).rate > 0.5


@pytest.mark.parametrize("site", [False, True])
@pytest.mark.parametrize("kind", items.KINDS)
def test_every_option_of_a_set_is_right_equally_often(kind: str, site: bool) -> None:
    """Exactly, from the shares: whatever stands beside each other, none of it is right more often."""
    whole = plan(site)
    by_set: dict[tuple[str, ...], dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for task, share in whole.shares[kind].items():
        if kind == "cable":
            by_set[tuple(sorted((task.a, task.b)))][f"{task.a} {task.among[0]}"] += share
        elif kind in ("mates", "look"):
            by_set[task.among][items.sort(whole.stock, task)] += share
        else:
            by_set[task.among][task.a] += share
    for members, exposures in by_set.items():
        assert max(exposures.values()) == pytest.approx(min(exposures.values()), rel=1e-6), members
        assert len(exposures) == (len(members) or 6) or kind == "cable"


def test_looks_never_take_the_centre_for_gender() -> None:
    stock = plan(False).stock
    for task in plan(False).shares["look"]:
        if items.sort(stock, task) == "centre":
            assert stock.half(task.a).gender == stock.half(task.b).gender, task


def test_neither_heading_nor_question_names_a_port() -> None:
    whole, rng = plan(False), Random(5)
    for task in islice((whole.draw(rng) for _ in range(10_000)), 300):
        item = items.make(whole.stock, task, rng)
        said = words.of(item)
        for half_id in (task.a, task.b):
            assert whole.stock.half(half_id).name not in said.question
            assert half_id not in f"{said.question} {words.alternative(item)}"
