"""The rules of an assessment, played by many at once: `coaxtell.quiz.trial` in arrays, a row a person.

A test replays what it played through the rules themselves (`tests/quiz/test_assessment.py`).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from coaxtell.quiz import trial
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.trial import Asks, Part, Terms

OPEN, READY, LOST = 0, 1, 2
CODES = {Decision.UNDECIDED: OPEN, Decision.READY: READY, Decision.NOT_YET: LOST}
HARMFUL, ORDINARY = 0, 1
"""Numbers of the parts."""
WRONG = np.array([pattern.bit_count() for pattern in range(1 << trial.LOST_OF)])
"""How many of the latest answers about a fact are wrong, by their pattern: a bit each."""

Many = npt.NDArray[np.intp]
Marks = npt.NDArray[np.bool_]


class Told(NamedTuple):
    """One item of each who still sits: who, which name, whether right."""

    who: Many
    name: Many
    right: Marks


class Outcome(NamedTuple):
    """What one try came to, a row a person: ready, items, and whether each name was lost."""

    ready: Marks
    items: Many
    lost: Marks


def play(
    terms: Terms,
    lost: Many,
    chance: Callable[[Asks], float],
    rng: np.random.Generator,
    told: list[Told] | None = None,
) -> Outcome:
    """One try of everyone; `lost` says how often each (row) has lost each name (facts, twins, then strata) before.

    `told` gets every item, where it is given.
    """
    people, names = lost.shape
    harmful = np.arange(names) < len(terms.facts) + len(terms.twins)
    of_part = np.stack([harmful, ~harmful])
    asked = asked_of(terms)
    chances = np.array([chance(one) for one in asked])
    runs = _runs(terms, lost, asked)
    rates = np.stack([_rates(terms, Part.HARMFUL), _rates(terms, Part.ORDINARY)])

    assert terms.twins or not terms.facts, "a fact without a twin has foils, which are not played here"

    given, row, rights, latest, state = (np.zeros((people, names), np.intp) for _ in range(5))
    count = np.zeros((people, 2, 2), np.intp)  # part, then wrong and right
    decision = np.where(of_part.any(axis=1), OPEN, READY) * np.ones((people, 1), np.intp)
    items, ready = np.zeros(people, np.intp), np.zeros(people, np.bool_)
    who = np.arange(people)
    while len(who):
        part = rng.integers(2, size=len(who))
        part = np.where(decision[who, part] == OPEN, part, 1 - part)
        among = of_part[part]
        left = among & (state[who] == OPEN)
        narrowed = left.any(axis=1) & (rng.random(len(who)) < trial.STILL_OPEN)
        among = np.where(narrowed[:, None], left, among)
        met = np.where(among, given[who], trial.CAP + 1)
        in_turn = part == HARMFUL
        among &= ~in_turn[:, None] | (met == met.min(axis=1)[:, None])
        name = np.where(among, rng.random(among.shape), -1.0).argmax(axis=1)
        right = rng.random(len(who)) < chances[name]
        if told is not None:
            told.append(Told(who, name, right))

        items[who] += 1
        count[who, part, right.astype(np.intp)] += 1
        given[who, name] += 1
        rights[who, name] += right
        row[who, name] = np.where(right, row[who, name] + 1, 0)
        latest[who, name] = (2 * latest[who, name] + ~right) % len(WRONG)
        state[who, name] = _states(
            harmful[name], state[who, name], given[who, name], rights[who, name], latest[who, name],
            row[who, name] >= runs[who, name],
        )  # fmt: skip

        rate = rates[part, count[who, part, 1], count[who, part, 0]]
        own = np.where(of_part[part], state[who], READY)
        passed = (rate == READY) & (own == READY).all(axis=1)
        decision[who, part] = np.where((rate == LOST) | (own == LOST).any(axis=1), LOST, np.where(passed, READY, OPEN))
        ready[who] = (decision[who] == READY).all(axis=1)
        who = who[~ready[who] & ~(decision[who] == LOST).any(axis=1) & (items[who] < terms.cap)]
    return Outcome(ready, items, state == LOST)


def asked_of(terms: Terms) -> list[Asks]:
    """What the items of a try are for, in the order of the names: facts, twins, strata."""
    return [
        *(Asks(Part.HARMFUL, name) for name in terms.facts), *(Asks(Part.HARMFUL, name, True) for name in terms.twins),
        *(Asks(Part.ORDINARY, name) for name in terms.strata),
    ]  # fmt: skip


def _runs(terms: Terms, lost: Many, asked: list[Asks]) -> Many:
    """The run that each person needs in each name."""
    times = range(int(lost.max(initial=0)) + 1)
    table = np.array([[terms._replace(harder=(one.name,) * n).run(one.part, one.name) for one in asked] for n in times])
    return np.asarray(np.take_along_axis(table, lost, axis=0), np.intp)


def _rates(terms: Terms, part: Part) -> Many:
    """What the test of a part's rate says, by right and wrong answers."""
    bar, most = terms.bar(part), trial.CAP + 1
    return np.array([[CODES[bar.decide(right, wrong)] for wrong in range(most)] for right in range(most)], np.intp)


def _states(harmful: Marks, state: Many, given: Many, rights: Many, latest: Many, reached: Marks) -> Many:
    """What becomes of names after an answer each."""
    none_right = rights == 0
    gone = np.where(
        harmful,
        (none_right & (given == trial.LOST_AT_ONCE)) | (WRONG[latest] >= trial.LOST_WRONG),
        ~reached & (state != READY) & ((none_right & (given == trial.STRATUM_LOST)) | (given >= trial.STRATUM_MOST)),
    )
    passed = reached | (~harmful & (state == READY))
    return np.where(gone | (state == LOST), LOST, np.where(passed, READY, OPEN))
