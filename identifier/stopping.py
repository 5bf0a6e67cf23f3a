"""When to stop looking: when going on costs more seconds than it is expected to save on wrong orders."""

from __future__ import annotations

import numpy as np

from coaxtell.identifier.draws import Array


def value(sure: Array, best: Array | float, seconds: Array, wrong_order: float) -> Array:
    """What looks are worth [s]: the fall of the expected cost of a wrong order less the seconds they take.

    `sure` is the expected probability of the best order after a look, `best` that before it, `wrong_order` what a
    wrong order costs [s].
    """
    found: Array = (sure - best) * wrong_order - seconds
    return found


def goes_on(values: Array) -> bool:
    """Whether any look is worth its seconds."""
    return bool(np.any(values > 0))
