"""The assessment: its rules over real items, replayed from the answers, and what it came to."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from random import Random

import msgspec

from coaxtell.quiz import items
from coaxtell.quiz.blueprint import APART, Blueprint
from coaxtell.quiz.item import Item, Task
from coaxtell.quiz.log import Answered, Started, Stated, in_order
from coaxtell.quiz.recheck import Recheck
from coaxtell.quiz.sequential import Bar, Decision
from coaxtell.quiz.trial import Asks, Part, Terms, Trial

UNTIL_DAYS = 14
"""Days for which a person is ready after a passed assessment (assumed: the longest of 14, 21 and 30 at which no model
of a learner without practice was below the bar on more than 10 % of them, see `benchmarks/expiry.py`)."""

OLD_BARS = {Part.ORDINARY: Bar(0.80, 0.95), Part.HARMFUL: Bar(0.85, 0.98)}
"""The two tests by which assessments of 0.1.0 were judged."""


class Count(msgspec.Struct, frozen=True):
    """Right and wrong answers of one part."""

    right: int = 0
    wrong: int = 0


class Result(msgspec.Struct, frozen=True):
    """Where an assessment stands: the verdict, each part's count and decision, what was lost."""

    verdict: Decision
    counts: dict[Part, Count]
    decisions: dict[Part, Decision]
    lost: list[str] = []

    @property
    def items(self) -> int:
        """Answers so far."""
        return sum(count.right + count.wrong for count in self.counts.values())


class Assessment:
    """Asks for the next item and is told the answers.

    What an item is depends on the try, its number in it, a secret that stands in no record, so that nobody reads the
    items off the record, and chance that is drawn when it is asked, so that nobody plays them beforehand in a copy;
    what the next item is for depends on the answers as the rules say.
    """

    def __init__(
        self,
        plan: Blueprint,
        start: Started,
        secret: bytes,
        answers: Iterable[Answered] = (),
        draw: Callable[[int], str] = lambda told: "",
    ) -> None:
        """`answers` are those given in this try so far, in whatever order; `draw` gives the chance for the item after
        so many, the same until it is answered."""
        assert start.terms is not None
        self.plan, self._start, self._secret, self._draw = plan, start, secret, draw
        self._trial = rules_of(start.terms)
        self._last: list[str] = []
        self._asked: tuple[Asks, Task, Item] | None = None
        for answer in in_order(answers):
            assert isinstance(answer, Answered)
            asked = purpose(answer)
            if asked is not None:
                self._tell(asked, Task(answer.kind, answer.a, answer.b), answer.correct)

    @property
    def told(self) -> int:
        """Answers so far."""
        return self._trial.told

    @property
    def verdict(self) -> Decision:
        """What the answers allow to say."""
        return self._trial.verdict

    def ask(self) -> tuple[Asks, Task, Item] | None:
        """What the next item is for, its task and itself, the same each time; none once the verdict stands."""
        if self._asked is None and self.verdict is Decision.UNDECIDED:
            text = f"{self._start.id}/{self.told}/{self._draw(self.told)}".encode()
            rng = Random(hashlib.blake2b(text, key=self._secret[:64]).digest())
            asked = self._trial.ask(rng)
            if asked is not None:
                task = self.plan.task_for(asked, rng, self._last)
                self._asked = asked, task, items.make(self.plan.stock, task, rng)
        return self._asked

    def tell(self, correct: bool) -> None:
        """Count the answer to the item asked; raises ValueError where none was."""
        asked = self.ask()
        if asked is None:
            raise ValueError("the verdict stands; nothing is asked")
        self._tell(asked[0], asked[1], correct)

    def _tell(self, asked: Asks, task: Task, correct: bool) -> None:
        self._trial.tell(asked, correct)
        self._last = [*self._last, task.key][-APART:]
        self._asked = None

    def result(self) -> Result:
        """Where it stands."""
        return result_of(self._trial)


def purpose(answer: Answered) -> Asks | None:
    """What an answer of an assessment was for; none where it says nothing that an assessment asks."""
    try:
        return Asks.read(answer.asks)
    except ValueError:
        return None


def terms_of(stated: Stated) -> Terms:
    """The terms of a try from its start."""
    return Terms(tuple(stated.facts), tuple(stated.strata), tuple(stated.harder), stated.number, tuple(stated.twins))


def rules_of(stated: Stated) -> Trial | Recheck:
    """The rules of a try, before its first answer."""
    return Recheck(terms_of(stated)) if stated.recheck else Trial(terms_of(stated))


def result_of(trial: Trial | Recheck) -> Result:
    """Where a trial stands."""
    return Result(
        verdict=trial.verdict,
        counts={part: Count(trial.right[part], trial.wrong[part]) for part in Part},
        decisions=dict(trial.decisions),
        lost=trial.lost,
    )


def judged(start: Started, told: Iterable[Answered]) -> Result:
    """What the answers of a try came to, by the rules under which it was begun; one that says not what it was for, as
    none of this program does, counts for neither part."""
    given = [answer for answer in in_order(told) if isinstance(answer, Answered)]
    if start.terms is None:
        return _judged_of_old(given)
    trial = rules_of(start.terms)
    for answer in given:
        asked = purpose(answer)
        if asked is not None and trial.verdict is Decision.UNDECIDED:
            trial.tell(asked, answer.correct)
    return result_of(trial)


def _judged_of_old(given: Sequence[Answered]) -> Result:
    counts = {
        part: Count(sum(one.correct for one in of_part), sum(not one.correct for one in of_part))
        for part in Part
        for of_part in [[one for one in given if one.harmful is (part is Part.HARMFUL)]]
    }
    decisions = {part: OLD_BARS[part].decide(count.right, count.wrong) for part, count in counts.items()}
    if Decision.NOT_YET in decisions.values():
        verdict = Decision.NOT_YET
    elif all(one is Decision.READY for one in decisions.values()):
        verdict = Decision.READY
    else:
        verdict = Decision.UNDECIDED
    return Result(verdict, counts, decisions)


def until(passed: datetime) -> datetime:
    """Until when a person is ready who passed at that time."""
    return passed + timedelta(days=UNTIL_DAYS)
