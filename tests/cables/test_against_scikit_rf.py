"""Cable and mismatch formulas against scikit-rf, a network library of its own."""

import numpy as np
import pytest
import skrf
from skrf.media import DefinedAEpTandZ0, DefinedGammaZ0

from coaxtell.cables import mismatch
from coaxtell.cables.loss import loss_of
from coaxtell.cables.sides import side_of
from tests.cables.kit import cable_tables, matings, run

LIGHT = 299_792_458.0


@pytest.mark.outside(
    "Loss of a line",
    "scikit-rf, a line of its own physics",
    "0.1 %",
)
@pytest.mark.parametrize("name", ["100", "195", "200", "240", "400", "600"])
def test_cable_loss(name: str) -> None:
    # scikit-rf's line has a conductor loss that goes with the root of the frequency, given at one frequency,
    # and a dielectric loss pi f sqrt(er) tan(d) / c [Np/m], which goes with the frequency.
    cable = cable_tables().classes[name]
    assert cable.k1 is not None
    assert cable.k2 is not None
    mhz = np.array([450.0, 867.0, 915.0, 2450.0])
    er = 1.42
    at_1_ghz = cable.k1.nominal * np.sqrt(1000) / 30.48
    tangent = cable.k2.nominal / 30.48 * 1000 / 8.685889638 * LIGHT / (np.pi * 1e9 * np.sqrt(er))
    line = DefinedAEpTandZ0(
        frequency=skrf.Frequency.from_f(mhz, unit="MHz"),
        A=at_1_ghz,
        f_A=1e9,
        ep_r=er,
        tanD=tangent,
        z0_nominal=50,
        model="frequencyinvariant",
    ).line(10, "m")
    theirs = -20 * np.log10(np.abs(line.s[:, 1, 0]))
    ours = [cable.loss_db(10, f) for f in mhz]
    assert ours == pytest.approx(theirs, rel=1e-3)


@pytest.mark.outside(
    "Reflection and loss of a step",
    "scikit-rf",
    "a millionth",
)
@pytest.mark.parametrize("ohm", [75.0, 25.0, 93.0, 50.0])
def test_reflection_between_impedances(ohm: float) -> None:
    medium = DefinedGammaZ0(skrf.Frequency(915, 915, 1, unit="MHz"), z0=50)
    theirs = medium.load((ohm - 50) / (ohm + 50)).s_db[0, 0, 0] if ohm != 50 else -np.inf
    stepped = medium.impedance_mismatch(50, ohm)
    ours = mismatch.reflection_between(50, ohm)
    assert ours == pytest.approx(abs(stepped.s[0, 0, 0]))
    if ohm != 50:
        assert -mismatch.return_loss_db(ours) == pytest.approx(theirs)
    # What does not come back goes through: |s21|^2 = 1 - |s11|^2.
    assert mismatch.mismatch_loss_db(ours) == pytest.approx(-10 * np.log10(1 - abs(stepped.s[0, 0, 0]) ** 2))


def test_50_to_75_ohm() -> None:
    # Reflection 0.2, return loss 14 dB (facts sheet on bayonet families, computed there).
    assert mismatch.reflection_between(50, 75) == pytest.approx(0.2)
    assert mismatch.return_loss_db(0.2) == pytest.approx(13.98, abs=0.01)


@pytest.mark.outside(
    "Plus-minus of a run with reflecting ends",
    "scikit-rf, the cable at every phase",
    "none: within the bound",
)
@pytest.mark.parametrize("length", [0.3, 2.0, 10.0])
@pytest.mark.parametrize("name", ["195", "400"])
def test_plus_minus_bounds_what_reflections_can_do(name: str, length: float) -> None:
    # A reader and an antenna that reflect as assumed, joined by the cable at every phase: scikit-rf's
    # power into the antenna stays within our mismatch and interaction of the matched loss.
    figures = cable_tables().joints
    near = mismatch.reflection_of(figures.reader_return_loss.nominal)
    far = mismatch.reflection_of(figures.antenna_return_loss.nominal)
    cable = cable_tables().classes[name]
    alpha = cable.db_per_100ft(915) / 30.48 / 8.685889638
    phases = np.linspace(0.01, 2 * np.pi, 361)
    frequency = skrf.Frequency(915, 915, 1, unit="MHz")
    lost = []
    for phase in phases:
        line = DefinedGammaZ0(frequency, z0=50, gamma=alpha + 1j * phase / length).line(length, "m")
        s21 = line.s[0, 1, 0]
        into = abs(s21) ** 2 * (1 - far**2) / abs(1 - near * far * s21**2) ** 2
        lost.append(-10 * np.log10(into))
    matched = cable.loss_db(length, 915)
    middle = matched + mismatch.mismatch_loss_db(far)
    bound = mismatch.interaction_db(near, far)
    assert max(lost) <= middle + bound
    assert min(lost) >= middle - bound
    # The bound is no wider than it must be for a short run.
    if length == 0.3 and name == "400":
        assert max(lost) - middle > 0.9 * bound


def test_plus_minus_grows_with_length_temperature_and_mismatch() -> None:
    def plus_minus(length: str = "10m", celsius: float = 25, antenna: str = "n-50-jack") -> float:
        asked = run(length=length, temperature_c=celsius, antenna=antenna)
        cable = cable_tables().classes["195"]
        sides = (side_of(matings(), cable, asked.reader), side_of(matings(), cable, asked.antenna))
        return loss_of(asked, cable, sides, None, ((), ()), cable_tables()).plus_minus_db

    assert plus_minus("1m") < plus_minus("10m") < plus_minus("30m")
    assert plus_minus(celsius=25) < plus_minus(celsius=45) < plus_minus(celsius=65)
    assert plus_minus(celsius=25) < plus_minus(celsius=0) < plus_minus(celsius=-25)
    # BNC 75 on a 50 ohm cable reflects (return loss 14 dB).
    assert plus_minus(antenna="bnc-50-jack") < plus_minus(antenna="bnc-75-jack")
