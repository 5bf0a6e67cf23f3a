"""Halves that turn: a studio that keeps one half standing and pictures it from any side, quick or in full.

Quick pictures leave out the shaded corners and the supersampling; both kinds share light, tones and scale.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from coaxtell.models.half import Half
from coaxtell.models.solids import picture
from coaxtell.models.solids.picture import Camera, Placed, Studio

Rgba = NDArray[np.uint8]

KEY = (0.0, 1.0, 0.0)
"""Ground of quick pictures: a colour that no material shows, so that the part can be cut out."""


def camera_at(azimuth: float, elevation: float) -> Camera:
    """The camera that stands `azimuth` to the right of the mating face and `elevation` above it [deg]."""
    turn, lift = math.radians(azimuth), math.radians(elevation)
    eye = np.array([math.sin(turn) * math.cos(lift), math.sin(lift), math.cos(turn) * math.cos(lift)])
    right = np.array([math.cos(turn), 0.0, -math.sin(turn)])
    return Camera(right, np.cross(eye, right), eye)


class Pose(NamedTuple):
    """From where a half is seen [deg], whether cut, and how large: square side [px] and scale [px per mm].

    `lit` names the roles whose parts keep their own look while the others turn to clay; empty keeps all. A `near`
    picture has the middle of the mating face in its middle, else that of the whole half.
    """

    azimuth: float
    elevation: float
    cut: bool
    side: int
    px_per_mm: float
    lit: frozenset[str] = frozenset()
    near: bool = False


def standing(half: Half, cut: bool, lit: frozenset[str] = frozenset(), near: bool = False) -> list[Placed]:
    """The parts of a half, whole or with a quarter cut away, with its middle or that of its face at the origin."""
    parts = picture.lying(half, "cut" if cut else "three-quarter", lit or None)
    points = np.concatenate([part.points for part in parts])
    low, high = points.min(axis=0), points.max(axis=0)
    middle = (low + high) / 2
    if near:
        middle[2] = high[2]
    return [part._replace(points=part.points - middle) for part in parts]


def reach(half: Half) -> float:
    """Radius of the ball about its middle in which a half turns [mm]; `Pose.side` of twice that shows it whole."""
    return max(float(np.linalg.norm(part.points, axis=1).max()) for part in standing(half, False))


class Turntable(Studio):
    """A studio with one half on it."""

    def __init__(self) -> None:
        """Open it; raises RuntimeError where no picture can be drawn on this machine."""
        super().__init__()
        self._tones = picture.quick_passes()
        self._standing: tuple[object, ...] = ()
        self._parts: list[Placed] = []
        self._actors: list[Any] = []

    def close(self) -> None:
        """Give the window back; the passes go before it."""
        self._renderer.SetPass(None)
        self._tones.ReleaseGraphicsResources(self._window)
        super().close()

    def _put(self, half: Half, pose: Pose) -> None:
        """Stand a half on the table, where it is not there already."""
        key = (half.id, half.finish, pose.cut, pose.lit, pose.near)
        if key == self._standing:
            return
        self._clear()
        self._parts = standing(half, pose.cut, pose.lit, pose.near)
        self._standing = key

    def _clear(self) -> None:
        for actor in self._actors:
            self._renderer.RemoveActor(actor)
        self._actors = []
        self._standing = ()

    def full(self, half: Half, pose: Pose) -> Rgba:
        """The half in full quality, red green blue and cover, square; raises RuntimeError where nothing is drawn."""
        self._clear()
        parts = standing(half, pose.cut, pose.lit, pose.near)
        eye = camera_at(pose.azimuth, pose.elevation)
        colour, cover = self.render(parts, eye, np.zeros(3), pose.px_per_mm, (pose.side, pose.side))
        found = np.zeros((pose.side, pose.side, 4), dtype=np.uint8)
        # the part was rendered on black: its edge pixels carry the colour times the cover
        rgb = colour / np.maximum(cover, 1 / 255)[..., None]
        found[..., :3] = np.clip(rgb, 0, 1) * 255 + 0.5
        found[..., 3] = np.clip(cover, 0, 1) * 255 + 0.5
        return found

    def quick(self, half: Half, pose: Pose) -> Rgba:
        """The half at once: no shaded corners, no smoothed edges."""
        self._put(half, pose)
        if not self._actors:
            self._actors = [self._actor(part) for part in self._parts]
        eye = camera_at(pose.azimuth, pose.elevation)
        far = 3 * max(float(np.linalg.norm(part.points, axis=1).max()) for part in self._parts) + 1.0
        renderer = self._renderer
        self._window.SetSize(pose.side, pose.side)
        view = renderer.GetActiveCamera()
        view.ParallelProjectionOn()
        view.SetFocalPoint(0.0, 0.0, 0.0)
        view.SetPosition(*(far * eye.eye))
        view.SetViewUp(*eye.up)
        view.SetParallelScale(pose.side / (2 * pose.px_per_mm))
        view.SetClippingRange(0.4 * far, 1.6 * far)
        renderer.SetEnvironmentUp(*eye.up)
        renderer.SetEnvironmentRight(*eye.right)
        renderer.UseImageBasedLightingOn()
        renderer.SetBackground(*KEY)
        renderer.SetPass(self._tones)
        self._window.Render()
        pixels = self._pixels(pose.side)
        renderer.SetPass(None)
        return pixels

    def _pixels(self, side: int) -> Rgba:
        rgb = self.frame(side)
        found = np.empty((side, side, 4), dtype=np.uint8)
        found[..., :3] = rgb
        # the ground, wherever tone mapping took its colour: the corner is never covered by a part
        found[..., 3] = np.where((rgb == rgb[0, 0]).all(axis=-1), 0, 255)
        return found
