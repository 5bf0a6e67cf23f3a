"""Two halves on one axis and how far apart they are: the gap, the stop, what touches, the nut that turns."""

from __future__ import annotations

import math
from collections.abc import Callable

from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.half import Half
from coaxtell.models.mating.coupling import couple
from coaxtell.models.mating.deciding import deciding
from coaxtell.models.mating.mate import grounds
from coaxtell.models.profile import profile
from coaxtell.models.regions import regions
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.motion import Glide

OPEN = 6.0
"""How far apart the foremost points stand when the halves are apart [mm]."""
FRAGILE = ("pin", "socket", "finger", "insulator")
"""Parts that give way where metal would not."""
NEAR = 0.12
"""How near to a part the place that decides may lie and still be on it [mm]."""
AT_STOP = 1e-3
"""Nearer than this the halves stand at their stop [mm]."""


class Pairing:
    """A pair, apart at first."""

    def __init__(self, desk: Desk, one: Half, two: Half) -> None:
        """The pair as far apart as the bench shows it."""
        self.desk, self.one, self.two = desk, one, two
        self.found = desk.mating(one, two, doubt=True)
        self.grounds = grounds(one, two, self.found)
        self.coupling = couple(profile(one), profile(two))
        self.place = deciding(one, two, self.found.verdict)
        self.stop = self.found.stops_at_mm if self.found.stops_at_mm is not None else 0.0
        self.hurt = (self._hurt(one, lambda z: z), self._hurt(two, lambda z: self.stop - z))
        """Names of the parts of both that the pair harms; empty where it harms none."""
        self.open = max(desk.art.extent(one).front + desk.art.extent(two).front, self.stop) + OPEN
        self.slide = Glide(self.open)
        self.spin = 0.0
        """How far the free nut was turned [turns]."""

    def _hurt(self, half: Half, own: Callable[[float], float]) -> str:
        """The part of a half that gives way where the pair decides; `own` turns a place into the half's axes."""
        if self.place.kind != "harm":
            return ""
        z, (low, high) = own(self.place.z[0]), self.place.r
        for region in regions(half):
            zs, rs = [p[0] for p in region.outline], [p[1] for p in region.outline]
            within = min(zs) - NEAR <= z <= max(zs) + NEAR and min(rs) <= high and max(rs) >= low
            if region.role in FRAGILE and within:
                return region.name
        return ""

    @property
    def distance(self) -> float:
        """Distance of the reference planes now [mm]."""
        return self.slide.value

    def move_to(self, distance: float, glide: bool = False) -> None:
        """Slide to a distance [mm], never past the stop nor further than apart."""
        held = max(self.stop, min(self.open, distance))
        self.slide.to(held, self.desk.clock(), self.desk.motion_s if glide else 0.0)

    @property
    def at_stop(self) -> bool:
        """Whether the halves stand where they stop."""
        return self.distance - self.stop < AT_STOP

    @property
    def turns(self) -> float:
        """Turns of the coupling caught at this distance."""
        return self.coupling.turns(self.distance) if self.coupling.fits else 0.0

    def turn_nut(self, turns: float) -> None:
        """Turn the nut [turns, clockwise on]; a caught thread draws the halves together."""
        pitch = self.coupling.nut.thread.pitch_mm if self.coupling.nut is not None else 0.0
        if self.turns > 0 and pitch:
            self.move_to(self.distance - turns * pitch)
        else:
            self.spin += turns

    def nut_turn(self, half: Half, mate: Half) -> float:
        """Where a half's nut stands [turns]: its own spin, and once it has caught, as the mate's thread leads it."""
        if half.nut is None:
            return 0.0
        led = meshing_turn(half, mate, self.distance) / math.tau if self.turns > 0 else 0.0
        return self.spin + led
