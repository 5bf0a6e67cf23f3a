"""Bring together: two halves slid along one axis until something touches, with the verdict and its reasons."""

from __future__ import annotations

import math
from typing import Any

import pygame

from coaxtell.models.catalogue import MODELS
from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.half import Half
from coaxtell.models.mating.coupling import couple
from coaxtell.models.mating.mate import JOINED, Mating, Verdict
from coaxtell.models.profile import Face, profile
from coaxtell.models.words import said
from coaxtell.window import together_view
from coaxtell.window.bench import THIN
from coaxtell.window.geometry import Box
from coaxtell.window.hold import turning_part
from coaxtell.window.motion import Glide
from coaxtell.window.pen import Pen
from coaxtell.window.picker import Picker
from coaxtell.window.scene import Room, Scene
from coaxtell.window.stack import Stack
from coaxtell.window.widgets import RoleName, Stage

OPEN = 6.0
"""How far apart the foremost points stand when the halves are apart [mm]."""
FINE, COARSE = 0.1, 1.0
"""Steps of the arrow keys, without and with Shift [mm]."""
AT_STOP = 1e-3
"""Nearer than this the halves stand at their stop [mm]."""

ROLES: dict[Verdict, RoleName] = {
    Verdict.MATES: "fits",
    Verdict.LIMITS: "text",
    Verdict.NO_CONTACT: "harm",
    Verdict.DAMAGES: "harm",
    Verdict.NO_JOIN: "harm",
}


def touching(a: Half, b: Half, found: Mating) -> tuple[Face, Face, float, float] | None:
    """The two faces that touch first and the radii they share [mm]; none where nothing does.

    Housings with other keys share no radii and yet keep each other out: then the first face's own radii count.
    """
    touch = found.first_touch
    if touch is None:
        return None
    pa, pb = profile(a), profile(b)
    apart: tuple[Face, Face, float, float] | None = None
    for one in (*pa.fixed, *pa.moving):
        for two in (*pb.fixed, *pb.moving):
            if one.name != touch.a or two.name != touch.b:
                continue
            off = abs(max(one.z0, one.z1) + max(two.z0, two.z1) - touch.distance_mm)
            low, high = max(one.r0, two.r0), min(one.r1, two.r1)
            if high > low and off < 0.6:
                return one, two, low, high
            if off < AT_STOP:
                apart = one, two, one.r0, one.r1
    return apart


class BringTogether(Scene):
    """Two halves and the distance between their reference planes."""

    name = "together"
    word = "Bring together"
    help = "Slide two halves into each other and see what becomes of them."

    a = "sma-plug"
    b = "rp-sma-jack"
    spin = 0.0
    """How far the free nut was turned [turns]."""

    def __init__(self, desk: Any) -> None:
        """The last pair, or the one that is most often taken wrongly."""
        super().__init__(desk)
        self.slide = Glide(0.0)
        self.per_mm = 1.0
        self._pair()

    # -- the pair ------------------------------------------------------------------------------------------------

    def _pair(self) -> None:
        self.one, self.two = self.desk.half(self.a), self.desk.half(self.b)
        self.found = self.desk.mating(self.one, self.two, sweep=True)
        self.coupling = couple(profile(self.one), profile(self.two))
        self.touch = touching(self.one, self.two, self.found)
        self.stop = self.found.stops_at_mm if self.found.stops_at_mm is not None else 0.0
        fronts = self.desk.art.extent(self.one).front + self.desk.art.extent(self.two).front
        self.open = max(fronts, self.stop) + OPEN
        self.slide.set(self.open)
        self.spin = 0.0

    def enter(self) -> None:
        """Take the pair that another scene carried over."""
        carried = self.desk.carry.pop(self.name, None)
        if carried is not None:
            self.bring(*carried)

    def bring(self, a: str, b: str) -> None:
        """Another pair, apart."""
        self.a, self.b = a, b
        self._pair()

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

    # -- arranging -----------------------------------------------------------------------------------------------

    def arrange(self, room: Room) -> None:
        """Bench at the left, the verdict and its reasons in the column."""
        stage = Stage("bench", room.bench, self.draw, self.stage_key, self._dragged, None, self._wheel)
        room.on_bench(stage)
        column = room.column
        column.buttons([
            ("choose-a", f"Left: {self.one.name}", self._choose_a, False),
            ("choose-b", f"Right: {self.two.name}", self._choose_b, False),
        ])  # fmt: skip
        self._verdict(column)
        column.part("The three rules")
        for i, rule in enumerate(self.found.rules):
            column.check(MODELS.say(rule.why), rule.kept, key=f"rule-{i}")
        column.gap()
        if self.at_stop:
            column.button("apart", "Pull apart", lambda: self.move_to(self.open, True), "action")
        else:
            column.button("together", "Bring together", lambda: self.move_to(self.stop, True), "action")
        turning = turning_part(self.one, self.two)
        if turning:
            column.buttons([
                ("turn-on", f"Turn the {turning} on", lambda: self.turn_nut(0.25), False),
                ("turn-off", f"Turn the {turning} off", lambda: self.turn_nut(-0.25), False),
            ])  # fmt: skip
        column.part("Why")
        for reason in said(self.found.reasons):
            column.say(self.desk.spoken(reason), after=0.75)
        column.part("Caution")
        for caution in said(self.found.cautions):
            column.say(self.desk.spoken(caution), after=0.75)
        others = [n for n in self.desk.named if n.half_id not in (self.a, self.b)]
        if others:
            column.part("Ports named here")
            column.buttons([
                (f"named-{n.half_id}", self.desk.half(n.half_id).name, self._put(n.half_id), False) for n in others
            ])  # fmt: skip

    def _verdict(self, column: Stack) -> None:
        verdict = self.found.verdict
        good = verdict in JOINED
        column.verdict(verdict.value, ROLES[verdict])
        words = {
            True: "A signal passes and nothing is hurt.",
            False: "Do not join these two.",
        }[good]
        column.check(words, good, key="verdict-mark")

    def _put(self, half_id: str) -> Any:
        return lambda: self.bring(self.a, half_id)

    def _choose_a(self) -> None:
        Picker(self.desk, "Left half", self.a, lambda i: self.bring(i, self.b)).open()

    def _choose_b(self) -> None:
        Picker(self.desk, "Right half", self.b, lambda i: self.bring(self.a, i)).open()

    def draw(self, pen: Pen, box: Box) -> None:
        """The two halves on their axis, the gap, and what touches."""
        self.per_mm = together_view.draw(pen, box, self)

    # -- keys and mouse ------------------------------------------------------------------------------------------

    def stage_key(self, event: pygame.event.Event) -> bool:
        """Arrows slide, Home and End go to the ends, T turns the nut."""
        step = COARSE if event.mod & pygame.KMOD_SHIFT else FINE
        if event.key == pygame.K_RIGHT:
            self.move_to(self.distance - step)
        elif event.key == pygame.K_LEFT:
            self.move_to(self.distance + step)
        elif event.key == pygame.K_HOME:
            self.move_to(self.open, True)
        elif event.key == pygame.K_END:
            self.move_to(self.stop, True)
        else:
            return False
        return True

    def key(self, event: pygame.event.Event) -> bool:
        """The same keys wherever the focus is, and T for the nut."""
        if event.key == pygame.K_t:
            self.turn_nut(-0.25 if event.mod & pygame.KMOD_SHIFT else 0.25)
            return True
        return self.stage_key(event)

    def _dragged(self, dx: float, dy: float) -> None:
        self.move_to(self.distance - dx / self.per_mm)

    def _wheel(self, steps: float) -> None:
        self.move_to(self.distance - steps * FINE * 3)

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [
            ("\N{RIGHTWARDS ARROW}, \N{LEFTWARDS ARROW}", f"closer, apart by 0.1{THIN}mm; with Shift 1{THIN}mm"),
            ("End, Home", "to the stop, apart"),
            ("T, Shift+T", "turn the nut on, off by a quarter"),
        ]

    def tick(self, now: float) -> bool:
        """The slide goes on."""
        return self.slide.tick(now)

    def held(self) -> dict[str, Any]:
        """The pair and its distance."""
        return {"a": self.a, "b": self.b, "distance": self.slide.goal}

    def recall(self, held: dict[str, Any]) -> None:
        """The pair of last time, where its halves still exist."""
        a, b = held.get("a"), held.get("b")
        if a in self.desk.tables.halves and b in self.desk.tables.halves:
            self.bring(str(a), str(b))
            distance = held.get("distance")
            if isinstance(distance, int | float):
                self.move_to(float(distance))
