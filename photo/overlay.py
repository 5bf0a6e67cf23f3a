"""What was found, drawn on the picture: the whole with card and rim, and the face near to, with a half's outline at its
true size."""

from __future__ import annotations

from collections.abc import Iterable

import cv2
import numpy as np
import numpy.typing as npt

from coaxtell.photo.card import PLAIN, Array, Card, mapped
from coaxtell.photo.circle import Rim

Picture = npt.NDArray[np.uint8]
SIDES, RIM, PART = (92, 200, 196), (60, 200, 60), (255, 90, 70)
"""Colours of the card's sides, of the rim and of a half's outline: as action, fit and harm on the bench."""
ROUND = np.linspace(0, 2 * np.pi, 97)
TALL = 900
"""Height of the drawn picture [px]."""
BESIDE = 30.0
"""How far outside of its ring a number stands [px]."""
NEAR = 2.2
"""How much of the face's surroundings the near view shows, in radii to each side."""


def ring(centre: Array, diameter: float) -> Array:
    """A circle as points (n, 2) [mm]."""
    return np.asarray(centre + diameter / 2 * np.column_stack([np.cos(ROUND), np.sin(ROUND)]))


def drawn(picture: Picture, card: Card, rim: Rim, outlines: Iterable[Array]) -> Picture:
    """The whole picture with the card and the rim, beside the face near to with the rim and the outlines.

    `outlines` are closed lines (n, 2) in the card's plane [mm].
    """
    scale = TALL / picture.shape[0]
    whole = _resized(picture, (round(picture.shape[1] * scale), TALL), cv2.INTER_AREA)
    shrink = np.diag([scale, scale, 1.0]) @ card.from_mm
    _line(whole, PLAIN, shrink, SIDES, 2)
    _line(whole, ring(rim.centre, rim.diameter), shrink, RIM, 2)
    rim_px = mapped(ring(rim.centre, rim.diameter), card.from_mm)
    reach = NEAR * float(np.ptp(rim_px, axis=0).max()) / 2
    corner = rim_px.mean(axis=0) - reach
    grow = TALL / (2 * reach)
    to_near = np.array([[grow, 0.0, -grow * corner[0]], [0.0, grow, -grow * corner[1]], [0.0, 0.0, 1.0]])
    near = np.asarray(cv2.warpPerspective(picture, to_near, (TALL, TALL), flags=cv2.INTER_CUBIC), dtype=np.uint8)
    for outline in outlines:
        _line(near, outline, to_near @ card.from_mm, PART, 1)
    _line(near, ring(rim.centre, rim.diameter), to_near @ card.from_mm, RIM, 2)
    return np.hstack([whole, near])


def numbered(picture: Picture, card: Card, circles: Iterable[tuple[Array, float]]) -> Picture:
    """The whole picture with the card and round things, each with its number: middle and radius [px]."""
    scale = TALL / picture.shape[0]
    whole = _resized(picture, (round(picture.shape[1] * scale), TALL), cv2.INTER_AREA)
    to_px = np.diag([scale, scale, 1.0])
    _line(whole, PLAIN, to_px @ card.from_mm, SIDES, 2)
    held = list(circles)
    for number, (middle, radius) in enumerate(held, 1):
        _line(whole, ring(middle, 2 * radius), to_px, RIM, 2)
        # rings often lie about one middle: each has its number outside of them all, at the end of a line of its own
        about = max(r for m, r in held if np.hypot(*(m - middle)) < r + radius)
        turn = 2 * np.pi * (number - 0.5) / len(held)
        way = np.array([np.cos(turn), np.sin(turn)])
        near, far = scale * (middle + radius * way), scale * (middle + about * way) + BESIDE * way
        _line(whole, np.array([near, far]), np.eye(3), RIM, 1)
        x, y = np.round(far + 0.4 * BESIDE * way).astype(int).tolist()
        for colour, thick in (((255, 255, 255), 6), ((0, 0, 0), 2)):
            cv2.putText(whole, str(number), (x - 8, y + 8), cv2.FONT_HERSHEY_SIMPLEX, 0.8, colour, thick, cv2.LINE_AA)
    return whole


def _resized(picture: Picture, size: tuple[int, int], how: int) -> Picture:
    return np.asarray(cv2.resize(picture, size, interpolation=how), dtype=np.uint8)


def _line(picture: Picture, points: Array, to_px: Array, colour: tuple[int, int, int], thick: int) -> None:
    px = mapped(np.asarray(points, dtype=np.float64), np.asarray(to_px, dtype=np.float64))
    # in sixteenths of a pixel, so that a thin line lies where the fit says
    cv2.polylines(picture, [np.round(px * 16).astype(np.int32)], True, colour, thick, cv2.LINE_AA, 4)
