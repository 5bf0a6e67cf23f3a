"""Two halves in the round on one axis, at their distance: they slide, the nut turns, what is harmed is shown bent."""

from __future__ import annotations

import math

from coaxtell.models.mating.mate import Verdict
from coaxtell.window.desk.pairing import Pairing
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.views.round import Round
from coaxtell.window.views.scales import mm
from coaxtell.window.views.viewpoints import QUARTER, Beam, View

BESIDE = View(-68.0, 20.0, QUARTER)
"""From where a pair is seen: beside its axis, a little to the first half's front, cut open towards the eye."""
MARGIN = 0.98
"""Share of a box that a pair fills at most."""
SLIDE_STEP, TURN_STEP = 0.05, 1 / 24
"""How finely a pair is pictured along its axis [mm] and its nuts round it [turns]."""


class PairRound(Round):
    """The pose of a pair and the picture of it."""

    def __init__(self, pairing: Pairing) -> None:
        """Seen from beside its axis, cut open."""
        super().__init__(pairing.desk, BESIDE)
        self.pairing = pairing
        self._state: tuple[object, ...] = ()

    def follow(self) -> None:
        """The pair moved: a quick picture of where it is now."""
        state = (self._distance, self._turns, self.pairing.at_stop)
        if state != self._state:
            self._state = state
            self.touched()

    @property
    def _distance(self) -> float:
        at_stop = self.pairing.at_stop
        return self.pairing.stop if at_stop else round(self.pairing.distance / SLIDE_STEP) * SLIDE_STEP

    @property
    def _turns(self) -> tuple[float, float]:
        one, two = self.pairing.one, self.pairing.two
        turns = self.pairing.nut_turn(one, two), self.pairing.nut_turn(two, one)
        first, second = (round(turn / TURN_STEP) * TURN_STEP % 1.0 for turn in turns)
        return round(first, 4), round(second, 4)

    @property
    def wide(self) -> float:
        """Length of the pair apart [mm]: one scale for every distance."""
        one, two = (self.desk.art.extent(half) for half in (self.pairing.one, self.pairing.two))
        return one.length + two.length + max(0.0, self.pairing.open - one.front - two.front)

    @property
    def radius(self) -> float:
        """Widest radius of the two, over their corners [mm]."""
        return max(self.desk.art.extent(half).corner for half in (self.pairing.one, self.pairing.two))

    @property
    def reach(self) -> float:
        """Half of what the square shows across [mm]."""
        return math.hypot(self.wide / 2, self.radius) / self.zoom

    def subject(self) -> Job | None:
        """Both halves at their distance."""
        pairing = self.pairing
        hurt = pairing.hurt if pairing.at_stop else ("", "")
        return Job(pairing.one.id, 0.0, 0.0, 0.0, 0, 0.0, False, mate=pairing.two.id, distance=round(self._distance, 3),
                   turns=self._turns, hurt=hurt)  # fmt: skip

    def side(self, box: Box) -> float:
        """Side of the square [units] of which a box shows as much as it has room for."""
        # a cylinder of that length about the axis holds both: how far it reaches right and down as it is seen
        right, down = Beam(self.azimuth, self.elevation).at(0.0, 0.0, 1.0)
        across = self.wide * abs(right) + 2 * self.radius * math.sqrt(1 - right**2)
        tall = self.wide * abs(down) + 2 * self.radius * math.sqrt(1 - down**2)
        per_mm = MARGIN * min(box.w / max(self.wide, across), box.h / tall)
        return 2 * self.reach * self.zoom * per_mm

    def flat(self, pen: Pen, box: Box, per_mm: float) -> None:
        """Nothing: the section stands beside it anyway."""
        words = self.desk.pictures.why or "The picture is being drawn."
        middle = Box(box.x + 2 * STEP, box.middle[1], box.w - 4 * STEP, pen.type.line(SMALL))
        pen.lines(words, middle, SMALL, pen.palette.quiet, anchor="middle")

    def seen(self, pen: Pen, box: Box) -> Box:
        """Where in a box the pair stands, at every distance: under the words at its stop."""
        under = pen.type.line(SMALL)
        return Box(box.x, box.y + under, box.w, max(1.0, box.h - under))

    def paint(self, pen: Pen, box: Box) -> None:
        """The pair in a box, and at its stop an arrow at what decides, with the millimetres to the seat."""
        words_at, box = box.y, self.seen(pen, box)
        side = self.side(box)
        self.draw(pen, box, side)
        place = self.pairing.place
        if not self.pairing.at_stop or self.desk.pictures.why or self._last is None:
            return  # nothing stands there yet to point at
        per_mm = side / 2 / self.reach
        one, two = (self.desk.art.extent(half) for half in (self.pairing.one, self.pairing.two))
        ends = (one.rear, one.front, self.pairing.stop - two.rear, self.pairing.stop - two.front)
        beam = Beam(self.azimuth, self.elevation, (min(ends) + max(ends)) / 2)
        colour = {"harm": pen.palette.harm, "holds": pen.palette.fits}.get(place.kind, pen.palette.text)
        right, down = beam.at(0.0, place.r[1], (place.z[0] + place.z[1]) / 2)
        tip = box.middle[0] + right * per_mm, box.middle[1] + down * per_mm
        if not box.holds(*tip):
            return
        start = tip[0], box.y + 2
        pen.line(start, (tip[0], tip[1] - 4), colour, 2)
        pen.curve([(tip[0] - 6, tip[1] - 12), tip, (tip[0] + 6, tip[1] - 12)], colour, 2.4)
        gap = self.pairing.stop
        words = f"stops {mm(gap)} before the seat" if gap > 0.005 else "at the seat"
        if self.pairing.found.verdict is Verdict.NOT_KNOWN:
            words = f"not known; as drawn, {words}"
        wide = pen.type.width(words, SMALL)
        x = max(box.x + wide / 2 + STEP, min(box.right - wide / 2 - STEP, tip[0]))
        pen.words(words, (x, words_at), SMALL, colour, anchor="middle")
