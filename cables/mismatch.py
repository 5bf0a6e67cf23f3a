"""What is lost and what is uncertain where impedances do not match."""

from __future__ import annotations

import math

MOST = 0.99
"""No two reflections are taken to leave less than a hundredth of the amplitude: 40 dB (assumed)."""


def reflection_of(return_loss_db: float) -> float:
    """Size of the reflection coefficient of a return loss [dB]."""
    return float(10 ** (-return_loss_db / 20))


def reflection_between(line_ohm: float, load_ohm: float) -> float:
    """Size of the reflection where a line of one impedance meets another [ohm both]."""
    return abs(load_ohm - line_ohm) / (load_ohm + line_ohm)


def return_loss_db(reflection: float) -> float:
    """Return loss [dB] of a reflection coefficient above zero."""
    return -20 * math.log10(reflection)


def mismatch_loss_db(reflection: float) -> float:
    """Power that does not pass a single reflection [dB]: -10 log10(1 - |r|^2)."""
    return -10 * math.log10(1 - reflection**2)


def interaction_db(near: float, far: float) -> float:
    """How far two reflections may add up or cancel through a short run [dB]: the worse sign.

    The cable's loss would damp it; that is left out, so the figure is a bound for any length. Sizes that are sums of
    several may exceed all there is: together they count for MOST at most.
    """
    return -20 * math.log10(1 - min(near * far, MOST))
