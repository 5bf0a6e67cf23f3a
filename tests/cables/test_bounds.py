"""The tolerance of printed rows and what is assumed of a sweep, just below and just above; figures stand in full."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from coaxtell.cables import tables
from coaxtell.cables.arrival import judging
from coaxtell.cables.arrival.reading import Echo, Ordered, Reading, _place_off, read
from coaxtell.cables.arrival.sweep import FarEnd, Real, Sweep
from coaxtell.cables.mismatch import interaction_db
from coaxtell.cables.objections import notes
from coaxtell.cables.run import Run
from coaxtell.cables.sides import Side
from coaxtell.cables.tables import CableTables
from coaxtell.models.errors import InputError
from tests.cables.kit import cable_tables
from tests.cables.test_classes import OWN, own_class
from tests.halves import half

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


class Flat:
    """A cable that loses 3 dB at every frequency, through which a wave takes so long [s]."""

    def __init__(self, delay_s: float) -> None:
        self.delay_s = delay_s
        self.cable = cable_tables().classes["240"]

    def loss_db(self, hz: Real, tables: CableTables) -> Real:
        return np.full(len(hz), 3.0)


@pytest.mark.parametrize(
    ("turns", "off_db"),
    [
        (1, 2 * (0.05**2 + 0.1**2) ** 0.5),  # one turn of the ripple in the band: both count whole
        (100, 2 * (0.05**2 + 0.1**2 / 100) ** 0.5),  # a hundred: the ripple is worn down to a tenth, the joints' stays
    ],
)
def test_ripple_counts_for_a_tenth_of_a_db_and_joints_for_half_of_that(turns: int, off_db: float) -> None:
    """Assumed: 0.1 and 0.05 dB. By hand: a loss alike at all frequencies is off by the joints' and the mean ripple's,
    two sigma, and by the analyser's 0.1 dB."""
    hz = np.linspace(1e9, 2e9, 401)
    reading = cast(Reading, SimpleNamespace(hz=hz, loss_db=np.full(401, 3.1)))
    fit = judging._fit(reading, cast(Ordered, Flat(turns / 2 / 1e9)), cable_tables(), 0.0)
    assert cable_tables().arrival.analyser.nominal == 0.1
    assert fit.error * 3.0 == pytest.approx(off_db + 0.1, rel=1e-6)


def test_an_echo_counts_for_half_as_much_again() -> None:
    """Assumed: 1.5 times. 20 dB send back 0.1, so 0.15: -10 log10(1 - 0.0225) = 0.0988 dB."""
    bad = judging._Bad("arrival.near", Echo(0.0, 20.0, None, 0.1), 26.0)
    assert judging._lost_by([bad]) == pytest.approx(0.0988, abs=5e-5)


def test_an_open_end_covers_two_widths_of_an_echo_and_a_fiftieth_of_its_time() -> None:
    """Assumed: 0.02 of the time; 20 m of a line by formula, open at its end."""
    known = cable_tables()
    ordered = Ordered(known.classes["240"], 20.0, 915.0, 25.0)
    hz = np.linspace(50e6, 2e9, 1601)
    back = 10 ** (-2 * ordered.loss_db(hz, known) / 20) * np.exp(-4j * np.pi * hz * ordered.delay_s)
    found = read(Sweep("made", hz, np.asarray(back, dtype=np.complex128), FarEnd.OPEN, None, None), ordered, known)
    assert found.time_m == pytest.approx(20.0, abs=0.05)
    assert found.time_m is not None
    assert found.covered_m - 2 * found.resolution_m == pytest.approx(0.02 * found.time_m, rel=1e-6)


def test_neighbours_move_an_echo_by_a_tenth_of_what_the_band_resolves() -> None:
    """Assumed: 0.1 of the resolution, beside the connector before it and its velocity."""
    known = cable_tables()
    here, wide = (_place_off(0.0, resolution, known) for resolution in (0.0, 0.5))
    assert wide - here == pytest.approx(0.05)


@pytest.mark.parametrize(("product", "left_db"), [(0.98, 33.98), (0.989, 39.17), (0.991, 40.0), (1.2, 40.0)])
def test_two_reflections_leave_a_hundredth_at_least(product: float, left_db: float) -> None:
    """Assumed: 0.99, so 40 dB; below it -20 log10(1 - product)."""
    assert interaction_db(product, 1.0) == pytest.approx(left_db, abs=0.01)


@pytest.mark.parametrize(("reflection", "told"), [(0.049, False), (0.051, True)])
def test_a_reflection_is_told_from_a_twentieth_on(reflection: float, told: bool) -> None:
    """26 dB of return loss; what is better is not worth a line."""
    ports = (half("n-50-jack"), half("n-50-jack"))
    region = cable_tables().region("us")
    run = Run(reader=ports[0], antenna=ports[1], length_m=5.0, frequency_mhz=915.0, region=region)
    side = Side(half("n-50-plug"), (), (), reflection)
    cable = cable_tables().classes["400"]
    found = notes(run, cable, ports, (side, Side(half("n-50-plug"), (), (), 0.0)), None, cable_tables())
    assert ("note.mismatch" in [reason.code for reason in found]) is told
