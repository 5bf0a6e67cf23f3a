"""A half that turns in the hand: drag or arrow keys, quick while it moves, in full when it rests."""

from __future__ import annotations

import math

import pygame

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import LARGEST
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.views.sides import USUAL, View

REST_S = 0.15
"""How long after the last movement the picture is made in full [s]."""
QUICK_SIDE = 240
"""Side of a quick picture [px]; less where the machine is slow."""
LEAST_SIDE = 120
QUICK_GOAL_S = 0.026
"""How long a quick picture may take [s] for thirty a second with room to spare."""
PER_UNIT = 0.5
"""How far the half turns for one unit of the mouse [deg]."""
KEY_STEP = 5.0
"""How far an arrow key turns it [deg]."""


class InHand:
    """The pose of one half and the picture of it."""

    def __init__(self, desk: Desk) -> None:
        """A half seen from the usual side."""
        self.desk = desk
        self.azimuth, self.elevation, self.cut = USUAL
        self._moved = -math.inf
        self._dirty = False
        self._side = QUICK_SIDE
        self._box = Box(0, 0, 1, 1)
        self._scale = 1.0
        self.half: Half | None = None

    def show(self, half: Half, view: View = USUAL) -> None:
        """Another half, seen from a side; one that is already there stays as it was turned."""
        if self.half is not half:
            self.half = half
            self.look(view)

    def look(self, view: View) -> None:
        """See it from a side."""
        self.azimuth, self.elevation, self.cut = view
        self._dirty = False

    def turn(self, azimuth: float, elevation: float) -> None:
        """Turn it by so much [deg]."""
        self.azimuth = (self.azimuth + azimuth + 180) % 360 - 180
        self.elevation = max(-85.0, min(85.0, self.elevation + elevation))
        self._moved = self.desk.clock()
        self._dirty = True
        self._fit_side()
        if self.half is not None:
            self.desk.pictures.turn(self._job(self.half, quick=True))

    def drag(self, dx: float, dy: float) -> None:
        """The mouse went so far [units]."""
        self.turn(-dx * PER_UNIT, dy * PER_UNIT)

    def key(self, event: pygame.event.Event) -> bool:
        """Arrow keys turn it, C cuts it open."""
        steps = {
            pygame.K_LEFT: (KEY_STEP, 0.0), pygame.K_RIGHT: (-KEY_STEP, 0.0),
            pygame.K_UP: (0.0, -KEY_STEP), pygame.K_DOWN: (0.0, KEY_STEP),
        }  # fmt: skip
        if event.key in steps:
            self.turn(*steps[event.key])
            return True
        return False

    def tick(self, now: float) -> bool:
        """True while a picture in full is still to be asked for."""
        if not self._dirty:
            return False
        if now - self._moved >= REST_S:
            self._dirty = False
        return True

    def _fit_side(self) -> None:
        """Smaller quick pictures where the machine is slow, larger ones again where it is not."""
        took = self.desk.pictures.quick_s
        if took > QUICK_GOAL_S:
            self._side = max(LEAST_SIDE, round(self._side * 0.92))
        elif 0 < took < 0.75 * QUICK_GOAL_S:
            self._side = min(QUICK_SIDE, round(self._side * 1.04))

    def _job(self, half: Half, quick: bool) -> Job:
        whole = min(LARGEST, max(32, round(min(self._box.w, self._box.h) * self._scale)))
        side = min(whole, self._side) if quick else whole
        side -= side % 4
        reach = self.desk.art.extent(half).reach
        return Job(half.id, round(self.azimuth, 1), round(self.elevation, 1), self.cut, side,
                   round(side / 2 / reach, 3), quick)  # fmt: skip

    def draw(self, pen: Pen, box: Box) -> float:
        """Draw the half into a box as large as it goes; returns the scale [units per mm]."""
        assert self.half is not None
        side = min(box.w, box.h)
        self._box, self._scale = box, pen.type.scale
        per_mm = side / 2 / self.desk.art.extent(self.half).reach
        square = Box(box.x + (box.w - side) / 2, box.y + (box.h - side) / 2, side, side)
        pictures = self.desk.pictures
        if pictures.why:
            self._flat(pen, square, per_mm)
            return per_mm
        job = self._job(self.half, quick=False)
        found = pictures.ready(job)
        if found is None and not self._dirty:
            found = pictures.want(job, first=True)
        if found is None:
            newest = pictures.newest(self.half.id, self.cut)
            if newest is not None:
                found = newest[1]
                job = newest[0]
        if found is not None:
            pen.picture(square, found, f"{self.half.id} at {job.azimuth:.0f}, {job.elevation:.0f}")
        else:
            pictures.turn(self._job(self.half, quick=True))
            self._flat(pen, square, per_mm)
        return per_mm

    def _flat(self, pen: Pen, square: Box, per_mm: float) -> None:
        """The drawing in place of the picture."""
        assert self.half is not None
        extent = self.desk.art.extent(self.half)
        x, y = square.middle
        x -= (extent.front + extent.rear) / 2 * per_mm
        area = Box(square.x, y - extent.radius * per_mm, square.w, 2 * extent.radius * per_mm)
        patches = self.desk.art.cut_open(self.half, pen.palette)
        pen.shape(patches, (x, y), per_mm, area, f"{self.half.id} section")
