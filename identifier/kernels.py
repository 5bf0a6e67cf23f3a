"""How a reading or a comparison by eye scatters: a logistic curve, whose tails are wider than the normal one's.

People's errors have wider tails than a normal curve, and this one needs no special function.
"""

from __future__ import annotations

import math

import numpy as np

from coaxtell.identifier.draws import Array

SCALE_PER_SPREAD = math.sqrt(3) / math.pi
"""Scale of a logistic distribution per its standard deviation."""


def density(offset: Array | float, spread: Array | float) -> Array:
    """Density at an offset from the middle for a standard deviation, both in the same unit [1/unit]."""
    scale = np.asarray(spread, dtype=float) * SCALE_PER_SPREAD
    tail = np.exp(-np.abs(np.asarray(offset, dtype=float) / scale))
    found: Array = tail / (scale * (1 + tail) ** 2)
    return found


def below(offset: Array | float, spread: Array | float) -> Array:
    """Share that lies below an offset from the middle, for a standard deviation."""
    scale = np.asarray(spread, dtype=float) * SCALE_PER_SPREAD
    found: Array = 0.5 * (1 + np.tanh(np.asarray(offset, dtype=float) / (2 * scale)))
    return found
