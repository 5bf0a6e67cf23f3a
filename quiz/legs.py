"""The way of a cable as a sketch of a site draws it: leg by leg, up, along and down, each with its length.

A length that stands in a sketch is read there, leg by leg, and not in the words of a question.
"""

from __future__ import annotations

from itertools import pairwise
from random import Random
from typing import NamedTuple

STEP_M = 0.5
"""Legs are whole steps of so much [m]."""
FEWEST, MOST = 2, 4
"""Legs of a way, where it is long enough for them."""

_COURSES = {
    1: ((0.0, 0.5), (1.0, 0.5)),
    2: ((0.0, 1.0), (0.0, 0.0), (1.0, 0.0)),
    3: ((0.0, 1.0), (0.5, 1.0), (0.5, 0.0), (1.0, 0.0)),
    4: ((0.0, 1.0), (0.0, 0.5), (0.45, 0.5), (0.45, 0.0), (1.0, 0.0)),
}
"""Corners of a way by its number of legs, right and down, from 0 to 1: not to scale, so that every length has room."""


class Leg(NamedTuple):
    """A leg from one corner to the next, right and down, from 0 to 1 of the sketch, and its length [m]."""

    start: tuple[float, float]
    end: tuple[float, float]
    metres: float

    @property
    def upright(self) -> bool:
        """True where it goes up or down."""
        return self.start[0] == self.end[0]

    @property
    def middle(self) -> tuple[float, float]:
        """Halfway, right and down."""
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2


def split(metres: float, rng: Random) -> tuple[float, ...]:
    """A length as legs of whole steps that add up to it [m]; it is a whole number of steps itself."""
    steps = round(metres / STEP_M)
    count = min(steps, rng.randint(FEWEST, MOST))
    cuts = [0, *sorted(rng.sample(range(1, steps), count - 1)), steps]
    return tuple(STEP_M * (after - before) for before, after in pairwise(cuts))


def course(metres: tuple[float, ...]) -> tuple[Leg, ...]:
    """Where each leg lies in the sketch: the reader at the first leg's start, the antenna at the last one's end."""
    corners = _COURSES[len(metres)]
    return tuple(Leg(*ends, m) for ends, m in zip(pairwise(corners), metres, strict=True))
