"""The short re-check that extends a passed assessment: twenty items, and few of them wrong.

It has the same face as `trial.Trial`. One that is not passed takes nothing away: ready ends on its day.
"""

from __future__ import annotations

from random import Random

from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.trial import Asks, Part, Terms

ITEMS, WRONG = 20, 2
"""Items of a re-check, and the most that may be wrong."""
HARMFUL = (0, 2)
"""Places among each five that go to a harmful fact: eight of twenty."""


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
        if self.terms.facts and self.told % 5 in HARMFUL:
            turn = 2 * (self.told // 5) + HARMFUL.index(self.told % 5)
            return Asks(Part.HARMFUL, self.terms.facts[turn % len(self.terms.facts)])
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
