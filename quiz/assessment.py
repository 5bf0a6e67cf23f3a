"""The assessment: two sequential tests over items drawn at random, paused and resumed by replaying the answers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from random import Random

import msgspec

from coaxtell.quiz import items
from coaxtell.quiz.blueprint import Blueprint, Part, draws, turns
from coaxtell.quiz.item import Item, Task
from coaxtell.quiz.log import Answered, Started
from coaxtell.quiz.readiness import CLAIM, chance_above
from coaxtell.quiz.sequential import Bar, Decision
from coaxtell.quiz.stock import Stock

BARS = {Part.ORDINARY: Bar(0.80, 0.95), Part.HARMFUL: Bar(0.85, 0.98)}
"""The two tests: from which rate a person is ready, and at which not yet."""


class Count(msgspec.Struct, frozen=True):
    """Right and wrong answers of one class."""

    right: int = 0
    wrong: int = 0

    def plus(self, correct: bool) -> Count:
        """The count with one more answer."""
        return Count(self.right + correct, self.wrong + (not correct))


class Result(msgspec.Struct, frozen=True):
    """Where an assessment stands: the verdict, each class's count and decision, and P(rate > 0.90) by class."""

    verdict: Decision
    counts: dict[Part, Count]
    decisions: dict[Part, Decision]
    above: dict[Part, float]

    @property
    def items(self) -> int:
        """Answers so far."""
        return sum(count.right + count.wrong for count in self.counts.values())


class Assessment:
    """Asks for the next task and is told the answers; nothing but the stop depends on what was answered.

    Asking twice gives the same task; telling gives a new assessment. All of it follows from blueprint, seed and the
    answers told, so that a log replays it.
    """

    def __init__(self, plan: Blueprint, seed: int) -> None:
        self.plan = plan
        self.seed = seed
        self.counts = dict.fromkeys(Part, Count())
        self.told = 0
        self._drawn = _Sequence(plan, seed)
        self._used = dict.fromkeys(Part, 0)
        self._turn = 0
        self._decisions = dict.fromkeys(Part, Decision.UNDECIDED)

    def decision(self, part: Part) -> Decision:
        """What the answers of one class allow to say."""
        return self._decisions[part]

    @property
    def verdict(self) -> Decision:
        """Ready where both classes are, not yet where one is not, else undecided so far."""
        found = list(self._decisions.values())
        if Decision.NOT_YET in found:
            return Decision.NOT_YET
        return Decision.READY if all(one is Decision.READY for one in found) else Decision.UNDECIDED

    def ask(self) -> tuple[Part, Task] | None:
        """The class and task of the next item; none once the verdict stands."""
        if self.verdict is not Decision.UNDECIDED:
            return None
        part = self._drawn.turn(self._turn_of_next())
        return part, self._drawn.task(part, self._used[part])

    def item(self, stock: Stock) -> Item | None:
        """The next item, its wording drawn by the seed and its place; none once the verdict stands."""
        asked = self.ask()
        if asked is None:
            return None
        return items.make(stock, asked[1], Random(f"{self.seed}/item/{self.told}"))

    def tell(self, correct: bool) -> Assessment:
        """The assessment after an answer to the item asked; raises ValueError where none was."""
        asked = self.ask()
        if asked is None:
            raise ValueError("the verdict stands; nothing is asked")
        part = asked[0]
        after = Assessment.__new__(Assessment)
        after.plan, after.seed, after._drawn = self.plan, self.seed, self._drawn
        count = self.counts[part].plus(correct)
        after.counts = {**self.counts, part: count}
        after._decisions = {**self._decisions, part: BARS[part].decide(count.right, count.wrong)}
        after.told = self.told + 1
        after._used = {**self._used, part: self._used[part] + 1}
        after._turn = self._turn_of_next() + 1
        return after

    def result(self) -> Result:
        """Where it stands."""
        return Result(
            verdict=self.verdict,
            counts=dict(self.counts),
            decisions={part: self.decision(part) for part in Part},
            above={part: chance_above(count.right, count.wrong, CLAIM) for part, count in self.counts.items()},
        )

    def _turn_of_next(self) -> int:
        """The next turn of a class that is still open."""
        turn = self._turn
        while self._decisions[self._drawn.turn(turn)] is not Decision.UNDECIDED:
            turn += 1
        return turn


class _Sequence:
    """The drawn tasks and turns, kept so that asking again does not draw again."""

    def __init__(self, plan: Blueprint, seed: int) -> None:
        self._sources: dict[Part, Iterator[Task]] = {part: draws(plan, part, seed) for part in Part}
        self._tasks: dict[Part, list[Task]] = {part: [] for part in Part}
        self._turn_source = turns(seed)
        self._turns: list[Part] = []

    def task(self, part: Part, place: int) -> Task:
        while len(self._tasks[part]) <= place:
            self._tasks[part].append(next(self._sources[part]))
        return self._tasks[part][place]

    def turn(self, place: int) -> Part:
        while len(self._turns) <= place:
            self._turns.append(next(self._turn_source))
        return self._turns[place]


def replayed(plan: Blueprint, start: Started, told: Iterable[Answered]) -> Assessment | None:
    """The assessment of a start after its answers; none where tables or program have changed since, so that the items
    are not the same."""
    if start.blueprint != plan.fingerprint:
        return None
    state = Assessment(plan, start.seed)
    for answer in sorted(told, key=lambda answer: answer.number):
        asked = state.ask()
        if asked is None or asked[1] != Task(answer.kind, answer.a, answer.b):
            return None
        state = state.tell(answer.correct)
    return state
