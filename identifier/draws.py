"""A number of a table as many values over its range: a soft number is no point.

The values are spread evenly over a triangle from the lower to the upper limit with its peak at the nominal, the
same every time: no chance is involved.
"""

from __future__ import annotations

from zlib import crc32

import numpy as np
import numpy.typing as npt

from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import walk

Array = npt.NDArray[np.float64]

COUNT = 32
"""Values per number."""
DIGITS = 4
"""Decimals that values and probabilities are rounded to, once, so that no machine tells another last digit."""

_STRIDES = (1, 5, 11, 19, 27, 7, 13, 23, 3, 29, 17, 9, 21, 31, 15, 25)
"""Odd numbers: each runs through all the values in another order, so that several numbers do not rise together."""


def _triangle(quantile: Array, low: float, peak: float, high: float) -> Array:
    """Values of a triangular distribution at the given shares."""
    if high <= low:
        return np.full(quantile.shape, peak)
    left = (peak - low) / (high - low)
    rising = low + np.sqrt(quantile * (high - low) * (peak - low))
    falling = high - np.sqrt((1 - quantile) * (high - low) * (high - peak))
    return np.where(quantile < left, rising, falling)


def spread(measure: Measure) -> tuple[float, float]:
    """The range in which a number may lie [its unit]; where the least range of its grade is as wide as a small size
    itself, no less than two thirds of it."""
    low, high = measure.span
    return (max(low, min(measure.low, measure.nominal * 2 / 3)), high) if measure.low > 0 else (low, high)


class Draws:
    """Values of the numbers of a half: each number's values hang on its place in the half alone, never on who asked
    for what before. What is no number of the half, such as the reach of jaws, has its place by what it says.

    `pinned` holds one number at a single value instead, to see what hangs on it.
    """

    def __init__(self, half: Half | None = None, pinned: Measure | None = None, at: float = 0.0) -> None:
        self._pinned, self._at = pinned, at
        self._places: dict[int, int] = {}
        self.numbers = [] if half is None else walk(half)
        """Every number of the half with its place in the table; held here, so that its identity stays its own."""
        for place, (_, measure) in enumerate(self.numbers):
            self._places.setdefault(id(measure), place)
        self._used: dict[int, Measure] = {}

    def __call__(self, measure: Measure) -> Array:
        """The values of this number [its unit]."""
        self._used[id(measure)] = measure
        if measure is self._pinned:
            return np.full(COUNT, self._at)
        place = self._places.get(id(measure))
        if place is None:
            place = _told(measure.low, measure.nominal, measure.high)
        low, high = spread(measure)
        return np.round(_triangle(_quantiles(place), low, measure.nominal, high), DIGITS)

    def between(self, low: float, high: float) -> Array:
        """Values between two limits of which none is likelier than the other [unit of the limits]."""
        return np.round(low + (high - low) * _quantiles(_told(low, high)), DIGITS)

    @property
    def used(self) -> list[Measure]:
        """The numbers asked for so far."""
        return list(self._used.values())


def _quantiles(place: int) -> Array:
    """Shares spread evenly, in an order of their own for each place."""
    order = (np.arange(COUNT) * _STRIDES[place % len(_STRIDES)] + 7 * place + 3 * (place // COUNT)) % COUNT
    return (order + 0.5) / COUNT


def _told(*numbers: float) -> int:
    """A place for what has none in a half, from its numbers alone."""
    return crc32(",".join(f"{number:.{DIGITS}f}" for number in numbers).encode())


class Nominal(Draws):
    """Every number at its nominal, as the one true part."""

    def __call__(self, measure: Measure) -> Array:
        """The nominal [its unit]."""
        return np.array([measure.nominal])

    def between(self, low: float, high: float) -> Array:
        """The middle of the limits [their unit]."""
        return np.array([(low + high) / 2])
