"""Shared by the tests of the identifier: shortlists, true answers, and sessions with simulated people."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

import numpy as np

from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Draws, Nominal
from coaxtell.identifier.features import SEEN, Feature, seen_values
from coaxtell.identifier.question import next_feature
from coaxtell.identifier.sizes import size, sizes
from coaxtell.models.half import Half
from tests.halves import all_halves

Truth = str | float | None


@cache
def shortlist(setting: str = "any") -> Shortlist:
    return Shortlist(list(all_halves().values()), setting)


def truths(half: Half, draw: Draws | None = None, index: int = 0) -> dict[Feature, Truth]:
    """What a half truly shows: with every number at its nominal, or one part out of its range."""
    looks = shortlist().looks
    draw = draw or Nominal()

    def pick(found: object) -> object:
        assert isinstance(found, (list, np.ndarray))
        return found[index % len(found)] if len(found) else None

    true: dict[Feature, Truth] = {}
    for feature in Feature:
        if feature is Feature.SIZE:
            mm = float(pick(size(half, draw)))  # type: ignore[arg-type]
            true[feature] = min(looks.steps, key=lambda k: abs(math.log(looks.steps[k].d.nominal / mm)))
        elif feature in SEEN:
            true[feature] = pick(seen_values(half, feature, draw))  # type: ignore[assignment]
        else:
            found = sizes(half, feature, draw, looks.table.jaws.reach)
            true[feature] = None if found is None else float(pick(found))  # type: ignore[arg-type]
    return true


def answer(feature: Feature, said: Truth) -> Answer:
    """What was said as an answer of the identifier; sizes by calliper, threads counted along a ruler."""
    if feature in SEEN:
        return NotSure() if said is None else Saw(str(said))
    if said is None:
        return NotThere()
    return Read(float(said), shortlist().plus_minus(feature, "calliper"))


def true_state(half: Half, setting: str = "any") -> State:
    """True answers to every feature."""
    state = State(setting)
    for feature, true in truths(half).items():
        said = round(true, 2) if isinstance(true, float) else true
        state = state.tell(feature, answer(feature, said))
    return state


class Sessions:
    """Whole sessions question by question; what follows from the same answers is worked out once."""

    def __init__(self, setting: str = "any") -> None:
        self.shortlist = shortlist(setting)
        self._held: dict[tuple[tuple[Feature, Answer], ...], tuple[Feature | None, float, int]] = {}

    def _after(self, state: State) -> tuple[Feature | None, float, int]:
        key = tuple(state.answers.items())
        if key not in self._held:
            orders = self.shortlist.of_orders(self.shortlist.belief(state.answers))
            best = int(np.argmax(orders))
            self._held[key] = (next_feature(self.shortlist, state), float(orders[best]), best)
        return self._held[key]

    def run(self, person: Callable[[Feature], Truth]) -> tuple[float, int, int]:
        """Stated probability, number of the order named, and questions asked."""
        state = State()
        while True:
            feature, stated, best = self._after(state)
            if feature is None:
                return stated, best, len(state.answers)
            state = state.tell(feature, answer(feature, person(feature)))
