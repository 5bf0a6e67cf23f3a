"""What the log says of people: skills held and due, assessments and their verdicts, what is taken for what."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import datetime
from enum import StrEnum

import msgspec

from coaxtell.quiz import items, tries
from coaxtell.quiz.kind import Offers
from coaxtell.quiz.log import Event, answers, as_of, in_order
from coaxtell.quiz.rates import interval
from coaxtell.quiz.schedule import replayed
from coaxtell.quiz.skills import PAIR, Skill
from coaxtell.quiz.tries import Try

RECENT = 40
"""The latest answers of a skill by which it is judged: older ones tell of another person."""

FEW = 8
"""Answers to a skill below which nothing is said of it."""

SITS = 0.80
"""Chance to be right in the latest answers from which a skill counts as sitting, with its interval above one half."""


class Standing(StrEnum):
    """How a skill stands."""

    UNSEEN = "unseen"
    FEW = "few"
    NOT_YET = "not-yet"
    DUE = "due"
    SITS = "sits"


class SkillState(msgspec.Struct, frozen=True):
    """One skill of one person: latest answers, their rate's interval, recall now, when it is due."""

    skill: Skill
    right: int
    wrong: int
    low: float
    high: float
    recall: float | None
    due: datetime | None

    @property
    def rate(self) -> float | None:
        """Share of right answers; none where there is no answer."""
        total = self.right + self.wrong
        return self.right / total if total else None

    def standing(self, now: datetime) -> Standing:
        """How the skill stands."""
        if self.rate is None:
            return Standing.UNSEEN
        if self.right + self.wrong < FEW:
            return Standing.FEW
        if self.rate < SITS or self.low < 0.5:
            return Standing.NOT_YET
        return Standing.DUE if self.due is not None and self.due <= now else Standing.SITS


class PersonState(msgspec.Struct, frozen=True):
    """One person: answers, honesty of the stated chances, skills, confused pairs that are due, assessments."""

    name: str
    answers: int
    right: int
    points: float
    stated: float
    skills: list[SkillState]
    pairs_due: list[str]
    tries: list[Try]

    def ready_until(self, now: datetime) -> Try | None:
        """The passed assessment that holds longest, if one still holds; a later try that is unfinished takes nothing
        away, one that was lost does."""
        return tries.holding(self.tries, now)


class Confusion(msgspec.Struct, frozen=True):
    """How often one thing was taken for another."""

    right: str
    taken_for: str
    times: int


def person(name: str, events: Sequence[Event], now: datetime) -> PersonState:
    """The state of one person from their events, in order of replay."""
    own = in_order(events)
    events = as_of(own, now)
    given = answers(events)
    cards = {one.name: one for one in replayed(given).held(now)}
    skills = []
    for skill in Skill:
        latest = [answer.correct for answer in given if skill in answer.skills][-RECENT:]
        right, wrong = sum(latest), len(latest) - sum(latest)
        low, high = interval(right, wrong)
        card = cards.get(skill.value)
        skills.append(
            SkillState(
                skill=skill,
                right=right,
                wrong=wrong,
                low=low,
                high=high,
                recall=None if card is None else card.recall,
                due=None if card is None else card.due,
            )
        )
    due = [one.name.removeprefix(PAIR) for one in cards.values() if one.name.startswith(PAIR) and one.due <= now]
    return PersonState(
        name=name,
        answers=len(given),
        right=sum(answer.correct for answer in given),
        points=sum(answer.points for answer in given),
        stated=sum(answer.sure for answer in given) / len(given) if given else 0.0,
        skills=skills,
        pairs_due=due,
        tries=tries.of(own),
    )


def team(events: Sequence[Event], now: datetime) -> list[PersonState]:
    """The state of everyone in the record, by name."""
    by_person: dict[str, list[Event]] = {}
    for event in events:
        by_person.setdefault(event.person.casefold(), []).append(event)
    return [person(by_person[name][0].person, by_person[name], now) for name in sorted(by_person)]


def confusions(events: Sequence[Event], known: Callable[[str], bool]) -> list[Confusion]:
    """Which half is taken for which, the most often first; `known` tells which option is a half."""
    counted: Counter[tuple[str, str]] = Counter()
    for answer in answers(events):
        halves = items.offers(answer.kind) is Offers.HALVES and known(answer.right) and known(answer.chosen)
        if halves and not answer.correct:
            counted[answer.right, answer.chosen] += 1
    return [
        Confusion(right, chosen, times)
        for (right, chosen), times in sorted(counted.items(), key=lambda entry: (-entry[1], entry[0]))
    ]


def wrong_verdicts(events: Sequence[Event]) -> list[Confusion]:
    """Which verdict is taken for which in *will they mate*, the most often first."""
    counted = Counter(
        (answer.right, answer.chosen)
        for answer in answers(events)
        if items.offers(answer.kind) is Offers.VERDICTS and not answer.correct
    )
    return [
        Confusion(right, chosen, times)
        for (right, chosen), times in sorted(counted.items(), key=lambda entry: (-entry[1], entry[0]))
    ]
