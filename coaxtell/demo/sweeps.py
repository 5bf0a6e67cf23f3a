"""Invented sweeps of the depot's cables: a line by formula between two plain connectors, as a pocket analyser saves it.

Loss and speed are those of the class that was ordered; what is wrong with a cable is put in by hand.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from coaxtell.cables.arrival.reading import LIGHT_M_S
from coaxtell.cables.pieces import Piece

HZ = np.linspace(50e6, 1.5e9, 401)
"""What is swept; so many points tell a cable of some 30 m without folding back."""
PORT_OHM = 50.0
JOINT_OHM, JOINT_M = 52.0, 0.012
"""A plain connector: a short air line that is not quite 50 ohm (invented)."""
CRUSHED_OHM, CRUSHED_M = 24.0, 0.02
"""Where somebody stood on the cable (invented)."""
NEPER = 8.685889638
"""dB in a neper."""

Complex = NDArray[np.complexfloating]


def touchstone(piece: Piece, length_m: float | None = None, crushed_m: float | None = None) -> str:
    """A two-port sweep of a cable as a Touchstone file: as ordered, of another length [m], or crushed so far along [m].

    Raises ValueError where the class's loss or velocity is not known.
    """
    cable = piece.cable
    if cable.velocity is None:
        raise ValueError(f"class {cable.name!r} has no velocity")
    loss = np.array([cable.db_per_100ft(hz / 1e6) for hz in HZ]) / 30.48 / NEPER
    through = loss + 2j * np.pi * HZ / (cable.velocity.nominal * LIGHT_M_S)
    air = 2j * np.pi * HZ / LIGHT_M_S
    length = piece.length_m if length_m is None else length_m
    joint = line(air, JOINT_M, JOINT_OHM)
    if crushed_m is None:
        whole = line(through, length, PORT_OHM)
    else:
        dent = line(through, CRUSHED_M, CRUSHED_OHM)
        whole = line(through, crushed_m, PORT_OHM) @ dent @ line(through, length - crushed_m, PORT_OHM)
    return _written(joint @ whole @ joint)


def line(per_m: Complex, length_m: float, ohm: float) -> Complex:
    """The chain matrices of a line, of shape (frequencies, 2, 2). Source: any textbook, such as Pozar, chapter 4."""
    turned = np.asarray(per_m * length_m)
    return np.array([[np.cosh(turned), ohm * np.sinh(turned)], [np.sinh(turned) / ohm, np.cosh(turned)]]).transpose(
        2, 0, 1
    )


def scattering(chain: Complex) -> tuple[Complex, Complex, Complex]:
    """S11, S21 and S22 of a chain that lets as much through from either end."""
    a, b, c, d = chain[:, 0, 0], chain[:, 0, 1] / PORT_OHM, chain[:, 1, 0] * PORT_OHM, chain[:, 1, 1]
    total = a + b + c + d
    return (a + b - c - d) / total, 2 / total, (-a + b - c + d) / total


def _written(chain: Complex) -> str:
    """The file: a row of frequency, S11, S21, S12 and S22 each."""
    s11, s21, s22 = scattering(chain)
    rows = ["! invented: made by coaxtell for its demonstration, measured on nothing", "# Hz S RI R 50"]
    for hz, *row in zip(HZ, s11, s21, s21, s22, strict=True):
        rows.append(" ".join([f"{hz:.0f}", *(f"{part:.9f}" for s in row for part in (s.real, s.imag))]))
    return "\n".join(rows) + "\n"
