"""The width of a marked face in millimetres, with how far it may be off, part by part.

A face that stands nearer to the camera than the card looks larger: measured / true = Z / (Z - h), with Z the distance
of the camera from the card's plane and h the height of the face above it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaxtell.models.errors import RefusedError
from coaxtell.photo.card import FRAME_MM, LONG, MAIN_LENS, SHORT, Array, Card, Grey
from coaxtell.photo.circle import MARK, Rim, rim

LEVEL = (0.0, 0.7)
"""Height of a face over the card's upper side where the person says it is level, and its spread [mm] (assumed)."""
UNKNOWN = (4.0, 4.0)
"""The same where nobody says (assumed: a port on a panel with the card laid on the panel)."""
TOLD = 0.5
"""Spread of a height that a person gives [mm] (assumed)."""
NEAREST = 0.5
"""At this share of the way from the card to the camera and beyond no face is measured: it would fill the picture, and
from the camera on there is none (assumed)."""
LENS_SPREAD = 0.12
"""The share by which a phone's main lens differs from the usual one (common practice)."""
CLEAR = 0.7
"""From this share of the rim in sight on, the person's mark no longer counts (set on the tuning scenes)."""
EDGE = (0.09, 0.7)
"""How far the edge that light shows lies from the part's own edge, across the diameter: [mm] and [px] (set on the
tuning scenes)."""


MIDDLE = (LONG / 2, 27.0)
"""About the middle of the card [mm]: the farther a face lies from it, the more a corner's error counts."""
REACH = 3.2
"""How many standard deviations the plus-minus is: set so that it holds 92 of 100 widths of 198 scenes (seed 40,003, at
3 megapixels), of which 2.5 held 89."""


UNLIKE = 2.0
"""So many times its plus-minus a width counts as off among what was seen: real photographs may be unlike the drawn ones
that the plus-minus was set on (assumed; chosen of 1, 1.5, 2 and 3 on simulated people: docs/photo.md)."""


class Width(NamedTuple):
    """Diameter of the face [mm], its standard deviation [mm] and what that is made of."""

    mm: float
    spread: float
    parts: dict[str, float]
    rim: Rim

    @property
    def plus_minus(self) -> float:
        """Half-width of the range that is to hold the true width in nine of ten pictures [mm]: see docs/photo.md."""
        return REACH * self.spread

    @property
    def counted(self) -> float:
        """How far off the width counts as where a port is named by it [mm]."""
        return UNLIKE * self.plus_minus


def distance(card: Card, width_px: int, height_px: int, focal_mm: float | None) -> tuple[float, float]:
    """How far the camera stood from the card's plane, and the spread of that [mm].

    `focal_mm` is the focal length on a frame 36 mm wide, as a picture may state it; without one that of a phone's
    main camera.
    """
    focal, off = (MAIN_LENS, LENS_SPREAD) if focal_mm is None else (focal_mm, LENS_SPREAD / 2)
    long_px = max(width_px, height_px)
    far = focal / FRAME_MM * long_px / card.px_per_mm
    return far, off * far


def measure(
    grey: Grey,
    card: Card,
    centre: Array,
    radius: float,
    height: tuple[float, float] = UNKNOWN,
    focal_mm: float | None = None,
) -> Width | None:
    """The width of the face near a marked circle [px]; None where no rim is found there.

    `height` is that of the face above the card's upper side and its spread [mm]. Raises InputError where that is too
    near to the camera to be, and where the rim lies on the card itself.
    """
    far, far_spread = distance(card, grey.shape[1], grey.shape[0], focal_mm)
    up, up_spread = height
    if up >= NEAREST * far:
        raise RefusedError("photo.too_high", up=up, far=far)
    found = rim(grey, card, centre, radius)
    if found is None:
        return None
    x, y = found.centre
    if 0 < x < LONG and 0 < y < SHORT:  # a port stands beside the card
        raise RefusedError("photo.on_card")
    nearer = (far - up) / far
    mm = found.diameter * nearer
    away = float(np.linalg.norm(found.centre - MIDDLE)) / LONG
    scale = card.corner_px / card.px_per_mm / LONG * (1 + 2 * away)
    parts = {
        "card": mm * scale,
        "rim": found.spread,
        "ring": found.other,
        "mark": MARK * mm * max(0.0, 1 - found.share / CLEAR) + 0.5 * max(0.0, found.from_mark - MARK * mm),
        "edge": float(np.hypot(EDGE[0], EDGE[1] / card.px_per_mm)),
        "height": mm * up_spread / far + abs(up) * mm * far_spread / far**2,
    }
    return Width(mm, float(np.sqrt(sum(part**2 for part in parts.values()))), parts, found)
