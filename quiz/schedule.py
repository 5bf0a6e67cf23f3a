"""When a skill or a confused pair is due again: one review card each, replayed from the answers.

The cards are those of the `fsrs` library with its default parameters and no random spread; time is an argument.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING

import msgspec

from coaxtell.quiz import items
from coaxtell.quiz.log import Answered, in_order
from coaxtell.quiz.skills import PAIR

if TYPE_CHECKING:
    from fsrs import Card, Rating, Scheduler

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


class Schedule:
    """The cards after some answers; telling one more gives a new schedule."""

    def __init__(self) -> None:
        self._cards: dict[str, Card] = {}
        self._counts: dict[str, tuple[int, int, bool]] = {}
        self._facts: dict[str, Card] = {}
        self._rows: dict[str, int] = {}

    def tell(self, answer: Answered) -> Schedule:
        """The schedule after an answer: its skills are reviewed, and its pair where it was ever confused."""
        after = Schedule()
        after._cards, after._counts = dict(self._cards), dict(self._counts)
        after._facts, after._rows = dict(self._facts), dict(self._rows)
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
            card = after._facts.get(answer.cell) or _new_card(answer.cell, answer.time)
            after._facts[answer.cell], _ = scheduler.review_card(card, rating(answer), answer.time)
            after._rows[answer.cell] = after._rows.get(answer.cell, 0) + 1 if answer.correct else 0
        return after

    def held(self, now: datetime) -> list[Held]:
        """Every card with its state at `now`, those least well held first."""
        scheduler = _scheduler()
        found = [
            Held(name, card.due, scheduler.get_card_retrievability(card, now), *self._counts[name])
            for name, card in self._cards.items()
        ]
        return sorted(found, key=lambda one: (one.recall, one.due, one.name))

    def in_a_row(self, cell: str) -> int:
        """Right answers in a row to one fact, up to now."""
        return self._rows.get(cell, 0)

    def recall(self, cell: str, now: datetime) -> float:
        """The chance that a fact is still held at `now`; 0 where it was never asked."""
        card = self._facts.get(cell)
        return 0.0 if card is None else _scheduler().get_card_retrievability(card, now)

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
