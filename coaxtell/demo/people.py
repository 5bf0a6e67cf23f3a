"""Three invented people at the depot: what they answered, item by item, through the quiz's own sittings.

How often each is right is invented; which items they met, what was right, the schedule and the verdict are the quiz's.
"""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from random import Random
from typing import NamedTuple

from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Event
from coaxtell.quiz.score import nearest_step
from coaxtell.quiz.sitting import Assessing, Outside, Practising, Sitting

BETWEEN = timedelta(seconds=35)
"""From one answer to the next."""
ITEMS = 10
"""Items of a day's practice."""


class Learner(NamedTuple):
    """Somebody invented: the days ago on which they practised, how often right at first and at last, and the test."""

    name: str
    days: tuple[int, ...]
    first: float
    last: float
    assessed: bool = False


PEOPLE = (
    Learner("Ines (invented)", tuple(range(13, 1, -1)), 0.75, 0.995, assessed=True),
    Learner("Tobin (invented)", (12, 11, 9, 6, 4, 3), 0.6, 0.85),
    Learner("Wanda (invented)", (9, 2), 0.5, 0.6),
)


def answered(learner: Learner, plan: Blueprint, site: str, now: datetime, rng: Random) -> list[Event]:
    """Everything that one of them did until now, a day's practice after another, then the assessment on the day before.

    The same seed and time give the same events.
    """
    events: list[Event] = []
    for number, ago in enumerate(learner.days):
        share = number / max(len(learner.days) - 1, 1)
        right = learner.first + share * (learner.last - learner.first)
        outside = _outside(learner, events, now - timedelta(days=ago), rng)
        sitting = Practising(plan, list(events), outside)
        for _ in range(ITEMS):
            _answer(sitting, right, rng)
    if learner.assessed:
        test = Assessing(plan, site, list(events), _outside(learner, events, now - timedelta(days=1), rng))
        test.begin()
        while test.item() is not None:
            _answer(test, learner.last, rng)
    return events


def _outside(learner: Learner, events: list[Event], begun: datetime, rng: Random) -> Outside:
    told = 0

    def now() -> datetime:
        nonlocal told
        told += 1
        return begun + told * BETWEEN

    return Outside(
        person=learner.name,
        keep=events.append,
        now=now,
        new_id=lambda: str(uuid.UUID(int=rng.getrandbits(128), version=4)),
        rng=rng,
        secret=rng.randbytes(32),
    )


def _answer(sitting: Sitting, right: float, rng: Random) -> None:
    """Answer the item asked, right so often, and say so much of how sure one is."""
    item = sitting.item()
    assert item is not None
    others = [option.id for option in item.options if option.id != item.right]
    chosen = item.right if rng.random() < right else rng.choice(others)
    sitting.answer(chosen, nearest_step(right, len(item.options)))
