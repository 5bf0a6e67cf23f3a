"""Where the person stands who looks at a part: directions alone, nothing is drawn."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coaxtell.models.helix import Array


class Camera(NamedTuple):
    """Where the person looks from: right, up and towards-the-eye directions in the half's axes."""

    right: Array
    up: Array
    eye: Array


def camera_at(azimuth: float, elevation: float) -> Camera:
    """The camera that stands `azimuth` to the right of the mating face and `elevation` above it [deg]."""
    turn, lift = math.radians(azimuth), math.radians(elevation)
    eye = np.array([math.sin(turn) * math.cos(lift), math.sin(lift), math.cos(turn) * math.cos(lift)])
    right = np.array([math.cos(turn), 0.0, -math.sin(turn)])
    return Camera(right, np.cross(eye, right), eye)


def rolled(eye: Camera, tilt: float) -> Camera:
    """The camera held crooked, so that the picture is turned by `tilt` [deg] counter-clockwise."""
    roll = math.radians(tilt)
    right = math.cos(roll) * eye.right - math.sin(roll) * eye.up
    return Camera(right, math.sin(roll) * eye.right + math.cos(roll) * eye.up, eye.eye)
