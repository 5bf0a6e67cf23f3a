"""The axes of a plot as data: where a value stands and the marks along the way, in the units of whoever draws."""

from __future__ import annotations

import math
from typing import NamedTuple


class Mark(NamedTuple):
    """A mark on an axis: its place and what stands beside it."""

    at: float
    words: str


class Axis(NamedTuple):
    """Values from 0 to `limit` between the places `start` and `end`, with a mark at every `step`."""

    start: float
    end: float
    limit: float
    step: float

    def at(self, value: float) -> float:
        """The place of a value; what lies beyond the limit stands at the end."""
        return self.start + (self.end - self.start) * min(value, self.limit) / self.limit

    def marks(self) -> list[Mark]:
        """Every mark from 0 to the limit, with its number."""
        values = [k * self.step for k in range(round(self.limit / self.step) + 1)]
        return [Mark(self.at(value), f"{value:g}") for value in values]


class Shares(Axis):
    """Shares from nothing to the whole, with a mark at every fifth in percent."""

    def marks(self) -> list[Mark]:
        """Every mark from 0 to 100 %."""
        return [Mark(self.at(k / 5), f"{20 * k} %") for k in range(6)]


def shares(start: float, end: float) -> Shares:
    """An axis of shares between two places."""
    return Shares(start, end, 1.0, 0.2)


def axis(start: float, end: float, limit: float, most: int) -> Axis:
    """An axis with an even end at or above `limit` and at most `most` even steps."""
    power = 10.0 ** math.floor(math.log10(limit))
    for step in (power / 10, power / 5, power / 2, power, 2 * power, 5 * power):
        if limit / step <= most:
            return Axis(start, end, math.ceil(limit / step - 1e-9) * step, step)
    return Axis(start, end, limit, limit)


def spread(places: list[float], step: float, last: float) -> list[float]:
    """Places in order, moved apart to at least a step and none beyond the last."""
    found: list[float] = []
    for place in places:
        found.append(max(place, found[-1] + step) if found else place)
    for i in reversed(range(len(found))):
        found[i] = min(found[i], last)
        last = found[i] - step
    return found
