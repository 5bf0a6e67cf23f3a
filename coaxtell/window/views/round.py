"""What turns in the hand: drag or keys, quick while it moves, in full when it rests, nearer by the wheel."""

from __future__ import annotations

import math

from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import LARGEST
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.views.viewpoints import View

REST_S = 0.15
"""How long after the last movement the picture is made in full [s]."""
QUICK_SIDE = 240
"""Side of a quick picture [px]; less where the machine is slow."""
LEAST_SIDE = 120
QUICK_GOAL_S = 0.026
"""How long a quick picture may take [s] for thirty a second with room to spare."""
PER_UNIT = 0.5
"""How far it turns for one unit of the mouse [deg]."""
NEARER, NEAREST = 1.15, 6.0
"""What one step of the wheel enlarges it by, and the most."""


class Round:
    """Something seen in the round: its pose and the picture of it. Subclasses say what, and draw it flat."""

    def __init__(self, desk: Desk, view: View) -> None:
        """At rest, seen from a side."""
        self.desk = desk
        self.azimuth, self.elevation, self.opened = view
        self.zoom = 1.0
        self._moved = -math.inf
        self._dirty = False
        self._side = QUICK_SIDE
        self._square = float(QUICK_SIDE)
        """Side of the square that holds the picture [px]: once it was drawn, as large as it was."""
        self._last: Job | None = None

    def subject(self) -> Job | None:
        """What is pictured, in no pose yet; none where there is nothing."""
        raise NotImplementedError

    @property
    def reach(self) -> float:
        """Half of what the square shows across [mm]."""
        raise NotImplementedError

    def flat(self, pen: Pen, box: Box, per_mm: float) -> None:
        """The drawing in place of the picture."""
        raise NotImplementedError

    def look(self, view: View) -> None:
        """See it from a side."""
        self.azimuth, self.elevation, self.opened = view
        self._dirty = False

    def touched(self) -> None:
        """It moved: a quick picture now, one in full when it rests."""
        self._moved = self.desk.clock()
        self._dirty = True
        job = self._job(quick=True)
        if job is not None and not self.desk.pictures.why:
            self._fit_side()
            self.desk.pictures.turn(job)

    def turn(self, azimuth: float, elevation: float) -> None:
        """Turn it by so much [deg]."""
        self.azimuth = (self.azimuth + azimuth + 180) % 360 - 180
        self.elevation = max(-85.0, min(85.0, self.elevation + elevation))
        self.touched()

    def nearer(self, steps: float) -> None:
        """Bring it nearer by so many steps; back to where the whole is seen at most."""
        self.zoom = max(1.0, min(NEAREST, self.zoom * NEARER**steps))
        self.touched()

    def open_by(self, opened: float) -> None:
        """Cut so wide a piece out [deg]."""
        self.opened = max(0.0, min(180.0, opened))
        self.touched()

    def drag(self, dx: float, dy: float) -> None:
        """The mouse went so far [units]."""
        self.turn(-dx * PER_UNIT, dy * PER_UNIT)

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

    def _job(self, quick: bool) -> Job | None:
        subject = self.subject()
        if subject is None:
            return None
        whole = min(LARGEST, max(32, round(self._square)))
        side = min(whole, self._side) if quick else whole
        side -= side % 4
        return subject._replace(azimuth=round(self.azimuth, 1), elevation=round(self.elevation, 1),
                                opened=round(self.opened), side=side, px_per_mm=round(side / 2 / self.reach, 3),
                                quick=quick)  # fmt: skip

    def draw(self, pen: Pen, box: Box, side: float) -> None:
        """Draw it into a box, as the middle of a square of a side [units] of which the box may show a part."""
        self._square = side * pen.type.scale
        per_mm = side / 2 / self.reach
        pictures = self.desk.pictures
        job = self._job(quick=False)
        if pictures.why or job is None:
            self.flat(pen, box, per_mm)
            return
        found = pictures.ready(job)
        if found is None and not self._dirty:
            found = pictures.want(job, first=True)
        if found is None:
            last = pictures.newest(self._last) if self._last is not None else None
            newest = pictures.newest(job) or last or pictures.shipped(job)
            if newest is not None:
                job, found = newest
        if found is None:
            self.flat(pen, box, per_mm)
            quick = self._job(quick=True)
            if quick is not None:
                pictures.turn(quick)
            return
        self._last = job
        # one made for another scale is shown at its own millimetres until the new one comes
        wide = job.side / job.px_per_mm * per_mm
        x, y = box.middle
        with pen.clipped(box):
            pen.picture(Box(x - wide / 2, y - wide / 2, wide, wide), found,
                        f"{job.half_id} at {job.azimuth:.0f}, {job.elevation:.0f}")  # fmt: skip
