"""All unsure numbers of some halves together: fixed draws over their ranges, and the profiles that come of them.

A draw is named by its number: the value of a table number in draw n is the same whoever asks, so that halves which
share a number share its value, and a number more or less disturbs no other. No chance is involved.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import cache, lru_cache
from hashlib import blake2b
from typing import Any, NamedTuple

import msgspec

from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import SHAPELESS, Path, replaced, walk
from coaxtell.models.physics import Physics, constants
from coaxtell.models.profile import Profile, profile

MASK = (1 << 64) - 1
COUNTED = {"slots", "teeth", "lugs", "notches"}
"""Units of numbers that are whole."""
THREADED = {"major", "pitch", "tpi"}
"""Numbers of a thread that plug and jack of a family share."""


class Law(NamedTuple):
    """How a number lies in its range: how many times as far it reaches, and its value below which a share lies."""

    reach: float
    at: Callable[[float, float, float, float], float]
    """From share, lower end, nominal and upper end."""

    def ends(self, measure: Measure) -> tuple[float, float]:
        """The least and the largest that a number may be [its unit]."""
        low, high = (measure.nominal + self.reach * (end - measure.nominal) for end in measure.span)
        return low, high


class Number(NamedTuple):
    """One unsure number of a half: where it stands, what it is in the table, its ends, and the seed of its draws."""

    path: Path
    measure: Measure
    low: float
    nominal: float
    high: float
    seed: int


def uniform(seed: int, n: int) -> float:
    """A value from 0 to 1 that is fixed by its seed and its place: Steele's splitmix64, 2014."""
    z = (seed + (n + 1) * 0x9E3779B97F4A7C15) & MASK
    z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
    z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
    return ((z ^ (z >> 31)) >> 11) / (1 << 53)


def triangle(share: float, low: float, peak: float, high: float) -> float:
    """The value below which `share` of a triangle from low to high with its peak there lies."""
    if high <= low:
        return peak
    left = (peak - low) / (high - low)
    if share < left:
        return low + math.sqrt(share * (high - low) * (peak - low))
    return high - math.sqrt((1 - share) * (high - low) * (high - peak))


TRIANGULAR = Law(1.5, triangle)
"""The law of the engine: triangles that reach half as far again as the ranges, since with the ranges as they are it was
surer than worlds of another law bear out (`benchmarks.reach` and, on other worlds, `benchmarks.true_world`)."""


def drawn(number: Number, n: int, law: Law = TRIANGULAR) -> float:
    """The value of a number in draw n [its unit]."""
    value = law.at(uniform(number.seed, n), number.low, number.nominal, number.high)
    return round(value) if number.measure.unit in COUNTED else value


def seed_of(*names: object) -> int:
    """A seed from names."""
    return int.from_bytes(blake2b(repr(names).encode(), digest_size=8).digest(), "big")


@lru_cache(maxsize=4096)
def physics_of(n: int, law: Law = TRIANGULAR) -> Physics:
    """The constants of the mating in draw n."""
    return Physics(*(drawn(number, n, law) for number in _constants(law)))


@cache
def _constants(law: Law) -> list[Number]:
    return [_number((name,), measure, seed_of("physics", name), law) for name, measure in constants().items()]


def _number(path: Path, measure: Measure, seed: int, law: Law) -> Number:
    low, high = law.ends(measure)
    return Number(path, measure, low, measure.nominal, high, seed)


class Sample:
    """A half with its unsure numbers that matter to mating, and the profile that it has in each draw."""

    def __init__(self, half: Half, law: Law = TRIANGULAR) -> None:
        self.half = half
        self.law = law
        self.base = profile(half)
        self.numbers = [
            _number(path, measure, _seed(half, path, measure), law)
            for path, measure in walk(half)
            if measure.swept and path[0] not in SHAPELESS and self._matters(path, measure)
        ]

        self._plan = _plan(self.numbers)

    def _matters(self, path: Path, measure: Measure) -> bool:
        for end in measure.span:
            try:
                if end != measure.nominal and profile(replaced(self.half, path, measure.at(end))) != self.base:
                    return True
            except ValueError:
                return True  # it would pass a neighbour
        return False

    def values(self, n: int) -> list[float]:
        """The values of the half's numbers in draw n, in their order."""
        return [drawn(number, n, self.law) for number in self.numbers]

    def profile(self, n: int) -> Profile | None:
        """The profile in draw n; none where the numbers contradict each other, such as steps that pass."""
        parts: dict[str, Any] = {}
        for head, plan in self._plan.items():
            try:
                parts[str(head)] = _rebuilt(getattr(self.half, str(head)), plan, n, self.law)
            except ValueError:
                # most draws fail, and mostly at the same part: that one is tried first from now on
                self._plan = {head: plan} | self._plan
                return None
        try:
            return profile(msgspec.structs.replace(self.half, **parts))
        except ValueError:
            return None


def _seed(half: Half, path: Path, measure: Measure) -> int:
    """Equal for the same number: in the standard and the reverse kind, in a table based on another or copied from it,
    and, for a thread, in plug and jack."""
    said = (measure.nominal, measure.span, measure.grade.value)
    shared = path[-1] in THREADED
    return seed_of("thread" if shared else half.gender, path[-1:] if shared else path, said)


Plan = dict[str | int, Any]
"""Which numbers of a part are exchanged: its fields or places, each with the plan of what stands there, at the end with
the number itself."""


def _plan(numbers: Iterable[Number]) -> Plan:
    found: Plan = {}
    for number in numbers:
        here = found
        for key in number.path[:-1]:
            here = here.setdefault(key, {})
        here[number.path[-1]] = number
    return found


def _rebuilt(part: Any, plan: Plan | Number, n: int, law: Law) -> Any:
    """A copy of a part with its numbers as they are in draw n, each part made once.

    Raises ValueError where they contradict each other.
    """
    if isinstance(plan, Number):
        return plan.measure.at(drawn(plan, n, law))
    if isinstance(part, list):
        return [_rebuilt(item, plan[i], n, law) if i in plan else item for i, item in enumerate(part)]
    changes = {str(name): _rebuilt(getattr(part, str(name)), inside, n, law) for name, inside in plan.items()}
    return msgspec.structs.replace(part, **changes)


def samples(halves: Iterable[Half], law: Law = TRIANGULAR) -> dict[str, Sample]:
    """The samples of some halves, by id."""
    return {half.id: Sample(half, law) for half in halves}
