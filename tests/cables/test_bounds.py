"""The tolerance of printed rows, just below and just above it; figures stand in full."""

from __future__ import annotations

from pathlib import Path

import pytest

from coaxtell.cables import tables
from coaxtell.models.errors import InputError
from tests.cables.test_classes import OWN, own_class

K1 = 'k1 = { value = 0.2, unit = "dB/100 ft/sqrt(MHz)", grade = "high", source = ["mine"] }\n'
K2 = 'k2 = { value = 0, unit = "dB/100 ft/MHz", grade = "high", source = ["mine"] }\n'


def class_of_row(loss: float) -> str:
    """A class of 0.2 x sqrt(900) = 6 dB/100 ft by its coefficients, with one printed row at 900 MHz."""
    printed = f'{{ value = {loss}, unit = "dB/100 ft", grade = "high", source = ["mine"] }}'
    return OWN[: OWN.index("rows = [")] + K1 + K2 + f"rows = [ {{ mhz = 900, loss = {printed} }} ]\n"


@pytest.mark.parametrize("loss", [5.72, 6.31])
def test_coefficients_within_a_twentieth_of_the_printed_row_are_taken(loss: float, tmp_path: Path) -> None:
    """Assumed: 5 % of the row: 6 dB lie 4.9 % from either of these."""
    assert "own" in tables.load(own_class(tmp_path, class_of_row(loss))).classes


@pytest.mark.parametrize("loss", [5.70, 6.33])
def test_coefficients_farther_off_are_refused(loss: float, tmp_path: Path) -> None:
    """6 dB lie 5.3 % and 5.2 % from these."""
    with pytest.raises(InputError, match="its printed row says"):
        tables.load(own_class(tmp_path, class_of_row(loss)))
