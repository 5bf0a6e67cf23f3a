"""Stated probabilities of the identifier beside how often they are right, for three models of people's mistakes.

The engine's own model, and the two of tests/identifier/people.py that were written and committed before any rate was
chosen. Bins of the stated probability; the halves in people's hands follow the prior. Run:
python -m benchmarks.study identifier_calibration
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from itertools import pairwise

import numpy as np

from benchmarks.study import Study, Tally
from coaxtell.identifier import likelihood
from coaxtell.identifier.draws import COUNT, Draws
from coaxtell.identifier.features import SEEN, Feature
from tests.identifier import people
from tests.identifier.kit import Sessions, Truth, shortlist, truths

FINE = (0.0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 1.0001)
COARSE = (0.0, 0.9, 0.98, 1.0001)
"""So wide that the rarer low probabilities come to enough people too."""
OWN_SHARE = 3
"""People of the own model for each of the others: 2 points either way count there, and chance moves few people far."""
Kind = type[people.Careless] | type[people.OneSided]
Person = Callable[[np.random.Generator, int], Callable[[Feature], Truth]]


@cache
def sessions() -> Sessions:
    return Sessions()


@cache
def parts() -> list[dict[Feature, Truth]]:
    """Real parts of each half, out of the range of its numbers."""
    return [truths(half, draw, index) for half in shortlist().halves for draw in (Draws(),) for index in range(COUNT)]


def own_person(rng: np.random.Generator, half: int) -> Callable[[Feature], Truth]:
    """A person by the engine's own rates: one level of care for all answers, mistakes drawn once per feature."""
    known = shortlist()
    care = int(rng.choice(len(known.care), p=known.care))
    level = list(known.looks.table.levels.values())[care]

    def say(feature: Feature) -> Truth:
        if feature in SEEN:
            outcomes = known.outcomes(feature)
            return str(rng.choice(outcomes.names, p=outcomes.table[care, half]))
        row = known.looks.table.measured[feature]
        m = likelihood.misreading(row, level, known.plus_minus(feature, "calliper"))
        found = known.sizes(feature)
        if found.there[half]:
            if rng.random() < m.overlooked:
                return None
            wrong = rng.random() < m.gross
        else:
            if rng.random() >= m.phantom:
                return None
            wrong = True
        if wrong:
            value = math.exp(rng.uniform(math.log(row.least), math.log(row.most)))
        else:
            value = rng.choice(found.mm[half]) + rng.logistic(0, m.spread * math.sqrt(3) / math.pi)
        step = 0.1 if feature is Feature.THREADS else 0.05
        return float(max(step, round(value / step) * step))

    return say


def other_person(kind: Kind) -> Person:
    """People of people.py, each with one real part in the hand."""

    def person(rng: np.random.Generator, half: int) -> Callable[[Feature], Truth]:
        one = kind(rng, list(shortlist().looks.steps))
        true = dict(parts()[half * COUNT + int(rng.integers(COUNT))])
        if rng.random() >= people.MARKED:
            true[Feature.MARKED] = "none"
        # a person who took a smooth port for a threaded one sees no hand on it: he is not sure
        return lambda feature: None if feature in SEEN and true[feature] is None else one.answer(feature, true[feature])

    return person


MODELS: dict[str, tuple[Person, int]] = {
    "own model": (own_person, OWN_SHARE),
    "careless": (other_person(people.Careless), 1),
    "one-sided": (other_person(people.OneSided), 1),
}


def play(block: int, size: int) -> dict[str, Tally]:
    """Stated and right in every bin, and questions asked, of so many people of each model."""
    found: dict[str, Tally] = {}
    known = shortlist()
    for number, (name, (person, share)) in enumerate(MODELS.items()):
        rng = np.random.default_rng([STUDY.seed, block, number])
        count = size * share
        for half in rng.choice(len(known), size=count, p=known.prior):
            stated, named, _ = sessions().run(person(rng, int(half)))
            right = named == known.order_of[half]
            for low, high in (*pairwise(FINE), *pairwise(COARSE)):
                if low <= stated < high:
                    label = f"{name}, {low:.2f} to {min(high, 1):.2f}"
                    for what, value in (("stated", stated), ("right", float(right))):
                        found[f"{label}, {what}"] = found.get(f"{label}, {what}", Tally(0, 0)).plus(Tally(value, 1))
    return found


STUDY = Study(
    name="identifier_calibration",
    about="Mean stated probability and share right by bins of the stated probability, three models of mistakes",
    rooms=("models", "identifier"),
    seed=1,
    blocks=20,
    play=play,
    size=500,
    sample=200,
)
