"""The rules of an assessment, without items: which fact or stratum comes next, and what the answers allow to say.

Two parts. The harmful part is a census: every fact (a pair that damages a contact) is asked until its last answers are
right in a row, and so is every twin (either half of a fact with its own mate, which harms nothing), so that saying
"damages" to everything fails, and so does saying it wherever one half is not told from its look-alike. The ordinary
part has strata, each with a run of right answers. Over either part runs Wald's sequential test of its rate. Both parts
have to pass.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from random import Random
from typing import NamedTuple

from coaxtell.quiz.sequential import Bar, Decision


class Part(StrEnum):
    """The two parts of an assessment."""

    ORDINARY = "ordinary"
    HARMFUL = "harmful"


class Asks(NamedTuple):
    """What an item of an assessment is for: a fact, a foil that harms nothing (a twin, or any look-alike of a fact that
    has none), or a stratum."""

    part: Part
    name: str
    foil: bool = False

    def __str__(self) -> str:
        return f"{'foil' if self.foil else self.part.value}:{self.name}"

    @classmethod
    def read(cls, text: str) -> Asks:
        """What a text in the record stands for; raises ValueError where it is none."""
        what, _, name = text.partition(":")
        return cls(Part.HARMFUL, name, True) if what == "foil" else cls(Part(what), name)


RATES = {Part.ORDINARY: (0.80, 0.95), Part.HARMFUL: (0.80, 0.98)}
"""From which rate a person is ready in each part, and at which not yet."""
FIRST_PASS, LATER_PASS = 0.005, 0.001
"""Chance with which the test of a rate passes someone at the lower rate: at the first try, and at each later one."""
FALSE_FAIL = 0.01
"""Chance with which the test of a rate fails someone at the upper rate."""
CAP, CAP_WITHOUT_TWINS = 240, 200
"""Items after which an assessment ends undecided, which is not yet; where there are no twins."""
FACT_RUN, FACT_RUN_GROWS, FACT_RUN_MOST = 4, 2, 10
"""Right answers in a row that a fact needs, how many more for each earlier try in which it was lost, and the most: what
is guessed gets less likely with each try, and what was learnt since is not refused."""
MANY, FACT_RUN_MANY = 6, 5
"""From so many facts on each needs one more, since of many one is more easily passed by luck; so it does beside twins,
among whose right answers a fact that is half known weighs less in the rate."""
LOST_AT_ONCE, LOST_OF, LOST_WRONG = 2, 6, 3
"""A fact is lost when its first answers are wrong, or so many among its latest."""
TWIN_RUN = 3
"""Right answers in a row that a twin needs, and one more for each earlier try in which it was lost, up to the most of a
fact: who takes it for its fact is wrong in most of them."""
STRATUM_RUN, STRATUM_RUN_AGAIN = 3, 4
"""Right answers in a row that a stratum needs, and after it was lost in an earlier try."""
STRATUM_MOST, STRATUM_LOST = 10, 4
"""A stratum is lost when its run has not come within so many answers, or its first ones are all wrong."""
FOIL = 0.33
"""Share of the items of the harmful part that are look-alikes without harm, where there is no twin."""
STILL_OPEN = 0.75
"""Share of the items of a part that go to what has not passed yet, the rest to all of it."""


class Terms(NamedTuple):
    """What one try asks: its facts and strata, which of them are asked harder (a name for each try that lost it), and
    which try it is."""

    facts: tuple[str, ...]
    strata: tuple[str, ...]
    harder: tuple[str, ...] = ()
    number: int = 1
    twins: tuple[str, ...] = ()
    """None in tries that were begun before there were any."""

    @property
    def cap(self) -> int:
        """Items after which the try ends undecided."""
        return CAP if self.twins else CAP_WITHOUT_TWINS

    def bar(self, part: Part) -> Bar:
        """The sequential test of a part's rate."""
        return Bar(*RATES[part], FIRST_PASS if self.number == 1 else LATER_PASS, FALSE_FAIL)

    def run(self, part: Part, name: str) -> int:
        """Right answers in a row that a fact or stratum needs."""
        lost = self.harder.count(name)
        if part is Part.ORDINARY:
            return STRATUM_RUN_AGAIN if lost else STRATUM_RUN
        if name in self.twins:
            return min(FACT_RUN_MOST, TWIN_RUN + lost)
        if lost:
            return min(FACT_RUN_MOST, FACT_RUN + FACT_RUN_GROWS * lost)
        return FACT_RUN_MANY if self.twins or len(self.facts) >= MANY else FACT_RUN


class Trial:
    """One try: asks what comes next and is told the answers. It is replayed from the answers alone."""

    def __init__(self, terms: Terms) -> None:
        self.terms = terms
        self.told = 0
        self.right = dict.fromkeys(Part, 0)
        self.wrong = dict.fromkeys(Part, 0)
        self._bars = {part: terms.bar(part) for part in Part}
        names = {Part.HARMFUL: (*terms.facts, *terms.twins), Part.ORDINARY: terms.strata}
        self._answers: dict[Part, dict[str, list[bool]]] = {part: {name: [] for name in names[part]} for part in Part}
        self.states: dict[Part, dict[str, Decision]] = {
            part: dict.fromkeys(names[part], Decision.UNDECIDED) for part in Part
        }
        self.decisions = {part: self._decision(part) for part in Part}

    def ask(self, rng: Random) -> Asks | None:
        """What the next item is for; none once the verdict stands."""
        if self.verdict is not Decision.UNDECIDED:
            return None
        open_parts = [part for part in Part if self.decisions[part] is Decision.UNDECIDED]
        part = rng.choice(open_parts)
        states = self.states[part]
        left = [name for name, state in states.items() if state is Decision.UNDECIDED]
        names = left if left and rng.random() < STILL_OPEN else list(states)
        if part is Part.ORDINARY:
            return Asks(part, rng.choice(names))
        twins = self.terms.twins
        if not twins and rng.random() < FOIL:
            return Asks(part, rng.choice(names), True)
        given = self._answers[part]
        fewest = min(len(given[name]) for name in names)
        name = rng.choice([name for name in names if len(given[name]) == fewest])
        return Asks(part, name, name in twins)

    def tell(self, asked: Asks, correct: bool) -> None:
        """Count an answer."""
        part = asked.part
        self.told += 1
        self.right[part] += correct
        self.wrong[part] += not correct
        given = self._answers[part].get(asked.name)
        if given is not None and asked.foil == (asked.name in self.terms.twins):
            given.append(correct)
            if self.states[part][asked.name] is not Decision.NOT_YET:
                self.states[part][asked.name] = self._state(part, asked.name, given)
        if self.decisions[part] is Decision.UNDECIDED:
            self.decisions[part] = self._decision(part)

    @property
    def verdict(self) -> Decision:
        """Ready where both parts are, not yet where one is not or the cap is reached, else undecided so far."""
        found = self.decisions.values()
        if Decision.NOT_YET in found:
            return Decision.NOT_YET
        if all(one is Decision.READY for one in found):
            return Decision.READY
        return Decision.NOT_YET if self.told >= self.terms.cap else Decision.UNDECIDED

    @property
    def lost(self) -> list[str]:
        """The facts, twins and strata that were lost, to be asked harder next time."""
        return [name for states in self.states.values() for name, state in states.items() if state is Decision.NOT_YET]

    def _state(self, part: Part, name: str, given: Sequence[bool]) -> Decision:
        run = self.terms.run(part, name)
        reached = len(given) >= run and all(given[-run:])
        if part is Part.HARMFUL:
            if len(given) == LOST_AT_ONCE and not any(given):
                return Decision.NOT_YET
            if given[-LOST_OF:].count(False) >= LOST_WRONG:
                return Decision.NOT_YET
            return Decision.READY if reached else Decision.UNDECIDED
        if reached or self.states[part][name] is Decision.READY:
            return Decision.READY
        at_once = len(given) == STRATUM_LOST and not any(given)
        return Decision.NOT_YET if at_once or len(given) >= STRATUM_MOST else Decision.UNDECIDED

    def _decision(self, part: Part) -> Decision:
        states = self.states[part].values()
        if part is Part.HARMFUL and not states:
            return Decision.READY  # no pair of these ports harms, so that part asks nothing
        rate = self._bars[part].decide(self.right[part], self.wrong[part])
        if Decision.NOT_YET in states or rate is Decision.NOT_YET:
            return Decision.NOT_YET
        passed = rate is Decision.READY and all(state is Decision.READY for state in states)
        return Decision.READY if passed else Decision.UNDECIDED
