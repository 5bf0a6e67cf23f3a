"""Many simulated people, each with one real part in hand: shared by the tests of honesty and by the studies."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from coaxtell.identifier import likelihood
from coaxtell.identifier.answers import Answer, NotSure, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import COUNT, Draws
from coaxtell.identifier.features import LIKENED, SEEN, Feature
from coaxtell.identifier.identification import Settled, how_settled
from coaxtell.identifier.looks import Level
from coaxtell.identifier.partners import partners_of
from coaxtell.identifier.question import Look, named, next_look, seconds
from coaxtell.identifier.sizes import around
from coaxtell.models.half import Half
from coaxtell.models.numbers import walk
from tests.halves import all_halves
from tests.identifier import people
from tests.identifier.kit import HANDY, Truth, answer, shortlist, truths

Said = Callable[[Look], Answer]
KINDS = ("own", "careless", "one-sided", "settled", "hurried")


@cache
def parts(half_id: str) -> list[dict[Feature, Truth]]:
    """Real parts of a half, out of the range of its numbers."""
    half = all_halves()[half_id]
    draw = Draws(half)
    return [truths(half, draw, index) for index in range(COUNT)]


@cache
def scales() -> dict[str, list[str]]:
    """The things that widths are likened to."""
    return {feature.value: list(shortlist().looks.scale(feature)) for feature in LIKENED}


def own(rng: np.random.Generator, half: Half, known: Shortlist) -> Said:
    """A person by the engine's own rates: one level of care for all answers, mistakes drawn once per look."""
    care = int(rng.choice(len(known.care), p=known.care))
    level = list(known.looks.table.levels.values())[care]
    place = known.index(half.id)
    told: dict[Feature, Answer] = {}

    def say(look: Look) -> Answer:
        feature = look.feature
        if feature in SEEN:
            shares = known.planned(feature, told, again=look.again)[care, place]
            names = known.outcomes(feature).names
            found = answer(feature, str(rng.choice(names, p=shares / shares.sum())))
        else:
            found = answer(feature, _read(rng, known, feature, level, place))
        told.setdefault(feature, found)
        return found

    return say


def _read(rng: np.random.Generator, known: Shortlist, feature: Feature, level: Level, half: int) -> Truth:
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
    others = found.around[half][np.isfinite(found.around[half])]
    if wrong and len(others) and rng.random() < known.looks.table.elsewhere.share.nominal:
        spread = known.looks.table.elsewhere.spread.nominal
        value = rng.choice(others) + rng.logistic(0, spread * math.sqrt(3) / math.pi)
    elif wrong:
        value = math.exp(rng.uniform(math.log(row.least), math.log(row.most)))
    else:
        value = rng.choice(found.mm[half]) + rng.logistic(0, m.spread * math.sqrt(3) / math.pi)
    step = 0.1 if feature is Feature.THREADS else 0.05
    return float(max(step, round(value / step) * step))


def _person(kind: str, rng: np.random.Generator, half: Half) -> people.Person:
    if kind == "hurried":
        return people.Hurried(rng, scales(), around(walk(half)))
    if kind == "settled":
        return people.Settled(rng, scales())
    return people.Careless(rng, scales()) if kind == "careless" else people.OneSided(rng, scales())


def other(kind: str, rng: np.random.Generator, half: Half) -> Said:
    """A person of people.py with one real part in the hand."""
    one = _person(kind, rng, half)
    true = dict(parts(half.id)[int(rng.integers(COUNT))])
    if rng.random() >= people.MARKED:
        true[Feature.MARKED] = "none"
    said: dict[Feature, Truth | people.Unsure] = {}

    def say(look: Look) -> Answer:
        feature = look.feature
        truth = true[feature]
        # a person who took a smooth port for a threaded one sees no hand on it: he is not sure
        if feature in SEEN and truth is None:
            return NotSure()
        if look.again and feature in said:
            found = people.again(one, feature, truth, said[feature])
        else:
            found = one.answer(feature, truth)
        said.setdefault(feature, found)
        return NotSure() if isinstance(found, people.Unsure) else answer(feature, found)

    return say


class Met(NamedTuple):
    """What came of one person: the half in hand, the half named, how sure, the state, seconds, and the looks taken."""

    half: int
    named: int
    stated: float
    right: bool
    state: Settled
    seconds: float
    by_eye: bool
    asked: int


class Crowd:
    """Sessions in one setting; what follows from the same answers is worked out once."""

    def __init__(self, known: Shortlist, instrument: str = "calliper") -> None:
        self.known = known
        self.instrument = instrument
        self._held: dict[object, tuple[Look | None, int, float, Settled]] = {}
        self._fits: dict[int, Half | None] = {}

    def _fit(self, i: int) -> Half | None:
        if i not in self._fits:
            self._fits[i] = partners_of(self.known, self.known.halves[i]).fit
        return self._fits[i]

    def _after(self, state: State) -> tuple[Look | None, int, float, Settled]:
        key = (tuple(state.answers.items()), tuple(state.again.items()))
        found = self._held.get(key)
        if found is None:
            look = next_look(self.known, state)
            if look is not None:
                found = look, 0, 0.0, Settled.NOT_SETTLED
            else:
                belief = self.known.belief(state.answers, state.again)
                i = named(self.known, belief)
                stated = float(self.known.of_orders(belief)[self.known.order_of[i]])
                found = None, i, stated, how_settled(self.known, state, self._fit(i))
            self._held[key] = found
        return found

    def meet(self, say: Said, half: int, before: Mapping[Feature, Answer] = MappingProxyType({})) -> Met:
        """One person with one part; `half` is where that part stands in the shortlist, or -1 where it does not.

        `before` is what was told before the first look.
        """
        state = State(instrument=self.instrument, terms=HANDY, answers=before)
        took, by_eye, asked = 0.0, True, 0
        while True:
            look, i, stated, settled = self._after(state)
            if look is None:
                right = half >= 0 and self.known.order_of[i] == self.known.order_of[half]
                return Met(half, i, stated, bool(right), settled, took, by_eye, asked)
            took += seconds(self.known, look.feature, look.again)
            by_eye &= look.feature in SEEN
            asked += 1
            state = state.tell(look.feature, say(look), look.again)


def people_of(kind: str, seed: int, count: int, known: Shortlist) -> list[tuple[int, int]]:
    """So many people of a kind, as (half in hand, seed of the person); the halves follow the prior."""
    rng = np.random.default_rng([seed, KINDS.index(kind)])
    halves = rng.choice(len(known), size=count, p=known.prior)
    return [(int(half), int(rng.integers(2**31))) for half in halves]


def said_by(kind: str, seed: int, half: Half, known: Shortlist) -> Said:
    """What one person of a kind says."""
    rng = np.random.default_rng(seed)
    return own(rng, half, known) if kind == "own" else other(kind, rng, half)
