"""All unsure numbers of some halves together: fixed draws over their ranges, and the profiles that come of them.

A draw is named by its number: the value of a table number in draw n is the same whoever asks, so that halves which
share a number share its value, and a number more or less disturbs no other. No chance is involved.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
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


class Number(NamedTuple):
    """One unsure number of a half: where it stands, what it is in the table, and the seed that its draws come from."""

    path: Path
    measure: Measure
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


def triangular(measure: Measure, share: float) -> float:
    """The value of a number below which `share` of its triangle lies [its unit]."""
    low, high = measure.span
    return triangle(share, low, measure.nominal, high)


Law = Callable[[Measure, float], float]
"""How a number lies in its range: its value at a share of its distribution."""


def drawn(measure: Measure, seed: int, n: int, law: Law = triangular) -> float:
    """The value of a number in draw n [its unit]."""
    value = law(measure, uniform(seed, n))
    return round(value) if measure.unit in COUNTED else value


def seed_of(*names: object) -> int:
    """A seed from names."""
    return int.from_bytes(blake2b(repr(names).encode(), digest_size=8).digest(), "big")


@lru_cache(maxsize=4096)
def physics_of(n: int, law: Law = triangular) -> Physics:
    """The constants of the mating in draw n."""
    return Physics(*(drawn(measure, seed, n, law) for measure, seed in _constants()))


@cache
def _constants() -> list[tuple[Measure, int]]:
    return [(measure, seed_of("physics", name)) for name, measure in constants().items()]


class Sample:
    """A half with its unsure numbers that matter to mating, and the profile that it has in each draw."""

    def __init__(self, half: Half, law: Law = triangular) -> None:
        self.half = half
        self.law = law
        self.base = profile(half)
        self.numbers = [
            Number(path, measure, _seed(half, path, measure))
            for path, measure in walk(half)
            if measure.soft and path[0] not in SHAPELESS and self._matters(path, measure)
        ]

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
        return [drawn(number.measure, number.seed, n, self.law) for number in self.numbers]

    def profile(self, n: int) -> Profile | None:
        """The profile in draw n; none where the numbers contradict each other, such as steps that pass."""
        new: dict[Path, Measure] = {}
        try:
            for number, value in zip(self.numbers, self.values(n), strict=True):
                new[number.path] = number.measure.at(value)
            return profile(rebuilt(self.half, new))
        except ValueError:
            return None


def _seed(half: Half, path: Path, measure: Measure) -> int:
    """Equal for the same number: in the standard and the reverse kind, in a table based on another or copied from it,
    and, for a thread, in plug and jack."""
    said = (measure.nominal, measure.span, measure.grade.value)
    shared = path[-1] in THREADED
    return seed_of("thread" if shared else half.gender, path[-1:] if shared else path, said)


def rebuilt(part: Any, new: Mapping[Path, Measure]) -> Any:
    """A copy of the half with the measures at these paths exchanged, each part made once.

    Raises ValueError where the new measures contradict each other.
    """
    if () in new:
        return new[()]
    below: dict[str | int, dict[Path, Measure]] = {}
    for path, measure in new.items():
        below.setdefault(path[0], {})[path[1:]] = measure
    if isinstance(part, list):
        return [rebuilt(item, below[i]) if i in below else item for i, item in enumerate(part)]
    changes = {str(name): rebuilt(getattr(part, str(name)), inside) for name, inside in below.items()}
    return msgspec.structs.replace(part, **changes)


def samples(halves: Iterable[Half], law: Law = triangular) -> dict[str, Sample]:
    """The samples of some halves, by id."""
    return {half.id: Sample(half, law) for half in halves}
