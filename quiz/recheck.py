"""The short re-check that extends a passed assessment: thirty items, and few of them wrong.

It has the same face as `trial.Trial`. One that is not passed takes nothing away: ready ends on its day, and the way on
is a whole assessment. How often it errs is worked out exactly.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random

from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.trial import Asks, Part, Terms

ITEMS, WRONG = 30, 2
"""Items of a re-check, and the most that may be wrong: twenty would pass one in five who are right in 0.80."""
HARMFUL = (0, 2)
"""Places among each five that go to a harmful fact: twelve of thirty."""


def facts_asked(facts: int) -> Iterator[int | None]:
    """For each item which harmful fact it is about, by its number in turn; none for an ordinary one."""
    turn = 0
    for place in range(ITEMS):
        if facts and place % 5 in HARMFUL:
            yield turn % facts
            turn += 1
        else:
            yield None


def passes(harmful: Sequence[float], ordinary: float) -> float:
    """The chance to pass of a person who is right with these chances about each harmful fact, and else with another."""
    by_wrong = [1.0, *[0.0] * WRONG]
    for fact in facts_asked(len(harmful)):
        right = ordinary if fact is None else harmful[fact]
        by_wrong = [
            chance * right + (by_wrong[wrong - 1] * (1 - right) if wrong else 0.0)
            for wrong, chance in enumerate(by_wrong)
        ]
    return sum(by_wrong)


def both(harmful: Sequence[float], ordinary: float) -> float:
    """The chance to pass both re-checks that may follow a whole assessment, right with the same chances in both."""
    return passes(harmful, ordinary) ** 2


class Recheck:
    """Asks what comes next and is told the answers; it is replayed from the answers alone."""

    def __init__(self, terms: Terms) -> None:
        self.terms = terms
        self.told = 0
        self.right = dict.fromkeys(Part, 0)
        self.wrong = dict.fromkeys(Part, 0)

    def ask(self, rng: Random) -> Asks | None:
        """What the next item is for, each fact in turn; none once the verdict stands."""
        if self.verdict is not Decision.UNDECIDED:
            return None
        fact = list(facts_asked(len(self.terms.facts)))[self.told]
        if fact is not None:
            return Asks(Part.HARMFUL, self.terms.facts[fact])
        return Asks(Part.ORDINARY, rng.choice(self.terms.strata))

    def tell(self, asked: Asks, correct: bool) -> None:
        """Count an answer."""
        self.told += 1
        self.right[asked.part] += correct
        self.wrong[asked.part] += not correct

    @property
    def verdict(self) -> Decision:
        """Ready after all items, not yet with too many wrong, else undecided so far."""
        if sum(self.wrong.values()) > WRONG:
            return Decision.NOT_YET
        return Decision.READY if self.told >= ITEMS else Decision.UNDECIDED

    @property
    def decisions(self) -> dict[Part, Decision]:
        """The verdict for either part: a re-check has one count."""
        return dict.fromkeys(Part, self.verdict)

    @property
    def lost(self) -> list[str]:
        """Nothing is asked harder for it."""
        return []
