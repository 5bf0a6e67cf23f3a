"""The cheapest way of asking where nobody errs: every order of looks weighed, until none is cheaper; on bit masks.

A look parts the candidates by the answers they give. One that may give several answers stands behind each of them,
with its share of people, and is as likely as before wherever it is still possible.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

NEVER = 1e-9
"""A chance of a wrong order below this is none, and no plan is better than another by fewer seconds than this."""


class Part(NamedTuple):
    """The candidates behind one answer to a look, a bit each, with the share of each that gives the answer."""

    members: int
    share: Mapping[int, float]


Parting = Callable[[int], Sequence[Part]]
"""How a look parts some candidates, by its answers; in any set of candidates one alone stays alone."""


class Ask(NamedTuple):
    """A look that can be asked: its seconds, how it parts candidates, and the looks that must have come before."""

    seconds: float
    parting: Parting
    after: frozenset[int] = frozenset()


class Plan(NamedTuple):
    """What is best from some candidates on: the cost [s], and a look with what follows each answer; none at an end."""

    seconds: float
    look: int | None
    parts: tuple[Part, ...]
    then: tuple[Plan, ...]
    members: int


class Search:
    """The exact search over some looks, which keeps what it has worked out.

    `weights` are how often each candidate is met, `orders` what it is ordered by. `wrong_order` is what a wrong order
    costs [s]; without it one asks on until no look parts what is left.
    """

    def __init__(
        self, weights: Sequence[float], orders: Sequence[int], looks: Sequence[Ask], wrong_order: float = math.inf
    ) -> None:
        self._weights = [float(weight) for weight in weights]
        self._looks = looks
        self._wrong_order = wrong_order
        kinds: dict[int, int] = {}
        for i, order in enumerate(orders):
            kinds[order] = kinds.get(order, 0) | 1 << i
        self._kinds = list(kinds.values())
        self._plans: dict[tuple[int, frozenset[int]], Plan] = {}
        self._cuts: dict[tuple[int, int], tuple[Part, ...]] = {}

    @property
    def places(self) -> int:
        """Places weighed so far: sets of candidates, with the looks that bear on them."""
        return len(self._plans)

    def plan(self) -> Plan:
        """The cheapest way from all candidates on."""
        return self._best((1 << len(self._weights)) - 1, frozenset())

    def _parts(self, members: int, look: int) -> tuple[Part, ...]:
        """The parts of a look that parts these candidates; none where it does not."""
        found = self._cuts.get((members, look))
        if found is None:
            found = tuple(self._looks[look].parting(members))
            if all(part.members == members for part in found):
                found = ()
            self._cuts[members, look] = found
        return found

    def _weight(self, members: int) -> float:
        return math.fsum(self._weights[i] for i in bits(members))

    def _stop(self, members: int) -> float:
        """What stopping here costs [s]: the wrong orders to be expected."""
        best = max(self._weight(members & kind) for kind in self._kinds)
        wrong = 1 - best / self._weight(members)
        return 0.0 if wrong < NEVER else wrong * self._wrong_order

    def _best(self, members: int, asked: frozenset[int]) -> Plan:
        several = not any(members & ~kind == 0 for kind in self._kinds)
        parting = [k for k in range(len(self._looks)) if several and self._parts(members, k)]
        free = [k for k in parting if k not in asked and self._looks[k].after <= asked]
        # of what was asked, only that bears on the rest which could be asked anew, or which opens another look
        opens = {k for look in parting for k in self._looks[look].after}
        key = members, frozenset(asked & (opens | set(parting)))
        known = self._plans.get(key)
        if known is None:
            known = self._plans[key] = self._of(members, asked, free)
        return known

    def _of(self, members: int, asked: frozenset[int], free: list[int]) -> Plan:
        stop = self._stop(members)
        best = Plan(0.0 if not free and math.isinf(stop) else stop, None, (), (), members)
        for look in sorted(free, key=lambda k: (self._promise(members, k), k)):
            best = self._through(members, asked, look, best) or best
        return best

    def _promise(self, members: int, look: int) -> float:
        """Seconds of a look for each bit it tells of the candidates: what is tried first, so that bounds bite."""
        left = 0.0
        for part in self._parts(members, look):
            left += self._uncertainty([self._weights[i] * share for i, share in part.share.items()])
        told = self._uncertainty([self._weights[i] for i in bits(members)]) - left
        return self._looks[look].seconds / max(told, NEVER)

    @staticmethod
    def _uncertainty(weights: Sequence[float]) -> float:
        """Uncertainty of weights times their sum [bit]."""
        total = math.fsum(weights)
        return -math.fsum(w * math.log2(w / total) for w in weights if w > 0)

    def _chance(self, part: Part, whole: float) -> float:
        return math.fsum(self._weights[i] * share for i, share in part.share.items()) / whole

    def _through(self, members: int, asked: frozenset[int], look: int, best: Plan) -> Plan | None:
        """The plan that begins with this look; none where it is no cheaper than the best so far."""
        parts, whole = self._parts(members, look), self._weight(members)
        cost = self._looks[look].seconds
        then: list[Plan] = []
        for part in parts:
            if cost >= best.seconds:
                return None
            then.append(self._best(part.members, asked | {look}))
            cost += self._chance(part, whole) * then[-1].seconds
        return Plan(cost, look, parts, tuple(then), members) if cost < best.seconds - NEVER else None


def bits(members: int) -> list[int]:
    """The candidates of a mask."""
    found = []
    while members:
        low = members & -members
        found.append(low.bit_length() - 1)
        members ^= low
    return found


def fixed(shares: Sequence[Mapping[int, float]]) -> Parting:
    """How a look parts candidates whose shares behind each answer are the same whatever else is possible."""
    masks = [sum(1 << i for i in share) for share in shares]

    def parting(members: int) -> list[Part]:
        found = []
        for mask, share in zip(masks, shares, strict=True):
            left = members & mask
            if left:
                found.append(Part(left, {i: share[i] for i in bits(left)}))
        return found

    return parting
