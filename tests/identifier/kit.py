"""Shared by the tests of the identifier: shortlists, true answers, and sessions with simulated people."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Draws, Nominal
from coaxtell.identifier.features import LIKENED, SEEN, Feature, seen_values
from coaxtell.identifier.sizes import sizes
from coaxtell.models.half import Half
from tests.halves import all_halves

Truth = str | float | None
HANDY = frozenset({Term.NO_HIGH_VOLTAGE})
"""Simulated people have radio or video equipment before them, and say so."""


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
        if feature in LIKENED:
            found = sizes(half, feature, draw, looks.table.jaws.reach)
            things = looks.scale(feature)
            mm = 0.0 if found is None else float(pick(found))  # type: ignore[arg-type]
            nearest = min(things, key=lambda k: abs(math.log(things[k].d.nominal / mm))) if mm else None
            true[feature] = nearest
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
