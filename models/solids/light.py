"""The light of the bench: what stands round a part and mirrors in its metal, drawn as one float panorama.

Metal shows its surroundings: without bright boxes beside dark strips it looks like grey plastic. Directions are
those of the camera: x right, y up, z towards the person.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Panorama = NDArray[np.float32]


class Lamp(NamedTuple):
    """A soft box or strip: direction and half size [deg], softness of its edge [deg], radiance red green blue."""

    azimuth: float
    height: float
    half_width: float
    half_height: float
    edge: float
    radiance: tuple[float, float, float]


LAMPS = (
    Lamp(-48, 38, 24, 20, 6, (5.2, 5.1, 4.9)),
    Lamp(62, 22, 9, 38, 4, (3.4, 3.5, 3.7)),
    Lamp(10, 80, 60, 9, 8, (4.2, 4.2, 4.2)),
    Lamp(150, 20, 30, 24, 10, (2.6, 2.7, 2.9)),
    Lamp(-80, -34, 26, 14, 12, (1.25, 1.22, 1.17)),
    Lamp(-120, 10, 10, 45, 5, (2.6, 2.5, 2.4)),
)
"""Key box upper left, strip at the right, roof light, a card low at the left that lights the mating face,
two boxes behind the part for its far edges."""

STRIPS = (
    Lamp(-14, 10, 5, 55, 3, (0.02, 0.02, 0.02)),
    Lamp(40, 5, 6, 60, 3, (0.03, 0.03, 0.03)),
)
"""Dark strips: the lines that make a curve read as metal."""


def _cover(lamp: Lamp, azimuth: NDArray[np.float64], height: NDArray[np.float64]) -> NDArray[np.float64]:
    """Share of a lamp seen in each direction, soft at its edge."""
    across = np.abs((azimuth - lamp.azimuth + 180) % 360 - 180) - lamp.half_width
    up = np.abs(height - lamp.height) - lamp.half_height
    outside = np.maximum(across, up) / lamp.edge
    t = np.clip(0.5 - outside / 2, 0, 1)
    return np.asarray(t * t * (3 - 2 * t))


def panorama(width: int = 256) -> Panorama:
    """Equirectangular float picture of the surroundings, bottom row first; linear radiance.

    Column u looks along x = cos, z = sin of the angle 2 pi (u - 1/2); row v rises from straight down.
    """
    u = (np.arange(width) + 0.5) / width
    v = (np.arange(width // 2) + 0.5) / (width // 2)
    turn = math.tau * (u - 0.5)[None, :]
    up = np.degrees(math.pi * (v - 0.5))[:, None]
    # azimuth 0 looks at the person, positive to the right
    azimuth = np.degrees(np.arctan2(np.cos(turn), np.sin(turn)))
    azimuth, up = np.broadcast_arrays(azimuth, up)
    # walls: grey, lighter above; a floor the tone of the bench, darker far below
    level = np.where(up > 0, 0.50 + 0.35 * np.sin(np.radians(up)), 0.50 - 0.30 * np.sin(np.radians(-up)))
    picture = level[..., None] * np.array([1.0, 0.985, 0.96])
    for lamp in (*STRIPS, *LAMPS):
        share = _cover(lamp, azimuth, up)[..., None]
        picture = picture * (1 - share) + share * np.array(lamp.radiance)
    found: Panorama = picture.astype(np.float32)
    return found
