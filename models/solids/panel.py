"""A panel in the round: a plate, the halves that stand in it, and a ring about the one that is asked about."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coaxtell.models.half import Half
from coaxtell.models.helix import Array, Index
from coaxtell.models.panel import RING, SUNK, THICK, Row, row
from coaxtell.models.solids.picture import staged
from coaxtell.models.solids.shine import Shine
from coaxtell.models.solids.studio import Staged

PLATE = Shine((0.34, 0.37, 0.40), 0.0, 0.55)
"""Grey paint."""
MARK = Shine((0.95, 0.42, 0.02), 0.0, 1.0)
"""The ring, in a colour that neither metal nor plastic of a port has."""
TURNS, ABOVE = 96, 0.15
"""Corners of the ring, and how far it lies over the plate [mm]."""
CLEAR = 0.05
"""What stands out less is drawn within the plate, so that no face lies in the plate's own [mm]."""


def stood(halves: Sequence[Half], asked: int, azimuth: float) -> list[Staged]:
    """The halves in a plate about whose middle they turn, its front on z = 0, as they are seen from so far aside [deg].

    Of what lies behind the plate nothing is left, so that no body shows over its edge.
    """
    found = row(halves, asked, azimuth)
    parts = [*_plate(found)]
    for half, place in zip(halves, found.standing, strict=True):
        for part in staged(half, "three-quarter"):
            points = part.points + np.array([place.x, 0.0, -place.seat])
            before = points[:, 2] >= CLEAR
            points[~before, 2] = -SUNK
            parts.append(part._replace(points=points, faces=part.faces[before[part.faces].any(axis=1)]))
    middle = np.array([(found.left + found.right) / 2, 0.0, 0.0])
    return [part._replace(points=part.points - middle) for part in parts if len(part.faces)]


def _plate(found: Row) -> tuple[Staged, Staged]:
    corners = np.array([[x, y, z] for x in (found.left, found.right) for y in (-found.tall, found.tall)
                        for z in (-THICK, 0.0)])  # fmt: skip
    faces = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    box: Index = np.array([t for a, b, c, d in faces for t in ((a, b, c), (a, c, d))])
    return Staged(corners, box, PLATE, True), _ring(found.standing[found.asked].radius)


def _ring(radius: float) -> Staged:
    turn = np.linspace(0, 2 * np.pi, TURNS, endpoint=False)
    round_ = np.stack([np.cos(turn), np.sin(turn), np.zeros(TURNS)], axis=1) * radius
    points: Array = np.concatenate([RING[0] * round_, RING[1] * round_]) + np.array([0.0, 0.0, ABOVE])
    at = np.arange(TURNS)
    after = (at + 1) % TURNS
    faces: Index = np.concatenate([
        np.stack([at, at + TURNS, after], axis=1), np.stack([after, at + TURNS, after + TURNS], axis=1)
    ])  # fmt: skip
    return Staged(points, faces, MARK, False)
