"""Sweeps of delivered cables, made with scikit-rf alone: what a pocket analyser writes, with the truth beside it.

Nothing here is taken from the program that judges them: the figures of the classes are typed from the facts sheet, the
line is scikit-rf's, with the delay of the skin effect; connectors are short lines of another impedance with a contact
resistance; the analyser has noise, a drift and what its calibration leaves over. A joint may lose power of its own: a
matched part left in it, or a contact that does not close. What is drawn how is an assumption.
"""

from __future__ import annotations

from random import Random
from typing import Any, NamedTuple

import numpy as np
import skrf
from numpy.typing import NDArray
from skrf.media import DefinedGammaZ0

LIGHT = 299_792_458.0
NEPER = 8.685889638
CLASSES = {
    "100": (0.70914, 0.00174, 0.66),
    "195": (0.35657, 0.00047, 0.80),
    "200": (0.3209, 0.00033, 0.83),
    "240": (0.24208, 0.00033, 0.84),
    "400": (0.12229, 0.00026, 0.85),
    "600": (0.07555, 0.00026, 0.87),
}
"""k1 [dB/100 ft/sqrt(MHz)], k2 [dB/100 ft/MHz], velocity [of light]: the facts sheet on cables."""
WIDE = ((50e6, 1.5e9), (100e6, 3e9), (300e6, 2.7e9), (10e6, 1.1e9))
NARROW = ((860e6, 930e6), (700e6, 1e9), (500e6, 1.2e9))
"""Bands that people sweep [Hz]."""
KINDS = ("two-port", "open", "short", "load")


class Truth(NamedTuple):
    """What was delivered against what was ordered, and how it was measured; lengths in [m]."""

    ordered: str
    ordered_m: float
    delivered: str
    delivered_m: float
    fault: str
    fault_m: float
    kind: str
    wide: bool
    celsius: float
    pad_db: float = 0.0
    """Lost at one joint without an echo, in dB."""
    contact_ohm: float = 0.0
    """Resistance of one joint's contact, beside what every joint has."""
    lossy_end: str = "near"


def drawn(rng: Random, wide: bool | None = None) -> Truth:
    """An order and what came of it: half of them good, the others cut, of another class, with a fault or a lossy joint.

    A connector with an echo may come on a cable of another class.
    """
    ordered = rng.choice(tuple(CLASSES))
    length = round(float(np.exp(rng.uniform(np.log(1.0), np.log(25.0)))), 2)
    delivered, delivered_m, fault, fault_m = ordered, length * rng.uniform(1.0, 1.01), "", 0.0
    what = rng.random()
    pad_db, contact_ohm = 0.0, 0.0
    if 0.5 <= what < 0.63:
        delivered_m = length * rng.choice((0.9, 0.9, 0.8, 0.6))
    elif 0.63 <= what < 0.76 or what >= 0.94:
        delivered = rng.choice([name for name in CLASSES if name != ordered])
    if 0.76 <= what < 0.86:
        fault = rng.choice(("crush", "near", "far"))
    elif what >= 0.94:
        fault = rng.choice(("near", "far"))
    elif what >= 0.86:
        fault = rng.choice(("pad", "contact"))
        pad_db = rng.uniform(0.5, 4.0) if fault == "pad" else 0.0
        contact_ohm = rng.uniform(5.0, 40.0) if fault == "contact" else 0.0
    if fault in ("crush", "far"):
        fault_m = delivered_m if fault == "far" else rng.uniform(0.2, 0.9) * delivered_m
    broad = rng.random() < 0.8 if wide is None else wide
    kind, celsius, end = rng.choice(KINDS), rng.uniform(15, 32), rng.choice(("near", "far"))
    truth = Truth(ordered, length, delivered, delivered_m, fault, fault_m, kind, broad, celsius)
    return truth._replace(pad_db=pad_db, contact_ohm=contact_ohm, lossy_end=end)


def sweep(truth: Truth, rng: Random) -> skrf.Network:
    """The sweep of a delivery as the analyser writes it: one port, or two."""
    low, high = rng.choice(WIDE if truth.wide else NARROW)
    v = CLASSES[truth.delivered][2] * LIGHT
    # enough points that the cable's length does not fold back, as the analyser's own manual asks for
    needed = 2.4 * truth.ordered_m * (high - low) / (v / 2) if truth.wide else 0
    points = next((n for n in (101, 201, 401, 801) if n > needed), 1601)
    frequency = skrf.Frequency(low, high, points, unit="Hz")
    cable = _cable(truth, frequency, rng)
    near, far = (_connector(frequency, rng, truth.fault == side) for side in ("near", "far"))
    if truth.lossy_end == "near":
        near = _lossy(frequency, truth) ** near
    else:
        far = _lossy(frequency, truth) ** far
    whole = near**cable ** far.flipped()
    if truth.kind != "two-port":
        end = {"open": 1.0, "short": -1.0, "load": 10 ** (-rng.uniform(28, 40) / 20)}[truth.kind]
        # an open end's own capacitance, a short's inductance: a few millimetres
        turn = np.exp(-2j * np.pi * frequency.f * 2 * rng.uniform(0, 0.003) / LIGHT)
        load = skrf.Network(frequency=frequency, s=(end * turn).reshape(-1, 1, 1), z0=50)
        whole = whole**load
    return _measured(whole, rng)


def _cable(truth: Truth, frequency: Any, rng: Random) -> Any:
    k1, k2, velocity = CLASSES[truth.delivered]
    mhz = frequency.f / 1e6
    warm = (1 + 0.002 * (truth.celsius - 25)) * float(np.clip(rng.gauss(1, 0.02), 0.95, 1.05))
    velocity *= float(np.clip(rng.gauss(1, 0.004), 0.99, 1.01))
    skin = k1 * np.sqrt(mhz) / 30.48 / NEPER * warm
    rest = k2 * mhz / 30.48 / NEPER * warm
    gamma = skin + rest + 1j * (2 * np.pi * frequency.f / (velocity * LIGHT) + skin)

    def line(metres: float, ohm: float) -> Any:
        medium = DefinedGammaZ0(frequency=frequency, gamma=gamma, z0=ohm, z0_port=50)
        return medium.line(metres, "m")

    ohm = rng.gauss(50, 0.5)
    if truth.fault != "crush":
        return line(truth.delivered_m, ohm)
    crushed = line(rng.uniform(0.01, 0.03), rng.uniform(20, 33))
    return line(truth.fault_m, ohm) ** crushed ** line(truth.delivered_m - truth.fault_m, ohm)


def _connector(frequency: Any, rng: Random, bad: bool) -> Any:
    air = 2j * np.pi * frequency.f / LIGHT
    ohm = rng.gauss(50, 2.0) if not bad else rng.choice((rng.uniform(18, 26), rng.uniform(85, 130)))
    body = DefinedGammaZ0(frequency=frequency, gamma=air, z0=ohm, z0_port=50).line(rng.uniform(0.008, 0.02), "m")
    contact = DefinedGammaZ0(frequency=frequency, gamma=air, z0=50, z0_port=50).resistor(rng.uniform(0.2, 1.2))
    return contact**body


def _lossy(frequency: Any, truth: Truth) -> Any:
    """What a joint loses of its own: a matched loss, and a contact's resistance."""
    air = DefinedGammaZ0(frequency=frequency, gamma=2j * np.pi * frequency.f / LIGHT, z0=50, z0_port=50)
    s = np.zeros((len(frequency.f), 2, 2), dtype=complex)
    s[:, 0, 1] = s[:, 1, 0] = 10 ** (-truth.pad_db / 20)
    return skrf.Network(frequency=frequency, s=s, z0=50) ** air.resistor(truth.contact_ohm)


def _measured(whole: skrf.Network, rng: Random) -> skrf.Network:
    """What noise, drift and the rest of the calibration make of it."""
    noise = np.random.default_rng(rng.getrandbits(63))
    f = whole.f

    def wave(size: float) -> NDArray[np.complex128]:
        turn = rng.uniform(0, 2 * np.pi) + 2 * np.pi * f * rng.uniform(0, 4e-10)
        return np.asarray(size * np.exp(1j * turn), dtype=np.complex128)

    s = whole.s.copy()
    floor = 10 ** (-rng.uniform(65, 80) / 20)
    for i in range(s.shape[1]):
        for j in range(s.shape[2]):
            if i == j:
                true = s[:, i, j].copy()
                source = wave(10 ** (-rng.uniform(32, 40) / 20))
                s[:, i, j] = wave(10 ** (-rng.uniform(36, 44) / 20)) + true * (1 + wave(0.004)) / (1 - source * true)
            else:
                s[:, i, j] *= 1 + wave(0.005)
    grain = noise.normal(size=(*s.shape, 2)) @ np.array([1, 1j]) / np.sqrt(2)
    s = s * (1 + 0.001 * noise.normal(size=s.shape)) + floor * grain
    return skrf.Network(frequency=whole.frequency, s=s, z0=50, name="sweep")
