"""The least wall that a body's tail keeps round its bore, just below and just above it; figures stand in full."""

from __future__ import annotations

import pytest

from coaxtell.models import body
from coaxtell.models.half import Half
from coaxtell.models.numbers import replaced, walk
from tests.halves import half


@pytest.mark.parametrize(("r", "d"), [(3.95, 8.89), (3.99, 2 * 1.12 * 3.99)])
def test_a_tail_keeps_a_wall_of_0_12_radii_round_its_bore(r: float, d: float) -> None:
    """Drawn so: BNC's flange has a tail of 0.7 x 12.7 = 8.89 mm: enough for a bore of r 3.97 mm and grown beyond."""
    one = half("bnc-50-jack")
    path = ("shell", "inside", len(one.shell.inside) - 1, "d")
    wide: Half = replaced(one, path, dict(walk(one))[path].at(2 * r))
    tail = next(step for step in body.styled(wide, "flange-4").shell.outside if step.name == "tail")
    assert tail.d is not None
    assert tail.d.nominal == pytest.approx(d, abs=1e-6)
