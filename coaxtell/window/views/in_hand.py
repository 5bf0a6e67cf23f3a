"""A half that turns in the hand: brought nearer, opened, taken apart, and shown in another body or plating."""

from __future__ import annotations

import math

import pygame

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.views.round import Round
from coaxtell.window.views.viewpoints import USUAL, Beam, View

KEY_STEP = 5.0
"""How far an arrow key turns it [deg]."""


class InHand(Round):
    """The pose of one half and the picture of it."""

    def __init__(self, desk: Desk) -> None:
        """A half seen from the usual side."""
        super().__init__(desk, USUAL)
        self.apart = 0.0
        self.style = ""
        self.finish = ""
        self.half: Half | None = None

    def show(self, half: Half, view: View = USUAL) -> None:
        """Another half, seen from a side; one that is already there stays as it was turned."""
        if self.half is not half:
            self.half = half
            self._last = None
            self.look(view)

    def take_apart(self, share: float) -> None:
        """Slide its parts apart, 0 to 1."""
        self.apart = max(0.0, min(1.0, share))
        self.touched()

    def key(self, event: pygame.event.Event) -> bool:
        """Arrow keys turn it, plus and minus bring it nearer and back."""
        steps = {
            pygame.K_LEFT: (KEY_STEP, 0.0), pygame.K_RIGHT: (-KEY_STEP, 0.0),
            pygame.K_UP: (0.0, -KEY_STEP), pygame.K_DOWN: (0.0, KEY_STEP),
        }  # fmt: skip
        nearer = {pygame.K_PLUS: 1, pygame.K_KP_PLUS: 1, pygame.K_EQUALS: 1, pygame.K_MINUS: -1, pygame.K_KP_MINUS: -1}
        if event.key in steps:
            self.turn(*steps[event.key])
        elif event.key in nearer:
            self.nearer(nearer[event.key])
        else:
            return False
        return True

    @property
    def beam(self) -> Beam:
        """Where points of the half appear [mm right and down of the picture's middle]."""
        assert self.half is not None
        low, high = self.desk.art.ends(self.half, self.apart)
        return Beam(self.azimuth, self.elevation, (low + high) / 2)

    @property
    def reach(self) -> float:
        """Half of what the square shows across [mm]."""
        assert self.half is not None
        art = self.desk.art
        if self.style:
            return art.dressed_reach(self.half, self.style) / self.zoom
        low, high = art.ends(self.half, self.apart)
        extent = art.extent(self.half)
        whole = math.hypot((high - low) / 2, extent.radius) + 0.2 if self.apart else extent.reach
        return whole / self.zoom

    def subject(self) -> Job | None:
        """The half as it is dressed and taken apart."""
        if self.half is None:
            return None
        return Job(
            self.half.id, 0.0, 0.0, 0.0, 0, 0.0, False, self.finish, apart=round(self.apart, 2), style=self.style
        )

    def flat(self, pen: Pen, box: Box, per_mm: float) -> None:
        """The section in place of the picture."""
        assert self.half is not None
        extent = self.desk.art.extent(self.half)
        x, y = box.middle
        x -= (extent.front + extent.rear) / 2 * per_mm
        area = Box(x + extent.rear * per_mm, y - extent.radius * per_mm, extent.length * per_mm,
                   2 * extent.radius * per_mm)  # fmt: skip
        patches = self.desk.art.cut_open(self.half, pen.palette)
        with pen.clipped(box):
            pen.shape(patches, (x, y), per_mm, area.shared(box), f"{self.half.id} section")
