"""What an analyser measured on a cable: reflection at one end, or both ends with what passes between them."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

import msgspec
import numpy as np
from numpy.typing import NDArray

from coaxtell.models.errors import RefusedError

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]

LEAST_POINTS = 51
"""Fewer points tell neither length nor loss."""
_MOST_RATIO = 1.1
"""More than all cannot come back or pass; noise and calibration may be off by so much [of the amplitude]."""


class FarEnd(StrEnum):
    """What stands at the far end of the cable while it is measured."""

    PORT = "port"
    """The analyser's second port."""
    OPEN = "open"
    SHORT = "short"
    LOAD = "load"


class Sweep(msgspec.Struct, frozen=True):
    """Evenly spaced frequencies [Hz] with the reflection at either end and what passes; one port has s11 alone.

    Raises InputError where the points are too few, unevenly spaced, out of order, not numbers, or beyond all power.
    """

    file: str
    hz: Real
    s11: Complex
    far: FarEnd
    s21: Complex | None = None
    s22: Complex | None = None

    def __post_init__(self) -> None:
        steps = np.diff(self.hz)
        if len(self.hz) < LEAST_POINTS:
            raise RefusedError("cables.short_sweep", file=self.file, points=len(self.hz), least=LEAST_POINTS)
        if not all(np.isfinite(part).all() for part in self._parts()) or not np.isfinite(self.hz).all():
            raise RefusedError("cables.no_numbers", file=self.file)
        if steps.min() <= 0 or self.hz[0] <= 0 or np.ptp(steps) > 0.01 * steps.mean():
            raise RefusedError("cables.uneven", file=self.file)
        if max(float(np.abs(part).max()) for part in self._parts()) > _MOST_RATIO:
            raise RefusedError("cables.too_much_back", file=self.file)

    def _parts(self) -> list[Any]:
        return [part for part in (self.s11, self.s21, self.s22) if part is not None]

    @property
    def span_hz(self) -> float:
        """From the first frequency to the last [Hz]."""
        return float(self.hz[-1] - self.hz[0])
