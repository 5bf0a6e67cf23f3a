"""A half that turns in the hand: drag or arrow keys, quick while it moves, in full when it rests.

It can be brought nearer, opened, taken apart, and shown in another body or plating.
"""

from __future__ import annotations

import math

import pygame

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import LARGEST
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.views.sides import USUAL, Beam, View

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
NEARER, NEAREST = 1.15, 6.0
"""What one step of the wheel enlarges it by, and the most."""


class InHand:
    """The pose of one half and the picture of it."""

    def __init__(self, desk: Desk) -> None:
        """A half seen from the usual side."""
        self.desk = desk
        self.azimuth, self.elevation, self.opened = USUAL
        self.zoom = 1.0
        self.apart = 0.0
        self.style = ""
        self.finish = ""
        self.lit: tuple[str, ...] = ()
        self._moved = -math.inf
        self._dirty = False
        self._side = QUICK_SIDE
        self._box = Box(0, 0, 1, 1)
        self._scale = 1.0
        self._last: Job | None = None
        self.half: Half | None = None

    def show(self, half: Half, view: View = USUAL) -> None:
        """Another half, seen from a side; one that is already there stays as it was turned."""
        if self.half is not half:
            self.half = half
            self._last = None
            self.look(view)

    def look(self, view: View) -> None:
        """See it from a side."""
        self.azimuth, self.elevation, self.opened = view
        self._dirty = False

    def _touched(self) -> None:
        self._moved = self.desk.clock()
        self._dirty = True
        if self.half is not None and not self.desk.pictures.why:
            self._fit_side()
            self.desk.pictures.turn(self._job(self.half, quick=True))

    def turn(self, azimuth: float, elevation: float) -> None:
        """Turn it by so much [deg]."""
        self.azimuth = (self.azimuth + azimuth + 180) % 360 - 180
        self.elevation = max(-85.0, min(85.0, self.elevation + elevation))
        self._touched()

    def nearer(self, steps: float) -> None:
        """Bring it nearer by so many steps; back to where the whole is seen at most."""
        self.zoom = max(1.0, min(NEAREST, self.zoom * NEARER**steps))
        self._touched()

    def open_by(self, opened: float) -> None:
        """Cut so wide a piece out [deg]."""
        self.opened = max(0.0, min(180.0, opened))
        self._touched()

    def take_apart(self, share: float) -> None:
        """Slide its parts apart, 0 to 1."""
        self.apart = max(0.0, min(1.0, share))
        self._touched()

    def drag(self, dx: float, dy: float) -> None:
        """The mouse went so far [units]."""
        self.turn(-dx * PER_UNIT, dy * PER_UNIT)

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

    def _job(self, half: Half, quick: bool) -> Job:
        whole = min(LARGEST, max(32, round(min(self._box.w, self._box.h) * self._scale)))
        side = min(whole, self._side) if quick else whole
        side -= side % 4
        return Job(half.id, round(self.azimuth, 1), round(self.elevation, 1), round(self.opened), side,
                   round(side / 2 / self.reach, 3), quick, self.finish, self.lit, apart=round(self.apart, 2),
                   style=self.style)  # fmt: skip

    def draw(self, pen: Pen, box: Box) -> float:
        """Draw the half into a box as large as it goes; returns the scale [units per mm]."""
        assert self.half is not None
        side = min(box.w, box.h)
        self._box, self._scale = box, pen.type.scale
        per_mm = side / 2 / self.reach
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
            newest = pictures.newest(job) or (pictures.newest(self._last) if self._last is not None else None)
            if newest is not None:
                # shown at its own scale until the new one comes
                job, found = newest
                wide = job.side / job.px_per_mm * per_mm
                square = Box(box.middle[0] - wide / 2, box.middle[1] - wide / 2, wide, wide)
        if found is not None:
            self._last = job
            with pen.clipped(box):
                pen.picture(square, found, f"{self.half.id} at {job.azimuth:.0f}, {job.elevation:.0f}")
        else:
            self._flat(pen, square, per_mm)
            pictures.turn(self._job(self.half, quick=True))
        return per_mm

    def _flat(self, pen: Pen, square: Box, per_mm: float) -> None:
        """The drawing in place of the picture."""
        assert self.half is not None
        extent = self.desk.art.extent(self.half)
        x, y = square.middle
        x -= (extent.front + extent.rear) / 2 * per_mm
        area = Box(square.x, y - extent.radius * per_mm, square.w, 2 * extent.radius * per_mm)
        patches = self.desk.art.cut_open(self.half, pen.palette)
        with pen.clipped(square):
            pen.shape(patches, (x, y), per_mm, area, f"{self.half.id} section")
