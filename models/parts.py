"""From readings of several parts to the range that parts of their kind have.

A reading is a part's size, off by what the instrument always shows and by the hand. What the instrument always shows
is shared by a sitting and does not shrink with the number of readings. The range holds 95 % of parts, those not yet
measured: it is that of the predictive Student distribution of a normal spread. To it the limits that a document prints
count as parts seen before; the range of a weak number says where its middle may lie and nothing of how parts differ,
so that there the general tolerance of turned parts counts, and less.

Source of the method: A. Gelman and others, Bayesian Data Analysis, 3rd ed., section 3.3 (normal data, conjugate prior).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from functools import cache
from itertools import pairwise

import msgspec

from coaxtell.models.errors import RefusedError

SHARE = 0.95
"""Share of parts that a range holds."""
NORMAL = 1.959964
"""Half the width of that share of a normal spread, in standard deviations."""
BEFORE, WEAK_BEFORE = 4, 2
"""Parts' worth of spread that printed limits count for, and the general tolerance where there are none (assumed)."""
GENERAL = ((6.0, 0.05), (30.0, 0.1), (120.0, 0.15), (400.0, 0.2))
"""Up to which size [mm] parts keep which plus-minus [mm] without a word: ISO 2768-1, class f (from memory)."""
APART = 3.0
"""The mean contradicts a range that it misses by more than this many of its own standard errors (assumed)."""
STRANGE = 4.5
"""A reading further from what is expected than this many standard deviations is asked for again (assumed)."""


FINEST, COARSEST = 0.0005, 1.0
"""How far an instrument that is held to a part may be off, least and most [mm]: half a step of a micrometer is the
finest (common practice, no source)."""


class OnePartError(RefusedError):
    """One part alone was measured, which does not say how parts differ where the table says nothing it agrees with."""


class Sitting(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Readings of some parts by one person with one instrument: a row of readings for each part [mm].

    `plus_minus` is how far the instrument may be off [mm], `begun` when the first part was read, to the microsecond:
    the same readings of another part are another sitting; empty where that was not kept. Raises InputError where a
    reading is missing or no size.
    """

    instrument: str
    plus_minus: float
    who: str
    date: str
    parts: list[list[float]]
    begun: str = ""

    def __post_init__(self) -> None:
        if not self.parts or not all(self.parts):
            raise RefusedError("models.no_readings")
        try:
            date.fromisoformat(self.date)
        except ValueError:
            raise RefusedError("models.sitting_date") from None
        if not FINEST <= self.plus_minus <= COARSEST:
            raise RefusedError("models.plus_minus")
        if not all(math.isfinite(x) and abs(x) <= 200 for part in self.parts for x in part):
            raise RefusedError("models.no_reading")


class Stated(msgspec.Struct, frozen=True):
    """What a table says of a number before anything is measured [mm]: its value, where it may lie, and whether these
    are limits that a document prints for every part."""

    value: float
    low: float
    high: float
    printed: bool = True

    @property
    def ranged(self) -> bool:
        """Whether there is a range at all."""
        return self.high > self.low

    @property
    def spread(self) -> float:
        """Standard deviation of parts of which 95 % keep the printed limits, else the general tolerance."""
        if self.printed:
            return (self.high - self.low) / (2 * NORMAL)
        off = next((off for size, off in GENERAL if abs(self.value) <= size), GENERAL[-1][1])
        return off / NORMAL


class Spread(msgspec.Struct, frozen=True):
    """The range that parts have: its middle and ends, the spread of what was measured [mm], parts and readings, and
    whether it agrees with what the table states."""

    value: float
    low: float
    high: float
    mean: float
    deviation: float
    parts: int
    readings: int
    agrees: bool


class _Expected(msgspec.Struct, frozen=True):
    """What the next part is expected to read: middle, standard deviation, degrees of freedom, shared error."""

    middle: float
    scale: float
    freedom: int
    shared: float


def means(sittings: Sequence[Sitting]) -> list[float]:
    """The mean reading of every part [mm]."""
    return [sum(part) / len(part) for sitting in sittings for part in sitting.parts]


def shared_error(sittings: Sequence[Sitting]) -> float:
    """Standard deviation of what the instruments always show, in the mean of all parts [mm].

    It lies anywhere within each plus-minus, apart in every sitting.
    """
    count = sum(len(sitting.parts) for sitting in sittings)
    return math.sqrt(sum((len(s.parts) / count * s.plus_minus) ** 2 / 3 for s in sittings))


def _expected(found: list[float], stated: Stated | None, shared: float) -> _Expected | None:
    """What the next part reads after some; none where too little is known to say."""
    n = len(found)
    known = stated if stated is not None and stated.ranged else None
    if known is None and n < 2:
        return None
    mean = sum(found) / n if n else 0.0
    squares = sum((x - mean) ** 2 for x in found)
    if known is None:
        return _Expected(mean, math.sqrt(squares / (n - 1) * (1 + 1 / n)), n - 1, shared)
    before = BEFORE if known.printed else WEAK_BEFORE
    if n == 0:
        lies = (known.high - known.low) / (2 * NORMAL)
        return _Expected(known.value, max(lies, known.spread * math.sqrt(2)), before, shared)
    squares += before * known.spread**2
    if not known.printed:
        freedom = before + n - 1
        return _Expected(mean, math.sqrt(squares / freedom * (1 + 1 / n)), freedom, shared)
    parts, freedom = n + 1, before + n
    squares += n / parts * (mean - known.value) ** 2
    return _Expected((known.value + mean * n) / parts, math.sqrt(squares / freedom * (1 + 1 / parts)), freedom, shared)


def agrees(sittings: Sequence[Sitting], stated: Stated) -> bool:
    """Whether the mean of what was measured may lie within what is stated."""
    found = means(sittings)
    mean = sum(found) / len(found)
    deviation = _deviation(found) if len(found) > 1 else stated.spread
    error = math.hypot(deviation / math.sqrt(len(found)), shared_error(sittings))
    return max(stated.low - mean, mean - stated.high) <= APART * error


def spread(sittings: Sequence[Sitting], stated: Stated) -> Spread:
    """The range that parts have, after what was measured and what the table states where the two agree.

    Raises OnePartError where a single part contradicts the table, or the table has no range and there is one part only.
    """
    found = means(sittings)
    agree = agrees(sittings, stated)
    shared = shared_error(sittings)
    expected = _expected(found, stated if agree else None, shared)
    if expected is None:
        raise OnePartError("models.one_part")
    reach = math.hypot(student(expected.freedom) * expected.scale, NORMAL * shared)
    return Spread(
        value=expected.middle,
        low=expected.middle - reach,
        high=expected.middle + reach,
        mean=sum(found) / len(found),
        deviation=_deviation(found) if len(found) > 1 else 0.0,
        parts=len(found),
        readings=sum(len(part) for sitting in sittings for part in sitting.parts),
        agrees=agree,
    )


def strange(reading: float, part: Sequence[float], others: Sequence[float], stated: Stated, plus_minus: float) -> bool:
    """Whether a reading wants a second look: far from the same part's other readings, else from the other parts.

    `part` holds the readings of the same part so far, `others` the means of the parts before it [mm].
    """
    if part:
        return abs(reading - sum(part) / len(part)) > max(2 * plus_minus, 1e-9)
    expected = _expected(list(others), stated, plus_minus / math.sqrt(3))
    if expected is None:
        return abs(reading - stated.value) > max(0.2 * abs(stated.value), 1.0)
    return abs(reading - expected.middle) > STRANGE * math.hypot(expected.scale, expected.shared)


def _deviation(found: Sequence[float]) -> float:
    mean = sum(found) / len(found)
    return math.sqrt(sum((x - mean) ** 2 for x in found) / (len(found) - 1))


@cache
def student(freedom: int, share: float = SHARE) -> float:
    """Half the width of the middle `share` of Student's distribution with so many degrees of freedom."""
    low, high = 0.0, 1.0
    while _middle(high, freedom) < share:
        high *= 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _middle(middle, freedom) < share else (low, middle)
    return (low + high) / 2


def _middle(t: float, freedom: int) -> float:
    """Share of Student's distribution between -t and t.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
    """
    angle = math.atan(t / math.sqrt(freedom))
    cosine, sine = math.cos(angle), math.sin(angle)
    if freedom == 1:
        return 2 * angle / math.pi
    odd = freedom % 2 == 1
    term = cosine if odd else 1.0
    total = term
    for below, above in pairwise(range(2 if odd else 1, freedom - 1)):
        if (below % 2 == 0) == odd:
            term *= cosine**2 * below / above
            total += term
    return 2 / math.pi * (angle + sine * total) if odd else sine * total
