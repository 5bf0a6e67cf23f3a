"""The rules of an assessment, played by many people at once: `coaxtell.quiz.trial` in arrays, a row a person.

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
    """One item of each who still sits: who, which name, whether a look-alike, whether right."""

    who: Many
    name: Many
    foil: Marks
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
    """One try of everyone; `lost` says how often each (row) has lost each name (facts, then strata) before.

    `told` gets every item, where it is given.
    """
    people, names = lost.shape
    facts = len(terms.facts)
    harmful = np.arange(names) < facts
    of_part = np.stack([harmful, ~harmful])
    asked = [*(Asks(Part.HARMFUL, name) for name in terms.facts), *(Asks(Part.ORDINARY, name) for name in terms.strata)]
    chances = np.array([[chance(one._replace(foil=foil)) for one in asked] for foil in (False, True)])
    runs = _runs(terms, lost, asked)
    rates = np.stack([_rates(terms, Part.HARMFUL), _rates(terms, Part.ORDINARY)])

    given, row, rights, latest, state = (np.zeros((people, names), np.intp) for _ in range(5))
    count = np.zeros((people, 2, 2), np.intp)  # part, then wrong and right
    decision = np.zeros((people, 2), np.intp)
    items, ready = np.zeros(people, np.intp), np.zeros(people, np.bool_)
    who = np.arange(people)
    while len(who):
        part = rng.integers(2, size=len(who))
        part = np.where(decision[who, part] == OPEN, part, 1 - part)
        among = of_part[part]
        left = among & (state[who] == OPEN)
        narrowed = left.any(axis=1) & (rng.random(len(who)) < trial.STILL_OPEN)
        among = np.where(narrowed[:, None], left, among)
        foil = (part == HARMFUL) & (rng.random(len(who)) < trial.FOIL)
        met = np.where(among, given[who], trial.CAP + 1)
        in_turn = (part == HARMFUL) & ~foil
        among &= ~in_turn[:, None] | (met == met.min(axis=1)[:, None])
        name = np.where(among, rng.random(among.shape), -1.0).argmax(axis=1)
        right = rng.random(len(who)) < chances[foil.astype(np.intp), name]
        if told is not None:
            told.append(Told(who, name, foil, right))

        items[who] += 1
        count[who, part, right.astype(np.intp)] += 1
        at, about, good = who[~foil], name[~foil], right[~foil]
        given[at, about] += 1
        rights[at, about] += good
        row[at, about] = np.where(good, row[at, about] + 1, 0)
        latest[at, about] = (2 * latest[at, about] + ~good) % len(WRONG)
        state[at, about] = _states(
            about < facts, state[at, about], given[at, about], rights[at, about], latest[at, about],
            row[at, about] >= runs[at, about],
        )  # fmt: skip

        rate = rates[part, count[who, part, 1], count[who, part, 0]]
        own = np.where(of_part[part], state[who], READY)
        passed = (rate == READY) & (own == READY).all(axis=1)
        decision[who, part] = np.where((rate == LOST) | (own == LOST).any(axis=1), LOST, np.where(passed, READY, OPEN))
        ready[who] = (decision[who] == READY).all(axis=1)
        who = who[~ready[who] & ~(decision[who] == LOST).any(axis=1) & (items[who] < trial.CAP)]
    return Outcome(ready, items, state == LOST)


def _runs(terms: Terms, lost: Many, asked: list[Asks]) -> Many:
    """The run that each person needs in each name."""
    times = range(int(lost.max(initial=0)) + 1)
    table = np.array([[terms._replace(harder=(one.name,) * n).run(one.part, one.name) for one in asked] for n in times])
    return np.asarray(np.take_along_axis(table, lost, axis=0), np.intp)


def _rates(terms: Terms, part: Part) -> Many:
    """What the test of a part's rate says, by right and wrong answers."""
    bar, most = terms.bar(part), trial.CAP + 1
    return np.array([[CODES[bar.decide(right, wrong)] for wrong in range(most)] for right in range(most)], np.intp)


def _states(fact: Marks, state: Many, given: Many, rights: Many, latest: Many, reached: Marks) -> Many:
    """What becomes of names after an answer each."""
    none_right = rights == 0
    gone = np.where(
        fact,
        (none_right & (given == trial.LOST_AT_ONCE)) | (WRONG[latest] >= trial.LOST_WRONG),
        ~reached & (state != READY) & ((none_right & (given == trial.STRATUM_LOST)) | (given >= trial.STRATUM_MOST)),
    )
    passed = reached | (~fact & (state == READY))
    return np.where(gone | (state == LOST), LOST, np.where(passed, READY, OPEN))
