"""A number of a table as many values over its range: a soft number is no point.

The values are spread evenly over a triangle from the lower to the upper limit with its peak at the nominal, the
same every time: no chance is involved.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from coaxtell.models.measure import Measure

Array = npt.NDArray[np.float64]

COUNT = 32
"""Values per number."""

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


class Draws:
    """Values of numbers: the same number gets the same values each time it is asked for.

    `pinned` holds one number at a single value instead, to see what hangs on it.
    """

    def __init__(self, pinned: Measure | None = None, at: float = 0.0) -> None:
        self._pinned, self._at = pinned, at
        self._held: dict[int, tuple[Measure, Array]] = {}
        self._asked = 0

    def _quantiles(self) -> Array:
        stride = _STRIDES[self._asked % len(_STRIDES)]
        order = (np.arange(COUNT) * stride + 7 * self._asked) % COUNT
        self._asked += 1
        return (order + 0.5) / COUNT

    def __call__(self, measure: Measure) -> Array:
        """The values of this number [its unit]."""
        if measure is self._pinned:
            return np.full(COUNT, self._at)
        held = self._held.get(id(measure))
        if held is None:
            values = _triangle(self._quantiles(), measure.low, measure.nominal, measure.high)
            held = self._held[id(measure)] = (measure, values)
        return held[1]

    def between(self, low: float, high: float) -> Array:
        """Values between two limits of which none is likelier than the other [unit of the limits]."""
        return low + (high - low) * self._quantiles()

    @property
    def used(self) -> list[Measure]:
        """The numbers asked for so far."""
        return [measure for measure, _ in self._held.values()]


class Nominal(Draws):
    """Every number at its nominal, as the one true part."""

    def __call__(self, measure: Measure) -> Array:
        """The nominal [its unit]."""
        return np.array([measure.nominal])

    def between(self, low: float, high: float) -> Array:
        """The middle of the limits [their unit]."""
        return np.array([(low + high) / 2])
