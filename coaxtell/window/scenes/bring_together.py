"""Bring together: two halves slid along one axis until something touches, with the verdict and its reasons."""

from __future__ import annotations

from typing import Any

import pygame

from coaxtell.models.catalogue import MODELS, word
from coaxtell.models.mating.confidence import SURE
from coaxtell.models.mating.mate import JOINED, Verdict
from coaxtell.models.words import said
from coaxtell.window.desk.caught import turning_part
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pairing import Pairing
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import BAND, STEP
from coaxtell.window.kit.widgets import Action, Button, Kind, RoleName, Stage
from coaxtell.window.scenes import port_words
from coaxtell.window.scenes.picker import Picker
from coaxtell.window.views import together
from coaxtell.window.views.pair_round import PairRound
from coaxtell.window.views.scales import THIN, ground

BOTH_FROM, ROUND_SHARE = 460.0, 0.46
"""From this height [units] on the bench shows the pair in the round as well, in this share of it; where it is lower a
switch on it changes between the two."""
SWITCH = 36.0
"""Height of that switch [units]."""
LEAST_ROUND = 180.0
"""Least height of a bench that shows the pair in the round alone [units]."""
OPENED, TURN = 10.0, 5.0
"""One step of the cut slider, and of an arrow key on the picture [deg]."""
FINE, COARSE = 0.1, 1.0
"""Steps of the arrow keys, without and with Shift [mm]."""

ROLES: dict[Verdict, RoleName] = {
    Verdict.MATES: "fits",
    Verdict.LIMITS: "text",
    Verdict.NO_CONTACT: "harm",
    Verdict.DAMAGES: "harm",
    Verdict.NO_JOIN: "harm",
    Verdict.NOT_KNOWN: "text",
}

FIRST = "Join nothing while what is told of the port stands."
TO_MIND = ("caution.pin_depth", "caution.torque", "caution.fingers")
"""Cautions of a pair that mates, where a careless hand would hurt it all the same."""


def joined_words(pairing: Pairing) -> str:
    """What a pair that mates comes to, no surer than what stands under it: source, numbers, limits, cautions."""
    found = pairing.found
    shares = [reason.values["free"] for reason in pairing.grounds if reason.code.startswith("doubt.stated")]
    shown = all(isinstance(share, int | float) and share >= 100 * SURE for share in shares)
    if found.verdict is Verdict.LIMITS:
        words = "A signal passes" if shown else "Stated to mate"
        return f"{words}, with the limits told below."
    if not shown:
        return "Stated to mate: a signal passes. Our numbers alone do not show it for sure."
    if any(caution.code in TO_MIND for caution in found.cautions):
        return "A signal passes, if you mind the cautions below."
    return "A signal passes and nothing is hurt."


class BringTogether(Scene):
    """Two halves and the distance between their reference planes."""

    desk: Desk
    name = "together"
    word = "Bring together"
    short = "Together"
    help = "Slide two halves into each other and see what becomes of them."
    serves = ("mate",)

    a = "sma-plug"
    b = "rp-sma-jack"

    def __init__(self, desk: Desk) -> None:
        """The last pair, or the one that is most often taken wrongly."""
        super().__init__(desk)
        self.per_mm = 1.0
        self.flat = False
        """Whether a bench too low for both shows the section, not the picture in the round."""
        self.bring(self.a, self.b)

    def enter(self) -> None:
        """Take the pair that another scene carried over."""
        carried = self.desk.carry.pop(self.name, None)
        if carried is not None:
            self.bring(*carried)

    def bring(self, a: str, b: str) -> None:
        """Another pair, apart."""
        self.a, self.b = a, b
        self.pairing = Pairing(self.desk, self.desk.half(a), self.desk.half(b))
        self.round = PairRound(self.pairing)

    # -- arranging -----------------------------------------------------------------------------------------------

    @property
    def column_first(self) -> bool:
        """What is to be told of a port comes before what it would go together with."""
        return bool(port_words.ports(self.desk, self.a, self.b))

    def arrange(self, room: Room) -> None:
        """Bench at the left, the verdict and its reasons in the column."""
        rounded = self._benches(room)
        column = room.column
        self.told = port_words.tell(self.desk, room, self.a, self.b)
        column.buttons([
            ("choose-a", f"Left: {self.pairing.one.name}", self._choose_a, False),
            ("choose-b", f"Right: {self.pairing.two.name}", self._choose_b, False),
        ])  # fmt: skip
        self._verdict(column)
        column.part("The three rules")
        for i, rule in enumerate(self.pairing.found.rules):
            column.check(MODELS.say(rule.why), rule.kept, key=f"rule-{i}")
        column.gap()
        if self.pairing.at_stop:
            column.button("apart", "Pull apart", lambda: self.pairing.move_to(self.pairing.open, True), "action")
        else:
            words = "Show how far they would go" if self.told else "Bring together"
            kind: Kind = "plain" if self.told else "action"
            column.button("together", words, lambda: self.pairing.move_to(self.pairing.stop, True), kind)
        if rounded:
            opened = self.round.opened
            shown = "whole" if opened == 0 else "half" if opened == 180 else f"{opened:.0f}\N{DEGREE SIGN}"
            column.slider("opened", "Cut open", opened, (0.0, 180.0), OPENED, self.round.open_by, shown)
        turning = turning_part(self.pairing.one, self.pairing.two)
        if turning:
            column.buttons([
                ("turn-on", f"Turn the {turning} on", lambda: self.pairing.turn_nut(0.25), False),
                ("turn-off", f"Turn the {turning} off", lambda: self.pairing.turn_nut(-0.25), False),
            ])  # fmt: skip
        column.part("Why")
        for reason in said(self.pairing.found.reasons):
            column.say(self.desk.spoken(reason), after=0.75)
        column.part("Caution")
        for caution in said(self.pairing.found.cautions):
            column.say(self.desk.spoken(caution), after=0.75)
        others = [n for n in self.desk.named if n.half_id not in (self.a, self.b)]
        if others:
            column.part("Ports named here")
            column.buttons([
                (f"named-{n.half_id}", self.desk.half(n.half_id).name, self._put(n.half_id), False) for n in others
            ])  # fmt: skip

    def bench_for(self, width: float, height: float) -> float:
        """A bench that shows the pair in the round alone keeps within the window."""
        if self.flat or self.desk.pictures.why:
            return self.least_bench
        return min(self.least_bench, max(LEAST_ROUND, height - BAND))

    def _benches(self, room: Room) -> bool:
        """The pair in the round, its section, or both where there is room; whether the round is there."""
        bench = room.bench
        upper = None
        if not self.desk.pictures.why:
            self.round.follow()
            if bench.h >= BOTH_FROM:
                upper = bench._replace(h=ROUND_SHARE * bench.h)
                bench = Box(bench.x, upper.bottom, bench.w, bench.h - upper.h)
            else:
                half = bench.w / 2 - 1.5 * STEP
                ways = (("see-round", "in the round", False), ("see-flat", "cut, with measures", True))
                for i, (key, words, flat) in enumerate(ways):
                    box = Box(bench.x + STEP + i * (half + STEP), bench.y + 2, half, SWITCH)
                    room.on_bench(Button(key, box, words, self._seeing(flat), chosen=self.flat is flat))
                low = Box(bench.x, bench.y + SWITCH + 4, bench.w, bench.h - SWITCH - 4)
                if not self.flat:
                    upper = low
                bench = low
        if upper is not None:
            room.on_bench(Stage("round", upper, self._draw_round, self._round_key, self.round.drag, None,
                                self.round.nearer))  # fmt: skip
        if upper is None or upper is not bench:
            room.on_bench(Stage("bench", bench, self.draw, self.stage_key, self._dragged, None, self._wheel))
        return upper is not None

    def _seeing(self, flat: bool) -> Action:
        return lambda: setattr(self, "flat", flat)

    def _verdict(self, column: Stack) -> None:
        found, verdict = self.pairing.found, self.pairing.found.verdict
        good = None if verdict is Verdict.NOT_KNOWN or found.against else verdict in JOINED
        firm = good is not None and not (self.told and good)
        column.verdict(word(verdict), ROLES.get(verdict, "text") if firm else "text")
        words = {
            True: joined_words(self.pairing),
            False: "Do not join these two.",
            None: "Do not join these two before the number named below is measured.",
        }[good]
        if good is None and all(reason.code != "doubt.measure" for reason in found.measure):
            words = "Do not join these two: no single measurement taken here settles it."
        if good is None and found.confidence is not None:
            words = f"Probably {word(found.confidence.probably)}, but not sure enough. {words}"
        if found.by_practice:
            words = "Common practice says that they mate; no source was found."
        if found.against:
            words = "Stated to mate, but by the numbers in use they do not: measure again before you join them."
        if self.told and verdict in JOINED:
            words = f"{FIRST} By the tables: {words[:1].lower()}{words[1:]}"
        column.check(words, good if firm else None, key="verdict-mark")
        for beside in said(self.pairing.grounds):
            column.say(self.desk.spoken(beside), after=0.75)

    def _put(self, half_id: str) -> Any:
        return lambda: self.bring(self.a, half_id)

    def _choose_a(self) -> None:
        Picker(self.desk, "Left half", self.a, lambda i: self.bring(i, self.b)).open()

    def _choose_b(self) -> None:
        Picker(self.desk, "Right half", self.b, lambda i: self.bring(self.a, i)).open()

    def _draw_round(self, pen: Pen, box: Box) -> None:
        area = Box(box.x, max(box.y, BAND), box.w, box.bottom - max(box.y, BAND))
        seen = self.round.seen(pen, area)
        pen.grid(ground(box), self.round.side(seen) / 2 / self.round.reach, seen.middle)
        self.round.paint(pen, area)

    def _round_key(self, event: pygame.event.Event) -> bool:
        """The arrows turn the picture, plus and minus bring it nearer; all else is as on the section."""
        steps = {
            pygame.K_LEFT: (TURN, 0.0), pygame.K_RIGHT: (-TURN, 0.0),
            pygame.K_UP: (0.0, -TURN), pygame.K_DOWN: (0.0, TURN),
        }  # fmt: skip
        if event.key in steps:
            self.round.turn(*steps[event.key])
            return True
        if event.unicode in ("+", "-") and event.unicode:
            self.round.nearer(1 if event.unicode == "+" else -1)
            return True
        return self.stage_key(event)

    def draw(self, pen: Pen, box: Box) -> None:
        """The two halves on their axis, the gap, and what touches."""
        self.per_mm = together.draw(pen, box, self.pairing)

    # -- keys and mouse ------------------------------------------------------------------------------------------

    def stage_key(self, event: pygame.event.Event) -> bool:
        """Arrows slide, Home and End go to the ends, T turns the nut."""
        step = COARSE if event.mod & pygame.KMOD_SHIFT else FINE
        if event.key == pygame.K_RIGHT:
            self.pairing.move_to(self.pairing.distance - step)
        elif event.key == pygame.K_LEFT:
            self.pairing.move_to(self.pairing.distance + step)
        elif event.key == pygame.K_HOME:
            self.pairing.move_to(self.pairing.open, True)
        elif event.key == pygame.K_END:
            self.pairing.move_to(self.pairing.stop, True)
        else:
            return False
        return True

    def key(self, event: pygame.event.Event) -> bool:
        """The same keys wherever the focus is, and T for the nut."""
        if event.key == pygame.K_t:
            self.pairing.turn_nut(-0.25 if event.mod & pygame.KMOD_SHIFT else 0.25)
            return True
        return self.stage_key(event)

    def _dragged(self, dx: float, dy: float) -> None:
        self.pairing.move_to(self.pairing.distance - dx / self.per_mm)

    def _wheel(self, steps: float) -> None:
        self.pairing.move_to(self.pairing.distance - steps * FINE * 3)

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [
            ("\N{RIGHTWARDS ARROW}, \N{LEFTWARDS ARROW}", f"closer, apart by 0.1{THIN}mm; with Shift 1{THIN}mm"),
            ("End, Home", "to the stop, apart"),
            ("T, Shift+T", "turn the nut on, off by a quarter"),
            ("Arrow keys on the picture in the round", "turn it; + and \N{MINUS SIGN} bring it nearer and back"),
        ]

    def tick(self, now: float) -> bool:
        """The slide goes on."""
        moving = self.pairing.slide.tick(now)
        return self.round.tick(now) or moving

    def remembered(self) -> dict[str, Any]:
        """The pair and its distance."""
        return {"a": self.a, "b": self.b, "distance": self.pairing.slide.goal}

    def recall(self, held: dict[str, Any]) -> None:
        """The pair of last time, where its halves still exist."""
        a, b = held.get("a"), held.get("b")
        if a in self.desk.tables.halves and b in self.desk.tables.halves:
            self.bring(str(a), str(b))
            distance = held.get("distance")
            if isinstance(distance, int | float):
                self.pairing.move_to(float(distance))
