"""Stated probabilities of the identifier beside how often they are right, for five models of people's mistakes.

The engine's own model, and the four of tests/identifier/people.py that were written and committed before the rates were
chosen. Bins of the stated probability; the halves in people's hands follow the prior. Run:
python -m benchmarks.study identifier_calibration
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

from benchmarks.study import Study, Tally
from tests.identifier.crowd import KINDS, Crowd, people_of, said_by
from tests.identifier.kit import shortlist

FINE = (0.0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 1.0001)
COARSE = (0.0, 0.9, 0.98, 1.0001)
"""So wide that the rarer low probabilities come to enough people too."""
OWN_SHARE = 3
"""People of the own model for each of the others: 2 points either way count there, and chance moves few people far."""
SHARES = {kind: OWN_SHARE if kind == "own" else 1 for kind in KINDS}


@cache
def crowd() -> Crowd:
    return Crowd(shortlist())


def play(block: int, size: int) -> dict[str, Tally]:
    """Stated and right in every bin of so many people of each model."""
    found: dict[str, Tally] = {}
    known = shortlist()
    for kind, share in SHARES.items():
        for half, seed in people_of(kind, 1000 * STUDY.seed + block, size * share, known):
            met = crowd().meet(said_by(kind, seed, known.halves[half], known), half)
            for low, high in (*pairwise(FINE), *pairwise(COARSE)):
                if low <= met.stated < high:
                    label = f"{kind}, {low:.2f} to {min(high, 1):.2f}"
                    for what, value in (("stated", met.stated), ("right", float(met.right))):
                        found[f"{label}, {what}"] = found.get(f"{label}, {what}", Tally(0, 0)).plus(Tally(value, 1))
    return found


STUDY = Study(
    name="identifier_calibration",
    about="Mean stated probability and share right by bins of the stated probability, five models of mistakes",
    rooms=("models", "identifier"),
    seed=1,
    blocks=20,
    play=play,
    size=500,
    sample=60,
)
