"""Seeded traces of answers, with what the Python engine thinks of every state on the way."""

from __future__ import annotations

import random
from typing import Any

import numpy as np

from coaxtell.identifier import contradiction, instruments, looks, misfit, question
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import SEEN, Feature
from tests.halves import all_halves

INSTRUMENTS = ("calliper", "ruler", "+-0.1")


def traces(count: int, seed: int) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """So many traces: every state for the page, and what Python makes of it. Changes, withdrawals, contradictions."""
    known = looks.load()
    halves = list(all_halves().values())
    shortlists = {name: Shortlist(halves, name) for name in known.settings}
    for shortlist in shortlists.values():
        for feature in Feature:
            shortlist.outcomes(feature)
            if feature in SEEN:
                shortlist.true_share(feature)
    rng = random.Random(seed)
    states: list[dict[str, Any]] = []
    thought: list[dict[str, Any]] = []
    for _ in range(count):
        setting, instrument = rng.choice(list(shortlists)), rng.choice(INSTRUMENTS)
        shortlist, state = shortlists[setting], State(setting, instrument)
        truth = rng.randrange(len(halves))
        for _ in range(rng.randrange(1, 11)):
            asked = _next(shortlist, state) if rng.random() < 0.75 else rng.choice(list(Feature))
            if asked is None:
                break
            state = state.tell(asked, _answer(rng, shortlist, asked, instrument, truth))
            if rng.random() < 0.1:
                state = state.withdraw(rng.choice(list(state.answers)))
            states.append(
                {
                    "answers": {feature.value: plain(answer) for feature, answer in state.answers.items()},
                    "setting": setting,
                    "off": instruments.plus_minus(instrument, known),
                    "half": question.named(shortlist, shortlist.belief(state.answers)),
                }
            )
            thought.append(_thought(shortlist, state))
    return states, thought


def _next(shortlist: Shortlist, state: State) -> Feature | None:
    """The next look, nothing asked a second time, as on the page."""
    look = question.next_look(shortlist, state, once=True)
    return None if look is None else look.feature


def plain(answer: Answer) -> dict[str, Any]:
    """An answer as the page holds it."""
    if isinstance(answer, Saw):
        return {"saw": answer.value}
    if isinstance(answer, Read):
        return {"read": answer.value, "off": answer.plus_minus}
    return {"none": True} if isinstance(answer, NotThere) else {"unsure": True}


def _answer(rng: random.Random, shortlist: Shortlist, feature: Feature, instrument: str, truth: int) -> Answer:
    """What someone before that half may answer, or anybody before any."""
    chance = rng.random()
    if chance < 0.08:
        return NotSure()
    if feature in SEEN:
        names = shortlist.outcomes(feature).names
        usual = shortlist.usual(feature)[truth]
        return Saw(rng.choices(names, usual)[0] if rng.random() < 0.9 else rng.choice(names))
    sizes = shortlist.sizes(feature)
    if chance < 0.15 or not sizes.there.any():
        return NotThere()
    row = shortlist.looks.table.measured[feature]
    value = rng.uniform(row.least, row.most)
    if rng.random() < 0.7:
        there = truth if sizes.there[truth] else int(rng.choice(np.flatnonzero(sizes.there)))
        value = float(sizes.mm[there][rng.randrange(sizes.mm.shape[1])]) + rng.gauss(0, 0.1)
    return Read(round(min(max(value, row.least), row.most), 3), shortlist.plus_minus(feature, instrument))


def _thought(shortlist: Shortlist, state: State) -> dict[str, Any]:
    belief = shortlist.belief(state.answers)
    following = _next(shortlist, state)
    clash = contradiction.find(shortlist, state.answers)
    return {
        "belief": belief,
        "orders": shortlist.of_orders(belief),
        "next": following and following.value,
        "misfits": sorted(misfit.misfits(shortlist, state, question.named(shortlist, belief))),
        "clash": clash and {"features": [f.value for f in clash.features], "misread": clash.misread.value},
    }
