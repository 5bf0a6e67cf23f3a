"""Halves that turn: a studio that keeps what stands on it and pictures it from any side, quick or in full.

Quick pictures leave out the shaded corners and the supersampling; both kinds share light, tones and scale.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from coaxtell.models.half import Half
from coaxtell.models.solids.camera import camera_at
from coaxtell.models.solids.display import Display
from coaxtell.models.solids.studio import Staged, Studio, quick_passes

Rgba = NDArray[np.uint8]

KEY = (0.0, 1.0, 0.0)
"""Ground of quick pictures: a colour that no material shows, so that the part can be cut out."""


class Pose(NamedTuple):
    """From where something is seen [deg], and how large: square side [px] and scale [px per mm]."""

    azimuth: float
    elevation: float
    side: int
    px_per_mm: float


def reach(half: Half) -> float:
    """Radius of the ball about its middle in which a half turns [mm]; `Pose.side` of twice that shows it whole."""
    shown = Display(half)
    pieces = shown.pieces()
    middle = shown.middle(pieces)
    return max(float(np.linalg.norm(piece.points() - middle, axis=1).max()) for piece in pieces)


ACTORS = 30
"""Meshes that stay with the graphics for the next quick picture."""


class Turntable(Studio):
    """A studio with one display on it."""

    def __init__(self) -> None:
        """Open it; raises RuntimeError where no picture can be drawn on this machine."""
        super().__init__()
        self._tones = quick_passes()
        self._actors: dict[tuple[object, ...], Any] = {}

    def close(self) -> None:
        """Give the window back; the passes go before it."""
        self._renderer.SetPass(None)
        self._tones.ReleaseGraphicsResources(self._window)
        super().close()

    def full(self, shown: Display, pose: Pose) -> Rgba:
        """The display in full quality, red green blue and cover, square.

        Raises RuntimeError where nothing is drawn, InputError where a half cannot be built.
        """
        pieces = shown.pieces()
        middle = shown.middle(pieces)
        parts = [piece.placed._replace(points=piece.points() - middle, faces=piece.placed.faces) for piece in pieces]
        return self.square(parts, pose)

    def square(self, parts: list[Staged], pose: Pose) -> Rgba:
        """Parts about their middle in full quality, red green blue and cover, square.

        Raises RuntimeError where nothing is drawn.
        """
        self._hide()
        eye = camera_at(pose.azimuth, pose.elevation)
        colour, cover = self.render(parts, eye, np.zeros(3), pose.px_per_mm, (pose.side, pose.side))
        found = np.zeros((pose.side, pose.side, 4), dtype=np.uint8)
        # the part was rendered on black: its edge pixels carry the colour times the cover
        rgb = colour / np.maximum(cover, 1 / 255)[..., None]
        found[..., :3] = np.clip(rgb, 0, 1) * 255 + 0.5
        found[..., 3] = np.clip(cover, 0, 1) * 255 + 0.5
        return found

    def _hide(self) -> None:
        for actor in self._actors.values():
            self._renderer.RemoveActor(actor)
        if len(self._actors) > ACTORS:
            self._actors.clear()

    def _show(self, shown: Display) -> float:
        """Put the pieces up for a quick picture, those made before moved only; returns how far they reach [mm]."""
        pieces = shown.pieces()
        middle = shown.middle(pieces)
        self._hide()
        reach = 0.0
        for piece in pieces:
            actor = self._actors.get(piece.key)
            if actor is None:
                actor = self._actors[piece.key] = self._actor(piece.placed)
            else:
                self._renderer.AddActor(actor)
            x, y, z = -middle
            actor.SetOrientation(0.0, 180.0 if piece.flipped else 0.0, 0.0)
            actor.SetPosition(x, y, z + piece.shift)
            reach = max(reach, float(np.linalg.norm(piece.placed.points, axis=1).max()) + abs(z + piece.shift))
        return reach

    def quick(self, shown: Display, pose: Pose) -> Rgba:
        """The display at once: no shaded corners, no smoothed edges; raises InputError where a half cannot be built."""
        far = 3 * self._show(shown) + 1.0
        eye = camera_at(pose.azimuth, pose.elevation)
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
        ground = (rgb == rgb[0, 0]).all(axis=-1)
        found[..., 3] = np.where(ground, 0, 255)
        # whoever enlarges it mixes edge pixels with their neighbours, the clear ones too
        if not ground.all():
            found[ground, :3] = rgb[~ground].mean(axis=0)
        return found
