"""Draws in which all pairs that are stated to mate do mate: a few hundred for every clan of families.

In each of its slots a clan keeps the first draw that agrees with what is stated, constants of physics included. The
draws themselves are fixed, so only their places are kept, in `kept.json`, with a mark of the tables they stand for.
"""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from importlib import resources

import msgspec

from coaxtell.models.draws import Sample, physics_of
from coaxtell.models.mating.clans import Clan
from coaxtell.models.mating.outcome import JOINED, Outcome, judge
from coaxtell.models.numbers import walk
from coaxtell.models.physics import Physics, constants
from coaxtell.models.profile import Profile, profile

SLOTS = 300
"""Kept draws of every clan; each stands for one, since no draw depends on another."""
STRIDE = 1_000_003
"""Draws of one slot lie between two multiples of this."""
ENOUGH = 100
"""Draws kept for these tables that must agree with others if they are to stand for those too."""
MOST_TRIES = 100_000
"""A slot in which so many draws contradict what is stated keeps none."""


class Kept(msgspec.Struct, frozen=True):
    """The kept draws of one clan, and of how many free draws each stated pair mated in what share."""

    mark: str
    tries: list[int]
    """For each slot, after how many that contradict what is stated its kept draw came; below zero where none came."""
    free: dict[str, float]
    """Share of free draws, one a slot, in which a stated pair mates by its numbers alone, as `plug with jack`."""

    @property
    def draws(self) -> dict[int, int]:
        """The kept draw of each slot that has one."""
        return {slot: slot * STRIDE + tries for slot, tries in enumerate(self.tries) if tries >= 0}


def mark(clan: Clan) -> str:
    """A mark of all that the kept draws of a clan rest on: shapes, unsure numbers, constants and what is stated."""
    shapes = [
        (half_id, profile(half), [(path, number.nominal, number.span) for path, number in walk(half) if number.soft])
        for half_id, half in clan.halves.items()
    ]
    said = msgspec.json.encode([shapes, clan.stated, constants(), SLOTS])
    return sha256(said).hexdigest()[:16]


class Agreement:
    """Whether a draw agrees with what is stated: each stated pair mates, and seats on the faces it seats on now."""

    def __init__(self, clan: Clan, samples: dict[str, Sample]) -> None:
        self.samples = samples
        self.stated = [(a, b, _seat(judge(samples[a].base, samples[b].base))) for a, b in clan.stated]

    def mates(self, a: Profile, b: Profile, seat: tuple[str, str] | None, physics: Physics) -> bool:
        found = judge(a, b, (), physics)
        return found.verdict in JOINED and _seat(found) == seat

    def holds(self, n: int) -> bool:
        """Whether draw n agrees; halves are worked out as they are needed."""
        physics = physics_of(n, next(iter(self.samples.values())).law)
        profiles: dict[str, Profile] = {}

        def has(half_id: str) -> bool:
            if half_id not in profiles:
                found = self.samples[half_id].profile(n)
                if found is None:
                    return False
                profiles[half_id] = found
            return True

        for a, b, seat in self.stated:
            if not (has(a) and has(b) and self.mates(profiles[a], profiles[b], seat, physics)):
                return False
        return all(has(half_id) for half_id in self.samples)


def _seat(found: Outcome) -> tuple[str, str] | None:
    """The faces on which two halves seat; none where a bead in its groove holds them."""
    if found.stop is None or found.coupling.lock is not None:
        return None
    return found.stop.a.name, found.stop.b.name


def keep(clan: Clan, samples: dict[str, Sample], slots: int = SLOTS) -> Kept:
    """The first draw of each slot that agrees with what is stated; slots in which none does keep none."""
    agrees = Agreement(clan, samples)
    tries: list[int] = []
    for slot in range(slots):
        first = slot * STRIDE
        tries.append(next((t for t in range(MOST_TRIES) if agrees.holds(first + t)), -1))
    free = {f"{a} with {b}": _free(agrees, a, b, seat, slots) for a, b, seat in agrees.stated}
    return Kept(mark(clan), tries, free)


def agreeing(kept: Kept, clan: Clan, samples: dict[str, Sample]) -> Kept | None:
    """The kept draws that agree with other tables too, such as those with a measured number; none where few do."""
    agrees = Agreement(clan, samples)
    tries = [t if t >= 0 and agrees.holds(slot * STRIDE + t) else -1 for slot, t in enumerate(kept.tries)]
    return Kept(mark(clan), tries, kept.free) if sum(t >= 0 for t in tries) >= ENOUGH else None


def _free(agrees: Agreement, a: str, b: str, seat: tuple[str, str] | None, slots: int) -> float:
    """The share of free draws in which a pair mates; draws whose numbers contradict each other are drawn again."""
    hits = 0
    for slot in range(slots):
        for n in range(slot * STRIDE, (slot + 1) * STRIDE):
            one, other = agrees.samples[a].profile(n), agrees.samples[b].profile(n)
            if one is not None and other is not None:
                hits += agrees.mates(one, other, seat, physics_of(n))
                break
    return hits / slots


@cache
def shipped() -> dict[str, Kept]:
    """The kept draws that ship, by the name of their clan."""
    file = resources.files("coaxtell.models") / "kept.json"
    return msgspec.json.decode(file.read_text(encoding="utf-8"), type=dict[str, Kept]) if file.is_file() else {}
