"""A row of halves in a panel: where each stands in the plate, so that none hides its neighbour.

Lengths in mm; the plate's front is z = 0, x runs along the row, and the half that is asked about stands at x = 0.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from coaxtell.models.body import shoulder
from coaxtell.models.half import Half
from coaxtell.models.surfaces import CORNERS, surfaces

THICK, SUNK = 1.5, 0.5
"""How thick the plate is drawn, and how far within it the halves end."""
APART, MARGIN = 0.55, 0.5
"""Room between neighbours, and from the outer ones to the plate's edges, in radii of the half that is asked about."""
RING = (1.15, 1.38)
"""Radii of the ring that marks a half, in those of that half."""


class Standing(NamedTuple):
    """One half in the plate: where its axis is, how wide and how far it stands out, and its own z at the plate."""

    x: float
    radius: float
    height: float
    seat: float


class Row(NamedTuple):
    """The halves of a panel, left to right, which of them is asked about, the plate's ends and half its height."""

    standing: tuple[Standing, ...]
    asked: int
    left: float
    right: float
    tall: float

    @property
    def corners(self) -> list[tuple[float, float, float]]:
        """Those of the box that holds all of it, about the middle of the plate's front."""
        wide, high = (self.right - self.left) / 2, max(one.height for one in self.standing)
        return [(x, y, z) for x in (-wide, wide) for y in (-self.tall, self.tall) for z in (-THICK, high)]


def row(halves: Sequence[Half], asked: int, azimuth: float) -> Row:
    """The row as it is to be seen from so far aside [deg]: no neighbour stands before another."""
    sizes = [(*_out(half, shoulder(half)), shoulder(half)) for half in halves]
    room, lean = APART * sizes[asked][0], math.tan(math.radians(abs(azimuth)))
    places = [0.0]
    for (r, h, _), (next_r, next_h, _) in pairwise(sizes):
        places.append(places[-1] + r + next_r + room + lean * max(h, next_h))
    standing = tuple(Standing(x - places[asked], *size) for x, size in zip(places, sizes, strict=True))
    edge = MARGIN * sizes[asked][0]
    widest = max(r for r, _, _ in sizes)
    return Row(
        standing, asked, standing[0].x - sizes[0][0] - edge, standing[-1].x + sizes[-1][0] + edge,
        max(widest, RING[1] * sizes[asked][0]) + edge,
    )  # fmt: skip


def _out(half: Half, z: float) -> tuple[float, float]:
    """Largest radius, over corners, of what stands before a place on the axis, and how far it stands out."""
    bodies = [(half.shell, half.thread)] + ([(half.nut.body, half.nut.thread)] if half.nut is not None else [])
    bodies += [] if half.housing is None else [(half.housing, None)]
    found = [s for body, thread in bodies for s in surfaces(body, body.outside, thread, inside=False) if s.z_front > z]
    radii = [max(s.r_front, s.r_back) * CORNERS.get(s.form, 1.0) for s in found]
    fronts = [s.z_front for s in found]
    if half.lugs is not None:
        radii.append(half.lugs.over.nominal / 2)
    if half.centre.pin is not None:
        fronts.append(half.centre.pin.tip.nominal)
    return max(radii), max(fronts) - z
