"""A family that the tables do not hold: each removed in turn, people with its parts in hand, what they are told.

The threshold under which an answer does not go with the named port is judged on the families of the odd half (by
name, in order); those of the even half are reported apart. Harm: the part ordered damages the port or makes no contact.
`in table` is the same people with the family back in its place. Run: python -m benchmarks.study identifier_unknown
"""

from __future__ import annotations

from functools import cache

import numpy as np

from benchmarks.study import Study, Tally
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.identification import Settled, mates_of
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict, mate
from tests.halves import all_halves
from tests.identifier.crowd import KINDS, Crowd, said_by
from tests.identifier.kit import shortlist

HARM = (Verdict.DAMAGES, Verdict.NO_CONTACT)


def families() -> list[str]:
    """The families that are removed, coded housings as one, by name."""
    return sorted({one.key.kind if one.key is not None else one.family for one in all_halves().values()})


def _of(half: Half) -> str:
    return half.key.kind if half.key is not None else half.family


@cache
def crowd_without(family: str) -> Crowd:
    return Crowd(Shortlist([one for one in all_halves().values() if _of(one) != family]))


@cache
def crowd() -> Crowd:
    return Crowd(shortlist())


@cache
def _harms(named: str, half: str) -> bool:
    fit = mates_of(shortlist(), all_halves()[named])
    return bool(fit) and mate(all_halves()[half], fit[0][0], doubt=False).verdict in HARM


def play(block: int, size: int) -> dict[str, Tally]:
    """What so many people with parts of each removed family are told."""
    found: dict[str, Tally] = {}

    def add(label: str, value: float) -> None:
        found[label] = found.get(label, Tally(0, 0)).plus(Tally(value, 1))

    for number, family in enumerate(families()):
        half_of = "chosen on" if number % 2 else "reported"
        own = [one for one in all_halves().values() if _of(one) == family]
        without = crowd_without(family)
        rng = np.random.default_rng([STUDY.seed, block, number])
        for _ in range(size):
            half, kind, seed = own[int(rng.integers(len(own)))], str(rng.choice(KINDS[1:])), int(rng.integers(2**31))
            met = without.meet(said_by(kind, seed, half, shortlist()), -1)
            wrong = met.state is not Settled.NOT_SETTLED
            harm = wrong and _harms(without.known.ids[met.named], half.id)
            kept = crowd().meet(said_by(kind, seed, half, shortlist()), shortlist().index(half.id))
            add(f"{half_of}, settled and wrong", wrong)
            add(f"{half_of}, harm or no contact", harm)
            add(f"{half_of}, in table, settled", kept.state is not Settled.NOT_SETTLED)
            add(f"family {family}, settled and wrong", wrong)
    return found


STUDY = Study(
    name="identifier_unknown",
    about="Families removed in turn: settled and wrong, harm or no contact; and settled with the family in its place",
    rooms=("models", "identifier"),
    seed=7,
    blocks=20,
    play=play,
    size=10,
    sample=2,
)
