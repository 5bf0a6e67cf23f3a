"""When a skill or a confused pair is due again: one review card each, replayed from the answers.

The cards are those of the `fsrs` library with its default parameters and no random spread; time is an argument.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from coaxtell.quiz import items
from coaxtell.quiz.log import Answered, in_order
from coaxtell.quiz.skills import PAIR

if TYPE_CHECKING:
    from fsrs import Card, Rating, Scheduler

DAY = 86400.0
SURE = 0.70
"""A right answer below this counts as hard."""


def card_id(name: str) -> int:
    """A card's id, the same on every machine."""
    return int.from_bytes(hashlib.sha256(name.encode()).digest()[:6])


class Held(msgspec.Struct, frozen=True):
    """What is known of one skill or pair: when it is due, how well it is held now, right and wrong answers."""

    name: str
    due: datetime
    recall: float
    right: int
    wrong: int
    last_wrong: bool


class Fact(NamedTuple):
    """A fact that was answered right: since when, and the longest time [d] over which it was right again."""

    since: datetime
    over: float = 0.0


class Schedule:
    """The cards after some answers; telling one more gives a new schedule."""

    def __init__(self) -> None:
        self._cards: dict[str, Card] = {}
        self._counts: dict[str, tuple[int, int, bool]] = {}
        self._facts: dict[str, Fact | datetime] = {}

    def tell(self, answer: Answered) -> Schedule:
        """The schedule after an answer: its skills are reviewed, and its pair where it was ever confused."""
        after = Schedule()
        after._cards, after._counts = dict(self._cards), dict(self._counts)
        after._facts = dict(self._facts)
        scheduler = _scheduler()
        names = [skill.value for skill in answer.skills]
        pair = PAIR + answer.pair
        # the two ports that a cable joins are no pair that anyone confuses
        if items.confuses(answer.kind) and (pair in self._cards or not answer.correct):
            names.append(pair)
        for name in names:
            card = after._cards.get(name) or _new_card(name, answer.time)
            after._cards[name], _ = scheduler.review_card(card, rating(answer), answer.time)
            right, wrong, _ = after._counts.get(name, (0, 0, False))
            after._counts[name] = (right + answer.correct, wrong + (not answer.correct), not answer.correct)
        if answer.cell:
            after._facts[answer.cell] = self._met(answer)
        return after

    def held(self, now: datetime) -> list[Held]:
        """Every card with its state at `now`, those least well held first."""
        scheduler = _scheduler()
        found = [
            Held(name, card.due, scheduler.get_card_retrievability(card, now), *self._counts[name])
            for name, card in self._cards.items()
        ]
        return sorted(found, key=lambda one: (one.recall, one.due, one.name))

    def fact(self, cell: str) -> Fact | None:
        """A fact whose last answer was right; none where it was wrong or never given."""
        held = self._facts.get(cell)
        return held if isinstance(held, Fact) else None

    def _met(self, answer: Answered) -> Fact | datetime:
        """A fact after an answer; of one that was wrong only when."""
        before = self._facts.get(answer.cell)
        if not answer.correct:
            return answer.time
        if before is None:
            return Fact(answer.time)
        since, over = before if isinstance(before, Fact) else (before, 0.0)
        return Fact(answer.time, max(over, (answer.time - since).total_seconds() / DAY))

    def due(self, now: datetime) -> list[Held]:
        """The cards that are due at `now`, the least well held first."""
        return [one for one in self.held(now) if one.due <= now]


def rating(answer: Answered) -> Rating:
    """Wrong is again, right but unsure is hard, right is good."""
    from fsrs import Rating

    if not answer.correct:
        return Rating.Again
    return Rating.Hard if answer.sure < SURE else Rating.Good


def replayed(answers: Iterable[Answered]) -> Schedule:
    """The schedule after all those answers, in their order of time."""
    state = Schedule()
    for answer in in_order(answers):
        assert isinstance(answer, Answered)
        state = state.tell(answer)
    return state


def _new_card(name: str, time: datetime) -> Card:
    from fsrs import Card

    return Card(card_id=card_id(name), due=time)


@cache
def _scheduler() -> Scheduler:
    from fsrs import Scheduler

    return Scheduler(enable_fuzzing=False)
