"""Draws in which all pairs that are stated to mate do mate: a few hundred for every clan of families.

Plugs and jacks that share no unsure number have places of their own in the draws: in each of its slots a clan takes a
few draws of either side that do not contradict themselves, tries every plug with every jack, and keeps the first two
that agree with what is stated, constants of physics included; where none do, it goes on to the next few. The draws
themselves are fixed, so only their places are kept, in `kept.json`, with a mark of the tables they stand for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from hashlib import sha256
from importlib import resources
from itertools import combinations, product

import msgspec

from coaxtell.models import tables
from coaxtell.models.draws import TRIANGULAR, Law, Sample, physics_of
from coaxtell.models.mating.clans import Clan
from coaxtell.models.mating.outcome import JOINED, Outcome, judge
from coaxtell.models.measure import worked_from
from coaxtell.models.numbers import walk
from coaxtell.models.physics import Physics, constants
from coaxtell.models.profile import Profile, profile

SLOTS = 300
"""Kept draws of every clan; each stands for one, since no draw depends on another."""
STRIDE = 1_000_003
"""Draws of one slot lie between two multiples of this."""
ENOUGH = 100
"""Draws kept for these tables that must agree with others if they are to stand for those too."""
MOST = 500_000
"""A slot in which so many draws of the sides contradict each other or what is stated keeps none."""
QUICK = 6_000
"""So many draws of the sides are tried in all for the changed tables of a shop, which waits for them."""
AT_ONCE = 2_000
"""So many free draws of a pair are tried where its share is worked out anew, while somebody waits for it."""

BOTH = "both"
"""The only side of a clan whose plugs and jacks share an unsure number, such as a thread's pitch."""
FEW = 6
"""Draws of either side that are tried with each other: most of the work is to find one without contradictions."""
Places = Mapping[str, int]
"""The draw of each side of a clan: by gender, or of both."""


class Kept(msgspec.Struct, frozen=True):
    """The kept draws of one clan, and of how many free draws each stated pair mated in what share."""

    mark: str
    tries: dict[str, list[int]]
    """For each side, after how many of its draws in a slot its kept draw came; below zero where none came."""
    free: dict[str, float]
    """Share of free draws, one a slot, in which a stated pair mates by its numbers alone, as `plug with jack`; not
    of a pair with numbers of a shop's own, for which `free` works it out."""

    def draws(self, gender: str) -> dict[int, int]:
        """The kept draw of halves of a gender in each slot that has one."""
        own = self.tries[gender if gender in self.tries else self.first]
        return {slot: slot * STRIDE + tries for slot, tries in enumerate(own) if tries >= 0}

    def share(self, plug: str, jack: str) -> float | None:
        """The share of free draws in which a stated pair mates, by ids; none where it is not kept here."""
        return self.free.get(f"{plug} with {jack}")

    @property
    def first(self) -> str:
        """The side with whose draws the constants of physics go."""
        return next(iter(self.tries))

    @property
    def filled(self) -> int:
        """How many slots keep a draw."""
        return len(self.draws(self.first))


def mark(clan: Clan, law: Law = TRIANGULAR) -> str:
    """A mark of all that the kept draws of a clan rest on: shapes, unsure numbers, constants and what is stated.

    Notes and other sources' values leave it as it is.
    """
    shapes = [
        (half_id, profile(half), [(path, number.nominal, number.span) for path, number in walk(half) if number.swept])
        for half_id, half in clan.halves.items()
    ]
    rests_on = msgspec.to_builtins([shapes, clan.stated, constants(), SLOTS, FEW, law.reach])
    return sha256(msgspec.json.encode(worked_from(rests_on))).hexdigest()[:16]


class Agreement:
    """Whether draws agree with what is stated: each stated pair mates, and seats on the faces it seats on now."""

    def __init__(self, clan: Clan, samples: dict[str, Sample]) -> None:
        self.samples = samples
        self.sides = _sides(samples.values())
        self._side_of = {sample.half.id: side for side, own in self.sides.items() for sample in own}
        self.law = next(iter(samples.values())).law
        self.stated, self.practice = (
            [(a, b, _seat(judge(samples[a].base, samples[b].base))) for a, b in pairs]
            for pairs in (clan.stated, clan.practice)
        )

    def mates(self, a: Profile, b: Profile, seat: tuple[str, str] | None, physics: Physics) -> bool:
        found = judge(a, b, (), physics)
        return found.verdict in JOINED and _seat(found) == seat

    def search(self, first: int, most: int = MOST) -> tuple[dict[str, int] | None, int]:
        """From draw `first` on, the first draws of the sides that agree, none after so many; and how many it took."""
        first_pair = set(self.stated[0][:2]) if self.stated else set(self.samples)
        leading = {side: [one for one in own if one.half.id in first_pair] for side, own in self.sides.items()}
        next_ = dict.fromkeys(self.sides, first)
        took = 0
        while took < most:
            found: dict[str, dict[int, dict[str, Profile]]] = {}
            for side, own in leading.items():
                some = found[side] = {}
                while len(some) < FEW and took < most:
                    halves: dict[str, Profile] = {}
                    if self._add(own, next_[side], halves):
                        some[next_[side]] = halves
                    next_[side] += 1
                    took += 1
            for places in product(*found.values()):
                at = dict(zip(found, places, strict=True))
                if self._agree(at, found):
                    return at, took
        return None, took

    def holds(self, at: Places) -> bool:
        """Whether these draws of the sides agree."""
        return self._agree(at, {side: {at[side]: {}} for side in self.sides})

    def _agree(self, at: Places, found: Mapping[str, Mapping[int, dict[str, Profile]]]) -> bool:
        """Whether every stated pair mates and no half contradicts itself; halves are worked out as they are needed and
        added to what was found of their side and draw."""
        physics = physics_of(at[next(iter(self.sides))], self.law)
        halves = {side: found[side][n] for side, n in at.items()}
        for a, b, seat in self.stated:
            pair = []
            for half_id in (a, b):
                side = self._side_of[half_id]
                if not self._add([self.samples[half_id]], at[side], halves[side]):
                    return False
                pair.append(halves[side][half_id])
            if not self.mates(pair[0], pair[1], seat, physics):
                return False
        return all(self._add(own, at[side], halves[side]) for side, own in self.sides.items())

    @staticmethod
    def _add(samples: Iterable[Sample], n: int, halves: dict[str, Profile]) -> bool:
        """Add the profiles of draw n that are missing; false where one contradicts itself."""
        for sample in samples:
            if sample.half.id not in halves:
                one = sample.profile(n)
                if one is None:
                    return False
                halves[sample.half.id] = one
        return True


def _sides(samples: Iterable[Sample]) -> dict[str, list[Sample]]:
    """The halves of a clan by gender; all together where halves of two genders share an unsure number."""
    own = list(samples)
    found: dict[str, list[Sample]] = {}
    seeds: dict[str, set[int]] = {}
    for sample in own:
        found.setdefault(sample.half.gender, []).append(sample)
        seeds.setdefault(sample.half.gender, set()).update(number.seed for number in sample.numbers)
    shared = any(one & other for one, other in combinations(seeds.values(), 2))
    return {BOTH: own} if shared else found


def _seat(found: Outcome) -> tuple[str, str] | None:
    """The faces on which two halves seat; none where a bead in its groove holds them."""
    if found.stop is None or found.coupling.lock is not None:
        return None
    return found.stop.a.name, found.stop.b.name


def keep(clan: Clan, samples: dict[str, Sample], slots: int = SLOTS, most: int | None = None) -> Kept:
    """The first draws of each slot that agree with what is stated; slots in which none do keep none.

    `most` bounds the draws tried in all slots together; then the shares of free draws are left to `free`.
    """
    agrees = Agreement(clan, samples)
    waits = most is not None
    tries: dict[str, list[int]] = {side: [] for side in agrees.sides}
    for slot in range(slots):
        found, took = agrees.search(slot * STRIDE, MOST if most is None else min(MOST, most))
        most = None if most is None else most - took
        for side, own in tries.items():
            own.append(-1 if found is None else found[side] - slot * STRIDE)
    if waits:
        return Kept(mark(clan, agrees.law), tries, {})
    shares = {f"{a} with {b}": _free(agrees, a, b, seat, slots) for a, b, seat in agrees.stated + agrees.practice}
    return Kept(mark(clan, agrees.law), tries, {name: share for name, share in shares.items() if share is not None})


def agreeing(kept: Kept, clan: Clan, samples: dict[str, Sample]) -> Kept | None:
    """The kept draws that agree with other tables too, such as those with a measured number; none where few do."""
    agrees = Agreement(clan, samples)
    if set(agrees.sides) != set(kept.tries):
        return None
    tries: dict[str, list[int]] = {side: [] for side in kept.tries}
    for slot, places in enumerate(zip(*kept.tries.values(), strict=True)):
        at = {side: slot * STRIDE + t for side, t in zip(kept.tries, places, strict=True)}
        still = min(places) >= 0 and agrees.holds(at)
        for own, t in zip(tries.values(), places, strict=True):
            own.append(t if still else -1)
    ships = tables.load().halves
    changed = {half_id for half_id, half in clan.halves.items() if ships.get(half_id) is not half}
    found = Kept(
        mark(clan, agrees.law),
        tries,
        {pair: share for pair, share in kept.free.items() if changed.isdisjoint(pair.split(" with "))},
    )
    return found if found.filled >= ENOUGH else None


def free(clan: Clan, samples: dict[str, Sample], pair: tuple[str, str]) -> float | None:
    """The share of `ENOUGH` free draws in which a stated pair mates; none where so many take too long to find."""
    agrees = Agreement(clan, samples)
    seat = next(seat for a, b, seat in agrees.stated + agrees.practice if (a, b) == pair)
    return _free(agrees, *pair, seat, ENOUGH, AT_ONCE)


def _free(
    agrees: Agreement, a: str, b: str, seat: tuple[str, str] | None, slots: int, most: int | None = None
) -> float | None:
    """The share of free draws in which a pair mates; draws whose numbers contradict each other are drawn again, none
    where that takes more than `most`."""
    hits = took = 0
    for slot in range(slots):
        for n in range(slot * STRIDE, (slot + 1) * STRIDE):
            took += 1
            if most is not None and took > most:
                return None
            one, other = agrees.samples[a].profile(n), agrees.samples[b].profile(n)
            if one is not None and other is not None:
                hits += agrees.mates(one, other, seat, physics_of(n, agrees.law))
                break
    return hits / slots


@cache
def shipped() -> dict[str, Kept]:
    """The kept draws that ship, by the name of their clan."""
    file = resources.files("coaxtell.models") / "kept.json"
    return msgspec.json.decode(file.read_text(encoding="utf-8"), type=dict[str, Kept]) if file.is_file() else {}


def shipped_share(plug: str, jack: str) -> float:
    """The share of free draws in which a stated pair of the tables that ship mates, by ids; 0 of no such pair."""
    return next((share for one in shipped().values() if (share := one.share(plug, jack)) is not None), 0.0)
