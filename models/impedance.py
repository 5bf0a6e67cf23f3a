"""Impedance of a coaxial line from its diameters, and the return loss of a step between two impedances."""

from __future__ import annotations

import math

AIR_LINE_OHM = 59.958
"""Impedance of an air line at D/d = e: free-space impedance / 2 pi with er of air 1.00059 left out [ohm]."""


def line_ohm(bore: float, conductor: float, er: float = 1.0) -> float:
    """Impedance [ohm] of a coaxial line from bore and inner conductor [mm] and relative permittivity."""
    return AIR_LINE_OHM * math.log(bore / conductor) / math.sqrt(er)


def return_loss_db(one: float, two: float) -> float | None:
    """Return loss [dB] of the step between two impedances [ohm]; none where they are equal."""
    if one == two:
        return None
    return -20 * math.log10(abs(one - two) / (one + two))
